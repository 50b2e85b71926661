"""Exercises with their keys: name the parts, and fill in what the rules ask.

What a student gets goes through `blind`, so that no file says more than the paper does.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from random import Random  # noqa: TID251 (a shuffle that a seed makes again)
from typing import Final

from detailgen.lessons.asked_figure import asked_figure, lettered
from detailgen.lessons.blind import blind
from detailgen.lessons.class_figure import Called, Look, called_figure
from detailgen.lessons.class_pages import Pages, begin
from detailgen.lessons.class_paper import ClassPaper, Kind, class_paper
from detailgen.lessons.class_rows import (
    column_width,
    columns_for,
    filled,
    in_columns,
    plain_cell,
    to_fill,
)
from detailgen.lessons.class_text import Passage, height_of, inset, ruled, said
from detailgen.lessons.handout import parts_key
from detailgen.lessons.numbers import Number, numbers_of
from detailgen.scene import Scene
from detailgen.sheet.flow import Row
from detailgen.sheet.pages import lettered as with_letters
from detailgen.sheet.request import SheetRequest

_NAMES: Final = Kind("names", "Name the parts", blanks=True)
_NAMES_KEY: Final = Kind("names-key", "Key: the parts")
_NUMBERS: Final = Kind("numbers", "What is asked?", blanks=True)
_NUMBERS_KEY: Final = Kind("numbers-key", "Key: what is asked")
_SHARES: Final = (0.72, 0.6, 0.5, 0.42, 0.36)
"""Parts of the first page that the section may take, the first at which all fits on it."""
_MORE: Final = (0.84, 0.94)
"""The same where it fits on none of these."""
_SMALLER: Final = 1.6
"""So many times smaller at most is it drawn so that all fits on one page."""
_SMALLEST: Final = 2.0
"""The same so that at least the list of blanks is not parted."""
_NO_WORK: Final = "An exercise, not an instruction for work. Do not measure on it."
_TRAINER: Final = "For the trainer."
_MOST_ASKED: Final = 8
"""So many questions at most ask why a part is there."""
_TO_ANSWER: Final = 2
"""Lines to write an answer on."""
_EVERY: Final = 99
_OWN: Final = "NOTES"


def names_exercise(
    request: SheetRequest, paper: str = "", *, seed: int = 1, bank: bool = True
) -> tuple[tuple[Scene, ...], tuple[Scene, ...]]:
    """Return the exercise on names, and its key.

    Args:
        request: The condition.
        paper: Name of a class paper; without one it follows the job's units.
        seed: What the word bank, and which parts are asked further, follow.
        bank: Whether the names stand on the sheet, shuffled.
    """
    request = with_letters(request)
    draft = class_paper(request, paper, _NAMES)
    called, share = _fitting(draft, bank=bank)
    rng = Random(f"names {seed}")  # noqa: S311 (a shuffle for a class, not a secret)
    names = _shuffled([part.name for _, part in called.parts], rng) if bank else []
    further = _shuffled([number for number, part in called.parts if part.reason], rng)
    asked = _how_many(draft, called, names, further)
    chosen = sorted(further[:asked], key=int)
    points = len(called.parts) + len(chosen)
    kind = replace(_NAMES, points=points)
    pages = _names(class_paper(request, paper, kind), called, names)
    if chosen:
        pages.pour([_why(chosen, draft.width)])
    pages.fill_with_lines(_OWN)
    look = Look(dims=False, by_place=True)
    answers = called_figure(request, _room(draft, share), look)
    assert answers, "names take no more room than their blanks"
    trainer = class_paper(request, paper, _NAMES_KEY)
    key = _names_key(trainer, answers, chosen)
    return tuple(map(blind, pages.scenes())), key


def _fitting(paper: ClassPaper, *, bank: bool) -> tuple[Called, float]:
    """Return the largest section with which names and word bank fit on one page.

    Where none does, the largest with which the names do. With it goes the part of the page
    that it may take.
    """
    first: tuple[Called, float] | None = None
    listed: tuple[Called, float] | None = None
    look = Look(True, dims=False, by_place=True)
    for share in (*_SHARES, *_MORE):
        called = called_figure(paper.request, _room(paper, share), look)
        if called is None or (first and share in _MORE):
            continue
        first = first or (called, share)
        smaller = called.figure.scale.factor / first[0].figure.scale.factor
        if smaller > (_SMALLER if listed else _SMALLEST):
            break
        names = [part.name for _, part in called.parts] if bank else []
        if len(_names(paper, called, names).pages) == 1:
            return called, share
        if not listed and len(_names(paper, called, []).pages) == 1:
            listed = called, share
    assert first, "a section fits on a page at some standard scale"
    return listed or first


def _room(paper: ClassPaper, share: float) -> tuple[float, float]:
    x0, y0, x1, y1 = paper.inner
    return x1 - x0, share * (y1 - y0)


def _shuffled(names: Sequence[str], rng: Random) -> list[str]:
    """Return names in another order, by a shuffle of our own: the same on every Python."""
    left = list(names)
    for last in range(len(left) - 1, 0, -1):
        other = int(rng.random() * (last + 1))
        left[last], left[other] = left[other], left[last]
    return left


def _names(paper: ClassPaper, called: Called, bank: Sequence[str]) -> Pages:
    where = "beside its number" if called.beside else "behind its number below"
    task = f"Write the name of each part {where}. {_NO_WORK}"
    pages = begin(paper, called.figure, task, told=False)
    width = paper.width
    pages.pour([] if called.beside else [parts_key(called, width, blank=True)])
    if bank:
        box = _bank(bank, inset(width))
        if height_of(box, width) + 4.0 > pages.room:
            pages.fill_with_lines(_OWN)
        pages.pour([box])
    return pages


def _bank(names: Sequence[str], width: float) -> Passage:
    count = columns_for(names, width)
    cells = [plain_cell(name, column_width(width, count)) for name in names]
    return Passage(
        "WORD BANK", tuple(in_columns(cells, width, count)), boxed=True, whole=True
    )


def _why(numbers: Sequence[str], width: float) -> Passage:
    rows: list[Row] = []
    for number in numbers:
        ask = said(f"Why is part {number} there?", width)
        rows.append(Row(ask.height - 3.0, ask.items, with_next=True))
        rows += ruled(width, _TO_ANSWER)
    return Passage("AND WHY?", tuple(rows))


def _how_many(
    paper: ClassPaper, called: Called, bank: Sequence[str], further: Sequence[str]
) -> int:
    """Return how many more questions fill the last page."""
    pages = _names(paper, called, bank)
    fitting = 0
    for count in range(1, min(_MOST_ASKED, len(further)) + 1):
        if height_of(_why(further[:count], paper.width), paper.width) + 4.0 > pages.room:
            break
        fitting = count
    return fitting


def _names_key(
    paper: ClassPaper, called: Called, chosen: Sequence[str]
) -> tuple[Scene, ...]:
    pages = begin(paper, called.figure, _TRAINER, told=False)
    width = paper.width
    rows = [
        said(part.reason, width, bold=f"{number}  {part.name}.")
        for number, part in called.parts
        if part.reason
    ]
    pages.pour([
        *([] if called.beside else [parts_key(called, width)]),
        Passage(f"WHY EACH PART IS THERE{_asked_of(chosen)}", tuple(rows)),
    ])
    pages.fill_with_lines(_OWN)
    return pages.scenes()


def _asked_of(chosen: Sequence[str]) -> str:
    return f" (ASKED: {', '.join(chosen)})" if chosen else ""


def numbers_exercise(
    request: SheetRequest, paper: str = ""
) -> tuple[tuple[Scene, ...], tuple[Scene, ...]]:
    """Return the exercise on what the rules ask, and its key.

    Args:
        request: The condition.
        paper: Name of a class paper; without one it follows the job's units.
    """
    request = with_letters(request)
    draft = class_paper(request, paper, _NUMBERS)
    every = numbers_of(request, most=_EVERY)
    asked = lettered(every)
    rest = [n for n in every if n not in asked.values()]
    share = _largest(draft, asked)
    count = _fill(draft, asked, rest, share)
    others = {str(n): number for n, number in enumerate(rest[:count], 1)}
    kind = replace(_NUMBERS, points=len(asked) + count)
    pages = _numbers(class_paper(request, paper, kind), asked, others, share)
    pages.fill_with_lines(_OWN)
    trainer = class_paper(request, paper, _NUMBERS_KEY)
    width = trainer.width
    figure = asked_figure(request, _room(draft, share), asked)
    key = begin(trainer, figure, _TRAINER, told=False)
    key.pour(_asked(asked, others, lambda n, lead: filled(n, lead, width)))
    key.fill_with_lines(_OWN)
    return tuple(map(blind, pages.scenes())), key.scenes()


def _numbers(
    paper: ClassPaper, asked: dict[str, Number], others: dict[str, Number], share: float
) -> Pages:
    figure = asked_figure(paper.request, _room(paper, share), asked)
    task = f"Write what the rules ask at least or at most, with its unit. {_NO_WORK}"
    pages = begin(paper, figure, task, told=False)
    width = paper.width
    pages.pour(_asked(asked, others, lambda n, lead: to_fill(n, lead, width)))
    return pages


def _largest(paper: ClassPaper, asked: dict[str, Number]) -> float:
    """Return the largest share of the page with which all letters fit on one."""
    scale = asked_figure(paper.request, _room(paper, _SHARES[0]), asked).scale
    for share in _SHARES:
        figure = asked_figure(paper.request, _room(paper, share), asked)
        if figure.scale.factor > _SMALLER * scale.factor:
            break
        if len(_numbers(paper, asked, {}, share).pages) == 1:
            return share
    return _SHARES[0]


def _fill(
    paper: ClassPaper, asked: dict[str, Number], rest: Sequence[Number], share: float
) -> int:
    """Return how many further numbers take no further page."""
    least = len(_numbers(paper, asked, {}, share).pages)
    low, high = 0, len(rest)
    while low < high:
        middle = (low + high + 1) // 2
        others = {str(n): number for n, number in enumerate(rest[:middle], 1)}
        if len(_numbers(paper, asked, others, share).pages) > least:
            high = middle - 1
        else:
            low = middle
    return low


def _asked(
    asked: dict[str, Number],
    others: dict[str, Number],
    row: Callable[[Number, str], Row],
) -> list[Passage]:
    """Return the questions: those with a letter on the section first."""
    made: list[Passage] = []
    for title, group in (("ON THE SECTION", asked), ("NOT ON THE SECTION", others)):
        rows = tuple(row(number, lead) for lead, number in group.items())
        if rows:
            made.append(Passage(title, rows))
    return made
