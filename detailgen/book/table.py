"""Tables for pages of text: columns as wide as what they hold, rows that are never parted.

A table is a block like any other: its head comes again wherever it goes on. Its columns
share the width: numbers and marks take what they need, texts what is left. A cell may lead
to another page of the book.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cache
from math import ceil
from typing import Final

from detailgen.lettering import DESCENT, letterable, text_width, wrap
from detailgen.scene import Item, Path
from detailgen.sheet.blocks import TOP, paragraph, pitch_of
from detailgen.sheet.flow import PITCH, TEXT, Block, Row, line, moved, right

GAP: Final = 3.0
"""Between two columns, mm."""
_CLEAR: Final = 1.3
"""Between a rule and the text above it, mm."""
_HAIR: Final = 0.01
"""Added to what a column must hold, so that rounding parts no word, mm."""
_STEPS: Final = 40
"""In so many parts the width is given to columns that want more of it."""
_AHEAD: Final = (1, 2, 4, 8)
"""So many parts at once are tried."""
_HIDDEN: Final = 0.2
"""What a line is worth that is saved in a row where another cell is as high."""
_ABOVE: Final = 0.8
"""Between the line over a row and what stands in it, mm, besides a row's own."""


@dataclass(frozen=True, slots=True)
class LinkBox:
    """Where a link stands about a row's upper left corner, mm, and where it leads."""

    box: tuple[float, float, float, float]
    target: str
    """Key of a place of the book."""


@dataclass(frozen=True, slots=True)
class Linked(Row):
    """A row parts of which lead to other pages."""

    links: tuple[LinkBox, ...] = ()


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


def table(
    title: str,
    columns: Sequence[Col],
    lines: Sequence[Line | Heading | Note],
    *,
    least: float = 0.0,
    ruled: bool = False,
) -> Block:
    """Return a table as a block.

    Args:
        title: Its heading.
        columns: Its columns, from left to right.
        lines: Its rows, headings between them, and notes.
        least: Height of a row at the least, mm: room to write in by hand.
        ruled: Whether lines stand between the columns, too.
    """

    @cache
    def set_in(width: float) -> _Setting:
        return _Setting(columns, lines, width, least, ruled=ruled)

    def head(width: float) -> list[Row]:
        made = set_in(width)
        return [made.head()] if lines and any(c.head for c in columns) else []

    def rows(width: float) -> list[Row]:
        made = set_in(width)
        return [made.row(one) for one in lines]

    return Block(title, rows, head)


def widths_of(
    columns: Sequence[Col], lines: Sequence[Line | Heading | Note], width: float
) -> list[float]:
    """Return the widths of columns, the gap behind each within it; together the width."""
    cells = [line for line in lines if isinstance(line, Line)]
    wanted: list[float] = []
    least: list[float] = []
    for place, column in enumerate(columns):
        found = [one.cells[place] for one in cells]
        wanted.append(max(_head_width(column), *(_wide(c) for c in found), column.blank))
        narrow = (_narrow(c) for c in found)
        fixed = column.number or column.blank
        least.append(wanted[-1] if fixed else max(_head_width(column), *narrow))
    wanted = [w + GAP + _HAIR for w in wanted]
    least = [w + GAP + _HAIR for w in least]
    if sum(wanted) <= width:
        return _stretched(columns, wanted, width)
    fitted = list(least)
    needs = [[_wide(c) + GAP for c in one.cells] for one in cells]
    _shared_out(fitted, wanted, needs, width - sum(least))
    over = sum(fitted) - width
    if over <= 0.0:
        return fitted
    # Not even the longest words find room: texts are broken within them.
    free = [0.0 if c.number or c.blank else w for c, w in zip(columns, fitted, strict=True)]
    share = max(0.2, 1.0 - over / max(sum(free), 1.0))
    return [w * share if f else w for w, f in zip(fitted, free, strict=True)]


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
    spare = width - sum(wanted)
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


