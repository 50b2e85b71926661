"""SVG: by hand, at true paper size, with real text.

Only what Chromium, resvg and librsvg draw alike: paths, circles, dashes, hatching as plain
lines, arrowheads as triangles, and text with its base line and anchor in coordinates. One
unit is one millimetre.

The typeface is named, not embedded: resvg and librsvg ignore an embedded one, cutting the
font down for a sheet takes a hundred times as long as writing the sheet, and the whole font
weighs thirty times as much. Instead each text carries its length, so that a reader without
the typeface fits its own letters into the same place.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Final, assert_never

from detailgen.lettering import CAP, FAMILY
from detailgen.scene import Align, Layer, Scene
from detailgen.writers._lowering import lower
from detailgen.writers._marks import Colour, Disc, Fill, Mark, Polyline, Run, Stroke
from detailgen.writers._scene_gate import validate

FALLBACKS: Final = f"'{FAMILY}', 'Bitstream Vera Sans', Verdana, sans-serif"
_XMLNS: Final = "http://www.w3.org/2000/svg"
_STYLE: Final = (
    "text{font-family:" + FALLBACKS + ";white-space:pre;"
    "font-kerning:none;font-variant-ligatures:none}"
    "path,circle{stroke-linecap:butt;stroke-linejoin:miter;stroke-miterlimit:6}"
)
_ANCHOR: Final = {Align.LEFT: "start", Align.CENTRE: "middle", Align.RIGHT: "end"}
_ESCAPE: Final = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;"})


def write(scene: Scene) -> bytes:
    """Return the sheet as an SVG file."""
    validate(scene)
    draw = _Pen(scene.paper.height)
    layers = {layer.role: layer for layer in scene.layers}
    w, h = _number(scene.paper.width), _number(scene.paper.height)
    size = f'width="{w}mm" height="{h}mm"'
    out = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="{_XMLNS}" version="1.1" {size} viewBox="0 0 {w} {h}">',
        f"<title>{_escape(scene.title)}</title>",
        f"<desc>{_escape(scene.subject)}</desc>" if scene.subject else "",
        f'<style type="text/css">{_STYLE}</style>',
        f'<rect width="{w}" height="{h}" fill="#ffffff"/>',
    ]
    seen: dict[str, int] = {}
    for group in _groups(lower(scene).marks):
        layer = layers[group.role]
        seen[layer.name] = count = seen.get(layer.name, 0) + 1
        out.append(_open_group(layer, count))
        out.extend(draw.element(mark) for mark in group.marks)
        out.append("</g>")
    out.append("</svg>")
    return ("\n".join(line for line in out if line) + "\n").encode("utf-8")


@dataclass(slots=True)
class _Group:
    """Marks of one layer that may be painted together."""

    role: str
    marks: list[Mark] = field(default_factory=list[Mark])
    boxes: list["_Box"] = field(default_factory=list["_Box"])
    solids: list["_Box"] = field(default_factory=list["_Box"])
    """The boxes of those that cover what lies under them."""

    def add(self, mark: Mark, box: "_Box") -> None:
        """Add a mark on top."""
        self.marks.append(mark)
        self.boxes.append(box)
        if box[4]:
            self.solids.append(box)

    def disturbs(self, box: "_Box") -> bool:
        """Return whether a mark and this group must keep their order."""
        x0, y0, x1, y1, solid = box
        others = self.boxes if solid else self.solids
        return any(x0 <= b[2] and b[0] <= x1 and y0 <= b[3] and b[1] <= y1 for b in others)


_Box = tuple[float, float, float, float, bool]
"""x0, y0, x1, y1, and whether the mark covers what lies under it."""


def _groups(marks: Iterable[Mark]) -> list[_Group]:
    """Return the marks by layer, in an order that paints the same picture.

    A mark joins the last group of its layer when nothing painted since then would come to
    lie differently: the two do not touch, or neither is solid.
    """
    groups: list[_Group] = []
    for mark in marks:
        box = _box(mark)
        role = mark.source.layer
        home: _Group | None = None
        for group in reversed(groups):
            if group.role == role:
                home = group
                break
            if group.disturbs(box):
                break
        if home is None:
            home = _Group(role)
            groups.append(home)
        home.add(mark, box)
    return groups


def _box(mark: Mark) -> _Box:
    match mark:
        case Stroke():
            points, grow, solid = [p for line in mark.lines for p in line], mark.pen, False
        case Fill():
            points, grow, solid = list(mark.rings[0]), 0.0, True
        case Disc():
            points, grow = [mark.centre], mark.radius + mark.pen
            solid = mark.fill is not None
        case Run():
            points, grow, solid = list(mark.box()), 0.0, False
        case _:
            assert_never(mark)
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs) - grow, min(ys) - grow, max(xs) + grow, max(ys) + grow, solid


def _open_group(layer: Layer, count: int) -> str:
    suffix = f"-{count}" if count > 1 else ""
    colour = _hex(layer.colour)
    about = f"<desc>{_escape(layer.about)}</desc>" if layer.about and count == 1 else ""
    return (
        f'<g id="{layer.name}{suffix}" class="{layer.name}" fill="none"'
        f' stroke="{colour}" stroke-width="{_number(layer.pen)}">'
        f"<title>{layer.name}</title>{about}"
    )


def _number(value: float) -> str:
    """Return a length to a thousandth of a millimetre, as short as it goes."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _hex(colour: Colour) -> str:
    return "#{:02x}{:02x}{:02x}".format(*colour)


