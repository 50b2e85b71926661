"""The text blocks of a sheet: keynotes, build order, rule table, quantities, notes."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from detailgen.catalog import COMMON_PRACTICE, Printed
from detailgen.lettering import DESCENT, text_width, wrap
from detailgen.scene import Align, Circle, Item, Path, Text
from detailgen.sheet import words
from detailgen.sheet.callouts import RADIUS
from detailgen.sheet.faults import LETTER, triangle
from detailgen.sheet.flow import HEAD, PITCH, TEXT, Block, Row, line, right
from detailgen.sheet.request import SheetRequest

TOP: Final = TEXT + 0.5
"""From the top of a row to its first base line, mm."""
AFTER: Final = 1.6
"""White space under a row, mm."""


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
    text: str, width: float, *, indent: float = 0.0, lead: str = "", bold: str = ""
) -> Row:
    """Return a row of wrapped text.

    Args:
        text: What is wrapped, after `bold`.
        width: Of the row, mm.
        indent: Where its lines start; `lead` stands in that margin.
        lead: A number or a letter in the margin.
        bold: Words that stand first, in bold; the rest goes on in the same line.
    """
    room = width - indent
    items: list[Item] = [line(lead, 0.0, -TOP)] if lead else []
    y = -TOP
    heads = wrap(bold, room, TEXT, bold=True) if bold else []
    for number, head in enumerate(heads):
        items.append(line(head, indent, y, bold=True))
        y -= PITCH if number < len(heads) - 1 or not text else 0.0
    rest = text
    if heads:
        start = text_width(heads[-1], TEXT, bold=True) + 2.0
        first, rest = _first_line(text, room - start)
        if first:
            items.append(line(first, indent + start, y))
        y -= PITCH if text else 0.0
    for one in wrap(rest, room, TEXT):
        items.append(line(one, indent, y))
        y -= PITCH
    return Row(height_for(round((-TOP - y) / PITCH)), tuple(items))


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
    for ending in (", at least", ", at most", ", at least apart", ", at most apart"):
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
    """Return the list that the numbers on the drawing refer to."""

    def rows(width: float) -> list[Row]:
        made: list[Row] = []
        for note in notes:
            body = paragraph(note.detail, width, indent=10.0, bold=note.name)
            middle = -TOP + TEXT / 2 - 0.4
            circle: list[Item] = [
                Circle((RADIUS, middle), RADIUS, "keynotes"),
                Text((RADIUS, middle - TEXT / 2), note.number, TEXT, "text", Align.CENTRE),
            ]
            height = max(body.height, 2 * RADIUS + 1.2)
            made.append(Row(height, (*circle, *body.items)))
        return made

    return Block(title, rows)


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
    """Return the takeoff for one unit of length."""

    def rows(width: float) -> list[Row]:
        made: list[Row] = []
        for item in request.quantities:
            amount = words.quantity(item, request.units)
            wide = text_width(amount, TEXT)
            lines = wrap(item.label, width - wide - 4.0, TEXT)
            items: list[Item] = [right(amount, width, -TOP)]
            y = -TOP
            for text in lines:
                items.append(line(text, 0.0, y))
                y -= PITCH
            made.append(Row(height_for(len(lines)) - 0.4, tuple(items)))
        return made

    return Block(f"QUANTITIES FOR {words.per_unit(request.units).upper()}", rows)


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
