"""Measures: lengths and areas of parts of lines and regions."""

# The library types the functions that also take arrays in part only.
# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false

from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from itertools import pairwise
from math import dist, inf, sqrt

import shapely
from shapely import GEOSException
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from detailgen.geometry import Line, Point, Region
from detailgen.geometry.columns import TOUCHING
from detailgen.geometry.regions import GRID, box, mitred, overlap_area


def length_beyond(line: Line, x: float) -> float:
    """Return how much of a polyline lies to the right of x, mm."""
    total = 0.0
    for (x0, y0), (x1, y1) in pairwise(line.coords):
        low, high = min(x0, x1), max(x0, x1)
        if low >= x:
            total += dist((x0, y0), (x1, y1))
        elif high > x:
            total += dist((x0, y0), (x1, y1)) * (high - x) / (high - low)
    return total


def length_near(line: Line, region: Region, reach: float) -> float:
    """Return how much of a line lies within so far of a region."""
    return line.intersection(region.buffer(reach)).length


def rim_gap(outer: Region, inner: Region) -> tuple[float, Point]:
    """Return how near the rim of a region comes to that of one about it, and where.

    A region that reaches out of the other has no gap: 0, at a corner of what reaches out.
    """
    if not outer.buffer(1e-6).contains(inner):
        x, y = inner.difference(outer).representative_point().coords[0][:2]
        return 0.0, (x, y)
    near, _ = nearest_points(inner.exterior, outer.exterior)
    return inner.exterior.distance(outer.exterior), (near.x, near.y)


def area_beyond(region: Region, x: float) -> float:
    """Return how much of a region lies to the right of x, mm2."""
    x0, y0, x1, y1 = region.bounds
    if x <= x0:
        return region.area
    return overlap_area(region, box(x, y0 - 1.0, x1 + 1.0, y1 + 1.0)) if x < x1 else 0.0


def size(region: Region) -> tuple[float, float]:
    """Return the width and the height of a region's upright bounding box, mm."""
    x0, y0, x1, y1 = region.bounds
    return x1 - x0, y1 - y0


def strip_thickness(region: Region) -> float:
    """Return the mean thickness of a long thin region, from its area and outline, mm.

    A strip of length L and thickness t has the area L t and the outline 2 L + 2 t. Mitred
    bends keep both.
    """
    half = region.length / 2.0
    square = half * half - 4.0 * region.area
    return (half - sqrt(max(square, 0.0))) / 2.0


def uncovered(line: Line, covers: Sequence[Line]) -> list[Line]:
    """Return the stretches of a line on which none of the other lines lies."""
    left: BaseGeometry = line
    for cover in covers:
        left = left.difference(cover.buffer(TOUCHING / 5.0))
    found = [g for g in getattr(left, "geoms", [left]) if isinstance(g, Line)]
    return [g for g in found if g.length > 2.0 * TOUCHING]


def overlaps(
    regions: Sequence[Region], pairs: Iterable[tuple[int, int]]
) -> list[tuple[int, int, float, Point]]:
    """Return which of the pairs of regions share area: indices, mm2 and a point inside."""
    boxes = shapely.bounds(list(regions)).tolist()
    first: list[int] = []
    second: list[int] = []
    for i, j in pairs:
        (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = boxes[i], boxes[j]
        wide, high = min(ax1, bx1) - max(ax0, bx0), min(ay1, by1) - max(ay0, by0)
        if wide > 1e-6 and high > 1e-6:
            first.append(i)
            second.append(j)
    if not first:
        return []
    ones, others = [regions[i] for i in first], [regions[j] for j in second]
    try:
        shared = shapely.intersection(ones, others)
    except GEOSException:  # edges that coincide but for rounding
        shared = shapely.intersection(ones, others, grid_size=GRID)
    out: list[tuple[int, int, float, Point]] = []
    for i, j, rough in zip(first, second, shared, strict=True):
        if rough.area > 1e-9:
            # on nearly coincident edges the plain overlay can answer with a whole region
            shape = shapely.intersection(regions[i], regions[j], grid_size=GRID)
            if shape.area > 1e-9:
                inside = shape.representative_point()
                out.append((i, j, shape.area, (inside.x, inside.y)))
    return out


ROUNDING = 1e-3
"""mm2 by which a union of many regions may differ from their sum by rounding alone."""


@dataclass(frozen=True, slots=True)
class Fused:
    """What regions are together: the area that they cover, and the holes they leave."""

    area: float
    holes: tuple[Region, ...]


def fused(regions: Sequence[Region]) -> Fused:
    """Return regions as one; cracks narrower than rounding are closed for the holes."""
    shapes = list(regions)
    whole: BaseGeometry | None = None
    with suppress(GEOSException):  # edges that coincide but for rounding
        whole = shapely.union_all(shapes)
    parts = float(shapely.area(shapes).sum())
    if whole is None or abs(whole.area - parts) > ROUNDING:
        # they overlap; or the plain union lost one whose edges nearly coincide
        whole = shapely.union_all(shapes, grid_size=GRID)
    closed = mitred(whole, TOUCHING / 500.0)
    parts = [g for g in getattr(closed, "geoms", [closed]) if isinstance(g, Region)]
    return Fused(whole.area, tuple(Region(ring) for g in parts for ring in g.interiors))


def inner_point(region: Region) -> Point:
    """Return a point that surely lies inside a region."""
    inside = region.representative_point()
    return (inside.x, inside.y)


def stretches(line: Line, low: float, high: float) -> list[tuple[Point, Point]]:
    """Return the pieces of a polyline between two x, in its order; upright ones too."""
    found: list[tuple[Point, Point]] = []
    for (x0, y0), (x1, y1) in pairwise(line.coords):
        if max(x0, x1) < low or min(x0, x1) > high:
            continue
        ends = [(x0, y0), (x1, y1)]
        for i, x in enumerate((x0, x1)):
            at = min(max(x, low), high)
            if at != x:
                ends[i] = (at, y0 + (y1 - y0) * (at - x0) / (x1 - x0))
        if ends[0] != ends[1]:
            found.append((ends[0], ends[1]))
    return found


def area_between(region: Region, low: float, high: float) -> float:
    """Return how much of a region lies between two x, mm2."""
    x0, y0, x1, y1 = region.bounds
    if low <= x0 and x1 <= high:
        return region.area
    low, high = max(low, x0 - 1.0), min(high, x1 + 1.0)
    return overlap_area(region, box(low, y0 - 1.0, high, y1 + 1.0)) if low < high else 0.0


def moved_by(one: Region, other: Region, window: Region) -> float:
    """Return how far the outlines of two regions are apart at most, within a window.

    Infinite where only one of them is seen there, 0 where neither is.
    """
    a, b = (shapely.intersection(region, window) for region in (one, other))
    if a.is_empty or b.is_empty:
        return 0.0 if a.is_empty and b.is_empty else inf
    return float(a.hausdorff_distance(b))
