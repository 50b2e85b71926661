"""A condition on the bench: built with changed parameters, and asked what fails then.

A point says what is changed: pairs of a handle's number and a value, in the order of the
numbers. The empty point is the condition as it is. Sections are built when they are first
asked for, and rules are found one at a time, since most of them are of no interest at most
points.
"""

from collections import OrderedDict
from collections.abc import Callable, Iterable, Mapping
from copy import copy
from dataclasses import dataclass, replace
from math import inf
from typing import Any, Final, cast

from detailgen.checks import REGISTRY, examine
from detailgen.conditions import Condition, Site
from detailgen.finding import Amount, Finding, Outcome, Relation, Severity, Unit
from detailgen.mend._handles import Handle, Tier, Value
from detailgen.parameters import Placed

Point = tuple[tuple[int, Value], ...]
"""What is changed: handle numbers, ascending, each with its value."""

KEPT: Final = 400
"""So many sections are kept; one has a few hundred kilobytes."""
MOST_BUILDS: Final = 20_000
"""So many sections are built for one condition, then the search gives up."""


class ExhaustedError(Exception):
    """The search has built as many sections as it may."""


@dataclass(frozen=True, slots=True, order=True)
class Reason:
    """Why a point will not do: a rule that fails, or what cannot be built."""

    name: str
    """Id of the rule, or what the condition says of what cannot be built."""
    side: str = ""
    """`low` or `high` for a rule with two limits."""
    rule: bool = True


def point_of(values: Mapping[int, Value]) -> Point:
    """Return the point of a mapping."""
    return tuple(sorted(values.items(), key=lambda item: item[0]))


