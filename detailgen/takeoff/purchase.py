"""From net amounts to what is bought: rolls, cartridges, beds.

Plain geometry, all in millimetres, square metres and litres; no rule of thumb in it.
"""

from typing import Final

LITRES_PER_GALLON: Final = 3.785411784
"""231 cubic inches (NIST Handbook 44, appendix C, 2024 edition; memory)."""
LITRES_PER_FLUID_OUNCE: Final = LITRES_PER_GALLON / 128
LITRES_PER_BOARD_FOOT: Final = 2.359737216
"""144 cubic inches, 1 ft x 1 ft x 1 in (computed)."""
CARTRIDGE: Final = 10.1 * LITRES_PER_FLUID_OUNCE
"""Litres in the usual cartridge of 10.1 fl oz (common practice, no source)."""
ROLL_LENGTH: Final = 10_000.0
ROLL_WIDTH: Final = 1_000.0
"""Usual size of a roll, mm (market size of sheets to ASTM D6162 to D6164; memory)."""


def roll_coverage(width: float, length: float, side_lap: float, end_lap: float) -> float:
    """Return the net area, m2, that one roll covers beside and beyond its neighbours."""
    return max(width - side_lap, 0.0) * max(length - end_lap, 0.0) / 1e6


def bead_run(area: float, litres: float = CARTRIDGE) -> float:
    """Return how many metres of a bead of `area` mm2 come out of so many litres."""
    return litres * 1000.0 / area


def bed_coverage(thickness: float) -> float:
    """Return the area, m2, that one litre covers when it is spread `thickness` mm thick."""
    return 1.0 / thickness


def lap_factor(side_lap: float, end_lap: float) -> float:
    """Return what laps multiply a net area by, in rolls of the usual size."""
    gross = ROLL_WIDTH * ROLL_LENGTH / 1e6
    return gross / roll_coverage(ROLL_WIDTH, ROLL_LENGTH, side_lap, end_lap)
