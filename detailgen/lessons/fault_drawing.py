"""The drawing of a find-the-fault paper: the section, and what only other views show.

The paper and its key draw the same; on the key a lettered triangle stands at each fault.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from detailgen.catalog import Scale
from detailgen.finding import Finding
from detailgen.geometry import Point
from detailgen.lessons.class_figure import Called, Look, first_fitting
from detailgen.lessons.class_paper import ClassPaper
from detailgen.lettering import ASCENT, DESCENT, text_width
from detailgen.scene import Align, Circle, Dimension, Item, Leader, Path, Text
from detailgen.sheet.blocks import Keynote
from detailgen.sheet.callouts import Aim, Placed, Tag
from detailgen.sheet.dimensioning import dimension_ink
from detailgen.sheet.faults import Obstacles, mark_box, settle
from detailgen.sheet.figure import Figure
from detailgen.sheet.labels import label_items, strokes
from detailgen.sheet.layout_view import layout_figure
from detailgen.sheet.plane import hull
from detailgen.sheet.request import SheetRequest
from detailgen.sheet.section_view import drawn_place
from detailgen.sheet.thickening import thickened

SECTION: Final = "section"
_SHARES: Final = (0.62, 0.74, 0.86, 0.94)
"""Parts of the first page that the section may take, the first at which it fits."""
_CAPTION: Final = 22.0
"""Height that is kept for the heading of a view and the line under it, mm."""
_LOOK: Final = Look(by_place=True)


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
    called = first_fitting(request, room, _LOOK, _SHARES)
    known = [
        Keynote(n, p.name, "", role=p.bodies[0].role.value)
        for n, p in called.parts
        if p.bodies
    ]
    if marked:
        called = replace(called, figure=_marked(request, called.figure, marked))
    return FaultDrawing(called, _views(request, room, known, marked))


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
            tags = [
                Tag(letter, fault=True, aims=(Aim(_paper(f.where, scale.factor)),))
                for letter, f in marked
                if f.view == layout.id and f.where is not None
            ]
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


def _numbers(notes: Sequence[Keynote]) -> set[str]:
    return {n.number for n in notes}


def _paper(point: Point, factor: float) -> Point:
    return point[0] / factor, point[1] / factor


def _marked(
    request: SheetRequest, figure: Figure, marked: Sequence[tuple[str, Finding]]
) -> Figure:
    """Return the section with a triangle at each fault that it shows."""
    factor = figure.scale.factor
    drawn = request.rebuild(thickened(request, factor))
    tags = [
        Tag(letter, True, (Aim(_paper(drawn_place(request.section, drawn, f), factor)),))
        for letter, f in marked
        if f.view == SECTION and f.where is not None
    ]
    obstacles = _ink(figure)
    obstacles.bodies = [b.region for b in drawn.bodies]
    placed, lost = settle(tags, factor, obstacles)
    if lost:  # no white paper near by: on the bodies, clear of text and lines
        obstacles.bodies = []
        more, lost = settle(lost, factor, obstacles)
        placed += more
    if lost:
        bare = Obstacles(boxes=obstacles.boxes)
        placed += settle(lost, factor, bare)[0]
    return _with_marks(figure, placed)


def _with_marks(figure: Figure, placed: Sequence[Placed]) -> Figure:
    factor = figure.scale.factor
    items = [*figure.items]
    for one in placed:
        made = label_items(one, factor)
        # The triangle is white inside, so that its letter is read over a body, too.
        items += [
            replace(i, fill=(255, 255, 255)) if isinstance(i, Path) else i for i in made
        ]
    box = hull([figure.box, *(mark_box(p.slot.centre) for p in placed)])
    return replace(figure, items=items, box=box)


def _ink(figure: Figure) -> Obstacles:
    """Return what of a figure's annotations a mark must keep clear of."""
    factor = figure.scale.factor
    found = Obstacles()
    for item in figure.items:
        _add(found, item, factor)
    return found


def _add(found: Obstacles, item: Item, factor: float) -> None:
    match item:
        case Text():
            x, y = _paper(item.at, factor)
            wide = text_width(item.content, item.height, bold=item.bold)
            share = {Align.LEFT: 0.0, Align.CENTRE: 0.5, Align.RIGHT: 1.0}[item.align]
            left, high = x - share * wide, item.height
            low, top = y - DESCENT * high, y + ASCENT * high
            found.boxes.append((left - 0.5, low - 0.5, left + wide + 0.5, top + 0.5))
        case Circle():
            x, y = _paper(item.centre, factor)
            r = item.radius + 0.8
            found.boxes.append((x - r, y - r, x + r, y + r))
        case Dimension():
            box, lines = dimension_ink(item, factor)
            found.boxes.append(box)
            found.segments += lines
        case Leader():
            points = [_paper(p, factor) for p in item.points]
            lines = list(zip(points, points[1:], strict=False))
            found.segments += lines
            found.leaders += lines
        case Path() if item.layer == "break":
            found.segments += strokes(item, factor)
        case _:
            pass
