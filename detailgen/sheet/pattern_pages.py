"""The sheets with the patterns of pieces: each ply folded, then each of its pieces flat."""

from collections.abc import Callable, Sequence
from math import fsum
from typing import Final

from detailgen.catalog import Scale
from detailgen.flat import FlatPiece
from detailgen.lettering import text_width, wrap
from detailgen.scene import Item, Path, Text
from detailgen.sheet.board import GUTTER, Board, Page
from detailgen.sheet.figure import Figure, label_of
from detailgen.sheet.flow import (
    GAP,
    HEAD,
    PITCH,
    TEXT,
    Block,
    Column,
    Row,
    fill,
    line,
    moved,
    pieces_of,
    right,
)
from detailgen.sheet.legend import legend
from detailgen.sheet.pattern_view import FOLDED, LEGEND, flat_figure, folded_figure
from detailgen.sheet.request import SheetRequest
from detailgen.units import MM_PER_FOOT

_EACH: Final = 4
"""So many views a sheet holds at least, where there are as many."""
_SMALL: Final = 16.0
"""Patterns are drawn smaller than this only where nothing else fits."""
_ROOM: Final = 8.0
"""White space about a view and its caption, mm."""
_WIDEST: Final = 300.0
"""Longest line of a caption, mm: longer ones are hard to follow."""

_SQUARE_FOOT: Final = MM_PER_FOOT**2
_TALL: Final = 80.0
"""Most height of a view of folded pieces, mm."""
_HEAD_PITCH: Final = 1.65 * HEAD
"""From line to line of a title."""

_Make = Callable[[Scale], Figure]


def pattern_pages(board: Board) -> list[Page]:
    """Return the sheets with the patterns of a condition; none where it has no pieces.

    All are drawn at one scale, the largest with which they go on few sheets; where none of
    those shows them large enough to be read, they take more sheets.
    """
    request = board.request
    makers = _makers(board)
    if not makers:
        return []
    few = -(-len(makers) // _EACH)
    found: list[list[Page]] = []
    for scale in request.catalog.drafting.scales_of(request.units):
        if scale.factor > _SMALL and found:
            break
        pages = _pages(board, [make(scale) for make in makers])
        if pages is None:
            continue
        if len(pages) <= few:
            return pages
        found.append(pages)
    assert found, "a pattern fits at some standard scale"
    return min(found, key=len)


def _makers(board: Board) -> list[_Make]:
    """Return what makes each view at a scale, in the order of setting."""
    request = board.request
    groups: dict[str, list[tuple[int, FlatPiece]]] = {}
    for number, piece in enumerate(request.section.pieces, 1):
        groups.setdefault(piece.sheet, []).append((number, piece))
    found: list[_Make] = []
    for pieces in groups.values():
        if request.section.faces:
            seen = _folded(board, pieces)
            found.append(lambda _, figure=seen: figure)
        for number, piece in pieces:
            found.append(lambda s, n=number, p=piece: flat_figure(request, p, n, s))
    return found


def _folded(board: Board, pieces: Sequence[tuple[int, FlatPiece]]) -> Figure:
    """Return the view of folded pieces as large as a column allows."""
    scales = board.request.catalog.drafting.scales_of(board.request.units)
    for scale in scales:
        figure = folded_figure(board.request, pieces, scale)
        if figure.width <= board.column - 2.0 and figure.height <= _TALL:
            return figure
    return folded_figure(board.request, pieces, scales[-1])


def _pages(board: Board, figures: Sequence[Figure]) -> list[Page] | None:
    """Set views into as many pages as they need; None where one is too large."""
    made: list[tuple[Page, list[Column]]] = []
    for figure in figures:
        if any(_set(page, columns, figure) for page, columns in made):
            continue
        page = Page()
        columns = _fresh(board, page, first=not made)
        made.append((page, columns))
        if not _set(page, columns, figure):
            return None
    return [page for page, _ in made]


def _fresh(board: Board, page: Page, *, first: bool) -> list[Column]:
    """Return the columns of a new page, what its lines mean at the top of the last one."""
    columns = board.text_columns()
    side = columns[-1]
    blocks = [legend(LEGEND, board.request.catalog)]
    if first:
        blocks.append(_areas(board.request))
    fill(pieces_of(blocks, side.width), [side])
    page.items += side.items
    side.rows.clear()
    return columns


def _areas(request: SheetRequest) -> Block:
    """Return how much of each sheet the pieces are, each as it is cut."""
    groups: dict[str, list[FlatPiece]] = {}
    for piece in request.section.pieces:
        groups.setdefault(piece.sheet, []).append(piece)

    def rows(width: float) -> list[Row]:
        made: list[Row] = []
        for pieces in groups.values():
            name = pieces[0].name.partition(",")[0]
            area = fsum(p.area for p in pieces)
            told = f"{area / _SQUARE_FOOT:.2f} sq ft"
            if not request.inches:
                told = f"{area / 1e6:.3f} m²"
            many = "1 piece" if len(pieces) == 1 else f"{len(pieces)} pieces"
            beside = right(told, width, -TEXT - 0.5)
            room = width - text_width(told, TEXT) - 3.0
            named = [
                line(text, 0.0, -TEXT - 0.5 - n * PITCH)
                for n, text in enumerate(wrap(f"{name}, {many}", room, TEXT))
            ]
            made.append(Row(len(named) * PITCH + 1.0, (*named, beside)))
        return made

    return Block("NET AREA OF THESE PIECES", rows)


def _caption(figure: Figure, width: float) -> tuple[list[Item], float]:
    """Return the caption about its upper left corner, and its height.

    Patterns are for measuring by their figures, so that it has no bar.
    """
    items: list[Item] = []
    y = -HEAD - 0.5
    for text in wrap(figure.title, width, HEAD, bold=True):
        items.append(Text((0.0, y), text, HEAD, "title", bold=True))
        y -= _HEAD_PITCH
    y += _HEAD_PITCH - 2.2
    items.append(Path(((0.0, y), (width, y)), "title"))
    scale = () if figure.id.startswith(FOLDED) else (f"SCALE {label_of(figure.scale)}.",)
    said = " ".join((*scale, *filter(None, figure.notes)))
    for text in wrap(said, min(width, _WIDEST), TEXT):
        y -= PITCH
        items.append(Text((0.0, y), text, TEXT, "text"))
    return items, -y + 1.2


def _set(page: Page, columns: list[Column], figure: Figure) -> bool:
    """Set a view with its caption where it stands highest; say whether there was room."""
    step = columns[0].width + GUTTER
    span = max(1, -int(-(figure.width + 2.0 + GUTTER) // step))
    if span > len(columns):
        return False
    room = span * step - GUTTER
    under, high = _caption(figure, room)
    need = figure.height + high + _ROOM
    best: tuple[float, int] | None = None
    for start in range(len(columns) - span + 1):
        group = columns[start : start + span]
        top = min(c.top - (GAP if c.started else 0.0) for c in group)
        parted = span > 1 and start + span == len(columns)  # by the line beside the last
        fits = not parted and top - need >= max(c.bottom for c in group)
        if fits and (best is None or top > best[0] + 1.0):
            best = (top, start)
    if best is None:
        return False
    top, start = best
    group = columns[start : start + span]
    x, bottom = group[0].x, top - figure.height - 1.0
    page.views.append(figure.view(x + (room - figure.width) / 2, bottom))
    page.items += [moved(i, x, bottom - 3.0) for i in under]
    page.scales.append(label_of(figure.scale))
    for column in group:
        column.top, column.started = top - need, True
    return True
