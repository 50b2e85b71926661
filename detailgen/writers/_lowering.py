"""Lowering: scene items to marks on paper, for every format that knows only ink.

The one place that says how a dimension, a leader or a title block looks; the DXF writer
takes the inside of its dimension blocks from here too, so that all formats agree.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import fsum
from typing import Final, assert_never

from detailgen.geometry import Point
from detailgen.lettering import letterable, text_width
from detailgen.scene import (
    ARROW_LENGTH,
    ARROW_WIDTH,
    CAPTION_HEIGHT,
    CELL_PAD,
    DIM_GAP,
    DIM_OVERSHOOT,
    DIM_TICK,
    DOT_RADIUS,
    EXTENSION_PEN,
    Align,
    Circle,
    Dimension,
    Hatch,
    Item,
    Layer,
    Leader,
    Path,
    Scene,
    Terminator,
    Text,
    TitleBlock,
    View,
)
from detailgen.writers._hatching import hatch_lines
from detailgen.writers._kept import kept
from detailgen.writers._marks import (
    Colour,
    Disc,
    Fill,
    Kind,
    Lowered,
    Mark,
    Polyline,
    Run,
    Source,
    Stroke,
)

HEAVY_TICK: Final = 2.0
"""Pen of a dimension's tick against that of its line."""
DUPLICATE: Final = 1e-6
"""Points of a path closer than this on paper, mm, are one."""


@dataclass(frozen=True, slots=True)
class Space:
    """Where items live: the paper, or a view with its scale."""

    id: str = ""
    factor: float = 1.0
    """Model mm per paper mm."""
    origin: Point = (0.0, 0.0)
    """Where the point (0, 0) of the items lands, mm."""

    def place(self, points: tuple[Point, ...]) -> Polyline:
        """Return where points land on the paper."""
        (x0, y0), k = self.origin, self.factor
        return tuple((x0 + x / k, y0 + y / k) for x, y in points)

    def place_one(self, point: Point) -> Point:
        """Return where one point lands on the paper."""
        return (
            self.origin[0] + point[0] / self.factor,
            self.origin[1] + point[1] / self.factor,
        )


def space_of(view: View) -> Space:
    """Return the space of a view."""
    return Space(view.id, view.factor, view.origin)


@kept
def lower(scene: Scene) -> Lowered:
    """Return the ink of a sheet: plotted views, then paper items, on layers that plot."""
    layers = {layer.role: layer for layer in scene.layers}
    marks: list[Mark] = []
    for view in scene.views:
        if view.plotted:
            marks.extend(lower_items(view.items, layers, space_of(view)))
    marks.extend(lower_items(scene.items, layers, Space()))
    return Lowered(tuple(marks))


def lower_items(
    items: tuple[Item, ...], layers: dict[str, Layer], space: Space
) -> Iterator[Mark]:
    """Yield the marks of items that share a space."""
    for number, item in enumerate(items):
        if layers[item.layer].plots:
            yield from lower_item(item, layers, space, number)


def lower_item(
    item: Item, layers: dict[str, Layer], space: Space, number: int = 0
) -> Iterator[Mark]:
    """Yield the marks of one item."""
    layer = layers[item.layer]
    match item:
        case Path():
            yield from _path(item, layer, space, number)
        case Circle():
            source = Source(Kind.CIRCLE, item.layer, space.id, "", number)
            centre = space.place_one(item.centre)
            yield Disc(source, centre, item.radius, layer.pen, layer.colour, item.fill)
        case Hatch():
            rings = tuple(space.place(r) for r in (item.outline, *item.holes))
            source = Source(Kind.HATCH, item.layer, space.id, item.tag, number)
            lines = tuple(hatch_lines(rings, item.pattern, space.origin))
            if lines:
                yield Stroke(source, lines, False, layer.pen, layer.colour)
        case Text():
            source = Source(Kind.TEXT, item.layer, space.id, "", number)
            yield _run(item, source, space.place_one(item.at), layer.colour)
        case Dimension():
            yield from lower_dimension(item, layer, space, number)
        case Leader():
            yield from _leader(item, layer, space, number)
        case TitleBlock():
            yield from _title_block(item, layers, space, number)
        case _:
            assert_never(item)


def _run(item: Text, source: Source, at: Point, colour: Colour) -> Run:
    content = letterable(item.content)
    return Run(
        source, at, content, item.height, item.align, item.rotation, item.bold, colour
    )


