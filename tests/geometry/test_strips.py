"""Strips of sheet and metal, against areas worked out by hand and shapely's offsets.

On the inside of a bend of angle a an offset by t loses t^2 tan(a/2), on its outside it
gains as much; a straight between two bends loses t tan(a/2) of its length at each.
"""

from itertools import pairwise
from math import atan2, cos, dist, hypot, pi, radians, sin, tan

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, box, union_all

from detailgen.conditions._metalwork import FOLD
from detailgen.geometry.strips import normal, parallel, pieced, polyline, ribbon


def bends(line):
    """Angles turned at the corners, positive to the left."""
    courses = [atan2(b[1] - a[1], b[0] - a[0]) for a, b in pairwise(line)]
    return [(d - c + pi) % (2.0 * pi) - pi for c, d in pairwise(courses)]


def walk(legs):
    """A polyline from its legs: length, and degrees turned before it."""
    x = y = course = 0.0
    points = [(x, y)]
    for length, turned in legs:
        course += radians(turned)
        x, y = x + length * cos(course), y + length * sin(course)
        points.append((x, y))
    return points


def left_over(line, thickness):
    """Shortest straight of the offset; it runs backward where this is negative."""
    half = [0.0, *(tan(a / 2.0) for a in bends(line)), 0.0]
    return min(
        dist(a, b) - thickness * (half[i] + half[i + 1])
        for i, (a, b) in enumerate(pairwise(line))
    )


def apart(line, least):
    """Whether no straight comes near to another than its neighbours."""
    sides = [LineString(side) for side in pairwise(line)]
    return all(a.distance(b) > least for i, a in enumerate(sides) for b in sides[i + 2 :])


legs = st.lists(
    st.tuples(st.floats(0.5, 60.0), st.sampled_from([-90, -45, -20, -3, 3, 20, 45, 90])),
    min_size=1,
    max_size=6,
)
thicknesses = st.floats(0.3, 8.0)


@given(legs, thicknesses)
def test_a_parallel_has_the_length_and_the_area_that_bends_give(steps, thickness):
    line = walk(steps)
    shortest = left_over(line, thickness)
    assume(abs(shortest) > 1e-6)
    over = parallel(line, thickness)
    if shortest < 0.0:
        assert over is None
        return
    assert over is not None
    turned = sum(tan(a / 2.0) for a in bends(line))
    run = LineString(line).length
    assert LineString(over).length == pytest.approx(run - 2.0 * thickness * turned)
    region = Polygon([*line, *reversed(over)])
    assume(region.is_valid)  # a spiral runs into itself
    assert region.area == pytest.approx(run * thickness - thickness**2 * turned)
    ends = ((line[0], line[1], over[0]), (line[-1], line[-2], over[-1]))
    for foot, along, top in ends:  # square ends
        square = (along[0] - foot[0]) * (top[0] - foot[0]) + (along[1] - foot[1]) * (
            top[1] - foot[1]
        )
        assert square == pytest.approx(0.0, abs=1e-6)
        assert dist(foot, top) == pytest.approx(thickness)


@given(legs, thicknesses)
def test_a_parallel_is_the_offset_that_shapely_finds(steps, thickness):
    line = walk(steps)
    assume(left_over(line, thickness) > 0.1)
    assume(LineString(line).is_simple)
    assume(apart(line, 2.0 * thickness))
    other = LineString(line).offset_curve(thickness, join_style="mitre", mitre_limit=10.0)
    assume(other.geom_type == "LineString")
    bent = parallel(line, thickness)[1:-1]  # shapely may trim the ends
    assert all(other.distance(Point(q)) < 1e-6 for q in bent)


def test_points_on_a_straight_make_no_difference():
    riser = [(-50.0, 0.0), (0.0, 0.0), (0.0, 1.6), (0.0, 2.3), (40.0, 2.3)]
    expected = [(-50.0, 2.6), (-2.6, 2.6), (-2.6, 4.9), (40.0, 4.9)]
    found = parallel(riser, 2.6)
    assert max(map(dist, found, expected)) < 1e-9
    assert len(found) == 4
    assert parallel([(0, 0), (5, 0), (5, 0), (9, 0)], 2.0) == [(0, 2), (9, 2)]


def test_a_pit_narrower_than_two_sheets_and_a_fold_have_no_parallel():
    pit = [(-20.0, 10.0), (0.0, 10.0), (0.0, 0.0), (5.0, 0.0), (5.0, 10.0), (20.0, 10.0)]
    assert parallel(pit, 2.4) is not None
    assert parallel(pit, 2.6) is None
    assert parallel([(0.0, 0.0), (10.0, 0.0), (2.0, 0.0)], 1.0) is None


def test_the_normal_points_to_the_left():
    assert normal((0.0, 0.0), (3.0, 0.0)) == pytest.approx((0.0, 1.0))
    assert normal((1.0, 1.0), (1.0, 9.0)) == pytest.approx((-1.0, 0.0))


