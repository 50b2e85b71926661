"""Packing measured blocks into columns of text: what does not fit goes on, never shrinks.

A block is a heading and rows. A row is drawn once, at its width, about its own upper left
corner; then it is only moved. A block may be parted between rows, never within one, and
its heading comes again with `(continued)`.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from math import fsum
from typing import Final, assert_never

from detailgen.geometry import Point
from detailgen.lettering import wrap
from detailgen.scene import (
    Align,
    Circle,
    Dimension,
    Hatch,
    Item,
    Leader,
    Path,
    Text,
    TitleBlock,
)

TEXT: Final = 2.5
"""Letter height of running text, mm."""
HEAD: Final = 3.5
"""Letter height of headings, mm."""
PITCH: Final = 3.9
"""From base line to base line of running text, mm."""
LOOSE: Final = 4.4
"""The same where capitals with accents stand above one another."""
_HEAD_PITCH: Final = 5.2
GAP: Final = 5.0
"""Between two blocks, mm."""


@dataclass(frozen=True, slots=True)
class Row:
    """A piece that is never parted: items about its upper left corner, and its height."""

    height: float
    items: tuple[Item, ...]
    with_next: bool = False
    """Whether it must not be the last of a column: a sub-heading."""


@dataclass(frozen=True, slots=True)
class Block:
    """A heading, and rows that are made when the width is known."""

    title: str
    rows: Callable[[float], list[Row]]
    head: Callable[[float], list[Row]] = lambda _: []
    """Rows that come again under the heading wherever the block goes on."""
    wide: bool = False
    """Whether it reads better over two columns."""
    follows: str = ""
    """Title of the block that it belongs to: it does not stand on an earlier sheet."""

    def __post_init__(self) -> None:
        """Keep the rows of a width: sheets are tried in more than one arrangement."""
        object.__setattr__(self, "rows", cache(self.rows))
        object.__setattr__(self, "head", cache(self.head))


@dataclass(slots=True)
class Column:
    """A free strip of paper, filled from the top."""

    x: float
    width: float
    top: float
    bottom: float
    rows: list[tuple[Row, float]] = field(default_factory=list[tuple[Row, float]])
    """What was set, each with the level of its upper edge."""
    started: bool = False
    ceiling: float = 0.0
    """Where its first piece began, for who wants to set more above it."""

    @property
    def room(self) -> float:
        """Height still free, mm."""
        return self.top - self.bottom

    def put(self, row: Row) -> None:
        """Set a row at the top of what is free."""
        self.rows.append((row, self.top))
        self.top -= row.height
        self.started = True

    @property
    def items(self) -> list[Item]:
        """What was set, drawn in its place."""
        return [moved(i, self.x, top) for row, top in self.rows for i in row.items]


@dataclass(frozen=True, slots=True)
class Piece:
    """What is still to be set of a block."""

    title: str
    rows: tuple[Row, ...]
    begun: bool = False
    head: tuple[Row, ...] = ()
    """What stands under the heading, again wherever the piece goes on."""


def pieces_of(blocks: Sequence[Block], width: float) -> list[Piece]:
    """Return the blocks with their rows made at a column width; empty ones are left out."""
    made = [Piece(b.title, tuple(b.rows(width)), head=tuple(b.head(width))) for b in blocks]
    return [p for p in made if p.rows]


def opening(piece: Piece, width: float) -> list[Row]:
    """Return what a piece begins with: its heading, and the head of a table."""
    return [heading(piece, width), *piece.head]


def whole_height(piece: Piece, width: float) -> float:
    """Return the height of a piece with its heading."""
    return fsum(r.height for r in (*opening(piece, width), *piece.rows))


def fill(pieces: Sequence[Piece], columns: Sequence[Column]) -> list[Piece]:
    """Set pieces into columns, in order; return what found no room.

    A short piece that would be parted goes to the next column as a whole when it fits
    there, so that a list is not torn for a line or two.
    """
    left = list(pieces)
    for index, column in enumerate(columns):
        ahead = columns[index + 1].room if index + 1 < len(columns) else 0.0
        while left:
            piece = left[0]
            gap = GAP if column.started else 0.0
            start = opening(piece, column.width)
            before = fsum(r.height for r in start)
            count = _fitting(piece.rows, column.room - gap - before)
            whole = before + fsum(r.height for r in piece.rows)
            torn = 0 < count < len(piece.rows)
            if torn:
                count = _well_torn(piece.rows, count)
                if column.started and whole <= ahead and count < 3:
                    count = 0
            if count == 0:
                break
            column.top -= gap
            for row in (*start, *piece.rows[:count]):
                column.put(row)
            if count < len(piece.rows):
                left[0] = replace(piece, rows=piece.rows[count:], begun=True)
                break
            left.pop(0)
    return left


def _well_torn(rows: Sequence[Row], count: int) -> int:
    """Return at how many rows to part a piece so that none stands alone on either side."""
    if len(rows) - count == 1:
        count -= 1
    if count > 0 and rows[count - 1].with_next:
        count -= 1
    return count if count > 1 or len(rows) <= 2 else 0


def _fitting(rows: Sequence[Row], room: float) -> int:
    """Return how many rows fit; a row that wants its next one does not stand last."""
    count, used = 0, 0.0
    for number, row in enumerate(rows, 1):
        used += row.height
        if used > room + 1e-6:
            break
        if not (row.with_next and number < len(rows)):
            count = number
    return count


def heading(piece: Piece, width: float) -> Row:
    """Return a piece's heading with the line under it."""
    title = f"{piece.title} (CONTINUED)" if piece.begun else piece.title
    items: list[Item] = []
    y = -HEAD - 0.4
    for words in wrap(title, width, HEAD, bold=True):
        items.append(Text((0.0, y), words, HEAD, "text", bold=True))
        y -= _HEAD_PITCH
    rule = y + _HEAD_PITCH - 1.9
    items.append(Path(((0.0, rule), (width, rule)), "table"))
    return Row(-rule + 1.7, tuple(items))


