"""The air of a section, cut into level slabs, and how water moves in it.

Between two neighbouring heights of corners every body's outline is a set of straight pieces
that do not meet, so that the air in such a slab falls into spans. Water in a span lies on
its floor, or is on a level with its ceiling.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

from detailgen.geometry import Point

LEVEL = 2e-3
"""Two heights closer than this, mm, are one: there is no air between them."""
SAME = 4e-4
"""Two positions closer than this, mm, are one."""


class Border(NamedTuple):
    """A piece of outline with air on one side."""

    start: int
    end: int
    air_left: bool


class Span(NamedTuple):
    """A piece of air between two outlines, from one height of a corner to the next."""

    slab: int
    floor: tuple[float, float]
    """From which x to which it reaches at its lower end."""
    ceiling: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Air:
    """The spans of all slabs, from the lowest up, and what touches them."""

    levels: tuple[float, ...]
    """Heights of all corners in contact with air, rising; slab i starts at level i."""
    spans: tuple[Span, ...]
    doors: tuple[tuple[int, int], ...]
    """Pairs of spans, lower and upper, that are open to one another."""
    floors: tuple[tuple[int, int], ...]
    """Pairs of a corner and a span on whose floor it is."""
    ceilings: tuple[tuple[int, int], ...]
    """Pairs of a corner and a span that ends at its height."""

    def rise(self, span: int) -> float:
        """Return the height of a span, mm."""
        slab = self.spans[span].slab
        return self.levels[slab + 1] - self.levels[slab]


def air(points: Sequence[Point], borders: Sequence[Border]) -> Air:
    """Return the air between borders."""
    corners = sorted({p for b in borders for p in (b.start, b.end)})
    levels, height = _levels([points[p][1] for p in corners])
    slabs = _slabs(points, borders, levels, height)
    spans = [span for slab in slabs for span in slab]
    first = [0]
    for slab in slabs:
        first.append(first[-1] + len(slab))
    doors: list[tuple[int, int]] = []
    for low, (below, above) in enumerate(pairwise(slabs)):
        doors += [
            (first[low] + i, first[low + 1] + j)
            for i, a in enumerate(below)
            for j, b in enumerate(above)
            if min(a.ceiling[1], b.floor[1]) - max(a.ceiling[0], b.floor[0]) > SAME
        ]
    floors: list[tuple[int, int]] = []
    ceilings: list[tuple[int, int]] = []
    for p in corners:
        x, k = points[p][0], height[points[p][1]]
        if k < len(slabs):
            floors += [
                (p, first[k] + i)
                for i, s in enumerate(slabs[k])
                if s.floor[0] - SAME <= x <= s.floor[1] + SAME
            ]
        if k:
            ceilings += [
                (p, first[k - 1] + i)
                for i, s in enumerate(slabs[k - 1])
                if s.ceiling[0] - SAME <= x <= s.ceiling[1] + SAME
            ]
    return Air(tuple(levels), tuple(spans), tuple(doors), tuple(floors), tuple(ceilings))


def _levels(ys: Iterable[float]) -> tuple[list[float], dict[float, int]]:
    """Return the heights that differ, rising, and the number of that of each height."""
    levels: list[float] = []
    height: dict[float, int] = {}
    for y in sorted(set(ys)):
        if not levels or y - levels[-1] > LEVEL:
            levels.append(y)
        height[y] = len(levels) - 1
    return levels, height


def _slabs(
    points: Sequence[Point],
    borders: Sequence[Border],
    levels: Sequence[float],
    height: Mapping[float, int],
) -> list[list[Span]]:
    """Return the spans of each slab, from left to right."""
    crossed: list[list[tuple[float, float, float, bool]]] = [[] for _ in levels[1:]]
    for border in borders:
        a, b = points[border.start], points[border.end]
        air_after = border.air_left != (b[1] > a[1])  # left of a rising piece is before it
        if b[1] < a[1]:
            a, b = b, a
        low, high = height[a[1]], height[b[1]]
        if low == high:
            continue
        lean = (b[0] - a[0]) / (b[1] - a[1])
        x = a[0]
        for k in range(low, high):
            over = a[0] + lean * (levels[k + 1] - a[1]) if k + 1 < high else b[0]
            crossed[k].append(((x + over) / 2.0, x, over, air_after))
            x = over
    return [_spans(k, sorted(pieces)) for k, pieces in enumerate(crossed)]


def _spans(slab: int, pieces: Sequence[tuple[float, float, float, bool]]) -> list[Span]:
    """Return the spans between the pieces that cross a slab, from left to right."""
    out: list[Span] = []
    for (_, x0, x1, opens), (_, x2, x3, goes_on) in pairwise(pieces):
        if opens and not goes_on:
            out.append(Span(slab, (x0, x2), (x1, x3)))
    return out
