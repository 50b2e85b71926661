"""DXF entities: each item of a scene as the entity that means the same.

Closed polylines for regions, hatches with their pattern, dimensions that measure, leaders
tied to their text, a title block with attributes. The inside of a dimension's block comes
from the lowering that the other formats use, not from the library, whose renderer knows
neither fractions nor feet.
"""

# The library's signatures leave points and attribute dictionaries untyped.
# pyright: reportUnknownMemberType=false

import math
from dataclasses import dataclass
from typing import Final, assert_never, cast

from ezdxf.document import Drawing
from ezdxf.entities.hatch import Hatch as HatchEntity
from ezdxf.entities.leader import Leader as LeaderEntity
from ezdxf.entities.mtext import MText
from ezdxf.enums import TextEntityAlignment
from ezdxf.layouts.base import BaseLayout
from ezdxf.layouts.blocklayout import BlockLayout

from detailgen.geometry import Point
from detailgen.scene import (
    CELL_PAD,
    Align,
    Circle,
    Dimension,
    Hatch,
    Item,
    Layer,
    Leader,
    Path,
    Pattern,
    Terminator,
    Text,
    TitleBlock,
)
from detailgen.writers._dxf_styles import (
    BOLD,
    LETTERING,
    dim_style,
    exact_index,
    leader_style,
    lineweight,
    nearest_index,
)
from detailgen.writers._dxf_text import dimension_text, multiline, plain
from detailgen.writers._lowering import (
    Space,
    lower_dimension,
    title_block_lines,
    title_block_texts,
)
from detailgen.writers._marks import Colour, Kind, Run

TITLE_BLOCK: Final = "DG-TITLE-BLOCK"
PAPER_COLOUR: Final = (255, 255, 255)
"""A fill of this colour covers in other formats; here it is not written."""
_NoLeader = Path | Circle | Hatch | Text | Dimension | TitleBlock
_BYLAYER: Final = 256
_DIGITS: Final = 9
"""Decimals of a coordinate: far below any tolerance, and 8 inches are 8.0."""
_DIM_ROTATED, _DIM_OWN_BLOCK, _DIM_TEXT_PLACED = 0, 32, 128
_OUTER, _HOLE = 1 | 2, 16 | 2
_CUSTOM_PATTERN: Final = 2
_ALIGNMENT: Final = {
    Align.LEFT: TextEntityAlignment.LEFT,
    Align.CENTRE: TextEntityAlignment.CENTER,
    Align.RIGHT: TextEntityAlignment.RIGHT,
}
_MIDDLE: Final = {Align.LEFT: 4, Align.CENTRE: 5, Align.RIGHT: 6}
"""MTEXT attachment in the middle of the line."""


@dataclass(frozen=True, slots=True)
class Target:
    """A space of the file, and the way from the scene's millimetres to it."""

    layout: BaseLayout
    unit: float
    """Drawing units in a millimetre."""
    factor: float = 1.0
    """Model mm per paper mm."""
    move: Point = (0.0, 0.0)
    """How far the space's items are moved, mm."""

    def point(self, point: Point) -> Point:
        """Return a point of the scene in drawing units."""
        (x, y), (dx, dy), unit = point, self.move, self.unit
        return round((x + dx) * unit, _DIGITS), round((y + dy) * unit, _DIGITS)

    def points(self, points: tuple[Point, ...]) -> list[Point]:
        """Return points of the scene in drawing units."""
        return [self.point(p) for p in points]

    def size(self, paper: float) -> float:
        """Return a length on paper in drawing units of this space."""
        return round(paper * self.factor * self.unit, _DIGITS)


