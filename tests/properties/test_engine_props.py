"""200 and more random valid sets of each kind of condition, at true size and drawn thick.

Sets are drawn from the full declared range of every parameter (`tests/sampling.py`), with
fixed seeds. Whatever is valid must build, and what is built must be sound.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from itertools import combinations, product

import numpy as np
import pytest
from numpy.typing import NDArray
from shapely import Polygon, union_all

from detailgen.catalog import load_catalog
from detailgen.conditions import CONDITIONS, Condition, Site, Thickening
from detailgen.geometry.measures import fused
from detailgen.geometry.regions import overlap_area
from detailgen.parameters import Placed
from detailgen.section import ADHERED, SHEETS, Body, Bond, LayeredSection, Method, Role
from tests.sampling import Tally, samples

CATALOG = load_catalog()
RULES = CATALOG.rule_set("common-practice")
EACH = {
    "wall": 260,
    "roof-edge": 240,
    "stack": 200,
    "vent-sleeve": 200,
    "penetration-pocket": 200,
    "drain": 200,
    "deep-drain": 200,
    "scupper": 200,
    "curb": 200,
    "expansion-joint": 200,
    "independent-wall": 200,
    "equipment-support": 200,
    "equipment-sleeper": 200,
}
ELSEWHERE = {"inside-corner", "outside-corner", "free-section"}
"""Drawn in test_corner_conditions.py and in tests/conditions/test_free_section.py."""
SEED = 1203
THICK = Thickening(3.0, 5.0, 3.0)
MOST_REJECTED = 0.7
SHARED = 1e-6
"""Share of the smaller solid's area that two solids may have in common."""


@dataclass(frozen=True)
class Drawn:
    """One set of parameters and what was built from it."""

    condition: Condition
    parameters: Placed
    site: Site
    true: LayeredSection
    thick: LayeredSection

    @property
    def both(self) -> tuple[LayeredSection, LayeredSection]:
        return self.true, self.thick

    def __repr__(self) -> str:
        return f"{self.parameters!r}\n{self.site.roof!r}"


@cache
def drawn(kind: str) -> tuple[tuple[Drawn, ...], Tally]:
    """Build all sets of one kind; the first that does not build fails whoever asks."""
    tally, found = Tally(), list[Drawn]()
    for condition, p, site in samples(kind, EACH[kind], SEED, CATALOG, RULES, tally):
        try:
            true = condition.build(p, site)
            thick = condition.build(p, replace(site, thickening=THICK))
        except Exception as error:
            msg = f"a valid set does not build:\n{p!r}\n{site.roof!r}"
            raise AssertionError(msg) from error
        found.append(Drawn(condition, p, site, true, thick))
    return tuple(found), tally


@pytest.fixture(params=sorted(EACH))
def sets(request: pytest.FixtureRequest) -> tuple[Drawn, ...]:
    return drawn(request.param)[0]


# --- how well the ranges are covered ---


def test_all_sets_are_drawn_and_few_are_rejected(told) -> None:
    assert set(EACH) | ELSEWHERE == set(CONDITIONS)
    assert sum(len(drawn(kind)[0]) for kind in EACH) == sum(EACH.values())
    for kind, count in EACH.items():
        tally = drawn(kind)[1]
        told(f"{kind}: {tally.rejected} of {tally.drawn} sets rejected ({tally.rate:.0%})")
        for why, times in sorted(tally.why.items(), key=lambda item: -item[1]):
            told(f"    {times:4} {why}")
        assert tally.drawn - tally.rejected == count
        assert 0 < tally.rate < MOST_REJECTED


def test_every_roof_comes_up_under_every_condition(sets) -> None:
    roofs = [s.site.roof for s in sets]
    wanted = set(product(("concrete", "steel", "wood"), Method))
    assert {(r.deck, r.adhesion) for r in roofs} == wanted
    wanted = set(product(("concrete", "steel", "wood"), range(4)))
    assert {(r.deck, len(r.insulation)) for r in roofs} == wanted
    assert {r.cover_board is None for r in roofs} == {True, False}
    assert min(r.slope for r in roofs) < 0.02
    assert max(r.slope for r in roofs) > 0.23


def test_every_variant_of_a_wall_comes_up() -> None:
    found = set()
    for s in drawn("wall")[0]:
        termination, _, flashing = s.true.variant.partition(", ")
        found.add((termination, flashing, s.parameters.wall))
    wanted = set(product(
        ("reglet", "surface", "coping"), ("foil", "granules in cement"),
        ("masonry", "concrete", "stud"),
    ))  # fmt: skip
    assert found == {v for v in wanted if (v[0], v[2]) != ("reglet", "stud")}
    boards = {
        (s.parameters.wall, s.site.roof.adhesion, s.true.body("wall-board") is not None)
        for s in drawn("wall")[0]
    }
    assert {(wall, how) for wall, how, board in boards if board} == {("stud", Method.TORCH)}


