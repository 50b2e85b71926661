"""The columns of a table: what stands in them, and how they share its width.

Numbers, drawings and blanks take what they need. Texts share what is left, each time where
it saves the most lines.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import ceil, fsum
from typing import Final

from detailgen.lettering import letterable, text_width
from detailgen.scene import Item
from detailgen.sheet.flow import TEXT

GAP: Final = 3.0
"""Between two columns, mm."""
_HAIR: Final = 0.01
"""Added to what a column must hold, so that rounding parts no word, mm."""
_LEAST: Final = 6.0
"""No column is narrower, mm."""
_WORD: Final = re.compile(r"\s+|(?<=[-/])(?=[^\W\d])")
"""Between words; they are parted after a hyphen and a slash, too."""
_STEPS: Final = 40
"""In so many parts the width is given to columns that want more of it."""
_AHEAD: Final = (1, 2, 4, 8, 16, 24, 32)
"""So many parts at once are tried."""
_HIDDEN: Final = 0.2
"""What a line is worth that is saved in a row where another cell is as high."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A small drawing in a cell, about its upper left corner."""

    width: float
    height: float
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Col:
    """One column."""

    head: str
    number: bool = False
    """Whether its cells end at its right edge and are never wrapped."""
    blank: float = 0.0
    """Width of a column that is filled in by hand, mm."""


Cell = str | Picture


@dataclass(frozen=True, slots=True)
class Line:
    """One row of a table; a short one spans all columns with its first cell."""

    cells: tuple[Cell, ...]
    bold: bool = False
    strong: frozenset[int] = frozenset()
    """Columns that are bold where the others are not."""
    targets: dict[int, str] = field(default_factory=dict[int, str])
    """Where a cell leads, by its column."""


@dataclass(frozen=True, slots=True)
class Heading:
    """A line of words over the rows that follow it."""

    text: str
    target: str = ""
    note: str = ""
    """What is said after it, not in bold."""


@dataclass(frozen=True, slots=True)
class Note:
    """A line of words over all columns, between or under rows."""

    text: str
    bold: str = ""


def chosen(
    columns: Sequence[Col], lines: Sequence[Line], keep: Sequence[int]
) -> tuple[list[Col], list[Line]]:
    """Return some columns of a table, with their cells and where these lead."""
    made = [
        replace(
            one,
            cells=tuple(one.cells[k] for k in keep),
            strong=frozenset(n for n, k in enumerate(keep) if k in one.strong),
            targets={n: one.targets[k] for n, k in enumerate(keep) if k in one.targets},
        )
        for one in lines
    ]
    return [columns[k] for k in keep], made


def fits(
    columns: Sequence[Col], lines: Sequence[Line | Heading | Note], width: float
) -> bool:
    """Return whether no word need be broken to set a table."""
    cells = [line for line in lines if isinstance(line, Line)]
    return fsum(_least(columns, cells)) <= width


def _wanted(columns: Sequence[Col], cells: Sequence[Line]) -> list[float]:
    """Return the widths at which no cell is wrapped, the gap behind each within it."""
    return [
        max(_head_width(c), c.blank, *(_wide(x.cells[n]) for x in cells)) + GAP + _HAIR
        for n, c in enumerate(columns)
    ]


def _least(columns: Sequence[Col], cells: Sequence[Line]) -> list[float]:
    """Return the widths at which no word is broken."""
    wanted = _wanted(columns, cells)
    return [
        wanted[n]
        if c.number or c.blank
        else max(_head_width(c), 0.0, *(_narrow(x.cells[n]) for x in cells)) + GAP + _HAIR
        for n, c in enumerate(columns)
    ]


