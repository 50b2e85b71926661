"""How a sheet words amounts, requirements, quantities and materials."""

from math import ceil
from typing import Final

from detailgen.finding import (
    Amount,
    Finding,
    Outcome,
    Relation,
    Requirement,
    Severity,
    Unit,
)
from detailgen.quantity import Measure, Per, Quantity
from detailgen.section import LayeredSection, Role
from detailgen.units import (
    MM_PER_FOOT,
    NOISE,
    UnitSystem,
    show_amount,
    show_apart,
    show_length,
    show_run,
    to_inches,
)

_FOOT: Final = MM_PER_FOOT / 1000.0
_LITRES_PER_GALLON: Final = 3.785411784
_KG_PER_POUND: Final = 0.45359237
_CUBIC_METRES_PER_BOARD_FOOT: Final = 0.0254 * 0.3048**2
CUSTOMARY: Final = {
    Measure.LENGTH: (1.0, "ft"),
    Measure.AREA: (1.0 / _FOOT, "sq ft"),
    Measure.VOLUME: (_FOOT / _LITRES_PER_GALLON, "gal"),
    Measure.TIMBER: (_FOOT / _CUBIC_METRES_PER_BOARD_FOOT, "bd ft"),
    Measure.MASS: (_FOOT / _KG_PER_POUND, "lb"),
    Measure.COUNT: (_FOOT, "each"),
}
"""What an amount for one metre is for one foot, and in what: 1 m per m is 1 ft per ft."""
BY_OTHERS: Final = "by others"
_LITTLE: Final = 0.1
"""Less than this many gallons or litres is told in a smaller measure."""
_SMALLER: Final = {
    UnitSystem.FEET_INCHES: (128.0, "fl oz"),
    UnitSystem.MILLIMETRES: (1000.0, "mL"),
}
_WHOLE: Final = 1e-6
"""A count this little above a whole number is that number."""
_SIGN: Final = {
    Relation.AT_LEAST: "at least ",
    Relation.AT_MOST: "at most ",
    Relation.EXACTLY: "",
    Relation.BETWEEN: "",
}


def amount(value: Amount, system: UnitSystem) -> str:
    """Return an amount as printed."""
    if value.unit is Unit.WORDS:
        return value.words
    return show_amount(value.value, str(value.unit), system)


def requirement(wanted: Requirement, system: UnitSystem) -> str:
    """Return what a rule asks, as printed: `at least 4"`, `none`, `0 or more`."""
    first = amount(wanted.amount, system)
    if wanted.strict:
        return f"more than {first}"
    if _is_zero(wanted.amount) and wanted.high is None:
        return "0 or more" if wanted.relation is Relation.AT_LEAST else "none"
    if wanted.relation is Relation.BETWEEN and wanted.high is not None:
        if wanted.high == wanted.amount:
            return f"exactly {first}"
        return f"{first} to {amount(wanted.high, system)}"
    if wanted.amount.unit is Unit.WORDS:
        return first
    return f"{_SIGN[wanted.relation]}{first}"


def actual(finding: Finding, system: UnitSystem) -> str:
    """Return what was found, never printed like a limit that it fails."""
    found, limit = finding.actual, finding.required.amount
    lengths = found.unit is Unit.LENGTH and limit.unit is Unit.LENGTH
    if _is_zero(found) and (
        _is_zero(limit) or finding.required.relation is Relation.AT_LEAST
    ):
        return "none"
    if lengths and _is_zero(limit) and found.value < 0.0:
        return f"{show_length(-found.value, system)} short"
    if finding.outcome is Outcome.FAIL and lengths:
        high = finding.required.high
        if high is not None and found.value > limit.value:
            limit = high
        return show_apart(found.value, limit.value, system)
    return amount(found, system)


def _is_zero(value: Amount) -> bool:
    """Return whether a length or a count is nothing at all."""
    return value.unit in {Unit.LENGTH, Unit.COUNT} and abs(value.value) < NOISE


def verdict(finding: Finding) -> str:
    """Return the result column of the rule table."""
    if finding.outcome is Outcome.FAIL:
        return "FAILS" if finding.severity is Severity.REQUIRED else "ADVICE"
    return "holds" if finding.outcome is Outcome.PASS else "n/a"


def status(findings: tuple[Finding, ...]) -> str:
    """Return the status line of a condition."""
    failed = [f for f in findings if f.outcome is Outcome.FAIL]
    asked = [f for f in failed if f.severity is Severity.REQUIRED]
    advice = len(failed) - len(asked)
    applied = sum(f.outcome is not Outcome.NOT_APPLICABLE for f in findings)
    if not findings:
        return "NO RULE WAS CHECKED"
    if not failed:
        return f"ALL {applied} RULES THAT APPLY HOLD"
    parts: list[str] = []
    if asked:
        parts.append(f"{len(asked)} {'RULE FAILS' if len(asked) == 1 else 'RULES FAIL'}")
    if advice:
        parts.append(
            f"{advice} ADVISORY {'RULE IS' if advice == 1 else 'RULES ARE'} NOT MET"
        )
    return ", ".join(parts)