class Bench:
    """One condition, built as often as asked with other parameters."""

    def __init__(
        self,
        condition: Condition,
        parameters: Placed,
        site: Site,
        all_handles: tuple[Handle, ...],
        spared: frozenset[str] = frozenset(),
    ) -> None:
        """Take what is to be tried.

        Args:
            condition: The kind.
            parameters: Its parameters as they are.
            site: Roof, catalogue and rules.
            all_handles: What may be changed.
            spared: Ids of the rules that need not hold, such as accepted deviations.
        """
        self.condition, self.parameters, self.site = condition, parameters, site
        self.handles = all_handles
        self.rules = tuple(r for r in REGISTRY if r not in spared)
        self.slack: dict[Reason, float] = {}
        """By how much rules may fail and still count as holding."""
        self.builds = 0
        self._examined: OrderedDict[Point, Callable[[str], Finding]] = OrderedDict()
        self._findings: dict[tuple[Point, str], Finding] = {}
        self._impossible: dict[Point, tuple[Reason, ...]] = {}
        self._forms: dict[Point, frozenset[str]] = {}
        self._keys: dict[Reason, frozenset[str]] = {}

    def asking(
        self, rules: Iterable[str], slack: Mapping[Reason, float] | None = None
    ) -> "Bench":
        """Return the same bench, what it has built included, asking these rules only."""
        other = copy(self)
        other.rules = tuple(r for r in self.rules if r in set(rules))
        other.slack = dict(slack or {})
        other.builds = 0
        return other

    def made(self, point: Point) -> tuple[Placed, Site]:
        """Return the parameters and the site at a point."""
        own: dict[str, Any] = {}
        roof: dict[str, Any] = {}
        for number, value in point:
            handle = self.handles[number]
            if handle.tier in {Tier.OWN_NUMBER, Tier.OWN_KIND}:
                own[handle.key] = value
            elif handle.layer is None:
                roof[handle.key] = value
            else:
                held = roof.get(handle.key, getattr(self.site.roof, handle.key))
                layers = list(cast("tuple[Value, ...]", held))
                layers[handle.layer : handle.layer + 1] = [value]
                roof[handle.key] = tuple(layers)
        parameters = self.parameters.model_copy(update=own) if own else self.parameters
        if not roof:
            return parameters, self.site
        return parameters, replace(self.site, roof=self.site.roof.model_copy(update=roof))

    def impossible(self, point: Point) -> tuple[Reason, ...]:
        """Return what cannot be built at a point; nothing when all can."""
        if point not in self._impossible:
            found = self.condition.impossible(*self.made(point))
            named = {Reason(i.message, rule=False): frozenset(i.keys) for i in found}
            self._keys |= named
            self._impossible[point] = tuple(named)
        return self._impossible[point]

    def keys_of(self, reason: Reason) -> frozenset[str]:
        """Return which parameters something that cannot be built is said to concern."""
        return self._keys.get(reason, frozenset())

    def finding(self, point: Point, rule: str) -> Finding:
        """Return what a rule finds at a point that can be built."""
        key = (point, rule)
        if key not in self._findings:
            self._findings[key] = self._examine(point)(rule)
        return self._findings[key]

    def failing(self, point: Point) -> tuple[Reason, ...]:
        """Return all reasons why a point will not do; none when it is a mend."""
        if found := self.impossible(point):
            return found
        return tuple(r for rule in self.rules for r in self._fails(point, rule))

    def passes(self, point: Point, reason: Reason) -> bool:
        """Return whether a reason is met at a point that can be built."""
        if not reason.rule:
            return reason not in self.impossible(point)
        return reason not in self._fails(point, reason.name)

    def margin(self, point: Point, reason: Reason) -> float:
        """Return by how much a reason is met; less than nothing where it is not.

        In the rule's own unit, so that margins of one reason can be compared. What only
        holds or does not has a margin of 1 or -1; what does not apply, an endless one.
        """
        if not reason.rule:
            return 1.0 if reason not in self.impossible(point) else -1.0
        return margin(self.finding(point, reason.name), reason.side)

    def form(self, point: Point) -> frozenset[str]:
        """Return what there is at a point that can be built: bodies and named points."""
        if point not in self._forms:
            self._examine(point)
        return self._forms[point]

    def _fails(self, point: Point, rule: str) -> tuple[Reason, ...]:
        found = self.finding(point, rule)
        if found.outcome is not Outcome.FAIL or found.severity is not Severity.REQUIRED:
            return ()
        sides = ("low", "high") if found.required.relation is Relation.BETWEEN else ("",)
        reasons = (Reason(rule, side) for side in sides)
        return tuple(
            r
            for r in reasons
            if margin(found, r.side)
            < -max(self.slack.get(r, 0.0), ROUNDING if r.side else 0.0)
        )

    def _examine(self, point: Point) -> Callable[[str], Finding]:
        if point in self._examined:
            self._examined.move_to_end(point)
            return self._examined[point]
        if self.builds >= MOST_BUILDS:
            raise ExhaustedError
        self.builds += 1
        parameters, site = self.made(point)
        section = self.condition.build(parameters, site)
        self._forms[point] = frozenset((*(b.id for b in section.bodies), *section.points))
        self._examined[point] = examine(section, site.rules, site.catalog)
        if len(self._examined) > KEPT:
            self._examined.popitem(last=False)
        return self._examined[point]


NOTHING: Final = 1e-9
"""A margin that is none: what fails has less."""
ROUNDING: Final = 0.01
"""What a rule with two limits takes for rounding, mm."""


def margin(found: Finding, side: str = "") -> float:
    """Return by how much a finding is met, in its own unit; negative when it fails."""
    if found.outcome is Outcome.NOT_APPLICABLE:
        return inf
    failed = found.outcome is Outcome.FAIL
    asked, actual = found.required, found.actual
    if actual.unit is Unit.WORDS or asked.amount.unit is Unit.WORDS:
        return -1.0 if failed else 1.0
    left = _left(asked.relation, actual, asked.amount, asked.high, side)
    if side:
        return left
    # rounding is on the roof's side: what passes is met, what fails is not
    return min(left, -NOTHING) if failed else max(left, 0.0)


def _left(
    relation: Relation, actual: Amount, low: Amount, high: Amount | None, side: str
) -> float:
    match relation:
        case Relation.AT_LEAST:
            return actual.value - low.value
        case Relation.AT_MOST:
            return low.value - actual.value
        case Relation.EXACTLY:
            return -abs(actual.value - low.value)
        case Relation.BETWEEN:
            assert high is not None
            if side == "low":
                return actual.value - low.value
            if side == "high":
                return high.value - actual.value
            return min(actual.value - low.value, high.value - actual.value)
