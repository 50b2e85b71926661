"""Rays and crossings: what lies in front of a face, and where a line runs through."""

# The library types the results of overlays in part only.
# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false

from collections.abc import Sequence
from itertools import pairwise
from math import dist

from detailgen.geometry import Line, Point, Region
from detailgen.geometry.strips import normal

CLEAR = 1e-3
"""A ray starts this far off the face, mm, so as not to meet the face itself."""


def crossings(line: Line, region: Region) -> list[float]:
    """Return the stations at which a line is in the middle of a region, mm, in order."""
    cut = line.intersection(region)
    parts = [g for g in getattr(cut, "geoms", [cut]) if isinstance(g, Line)]
    return sorted(
        line.project(p.interpolate(0.5, normalized=True)) for p in parts if p.length
    )


def open_length(
    course: Sequence[Point], half: float, solids: Sequence[Region], reach: float
) -> tuple[float, float]:
    """Return how much of a strip looks into the open, to its left and to its right, mm.

    A straight counts whole when the ray from its middle meets none of the solids.

    Args:
        course: Centre line of the strip.
        half: Half of its thickness, mm.
        solids: What can stand in front of it, the strip itself included.
        reach: Length of the rays, mm.
    """
    left = right = 0.0
    for a, b in pairwise(course):
        nx, ny = normal(a, b)
        middle = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
        for side in (1.0, -1.0):
            near, far = side * (half + CLEAR), side * (half + CLEAR + reach)
            ray = Line([
                (middle[0] + near * nx, middle[1] + near * ny),
                (middle[0] + far * nx, middle[1] + far * ny),
            ])
            if any(ray.intersects(solid) for solid in solids):
                continue
            if side > 0.0:
                left += dist(a, b)
            else:
                right += dist(a, b)
    return left, right
