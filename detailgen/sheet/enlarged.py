"""An enlarged part of the section, where a sheet has room for one: the stack, readable."""

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from detailgen.catalog import Scale
from detailgen.geometry import Region
from detailgen.geometry.regions import box, clip
from detailgen.geometry.views import run_along
from detailgen.scene import Path
from detailgen.section import LayeredSection
from detailgen.sheet.bodies import body_items
from detailgen.sheet.callouts import OFF, RADIUS, Tag
from detailgen.sheet.figure import Figure
from detailgen.sheet.labels import label_box, label_items, labelled
from detailgen.sheet.naming import named_parts
from detailgen.sheet.plane import Box, around, hull
from detailgen.sheet.request import SheetRequest
from detailgen.sheet.thickening import as_drawn, thickened, thickness_note

TITLE: Final = "ENLARGED PART OF THE SECTION"
_AT_CANT: Final = ("cant.toe", "cant.top")
_AT_EDGE: Final = ("edge.top", "metal.bend")
_ABOUT_CANT: Final = (30.0, 18.0, 18.0, 34.0)
"""What is shown left of, below, right of and above the cant, mm."""
_ABOUT_EDGE: Final = (92.0, 42.0, 22.0, 30.0)
_LABELS: Final = OFF + 2 * RADIUS + 4.0
"""Room that the labels take at a side, mm on paper."""


def window_of(section: LayeredSection) -> Box | None:
    """Return the part of a section that is worth a closer look, model mm."""
    for names, (left, low, right, high) in (
        (_AT_CANT, _ABOUT_CANT),
        (_AT_EDGE, _ABOUT_EDGE),
    ):
        points = [section.points[n] for n in names if n in section.points]
        if points:
            x0, y0, x1, y1 = around(points)
            return x0 - left, y0 - low, x1 + right, y1 + high
    return None


def enlarged_figure(
    request: SheetRequest, main: Figure, fits: Callable[[Box, Scale], bool]
) -> Figure | None:
    """Return an enlarged part of the section at the largest scale that fits.

    Args:
        request: The condition.
        main: The main view, whose numbers are kept.
        fits: Says whether a box at a scale has room on the sheet.

    Returns:
        None when there is no scale at which it fits and is larger than the main view.
    """
    window = window_of(request.section)
    if window is None:
        return None
    for scale in request.catalog.drafting.scales_of(request.units):
        if scale.factor >= main.scale.factor:
            return None
        across = (window[2] - window[0]) / scale.factor + _LABELS
        up = (window[3] - window[1]) / scale.factor + _LABELS
        if fits((0.0, 0.0, across, up), scale):
            figure = _figure(request, main, scale, window)
            if fits(figure.box, scale):
                return figure
    return None


def _figure(request: SheetRequest, main: Figure, scale: Scale, window: Box) -> Figure:
    factor = scale.factor
    whole = request.rebuild(thickened(request, factor))
    drawn = windowed(whole, box(*window))
    body: Box = (
        window[0] / factor,
        window[1] / factor,
        window[2] / factor,
        window[3] / factor,
    )
    figure = Figure("enlarged", TITLE, scale, body, body)
    figure.items += body_items(drawn, request.catalog, factor)
    x0, y0, x1, y1 = window
    figure.items.append(
        Path(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), "symbol", closed=True)
    )
    numbers = {k.key: k.number for k in main.keynotes}
    tags = [
        Tag(numbers[n.keynote.key], fault=False, aims=n.aims)
        for n in named_parts(request, drawn, factor, (body, drawn.side_of_air))
        if n.keynote.key in numbers
    ]
    regions = [b.region for b in drawn.bodies]
    for one in labelled(tags, (), (body, drawn.side_of_air, factor), (), (regions, ())):
        figure.items += label_items(one, factor)
        figure.box = hull([figure.box, label_box(one)])
    figure.notes = [thickness_note(as_drawn(whole))]
    return figure


def windowed(section: LayeredSection, window: Region) -> LayeredSection:
    """Return what of a section lies inside a window."""
    return replace(
        section,
        bodies=tuple(
            replace(b, region=piece)
            for b in section.bodies
            for piece in clip(b.region, window)
        ),
        joints=tuple(
            replace(j, line=run)
            for j in section.joints
            for run in run_along(window, j.line)
        ),
        coats=tuple(
            replace(c, line=run) for c in section.coats for run in run_along(window, c.line)
        ),
        breaks=(),
    )
