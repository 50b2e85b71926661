"""What two versions differ in by rules and by amounts."""

from collections.abc import Sequence
from typing import Final

from detailgen.bill import Total
from detailgen.compare._nouns import (
    Amounts,
    FindingChange,
    QuantityChange,
    Side,
    TotalChange,
)
from detailgen.finding import Amount, Finding, Outcome, Requirement
from detailgen.units import NOISE

_SAME: Final = 1e-6
"""Amounts that differ by no more, relative to their size, are the same."""


def finding_changes(
    old: Sequence[Finding], new: Sequence[Finding]
) -> tuple[FindingChange, ...]:
    """Return the rules that find something else, or are asked anew or no more.

    A rule that is not applicable in one version is there as such; None is for a rule that
    the version does not ask at all.
    """
    before, after = {f.rule: f for f in old}, {f.rule: f for f in new}
    found: list[FindingChange] = []
    for rule in dict.fromkeys([*after, *before]):
        was, now = before.get(rule), after.get(rule)
        if _says_the_same(was, now):
            continue
        one = now or was
        assert one is not None  # the rule is from one of the two
        found.append(FindingChange(rule, one.title, was, now))
    return tuple(found)


def _says_the_same(old: Finding | None, new: Finding | None) -> bool:
    if old is None or new is None:
        other = new or old
        return other is None or other.outcome is Outcome.NOT_APPLICABLE
    if old.outcome is not new.outcome or old.accepted != new.accepted:
        return False
    if old.outcome is Outcome.NOT_APPLICABLE:
        return True
    return (
        old.severity is new.severity
        and _same_amount(old.actual, new.actual)
        and _same_requirement(old.required, new.required)
    )


def _same_requirement(old: Requirement, new: Requirement) -> bool:
    if (old.relation, old.strict) != (new.relation, new.strict):
        return False
    if old.high is None or new.high is None:
        return old.high is new.high and _same_amount(old.amount, new.amount)
    return _same_amount(old.amount, new.amount) and _same_amount(old.high, new.high)


def _same_amount(old: Amount, new: Amount) -> bool:
    if (old.unit, old.words) != (new.unit, new.words):
        return False
    return abs(old.value - new.value) <= min(NOISE, _SAME * max(1.0, abs(old.value)))


def quantity_changes(old: Side | None, new: Side | None) -> tuple[QuantityChange, ...]:
    """Return the quantities of a condition that appeared, went or moved."""
    before, after = _amounts(old), _amounts(new)
    found: list[QuantityChange] = []
    for key in dict.fromkeys([*after, *before]):
        was, now = before.get(key), after.get(key)
        one = now or was
        assert one is not None  # the key is from one of the two
        if was is None or now is None or not _same_amounts(was.new, now.new):
            found.append(
                QuantityChange(
                    one.id,
                    one.label,
                    one.measure,
                    one.per,
                    was and was.new,
                    now and now.new,
                    one.item,
                )
            )
    return tuple(found)


def _amounts(side: Side | None) -> dict[tuple[str, ...], QuantityChange]:
    """Return the quantities of one side, each as what it is now."""
    if side is None:
        return {}
    found: dict[tuple[str, ...], QuantityChange] = {}
    lines = side.counted.lines
    counted = {(line.id, str(line.per), line.item) for line in lines}
    for line in lines:
        gross = line.gross if line.bought else None
        amounts = Amounts(line.rate, line.net, gross)
        _add(found, line.id, line.label, line.measure, line.per, amounts, line.item)
    for one in side.quantities:  # of what the job does not say how much there is
        if one.supplied and not any(c[:2] == (one.id, str(one.per)) for c in counted):
            amounts = Amounts(one.amount, None, None)
            _add(found, one.id, one.label, one.measure, one.per, amounts, "")
    return found


def _add(
    found: dict[tuple[str, ...], QuantityChange],
    name: str,
    label: str,
    measure: object,
    per: object,
    amounts: Amounts,
    item: str,
) -> None:
    """Take a row; rows of one name are told apart by their number."""
    key, number = (name, str(measure), str(per)), 2
    while key in found:
        key, number = (name, str(measure), str(per), str(number)), number + 1
    found[key] = QuantityChange(name, label, measure, per, None, amounts, item)  # type: ignore[arg-type]


def _same_amounts(old: Amounts | None, new: Amounts | None) -> bool:
    if old is None or new is None:
        return old is new
    pairs = ((old.rate, new.rate), (old.net, new.net), (old.gross, new.gross))
    return all(same_number(a, b) for a, b in pairs)


def same_number(old: float | None, new: float | None) -> bool:
    """Return whether two amounts are the same but for noise."""
    if old is None or new is None:
        return old is new
    return abs(old - new) <= _SAME * max(abs(old), abs(new))


def total_changes(old: Sequence[Total], new: Sequence[Total]) -> tuple[TotalChange, ...]:
    """Return the items of which a job takes more or less, or at another cost."""
    rows = total_rows([old, new])
    found: list[TotalChange] = []
    for was, now in rows:
        if was is None or now is None or not _same_total(was, now):
            one = now or was
            assert one is not None  # a row is from one of the two
            found.append(TotalChange(one.item, one.name, one.measure, was, now))
    return tuple(found)


def total_rows(bills: Sequence[Sequence[Total]]) -> list[list[Total | None]]:
    """Return the items of several bills side by side, in the order of the first."""
    tables = [{t.item: t for t in totals} for totals in bills]
    items = dict.fromkeys(item for table in tables for item in table)
    return [[table.get(item) for table in tables] for item in items]


def _same_total(old: Total, new: Total) -> bool:
    pairs = (
        (old.net, new.net),
        (old.gross, new.gross),
        (float(old.packs), float(new.packs)),
        (old.cost, new.cost),
        (old.hours, new.hours),
    )
    return all(same_number(a, b) for a, b in pairs)
