"""What must not touch on a sheet, and does: text, leaders, dimensions, outlines, hatches.

`clashes` looks at a finished scene as ink on paper, exactly and without sampling. A sheet
is made so that it finds nothing; the tests hold it to that over many random conditions.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from itertools import combinations, pairwise
from math import cos, fsum, hypot, pi, sin
from typing import Final, assert_never

from detailgen.geometry import Point
from detailgen.lettering import DESCENT, text_width, top_of
from detailgen.scene import (
    CAPTION_HEIGHT,
    CELL_PAD,
    DIM_GAP,
    DIM_OVERSHOOT,
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
    View,
)
from detailgen.sheet.plane import (
    Box,
    Segment,
    around,
    cross,
    cuts_quad,
    distance,
    edges,
    in_ring,
    inside,
    quads_meet,
    turned,
)

_CELL: Final = 25.0
"""Size of a cell of the search grid, mm."""
_SHARE: Final = {Align.LEFT: 0.0, Align.CENTRE: 0.5, Align.RIGHT: 1.0}
_SLACK: Final = 1e-3
_ROUND: Final = 24
"""Sides of the polygon that stands for a circle."""


@dataclass(frozen=True, slots=True)
class Clash:
    """Two things that touch and must not, or one that leaves its frame."""

    kind: str
    one: str
    other: str
    at: Point


@dataclass(frozen=True, slots=True)
class Line:
    """One straight stroke, and what it is part of."""

    kind: str
    segment: Segment
    name: str
    group: int


@dataclass(slots=True)
class Ink:
    """A sheet as ink: boxes of text, strokes, areas."""

    texts: list[tuple[str, tuple[Point, ...]]] = field(
        default_factory=list[tuple[str, tuple[Point, ...]]]
    )
    lines: list[Line] = field(default_factory=list[Line])
    leaders: list[tuple[str, int, Segment]] = field(
        default_factory=list[tuple[str, int, Segment]]
    )
    """Label, number of the leader, segment."""
    counted: int = 0
    circles: list[tuple[Point, float]] = field(default_factory=list[tuple[Point, float]])
    areas: list[tuple[str, tuple[Point, ...], tuple[tuple[Point, ...], ...]]] = field(
        default_factory=list[tuple[str, tuple[Point, ...], tuple[tuple[Point, ...], ...]]]
    )
    """Hatches and fills of bodies: name, outline, holes."""
    strays: list[Clash] = field(default_factory=list[Clash])


def clashes(scene: Scene) -> list[Clash]:
    """Return everything on a sheet that touches what it must not, or leaves its frame."""
    ink = ink_of(scene)
    return [
        *ink.strays,
        *_text_on_text(ink),
        *_text_on_lines(ink),
        *_text_on_areas(ink),
        *_text_on_circles(ink),
        *_leaders(ink),
    ]


def ink_of(scene: Scene) -> Ink:
    """Return a scene's plotted items as ink on paper."""
    ink = Ink()
    margin = scene.paper.margin
    frame = (margin, margin, scene.paper.width - margin, scene.paper.height - margin)
    for view in scene.views:
        if view.plotted:
            if not inside(view.frame, _wider(frame)):
                ink.strays.append(Clash("view outside frame", view.id, "", view.frame[:2]))
            _add(ink, view.items, view, view.frame)
    plotted = [v for v in scene.views if v.plotted]
    for a, b in combinations(plotted, 2):
        if not _apart(a.frame, b.frame):
            ink.strays.append(Clash("view on view", a.id, b.id, b.frame[:2]))
    _add(ink, scene.items, None, frame)
    return ink


def _wider(box: Box) -> Box:
    return box[0] - _SLACK, box[1] - _SLACK, box[2] + _SLACK, box[3] + _SLACK


def _apart(a: Box, b: Box) -> bool:
    return a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def _add(ink: Ink, items: Iterable[Item], view: View | None, frame: Box) -> None:
    for item in items:
        points = list(_item(ink, item, view))
        if points and not inside(around(points), _wider(frame)):
            name = type(item).__name__.lower()
            ink.strays.append(
                Clash("outside frame", name, view.id if view else "", points[0])
            )