def _path(item: Path, layer: Layer, space: Space, number: int) -> Iterator[Mark]:
    kind = Kind.OUTLINE if item.tag else Kind.LINE
    source = Source(kind, item.layer, space.id, item.tag, number)
    rings = tuple(space.place(r) for r in (item.points, *item.holes))
    if item.fill is not None:
        yield Fill(source, rings, item.fill)
    if item.stroke:
        yield Stroke(source, rings, item.closed, layer.pen, layer.colour, layer.dash)


def lower_dimension(
    item: Dimension, layer: Layer, space: Space, number: int = 0
) -> Iterator[Stroke | Run]:
    """Yield a dimension's extension lines, its line, its ticks and its text."""
    start, end, text_at = space.place((item.start, item.end, item.text_at))
    turn = math.radians(item.angle)
    along, across = (math.cos(turn), math.sin(turn)), (-math.sin(turn), math.cos(turn))
    level = _dot(space.place_one(item.line_at), across)
    feet = [_foot(p, along, across, level) for p in (start, end)]

    def source(kind: Kind) -> Source:
        return Source(kind, item.layer, space.id, "", number)

    def stroke(kind: Kind, *lines: Polyline, pen: float = layer.pen) -> Stroke:
        return Stroke(source(kind), lines, False, pen, layer.colour)

    pairs = zip((start, end), feet, strict=True)
    extensions = [line for p, foot in pairs if (line := _extension(p, foot))]
    if extensions:
        fine = min(layer.pen, EXTENSION_PEN)
        yield stroke(Kind.EXTENSION, *extensions, pen=fine)
    width = text_width(letterable(item.text), item.height)
    yield stroke(Kind.DIM_LINE, _dim_line(feet, text_at, along, width))
    tick = _turned((DIM_TICK, DIM_TICK), along)
    ticks = [((x - tick[0], y - tick[1]), (x + tick[0], y + tick[1])) for x, y in feet]
    yield stroke(Kind.TICK, *ticks, pen=layer.pen * HEAVY_TICK)
    yield Run(
        source(Kind.DIM_TEXT),
        text_at,
        letterable(item.text),
        item.height,
        Align.CENTRE,
        reading_angle(item.angle),
        False,
        layer.colour,
    )


def reading_angle(angle: float) -> float:
    """Return the angle turned so that text reads from the bottom or from the right."""
    turned = (angle + 180.0) % 360.0 - 180.0
    if turned > 90.0 + DUPLICATE:
        return turned - 180.0
    return turned if turned > -90.0 + DUPLICATE else turned + 180.0


def _dot(a: Point, b: Point) -> float:
    return a[0] * b[0] + a[1] * b[1]


def _turned(vector: Point, along: Point) -> Point:
    """Return a vector turned so that the x axis points along `along`."""
    return (
        vector[0] * along[0] - vector[1] * along[1],
        vector[0] * along[1] + vector[1] * along[0],
    )


def _foot(point: Point, along: Point, across: Point, level: float) -> Point:
    """Return where a point meets the dimension line."""
    u = _dot(point, along)
    return u * along[0] + level * across[0], u * along[1] + level * across[1]


def _extension(point: Point, foot: Point) -> Polyline | None:
    """Return the extension line, or None when the point lies at the dimension line."""
    length = math.dist(point, foot)
    if length <= DIM_GAP:
        return None
    dx, dy = (foot[0] - point[0]) / length, (foot[1] - point[1]) / length
    return (
        (point[0] + dx * DIM_GAP, point[1] + dy * DIM_GAP),
        (foot[0] + dx * DIM_OVERSHOOT, foot[1] + dy * DIM_OVERSHOOT),
    )


def _dim_line(feet: list[Point], text_at: Point, along: Point, width: float) -> Polyline:
    """Return the dimension line, drawn on under a text that stands beside it."""
    low, high = sorted(feet, key=lambda p: _dot(p, along))
    u, u0, u1 = _dot(text_at, along), _dot(low, along), _dot(high, along)
    if u0 <= u <= u1:
        return low, high
    reach = (u + width / 2 - u1) if u > u1 else (u - width / 2 - u0)
    base = high if u > u1 else low
    far = (base[0] + reach * along[0], base[1] + reach * along[1])
    return (low, far) if u > u1 else (far, high)