class _Setting:
    """A table at one width."""

    def __init__(
        self,
        columns: Sequence[Col],
        lines: Sequence[Line | Heading | Note],
        width: float,
        least: float,
        *,
        ruled: bool,
    ) -> None:
        self.columns, self.width, self.least, self.ruled = columns, width, least, ruled
        self.widths = widths_of(columns, lines, width)
        self.stops = [sum(self.widths[:n]) for n in range(len(columns))]

    def head(self) -> Row:
        """Return the row with what the columns are called."""
        return self._line(
            Line(tuple(c.head for c in self.columns), bold=True), least=0.0, with_next=True
        )

    def row(self, one: Line | Heading | Note) -> Row:
        """Return one row."""
        match one:
            case Heading():
                return self._heading(one)
            case Note():
                return paragraph(letterable(one.text), self.width, bold=one.bold)
            case Line():
                return self._line(one, least=self.least)

    def _heading(self, one: Heading) -> Row:
        made = paragraph(letterable(one.note), self.width, bold=letterable(one.text))
        items = tuple(moved(i, 0.0, -1.2) for i in made.items)
        height = made.height + 1.2
        box = (0.0, -height, self.width, 0.0)
        links = (LinkBox(box, one.target),) if one.target else ()
        return Linked(height, items, with_next=True, links=links)

    def _line(self, one: Line, *, least: float, with_next: bool = False) -> Row:
        items: list[Item] = []
        boxes: list[tuple[int, float, float]] = []
        low = -(least or 0.0)
        for place, cell in enumerate(one.cells):
            x, wide = self.stops[place], self.widths[place] - GAP
            start = x + (1.0 if self.ruled and place else 0.0)
            if isinstance(cell, Picture):
                middle = (wide - cell.width) / 2
                items += [moved(i, start + max(middle, 0.0), -_CLEAR) for i in cell.items]
                low = min(low, -cell.height - 2 * _CLEAR)
                continue
            set_, bottom = self._text(
                cell, start, wide, place, bold=one.bold or place in one.strong
            )
            items += set_
            boxes.append((place, start, start + wide))
            low = min(low, bottom)
        items.append(Path(((0.0, low), (self.width, low)), "table"))
        if self.ruled:
            lines = (x - GAP / 2 for x in self.stops[1:])
            items += [Path(((x, 0.0), (x, low)), "table") for x in lines]
        links = tuple(
            LinkBox((x0, low, x1, 0.0), one.targets[place])
            for place, x0, x1 in boxes
            if place in one.targets
        )
        return Linked(-low, tuple(items), with_next=with_next, links=links)

    def _text(
        self, cell: str, x: float, wide: float, place: int, *, bold: bool
    ) -> tuple[list[Item], float]:
        """Return the lines of a cell, and where its row must end at the highest."""
        text = letterable(cell)
        column = self.columns[place]
        pitch, y = pitch_of(text), -TOP - _ABOVE
        items: list[Item] = []
        wrapped = [text] if column.number and text else wrap(text, wide, TEXT, bold=bold)
        for n, words in enumerate(wrapped):
            level = y - n * pitch
            if column.number:
                items.append(right(words, x + wide, level, bold=bold))
            else:
                items.append(line(words, x, level, bold=bold))
        last = y - max(len(wrapped) - 1, 0) * pitch
        return items, last - DESCENT * TEXT - _CLEAR


def texts(title: str, told: Sequence[tuple[str, str]]) -> Block:
    """Return a block of paragraphs, each with a bold start."""
    clean = [(letterable(head), letterable(text)) for head, text in told]

    def rows(width: float) -> list[Row]:
        return [paragraph(text, width, bold=head) for head, text in clean]

    return Block(title, rows)


def leading(
    title: str, told: Sequence[tuple[str, str, str]], here: Callable[[str], bool]
) -> Block:
    """Return a list that leads to other pages.

    Args:
        title: Its heading.
        told: Words, what stands at the right of them, and where they lead.
        here: Whether a place is the one that the reader is at; its line is bold.
    """

    def rows(width: float) -> list[Row]:
        made: list[Row] = []
        for words, at, target in told:
            bold = here(target)
            room = width - text_width(at, TEXT, bold=True) - GAP
            wrapped = wrap(letterable(words), room, TEXT, bold=bold)
            items: list[Item] = [
                line(w, 0.0, -TOP - n * PITCH, bold=bold) for n, w in enumerate(wrapped)
            ]
            items.append(right(at, width, -TOP, bold=bold))
            low = -TOP - (len(wrapped) - 1) * PITCH - DESCENT * TEXT - 0.9
            links = (LinkBox((0.0, low, width, 0.0), target),)
            made.append(Linked(-low, tuple(items), links=links))
        return made

    return Block(title, rows)
