"""The drawing of a find-the-fault paper: the section, and what only other views show.

The paper and its key draw the same; on the key a lettered triangle stands at each fault.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import dist, fsum
from typing import Final

from detailgen.catalog import Scale
from detailgen.finding import Finding
from detailgen.geometry import Point
from detailgen.lessons.class_figure import STEPS, Called, Look, called_figure, plain
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
_SHARES: Final = (0.76, 0.88, 1.0)
"""Parts of the first page that the section may take, the first at which it fits."""
_TASK: Final = 46.0
"""Height that is kept for the lines under it, mm."""
_SMALL: Final = 10.0
"""A section at a smaller scale than one to this is drawn larger if the page allows."""
_SAME_PLACE: Final = 2.0
"""Faults nearer to each other than this share a mark, mm on paper."""
_CAPTION: Final = 22.0
"""Height that is kept for the heading of a view and the line under it, mm."""
_BESIDE: Final = Look(by_place=True)
_LISTED: Final = replace(_BESIDE, beside=False)
_LOOKS: Final = (
    (_BESIDE, _LISTED),
    (replace(_LISTED, words=False),),
    (replace(_LISTED, dims=False),),
)


@dataclass(frozen=True, slots=True)
class FaultDrawing:
    """A section with its parts by number and name, and the other views."""

    called: Called
    views: tuple[Figure, ...]
    marks: Mapping[str, str] = field(default_factory=dict[str, str])
    """Letter that stands on the drawing for each fault: some are at one place."""

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
    marks: dict[str, str] = {}
    if marked:
        figure = _marked(request, called.figure.scale, marked, marks)
        called = replace(called, figure=figure)
    return FaultDrawing(called, _views(request, room, known, marked, marks), marks)


def _section(request: SheetRequest, room: tuple[float, float]) -> Called:
    """Return the section, its names beside it where it is not drawn smaller for them.

    One that would be small takes more of the page, and its names stand on the next. Where
    no scale leaves room for all dimensions, they lose their words, and then stay away.
    """

    def largest(shares: Sequence[float], looks: Sequence[Look]) -> Called | None:
        tried = [
            next(
                (
                    found
                    for share in shares
                    if (found := called_figure(request, (wide, share * high), look))
                ),
                None,
            )
            for look in looks
        ]
        return min(
            (c for c in tried if c), key=lambda c: c.figure.scale.factor, default=None
        )

    wide, high = room[0], room[1] - _TASK
    called = next(c for looks in _LOOKS if (c := largest(_SHARES, looks)))
    for share in _SHARES[1:]:
        if called.figure.scale.factor <= _SMALL:
            break
        larger = largest((share,), _LOOKS[0])
        if larger and larger.figure.scale.factor < called.figure.scale.factor:
            called = larger
    return called


def _views(
    request: SheetRequest,
    room: tuple[float, float],
    known: Sequence[Keynote],
    marked: Sequence[tuple[str, Finding]],
    marks: dict[str, str],
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
            tags = _tags(places, marks)
            figure = layout_figure(request, layout, scale, names, tags)
            names += [k for k in figure.keynotes if k.number not in _numbers(names)]
            figures.append(figure)
        return figures

    # A mark may ask for more room than there is without it: the key has the paper's scale.
    bare = not marked
    for scale in scales:
        plain = [layout_figure(request, v, scale, known, ()) for v in layouts]
        high = fsum(f.height + _CAPTION for f in plain)
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


def _tags(places: Sequence[tuple[str, Point]], marks: dict[str, str]) -> list[Tag]:
    """Return the marks of faults, and note them; those at one place share the first."""
    found: dict[str, Point] = {}
    for letter, at in places:
        near = (k for k, other in found.items() if dist(at, other) < _SAME_PLACE)
        marks[letter] = next(near, letter)
        found.setdefault(marks[letter], at)
    return [Tag(letter, fault=True, aims=(Aim(at),)) for letter, at in found.items()]


def _numbers(notes: Sequence[Keynote]) -> set[str]:
    return {n.number for n in notes}


def _paper(point: Point, factor: float) -> Point:
    return point[0] / factor, point[1] / factor


def _marked(
    request: SheetRequest,
    scale: Scale,
    marked: Sequence[tuple[str, Finding]],
    marks: dict[str, str],
) -> Figure:
    """Return the section with a triangle at each fault that it shows, and no numbers."""
    factor = scale.factor
    drawn = request.rebuild(thickened(request, factor))
    body = body_box(drawn, factor)
    gauges = [g for g in request.section.gauges if g.view == SECTION]
    points, both = request.section.points, request.both_units
    wanted = measured(gauges, points, drawn.points, request.units, both=both)
    plainly = [plain(m, _BESIDE) for m in wanted]
    dims, box = dimensions(plainly, body, factor, STEPS, BODY)
    places = [
        (letter, _paper(drawn_place(request.section, drawn, f), factor))
        for letter, f in marked
        if f.view == SECTION and f.where is not None
    ]
    tags = _tags(places, marks)
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
