"""Which way the roof falls in a section, measured on its finish ply and told in words."""

from typing import Final

from detailgen.geometry.columns import Rings, column_at, rings
from detailgen.section import LayeredSection, Role
from detailgen.units import UnitSystem, show_slope

_SIDE: Final = 1.0
"""How far inside the drawn extent the roof is measured, mm."""
_RUN: Final = 10.0
"""Over what length its fall is measured, mm."""
_LEVEL: Final = 1e-6


def told_fall(section: LayeredSection, units: UnitSystem) -> str:
    """Return in words how steeply and which way the roof falls; nothing where it is level.

    A section may have a roof at both sides, and they may fall alike or not.
    """
    x0, _, x1, _ = section.extent.bounds
    plies = [rings(b.region) for b in section.of_role(Role.FINISH_PLY)]
    left = _rise(plies, x0 + _SIDE, _RUN)
    right = _rise(plies, x1 - _SIDE, -_RUN)
    if left is None and right is None:
        left = section.slope
    inward, outward = left or 0.0, right or 0.0
    steep = max(abs(inward), abs(outward))
    if steep <= _LEVEL:
        return ""
    fall = show_slope(steep, units)
    if left is None or right is None:
        way = "left" if inward > 0 or outward < 0 else "right"
        return f"Roof falls {fall} to the {way}."
    if abs(abs(inward) - abs(outward)) > _LEVEL:
        return f"Roof falls {fall} at most."
    if inward * outward < 0:
        return f"Roof falls {fall} to the {'left' if inward > 0 else 'right'}."
    way = "away on both sides" if inward > 0 else "to the middle from both sides"
    return f"Roof falls {fall} {way}."


def _rise(plies: list[Rings], x: float, run: float) -> float | None:
    """Return the rise per run of the topmost ply from x on; None where there is none."""
    tops = [
        max((high for _, high, _ in column_at(plies, (at, 0.0), (0.0, 1.0))), default=None)
        for at in (x, x + run)
    ]
    if tops[0] is None or tops[1] is None:
        return None
    return (tops[1] - tops[0]) / abs(run)