def _leader(item: Leader, layer: Layer, space: Space, number: int) -> Iterator[Mark]:
    points = space.place(item.points)
    tip, toward = points[0], points[1]
    source = Source(Kind.LEADER, item.layer, space.id, "", number)
    end = Source(Kind.TIP, item.layer, space.id, "", number)
    length = math.dist(tip, toward)
    unit = ((toward[0] - tip[0]) / length, (toward[1] - tip[1]) / length)
    match item.tip:
        case Terminator.NONE:
            pass
        case Terminator.DOT:
            yield Disc(end, tip, DOT_RADIUS, 0.0, layer.colour, layer.colour)
        case Terminator.ARROW:
            head = tuple(
                (tip[0] + dx, tip[1] + dy)
                for dx, dy in (
                    (0.0, 0.0),
                    _turned((ARROW_LENGTH, ARROW_WIDTH / 2), unit),
                    _turned((ARROW_LENGTH, -ARROW_WIDTH / 2), unit),
                )
            )
            yield Fill(end, (head,), layer.colour)
            # The line starts inside the head, so that its square end does not blunt it.
            inset = min(ARROW_LENGTH / 2, length / 2)
            points = ((tip[0] + unit[0] * inset, tip[1] + unit[1] * inset), *points[1:])
        case _:
            assert_never(item.tip)
    yield Stroke(source, (points,), False, layer.pen, layer.colour, layer.dash)


def title_block_lines(item: TitleBlock) -> tuple[tuple[str, Polyline], ...]:
    """Return layer and rectangle of a title block's cells, then of its frame.

    A cell that goes on with the one above it is within its rectangle. The frame has the
    block's pen, the cells the finer one of their text; all are about the block's corner.
    """
    boxes: list[tuple[str, float, float, float, float]] = []
    for c in item.cells:
        if not c.joined:
            low = c.y - fsum(
                d.height for d in item.cells if d.joined and d.tag.startswith(f"{c.tag}_")
            )
            boxes.append((item.text_layer, c.x, low, c.width, c.y + c.height - low))
    boxes.append((item.layer, 0.0, 0.0, item.width, item.height))
    return tuple(
        (role, ((x, y), (x + w, y), (x + w, y + h), (x, y + h)))
        for role, x, y, w, h in boxes
    )


def title_block_texts(item: TitleBlock) -> Iterator[tuple[Kind, str, Text]]:
    """Yield kind, tag and text of each caption and value, relative to the corner."""
    for cell in item.cells:
        left, top = cell.x + CELL_PAD, cell.y + cell.height - CELL_PAD
        if cell.caption:
            at = (left, top - CAPTION_HEIGHT)
            caption = Text(at, cell.caption, CAPTION_HEIGHT, item.text_layer)
            yield Kind.CAPTION, cell.tag, caption
        if cell.value:
            at = (left, cell.y + cell.base)
            yield Kind.VALUE, cell.tag, Text(at, cell.value, cell.size, item.text_layer)


def _title_block(
    item: TitleBlock, layers: dict[str, Layer], space: Space, number: int
) -> Iterator[Mark]:
    x0, y0 = item.at
    ink = layers[item.text_layer].colour
    for role, ring in title_block_lines(item):
        layer = layers[role]
        source = Source(Kind.TABLE, role, space.id, "", number)
        placed = space.place(tuple((x0 + x, y0 + y) for x, y in ring))
        yield Stroke(source, (placed,), True, layer.pen, layer.colour, layer.dash)
    for kind, tag, text in title_block_texts(item):
        source = Source(kind, item.text_layer, space.id, tag, number)
        at = space.place_one((x0 + text.at[0], y0 + text.at[1]))
        yield _run(text, source, at, ink)


def reach(item: Item, layers: dict[str, Layer], space: Space) -> Iterable[Point]:
    """Return points on paper whose box holds the ink of an item, pens apart."""
    match item:
        case Path():
            return space.place(item.points)
        case Hatch():
            return space.place(item.outline)
        case Leader():
            return space.place(item.points)
        case Circle():
            (x, y), r = space.place_one(item.centre), item.radius
            return (x - r, y - r), (x + r, y + r)
        case Text():
            marks = lower_item(item, layers, space)
            return [p for run in marks if isinstance(run, Run) for p in run.box()]
        case Dimension():
            return _dimension_reach(item, layers[item.layer], space)
        case TitleBlock():
            (x, y), w, h = item.at, item.width, item.height
            return (x, y), (x + w, y + h)
        case _:
            assert_never(item)


def _dimension_reach(item: Dimension, layer: Layer, space: Space) -> Iterator[Point]:
    for mark in lower_dimension(item, layer, space):
        if isinstance(mark, Run):
            yield from mark.box()
        else:
            yield from (p for line in mark.lines for p in line)