def _item(ink: Ink, item: Item, view: View | None) -> Iterator[Point]:
    """Add an item to the ink; yield the points that it reaches."""

    def place(point: Point) -> Point:
        return view.to_paper(point) if view else point

    match item:
        case Text():
            yield from _text(ink, item, place(item.at))
        case Path():
            yield from _path(ink, item, [place(p) for p in item.points])
        case Circle():
            at = place(item.centre)
            ink.circles.append((at, item.radius))
            yield at[0] - item.radius, at[1] - item.radius
            yield at[0] + item.radius, at[1] + item.radius
        case Hatch():
            ring = tuple(map(place, item.outline))
            holes = tuple(tuple(map(place, h)) for h in item.holes)
            ink.areas.append((f"hatch {item.tag}", ring, holes))
            yield from ring
        case Leader():
            ring = tuple(map(place, item.points))
            ink.counted += 1
            for a, b in pairwise(ring):
                ink.leaders.append((item.label, ink.counted, (a, b)))
            yield from ring
        case Dimension():
            yield from _dimension(ink, item, place)
        case TitleBlock():
            yield from _title_block(ink, item)
        case _:
            assert_never(item)


def quad(item: Text, at: Point) -> tuple[Point, ...]:
    """Return the corners of a text's box on paper."""
    width = text_width(item.content, item.height, bold=item.bold)
    left = -_SHARE[item.align] * width
    top = top_of(item.content) * item.height
    box = (left, -DESCENT * item.height, left + width, top)
    return turned(at, box, item.rotation)


def _text(ink: Ink, item: Text, at: Point) -> tuple[Point, ...]:
    found = quad(item, at)
    ink.texts.append((item.content, found))
    return found


def _path(ink: Ink, item: Path, points: list[Point]) -> list[Point]:
    if item.stroke:
        pairs = edges(points) if item.closed else pairwise(points)
        kind = "outline" if item.tag else "line"
        group = len(ink.lines)
        ink.lines += [Line(kind, (a, b), item.tag or item.layer, group) for a, b in pairs]
    if item.tag and item.fill is not None:
        ink.areas.append((f"body {item.tag}", tuple(points), ()))
    return points


def _dimension(ink: Ink, item: Dimension, place: Callable[[Point], Point]) -> list[Point]:
    start, end, line = place(item.start), place(item.end), place(item.line_at)
    upright = item.angle == 90.0
    feet = [(line[0], p[1]) if upright else (p[0], line[1]) for p in (start, end)]
    text = Text(
        place(item.text_at), item.text, item.height, item.layer, Align.CENTRE, item.angle
    )
    box = _text(ink, text, text.at)
    group = len(ink.lines)
    reached: list[Point] = [*box]
    for origin, foot in zip((start, end), feet, strict=True):
        length = hypot(foot[0] - origin[0], foot[1] - origin[1])
        if length <= DIM_GAP:
            continue
        ux, uy = (foot[0] - origin[0]) / length, (foot[1] - origin[1]) / length
        a = (origin[0] + ux * DIM_GAP, origin[1] + uy * DIM_GAP)
        b = (foot[0] + ux * DIM_OVERSHOOT, foot[1] + uy * DIM_OVERSHOOT)
        ink.lines.append(Line("extension line", (a, b), item.text, group))
        reached += [a, b]
    along = 1 if upright else 0
    levels = [f[along] for f in feet]
    span = [p[along] for p in box]
    if not min(levels) <= text.at[along] <= max(levels):
        levels += [min(span), max(span)]
    a, b = (
        ((line[0], min(levels)), (line[0], max(levels)))
        if upright
        else ((min(levels), line[1]), (max(levels), line[1]))
    )
    ink.lines.append(Line("dimension line", (a, b), item.text, group))
    return [*reached, a, b]


