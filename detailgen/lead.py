"""Sheet lead by its weight: what the trade calls it, and how thick it is."""

from dataclasses import dataclass
from typing import Final

from detailgen.catalog.lookups import LeadFigures

POUND_PER_SQUARE_FOOT: Final = 0.45359237 / 0.3048**2
"""kg per square metre."""


@dataclass(frozen=True, slots=True)
class LeadSheet:
    """Sheet lead: both of its thicknesses, which are never mixed."""

    pounds: float
    """lb per square foot, by which lead is ordered."""
    mass: float
    """kg per square metre."""
    nominal: float
    """Thickness by which the trade calls it, mm."""
    physical: float
    """Thickness that lead of this weight has, mm: what a drawing and a bend take."""


def lead_sheet(pounds: float, figures: LeadFigures) -> LeadSheet:
    """Return sheet lead of a weight.

    Args:
        pounds: lb per square foot, more than 0.
        figures: The catalogue's figures of lead.

    Raises:
        ValueError: The weight is not more than 0.
    """
    if not pounds > 0.0:
        msg = "lead has a weight"
        raise ValueError(msg)
    mass = pounds * POUND_PER_SQUARE_FOOT
    return LeadSheet(
        pounds=pounds,
        mass=mass,
        nominal=pounds * figures.nominal.value,
        physical=mass / figures.density.value * 1000.0,
    )
