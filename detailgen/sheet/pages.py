"""The sheets of a condition: the main view first, then companion views and texts."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import Final

from detailgen.catalog import COMMON_PRACTICE
from detailgen.lettering import letterable
from detailgen.scene import Item, Path, Scene, View
from detailgen.section import Thickening
from detailgen.sheet import blocks
from detailgen.sheet.board import GUTTER, Board, Page, board_of, fill_whole
from detailgen.sheet.bodies import true_outlines
from detailgen.sheet.caption import caption
from detailgen.sheet.companions import Left, companion_pages, place_enlarged
from detailgen.sheet.falls import told_fall
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
from detailgen.sheet.pattern_pages import pattern_pages
from detailgen.sheet.plane import Box
from detailgen.sheet.profile_pages import profile_pages
from detailgen.sheet.request import RevisionRow, SheetRequest
from detailgen.sheet.rule_table import not_applicable, rule_table, sources
from detailgen.sheet.section_view import (
    arrangements,
    expected_box,
    expected_dimensions,
    fault_letters,
    section_figure,
)
from detailgen.sheet.thickening import as_drawn, thickened, thickness_note
from detailgen.sheet.water_path import water_notes
from detailgen.sheet.words import circumstances

_VIEW_SHARE: Final = 0.52
"""Least part of the first sheet's width that the main view keeps."""
_NARROW: Final = 60.0
"""Least width of a column beside the view, mm."""
_SAVED: Final = 160.0
"""The first sheet may take so much text, mm, where it has no enlarged part."""
_FEW: Final = 2
"""With so many sheets a condition has no more than it must have."""


@dataclass(frozen=True, slots=True)
class _First:
    """The first sheet, and what found no room on it."""

    page: Page
    left: Left
    closer: bool
    """Whether an enlarged part of the section stands on it."""


def compose(request: SheetRequest) -> tuple[Scene, ...]:
    """Return the sheets of one condition: one or more, in order."""
    board = board_of(lettered(request))
    x0, y0, _, y1 = board.inner
    figure, marks = _main_figure(board.request, (x0, y0, x0 + board.rest, y1))
    wanted = texts(board.request, marks)
    if said := [n for n in water_notes(board.request) if n not in figure.notes]:
        wanted = [blocks.numbered("WATER PATH", [("", told) for told in said]), *wanted]
    pages, closer = _pages(board, figure, marks, wanted, closer=True)
    if closer and len(pages) > _FEW and pages[-1].used < _SAVED:
        without, _ = _pages(board, figure, marks, wanted, closer=False)
        pages = min(pages, without, key=len)
    pages += pattern_pages(board)
    pages += profile_pages(board)
    return board.scenes(pages)


def _pages(
    board: Board,
    figure: Figure,
    marks: dict[str, str],
    wanted: Sequence[Block],
    *,
    closer: bool,
) -> tuple[list[Page], bool]:
    """Return all pages, and whether the first has an enlarged part of the section."""
    first = _first_page(board, figure, marks, wanted, closer=closer)
    more = companion_pages(board, figure, marks, first.left, enlarge=not first.closer)
    return [first.page, *more], first.closer


def lettered(request: SheetRequest) -> SheetRequest:
    """Return the request with what a user wrote made of characters that can be lettered."""
    job = request.job
    names = ("name", "number", "location", "drawn_by", "checked_by", "date", "revision")
    clean = {name: letterable(getattr(job, name)) for name in names}
    return replace(
        request,
        job=replace(job, **clean),
        title=letterable(request.title),
        revisions=tuple(
            RevisionRow(*map(letterable, (r.mark, r.date, r.by, r.text)))
            for r in request.revisions
        ),
    )


def _first_page(
    board: Board,
    figure: Figure,
    marks: dict[str, str],
    wanted: Sequence[Block],
    *,
    closer: bool,
) -> _First:
    """Set the main view with its keynotes, and what other text finds room.

    Args:
        board: The divided paper.
        figure: The main view.
        marks: Letters of the failing rules.
        wanted: Texts besides keynotes and legend.
        closer: Whether an enlarged part of the section is set beside it, with room.
    """
    request = board.request
    x0, y0, _, y1 = board.inner
    page = Page(scales=[label_of(figure.scale)])
    # On a large sheet the view leaves room for more columns of text.
    wide = board.column + GUTTER
    spare = board.rest - max(figure.width + 2.0, _VIEW_SHARE * (board.inner[2] - x0))
    extra = max(0, int(spare / wide))
    right = x0 + board.rest - extra * wide
    under, high = _caption(request, figure, right - x0)
    page.items += [moved(i, x0, y0 + high) for i in under]
    free, beside, explained = _set_legend(
        board, page, figure, (x0, y0 + high + 3.0, right, y1)
    )
    left = (free[0] + free[2] - figure.width) / 2
    bottom = (free[1] + free[3] - figure.height) / 2
    page.views = [figure.view(left, bottom), _true_view(request, figure, left, bottom)]
    columns = [
        Column(right + GUTTER + n * wide, board.column, y1, y0) for n in range(extra)
    ]
    columns.append(board.side_column())
    for column in columns[:-1]:
        x = column.x - GUTTER / 2
        page.items.append(Path(((x, board.frame[1]), (x, board.frame[3])), "table"))
    rest = _set_keynotes(board, figure, marks, columns, beside)
    looked = closer and bool(beside) and not rest
    looked = looked and place_enlarged(board, page, beside, figure, lambda _: True)
    places = [*columns, *beside]
    if not explained:
        wanted = [legend(figure.swatches, request.catalog), *wanted]
    over = wanted if rest else _set_texts(wanted, places, board.column)
    for column in places:
        page.items += column.items
    return _First(page, Left(rest, over), looked)