class Entities:
    """Adds items to a document."""

    def __init__(self, doc: Drawing, layers: dict[str, Layer], *, inches: bool) -> None:
        self._doc = doc
        self._layers = layers
        self._inches = inches

    def add(self, items: tuple[Item, ...], target: Target) -> None:
        """Add the items of one space."""
        labels = _labels(items)
        notes: dict[int, MText] = {}
        for number, item in enumerate(items):
            if isinstance(item, Text) and number in labels.values():
                notes[number] = self._note(item, target)
            elif not isinstance(item, Leader):
                self._item(item, target)
        # A leader names the handle of its note, so notes come first; ink does not overlap.
        for number, item in enumerate(items):
            if isinstance(item, Leader):
                self._leader(item, target, notes.get(labels.get(number, -1)))

    def _item(self, item: _NoLeader, target: Target) -> None:
        match item:
            case Path():
                self._path(item, target)
            case Circle():
                self._circle(item, target)
            case Hatch():
                self._hatch(item, target)
            case Text():
                self._text(item, target, self._name(item.layer))
            case Dimension():
                self._dimension(item, target)
            case TitleBlock():
                self._title_block(item, target)
            case _:
                assert_never(item)

    def _name(self, role: str) -> str:
        return self._layers[role].name

    def _fill(self, target: Target, role: str, colour: Colour) -> HatchEntity:
        """Add a solid hatch without its boundary."""
        hatch = target.layout.add_hatch(
            color=_BYLAYER, dxfattribs={"layer": self._name(role)}
        )
        if colour != self._layers[role].colour:
            exact = exact_index(colour)
            hatch.dxf.color = nearest_index(colour) if exact is None else exact
            if exact is None:
                hatch.rgb = colour
        return hatch

    def _path(self, item: Path, target: Target) -> None:
        rings = [target.points(ring) for ring in (item.points, *item.holes)]
        if item.fill is not None and item.fill != PAPER_COLOUR:
            _bound(self._fill(target, item.layer, item.fill), rings)
        if item.stroke:
            attributes = {"layer": self._name(item.layer)}
            for ring in rings:
                target.layout.add_lwpolyline(ring, close=item.closed, dxfattribs=attributes)

    def _circle(self, item: Circle, target: Target) -> None:
        (x, y), radius = target.point(item.centre), target.size(item.radius)
        if item.fill is not None and item.fill != PAPER_COLOUR:
            # Two half circles: a bulge of 1 is a half turn.
            ends = [(x - radius, y, 1.0), (x + radius, y, 1.0)]
            fill = self._fill(target, item.layer, item.fill)
            fill.paths.add_polyline_path(ends, is_closed=True, flags=_OUTER)
        attributes = {"layer": self._name(item.layer)}
        target.layout.add_circle((x, y), radius, dxfattribs=attributes)

    def _hatch(self, item: Hatch, target: Target) -> None:
        attributes = {"layer": self._name(item.layer)}
        hatch = target.layout.add_hatch(color=_BYLAYER, dxfattribs=attributes)
        hatch.set_pattern_fill(
            item.pattern.name,
            color=_BYLAYER,
            pattern_type=_CUSTOM_PATTERN,
            definition=_pattern_lines(item.pattern, target),
        )
        _bound(hatch, [target.points(ring) for ring in (item.outline, *item.holes)])

    def _text(self, item: Text, target: Target, layer: str) -> None:
        text = target.layout.add_text(
            plain(item.content),
            height=target.size(item.height),
            rotation=item.rotation,
            dxfattribs={"layer": layer, "style": BOLD if item.bold else LETTERING},
        )
        text.set_placement(target.point(item.at), align=_ALIGNMENT[item.align])

    def _note(self, item: Text, target: Target) -> MText:
        """Add a leader's text: placed by its middle, where readers agree."""
        at = _up(item.at, item.height / 2 * target.factor, item.rotation)
        return target.layout.add_mtext(
            multiline(item.content),
            dxfattribs={
                "layer": self._name(item.layer),
                "style": BOLD if item.bold else LETTERING,
                "insert": target.point(at),
                "char_height": target.size(item.height),
                "rotation": item.rotation,
                "attachment_point": _MIDDLE[item.align],
            },
        )

    def _leader(self, item: Leader, target: Target, note: MText | None) -> None:
        leader = cast(
            "LeaderEntity",
            target.layout.new_entity(
                "LEADER",
                {
                    "layer": self._name(item.layer),
                    "dimstyle": leader_style(
                        self._doc, item.tip, target.factor, inches=self._inches
                    ),
                    "has_arrowhead": int(item.tip is not Terminator.NONE),
                    "has_hookline": 0,
                    "annotation_type": 3 if note is None else 0,
                },
            ),
        )
        leader.set_vertices(target.points(item.points))
        if note is not None:
            leader.dxf.annotation_handle = note.dxf.handle
            leader.dxf.text_height = note.dxf.char_height

    def _dimension(self, item: Dimension, target: Target) -> None:
        text, form = dimension_text(item, inches=self._inches)
        block = self._doc.blocks.new_anonymous_block(type_char="D")
        feet, middle = self._dimension_ink(item, target, block)
        target.layout.new_entity(
            "DIMENSION",
            {
                "layer": self._name(item.layer),
                "dimstyle": dim_style(
                    self._doc, item.height, target.factor, form, inches=self._inches
                ),
                "dimtype": _DIM_ROTATED | _DIM_OWN_BLOCK | _DIM_TEXT_PLACED,
                "geometry": block.name,
                "defpoint": feet[1],
                "defpoint2": target.point(item.start),
                "defpoint3": target.point(item.end),
                "text_midpoint": middle,
                "angle": item.angle,
                "attachment_point": _MIDDLE[Align.CENTRE],
                "actual_measurement": round(item.true * target.unit, _DIGITS),
                "text": text,
            },
        )

    def _dimension_ink(
        self, item: Dimension, target: Target, block: BlockLayout
    ) -> tuple[list[Point], Point]:
        """Draw a dimension's inside; return its line's ends and its text's middle."""
        feet: list[Point] = []
        middle: Point = (0.0, 0.0)
        layer, factor = self._layers[item.layer], target.factor
        # On the dimension's own layer, not on 0: some readers do not hand the layer down.
        plain_line = {"layer": layer.name}
        for mark in lower_dimension(item, layer, Space("", factor)):
            if isinstance(mark, Run):
                up = _up(mark.at, mark.height / 2, mark.rotation)
                middle = target.point((up[0] * factor, up[1] * factor))
                self._dim_mtext(item, target, block, middle, mark.rotation)
                continue
            tick = mark.source.kind is Kind.TICK
            own = {"lineweight": lineweight(mark.pen)} if mark.pen != layer.pen else {}
            for line in mark.lines:
                a, b = (target.point((x * factor, y * factor)) for x, y in line)
                block.add_line(a, b, dxfattribs={**plain_line, **own})
                if tick:
                    feet.append(((a[0] + b[0]) / 2, (a[1] + b[1]) / 2))
        for point in (target.point(item.start), target.point(item.end), feet[1]):
            block.add_point(point, dxfattribs={"layer": "Defpoints"})
        return feet, middle

    def _dim_mtext(
        self,
        item: Dimension,
        target: Target,
        block: BlockLayout,
        middle: Point,
        rotation: float,
    ) -> None:
        block.add_mtext(
            multiline(item.text),
            dxfattribs={
                "layer": self._name(item.layer),
                "style": LETTERING,
                "insert": middle,
                "char_height": target.size(item.height),
                "rotation": rotation,
                "attachment_point": _MIDDLE[Align.CENTRE],
            },
        )

    def _title_block(self, item: TitleBlock, target: Target) -> None:
        number = sum(b.name.startswith(TITLE_BLOCK) for b in self._doc.blocks)
        name = f"{TITLE_BLOCK}-{number + 1}" if number else TITLE_BLOCK
        block = self._doc.blocks.new(name)
        inside = Target(block, target.unit)
        lines = {"layer": self._name(item.layer)}
        letters = {"layer": self._name(item.text_layer), "style": LETTERING}
        for role, ring in title_block_lines(item):
            layer = {"layer": self._name(role)}
            block.add_lwpolyline(inside.points(ring), close=True, dxfattribs=layer)
        insert = target.layout.add_blockref(name, target.point(item.at), dxfattribs=lines)
        for kind, _, text in title_block_texts(item):
            if kind is Kind.CAPTION:
                self._text(text, inside, letters["layer"])
        for cell in item.cells:
            at = (cell.x + CELL_PAD, cell.y + cell.base)
            height = inside.size(cell.size)
            block.add_attdef(
                cell.tag,
                inside.point(at),
                plain(cell.value),
                height=height,
                dxfattribs={**letters, "prompt": plain(cell.caption) or cell.tag},
            )
            here = target.point((item.at[0] + at[0], item.at[1] + at[1]))
            value = insert.add_attrib(cell.tag, plain(cell.value), here, letters)
            value.dxf.height = height