def quantity(
    item: Quantity, system: UnitSystem, times: float = 1.0, *, of: float = 1.0
) -> tuple[str, str]:
    """Return how much some units (1 m, 1 ft or one piece) take: the number, its unit.

    Args:
        item: What one metre or one piece takes.
        system: The units that are printed.
        times: How many units.
        of: The most units that are told of it beside; a little of it is told in a smaller
            measure throughout.
    """
    if not item.supplied:
        return BY_OTHERS, ""
    if system is UnitSystem.MILLIMETRES:
        factor, unit = 1.0, str(item.measure).replace("m2", "m²").replace("m3", "m³")
    else:
        factor, unit = CUSTOMARY[item.measure]
        if item.per is Per.PIECE:
            factor /= _FOOT
    if item.measure is Measure.VOLUME and item.amount * factor * max(of, times) < _LITTLE:
        small, unit = _SMALLER[system]
        factor *= small
    return _figures(item.amount * factor * times), unit


def total(item: Quantity, system: UnitSystem, extent: float) -> str:
    """Return what all of a condition takes; pieces are rounded up.

    Args:
        item: What one metre or one piece takes.
        system: The units that are printed.
        extent: How long the condition is, mm; or how many pieces there are.
    """
    if not item.supplied:
        return ""
    if item.measure is Measure.COUNT:
        metres = extent / 1000.0 if item.per is Per.METRE else extent
        return f"{ceil(item.amount * metres - _WHOLE):,}"
    return quantity(item, system, units_in(item.per, extent, system))[0]


def units_in(per: Per, extent: float, system: UnitSystem) -> float:
    """Return how many of the unit that amounts are told for make up a whole."""
    if per is Per.PIECE:
        return extent
    return extent / (1000.0 if system is UnitSystem.MILLIMETRES else MM_PER_FOOT)


def per_unit(per: Per, system: UnitSystem) -> str:
    """Return for how much the quantities are, in words."""
    if per is Per.PIECE:
        return "per piece"
    return "for 1 m" if system is UnitSystem.MILLIMETRES else "for 1 ft"


def all_told(per: Per, extent: float, system: UnitSystem) -> str:
    """Return what the totals are for, in words: `120 ft`, `6 pieces`."""
    if per is Per.METRE:
        return show_run(extent, system)
    return f"{extent:.0f} piece{'' if extent == 1.0 else 's'}"


def where_the_field_begins(
    section: LayeredSection, quantities: tuple[Quantity, ...]
) -> str:
    """Return from where sheets of the roof field are counted; nothing if none is."""
    field = {b.id for b in section.of_role(Role.BASE_PLY, Role.FINISH_PLY)}
    if not any(field & set(q.bodies) for q in quantities):
        return ""
    if section.by_the_piece:
        where = "the roof and the wall" if section.of_role(Role.WALL) else "the roof field"
        return (
            "What goes on beyond is counted within the outline of what is laid here alone: "
            f"measure {where} without that."
        )
    return (
        "Base and finish ply are counted from the outer edge of what is laid here alone: "
        "measure the roof field without that."
    )


def _figures(value: float) -> str:
    """Return a number with three significant figures, without trailing zeros."""
    if value >= 100.0:
        return f"{value:,.0f}"
    places = 1 if value >= 10.0 else 2 if value >= 1.0 else 3
    text = f"{value:.{places}f}".rstrip("0").rstrip(".")
    return text if float(text) else "< 0.001"


def circumstances(section: LayeredSection) -> frozenset[str]:
    """Return which cautions and notes a section calls for."""
    found = {str(section.method), section.kind}
    roles = {b.role for b in section.bodies}
    if section.variant.startswith("reglet") or any(
        b.id == "reglet-sealant" for b in section.bodies
    ):
        found.add("reglet")
    if Role.CEMENT in roles:
        found.add("cement")
    if roles & {Role.EDGE_METAL, Role.COUNTERFLASHING, Role.COPING, Role.CLEAT}:
        found.add("metal")
    for body in section.of_role(Role.DECK):
        found |= {f"{k} deck" for k in ("wood", "steel") if k in body.material}
    return frozenset(found)


def place(finding: Finding, system: UnitSystem) -> str:
    """Return a point as a reader of the drawing finds it: from the origin of its view."""
    if finding.where is None:
        return ""
    x, y = finding.where
    if system is UnitSystem.FEET_INCHES:
        point = f'x {to_inches(x):.2f}", y {to_inches(y):.2f}"'
    else:
        point = f"x {x:.1f} mm, y {y:.1f} mm"
    return f"at {point}, on the {finding.view.replace('-', ' ')}"