def test_every_variant_of_an_edge_comes_up() -> None:
    found, nailers = set(), set()
    for s in drawn("roof-edge")[0]:
        p = s.parameters
        found.add((p.edge, p.cleat, p.edge_strip, s.site.roof.deck))
        wood = s.true.of_role(Role.NAILER, Role.SHIM)
        nailers.add((s.site.roof.deck, p.nailer, bool(wood)))
    wanted = product(
        ("raised", "flush"), (True, False), (True, False), ("concrete", "steel", "wood")
    )
    assert found == set(wanted)
    assert {n for _, n, _ in nailers} == {"stacked", "let-in", "none", None}
    assert {(n, built) for _, n, built in nailers if n == "none"} == {("none", False)}


@pytest.mark.parametrize("kind", sorted(EACH))
def test_every_choice_of_every_parameter_comes_up(kind: str) -> None:
    fields = CONDITIONS[kind].parameters.model_fields
    for name in fields:
        seen = {getattr(s.parameters, name) for s in drawn(kind)[0]}
        if name in {"id", "title", "length", "count"}:
            continue
        options = {str(v) for v in seen}
        extra = str(fields[name].annotation)
        if "Literal" in extra:
            missing = [o for o in extra.split("'")[1::2] if o not in options]
            assert not missing, (name, missing)
        else:
            assert len(seen) > 1, name


# --- what is built is sound ---


def test_all_solids_are_valid_and_in_one_piece(sets) -> None:
    for s in sets:
        for section in s.both:
            ids = [b.id for b in section.bodies]
            assert len(ids) == len(set(ids)), s
            for body in section.bodies:
                assert isinstance(body.region, Polygon), (body.id, s)
                assert body.region.is_valid, (body.id, s)
                assert body.region.area > 0.05, (body.id, s)
                assert not body.region.interiors, (body.id, s)
            outer = section.extent.buffer(1e-6)
            assert all(outer.covers(b.region) for b in section.bodies), s


def apart(one: Body, two: Body) -> bool:
    """Whether two bodies must not share room.

    Fasteners go through what they pierce, and stand at other places along the edge or the
    wall than other fasteners.
    """
    fasteners = [b for b in (one, two) if b.role is Role.FASTENER]
    if len(fasteners) == 2:
        return False
    return all(b.id not in f.pierces for f in fasteners for b in (one, two))


def test_no_solids_overlap(sets) -> None:
    for s in sets:
        for section in s.both:
            for one, two in combinations(section.bodies, 2):
                if apart(one, two):
                    shared = overlap_area(one.region, two.region)
                    least = min(one.region.area, two.region.area)
                    assert shared <= SHARED * least, (one.id, two.id, shared, s)


def test_fasteners_go_through_what_they_say(sets) -> None:
    for s in sets:
        for section in s.both:
            for fastener in section.of_role(Role.FASTENER):
                assert fastener.pierces, (fastener.id, s)
                for body_id in fastener.pierces:
                    body = section.body(body_id)
                    assert body is not None, (fastener.id, body_id, s)
                    assert body.region.intersects(fastener.region), (
                        fastener.id,
                        body_id,
                        s,
                    )


def test_sheets_have_the_area_of_their_course(sets) -> None:
    """All but what corners give and take, and a square end that leans."""
    for s in sets:
        for section in s.both:
            for body in section.bodies:
                if body.role not in SHEETS or body.course is None:
                    continue
                plain = body.course.length * body.thickness
                corners = 2.0 * (len(body.course.coords)) * body.thickness**2
                assert abs(body.region.area - plain) <= corners, (body.id, s)


def test_joints_and_coats_lie_on_their_bodies(sets) -> None:
    for s in sets:
        for section in s.both:
            edges = {b.id: b.region.boundary for b in section.bodies}
            fluted = s.site.roof.deck == "steel"
            lines = [(j.line, i) for j in section.joints for i in (j.upper, j.lower)]
            lines += [(c.line, c.body) for c in section.coats]
            for line, body_id in lines:
                if (
                    body_id in {"deck", "deck-right"} and fluted
                ):  # a sheet bridges the flutes
                    continue
                off = max(edges[body_id].distance(Polygon([q] * 4)) for q in line.coords)
                assert off < 2e-3, (body_id, off, s)


def test_bodies_stand_in_the_order_of_building(sets) -> None:
    for s in sets:
        stages = [b.stage for b in s.true.bodies if b.role is not Role.FASTENER]
        assert stages == sorted(stages), s
        built = {b.id: b.stage for b in s.true.bodies}
        assert all(built[j.upper] >= built[j.lower] for j in s.true.joints), s
        assert set(built.values()) - {0} <= {g.number for g in s.true.stages}, s


