"""The plot of margins against parameters: one panel for each, as a PNG."""

# The library's signatures leave keyword arguments untyped.
# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false
# pyright: reportUnknownArgumentType=false

import io
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import cycle
from math import ceil
from typing import Final

from matplotlib import rc_context, rcParamsDefault
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from detailgen.finding import Unit
from detailgen.margins._curves import Curve
from detailgen.units import MM_PER_INCH, UnitSystem

DPI: Final = 100
ACROSS: Final = 3
"""How many panels stand side by side."""
PANEL: Final = (5.0, 4.0)
"""Width and height of a panel, in."""
HEAD: Final = 0.6
"""Height of the title, in."""
INCHES_PER_FOOT: Final = 12.0
LINES: Final = tuple(
    (colour, style)
    for style in ("-", "--", ":")
    for colour in ("#1b4f8f", "#b3402a", "#2f7d4f", "#7a4fa0", "#8a6d1f", "#444444")
)
"""Colour and dash of the lines of a panel: told apart without colour, too."""


@dataclass(frozen=True, slots=True)
class _Scale:
    """How a unit is drawn: its name, and by what its values are multiplied."""

    name: str
    factor: float


def _scale(unit: Unit, system: UnitSystem) -> _Scale:
    customary = system is UnitSystem.FEET_INCHES
    if unit is Unit.LENGTH:
        return _Scale("in", 1.0 / MM_PER_INCH) if customary else _Scale("mm", 1.0)
    if unit is Unit.SLOPE:
        return _Scale("in per ft", INCHES_PER_FOOT) if customary else _Scale("%", 100.0)
    names = {Unit.ANGLE: "deg", Unit.COUNT: "count", Unit.AREA: "mm2", Unit.WORDS: ""}
    return _Scale(names[unit], 1.0)


@dataclass(frozen=True, slots=True)
class _Panel:
    """The margins of one unit against one parameter."""

    curve: Curve
    unit: Unit
    rules: tuple[str, ...]


def plot(title: str, curves: Sequence[Curve], system: UnitSystem) -> bytes:
    """Return margins against every parameter as a PNG; the same input, the same bytes.

    Args:
        title: What is plotted.
        curves: What `curves` has computed; at least one.
        system: Units of both axes.
    """
    panels = [
        _Panel(curve, unit, rules)
        for curve in curves
        for unit in Unit
        if (rules := tuple(r for r, u in curve.units.items() if u is unit))
    ]
    rows = ceil(len(panels) / ACROSS)
    size = ACROSS * PANEL[0], rows * PANEL[1] + HEAD
    out = io.BytesIO()
    # The library's own defaults, whatever the machine's settings say; no text is a formula.
    with rc_context({**rcParamsDefault, "text.parse_math": False}):
        figure = Figure(figsize=size, dpi=DPI, layout="constrained")
        FigureCanvasAgg(figure)
        figure.suptitle(title, fontsize=13, x=0.01, ha="left")
        for number, panel in enumerate(panels, 1):
            _draw(figure.add_subplot(rows, ACROSS, number), panel, system)
        figure.savefig(out, format="png", metadata={"Software": None})
    return out.getvalue()


def _draw(axes: Axes, panel: _Panel, system: UnitSystem) -> None:
    curve = panel.curve
    across, up = _scale(curve.unit, system), _scale(panel.unit, system)
    xs = [value * across.factor for value in curve.values]
    for rule, (colour, dash) in zip(panel.rules, cycle(LINES), strict=False):
        ys = [float("nan") if m is None else m * up.factor for m in curve.margins[rule]]
        axes.plot(
            xs,
            ys,
            linestyle=dash,
            color=colour,
            linewidth=1.6,
            drawstyle="steps-mid" if panel.unit is Unit.COUNT else "default",
            label=rule.replace("_", " "),
        )
    now, stray = curve.now * across.factor, curve.tolerance * across.factor
    axes.axvspan(now - stray, now + stray, color="#999999", alpha=0.25, linewidth=0)
    axes.axvline(now, color="black", linewidth=1.0)
    axes.axhline(0.0, color="black", linewidth=1.0)
    low, high = axes.get_ylim()
    axes.axhspan(min(low, 0.0), 0.0, color="#c0392b", alpha=0.07, linewidth=0)
    axes.set_ylim(low, high)
    axes.set_xlim(xs[0], xs[-1])
    axes.set_title(curve.parameter, fontsize=10, loc="left")
    axes.set_xlabel(f"{curve.parameter}, {across.name}", fontsize=8)
    axes.set_ylabel(f"margin, {up.name}", fontsize=8)
    axes.tick_params(labelsize=8)
    axes.grid(visible=True, linewidth=0.4, alpha=0.5)
    axes.legend(fontsize=7, loc="best", framealpha=0.85)
