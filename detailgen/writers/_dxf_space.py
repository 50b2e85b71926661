"""Where each view stands in a DXF file's model space.

All views are at true size there. The first keeps its own coordinates; each further one is
moved to the right of the one before, by a whole number of steps, so that points measured
in it differ from the section's by a round figure.
"""

import math
from typing import Final

from detailgen.geometry import Point
from detailgen.scene import Layer, Scene, View
from detailgen.units import MM_PER_FOOT
from detailgen.writers._lowering import Space, reach

STEP_MM: Final = 100.0
"""Step between views when model space is in millimetres; a foot when it is in inches."""

Box = tuple[float, float, float, float]


def extent(view: View, layers: dict[str, Layer]) -> Box:
    """Return x0, y0, x1, y1 of all that a view draws, in model mm; its frame if nothing."""
    space = Space(view.id, view.factor)
    points = [p for item in view.items for p in reach(item, layers, space)]
    if not points:
        (ox, oy), (x0, y0, x1, y1) = view.origin, view.frame
        points = [(x0 - ox, y0 - oy), (x1 - ox, y1 - oy)]
    xs, ys = [p[0] * view.factor for p in points], [p[1] * view.factor for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def model_offsets(scene: Scene) -> dict[str, Point]:
    """Return how far each view is moved in model space, mm, by its id."""
    layers = {layer.role: layer for layer in scene.layers}
    return offsets({v.id: extent(v, layers) for v in scene.views}, inches=scene.inches)


def offsets(extents: dict[str, Box], *, inches: bool) -> dict[str, Point]:
    """Return how far boxes are moved to stand side by side, at least a step apart."""
    step = MM_PER_FOOT if inches else STEP_MM
    found: dict[str, Point] = {}
    right: float | None = None
    for name, (x0, _, x1, _) in extents.items():
        # The first stays; a later one is moved by whole steps, to the left too.
        move = 0.0 if right is None else math.ceil((right + step - x0) / step) * step
        found[name] = (move, 0.0)
        right = x1 + move
    return found