def _up(at: Point, distance: float, rotation: float) -> Point:
    """Return the point at a distance above a text's base line."""
    turn = math.radians(rotation)
    return at[0] - distance * math.sin(turn), at[1] + distance * math.cos(turn)


def _bound(hatch: HatchEntity, rings: list[list[Point]]) -> None:
    """Give a hatch its outline and its holes."""
    for number, ring in enumerate(rings):
        flags = _HOLE if number else _OUTER
        hatch.paths.add_polyline_path(ring, is_closed=True, flags=flags)


def _pattern_lines(pattern: Pattern, target: Target) -> list[list[object]]:
    """Return a pattern's lines in drawing units: angle, base, step, dashes."""
    lines: list[list[object]] = []
    for family in pattern.families:
        turn = math.radians(family.angle)
        cos, sin = math.cos(turn), math.sin(turn)
        offset = (
            target.size(family.shift * cos - family.spacing * sin),
            target.size(family.shift * sin + family.spacing * cos),
        )
        start = tuple(v * target.factor for v in family.origin)
        base = target.point((start[0], start[1]))
        dashes = [target.size(d) for d in family.dashes]
        lines.append([family.angle, base, offset, dashes])
    return lines


def _labels(items: tuple[Item, ...]) -> dict[int, int]:
    """Return, by number of a leader, the number of the text that it leads to.

    That is the nearest text of the leader's label; each text serves one leader.
    """
    texts: dict[str, list[int]] = {}
    for number, item in enumerate(items):
        if isinstance(item, Text):
            texts.setdefault(item.content, []).append(number)
    found: dict[int, int] = {}
    for number, item in enumerate(items):
        if isinstance(item, Leader) and (free := texts.get(item.label)):
            end = item.points[-1]
            best = min(free, key=lambda n: math.dist(cast("Text", items[n]).at, end))
            free.remove(best)
            found[number] = best
    return found
