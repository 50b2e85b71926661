"""The rule summary: what fails first, then detail by detail, then rule by rule."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from detailgen.book import Part
from detailgen.book.columns import Col, Line, Note
from detailgen.book.package import mark_key
from detailgen.book.table import table, texts
from detailgen.catalog import COMMON_PRACTICE
from detailgen.checked import Checked
from detailgen.finding import Finding, Outcome, Severity
from detailgen.package._told import ToldJob, marks_of
from detailgen.pipeline import told_source
from detailgen.sheet import words
from detailgen.sheet.blocks import without_relation
from detailgen.sheet.flow import Block

KEY: Final = "rules"
_FAILING: Final = (
    Col("Detail"), Col("Rule"), Col("Asked"), Col("Found"), Col("Result"), Col("Src"),
    Col("Remark"),
)  # fmt: skip
_STRONG: Final = frozenset({0, 1, 4})
"""Columns of what fails that stand out."""
_DETAILS: Final = (
    Col("Detail"), Col("Title"), Col("Hold", number=True), Col("Fail", number=True),
    Col("Accepted", number=True), Col("Advice not met", number=True),
    Col("State"),
)  # fmt: skip
_RULES: Final = (
    Col("Rule"), Col("Asked"), Col("Found, and in which details"), Col("Result"),
    Col("Src"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Found:
    """One finding with the detail that it is of."""

    checked: Checked
    finding: Finding

    @property
    def mark(self) -> str:
        return self.checked.placed.id


def rule_summary(told: ToldJob) -> Part:
    """Return the summary of the rules of a whole job."""
    found = [
        _Found(one, replace(f, source=told_source(told.job, f)))
        for one in told.checked
        for f in one.findings
        if f.outcome is not Outcome.NOT_APPLICABLE
    ]
    found.sort(key=lambda f: _rank(f.finding))
    sources: dict[str, int] = {}
    for one in found:
        sources.setdefault(one.finding.source or COMMON_PRACTICE, len(sources) + 1)
    blocks = (
        _failing(told, [f for f in found if _fails(f.finding)], sources),
        _by_detail(told),
        _by_rule(told, found, sources),
        _sources(sources),
    )
    return Part(KEY, "Rule summary", blocks, _notes(told))


def _fails(finding: Finding) -> bool:
    return finding.outcome is Outcome.FAIL


def _rank(finding: Finding) -> int:
    """Return where a finding stands: failing, accepted, advice not met, holding."""
    if not _fails(finding):
        return 3
    if finding.severity is not Severity.REQUIRED:
        return 2
    return 1 if finding.accepted else 0


def _verdict(finding: Finding) -> str:
    if finding.accepted:
        return "ACCEPTED"
    verdict = words.verdict(finding)
    return "advice, not met" if verdict == "ADVICE" else verdict


def _failing(told: ToldJob, failing: list[_Found], sources: dict[str, int]) -> Block:
    """Return what fails over the whole job: rules, accepted deviations, then advice."""
    if not failing:
        count = len(told.checked)
        many = "the one detail" if count == 1 else f"all {count} details"
        return texts("WHAT FAILS", [("Nothing:", f"every rule holds in {many}.")])
    lines = [
        Line(
            (
                one.mark,
                without_relation(one.finding.title),
                words.requirement(one.finding.required, told.units),
                words.actual(one.finding, told.units),
                _verdict(one.finding),
                f"[{sources[one.finding.source or COMMON_PRACTICE]}]",
                _remark(one.finding),
            ),
            strong=_STRONG if _rank(one.finding) == 0 else frozenset(),
            targets={0: mark_key(one.mark)},
        )
        for one in failing
    ]
    return table("WHAT FAILS", _FAILING, lines)


def _remark(finding: Finding) -> str:
    said = [finding.reason, finding.accepted and f"Accepted: {finding.accepted}"]
    said.append(finding.override and f"Another value in this job: {finding.override}")
    return ". ".join(t.rstrip(".") for t in said if t)


def _by_detail(told: ToldJob) -> Block:
    """Return a line for each detail, those that fail first."""
    lines: list[Line] = []
    for one in sorted(told.checked, key=_state_rank):
        counts = _counts(one)
        state = words.status(one.findings).capitalize()
        lines.append(
            Line(
                (one.placed.id, one.placed.title, *map(_count, counts), state),
                bold=bool(counts[1]),
                targets={0: mark_key(one.placed.id)},
            )
        )
    return table("DETAIL BY DETAIL", _DETAILS, lines)


def _count(number: int) -> str:
    return str(number) if number else "-"


def _state_rank(one: Checked) -> int:
    return min((_rank(f) for f in one.findings), default=3)


def _counts(one: Checked) -> tuple[int, int, int, int]:
    """Return how many rules hold, fail, are accepted, and advise in vain."""
    ranks = [_rank(f) for f in one.findings if _fails(f)]
    held = sum(f.outcome is Outcome.PASS for f in one.findings)
    return held, ranks.count(0), ranks.count(1), ranks.count(2)


def _by_rule(told: ToldJob, found: list[_Found], sources: dict[str, int]) -> Block:
    """Return every rule that applies anywhere, with all that was measured."""
    groups: dict[tuple[str, str], list[_Found]] = {}
    for one in found:
        asked = words.requirement(one.finding.required, told.units)
        groups.setdefault((one.finding.rule, asked), []).append(one)
    lines = [_rule(told, asked, these, sources) for (_, asked), these in groups.items()]
    idle = _never(told)
    told_idle = [Note(f"{idle} rules apply to no detail of this job.")] if idle else []
    return table("RULE BY RULE", _RULES, [*lines, *told_idle])


def _never(told: ToldJob) -> int:
    every = {f.rule for one in told.checked for f in one.findings}
    applied = {
        f.rule
        for one in told.checked
        for f in one.findings
        if f.outcome is not Outcome.NOT_APPLICABLE
    }
    return len(every - applied)


def _rule(told: ToldJob, asked: str, these: list[_Found], sources: dict[str, int]) -> Line:
    first = these[0].finding
    numbers = dict.fromkeys(sources[f.finding.source or COMMON_PRACTICE] for f in these)
    if first.severity is not Severity.REQUIRED:
        asked += " (advice)"
    return Line(
        (
            without_relation(first.title),
            asked,
            "; ".join(_measured(told, these)),
            _result(these),
            ", ".join(f"[{n}]" for n in numbers),
        ),
        bold=any(_rank(f.finding) == 0 for f in these),
    )


def _measured(told: ToldJob, these: list[_Found]) -> Iterator[str]:
    """Yield what was measured, each with the details in which it was."""
    values: dict[str, list[str]] = {}
    for one in these:
        values.setdefault(words.actual(one.finding, told.units), []).append(one.mark)
    for value, marks in values.items():
        yield f"{value}: {marks_of(told, marks)}"


def _result(these: list[_Found]) -> str:
    verdicts = [_verdict(f.finding) for f in these]
    if len(set(verdicts)) == 1:
        return verdicts[0]
    counted = ((v, verdicts.count(v)) for v in dict.fromkeys(verdicts))
    return ", ".join(f"{v} in {n}" for v, n in counted)


def _sources(sources: dict[str, int]) -> Block:
    lines = [Line((f"[{number}]", source)) for source, number in sources.items()]
    return table("SOURCES", (Col(""), Col("")), lines)


def _notes(told: ToldJob) -> tuple[Block, ...]:
    name = told.job.rules.name
    parts = "Rule sets" if told.job.rules.parts else "Rule set"
    return (
        texts(
            "HOW TO READ IT",
            [
                (f"{parts}:", f"{name}."),
                ("Found:", "what was measured on the section that is drawn."),
                ("FAILS:", "a rule that is asked does not hold."),
                ("ACCEPTED:", "it fails, and the owner leaves it so for a reason."),
                ("Advice:", "not asked; it says what would be better."),
                ("Src:", "number of the source in the list at the end."),
            ],
        ),
    )
