"""The neutral scene: one sheet as a handful of primitives, before any file format.

Paper items are in paper millimetres, origin at the lower left corner of the sheet, y up.
A `View` holds model items in true millimetres and maps them to paper: paper = origin +
model / factor. Whatever has a size that must not scale (text heights, radii, gaps,
hatch spacings, pen widths) is in paper millimetres in both spaces.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from detailgen.geometry import Point

MIN_TEXT: Final = 2.5
"""Smallest letter height on paper, mm (height of a capital)."""

# How a dimension, a leader and a title block look in every format, mm on paper.
DIM_GAP: Final = 1.5
"""From the thing measured to the start of the extension line."""
DIM_OVERSHOOT: Final = 2.0
"""How far the extension line goes past the dimension line."""
EXTENSION_PEN: Final = 0.13
"""Most width of extension lines, mm: they run over what is cut."""
DIM_TICK: Final = 0.9
"""Half the width and height of the oblique stroke where the lines cross."""
DIM_TEXT_GAP: Final = 1.0
"""From the dimension line to the base line of the text above it."""
ARROW_LENGTH: Final = 2.5
ARROW_WIDTH: Final = ARROW_LENGTH / 3
DOT_RADIUS: Final = 0.6
"""Of the dot that ends a leader."""
CELL_PAD: Final = 1.2
"""From the edge of a title block cell to its text, left, above and below."""
CAPTION_HEIGHT: Final = MIN_TEXT
"""Letter height of a title block caption, in the cell's top left corner."""


class Align(StrEnum):
    """Where a text's reference point sits along its line."""

    LEFT = "left"
    CENTRE = "centre"
    RIGHT = "right"


class Terminator(StrEnum):
    """What ends a leader."""

    DOT = "dot"
    ARROW = "arrow"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class Layer:
    """A drawing layer: our short role and what standards call it."""

    role: str
    """Name that items use: `cut`, `sheet`, `dims`."""
    name: str
    """Name after the National CAD Standard: `A-DETL-MCUT`."""
    pen: float
    """Line width on paper, mm; one of the ISO series."""
    colour: tuple[int, int, int]
    dash: tuple[float, ...] = ()
    """Dash and gap lengths on paper, mm; empty for a continuous line."""
    plots: bool = True
    about: str = ""


@dataclass(frozen=True, slots=True)
class HatchFamily:
    """One family of parallel lines of a pattern, on paper."""

    angle: float
    """Degrees from the x axis."""
    spacing: float
    """Distance between neighbouring lines, mm."""
    shift: float = 0.0
    """Shift of each line along itself against the one before, mm."""
    origin: Point = (0.0, 0.0)
    dashes: tuple[float, ...] = ()
    """Dash lengths (positive) and gaps (negative), mm; empty for a full line; 0: dot."""


@dataclass(frozen=True, slots=True)
class Pattern:
    """A hatch pattern of our own."""

    name: str
    families: tuple[HatchFamily, ...]


@dataclass(frozen=True, slots=True)
class Path:
    """An open or closed polyline; a closed one may have holes and a solid fill."""

    points: tuple[Point, ...]
    layer: str
    closed: bool = False
    holes: tuple[tuple[Point, ...], ...] = ()
    fill: tuple[int, int, int] | None = None
    stroke: bool = True
    tag: str = ""
    """Id of the body it outlines, if any."""


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle; the radius is on paper, whatever the space."""

    centre: Point
    radius: float
    layer: str
    fill: tuple[int, int, int] | None = None


@dataclass(frozen=True, slots=True)
class Hatch:
    """A region filled with a pattern; only the pattern is drawn, not the outline."""

    outline: tuple[Point, ...]
    layer: str
    pattern: Pattern
    holes: tuple[tuple[Point, ...], ...] = ()
    tag: str = ""


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text; `at` lies on the base line."""

    at: Point
    content: str
    height: float
    """Height of a capital on paper, mm."""
    layer: str
    align: Align = Align.LEFT
    rotation: float = 0.0
    """Degrees, anticlockwise about `at`."""
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Dimension:
    """A linear dimension. `start` and `end` are what it measures, in model mm.

    The dimension line runs at `angle` (0 horizontal, 90 vertical) through `line_at`. The
    distance of the two points along `angle` is the true length: writers assert it.
    """

    start: Point
    end: Point
    line_at: Point
    angle: float
    text: str
    """What is printed, complete."""
    prefix: str
    """Part of `text` before the number."""
    suffix: str
    """Part of `text` after the number."""
    text_at: Point
    """Middle of the text's base line, model mm; the text runs along the dimension line.

    When it lies past one of the ends, the dimension line is drawn on under the text.
    """
    height: float
    layer: str
    true: float
    """The true length, mm."""


