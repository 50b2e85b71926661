"""The sheets of a condition: the main view first, then companion views and texts."""

from dataclasses import replace
from itertools import product
from typing import Final

from detailgen.catalog import COMMON_PRACTICE
from detailgen.lettering import letterable
from detailgen.scene import Item, Path, Scene, View
from detailgen.section import LayeredSection
from detailgen.sheet import blocks
from detailgen.sheet.board import GUTTER, Board, Page, board_of, fill_whole
from detailgen.sheet.bodies import true_outlines
from detailgen.sheet.caption import caption
from detailgen.sheet.companions import companion_pages
from detailgen.sheet.figure import Figure, label_of
from detailgen.sheet.flow import (
    GAP,
    Block,
    Column,
    Piece,
    fill,
    moved,
    pieces_of,
    whole_height,
)
from detailgen.sheet.legend import legend
from detailgen.sheet.plane import Box
from detailgen.sheet.request import SheetRequest
from detailgen.sheet.rule_table import rule_table, sources
from detailgen.sheet.section_view import (
    arrangements,
    expected_box,
    expected_dimensions,
    fault_letters,
    section_figure,
    thickened,
    thickness_notes,
)
from detailgen.sheet.words import circumstances
from detailgen.units import show_slope

_VIEW_SHARE: Final = 0.52
"""Least part of the first sheet's width that the main view keeps."""
_LEGENDS: Final = (84.0, 60.0)
"""Greatest and least width of a column beside the view, mm."""


def compose(request: SheetRequest) -> tuple[Scene, ...]:
    """Return the sheets of one condition: one or more, in order."""
    board = board_of(lettered(request))
    first, figure, marks, left = _first_page(board)
    pages = [first, *companion_pages(board, figure, marks, left)]
    return tuple(board.scene(page, n, len(pages)) for n, page in enumerate(pages, 1))


def lettered(request: SheetRequest) -> SheetRequest:
    """Return the request with what a user wrote made of characters that can be lettered."""
    job = request.job
    names = ("name", "number", "location", "drawn_by", "checked_by", "date", "revision")
    clean = {name: letterable(getattr(job, name)) for name in names}
    return replace(request, job=replace(job, **clean), title=letterable(request.title))


def _first_page(board: Board) -> tuple[Page, Figure, dict[str, str], list[Piece]]:
    """Set the main view with its keynotes; return what other text is left."""
    request = board.request
    x0, y0, _, y1 = board.inner
    figure, marks = _main_figure(request, (x0, y0, x0 + board.rest, y1))
    page = Page(scales=[label_of(figure.scale)])
    # On a large sheet the view leaves room for more columns of text.
    wide = board.column + GUTTER
    spare = board.rest - max(figure.width + 2.0, _VIEW_SHARE * (board.inner[2] - x0))
    extra = max(0, int(spare / wide))
    right = x0 + board.rest - extra * wide
    under, high = _caption(request, figure, right - x0)
    page.items += [moved(i, x0, y0 + high) for i in under]
    free = (x0, y0 + high + 3.0, right, y1)
    free, beside = _set_legend(free, figure, request)
    left = (free[0] + free[2] - figure.width) / 2
    bottom = (free[1] + free[3] - figure.height) / 2
    page.views = [figure.view(left, bottom), _true_view(request, figure, left, bottom)]
    columns = [
        Column(right + GUTTER + n * wide, board.column, y1, y0) for n in range(extra)
    ]
    columns.append(board.side_column())
    rest = _first_texts(board, figure, marks, columns, beside)
    for column in [*columns, *beside]:
        page.items += column.items
    for column in columns[:-1]:
        x = column.x - GUTTER / 2
        page.items.append(Path(((x, board.frame[1]), (x, board.frame[3])), "table"))
    return page, figure, marks, rest


def _first_texts(
    board: Board,
    figure: Figure,
    marks: dict[str, str],
    columns: list[Column],
    beside: list[Column],
) -> list[Piece]:
    """Set status, keynotes and what else fits; return what is left.

    Args:
        board: The divided paper.
        figure: The main view.
        marks: Letters of the failing rules.
        columns: Columns for text, the last above the title block.
        beside: The column next to the view, its foot taken by the legend; or none.
    """
    request = board.request
    most = max(40.0, 0.45 * columns[0].room)
    columns[0].put(blocks.status_row(request, marks, board.column, most))
    columns[0].top -= GAP - 1.0
    columns[0].started = False
    wanted = [blocks.keynotes(figure.keynotes)]
    if not beside:
        wanted.append(legend(figure.swatches, request.catalog))
    rest = fill(pieces_of(wanted, board.column), columns)
    if rest and beside and beside[0].ceiling:
        rest = _keynotes_beside(board, figure, rest, beside)
    for piece in pieces_of(texts(request, marks), board.column):
        if rest or not fill_whole(piece, columns):
            rest.append(piece)
    return rest


