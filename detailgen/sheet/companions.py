"""The sheets after the first: companion views at the upper left, texts in columns."""

from collections.abc import Sequence
from typing import Final

from detailgen.catalog import Scale
from detailgen.section import Layout
from detailgen.sheet import blocks
from detailgen.sheet.board import GUTTER, Board, Page
from detailgen.sheet.caption import caption
from detailgen.sheet.enlarged import TITLE, enlarged_figure
from detailgen.sheet.figure import Figure, label_of
from detailgen.sheet.flow import Block, Column, Piece, balanced, fill, moved, pieces_of
from detailgen.sheet.layout_view import expected_box, layout_dimensions, layout_figure
from detailgen.sheet.plane import Box
from detailgen.sheet.section_view import fault_tags

_LONGEST: Final = (
    "Drawn thicker than true: sheets 3.5 times, metal 3.5 times, beds of cement 3.5 times. "
    "Dimensions state true lengths."
)
"""The longest note under a view, to measure captions with."""
_SMALLER: Final = 6.0
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
        columns = board.text_columns()
        return _set([Page()], board, columns, texts, main) if texts else []
    keys = pieces_of(
        [_key(v, len({p.name for p in v.parts})) for v in layouts], board.column
    )
    choices: list[tuple[int, int, Scale]] = []
    wanted = [(v, layout_dimensions(request, v)) for v in layouts]
    for order, scale in enumerate(request.catalog.drafting.scales_of(request.units)):
        if choices and scale.factor > _SMALLER * main.scale.factor:
            break
        columns = board.text_columns()
        boxes = [expected_box(v, w, scale) for v, w in wanted]
        if all(
            _take(board, columns, b, (v.title.upper(), ""), scale)
            for b, v in zip(boxes, layouts, strict=True)
        ):
            count = _sheets_needed(board, columns, [*keys, *texts])
            choices.append((count, order, scale))
    # The fewest sheets, then the largest scale; fault marks may ask for more room yet.
    for _, _, scale in sorted(choices, key=lambda c: c[:2]):
        page, columns = Page(), board.text_columns()
        figures = [_figure(board, v, scale, main, marks) for v in layouts]
        if all(_place(board, page, columns, f) for f in figures):
            notes = [blocks.keynotes(f.keynotes, _key_title(f.id)) for f in figures]
            real = pieces_of(notes, board.column)
            return _set([page], board, columns, [*real, *texts], main)
    raise AssertionError("a companion view fits at some standard scale")


def _figure(
    board: Board, layout: Layout, scale: Scale, main: Figure, marks: dict[str, str]
) -> Figure:
    section = board.request.section
    faults = fault_tags(board.request, section, scale.factor, marks, layout.id)
    return layout_figure(board.request, layout, scale, main.keynotes, faults)


def _take(
    board: Board, columns: list[Column], box: Box, words: tuple[str, str], scale: Scale
) -> tuple[float, float] | None:
    """Take room for a view and its caption over the first columns that are wide enough.

    Returns the width of those columns and the level of the view's lower edge; None where
    there is no room.

    Args:
        board: The divided paper.
        columns: What is free.
        box: Of the view, on paper.
        words: The caption's title and its note.
        scale: Of the view.
    """
    wide, high = box[2] - box[0], box[3] - box[1]
    for span in range(1, len(columns)):
        room = span * (columns[0].width + GUTTER) - GUTTER
        if room >= wide + 2.0:
            break
    else:
        return None
    under = caption(words[0], scale, [words[1]], room, board.request.units)[1]
    top = min(c.top for c in columns[:span])
    low = top - high - under - 9.0
    if low < columns[0].bottom:
        return None
    for column in columns[:span]:
        column.top = low
    return room, top - high - 1.0


def _place(board: Board, page: Page, columns: list[Column], figure: Figure) -> bool:
    """Set a view with its caption; say whether there was room."""
    x0 = board.inner[0]
    words = (figure.title, " ".join(figure.notes))
    taken = _take(board, columns, figure.box, words, figure.scale)
    if taken is None:
        return False
    room, bottom = taken
    units = board.request.units
    under, _ = caption(figure.title, figure.scale, figure.notes, room, units)
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
    pages: list[Page],
    board: Board,
    columns: list[Column],
    texts: Sequence[Piece],
    main: Figure,
) -> list[Page]:
    """Set texts into the columns of the last page, then of further ones."""
    left = list(texts)
    while True:
        if not fill(left, _copies(columns)):
            _enlarge(board, pages[-1], columns, left, main)
        filled, left = balanced(left, columns)
        for column in filled:
            pages[-1].items += column.items
        if not left:
            return pages
        pages.append(Page())
        columns = board.text_columns()


def _copies(columns: Sequence[Column]) -> list[Column]:
    return [Column(c.x, c.width, c.top, c.bottom) for c in columns]


def _enlarge(
    board: Board, page: Page, columns: list[Column], texts: Sequence[Piece], main: Figure
) -> None:
    """Set an enlarged part of the section where all texts still fit on the sheet."""

    def fits(box: Box, scale: Scale) -> bool:
        trial = _copies(columns)
        return _take(board, trial, box, (TITLE, _LONGEST), scale) is not None and not fill(
            texts, trial
        )

    figure = enlarged_figure(board.request, main, fits)
    if figure is not None:
        _place(board, page, columns, figure)


def _key(layout: Layout, count: int) -> Block:
    """Return a key as long as a companion's will be, to measure with."""
    notes = [blocks.Keynote("0", "Part", "") for _ in range(count)]
    return blocks.keynotes(notes, _key_title(layout.id))


def _key_title(layout_id: str) -> str:
    return f"KEY TO THE {layout_id.replace('-', ' ').upper()}"
