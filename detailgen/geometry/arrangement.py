"""The arrangement of a drawing: outlines cut at one another into edges between faces."""

# The library types the functions that also take arrays in part only.
# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import dist, hypot
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from detailgen.geometry import Line, Point, Region

GRID = 2e-4
"""Corners are put on this grid, mm: edges that coincide but for rounding become one."""
APART = 5e-4
"""A piece that comes this near to a point, mm, runs through it."""
SHORTEST = 1e-3
"""Edges shorter than this, mm, are rounding: their two ends are made one point."""
ASIDE = 1e-3
"""How far beside the middle of an edge it is asked what lies there, mm."""
AIR = -1
"""Where no region is."""
BEYOND = -2
"""Outside of the frame."""


class Side(NamedTuple):
    """What lies on one side of an edge."""

    region: int
    """Index of the region; of those that overlap, the last. Or `AIR`, or `BEYOND`."""
    part: int
    """Index of the first part of the frame that this side lies in; -1 for none."""
    at: Point
    """A point on this side, close to the middle of the edge."""


class Edge(NamedTuple):
    """A straight piece of outline between two points, from `start` to `end`."""

    start: int
    end: int
    left: Side
    right: Side


@dataclass(frozen=True, slots=True)
class Arrangement:
    """Points and the edges between them; edges meet at points only."""

    points: tuple[Point, ...]
    edges: tuple[Edge, ...]


def arrange(
    regions: Sequence[Region],
    frame: Region,
    parts: Sequence[Region] = (),
    lines: Sequence[Line] = (),
) -> Arrangement:
    """Return the arrangement of regions in a frame.

    Args:
        regions: The solids.
        frame: The rectangle that is looked at.
        parts: What the frame is divided into; the outlines of the parts cut edges, too.
        lines: Lines at whose ends edges are cut, where they run along one.
    """
    outlines = shapely.boundary([*regions, frame, *parts])
    given = shapely.transform([*outlines, *lines], lambda c: (c / GRID).round() * GRID)
    cut = shapely.union_all(given)
    points, pairs = _pieces(cut)
    middles = [_beside(points[u], points[v]) for u, v in pairs]
    samples = [p for pair in middles for p in pair]
    owners, places = _found(regions, frame, parts, samples)
    sides = [Side(*s) for s in zip(owners, places, samples, strict=True)]
    edges = tuple(
        Edge(u, v, left, right)
        for (u, v), left, right in zip(pairs, sides[::2], sides[1::2], strict=True)
        if left[:2] != right[:2]
    )
    return Arrangement(points, edges)


def _pieces(
    cut: BaseGeometry,
) -> tuple[tuple[Point, ...], list[tuple[int, int]]]:
    """Return the points of lines, each once, and the straight pieces between them."""
    _, places, offsets = shapely.to_ragged_array([cut])
    keys = map(tuple, (places / GRID).round().astype(int).tolist())
    numbers: dict[tuple[int, int], int] = {}
    row = [numbers.setdefault((x, y), len(numbers)) for x, y in keys]
    starts = offsets[0].tolist()  # where each line starts in the row
    pairs = [(u, v) for i, j in pairwise(starts) for u, v in pairwise(row[i:j]) if u != v]
    points = tuple((x * GRID, y * GRID) for x, y in numbers)
    return points, _healed(points, pairs)


