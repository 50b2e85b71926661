"""Regions: areas, cuts, overlaps and pockets."""

# The library types the functions that also take arrays in part only.
# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false

from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from math import cos, pi, sin

import numpy as np
import shapely
from shapely import GEOSException, union_all
from shapely import box as _box
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from detailgen.geometry import Line, Point, Region

ROUGH = 1e-6
"""Grid, mm, on which shapes are put that cannot be combined as they are."""


def polygon(points: Sequence[Point]) -> Region:
    """Return the region with this outline."""
    return Region(points)


def box(x0: float, y0: float, x1: float, y1: float) -> Region:
    """Return an upright rectangle."""
    return _box(x0, y0, x1, y1)


def pieces(shape: BaseGeometry, *, least: float = 1e-6) -> list[Region]:
    """Return the areas in a geometry that are larger than `least` mm2."""
    found = [g for g in getattr(shape, "geoms", [shape]) if isinstance(g, Region)]
    return [g for g in found if g.area > least]


def _mended(*shapes: BaseGeometry) -> list[BaseGeometry]:
    """Return shapes whose outlines do not run over themselves, by rounding or otherwise.

    What such an outline leaves besides areas, lines and points, is dropped.
    """
    valid = [shapely.make_valid(shape) for shape in shapes]
    return [union_all(pieces(shape, least=0.0)) for shape in valid]


def _roughly(
    work: Callable[[Sequence[BaseGeometry], float | None], BaseGeometry],
    *shapes: BaseGeometry,
) -> BaseGeometry:
    """Return the result of an overlay whose edges coincide but for rounding.

    It is done on a grid, then on a coarser one; and where neither can be done, with
    shapes that are a thousandth of a millimetre larger, so that nothing coincides.
    """
    mended = _mended(*shapes)
    for grid in (ROUGH, 100.0 * ROUGH):
        with suppress(GEOSException):
            return work(mended, grid)
    return work([shape.buffer(n * 1e-3) for n, shape in enumerate(mended)], None)


def clip(region: Region, window: Region) -> list[Region]:
    """Return what of a region lies inside a window."""
    if window.contains(region):
        return [region]
    try:
        return pieces(region.intersection(window))
    except GEOSException:  # edges that coincide but for rounding
        return pieces(
            _roughly(lambda s, g: shapely.intersection(*s, grid_size=g), region, window)
        )


def cut(region: Region, tools: Iterable[Region]) -> list[Region]:
    """Return what is left of a region without the tools, largest first."""
    left: BaseGeometry = region
    for tool in tools:
        try:
            left = left.difference(tool)
        except GEOSException:  # edges that coincide but for rounding
            left = _roughly(lambda s, g: shapely.difference(*s, grid_size=g), left, tool)
    return sorted(pieces(left), key=lambda g: -g.area)


def union(regions: Sequence[Region]) -> list[Region]:
    """Return the union of regions as its separate pieces."""
    try:
        return pieces(union_all(list(regions)))
    except GEOSException:  # edges that coincide but for rounding
        return pieces(_roughly(lambda s, g: union_all(list(s), grid_size=g), *regions))


def overlap_area(a: Region, b: Region) -> float:
    """Return the area that two regions share, mm2."""
    ax0, ay0, ax1, ay1 = a.bounds
    bx0, by0, bx1, by1 = b.bounds
    if ax1 <= bx0 or bx1 <= ax0 or ay1 <= by0 or by1 <= ay0:
        return 0.0
    try:
        shared = float(shapely.area(shapely.intersection(a, b)))
    except GEOSException:  # edges that coincide but for rounding
        shared = 1.0
    if shared < 1e-9:
        return shared
    # on nearly coincident edges the plain overlay can answer with a whole region
    return float(shapely.area(shapely.intersection(a, b, grid_size=GRID)))


def outline(region: Region) -> tuple[Point, ...]:
    """Return the outer ring, without repeating the first point."""
    return tuple((float(x), float(y)) for x, y in region.exterior.coords[:-1])


def holes(region: Region) -> tuple[tuple[Point, ...], ...]:
    """Return the inner rings."""
    return tuple(
        tuple((float(x), float(y)) for x, y in ring.coords[:-1])
        for ring in region.interiors
    )


def vertices(line: Line) -> tuple[Point, ...]:
    """Return the vertices of a polyline."""
    return tuple((float(x), float(y)) for x, y in line.coords)


GRID = 1e-8
"""Grid, mm, on which nearly coincident edges become one."""


def joined(a: Region, b: Region) -> Region:
    """Return the larger piece of the union of two regions that touch along edges."""
    whole = shapely.union(a, b, grid_size=GRID)
    return max(pieces(whole), key=lambda g: g.area)


def disc(x: float, y: float, radius: float, corners: int = 96) -> Region:
    """Return a round as a polygon whose corners lie on the circle.

    Args:
        x: Of its middle.
        y: Of its middle.
        radius: mm.
        corners: How many, a multiple of 4: the outermost points are among them.
    """
    step = 2.0 * pi / corners
    return Region([
        (x + radius * cos(i * step), y + radius * sin(i * step)) for i in range(corners)
    ])


def mirrored(region: Region) -> Region:
    """Return a region seen in the mirror that stands on x = 0."""
    return Region(
        [(-x, y) for x, y in region.exterior.coords],
        [[(-x, y) for x, y in ring.coords] for ring in region.interiors],
    )


def flipped_line(line: Line) -> Line:
    """Return the mirror image of a polyline, again from left to right."""
    return Line([(-x, y) for x, y in reversed(vertices(line))])


def shifted(region: Region, dx: float, dy: float) -> Region:
    """Return a region moved to the right and up, mm."""
    return translate(region, dx, dy)


def grown(region: Region, by: float) -> Region:
    """Return a region with its outline pushed out, its corners kept; mm."""
    return max(pieces(mitred(region, by)), key=lambda g: g.area)


def mitred(shape: BaseGeometry, by: float) -> BaseGeometry:
    """Return what lies within a distance, mm; corners are kept, ends of lines are square.

    The library divides by zero on its way where edges all but run back on themselves; its
    result is sound all the same.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        return shape.buffer(by, cap_style="flat", join_style="mitre", mitre_limit=5.0)


DRAWN = 0.01
"""Grid, mm, for what is only drawn: corners nearer than this become one."""


def merged(regions: Sequence[Region]) -> Region:
    """Return the largest piece of the union of regions, made for drawing."""
    whole = shapely.union_all(list(regions), grid_size=DRAWN).simplify(2.0 * DRAWN)
    return max(pieces(whole), key=lambda g: g.area)
