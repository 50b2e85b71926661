"""What a rule is: a function that measures a section, and the row it is held against.

A rule function returns what it measured (`Measured`) or why there is nothing to measure
(`Idle`). Comparing with the rule set's row and wording the finding happens here, once.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from detailgen.catalog import Rule
from detailgen.checks._case import Case
from detailgen.checks._sides import turned_back
from detailgen.finding import Amount, Finding, Outcome, Relation, Requirement, Unit
from detailgen.geometry import Point
from detailgen.section import LayeredSection, Role

TOLERANCE = {Unit.LENGTH: 0.01, Unit.ANGLE: 0.01, Unit.SLOPE: 1e-5}
"""Differences below this are rounding of the drawing, not of the roof."""
NO_LENGTH = Amount(0.0, Unit.LENGTH)
"""What a rule asks that forbids something: none of it."""
NONE_AT_ALL = Amount(0.0, Unit.COUNT)
NOT_ASKED = "the rule set does not ask this"

WALL = "wall"
EDGE = "roof-edge"
FLANGE = "flange"
"""Any metal flange set in the membrane: that of a roof edge, a sleeve, a pan."""
INSIDE_CORNER = "inside-corner"
OUTSIDE_CORNER = "outside-corner"
OVERFLOW = "overflow"
"""A scupper that takes what the drains do not."""
STACK, SLEEVE, POCKET = "stack", "vent-sleeve", "penetration-pocket"
DRAIN, DEEP_DRAIN, SCUPPER = "drain", "deep-drain", "scupper"
CURB = "curb"
JOINT = "expansion-joint"
MOVING_WALL = "independent-wall"
SUPPORT = "equipment-support"
SLEEPER = "equipment-sleeper"
OTHER_KIND = {
    WALL: "there is no wall in this section",
    EDGE: "there is no roof edge in this section",
    FLANGE: "there is no flange in this section",
    INSIDE_CORNER: "there is no corner in this section",
    OUTSIDE_CORNER: "there is no outside corner in this section",
    OVERFLOW: "this is no overflow",
    STACK: "no plumbing stack goes through this section",
    SLEEVE: "there is no vent sleeve in this section",
    POCKET: "there is no pocket in this section",
    DRAIN: "there is no drain in this section",
    DEEP_DRAIN: "there is no clad sump in this section",
    SCUPPER: "there is no scupper in this section",
    CURB: "there is no equipment curb in this section",
    JOINT: "there is no joint in this section",
    MOVING_WALL: "there is no wall beside a moving deck in this section",
    SUPPORT: "no equipment stands on posts in this section",
    SLEEPER: "no equipment stands on sleepers in this section",
}


@dataclass(frozen=True, slots=True)
class Measured:
    """What a rule measured, and where."""

    actual: float | str
    where: Point
    bodies: tuple[str, ...] = ()
    row: str = ""
    """Row to hold it against, where the rule has several."""
    required: float | None = None
    """What the geometry asks, where that is more than the row does."""
    reason: str = ""
    """What is wrong, where more can be said than the rule's own sentence."""
    view: str = "section"
    source: str = ""
    """Where what is required stands, where that is not the row."""


@dataclass(frozen=True, slots=True)
class Idle:
    """Why there is nothing to measure."""

    reason: str


Verdict = Measured | Idle
Measure = Callable[[Case], Verdict]


@dataclass(frozen=True, slots=True)
class Check:
    """One rule: how it measures, and what it compares with."""

    id: str
    rows: tuple[str, ...]
    """Rows of the rule set that it reads; the first speaks for it when it is idle."""
    relation: Relation
    wrong: str
    """What a failure means, one sentence."""
    page: str
    """Its public page: what it guards against, how and from where it is measured."""
    measure: Measure
    kinds: tuple[str, ...] = ()
    """Kinds of condition that it can apply to; empty for all."""
    asked: Amount | None = None
    """Asked instead of the row's value, when the row only says that the rule holds."""
    high_row: str = ""
    strict: bool = False
    """The limit itself is not enough."""
    title: str = ""
    """What a sheet prints, where the row's text would not say it."""
    built: tuple[Role | str, ...] = ()
    """Roles, or ids of coats, that must stand before it can be asked."""
    at_rest: bool = False
    """Asked only where work rests: at hold points, and of the finished work."""
    whole: bool = False
    """Measured on the section as a whole, not on each of its two sides."""

    def due(self, section: LayeredSection) -> int:
        """Return the number of the first stage of a section at which it can be asked.

        Of what must stand, the last that the section has counts. Where it has none of it,
        the finished work is asked.
        """
        if not self.built:
            return 0
        stages = [b.stage for b in section.bodies if b.role in self.built]
        stages += [c.stage for c in section.coats if c.id in self.built]
        return max(stages, default=max((s.number for s in section.stages), default=0))

    def find(self, case: Case) -> Finding:
        """Return this rule's finding on a section."""
        row = case.rules.row(self.rows[0])
        if self.kinds and not any(map(case.is_a, self.kinds)):
            return self._elsewhere(case, row)
        if not row.demanded or (self.asked is not None and not row.value):
            return self._idle(case, row, NOT_ASKED)
        if self.whole or not case.sides:
            return self._told(case, row)
        left, right = (self._told(side, row) for side in case.sides)
        if right.where is not None and right.view == "section":
            right = replace(right, where=turned_back(right.where))
        return max(left, right, key=_gravity)  # of two that are alike the left one

    def _elsewhere(self, case: Case, row: Rule) -> Finding:
        """Return the finding on a section of another kind, the same for all of them."""
        if self.id in case.section.never_idle:
            return self._idle(case, row, OTHER_KIND[self.kinds[0]], elsewhere=True)
        known = _ELSEWHERE.get(self.id)
        if known is None or known[0] is not row:
            found = self._idle(case, row, OTHER_KIND[self.kinds[0]], elsewhere=True)
            known = _ELSEWHERE[self.id] = row, found
        return known[1]

    def _told(self, case: Case, row: Rule) -> Finding:
        """Return the finding on a section, or on one side of it."""
        verdict = self.measure(case)
        if isinstance(verdict, Idle):
            return self._idle(case, row, verdict.reason)
        if verdict.row:
            row = case.rules.row(verdict.row)
        required = self._requirement(case, row, verdict.required)
        unit = required.amount.unit
        words = isinstance(verdict.actual, str)
        actual = (
            Amount(words=str(verdict.actual))
            if words
            else Amount(_settled(float(verdict.actual), unit), unit)
        )
        holds = meets(required, actual, strict=self.strict)
        return Finding(
            rule=self.id,
            title=self.title or row.text,
            outcome=Outcome.PASS if holds else Outcome.FAIL,
            severity=row.severity,
            required=required,
            actual=actual,
            where=verdict.where,
            source=verdict.source or row.source,
            reason="" if holds else verdict.reason or self.wrong,
            view=verdict.view,
            bodies=verdict.bodies,
            override=row.override,
            origins=_origins(row),
        )

    def _requirement(self, case: Case, row: Rule, more: float | None) -> Requirement:
        if not row.demanded:
            return Requirement(self.relation, Amount(words="nothing"))
        low = self.asked or Amount(row.value if more is None else more, row.unit)
        if not self.high_row:
            return Requirement(self.relation, low, strict=self.strict)
        top = case.rules.row(self.high_row)
        return Requirement(self.relation, low, Amount(top.value, top.unit))

    def _idle(
        self, case: Case, row: Rule, reason: str, *, elsewhere: bool = False
    ) -> Finding:
        """Return a finding that nothing was measured: a failure where that may not be."""
        forbidden = self.id in case.section.never_idle
        return Finding(
            rule=self.id,
            title=self.title or row.text,
            outcome=Outcome.FAIL if forbidden else Outcome.NOT_APPLICABLE,
            severity=row.severity,
            required=self._requirement(case, row, None),
            actual=Amount(words="nothing to measure"),
            where=case.anchor() if forbidden else None,
            source=row.source,
            reason=reason,
            override=row.override,
            origins=_origins(row),
            elsewhere=elsewhere,
        )


