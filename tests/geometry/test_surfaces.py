"""Stations on the exposed surface.

Oracle of the searches: shapely's own line referencing and intersections.
"""

from itertools import pairwise
from math import dist, inf

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import LineString, Point

from detailgen.geometry.surfaces import Surface, merged, turn

STEPS = Surface(
    ((-100.0, 0.0), (-60.0, 0.0), (-60.0, 4.0), (-20.0, 4.0), (-20.0, 1.0), (0.0, 1.0),
     (0.0, 50.0)),
    ("board", "sheet", "sheet", "sheet", "board", "wall"),
)  # fmt: skip
CANT = Surface(((-100.0, -2.0), (-40.0, 0.0), (0.0, 40.0), (0.0, 90.0)), ("a", "b", "c"))


@st.composite
def surfaces(draw):
    """A run to the right with risers, falls and slopes; a wall at its end."""
    x, y = -400.0, 0.0
    points, owners = [(x, y)], []
    for i in range(draw(st.integers(1, 6))):
        x += draw(st.floats(2.0, 60.0))
        y += draw(st.one_of(st.just(0.0), st.floats(-10.0, 10.0)))
        points.append((x, y))
        y += draw(st.sampled_from([-1.0, 1.0])) * draw(st.floats(0.1, 8.0))
        points.append((x, y))
        owners += [f"run-{i}", f"riser-{i}"]
    points += [(x + 20.0, y), (x + 20.0, y + 100.0)]
    return Surface(tuple(points), (*owners, "foot", "wall"))


parts = st.floats(0.0, 1.0)


# --- at, station_of ---


def test_at_goes_round_corners_and_stops_at_the_ends():
    assert STEPS.at(42.0) == pytest.approx((-60.0, 2.0))
    assert STEPS.at(44.0) == pytest.approx((-60.0, 4.0))
    assert STEPS.at(-5.0) == STEPS.points[0]
    assert STEPS.at(1e6) == STEPS.points[-1]
    assert STEPS.length == pytest.approx(40 + 4 + 40 + 3 + 20 + 49)


@given(surfaces(), parts)
def test_station_of_a_point_at_a_station_is_that_station(surface, part):
    station = part * surface.length
    assert surface.station_of(surface.at(station)) == pytest.approx(station, abs=1e-6)


@given(surfaces(), parts)
def test_at_is_where_shapely_says(surface, part):
    station = part * surface.length
    there = LineString(surface.points).interpolate(station)
    assert dist(surface.at(station), (there.x, there.y)) < 1e-9
    assert surface.line().length == pytest.approx(surface.length)
    assert surface.stations()[-1] == pytest.approx(surface.length)


def test_station_of_a_point_off_the_surface_is_the_nearest():
    assert CANT.station_of((-20.0, 25.0)) == pytest.approx(
        CANT.station_of((-40.0, 0.0)) + 22.5 * 2**0.5
    )
    assert STEPS.station_of((-200.0, 9.0)) == 0.0


# --- at_x, at_y, at_y_back ---


def test_on_a_riser_a_sheet_to_the_right_rests_on_its_far_end():
    assert STEPS.at_x(-60.0) == pytest.approx(44.0)  # top of the rise
    assert STEPS.at_x(-20.0) == pytest.approx(87.0)  # foot of the fall
    assert STEPS.at_x(-30.0) == pytest.approx(74.0)
    assert STEPS.at_x(0.0) == pytest.approx(STEPS.length)
    assert STEPS.at_x(-101.0) == 0.0  # nowhere: the start


def test_at_x_before_a_station_stops_there():
    assert STEPS.at_x(-20.0, before=86.0) == pytest.approx(86.0)  # in the middle of a fall
    assert STEPS.at_x(0.0, before=110.0) == pytest.approx(110.0)
    assert STEPS.at_x(-20.0, before=84.0) == pytest.approx(84.0)