@dataclass(frozen=True, slots=True)
class Leader:
    """A line from a label to what it names; `points[0]` is the tip at the thing named."""

    points: tuple[Point, ...]
    layer: str
    tip: Terminator
    label: str
    """The label's text, for formats that tie text to a leader; drawn as a separate Text."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One field of a title block, relative to the block's lower left corner, paper mm.

    The caption stands in the cell's top left corner, the value at its bottom left, each
    CELL_PAD from the edges. Each text is no wider than the cell less two pads, and the cell
    at least `least_height` high: writers refuse more.
    """

    tag: str
    """Attribute tag: `TITLE`, `SCALE`."""
    caption: str
    value: str
    x: float
    y: float
    width: float
    height: float
    size: float
    """Letter height of the value, mm."""
    joined: bool = False
    """Whether it goes on with the cell above it, without a line between them."""

    @property
    def base(self) -> float:
        """Return how far the value's base line lies above the bottom of the cell."""
        return max(CELL_PAD, 0.45 * self.size)

    @property
    def least_height(self) -> float:
        """Return the least height that holds the value and the caption, if any."""
        above = CAPTION_HEIGHT + CELL_PAD if self.caption else 0.0
        return self.base + self.size + CELL_PAD + above


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """The title block: a frame and cells; in DXF a block with attributes."""

    at: Point
    width: float
    height: float
    cells: tuple[Cell, ...]
    layer: str
    text_layer: str


Item = Path | Circle | Hatch | Text | Dimension | Leader | TitleBlock
"""The closed union of primitives: writers match on it and end in `assert_never`."""


@dataclass(frozen=True, slots=True)
class View:
    """A window onto model space."""

    id: str
    title: str
    factor: float
    """Model mm per paper mm: 4 for a scale of 1:4."""
    scale_label: str
    """`3" = 1'-0"  (1:4)`."""
    origin: Point
    """Where the model point (0, 0) lands on the paper, mm."""
    frame: tuple[float, float, float, float]
    """x0, y0, x1, y1 of the window on paper, mm; everything in the view lies inside."""
    items: tuple[Item, ...]
    plotted: bool = True
    """False for a view that only a model-space reader gets: the true-thickness section."""

    def to_paper(self, point: Point) -> Point:
        """Return where a model point lands on paper, mm."""
        return (
            self.origin[0] + point[0] / self.factor,
            self.origin[1] + point[1] / self.factor,
        )


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper."""

    name: str
    """`ANSI B`, `ISO A3`."""
    width: float
    height: float
    margin: float = 10.0


@dataclass(frozen=True, slots=True)
class Scene:
    """One sheet."""

    id: str
    """File stem: safe on every system."""
    title: str
    paper: Paper
    layers: tuple[Layer, ...]
    items: tuple[Item, ...]
    """Paper items, in drawing order; views are drawn first."""
    views: tuple[View, ...]
    inches: bool
    """Whether model space is in inches (else millimetres) where a format must choose."""
    subject: str = ""
    author: str = ""

    def layer(self, role: str) -> Layer:
        """Return the layer with this role; KeyError when the scene has none."""
        for layer in self.layers:
            if layer.role == role:
                return layer
        raise KeyError(role)
