"""Where dimension lines and their texts go: one side of a view, as a matter of intervals.

Everything here is along one axis, in paper millimetres. Lines are counted outward from the
view. Two things must never happen: two dimensions of one line overlapping, and an extension
line of an outer dimension running through the text of an inner one.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

SIDE_GAP: Final = 1.5
"""Least distance between a text and a tick or an extension line along the axis."""
TICK: Final = 2.0
"""Room that a tick and the overshoot of the dimension line take beyond an end."""
_STEP: Final = 7.0
"""What a line further out costs, as a text's distance from what it measures, mm."""
_SAME: Final = 0.02
"""Ends closer than this share one extension line."""


@dataclass(frozen=True, slots=True)
class Span:
    """A dimension still to be placed."""

    low: float
    high: float
    text: float
    """Width of its text."""
    rank: int = 1


@dataclass(frozen=True, slots=True)
class Berth:
    """Where it went: the line, and the middle of its text along the axis."""

    line: int
    middle: float


def stack(
    spans: Sequence[Span],
    floor: float = float("-inf"),
    ceiling: float = float("inf"),
    *,
    close: bool = False,
) -> list[Berth]:
    """Return a berth for each span.

    Args:
        spans: The dimensions of one side.
        floor: Texts stand above this along the axis, where another side's would be met.
        ceiling: Texts stand below this; only one of the two may be given.
        close: Whether lines are so near one another that the tip of an extension line
            comes to the text of the next line.

    Short ones of a low rank lie nearest the view. The text stands between its ticks if it
    fits there, else beside them, else beyond everything; a line further out is taken where
    the text can then stand nearer.
    """
    tip = 1 if close else 0
    order = sorted(
        range(len(spans)), key=lambda i: (spans[i].rank, spans[i].high - spans[i].low, i)
    )
    taken: list[list[tuple[float, float]]] = []
    berths: dict[int, Berth] = {}
    for index in order:
        span = spans[index]
        choices: list[tuple[float, Berth]] = []
        for line in range(len(taken) + 1):
            # Of those that lie further in no extension line comes as far as this.
            crossing = [
                s
                for i, s in enumerate(spans)
                if i not in berths or berths[i].line + tip >= line
            ]
            places = [
                m
                for m in _places(span, _ends(crossing))
                if m - span.text / 2 >= floor and m + span.text / 2 <= ceiling
            ]
            busy = taken[line] if line < len(taken) else []
            for middle in places:
                if _is_free(span, middle, busy):
                    cost = _STEP * line + _far(span, middle)
                    choices.append((cost, Berth(line, middle)))
                    break
        berth = min(choices, key=lambda c: c[0])[1]
        if berth.line == len(taken):
            taken.append([])
        taken[berth.line].append(_reach(span, berth.middle))
        berths[index] = berth
    return [berths[i] for i in range(len(spans))]


def _ends(spans: Sequence[Span]) -> list[float]:
    return sorted({end for span in spans for end in (span.low, span.high)})


def _far(span: Span, middle: float) -> float:
    """Return what it costs that a text stands away from what it measures."""
    beside = (span.high - span.low + span.text) / 2 + TICK + 2 * SIDE_GAP
    return max(0.0, abs(middle - (span.low + span.high) / 2) - beside)


def _is_free(span: Span, middle: float, busy: Sequence[tuple[float, float]]) -> bool:
    low, high = _reach(span, middle)
    return all(high <= a + _SAME or low >= b - _SAME for a, b in busy)


def _reach(span: Span, middle: float) -> tuple[float, float]:
    """Return what the dimension takes of its line: its ticks, and its text if outside."""
    half = span.text / 2 + SIDE_GAP
    low, high = min(span.low, middle - half), max(span.high, middle + half)
    # A neighbour may share a tick, but not stand in the way of an outside text.
    return low, high


def _places(span: Span, ends: Sequence[float]) -> list[float]:
    """Return middles at which the text is crossed by no extension line, best first."""
    half = span.text / 2 + SIDE_GAP
    centre = (span.low + span.high) / 2
    edges = [e for e in ends if span.low + _SAME < e < span.high - _SAME]
    inside: list[float] = []
    stops = [span.low, *edges, span.high]
    for a, b in pairwise(stops):
        if b - a >= 2 * half:
            inside.append(min(max(centre, a + half), b - half))
    inside.sort(key=lambda m: abs(m - centre))
    above = _beside([e for e in ends if e > span.high + _SAME], span.high, half)
    below = -_beside([-e for e in ends if e < span.low - _SAME][::-1], -span.low, half)
    return (
        [*inside, above, below]
        if above - centre <= centre - below
        else [*inside, below, above]
    )


def _beside(further: Sequence[float], end: float, half: float) -> float:
    """Return the first middle beyond `end` where the text has room before the next end."""
    start = end + TICK - SIDE_GAP
    for stop in sorted(further):
        if stop - start >= 2 * half:
            break
        start = stop
    return start + half
