"""Hatching: the lines of a pattern inside a region, by scan lines.

The region's edges are turned so that the lines of a family lie level; each edge then tells
which lines it crosses and where, and the stretches between every other crossing are inside.
Corners are counted by the half-open rule, so holes and touching rings need no special case.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

from detailgen.geometry import Point
from detailgen.scene import HatchFamily, Pattern

Segment = tuple[Point, Point]

SHORTEST: Final = 0.02
"""Shorter strokes than this, mm on paper, are not drawn."""
DOT: Final = 0.25
"""Length of the stroke that stands for a dot, mm on paper."""


def hatch_lines(
    rings: Sequence[Sequence[Point]], pattern: Pattern, base: Point = (0.0, 0.0)
) -> list[Segment]:
    """Return the strokes of a pattern inside a region, all in paper mm.

    Args:
        rings: Outline and holes of the region, each without its first point repeated.
        pattern: What to draw.
        base: Where the pattern starts from; a view passes its model origin, so that a
            part of one view is hatched alike wherever the view stands.
    """
    strokes: list[Segment] = []
    for family in pattern.families:
        strokes.extend(_family_lines(rings, family, base))
    return strokes


def _family_lines(
    rings: Sequence[Sequence[Point]], family: HatchFamily, base: Point
) -> Iterator[Segment]:
    turn = math.radians(family.angle)
    cos, sin = math.cos(turn), math.sin(turn)
    x0, y0 = base[0] + family.origin[0], base[1] + family.origin[1]
    for row, spans in sorted(_crossings(rings, (x0, y0), (cos, sin), family.spacing)):
        v = row * family.spacing
        left, up = x0 - v * sin, y0 + v * cos
        if family.dashes:
            spans = _dashed(spans, row * family.shift, family.dashes)  # noqa: PLW2901
        for a, b in spans:
            if b - a >= SHORTEST:
                yield (left + a * cos, up + a * sin), (left + b * cos, up + b * sin)


def _crossings(
    rings: Sequence[Sequence[Point]], origin: Point, turn: Point, spacing: float
) -> Iterator[tuple[int, list[tuple[float, float]]]]:
    """Yield each line's number with the stretches of it that lie inside the rings."""
    (x0, y0), (cos, sin) = origin, turn
    rows: dict[int, list[float]] = {}
    for ring in rings:
        turned = [
            ((x - x0) * cos + (y - y0) * sin, (y - y0) * cos - (x - x0) * sin)
            for x, y in ring
        ]
        turned.append(turned[0])
        for (ua, va), (ub, vb) in pairwise(turned):
            if va > vb:
                ua, va, ub, vb = ub, vb, ua, va  # noqa: PLW2901  (lower end first)
            first, last = math.ceil(va / spacing), math.ceil(vb / spacing)
            if first >= last:
                continue
            slope = (ub - ua) / (vb - va)
            for row in range(first, last):
                rows.setdefault(row, []).append(ua + (row * spacing - va) * slope)
    for row, cuts in rows.items():
        cuts.sort()
        yield row, list(zip(cuts[::2], cuts[1::2], strict=True))


def _dashed(
    spans: list[tuple[float, float]], phase: float, dashes: tuple[float, ...]
) -> list[tuple[float, float]]:
    """Return the drawn parts of stretches; dashes count from `phase` along the line."""
    marks: list[tuple[float, float, bool]] = []
    period = 0.0
    for dash in dashes:
        if dash >= 0:
            marks.append((period, dash or DOT, dash == 0))
        period += abs(dash)
    drawn: list[tuple[float, float]] = []
    for start, end in spans:
        at = phase + math.floor((start - phase) / period) * period
        while at < end:
            for offset, length, dot in marks:
                a, b = at + offset, at + offset + length
                if start <= a and b <= end:
                    drawn.append((a, b))
                # A dash is cut at the edge; a dot is drawn whole or not at all.
                elif not dot and a < end and b > start:
                    drawn.append((max(a, start), min(b, end)))
            at += period
    return drawn
