"""Labels of a view: numbers in slots at its sides, fault marks near what is wrong."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from detailgen.geometry import Point, Region
from detailgen.geometry.views import run_into
from detailgen.scene import Align, Circle, Dimension, Item, Leader, Path, Terminator, Text
from detailgen.sheet.callouts import RADIUS, Placed, Slot, Tag, place, slots
from detailgen.sheet.dimensioning import dimension_ink
from detailgen.sheet.faults import BASE, HALF, LETTER, Obstacles, settle, triangle
from detailgen.sheet.flow import TEXT
from detailgen.sheet.plane import Box, Segment


def labelled(
    tags: Sequence[Tag],
    faults: Sequence[Tag],
    where: tuple[Box, str, float],
    dims: Sequence[Dimension],
    drawn: tuple[Sequence[Region], Sequence[Segment]],
) -> list[Placed]:
    """Return numbered labels in their slots, and fault marks near what is wrong.

    Marks that find no room near by take slots too.

    Args:
        tags: The numbered labels.
        faults: The fault marks.
        where: The view's box on paper, the side for labels first, the scale's factor.
        dims: The view's dimensions, in model mm.
        drawn: What else is drawn: regions in model mm, and lines on paper.
    """
    body, side, factor = where
    homeless: list[Tag] = []

    def over(port: Point, tips: Sequence[Point]) -> list[int]:
        """Count the bodies that leaders from a port run over."""
        px, py = port[0] * factor, port[1] * factor
        lines = [((px, py), (x * factor, y * factor)) for x, y in tips]
        return run_into(lines, drawn[0])

    points = [f.aims[0].at for f in faults]
    while True:
        # Marks without a place near by are set among the labels; then all look again.
        every = [*tags, *homeless]
        found = place(every, slots(body, side, len(every)), points, over)
        placed = [_apart_from_port(p) for p in found]
        obstacles = Obstacles(list(drawn[0]), segments=list(drawn[1]))
        for box, lines in (dimension_ink(d, factor) for d in dims):
            obstacles.boxes.append(box)
            obstacles.segments += lines
        _block(obstacles, placed)
        near, lost = settle([f for f in faults if f not in homeless], factor, obstacles)
        if not lost:
            return [*placed, *near]
        homeless += lost


def _apart_from_port(one: Placed) -> Placed:
    """Return a fault mark moved in its slot so that its edge meets the port."""
    if not one.tag.fault:
        return one
    (px, py), (cx, _) = one.slot.port, one.slot.centre
    above = abs(px - cx) < 1e-9
    centre = (px, py + BASE) if above else (cx + RADIUS - HALF / 2, one.slot.centre[1])
    return replace(one, slot=Slot(one.slot.port, centre))


def strokes(item: Item, factor: float) -> list[Segment]:
    """Return the pieces of a path, on paper about the model's origin."""
    if not isinstance(item, Path):
        return []
    points = [(x / factor, y / factor) for x, y in item.points]
    return list(pairwise(points))


def _block(obstacles: Obstacles, placed: Sequence[Placed]) -> None:
    for one in placed:
        x, y = one.slot.centre
        size = RADIUS + 1.5
        obstacles.boxes.append((x - size, y - size, x + size, y + size))
        lines = [one.leader, *((one.slot.port, end) for end in one.slot.shoulder)]
        obstacles.segments += lines
        obstacles.leaders += lines


def label_box(one: Placed) -> Box:
    """Return the paper that a label takes, clearance included."""
    x, y = one.slot.centre
    size = RADIUS + 1.2
    return x - size, y - size, x + size, y + size


def label_items(one: Placed, factor: float) -> list[Item]:
    """Return a label with its leader, in model mm."""

    def model(x: float, y: float) -> Point:
        return x * factor, y * factor

    x, y = one.slot.centre
    line = tuple(model(*p) for p in (one.tip, one.slot.port, *one.slot.shoulder))
    text = one.tag.text
    if one.tag.fault:
        corners = tuple(model(*p) for p in triangle((x, y)))
        return [
            Leader(line, "finding", Terminator.ARROW, text),
            Path(corners, "finding", closed=True),
            Text(model(x, y - LETTER), text, TEXT, "text", Align.CENTRE, bold=True),
        ]
    return [
        Leader(line, "leaders", Terminator.DOT, text),
        Circle(model(x, y), RADIUS, "keynotes"),
        Text(model(x, y - TEXT / 2), text, TEXT, "keynotes", Align.CENTRE),
    ]
