"""Numbers that a class remembers: what the rules ask of a section, in plain words."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from detailgen.finding import Finding, Outcome, Relation, Severity, Unit
from detailgen.sheet import words
from detailgen.sheet.blocks import without_relation
from detailgen.sheet.dimensioning import Measured
from detailgen.sheet.request import SheetRequest
from detailgen.sheet.section_view import expected_dimensions
from detailgen.units import NOISE

MOST: Final = 12
"""So many numbers stand on a handout: more would not be remembered."""
_SAME: Final = 1.6
"""A rule that measured another length than a dimension shows by more than this, mm, is not
what the dimension asks: 1/16 in."""
_WORDS: Final = {
    Relation.AT_LEAST: "at least",
    Relation.AT_MOST: "at most",
    Relation.EXACTLY: "exactly",
    Relation.BETWEEN: "between",
}
_TOLD: Final = frozenset({Unit.LENGTH, Unit.COUNT, Unit.ANGLE, Unit.SLOPE})


@dataclass(frozen=True, slots=True)
class Number:
    """One number to remember."""

    finding: Finding
    what: str
    """What it is of: `Base flashing height above the finished roof`."""
    word: str
    """`at least`, `at most`."""
    value: str
    """As printed, without the word."""
    measured: Measured | None = None
    """The dimension of the section that shows it."""

    @property
    def asked(self) -> str:
        """What is asked, as printed."""
        return f"{self.word} {self.value}"


def numbers_of(request: SheetRequest, most: int = MOST) -> tuple[Number, ...]:
    """Return the numbers to remember: those that the section shows first."""
    applied = [f for f in request.findings if _is_number(f)]
    shown = list(_shown(request, applied))
    done = {n.finding.rule for n in shown}
    others = [
        _number(f, request, None)
        for f in applied
        if f.rule not in done and f.severity is Severity.REQUIRED
    ]
    return (*shown, *others[: max(0, most - len(shown))])


def _shown(request: SheetRequest, applied: Sequence[Finding]) -> Iterator[Number]:
    """Yield what a dimension of the section shows: upright ones from the top first."""
    by_rule = {f.rule: f for f in applied}
    taken: set[str] = set()
    dims = expected_dimensions(request)
    for one in sorted(dims, key=lambda m: (not m.upright, -max(m.start[1], m.end[1]))):
        rules = request.catalog.drafting.asks.get(one.gauge.id)
        asked = (
            [by_rule[r] for r in rules if r in by_rule]
            if rules
            # A dimension of a free section: what measured the same, from the same place.
            else [f for f in applied if one.gauge.id.startswith("gauge-") and _at(f, one)]
        )
        for finding in asked:
            length = finding.actual.unit is Unit.LENGTH
            near = abs(finding.actual.value - one.true) <= _SAME
            if length and near and finding.rule not in taken:
                taken.add(finding.rule)
                yield _number(finding, request, one)
                break


def _at(finding: Finding, one: Measured) -> bool:
    """Return whether a rule measured at an end of a dimension."""
    if finding.where is None or finding.view != "section":
        return False
    along = 1 if one.upright else 0
    ends = (one.start[along], one.end[along])
    return min(abs(finding.where[along] - e) for e in ends) <= _SAME


def _is_number(finding: Finding) -> bool:
    asked = finding.required.amount
    if finding.outcome is Outcome.NOT_APPLICABLE or asked.unit not in _TOLD:
        return False
    return asked.value > NOISE and finding.required.relation in _WORDS


def _number(finding: Finding, request: SheetRequest, one: Measured | None) -> Number:
    asked, system = finding.required, request.units
    word = "more than" if asked.strict else _WORDS[asked.relation]
    value = words.amount(asked.amount, system)
    if asked.relation is Relation.BETWEEN and asked.high is not None:
        if asked.high == asked.amount:
            word = "exactly"
        else:
            value = f"{value} and {words.amount(asked.high, system)}"
    return Number(finding, without_relation(finding.title), word, value, one)
