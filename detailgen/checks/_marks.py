"""Rows of fasteners in a layout, and how far they stand apart."""

from collections.abc import Sequence
from itertools import pairwise

from detailgen.checks._rule import Measured, Verdict
from detailgen.geometry import Point
from detailgen.section import Layout, Mark, Part

SAME_ROW = 2.0
"""Fasteners whose heights differ by less, mm, stand in one row."""


def rows_of(marks: Sequence[Mark]) -> list[list[Mark]]:
    """Return fasteners by row, lowest row first, each from left to right."""
    rows: list[list[Mark]] = []
    for mark in sorted(marks, key=lambda m: (m.at[1], m.at[0])):
        if rows and mark.at[1] - rows[-1][-1].at[1] < SAME_ROW:
            rows[-1].append(mark)
        else:
            rows.append([mark])
    return [sorted(row, key=lambda m: m.at[0]) for row in rows]


def widest(row: Sequence[Mark], start: float, end: float) -> tuple[float, Point]:
    """Return the longest stretch of a row without a fastener, the ends included."""
    height = row[0].at[1]
    xs = [start, *(m.at[0] for m in row), end]
    gap, left = max((b - a, a) for a, b in pairwise(xs))
    return gap, (left + gap / 2.0, height)


def ends_of(parts: Sequence[Part]) -> tuple[float, float]:
    """Return where parts begin and end along the layout."""
    boxes = [p.region.bounds for p in parts]
    return min(b[0] for b in boxes), max(b[2] for b in boxes)


def spacing(
    parts: Sequence[Part], rows: Sequence[Sequence[Mark]], layout: Layout, missing: str
) -> Verdict:
    """Return the longest stretch without a fastener in any of the rows."""
    start, end = ends_of(parts)
    if not rows:
        where = ((start + end) / 2.0, parts[0].region.bounds[3])
        return Measured(end - start, where, view=layout.id, reason=missing)
    gap, where = max(widest(row, start, end) for row in rows)
    return Measured(gap, where, view=layout.id)
