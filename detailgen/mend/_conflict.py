"""Names a conflict: the fewest rules that cannot hold together, and by how much."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from detailgen.finding import Amount, Finding, Outcome, Relation, Unit
from detailgen.mend._bench import Bench, ExhaustedError, Reason
from detailgen.mend._handles import Sort, Tier, step_of
from detailgen.mend._result import Conflict, Short
from detailgen.mend._search import Nothing, Search
from detailgen.units import UnitSystem

_MOST_TRIES: Final = 24
"""Halvings of a shortfall; a length of a metre comes down to a step with ten."""


def conflict_in(
    bench: Bench, nothing: Nothing, system: UnitSystem, kept: Iterable[str]
) -> Conflict:
    """Return the conflict for which a search found nothing."""
    blocked = {r.name for r in nothing.reasons if r.rule}
    rules = _fewest(bench, [r for r in bench.rules if r in blocked])
    last = Search(bench.asking(rules)).run()
    limits = last.reasons if isinstance(last, Nothing) else nothing.reasons
    return Conflict(
        shorts=tuple(_short(bench, rule, rules, system) for rule in rules),
        limits=tuple(sorted(r.name for r in limits if not r.rule)),
        kept=tuple(sorted(kept)),
    )


def _fewest(bench: Bench, rules: list[str]) -> list[str]:
    """Return rules none of which can be left out of a conflict.

    Where one of several can be, it is a rule that counts what others measure in lengths.
    """
    if _can(bench, rules):
        rules = list(bench.rules)
    for rule in sorted(rules, key=lambda r: _is_measured(bench.finding((), r))):
        others = [r for r in rules if r != rule]
        if others and not _can(bench, others):
            rules = others
    return rules


def _is_measured(found: Finding) -> bool:
    """Return whether a rule asks for a length, a slope or an angle."""
    return found.required.amount.unit in {Unit.LENGTH, Unit.SLOPE, Unit.ANGLE}


def _can(bench: Bench, rules: Iterable[str]) -> bool:
    """Return whether these rules can all hold."""
    return not isinstance(Search(bench.asking(rules)).run(), Nothing)


def _short(bench: Bench, rule: str, rules: list[str], system: UnitSystem) -> Short:
    """Return by how much a rule is short while the others of a conflict hold."""
    found = bench.finding((), rule)
    unit = found.required.amount.unit
    step = {
        Unit.LENGTH: float(step_of(Sort.LENGTH, system)),
        Unit.SLOPE: float(step_of(Sort.SLOPE, system)),
        Unit.ANGLE: 1.0,
        Unit.COUNT: 1.0,
    }.get(unit)
    if step is None or found.actual.unit is Unit.WORDS:
        return Short(found, None)
    try:
        steps = _least_slack(bench, rule, rules, step)
    except ExhaustedError:
        return Short(found, None)
    return Short(found, None if steps is None else _best(found, steps * step))


def _least_slack(bench: Bench, rule: str, rules: list[str], step: float) -> int | None:
    """Return by how many steps a rule must be eased for the others to hold beside it."""

    def enough(steps: int) -> bool:
        slack = {Reason(rule, side): steps * step for side in ("", "low", "high")}
        asked = bench.asking(rules, slack)
        return not isinstance(Search(asked, (Tier.OWN_NUMBER,)).run(), Nothing)

    low, high = 0, 1
    for _ in range(_MOST_TRIES):
        if enough(high):
            break
        low, high = high, high * 2
    else:
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high


def _best(found: Finding, short: float) -> Amount:
    """Return the amount that is so much short of what is required."""
    asked = found.required
    if asked.relation is Relation.AT_MOST:
        return replace(asked.amount, value=asked.amount.value + short)
    if asked.relation is Relation.BETWEEN and found.outcome is Outcome.FAIL:
        over = found.actual.value - asked.amount.value
        if asked.high is not None and over > 0.0:
            return replace(asked.high, value=asked.high.value + short)
    return replace(asked.amount, value=asked.amount.value - short)
