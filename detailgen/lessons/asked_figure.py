"""The section of an exercise in numbers: dimension lines with a letter and no length.

The lines are plain lines: a dimension would tell its length to who opens the drawing file.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

from detailgen.catalog import Scale
from detailgen.geometry import Point
from detailgen.lessons.numbers import Number
from detailgen.lettering import DESCENT
from detailgen.scene import (
    DIM_GAP,
    DIM_OVERSHOOT,
    DIM_TICK,
    Align,
    Dimension,
    Item,
    Path,
    Text,
)
from detailgen.sheet.bodies import body_items
from detailgen.sheet.dimensioning import Measured, dimension_ink, dimensions, measured
from detailgen.sheet.figure import Figure
from detailgen.sheet.request import SheetRequest
from detailgen.sheet.section_view import body_box
from detailgen.sheet.thickening import thickened

LETTERS: Final = "ABCDEFGHJKLNPQRSTUVXYZ"
"""Letters of dimensions: none that is read as a numeral, none that is wide."""
_STEPS: Final = (10.5, 9.4)
_SIZE: Final = 4.5
"""Height of the letters, mm."""


def lettered(numbers: Sequence[Number]) -> dict[str, Number]:
    """Return the numbers that the section shows, by letter."""
    shown = [n for n in numbers if n.measured]
    return dict(zip(LETTERS, shown, strict=False))


def asked_figure(
    request: SheetRequest, room: tuple[float, float], asked: Mapping[str, Number]
) -> Figure:
    """Return the section at the largest standard scale, with a letter at what is asked.

    Args:
        request: The condition.
        room: Width and height that it may take, mm.
        asked: Numbers that it shows, by letter.
    """
    scales = request.catalog.drafting.scales_of(request.units)
    for scale in scales:
        true = body_box(request.section, scale.factor)
        wide, high = true[2] - true[0], true[3] - true[1]
        if scale is not scales[-1] and (wide > room[0] or high > room[1]):
            continue
        figure = _figure(request, scale, asked)
        if (figure.width <= room[0] and figure.height <= room[1]) or scale is scales[-1]:
            return figure
    raise AssertionError("a series of scales is never empty")


def _figure(request: SheetRequest, scale: Scale, asked: Mapping[str, Number]) -> Figure:
    factor = scale.factor
    drawn = request.rebuild(thickened(request, factor))
    body = body_box(drawn, factor)
    letters = {n.measured.gauge.id: k for k, n in asked.items() if n.measured}
    gauges = [g for g in request.section.gauges if g.id in letters and g.view == "section"]
    found = measured(
        gauges, request.section.points, drawn.points, request.units, both=False
    )
    wanted = [
        replace(m, text=_spaced(letters[m.gauge.id], m), prefix="", suffix="")
        for m in found
    ]
    made, box = dimensions(wanted, body, factor, _STEPS, _SIZE)
    figure = Figure("section", "SECTION", scale, body, box)
    figure.items += body_items(drawn, request.catalog, factor)
    for one in made:
        figure.items += _as_lines(one, factor)
    return figure


def _spaced(letter: str, one: Measured) -> str:
    """Return a letter with room for standing upright beside an upright line."""
    return f" {letter} " if one.upright else letter


def _as_lines(one: Dimension, factor: float) -> list[Item]:
    """Return a dimension as lines and its letter, upright, in model mm."""
    (x0, y0, x1, y1), (first, second, ruled) = dimension_ink(one, factor)
    items: list[Item] = []
    along = 1 if one.angle else 0
    for start, end in (first, second):
        axis = 1 - along
        sign = 1.0 if end[axis] > start[axis] else -1.0
        begin = list(start)
        begin[axis] += sign * DIM_GAP
        if sign * (end[axis] - begin[axis]) > 0.1:
            items.append(_line((begin[0], begin[1]), end, factor))
        foot = list(end)
        foot[axis] -= sign * DIM_OVERSHOOT
        a = (foot[0] - DIM_TICK, foot[1] - DIM_TICK)
        b = (foot[0] + DIM_TICK, foot[1] + DIM_TICK)
        items.append(_line(a, b, factor, "keynotes"))
    items.append(_line(*ruled, factor))
    base = (y0 + y1 - _SIZE) / 2 if one.angle else y0 + DESCENT * _SIZE
    at = ((x0 + x1) / 2 * factor, base * factor)
    items.append(Text(at, one.text.strip(), _SIZE, "text", Align.CENTRE, bold=True))
    return items


def _line(a: Point, b: Point, factor: float, layer: str = "dims") -> Path:
    (xa, ya), (xb, yb) = a, b
    return Path(((xa * factor, ya * factor), (xb * factor, yb * factor)), layer)
