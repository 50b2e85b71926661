"""Strips: the solid that a sheet of constant thickness makes on a stretch of surface."""

from collections.abc import Sequence
from itertools import pairwise
from math import dist, hypot

from shapely import LineString, union_all

from detailgen.geometry import Line, Point, Region
from detailgen.geometry.surfaces import SAME, turn

INTO = 1e-4
"""How far a mitre reaches into the slabs beside it, as a part of its length."""


def normal(a: Point, b: Point) -> Point:
    """Return the unit normal of a segment, to its left (the air side)."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    span = hypot(dx, dy)
    return (-dy / span, dx / span)


def parallel(line: Sequence[Point], thickness: float) -> list[Point] | None:
    """Return the line offset to its left with mitred corners, ends square.

    None when a straight is too short to be offset so (it would run backward): the caller
    then builds the strip from its pieces.
    """
    line = _corners(line)
    normals = [normal(a, b) for a, b in pairwise(line)]
    first, last = normals[0], normals[-1]
    out = [(line[0][0] + thickness * first[0], line[0][1] + thickness * first[1])]
    for p, n, m in zip(line[1:-1], normals[:-1], normals[1:], strict=True):
        scale = 1.0 + n[0] * m[0] + n[1] * m[1]
        if scale < 1e-6:  # the line folds back on itself
            return None
        out.append((
            p[0] + thickness * (n[0] + m[0]) / scale,
            p[1] + thickness * (n[1] + m[1]) / scale,
        ))
    out.append((line[-1][0] + thickness * last[0], line[-1][1] + thickness * last[1]))
    for (a, b), (c, d) in zip(pairwise(line), pairwise(out), strict=True):
        if (b[0] - a[0]) * (d[0] - c[0]) + (b[1] - a[1]) * (d[1] - c[1]) <= 0.0:
            return None
    return out


def _corners(line: Sequence[Point]) -> list[Point]:
    """Return the line without repeated points and those at which it goes straight on."""
    kept = [line[0]]
    for p, q in pairwise(line[1:]):
        a = kept[-1]
        if dist(a, p) <= SAME or dist(p, q) <= SAME:
            continue
        n = normal(a, q) if dist(a, q) > SAME else (0.0, 0.0)
        off = abs((p[0] - a[0]) * n[0] + (p[1] - a[1]) * n[1])
        ahead = (p[0] - a[0]) * (q[0] - p[0]) + (p[1] - a[1]) * (q[1] - p[1]) > 0.0
        if off > SAME or not ahead:
            kept.append(p)
    return [*kept, line[-1]]


def pieced(line: Sequence[Point], thickness: float, solid: Region) -> Region | None:
    """Return the strip built piece by piece and cut by what is already there.

    A slab on every segment, with a mitre at every outside corner, less the solid. None when
    nothing in one piece is left.
    """
    parts: list[Region] = []
    normals = [normal(a, b) for a, b in pairwise(line)]
    for (a, b), n in zip(pairwise(line), normals, strict=True):
        up = (n[0] * thickness, n[1] * thickness)
        parts.append(
            Region([a, b, (b[0] + up[0], b[1] + up[1]), (a[0] + up[0], a[1] + up[1])])
        )
    corners = zip(line[:-2], line[1:-1], line[2:], normals[:-1], normals[1:], strict=True)
    for a, b, c, n, m in corners:
        scale = 1.0 + n[0] * m[0] + n[1] * m[1]
        if turn(a, b, c) >= 0.0 or scale < 0.2:
            continue
        tip = (
            b[0] + thickness * (n[0] + m[0]) / scale,
            b[1] + thickness * (n[1] + m[1]) / scale,
        )
        # it starts a hair below the corner, or rounding would part it from the slabs
        parts.append(
            Region([
                (b[0] + INTO * (b[0] - tip[0]), b[1] + INTO * (b[1] - tip[1])),
                (b[0] + thickness * n[0], b[1] + thickness * n[1]),
                tip,
                (b[0] + thickness * m[0], b[1] + thickness * m[1]),
            ])
        )
    sound = [p for p in parts if p.is_valid and p.area > 0.0]
    cut = union_all(sound).difference(solid)
    pieces = [g for g in getattr(cut, "geoms", [cut]) if isinstance(g, Region)]
    pieces = [g for g in pieces if g.area > 1e-9]
    if not pieces:
        return None
    return max(pieces, key=lambda g: g.area)


def ribbon(centre: Sequence[Point], thickness: float) -> Region:
    """Return sheet metal bent along its centre line: mitred bends, square ends.

    A fold that lies back on itself closes to a solid double thickness.
    """
    tidy = [centre[0]]
    for p in centre[1:]:
        if dist(tidy[-1], p) > SAME:
            tidy.append(p)
    bent = LineString(tidy).buffer(
        thickness / 2.0, cap_style="flat", join_style="mitre", mitre_limit=4.0
    )
    assert isinstance(bent, Region), "a metal profile is one piece"
    return bent


def polyline(points: Sequence[Point]) -> Line:
    """Return a polyline through points."""
    return Line(points)
