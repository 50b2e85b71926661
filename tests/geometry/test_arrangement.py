"""The arrangement: what lies on both sides of every edge."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from detailgen.geometry import Line, Region
from detailgen.geometry.arrangement import (
    AIR,
    BEYOND,
    Arrangement,
    Edge,
    arrange,
    away_from,
    inside,
    nearest_on,
)
from detailgen.geometry.regions import box

SIDES = st.tuples(*[st.integers(0, 20)] * 4).map(
    lambda n: box(
        5 * min(n[0], n[1]),
        5 * min(n[2], n[3]),
        5 * max(n[0], n[1]) + 5,
        5 * max(n[2], n[3]) + 5,
    )
)
FRAME = box(0, 0, 100, 100)
LOWER, UPPER = box(0, 0, 100, 10), box(20, 10, 60, 14)


def kinds(found: Arrangement) -> set[frozenset[int]]:
    return {frozenset((e.left.region, e.right.region)) for e in found.edges}


def length(found: Arrangement, one: int, other: int) -> float:
    def span(e: Edge) -> float:
        (x0, y0), (x1, y1) = found.points[e.start], found.points[e.end]
        return ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5

    pair = {one, other}
    return sum(span(e) for e in found.edges if {e.left.region, e.right.region} == pair)


def test_edges_know_both_of_their_sides() -> None:
    found = arrange([LOWER, UPPER], FRAME)
    assert kinds(found) == {
        frozenset(pair) for pair in ((0, 1), (0, AIR), (1, AIR), (0, BEYOND), (AIR, BEYOND))
    }
    assert length(found, 0, 1) == pytest.approx(40.0)
    assert length(found, 0, AIR) == pytest.approx(60.0)
    assert length(found, 1, AIR) == pytest.approx(48.0)
    for edge in found.edges:
        (x0, y0), (x1, y1) = found.points[edge.start], found.points[edge.end]
        x, y = edge.left.at
        assert (x1 - x0) * (y - y0) - (y1 - y0) * (x - x0) > 0.0, "left is to the left"


@pytest.mark.parametrize("gap", [1e-5, -1e-5, 1e-4])
def test_edges_that_coincide_but_for_rounding_are_one(gap: float) -> None:
    lifted = Region([(20, 10 + gap), (60, 10 + gap), (60, 14), (20, 14)])
    found = arrange([LOWER, lifted], FRAME)
    assert length(found, 0, 1) == pytest.approx(40.0, abs=1e-3)
    assert length(found, 0, AIR) == pytest.approx(60.0, abs=1e-3)


def test_a_gap_that_is_one_stays_one() -> None:
    found = arrange([LOWER, box(20, 10.01, 60, 14)], FRAME)
    assert frozenset((0, 1)) not in kinds(found)


def test_of_regions_that_overlap_the_last_counts() -> None:
    found = arrange([LOWER, box(20, 5, 60, 14)], FRAME)
    assert length(found, 0, 1) == pytest.approx(50.0)


def test_parts_cut_edges_and_are_told_of_sides() -> None:
    parts = [box(-500, -500, 40, 500), box(-500, -500, 500, 500)]
    found = arrange([LOWER, UPPER], FRAME, parts)
    shared = [e for e in found.edges if {e.left.region, e.right.region} == {0, 1}]
    assert sorted(e.left.part for e in shared) == [0, 1]
    for edge in found.edges:
        assert edge.left.part == (0 if edge.left.at[0] < 40.0 else 1)


def test_lines_cut_the_edges_that_they_run_along() -> None:
    found = arrange([LOWER, UPPER], FRAME, lines=[Line([(25, 10), (30, 10)])])
    shared = [e for e in found.edges if {e.left.region, e.right.region} == {0, 1}]
    assert len(shared) == 3


def test_edges_meet_at_points_only() -> None:
    found = arrange([LOWER, UPPER, box(30, 14, 90, 20)], FRAME)
    ends = {found.points[p] for e in found.edges for p in (e.start, e.end)}
    for edge in found.edges:
        a, b = found.points[edge.start], found.points[edge.end]
        for p in ends - {a, b}:
            q = nearest_on(a, b, p)
            assert abs(q[0] - p[0]) + abs(q[1] - p[1]) > 1e-3


def test_distances_to_lines() -> None:
    line = Line([(0, 0), (10, 0), (10, 10)])
    assert away_from(line.coords, (5, 3)) == pytest.approx(3.0)
    assert away_from(line.coords, (13, 14)) == pytest.approx(5.0)
    assert nearest_on((0, 0), (10, 0), (-5, 2)) == (0.0, 0.0)
    assert nearest_on((3, 3), (3, 3), (0, 0)) == (3.0, 3.0)


def test_points_inside_of_a_region() -> None:
    assert inside(FRAME, [(50, 50), (150, 50)]) == [True, False]


@given(regions=st.lists(SIDES, min_size=1, max_size=6), data=st.data())
def test_some_of_the_regions_come_out_as_if_there_were_no_others(
    regions: list[Region], data: st.DataObject
) -> None:
    kept = [i for i in range(len(regions)) if data.draw(st.booleans())]
    found = arrange(regions, FRAME).of(kept)
    alone = arrange([regions[i] for i in kept], FRAME)
    assert kinds(found) == kinds(alone)
    for one in range(BEYOND, len(kept)):
        for other in range(BEYOND, one):
            told = length(found, one, other)
            assert told == pytest.approx(length(alone, one, other), abs=1e-6)
