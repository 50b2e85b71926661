"""The same primitives written with the chosen libraries alone: the measure for our layers.

Nothing of the program's writers is used here but the lowered marks, which are computed
beforehand: SVG as f-strings, PDF straight on a reportlab canvas, DXF straight through
ezdxf with its own dimension renderer.
"""

import io
import math

import ezdxf
from ezdxf.document import Drawing
from ezdxf.enums import TextEntityAlignment
from ezdxf.layouts.base import BaseLayout
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from detailgen.lettering import CAP, font_path
from detailgen.scene import (
    Align,
    Circle,
    Dimension,
    Hatch,
    Item,
    Leader,
    Path,
    Scene,
    Text,
    TitleBlock,
)
from detailgen.writers._marks import Disc, Fill, Lowered, Run, Stroke

POINT = 72 / 25.4
ANCHOR = {Align.LEFT: "start", Align.CENTRE: "middle", Align.RIGHT: "end"}
PLACE = {
    Align.LEFT: TextEntityAlignment.LEFT,
    Align.CENTRE: TextEntityAlignment.CENTER,
    Align.RIGHT: TextEntityAlignment.RIGHT,
}


def fonts() -> None:
    """Register the typeface once, as any program would."""
    for name, bold in (("Bare", False), ("BareBold", True)):
        pdfmetrics.registerFont(
            TTFont(name, str(font_path(bold=bold)), asciiReadable=False)
        )


def svg(scene: Scene, ink: Lowered) -> bytes:
    """Return the marks as SVG."""
    height = scene.paper.height
    size = f'width="{scene.paper.width}mm" height="{height}mm"'
    box = f'viewBox="0 0 {scene.paper.width} {height}"'
    out = [f'<svg xmlns="http://www.w3.org/2000/svg" {size} {box}>']
    for mark in ink.marks:
        match mark:
            case Stroke():
                end = "Z" if mark.closed else ""
                d = "".join(
                    "M" + "L".join(f"{x:.3f} {height - y:.3f}" for x, y in line) + end
                    for line in mark.lines
                )
                r, g, b = mark.colour
                dash = " ".join(f"{v:.3f}" for v in mark.dash)
                out.append(
                    f'<path d="{d}" fill="none" stroke="#{r:02x}{g:02x}{b:02x}" '
                    f'stroke-width="{mark.pen:.3f}" stroke-dasharray="{dash}"/>'
                )
            case Fill():
                d = "".join(
                    "M" + "L".join(f"{x:.3f} {height - y:.3f}" for x, y in ring) + "Z"
                    for ring in mark.rings
                )
                r, g, b = mark.colour
                out.append(
                    f'<path d="{d}" fill="#{r:02x}{g:02x}{b:02x}" fill-rule="evenodd"/>'
                )
            case Disc():
                x, y = mark.centre
                r, g, b = mark.colour
                out.append(
                    f'<circle cx="{x:.3f}" cy="{height - y:.3f}" r="{mark.radius:.3f}" '
                    f'stroke-width="{mark.pen:.3f}" stroke="#{r:02x}{g:02x}{b:02x}" '
                    f'fill="{"none" if mark.fill is None else "black"}"/>'
                )
            case Run():
                x, y = mark.at
                text = mark.content.replace("&", "&amp;").replace("<", "&lt;")
                out.append(
                    f'<text x="{x:.3f}" y="{height - y:.3f}" '
                    f'font-size="{mark.height / CAP:.3f}" '
                    f'text-anchor="{ANCHOR[mark.align]}" '
                    f'transform="rotate({-mark.rotation:.3f} {x:.3f} {height - y:.3f})">'
                    f"{text}</text>"
                )
    out.append("</svg>")
    return "\n".join(out).encode()


def pdf(scene: Scene, ink: Lowered) -> bytes:
    """Return the marks as a PDF of one page."""
    out = io.BytesIO()
    paper = scene.paper
    canvas = Canvas(out, pagesize=(paper.width * POINT, paper.height * POINT), invariant=1)
    canvas.scale(POINT, POINT)
    for mark in ink.marks:
        match mark:
            case Stroke():
                canvas.setLineWidth(mark.pen)
                canvas.setStrokeColorRGB(*(c / 255 for c in mark.colour))
                canvas.setDash(list(mark.dash))
                _pdf_path(canvas, mark.lines, closed=mark.closed, fill=False)
            case Fill():
                canvas.setFillColorRGB(*(c / 255 for c in mark.colour))
                _pdf_path(canvas, mark.rings, closed=True, fill=True)
            case Disc():
                canvas.setLineWidth(mark.pen)
                canvas.setFillColorRGB(*(c / 255 for c in mark.fill or mark.colour))
                canvas.circle(
                    *mark.centre,
                    mark.radius,
                    stroke=int(mark.pen > 0),
                    fill=int(mark.fill is not None),
                )
            case Run():
                canvas.setFillColorRGB(*(c / 255 for c in mark.colour))
                canvas.setFont("BareBold" if mark.bold else "Bare", mark.height / CAP)
                text = canvas.beginText()
                turn = math.radians(mark.rotation)
                cos, sin = math.cos(turn), math.sin(turn)
                text.setTextTransform(cos, sin, -sin, cos, *mark.start)
                text.textOut(mark.content)
                canvas.drawText(text)
    canvas.showPage()
    canvas.save()
    return out.getvalue()