def widths_of(
    columns: Sequence[Col], lines: Sequence[Line | Heading | Note], width: float
) -> list[float]:
    """Return the widths of columns, the gap behind each within it; together the width."""
    cells = [line for line in lines if isinstance(line, Line)]
    wanted, least = _wanted(columns, cells), _least(columns, cells)
    if fsum(wanted) <= width:
        return _stretched(columns, wanted, width)
    fitted = list(least)
    needs = [[_wide(c) + GAP for c in one.cells] for one in cells]
    _shared_out(fitted, wanted, needs, width - fsum(least))
    over = fsum(fitted) - width
    if over <= 0.0:
        return fitted
    # Not even the longest words find room: the longest of them are broken.
    drawn = [any(isinstance(x.cells[n], Picture) for x in cells) for n in range(len(least))]
    fixed = [c.number or c.blank or d for c, d in zip(columns, drawn, strict=True)]
    room = width - fsum(w for w, f in zip(fitted, fixed, strict=True) if f)
    level = _level([w for w, f in zip(fitted, fixed, strict=True) if not f], room)
    return [w if f else min(w, level) for w, f in zip(fitted, fixed, strict=True)]


def _level(widths: Sequence[float], room: float) -> float:
    """Return to what the widest must shrink so that all have room; never to nothing."""
    left, count = room, len(widths)
    for wide in sorted(widths):
        if wide * count > left:
            return max(left / count, _LEAST)
        left, count = left - wide, count - 1
    return max(widths, default=0.0)


def _shared_out(
    widths: list[float],
    wanted: Sequence[float],
    needs: Sequence[Sequence[float]],
    spare: float,
) -> None:
    """Give columns what is left of the width, each time where it saves the most lines."""
    step = spare / _STEPS
    while spare > step / 2 > 0.0:
        open_ = [n for n, w in enumerate(wanted) if widths[n] < w]
        if not open_:
            return
        best = (0.0, 0, 1)
        for column in open_:
            for steps in _AHEAD:
                if steps * step <= spare + step / 2:
                    gain = _saved(widths, column, steps * step, needs) / steps
                    best = max(best, (gain, column, steps), key=lambda b: b[0])
        gain, column, steps = best
        if not gain:  # nothing is saved any more: the one that lacks most
            column = max(open_, key=lambda n: wanted[n] - widths[n])
        widths[column] += steps * step
        spare -= steps * step


def _saved(
    widths: Sequence[float], column: int, more: float, needs: Sequence[Sequence[float]]
) -> float:
    """Return how many lines all rows together save by a column that is wider."""
    saved = 0.0
    for row in needs:
        now = ceil(row[column] / widths[column] - _HAIR)
        then = ceil(row[column] / (widths[column] + more) - _HAIR)
        if then < now:
            others = (
                ceil(need / width - _HAIR)
                for n, (need, width) in enumerate(zip(row, widths, strict=True))
                if n != column
            )
            saved += max(0, now - max(then, *others)) + _HIDDEN * (now - then)
    return saved


def _stretched(columns: Sequence[Col], wanted: list[float], width: float) -> list[float]:
    """Return columns as wide together as there is room: blanks grow, else texts."""
    spare = width - fsum(wanted)
    grows = [n for n, c in enumerate(columns) if c.blank]
    if not grows:
        texts = [n for n, c in enumerate(columns) if not c.number]
        grows = [max(texts, key=lambda n: wanted[n])] if texts else [len(columns) - 1]
        spare = min(spare, 0.5 * wanted[grows[0]])  # the eye must find its line again
    return [w + spare / len(grows) if n in grows else w for n, w in enumerate(wanted)]


def _head_width(column: Col) -> float:
    words = [column.head] if column.number else column.head.split()
    return max((text_width(w, TEXT, bold=True) for w in words), default=0.0)


def _wide(cell: Cell) -> float:
    if isinstance(cell, Picture):
        return cell.width
    return text_width(letterable(cell), TEXT, bold=True)


def _narrow(cell: Cell) -> float:
    if isinstance(cell, Picture):
        return cell.width
    words = letterable(cell).split()
    return max((text_width(w, TEXT, bold=True) for w in words), default=0.0)
