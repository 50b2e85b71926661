"""Joints: the line that two bodies share."""

# The library types the functions that also take arrays in part only.
# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false

from shapely import LineString, MultiLineString, line_merge
from shapely.geometry.base import BaseGeometry

from detailgen.geometry import Line, Region

TOUCH = 1e-4
"""Two surfaces closer than this, mm, touch."""
SHORTEST = 1e-3
"""Shorter stretches of joint than this, mm, are dropped."""


def lines_in(shape: BaseGeometry) -> list[Line]:
    """Return the polylines in a geometry, merged, without the shortest stretches."""
    parts = [g for g in getattr(shape, "geoms", [shape]) if isinstance(g, LineString)]
    if not parts:
        return []
    merged = line_merge(MultiLineString(parts)) if len(parts) > 1 else parts[0]
    found = [g for g in getattr(merged, "geoms", [merged]) if isinstance(g, LineString)]
    return [g for g in found if g.length > SHORTEST]


def clip_joint(line: Line, region: Region) -> list[Line]:
    """Return the stretches of `line` that still lie on the boundary of `region`."""
    return lines_in(line.intersection(region.boundary.buffer(TOUCH)))


def shared_lines(upper: Region, lower: Region) -> list[Line]:
    """Return the lines along which two regions touch, from the lower one's boundary."""
    if upper.distance(lower) > TOUCH:
        return []
    return lines_in(lower.boundary.intersection(upper.boundary.buffer(TOUCH)))
