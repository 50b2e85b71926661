"""Ends of sheets: where they are cut, drawn out, and fitted against a face."""

from math import dist

from detailgen.geometry import Point, Region
from detailgen.geometry.regions import polygon
from detailgen.geometry.surfaces import SAME


def onto_upright(a: Point, b: Point, x: float) -> Point:
    """Return the point with this x on the line through a and b (a itself if upright)."""
    if abs(b[0] - a[0]) < SAME:
        return a
    return (x, a[1] + (b[1] - a[1]) * (x - a[0]) / (b[0] - a[0]))


def beyond(a: Point, b: Point, more: float) -> Point:
    """Return the end of the segment a-b drawn out by `more`."""
    span = dist(a, b)
    return (b[0] + (b[0] - a[0]) / span * more, b[1] + (b[1] - a[1]) / span * more)


def behind(a: Point, b: Point, reach: float) -> Region:
    """Return a square that ends at a, with the segment a-b ahead of it."""
    span = dist(a, b)
    ux, uy = (b[0] - a[0]) / span * reach, (b[1] - a[1]) / span * reach
    return polygon([
        (a[0] - uy, a[1] + ux),
        (a[0] - uy - ux, a[1] + ux - uy),
        (a[0] + uy - ux, a[1] - ux - uy),
        (a[0] + uy, a[1] - ux),
    ])


def meeting(a: Point, b: Point, c: Point, d: Point) -> Point | None:
    """Return where the line a-b meets the segment c-d, or None."""
    rx, ry, sx, sy = b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]
    cross = rx * sy - ry * sx
    if abs(cross) < 1e-9:
        return None
    t = ((c[0] - a[0]) * ry - (c[1] - a[1]) * rx) / cross
    if not -SAME <= t <= 1.0:
        return None
    return (c[0] + t * sx, c[1] + t * sy)
