"""Revisions: the mark of one, and the table of them above the title block."""

from collections.abc import Sequence
from dataclasses import replace
from math import fsum
from typing import Final

from detailgen.geometry import Point
from detailgen.lettering import letterable, text_width
from detailgen.scene import CELL_PAD, MIN_TEXT, Align, Cell, Item, Path, Text
from detailgen.sheet.fitting import lines_of
from detailgen.sheet.request import RevisionRow

HEIGHT: Final = 5.0
"""Of a revision's mark, mm."""
_TIP: Final = 2.2
"""How far the mark comes to a point at each side, mm."""
_LINE: Final = 5.2
"""Height of a line of the table, mm."""
_LINES: Final = (1, 2, 2)
"""A cell of mark, date or name takes at most so many lines."""
_NEWEST: Final = 6
"""So many lines has the text of the newest revision."""
_FEW: Final = 5
"""Of so many rows the older texts have three lines; else two."""
_MOST: Final = 6
"""So many revisions are listed; of more the oldest are only counted."""
_MOST_SHARES: Final = (0.15, 0.32, 0.2)
"""Parts of the table's width that all columns but the last take at most."""
_HEADS: Final = (("MARK", "REV."), ("DATE", "DATE"), ("BY", "BY"), ("TEXT", "CHANGE"))


def mark_width(mark: str) -> float:
    """Return how wide a revision's mark is, mm."""
    return text_width(letterable(mark), MIN_TEXT, bold=True) + 2 * _TIP


def revision_mark(mark: str, centre: Point) -> list[Item]:
    """Return a revision's mark about a point on paper: six sides, pointed left and right.

    It covers what lies under it. Its layer is `symbol`, that of its letters `text`.
    """
    (x, y), half = centre, mark_width(mark) / 2
    high, flat = HEIGHT / 2, half - _TIP / 2
    ring = (
        (x - half - _TIP / 2, y),
        (x - flat, y - high),
        (x + flat, y - high),
        (x + half + _TIP / 2, y),
        (x + flat, y + high),
        (x - flat, y + high),
    )
    at = (x, y - MIN_TEXT / 2)
    return [
        Path(ring, "symbol", closed=True, fill=(255, 255, 255)),
        Text(at, letterable(mark), MIN_TEXT, "text", Align.CENTRE, bold=True),
    ]


def revision_cells(
    rows: tuple[RevisionRow, ...], y: float, width: float, room: float
) -> tuple[list[Cell], float]:
    """Return the cells of the table from `y` upward, and its height, mm.

    The newest revision is the last of the rows and stands on top, under the heading. Where
    they are higher than `room`, the oldest ones are only counted.
    """
    for most in range(min(_MOST, len(rows)), 1, -1):
        cells, height = _table(rows, rows[-most:], y, width)
        if height <= room:
            return cells, height
    return _table(rows, rows[-1:], y, width)


def _table(
    rows: tuple[RevisionRow, ...], shown: tuple[RevisionRow, ...], y: float, width: float
) -> tuple[list[Cell], float]:
    """Return the cells of the newest rows; the first of them stands for earlier ones."""
    if 1 < len(shown) < len(rows):
        left = f"{len(rows) - len(shown) + 1} earlier revisions are not listed"
        shown = (RevisionRow("…", "", "", left), *shown[1:])
    heads = RevisionRow(*(name for _, name in _HEADS))
    widths = _widths((heads, *shown), width)
    cells: list[Cell] = []
    top = y
    tags = [f"CHG{n}" for n in range(len(rows) - len(shown) + 1, len(rows) + 1)]
    for tag, row in zip((*tags, "CHG"), (*shown, heads), strict=True):
        older = 3 if len(shown) <= _FEW else 2
        most = _NEWEST if row is shown[-1] else older
        made, height = _row(tag, row, top, widths, most)
        cells += made
        top += height
    return cells, top - y


def _texts(row: RevisionRow) -> tuple[str, str, str, str]:
    return row.mark, row.date, row.by, row.text


def _widths(rows: Sequence[RevisionRow], width: float) -> tuple[float, ...]:
    """Return the widths of the columns: the last has what the others leave."""
    columns = list(zip(*map(_texts, rows), strict=True))
    first = [
        min(share * width, max(text_width(t, MIN_TEXT) for t in texts) + 2.1 * CELL_PAD)
        for share, texts in zip(_MOST_SHARES, columns, strict=False)
    ]
    return (*first, width - fsum(first))


def _row(
    tag: str, row: RevisionRow, y: float, widths: Sequence[float], most: int
) -> tuple[list[Cell], float]:
    """Return the cells of one revision, their lines from the top, and their height."""
    texts = [
        lines_of(text, wide - 2 * CELL_PAD, MIN_TEXT, lines)
        for text, wide, lines in zip(_texts(row), widths, (*_LINES, most), strict=True)
    ]
    count = max(map(len, texts))
    cells: list[Cell] = []
    x = 0.0
    for (name, _), wide, lines in zip(_HEADS, widths, texts, strict=True):
        for number in range(count):
            text = lines[number] if number < len(lines) else ""
            low = y + (count - 1 - number) * _LINE
            one = Cell(f"{tag}{name}", "", text, x, low, wide, _LINE, MIN_TEXT)
            if number:
                one = replace(one, tag=f"{one.tag}_{number + 1}", joined=True)
            cells.append(one)
        x += wide
    return cells, count * _LINE
