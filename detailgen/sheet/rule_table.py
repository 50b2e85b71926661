"""The rule table: every rule, what it asks, what was found, and where it comes from."""

from collections.abc import Iterable, Sequence

from detailgen.catalog import COMMON_PRACTICE
from detailgen.finding import Finding, Outcome
from detailgen.lettering import DESCENT, text_width, wrap
from detailgen.scene import Item, Path, Text
from detailgen.sheet import words
from detailgen.sheet.blocks import (
    AFTER,
    TOP,
    fault_mark,
    height_for,
    paragraph,
    without_relation,
)
from detailgen.sheet.faults import HALF
from detailgen.sheet.flow import PITCH, TEXT, Block, Row, line, moved, right
from detailgen.sheet.request import SheetRequest


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
    y = -TOP
    items: list[Item] = [
        line("Rule: asked", stops[0], y),
        line("Found", stops[1], y),
        right("Result", stops[2] - 2.0, y),
        right("Src", width, y),
        Path(((0.0, y - 1.9), (width, y - 1.9)), "table"),
    ]
    return Row(height_for(1) + 0.6, tuple(items), with_next=True)


def _sub_heading(text: str, width: float) -> Row:
    y = -TOP - 1.5
    return Row(
        height_for(1) + 2.2,
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
    y = -TOP
    if mark:
        items += fault_mark(mark, HALF, y - 1.6)
    for text in wrap(without_relation(finding.title), width - stops[0], TEXT, bold=failed):
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
    low = min(y - DESCENT * TEXT - AFTER, -8.6 if mark else 0.0)
    items.append(Path(((0.0, low + 0.5), (width, low + 0.5)), "table"))
    return Row(-low + 0.4, tuple(items))


def _idle_rows(findings: Sequence[Finding], width: float) -> list[Row]:
    """Return the rules that do not apply, gathered by the reason why."""
    reasons: dict[str, list[str]] = {}
    for finding in findings:
        title = without_relation(finding.title)
        reasons.setdefault(finding.reason, []).append(title)
    rows: list[Row] = []
    for reason, titles in reasons.items():
        listed = "; ".join([titles[0], *(t[:1].lower() + t[1:] for t in titles[1:])])
        head = f"{reason[:1].upper()}{reason[1:].rstrip('.')}:"
        rows += _parted(paragraph(f"{listed}.", width, bold=head))
    return rows


def _parted(row: Row) -> list[Row]:
    """Return a long paragraph as rows of three lines, so that a column may part it."""
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
