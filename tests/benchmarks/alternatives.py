"""The obvious other ways to the same sheets, for comparison in the same run.

- matplotlib: the marks of a sheet put on a figure, saved as PDF and as SVG.
- ezdxf's drawing add-on: our own DXF file read back and drawn as SVG.

Neither gives all that is wanted (text that can be searched, line weights as given, layers
in the SVG): what is measured is what taking them would cost.
"""

import io
import re

import ezdxf
from ezdxf.addons.drawing import Frontend, RenderContext, layout, svg
from matplotlib.backends.backend_pdf import FigureCanvasPdf
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure
from matplotlib.patches import Circle, PathPatch
from matplotlib.path import Path

from detailgen.lettering import CAP
from detailgen.scene import Scene
from detailgen.writers._lowering import Lowered
from detailgen.writers._marks import Disc, Fill, Run, Stroke

MM = 1.0 / 25.4


def figure(scene: Scene, ink: Lowered) -> Figure:
    """Return a sheet's marks on a figure of its size."""
    wide, high = scene.paper.width, scene.paper.height
    drawn = Figure(figsize=(wide * MM, high * MM))
    axes = drawn.add_axes((0, 0, 1, 1))
    axes.set_axis_off()
    axes.set(xlim=(0, wide), ylim=(0, high))
    for mark in ink.marks:
        match mark:
            case Stroke():
                pen = mark.pen * 72 * MM
                dash = (0, [d * 72 * MM / max(pen, 0.01) for d in mark.dash])
                for line in mark.lines:
                    xs, ys = zip(*line, strict=True)
                    if mark.closed:
                        xs, ys = (*xs, xs[0]), (*ys, ys[0])
                    style = dash if mark.dash else "-"
                    colour = tuple(c / 255 for c in mark.colour)
                    axes.plot(xs, ys, color=colour, linewidth=pen, linestyle=style)
            case Fill():
                rings = [Path([*r, r[0]], closed=True) for r in mark.rings]
                colour = tuple(c / 255 for c in mark.colour)
                whole = Path.make_compound_path(*rings)
                axes.add_patch(PathPatch(whole, facecolor=colour, linewidth=0))
            case Disc():
                axes.add_patch(Circle(mark.centre, mark.radius, fill=mark.fill is not None))
            case Run():
                axes.text(
                    *mark.start,
                    mark.content.replace("$", r"\$"),
                    fontsize=mark.height / CAP * 72 * MM,
                    rotation=mark.rotation,
                    rotation_mode="anchor",
                    va="baseline",
                )
    return drawn


def matplotlib_pdf(scene: Scene, ink: Lowered) -> bytes:
    """Return a sheet as PDF."""
    out = io.BytesIO()
    FigureCanvasPdf(figure(scene, ink)).print_pdf(out)
    return out.getvalue()


def matplotlib_svg(scene: Scene, ink: Lowered) -> bytes:
    """Return a sheet as SVG."""
    out = io.BytesIO()
    FigureCanvasSVG(figure(scene, ink)).print_svg(out)
    return out.getvalue()


def ezdxf_svg(content: bytes) -> bytes:
    """Return the sheet of a DXF file as SVG, drawn by ezdxf's add-on."""
    document = ezdxf.read(io.StringIO(re.sub(r"\r\n?", "\n", content.decode())))
    sheet = next(s for s in document.layouts if s.name != "Model")
    backend = svg.SVGBackend()
    Frontend(RenderContext(document), backend).draw_layout(sheet)
    return backend.get_string(layout.Page(0, 0)).encode()
