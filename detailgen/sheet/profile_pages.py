"""The sheets with the profiles of bent metal: each view with its table under it."""

from collections.abc import Iterator
from dataclasses import replace
from math import fsum
from typing import Final

from detailgen.profile import Bend, End, HoleRow, Make, Profile
from detailgen.sheet import blocks
from detailgen.sheet.blank_view import blank_figure
from detailgen.sheet.board import Board, Page
from detailgen.sheet.caption import caption
from detailgen.sheet.figure import Figure, label_of
from detailgen.sheet.flow import (
    GAP,
    Block,
    Column,
    Piece,
    Row,
    fill,
    moved,
    pieces_of,
    whole_height,
)
from detailgen.sheet.profile_view import profile_figure
from detailgen.sheet.request import SheetRequest
from detailgen.units import UnitSystem, show_angle, show_length, show_run, show_thickness

_LEAST: Final = 0.3
"""Share of a column's height that a view has at least, whatever its table takes."""
_CAPTION: Final = 42.0
"""What caption and white space take, mm."""
_NARROW: Final = 90.0
"""In a column narrower than this, mm, a view has no room for its labels."""
_ROWS: Final = 30.0
"""A table that goes on in the next column begins with at least so much, mm."""
_SMALL: Final = 8.0
"""A flat piece is drawn smaller than this only where nothing else fits."""
_BROAD: Final = 0.7
"""A flat piece is shown at least so many times as long as it is wide, if it can be."""
_ROOM: Final = 9.0
"""White space about a view and its caption, mm."""


def profile_pages(board: Board) -> list[Page]:
    """Return the sheets with the profiles of a condition; none where nothing is bent."""
    shop = board.request.shop
    if not shop.profiles:
        return []
    setter = _Setter(board)
    alone = len(shop.profiles) == 1 or board.column < _NARROW
    for number, profile in enumerate(shop.profiles, 1):
        table = pieces_of([_table(board.request, profile, number)], board.column)
        if alone:
            wide = setter.set_wide(_figure(board, profile, number, [], board.double))
            setter.set_under(wide, profile, number)
            setter.flow(table)
        else:
            setter.set(_figure(board, profile, number, table, board.column), table)
    for number, profile in enumerate(shop.profiles if not alone else (), 1):
        setter.set_blank(profile, number)
    setter.flow(pieces_of(_left_out(board.request), board.column))
    return setter.finished()


