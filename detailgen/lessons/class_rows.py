"""Rows of class sheets: numbers to remember or fill in, names, blanks, columns."""

from collections.abc import Sequence
from typing import Final

from detailgen.lessons.class_text import (
    AFTER,
    BODY,
    PITCH,
    RADIUS,
    TOP,
    WRITING,
    circle_items,
    pitch_of,
    text,
)
from detailgen.lessons.numbers import Number
from detailgen.lettering import DESCENT, text_width, wrap
from detailgen.scene import Item, Path
from detailgen.sheet.flow import Row, moved

_LEAD: Final = 9.0
"""Width of the margin in which a letter stands, mm."""
_GAP: Final = 5.0
"""Between a question and its answer, and between columns, mm."""
_NARROW: Final = 40.0
_WIDEST: Final = 66.0
"""Least and greatest width of the column that says what is asked, mm."""
_BLANK: Final = 26.0
"""Least width of a blank for a number, mm."""


def asked_width(numbers: Sequence[Number]) -> float:
    """Return the width of the column that says what is asked."""
    widest = (text_width(n.asked, BODY, bold=True) + 0.5 for n in numbers)
    return min(_WIDEST, max(_NARROW, *widest, 0.0))


def remembered(number: Number, width: float, column: float, more: str = "") -> Row:
    """Return a number to remember: what it is of, and at the right what is asked."""
    end = width - column
    asked = wrap(number.asked, width - end, BODY, bold=True)
    left = wrap(f"{number.what}.{more}", end - _GAP, BODY)
    return _pair(left, 0.0, [text(t, end, 0.0, bold=True) for t in asked], width)


def to_fill(number: Number, lead: str, width: float) -> Row:
    """Return a question with its word, and a blank for the value."""
    word_at, blank_at = _answer_stops(width)
    left = wrap(f"{number.what}?", word_at - _LEAD - _GAP, BODY)
    word = text(number.word, word_at, 0.0)
    row = _pair(left, _LEAD, [word], width, least=WRITING + 1.0)
    rule = Path(((blank_at, -TOP - 1.0), (width, -TOP - 1.0)), "table")
    return Row(row.height, (text(lead, 0.0, -TOP, bold=True), *row.items, rule))


def filled(number: Number, lead: str, width: float) -> Row:
    """Return the same with its answer, the rule and its source: a row of the key."""
    word_at, blank_at = _answer_stops(width)
    left = wrap(f"{number.what}.", word_at - _LEAD - _GAP, BODY)
    value = wrap(number.value, width - blank_at, BODY, bold=True)
    answer: list[Item] = [text(number.word, word_at, 0.0)]
    answer += [text(t, blank_at, -n * PITCH, bold=True) for n, t in enumerate(value)]
    finding = number.finding
    why = wrap(f"{finding.rule}: {finding.source}", width - _LEAD, BODY)
    head = _pair(left, _LEAD, answer, width, stacked=True)
    y = -head.height + AFTER + DESCENT * BODY - PITCH
    under = [text(t, _LEAD, y - n * PITCH) for n, t in enumerate(why)]
    rule_y = y - (len(why) - 1) * PITCH - DESCENT * BODY - AFTER / 2
    line = Path(((0.0, rule_y), (width, rule_y)), "table")
    items = (text(lead, 0.0, -TOP, bold=True), *head.items[:-1], *under, line)
    return Row(-rule_y + AFTER / 2, items)


def _answer_stops(width: float) -> tuple[float, float]:
    """Return where the word before a value stands, and where the value."""
    word = text_width("more than", BODY) + 3.0
    blank = max(_BLANK, 0.2 * width)
    return width - blank - word, width - blank


def _pair(
    left: Sequence[str],
    indent: float,
    right: Sequence[Item],
    width: float,
    *,
    least: float = 0.0,
    stacked: bool = False,
) -> Row:
    """Return text at the left, an answer at the right, and a line under both."""
    pitch = pitch_of(" ".join(left))
    items: list[Item] = [text(t, indent, -TOP - n * pitch) for n, t in enumerate(left)]
    for n, item in enumerate(right):
        items.append(moved(item, 0.0, -TOP - (0.0 if stacked else n * PITCH)))
    lines = max(len(left), 1 if stacked else len(right))
    height = max(least, TOP + (lines - 1) * pitch + DESCENT * BODY + AFTER)
    rule = -height + AFTER / 2
    items.append(Path(((0.0, rule), (width, rule)), "table"))
    return Row(height, tuple(items))


def in_columns(cells: Sequence[Row], width: float, count: int) -> list[Row]:
    """Return rows of so many cells: down one column and then the next."""
    each = (width + _GAP) / count - _GAP
    tall = -(-len(cells) // count)
    rows: list[Row] = []
    for n in range(tall):
        group = cells[n::tall][:count]
        items = [
            moved(i, place * (each + _GAP), 0.0)
            for place, cell in enumerate(group)
            for i in cell.items
        ]
        rows.append(Row(max(c.height for c in group), tuple(items)))
    return rows


def column_width(width: float, count: int) -> float:
    """Return the width of one of so many columns."""
    return (width + _GAP) / count - _GAP


def columns_for(names: Sequence[str], width: float, lead: float = 0.0) -> int:
    """Return in how many columns names stand so that the longest takes one line."""
    longest = max((text_width(n, BODY) for n in names), default=1.0) + lead
    return max(1, min(4, int((width + _GAP) / (longest + _GAP))))


def plain_cell(name: str, width: float) -> Row:
    """Return a name of the word bank."""
    lines = wrap(name, width, BODY)
    items = tuple(text(t, 0.0, -TOP - n * PITCH) for n, t in enumerate(lines))
    return Row(TOP + (len(lines) - 1) * PITCH + DESCENT * BODY + 1.2, items)


def named_cell(number: str, name: str, width: float) -> Row:
    """Return a number in its circle with a name behind it, or a blank where it has none."""
    start = 2 * RADIUS + 2.5
    middle = -RADIUS - 0.6
    items = circle_items(number, RADIUS, middle)
    if name:
        lines = wrap(name, width - start, BODY)
        low = middle - BODY / 2
        items += [text(t, start, low - n * PITCH) for n, t in enumerate(lines)]
        height = max(2 * RADIUS + 0.4, -low + (len(lines) - 1) * PITCH + 2.0)
        return Row(height, tuple(items))
    low = middle - BODY / 2 - 1.0
    items.append(Path(((start, low), (width, low)), "table"))
    return Row(2 * RADIUS + 2.4, tuple(items))
