"""The sheets on which the pieces of a run are laid out, with their schedule."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from math import ceil, floor
from typing import Final

from detailgen.catalog import COMMON_PRACTICE, Scale
from detailgen.lettering import letterable
from detailgen.pieces._courses import Laid, Line, Way
from detailgen.pieces._run import Gave, Lost
from detailgen.pieces.view import (
    Stretch,
    height_of,
    least_scale_width,
    names_width,
    stretch_figure,
)
from detailgen.scene import Item, Scene
from detailgen.sheet import blocks
from detailgen.sheet.blocks import TOP, height_for, paragraph
from detailgen.sheet.board import Board, Page, board_of
from detailgen.sheet.caption import caption
from detailgen.sheet.figure import Figure, label_of
from detailgen.sheet.flow import GAP, Block, Column, Row, fill, moved, pieces_of, right
from detailgen.sheet.flow import line as text_line
from detailgen.sheet.pages import lettered
from detailgen.sheet.request import SheetRequest
from detailgen.units import MM_PER_FOOT, UnitSystem, show_length, show_run

_LARGEST: Final = 8.0
"""Pieces are never drawn larger than this."""
_SHEETS: Final = 2
"""On so many sheets a run goes where a usual scale allows."""
_BETWEEN: Final = 5.0
"""Between two rows, mm."""
_SQUARE_FOOT: Final = MM_PER_FOOT**2 / 1e6
_UPHILL: Final = (
    "Pieces across the roll start at the low point; each next one lies over the one "
    "before, so that water runs over the seams."
)
_BOTH: Final = (
    "The takeoff counts a lap for every piece and one at each end, in proportion to the "
    "length; pieces are whole. Of metal it counts joints by themselves. Offcuts and waste "
    "are in neither."
)
_LOST: Final = {
    Gave.BELOW: ("seam lies", "seams lie", "nearer to those below than asked"),
    Gave.CORNER: ("seam lies", "seams lie", "nearer to a corner than asked"),
    Gave.SLIVER: ("piece is", "pieces are", "narrower than asked"),
}
"""What is told of one, of several, and of what is not kept."""


@dataclass(frozen=True, slots=True)
class _Plan:
    scale: Scale
    stretches: tuple[Stretch, ...]
    each: float
    """Height of a row, mm."""
    count: int
    """Rows on a sheet."""


def piece_sheets(
    request: SheetRequest, courses: Sequence[Laid], run: Line, *, assumed: bool
) -> tuple[Scene, ...]:
    """Return the sheets with the pieces of a condition; none where nothing is in pieces.

    Args:
        request: The condition.
        courses: Its courses with their pieces.
        run: Where its run lies.
        assumed: Whether the file says nothing of low point and ends.
    """
    if not courses:
        return ()
    board = board_of(lettered(request))
    request = board.request
    plan = _plan(board, courses, run)
    figures = [
        stretch_figure(courses, run, stretch, plan.scale, request.units, n)
        for n, stretch in enumerate(plan.stretches, 1)
    ]
    texts = _texts(request, courses, run, assumed=assumed)
    waiting = pieces_of(texts, board.column)
    pages: list[Page] = []
    left = list(figures)
    while left or waiting:
        page = Page()
        columns = [board.side_column()]
        if left:
            low = _set(board, page, plan, left)
            left = left[plan.count :]
            y0 = board.inner[1]
            if low - y0 > 30.0 and not left:
                columns += [
                    Column(c.x, c.width, low - GAP, y0) for c in board.text_columns()[:-1]
                ]
        else:
            columns = board.text_columns()
        waiting = fill(waiting, columns)
        for column in columns:
            page.items += column.items
        pages.append(page)
    return board.scenes(pages, "pieces", "Pieces")


def _plan(board: Board, courses: Sequence[Laid], run: Line) -> _Plan:
    """Return the largest scale at which the run goes on few sheets."""
    narrowest = min(b - a for one in courses for a, b in one.placed.pieces)
    need = least_scale_width(courses)
    found: list[tuple[float, bool, int, _Plan]] = []
    for scale in board.request.catalog.drafting.scales_of(board.request.units):
        if scale.factor < _LARGEST:
            continue
        plan = _rows(board, courses, run, scale)
        if plan is None:
            continue
        sheets = ceil(len(plan.stretches) / plan.count)
        shortest = min(s.end - s.start for s in plan.stretches)
        named = len(plan.stretches) == 1 or shortest / scale.factor >= names_width(courses)
        legible = narrowest / scale.factor >= need and named
        if sheets <= _SHEETS and legible:
            return plan
        # Where no scale holds all numbers, a larger one at least parts them.
        short = max(0.0, need - narrowest / scale.factor)
        found.append((short, not legible, sheets, plan))
    assert found, "a row of pieces fits at some standard scale"
    return min(found, key=lambda one: one[:3])[3]


def _rows(board: Board, courses: Sequence[Laid], run: Line, scale: Scale) -> _Plan | None:
    """Return the rows of a run at a scale; None where not even one row fits."""
    _, y0, _, y1 = board.inner
    wide = (board.rest - 4.0) * scale.factor
    unit = MM_PER_FOOT if board.request.inches else 500.0
    length = run.run
    if run.run > wide:
        length = max(floor(wide / unit), 1) * unit
        rows = ceil(run.run / length)
        left = (run.run - (rows - 1) * length) / scale.factor
        if left < names_width(courses):  # the last row could not hold the bands' names
            length = ceil(run.run / rows / unit) * unit
            if (run.run - (rows - 1) * length) / scale.factor < names_width(courses):
                length = run.run / rows
    stretches: list[Stretch] = []
    at = 0.0
    while at < run.run - 1e-6:
        stretches.append(Stretch(at, min(at + length, run.run)))
        at += length
    each = height_of(courses, scale.factor) + _BETWEEN
    title = _caption(board, scale, board.rest)[1] + 3.0
    count = int((y1 - y0 - title) // each)
    return _Plan(scale, tuple(stretches), each, count) if count else None


def _caption(board: Board, scale: Scale, width: float) -> tuple[list[Item], float]:
    request = board.request
    title = letterable(f"PIECES {request.mark}: {request.title}".upper())
    notes = [
        "Unrolled, from left to right as seen from the roof; the triangle is the low point."
    ]
    return caption(title, scale, notes, width, request.units)


def _set(board: Board, page: Page, plan: _Plan, figures: Sequence[Figure]) -> float:
    """Set rows from the top, and the caption under them; return the level under all."""
    x0, _, _, y1 = board.inner
    y = y1
    for figure in figures[: plan.count]:
        y -= figure.height
        page.views.append(figure.view(x0 + 2.0, y))
        y -= _BETWEEN
    under, high = _caption(board, plan.scale, board.rest)
    page.items += [moved(i, x0, y) for i in under]
    page.scales.append(label_of(plan.scale))
    return y - high - 3.0


def _texts(
    request: SheetRequest, courses: Sequence[Laid], run: Line, *, assumed: bool
) -> list[Block]:
    used = [request.catalog.limits[n] for n in _limits(courses)]
    asked = [
        (
            f"{limit.text.removesuffix(', at least')}:",
            f"at least {show_length(limit.value, request.units)}"
            + ("." if limit.source == COMMON_PRACTICE else f" ({limit.source})."),
        )
        for limit in used
    ]
    return [
        Block(
            "SCHEDULE OF PIECES",
            lambda width: _schedule(request, courses, width),
        ),
        blocks.numbered("THE RUN", _told_run(request, courses, run, assumed=assumed)),
        Block("PIECES AND TAKEOFF", lambda width: _compared(request, courses, run, width)),
        blocks.numbered("WHAT THE LAYOUT KEEPS", asked),
    ]


def _limits(courses: Sequence[Laid]) -> list[str]:
    return list(dict.fromkeys(name for one in courses for name in one.limits))


def _told_run(
    request: SheetRequest, courses: Sequence[Laid], run: Line, *, assumed: bool
) -> list[tuple[str, str]]:
    units = request.units
    where = "at the left end" if run.low == 0.0 else f"{show_run(run.low, units)} from it"
    told = (
        f"{show_run(run.run, units)} from the left end, where there is "
        f"{run.left or 'no corner'}, to the right end with {run.right or 'no corner'}; "
        f"low point {where}."
    )
    lead = "Assumed:" if assumed else ""
    found = [(lead, told)]
    if any(one.course.way is Way.HUNG for one in courses):
        found.append(("", _UPHILL))
    found += [
        (f"{one.course.mark}:", lost_words(lost, units))
        for one in courses
        for lost in one.placed.lost
    ]
    return found


def lost_words(lost: Lost, units: UnitSystem) -> str:
    """Return in a sentence what a course does not keep, and by how much it falls short."""
    one, several, what = _LOST[lost.gave]
    many = one if lost.count == 1 else several
    return f"{lost.count} {many} {what}: {show_length(lost.least, units)} at the least."


def _schedule(request: SheetRequest, courses: Sequence[Laid], width: float) -> list[Row]:
    rows: list[Row] = []
    for one in courses:
        head = paragraph(_cut_from(request, one), width, bold=f"{one.course.mark}:")
        rows.append(Row(head.height, head.items, with_next=True))
        rows += [_line(request, one, *group, width) for group in _groups(one)]
    return rows


def _groups(one: Laid) -> list[tuple[str, float, int]]:
    """Return pieces of one width that follow one another: numbers, width, how many."""
    found: list[tuple[str, float, int]] = []
    for width, some in groupby(one.numbered(), key=lambda p: round(p[2] - p[1], 1)):
        names = [number for number, _, _ in some]
        told = names[0] if len(names) == 1 else f"{names[0]} to {names[-1]}"
        found.append((told, width, len(names)))
    return found


def _line(
    request: SheetRequest, one: Laid, names: str, wide: float, count: int, width: float
) -> Row:
    shown = dict.fromkeys(show_length(w, request.units) for w in one.course.widths)
    high = " + ".join(shown)
    size = f"{show_length(wide, request.units)} x {high}"
    items = (
        text_line(names, 4.0, -TOP),
        right(f"{count * one.sides}", 0.4 * width, -TOP),
        right(size, width, -TOP),
    )
    return Row(height_for(1) - 0.8, items)


def _cut_from(request: SheetRequest, one: Laid) -> str:
    """Return in words what a course is cut from, and how it meets along the run."""
    course, units = one.course, request.units
    pack = request.catalog.pack(course.material)
    count = len(one.placed.pieces) * one.sides
    high, sides = (
        course.widths[0],
        f" on each of {one.sides} sides" if one.sides > 1 else "",
    )
    meets = (
        f"lapped {show_length(course.lap, units)}"
        if course.lap > 0.0
        else f"with gaps of {show_length(-course.lap, units)} over plates"
        if course.lap < 0.0
        else "butted"
    )
    told, pieces = f"{course.name}{sides}, {meets}; ", _many(count, "piece")
    if course.way is Way.HUNG:
        each = max(floor(pack.length / high + 1e-6), 1)
        rolls = ceil(count / each)
        return f"{told}{pieces}, {each} from a {pack.name}: {_many(rolls, pack.name)}."
    if not pack.width:  # bought as bars
        return f"{told}{pieces}."
    beside = max(floor(pack.width / high + 1e-6), 1)
    whole = ceil(count / beside)
    if count <= beside:
        return f"{told}{pieces} from {_many(whole, pack.name)}."
    among = f"{beside} beside one another: " if beside > 1 else ""
    return f"{told}{pieces}, {among}{_many(whole, pack.name)}."


def _many(count: int, name: str) -> str:
    return f"{count} {name}" if count == 1 else f"{count} {name}s"


def _compared(
    request: SheetRequest, courses: Sequence[Laid], run: Line, width: float
) -> list[Row]:
    """Return the area of the pieces beside what the takeoff counts."""
    unit, factor = ("sq ft", 1.0 / _SQUARE_FOOT) if request.inches else ("m²", 1.0)
    stops = 0.62 * width, width
    head = (
        text_line(f"{unit}, laps in it", 0.0, -TOP),
        right("pieces", stops[0], -TOP),
        right("takeoff", stops[1], -TOP),
    )
    rows = [Row(height_for(1), head, with_next=True)]
    for one in courses:
        items = (
            text_line(one.course.mark, 0.0, -TOP),
            right(f"{one.area * factor:.1f}", stops[0], -TOP),
            right(f"{one.counted(run.run) * factor:.1f}", stops[1], -TOP),
        )
        rows.append(Row(height_for(1) - 0.8, items))
    rows.append(
        paragraph(
            _BOTH,
            width,
        )
    )
    return rows
