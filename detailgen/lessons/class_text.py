"""Larger text for a class: paragraphs, headings, ruled lines, poured down one column.

Like the flow of a drawing's sheets, but in letters that are read from a desk, and one
column wide.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import fsum
from typing import Final

from detailgen.lettering import ASCENT, DESCENT, text_width, top_of, wrap
from detailgen.scene import Align, Circle, Item, Path, Text
from detailgen.sheet.flow import Column, Row, moved

BODY: Final = 3.5
"""Letter height of running text, mm."""
HEAD: Final = 4.5
"""Letter height of headings, mm."""
PITCH: Final = 5.6
"""From base line to base line of running text, mm."""
RADIUS: Final = 4.4
"""Radius of a numbered circle, mm."""
TOP: Final = BODY + 0.8
"""From the top of a row to its first base line, mm."""
AFTER: Final = 2.0
"""White space under a row, mm."""
WRITING: Final = 9.0
"""From line to line where somebody writes by hand, mm."""
_LOOSE: Final = 6.2
"""From base line to base line where capitals with accents stand above one another, mm."""
_BETWEEN: Final = 4.0
"""Between two passages, mm."""
_EMPTY: Final = 85.0
"""No more than this is left empty to keep a passage whole, mm."""
_INSET: Final = 3.0
"""From the frame of a box to its text, mm."""


@dataclass(frozen=True, slots=True)
class Passage:
    """A heading and rows; it may be parted between rows, never within one."""

    title: str
    rows: tuple[Row, ...]
    boxed: bool = False
    """Whether a frame stands about it; its rows are made for `inset` of the width."""
    whole: bool = False
    """Whether it goes to the next page rather than be parted; not if much stays empty."""
    begun: bool = False


def inset(width: float) -> float:
    """Return the width of rows in a box."""
    return width - 2 * _INSET


def text(
    content: str, x: float, y: float, *, bold: bool = False, align: Align = Align.LEFT
) -> Text:
    """Return a line of running text."""
    return Text((x, y), content, BODY, "text", align, bold=bold)


def said(
    content: str,
    width: float,
    *,
    bold: str = "",
    indent: float = 0.0,
    lead: str = "",
    circled: bool = False,
) -> Row:
    """Return a row of wrapped text.

    Args:
        content: What is wrapped, after `bold`.
        width: Of the row, mm.
        bold: Words that stand first, in bold.
        indent: Where its lines start; `lead` stands in that margin.
        lead: A number or a letter in the margin.
        circled: Whether the lead stands in a circle, as on the drawing.
    """
    room = width - indent
    pitch = pitch_of(bold + content)
    items: list[Item] = []
    if lead and circled:
        items += circle_items(lead, RADIUS, -TOP + BODY / 2)
    elif lead:
        items.append(text(lead, 0.0, -TOP, bold=True))
    y = -TOP
    heads = wrap(bold, room, BODY, bold=True)
    for head in heads:
        items.append(text(head, indent, y, bold=True))
        y -= pitch
    rest = content
    if heads:
        start = text_width(heads[-1], BODY, bold=True) + 2.0
        first = _behind(content, room - start)
        if first:
            items.append(text(first, indent + start, y + pitch))
            rest = content[len(first) :].lstrip()
    for one in wrap(rest, room, BODY):
        items.append(text(one, indent, y))
        y -= pitch
    height = -y - pitch + DESCENT * BODY + AFTER
    return Row(max(height, 2 * RADIUS + 1.4) if circled else height, tuple(items))


def _behind(content: str, room: float) -> str:
    """Return what of a text fits behind a bold start."""
    first = wrap(content, room, BODY)[:1] if room > 25.0 else []
    if not first or not content.startswith(first[0]):
        return ""
    rest = content[len(first[0]) :]
    # A number stays with its fraction and its unit: `wrap` would not part them either.
    return first[0] if not rest or rest.startswith(" ") else ""


def pitch_of(content: str) -> float:
    """Return the distance of the lines of a text: more where capitals have accents."""
    return PITCH if top_of(content) <= ASCENT else _LOOSE


def circle_items(number: str, x: float, y: float) -> list[Item]:
    """Return a number in its circle about a middle, in paper mm."""
    size = BODY if len(number) < 3 else 2.5
    return [
        Circle((x, y), RADIUS, "keynotes"),
        Text((x, y - size / 2), number, size, "keynotes", Align.CENTRE),
    ]


def titled(title: str, width: float) -> Row:
    """Return a heading with the line under it."""
    items: list[Item] = []
    y = -HEAD - 0.6
    lines = wrap(title, width, HEAD, bold=True)
    pitch = HEAD * (1.5 if top_of(title) <= ASCENT else 1.75)
    for line in lines:
        items.append(Text((0.0, y), line, HEAD, "text", bold=True))
        y -= pitch
    rule = y + pitch - 2.2
    items.append(Path(((0.0, rule), (width, rule)), "table"))
    return Row(-rule + 1.8, tuple(items), with_next=True)


def ruled(width: float, lines: int) -> list[Row]:
    """Return lines to write on."""
    rule = Path(((0.0, -WRITING + 1.0), (width, -WRITING + 1.0)), "table")
    return [Row(WRITING, (rule,))] * lines


def height_of(passage: Passage, width: float) -> float:
    """Return the height of a passage with its heading and its box."""
    head = titled(passage.title, inset(width) if passage.boxed else width).height
    box = 2 * _INSET if passage.boxed else 0.0
    return head + box + fsum(r.height for r in passage.rows)


def pour(passages: Sequence[Passage], column: Column) -> list[Passage]:
    """Set passages into a column, in order; return what found no room."""
    left = list(passages)
    while left and (rest := _set(left[0], column)) is not left[0]:
        if rest is None:
            left.pop(0)
            continue
        left[0] = rest
        break
    return left


def _set(passage: Passage, column: Column) -> Passage | None:
    """Set as much of a passage as fits; return what is left, itself if nothing fits."""
    gap = _BETWEEN if column.started else 0.0
    pad = _INSET if passage.boxed else 0.0
    width = column.width - 2 * pad
    title = f"{passage.title} (continued)" if passage.begun else passage.title
    head = titled(title, width)
    room = column.room - gap - 2 * pad - head.height
    count = 0
    for row in passage.rows:
        if row.height > room:
            break
        room -= row.height
        count += 1
    torn = 0 < count < len(passage.rows)
    if len(passage.rows) - count == 1 and count > 2:
        count -= 1  # else one row would stand alone on the next page
    if torn and passage.rows[count - 1].with_next:
        count -= 1
    few = count < min(2, len(passage.rows) - 1)
    whole = passage.whole and column.room < _EMPTY
    if torn and column.started and (few or whole):
        count = 0
    if not count:
        return passage
    column.top -= gap
    start = column.top
    column.top -= pad
    for row in (head, *passage.rows[:count]):
        column.put(Row(row.height, tuple(moved(i, pad, 0.0) for i in row.items)))
    column.top -= pad
    if passage.boxed:
        low = column.top - start
        x = column.width
        ring = ((0.0, 0.0), (x, 0.0), (x, low), (0.0, low))
        column.rows.append((Row(0.0, (Path(ring, "title", closed=True),)), start))
    if count == len(passage.rows):
        return None
    return replace(passage, rows=passage.rows[count:], begun=True)