class _Setter:
    """Sets views and tables into the columns of pages, from left to right."""

    def __init__(self, board: Board) -> None:
        self._board = board
        self._pages: list[Page] = []
        self._columns: list[Column] = []
        self._left: list[Column] = []

    def set(self, figure: Figure, table: list[Piece]) -> None:
        """Set a view with its table, together in one column where that has room."""
        room = self._high(figure) + fsum(whole_height(p, self._board.column) for p in table)
        for column in self._columns:
            if self._free(column) >= room + GAP:
                self._place(column, figure)
                fill(table, [column])
                return
        fresh = [c for c in self._columns if not c.started]
        if not fresh or fresh[0].room < self._high(figure) + _ROWS:
            self._turn()
        else:
            self._leave(self._columns.index(fresh[0]))
        self._place(self._columns[0], figure)
        self.flow(table)

    def set_wide(self, figure: Figure) -> Column:
        """Set a view over two columns of a new page; return what is free of them."""
        wide = self._wide()
        self._place(wide, figure)
        return wide

    def _wide(self) -> Column:
        """Return two columns of a new page as one."""
        self._turn()
        wide = replace(self._columns[0], width=self._board.double)
        self._leave(2)
        return wide

    def _fresh(self) -> list[Column]:
        """Return the columns of a new page."""
        self._turn()
        return self._columns

    def set_under(self, column: Column, profile: Profile, number: int) -> None:
        """Set a flat piece into a column, or elsewhere where it were too small there."""
        if figure := self._blank(profile, number, [column]):
            self._place(column, figure)
        else:
            self.set_blank(profile, number)

    def set_blank(self, profile: Profile, number: int) -> None:
        """Set a flat piece where it is largest, on a further page if need be."""
        columns = self._columns
        figure = self._blank(profile, number, columns)
        if figure is None:
            columns = [self._wide()] if self._board.column < _NARROW else self._fresh()
            figure = self._blank(profile, number, columns, tiny=True)
        assert figure is not None, "a flat piece fits into a column at some scale"
        self._place(next(c for c in columns if self._takes(c, figure)), figure)

    def _blank(
        self, profile: Profile, number: int, columns: list[Column], *, tiny: bool = False
    ) -> Figure | None:
        """Return a flat piece at the largest scale that some column has room for.

        At a smaller one where it is seen in so little of its length that it would not be
        recognised.
        """
        request = self._board.request
        found: list[Figure] = []
        for scale in request.catalog.drafting.scales_of(request.units):
            if scale.factor > _SMALL and (found or not tiny):
                break
            tried = (
                blank_figure(request, profile, number, scale, c.width - 2.0)
                for c in columns
            )
            found += [f for f, c in zip(tried, columns, strict=True) if self._takes(c, f)]
        return max(found, key=lambda f: min(_BROAD, _breadth(f)), default=None)

    def _takes(self, column: Column, figure: Figure) -> bool:
        """Return whether a column has room for a view with its caption."""
        high = self._high(figure, column.width)
        return figure.width <= column.width - 2.0 and high <= self._free(column)

    def flow(self, pieces: list[Piece]) -> None:
        """Set pieces wherever there is room, on further pages if need be."""
        while pieces := fill(pieces, self._columns):
            self._turn()

    def finished(self) -> list[Page]:
        """Return the pages with all that was set."""
        self._finish()
        return self._pages

    def _leave(self, count: int) -> None:
        """Set nothing more into the first columns of the page."""
        self._left += self._columns[:count]
        self._columns = self._columns[count:]

    def _free(self, column: Column) -> float:
        return column.room - (GAP if column.started else 0.0)

    def _turn(self) -> None:
        self._finish()
        self._pages.append(Page())
        self._columns, self._left = self._board.text_columns(), []

    def _finish(self) -> None:
        for column in (*self._left, *self._columns):
            self._pages[-1].items += column.items
            self._pages[-1].used += fsum(row.height for row, _ in column.rows)

    def _caption(self, figure: Figure, width: float) -> Row:
        units = self._board.request.units
        items, high = caption(figure.title, figure.scale, figure.notes, width, units)
        return Row(high, tuple(items))

    def _high(self, figure: Figure, width: float = 0.0) -> float:
        under = self._caption(figure, width or self._board.column).height
        return figure.height + under + _ROOM + GAP

    def _place(self, column: Column, figure: Figure) -> None:
        """Set a view with its caption at the top of what is free of a column."""
        if column.started:
            column.top -= GAP
        bottom = column.top - figure.height - 1.0
        page = self._pages[-1]
        left = column.x + (column.width - figure.width) / 2.0
        page.views.append(figure.view(left, bottom))
        page.scales.append(label_of(figure.scale))
        under = self._caption(figure, column.width)
        page.items += [moved(i, column.x, bottom - 3.0) for i in under.items]
        column.top = bottom - 3.0 - under.height - 2.0
        column.started = True


def _figure(
    board: Board, profile: Profile, number: int, table: list[Piece], room: float
) -> Figure:
    """Return the view at the largest scale at which it has room, its table under it.

    Args:
        board: The divided paper.
        profile: What is drawn.
        number: Its number.
        table: What shall stand under it, if anything.
        room: Width of what it stands in, mm.
    """
    request = board.request
    whole = board.text_columns()[0].room
    below = fsum(whole_height(p, board.column) for p in table) + _CAPTION
    high = max(whole - below, _LEAST * whole)
    width = room - 2.0
    scales = request.catalog.drafting.scales_of(request.units)
    xs, ys = zip(*profile.course, strict=True)
    for scale in scales:
        last = scale is scales[-1]
        across, up = (max(v) - min(v) for v in (xs, ys))
        if not last and (across > width * scale.factor or up > high * scale.factor):
            continue
        figure = profile_figure(profile, number, scale, request.units, width)
        if last or (figure.width <= width and figure.height <= high):
            return figure
    raise AssertionError("a series of scales is never empty")


