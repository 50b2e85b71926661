"""The sheets after the first: companion views at the upper left, texts in columns."""

from collections.abc import Sequence

from detailgen.catalog import Scale
from detailgen.section import Layout
from detailgen.sheet import blocks
from detailgen.sheet.board import GUTTER, Board, Page
from detailgen.sheet.caption import caption
from detailgen.sheet.figure import Figure, label_of
from detailgen.sheet.flow import Block, Column, Piece, balanced, fill, moved, pieces_of
from detailgen.sheet.layout_view import expected_box, layout_figure
from detailgen.sheet.plane import Box
from detailgen.sheet.section_view import fault_tags

_SMALLER: float = 6.0
"""A companion is not drawn at less than the main view's scale divided by this."""


def companion_pages(
    board: Board, main: Figure, marks: dict[str, str], texts: Sequence[Piece]
) -> list[Page]:
    """Return the sheets that hold the companion views and the texts that are left.

    The companions are drawn at the largest scale with which the fewest sheets are needed.
    """
    request = board.request
    layouts = request.section.layouts
    if not layouts:
        return _set([Page()], board, board.text_columns(), texts) if texts else []
    keys = pieces_of([_key(v, len({p.name for p in v.parts})) for v in layouts], board.column)
    choices: list[tuple[int, int, Scale]] = []
    for order, scale in enumerate(request.catalog.drafting.scales_of(request.units)):
        if choices and scale.factor > _SMALLER * main.scale.factor:
            break
        columns = board.text_columns()
        boxes = [expected_box(request, v, scale) for v in layouts]
        if all(_take(board, columns, b, v, scale) for b, v in zip(boxes, layouts, strict=True)):
            count = _sheets_needed(board, columns, [*keys, *texts])
            choices.append((count, order, scale))
    # The fewest sheets, then the largest scale; fault marks may ask for more room yet.
    for _, _, scale in sorted(choices, key=lambda c: c[:2]):
        page, columns = Page(), board.text_columns()
        figures = [_figure(board, v, scale, main, marks) for v in layouts]
        if all(_place(board, page, columns, f, v) for f, v in zip(figures, layouts, strict=True)):
            notes = [blocks.keynotes(f.keynotes, _key_title(f.id)) for f in figures]
            real = pieces_of(notes, board.column)
            return _set([page], board, columns, [*real, *texts])
    raise AssertionError("a companion view fits at some standard scale")


def _figure(
    board: Board, layout: Layout, scale: Scale, main: Figure, marks: dict[str, str]
) -> Figure:
    section = board.request.section
    faults = fault_tags(board.request, section, scale.factor, marks, layout.id)
    return layout_figure(board.request, layout, scale, main.keynotes, faults)


def _take(
    board: Board, columns: list[Column], box: Box, layout: Layout, scale: Scale
) -> tuple[float, float] | None:
    """Take room for a view and its caption over the first columns that are wide enough.

    Returns the width of those columns and the level below which the view's lower edge is;
    None where there is no room.
    """
    wide, high = box[2] - box[0], box[3] - box[1]
    for span in range(1, len(columns)):
        room = span * (columns[0].width + GUTTER) - GUTTER
        if room >= wide + 2.0:
            break
    else:
        return None
    under = caption(layout.title.upper(), scale, [], room, board.request.units)[1]
    top = min(c.top for c in columns[:span])
    low = top - high - under - 9.0
    if low < columns[0].bottom:
        return None
    for column in columns[:span]:
        column.top = low
    return room, top - high - 1.0


def _place(
    board: Board, page: Page, columns: list[Column], figure: Figure, layout: Layout
) -> bool:
    """Set a companion view with its caption; say whether there was room."""
    x0 = board.inner[0]
    taken = _take(board, columns, figure.box, layout, figure.scale)
    if taken is None:
        return False
    room, bottom = taken
    under, _ = caption(figure.title, figure.scale, [], room, board.request.units)
    page.views.append(figure.view(x0 + (room - figure.width) / 2, bottom))
    page.items += [moved(i, x0, bottom - 3.0) for i in under]
    page.scales.append(label_of(figure.scale))
    return True


def _sheets_needed(board: Board, columns: list[Column], texts: Sequence[Piece]) -> int:
    """Return how many sheets the texts take, the one with the views being the first."""
    count, left = 1, fill(texts, columns)
    while left:
        count, left = count + 1, fill(left, board.text_columns())
    return count


def _set(
    pages: list[Page], board: Board, columns: list[Column], texts: Sequence[Piece]
) -> list[Page]:
    """Set texts into the columns of the last page, then of further ones."""
    left = list(texts)
    while True:
        filled, left = balanced(left, columns)
        for column in filled:
            pages[-1].items += column.items
        if not left:
            return pages
        pages.append(Page())
        columns = board.text_columns()


def _key(layout: Layout, count: int) -> Block:
    """Return a key as long as a companion's will be, to measure with."""
    notes = [blocks.Keynote("0", "Part", "") for _ in range(count)]
    return blocks.keynotes(notes, _key_title(layout.id))


def _key_title(layout_id: str) -> str:
    return f"KEY TO THE {layout_id.replace('-', ' ').upper()}"
