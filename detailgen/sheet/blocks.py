"""The text blocks of a sheet: keynotes, build order, rule table, quantities, notes."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from detailgen.catalog import COMMON_PRACTICE, Printed
from detailgen.finding import Finding, Outcome
from detailgen.lettering import DESCENT, text_width, wrap
from detailgen.scene import Align, Circle, Item, Path, Text
from detailgen.sheet import words
from detailgen.sheet.callouts import RADIUS
from detailgen.sheet.faults import HALF, LETTER, triangle
from detailgen.sheet.flow import HEAD, PITCH, TEXT, Block, Row, line, moved, right
from detailgen.sheet.request import SheetRequest

_TOP: Final = TEXT + 0.5
"""From the top of a row to its first base line, mm."""
_AFTER: Final = 1.6
"""White space under a row, mm."""


@dataclass(frozen=True, slots=True)
class Keynote:
    """What a numbered label stands for."""

    number: str
    name: str
    detail: str
    """Material, thickness and how it is held."""


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
    items: list[Item] = [line(lead, 0.0, -_TOP)] if lead else []
    y = -_TOP
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
    return Row(_height(round((-_TOP - y) / PITCH)), tuple(items))


def _first_line(text: str, room: float) -> tuple[str, str]:
    """Return what of a text fits behind a bold start, and what is left."""
    if room < 12.0:
        return "", text
    first = wrap(text, room, TEXT)[:1]
    if not first or not text.startswith(first[0]):
        return "", text
    rest = text[len(first[0]) :]
    if rest and not rest.startswith(" "):  # a word was cut: leave it whole
        return "", text
    return first[0], rest.lstrip()


def _height(lines: int) -> float:
    return _TOP + (lines - 1) * PITCH + DESCENT * TEXT + _AFTER


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
        said = f"{_without_relation(finding.title)}: asked {wanted}, is {found}."
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
            middle = -_TOP + TEXT / 2 - 0.4
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


def sources_of(findings: Iterable[Finding]) -> dict[str, int]:
    """Return the sources of the findings, numbered in the order in which they come."""
    numbers: dict[str, int] = {}
    for finding in findings:
        source = finding.source or COMMON_PRACTICE
        numbers.setdefault(source, len(numbers) + 1)
    return numbers


def in_table_order(findings: Sequence[Finding]) -> list[Finding]:
    """Return the findings as the table lists them: failing, holding, not applicable."""
    order = [Outcome.FAIL, Outcome.PASS, Outcome.NOT_APPLICABLE]
    return sorted(findings, key=lambda f: order.index(f.outcome))


def rule_table(request: SheetRequest, marks: dict[str, str]) -> Block:
    """Return every rule with what it asks, what was found, and where it comes from."""
    findings = in_table_order(request.findings)
    numbers = sources_of(f for f in findings if f.outcome is not Outcome.NOT_APPLICABLE)

    def rows(width: float) -> list[Row]:
        if not findings:
            return []
        stops = _stops(request, findings, width)
        made = [_table_head(width, stops)]
        for finding in findings:
            if finding.outcome is Outcome.NOT_APPLICABLE:
                continue
            source = f"[{numbers[finding.source or COMMON_PRACTICE]}]"
            mark = marks.get(finding.rule, "")
            made.append(_rule_row(request, finding, width, stops, (mark, source)))
        idle = [f for f in findings if f.outcome is Outcome.NOT_APPLICABLE]
        if idle:
            made.append(_sub_heading("NOT APPLICABLE HERE", width))
            made += _idle_rows(idle, width)
        return made

    return Block("RULES CHECKED", rows)


def _stops(
    request: SheetRequest, findings: Sequence[Finding], width: float
) -> tuple[float, float, float]:
    """Return where rule, amount found and source stand across the table."""
    room = width - 34.0
    asked = (
        text_width(words.requirement(f.required, request.units), TEXT)
        for f in findings
        if f.outcome is not Outcome.NOT_APPLICABLE
    )
    widest = max((w for w in asked if w < 0.6 * room), default=0.5 * room)
    return 10.0, 10.0 + max(0.5 * room, widest + 3.0), width - 8.0


def _table_head(width: float, stops: tuple[float, float, float]) -> Row:
    y = -_TOP
    items: list[Item] = [
        line("Rule: asked", stops[0], y),
        line("Found", stops[1], y),
        right("Result", stops[2] - 2.0, y),
        right("Src", width, y),
        Path(((0.0, y - 1.9), (width, y - 1.9)), "table"),
    ]
    return Row(_height(1) + 0.6, tuple(items), with_next=True)


def _sub_heading(text: str, width: float) -> Row:
    y = -_TOP - 1.5
    return Row(
        _height(1) + 2.2,
        (
            line(text, 0.0, y, bold=True),
            Path(((0.0, y - 1.7), (width, y - 1.7)), "table"),
        ),
        with_next=True,
    )


def _rule_row(
    request: SheetRequest,
    finding: Finding,
    width: float,
    stops: tuple[float, float, float],
    notes: tuple[str, str],
) -> Row:
    mark, source = notes
    failed = finding.outcome is Outcome.FAIL
    items: list[Item] = []
    y = -_TOP
    if mark:
        items += fault_mark(mark, HALF, y - 1.6)
    for text in wrap(_without_relation(finding.title), width - stops[0], TEXT, bold=failed):
        items.append(line(text, stops[0], y, bold=failed))
        y -= PITCH
    wanted = wrap(
        words.requirement(finding.required, request.units), stops[1] - stops[0] - 2, TEXT
    )
    verdict = words.verdict(finding)
    edge = stops[2] - 3.0 - text_width(verdict, TEXT, bold=failed)
    found = wrap(
        words.actual(finding, request.units), edge - stops[1] - 1.5, TEXT, bold=failed
    )
    for number, text in enumerate(wanted):
        items.append(line(text, stops[0], y - number * PITCH))
    for number, text in enumerate(found):
        items.append(line(text, stops[1], y - number * PITCH, bold=failed))
    items.append(right(verdict, stops[2] - 2.0, y, bold=failed))
    items.append(right(source, width, y))
    y -= (max(len(wanted), len(found), 1) - 1) * PITCH
    if failed and finding.reason:
        for text in wrap(finding.reason, width - stops[0], TEXT):
            y -= PITCH
            items.append(line(text, stops[0], y))
    low = min(y - DESCENT * TEXT - _AFTER, -8.6 if mark else 0.0)
    items.append(Path(((0.0, low + 0.5), (width, low + 0.5)), "table"))
    return Row(-low + 0.4, tuple(items))


def _idle_rows(findings: Sequence[Finding], width: float) -> list[Row]:
    """Return the rules that do not apply, gathered by the reason why."""
    reasons: dict[str, list[str]] = {}
    for finding in findings:
        title = _without_relation(finding.title)
        reasons.setdefault(finding.reason, []).append(title)
    rows: list[Row] = []
    for reason, titles in reasons.items():
        listed = "; ".join([titles[0], *(t[:1].lower() + t[1:] for t in titles[1:])])
        head = f"{reason[:1].upper()}{reason[1:].rstrip('.')}:"
        rows += _parted(paragraph(f"{listed}.", width, bold=head))
    return rows


def _parted(row: Row) -> list[Row]:
    """Return a long paragraph as rows of three lines, so that a column may end within it."""
    parts: list[Row] = []
    start, step = 0.0, 3 * PITCH
    while row.height - start > 1.5 * step:
        taken = [i for i in row.items if _level(i) > -(start + step) - 1e-6]
        kept = [i for i in taken if _level(i) <= -start - 1e-6 or not start]
        parts.append(Row(step, tuple(moved(i, 0.0, start) for i in kept)))
        start += step
    rest = [i for i in row.items if _level(i) <= -start - 1e-6]
    parts.append(Row(row.height - start, tuple(moved(i, 0.0, start) for i in rest)))
    return parts


def _level(item: Item) -> float:
    return item.at[1] if isinstance(item, Text) else 0.0


def _without_relation(title: str) -> str:
    """Return a rule's title without the `at least` that the next column says again."""
    for ending in (", at least", ", at most", ", at least apart", ", at most apart"):
        title = title.removesuffix(ending)
    return title