def balanced(
    pieces: Sequence[Piece], columns: Sequence[Column]
) -> tuple[list[Column], list[Piece]]:
    """Set pieces into columns that end at about the same level.

    Returns the filled columns, and what found no room in them.
    """
    full = [_fresh(c, 0.0) for c in columns]
    left = fill(pieces, full)
    if left:
        return full, left
    low, high = 0.0, max(c.room for c in columns)
    best = full
    for _ in range(9):
        lift = (low + high) / 2
        trial = [_fresh(c, lift) for c in columns]
        if fill(pieces, trial):
            high = lift
        else:
            low, best = lift, trial
    return best, []


def _fresh(column: Column, lift: float) -> Column:
    """Return an empty column that ends `lift` higher than this one could."""
    lowest = min(column.top, column.bottom + lift)
    return Column(column.x, column.width, column.top, lowest, started=column.started)


def moved(item: Item, dx: float, dy: float) -> Item:
    """Return an item moved on the paper."""

    def to(point: Point) -> Point:
        return point[0] + dx, point[1] + dy

    def all_to(points: Sequence[Point]) -> tuple[Point, ...]:
        return tuple((x + dx, y + dy) for x, y in points)

    match item:
        case Text():
            # By far the most: built anew by hand, which costs a third of `replace`.
            return Text(
                to(item.at),
                item.content,
                item.height,
                item.layer,
                item.align,
                item.rotation,
                item.bold,
            )
        case Path():
            holes = tuple(all_to(h) for h in item.holes)
            return replace(item, points=all_to(item.points), holes=holes)
        case Circle():
            return replace(item, centre=to(item.centre))
        case Hatch():
            holes = tuple(all_to(h) for h in item.holes)
            return replace(item, outline=all_to(item.outline), holes=holes)
        case Leader():
            return replace(item, points=all_to(item.points))
        case TitleBlock():
            return replace(item, at=to(item.at))
        case Dimension():
            return replace(
                item,
                start=to(item.start),
                end=to(item.end),
                line_at=to(item.line_at),
                text_at=to(item.text_at),
            )
        case _:
            assert_never(item)


def line(content: str, x: float, y: float, *, bold: bool = False) -> Text:
    """Return a line of running text about a row's corner."""
    return Text((x, y), content, TEXT, "text", bold=bold)


def right(content: str, x: float, y: float, *, bold: bool = False) -> Text:
    """Return a line of running text that ends at x."""
    return Text((x, y), content, TEXT, "text", Align.RIGHT, bold=bold)
