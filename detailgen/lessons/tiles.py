"""A pattern at full size on many sheets of paper, with crosses to lay them together by.

The flat piece is covered by a grid of cells. Each sheet shows one cell and a little of its
neighbours, so that the crosses on the corners of a cell stand on every sheet that meets
there, at the same point of the piece.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, dist
from typing import Final

from detailgen.catalog import Drafting, PaperData
from detailgen.flat import FlatPiece
from detailgen.geometry import Point
from detailgen.geometry.regions import box, clip, holes, outline, polygon
from detailgen.lettering import letterable, wrap
from detailgen.scene import Circle, Hatch, Item, Paper, Path, Scene, Text
from detailgen.sheet.board import layers_of
from detailgen.sheet.bodies import pattern_of
from detailgen.sheet.pattern_view import PRIMED, tidy
from detailgen.units import MM_PER_INCH

BLEED: Final = 8.0
"""How far a sheet goes on past its cell, mm."""
_FOOT: Final = 26.0
"""Height of the strip of text below, mm."""
_ARM: Final = 6.0
"""Half the length of a cross, mm."""
_EYE: Final = 2.5
"""Radius of the ring about a cross, mm."""
_TICK: Final = 1.2
_LETTERS: Final = 3.0
_LEAST: Final = 0.01
"""Shorter lines, mm, are not drawn."""
_PRINT: Final = "Print at 100 %; do not fit to page. Measure the bars. Lay cross on cross."
_KEY: Final = (
    ("pattern", "Outline and holes: cut"),
    ("relief", "Relief cut"),
    ("valley", "Fold toward you"),
    ("ridge", "Fold away from you"),
)

Stroke = tuple[Point, Point, str]
"""A straight line of the pattern, mm, and the role of its layer."""
Window = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Grid:
    """How a piece is shared out over sheets."""

    origin: Point
    """Lower left corner of the cell that is lowest and farthest left, mm of the piece."""
    width: float
    height: float
    """Of a cell."""
    columns: int
    rows: int
    paper: Paper

    def cell(self, column: int, row: int) -> Window:
        """Return the corners of a cell, mm of the piece; rows count from the top."""
        x = self.origin[0] + column * self.width
        y = self.origin[1] + (self.rows - 1 - row) * self.height
        return x, y, x + self.width, y + self.height


def tile_name(column: int, row: int) -> str:
    """Return the name of a tile: rows are letters from the top, columns are numbers.

    >>> tile_name(2, 0), tile_name(0, 27)
    ('A3', 'AB1')
    """
    letters = ""
    left = row + 1
    while left:
        left, digit = divmod(left - 1, 26)
        letters = chr(ord("A") + digit) + letters
    return f"{letters}{column + 1}"


def grid_of(piece: FlatPiece, data: PaperData) -> Grid:
    """Return the grid with the fewest cells, the paper upright or on its long side."""

    def turned(wide: float, high: float) -> Grid:
        around = 2.0 * (data.margin + BLEED)
        w, h = wide - around, high - around - _FOOT
        xs, ys = zip(*piece.outline, strict=True)
        size = piece.size
        columns, rows = (
            max(1, ceil((have - 1e-6) / room))
            for have, room in zip(size, (w, h), strict=True)
        )
        origin = (
            (min(xs) + max(xs) - columns * w) / 2.0,
            (min(ys) + max(ys) - rows * h) / 2.0,
        )
        paper = Paper(data.name, wide, high, data.margin)
        return Grid(origin, w, h, columns, rows, paper)

    upright, level = turned(data.height, data.width), turned(data.width, data.height)
    return min(upright, level, key=lambda g: g.columns * g.rows)


def tiles(
    mark: str, piece: FlatPiece, data: PaperData, drafting: Drafting
) -> tuple[Scene, ...]:
    """Return the sheets of one piece at full size: the map first, then every tile.

    Tiles with nothing on them are left out; the map names them.

    Args:
        mark: The detail.
        piece: What is cut.
        data: The paper.
        drafting: Layers and patterns.
    """
    grid, strokes = grid_of(piece, data), strokes_of(piece)
    places = [(c, r) for r in range(grid.rows) for c in range(grid.columns)]
    used = [p for p in places if any(True for _ in _within(strokes, grid.cell(*p)))]
    found = [_map(mark, piece, grid, used, drafting)]
    for place in used:
        name = tile_name(*place)
        told = letterable(f"{mark}  {piece.name.upper()}: tile {name}")
        items = _tile(piece, grid, place, strokes, drafting)
        items += _foot(grid.paper, told)
        found.append(_scene(f"{mark}-{piece.id}-{name}", told, grid.paper, items, drafting))
    return tuple(found)


def whole(mark: str, piece: FlatPiece, drafting: Drafting) -> Scene:
    """Return one sheet as large as the piece, at full size, with the bars to measure."""
    xs, ys = zip(*piece.outline, strict=True)
    margin = 15.0
    wide, high = piece.size
    paper = Paper(
        "FULL SIZE",
        max(wide, 180.0) + 2 * margin,
        high + 2 * margin + _FOOT,
        margin,
    )
    move = (margin - min(xs), margin + _FOOT - min(ys))
    told = letterable(f"{mark}  {piece.name.upper()}: full size")
    items = [*_lines(strokes_of(piece), move), *_foot(paper, told)]
    return _scene(f"{mark}-{piece.id}-full", told, paper, items, drafting)


def strokes_of(piece: FlatPiece) -> list[Stroke]:
    """Return every straight line of a pattern, mm."""
    found: list[Stroke] = []
    for ring in (piece.outline, *piece.holes):
        found += [
            (a, b, "pattern") for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)
        ]
    for fold in piece.folds:
        found.append((fold.start, fold.end, "valley" if fold.turn > 0.0 else "ridge"))
    for each in piece.cuts:
        found += [(end, each.tip, "relief") for end in dict.fromkeys(each.ends)]
    return found


def _within(strokes: Sequence[Stroke], window: Window) -> Iterator[Stroke]:
    """Yield what of the lines lies in a window."""
    for a, b, role in strokes:
        first, last = 0.0, 1.0
        for i in (0, 1):
            low, high, run = window[i] - a[i], window[i + 2] - a[i], b[i] - a[i]
            if run == 0.0:
                if low > 0.0 or high < 0.0:
                    last = -1.0
                continue
            near, far = sorted((low / run, high / run))
            first, last = max(first, near), min(last, far)
        if first < last:
            start, end = (
                (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])) for t in (first, last)
            )
            if dist(start, end) > _LEAST:
                yield start, end, role


def _lines(strokes: Sequence[Stroke], move: Point) -> list[Item]:
    x, y = move
    return [
        Path(((a[0] + x, a[1] + y), (b[0] + x, b[1] + y)), role) for a, b, role in strokes
    ]


def _tile(
    piece: FlatPiece,
    grid: Grid,
    place: tuple[int, int],
    strokes: Sequence[Stroke],
    drafting: Drafting,
) -> list[Item]:
    """Return what one tile shows: the pattern, and the crosses on its cell's corners."""
    x0, y0, x1, y1 = grid.cell(*place)
    m = grid.paper.margin
    move = (m + BLEED - x0, m + BLEED + _FOOT - y0)
    window = (x0 - BLEED, y0 - BLEED, x1 + BLEED, y1 + BLEED)
    items: list[Item] = []
    for zone in piece.prime:
        for part in clip(polygon(zone.outline), box(*window)):
            moved = [
                tidy([(px + move[0], py + move[1]) for px, py in ring])
                for ring in (outline(part), *holes(part))
            ]
            if len(moved[0]) < 3:
                continue
            pattern = pattern_of(drafting.pattern(PRIMED))
            items.append(Hatch(moved[0], "hatch", pattern, holes=tuple(moved[1:])))
    items += _lines(list(_within(strokes, window)), move)
    for px in (x0 + move[0], x1 + move[0]):
        for py in (y0 + move[1], y1 + move[1]):
            items += [
                Path(((px - _ARM, py), (px + _ARM, py)), "dims"),
                Path(((px, py - _ARM), (px, py + _ARM)), "dims"),
                Circle((px, py), _EYE, "dims"),
            ]
    return items


