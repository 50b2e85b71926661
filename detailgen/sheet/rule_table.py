"""The rule table: every rule, what it asks, what was found, and where it comes from.

Over two columns a rule takes one line; in one column two.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from detailgen.catalog import COMMON_PRACTICE
from detailgen.finding import Finding, Outcome
from detailgen.lettering import DESCENT, text_width, wrap
from detailgen.scene import Item, Path
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
from detailgen.sheet.flow import PITCH, TEXT, Block, Row, line, right
from detailgen.sheet.request import SheetRequest

_WIDE: Final = 150.0
"""From this width on a rule takes one line, mm."""
_MARK: Final = 10.0
"""Margin for the marks of failing rules."""
_SOURCE: Final = 9.0
"""Width of the column of sources."""
_GAP: Final = 4.0
"""Between the columns of the wide table."""
_TIGHT: Final = 0.6
"""White space under a short paragraph, mm."""


@dataclass(frozen=True, slots=True)
class _Stops:
    """Where the columns of the table stand, mm from its left end."""

    rule: float
    asked: float
    found: float
    result: float
    """Right end of the results."""
    width: float
    flat: bool
    """Whether what is asked stands beside the rule, not below it."""


@dataclass(frozen=True, slots=True)
class _Told:
    """One finding in words."""

    title: str
    asked: str
    found: str
    verdict: str
    failed: bool
    mark: str
    source: str
    reason: str


def sources_of(findings: Iterable[Finding]) -> dict[str, int]:
    """Return the sources of the findings, numbered in the order in which they come."""
    numbers: dict[str, int] = {}
    for finding in findings:
        source = finding.source or COMMON_PRACTICE
        numbers.setdefault(source, len(numbers) + 1)
    return numbers


def applied(findings: Sequence[Finding]) -> list[Finding]:
    """Return the findings of the rules that apply, failing ones first."""
    order = [Outcome.FAIL, Outcome.PASS]
    found = (f for f in findings if f.outcome in order)
    return sorted(found, key=lambda f: order.index(f.outcome))


def rule_table(request: SheetRequest, marks: dict[str, str]) -> Block:
    """Return every rule that applies: what it asks, what was found, where it comes from."""
    findings = applied(request.findings)
    numbers = sources_of(findings)
    told = [
        _Told(
            without_relation(f.title),
            words.requirement(f.required, request.units),
            words.actual(f, request.units),
            words.verdict(f),
            f.outcome is Outcome.FAIL,
            marks.get(f.rule, ""),
            f"[{numbers[f.source or COMMON_PRACTICE]}]",
            f.reason if f.outcome is Outcome.FAIL else "",
        )
        for f in findings
    ]

    def head(width: float) -> list[Row]:
        return [_head(_stops(told, width))] if told else []

    def rows(width: float) -> list[Row]:
        stops = _stops(told, width)
        return [_row(one, stops) for one in told]

    return Block("RULES CHECKED", rows, head, wide=True)


def _stops(told: Sequence[_Told], width: float) -> _Stops:
    """Return where rule, what is asked, what was found and the result stand."""
    margin = _MARK if any(t.mark for t in told) else 0.0
    results = max((text_width(t.verdict, TEXT, bold=t.failed) for t in told), default=0.0)
    result = width - _SOURCE
    if width < _WIDE:
        room = result - results - margin - 2 * 3.0
        asked = (text_width(t.asked, TEXT) for t in told)
        widest = max((w for w in asked if w < 0.6 * room), default=0.5 * room)
        found = margin + max(0.45 * room, widest + 3.0)
        found = max(found, text_width("Rule: asked", TEXT) + 3.0)
        return _Stops(margin, margin, found, result, width, flat=False)

    def widest_of(texts: Iterable[tuple[str, bool]]) -> float:
        return max((text_width(t, TEXT, bold=b) for t, b in texts), default=0.0)

    found = min(0.2 * width, widest_of((t.found, t.failed) for t in told) + _GAP)
    asked = min(0.22 * width, widest_of((t.asked, False) for t in told) + _GAP)
    at = result - max(results, text_width("Result", TEXT)) - _GAP - found
    return _Stops(margin, at - asked, at, result, width, flat=True)


def _head(stops: _Stops) -> Row:
    y = -TOP
    items: list[Item] = [
        line("Rule", stops.rule, y) if stops.flat else line("Rule: asked", 0.0, y),
        line("Found", stops.found, y),
        right("Result", stops.result, y),
        right("Src", stops.width, y),
        Path(((0.0, y - 1.9), (stops.width, y - 1.9)), "table"),
    ]
    if stops.flat:
        items.append(line("Asked", stops.asked, y))
    return Row(height_for(1) + 0.6, tuple(items), with_next=True)


def _row(told: _Told, stops: _Stops) -> Row:
    """Return a rule with what is asked beside it, or below it where there is no room."""
    failed = told.failed
    end = stops.asked - _GAP if stops.flat else stops.width
    items: list[Item] = []
    y = -TOP
    titles = wrap(told.title, end - stops.rule, TEXT, bold=failed)
    for number, text in enumerate(titles):
        items.append(line(text, stops.rule, y - number * PITCH, bold=failed))
    amounts = y if stops.flat else y - len(titles) * PITCH
    edge = stops.result - text_width(told.verdict, TEXT, bold=failed)
    asked = wrap(told.asked, stops.found - stops.asked - 2.0, TEXT)
    found = wrap(told.found, edge - stops.found - 2.0, TEXT, bold=failed)
    for at, texts, bold in ((stops.asked, asked, False), (stops.found, found, failed)):
        for number, text in enumerate(texts):
            items.append(line(text, at, amounts - number * PITCH, bold=bold))
    items.append(right(told.verdict, stops.result, amounts, bold=failed))
    items.append(right(told.source, stops.width, amounts))
    taken = max(len(asked), len(found), 1)
    below = y - (max(len(titles), taken) if stops.flat else len(titles) + taken) * PITCH
    for text in wrap(told.reason, end - stops.rule, TEXT):
        items.append(line(text, stops.rule, below))
        below -= PITCH
    low = below + PITCH - DESCENT * TEXT - (0.9 if stops.flat else AFTER)
    if told.mark:
        low = min(low, -8.6)
        items += fault_mark(told.mark, HALF, -TOP - 1.6)
    items.append(Path(((0.0, low + 0.4), (stops.width, low + 0.4)), "table"))
    return Row(-low + 0.3, tuple(items))


def not_applicable(request: SheetRequest) -> Block:
    """Return the rules of this kind of condition that do not apply here, and why.

    Rules for other kinds of condition are only counted.
    """
    idle = [f for f in request.findings if f.outcome is Outcome.NOT_APPLICABLE]

    def rows(width: float) -> list[Row]:
        reasons: dict[str, list[str]] = {}
        others = sum(finding.elsewhere for finding in idle)
        for finding in idle:
            if not finding.elsewhere:
                title = without_relation(finding.title)
                reasons.setdefault(finding.reason, []).append(title)
        made: list[Row] = []
        for reason, titles in reasons.items():
            listed = "; ".join([titles[0], *(t[:1].lower() + t[1:] for t in titles[1:])])
            head = f"{reason[:1].upper()}{reason[1:].rstrip('.')}:"
            made.append(paragraph(f"{listed}.", width, bold=head, after=_TIGHT))
        if others:
            rules = "1 rule is" if others == 1 else f"{others} rules are"
            why = f"{rules} for other kinds of condition than this one."
            made.append(paragraph(why, width, after=_TIGHT))
        return made

    return Block("RULES THAT DO NOT APPLY", rows)


def sources(request: SheetRequest) -> Block:
    """Return the sources that the rule table points to by number."""
    numbers = sources_of(applied(request.findings))

    def rows(width: float) -> list[Row]:
        return [
            paragraph(source, width, indent=9.0, lead=f"[{number}]", after=_TIGHT)
            for source, number in numbers.items()
        ]

    return Block("SOURCES", rows)