def _keynotes_beside(
    board: Board, figure: Figure, rest: list[Piece], beside: list[Column]
) -> list[Piece]:
    """Go on with the keynotes above the legend, if all that are left fit there."""
    done = len(figure.keynotes) - len(rest[0].rows)
    column = Column(beside[0].x, beside[0].width, board.inner[3], beside[0].ceiling + GAP)
    again = pieces_of([blocks.keynotes(figure.keynotes[done:])], column.width)
    again = [replace(p, begun=rest[0].begun) for p in again]
    if fill(again, [column]):
        return rest
    beside.append(column)
    return rest[1:]


def _set_legend(
    free: Box, figure: Figure, request: SheetRequest
) -> tuple[Box, list[Column]]:
    """Set the legend beside or under the view where there is room; return what is left.

    No column is returned where there was no room.
    """
    x0, y0, x1, y1 = free
    block = legend(figure.swatches, request.catalog)
    most, least = _LEGENDS
    width = min(most, x1 - x0 - figure.width - 6.0)
    if width >= least:
        piece = pieces_of([block], width)[0]
        tall = whole_height(piece, width)
        if tall < y1 - y0:
            column = Column(x1 - width, width, y0 + tall + 1.0, y0)
            column.ceiling = column.top
            fill([piece], [column])
            return (x0, y0, x1 - width - 4.0, y1), [column]
    piece = pieces_of([block], x1 - x0)[0]
    tall = whole_height(piece, x1 - x0)
    if y1 - y0 - figure.height > tall + 4.0:
        column = Column(x0, x1 - x0, y0 + tall + 1.0, y0)
        fill([piece], [column])
        return (x0, y0 + tall + 3.0, x1, y1), [column]
    return free, []


def _main_figure(request: SheetRequest, zone: Box) -> tuple[Figure, dict[str, str]]:
    """Return the main view at the largest standard scale at which all of it fits."""
    wide, high = zone[2] - zone[0] - 2.0, zone[3] - zone[1] - 2.0
    scales = request.catalog.drafting.scales_of(request.units)
    usual = arrangements(request.section)
    wanted = expected_dimensions(request)
    for scale, how in product(scales, usual):
        last = scale is scales[-1] and how is usual[-1]
        box = expected_box(request.section, wanted, scale, how)
        if not last and (box[2] - box[0] > wide or box[3] - box[1] > high - 14.0):
            continue
        drawn = request.rebuild(thickened(request, scale.factor))
        marks = fault_letters(request, scale.factor)
        figure = section_figure(request, drawn, scale, how, marks)
        figure.notes = _notes(request, drawn)
        room = high - _caption(request, figure, zone[2] - zone[0])[1] - 3.0
        if last or (figure.width <= wide and figure.height <= room):
            return figure, marks
    raise AssertionError("a series of scales is never empty")


def _caption(
    request: SheetRequest, figure: Figure, width: float
) -> tuple[list[Item], float]:
    title = letterable(f"SECTION {request.mark}: {request.title}".upper())
    return caption(title, figure.scale, figure.notes, width, request.units)


def _notes(request: SheetRequest, drawn: LayeredSection) -> list[str]:
    """Return what the caption says of thickened things and of the slope."""
    notes = thickness_notes(drawn)
    slope = request.section.slope
    if abs(slope) > 1e-6:
        way = "left" if slope > 0 else "right"
        notes.append(f"Roof falls {show_slope(abs(slope), request.units)} to the {way}.")
    if request.amount:
        notes.append(f"In this job: {request.amount}.")
    return notes


def _true_view(request: SheetRequest, figure: Figure, left: float, bottom: float) -> View:
    """Return the section at true thickness, for who measures in model space."""
    return replace(
        figure.view(left, bottom),
        id="true-size",
        title="SECTION AT TRUE THICKNESS",
        items=tuple(true_outlines(request.section)),
        plotted=False,
    )


def texts(request: SheetRequest, marks: dict[str, str]) -> list[Block]:
    """Return the text blocks after keynotes and legend, in the order of the sheets."""
    circumstance = circumstances(request.section)
    drafting = request.catalog.drafting
    notes = [
        (f"{n.title}:", n.text if n.source == COMMON_PRACTICE else f"{n.text} ({n.source})")
        for n in drafting.notes_for(circumstance)
    ]
    notes += [("", text) for text in request.section.notes]
    return [
        blocks.build_order(request),
        rule_table(request, marks),
        sources(request),
        blocks.overrides(request),
        blocks.quantities(request),
        blocks.numbered("GENERAL NOTES", notes),
        blocks.printed(
            f"CAUTIONS: {request.section.method.upper()}",
            drafting.cautions_for(circumstance),
        ),
    ]
