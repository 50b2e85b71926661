"""What a drawing asks of shapes: spots for leaders, bands along joints, film by a face."""

# The library types the functions that also take arrays in part only.
# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import fsum

import numpy as np
import shapely

from detailgen.geometry import Line, Point, Region
from detailgen.geometry.joints import lines_in
from detailgen.geometry.regions import mitred, pieces

_SHY = 0.05
"""An edge this near to another's, mm, coincides with it."""
_SCANS = 9
"""Scan lines each way when spots are looked for."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A point inside a region, and how much room there is about it, mm."""

    at: Point
    clear: float
    """Distance to the nearest edge."""
    lie: Point
    """Direction of the nearest edge, a unit vector."""


def spots(region: Region, near: float = 0.0) -> list[Spot]:
    """Return points well inside a region, spread over it: middles of scan lines.

    A region too odd for scan lines still gives one.

    Args:
        region: Where the points lie.
        near: If given, long scan lines also have a point this near to their left or upper
            end, mm.
    """
    rings = [list(region.exterior.coords), *(list(r.coords) for r in region.interiors)]
    edges = [(a[0], a[1], b[0], b[1]) for ring in rings for a, b in pairwise(ring)]
    turned = [(y0, x0, y1, x1) for x0, y0, x1, y1 in edges]
    x0, y0, x1, y1 = region.bounds
    found: list[Point] = []
    for i in range(_SCANS):
        part = (i + 0.5) / _SCANS + 1e-4 * (i - _SCANS / 3)
        y, x = y0 + (y1 - y0) * part, x0 + (x1 - x0) * part
        level, upright = _chords(edges, y), _chords(turned, x)
        found += [((a + b) / 2, y) for a, b in level]
        found += [(x, (a + b) / 2) for a, b in upright]
        if near:
            found += [(a + near, y) for a, b in level if b - a > 3 * near]
            found += [(x, b - near) for a, b in upright if b - a > 3 * near]
    if not found:
        inside = region.representative_point()
        found = [(inside.x, inside.y)]
    boundary = region.boundary
    shapely.prepare(boundary)
    points = shapely.points(found)
    clear = shapely.distance(boundary, points)
    ring = region.exterior
    where = shapely.line_locate_point(ring, points)
    step = 1e-3 * ring.length
    ahead = shapely.get_coordinates(shapely.line_interpolate_point(ring, where + step))
    back = shapely.get_coordinates(
        shapely.line_interpolate_point(ring, np.maximum(where - step, 0.0))
    )
    run = ahead - back
    size = np.maximum(np.hypot(run[:, 0], run[:, 1]), 1e-12)
    return [
        Spot(at, float(room), (float(dx / n), float(dy / n)))
        for at, room, (dx, dy), n in zip(found, clear, run, size, strict=True)
    ]


def _chords(
    edges: list[tuple[float, float, float, float]], y: float
) -> list[tuple[float, float]]:
    """Return where the level line at `y` is inside, as intervals of x."""
    hits = sorted(
        x0 + (x1 - x0) * (y - y0) / (y1 - y0)
        for x0, y0, x1, y1 in edges
        if (y0 <= y) != (y1 <= y)
    )
    return list(zip(hits[::2], hits[1::2], strict=True))


def free_of(
    boxes: Sequence[tuple[float, float, float, float]], regions: Sequence[Region]
) -> list[bool]:
    """Return for each upright box whether no region reaches into it."""
    if not regions or not boxes:
        return [True] * len(boxes)
    tree = shapely.STRtree(list(regions))
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    hit = tree.query(shapely.box(x0, y0, x1, y1), predicate="intersects")[0]
    taken = set(hit.tolist())
    return [i not in taken for i in range(len(boxes))]


def run_into(
    segments: Sequence[tuple[Point, Point]], regions: Sequence[Region]
) -> list[int]:
    """Return for each segment how many regions it touches."""
    counts = [0] * len(segments)
    if not segments or not regions:
        return counts
    tree = shapely.STRtree(list(regions))
    lines = shapely.linestrings(np.array(segments))
    for index in tree.query(lines, predicate="intersects")[0].tolist():
        counts[index] += 1
    return counts


def band(line: Line, width: float) -> list[Region]:
    """Return the strip of a given width that has a polyline as its middle."""
    return pieces(mitred(line, width / 2))


def film_inside(line: Line, region: Region, depth: float) -> list[Line]:
    """Return the line shifted by `depth` into the region on whose boundary it lies."""
    for side in (depth, -depth):
        moved = line.offset_curve(side, join_style="mitre")
        kept = lines_in(moved.intersection(region))
        if fsum(g.length for g in kept) > 0.5 * moved.length:
            return kept
    return []


def run_along(region: Region, course: Line) -> list[Line]:
    """Return the stretches of a course that lie in a region."""
    return lines_in(course.intersection(region))


def covered_edges(region: Region, covers: Sequence[Region]) -> list[Line]:
    """Return the stretches of a region's outline that lie well under others."""
    if not covers:
        return []
    over = shapely.union_all(list(covers)).buffer(-_SHY)
    return lines_in(region.exterior.intersection(over))
