"""Developed widths against the areas of the polygons, on 300 random sections.

A sheet of thickness t is drawn on one side of its course: its area over t is the length of
the course and, for every bend by an angle a, t x tan(a / 2) more on the outside of the bend
and less on the inside. Metals are drawn about the middle of theirs, so they need no such
term. Base and finish ply end plumb, against a wall or at the side of the drawing: an end
that rises by an angle b is t / 2 x tan(b) longer in its middle than at its underside.
Nothing else may tell the two apart by 1 %.
"""

from itertools import pairwise
from math import atan2, isfinite, pi, tan

import pytest

from detailgen.catalog import load_catalog
from detailgen.conditions import CONDITIONS
from detailgen.geometry import Line
from detailgen.quantity import Measure, Per
from detailgen.section import METALS, SHEETS, Body, LayeredSection, Role
from detailgen.takeoff import take_off
from tests.sampling import samples

CATALOG = load_catalog()
RULES = CATALOG.rule_set("common-practice")
ALONG = (
    "wall",
    "roof-edge",
    "curb",
    "expansion-joint",
    "independent-wall",
    "equipment-sleeper",
)
EACH = 50
SEED = 4711
FIELD = {Role.BASE_PLY, Role.FINISH_PLY}
TURNED = {"inside-corner", "outside-corner", "free-section"}
"""Straight runs, but for a corner or for what their file says."""
POINTS = sorted(set(CONDITIONS) - set(ALONG) - TURNED)


def _corners(course: Line) -> float:
    """Return the sum of tan(a / 2) over the bends of a course, left turns positive."""
    headings = [atan2(b[1] - a[1], b[0] - a[0]) for a, b in pairwise(course.coords)]
    turns = [(b - a + pi) % (2.0 * pi) - pi for a, b in pairwise(headings)]
    return sum(tan(turn / 2.0) for turn in turns)


def _ends(course: Line) -> float:
    """Return half the rise of both ends per run, outward positive; 0 of an upright end."""
    points = list(course.coords)
    return (_rise(points[-2], points[-1]) - _rise(points[0], points[1])) / 2.0


def _rise(a: tuple[float, float], b: tuple[float, float]) -> float:
    return 0.0 if abs(b[0] - a[0]) < 1e-6 else (b[1] - a[1]) / (b[0] - a[0])


def _sections(kind: str, count: int) -> list[LayeredSection]:
    drawn = samples(kind, count, SEED, CATALOG, RULES)
    return [condition.build(p, site) for condition, p, site in drawn]


def _developed(body: Body) -> float:
    """Return area over thickness, less what its corners add: the length of the course."""
    assert body.course is not None, body.id
    width = body.region.area / body.thickness
    if body.role in METALS:
        return width
    ends = _ends(body.course) if body.role in FIELD else 0.0
    return width + body.thickness * (_corners(body.course) - ends)


@pytest.mark.parametrize("kind", ALONG)
def test_developed_widths_agree_with_the_polygons(kind):
    seen = 0
    for section in _sections(kind, EACH):
        lines = {q.id: q for q in take_off(section, CATALOG, RULES)}
        for body in section.of_role(*SHEETS, *METALS):
            if body.course is None or body.by_others:
                continue  # a bar without bends is counted by its area
            seen += 1
            assert _developed(body) == pytest.approx(body.course.length, rel=0.01)
            line = lines[body.id.removesuffix("-right")]
            assert line.measure is Measure.AREA
            if body.role not in FIELD and len(line.bodies) == 1:
                assert line.amount * 1000.0 == pytest.approx(_developed(body), rel=0.01)
    assert seen > 4 * EACH


@pytest.mark.parametrize("kind", ALONG)
def test_what_is_counted_of_the_field_is_inside_what_is_drawn(kind):
    for section in _sections(kind, EACH):
        lines = {q.id: q for q in take_off(section, CATALOG, RULES)}
        for line in (lines["base-ply"], lines["finish-ply"]):
            drawn = [b.course for b in section.bodies if b.id in line.bodies]
            whole = sum(c.length for c in drawn if c is not None) / 1000.0
            assert 0.0 < line.amount < whole


@pytest.mark.parametrize("kind", POINTS)
def test_every_line_of_a_random_piece_can_be_used(kind):
    for section in _sections(kind, 12):
        lines = take_off(section, CATALOG, RULES)
        assert len({q.id for q in lines}) == len(lines)
        for line in lines:
            assert line.per is Per.PIECE, line.id
            assert isfinite(line.amount), line.id
            assert line.amount > 0.0, line.id
            assert line.formula
            assert line.source


@pytest.mark.parametrize("kind", POINTS)
def test_sheets_of_a_random_piece_are_no_less_than_their_plan(kind):
    """A slope and what turns up only add to what the plan shows; 20 % is far too much."""
    for section in _sections(kind, 12):
        plan = section.layout("plan")
        assert plan is not None
        lines = {q.id: q for q in take_off(section, CATALOG, RULES)}
        for body_id in ("strip-in", "target"):
            if body_id in lines:
                part = next(p for p in plan.parts if p.id == body_id)
                area = part.region.area / 1e6
                assert area * 0.9999 <= lines[body_id].amount <= area * 1.2
