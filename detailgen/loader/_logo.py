"""A logo from an SVG file: its filled shapes, and nothing else that such a file may hold.

Only outlines are taken, so that a logo becomes plain areas in every format, a DXF needs no
file beside it, and nothing in the file can run, load or ask for anything.
"""

# The library has no types.
# pyright: reportMissingTypeStubs=false, reportUnknownVariableType=false
# pyright: reportUnknownMemberType=false, reportUnknownArgumentType=false

import re
from collections.abc import Sequence
from itertools import pairwise
from math import dist, fsum, isfinite
from pathlib import Path
from typing import Any, Final, cast
from xml.etree import ElementTree as ET

from fontTools.pens.recordingPen import RecordingPen
from fontTools.pens.transformPen import TransformPen
from fontTools.svgLib.path import parse_path
from fontTools.svgLib.path.shapes import PathBuilder

from detailgen.errors import Problem, UserError, printable
from detailgen.geometry import Point
from detailgen.office import Logo, Shape

LARGEST: Final = 256 * 1024
"""Bytes."""
_MOST_POINTS: Final = 20_000
_MOST_RINGS: Final = 600
_STEPS: Final = 12
"""Into so many straight pieces a curve is divided."""
_LONGEST: Final = 60.0
"""So many times as wide as high, or the other way, a logo may be."""
_NEAR: Final = 1e-5
"""Points that are nearer to each other, as a share of the logo, are one."""
_NAMES: Final = {"black": (0, 0, 0)}
_WHITE: Final = (255, 255, 255)
_SHAPES: Final = frozenset({"path", "rect", "circle", "ellipse", "polygon"})
_SILENT: Final = frozenset({"svg", "g", "title", "desc", "metadata"})
"""Elements that draw nothing by themselves."""
_IGNORED: Final = frozenset({
    "style", "class", "transform", "opacity", "fill-opacity", "clip-path", "mask", "filter",
})  # fmt: skip
"""Attributes that would change what is drawn; a logo that has one is refused."""
_ALLOWED: Final = (
    "an SVG file of filled shapes: path, rect, circle, ellipse, polygon; colours as #rrggbb"
)
_MEND: Final = "Save the logo as plain SVG, text turned into outlines."


def read_logo(path: Path) -> Logo:
    """Return the logo of an SVG file.

    Raises:
        UserError: It cannot be read, or holds nothing that can be drawn.
    """
    file = printable(str(path), 200)
    if path.exists() and not path.is_file():
        raise _refused(file, "the logo is no plain file")
    try:
        with path.open("rb") as stream:
            content = stream.read(LARGEST + 1)
    except OSError as error:
        reason = (error.strerror or "it cannot be read").lower()
        raise _refused(file, f"the logo cannot be read: {reason}") from None
    if len(content) > LARGEST:
        raise _refused(file, "the logo is too large", f"up to {LARGEST // 1024} kB")
    if b"<!DOCTYPE" in content or b"<!ENTITY" in content:
        raise _refused(file, "the logo declares a document type, which is not read")
    try:
        root = ET.fromstring(content)  # noqa: S314  (nothing is declared in it)
        if refused := next(filter(None, map(_not_taken, root.iter())), ""):
            raise _refused(file, f"the logo has {refused}, which is not taken")
        drawn = [one for element in root.iter() for one in _drawn(element)]
    except (ET.ParseError, ValueError, LookupError, TypeError, RecursionError):
        raise _refused(file, "the logo is not an SVG that can be drawn") from None
    rings = [ring for one, _ in drawn for ring in one]
    if not rings or len(rings) > _MOST_RINGS or sum(map(len, rings)) > _MOST_POINTS:
        raise _refused(file, "the logo has no filled shape, or too many points")
    logo = _upright([area for one, colour in drawn for area in _areas(one, colour)])
    if logo is None:
        told = "the logo has no area, or is far longer than it is wide"
        raise _refused(file, told, f"up to {_LONGEST:.0f} times as long as wide")
    return logo


def _refused(file: str, message: str, allowed: str = _ALLOWED) -> UserError:
    return UserError([Problem(message, file, allowed=allowed, mend=_MEND)])


def _not_taken(element: ET.Element) -> str:
    """Return what of an element would be lost; nothing where all of it is taken."""
    tag = str(element.tag).rpartition("}")[2]
    if tag not in _SHAPES | _SILENT:
        return f"<{printable(tag, 20)}>"
    for name in sorted(_IGNORED & set(element.attrib)):
        return f"the attribute {name}"
    if element.get("stroke", "none") != "none":
        return "a stroke"
    if tag == "g" and "fill" in element.attrib:
        return "a fill on a group"
    if tag in _SHAPES and _colour(element) == _WHITE:
        return "white shapes instead of holes"
    return ""


