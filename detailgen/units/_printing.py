"""From a length, a slope or an angle to what a sheet prints."""

import math
from collections.abc import Callable
from fractions import Fraction
from functools import lru_cache, partial
from typing import Final

from detailgen.units._measures import INCH, NOISE, UnitSystem, decimals, to_inches

_THIN: Final = 3.175
"""mm (1/8 in): thinner things off the printed grid are printed as decimal inches."""


def show_length(
    mm: float,
    system: UnitSystem,
    *,
    both: bool = False,
    denominator: int = 16,
) -> str:
    """Return a length as a sheet prints it.

    Feet and inches are rounded to `denominator`; millimetres to one decimal below 100 mm
    and to whole ones from there, without trailing zeros. A tie goes to the larger amount. A
    length that would print as zero, and is not, prints as less than the smallest step.

    Args:
        mm: The true length.
        system: The job's unit system.
        both: Whether the other system follows in brackets.
        denominator: The finest fraction of an inch to print, a power of two.

    >>> show_length(203.2, UnitSystem.FEET_INCHES, both=True)
    '8" [203]'
    >>> print(show_length(390.525, UnitSystem.FEET_INCHES))
    1'-3 3/8"
    >>> show_length(0.2, UnitSystem.FEET_INCHES), show_length(203.2, UnitSystem.MILLIMETRES)
    ('< 1/16"', '203 mm')
    """
    metric = _show_mm(mm)
    customary = _show_feet_inches(mm, denominator)
    if system is UnitSystem.MILLIMETRES:
        return f"{metric} mm [{customary}]" if both else f"{metric} mm"
    return f"{customary} [{metric}]" if both else customary


def show_run(mm: float, system: UnitSystem) -> str:
    """Return how long a wall or an edge is: `124'-0"`, or `18.5 m`.

    >>> show_run(18_500.0, UnitSystem.MILLIMETRES), show_run(800.0, UnitSystem.MILLIMETRES)
    ('18.5 m', '800 mm')
    """
    if system is UnitSystem.MILLIMETRES and mm >= 1000.0:
        return f"{decimals(mm / 1000.0, 3)} m"
    return show_length(mm, system)


def show_apart(actual: float, required: float, system: UnitSystem) -> str:
    """Return `actual` on the coarsest grid on which it does not read like `required`.

    So that a sheet never says that 8" is less than 8". Lengths that differ by no more than
    noise print alike.

    >>> show_apart(202.5, 203.2, UnitSystem.FEET_INCHES)
    '7 31/32"'
    """
    told = show_amount(required, "mm", system)
    if abs(actual - required) < NOISE:
        return told
    ways: list[Callable[[float], str]] = [partial(show_amount, unit="mm", system=system)]
    if system is UnitSystem.FEET_INCHES:
        ways += [partial(_show_feet_inches, denominator=part) for part in (32, 64)]
        ways += [partial(_show_decimal_inches, places=places) for places in (3, 4, 5, 6)]
    else:
        ways += [partial(_show_decimal_mm, places=places) for places in (1, 2, 3, 4)]
    return next(way(actual) for way in ways if way(actual) not in {told, way(required)})


def show_thickness(mm: float, system: UnitSystem) -> str:
    """Return the thickness of a sheet or a metal: `0.032"`, or `0.81 mm`.

    >>> show_thickness(1.778, UnitSystem.FEET_INCHES)
    '0.070"'
    """
    if system is UnitSystem.MILLIMETRES:
        return f"{decimals(mm, 2)} mm"
    return f'{to_inches(mm):.3f}"'


def show_slope(slope: float, system: UnitSystem) -> str:
    """Return a slope as a sheet prints it: `1/4 in per ft`, or in percent.

    >>> (
    ...     show_slope(1 / 48, UnitSystem.FEET_INCHES),
    ...     show_slope(1 / 48, UnitSystem.MILLIMETRES),
    ... )
    ('1/4 in per ft', '2.08 %')
    """
    if system is UnitSystem.MILLIMETRES:
        return f"{decimals(slope * 100, 2)} %"
    sixteenths = Fraction(round(slope * 12 * 16 * 1e7), 10**7)
    if sixteenths.denominator == 1:
        return f"{_mixed(int(sixteenths), 16)} in per ft"
    return f"{decimals(slope * 12, 3)} in per ft"


def show_angle(degrees: float) -> str:
    """Return an angle in degrees, to a tenth where it is not whole."""
    return f"{decimals(degrees, 1)}°"


def show_amount(value: float, unit: str, system: UnitSystem) -> str:
    """Return a number in the unit that a rule or a finding names.

    Args:
        value: The number.
        unit: `mm`, `count`, `deg`, `rise per run` or `mm2`.
        system: The job's unit system.

    Raises:
        ValueError: The unit is none of these.
    """
    if unit == "mm":
        sixteenths = to_inches(value) * 16
        if 0 < value < _THIN and not math.isclose(
            sixteenths, round(sixteenths), abs_tol=1e-6
        ):
            return show_thickness(value, system)
        return show_length(value, system)
    if unit == "count":
        return decimals(value, 2)
    if unit == "deg":
        return show_angle(value)
    if unit == "rise per run":
        return show_slope(value, system)
    if unit == "mm2":
        return f"{decimals(value, 2)} mm²"
    msg = f"no way to print the unit {unit}"
    raise ValueError(msg)


@lru_cache(maxsize=4096)
def _show_feet_inches(mm: float, denominator: int) -> str:
    """Return `1'-3 3/8"`, to the nearest step, ties to the larger amount."""
    if abs(mm) < NOISE:
        return '0"'
    sign = "-" if mm < 0 else ""
    steps = _half_up(_exact(abs(mm)) / INCH * denominator)
    if steps == 0:
        return f'> -1/{denominator}"' if sign else f'< 1/{denominator}"'
    feet, rest = divmod(steps, 12 * denominator)
    if not feet:
        return f'{sign}{_mixed(rest, denominator)}"'
    nought = "0 " if 0 < rest < denominator else ""  # 2'-0 1/2" cannot be misread
    return f"{sign}{feet}'-{nought}{_mixed(rest, denominator)}\""


def _show_decimal_inches(mm: float, places: int) -> str:
    return f'{to_inches(mm):.{places}f}"'


def _show_decimal_mm(mm: float, places: int) -> str:
    return f"{mm:.{places}f} mm"


@lru_cache(maxsize=4096)
def _show_mm(mm: float) -> str:
    """Return millimetres without the unit: a decimal below 100, whole ones from there."""
    if abs(mm) < NOISE:
        return "0"
    sign = "-" if mm < 0 else ""
    tenths = _half_up(_exact(abs(mm)) * 10)
    if tenths == 0:
        return "> -0.1" if sign else "< 0.1"
    if tenths >= 1000:
        return f"{sign}{_half_up(_exact(abs(mm)))}"
    return f"{sign}{decimals(tenths / 10, 1)}"


def _mixed(steps: int, denominator: int) -> str:
    """Return a count of fractions as a mixed number in lowest terms: `3 1/2`."""
    whole, rest = divmod(steps, denominator)
    part = str(Fraction(rest, denominator)) if rest else ""
    return f"{whole} {part}".strip() if whole or not part else part


def _exact(value: float) -> Fraction:
    """Return the value on a grid of 1e-7, so that a tie is one in spite of float noise."""
    return Fraction(round(value * 1e7), 10**7)


def _half_up(value: Fraction) -> int:
    """Return the nearest whole number, a tie going to the larger."""
    return math.floor(value + Fraction(1, 2))
