"""The water path on a view, when it is asked for: an arrow along each easiest way in.

Drawn on the section as it is drawn, thin things thickened, so that an arrow runs through
the sheets that it stands for; the figures in the caption are those of the true section.
"""

from collections.abc import Sequence
from itertools import pairwise
from math import dist, fsum, hypot
from typing import Final

from detailgen.geometry import Point
from detailgen.scene import Circle, Item, Path
from detailgen.section import LayeredSection
from detailgen.sheet.figure import Swatch
from detailgen.sheet.request import SheetRequest
from detailgen.units import show_amount
from detailgen.waterpath import Way, ways

LAYER: Final = "water"
BLUE: Final = (0, 90, 200)
_HEAD: Final = (2.4, 0.8)
"""Length and half width of an arrow's head on paper, mm."""
_SHORT: Final = 7.0
"""An arrow shorter than this on paper, mm, is begun further out, in the air."""
_START: Final = 0.7
"""Radius of the ring at which a way leaves the weather, mm."""


def water_items(request: SheetRequest, drawn: LayeredSection, factor: float) -> list[Item]:
    """Return an arrow for each zone; none where the path is not asked for."""
    if not request.water:
        return []
    found = ways(drawn, request.rules)
    return [item for way in found for item in _arrow(way.line, factor)]


def water_swatches(request: SheetRequest) -> list[Swatch]:
    """Return what the legend says of the arrows."""
    name = "Easiest way of water into a zone"
    return [Swatch(name, "water", layer=LAYER)] if request.water else []


def water_notes(request: SheetRequest) -> list[str]:
    """Return what the caption says: the figure of each zone, and what it means."""
    if not request.water:
        return []
    found = ways(request.section, request.rules)
    told = "; ".join(_told(request, way) for way in found)
    if not told:
        return ["Water path: nothing here is said to have to stay dry."]
    return [
        f"Water path, counted in sheets: {told}.",
        "It argues redundancy; it does not predict leaks.",
    ]


def _told(request: SheetRequest, way: Way) -> str:
    row = "water_path_low_least" if way.low else "water_path_high_least"
    figure = show_amount(way.told, "count", request.units)
    asked = show_amount(request.rules.value(row), "count", request.units)
    return f"{way.zone} {figure} (asked {asked})"


def _arrow(line: Sequence[Point], factor: float) -> list[Item]:
    """Return a way as a line with a ring at its start and a head at its end."""
    points = _lengthened(line, factor)
    end, back = points[-1], _behind(points, _HEAD[0] * factor)
    ux, uy = (end[0] - back[0], end[1] - back[1])
    far = max(hypot(ux, uy), 1e-9)
    wide = _HEAD[1] * factor / far
    head = (
        end,
        (back[0] - uy * wide, back[1] + ux * wide),
        (back[0] + uy * wide, back[1] - ux * wide),
    )
    return [
        Path(tuple(points), LAYER),
        Path(head, LAYER, closed=True, fill=BLUE),
        Circle(points[0], _START, LAYER, fill=(255, 255, 255)),
    ]


def _lengthened(line: Sequence[Point], factor: float) -> list[Point]:
    """Return a line that is long enough for an arrow, begun further out where it is not."""
    points = list(line)
    short = _SHORT * factor - fsum(dist(a, b) for a, b in pairwise(points))
    if short > 0.0:
        (x0, y0), (x1, y1) = points[0], points[min(1, len(points) - 1)]
        far = dist((x0, y0), (x1, y1))
        # what lies open to the weather is reached from above
        ux, uy = ((x0 - x1) / far, (y0 - y1) / far) if far else (0.0, 1.0)
        points.insert(0, (x0 + ux * short, y0 + uy * short))
    return points


def _behind(points: Sequence[Point], length: float) -> Point:
    """Return the point of a line that lies so far before its end."""
    left = length
    for b, a in pairwise(reversed(points)):
        step = dist(a, b)
        if step >= left:
            return (b[0] + (a[0] - b[0]) * left / step, b[1] + (a[1] - b[1]) * left / step)
        left -= step
    return points[0]
