"""The sheets after the first: companion views at the upper left, texts in columns."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import fsum
from typing import Final

from detailgen.catalog import Scale
from detailgen.section import Layout
from detailgen.sheet import blocks
from detailgen.sheet.board import GUTTER, Board, Page
from detailgen.sheet.caption import caption
from detailgen.sheet.enlarged import TITLE, enlarged_figure
from detailgen.sheet.figure import Figure, label_of
from detailgen.sheet.flow import GAP, Block, Column, Piece, balanced, fill, moved, pieces_of
from detailgen.sheet.layout_view import expected_box, layout_dimensions, layout_figure
from detailgen.sheet.plane import Box
from detailgen.sheet.section_view import fault_tags
from detailgen.sheet.thickening import thickened, thickness_note

_SMALLER: Final = 6.0
"""A companion is not drawn at less than the main view's scale divided by this."""


_CLOSE: Final = 100.0
"""Most height of a view that is drawn larger than the others, mm on paper."""


@dataclass(frozen=True, slots=True)
class Left:
    """Texts that are still to be set."""

    pieces: Sequence[Piece]
    """Begun, or made at the width of a column."""
    blocks: Sequence[Block]


def companion_pages(
    board: Board, main: Figure, marks: dict[str, str], left: Left, *, enlarge: bool
) -> list[Page]:
    """Return the sheets that hold the companion views and the texts that are left.

    The companions are drawn at the largest scale with which the fewest sheets are needed,
    and with which the rule table is not torn, if there is one.

    Args:
        board: The divided paper.
        main: The main view.
        marks: Letters of the failing rules.
        left: Texts that the first sheet could not hold.
        enlarge: Whether a part of the section is enlarged where a sheet has room for it.
    """
    texts = _texts(board, left)
    layouts = board.request.section.layouts
    if not layouts:
        empty = not (texts.wide or texts.narrow)
        return [] if empty else _set(board, Page(), board.text_columns(), texts, main)
    pages: list[Page] = []
    while layouts:
        drawn = _drawn_page(board, layouts, main, marks, texts)
        keys = [blocks.keynotes(f.keynotes, _key_title(f.id)) for f in drawn.figures]
        texts = replace(texts, wide=[*pieces_of(keys, board.double), *texts.wide])
        layouts = layouts[len(drawn.figures) :]
        if layouts:
            texts = _fill_page(board, drawn.page, drawn.columns, texts)
            pages.append(drawn.page)
        else:
            pages += _set(
                board, drawn.page, drawn.columns, texts, main if enlarge else None
            )
    return pages


@dataclass(frozen=True, slots=True)
class _DrawnPage:
    """A page with companion views, and what is free on it."""

    page: Page
    columns: list[Column]
    figures: list[Figure]


def _drawn_page(
    board: Board,
    layouts: Sequence[Layout],
    main: Figure,
    marks: dict[str, str],
    texts: "_Texts",
) -> _DrawnPage:
    """Set as many of the views as go on one page, the first of them at least."""
    for count in range(len(layouts), 0, -1):
        group = layouts[:count]
        for scale in _scales_for(board, group, main, texts):
            page, columns = Page(), board.text_columns()
            own = [_own_scale(board, v, scale) for v in group]
            figures = [
                _figure(board, v, large, main, marks)
                for v, large in zip(group, own, strict=True)
            ]
            if all(_place(board, page, columns, f) for f in figures):
                return _DrawnPage(page, columns, figures)
    raise AssertionError("a companion view fits at some standard scale")


def _scales_for(
    board: Board, layouts: Sequence[Layout], main: Figure, texts: "_Texts"
) -> list[Scale]:
    """Return the scales at which views go on one page, the best one first.

    That is the one with the fewest sheets, then the largest; fault marks may ask for more
    room yet. Views that only go on one page at a very small scale go on several.
    """
    request = board.request
    keys = [_key(v, len({p.name for p in v.parts})) for v in layouts]
    supposed = replace(texts, wide=[*pieces_of(keys, board.double), *texts.wide])
    wanted = [(v, layout_dimensions(request, v)) for v in layouts]
    choices: list[tuple[int, bool, int, Scale]] = []
    for order, scale in enumerate(request.catalog.drafting.scales_of(request.units)):
        small = scale.factor > _SMALLER * main.scale.factor
        if small and (choices or len(layouts) > 1):
            break
        columns = board.text_columns()
        own = [_own_scale(board, v, scale) for v in layouts]
        if all(
            _take(board, columns, expected_box(v, w, large), (v.title.upper(), ""), large)
            for (v, w), large in zip(wanted, own, strict=True)
        ):
            count, torn = _sheets_needed(board, columns, supposed)
            choices.append((count, torn, order, scale))
    return [scale for _, _, _, scale in sorted(choices, key=lambda c: c[:3])]


def _own_scale(board: Board, layout: Layout, scale: Scale) -> Scale:
    """Return the scale of a view where others have the one given.

    One that must be seen closely is drawn as large as two columns allow.
    """
    if not layout.close:
        return scale
    wanted = layout_dimensions(board.request, layout)
    for larger in board.request.catalog.drafting.scales_of(board.request.units):
        if larger.factor >= scale.factor:
            break
        x0, y0, x1, y1 = expected_box(layout, wanted, larger)
        if x1 - x0 <= board.double - 2.0 and y1 - y0 <= _CLOSE:
            return larger
    return scale


