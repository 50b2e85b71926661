"""A row of pieces along a run: where the seams fall, so that all that is asked holds.

Positions are mm from the low end of the run. A seam is the place of the upper piece's edge:
pieces lap from there back toward the low end, `lap` wide, so that water runs over each
seam. Metal that meets over a plate has a gap instead; its lap is negative.

Where seams may fall is a set of intervals. Going back from the far end, each seam may fall
where the next one can be reached; going forward, each piece is as wide as it may be. So a
row has the fewest pieces that will do, the widest ones first, and none is found by trial.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from math import ceil, inf
from typing import Final

_NEAR: Final = 1e-6
_MORE: Final = 3
"""So many pieces more than the fewest are tried before something gives way."""
Span = tuple[float, float]


class Gave(StrEnum):
    """What had to give way, the first to go first."""

    BELOW = "seams below"
    CORNER = "corners"
    SLIVER = "least width"


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
    below: tuple[float, ...] = ()
    """Seams of the course below."""
    apart: float = 0.0
    """How far seams stay from those of the course below."""


@dataclass(frozen=True, slots=True)
class Row:
    """The pieces of a run, from the low end."""

    pieces: tuple[Span, ...]
    """Start and end of each, laps included."""
    gave: tuple[Gave, ...] = ()
    """What could not be kept."""

    @property
    def seams(self) -> tuple[float, ...]:
        """Return where pieces end on the way: the edge that the next one laps or faces."""
        return tuple(end for _, end in self.pieces[:-1])


def lay(asked: Asked) -> Row:
    """Return the row with the fewest pieces that keeps what is asked.

    Where nothing keeps all of it, the distance from the seams below gives way first, then
    that from corners, then the least width; the row says which.

    Raises:
        ValueError: The run is nothing, or a piece is no wider than its lap.
    """
    if asked.run <= 0.0 or asked.stock <= max(asked.lap, 0.0):
        message = f"no pieces {asked.stock:g} mm wide can cover {asked.run:g} mm"
        raise ValueError(message)
    gave: tuple[Gave, ...] = ()
    while True:
        fewest = max(1, ceil((asked.run - asked.lap) / (asked.stock - asked.lap) - _NEAR))
        for count in range(fewest, fewest + _MORE + 1):
            if ends := _ends(asked, count):
                return Row(_pieces(asked, ends), gave)
        asked, gave = _eased(asked, gave)


def _eased(asked: Asked, gave: tuple[Gave, ...]) -> tuple[Asked, tuple[Gave, ...]]:
    """Return what is asked with the next thing given up."""
    if asked.below and asked.apart:
        return replace(asked, below=(), apart=0.0), (*gave, Gave.BELOW)
    if asked.low_corner or asked.high_corner:
        return replace(asked, low_corner=0.0, high_corner=0.0), (*gave, Gave.CORNER)
    assert asked.least > 0.0, "without limits any run can be covered"
    return replace(asked, least=0.0), (*gave, Gave.SLIVER)


def _pieces(asked: Asked, ends: Sequence[float]) -> tuple[Span, ...]:
    starts = [0.0, *(end - asked.lap for end in ends[:-1])]
    return tuple(zip(starts, ends, strict=True))


def _ends(asked: Asked, count: int) -> list[float]:
    """Return where each of so many pieces ends; nothing where they cannot do."""
    if count == 1:
        return [asked.run] if asked.run <= asked.stock + _NEAR else []
    shortest, longest = max(asked.least - asked.lap, _NEAR), asked.stock - asked.lap
    allowed = _allowed(asked)
    # The first piece has no lap before it: as if one had ended where its own lap begins.
    reach: list[list[Span]] = [[(asked.run, asked.run)]]
    for _ in range(count - 1):
        back = [(low - longest, high - shortest) for low, high in reach[0]]
        reach.insert(0, _common(_joined(back), allowed))
    ends: list[float] = []
    at = asked.lap
    for spans in reach:
        within = _common(spans, [(at + shortest - _NEAR, at + longest + _NEAR)])
        if not within:
            return []
        at = min(within[-1][1], at + longest)
        ends.append(at)
    return ends


def _allowed(asked: Asked) -> list[Span]:
    """Return where seams may fall, the seams below and the corners kept clear."""
    low = asked.low_corner + max(asked.lap, 0.0) if asked.low_corner else -inf
    high = asked.run - asked.high_corner if asked.high_corner else inf
    spans = [(low, high)] if low <= high else []
    for seam in asked.below:
        spans = [
            part
            for a, b in spans
            for part in ((a, min(b, seam - asked.apart)), (max(a, seam + asked.apart), b))
            if part[0] <= part[1]
        ]
    return spans


def _common(one: Iterable[Span], other: Sequence[Span]) -> list[Span]:
    """Return what two sets of spans share, in order."""
    both = ((max(a, c), min(b, d)) for a, b in one for c, d in other)
    return _joined(span for span in both if span[0] <= span[1])


def _joined(spans: Iterable[Span]) -> list[Span]:
    """Return spans in order, those that touch as one."""
    found: list[Span] = []
    for low, high in sorted(spans):
        if found and low <= found[-1][1] + _NEAR:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    return found
