"""The plot of a sweep: where all required rules hold, and where each rule does."""

# The library's signatures leave keyword arguments untyped.
# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false
# pyright: reportUnknownArgumentType=false

import io
from collections.abc import Sequence
from math import ceil
from textwrap import fill
from typing import Final

from matplotlib import rc_context, rcParamsDefault
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import ListedColormap
from matplotlib.figure import Figure
from matplotlib.patches import Patch

from detailgen.finding import Outcome
from detailgen.sweep._field import Axis, Field, State

DPI: Final = 110
ACROSS: Final = 3
"""How many panels stand side by side."""
PANEL: Final = (5.0, 4.2)
"""Width and height of a panel, in."""
HEAD: Final = 0.9
"""Height of title and legend, in."""
LETTERS: Final = 10
"""So many letters of the title stand on an inch."""
TICKS: Final = 9
"""So many values are written along an axis at the most."""
LOOKS: Final = {
    "holds": ("#dfeee0", ""),
    "fails": ("#d9826f", "///"),
    "not applicable": ("#ffffff", "..."),
    "cannot be built": ("#8a8a8a", "xxx"),
}
"""Colour and hatch: told apart without colour, too."""
_STATES: Final = {
    State.HOLDS: "holds",
    State.FAILS: "fails",
    State.IMPOSSIBLE: "cannot be built",
}
_OUTCOMES: Final = {
    Outcome.PASS: "holds",
    Outcome.FAIL: "fails",
    Outcome.NOT_APPLICABLE: "not applicable",
}


def plot(title: str, field: Field, ticks: Sequence[Sequence[str]]) -> bytes:
    """Return a sweep as a PNG; the same input, the same bytes.

    Args:
        title: What is swept.
        field: What `sweep` has found.
        ticks: The values of each axis, as printed.
    """
    moving = field.moving
    count = 1 + len(moving)
    across = min(ACROSS, count)
    size = across * PANEL[0], ceil(count / across) * PANEL[1] + HEAD
    out = io.BytesIO()
    # The library's own defaults, whatever the machine's settings say; no text is a formula.
    with rc_context({
        **rcParamsDefault,
        "text.parse_math": False,
        "hatch.linewidth": 0.4,
        "hatch.color": "#555555",
    }):
        figure = Figure(figsize=size, dpi=DPI, layout="constrained")
        FigureCanvasAgg(figure)
        lines = fill(title, int(size[0] * LETTERS))
        figure.suptitle(lines, fontsize=12, x=0.01, ha="left")
        told = [_STATES[place.state] for place in field.places]
        _panel(figure.add_subplot(ceil(count / across), across, 1), field, told, ticks,
               "all required rules")  # fmt: skip
        for number, rule in enumerate(moving, 2):
            column = field.rules.index(rule)
            told = [
                _OUTCOMES[p.outcomes[column]] if p.outcomes else "cannot be built"
                for p in field.places
            ]
            name = rule.replace("_", " ")
            advice = "" if field.required[column] else " (advice)"
            axes = figure.add_subplot(ceil(count / across), across, number)
            _panel(axes, field, told, ticks, name + advice)
        handles = [
            Patch(facecolor=colour, hatch=hatch, edgecolor="#555555", label=name)
            for name, (colour, hatch) in LOOKS.items()
        ]
        figure.legend(handles=handles, loc="outside lower left", ncols=4, fontsize=8)
        figure.savefig(out, format="png", metadata={"Software": None})
    return out.getvalue()


def _panel(
    axes: Axes, field: Field, told: Sequence[str], ticks: Sequence[Sequence[str]], name: str
) -> None:
    across = len(field.axes[-1].values)
    up = len(told) // across
    for look, (colour, hatch) in LOOKS.items():
        shown = [
            [1.0 if told[row * across + n] == look else float("nan") for n in range(across)]
            for row in range(up)
        ]
        if any(one == look for one in told):
            axes.pcolor(
                [n - 0.5 for n in range(across + 1)],
                [n - 0.5 for n in range(up + 1)],
                shown,
                facecolor=colour,
                hatch=hatch,
                edgecolor="none",
                linewidth=0,
                cmap=ListedColormap([colour]),
            )
    axes.set_title(name, fontsize=9, loc="left")
    _write(axes, "x", field.axes[-1], ticks[-1])
    if len(field.axes) > 1:
        _write(axes, "y", field.axes[0], ticks[0])
    else:
        axes.set_yticks([])
    axes.set_xlim(-0.5, across - 0.5)
    axes.set_ylim(-0.5, up - 0.5)


def _write(axes: Axes, which: str, axis: Axis, ticks: Sequence[str]) -> None:
    step = max(1, ceil(len(ticks) / TICKS))
    places = range(0, len(ticks), step)
    labels = [ticks[n] for n in places]
    if which == "x":
        axes.set_xticks(list(places), labels, fontsize=7, rotation=30, ha="right")
        axes.set_xlabel(axis.name, fontsize=8)
    else:
        axes.set_yticks(list(places), labels, fontsize=7)
        axes.set_ylabel(axis.name, fontsize=8)
