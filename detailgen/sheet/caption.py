"""The caption under a view: its title, its scale in figures and as a bar, what to know."""

from typing import Final

from detailgen.catalog import Scale
from detailgen.lettering import text_width, wrap
from detailgen.scene import Align, Item, Path, Text
from detailgen.sheet.figure import label_of
from detailgen.sheet.flow import HEAD, PITCH, TEXT, moved
from detailgen.units import MM_PER_FOOT, MM_PER_INCH, UnitSystem, show_length

_HEAD_PITCH: Final = 1.65 * HEAD
"""From line to line of a title: its capitals may have accents."""
_BAR: Final = 42.0
"""About how long the scale bar is, mm on paper."""
_WIDEST: Final = 240.0
"""Longest line of what is said, mm: longer ones are hard to follow."""
_UNDER: Final = 1.2
"""White space between the bar and what is said under it, mm on paper."""
_STEPS: Final = {
    UnitSystem.FEET_INCHES: [
        *(n * MM_PER_INCH for n in (0.5, 1, 2, 3, 6)),
        *(n * MM_PER_FOOT for n in (1, 2, 4, 8)),
    ],
    UnitSystem.MILLIMETRES: [10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0],
}
"""Round true lengths that one half of the bar may stand for, mm."""


def caption(
    title: str, scale: Scale, notes: list[str], width: float, units: UnitSystem
) -> tuple[list[Item], float]:
    """Return the items of a caption about its upper left corner, and its height.

    Args:
        title: Of the view.
        scale: Of the view.
        notes: Sentences that follow the scale.
        width: That it may take.
        units: In which the bar is marked.
    """
    bar, bar_width = scale_bar(scale.factor, units)
    items: list[Item] = []
    y = -HEAD - 0.5
    for line in wrap(title, width, HEAD, bold=True):
        items.append(Text((0.0, y), line, HEAD, "title", bold=True))
        y -= _HEAD_PITCH
    y += _HEAD_PITCH - 2.2
    items.append(Path(((0.0, y), (width, y)), "title"))
    label = f"SCALE {label_of(scale)}"
    y -= 3.2 + TEXT
    items.append(Text((0.0, y), label, TEXT, "text"))
    start = text_width(label, TEXT) + 10.0
    if start + bar_width > width:
        start, y = 6.0, y - PITCH - 3.6
    items += [moved(i, start, y - 0.6) for i in bar]
    said = " ".join(notes)
    beside = start + bar_width + 10.0
    if said and width - beside > 75.0:
        lines = wrap(said, min(width - beside, _WIDEST), TEXT)
        items += [
            Text((beside, y - n * PITCH), line, TEXT, "text")
            for n, line in enumerate(lines)
        ]
        y -= (len(lines) - 1) * PITCH
    elif said:
        y -= _UNDER
        for line in wrap(said, min(width, _WIDEST), TEXT):
            y -= PITCH
            items.append(Text((0.0, y), line, TEXT, "text"))
    return items, -y + 1.2


def scale_bar(factor: float, units: UnitSystem) -> tuple[list[Item], float]:
    """Return a graphic scale about its lower left corner, and its width with figures."""
    half = min(_STEPS[units], key=lambda step: abs(2 * step / factor - _BAR))
    step = half / factor
    items: list[Item] = []
    for n in range(4):
        x0, x1 = n * step / 2, (n + 1) * step / 2
        ring = ((x0, 0.0), (x1, 0.0), (x1, 1.3), (x0, 1.3))
        dark = (0, 0, 0) if n % 2 == 0 else (255, 255, 255)
        items.append(Path(ring, "symbol", closed=True, fill=dark))
    widest = 0.0
    for n, true in ((0, 0.0), (1, half), (2, 2 * half)):
        text = show_length(true, units) if true else "0"
        widest = text_width(text, TEXT)
        items.append(Text((n * step, 2.3), text, TEXT, "text", Align.CENTRE))
    return items, 2 * step + widest / 2
