"""Columns: what lies over what along a line, whichever way the line runs."""

from math import cos, pi, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from detailgen.geometry import Line, Point, Region
from detailgen.geometry.columns import Rings, column_at, columns, rings, stacked
from detailgen.geometry.measures import fused, overlaps, strip_thickness, uncovered
from detailgen.geometry.regions import box
from detailgen.geometry.strips import ribbon

LAYERS = (box(0, 0, 100, 2), box(0, 2, 60, 5), box(40, 5, 100, 6), box(60, 2, 100, 5))


def turned(point: Point, angle: float, shift: Point = (0.0, 0.0)) -> Point:
    x, y = point
    return (
        x * cos(angle) - y * sin(angle) + shift[0],
        x * sin(angle) + y * cos(angle) + shift[1],
    )


def turned_rings(region: Region, angle: float, shift: Point) -> Rings:
    return tuple(tuple(turned(p, angle, shift) for p in ring) for ring in rings(region))


def test_a_line_is_cut_at_every_corner() -> None:
    found = columns([rings(r) for r in LAYERS], (0.0, 0.0), (100.0, 0.0))
    assert [c.width for c in found] == pytest.approx([40, 20, 40])
    assert [c.at[0] for c in found] == pytest.approx([20, 50, 80])
    assert [[s[2] for s in c.spans] for c in found] == [[0, 1], [0, 1, 2], [0, 3, 2]]
    assert found[1].spans == ((0, 2, 0), (2, 5, 1), (5, 6, 2))


@given(
    angle=st.floats(0, 2 * pi),
    shift=st.tuples(st.floats(-500, 500), st.floats(-500, 500)),
)
def test_the_direction_of_the_line_does_not_matter(angle: float, shift: Point) -> None:
    straight = columns([rings(r) for r in LAYERS], (1.0, 0.0), (99.0, 0.0))
    start, end = turned((1.0, 0.0), angle, shift), turned((99.0, 0.0), angle, shift)
    other = columns([turned_rings(r, angle, shift) for r in LAYERS], start, end)
    assert len(other) == len(straight)
    for a, b in zip(straight, other, strict=True):
        assert b.width == pytest.approx(a.width, abs=1e-6)
        assert [s[2] for s in b.spans] == [s[2] for s in a.spans]
        for s, t in zip(a.spans, b.spans, strict=True):
            assert t[:2] == pytest.approx(s[:2], abs=1e-6)


def test_a_single_line_meets_holes_as_air() -> None:
    ring = box(0, 0, 10, 10).difference(box(2, 2, 8, 8))
    assert isinstance(ring, Region)
    spans = column_at([rings(ring)], (5.0, -1.0), (0.0, 1.0))
    assert spans == ((1, 3, 0), (9, 11, 0))
    level = column_at([rings(ring)], (-1.0, 5.0), (1.0, 0.0))
    assert level == ((1, 3, 0), (9, 11, 0))


def test_a_stack_ends_at_a_gap() -> None:
    spans = ((0.0, 2.0, 0), (2.04, 5.0, 1), (6.0, 7.0, 2))
    assert [s[2] for s in stacked(spans, 0.0, upward=True)] == [0, 1]
    assert [s[2] for s in stacked(spans, 0.0, upward=True, gap=2.0)] == [0, 1, 2]
    assert [s[2] for s in stacked(spans, 7.0, upward=False)] == [2]
    assert [s[2] for s in stacked(spans, 5.0, upward=False)] == [1, 0]


def test_too_short_a_line_has_no_columns() -> None:
    assert columns([rings(LAYERS[0])], (0.0, 0.0), (0.01, 0.0)) == []


@pytest.mark.parametrize("bend", [20.0, 45.0, 90.0, 135.0])
@pytest.mark.parametrize("thickness", [0.5, 2.6, 4.0])
def test_the_thickness_of_a_bent_strip_survives_its_bends(
    bend: float, thickness: float
) -> None:
    a = radians(bend)
    strip = ribbon([(0, 0), (100, 0), (100 + 60 * cos(a), 60 * sin(a))], thickness)
    assert strip_thickness(strip) == pytest.approx(thickness, abs=1e-9)


def test_what_no_line_covers_is_left_over() -> None:
    line = Line([(0, 0), (100, 0), (100, 50)])
    left = uncovered(line, [Line([(10, 0), (100, 0), (100, 20)])])
    assert sorted(g.length for g in left) == pytest.approx([10, 30], abs=0.05)
    assert uncovered(line, [line]) == []


def test_overlaps_and_holes_of_regions() -> None:
    a, b, c = box(0, 0, 10, 10), box(9, 0, 20, 10), box(20, 0, 30, 10)
    (found,) = overlaps([a, b, c], [(0, 1), (0, 2), (1, 2)])
    assert found[:3] == (0, 1, pytest.approx(10.0))
    assert 9 < found[3][0] < 10
    frame = [box(0, 0, 10, 1), box(0, 9, 10, 10), box(0, 1, 1, 9), box(9, 1, 10, 9)]
    whole = fused(frame)
    assert whole.area == pytest.approx(36.0)
    assert [hole.area for hole in whole.holes] == pytest.approx([64.0], rel=1e-3)
    # a crack that is only rounding does not open a pocket
    cracked = [*frame[:3], box(9 + 1e-6, 1, 10, 9)]
    assert len(fused(cracked).holes) == 1