def _drawn(
    element: ET.Element,
) -> list[tuple[list[tuple[Point, ...]], tuple[int, int, int]]]:
    """Return the closed outlines of an element's paths, each path with its colour."""
    colour = _colour(element)
    builder = cast("Any", PathBuilder)()
    if colour is None or not builder.add_path_from_element(element):
        return []
    found: list[tuple[list[tuple[Point, ...]], tuple[int, int, int]]] = []
    for path, turn in zip(builder.paths, builder.transforms, strict=True):
        recorded = RecordingPen()
        pen = TransformPen(recorded, turn) if turn else recorded
        parse_path(path, pen)
        found.append((_rings(recorded.value), colour))
    return found


def _colour(element: ET.Element) -> tuple[int, int, int] | None:
    """Return the fill of an element; None for none."""
    given = element.get("fill", "#000000").strip().lower()
    if given == "none":
        return None
    if given in _NAMES:
        return _NAMES[given]
    if re.fullmatch(r"#[0-9a-f]{3}", given):
        given = "#" + "".join(2 * sign for sign in given[1:])
    if not re.fullmatch(r"#[0-9a-f]{6}", given):
        message = "no such colour"
        raise ValueError(message)
    red, green, blue = (int(given[n : n + 2], 16) for n in (1, 3, 5))
    return red, green, blue


def _rings(drawn: Sequence[tuple[str, Sequence[Any]]]) -> list[tuple[Point, ...]]:
    rings: list[list[Point]] = []
    for name, points in drawn:
        ends = [(float(x), float(y)) for x, y in points]
        if name == "moveTo":
            rings.append([ends[0]])
        elif name == "lineTo":
            rings[-1].append(ends[0])
        elif name in {"curveTo", "qCurveTo"}:
            rings[-1] += _curve([rings[-1][-1], *ends])
    return [tuple(dict.fromkeys(ring)) for ring in rings if len(set(ring)) > 2]


def _curve(control: list[Point]) -> list[Point]:
    """Return points of a Bezier curve of any degree, its start left out."""
    found: list[Point] = []
    for step in range(1, _STEPS + 1):
        t = step / _STEPS
        row: list[Point] = control
        while len(row) > 1:
            row = [
                (a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t)
                for a, b in pairwise(row)
            ]
        found.append(row[0])
    return found


def _areas(rings: list[tuple[Point, ...]], colour: tuple[int, int, int]) -> list[Shape]:
    """Return areas by the even-odd rule: a ring in a hole is an area again."""
    around = [
        [m for m, other in enumerate(rings) if m != n and _within(ring[0], other)]
        for n, ring in enumerate(rings)
    ]
    areas: list[Shape] = []
    for n, ring in enumerate(rings):
        if len(around[n]) % 2:
            continue
        holes = (
            rings[m]
            for m, homes in enumerate(around)
            if n in homes and len(homes) == len(around[n]) + 1
        )
        areas.append(Shape(ring, tuple(holes), colour))
    return areas


def _within(point: Point, ring: Sequence[Point]) -> bool:
    """Return whether a point lies inside a ring, by the crossings to its right."""
    x, y = point
    odd = False
    for (x0, y0), (x1, y1) in zip(ring, (*ring[1:], ring[0]), strict=True):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0):
            odd = not odd
    return odd


def _upright(shapes: Sequence[Shape]) -> Logo | None:
    """Return the shapes as a logo: one high, y up; None where nothing is left to draw."""
    points = [p for s in shapes for p in s.outline]
    left, top = min(x for x, _ in points), min(y for _, y in points)
    high = max(y for _, y in points) - top
    wide = max(x for x, _ in points) - left
    if not (isfinite(high) and isfinite(wide) and high > 0.0 and wide > 0.0):
        return None
    width = wide / high
    if not 1.0 / _LONGEST <= width <= _LONGEST:
        return None

    def put(ring: Sequence[Point]) -> tuple[Point, ...]:
        moved = [((x - left) / high, 1.0 - (y - top) / high) for x, y in ring]
        return _apart(moved, _NEAR * max(width, 1.0))

    made = [(put(s.outline), tuple(filter(None, map(put, s.holes))), s) for s in shapes]
    kept = tuple(Shape(outline, holes, s.colour) for outline, holes, s in made if outline)
    return Logo(width, kept) if kept else None


def _apart(ring: Sequence[Point], near: float) -> tuple[Point, ...]:
    """Return a ring without points that lie on others; nothing for one of no area."""
    found: list[Point] = []
    for point in ring:
        if not found or dist(found[-1], point) > near:
            found.append(point)
    while len(found) > 1 and dist(found[0], found[-1]) <= near:
        found.pop()
    turned = zip(found, (*found[1:], *found[:1]), strict=True)
    area = abs(fsum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in turned)) / 2.0
    return tuple(found) if len(found) > 2 and area > near * near else ()
