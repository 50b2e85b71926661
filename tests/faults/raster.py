"""A second opinion on what is seen: details painted in pixels, and compared."""

from collections.abc import Iterator
from typing import Any

import numpy as np
from PIL import Image, ImageDraw

from detailgen.section import SHEETS, Bond, LayeredSection
from detailgen.sheet.bodies import SHEET_FILLS

FINE = 6.0
"""Pixels for each mm on paper."""


def _painted(
    shapes: list[tuple[str, Any, int]], box: tuple[float, float, float, float], by: float
) -> Image.Image:
    x0, y0, x1, y1 = box
    image = Image.new("L", (int((x1 - x0) * by) + 2, int((y1 - y0) * by) + 2), 255)
    draw = ImageDraw.Draw(image)

    def at(points: Any) -> list[tuple[float, float]]:
        return [((x - x0) * by, (y1 - y) * by) for x, y in points]

    for sort, shape, tone in shapes:
        if sort == "area":
            draw.polygon(at(shape.exterior.coords), fill=tone, outline=0)
        elif sort == "line":
            draw.line(at(shape.coords), fill=tone, width=2)
        else:
            ((x, y),) = at([shape])
            draw.ellipse((x - 3, y - 3, x + 3, y + 3), fill=tone)
    return image


def _section(section: LayeredSection) -> list[tuple[str, Any, int]]:
    sheets = {b.id for b in section.bodies if b.role in SHEETS}
    shapes: list[tuple[str, Any, int]] = []
    for body in section.bodies:
        tone = SHEET_FILLS.get(body.role, (60 + 7 * len(body.material) % 120,))[0]
        shapes.append(("area", body.region, tone))
    shapes += [
        ("line", j.line, 250)
        for j in section.joints
        if j.bond is Bond.DRY and j.upper in sheets
    ]
    return [*shapes, *(("line", c.line, 90) for c in section.coats)]


def _view(section: LayeredSection, view: str) -> list[tuple[str, Any, int]]:
    layout = section.layout(view)
    if layout is None:
        return []
    parts = sorted(layout.parts, key=lambda p: p.level)
    shapes: list[tuple[str, Any, int]] = [
        ("area", p.region, 120 + 9 * len(p.role.value)) for p in parts
    ]
    return [*shapes, *(("dot", m.at, 0) for m in layout.marks)]


def seen_size(
    sound: LayeredSection, broken: LayeredSection, view: str, factor: float
) -> float:
    """Return how large the largest thing is that differs, mm on paper.

    That is the longer side of a patch of pixels; of a row of fasteners, of which only dots
    are gone, it is by how much the widest gap between two dots has grown; of an edge under
    another piece, which is dashed there, how far it has moved.
    """
    x0, y0, x1, y1 = (
        pick(a, b)
        for pick, a, b in zip(
            (max, max, min, min), sound.extent.bounds, broken.extent.bounds, strict=True
        )
    )
    box = (x0 + 1.0, y0 + 1.0, x1 - 1.0, y1 - 1.0)
    if view != "section":
        every = [p.region.bounds for p in sound.layout(view).parts]  # type: ignore[union-attr]
        low = [min(b[i] for b in every) for i in (0, 1)]
        high = [max(b[i] for b in every) for i in (2, 3)]
        box = (low[0], low[1], high[0], high[1])
    one, other = (
        _painted(_section(s) if view == "section" else _view(s, view), box, FINE / factor)
        for s in (sound, broken)
    )
    changed = np.asarray(one).astype(int) != np.asarray(other).astype(int)
    patch = max(_patches(changed), default=0)
    if view == "section":
        return patch / FINE
    dots = (
        np.asarray(
            _painted([s for s in _view(d, view) if s[0] == "dot"], box, FINE / factor)
        )
        for d in (sound, broken)
    )
    edges = [_edges(d, view, box, FINE / factor) for d in (sound, broken)]
    moved = max(_moved(*edges), _moved(*edges[::-1]))
    return max(patch, _grown(*(d == 0 for d in dots)), moved) / FINE


def _edges(
    section: LayeredSection, view: str, box: tuple[float, float, float, float], by: float
) -> Any:
    """Return where a view has edges of pieces: plain ones, and dashed ones under others."""
    parts = section.layout(view).parts  # type: ignore[union-attr]
    lines: list[tuple[str, Any, int]] = [("line", p.region.exterior, 0) for p in parts]
    return np.asarray(_painted(lines, box, by)) == 0


def _moved(these: Any, those: Any) -> float:
    """Return how far the first edges are at the most from the second ones, in pixels."""
    gone, there = np.argwhere(these & ~those), np.argwhere(those)
    if not len(gone) or not len(there):
        return 0.0
    return float(max(np.hypot(*(there - at).T).min() for at in gone))


def _grown(before: Any, after: Any) -> int:
    """Return by how many pixels the widest gap in a row of dots has grown.

    What lies between the first or the last dot and the end of the view counts, too.
    """
    rows = np.nonzero((before != after).any(axis=1))[0]
    return max((_gap(after[r]) - _gap(before[r]) for r in rows), default=0)


def _gap(line: Any) -> int:
    ends = (-1, len(line))
    return int(np.diff([ends[0], *np.nonzero(line)[0], ends[1]]).max())


_AROUND = [(r, c) for r in (-1, 0, 1) for c in (-1, 0, 1)]


def _patches(changed: Any) -> Iterator[int]:
    """Yield the longer side of each patch of pixels, neighbours at corners included."""
    left = set(zip(*np.nonzero(changed), strict=True))
    while left:
        patch = [left.pop()]
        for r, c in patch:  # it grows as it is looked through
            near = {(r + dr, c + dc) for dr, dc in _AROUND} & left
            left -= near
            patch += near
        sides = [max(x) - min(x) for x in zip(*patch, strict=True)]
        yield int(max(sides)) + 1
