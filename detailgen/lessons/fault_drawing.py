"""The drawing of a find-the-fault paper: the section, and what only other views show.

The paper and its key draw the same; on the key a lettered triangle stands at each fault.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import dist
from typing import Final

from detailgen.catalog import Scale
from detailgen.finding import Finding
from detailgen.geometry import Point
from detailgen.lessons.class_figure import STEPS, Called, Look, first_fitting, plain
from detailgen.lessons.class_paper import ClassPaper
from detailgen.lessons.class_text import BODY
from detailgen.sheet.blocks import Keynote
from detailgen.sheet.bodies import body_items
from detailgen.sheet.callouts import Aim, Tag
from detailgen.sheet.dimensioning import dimensions, measured
from detailgen.sheet.figure import Figure
from detailgen.sheet.labels import label_box, label_items, labelled, strokes
from detailgen.sheet.layout_view import layout_figure
from detailgen.sheet.plane import hull
from detailgen.sheet.request import SheetRequest
from detailgen.sheet.section_view import body_box, drawn_place
from detailgen.sheet.thickening import thickened

SECTION: Final = "section"
_SHARES: Final = (0.66, 0.74, 0.86, 0.94)
"""Parts of the first page that the section may take, the first at which it fits."""
_SMALL: Final = 10.0
"""A section at a smaller scale than one to this is drawn larger if the page allows."""
_SAME_PLACE: Final = 2.0
"""Faults nearer to each other than this share a mark, mm on paper."""
_CAPTION: Final = 22.0
"""Height that is kept for the heading of a view and the line under it, mm."""
_LOOKS: Final = (Look(by_place=True), Look(by_place=True, beside=False))


@dataclass(frozen=True, slots=True)
class FaultDrawing:
    """A section with its parts by number and name, and the other views."""

    called: Called
    views: tuple[Figure, ...]

    @property
    def scales(self) -> Mapping[str, float]:
        """Model mm for each mm on paper, by view."""
        found = {SECTION: self.called.figure.scale.factor}
        return {**found, **{v.id: v.scale.factor for v in self.views}}


def fault_drawing(
    paper: ClassPaper, marked: Sequence[tuple[str, Finding]] = ()
) -> FaultDrawing:
    """Return the drawing of a detail that is broken.

    Args:
        paper: The paper, with the broken detail.
        marked: On a key: letter and finding of each fault.
    """
    request = paper.request
    x0, y0, x1, y1 = paper.inner
    room = (x1 - x0, y1 - y0)
    called = _section(request, room)
    known = [
        Keynote(n, p.name, "", role=p.bodies[0].role.value)
        for n, p in called.parts
        if p.bodies
    ]
    if marked:
        figure = _marked(request, called.figure.scale, marked)
        called = replace(called, figure=figure)
    return FaultDrawing(called, _views(request, room, known, marked))


def _section(request: SheetRequest, room: tuple[float, float]) -> Called:
    """Return the section, its names beside it where it is not drawn smaller for them.

    One that would be small takes more of the page, and its names stand on the next.
    """

    def largest(shares: Sequence[float]) -> Called:
        found = [first_fitting(request, room, look, shares) for look in _LOOKS]
        return min(found, key=lambda c: c.figure.scale.factor)

    called = largest(_SHARES)
    for share in _SHARES[1:]:
        if called.figure.scale.factor <= _SMALL:
            break
        larger = largest((share, *_SHARES[-1:]))
        if larger.figure.scale.factor < called.figure.scale.factor:
            called = larger
    return called


def _views(
    request: SheetRequest,
    room: tuple[float, float],
    known: Sequence[Keynote],
    marked: Sequence[tuple[str, Finding]],
) -> tuple[Figure, ...]:
    """Return the other views at the largest scale at which all stand on one page.

    Where they stand on none, each is as large as a page of its own allows.
    """
    layouts = request.section.layouts
    scales = request.catalog.drafting.scales_of(request.units)

    def at(scale: Scale) -> list[Figure]:
        figures: list[Figure] = []
        names = list(known)
        for layout in layouts:
            places = [
                (letter, _paper(f.where, scale.factor))
                for letter, f in marked
                if f.view == layout.id and f.where is not None
            ]
            tags = _tags(places)
            figure = layout_figure(request, layout, scale, names, tags)
            names += [k for k in figure.keynotes if k.number not in _numbers(names)]
            figures.append(figure)
        return figures

    # A mark may ask for more room than there is without it: the key has the paper's scale.
    bare = not marked
    for scale in scales:
        plain = [layout_figure(request, v, scale, known, ()) for v in layouts]
        high = sum(f.height + _CAPTION for f in plain)
        if all(f.width <= room[0] for f in plain) and high <= room[1]:
            return tuple(at(scale))
    found: list[Figure] = []
    for n in range(len(layouts)):
        for scale in scales:
            figure = at(scale)[n]
            fits = figure.width <= room[0] and figure.height + _CAPTION <= room[1]
            if fits or (scale is scales[-1] and bare):
                found.append(figure)
                break
    return tuple(found)


def _tags(places: Sequence[tuple[str, Point]]) -> list[Tag]:
    """Return the marks of faults; those at one place share one, with all their letters."""
    found: list[tuple[str, Point]] = []
    for letter, at in places:
        for n, (letters, other) in enumerate(found):
            if dist(at, other) < _SAME_PLACE:
                found[n] = letters + letter, other
                break
        else:
            found.append((letter, at))
    return [Tag(letters, fault=True, aims=(Aim(at),)) for letters, at in found]


def _numbers(notes: Sequence[Keynote]) -> set[str]:
    return {n.number for n in notes}


def _paper(point: Point, factor: float) -> Point:
    return point[0] / factor, point[1] / factor


def _marked(
    request: SheetRequest, scale: Scale, marked: Sequence[tuple[str, Finding]]
) -> Figure:
    """Return the section with a triangle at each fault that it shows, and no numbers."""
    factor = scale.factor
    drawn = request.rebuild(thickened(request, factor))
    body = body_box(drawn, factor)
    gauges = [g for g in request.section.gauges if g.view == SECTION]
    points, both = request.section.points, request.both_units
    wanted = measured(gauges, points, drawn.points, request.units, both=both)
    look = _LOOKS[0]
    plainly = [plain(m, look) for m in wanted]
    dims, box = dimensions(plainly, body, factor, STEPS, BODY)
    places = [
        (letter, _paper(drawn_place(request.section, drawn, f), factor))
        for letter, f in marked
        if f.view == SECTION and f.where is not None
    ]
    tags = _tags(places)
    figure = Figure(SECTION, "SECTION", scale, body, box)
    figure.items += body_items(drawn, request.catalog, factor)
    lines = [s for i in figure.items if i.layer == "break" for s in strokes(i, factor)]
    regions = [b.region for b in drawn.bodies]
    where = body, drawn.side_of_air, factor
    placed = labelled([], tags, where, dims, (regions, lines))
    figure.items += dims
    for one in placed:
        figure.items += label_items(one, factor)
    figure.box = hull([box, *map(label_box, placed)])
    return figure
