"""Clear height under equipment on legs, by the width of the unit.

The tables are published with limits that leave widths out, such as exactly 60 in between
"under 60" and "over 60". Such a width is told as ambiguous with the height of both
neighbours; the larger one is the stricter and is the one to build.
"""

from dataclasses import dataclass
from typing import Final

from detailgen.catalog.lookups import Band, HeightTable

PER_MM: Final = 1_000_000
"""Widths are compared in whole nanometres, so that 60 in is exactly 60 in."""


@dataclass(frozen=True, slots=True)
class ClearHeight:
    """What a table says of a width."""

    width: float
    """Width of the unit, mm."""
    height: float | None
    """The height to build, mm: the stricter of the heights; None without a table."""
    heights: tuple[float, ...]
    """What the table can be read to ask, mm, lower first."""
    reason: str
    """Why it is ambiguous, or why there is no height; empty when the table is plain."""
    sleepers: bool
    """Whether sleepers may carry the unit instead of legs."""
    source: str

    @property
    def ambiguous(self) -> bool:
        """Whether the table can be read in more than one way."""
        return len(self.heights) > 1


def clear_height(width: float, table: HeightTable) -> ClearHeight:
    """Return the clear height that a table asks under a unit.

    Args:
        width: Width of the unit, mm, more than 0.
        table: The table of the code or the guideline in force.

    Raises:
        ValueError: The width is not more than 0.
    """
    if not width > 0.0:
        msg = "a unit has a width"
        raise ValueError(msg)
    found = [band for band in table.bands if _holds(band, width)]
    reason = ""
    if not table.bands:
        reason = f"{table.name}."
    elif not found:
        found = _neighbours(table.bands, width)
        bands = " nor ".join(f"{b.written!r}" for b in found)
        reason = f"The width lies neither in {bands}: the table does not say which."
    heights = tuple(sorted({band.height for band in found}))
    return ClearHeight(
        width=width,
        height=max(heights, default=None),
        heights=heights,
        reason=reason,
        sleepers=table.sleepers,
        source=table.source,
    )


def _holds(band: Band, width: float) -> bool:
    above = _order(width, band.low)
    below = _order(width, band.high)
    return (above > 0 or (above == 0 and band.low_in)) and (
        below < 0 or (below == 0 and band.high_in)
    )


def _order(width: float, limit: float) -> float:
    """Return which is larger: above 0 the width, below 0 the limit, 0 when they agree."""
    if limit == float("inf"):
        return -1.0
    return round(width * PER_MM) - round(limit * PER_MM)


def _neighbours(bands: tuple[Band, ...], width: float) -> list[Band]:
    """Return the nearest band below a width that no band holds, and the nearest above."""
    below = [b for b in bands if _order(width, b.high) >= 0]
    above = [b for b in bands if _order(width, b.low) <= 0]
    return [*below[-1:], *above[:1]]