def test_no_flame_meets_what_burns(sets) -> None:
    seen = set()
    for s in sets:
        for j in s.true.joints:
            below = CATALOG.material(s.true.body(j.lower).material)
            assert j.bond is not Bond.TORCHED or not below.combustible, (j, s)
            seen.add(j.bond)
            if j.upper in {"strip-in", "finish-ply", "flashing", "upper-flashing"}:
                assert j.bond in ADHERED, (j, s)
    assert {Bond.TORCHED, Bond.HOT_ASPHALT, Bond.COLD_ADHESIVE} <= seen


def test_pockets_are_declared(sets) -> None:
    for s in sets:
        solids = [b.region for b in s.true.bodies if b.role is not Role.FASTENER]
        whole = union_all(solids, grid_size=1e-7).buffer(1e-4, join_style="mitre")
        parts = getattr(whole, "geoms", [whole])
        holes = [Polygon(ring) for part in parts for ring in part.interiors]
        found = fused(solids)
        assert found.area == pytest.approx(sum(r.area for r in solids), abs=1e-2), s
        wide = sorted(h.area for h in found.holes if h.area > 0.1)
        others = sorted(h.area for h in holes if h.area > 0.1)
        assert wide == pytest.approx(others, abs=0.1), s
        for hole in holes:
            left = hole
            for hollow in s.true.hollows:
                left = left.difference(hollow.buffer(0.01))
            assert left.area < 1.0, (left.bounds, s)


def test_points_are_there_and_the_same_in_both_sizes(sets) -> None:
    for s in sets:
        assert set(s.true.points) == set(s.thick.points), s
        assert [b.id for b in s.true.bodies] == [b.id for b in s.thick.bodies], s
        for section in s.both:
            frame = section.extent.buffer(1.0)
            for gauge in section.gauges:
                for name in (gauge.start, gauge.end):
                    assert frame.covers(Polygon([section.points[name]] * 4)), (name, s)


# --- overlap again, on pixels ---

PIXEL = 0.4


def counted(
    bodies: list[Body], window: tuple[float, float, float, float]
) -> NDArray[np.int8]:
    """Return in how many bodies the middle of every pixel lies, by even-odd scans."""
    x0, y0, x1, y1 = window
    xs = np.arange(x0, x1, PIXEL) + 0.137
    ys = np.arange(y0, y1, PIXEL) + 0.0713
    total = np.zeros((len(xs), len(ys)), dtype=np.int8)
    for body in bodies:
        inside = np.zeros(total.shape, dtype=bool)
        for ring in (body.region.exterior, *body.region.interiors):
            for (ax, ay), (bx, by) in _edges(np.asarray(ring.coords)[:, :2]):
                hit = (xs >= min(ax, bx)) & (xs < max(ax, bx))
                if hit.any():
                    level = ay + (by - ay) * (xs[hit] - ax) / (bx - ax)
                    inside[hit] ^= ys[None, :] > level[:, None]
        total += inside
    return total


def _edges(points: NDArray[np.float64]) -> Iterator[NDArray[np.float64]]:
    return iter(np.stack([points[:-1], points[1:]], axis=1))


@pytest.mark.parametrize(("kind", "which"), list(product(sorted(EACH), (0, 61, 133))))
def test_no_pixel_lies_in_two_solids(kind: str, which: int) -> None:
    for section in drawn(kind)[0][which].both:
        solids = [b for b in section.bodies if b.role is not Role.FASTENER]
        x0, _, x1, y1 = section.extent.bounds
        window = (max(x0, -240.0), -60.0, x1, min(y1, 260.0))
        total = counted(solids, window)
        assert total.max() == 1, (section.variant, np.argwhere(total > 1)[:3])
        # the scan sees the sheets: as much as their own areas say
        for body in solids:
            if body.role in SHEETS:
                bx0, by0, bx1, by1 = body.region.bounds
                if (
                    bx0 > window[0]
                    and by0 > window[1]
                    and bx1 < window[2]
                    and by1 < window[3]
                ):
                    area = counted([body], window).sum() * PIXEL**2
                    assert area == pytest.approx(body.region.area, rel=0.15)


def test_the_pixels_would_see_an_overlap() -> None:
    section = drawn("wall")[0][0].true
    flashing = section.body("flashing")
    moved = replace(
        flashing, region=Polygon([(x + 1.0, y) for x, y in flashing.region.exterior.coords])
    )
    solids = [
        moved if b.id == "flashing" else b
        for b in section.bodies
        if b.role is not Role.FASTENER
    ]
    assert counted(solids, (-240.0, -60.0, 40.0, 200.0)).max() > 1
