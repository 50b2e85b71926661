"""What stands on a page of a PDF file, independent of the file it comes to stand in.

Characters are named by their own numbers and not by their place in one file's part of the
typeface, so that the same content goes into the file of one sheet and into a bound set.
"""

import math
import zlib
from dataclasses import dataclass
from typing import Final, assert_never

from detailgen.lettering import CAP
from detailgen.scene import Paper, Scene
from detailgen.writers._kept import kept
from detailgen.writers._lowering import lower
from detailgen.writers._marks import Colour, Disc, Fill, Mark, Polyline, Run, Stroke
from detailgen.writers._pdf_fonts import FONTS, code_of
from detailgen.writers._scene_gate import validate

POINTS_PER_MM: Final = 72.0 / 25.4
MITRE: Final = 6.0
"""Longest mitre, in pens; the SVG writer has the same."""
_ROUND: Final = 4.0 / 3.0 * (math.sqrt(2.0) - 1.0)
"""How far the handles of a quarter of a circle stand off, in radii."""


@dataclass(frozen=True, slots=True)
class PageContent:
    """A page: its paper, what is drawn on it, and the characters that it needs."""

    paper: Paper
    stream: bytes
    """Operators of the page, deflated."""
    regular: frozenset[str]
    """Characters in regular letters."""
    bold: frozenset[str]


@kept
def content_of(scene: Scene) -> PageContent:
    """Return the page of a sheet."""
    validate(scene)
    pen = _Pen()
    for mark in lower(scene).marks:
        pen.draw(mark)
    stream = zlib.compress("\n".join(pen.operators).encode("ascii"))
    regular, bold = (frozenset("".join(pen.lettered[b])) for b in (False, True))
    return PageContent(scene.paper, stream, regular, bold)


class _Pen:
    """Draws marks in millimetres and changes the pen only when it must."""

    def __init__(self) -> None:
        self.operators = [f"{POINTS_PER_MM:.8f} 0 0 {POINTS_PER_MM:.8f} 0 0 cm 0 J 0 j"]
        self.operators.append(f"{MITRE:g} M")
        self.lettered: dict[bool, list[str]] = {False: [], True: []}
        self._pen: tuple[float, Colour, tuple[float, ...]] | None = None
        self._fill: Colour | None = None

    def draw(self, mark: Mark) -> None:
        """Draw one mark."""
        match mark:
            case Stroke():
                self._take(mark.pen, mark.colour, mark.dash)
                self._path(mark.lines, "S", closed=mark.closed)
            case Fill():
                self._dip(mark.colour)
                self._path(mark.rings, "f*", closed=True)
            case Disc():
                self._disc(mark)
            case Run():
                self._text(mark)
            case _:
                assert_never(mark)

    def _take(self, pen: float, colour: Colour, dash: tuple[float, ...] = ()) -> None:
        if self._pen != (pen, colour, dash):
            self._pen = (pen, colour, dash)
            told = " ".join(f"{d:g}" for d in dash)
            self.operators.append(f"{pen:g} w {_rgb(colour)} RG [{told}] 0 d")

    def _dip(self, colour: Colour) -> None:
        if self._fill != colour:
            self._fill = colour
            self.operators.append(f"{_rgb(colour)} rg")

    def _path(self, lines: tuple[Polyline, ...], paint: str, *, closed: bool) -> None:
        end = " h" if closed else ""
        for line in lines:
            path = " l ".join(f"{x:.4f} {y:.4f}" for x, y in line)
            self.operators.append(path.replace(" l ", " m ", 1) + f" l{end}")
        self.operators.append(paint)

    def _disc(self, mark: Disc) -> None:
        if mark.pen:
            self._take(mark.pen, mark.colour)
        if mark.fill is not None:
            self._dip(mark.fill)
        (x, y), r = mark.centre, mark.radius
        k = _ROUND * r
        around = (
            f"{x + r:.4f} {y:.4f} m",
            _curve(x + r, y + k, x + k, y + r, x, y + r),
            _curve(x - k, y + r, x - r, y + k, x - r, y),
            _curve(x - r, y - k, x - k, y - r, x, y - r),
            _curve(x + k, y - r, x + r, y - k, x + r, y),
        )
        paint = {(True, True): "b", (True, False): "s", (False, True): "f"}
        done = paint.get((mark.pen > 0, mark.fill is not None), "n")
        self.operators += [*around, done]

    def _text(self, mark: Run) -> None:
        self._dip(mark.colour)
        turn = math.radians(mark.rotation)
        cos, sin = math.cos(turn), math.sin(turn)
        x, y = mark.start
        self.lettered[mark.bold].append(mark.content)
        codes = "".join(f"{code_of(char):04X}" for char in mark.content)
        self.operators.append(
            f"BT /{FONTS[mark.bold]} {mark.height / CAP:.6g} Tf"
            f" {cos:.6f} {sin:.6f} {-sin:.6f} {cos:.6f} {x:.4f} {y:.4f} Tm <{codes}> Tj ET"
        )


def _curve(*values: float) -> str:
    return " ".join(f"{v:.4f}" for v in values) + " c"


def _rgb(colour: Colour) -> str:
    return " ".join(f"{c / 255:.6g}" for c in colour)
