"""DXF: true size in model space, the sheet as a layout, and entities that keep meaning.

Model space holds every view at true size, side by side; the paper-space layout holds the
sheet, with a locked viewport at exact scale for each plotted view.
"""

# The library's signatures leave points and attribute dictionaries untyped.
# pyright: reportUnknownMemberType=false

import io
import re
from collections.abc import Generator
from contextlib import contextmanager
from math import fsum
from typing import Final, cast

from ezdxf import options  # pyright: ignore[reportPrivateImportUsage]
from ezdxf.colors import rgb2int
from ezdxf.document import Drawing
from ezdxf.filemanagement import new
from ezdxf.layouts.layout import Paperspace

from detailgen.geometry import Point
from detailgen.lettering import FILES
from detailgen.scene import Layer, Scene, View
from detailgen.units import MM_PER_INCH
from detailgen.writers._dxf_entities import Entities, Target
from detailgen.writers._dxf_space import Box, extent, offsets
from detailgen.writers._dxf_styles import (
    BOLD,
    LETTERING,
    exact_index,
    lineweight,
    nearest_index,
)
from detailgen.writers._dxf_text import ARCHITECTURAL, DECIMAL, plain
from detailgen.writers._scene_gate import validate

VERSION: Final = "R2010"
NO_PLOT_LAYER: Final = "A-ANNO-NPLT"
"""Layer of the viewports' frames, after the National CAD Standard; it does not plot."""
_LOCKED: Final = 0x4000
_INCHES, _MILLIMETRES = 1, 4


def write(scene: Scene) -> bytes:
    """Return the sheet as a DXF file."""
    validate(scene)
    with _fixed_metadata():
        doc = new(VERSION, units=_INCHES if scene.inches else _MILLIMETRES)
        _Sheet(doc, scene).draw()
        # The library walks a set here, so that the order would change from run to run.
        for name in sorted(doc.entitydb.dxf_types_in_use()):
            doc.classes.add_class(name)
        out = io.StringIO()
        doc.write(out)
    return out.getvalue().encode("utf-8")


@contextmanager
def _fixed_metadata() -> Generator[None]:
    """Keep the library's clock and random ids out of the file."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


class _Sheet:
    """Draws one scene into one document."""

    def __init__(self, doc: Drawing, scene: Scene) -> None:
        self._doc = doc
        self._scene = scene
        self._layers = {layer.role: layer for layer in scene.layers}
        self._unit = 1.0 / MM_PER_INCH if scene.inches else 1.0

    def draw(self) -> None:
        """Draw everything."""
        self._set_header()
        self._add_tables()
        views = self._scene.views
        extents = {view.id: extent(view, self._layers) for view in views}
        moves = offsets(extents, inches=self._scene.inches)
        layout = self._add_layout()
        entities = Entities(self._doc, self._layers, inches=self._scene.inches)
        for view in views:
            move, model = moves[view.id], self._doc.modelspace()
            target = Target(model, self._unit, view.factor, move)
            entities.add(view.items, target)
            if view.plotted:
                self._add_viewport(layout, view, move)
        entities.add(self._scene.items, Target(layout, self._unit))
        self._set_extents([_moved(extents[v.id], moves[v.id]) for v in views])

    def _set_header(self) -> None:
        header = self._doc.header
        header["$LUNITS"] = ARCHITECTURAL if self._scene.inches else DECIMAL
        header["$LUPREC"] = 4 if self._scene.inches else 1
        header["$LWDISPLAY"] = 1
        header["$PSLTSCALE"] = 1

    def _add_tables(self) -> None:
        doc = self._doc
        for name, bold in ((LETTERING, False), (BOLD, True)):
            doc.styles.add(name, font=FILES[bold])
        doc.header["$TEXTSTYLE"] = LETTERING
        for number, layer in enumerate(self._scene.layers, start=1):
            self._add_layer(layer, number)
        if NO_PLOT_LAYER not in doc.layers:
            doc.layers.add(NO_PLOT_LAYER, plot=False)

    def _add_layer(self, layer: Layer, number: int) -> None:
        linetype = "Continuous"
        if layer.dash:
            linetype = f"DG-DASH-{number}"
            dashes = [d * self._unit * (-1) ** i for i, d in enumerate(layer.dash)]
            # Not sum(), whose last digit is another from Python 3.12 on.
            pattern = [fsum(map(abs, dashes)), *dashes]
            self._doc.linetypes.add(linetype, pattern, description="dashes on paper")
        exact = exact_index(layer.colour)
        added = self._doc.layers.add(
            layer.name,
            color=nearest_index(layer.colour) if exact is None else exact,
            true_color=rgb2int(layer.colour) if exact is None else None,
            linetype=linetype,
            lineweight=lineweight(layer.pen),
            plot=layer.plots,
        )
        if layer.about:
            added.description = plain(layer.about)

    def _add_layout(self) -> Paperspace:
        paper, doc = self._scene.paper, self._doc
        doc.layouts.rename("Layout1", self._scene.id)
        layout = cast("Paperspace", doc.layouts.get(self._scene.id))
        layout.page_setup(
            size=(paper.width * self._unit, paper.height * self._unit),
            margins=(0, 0, 0, 0),
            units="inch" if self._scene.inches else "mm",
            name=re.sub(r"[^A-Za-z0-9_-]+", "_", paper.name) or "sheet",
        )
        layout.set_plot_style("monochrome.ctb")
        for paper_itself in layout.viewports():
            paper_itself.dxf.layer = NO_PLOT_LAYER
        return layout

    def _add_viewport(self, layout: Paperspace, view: View, move: Point) -> None:
        x0, y0, x1, y1 = view.frame
        model = Target(layout, self._unit, view.factor, move)
        middle = ((x0 + x1) / 2, (y0 + y1) / 2)
        at = tuple((m - o) * view.factor for m, o in zip(middle, view.origin, strict=True))
        port = layout.add_viewport(
            center=Target(layout, self._unit).point(middle),
            size=((x1 - x0) * self._unit, (y1 - y0) * self._unit),
            view_center_point=model.point((at[0], at[1])),
            view_height=model.size(y1 - y0),
            status=2,
            dxfattribs={"layer": NO_PLOT_LAYER},
        )
        port.dxf.flags |= _LOCKED

    def _set_extents(self, boxes: list[Box]) -> None:
        """Say where the drawing lies; the library would ask the machine's fonts."""
        if not boxes:
            return
        low = [min(b[i] for b in boxes) * self._unit for i in (0, 1)]
        high = [max(b[i] for b in boxes) * self._unit for i in (2, 3)]
        model = self._doc.modelspace()
        model.reset_extents((*low, 0.0), (*high, 0.0))
        self._doc.header["$EXTMIN"], self._doc.header["$EXTMAX"] = (*low, 0.0), (*high, 0.0)
        centre = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
        height = max(high[1] - low[1], (high[0] - low[0]) / 2) * 1.1
        self._doc.set_modelspace_vport(height, centre)


def _moved(box: Box, move: Point) -> Box:
    return box[0] + move[0], box[1] + move[1], box[2] + move[0], box[3] + move[1]
