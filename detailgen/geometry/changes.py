"""Changes: by how much two shapes differ."""

# The library types the functions that also take arrays in part only.
# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false

from math import dist

import shapely
from shapely import GEOSException

from detailgen.geometry import Line, Region
from detailgen.geometry.regions import ROUGH


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
