"""The gate before every writer: what a file format would take in silence, and readers not.

Formats, and the libraries that write them, accept missing numbers, polylines of one point,
text of no height and control characters; the drawing is then broken where it is opened.
"""

import math
import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import fsum
from typing import Final, assert_never

from detailgen.geometry import Point
from detailgen.lettering import LONGEST, letterable, text_width
from detailgen.scene import (
    CAPTION_HEIGHT,
    CELL_PAD,
    MIN_TEXT,
    Cell,
    Circle,
    Dimension,
    Hatch,
    HatchFamily,
    Item,
    Layer,
    Leader,
    Path,
    Pattern,
    Scene,
    Text,
    TitleBlock,
    View,
)
from detailgen.writers._kept import kept
from detailgen.writers._lowering import DUPLICATE, Space, reach, space_of

CONTROL: Final = re.compile(
    "[\x00-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]"
)
"""Characters that break or disguise a line of text in some format."""
NAME: Final = re.compile(r"[A-Za-z][A-Za-z0-9_$-]{0,99}")
"""Names of layers, patterns and tags: good in a DXF table and as an XML id."""
STEM: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.-]{0,99}")
"""Ids of sheets: good as a file name and as a layout name."""
SLACK: Final = 0.01
"""How far ink may leave the sheet or its view, mm: rounding."""
TRUE_SLACK: Final = 1e-4
"""How far a dimension's points may be from its true length, mm."""
LEAST_SPACING: Final = 0.3
"""Least distance of hatch lines, mm: nearer ones are a grey, and endless."""


class SceneError(ValueError):
    """A scene that must not be written: a mistake in the program, not the user's."""

    def __init__(self, sheet: str, faults: Sequence[str]) -> None:
        self.faults = tuple(faults)
        super().__init__(f"sheet {sheet!r}: " + "; ".join(faults))


@kept
def validate(scene: Scene) -> None:
    """Refuse a scene that some format would write and some reader would not read.

    Raises:
        SceneError: With every fault that was found.
    """
    faults = list(_scene_faults(scene))
    if faults:
        raise SceneError(scene.id, faults)


def _scene_faults(scene: Scene) -> Iterator[str]:
    if not STEM.fullmatch(scene.id) or scene.id.lower() == "model":
        yield f"id {scene.id!r} is no file name"
    for what, text in (
        ("title", scene.title),
        ("subject", scene.subject),
        ("author", scene.author),
    ):
        yield from _text_faults(what, text, empty=what != "title")
    paper = scene.paper
    if not _finite((paper.width, paper.height)) or min(paper.width, paper.height) <= 0:
        yield f"paper of {paper.width} x {paper.height} mm"
        return
    yield from _layer_faults(scene.layers)
    layers = {layer.role: layer for layer in scene.layers}
    patterns: dict[str, Pattern] = {}
    sheet = (0.0, 0.0, paper.width, paper.height)
    yield from _doubles("view id", [view.id for view in scene.views])
    for view in scene.views:
        faults = list(_view_faults(view, sheet))
        yield from faults
        if not faults:
            window = view.frame if view.plotted else None
            yield from _items_faults(view.items, layers, patterns, space_of(view), window)
    yield from _items_faults(scene.items, layers, patterns, Space(), sheet)


def _finite(values: Iterable[float]) -> bool:
    return all(map(math.isfinite, values))


def _doubles(what: str, names: list[str]) -> Iterator[str]:
    for name in sorted({n for n in names if names.count(n) > 1}):
        yield f"{what} {name!r} stands more than once"


def _text_faults(what: str, text: str, *, empty: bool = False) -> Iterator[str]:
    if bad := CONTROL.search(text):
        yield f"{what} holds the control character {bad.group()!r}: {text[:40]!r}"
    if len(text) > LONGEST:
        yield f"{what} has {len(text)} characters, more than {LONGEST}: {text[:40]!r}"
    if not empty and not text.strip():
        yield f"{what} is blank"


