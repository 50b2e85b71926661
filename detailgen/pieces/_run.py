"""A run with its low point anywhere: pieces start there and go up to both ends.

Positions are mm from the left end of the run.
"""

from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise
from typing import Final

from detailgen.pieces._row import Asked, Seam, Span, lay

_STEP: Final = 10.0
"""By so much a piece across the low point is moved until no seam below is near, mm."""
_ROUND: Final = 0.05
"""Distances that fall short by less than this, mm, are as asked."""


class Gave(StrEnum):
    """What a row of pieces does not keep."""

    BELOW = "seams below"
    CORNER = "corners"
    SLIVER = "least width"


@dataclass(frozen=True, slots=True)
class Lost:
    """Something that a row does not keep, as it was found on its pieces."""

    gave: Gave
    count: int
    """At how many seams, or of how many pieces."""
    least: float
    """The least distance or width that there is, mm."""


@dataclass(frozen=True, slots=True)
class PieceRow:
    """The pieces of a run, in the order in which they are laid."""

    pieces: tuple[Span, ...]
    """Left and right end of each, laps included."""
    lost: tuple[Lost, ...] = ()
    """What is not kept."""

    @property
    def seams(self) -> tuple[float, ...]:
        """Return the middle of each lap or gap, from left to right."""
        row = pairwise(sorted(self.pieces))
        return tuple((end + start) / 2.0 for (_, end), (start, _) in row)


def along(asked: Asked, low: float) -> PieceRow:
    """Return the pieces of a run whose low point is anywhere.

    Args:
        asked: The run and what is asked of it; its low end is the left one, and seams below
            are told by the middle of their laps, from the left.
        low: Where pieces start, from the left.

    A low point in the middle of a run has a piece across it, which is lapped on both sides;
    one near an end lies under the first piece from that end. So no lap stands against the
    water that runs down to it.
    """
    pieces = _laid(asked, low)
    return PieceRow(pieces, _lost(asked, pieces))


def _laid(asked: Asked, low: float) -> tuple[Span, ...]:
    if asked.run <= asked.stock:
        return ((0.0, asked.run),)
    from_left = low <= asked.run / 2.0
    # the lap of the next piece starts beyond the low point
    first = (low if from_left else asked.run - low) + max(asked.lap, 0.0)
    start = _start(asked, low)
    if start is None and first > asked.stock:  # that no lap faces the water goes first
        free = replace(asked, low_corner=0.0, high_corner=0.0)
        start = _start(free, low)
        if start is None:
            start = _start(replace(free, least=0.0), low)
    if start is not None:
        return _from_middle(asked, start)
    first = min(first, asked.stock)
    if from_left:
        return _up(replace(asked, first=first))
    return _turned(_up(replace(_mirrored(asked), first=first)), asked.run)


def _from_middle(asked: Asked, start: float) -> tuple[Span, ...]:
    """Return a whole piece across the low point, then those to its right and its left."""
    end = start + asked.stock
    to_right = _beyond(asked, end)
    to_left = _turned(_beyond(_mirrored(asked), asked.run - start), asked.run)
    return ((start, end), *to_right, *to_left)


def _beyond(asked: Asked, end: float) -> tuple[Span, ...]:
    """Return the pieces that go on to the right of one that ends somewhere."""
    start = end - asked.lap
    below = tuple(replace(s, at=s.at - start) for s in asked.below)
    rest = replace(asked, run=asked.run - start, low_corner=0.0, below=below)
    return tuple((a + start, b + start) for a, b in _up(rest))


def _start(asked: Asked, low: float) -> float | None:
    """Return where a whole piece across the low point starts; None where none has room.

    Its middle lies over the low point, or as near to it as the seams below allow; of two
    places alike it takes the one nearer to the middle of the run.
    """
    lap = asked.lap
    most = int(max(asked.stock / 2.0 - max(lap, 0.0), 0.0) // _STEP)
    inward = 1 if low < asked.run / 2.0 else -1
    beside = max(asked.least - lap, _STEP)  # what is left of the run on either side
    left = max(beside, asked.low_corner)
    right = asked.run - max(beside, asked.high_corner)
    found: list[tuple[float, float]] = []
    for n in sorted(range(-most, most + 1), key=lambda n: (abs(n), -n * inward)):
        start = low - asked.stock / 2.0 + n * _STEP
        end = start + asked.stock
        if start < left or end > right:
            continue
        seams = (start + lap / 2.0, end - lap / 2.0)
        short = max(
            (s.clear - abs(at - s.at) for at in seams for s in asked.below), default=0.0
        )
        if short <= _ROUND:
            return start
        found.append((round(short, 1), start))
    return min(found, key=lambda one: one[0])[1] if found else None


def _up(asked: Asked) -> tuple[Span, ...]:
    """Return the pieces from the left end up."""
    # a row tells a seam by the edge of the piece below; the lap's middle lies before it
    edges = (Seam(s.at + asked.lap / 2.0, s.clear) for s in asked.below)
    return lay(replace(asked, below=tuple(edges)))


def _mirrored(asked: Asked) -> Asked:
    return replace(
        asked,
        low_corner=asked.high_corner,
        high_corner=asked.low_corner,
        below=tuple(replace(s, at=asked.run - s.at) for s in asked.below),
    )


def _turned(pieces: tuple[Span, ...], run: float) -> tuple[Span, ...]:
    return tuple((run - b, run - a) for a, b in pieces)


def _lost(asked: Asked, pieces: tuple[Span, ...]) -> tuple[Lost, ...]:
    """Return what of all that is asked the pieces do not keep, measured on them."""
    row = list(pairwise(sorted(pieces)))
    laps = [(min(end, start), max(end, start)) for (_, end), (start, _) in row]
    near = [
        min(abs((a + b) / 2.0 - s.at) for s in asked.below)
        for a, b in laps
        if any(abs((a + b) / 2.0 - s.at) < s.clear - _ROUND for s in asked.below)
    ]
    ends = [
        distance
        for a, b in laps
        for distance, wanted in ((a, asked.low_corner), (asked.run - b, asked.high_corner))
        if distance < wanted - _ROUND
    ]
    narrow = [b - a for a, b in pieces if b - a < min(asked.least, asked.run) - _ROUND]
    kinds = ((Gave.BELOW, near), (Gave.CORNER, ends), (Gave.SLIVER, narrow))
    return tuple(Lost(kind, len(some), min(some)) for kind, some in kinds if some)
