"""Stage sheets: a panel for each stage, all at one scale and in one frame."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum
from typing import Final

from detailgen.catalog import Scale
from detailgen.lessons.captions import caption_rows
from detailgen.lessons.stage_rests import ruled_free, stages_block
from detailgen.lessons.stage_view import key_of_panels, stage_figure
from detailgen.lessons.step import Step, steps_of
from detailgen.scene import Path, Scene
from detailgen.section import LayeredSection
from detailgen.sheet import blocks
from detailgen.sheet.board import GUTTER, Board, Page, board_of, fill_whole
from detailgen.sheet.caption import caption
from detailgen.sheet.figure import Figure, label_of
from detailgen.sheet.flow import GAP, Block, Column, Piece, Row, fill, moved, pieces_of
from detailgen.sheet.legend import legend
from detailgen.sheet.pages import lettered
from detailgen.sheet.plane import Box
from detailgen.sheet.request import SheetRequest
from detailgen.sheet.section_view import body_box
from detailgen.sheet.thickening import thickened, thickness_note

_NARROWEST: Final = 72.0
"""Least width of a panel, mm."""
_WIDEST: Final = 140.0
"""Most width of a caption beside its panel, mm: longer lines are hard to follow."""
_SMALL: Final = 16.0
"""Panels are drawn smaller than this only where nothing else fits."""
_PER_FACTOR: Final = 0.3
"""What it is worth to draw larger, in sheets."""
_CLEAR: Final = 3.0
"""From a panel's frame to what is drawn in it, mm."""
_UNDER: Final = 2.5
"""From a panel's frame to its caption, mm."""


@dataclass(frozen=True, slots=True)
class _Plan:
    """How panels are set: how many beside one another, at which scale, on which sheets."""

    columns: int
    beside: bool
    """Whether captions stand beside panels that are one under another."""
    scale: Scale
    drawn: LayeredSection
    """The finished section, thin things thickened for the scale."""
    rows: tuple[tuple[tuple[int, ...], ...], ...]
    """For each sheet its rows, each with the indices of its steps."""


def stage_sheets(request: SheetRequest) -> tuple[Scene, ...]:
    """Return the stage sheets of one condition."""
    board = board_of(lettered(request))
    request = board.request
    steps = steps_of(request.section, request.findings, request.catalog)
    plan = _plan(board, steps)
    thicker = thickened(request, plan.scale.factor)
    drawn = plan.drawn
    figures = [stage_figure(drawn, s, request.catalog, plan.scale) for s in steps]
    note = f"{thickness_note(thicker)} All panels at this scale."
    waiting = pieces_of(_beside(board, plan, note, figures), board.column)
    pages: list[Page] = []
    for sheet in plan.rows:
        page = Page(scales=[label_of(plan.scale)])
        low, free = _set_panels(board, page, (plan, sheet), steps, figures)
        columns = [board.side_column()]
        if len(pages) == len(plan.rows) - 1:
            columns += _below(board, low)
        waiting = fill(waiting, columns)
        if not waiting:
            here = frozenset(index for row in sheet for index in row)
            fill_whole(_piece(stages_block(steps, here), board), columns[:1])
        if not any(c.started for c in columns[1:]):
            x0, y0, _, _ = board.inner
            free.append(Column(x0, board.rest, low, y0))
        columns += ruled_free(free)
        page.items += [i for c in columns for i in c.items]
        pages.append(page)
    while waiting:
        page, columns = Page(), board.text_columns()
        waiting = fill(waiting, columns)
        page.items += [i for c in columns for i in c.items]
        pages.append(page)
    return board.scenes(pages, "stages", "Stages")


def _plan(board: Board, steps: Sequence[Step]) -> _Plan:
    """Return the arrangement that is best for size and number of sheets."""
    request = board.request
    _, low, _, top = board.inner
    found: list[tuple[bool, float, int, _Plan]] = []
    scales = [
        (s, request.rebuild(thickened(request, s.factor)))
        for s in request.catalog.drafting.scales_of(request.units)
    ]
    for count in range(1, max(2, int((board.rest + GUTTER) / (_NARROWEST + GUTTER))) + 1):
        width = panel_width(board, count)
        heights = _heights(steps, width, request)
        for scale, drawn in scales:
            box = _panel_box(drawn, scale)
            wide, high = box[2] - box[0], box[3] - box[1]
            room = width - wide - GUTTER
            if wide > width or high > top - low:
                continue
            whole = [high + _UNDER + h for h in heights]
            ways = [(False, whole)]
            if count == 1 and _NARROWEST <= room <= _WIDEST:
                told = _heights(steps, room, request)
                ways.append((True, [max(high, h) for h in told]))
            for beside, tall in ways:
                if max(tall) > top - low:
                    continue
                rows = _packed(tall, count, top - low)
                cost = len(rows) + _PER_FACTOR * scale.factor
                small = scale.factor > _SMALL
                plan = _Plan(count, beside, scale, drawn, rows)
                found.append((small, cost, count, plan))
    assert found, "a section fits beside its caption at some standard scale"
    return min(found, key=lambda one: one[:3])[3]


