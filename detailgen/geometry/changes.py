"""Changes: by how much two shapes, or two drawings, differ."""

# The library types the functions that also take arrays in part only.
# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false

from collections.abc import Sequence
from math import dist

import shapely
from shapely import GEOSException
from shapely.geometry.base import BaseGeometry

from detailgen.geometry import Line, Region
from detailgen.geometry.joints import lines_in
from detailgen.geometry.regions import DRAWN, ROUGH, pieces


def area_apart(a: Region, b: Region) -> float:
    """Return the area that only one of two regions covers, mm2.

    It is measured on a grid of a millionth of a millimetre, on which edges that are the
    same but for rounding are one.
    """
    if a.equals_exact(b, 0.0):
        return 0.0
    try:
        return float(shapely.symmetric_difference(a, b, grid_size=ROUGH).area)
    except GEOSException:  # an outline that runs over itself
        whole = (shapely.make_valid(shape) for shape in (a, b))
        return float(shapely.symmetric_difference(*whole, grid_size=100.0 * ROUGH).area)


def lines_apart(a: Line, b: Line) -> float:
    """Return how far two lines lie apart at most, mm; their lengths count, too."""
    return max(float(a.hausdorff_distance(b)), abs(a.length - b.length))


def same_line(a: Line, b: Line, within: float) -> bool:
    """Return whether two lines are one but for less than so much, mm."""
    first, second = list(a.coords), list(b.coords)
    if len(first) == len(second):
        near = (dist(p, q) <= within for p, q in zip(first, second, strict=True))
        if all(near):
            return True
    return lines_apart(a, b) <= within


def changed_size(
    one: Region | None, other: Region | None, window: Region, least: float
) -> float:
    """Return the longer side of the largest piece in which two regions differ, mm.

    Args:
        one: A region; None for nothing there.
        other: What it has become.
        window: Where both are drawn.
        least: Pieces that are thinner than this nowhere count are left out, mm.
    """
    nothing = Region()
    a, b = (nothing if r is None else r for r in (one, other))
    if a.equals(b):
        return 0.0
    try:
        apart = shapely.symmetric_difference(a, b)
    except GEOSException:  # edges that coincide but for rounding
        apart = shapely.symmetric_difference(a, b, grid_size=DRAWN)
    thick = apart.intersection(window).buffer(-least / 2.0)
    return max((_longer(g) + least for g in pieces(thick)), default=0.0)


def _longer(shape: BaseGeometry) -> float:
    x0, y0, x1, y1 = shape.bounds
    return float(max(x1 - x0, y1 - y0))


def changed_length(
    some: Sequence[Line],
    others: Sequence[Line],
    window: Region,
    near: float,
    *,
    over: Sequence[Line] = (),
    hides: float = 0.0,
) -> float:
    """Return how long the longest stretch is that only one of two sets of lines has, mm.

    Args:
        some: Lines.
        others: What they have become.
        window: Where both are drawn.
        near: Lines nearer than this are the same, mm.
        over: Lines that are drawn over them.
        hides: Up to which distance those hide them, mm.
    """
    found = [0.0]
    seen: BaseGeometry = window
    if over:
        seen = window.difference(shapely.union_all(list(over)).buffer(hides))
    for these, those in ((some, others), (others, some)):
        left = shapely.union_all(list(these)).intersection(seen)
        left = left.difference(shapely.union_all(list(those)).buffer(near))
        merged = shapely.line_merge(left) if not left.is_empty else left
        found += [line.length for line in lines_in(merged)]
    return max(found)