def test_heights_are_found_up_and_back():
    foot = STEPS.station_of((0.0, 1.0))
    assert STEPS.at(STEPS.at_y(4.0, after=foot)) == pytest.approx((0.0, 4.0))
    assert STEPS.at(STEPS.at_y(4.0, after=0.0)) == pytest.approx((-60.0, 4.0))
    assert STEPS.at_y(4.0, after=60.0) == pytest.approx(60.0)  # amid a level stretch
    assert STEPS.at_y(77.0, after=0.0) == pytest.approx(STEPS.length)  # nowhere: the end
    assert STEPS.at(STEPS.at_y_back(3.0, before=foot)) == pytest.approx((-20.0, 3.0))
    assert STEPS.at(STEPS.at_y_back(3.0)) == pytest.approx((0.0, 3.0))
    assert STEPS.at_y_back(4.0, before=60.0) == pytest.approx(60.0)


def crossings(surface, probe):
    """Spans of stations where a probe line meets the surface, segment by segment."""
    total = 0.0
    for a, b in pairwise(surface.points):
        met = LineString([a, b]).intersection(probe)
        if not met.is_empty:
            at = [dist(a, c) + total for c in met.coords]
            yield min(at), max(at)
        total += dist(a, b)


@given(surfaces(), parts, parts)
def test_at_x_is_the_last_crossing_before(surface, where, stop):
    x = surface.points[0][0] + where * (surface.points[-1][0] - surface.points[0][0])
    assume(all(abs(x - q[0]) > 1e-6 or x == q[0] for q in surface.points))
    before = stop * surface.length
    probe = LineString([(x, -1e3), (x, 1e3)])
    found = [(low, min(high, before)) for low, high in crossings(surface, probe)]
    found = [high for low, high in found if low <= high]
    assume(all(abs(low - before) > 1e-6 for low, _ in crossings(surface, probe)))
    assert surface.at_x(x, before=before) == pytest.approx(
        max(found, default=0.0), abs=1e-5
    )


@given(surfaces(), st.floats(-20.0, 20.0), parts)
def test_at_y_is_the_first_crossing_after(surface, y, start):
    after = start * surface.length
    probe = LineString([(-1e3, y), (1e3, y)])
    spans = list(crossings(surface, probe))
    assume(all(abs(high - after) > 1e-6 for _, high in spans))
    assume(all(abs(y - q[1]) > 1e-6 for q in surface.points))
    found = [max(low, after) for low, high in spans if high >= after]
    expected = min(found, default=surface.length)
    assert surface.at_y(y, after=after) == pytest.approx(expected, abs=1e-5)
    back = [min(high, after) for low, high in spans if low <= after]
    assert surface.at_y_back(y, before=after) == pytest.approx(
        max(back, default=0.0), abs=1e-5
    )


# --- corners ---


def test_the_nearest_inside_corner_is_taken():
    assert STEPS.at(STEPS.corner_near((-1.0, 2.0), reach=10.0)) == pytest.approx((0.0, 1.0))
    assert STEPS.at(STEPS.corner_near((-58.0, 3.0), reach=10.0)) == pytest.approx((
        -60.0,
        0.0,
    ))
    # the top of a step is an outside corner and does not count
    far = STEPS.corner_near((-59.0, 4.0), reach=1.0)
    assert STEPS.at(far) == pytest.approx((-59.0, 4.0))
    # none within reach: the nearest station
    assert STEPS.at(STEPS.corner_near((-40.0, 9.0), reach=5.0)) == pytest.approx((
        -40.0,
        4.0,
    ))


def test_turns_are_positive_toward_the_air():
    assert turn((0, 0), (1, 0), (1, 1)) == pytest.approx(1.0)
    assert turn((0, 0), (1, 0), (1, -1)) == pytest.approx(-1.0)
    assert turn((0, 0), (1, 0), (2, 1)) == pytest.approx(2**-0.5)
    assert turn((0, 0), (0, 0), (1, 1)) == 0.0


# --- between, spliced, merged ---


def test_a_stretch_that_ends_at_corners_has_no_doubled_points():
    points, owners = STEPS.between(40.0, 84.0)
    assert points == [(-60.0, 0.0), (-60.0, 4.0), (-20.0, 4.0)]
    assert owners == ["sheet", "sheet"]
    points, owners = STEPS.between(39.0, 45.0)
    assert [round(x, 9) for x, _ in points] == [-61.0, -60.0, -60.0, -59.0]
    assert owners == ["board", "sheet", "sheet"]


