"""Quantities: how much material a section takes, and how that was computed."""

from dataclasses import dataclass
from enum import StrEnum


class Measure(StrEnum):
    """What a quantity counts; the amount is in the SI unit named here."""

    LENGTH = "m"
    AREA = "m2"
    VOLUME = "L"
    TIMBER = "m3"
    MASS = "kg"
    COUNT = "each"


@dataclass(frozen=True, slots=True)
class Quantity:
    """One line of a takeoff for a unit length (one metre) of a condition."""

    id: str
    label: str
    material: str
    measure: Measure
    per_metre: float
    """Amount in `measure` for one metre along the condition."""
    formula: str
    """How it was computed, in words and signs, with its inputs."""
    source: str
    """Source of the rate, or `common practice, no source`, or `geometry of the section`."""
    bodies: tuple[str, ...] = ()