def panel_width(board: Board, count: int) -> float:
    """Return the width of one of so many panels beside one another."""
    return (board.rest + GUTTER) / count - GUTTER


def _panel_box(drawn: LayeredSection, scale: Scale) -> Box:
    """Return the frame of every panel, on paper about the model's origin."""
    x0, y0, x1, y1 = body_box(drawn, scale.factor)
    return x0 - _CLEAR, y0 - _CLEAR, x1 + _CLEAR, y1 + _CLEAR


def _heights(steps: Sequence[Step], width: float, request: SheetRequest) -> list[float]:
    """Return how high the captions are in a width."""
    rows = (caption_rows(step, width, request.units) for step in steps)
    return [fsum(row.height for row in some) for some in rows]


def _packed(
    heights: Sequence[float], count: int, room: float
) -> tuple[tuple[tuple[int, ...], ...], ...]:
    """Return the steps in rows of `count`, and the rows on sheets."""
    sheets: list[list[tuple[int, ...]]] = [[]]
    left = room
    for first in range(0, len(heights), count):
        row = tuple(range(first, min(first + count, len(heights))))
        tall = max(heights[i] for i in row) + GAP
        if sheets[-1] and tall > left + GAP:
            sheets.append([])
            left = room
        sheets[-1].append(row)
        left -= tall
    return tuple(map(tuple, sheets))


def _set_panels(
    board: Board,
    page: Page,
    planned: tuple[_Plan, Sequence[Sequence[int]]],
    steps: Sequence[Step],
    figures: Sequence[Figure],
) -> tuple[float, list[Column]]:
    """Set rows of panels with their captions.

    Returns:
        The level at which they end, and what is free beside the last ones.
    """
    plan, sheet = planned
    x0, _, _, top = board.inner
    width = panel_width(board, plan.columns)
    frame = _panel_box(plan.drawn, plan.scale)
    wide, high = frame[2] - frame[0], frame[3] - frame[1]
    free: list[Column] = []
    for row in sheet:
        low = top
        for place, index in enumerate(row):
            x = x0 + place * (width + GUTTER)
            # beside its caption a panel is as wide as what it draws
            panel = wide if plan.beside else width
            left = x + (panel - wide) / 2
            figure = figures[index]
            figure.box = frame
            page.views.append(figure.view(left, top - high, pad=0.0))
            ring = (
                (x, top - high),
                (x + panel, top - high),
                (x + panel, top),
                (x, top),
            )
            page.items.append(Path(ring, "table", closed=True))
            y, under = top - high - _UNDER, x
            room = width
            if plan.beside:
                y, under = top, x + panel + GUTTER
                room = width - panel - GUTTER
            for one in caption_rows(steps[index], room, board.request.units):
                page.items += [moved(i, under, y) for i in one.items]
                y -= one.height
            low = min(low, y, top - high)
        if missing := plan.columns - len(row):
            beside = x0 + len(row) * (width + GUTTER)
            free.append(Column(beside, missing * (width + GUTTER) - GUTTER, top, low))
        top = low - GAP
    return top, free


def _piece(block: Block, board: Board) -> Piece:
    return pieces_of([block], board.column)[0]


def _below(board: Board, level: float) -> list[Column]:
    """Return what is free under the panels of a sheet, in columns of text."""
    return [Column(c.x, c.width, level, c.bottom) for c in board.text_columns()[:-1]]


def _beside(board: Board, plan: _Plan, note: str, figures: list[Figure]) -> list[Block]:
    """Return the texts beside the panels: scale, legend, cautions."""
    request = board.request
    title = f"STAGES {request.mark}: {request.title}".upper()

    def scaled(width: float) -> list[Row]:
        items, height = caption(title, plan.scale, [note], width, request.units)
        return [Row(height, tuple(items))]

    drafting = request.catalog.drafting
    ways = {w for s in _ways(request) for w in s}
    return [
        Block("FROM STAGE TO STAGE", scaled),
        legend(key_of_panels(request, plan.drawn, figures), request.catalog),
        blocks.printed(
            f"CAUTIONS: {request.section.method.upper()}",
            drafting.cautions_for(frozenset({*ways, str(request.section.method)})),
        ),
    ]


def _ways(request: SheetRequest) -> list[list[str]]:
    steps = steps_of(request.section, request.findings, request.catalog)
    return [[*s.signs] for s in steps]