@given(surfaces(), parts, parts, parts)
def test_stretches_add_up(surface, one, two, three):
    a, b, c = (p * surface.length for p in sorted((one, two, three)))
    assume(b - a > 1e-3)
    assume(c - b > 1e-3)
    lengths = []
    for start, end in ((a, b), (b, c), (a, c)):
        points, owners = surface.between(start, end)
        assert len(owners) == len(points) - 1
        assert points[0] == surface.at(start)
        assert dist(points[-1], surface.at(end)) < 1e-9
        lengths.append(LineString(points).length)
    assert lengths[0] + lengths[1] == pytest.approx(lengths[2]) == pytest.approx(c - a)


def owner_at(surface, station):
    """Owner of the segment on which a station lies."""
    marks = surface.stations()
    spans = zip(pairwise(marks), surface.owners, strict=True)
    return next((owner for (low, high), owner in spans if low <= station < high), None)


@given(surfaces(), parts, parts)
def test_splicing_leaves_the_rest_as_it_was(surface, one, two):
    start, end = sorted((one * surface.length, two * surface.length))
    assume(end - start > 1e-3)
    points, _ = surface.between(start, end)
    over = [(x, y + 3.0) for x, y in points]
    new = surface.spliced(start, end, over, "new")
    assert dist(new.at(start), surface.at(start)) < 1e-9
    assert len(new.owners) == len(new.points) - 1
    grown = new.length - surface.length
    for k in range(1, 20):
        station = k / 20.0 * surface.length
        if station < start - 1e-3:
            assert dist(new.at(station), surface.at(station)) < 1e-9
            assert owner_at(new, station) == owner_at(surface, station)
        elif station > end + 1e-3:
            assert dist(new.at(station + grown), surface.at(station)) < 1e-6
            assert owner_at(new, station + grown) == owner_at(surface, station)
    assert all(any(dist(p, q) < 1e-6 for q in new.points) for p in over)
    assert owner_at(new, start + 1.5) == "new"
    fresh = sum(
        dist(a, b) for (a, b), o in zip(pairwise(new.points), new.owners, strict=True)
        if o == "new"
    )  # fmt: skip
    assert fresh == pytest.approx(LineString(over).length + 6.0, abs=1e-6)


@given(surfaces(), st.lists(parts, max_size=6))
def test_merging_takes_away_needless_points_only(surface, extra):
    marks = sorted({*surface.stations(), *(p * surface.length for p in extra)})
    ends = [m for m, n in zip(marks, [*marks[1:], inf], strict=True) if n - m > 1e-4]
    points = [surface.at(m) for m in ends]
    owners = [owner_at(surface, (a + b) / 2.0) for a, b in pairwise(ends)]
    doubled = [points[0], *points]
    slim = merged(doubled, [owners[0], *owners])
    assert slim.length == pytest.approx(surface.length, abs=1e-3)
    line = LineString(slim.points)
    assert all(line.distance(Point(p)) < 1e-6 for p in points)
    assert len(slim.points) <= len(surface.points)
    for a, b, c in zip(slim.points, slim.points[1:], slim.points[2:], strict=False):
        assert dist(a, b) > 1e-6
        i = slim.points.index(b)
        assert abs(turn(a, b, c)) > 1e-9 or slim.owners[i - 1] != slim.owners[i]


def test_merging_keeps_a_point_where_the_owner_changes():
    slim = merged([(0, 0), (1, 0), (1, 0), (2, 0), (3, 0)], ["a", "a", "a", "b"])
    assert slim.points == ((0, 0), (2, 0), (3, 0))
    assert slim.owners == ("a", "b")


def test_merging_drops_what_goes_out_and_straight_back():
    # the square end of a sheet against a face: up the face and down it again
    slim = merged([(-9, 4), (0, 4), (0, 1), (0, 40)], ["sheet", "sheet", "wall"])
    assert slim.points == ((-9, 4), (0, 4), (0, 40))
    assert slim.owners == ("sheet", "wall")
    # at the foot of a fall: down the face and up the start of the next sheet
    slim = merged([(0, 9), (0, 0), (0, 3), (8, 3)], ["low", "new", "new"])
    assert slim.points == ((0, 9), (0, 3), (8, 3))
    assert slim.owners == ("low", "new")
    slim = merged([(0, 0), (5, 0), (0, 0), (0, 7)], ["a", "b", "c"])
    assert slim.points == ((0, 0), (0, 7))
