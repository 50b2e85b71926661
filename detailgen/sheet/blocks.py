"""The text blocks of a sheet: keynotes, build order, rule table, quantities, notes."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from detailgen.catalog import COMMON_PRACTICE, Printed
from detailgen.lettering import ASCENT, DESCENT, text_width, top_of, wrap
from detailgen.quantity import Per
from detailgen.scene import Align, Circle, Item, Path, Text
from detailgen.sheet import words
from detailgen.sheet.callouts import RADIUS
from detailgen.sheet.faults import LETTER, triangle
from detailgen.sheet.flow import HEAD, LOOSE, PITCH, TEXT, Block, Row, line, moved, right
from detailgen.sheet.request import SheetRequest

TOP: Final = TEXT + 0.5
"""From the top of a row to its first base line, mm."""
AFTER: Final = 1.6
"""White space under a row, mm."""
TWO: Final = 150.0
"""A list wider than this, mm, has two columns."""
COLUMN_GAP: Final = 6.0
"""Between those, mm."""


_PARTED: Final = re.compile(r" (\d+/\d|in|ft|mm|m|mil|lb|ga)\b")
"""What goes with the number before it."""


@dataclass(frozen=True, slots=True)
class Keynote:
    """What a numbered label stands for."""

    number: str
    name: str
    detail: str
    """Material, thickness and how it is held."""
    key: str = ""
    """What it is of, the same in every view of a condition."""
    role: str = ""


def paragraph(
    text: str,
    width: float,
    *,
    indent: float = 0.0,
    lead: str = "",
    bold: str = "",
    after: float = AFTER,
) -> Row:
    """Return a row of wrapped text.

    Args:
        text: What is wrapped, after `bold`.
        width: Of the row, mm.
        indent: Where its lines start; `lead` stands in that margin.
        lead: A number or a letter in the margin.
        bold: Words that stand first, in bold; the rest goes on in the same line.
        after: White space under it, mm.
    """
    room = width - indent
    pitch = pitch_of(text + bold)
    items: list[Item] = [line(lead, 0.0, -TOP)] if lead else []
    y = -TOP
    heads = wrap(bold, room, TEXT, bold=True) if bold else []
    for number, head in enumerate(heads):
        items.append(line(head, indent, y, bold=True))
        y -= pitch if number < len(heads) - 1 or not text else 0.0
    rest = text
    if heads:
        start = text_width(heads[-1], TEXT, bold=True) + 2.0
        first, rest = _first_line(text, room - start)
        if first:
            items.append(line(first, indent + start, y))
        y -= pitch if text else 0.0
    for one in wrap(rest, room, TEXT):
        items.append(line(one, indent, y))
        y -= pitch
    return Row(-y - pitch + DESCENT * TEXT + after, tuple(items))


def pitch_of(text: str) -> float:
    """Return the distance of the lines of a text: more where capitals have accents."""
    return PITCH if top_of(text) <= ASCENT else LOOSE


def _first_line(text: str, room: float) -> tuple[str, str]:
    """Return what of a text fits behind a bold start, and what is left."""
    if room < 12.0:
        return "", text
    first = wrap(text, room, TEXT)[:1]
    if not first or not text.startswith(first[0]):
        return "", text
    rest = text[len(first[0]) :]
    cut = rest and not rest.startswith(" ")
    if cut or (_PARTED.match(rest) and first[0][-1].isdigit()):
        return "", text  # a word, or a number and its unit, would be parted
    return first[0], rest.lstrip()


def height_for(lines: int) -> float:
    """Return the height of a row of some lines of text."""
    return TOP + (lines - 1) * PITCH + DESCENT * TEXT + AFTER


def without_relation(title: str) -> str:
    """Return a rule's title without the `at least` that the next column says again."""
    for ending in (
        ", at least", ", at most", ", at least apart", ", at most apart", ", by more than",
        ", none",
    ):  # fmt: skip
        title = title.removesuffix(ending)
    return title


def status_row(
    request: SheetRequest, marks: dict[str, str], width: float, most: float
) -> Row:
    """Return the framed status of the condition, with the rules that fail.

    Args:
        request: The condition.
        marks: Letters of the failing rules.
        width: Of the frame, mm.
        most: Greatest height of the frame: what finds no room is left to the rule table.
    """
    title = words.status(request.findings)
    inner = width - 6.0
    items: list[Item] = []
    y = -2.5 - HEAD
    for text in wrap(title, inner, HEAD, bold=True):
        items.append(Text((3.0, y), text, HEAD, "text", bold=True))
        y -= 5.6
    y -= 2.6 if request.failures else PITCH - 5.6 + 0.8
    left = len(request.failures)
    for finding in request.failures:
        wanted = words.requirement(finding.required, request.units)
        found = words.actual(finding, request.units)
        said = f"{without_relation(finding.title)}: asked {wanted}, is {found}."
        wrapped = wrap(said, inner - 10.0, TEXT)
        taken = max(2, len(wrapped)) * PITCH
        if -y + taken + PITCH > most and left > 1:
            items.append(line(f"And {left} more: see the rule table.", 3.0, y))
            y -= PITCH + 1.8
            break
        mark = marks.get(finding.rule, "")
        items += fault_mark(mark, 6.8, y + 0.4) if mark else []
        items += [line(text, 13.0, y - n * PITCH) for n, text in enumerate(wrapped)]
        y -= max(len(wrapped) * PITCH + 1.8, PITCH + 3.4)
        left -= 1
    low = y + PITCH - DESCENT * TEXT - 2.0
    frame = ((0.0, 0.0), (width, 0.0), (width, low), (0.0, low))
    items.insert(0, Path(frame, "frame", closed=True))
    return Row(-low, tuple(items))