def _breadth(figure: Figure) -> float:
    """Return how many times as long as it is wide a flat piece is shown."""
    x0, y0, x1, y1 = figure.body
    return (x1 - x0) / (y1 - y0)


def _table(request: SheetRequest, profile: Profile, number: int) -> Block:
    """Return what a shop must know of a piece besides its view."""
    said = list(_said(profile, request.units))

    def rows(width: float) -> list[Row]:
        return [blocks.paragraph(text, width, bold=f"{bold}:") for bold, text in said]

    return Block(f"SHOP DATA OF PROFILE {number}", rows)


def _said(profile: Profile, units: UnitSystem) -> Iterator[tuple[str, str]]:
    def long(mm: float) -> str:
        return show_length(mm, units)

    yield "Metal", profile.metal
    yield "Up on the brake", profile.face
    exact = show_thickness(profile.developed, units)
    yield "Developed width", f"{long(profile.developed)} ({exact}), with bend allowance"
    legs = ", ".join(long(leg.length) for leg in profile.legs)
    yield "Legs", f"{legs}, outside, from {_an(profile.start)} to {_an(profile.end)}"
    yield "Bends in this order", _bends(profile, units)
    lines = ", ".join(show_thickness(bend.at, units) for bend in profile.bends)
    yield "Middle of bends", f"{lines} across the flat piece, from the first edge"
    if profile.made_to_fit:
        yield "Piece", "made to fit its place, as the other views show; no joint in it"
    else:
        yield "Piece", f"{show_run(profile.piece, units)} long"
        yield "Joint", _joint(profile, units)
    for number, row in enumerate(profile.holes, 1):
        yield f"Holes {number}", _holes(profile, row, units)
    for note in profile.notes:
        yield "Note", note
    parts = ("neutral fibre", "inside radius", "growth", "temperatures")
    sources = (*profile.bend_sources, *profile.movement_sources)
    if profile.made_to_fit:
        parts, sources = parts[:2], profile.bend_sources
    said = (f"{part}: {source}" for part, source in zip(parts, sources, strict=True))
    yield "Sources", "; ".join(said)


def _an(end: End) -> str:
    return f"{'an' if end.value[0] in 'aeiou' else 'a'} {end}"


def _bends(profile: Profile, units: UnitSystem) -> str:
    def one(bend: Bend) -> str:
        if bend.make is Make.BEND:
            radius = show_thickness(bend.radius, units)
            return f"{show_angle(bend.angle)} {bend.turn}, inside radius {radius}"
        gap = f", {show_thickness(bend.gap, units)} clear" if bend.gap else ""
        return f"{bend.make} {bend.turn}{gap}"

    return "; ".join(one(bend) for bend in profile.bends)


def _joint(profile: Profile, units: UnitSystem) -> str:
    """Return what the pieces need between them, and what is drawn there."""
    moves = show_thickness(profile.movement, units)
    said = f"needs a gap of {show_length(profile.gap_needed, units)} (moves {moves})"
    if profile.gap_drawn is not None:
        tight = ", TOO TIGHT" if profile.gap_is_tight else ""
        said += f"; drawn {show_length(profile.gap_drawn, units)}{tight}"
    if profile.lap_drawn is not None:
        said += f"; pieces lap {show_length(profile.lap_drawn, units)}, free to slide"
    return said


def _holes(profile: Profile, row: HoleRow, units: UnitSystem) -> str:
    said = f"{row.name.lower()}, {show_length(row.across, units)} from the first edge"
    if row.spacing is None:
        return f"{said}; no view shows its spacing"
    said += f", {show_length(row.spacing, units)} apart"
    if row.first is not None:
        said += f", the first {show_length(row.first, units)} from the end"
    stagger = profile.stagger(row)
    if stagger:
        said += f"; staggered by {show_length(stagger, units)}"
    return said


def _left_out(request: SheetRequest) -> list[Block]:
    """Return which metals have no profile, and why."""
    out = request.shop.left_out

    def rows(width: float) -> list[Row]:
        return [
            blocks.paragraph(f"{one.reason}.", width, bold=f"{one.name}:") for one in out
        ]

    return [Block("METALS WITHOUT A PROFILE", rows)] if out else []
