"""PDF: vector pages at exact scale, with the typeface embedded and the text searchable."""

import io
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, Final, Protocol, assert_never, cast

from reportlab import rl_config
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from detailgen.lettering import CAP, font_path
from detailgen.scene import Scene
from detailgen.writers._lowering import lower
from detailgen.writers._marks import Colour, Disc, Fill, Mark, Polyline, Run, Stroke
from detailgen.writers._scene_gate import validate

POINTS_PER_MM: Final = 72.0 / 25.4
CREATOR: Final = "detailgen"
MITRE: Final = 6.0
"""Longest mitre, in pens; the SVG writer has the same."""


# Streams stay binary: their text form is a quarter larger and takes a third of the time.
cast("Any", rl_config).useA85 = 0


@dataclass(frozen=True, slots=True)
class Link:
    """A box on a page that leads to another page of the set."""

    box: tuple[float, float, float, float]
    """x0, y0, x1, y1 in paper mm."""
    page: int
    """Number of the page in the set, from 0."""
    about: str
    """What a reader who cannot see it is told."""


@dataclass(frozen=True, slots=True)
class Page:
    """One page of a set."""

    scene: Scene
    bookmark: str = ""
    """Its line in the outline, if it has one."""
    level: int = 0
    """Depth in the outline, at most one more than that of the page before."""
    label: str = ""
    """The page number that a reader's program shows, if not the plain one."""
    links: tuple[Link, ...] = ()


def write(scene: Scene) -> bytes:
    """Return the sheet as a PDF file of one page."""
    return pages([Page(scene)], scene.title, subject=scene.subject, author=scene.author)


def pages(
    sheets: Sequence[Page], title: str, *, subject: str = "", author: str = ""
) -> bytes:
    """Return a set of sheets as one PDF file, each page at the size of its paper."""
    for sheet in sheets:
        validate(sheet.scene)
    out = io.BytesIO()
    # Whatever could come from the machine's settings is given here.
    canvas = cast(
        "_Canvas",
        Canvas(
            out,
            pagesize=(1.0, 1.0),
            bottomup=1,
            # Else each page would name a font that is not embedded.
            initialFontName=cast("Any", _font(bold=False)),
            pageCompression=1,
            invariant=1,
            pdfVersion=(1, 5),
            lang="en",
        ),
    )
    canvas.setTitle(title)
    canvas.setAuthor(author)
    canvas.setSubject(subject)
    canvas.setCreator(CREATOR)
    for number, sheet in enumerate(sheets):
        _draw_page(canvas, sheet, number)
    if any(sheet.bookmark for sheet in sheets):
        canvas.showOutline()
    canvas.save()
    return out.getvalue()


def _draw_page(canvas: "_Canvas", sheet: Page, number: int) -> None:
    paper = sheet.scene.paper
    canvas.setPageSize((paper.width * POINTS_PER_MM, paper.height * POINTS_PER_MM))
    canvas.bookmarkPage(_key(number), fit="Fit")
    if sheet.bookmark:
        canvas.addOutlineEntry(sheet.bookmark, _key(number), level=sheet.level, closed=0)
    if sheet.label:
        canvas.addPageLabel(number, prefix=sheet.label)
    for link in sheet.links:
        rect = tuple(v * POINTS_PER_MM for v in link.box)
        canvas.linkAbsolute(link.about, _key(link.page), rect)
    canvas.transform(POINTS_PER_MM, 0, 0, POINTS_PER_MM, 0, 0)
    canvas.setLineCap(0)
    canvas.setLineJoin(0)
    canvas.setMiterLimit(MITRE)
    pen = _Pen(canvas)
    for mark in lower(sheet.scene).marks:
        pen.draw(mark)
    canvas.showPage()


def _key(number: int) -> str:
    return f"page-{number + 1}"


@cache
def _font(*, bold: bool) -> str:
    """Return the name under which the typeface is known, after registering it."""
    name = "Lettering-Bold" if bold else "Lettering"
    font = TTFont(name, str(font_path(bold=bold)), asciiReadable=False)
    cast("Any", pdfmetrics).registerFont(font)
    return name


class _Pen:
    """Draws marks in millimetres and changes the pen only when it must."""

    def __init__(self, canvas: "_Canvas") -> None:
        self._canvas = canvas
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
            self._canvas.setLineWidth(pen)
            self._canvas.setStrokeColorRGB(*(c / 255 for c in colour))
            self._canvas.setDash(list(dash))

    def _dip(self, colour: Colour) -> None:
        if self._fill != colour:
            self._fill = colour
            self._canvas.setFillColorRGB(*(c / 255 for c in colour))

    def _path(self, lines: tuple[Polyline, ...], paint: str, *, closed: bool) -> None:
        """Draw lines by their operators: the library's path takes ten times as long."""
        end = " h" if closed else ""
        ops = [
            " l ".join(f"{x:.4f} {y:.4f}" for x, y in line).replace(" l ", " m ", 1)
            + f" l{end}"
            for line in lines
        ]
        self._canvas.addLiteral("\n".join([*ops, paint]))

    def _disc(self, mark: Disc) -> None:
        if mark.pen:
            self._take(mark.pen, mark.colour)
        if mark.fill is not None:
            self._dip(mark.fill)
        self._canvas.circle(
            *mark.centre, mark.radius, stroke=int(mark.pen > 0), fill=int(bool(mark.fill))
        )

    def _text(self, mark: Run) -> None:
        self._dip(mark.colour)
        self._canvas.setFont(_font(bold=mark.bold), mark.height / CAP)
        text = self._canvas.beginText()
        turn = math.radians(mark.rotation)
        cos, sin = math.cos(turn), math.sin(turn)
        text.setTextTransform(cos, sin, -sin, cos, *mark.start)
        text.textOut(mark.content)
        self._canvas.drawText(text)


class _Canvas(Protocol):
    """The library's canvas, which has no types."""

    def __getattr__(self, name: str) -> Any: ...  # noqa: ANN401