def _pdf_path(canvas: Canvas, lines, *, closed: bool, fill: bool) -> None:
    path = canvas.beginPath()
    for line in lines:
        path.moveTo(*line[0])
        for point in line[1:]:
            path.lineTo(*point)
        if closed:
            path.close()
    canvas.drawPath(path, stroke=int(not fill), fill=int(fill))


def dxf(scene: Scene) -> bytes:
    """Return the items as DXF entities of the same kinds."""
    doc = ezdxf.new("R2010")
    doc.styles.add("BARE", font="DejaVuSans.ttf")
    names = {layer.role: layer.name for layer in scene.layers}
    for layer in scene.layers:
        doc.layers.add(layer.name, true_color=ezdxf.rgb2int(layer.colour))
    paper = doc.layout("Layout1")
    paper.page_setup(size=(scene.paper.width, scene.paper.height), margins=(0, 0, 0, 0))
    for view in scene.views:
        style = doc.dimstyles.duplicate_entry("Standard", f"BARE-{view.id}")
        style.dxf.dimscale = view.factor
        for item in view.items:
            _dxf(doc, doc.modelspace(), item, names, view.factor, style.dxf.name)
        if not view.plotted:
            continue
        x0, y0, x1, y1 = view.frame
        paper.add_viewport(
            ((x0 + x1) / 2, (y0 + y1) / 2),
            (x1 - x0, y1 - y0),
            (0, 0),
            (y1 - y0) * view.factor,
        )
    for item in scene.items:
        _dxf(doc, paper, item, names, 1.0, "Standard")
    out = io.StringIO()
    doc.write(out)
    return out.getvalue().encode()


def _dxf(
    doc: Drawing, space: BaseLayout, item: Item, names: dict[str, str], k: float, style: str
) -> None:
    attributes = {"layer": names[item.layer]}
    match item:
        case Path():
            if item.fill is not None:
                hatch = space.add_hatch(dxfattribs=attributes)
                for ring in (item.points, *item.holes):
                    hatch.paths.add_polyline_path(ring)
            for ring in (item.points, *item.holes):
                space.add_lwpolyline(ring, close=item.closed, dxfattribs=attributes)
        case Circle():
            if item.fill is not None:
                x, y = item.centre
                hatch = space.add_hatch(dxfattribs=attributes)
                hatch.paths.add_polyline_path([(x - 1, y, 1), (x + 1, y, 1)])
            space.add_circle(item.centre, item.radius * k, dxfattribs=attributes)
        case Hatch():
            hatch = space.add_hatch(dxfattribs=attributes)
            lines = [
                [f.angle, f.origin, (f.shift * k, f.spacing * k), [d * k for d in f.dashes]]
                for f in item.pattern.families
            ]
            hatch.set_pattern_fill(item.pattern.name, definition=lines)
            for ring in (item.outline, *item.holes):
                hatch.paths.add_polyline_path(ring)
        case Text():
            text = space.add_text(
                item.content,
                height=item.height * k,
                rotation=item.rotation,
                dxfattribs={**attributes, "style": "BARE"},
            )
            text.set_placement(item.at, align=PLACE[item.align])
        case Dimension():
            space.add_linear_dim(
                base=item.line_at,
                p1=item.start,
                p2=item.end,
                angle=item.angle,
                text=item.text,
                dimstyle=style,
                dxfattribs=attributes,
            ).render()
        case Leader():
            space.add_leader(item.points, dimstyle=style, dxfattribs=attributes)
        case TitleBlock():
            block = doc.blocks.new("BARE-TITLE")
            for cell in item.cells:
                x, y, w, h = cell.x, cell.y, cell.width, cell.height
                ring = [(x, y), (x + w, y), (x + w, y + h), (x, y + h)]
                block.add_lwpolyline(ring, close=True)
                if cell.caption:
                    block.add_text(cell.caption, height=2.5).set_placement((x, y))
                block.add_attdef(cell.tag, (x, y), height=cell.size)
            insert = space.add_blockref("BARE-TITLE", item.at, dxfattribs=attributes)
            insert.add_auto_attribs({cell.tag: cell.value for cell in item.cells})
