"""Sections with two sides: each is examined as a section of its own, falling to the left.

What belongs to the right side has points whose names end in `-right`. That side is turned
over in the axis x = 0, so that a rule measures it as it measures the left one. What reaches
over the axis is cut there; bodies keep their ids.
"""

from collections.abc import Iterable
from dataclasses import replace

from detailgen.geometry import Line, Point, Region
from detailgen.geometry.columns import column_at, rings
from detailgen.geometry.joints import lines_in
from detailgen.geometry.regions import box, clip, flipped_line, mirrored
from detailgen.section import RIGHT, Body, LayeredSection, Role

_TWO_SIDED = ("cant.toe" + RIGHT, "flange.outer" + RIGHT)
"""A section with one of these points has two sides."""
_ON_AXIS = 1e-6
_FAR = 1e5
_GROUND = (Role.DECK, Role.INSULATION, Role.COVER_BOARD)


def sides(section: LayeredSection) -> tuple[LayeredSection, ...]:
    """Return both sides of a section, the left one first; none of one with one."""
    if not any(name in section.points for name in _TWO_SIDED):
        return ()
    left = {n: p for n, p in section.points.items() if not n.endswith(RIGHT)}
    right = {
        n.removesuffix(RIGHT): (-x, y)
        for n, (x, y) in section.points.items()
        if n.endswith(RIGHT) or abs(x) < _ON_AXIS
    }
    slope = -section.slope if _falls_through(section) else section.slope
    half = replace(_half(_turned(section)), points=right, slope=slope)
    return replace(_half(section), points=left), half


def _falls_through(section: LayeredSection) -> bool:
    """Tell whether the roof falls across the axis, and not away from it on both sides."""
    shapes = [rings(b.region) for b in section.of_role(*_GROUND)]
    x0, _, x1, _ = section.extent.bounds
    ends = [
        max((s[1] for s in column_at(shapes, (x, 0.0), (0.0, 1.0))), default=0.0)
        for x in (x0 + 1.0, x1 - 1.0)
    ]
    rise = ends[1] - ends[0]
    return abs(rise - section.slope * (x1 - x0)) < abs(rise)


def _half(section: LayeredSection) -> LayeredSection:
    """Return what of a section lies left of the axis."""
    window = box(-_FAR, -_FAR, 0.0, _FAR)
    bodies = [piece for b in section.bodies for piece in _clipped(b, window)]
    there = {b.id for b in bodies}
    x0, y0, _, y1 = section.extent.bounds
    return replace(
        section,
        bodies=tuple(bodies),
        joints=tuple(
            replace(j, line=line)
            for j in section.joints
            if {j.upper, j.lower} <= there
            for line in _within(j.line, window)
        ),
        coats=tuple(
            replace(c, line=line)
            for c in section.coats
            if c.body in there
            for line in _within(c.line, window)
        ),
        extent=box(x0, y0, 0.0, y1),
        hollows=tuple(p for h in section.hollows for p in clip(h, window)),
    )


def _clipped(body: Body, window: Region) -> Iterable[Body]:
    for i, region in enumerate(clip(body.region, window)):
        yield replace(body, id=body.id if not i else f"{body.id}/{i + 1}", region=region)


def _within(line: Line, window: Region) -> list[Line]:
    return [line] if line.bounds[2] <= 0.0 else lines_in(line.intersection(window))


def _turned(section: LayeredSection) -> LayeredSection:
    """Return the bodies, joints and coats of a section seen in the mirror on the axis."""
    x0, y0, x1, y1 = section.extent.bounds
    return replace(
        section,
        bodies=tuple(replace(b, region=mirrored(b.region)) for b in section.bodies),
        joints=tuple(replace(j, line=flipped_line(j.line)) for j in section.joints),
        coats=tuple(replace(c, line=flipped_line(c.line)) for c in section.coats),
        extent=box(-x1, y0, -x0, y1),
        hollows=tuple(mirrored(h) for h in section.hollows),
    )


def turned_back(where: Point) -> Point:
    """Return a place on the right side as the whole section has it."""
    return (-where[0], where[1])