def _layer_faults(layers: tuple[Layer, ...]) -> Iterator[str]:
    yield from _doubles("layer role", [layer.role for layer in layers])
    # Readers fold the case of layer names.
    yield from _doubles("layer name", [layer.name.upper() for layer in layers])
    for layer in layers:
        if not NAME.fullmatch(layer.name):
            yield f"layer name {layer.name!r}"
        if not (math.isfinite(layer.pen) and layer.pen > 0):
            yield f"layer {layer.name}: pen of {layer.pen} mm"
        if not all(0 <= c <= 255 for c in layer.colour):
            yield f"layer {layer.name}: colour {layer.colour}"
        if layer.dash and not (_finite(layer.dash) and min(layer.dash) > 0):
            yield f"layer {layer.name}: dashes {layer.dash}"
        if len(layer.dash) % 2:
            yield f"layer {layer.name}: a dash without its gap"
        yield from _text_faults(f"layer {layer.name}: about", layer.about, empty=True)


def _view_faults(view: View, sheet: tuple[float, ...]) -> Iterator[str]:
    here = f"view {view.id!r}"
    if not NAME.fullmatch(view.id):
        yield f"{here}: not a name"
    yield from _text_faults(f"{here}: title", view.title, empty=True)
    yield from _text_faults(f"{here}: scale", view.scale_label, empty=True)
    if not (math.isfinite(view.factor) and view.factor > 0):
        yield f"{here}: factor {view.factor}"
    if not _finite((*view.origin, *view.frame)):
        yield f"{here}: origin or frame is not finite"
        return
    x0, y0, x1, y1 = view.frame
    if view.plotted and not (x0 < x1 and y0 < y1):
        yield f"{here}: empty frame {view.frame}"
    if view.plotted:
        yield from _outside(f"{here}: frame", ((x0, y0), (x1, y1)), sheet)


def _outside(
    here: str, points: Iterable[Point], window: tuple[float, ...] | None
) -> Iterator[str]:
    if window is None:
        return
    x0, y0, x1, y1 = window
    for x, y in points:
        if x < x0 - SLACK or y < y0 - SLACK or x > x1 + SLACK or y > y1 + SLACK:
            yield f"{here} reaches ({x:.2f}, {y:.2f}), outside {window}"
            return


def _items_faults(
    items: tuple[Item, ...],
    layers: dict[str, Layer],
    patterns: dict[str, Pattern],
    space: Space,
    window: tuple[float, ...] | None,
) -> Iterator[str]:
    for number, item in enumerate(items):
        where = f"view {space.id!r}" if space.id else "paper"
        here = f"{where}, item {number} ({type(item).__name__})"
        faults: list[str] = []
        if item.layer not in layers:
            faults.append(f"{here}: unknown layer {item.layer!r}")
        faults.extend(f"{here}: {fault}" for fault in _item_faults(item, layers, space))
        if isinstance(item, Hatch):
            known = patterns.setdefault(item.pattern.name, item.pattern)
            if known != item.pattern:
                faults.append(f"{here}: two patterns are named {known.name!r}")
        if not faults:
            faults.extend(_outside(here, reach(item, layers, space), window))
        yield from faults


def _item_faults(item: Item, layers: dict[str, Layer], space: Space) -> Iterable[str]:
    match item:
        case Path():
            return _path_faults(item, space)
        case Circle():
            good = _finite((*item.centre, item.radius)) and item.radius > 0
            return () if good else (f"centre {item.centre}, radius {item.radius}",)
        case Hatch():
            return _hatch_faults(item, space)
        case Text():
            return _one_text_faults(item)
        case Dimension():
            return _dimension_faults(item)
        case Leader():
            label = _text_faults("label", item.label, empty=True)
            return (*_ring_faults(item.points, space, closed=False), *label)
        case TitleBlock():
            return _title_block_faults(item, layers, space)
        case _:
            assert_never(item)


def _path_faults(item: Path, space: Space) -> Iterator[str]:
    yield from _ring_faults(item.points, space, closed=item.closed)
    for hole in item.holes:
        yield from _ring_faults(hole, space, closed=True)
    if not item.closed and (item.holes or item.fill is not None):
        yield "an open path with holes or a fill"
    if not item.stroke and item.fill is None:
        yield "neither line nor fill"


def _hatch_faults(item: Hatch, space: Space) -> Iterator[str]:
    for ring in (item.outline, *item.holes):
        yield from _ring_faults(ring, space, closed=True)
    yield from _pattern_faults(item.pattern)


