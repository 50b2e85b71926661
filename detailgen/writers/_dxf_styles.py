"""DXF styles: how text, dimensions and leaders look, under names of our own.

A dimension style belongs to one scale, one letter height and one number format.
"""

# The library's signatures leave attribute dictionaries untyped.
# pyright: reportUnknownMemberType=false

from functools import cache
from typing import Final

from ezdxf.colors import aci2rgb
from ezdxf.document import Drawing
from ezdxf.lldxf.const import VALID_DXF_LINEWEIGHTS
from ezdxf.render.arrows import ARROWS

from detailgen.scene import (
    ARROW_LENGTH,
    DIM_GAP,
    DIM_OVERSHOOT,
    DIM_TEXT_GAP,
    DIM_TICK,
    DOT_RADIUS,
    EXTENSION_PEN,
    MIN_TEXT,
    Terminator,
)
from detailgen.units import MM_PER_INCH
from detailgen.writers._dxf_text import DECIMAL, NumberFormat
from detailgen.writers._marks import Colour

LETTERING: Final = "DG-LETTERING"
BOLD: Final = "DG-LETTERING-BOLD"
BLACK_OR_WHITE: Final = 7
"""The colour index that prints black and shows against any background."""
_ZEROS_FEET, _ZEROS_DECIMAL = 3, 8
_FRACTIONS_IN_LINE: Final = 2


def dim_style(
    doc: Drawing, height: float, factor: float, form: NumberFormat, *, inches: bool
) -> str:
    """Return the dimension style of a scale, a letter height and a number format."""
    name = f"DG-{_name_of(factor)}-H{_name_of(height)}-{form.name}"
    unit = _unit(inches=inches)
    if name not in doc.dimstyles:
        doc.dimstyles.new(
            name,
            dxfattribs={
                "dimscale": factor,
                "dimtxsty": LETTERING,
                "dimtxt": height * unit,
                "dimgap": DIM_TEXT_GAP * unit,
                "dimexo": DIM_GAP * unit,
                "dimexe": DIM_OVERSHOOT * unit,
                "dimlwe": lineweight(EXTENSION_PEN),
                "dimtsz": DIM_TICK * unit,
                "dimasz": DIM_TICK * unit,
                "dimtad": 1,
                "dimtih": 0,
                "dimtoh": 0,
                "dimtmove": 2,
                "dimupt": 1,
                **_number_vars(form, inches=inches),
            },
        )
    return name


def leader_style(doc: Drawing, tip: Terminator, factor: float, *, inches: bool) -> str:
    """Return the dimension style that gives leaders their tip."""
    name = f"DG-{_name_of(factor)}-LEADER-{tip.name}"
    if name not in doc.dimstyles:
        dot = tip is Terminator.DOT
        size = 2 * DOT_RADIUS if dot else ARROW_LENGTH
        attributes: dict[str, float | str] = {
            "dimscale": factor,
            "dimasz": size * _unit(inches=inches),
            "dimtxsty": LETTERING,
            "dimtxt": MIN_TEXT * _unit(inches=inches),
            "dimgap": DIM_TEXT_GAP * _unit(inches=inches),
            "dimtad": 0,
        }
        if dot:
            attributes["dimldrblk"] = ARROWS.create_block(doc.blocks, "DOT")
        doc.dimstyles.new(name, dxfattribs=attributes)
    return name


def _unit(*, inches: bool) -> float:
    """Return the drawing units in a millimetre."""
    return 1.0 / MM_PER_INCH if inches else 1.0


def _number_vars(form: NumberFormat, *, inches: bool) -> dict[str, float]:
    """Return the variables with which a dimension style prints its numbers."""
    values: dict[str, float] = {
        "dimlunit": form.units,
        "dimdec": form.digits,
        # Architectural: no zero feet, zero inches shown; decimal: no trailing zeros.
        "dimzin": _ZEROS_DECIMAL if form.units == DECIMAL else _ZEROS_FEET,
        "dimdsep": ord("."),
        "dimfrac": _FRACTIONS_IN_LINE,
        "dimrnd": 0.0,
        "dimlfac": 1.0,
    }
    if form.other_units:
        values |= {
            "dimalt": 1,
            "dimaltf": MM_PER_INCH if inches else 1 / MM_PER_INCH,
            "dimaltu": form.other_units,
            "dimaltd": form.other_digits,
            "dimaltz": _ZEROS_DECIMAL if form.other_units == DECIMAL else _ZEROS_FEET,
        }
    return values


def _name_of(number: float) -> str:
    """Return a number as part of a style's name."""
    return f"{number:g}".replace(".", "_").replace("+", "")


def lineweight(pen: float) -> int:
    """Return the nearest line width that the format can name, in hundredths of a mm."""
    return min(VALID_DXF_LINEWEIGHTS, key=lambda width: abs(width - pen * 100))


def exact_index(colour: Colour) -> int | None:
    """Return the colour index of exactly this colour, or None."""
    if colour == (0, 0, 0):
        return BLACK_OR_WHITE
    index = nearest_index(colour)
    return index if aci2rgb(index) == colour else None


@cache
def nearest_index(colour: Colour) -> int:
    """Return the colour index of the nearest colour."""

    def distance(index: int) -> int:
        return sum((a - b) ** 2 for a, b in zip(colour, aci2rgb(index), strict=True))

    return min(range(1, 256), key=distance)
