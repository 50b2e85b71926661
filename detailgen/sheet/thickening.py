"""How much thicker than true a view draws thin things, so that they can be told apart."""

from collections.abc import Sequence

from detailgen.section import SHEETS, LayeredSection, Role, Thickening
from detailgen.sheet.bodies import layer_of
from detailgen.sheet.request import SheetRequest


def thickened(request: SheetRequest, factor: float) -> Thickening:
    """Return how much thicker than true thin things are drawn at a scale, if at all."""
    sheets = [b.thickness for b in request.section.bodies if b.role in SHEETS]
    metals = [
        b.thickness
        for b in request.section.bodies
        if b.thickness and layer_of(b.role) == "metal"
    ]
    beds = [b.thickness for b in request.section.bodies if b.role is Role.CEMENT]
    return Thickening(
        _times(sheets, 0.9, factor, 3.5),
        _times(metals, 0.45, factor, 6.0),
        _times(beds, 0.5, factor, 3.5),
    )


def _times(thicknesses: Sequence[float], paper: float, factor: float, most: float) -> float:
    """Return the simple number by which the thinnest is drawn about `paper` mm thick."""
    if not thicknesses:
        return 1.0
    wanted = paper * factor / min(thicknesses)
    rounded = round(wanted * 2) / 2
    return min(most, max(1.0, rounded))


def as_drawn(section: LayeredSection) -> Thickening:
    """Return how much thicker than true a section is: not always as much as was asked."""
    return Thickening(section.sheet_factor, section.metal_factor, section.bed_factor)


def thickness_note(drawn: Thickening) -> str:
    """Return what a caption says of things drawn thicker than they are."""
    factors = (
        ("sheets", drawn.sheet),
        ("metal", drawn.metal),
        ("beds of cement", drawn.bed),
    )
    said = ", ".join(f"{what} {factor:g} times" for what, factor in factors if factor > 1.0)
    if not said:
        return "Drawn at true thickness."
    return f"Drawn thicker than true: {said}. Dimensions state true lengths."
