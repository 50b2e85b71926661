"""Thermal movement: how much a piece of metal grows, and the joint gap that it needs.

A gap that takes the whole range closes from the coldest to the hottest: that is what holds
when nobody knows how warm the metal was when it was set. Where that is known, the gap need
only take the growth from there, and opens by the rest when it is cold.
"""

from dataclasses import dataclass
from math import ceil
from typing import Final

from detailgen.catalog.lookups import FreeRun, Temperatures
from detailgen.units import NOISE, inches

PIECE: Final = inches(120)
"""Usual length of a piece of bent metal, mm (Copper in Architecture handbook 9.7: sheets 8
to 10 ft long - read)."""
STEP: Final = inches(1 / 16)
"""Gaps are laid out in steps of 1/16 in (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class GapCheck:
    """Whether a gap between two pieces takes what one piece grows."""

    gap: float
    """mm."""
    needed: float
    """mm."""

    @property
    def spare(self) -> float:
        """What is left of the gap at the hottest, mm; below 0 the pieces push."""
        return self.gap - self.needed

    @property
    def passes(self) -> bool:
        """Whether the pieces stay clear of one another."""
        return self.spare >= -NOISE


def movement(length: float, coefficient: float, degrees: float) -> float:
    """Return by how much a piece grows, mm.

    Args:
        length: Length of the piece, mm.
        coefficient: Growth per length and kelvin.
        degrees: By how much it gets warmer, kelvin; below 0 it shrinks.
    """
    return length * coefficient * degrees


def held_stress(modulus: float, coefficient: float, degrees: float) -> float:
    """Return the stress in a piece that is held at both ends, in the modulus's unit."""
    return modulus * coefficient * degrees


def joint_gap(
    piece: float,
    coefficient: float,
    temperatures: Temperatures,
    set_at: float | None = None,
) -> float:
    """Return the least gap between two pieces when they are set, mm.

    Args:
        piece: Length of a piece, mm: half of it moves into the gap from either side.
        coefficient: Growth per length and kelvin.
        temperatures: Between which temperatures the metal moves.
        set_at: How warm the metal is when it is set, degrees Celsius; None when nobody
            knows: then the gap takes the whole range.

    Raises:
        ValueError: The metal is set at a temperature outside the range.
    """
    if set_at is None:
        set_at = temperatures.low
    if not temperatures.low <= set_at <= temperatures.high:
        msg = f"metal cannot be set at {set_at:g} C in the range {temperatures.name!r}"
        raise ValueError(msg)
    return movement(piece, coefficient, temperatures.high - set_at)


def laid_out(gap: float) -> float:
    """Return a gap as a person lays it out: in whole steps, never less than asked, mm."""
    return ceil((gap - NOISE) / STEP) * STEP


def check_gap(
    gap: float, piece: float, coefficient: float, temperatures: Temperatures
) -> GapCheck:
    """Return whether a gap takes the whole movement of a piece."""
    return GapCheck(gap, joint_gap(piece, coefficient, temperatures))


def longest_piece(gap: float, coefficient: float, temperatures: Temperatures) -> float:
    """Return the longest piece whose whole movement a gap takes, mm."""
    return gap / (coefficient * temperatures.span)


def joint_spacing(run: FreeRun) -> float:
    """Return the greatest distance between expansion joints, mm: two free runs."""
    return 2.0 * run.length
