"""Columns: what lies over what along a line, whichever way the line runs."""

# The library types the functions that also take arrays in part only.
# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import dist

import numpy as np
import shapely
from numpy.typing import NDArray

from detailgen.geometry import Point, Region

Rings = tuple[tuple[Point, ...], ...]
"""A region's rings, outer one first, each without its first point repeated."""
Span = tuple[float, float, int]
"""From where to where a column runs through a region, and the region's index."""

NARROWEST = 0.02
"""Columns narrower than this, mm, are rounding of the drawing and are left out."""
TOUCHING = 0.05
"""Two layers closer than this, mm, lie on one another."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column square to a line, between two neighbouring corners of what it cuts.

    Inside it the same layers lie over one another all along, so that its middle line
    stands for the whole of it.
    """

    at: Point
    """Where its middle line crosses the line."""
    width: float
    spans: tuple[Span, ...]
    """In the order of their lower ends; heights count to the left of the line."""


@dataclass(frozen=True, slots=True, eq=False)
class Outlines:
    """The rings of several regions in arrays, to be cut along many lines."""

    corners: NDArray[np.float64]
    """All corners, n x 2."""
    before: NDArray[np.intp]
    """Of each corner the one before it in its ring: an edge runs from there."""
    owner: NDArray[np.intp]
    """Of each corner the index of its region."""


def rings(region: Region) -> Rings:
    """Return the rings of a region as plain numbers."""
    found = [region.exterior, *region.interiors]
    return tuple(
        tuple((x, y) for x, y in shapely.get_coordinates(ring)[:-1].tolist())
        for ring in found
    )


def outlines(shapes: Sequence[Rings]) -> Outlines:
    """Return the rings of regions in arrays."""
    corners: list[Point] = []
    before: list[int] = []
    owner: list[int] = []
    for index, shape in enumerate(shapes):
        for ring in shape:
            first = len(corners)
            corners += ring
            before += [len(corners) - 1, *range(first, len(corners) - 1)]
            owner += [index] * len(ring)
    return Outlines(
        np.array(corners, float).reshape(-1, 2),
        np.array(before, np.intp),
        np.array(owner, np.intp),
    )


def columns(shapes: Sequence[Rings] | Outlines, start: Point, end: Point) -> list[Column]:
    """Return the columns that stand on the line from start to end, in its order.

    The line is cut at every corner of every shape, so nothing between two cuts is missed.
    Works in any direction: heights are measured square to the line, to its left, from 0
    on the line itself.
    """
    length = dist(start, end)
    if length < NARROWEST:
        return []
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    given = shapes if isinstance(shapes, Outlines) else outlines(shapes)
    u, v = _turned(given, start, ux, uy)
    marks = sorted({0.0, length, *u[(u > 0.0) & (u < length)].tolist()})
    cuts = [(a, b) for a, b in pairwise(marks) if b - a >= NARROWEST]
    middles = [(a + b) / 2.0 for a, b in cuts]
    return [
        Column((start[0] + at * ux, start[1] + at * uy), b - a, spans)
        for (a, b), at, spans in zip(cuts, middles, _met(given, u, v, middles), strict=True)
    ]


def column_at(shapes: Sequence[Rings], foot: Point, across: Point) -> tuple[Span, ...]:
    """Return what one line meets that starts at a foot and runs across (a unit vector)."""
    given = outlines(shapes)
    u, v = _turned(given, foot, across[1], -across[0])
    return _met(given, u, v, [0.0])[0]


def stacked(
    spans: Iterable[Span], level: float, *, upward: bool, gap: float = TOUCHING
) -> list[Span]:
    """Return the spans that follow one another from a level on.

    Args:
        spans: What a column meets.
        level: Where to start.
        upward: Toward larger heights; else toward smaller ones.
        gap: A wider gap than this, mm, ends the stack.
    """
    found: list[Span] = []
    near, far, sign = (0, 1, 1.0) if upward else (1, 0, -1.0)
    for span in sorted(spans, key=lambda s: sign * s[near]):
        if sign * (span[far] - level) <= 1e-6:
            continue
        if sign * (span[near] - level) > gap:
            break
        found.append(span)
        level = span[far]
    return found


def _turned(
    shapes: Outlines, start: Point, ux: float, uy: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return where all corners are: along a line, and how high over it."""
    x, y = shapes.corners[:, 0] - start[0], shapes.corners[:, 1] - start[1]
    return x * ux + y * uy, y * ux - x * uy


def _met(
    shapes: Outlines,
    u: NDArray[np.float64],
    v: NDArray[np.float64],
    middles: Sequence[float],
) -> list[tuple[Span, ...]]:
    """Return what the middle line of each column meets.

    Args:
        shapes: What is cut.
        u: Where its corners are along the line.
        v: Their heights over it.
        middles: Where the middle lines stand, rising.
    """
    u0, v0 = u[shapes.before], v[shapes.before]
    at = np.array(middles)
    first = np.searchsorted(at, np.minimum(u0, u))
    count = np.searchsorted(at, np.maximum(u0, u)) - first
    edge = np.repeat(np.arange(len(u)), count)
    place = np.arange(len(edge)) + np.repeat(first - np.cumsum(count) + count, count)
    run, rise = u[edge] - u0[edge], v[edge] - v0[edge]
    height = v0[edge] + rise * (at[place] - u0[edge]) / run
    order = np.lexsort((height, shapes.owner[edge], place))
    height, place, owner = height[order], place[order], shapes.owner[edge[order]]
    low, high, owner, place = height[::2], height[1::2], owner[::2], place[::2]
    order = np.lexsort((owner, high, low, place))
    every = zip(
        low[order].tolist(), high[order].tolist(), owner[order].tolist(), strict=True
    )
    spans = tuple(every)
    ends = np.searchsorted(place, np.arange(len(middles) + 1)).tolist()
    return [spans[a:b] for a, b in pairwise(ends)]
