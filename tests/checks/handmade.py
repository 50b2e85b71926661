"""A small builder of hand-made sections: rectangles and points, a rule at a time."""

from collections.abc import Sequence
from functools import cache
from itertools import pairwise
from math import hypot

from detailgen.catalog import Catalog, load_catalog
from detailgen.checks import REGISTRY
from detailgen.checks._case import Case
from detailgen.finding import Finding
from detailgen.geometry import Line, Point, Region
from detailgen.geometry.regions import box
from detailgen.section import (
    Body,
    Bond,
    Coat,
    Joint,
    LayeredSection,
    Layout,
    Mark,
    Method,
    Part,
    Role,
)

POINTS: dict[str, dict[str, Point]] = {
    "wall": {
        "cant.toe": (-90.0, 0.0),
        "cant.top": (0.0, 90.0),
        "roof.datum": (-90.0, 10.0),
    },
    "roof-edge": {
        "edge.top": (0.0, 0.0),
        "wood.bottom": (0.0, -80.0),
        "flange.outer": (-102.0, 4.0),
        "metal.bend": (0.0, 5.0),
        "metal.leaves": (-12.7, 5.0),
    },
}
MATERIALS = {
    Role.DECK: "deck-concrete",
    Role.WALL: "wall-masonry",
    Role.INSULATION: "insulation-board",
    Role.COVER_BOARD: "cover-board",
    Role.CANT: "cant-perlite",
    Role.NAILER: "lumber-2x",
    Role.BASE_PLY: "base-ply-glass-smooth",
    Role.STRIP_IN: "base-ply-glass-smooth",
    Role.FINISH_PLY: "finish-ply-glass-granule",
    Role.FLASHING: "flashing-foil",
    Role.UPPER_FLASHING: "flashing-foil",
    Role.CEMENT: "plastic-cement",
    Role.EDGE_METAL: "galvanized-24",
    Role.COUNTERFLASHING: "galvanized-24",
    Role.COPING: "galvanized-24",
    Role.CLEAT: "galvanized-22",
    Role.FASTENER: "flange-nail",
    Role.BEAD: "sealant",
}


@cache
def catalog() -> Catalog:
    """Return the program's own catalogue."""
    return load_catalog()


def body(
    role: Role,
    region: Region,
    *,
    id: str = "",  # noqa: A002
    material: str = "",
    thickness: float = 0.0,
    pierces: tuple[str, ...] = (),
) -> Body:
    """Return a body named after its role."""
    name = id or str(role).replace(" ", "-")
    return Body(
        name, role, material or MATERIALS[role], region, 1, name, thickness, pierces=pierces
    )


def rect(role: Role, x0: float, y0: float, x1: float, y1: float, **more: object) -> Body:
    """Return a rectangular body."""
    return body(role, box(x0, y0, x1, y1), **more)  # type: ignore[arg-type]


def polygon(role: Role, *points: Point, **more: object) -> Body:
    """Return a body with this outline."""
    return body(role, Region(points), **more)  # type: ignore[arg-type]


def ribbon(points: Sequence[Point], thickness: float) -> Region:
    """Return a bent strip on the left of a line, one slab for each of its segments."""
    slabs = []
    for (x0, y0), (x1, y1) in pairwise(points):
        span = hypot(x1 - x0, y1 - y0)
        nx, ny = -(y1 - y0) / span * thickness, (x1 - x0) / span * thickness
        slabs.append(Region([(x0, y0), (x1, y1), (x1 + nx, y1 + ny), (x0 + nx, y0 + ny)]))
    whole = slabs[0]
    for slab in slabs[1:]:
        whole = whole.union(slab)  # type: ignore[assignment]
    return whole


def section(
    kind: str,
    *bodies: Body,
    joints: Sequence[Joint] = (),
    coats: Sequence[Coat] = (),
    layout: Layout | None = None,
    points: dict[str, Point] | None = None,
    without: Sequence[str] = (),
    **more: object,
) -> LayeredSection:
    """Return a section of a kind with only what a test needs."""
    named = {**POINTS[kind], **(points or {})}
    settings = {
        "method": Method.TORCH,
        "slope": 0.0,
        "extent": box(-400.0, -300.0, 250.0, 900.0),
        **more,
    }
    return LayeredSection(
        kind=kind,
        variant="",
        bodies=bodies,
        joints=tuple(joints),
        coats=tuple(coats),
        points={name: p for name, p in named.items() if name not in without},
        gauges=(),
        stages=(),
        layouts=() if layout is None else (layout,),
        **settings,  # type: ignore[arg-type]
    )


def wall(*bodies: Body, **more: object) -> LayeredSection:
    """Return a wall section."""
    return section("wall", *bodies, **more)  # type: ignore[arg-type]


def edge(*bodies: Body, **more: object) -> LayeredSection:
    """Return a roof-edge section."""
    return section("roof-edge", *bodies, **more)  # type: ignore[arg-type]


def joint(upper: Body, lower: Body, bond: Bond, *points: Point) -> Joint:
    """Return a joint along a line."""
    return Joint(upper.id, lower.id, Line(points), bond)


def layout(
    id: str,  # noqa: A002
    parts: Sequence[Part],
    marks: Sequence[Mark] = (),
    downhill: Point = (0.0, -1.0),
) -> Layout:
    """Return a layout."""
    return Layout(id, id, tuple(parts), tuple(marks), downhill=downhill)


def part(
    role: Role, x0: float, y0: float, x1: float, y1: float, level: int = 0, name: str = ""
) -> Part:
    """Return a rectangular piece of a layout."""
    label = name or f"{role}-{level}"
    return Part(label, role, label, box(x0, y0, x1, y1), level)


def find(rule: str, made: LayeredSection, rules: str = "common-practice") -> Finding:
    """Return one rule's finding on a section."""
    data = catalog()
    return REGISTRY[rule].find(Case(made, data.rule_set(rules), data))
