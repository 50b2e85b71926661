"""Dimensions of a view: upright ones to its right, level ones below it, in stacked lines.

The text and the length come from the true section; where a dimension starts comes from the
drawn one, by the same point's name. Its end is the drawn one too, shifted by what
thickening moved it, so that the distance of the two is the true length exactly.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from detailgen.geometry import Point
from detailgen.lettering import ASCENT, DESCENT, text_width
from detailgen.scene import DIM_OVERSHOOT, DIM_TEXT_GAP, Dimension
from detailgen.section import Axis, Gauge
from detailgen.sheet.dimension_lines import Span, stack
from detailgen.sheet.flow import TEXT
from detailgen.sheet.plane import Box, Segment, hull
from detailgen.units import UnitSystem, show_length

ROOMY: Final = (10.0, 7.0)
"""From the view to the first dimension line, and from each to the next, mm on paper."""
SNUG: Final = (8.0, 6.0)
"""The same on a small sheet."""
_OVER_LINE: Final = 0.4
"""From the dimension line to the base line of larger letters, in their height."""
_LEAST: Final = 0.05
"""Shorter lengths than this, mm, have no dimension: nothing would be there to see."""


@dataclass(frozen=True, slots=True)
class Measured:
    """A gauge with its points, its true length and its text."""

    gauge: Gauge
    start: Point
    end: Point
    true: float
    text: str
    prefix: str
    suffix: str

    @property
    def upright(self) -> bool:
        """Whether it is measured along y."""
        return self.gauge.axis is Axis.VERTICAL


def measured(
    gauges: Iterable[Gauge],
    true: Mapping[str, Point],
    drawn: Mapping[str, Point],
    system: UnitSystem,
    *,
    both: bool,
) -> list[Measured]:
    """Return the gauges whose points the section has, with what their dimensions say."""
    found: list[Measured] = []
    for gauge in gauges:
        names = (gauge.start, gauge.end)
        if any(n not in true or n not in drawn for n in names):
            continue
        along = 1 if gauge.axis is Axis.VERTICAL else 0
        span = true[gauge.end][along] - true[gauge.start][along]
        if abs(span) < _LEAST:
            continue
        prefix = f"{gauge.label} " if gauge.label else ""
        suffix = f" {gauge.suffix}" if gauge.suffix else ""
        text = f"{prefix}{show_length(abs(span), system, both=both)}{suffix}"
        start, end = drawn[gauge.start], list(drawn[gauge.end])
        end[along] = start[along] + span
        found.append(
            Measured(gauge, start, (end[0], end[1]), abs(span), text, prefix, suffix)
        )
    return found


def dimensions(
    wanted: Sequence[Measured],
    body: Box,
    factor: float,
    steps: tuple[float, float] = ROOMY,
    height: float = TEXT,
) -> tuple[list[Dimension], Box]:
    """Return the dimensions of a view in model mm, and the paper box of view and all.

    Args:
        wanted: What is dimensioned.
        body: The view without annotations, paper mm about the model's origin.
        factor: Model mm per paper mm.
        steps: Distances of the first dimension line, and between lines, mm on paper.
        height: Of the letters, mm on paper.
    """
    made: list[Dimension] = []
    boxes = [body]
    for upright in (True, False):
        group = [m for m in wanted if m.upright is upright]
        for item, box in _side(group, body, factor, (steps, height)):
            made.append(item)
            boxes.append(box)
    return made, hull(boxes)


def _side(
    group: Sequence[Measured],
    body: Box,
    factor: float,
    look: tuple[tuple[float, float], float],
) -> list[tuple[Dimension, Box]]:
    """Place the dimensions of one side; `look` is the steps and the height of letters."""
    if not group:
        return []
    steps, height = look
    upright = group[0].upright
    along = 1 if upright else 0
    spans: list[Span] = []
    for m in group:
        low, high = sorted((m.start[along] / factor, m.end[along] / factor))
        spans.append(Span(low, high, text_width(m.text, height), m.gauge.rank))
    placed: list[tuple[Dimension, Box]] = []
    # The corner below and to the right is left to neither side.
    close = steps[1] < ROOMY[1]
    berths = (
        stack(spans, floor=body[1], close=close)
        if upright
        else stack(spans, ceiling=body[2], close=close)
    )
    gap = max(DIM_TEXT_GAP, _OVER_LINE * height)
    for m, span, berth in zip(group, spans, berths, strict=True):
        off = steps[0] + berth.line * steps[1]
        if upright:
            level = body[2] + off
            text_at = (level - gap, berth.middle)
            line_at, angle = (level, span.low), 90.0
        else:
            level = body[1] - off
            text_at = (berth.middle, level + gap)
            line_at, angle = (span.low, level), 0.0
        low = min(span.low, berth.middle - span.text / 2)
        high = max(span.high, berth.middle + span.text / 2)
        near = off - gap - 1.3 * height
        far = off + DIM_OVERSHOOT
        box = (
            (body[2] + near, low - 2, body[2] + far, high + 2)
            if upright
            else (low - 2, body[1] - far, high + 2, body[1] - near)
        )
        placed.append((
            Dimension(
                m.start,
                m.end,
                (line_at[0] * factor, line_at[1] * factor),
                angle,
                m.text,
                m.prefix,
                m.suffix,
                (text_at[0] * factor, text_at[1] * factor),
                height,
                "dims",
                m.true,
            ),
            box,
        ))
    return placed


def dimension_ink(item: Dimension, factor: float) -> tuple[Box, list[Segment]]:
    """Return the box of a dimension's text and its lines, on paper about the origin."""
    start, end = _paper(item.start, factor), _paper(item.end, factor)
    line, (tx, ty) = _paper(item.line_at, factor), _paper(item.text_at, factor)
    half = text_width(item.text, item.height) / 2
    over, low, high = DIM_OVERSHOOT, DESCENT * item.height, ASCENT * item.height
    if item.angle:
        feet = [(line[0], p[1]) for p in (start, end)]
        box = (tx - high, ty - half, tx + low, ty + half)
        ends = [(x + over, y) for x, y in feet]
        along = sorted([start[1], end[1], ty - half, ty + half])
        ruled = ((line[0], along[0]), (line[0], along[-1]))
    else:
        feet = [(p[0], line[1]) for p in (start, end)]
        box = (tx - half, ty - low, tx + half, ty + high)
        ends = [(x, y - over) for x, y in feet]
        along = sorted([start[0], end[0], tx - half, tx + half])
        ruled = ((along[0], line[1]), (along[-1], line[1]))
    return box, [(start, ends[0]), (end, ends[1]), ruled]


def _paper(point: Point, factor: float) -> Point:
    return point[0] / factor, point[1] / factor
