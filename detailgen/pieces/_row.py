"""A row of pieces along a run: where the seams fall, so that all that is asked holds.

Positions are mm from the low end of the run. A seam is the place of the lower piece's edge:
the next piece laps from there back toward the low end, `lap` wide, so that water runs over
each seam. Metal that meets over a plate has a gap instead; its lap is negative.

Where seams may fall is a set of intervals. Going forward they tell how few pieces will do;
going back from the far end, from where the next seam can be reached; and forward again,
each piece is as wide as it may be. So a row has the fewest pieces that will do, the widest
ones first, and none is found by trial. Where no row keeps all, what is in the way of the
seam that got furthest is asked half as much, and so on.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import inf
from typing import Final

_NEAR: Final = 1e-6
_NOTHING: Final = 5.0
"""What is asked less than this, mm, is not asked at all."""
_IDLE: Final = 8
"""So many pieces more that get no further mean that none will."""
Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Seam:
    """A seam of the course below, and how far seams shall stay from it, mm."""

    at: float
    clear: float


@dataclass(frozen=True, slots=True)
class Asked:
    """A run that is to be covered, and what is asked of its pieces; all mm."""

    run: float
    """Length that is covered."""
    stock: float
    """Widest a piece may be."""
    lap: float
    """How far each piece laps the one before; less than nothing for a gap."""
    least: float = 0.0
    """Narrowest a piece may be."""
    low_corner: float = 0.0
    """How far seams stay from the low end; 0 where no corner is there."""
    high_corner: float = 0.0
    """How far seams stay from the far end."""
    below: tuple[Seam, ...] = ()
    """Seams of the course below."""
    first: float = 0.0
    """The first piece reaches to here: past the low point, so that no lap faces water."""


def lay(asked: Asked) -> tuple[Span, ...]:
    """Return the row with the fewest pieces that keeps what is asked: each from end to end.

    Where nothing keeps all of it, what is in the way is asked less: seams below first, then
    corners, then the least width. The first piece always reaches over the low point.

    Raises:
        ValueError: The run is nothing, a piece is no wider than its lap, or the low point
            lies beyond the first piece.
    """
    if asked.run <= 0.0 or asked.stock <= max(asked.lap, 0.0) or asked.first > asked.stock:
        message = f"no pieces {asked.stock:g} mm wide can cover {asked.run:g} mm"
        raise ValueError(message)
    if asked.run <= asked.stock:
        return ((0.0, asked.run),)
    trail: list[_Step] = []
    while True:
        count, furthest = _reach(asked, trail)
        if count:
            ends = _ends(asked, count)
            starts = [0.0, *(end - asked.lap for end in ends[:-1])]
            return tuple(zip(starts, ends, strict=True))
        eased = _eased(asked, furthest)
        del trail[_alike(asked, eased, trail) :]
        asked = eased


def _alike(one: Asked, other: Asked, trail: "Sequence[_Step]") -> int:
    """Return how many steps of a trail are the same with less asked of seams below."""
    if replace(one, below=()) != replace(other, below=()):
        return 0
    pairs = zip(one.below, other.below, strict=True)
    freed = min((s.at - s.clear for s, t in pairs if s != t), default=inf)
    _, longest = _steps(one)
    ahead = [_first(one)[1], *(step.spans[-1][1] + longest for step in trail if step.spans)]
    return sum(end < freed - _NEAR for end in ahead[: len(trail)])


def _eased(asked: Asked, furthest: float) -> Asked:
    """Return what is asked with less of what is in the way beyond the furthest seam."""
    ahead = furthest + asked.stock - asked.lap
    blamed = {
        s
        for s in asked.below
        if s.clear and s.at - s.clear <= ahead and s.at + s.clear >= furthest
    }
    if blamed:
        below = (
            replace(s, clear=_half(s.clear)) if s in blamed else s for s in asked.below
        )
        return replace(asked, below=tuple(below))
    if asked.low_corner or asked.high_corner:
        low, high = _half(asked.low_corner), _half(asked.high_corner)
        return replace(asked, low_corner=low, high_corner=high)
    if asked.least:
        return replace(asked, least=_half(asked.least))
    left = tuple(s for s in asked.below if s.clear)
    assert left, "without limits any run can be covered"
    return replace(asked, below=tuple(replace(s, clear=_half(s.clear)) for s in left))


def _half(value: float) -> float:
    return value / 2.0 if value > 2.0 * _NOTHING else 0.0


def _steps(asked: Asked) -> Span:
    """Return how far the edges of two pieces lie apart, at the least and at the most."""
    return max(asked.least - asked.lap, _NEAR), asked.stock - asked.lap


def _first(asked: Asked) -> Span:
    """Return between what the first piece may end."""
    return max(asked.least, asked.first, asked.lap + _NEAR), asked.stock


@dataclass(frozen=True, slots=True)
class _Step:
    """Where the seam after so many pieces may be."""

    spans: Sequence[Span]
    furthest: float
    """Of this seam and those before."""
    idle: int
    """How many steps before it got no further."""


def _reach(asked: Asked, trail: list[_Step]) -> tuple[int, float]:
    """Return how many pieces reach the end; 0 where none do, and the furthest seam.

    Args:
        asked: What is asked.
        trail: The steps that are known; those that are found are added.
    """
    shortest, longest = _steps(asked)
    allowed = _allowed(asked)
    if not trail:
        trail.append(_step(_common([_first(asked)], allowed), 0.0, 0))
    while (last := trail[-1]).spans and last.idle < _IDLE:
        ahead = _joined((low + shortest, high + longest) for low, high in last.spans)
        if any(low - _NEAR <= asked.run <= high + _NEAR for low, high in ahead):
            return len(trail) + 1, last.furthest
        spans = [s for s in _common(ahead, allowed) if s[0] < asked.run]
        trail.append(_step(spans, last.furthest, last.idle))
    return 0, last.furthest


def _step(spans: Sequence[Span], furthest: float, idle: int) -> _Step:
    if not spans:
        return _Step(spans, furthest, idle)
    idle = 0 if spans[-1][1] > furthest + _NEAR else idle + 1
    return _Step(spans, max(furthest, spans[-1][1]), idle)


def _ends(asked: Asked, count: int) -> list[float]:
    """Return where each of so many pieces ends, the first ones as wide as they may be."""
    shortest, longest = _steps(asked)
    allowed = _allowed(asked)
    reach: list[list[Span]] = [[(asked.run, asked.run)]]
    for _ in range(count - 1):
        back = [(low - longest, high - shortest) for low, high in reach[0]]
        reach.insert(0, _common(_joined(back), allowed))
    ends: list[float] = []
    low, high = _first(asked)
    for spans in reach:
        within = _common(spans, [(low - _NEAR, high + _NEAR)])
        ends.append(min(within[-1][1], high))
        low, high = ends[-1] + shortest, ends[-1] + longest
    return ends


def _allowed(asked: Asked) -> list[Span]:
    """Return where seams may fall, the seams below and the corners kept clear."""
    low = asked.low_corner + max(asked.lap, 0.0) if asked.low_corner else -inf
    high = asked.run - asked.high_corner + min(asked.lap, 0.0) if asked.high_corner else inf
    kept = sorted((s.at - s.clear, s.at + s.clear) for s in asked.below if s.clear)
    spans: list[Span] = []
    for start, end in kept:
        if low <= min(start, high):
            spans.append((low, min(start, high)))
        low = max(low, end)
    return [*spans, (low, high)] if low <= high else spans


def _common(one: Iterable[Span], other: Sequence[Span]) -> list[Span]:
    """Return what two sets of spans share, in order; those of the other are in order."""
    starts, ends = [a for a, _ in other], [b for _, b in other]
    both: list[Span] = []
    for a, b in one:
        # those that touch but for rounding share a place
        first, last = bisect_left(ends, a - _NEAR), bisect_right(starts, b + _NEAR)
        both += [(max(a, c), min(b, d)) for c, d in other[first:last]]
    return _joined((min(a, b), b) for a, b in both if a <= b + _NEAR)


def _joined(spans: Iterable[Span]) -> list[Span]:
    """Return spans in order, those that touch as one."""
    found: list[Span] = []
    for low, high in sorted(spans):
        if found and low <= found[-1][1] + _NEAR:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    return found