def _foot(paper: Paper, told: str) -> list[Item]:
    """Return the strip below: what this is, how to print it, and bars to measure."""
    x, y, size = paper.margin, paper.margin, 2.5
    items: list[Item] = []
    for at, length, text in ((1.5, 100.0, "100 mm"), (6.5, 4 * MM_PER_INCH, "4 in")):
        level = y + at
        items.append(Path(((x, level), (x + length, level)), "pattern"))
        items += [
            Path(((end, level - _TICK), (end, level + _TICK)), "pattern")
            for end in (x, x + length)
        ]
        items.append(Text((x + length + 3.0, level - 1.2), text, size, "text"))
    room = paper.width - 2 * paper.margin
    items.append(Text((x, y + 11.0), wrap(_PRINT, room, size)[0], size, "text"))
    line = wrap(told, room, _LETTERS, bold=True)[0]
    items.append(Text((x, y + 16.5), line, _LETTERS, "text", bold=True))
    return items


def _map(
    mark: str,
    piece: FlatPiece,
    grid: Grid,
    used: Sequence[tuple[int, int]],
    drafting: Drafting,
) -> Scene:
    """Return the overview: the piece small, its cells with their names, and the key."""
    paper = grid.paper
    told = letterable(f"{mark}  {piece.name.upper()}: map of {len(used)} tiles")
    left, low = paper.margin + 2.0, paper.margin + _FOOT + 40.0
    wide, high = grid.columns * grid.width, grid.rows * grid.height
    k = min(
        (paper.width - 2 * left) / wide,
        (paper.height - paper.margin - 4.0 - low) / high,
        0.5,
    )

    def at(p: Point) -> Point:
        return left + (p[0] - grid.origin[0]) * k, low + (p[1] - grid.origin[1]) * k

    items: list[Item] = []
    out: list[str] = []
    for row in range(grid.rows):
        for column in range(grid.columns):
            x0, y0, x1, y1 = grid.cell(column, row)
            corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
            items.append(Path(tuple(map(at, corners)), "table", closed=True))
            if (column, row) in used:
                x, y = at((x0, y0))
                items.append(Text((x + 1.5, y + 1.5), tile_name(column, row), 2.5, "text"))
            else:
                out.append(tile_name(column, row))
    items += [Path((at(a), at(b)), role) for a, b, role in strokes_of(piece)]
    y = low - 8.0
    roles = {role for _, _, role in strokes_of(piece)}
    for role, text in _KEY:
        if role in roles:
            items.append(Path(((left, y + 1.2), (left + 14.0, y + 1.2)), role))
            items.append(Text((left + 17.0, y), text, 2.5, "text"))
            y -= 5.0
    words = f"Rows {tile_name(0, 0)[:-1]} down, columns 1 to the right. " + (
        f"Nothing on {', '.join(out)}: left out." if out else "No tile is left out."
    )
    if piece.prime:
        words += " Hatched: primed (foil) or prepared (granules) before a piece lands."
    for line in wrap(words, paper.width - 2 * left, 2.5)[:3]:
        items.append(Text((left, y), line, 2.5, "text"))
        y -= 4.2
    items += _foot(paper, told)
    return _scene(f"{mark}-{piece.id}-map", told, paper, items, drafting)


def _scene(
    stem: str, title: str, paper: Paper, items: Sequence[Item], drafting: Drafting
) -> Scene:
    layers = layers_of(drafting)
    return Scene(stem, title, paper, layers, tuple(items), (), inches=False)