def _fill_page(
    board: Board, page: Page, columns: list[Column], texts: "_Texts"
) -> "_Texts":
    """Set texts into what is free on a page; return what is left."""
    filled, left = _filled(board, columns, texts, even=True)
    for column in filled:
        page.items += column.items
        page.used += fsum(row.height for row, _ in column.rows)
    return left


@dataclass(frozen=True, slots=True)
class _Texts:
    """Texts made at the width at which they are set."""

    wide: Sequence[Piece]
    """Over two columns."""
    narrow: Sequence[Piece]

    def __bool__(self) -> bool:
        return bool(self.wide or self.narrow)


def _texts(board: Board, left: Left) -> _Texts:
    wide = [b for b in left.blocks if b.wide]
    narrow = [b for b in left.blocks if not b.wide]
    return _Texts(
        pieces_of(wide, board.double), [*left.pieces, *pieces_of(narrow, board.column)]
    )


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
    for span in range(1, max(2, len(columns))):
        room = span * (columns[0].width + GUTTER) - GUTTER
        if room >= wide + 2.0:
            break
    else:
        return None
    under = caption(words[0], scale, [words[1]], room, board.request.units)[1]
    top = min(c.top - (GAP if c.started else 0.0) for c in columns[:span])
    low = top - high - under - 9.0
    if low + GAP < columns[0].bottom:  # nothing need stand below it
        return None
    for column in columns[:span]:
        column.top, column.started = low, False
    return room, top - high - 1.0


def _place(board: Board, page: Page, columns: list[Column], figure: Figure) -> bool:
    """Set a view with its caption; say whether there was room."""
    x0 = columns[0].x
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


def _sheets_needed(board: Board, columns: list[Column], texts: _Texts) -> tuple[int, bool]:
    """Return how many sheets the texts take, and whether the table leaves the first one.

    The first is the one with the views.
    """
    count, left = 1, _filled(board, columns, texts)[1]
    torn = bool(left.wide)
    while left:
        before = left
        count, left = count + 1, _filled(board, board.text_columns(), left)[1]
        assert left != before, "no text is taller than a sheet"
    return count, torn


def _filled(
    board: Board, columns: Sequence[Column], texts: _Texts, *, even: bool = False
) -> tuple[list[Column], _Texts]:
    """Set texts into columns, the wide ones over the first two; return what is left.

    Args:
        board: The divided paper.
        columns: What is free.
        texts: What is to be set.
        even: Whether the narrow ones shall end at about the same level.
    """
    first, second = columns[:2]
    top = min(first.top, second.top)
    strip = Column(first.x, board.double, top, first.bottom, started=first.started)
    wide = fill(texts.wide, [strip])
    free = _copies(columns)
    if strip.rows:
        for column in free[:2]:
            column.top, column.started = strip.top, True
    if even:
        free, narrow = balanced(texts.narrow, free)
    else:
        narrow = fill(texts.narrow, free)
    return [strip, *free], _Texts(wide, narrow)


def _set(
    board: Board, page: Page, columns: list[Column], texts: _Texts, main: Figure | None
) -> list[Page]:
    """Set texts into the columns of a page that has views, then of further ones.

    Args:
        board: The divided paper.
        page: The first page.
        columns: What is free on it.
        texts: What is to be set.
        main: The main view, if a part of it is to be enlarged where there is room.
    """
    pages = [page]
    left = texts
    while True:
        if main and not _filled(board, columns, left)[1]:

            def all_fit(trial: list[Column], left: _Texts = left) -> bool:
                return not _filled(board, trial, left)[1]

            place_enlarged(board, pages[-1], columns, main, all_fit)
        left = _fill_page(board, pages[-1], columns, left)
        if not left:
            return pages
        pages.append(Page())
        columns = board.text_columns()


def _copies(columns: Sequence[Column]) -> list[Column]:
    return [Column(c.x, c.width, c.top, c.bottom, started=c.started) for c in columns]


def place_enlarged(
    board: Board,
    page: Page,
    columns: list[Column],
    main: Figure,
    rest_fits: Callable[[list[Column]], bool],
) -> bool:
    """Set an enlarged part of the section where there is room; say whether there was.

    Args:
        board: The divided paper.
        page: Where it is set.
        columns: What is free there.
        main: The main view, whose numbers are kept.
        rest_fits: Says whether what else must stand in the columns still does.
    """

    def fits(box: Box, scale: Scale) -> bool:
        trial = _copies(columns)
        note = thickness_note(thickened(board.request, scale.factor))
        taken = _take(board, trial, box, (TITLE, note), scale)
        return taken is not None and rest_fits(trial)

    figure = enlarged_figure(board.request, main, fits)
    return figure is not None and _place(board, page, columns, figure)


def _key(layout: Layout, count: int) -> Block:
    """Return a key as long as a companion's will be, to measure with."""
    notes = [blocks.Keynote("0", "Part", "") for _ in range(count)]
    return blocks.keynotes(notes, _key_title(layout.id))


def _key_title(layout_id: str) -> str:
    return f"KEY TO THE {layout_id.replace('-', ' ').upper()}"
