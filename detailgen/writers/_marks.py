"""Marks: what is left of a scene when nothing but ink on paper counts.

All in paper millimetres, origin at the sheet's lower left corner, y up.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from detailgen.geometry import Point
from detailgen.lettering import DESCENT, text_width, top_of
from detailgen.scene import Align

Colour = tuple[int, int, int]
Polyline = tuple[Point, ...]

_SHARE = {Align.LEFT: 0.0, Align.CENTRE: 0.5, Align.RIGHT: 1.0}


class Kind(StrEnum):
    """What a mark is part of."""

    OUTLINE = "outline"
    """The outline or the fill of a body: a path with a tag."""
    LINE = "line"
    """Any other path: frames, tables, break lines, match lines."""
    HATCH = "hatch"
    DIM_LINE = "dim-line"
    EXTENSION = "extension"
    TICK = "tick"
    LEADER = "leader"
    TIP = "tip"
    """The dot or arrowhead of a leader."""
    CIRCLE = "circle"
    TABLE = "table"
    """The lines of a title block."""
    TEXT = "text"
    DIM_TEXT = "dim-text"
    CAPTION = "caption"
    VALUE = "value"


@dataclass(frozen=True, slots=True)
class Source:
    """Where a mark comes from."""

    kind: Kind
    layer: str
    """Role of the layer."""
    view: str = ""
    """Id of the view; empty for paper items."""
    tag: str = ""
    """Id of the body it draws, if any."""
    item: int = 0
    """Position of the item among the items of its view or of the paper."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """Lines drawn with one pen."""

    source: Source
    lines: tuple[Polyline, ...]
    """A closed line does not repeat its first point."""
    closed: bool
    pen: float
    colour: Colour
    dash: tuple[float, ...] = ()

    def segments(self) -> Iterator[tuple[Point, Point]]:
        """Yield every straight piece, dashes not cut."""
        for line in self.lines:
            yield from pairwise(line)
            if self.closed:
                yield line[-1], line[0]


@dataclass(frozen=True, slots=True)
class Fill:
    """A solid area; the first ring is its outline, the others are holes."""

    source: Source
    rings: tuple[Polyline, ...]
    colour: Colour


@dataclass(frozen=True, slots=True)
class Disc:
    """A circle: its line when it has a pen, its inside when it has a fill."""

    source: Source
    centre: Point
    radius: float
    pen: float
    colour: Colour
    fill: Colour | None


@dataclass(frozen=True, slots=True)
class Run:
    """One line of text."""

    source: Source
    at: Point
    content: str
    height: float
    """Height of a capital, mm."""
    align: Align
    rotation: float
    bold: bool
    colour: Colour

    @property
    def width(self) -> float:
        """Return the sum of the advances, mm."""
        return text_width(self.content, self.height, bold=self.bold)

    @property
    def start(self) -> Point:
        """Return the left end of the base line."""
        back = self.width * _SHARE[self.align]
        if not self.rotation:
            return self.at[0] - back, self.at[1]
        turn = math.radians(self.rotation)
        return self.at[0] - back * math.cos(turn), self.at[1] - back * math.sin(turn)

    def box(self, clear: float = 0.0) -> tuple[Point, Point, Point, Point]:
        """Return the corners of the text's box, lower left first, `clear` mm larger."""
        low = -DESCENT * self.height - clear
        high = top_of(self.content) * self.height + clear
        left, right = -clear, self.width + clear
        x, y = self.start
        if not self.rotation:  # by far the most
            x0, y0, x1, y1 = x + left, y + low, x + right, y + high
            return (x0, y0), (x1, y0), (x1, y1), (x0, y1)
        turn = math.radians(self.rotation)
        cos, sin = math.cos(turn), math.sin(turn)
        corners = ((left, low), (right, low), (right, high), (left, high))
        a, b, c, d = ((x + u * cos - v * sin, y + u * sin + v * cos) for u, v in corners)
        return a, b, c, d


Mark = Stroke | Fill | Disc | Run


@dataclass(frozen=True, slots=True)
class Lowered:
    """The marks of a sheet in drawing order: a later one covers an earlier one."""

    marks: tuple[Mark, ...]

    @property
    def strokes(self) -> tuple[Stroke, ...]:
        """Return the lines."""
        return tuple(m for m in self.marks if isinstance(m, Stroke))

    @property
    def fills(self) -> tuple[Fill, ...]:
        """Return the solid areas, circles apart."""
        return tuple(m for m in self.marks if isinstance(m, Fill))

    @property
    def discs(self) -> tuple[Disc, ...]:
        """Return the circles."""
        return tuple(m for m in self.marks if isinstance(m, Disc))

    @property
    def texts(self) -> tuple[Run, ...]:
        """Return the lines of text."""
        return tuple(m for m in self.marks if isinstance(m, Run))
