"""How a bill is told in words, on a screen and on paper."""

from typing import Final

from detailgen.bill._nouns import Line, Total
from detailgen.bill._shown import Shown

_SEEN: Final = 1.0005
"""A factor less than this prints as 1."""


def factors(line: Line) -> str:
    """Return what lies between net and gross, in short."""
    told = [
        f"laps x {line.laps:.3f}" if line.laps > _SEEN else "",
        f"{line.ends} ends" if line.ends and line.at_end else "",
        f"offcuts x {line.offcuts:.3f}" if line.offcuts > _SEEN else "",
        f"waste {line.waste:.0%}" if line.waste else "",
        f"{line.pieces} stock pieces" if line.pieces else "",
    ]
    return ", ".join(t for t in told if t)


def pack_of(total: Total, shown: Shown) -> str:
    """Return what one pack is, and how much it holds."""
    if total.pack == "piece" and total.holds == 1.0:
        return total.pack
    held = figures(total.holds * shown.factor(total.measure))
    return f"{total.pack} of {held} {shown.unit(total.measure)}"


def weight_of(total: Total, shown: Shown) -> str:
    """Return what the gross amount weighs, or its board feet; nothing if not known."""
    if total.board_feet:
        return f"{total.gross * total.board_feet:,.1f} bd ft"
    if not total.mass:
        return ""
    unit, factor = shown.weight
    return f"{total.gross * total.mass * factor:,.0f} {unit}"


def figures(value: float) -> str:
    """Return an amount with as many decimals as it needs to be told from others."""
    return f"{value:,.0f}" if value >= 1000.0 else f"{value:,.{1 if value >= 100 else 2}f}"