def _healed(
    points: Sequence[Point], pairs: Sequence[tuple[int, int]]
) -> list[tuple[int, int]]:
    """Return the pieces without what rounding has left apart.

    Points that all but coincide are made one, and a piece is cut at points that it all but
    runs through; of pieces that then coincide, one is kept.
    """
    same = list(range(len(points)))
    through: dict[int, list[int]] = {}
    for number, p in _passed(points, pairs):
        u, v = pairs[number]
        end = u if dist(points[p], points[u]) < dist(points[p], points[v]) else v
        if dist(points[p], points[end]) < SHORTEST:
            _merge(same, p, end)
        else:
            through.setdefault(number, []).append(p)
    for u, v in pairs:
        if dist(points[u], points[v]) < SHORTEST:
            _merge(same, u, v)
    out: dict[tuple[int, int], tuple[int, int]] = {}
    for number, (u, v) in enumerate(pairs):
        way = through.get(number, [])
        way.sort(key=lambda p: dist(points[u], points[p]))
        for a, b in pairwise(same[p] for p in (u, *way, v)):
            if a != b:
                out.setdefault((a, b) if a < b else (b, a), (a, b))
    return list(out.values())


def _passed(
    points: Sequence[Point], pairs: Sequence[tuple[int, int]]
) -> list[tuple[int, int]]:
    """Return which pieces all but run through which points that are not their ends."""
    places, ends = np.asarray(points), np.asarray(pairs)
    lines = np.asarray(shapely.linestrings(places[ends]), dtype=object)
    near, number = shapely.STRtree(lines).query(
        shapely.points(places), predicate="dwithin", distance=APART
    )
    inner = (ends[number, 0] != near) & (ends[number, 1] != near)
    return sorted(zip(number[inner].tolist(), near[inner].tolist(), strict=True))


def _merge(same: list[int], one: int, other: int) -> None:
    """Let one point stand for two."""
    low, high = sorted((same[one], same[other]))
    if low != high:
        same[:] = [low if k == high else k for k in same]


def _beside(a: Point, b: Point) -> tuple[Point, Point]:
    """Return a point to the left of the middle of a piece, and one to the right."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    span = hypot(dx, dy)
    off = min(ASIDE, max(span / 4.0, SHORTEST / 4.0)) / span
    x, y = (a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0
    return (x - dy * off, y + dx * off), (x + dy * off, y - dx * off)


def _found(
    regions: Sequence[Region],
    frame: Region,
    parts: Sequence[Region],
    samples: Sequence[Point],
) -> tuple[list[int], list[int]]:
    """Return in which region and in which part each point lies."""
    xs, ys = [p[0] for p in samples], [p[1] for p in samples]
    x0, y0, x1, y1 = frame.bounds
    owners = [
        AIR if x0 < x < x1 and y0 < y < y1 else BEYOND for x, y in zip(xs, ys, strict=True)
    ]
    places = [-1] * len(samples)
    tree = shapely.STRtree(shapely.points(samples))
    for i, index in _within(tree, regions):
        if owners[i] != BEYOND:
            owners[i] = index
    for i, index in reversed(_within(tree, parts)):
        places[i] = index
    return owners, places


def _within(tree: shapely.STRtree, regions: Sequence[Region]) -> list[tuple[int, int]]:
    """Return which points of a tree lie in which regions, in the order of the regions."""
    if not regions:
        return []
    number, point = tree.query(regions, predicate="contains")
    order = np.argsort(number, kind="stable")
    return list(zip(point[order].tolist(), number[order].tolist(), strict=True))


def nearest_on(a: Point, b: Point, p: Point) -> Point:
    """Return the point of a straight piece that is nearest to a point."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    t = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square if square else 0.0
    t = min(max(t, 0.0), 1.0)
    return (a[0] + t * dx, a[1] + t * dy)


def away_from(line: Line, p: Point) -> float:
    """Return how far a point lies from a polyline, mm."""
    best = float("inf")
    for a, b in pairwise(shapely.get_coordinates(line).tolist()):
        q = nearest_on((a[0], a[1]), (b[0], b[1]), p)
        best = min(best, hypot(p[0] - q[0], p[1] - q[1]))
    return best


def inside(region: Region, points: Sequence[Point]) -> list[bool]:
    """Tell of each point whether it lies inside a region."""
    found = shapely.contains_xy(region, [p[0] for p in points], [p[1] for p in points])
    return found.tolist()
