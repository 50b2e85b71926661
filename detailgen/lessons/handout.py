"""The handout: the finished section in plain words, and room for notes."""

from typing import Final

from detailgen.catalog import COMMON_PRACTICE
from detailgen.finding import Outcome
from detailgen.lessons.class_figure import Called, Look, called_figure, first_fitting
from detailgen.lessons.class_pages import Pages, begin
from detailgen.lessons.class_paper import ClassPaper, Kind, class_paper
from detailgen.lessons.class_rows import (
    asked_width,
    column_width,
    columns_for,
    in_columns,
    named_cell,
    remembered,
)
from detailgen.lessons.class_text import RADIUS, Passage, height_of, inset, said
from detailgen.lessons.numbers import MOST, Number, numbers_of
from detailgen.scene import Scene
from detailgen.sheet import words
from detailgen.sheet.figure import label_of
from detailgen.sheet.pages import lettered
from detailgen.sheet.request import SheetRequest
from detailgen.sheet.thickening import as_drawn, thickened, thickness_note

_SHARES: Final = (0.74, 0.86, 0.94)
"""Parts of the first page that the section may take, the first at which it fits."""
_SMALLER: Final = 2.0
"""So many times smaller at most is it drawn for the sake of words at its dimensions."""
_KEYED: Final = (0.64, 0.56, 0.48)
"""Smaller parts of the page, tried where the names stand in a list under the section."""
_LITTLE: Final = 1.6
"""So many times smaller at most is it drawn for the sake of that list."""
_NOTES: Final = 36.0
"""Least room for notes, mm."""
_FEW: Final = 8
"""More names or blanks than this stand in three columns, long names on two lines."""
_LEAST: Final = 6
"""So few numbers stand on a handout, where more would take another page."""


def handout(request: SheetRequest, paper: str = "") -> tuple[Scene, ...]:
    """Return the handout of one condition.

    Args:
        request: The condition.
        paper: Name of a class paper; without one it follows the job's units.
    """
    request = lettered(request)
    on = class_paper(request, paper, Kind("handout", "Handout"))
    called = _with_its_key(on)
    best: Pages | None = None
    for most in range(MOST, _LEAST - 1, -2):
        made = _pages(on, called, numbers_of(request, most))
        good = made.room >= _NOTES
        if best is None or (len(made.pages), not good) < (
            len(best.pages),
            best.room < _NOTES,
        ):
            best = made
    assert best is not None
    if best.room < _NOTES:
        best.turn()
    best.fill_with_lines("NOTES")
    return best.scenes()


def _with_its_key(paper: ClassPaper) -> Called:
    """Return the section, a little smaller where the list of its parts needs the room."""
    x0, y0, x1, y1 = paper.inner
    room = (x1 - x0, y1 - y0)
    first, look = _section(paper.request, room)
    called: Called | None = first
    for share in (*_KEYED, 0.0):
        if called is None or (
            called.figure.scale.factor > _LITTLE * first.figure.scale.factor
        ):
            break
        pages = _begun(paper, called)
        if called.beside or height_of(parts_key(called, room[0]), room[0]) <= pages.room:
            return called
        called = called_figure(paper.request, (room[0], share * room[1]), look)
    return first


def _section(request: SheetRequest, room: tuple[float, float]) -> tuple[Called, Look]:
    """Return the section with its dimensions, their words left out where it would be small.

    What a number is of stands in the list of numbers, too. With it goes how it is told.
    """
    looks = (Look(), Look(words=False), Look(dims=False))
    full, short, bare = (first_fitting(request, room, look, _SHARES) for look in looks)
    most = _SMALLER * bare.figure.scale.factor
    if full.figure.scale.factor <= max(most, short.figure.scale.factor):
        return (
            (full, looks[0]) if full.figure.scale.factor <= 2 * most else (bare, looks[2])
        )
    if short.figure.scale.factor <= 2 * most:
        return short, looks[1]
    return bare, looks[2]


def _pages(paper: ClassPaper, called: Called, numbers: tuple[Number, ...]) -> Pages:
    """Return the handout without its notes."""
    request = paper.request
    pages = _begun(paper, called)
    width = paper.width
    first = [] if called.beside else [parts_key(called, width)]
    wide = asked_width(numbers)
    rows = [remembered(n, width, wide, _state(n, request)) for n in numbers]
    reasons = [
        said(
            part.reason,
            width,
            bold=f"{part.name}.",
            indent=2 * RADIUS + 2.5,
            lead=number,
            circled=True,
        )
        for number, part in called.parts
    ]
    pages.pour([
        *first,
        *([Passage("NUMBERS TO REMEMBER", tuple(rows))] if rows else []),
        Passage("WHY EACH PART IS THERE", tuple(reasons)),
        _cautions(request, inset(width)),
    ])
    return pages


def _begun(paper: ClassPaper, called: Called) -> Pages:
    """Return the first page with its section, and what is to know of that."""
    request, scale = paper.request, called.figure.scale
    thicker = as_drawn(request.rebuild(thickened(request, scale.factor)))
    told = f"Scale {label_of(scale)}. {thickness_note(thicker)}"
    return begin(paper, called.figure, told, told=True)


def parts_key(called: Called, width: float, *, blank: bool = False) -> Passage:
    """Return the names of the parts, or blanks for them, as a list by number."""
    names = [part.name for _, part in called.parts]
    lead = 2 * RADIUS + 2.5
    count = 2 if blank else min(3, columns_for(names, width, lead))
    if len(names) > _FEW:
        count = 3
    each = column_width(width, count)
    cells = [named_cell(n, "" if blank else part.name, each) for n, part in called.parts]
    title = "WRITE THE NAMES" if blank else "PARTS"
    return Passage(title, tuple(in_columns(cells, width, count)))


def _state(number: Number, request: SheetRequest) -> str:
    """Return what is wrong, where the number does not hold on this detail."""
    if number.finding.outcome is not Outcome.FAIL:
        return ""
    here = words.actual(number.finding, request.units)
    return f" This detail has {here}: that FAILS."


def _cautions(request: SheetRequest, width: float) -> Passage:
    found = request.catalog.drafting.cautions_for(words.circumstances(request.section))
    rows = [
        said(
            c.text if c.source == COMMON_PRACTICE else f"{c.text} ({c.source})",
            width,
            bold=f"{c.title}.",
        )
        for c in found
    ]
    return Passage("CAUTION", tuple(rows), boxed=True, whole=True)