def sources(request: SheetRequest) -> Block:
    """Return the sources that the rule table points to by number."""
    applied = [f for f in request.findings if f.outcome is not Outcome.NOT_APPLICABLE]
    numbers = sources_of(in_table_order(applied))

    def rows(width: float) -> list[Row]:
        return [
            paragraph(source, width, indent=10.0, lead=f"[{number}]")
            for source, number in numbers.items()
        ]

    return Block("SOURCES", rows)


def quantities(request: SheetRequest) -> Block:
    """Return the takeoff for one unit of length."""

    def rows(width: float) -> list[Row]:
        made: list[Row] = []
        for item in request.quantities:
            amount = words.quantity(item, request.units)
            wide = text_width(amount, TEXT)
            lines = wrap(item.label, width - wide - 4.0, TEXT)
            items: list[Item] = [right(amount, width, -_TOP)]
            y = -_TOP
            for text in lines:
                items.append(line(text, 0.0, y))
                y -= PITCH
            made.append(Row(_height(len(lines)) - 0.4, tuple(items)))
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
                f"{_without_relation(finding.title)}: {wanted}.",
                finding.override,
            ))
    said += [
        (f"{row.name}: other figures", row.override)
        for row in request.catalog.materials.values()
        if row.override and row.id in used
    ]
    unique = list(dict.fromkeys(said))
    return numbered("CHANGED FOR THIS JOB", unique)