# --- strips built in pieces ---


@pytest.mark.parametrize("high", [0.1, 0.7, 2.6, 9.0])
def test_pieces_drape_over_a_step_as_a_parallel_does(high):
    line = [(-60.0, 0.0), (0.0, 0.0), (0.0, high), (60.0, high)]
    solid = Polygon([*line, (60.0, -10.0), (-60.0, -10.0)])
    region = pieced(line, 2.6, solid)
    plain = Polygon([*line, *reversed(parallel(line, 2.6))])
    assert region.symmetric_difference(plain).area < 1e-9
    assert region.area == pytest.approx((120.0 + high) * 2.6)  # both bends cancel out


@pytest.mark.parametrize("wide", [1.0, 3.0, 5.0])
def test_pieces_fill_a_pit_that_is_too_narrow(wide):
    line = [(-50.0, 8.0), (0.0, 8.0), (0.0, 0.0), (wide, 0.0), (wide, 8.0), (60.0, 8.0)]
    assert parallel(line, 2.6) is None
    solid = Polygon([*line, (60.0, -10.0), (-50.0, -10.0)])
    region = pieced(line, 2.6, solid)
    assert region.is_valid
    assert region.area == pytest.approx((50.0 + 60.0 - wide) * 2.6 + 10.6 * wide)
    assert region.intersection(solid).area < 1e-5


@given(
    st.lists(st.tuples(st.floats(0.1, 12.0), st.floats(-6.0, 6.0)), min_size=1, max_size=6),
    thicknesses,
)
def test_pieces_over_steps_are_all_that_lies_within_a_thickness(steps, thickness):
    """On level runs and risers a mitred strip is what a square moved along them sweeps."""
    x = y = 0.0
    line = [(-30.0, 0.0), (0.0, 0.0)]
    for run, rise in steps:
        assume(abs(rise) > 1e-3)
        line += [(x, y + rise), (x + run, y + rise)]
        x, y = x + run, y + rise
    line.append((x + 30.0, y))
    solid = Polygon([*line, (x + 30.0, -80.0), (-30.0, -80.0)])
    region = pieced(line, thickness, solid)
    t = thickness
    swept = union_all([
        box(min(a[0], b[0]) - t, min(a[1], b[1]) - t, max(a[0], b[0]) + t,
            max(a[1], b[1]) + t)
        for a, b in pairwise(line)
    ]).difference(solid)  # fmt: skip
    middle = box(-15.0, -1e3, x + 15.0, 1e3)
    odd = region.symmetric_difference(swept).intersection(middle)
    assert odd.area < 1e-5
    assert region.is_valid


def test_pieces_with_no_room_are_none():
    line = [(0.0, 0.0), (10.0, 0.0)]
    assert pieced(line, 2.0, box(-5, -5, 15, 5)) is None


# --- bent metal ---


@given(
    st.lists(
        st.tuples(st.floats(8.0, 40.0), st.sampled_from([-90, -45, 30, 60, 90])),
        min_size=1,
        max_size=4,
    )
)
def test_bent_metal_has_the_area_of_its_centre_line(steps):
    centre = walk(steps)
    t = 1.5
    region = ribbon(centre, t)
    line = LineString(centre)
    assume(line.is_simple)
    assume(apart(centre, 4.0))
    assert region.is_valid
    assert region.area == pytest.approx(line.length * t, rel=1e-9)
    near = [region.exterior.distance(Point(q)) for q in centre[1:-1]]
    assert all(d == pytest.approx(t / 2.0, abs=1e-9) for d in near)


@pytest.mark.parametrize("t", [0.457, 0.7, 3.5])
def test_a_closed_fold_is_one_solid_of_twice_the_thickness(t):
    x = t - FOLD
    region = ribbon([(-30.0, 0.0), (0.0, 0.0), (0.0, 25.0), (x, 25.0), (x, -40.0)], t)
    assert region.is_valid
    assert not region.interiors
    across = region.intersection(LineString([(-20.0, 12.0), (20.0, 12.0)]))
    assert across.geom_type == "LineString"
    assert across.length == pytest.approx(2.0 * t, abs=2.0 * FOLD)
    top, leg = 25.0 + t / 2.0, 2.0 * t - FOLD
    flange, face = (30.0 - t / 2.0) * t, (40.0 - t / 2.0) * t
    assert region.area == pytest.approx(flange + face + (top + t / 2.0) * leg, abs=1e-6)


def test_repeated_points_do_not_split_metal():
    assert ribbon([(0, 0), (0, 0), (10, 0), (10, 0), (10, 9)], 1.0).area == (
        pytest.approx(19.0)
    )


def test_a_course_is_the_points_it_is_made_of():
    assert polyline([(0, 0), (3, 4)]).length == hypot(3, 4)