def _set_legend(
    board: Board, page: Page, figure: Figure, free: Box
) -> tuple[Box, list[Column], bool]:
    """Set the legend beside or under the view where there is room.

    Returns:
        What is left for the view, the column above the legend if it has one, and whether
        the legend was set.
    """
    x0, y0, x1, y1 = free
    block = legend(figure.swatches, board.request.catalog)
    spare = x1 - x0 - figure.width - 6.0
    width = board.double if spare >= board.double else min(board.column, spare)
    if width >= _NARROW:
        piece = pieces_of([block], width)[0]
        tall = whole_height(piece, width)
        if tall < y1 - y0:
            foot = Column(x1 - width, width, y0 + tall + 1.0, y0)
            fill([piece], [foot])
            page.items += foot.items
            above = Column(x1 - width, width, y1, y0 + tall + 1.0 + GAP)
            return (x0, y0, x1 - width - 4.0, y1), [above], True
    piece = pieces_of([block], x1 - x0)[0]
    tall = whole_height(piece, x1 - x0)
    if y1 - y0 - figure.height > tall + 4.0:
        foot = Column(x0, x1 - x0, y0 + tall + 1.0, y0)
        fill([piece], [foot])
        page.items += foot.items
        return (x0, y0 + tall + 3.0, x1, y1), [], True
    return free, [], False


def _set_keynotes(
    board: Board,
    figure: Figure,
    marks: dict[str, str],
    columns: list[Column],
    beside: Sequence[Column],
) -> list[Piece]:
    """Set status and keynotes; return what is left.

    Args:
        board: The divided paper.
        figure: The main view.
        marks: Letters of the failing rules.
        columns: Columns for text, the last above the title block.
        beside: The column next to the view, above the legend, if there is one.
    """
    most = max(40.0, 0.45 * columns[0].room)
    columns[0].put(blocks.status_row(board.request, marks, board.column, most))
    columns[0].top -= GAP - 1.0
    columns[0].started = False
    rest = fill(pieces_of([blocks.keynotes(figure.keynotes)], board.column), columns)
    if not rest or not beside:
        return rest
    (place,) = beside
    # They go on above the legend, if all that are left fit there.
    done = len(figure.keynotes) - len(rest[0].rows)
    again = pieces_of([blocks.keynotes(figure.keynotes[done:])], place.width)
    trial = Column(place.x, place.width, place.top, place.bottom)
    again = [replace(p, begun=rest[0].begun) for p in again]
    if fill(again, [trial]):
        return rest
    place.rows, place.top, place.started = trial.rows, trial.top, True
    return []


def _set_texts(
    wanted: Sequence[Block], places: Sequence[Column], widest: float
) -> list[Block]:
    """Set what texts fit whole into a column that is not too wide; return the others."""
    left: list[Block] = []
    for block in wanted:
        early = bool(block.follows) and any(b.title == block.follows for b in left)
        if early or not any(
            _set_whole(block, place) for place in places if place.width <= widest + 1.0
        ):
            left.append(block)
    return left


def _set_whole(block: Block, place: Column) -> bool:
    """Set a text into a column if all of it fits; say whether it did."""
    pieces = pieces_of([block], place.width)
    return not pieces or fill_whole(pieces[0], [place])


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
        figure.notes = _notes(request, as_drawn(drawn))
        room = high - _caption(request, figure, zone[2] - zone[0])[1] - 3.0
        if figure.width <= wide and figure.height <= room:
            return figure, marks
        if last:  # what is said of water stands among the texts then
            figure.notes = _notes(replace(request, water=False), as_drawn(drawn))
            return figure, marks
    raise AssertionError("a series of scales is never empty")


def _caption(
    request: SheetRequest, figure: Figure, width: float
) -> tuple[list[Item], float]:
    title = letterable(f"SECTION {request.mark}: {request.title}".upper())
    return caption(title, figure.scale, figure.notes, width, request.units)


def _notes(request: SheetRequest, thicker: Thickening) -> list[str]:
    """Return what the caption says of thickened things and of the slope."""
    notes = [thickness_note(thicker)]
    if fall := told_fall(request.section, request.units):
        notes.append(fall)
    if request.amount:
        notes.append(f"In this job: {request.amount}.")
    return notes + water_notes(request)


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
        (
            f"{n.title}:" if n.title else "",
            n.text if n.source == COMMON_PRACTICE else f"{n.text} ({n.source})",
        )
        for n in drafting.notes_for(circumstance)
    ]
    notes += [("", text) for text in request.section.notes]
    table = rule_table(request, marks)
    return [
        blocks.build_order(request),
        blocks.quantities(request),
        blocks.overrides(request),
        table,
        replace(not_applicable(request), follows=table.title),
        replace(sources(request), follows=table.title),
        blocks.numbered("GENERAL NOTES", notes),
        blocks.printed(
            f"CAUTIONS: {request.section.method.upper()}",
            drafting.cautions_for(circumstance),
        ),
    ]