def _one_text_faults(item: Text) -> Iterator[str]:
    yield from _lettering_faults("text", item.content, item.height)
    if not _finite((*item.at, item.rotation)):
        yield "position or rotation is not finite"


def _ring_faults(points: tuple[Point, ...], space: Space, *, closed: bool) -> Iterator[str]:
    if len(points) < (3 if closed else 2):
        yield f"{len(points)} points"
        return
    if not all(map(_finite, points)):
        yield "a point is not finite"
        return
    least = DUPLICATE * space.factor
    ring = (*points, points[0]) if closed else points
    for a, b in pairwise(ring):
        if math.dist(a, b) <= least:
            yield f"the point {a} stands twice"
            return


def _lettering_faults(what: str, text: str, height: float) -> Iterator[str]:
    yield from _text_faults(what, text)
    if not (math.isfinite(height) and height >= MIN_TEXT - 1e-9):
        yield f"{what} {text[:40]!r} is {height} mm high, less than {MIN_TEXT}"


def _pattern_faults(pattern: Pattern) -> Iterator[str]:
    if not NAME.fullmatch(pattern.name):
        yield f"pattern name {pattern.name!r}"
    if not pattern.families:
        yield f"pattern {pattern.name} draws nothing"
    for family in pattern.families:
        if not _good_family(family):
            yield f"pattern {pattern.name}: {family}"


def _good_family(family: HatchFamily) -> bool:
    numbers = (
        family.angle,
        family.spacing,
        family.shift,
        *family.origin,
        *family.dashes,
    )
    drawn = not family.dashes or fsum(map(abs, family.dashes)) >= LEAST_SPACING
    return _finite(numbers) and family.spacing >= LEAST_SPACING and drawn


def _dimension_faults(item: Dimension) -> Iterator[str]:
    yield from _lettering_faults("text", item.text, item.height)
    if not (item.text.startswith(item.prefix) and item.text.endswith(item.suffix)):
        yield f"{item.text!r} is not {item.prefix!r}, a number, {item.suffix!r}"
    points = (*item.start, *item.end, *item.line_at, *item.text_at)
    if not _finite((*points, item.angle, item.true)):
        yield "a number is not finite"
        return
    turn = math.radians(item.angle)
    dx, dy = item.end[0] - item.start[0], item.end[1] - item.start[1]
    measured = abs(dx * math.cos(turn) + dy * math.sin(turn))
    if item.true <= 0 or abs(measured - item.true) > TRUE_SLACK:
        yield f"its points are {measured} mm apart, the true length is {item.true} mm"


def _title_block_faults(
    item: TitleBlock, layers: dict[str, Layer], space: Space
) -> Iterator[str]:
    if space.id:
        yield "a title block in a view"
    if item.text_layer not in layers:
        yield f"unknown layer {item.text_layer!r}"
    if not _finite((*item.at, item.width, item.height)):
        yield "its box is not finite"
    yield from _doubles("cell", [cell.tag for cell in item.cells])
    for cell in item.cells:
        yield from (f"cell {cell.tag}: {fault}" for fault in _cell_faults(cell, item))


def _cell_faults(cell: Cell, block: TitleBlock) -> Iterator[str]:
    if not NAME.fullmatch(cell.tag):
        yield "not a name"
    if not _finite((cell.x, cell.y, cell.width, cell.height)):
        yield "its box is not finite"
        return
    yield from _text_faults("caption", cell.caption, empty=True)
    yield from _text_faults("value", cell.value, empty=True)
    if not (math.isfinite(cell.size) and cell.size >= MIN_TEXT - 1e-9):
        yield f"value {cell.size} mm high, less than {MIN_TEXT}"
        return
    corners = ((cell.x, cell.y), (cell.x + cell.width, cell.y + cell.height))
    yield from _outside("it", corners, (0.0, 0.0, block.width, block.height))
    if cell.height < cell.least_height - SLACK:
        yield f"{cell.height} mm high, its text needs {cell.least_height:.2f}"
    for text, size in ((cell.caption, CAPTION_HEIGHT), (cell.value, cell.size)):
        width = text_width(letterable(text), size)
        if width > cell.width - 2 * CELL_PAD + SLACK:
            yield f"{text[:40]!r} is {width:.1f} mm wide in a cell of {cell.width:g}"
