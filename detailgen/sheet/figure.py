"""A figure in the making: one view at one scale, measured before it is set on a sheet.

Bodies are kept in model millimetres, exactly as the section has them. Everything that is
laid out (labels, dimensions) is planned in millimetres on paper about the model's origin.
"""

from dataclasses import dataclass, field

from detailgen.catalog import Scale
from detailgen.geometry import Point
from detailgen.scene import Item, View
from detailgen.sheet.blocks import Keynote
from detailgen.sheet.plane import Box


@dataclass(frozen=True, slots=True)
class Swatch:
    """One entry of the legend."""

    name: str
    kind: str
    """`area`, or a line: `dry`, `coat`, `water`."""
    fill: tuple[int, int, int] | None = None
    pattern: str = ""
    layer: str = "cut"
    crossed: bool = False


@dataclass(slots=True)
class Figure:
    """A view that knows its size on paper."""

    id: str
    title: str
    scale: Scale
    body: Box
    """What is drawn without its annotations, paper mm about the model's origin."""
    box: Box
    """All of it."""
    items: list[Item] = field(default_factory=list[Item])
    keynotes: list[Keynote] = field(default_factory=list[Keynote])
    swatches: list[Swatch] = field(default_factory=list[Swatch])
    notes: list[str] = field(default_factory=list[str])
    """What its caption must say besides the scale."""

    @property
    def width(self) -> float:
        """Width on paper, mm."""
        return self.box[2] - self.box[0]

    @property
    def height(self) -> float:
        """Height on paper, mm."""
        return self.box[3] - self.box[1]

    def model(self, point: Point) -> Point:
        """Return a paper point about the model's origin in model mm."""
        return point[0] * self.scale.factor, point[1] * self.scale.factor

    def view(self, left: float, bottom: float, pad: float = 1.0) -> View:
        """Return the view with the lower left corner of the figure set at a paper point."""
        origin = (left - self.box[0], bottom - self.box[1])
        frame = (
            left - pad,
            bottom - pad,
            left + self.width + pad,
            bottom + self.height + pad,
        )
        return View(
            self.id,
            self.title,
            self.scale.factor,
            label_of(self.scale),
            origin,
            frame,
            tuple(self.items),
        )


def label_of(scale: Scale) -> str:
    """Return the scale as printed, with the ratio where the label is in inches."""
    ratio = f"1:{scale.factor:g}"
    return scale.label if scale.label == ratio else f"{scale.label} ({ratio})"
