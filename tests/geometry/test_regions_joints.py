"""Areas, cuts, overlaps and shared lines."""

from math import cos, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, MultiLineString, Polygon
from shapely import box as sbox

from detailgen.geometry.joints import clip_joint, lines_in, shared_lines
from detailgen.geometry.regions import (
    box,
    clip,
    cut,
    holes,
    joined,
    outline,
    overlap_area,
    pieces,
    polygon,
    union,
    vertices,
)


def turned(points, angle):
    return [
        (x * cos(angle) - y * sin(angle), x * sin(angle) + y * cos(angle))
        for x, y in points
    ]


def rectangle(x0, y0, x1, y1):
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


# --- regions ---


def test_clip_and_cut_keep_what_is_left():
    board = box(0, 0, 10, 4)
    assert [g.area for g in clip(board, box(-1, -1, 11, 5))] == [40.0]
    assert [g.area for g in clip(board, box(5, -1, 11, 2))] == [10.0]
    assert clip(board, box(20, 0, 21, 1)) == []
    assert [g.area for g in cut(board, [box(2, -1, 4, 5)])] == [24.0, 8.0]  # largest first
    assert cut(board, [box(-1, -1, 11, 5)]) == []
    assert len(cut(board, [box(0, 0, 10, 4 - 1e-8)])) == 0  # a hair is nothing
    assert cut(board, [])[0].equals(board)


def test_union_and_pieces():
    assert sorted(
        g.area for g in union([box(0, 0, 2, 2), box(1, 0, 3, 2), box(9, 9, 10, 10)])
    ) == [
        1.0,
        6.0,
    ]
    both = box(0, 0, 1, 1).union(box(0, 5, 1e-4, 5 + 1e-4))
    assert [g.area for g in pieces(both)] == [1.0]
    assert len(pieces(both, least=1e-9)) == 2


def test_outlines_and_holes_do_not_repeat_the_first_point():
    ring = polygon(rectangle(0, 0, 9, 9)).difference(box(3, 3, 6, 6))
    assert len(outline(ring)) == 4
    assert len(holes(ring)) == 1
    assert set(holes(ring)[0]) == set(rectangle(3, 3, 6, 6))
    assert vertices(LineString([(0, 0), (1, 2)])) == ((0.0, 0.0), (1.0, 2.0))


@given(st.floats(0.0, 3.2), st.floats(-3.0, 3.0), st.floats(-3.0, 3.0))
def test_overlap_of_turned_rectangles_is_what_they_share(angle, dx, dy):
    a = polygon(turned(rectangle(0, 0, 8, 5), angle))
    b = polygon(turned(rectangle(dx, dy, 8 + dx, 5 + dy), angle))
    shared = max(8 - abs(dx), 0.0) * max(5 - abs(dy), 0.0)
    assert overlap_area(a, b) == pytest.approx(shared, abs=1e-6)
    assert overlap_area(b, a) == pytest.approx(shared, abs=1e-6)


@given(st.floats(0.0, 6.3), st.floats(-1e-12, 1e-12))
def test_neighbours_along_a_turned_edge_share_nothing(angle, slip):
    a = polygon(turned([(-3, 0), (120, 0), (120, 2.6), (-3, 2.6)], angle))
    b = polygon(turned([(0, 2.6 + slip), (50, 2.6 + slip), (50, 6), (0, 6)], angle))
    assert overlap_area(a, b) < 1e-7
    whole = joined(a, b)
    assert whole.area == pytest.approx(123 * 2.6 + 50 * 3.4)


def test_overlap_looks_at_boxes_first():
    assert overlap_area(box(0, 0, 1, 1), box(1, 0, 2, 1)) == 0.0
    assert overlap_area(box(0, 0, 1, 1), box(0, 5, 2, 6)) == 0.0
    assert joined(box(0, 0, 1, 1), box(5, 0, 8, 1)).area == 3.0  # apart: the larger


# --- joints ---


def test_bodies_share_the_line_along_which_they_touch():
    board = box(0, -20, 100, 0)
    sheet = Polygon([(10, 0), (70, 0), (70, 3), (10, 3)])
    (line,) = shared_lines(sheet, board)
    assert line.length == pytest.approx(60.0, abs=1e-3)
    assert {y for _, y in line.coords} == {0.0}
    assert shared_lines(box(0, 1, 9, 2), board) == []
    assert shared_lines(box(100, 0, 109, 9), board) == []  # they meet in a point


def test_a_sheet_over_a_gap_shares_two_lines():
    flutes = sbox(0, 0, 20, 1).union(sbox(30, 0, 60, 1)).union(sbox(0, -1, 60, 0.5))
    flutes = flutes.difference(sbox(20, 0.2, 30, 2))
    lines = shared_lines(box(5, 1, 50, 4), flutes)
    assert sorted(round(g.length, 2) for g in lines) == [15.0, 20.0]


def test_joints_shrink_with_a_body():
    joint = LineString([(10, 0), (70, 0), (70, -5)])
    short = box(40, 0, 70, 3)
    (left,) = clip_joint(joint, short)
    assert left.length == pytest.approx(30.0, abs=1e-3)
    assert clip_joint(joint, box(0, 50, 9, 60)) == []


def test_lines_in_a_geometry_are_merged_and_slivers_dropped():
    parts = MultiLineString([[(0, 0), (5, 0)], [(5, 0), (9, 0)], [(20, 0), (20.0005, 0)]])
    assert [g.length for g in lines_in(parts)] == [9.0]
    assert lines_in(box(0, 0, 1, 1)) == []
