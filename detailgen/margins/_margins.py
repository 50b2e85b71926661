"""The margin of each rule: how many times a tolerance it takes until it fails."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Final

from detailgen.catalog import Tolerance
from detailgen.checks import REGISTRY
from detailgen.conditions import Condition, Site
from detailgen.finding import Finding, Outcome, Severity, Unit
from detailgen.margins._astray import Astray, settled, tolerances_of
from detailgen.margins._slack import slack
from detailgen.parameters import Placed

PROBES: Final = (0.5, 1.0, 2.0, 4.0)
"""Multiples of a tolerance at which it is seen whether a rule fails, the largest last."""
FURTHEST: Final = PROBES[-1]
MOVES: Final = 1e-6
"""A margin that shrinks by less is not touched."""
FINE: Final = 1.0 / 128.0
"""Margins are told to this, as a multiple of the tolerance."""


@dataclass(frozen=True, slots=True)
class Use:
    """What one tolerance does to one rule."""

    tolerance: Tolerance
    multiple: float | None
    """Multiple at which the rule fails; None when it does not as far as was tried."""
    tried: float
    """Largest multiple that can be built and was tried."""
    other_way: bool = False
    """The work strays the other way."""

    @property
    def text(self) -> str:
        """Return what goes wrong, in words."""
        return self.tolerance.back if self.other_way else self.tolerance.text

    @property
    def order(self) -> float:
        """Return what uses are sorted by: the soonest first."""
        return FURTHEST * 2.0 if self.multiple is None else self.multiple


@dataclass(frozen=True, slots=True)
class Margin:
    """One rule of one condition, and what uses it up."""

    rule: str
    title: str
    severity: Severity
    slack: float | None
    """By how much it holds as drawn; negative when it fails, None where told in words."""
    unit: Unit
    fails: bool
    """It fails as drawn."""
    uses: tuple[Use, ...]
    """What every tolerance that touches it does, the soonest first; empty for none."""

    @property
    def first(self) -> Use | None:
        """Return the tolerance that uses it up first, or None where none does."""
        return next((use for use in self.uses if use.multiple is not None), None)

    @property
    def order(self) -> float:
        """Return what margins are sorted by: the smallest first."""
        return -1.0 if self.fails else min((use.order for use in self.uses), default=9e9)


def margins(
    condition: Condition,
    parameters: Placed,
    site: Site,
    tolerances: Iterable[Tolerance],
) -> tuple[Margin, ...]:
    """Return the margin of every rule that applies, the one that is lost first at the head.

    Raises:
        UserError: A tolerance names a parameter or a rule that is not there.
    """
    astray = settled(condition, parameters, site)
    chosen = tolerances_of(condition, tolerances)
    section = astray.with_values({})
    if section is None:  # valid parameters can be built
        return ()
    find = astray.examined(section)
    drawn = {rule: find(rule) for rule in REGISTRY}
    uses: dict[str, list[Use]] = {rule: [] for rule in REGISTRY}
    for tolerance in chosen:
        for rule, use in _uses(astray, tolerance, drawn).items():
            uses[rule].append(use)
    found = [
        _margin(drawn[rule], tuple(sorted(these, key=lambda u: u.order)))
        for rule, these in uses.items()
        if drawn[rule].outcome is not Outcome.NOT_APPLICABLE
    ]
    return tuple(sorted(found, key=lambda m: m.order))


def _margin(finding: Finding, uses: tuple[Use, ...]) -> Margin:
    return Margin(
        rule=finding.rule,
        title=finding.title,
        severity=finding.severity,
        slack=slack(finding),
        unit=finding.required.amount.unit,
        fails=finding.outcome is Outcome.FAIL,
        uses=uses,
    )


def _uses(
    astray: Astray, tolerance: Tolerance, drawn: Mapping[str, Finding]
) -> dict[str, Use]:
    """Return what a tolerance does to the rules that it touches, the worse way of two."""
    found: dict[str, Use] = {}
    for sign in (1.0, -1.0) if tolerance.back else (1.0,):
        trial = _Trial(astray, tolerance, sign)
        for rule in trial.touched(drawn):
            use = Use(tolerance, trial.fails_at(rule), trial.furthest, sign < 0.0)
            if rule not in found or use.order < found[rule].order:
                found[rule] = use
    return found


@dataclass
class _Trial:
    """One tolerance taken further and further, one way."""

    astray: Astray
    tolerance: Tolerance
    sign: float
    built: dict[float, Callable[[str], Finding] | None] = field(
        default_factory=dict[float, Callable[[str], Finding] | None]
    )

    def at(self, times: float) -> Callable[[str], Finding] | None:
        """Return what finds rules at a multiple; None where it cannot be built."""
        if times not in self.built:
            section = self.astray.strayed(self.tolerance, self.sign * times)
            self.built[times] = section and self.astray.examined(section)
        return self.built[times]

    @cached_property
    def probes(self) -> tuple[float, ...]:
        """The multiples that can be built, in order; none beyond the first that cannot."""
        found: list[float] = []
        for times in PROBES:
            if self.at(times) is None:
                break
            found.append(times)
        return tuple(found)

    @property
    def furthest(self) -> float:
        """Return the largest multiple that was tried."""
        return max(self.probes, default=0.0)

    def touched(self, drawn: Mapping[str, Finding]) -> list[str]:
        """Return the rules that hold as drawn and are nearer to failing now, or fail."""
        asked = self.tolerance.rules or tuple(drawn)
        holding = (rule for rule in asked if drawn[rule].outcome is Outcome.PASS)
        return [rule for rule in holding if self._wears(rule, drawn[rule])]

    def _wears(self, rule: str, before: Finding) -> bool:
        """Tell whether the tolerance takes something of a rule's margin."""
        return any(self._less(rule, before, t) for t in self.probes)

    def _less(self, rule: str, before: Finding, times: float) -> bool:
        find = self.at(times)
        if find is None:
            return False
        after = find(rule)
        was, now = slack(before), slack(after)
        if was is None or now is None or after.outcome is Outcome.FAIL:
            return after.outcome is Outcome.FAIL
        return was - now > MOVES

    def _fails(self, rule: str, times: float) -> bool:
        find = self.at(times)
        return find is not None and find(rule).outcome is Outcome.FAIL

    def fails_at(self, rule: str) -> float | None:
        """Return the smallest multiple at which a rule fails, or None."""
        held = 0.0
        for times in self.probes:
            if self._fails(rule, times):
                return self._between(rule, held, times)
            held = times
        return None

    def _between(self, rule: str, held: float, failed: float) -> float:
        """Halve the way between a multiple at which it holds and one at which it fails."""
        while failed - held > FINE:
            middle = (held + failed) / 2.0
            if self._fails(rule, middle):
                failed = middle
            else:
                held = middle
        return held
