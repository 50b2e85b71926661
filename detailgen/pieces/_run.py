"""A run with its low point anywhere: pieces start there and go up to both ends.

Positions are mm from the left end of the run.
"""

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

from detailgen.pieces._row import Asked, Gave, lay

_STEP: Final = 10.0
"""By so much a piece across the low point is moved until no seam below is near, mm."""


@dataclass(frozen=True, slots=True)
class Placed:
    """The pieces of a run, in the order in which they are laid."""

    pieces: tuple[tuple[float, float], ...]
    """Left and right end of each, laps included."""
    gave: tuple[Gave, ...] = ()
    """What could not be kept."""

    @property
    def seams(self) -> tuple[float, ...]:
        """Return where a piece's edge lies under the next one, from left to right."""
        row = pairwise(sorted(self.pieces))
        return tuple((end + start) / 2.0 for (_, end), (start, _) in row)


def along(asked: Asked, low: float) -> Placed:
    """Return the pieces of a run whose low point is anywhere.

    Args:
        asked: The run and what is asked of it; its low end is the left one, and seams below
            are told by the middle of their laps, from the left.
        low: Where pieces start, from the left.

    A low point in the middle of a run has a piece across it, which is lapped on both sides.
    """
    # what would be left beside a piece across the low point is no sliver either
    half = asked.stock / 2.0
    near = min(half + max(asked.least - asked.lap, 0.0), asked.stock)
    if low <= min(near, asked.run / 2.0):
        return _up(asked)
    if low >= asked.run - near:
        return _turned(_up(_mirrored(asked)), asked.run)
    start, clear = _start(asked, low)
    if start is None:  # no piece has room across the low point
        return _up(asked)
    right = _up(
        replace(
            asked,
            run=asked.run - start,
            low_corner=0.0,
            below=tuple(s - start for s in asked.below),
        )
    )
    first = (start, start + right.pieces[0][1])
    rest = start + asked.lap  # the piece across the low point is lapped on this side, too
    left = _turned(
        _up(
            replace(
                asked,
                run=rest,
                low_corner=0.0,
                high_corner=asked.low_corner,
                below=tuple(rest - s for s in asked.below),
            )
        ),
        rest,
    )
    moved = [(a + start, b + start) for a, b in right.pieces[1:]]
    over = () if clear else (Gave.BELOW,)
    gave = tuple(dict.fromkeys((*over, *right.gave, *left.gave)))
    return Placed((first, *moved, *left.pieces), gave)


def _start(asked: Asked, low: float) -> tuple[float | None, bool]:
    """Return where the piece across the low point starts, and if no seam below is near.

    None where it has no room that is clear of the left end. Its middle lies over the low
    point, or as near to it as the seams below allow.
    """
    middle = low - asked.stock / 2.0
    most = asked.stock / 2.0 - max(asked.lap, 0.0)
    steps = int(most // _STEP)
    least = max(asked.least - asked.lap, asked.low_corner)
    found: list[float] = []
    for n in sorted(range(-steps, steps + 1), key=abs):
        start = middle + n * _STEP
        seam = start + asked.lap / 2.0
        if not least <= start <= asked.run - asked.stock:
            continue
        if all(abs(seam - s) >= asked.apart for s in asked.below):
            return start, True
        found.append(start)
    return (found[0] if found else None), False


def _up(asked: Asked) -> Placed:
    """Return the pieces from the left end up."""
    # a row tells a seam by the edge of the piece below; the lap's middle lies before it
    edges = tuple(s + asked.lap / 2.0 for s in asked.below)
    row = lay(replace(asked, below=edges))
    return Placed(row.pieces, row.gave)


def _mirrored(asked: Asked) -> Asked:
    return replace(
        asked,
        low_corner=asked.high_corner,
        high_corner=asked.low_corner,
        below=tuple(asked.run - s for s in asked.below),
    )


def _turned(placed: Placed, run: float) -> Placed:
    return replace(placed, pieces=tuple((run - b, run - a) for a, b in placed.pieces))
