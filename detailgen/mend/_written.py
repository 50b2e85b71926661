"""Values as a person writes them in the job's own units."""

from enum import Enum
from fractions import Fraction

from detailgen.mend._handles import Sort, Value, step_of
from detailgen.units import UnitSystem, show_length, show_slope


def written(value: Value, sort: Sort, system: UnitSystem) -> str | int | bool:
    """Return a value of whole steps as a parameter file has it.

    >>> written(204.7875, Sort.LENGTH, UnitSystem.FEET_INCHES)
    '8 1/16 in'
    >>> written(205.0, Sort.LENGTH, UnitSystem.MILLIMETRES)
    '205 mm'
    >>> written(1 / 48, Sort.SLOPE, UnitSystem.FEET_INCHES)
    '1/4 in per ft'
    >>> written(0.021, Sort.SLOPE, UnitSystem.MILLIMETRES)
    '2.1 %'
    """
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, str | bool):
        return value
    if sort is Sort.WHOLE:
        return int(value)
    steps = round(value / float(step_of(sort, system)))
    if system is UnitSystem.MILLIMETRES:
        return f"{steps} mm" if sort is Sort.LENGTH else f"{steps / 10:g} %"
    unit = "in" if sort is Sort.LENGTH else "in per ft"
    return f"{_mixed(Fraction(steps, 16))} {unit}"


def shown(value: Value, sort: Sort, system: UnitSystem) -> str:
    """Return any value as a table shows it.

    >>> shown(203.2, Sort.LENGTH, UnitSystem.FEET_INCHES), shown(True, Sort.WORD, "")
    ('8"', 'true')
    """
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, float | int) and sort is Sort.LENGTH:
        return show_length(value, system)
    if isinstance(value, float | int) and sort is Sort.SLOPE:
        return show_slope(value, system)
    return str(value.value if isinstance(value, Enum) else value)


def _mixed(value: Fraction) -> str:
    whole, rest = divmod(value, 1)
    return " ".join(str(part) for part in (whole, rest) if part) or "0"