def _title_block(ink: Ink, item: TitleBlock) -> Iterator[Point]:
    x0, y0 = item.at
    for cell in item.cells:
        left, low = x0 + cell.x, y0 + cell.y
        right, top = left + cell.width, low + cell.height
        ring = [(left, low), (right, low), (right, top), (left, top)]
        group = len(ink.lines)
        ink.lines += [Line("line", s, "title", group) for s in edges(ring)]
        yield from ring
        at = (left + CELL_PAD, low + cell.base)
        if cell.value:
            yield from _text(ink, Text(at, cell.value, cell.size, item.text_layer), at)
        if cell.caption:
            at = (left + CELL_PAD, top - CELL_PAD - CAPTION_HEIGHT)
            yield from _text(ink, Text(at, cell.caption, CAPTION_HEIGHT, "text"), at)


def _cells(box: Box) -> Iterator[tuple[int, int]]:
    for i in range(int(box[0] // _CELL), int(box[2] // _CELL) + 1):
        for j in range(int(box[1] // _CELL), int(box[3] // _CELL) + 1):
            yield i, j


def _text_on_text(ink: Ink) -> Iterator[Clash]:
    grid: dict[tuple[int, int], list[int]] = defaultdict(list)
    seen: set[tuple[int, int]] = set()
    for number, (text, corners) in enumerate(ink.texts):
        for cell in _cells(around(corners)):
            for other in grid[cell]:
                if (other, number) in seen:
                    continue
                seen.add((other, number))
                there, its = ink.texts[other]
                if quads_meet(corners, its):
                    yield Clash("text on text", text, there, corners[0])
            grid[cell].append(number)


def _text_grid(ink: Ink) -> dict[tuple[int, int], list[int]]:
    grid: dict[tuple[int, int], list[int]] = defaultdict(list)
    for number, (_, corners) in enumerate(ink.texts):
        for cell in _cells(around(corners)):
            grid[cell].append(number)
    return grid


def _text_on_lines(ink: Ink) -> Iterator[Clash]:
    grid = _text_grid(ink)
    strokes = [(line.kind, line.name, line.segment) for line in ink.lines]
    strokes += [("leader", label, segment) for label, _, segment in ink.leaders]
    for kind, name, segment in strokes:
        near = {n for cell in _cells(around(segment)) for n in grid.get(cell, ())}
        for number in near:
            text, corners = ink.texts[number]
            if cuts_quad(segment, corners):
                yield Clash(f"text on {kind}", text, name, corners[0])


def _text_on_areas(ink: Ink) -> Iterator[Clash]:
    grid = _text_grid(ink)
    for name, ring, holes in ink.areas:
        box = around(ring)
        near = {n for cell in _cells(box) for n in grid.get(cell, ())}
        for number in near:
            text, corners = ink.texts[number]
            middle = (
                fsum(p[0] for p in corners) / len(corners),
                fsum(p[1] for p in corners) / len(corners),
            )
            within = in_ring(middle, ring) and not any(in_ring(middle, h) for h in holes)
            if within or any(cuts_quad(s, corners) for s in edges(ring)):
                yield Clash("text on area", text, name, corners[0])


def _text_on_circles(ink: Ink) -> Iterator[Clash]:
    grid = _text_grid(ink)
    for (x, y), radius in ink.circles:
        box = (x - radius, y - radius, x + radius, y + radius)
        for number in {n for cell in _cells(box) for n in grid.get(cell, ())}:
            text, corners = ink.texts[number]
            if all(hypot(px - x, py - y) < radius - _SLACK for px, py in corners):
                continue
            turns = [2 * pi * i / _ROUND for i in range(_ROUND)]
            ring = [(x + radius * cos(a), y + radius * sin(a)) for a in turns]
            if in_ring((x, y), corners) or any(cuts_quad(s, corners) for s in edges(ring)):
                yield Clash("text on circle", text, "", corners[0])


def _leaders(ink: Ink) -> Iterator[Clash]:
    for (one, number, a), (other, its, b) in combinations(ink.leaders, 2):
        if number != its and cross(a, b):
            yield Clash("leader on leader", one, other, a[0])
    for label, _, segment in ink.leaders:
        for centre, radius in ink.circles:
            if radius > 1.0 and distance(centre, segment) < radius - _SLACK:
                yield Clash("leader on label", label, "", centre)
