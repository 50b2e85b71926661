"""Small exact plane geometry on paper: segments, boxes, turned boxes, polygons."""

from collections.abc import Sequence
from itertools import pairwise
from math import cos, hypot, radians, sin
from typing import Final

from detailgen.geometry import Point

Box = tuple[float, float, float, float]
"""x0, y0, x1, y1 in paper mm."""
Segment = tuple[Point, Point]
HAIR: Final = 1e-6
"""Less than this, mm, is touching."""


def grow(box: Box, by: float) -> Box:
    """Return the box made larger on all sides."""
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def hull(boxes: Sequence[Box]) -> Box:
    """Return the least box that holds all boxes."""
    return (
        min(b[0] for b in boxes),
        min(b[1] for b in boxes),
        max(b[2] for b in boxes),
        max(b[3] for b in boxes),
    )


def around(points: Sequence[Point]) -> Box:
    """Return the least box that holds all points."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def apart(a: Box, b: Box) -> bool:
    """Return whether two boxes share no more than an edge."""
    return (
        a[2] <= b[0] + HAIR
        or b[2] <= a[0] + HAIR
        or a[3] <= b[1] + HAIR
        or b[3] <= a[1] + HAIR
    )


def inside(inner: Box, outer: Box) -> bool:
    """Return whether a box lies inside another."""
    return (
        inner[0] >= outer[0] - HAIR
        and inner[1] >= outer[1] - HAIR
        and inner[2] <= outer[2] + HAIR
        and inner[3] <= outer[3] + HAIR
    )


def turn(o: Point, a: Point, b: Point) -> float:
    """Return twice the signed area of the triangle: positive when it turns left."""
    return (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])


def cross(s: Segment, t: Segment) -> bool:
    """Return whether two segments share a point, ends included."""
    (a, b), (c, d) = s, t
    if max(a[0], b[0]) < min(c[0], d[0]) - HAIR or max(c[0], d[0]) < min(a[0], b[0]) - HAIR:
        return False
    if max(a[1], b[1]) < min(c[1], d[1]) - HAIR or max(c[1], d[1]) < min(a[1], b[1]) - HAIR:
        return False
    p, q = turn(a, b, c), turn(a, b, d)
    r, u = turn(c, d, a), turn(c, d, b)
    return p * q <= 0 and r * u <= 0


def distance(point: Point, segment: Segment) -> float:
    """Return the distance of a point from a segment."""
    (x0, y0), (x1, y1) = segment
    dx, dy = x1 - x0, y1 - y0
    square = dx * dx + dy * dy
    if square == 0.0:
        return hypot(point[0] - x0, point[1] - y0)
    part = ((point[0] - x0) * dx + (point[1] - y0) * dy) / square
    part = min(1.0, max(0.0, part))
    return hypot(point[0] - x0 - part * dx, point[1] - y0 - part * dy)


def in_box(segment: Segment, box: Box) -> bool:
    """Return whether a segment and a box share a point, borders included."""
    (x0, y0), (x1, y1) = segment
    if max(x0, x1) < box[0] or min(x0, x1) > box[2]:
        return False
    if max(y0, y1) < box[1] or min(y0, y1) > box[3]:
        return False
    corners = [(box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3])]
    if any(box[0] <= x <= box[2] and box[1] <= y <= box[3] for x, y in segment):
        return True
    sides = list(pairwise([*corners, corners[0]]))
    return any(cross(segment, side) for side in sides)


def turned(at: Point, box: Box, degrees: float) -> tuple[Point, ...]:
    """Return the corners of a box about the origin, turned and moved to `at`."""
    x0, y0, x1, y1 = box
    c, s = cos(radians(degrees)), sin(radians(degrees))
    return tuple(
        (at[0] + x * c - y * s, at[1] + x * s + y * c)
        for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    )


def edges(ring: Sequence[Point]) -> list[Segment]:
    """Return the sides of a closed ring."""
    return [(a, b) for a, b in zip(ring, [*ring[1:], ring[0]], strict=True) if a != b]


def in_ring(point: Point, ring: Sequence[Point]) -> bool:
    """Return whether a point lies inside a closed ring (even-odd)."""
    x, y = point
    found = False
    for (x0, y0), (x1, y1) in edges(ring):
        if (y0 > y) != (y1 > y) and x < x0 + (x1 - x0) * (y - y0) / (y1 - y0):
            found = not found
    return found


def cuts_quad(segment: Segment, quad: Sequence[Point]) -> bool:
    """Return whether any of a segment lies in a convex quadrilateral (anticlockwise)."""
    (x0, y0), (x1, y1) = segment
    start, end = 0.0, 1.0
    for a, b in edges(quad):
        # Distance to the left of each side, times its length: must stay positive inside.
        first, last = turn(a, b, (x0, y0)), turn(a, b, (x1, y1))
        if first < HAIR and last < HAIR:
            return False
        if first < 0.0:
            start = max(start, first / (first - last))
        elif last < 0.0:
            end = min(end, first / (first - last))
        if start >= end:
            return False
    return True


def quads_meet(a: Sequence[Point], b: Sequence[Point]) -> bool:
    """Return whether two convex quadrilaterals share an area (separating sides)."""
    for one, other in ((a, b), (b, a)):
        for p, q in edges(one):
            if all(turn(p, q, corner) <= HAIR for corner in other):
                return False
    return True
