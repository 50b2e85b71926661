"""The units themselves, and how many millimetres they have."""

from enum import StrEnum
from fractions import Fraction
from typing import Final, NewType

Mm = NewType("Mm", float)
"""A true length in millimetres."""

Slope = NewType("Slope", float)
"""Rise per run: 0.02 for 2 %."""

MM_PER_INCH: Final = 25.4
MM_PER_FOOT: Final = 304.8
INCH: Final = Fraction(254, 10)
"""mm, exactly."""
FOOT: Final = 12 * INCH
NOISE: Final = 1e-4
"""A length shorter than this, mm, is arithmetic noise and prints as zero."""


class UnitSystem(StrEnum):
    """How a job writes its lengths."""

    FEET_INCHES = "feet-inches"
    MILLIMETRES = "millimetres"


def inches(value: float) -> Mm:
    """Return `value` inches in millimetres."""
    return Mm(value * MM_PER_INCH)


def to_inches(length: float) -> float:
    """Return a length in millimetres as inches."""
    return length / MM_PER_INCH


def decimals(value: float, places: int) -> str:
    """Return a number with at most so many decimals and no trailing zeros."""
    text = f"{value:.{places}f}".rstrip("0").rstrip(".") if places else f"{value:.0f}"
    return "0" if text in {"-0", ""} else text