def _escape(text: str) -> str:
    return text.translate(_ESCAPE)


@dataclass(frozen=True, slots=True)
class _Pen:
    """Turns marks to elements; y runs down in SVG."""

    height: float

    def element(self, mark: Mark) -> str:
        """Return the element that draws one mark."""
        match mark:
            case Stroke():
                data = "".join(self._line(line, closed=mark.closed) for line in mark.lines)
                dash = ",".join(map(_number, mark.dash))
                dashes = f' stroke-dasharray="{dash}"' if dash else ""
                return (
                    f'<path stroke="{_hex(mark.colour)}"'
                    f' stroke-width="{_number(mark.pen)}"{dashes} d="{data}"/>'
                )
            case Fill():
                data = "".join(self._line(ring, closed=True) for ring in mark.rings)
                return (
                    f'<path fill="{_hex(mark.colour)}" fill-rule="evenodd"'
                    f' stroke="none" d="{data}"/>'
                )
            case Disc():
                return self._circle(mark)
            case Run():
                return self._text(mark)
            case _:
                assert_never(mark)

    def _line(self, points: Polyline, *, closed: bool) -> str:
        # By far the most numbers of a file are here; trimming zeros would double its time.
        height = self.height
        body = "L".join(f"{x:.3f} {height - y:.3f}" for x, y in points)
        return f"M{body}Z" if closed else f"M{body}"

    def _circle(self, mark: Disc) -> str:
        x, y = _number(mark.centre[0]), _number(self.height - mark.centre[1])
        fill = f' fill="{_hex(mark.fill)}"' if mark.fill is not None else ""
        line = "none"
        if mark.pen:
            line = f'{_hex(mark.colour)}" stroke-width="{_number(mark.pen)}'
        return (
            f'<circle cx="{x}" cy="{y}" r="{_number(mark.radius)}"{fill} stroke="{line}"/>'
        )

    def _text(self, mark: Run) -> str:
        x, y = _number(mark.at[0]), _number(self.height - mark.at[1])
        place = f'x="{x}" y="{y}"'
        if not math.isclose(mark.rotation % 360.0, 0.0):
            place += f' transform="rotate({_number(-mark.rotation)} {x} {y})"'
        if mark.align is not Align.LEFT:
            place += f' text-anchor="{_ANCHOR[mark.align]}"'
        if mark.bold:
            place += ' font-weight="bold"'
        if "  " in mark.content or mark.content != mark.content.strip():
            place += ' xml:space="preserve"'
        return (
            f'<text {place} font-size="{_number(mark.height / CAP)}"'
            f' textLength="{_number(mark.width)}" lengthAdjust="spacingAndGlyphs"'
            f' fill="{_hex(mark.colour)}" stroke="none">{_escape(mark.content)}</text>'
        )