def fault_mark(letter: str, x: float, y: float) -> list[Item]:
    """Return the triangle that marks a failing rule, about its middle, in paper mm."""
    return [
        Path(triangle((x, y)), "finding", closed=True, fill=(255, 255, 255)),
        Text((x, y - LETTER), letter, TEXT, "text", Align.CENTRE, bold=True),
    ]


def keynotes(notes: Sequence[Keynote], title: str = "KEYNOTES") -> Block:
    """Return the list that the numbers on the drawing refer to.

    Over two columns, two notes stand side by side.
    """

    def rows(width: float) -> list[Row]:
        count = 2 if width > TWO else 1
        each = (width + COLUMN_GAP) / count - COLUMN_GAP
        made = [_keynote(note, each) for note in notes]
        together: list[Row] = []
        for first in range(0, len(made), count):
            group = made[first : first + count]
            items = [
                moved(i, n * (each + COLUMN_GAP), 0.0)
                for n, row in enumerate(group)
                for i in row.items
            ]
            together.append(Row(max(r.height for r in group), tuple(items)))
        return together

    return Block(title, rows, wide=True)


def _keynote(note: Keynote, width: float) -> Row:
    body = paragraph(note.detail, width, indent=10.0, bold=note.name)
    middle = -TOP + TEXT / 2 - 0.4
    circle: list[Item] = [
        Circle((RADIUS, middle), RADIUS, "keynotes"),
        Text((RADIUS, middle - TEXT / 2), note.number, TEXT, "text", Align.CENTRE),
    ]
    height = max(body.height, 2 * RADIUS + 1.2)
    return Row(height, (*circle, *body.items))


def build_order(request: SheetRequest) -> Block:
    """Return the stages of building."""

    def rows(width: float) -> list[Row]:
        made: list[Row] = []
        for stage in request.section.stages:
            name = f"{stage.name} (HOLD POINT)" if stage.hold else stage.name
            lead = f"{stage.number}."
            made.append(paragraph(stage.text, width, indent=8.0, lead=lead, bold=name))
        return made

    return Block("BUILD ORDER", rows)


def quantities(request: SheetRequest) -> Block:
    """Return the takeoff for one unit of length or one piece, and for all there is."""
    per = Per.PIECE if request.section.by_the_piece else Per.METRE
    unit, extent = words.per_unit(per, request.units), request.extent
    whole = words.all_told(per, extent, request.units) if extent else ""
    most = words.units_in(per, extent, request.units)

    def stops(width: float) -> tuple[float, float]:
        """Return where the numbers for a unit, and for all, end."""
        units = [words.quantity(q, request.units, of=most)[1] for q in request.quantities]
        end = width - max((text_width(u, TEXT) for u in units), default=0.0) - 1.5
        totals = [words.total(q, request.units, extent) for q in request.quantities]
        wide = max(text_width(t, TEXT) for t in (whole, *totals)) + 4.0
        return (end - wide if whole else end), end

    def head(width: float) -> list[Row]:
        if not whole:
            return []
        each, every = stops(width)
        y = -TOP
        rule = Path(((0.0, y - 1.7), (width, y - 1.7)), "table")
        names = (right(unit, each, y), right(whole, every, y))
        return [Row(height_for(1) + 0.4, (*names, rule), with_next=True)]

    def rows(width: float) -> list[Row]:
        made: list[Row] = []
        each, every = stops(width)
        for item in request.quantities:
            number, measure = words.quantity(item, request.units, of=most)
            items: list[Item]
            if not item.supplied:
                items = [right(number, width, -TOP)]
            elif whole:
                every_one = words.total(item, request.units, extent)
                items = [right(number, each, -TOP), right(every_one, every, -TOP)]
            else:
                items = [right(number, every, -TOP)]
            if measure:
                items.append(line(measure, every + 1.5, -TOP))
            lines = wrap(item.label, each - 13.0, TEXT)
            items += [line(t, 0.0, -TOP - n * PITCH) for n, t in enumerate(lines)]
            made.append(Row(height_for(len(lines)) - 0.6, tuple(items)))
        note = words.where_the_field_begins(request.section, request.quantities)
        return [*made, *([paragraph(note, width)] if note else [])]

    title = "QUANTITIES" if whole else f"QUANTITIES {unit.upper()}"
    return Block(title, rows, head)


def numbered(title: str, texts: Sequence[tuple[str, str]]) -> Block:
    """Return a block of numbered paragraphs, each with a bold start or none."""

    def rows(width: float) -> list[Row]:
        return [
            paragraph(text, width, indent=8.0, lead=f"{i}.", bold=bold)
            for i, (bold, text) in enumerate(texts, 1)
        ]

    return Block(title, rows)


def printed(title: str, rows_: Sequence[Printed]) -> Block:
    """Return notes or cautions of the catalogue, each with its source behind it."""
    texts: list[tuple[str, str]] = []
    for row in rows_:
        mark = "" if row.source == COMMON_PRACTICE else f" ({row.source})"
        texts.append((row.title, f"{row.text}{mark}"))
    return numbered(title, texts)


def overrides(request: SheetRequest) -> Block:
    """Return what this job changed in the rule set and the catalogue, and why."""
    said: list[tuple[str, str]] = []
    used = {b.material for b in request.section.bodies}
    for finding in request.findings:
        if finding.override:
            wanted = words.requirement(finding.required, request.units)
            said.append((
                f"{without_relation(finding.title)}: {wanted}.",
                finding.override,
            ))
    said += [
        (f"{row.name}: other figures", row.override)
        for row in request.catalog.materials.values()
        if row.override and row.id in used
    ]
    unique = list(dict.fromkeys(said))
    return numbered("CHANGED FOR THIS JOB", unique)
