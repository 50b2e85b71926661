"""Lengths and slopes: millimetres inside, feet, inches and millimetres at the edges.

Every coordinate and length inside the program is a float in millimetres, typed ``Mm``.
Text is parsed in one place (`parse_length`, `parse_slope`) and printed in one place
(`show_length`, `show_slope`, `show_angle`, `show_amount`); nothing else converts.

Both directions work in exact fractions, so that `3 in` is 76.2 mm and not its neighbour,
and what is printed reads back as the same number to the grid it was printed on.
"""

from detailgen.units._measures import (
    MM_PER_FOOT,
    MM_PER_INCH,
    NOISE,
    Mm,
    Slope,
    UnitSystem,
    inches,
    to_inches,
)
from detailgen.units._printing import (
    show_amount,
    show_angle,
    show_apart,
    show_length,
    show_run,
    show_slope,
    show_thickness,
)
from detailgen.units._reading import parse_length, parse_slope

__all__ = [
    "MM_PER_FOOT",
    "MM_PER_INCH",
    "NOISE",
    "Mm",
    "Slope",
    "UnitSystem",
    "inches",
    "parse_length",
    "parse_slope",
    "show_amount",
    "show_angle",
    "show_apart",
    "show_length",
    "show_run",
    "show_slope",
    "show_thickness",
    "to_inches",
]
