"""The arrangement of a drawing: outlines cut at one another into edges between faces."""

# The library types the functions that also take arrays in part only.
# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import dist
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
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
    cuts: tuple[Edge, ...] = ()
    """All pieces of outline, those between sides that are the same included."""
    shared: Mapping[Point, tuple[int, ...]] = field(
        default_factory=dict[Point, tuple[int, ...]]
    )
    """Of sides on which several regions overlap all of them, rising."""

    def of(self, kept: Sequence[int]) -> "Arrangement":
        """Return the arrangement of some of the regions, counted anew in the order given.

        Edges stay cut where the outlines of the others have cut them.

        Args:
            kept: Indices of the regions that stay, rising.
        """
        number = {old: new for new, old in enumerate(kept)}

        def left_of(side: Side) -> Side:
            if side.region < 0 or number.get(side.region) == side.region:
                return side
            among = self.shared.get(side.at, (side.region,))
            found = [number[r] for r in among if r in number]
            return Side(found[-1] if found else AIR, side.part, side.at)

        cuts = tuple(Edge(e[0], e[1], left_of(e[2]), left_of(e[3])) for e in self.cuts)
        return Arrangement(self.points, _between(cuts))


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
    samples = _beside(np.asarray(points)[np.asarray(pairs)])
    owners, places, shared = _found(regions, frame, parts, samples)
    at: list[Point] = [(x, y) for x, y in samples.tolist()]
    sides = list(map(Side._make, zip(owners, places, at, strict=True)))
    cuts = tuple(
        Edge(u, v, left, right)
        for (u, v), left, right in zip(pairs, sides[::2], sides[1::2], strict=True)
    )
    several = {at[i]: among for i, among in shared.items()}
    return Arrangement(points, _between(cuts), cuts, several)


def _between(cuts: Iterable[Edge]) -> tuple[Edge, ...]:
    """Return the pieces of outline whose two sides differ."""
    return tuple(e for e in cuts if e.left[:2] != e.right[:2])


def _pieces(
    cut: BaseGeometry,
) -> tuple[tuple[Point, ...], list[tuple[int, int]]]:
    """Return the points of lines, each once, and the straight pieces between them."""
    places, line = shapely.get_coordinates(shapely.get_parts(cut), return_index=True)
    keys = map(tuple, (places / GRID).round().astype(int).tolist())
    numbers: dict[tuple[int, int], int] = {}
    row = [numbers.setdefault((x, y), len(numbers)) for x, y in keys]
    on = (line[1:] == line[:-1]).tolist()
    pairs = [
        (u, v)
        for (u, v), joined in zip(pairwise(row), on, strict=True)
        if joined and u != v
    ]
    points = tuple((x * GRID, y * GRID) for x, y in numbers)
    return points, _healed(points, pairs)


def _healed(
    points: Sequence[Point], pairs: Sequence[tuple[int, int]]
) -> list[tuple[int, int]]:
    """Return the pieces without what rounding has left apart.

    Points that all but coincide are made one, and a piece is cut at points that it all but
    runs through; of pieces that then coincide, one is kept.
    """
    places, ends = np.asarray(points), np.asarray(pairs)
    passed = _passed(places, ends)
    along = places[ends[:, 1]] - places[ends[:, 0]]
    short = np.flatnonzero(np.hypot(along[:, 0], along[:, 1]) < SHORTEST).tolist()
    out: dict[tuple[int, int], tuple[int, int]] = {}
    if not passed and not short:
        for u, v in pairs:
            out.setdefault((u, v) if u < v else (v, u), (u, v))
        return list(out.values())
    same = list(range(len(points)))
    through: dict[int, list[int]] = {}
    for number, p in passed:
        u, v = pairs[number]
        end = u if dist(points[p], points[u]) < dist(points[p], points[v]) else v
        if dist(points[p], points[end]) < SHORTEST:
            _merge(same, p, end)
        else:
            through.setdefault(number, []).append(p)
    for number in short:
        _merge(same, *pairs[number])
    for number, (u, v) in enumerate(pairs):
        way = through.get(number, [])
        way.sort(key=lambda p: dist(points[u], points[p]))
        for a, b in pairwise(same[p] for p in (u, *way, v)):
            if a != b:
                out.setdefault((a, b) if a < b else (b, a), (a, b))
    return list(out.values())


def _passed(places: NDArray[np.float64], ends: NDArray[np.int64]) -> list[tuple[int, int]]:
    """Return which pieces all but run through which points that are not their ends."""
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


def _beside(ends: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return of each piece a point to the left of its middle, and one to the right.

    Args:
        ends: Start and end of every piece, n x 2 x 2.

    Returns:
        Left and right in turn, 2n x 2.
    """
    along = ends[:, 1] - ends[:, 0]
    span = np.hypot(along[:, 0], along[:, 1])
    off = np.minimum(ASIDE, np.maximum(span / 4.0, SHORTEST / 4.0)) / span
    middle = (ends[:, 0] + ends[:, 1]) / 2.0
    aside = np.column_stack((-along[:, 1] * off, along[:, 0] * off))
    return np.stack((middle + aside, middle - aside), axis=1).reshape(-1, 2)


def _found(
    regions: Sequence[Region],
    frame: Region,
    parts: Sequence[Region],
    samples: NDArray[np.float64],
) -> tuple[list[int], list[int], dict[int, tuple[int, ...]]]:
    """Return in which region and in which part each point lies; and those in several."""
    x0, y0, x1, y1 = frame.bounds
    framed = ((samples > (x0, y0)) & (samples < (x1, y1))).all(axis=1)
    owners = np.where(framed, AIR, BEYOND)
    places = np.full(len(samples), -1)
    tree = shapely.STRtree(np.asarray(shapely.points(samples), dtype=object))
    shared: dict[int, tuple[int, ...]] = {}
    for number, index in _within(tree, regions):
        for i in index[owners[index] >= 0].tolist():
            shared[i] = (*shared.get(i, (int(owners[i]),)), number)
        owners[index] = number
    for number, index in reversed(_within(tree, parts)):
        places[index] = number
    owners[~framed] = BEYOND
    return owners.tolist(), places.tolist(), shared


def _within(
    tree: shapely.STRtree, regions: Sequence[Region]
) -> list[tuple[int, NDArray[np.int64]]]:
    """Return of each region which points of a tree lie in it, in their order."""
    if not regions:
        return []
    number, point = tree.query(regions, predicate="contains")
    return [(n, point[number == n]) for n in np.unique(number).tolist()]


def nearest_on(a: Point, b: Point, p: Point) -> Point:
    """Return the point of a straight piece that is nearest to a point."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    t = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square if square else 0.0
    t = min(max(t, 0.0), 1.0)
    return (a[0] + t * dx, a[1] + t * dy)


def corners_of(line: Line) -> list[Point]:
    """Return the corners of a polyline."""
    return [(x, y) for x, y in shapely.get_coordinates(line).tolist()]


def away_from(corners: Sequence[Point], p: Point) -> float:
    """Return how far a point lies from a polyline, given by its corners, mm."""
    return min(dist(nearest_on(a, b, p), p) for a, b in pairwise(corners))


def inside(region: Region, points: Sequence[Point]) -> list[bool]:
    """Tell of each point whether it lies inside a region."""
    found = shapely.contains_xy(region, [p[0] for p in points], [p[1] for p in points])
    return found.tolist()
