"""Tables for pages of text: columns as wide as what they hold, rows that are never parted.

A table is a block like any other: its head comes again wherever it goes on. Its columns
share the width: numbers and marks take what they need, texts what is left. A cell may lead
to another page of the book.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import ceil, fsum
from typing import Final

from detailgen.book.columns import GAP, Col, Heading, Line, Note, Picture, fits, widths_of
from detailgen.lettering import DESCENT, letterable, text_width, wrap
from detailgen.scene import Item, Path
from detailgen.sheet.blocks import TOP, paragraph, pitch_of
from detailgen.sheet.flow import PITCH, TEXT, Block, Row, line, moved, right

_CLEAR: Final = 1.3
"""Between a rule and the text above it, mm."""
READABLE: Final = 220.0
"""Lines of words are no longer, mm."""
_MOST: Final = 12
"""A row has so many lines at the most; what has more goes on in a further row."""
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


def table(
    title: str,
    columns: Sequence[Col],
    lines: Sequence[Line | Heading | Note],
    *,
    least: float = 0.0,
    ruled: bool = False,
    narrow: tuple[Sequence[Col], Sequence[Line | Heading | Note]] | None = None,
) -> Block:
    """Return a table as a block.

    Args:
        title: Its heading.
        columns: Its columns, from left to right.
        lines: Its rows, headings between them, and notes.
        least: Height of a row at the least, mm: room to write in by hand.
        ruled: Whether lines stand between the columns, too.
        narrow: Columns and rows for a sheet on which those find no room.
    """

    @cache
    def set_in(width: float) -> _Setting:
        given = columns, lines
        if narrow and not fits(*given, width):
            given = narrow
        return _Setting(*given, width, least, ruled=ruled)

    def head(width: float) -> list[Row]:
        made = set_in(width)
        return made.head() if lines and any(c.head for c in columns) else []

    def rows(width: float) -> list[Row]:
        made = set_in(width)
        return [row for one in made.lines for row in made.rows(one)]

    return Block(title, rows, head)


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
        self.columns, self.lines = columns, lines
        self.width, self.least, self.ruled = width, least, ruled
        self.widths = widths_of(columns, lines, width)
        self.stops = [fsum(self.widths[:n]) for n in range(len(columns))]

    def head(self) -> list[Row]:
        """Return the row with what the columns are called."""
        names = Line(tuple(c.head for c in self.columns), bold=True)
        return self._line(names, least=0.0, with_next=True)

    def rows(self, one: Line | Heading | Note) -> list[Row]:
        """Return one row; in parts where it is too high to be set at once."""
        match one:
            case Heading():
                return [self._heading(one)]
            case Note():
                made = paragraphs(one.text, self.width, bold=one.bold)
                return [_lowered(row) for row in made]
            case Line():
                return self._line(one, least=self.least)

    def _heading(self, one: Heading) -> Row:
        made = paragraph(letterable(one.note), self.width, bold=letterable(one.text))
        row = _lowered(made)
        box = (0.0, -row.height, self.width, 0.0)
        links = (LinkBox(box, one.target),) if one.target else ()
        return Linked(row.height, row.items, with_next=True, links=links)

    def _line(self, one: Line, *, least: float, with_next: bool = False) -> list[Row]:
        wrapped = [self._wrapped(one, place) for place in range(len(one.cells))]
        count = max(1, ceil(max(map(len, wrapped), default=0) / _MOST))
        return [
            self._part(one, wrapped, part, least=least, with_next=with_next)
            for part in range(count)
        ]

    def _wrapped(self, one: Line, place: int) -> list[str]:
        """Return the lines of a cell."""
        cell, column = one.cells[place], self.columns[place]
        if isinstance(cell, Picture):
            return []
        text, wide = letterable(cell), self.widths[place] - GAP
        if column.number:
            return [text] if text else []
        return wrap(text, wide, TEXT, bold=one.bold or place in one.strong)

    def _part(
        self,
        one: Line,
        wrapped: Sequence[Sequence[str]],
        part: int,
        *,
        least: float,
        with_next: bool,
    ) -> Row:
        """Return a row with so many lines of each cell as stand together."""
        items: list[Item] = []
        links: list[LinkBox] = []
        low = -least
        for place, cell in enumerate(one.cells):
            x, wide = self.stops[place], self.widths[place] - GAP
            start = x + (1.0 if self.ruled and place else 0.0)
            if isinstance(cell, Picture):
                if part == 0:
                    middle = start + max((wide - cell.width) / 2, 0.0)
                    items += [moved(i, middle, -_CLEAR) for i in cell.items]
                    low = min(low, -cell.height - 2 * _CLEAR)
                continue
            lines = wrapped[place][part * _MOST : (part + 1) * _MOST]
            bold = one.bold or place in one.strong
            pitch, y = pitch_of("".join(lines)), -TOP - _ABOVE
            for words in lines:
                if self.columns[place].number:
                    items.append(right(words, x + wide, y, bold=bold))
                else:
                    items.append(line(words, start, y, bold=bold))
                y -= pitch
            last = y + pitch if lines else y
            low = min(low, last - DESCENT * TEXT - _CLEAR)
            if place in one.targets and lines:
                links.append(LinkBox((start, low, start + wide, 0.0), one.targets[place]))
        items.append(Path(((0.0, low), (self.width, low)), "table"))
        if self.ruled:
            between = (x - GAP / 2 for x in self.stops[1:])
            items += [Path(((x, 0.0), (x, low)), "table") for x in between]
        return Linked(-low, tuple(items), with_next=with_next, links=tuple(links))


def _lowered(row: Row) -> Row:
    """Return a row of words that stands clear of the line above it."""
    items = tuple(moved(i, 0.0, -_CLEAR) for i in row.items)
    return Row(row.height + _CLEAR, items)


def readable(block: Block) -> Block:
    """Return a block of words whose lines are no longer than can be read with ease."""

    def rows(width: float) -> list[Row]:
        return block.rows(min(width, READABLE))

    return replace(block, rows=rows)


def paragraphs(text: str, width: float, *, bold: str = "") -> list[Row]:
    """Return a paragraph with a bold start; in parts where it is too high for a sheet."""
    width = min(width, READABLE)
    lines = wrap(letterable(text), width, TEXT)
    parts = [" ".join(lines[n : n + _MOST]) for n in range(0, len(lines), _MOST)]
    heads = [letterable(bold), *[""] * (len(parts) - 1)]
    if not parts:
        return [paragraph("", width, bold=heads[0])]
    return [paragraph(t, width, bold=b) for t, b in zip(parts, heads, strict=True)]


def texts(title: str, told: Sequence[tuple[str, str]]) -> Block:
    """Return a block of paragraphs, each with a bold start."""

    def rows(width: float) -> list[Row]:
        return [row for head, text in told for row in paragraphs(text, width, bold=head)]

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