_ELSEWHERE: Final[dict[str, tuple[Rule, Finding]]] = {}
"""Of each rule its last finding on a kind that it is not for, with the row that it told."""


def _gravity(found: Finding) -> tuple[int, float]:
    """Return how bad a finding is: a failure before what holds, then by what is missing."""
    rank = (Outcome.NOT_APPLICABLE, Outcome.PASS, Outcome.FAIL).index(found.outcome)
    if Unit.WORDS in {found.actual.unit, found.required.amount.unit}:
        return rank, 0.0
    over = found.actual.value - found.required.amount.value
    if found.required.relation is Relation.AT_MOST:
        return rank, over
    if found.required.relation is Relation.AT_LEAST:
        return rank, -over
    high = found.required.high
    return rank, max(-over, found.actual.value - high.value) if high else abs(over)


def _origins(row: Rule) -> tuple[str, ...]:
    return tuple(origin.set_id for origin in row.origins)


def _settled(value: float, unit: Unit) -> float:
    """Return an amount without what is rounding of the drawing: a sliver is nothing."""
    return 0.0 if abs(value) < TOLERANCE.get(unit, 0.0) else value


def meets(required: Requirement, actual: Amount, *, strict: bool = False) -> bool:
    """Tell whether an amount is what is required, but for rounding."""
    if required.amount.unit is Unit.WORDS or actual.unit is Unit.WORDS:
        return required.amount.words == actual.words
    slack = TOLERANCE.get(actual.unit, 1e-9)
    low, value = required.amount.value, actual.value
    if required.relation is Relation.AT_MOST:
        return value <= low + slack
    if required.relation is Relation.EXACTLY:
        return abs(value - low) <= slack
    if strict:
        return value > low + slack
    high = required.high.value if required.high is not None else float("inf")
    return low - slack <= value <= high + slack


def rule(  # noqa: PLR0913  (a rule is that many things)
    *rows: str,
    wrong: str,
    relation: Relation = Relation.AT_LEAST,
    kinds: tuple[str, ...] = (),
    asked: Amount | None = None,
    high_row: str = "",
    strict: bool = False,
    title: str = "",
    built: tuple[Role | str, ...] = (),
    at_rest: bool = False,
    whole: bool = False,
) -> Callable[[Measure], Check]:
    """Make a check of a measuring function; its name and docstring become the rule's.

    Args:
        rows: Rows of the rule set that it reads, the one that speaks for it first.
        wrong: What a failure means, one sentence.
        relation: How what is measured is compared with the row.
        kinds: Kinds of condition that it can apply to; none given for all.
        asked: Asked instead of the row's value, when the row only says that the rule holds.
        high_row: Row of the upper limit, for `Relation.BETWEEN`.
        strict: The limit itself is not enough.
        title: What a sheet prints, where the row's text would not say it.
        built: Roles, or ids of coats, that must stand before it can be asked.
        at_rest: Asked only where work rests: at hold points, and of the finished work.
        whole: Measured on the section as a whole, not on each of its two sides.
    """

    def make(measure: Measure) -> Check:
        return Check(
            id=measure.__name__,
            rows=rows,
            relation=relation,
            wrong=wrong,
            page=(measure.__doc__ or "").strip(),
            measure=measure,
            kinds=kinds,
            asked=asked,
            high_row=high_row,
            strict=strict,
            title=title,
            built=built,
            at_rest=at_rest,
            whole=whole,
        )

    return make
