"""Margins against the parameters: what each value within its range leaves of them."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from detailgen.catalog import Tolerance
from detailgen.checks import REGISTRY
from detailgen.conditions import Condition, Site
from detailgen.finding import Unit
from detailgen.margins._astray import Astray, settled, tolerances_of
from detailgen.margins._slack import slack
from detailgen.parameters import Placed, limits_of

STEPS: Final = 24
"""Into how many steps the range of a parameter is divided."""
NEAR: Final = (-2.0, -1.0, -0.5, 0.5, 1.0, 2.0)
"""Multiples of the tolerance beside the present value that are tried, too."""
MOVES: Final = {Unit.LENGTH: 0.05, Unit.ANGLE: 0.05, Unit.SLOPE: 1e-5}
"""A margin that changes by less along a whole range does not depend on the parameter."""


@dataclass(frozen=True, slots=True)
class Curve:
    """Margins against one parameter, all others as they are."""

    parameter: str
    about: str
    unit: Unit
    """Length, or slope."""
    now: float
    tolerance: float
    """How far it may stray, the largest of the tolerances that move it."""
    values: tuple[float, ...]
    """Within its range, in order; the present one among them."""
    margins: Mapping[str, tuple[float | None, ...]]
    """By rule, one for each value; None where nothing can be built or measured."""
    units: Mapping[str, Unit]
    """What the margins of each rule are measured in."""


def curves(
    condition: Condition,
    parameters: Placed,
    site: Site,
    tolerances: Iterable[Tolerance],
) -> tuple[Curve, ...]:
    """Return margins against every parameter that a tolerance moves.

    Parameters on which no margin depends are left out.

    Raises:
        UserError: A tolerance names a parameter or a rule that is not there.
    """
    astray = settled(condition, parameters, site)
    strays: dict[str, float] = {}
    for tolerance in tolerances_of(condition, tolerances):
        for move in tolerance.moves:
            if move.parameter:
                far = abs(tolerance.value * move.times)
                strays[move.parameter] = max(strays.get(move.parameter, 0.0), far)
    found = (_curve(astray, name, stray) for name, stray in strays.items())
    return tuple(curve for curve in found if curve is not None)


def _curve(astray: Astray, name: str, stray: float) -> Curve | None:
    now = astray.now(name)
    if now is None:
        return None
    values = _values(astray, name, now, stray)
    units: dict[str, Unit] = {}
    rows = [dict(_row(astray, name, value, units)) for value in values]
    lines = {
        rule: tuple(row.get(rule) for row in rows)
        for rule in REGISTRY
        if rule in units and _moves([row.get(rule) for row in rows], units[rule])
    }
    if not lines:
        return None
    model, key = astray.field(name)
    about = str(model.model_fields[key].description or name)
    return Curve(
        parameter=name,
        about=about,
        unit=Unit.SLOPE if key == "slope" else Unit.LENGTH,
        now=now,
        tolerance=stray,
        values=tuple(values),
        margins=lines,
        units={rule: units[rule] for rule in lines},
    )


def _row(
    astray: Astray, name: str, value: float, units: dict[str, Unit]
) -> Iterator[tuple[str, float]]:
    """Yield the margin of every rule that measures something at a value."""
    section = astray.with_values({name: value})
    if section is None:
        return
    find = astray.examined(section)
    for rule in REGISTRY:
        finding = find(rule)
        left = slack(finding)
        if left is not None:
            units[rule] = finding.actual.unit
            yield rule, left


def _moves(line: Sequence[float | None], unit: Unit) -> bool:
    known = [v for v in line if v is not None]
    return len(known) > 1 and max(known) - min(known) > MOVES.get(unit, 1e-6)


def _values(astray: Astray, name: str, now: float, stray: float) -> list[float]:
    """Return the values of a parameter's range, the present one and some beside it."""
    model, key = astray.field(name)
    least, most = limits_of(model.model_fields[key])
    low, high = now if least is None else least, now if most is None else most
    steps = {low + (high - low) * i / STEPS for i in range(STEPS + 1)}
    beside = {now + stray * times for times in NEAR}
    return sorted(steps | {now} | {v for v in beside if low <= v <= high})
