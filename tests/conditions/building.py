"""Sites and sections for the tests of the conditions, and what is measured on them."""

from typing import Any

from shapely import LineString, Point, Polygon, unary_union, union_all

from detailgen.catalog import load_catalog
from detailgen.conditions import CONDITIONS, Site, Thickening
from detailgen.parameters import Roof
from detailgen.section import TRUE_SIZE, Body, LayeredSection, Role
from detailgen.units import parse_length

CATALOG = load_catalog()
RULES = CATALOG.rule_set("common-practice")
DRAWN_THICK = Thickening(3.0, 5.0, 3.0)


def mm(text: str) -> float:
    """Return a length written as a person writes it, in millimetres."""
    return parse_length(text)


def rule(row: str) -> float:
    return RULES.value(row)


def site(thickening: Thickening = TRUE_SIZE, **roof: Any) -> Site:
    return Site(Roof(**roof), CATALOG, RULES, thickening)


def parameters(kind: str, **given: Any) -> Any:
    return CONDITIONS[kind].parameters(id="T1", **given)


def build(kind: str, where: Site | None = None, **given: Any) -> LayeredSection:
    """Return the section of parameters that stand together."""
    where = where or site()
    p = parameters(kind, **given)
    assert CONDITIONS[kind].impossible(p, where) == []
    return CONDITIONS[kind].build(p, where)


def body(section: LayeredSection, body_id: str) -> Body:
    found = section.body(body_id)
    assert found is not None, body_id
    return found


def corners(section: LayeredSection, body_id: str) -> list[tuple[float, float]]:
    return [(x, y) for x, y in body(section, body_id).region.exterior.coords[:-1]]


def on_outline(section: LayeredSection, body_id: str, at: tuple[float, float]) -> float:
    """Return how far a point lies off the outline of a body, mm."""
    return body(section, body_id).region.boundary.distance(Point(at))


def upright(section: LayeredSection, body_id: str, x: float) -> tuple[float, float]:
    """Return the lowest and highest y at which a body meets an upright line."""
    probe = body(section, body_id).region.intersection(LineString([(x, -1e4), (x, 1e4)]))
    assert not probe.is_empty, (body_id, x)
    return probe.bounds[1], probe.bounds[3]


def joined(section: LayeredSection, upper: str, lower: str) -> dict[str, float]:
    """Return the length of each kind of bond between two bodies."""
    out: dict[str, float] = {}
    for j in section.joints:
        if (j.upper, j.lower) == (upper, lower):
            out[j.bond.value] = out.get(j.bond.value, 0.0) + j.line.length
    return out


def pockets(section: LayeredSection, most: float = 1.0) -> list[float]:
    """Return the areas of closed pockets that the section does not declare, mm2."""
    solids = [b.region for b in section.bodies if b.role is not Role.FASTENER]
    whole = union_all(solids, grid_size=1e-7).buffer(1e-4, join_style="mitre")
    meant = unary_union([h.buffer(0.01) for h in section.hollows])
    holes = [Polygon(r) for g in getattr(whole, "geoms", [whole]) for r in g.interiors]
    left = [hole.difference(meant).area for hole in holes]
    return [area for area in left if area > most]
