"""Find the fault: a paper with a broken detail, and its key.

What a student gets goes through `blind`. It says nothing but what is drawn: names of parts
and true dimensions, and how many faults there are.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from detailgen.finding import Finding, Severity, Unit
from detailgen.lessons.blind import blind
from detailgen.lessons.class_pages import Pages, begin
from detailgen.lessons.class_paper import ClassPaper, Kind, class_paper
from detailgen.lessons.class_rows import column_width, columns_for, in_columns, named_cell
from detailgen.lessons.class_text import (
    BODY,
    RADIUS,
    WRITING,
    Passage,
    height_of,
    said,
    text,
    titled,
)
from detailgen.lessons.fault_drawing import FaultDrawing, fault_drawing
from detailgen.lessons.handout import parts_key
from detailgen.lettering import text_width
from detailgen.scene import Path, Scene
from detailgen.sheet import words
from detailgen.sheet.blocks import Keynote, without_relation
from detailgen.sheet.figure import Figure, label_of
from detailgen.sheet.flow import Row
from detailgen.sheet.pages import lettered
from detailgen.sheet.request import SheetRequest
from detailgen.sheet.thickening import as_drawn, thickened, thickness_note
from detailgen.units import NOISE, show_length

LETTERS: Final = "ABC"
"""Letters of the faults on a key."""
POINTS: Final = 3
"""For each fault: what is wrong, what is asked, why it matters."""
_COUNTS: Final = {1: "is one fault", 2: "are two faults", 3: "are three faults"}
_TASKS: Final = {1: "Mark it", 2: "Mark both", 3: "Mark all three"}
_SIGNS: Final = (
    "A dashed line in a white gap: laid dry, not stuck. A dashed line just inside a "
    "face: primer or a prepared surface."
)
_NO_WORK: Final = "An exercise, not an instruction for work."
_ASKED: Final = (("What is wrong, and where?", 2), ("What is asked?", 1), ("Why?", 2))
"""What a student writes of each fault, and on how many lines."""
_UNDER: Final = 4.0
"""From a view to what stands under it, mm."""


@dataclass(frozen=True, slots=True)
class FaultTold:
    """One fault as the key tells it."""

    finding: Finding
    along: tuple[Finding, ...]
    made: str
    """What was done to the detail."""
    why: str
    """What the rule guards against."""
    size: float
    """How large it is on paper, mm."""


def fault_scales(request: SheetRequest, paper: str) -> FaultDrawing:
    """Return the drawing of a broken detail, as its paper has it."""
    return fault_drawing(_drawn_on(lettered(request), paper))


def _told_on(number: str) -> str:
    return f"Find the fault, paper {number}"


def _drawn_on(request: SheetRequest, paper: str) -> ClassPaper:
    """Return the sheet for which all is drawn, its strip as high as on any paper."""
    return class_paper(request, paper, Kind("find", _told_on("000"), blanks=True))


def fault_paper(
    request: SheetRequest, paper: str, number: str, count: int
) -> tuple[Scene, ...]:
    """Return the paper that a student gets.

    Args:
        request: The broken detail.
        paper: Name of a class paper; without one it follows the job's units.
        number: Of the paper, as printed and in its file's name.
        count: How many faults there are.
    """
    request = lettered(request)
    told = _told_on(number)
    kind = Kind(f"paper-{number}", told, blanks=True, points=POINTS * count)
    on = class_paper(request, paper, kind)
    drawing = fault_drawing(_drawn_on(request, paper))
    scale = drawing.called.figure.scale
    thicker = as_drawn(request.rebuild(thickened(request, scale.factor)))
    views = " Look at every view: the others follow." if drawing.views else ""
    task = (
        f"There {_COUNTS[count]} in this detail. {_TASKS[count]} on the drawing.{views} "
        f"{_SIGNS} Scale {label_of(scale)}. {thickness_note(thicker)} {_NO_WORK}"
    )
    pages = begin(on, drawing.called.figure, task, told=True)
    _set_names(pages, drawing)
    first = _height_of_views(drawing, on.width) <= pages.room
    if first:
        _set_views(pages, drawing)
    pages.pour([_answer(n, count, on.width) for n in range(1, count + 1)])
    if not first:
        _set_views(pages, drawing)
    pages.fill_with_lines("NOTES")
    return tuple(blind(scene, measured=True) for scene in pages.scenes())


def fault_key(
    request: SheetRequest, paper: str, number: str, faults: Sequence[FaultTold]
) -> tuple[Scene, ...]:
    """Return the key of a paper: marks on the drawing, and what is wrong.

    Args:
        request: The broken detail.
        paper: Name of a class paper; without one it follows the job's units.
        number: Of the paper.
        faults: What is wrong.
    """
    request = lettered(request)
    kind = Kind(f"key-{number}", f"Key to paper {number}")
    marked = [(LETTERS[n], f.finding) for n, f in enumerate(faults)]
    drawing = fault_drawing(_drawn_on(request, paper), marked)
    trainer = class_paper(request, paper, kind)
    told = f"For the trainer. There {_COUNTS[len(faults)]} in this detail."
    pages = begin(trainer, drawing.called.figure, told, told=False)
    for n, fault in enumerate(faults):
        letter = LETTERS[n]
        mark = drawing.marks.get(letter, letter)
        pages.pour([_told((letter, mark), fault, request, trainer.width)])
    shown = {f.finding.view for f in faults}
    views = tuple(v for v in drawing.views if v.id in shown)
    _set_views(pages, replace(drawing, views=views))
    return pages.scenes()


def _set_names(pages: Pages, drawing: FaultDrawing) -> None:
    if not drawing.called.beside:
        names = parts_key(drawing.called, pages.paper.width)
        pages.pour([replace(names, whole=True)])


def _height_of_views(drawing: FaultDrawing, width: float) -> float:
    known = {number for number, _ in drawing.called.parts}
    high = 0.0
    for view in drawing.views:
        named = [k for k in view.keynotes if k.number not in known]
        high += view.height + titled(view.title, width).height + 4 * _UNDER
        high += height_of(_named(named, width), width) if named else 0.0
    return high


def _set_views(pages: Pages, drawing: FaultDrawing) -> None:
    """Set the other views, each with the names that the section does not have."""
    width = pages.paper.width
    known = {number for number, _ in drawing.called.parts}
    for view in drawing.views:
        _set_view(pages, view, width)
        named = [k for k in view.keynotes if k.number not in known]
        known |= {k.number for k in named}
        if named:
            pages.pour([_named(named, width)])


def _set_view(pages: Pages, view: Figure, width: float) -> None:
    """Set a view with its heading, on a new page where it finds no room."""
    head = titled(view.title, width)
    scale = said(f"Scale {label_of(view.scale)}.", width)
    if head.height + view.height + scale.height + 2 * _UNDER > pages.room:
        pages.turn()
    column = pages.free
    if column.started:
        column.top -= _UNDER
    column.put(head)
    column.top -= 1.0
    low = column.top - view.height
    left = column.x + (width - view.width) / 2
    pages.pages[-1].views.append(view.view(left, low, pad=0.5))
    column.top = low - 1.0
    column.put(scale)


def _named(notes: Sequence[Keynote], width: float) -> Passage:
    """Return what the numbers of a view stand for that the section does not have."""
    names = [k.name for k in notes]
    count = columns_for(names, width, 2 * RADIUS + 2.5)
    each = column_width(width, min(count, 3))
    cells = [named_cell(k.number, k.name, each) for k in notes]
    return Passage("PARTS OF THIS VIEW", tuple(in_columns(cells, width, min(count, 3))))


def _answer(number: int, count: int, width: float) -> Passage:
    """Return the lines on which a student writes what is wrong."""
    rows: list[Row] = []
    for asked, most in _ASKED:
        lines = 1 if count == len(LETTERS) and asked != _ASKED[0][0] else most
        start = text_width(asked, BODY) + 2.0
        for n in range(lines):
            left = 0.0 if n else start
            rule = Path(((left, -WRITING + 1.0), (width, -WRITING + 1.0)), "table")
            label = [] if n else [text(asked, 0.0, -WRITING + 2.0)]
            rows.append(Row(WRITING, (*label, rule), with_next=n + 1 < lines))
    title = f"FAULT {number}" if count > 1 else "THE FAULT"
    return Passage(title, tuple(rows), whole=True)


def _told(
    marks: tuple[str, str], fault: FaultTold, request: SheetRequest, width: float
) -> Passage:
    """Return what the key says of a fault; `marks` are its own letter and the one drawn."""
    letter, mark = marks
    finding, units = fault.finding, request.units
    advice = " (advice)" if finding.severity is Severity.ADVICE else ""
    asked = words.requirement(finding.required, units)
    found = words.actual(finding, units)
    rows = [
        said(_wrong(finding, request), width, bold="What is wrong."),
        said(fault.made, width, bold="How it was made."),
        said(f"{asked}. Here: {found}.{_by(finding, request)}", width, bold="Asked:"),
        said(fault.why, width, bold="Why it matters."),
    ]
    if fault.along:
        others = "; ".join(f"{_title(f)} ({f.rule})" for f in fault.along)
        rows.append(said(f"{others}.", width, bold="The checks find with it:"))
    source = f"{finding.rule}{advice}: {finding.source}"
    rows.append(said(source, width, bold="Rule and source."))
    if mark != letter:
        rows.append(said(f"At the mark {mark} of the drawing.", width))
    return Passage(f"{letter}. {_title(finding).upper()}", tuple(rows))


def _title(finding: Finding) -> str:
    return without_relation(finding.title)


def _wrong(finding: Finding, request: SheetRequest) -> str:
    """Return what is wrong as a sentence, with names instead of ids."""
    plain = {b.id: b.name.partition(",")[0] for b in request.section.bodies}
    names = {i: f"{n[:1].lower()}{n[1:]}" for i, n in plain.items()}
    told = re.sub(
        r"\b[a-z]+(?:-[a-z0-9]+)+", lambda m: names.get(m[0], m[0]), finding.reason
    )
    end = "" if told.endswith(".") else "."
    return f"{told[:1].upper()}{told[1:]}{end}"


def _by(finding: Finding, request: SheetRequest) -> str:
    """Return by how much a length misses what is asked."""
    asked, found = finding.required.amount, finding.actual
    if not asked.unit is found.unit is Unit.LENGTH:
        return ""
    over = found.value - asked.value
    high = finding.required.high
    if high is not None and found.value > asked.value:
        over = found.value - high.value
    if abs(over) < NOISE or found.value < 0.0:
        return ""
    word = "too much" if over > 0.0 else "too little"
    return f" That is {show_length(abs(over), request.units)} {word}."
