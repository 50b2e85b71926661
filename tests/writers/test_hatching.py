"""Hatch lines against areas, against shapely and against the library of another format."""

import math

import pytest
import shapely
from ezdxf.filemanagement import new
from ezdxf.render.hatching import hatch_entity
from hypothesis import given
from hypothesis import strategies as st

from detailgen.scene import HatchFamily, Pattern
from detailgen.writers._hatching import DOT, hatch_lines
from tests.writers.sample import BOARD, STONE, box


def length(lines):
    return sum(math.dist(a, b) for a, b in lines)


def full(angle=45.0, spacing=2.0, **more):
    return Pattern("P", (HatchFamily(angle, spacing, **more),))


@pytest.mark.parametrize("angle", [0.0, 30.0, 45.0, 90.0, 133.7, -60.0])
def test_the_length_of_full_lines_is_the_area_over_their_distance(angle):
    region = box(0.013, 0.021, 100.0, 80.0), box(20, 20, 50, 60)
    drawn = length(hatch_lines(region, full(angle)))
    area = 99.987 * 79.979 - 30 * 40
    assert drawn * 2.0 == pytest.approx(area, rel=0.04)


def test_dashes_draw_their_share():
    drawn = length(hatch_lines((box(0, 0, 200, 200),), full(20.0, dashes=(3.0, -1.0))))
    assert drawn * 2.0 == pytest.approx(200 * 200 * 0.75, rel=0.01)


def test_a_level_edge_on_a_line_is_counted_once():
    lines = hatch_lines((box(0, 0, 10, 4),), full(0.0))
    assert sorted(a[1] for a, _ in lines) == [0.0, 2.0]


def test_dots_are_whole_and_on_their_grid():
    lines = hatch_lines((box(0, 0, 10, 10),), full(0.0, 2.0, dashes=(0.0, -2.0)))
    assert lines
    assert all(math.dist(a, b) == pytest.approx(DOT) for a, b in lines)
    assert {round(a[0], 6) % 2 for a, _ in lines} == {0.0}


@st.composite
def regions(draw):
    """A star-shaped outline, often with a notch, and at times a hole in it."""
    count = draw(st.integers(3, 12))
    radii = draw(st.lists(st.floats(6.0, 40.0), min_size=count, max_size=count))
    turn = draw(st.floats(0, 1))
    outline = tuple(
        (
            r * math.cos(math.tau * (i + turn) / count),
            r * math.sin(math.tau * (i + turn) / count),
        )
        for i, r in enumerate(radii)
    )
    shape = shapely.Polygon(outline)
    hole = draw(st.none() | st.floats(0.5, 2.0))
    if hole is None:
        return (outline,), shape
    ring = box(-hole, -hole, hole, hole)
    if not shape.buffer(-0.01).contains(shapely.Polygon(ring)):
        return (outline,), shape
    return (outline, ring), shapely.Polygon(outline, [ring])


@given(regions(), st.floats(-180, 180), st.sampled_from([BOARD, STONE, None]))
def test_lines_stay_inside_and_leave_nothing_out(region, angle, pattern):
    rings, shape = region
    base = (0.317, -0.211)
    lines = hatch_lines(rings, pattern or full(angle, 1.7), base)
    drawn = shapely.MultiLineString(lines)
    assert shape.buffer(1e-6).covers(drawn)
    if pattern is None:
        turn = math.radians(angle)
        across = (-math.sin(turn), math.cos(turn))
        expected = 0.0
        for k in range(-60, 61):
            x, y = base[0] + k * 1.7 * across[0], base[1] + k * 1.7 * across[1]
            ends = [(x + s * 200 * across[1], y - s * 200 * across[0]) for s in (-1, 1)]
            expected += shape.intersection(shapely.LineString(ends)).length
        assert drawn.length == pytest.approx(expected, abs=0.05)


@pytest.mark.parametrize("pattern", [BOARD, full(30.0, 3.0, shift=0.7, dashes=(2.0, -1.5))])
def test_another_programs_hatching_agrees(pattern):
    """The DXF library draws the pattern that the DXF writer defines; lengths are equal."""
    outline = ((0.0, 0.0), (61.0, 3.0), (48.0, 41.0), (5.0, 37.0))
    doc = new("R2010")
    hatch = doc.modelspace().add_hatch()
    definition = []
    for f in pattern.families:
        c, s = math.cos(math.radians(f.angle)), math.sin(math.radians(f.angle))
        step = (f.shift * c - f.spacing * s, f.shift * s + f.spacing * c)
        definition.append([f.angle, f.origin, step, list(f.dashes)])
    hatch.set_pattern_fill("P", definition=definition)
    hatch.paths.add_polyline_path(outline, is_closed=True)
    theirs = sum(a.distance(b) for a, b in hatch_entity(hatch))
    assert length(hatch_lines((outline,), pattern)) == pytest.approx(theirs, rel=1e-3)
