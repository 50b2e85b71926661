"""PNG: a preview for pages and lists; the drawing itself is in the other formats."""

# The library's signatures leave keyword arguments untyped.
# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false

import io
from typing import Final, assert_never

from matplotlib import rc_context, rcParamsDefault
from matplotlib.artist import Artist
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.patches import Circle, PathPatch
from matplotlib.path import Path
from matplotlib.text import Text
from matplotlib.transforms import Affine2D

from detailgen.lettering import CAP, font_path
from detailgen.scene import Scene
from detailgen.writers._lowering import lower
from detailgen.writers._marks import Colour, Disc, Fill, Mark, Polyline, Run, Stroke
from detailgen.writers._scene_gate import validate

DPI: Final = 150
POINTS_PER_MM: Final = 72.0 / 25.4
MM_PER_INCH: Final = 25.4


def write(scene: Scene, dpi: float = DPI) -> bytes:
    """Return the sheet as a PNG picture."""
    validate(scene)
    size = scene.paper.width / MM_PER_INCH, scene.paper.height / MM_PER_INCH
    out = io.BytesIO()
    # The library's own defaults, whatever the machine's settings say.
    with rc_context(rcParamsDefault):
        figure = Figure(figsize=size, dpi=dpi)
        FigureCanvasAgg(figure)
        to_pixels = Affine2D().scale(dpi / MM_PER_INCH)
        for order, mark in enumerate(lower(scene).marks):
            artist = _artist(mark)
            artist.set_zorder(order)
            figure.add_artist(artist)
            artist.set_transform(to_pixels)
        figure.savefig(out, format="png", dpi=dpi, metadata={"Software": None})
    return out.getvalue()


def _artist(mark: Mark) -> Artist:
    match mark:
        case Stroke():
            dashes = tuple(d / mark.pen for d in mark.dash)
            return PathPatch(
                _path(mark.lines, closed=mark.closed),
                fill=False,
                edgecolor=_rgb(mark.colour),
                linewidth=mark.pen * POINTS_PER_MM,
                linestyle=(0, dashes) if dashes else "solid",
                joinstyle="miter",
                capstyle="butt",
            )
        case Fill():
            path = _path(mark.rings, closed=True)
            return PathPatch(path, facecolor=_rgb(mark.colour), linewidth=0)
        case Disc():
            return Circle(
                mark.centre,
                mark.radius,
                fill=mark.fill is not None,
                facecolor=_rgb(mark.fill or mark.colour),
                edgecolor=_rgb(mark.colour),
                linewidth=mark.pen * POINTS_PER_MM,
            )
        case Run():
            return Text(
                *mark.start,
                mark.content,
                color=_rgb(mark.colour),
                rotation=mark.rotation,
                rotation_mode="anchor",
                verticalalignment="baseline",
                fontproperties=FontProperties(
                    fname=str(font_path(bold=mark.bold)),
                    size=mark.height / CAP * POINTS_PER_MM,
                ),
                parse_math=False,
            )
        case _:
            assert_never(mark)


def _path(lines: tuple[Polyline, ...], *, closed: bool) -> Path:
    points: list[tuple[float, float]] = []
    codes: list[int] = []
    for line in lines:
        points += line
        codes += [int(Path.MOVETO), *[int(Path.LINETO)] * (len(line) - 1)]
        if closed:
            points.append(line[0])
            codes.append(int(Path.CLOSEPOLY))
    return Path(points, codes)


def _rgb(colour: Colour) -> tuple[float, float, float]:
    r, g, b = (c / 255 for c in colour)
    return r, g, b
