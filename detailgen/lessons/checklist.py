"""The hold-point checklist: what must be true before the next stage starts."""

from collections.abc import Mapping, Sequence
from typing import Final

from detailgen.catalog import Tolerance
from detailgen.finding import Finding, Outcome, Severity, Unit
from detailgen.lessons.stage_rests import ruled_free
from detailgen.lessons.step import Step, steps_of
from detailgen.lettering import text_width, wrap
from detailgen.scene import Item, Path, Scene
from detailgen.sheet import words
from detailgen.sheet.blocks import TOP, height_for, paragraph, without_relation
from detailgen.sheet.board import Page, board_of
from detailgen.sheet.flow import GAP, PITCH, TEXT, Block, Column, Row, fill, line, pieces_of
from detailgen.sheet.pages import lettered
from detailgen.sheet.request import SheetRequest
from detailgen.units import show_amount

_BOX: Final = 2.6
"""Side of a box to tick, mm."""
_SHARES: Final = (0.40, 0.17, 0.12, 0.13, 0.10, 0.08)
"""Parts of the width: what, required, as drawn, measured, name, date."""
_HEADS: Final = (
    "Before the next stage",
    "Required",
    "As drawn",
    "Measured",
    "Name",
    "Date",
)
_BLANK: Final = 3
"""Index of the first column that is left blank."""
_ROOM: Final = 4.6
"""Room above the line of a blank that is written on by hand, mm."""


def checklist(
    request: SheetRequest, strays: Mapping[int, Sequence[Tolerance]]
) -> tuple[Scene, ...]:
    """Return the checklist of one condition.

    Args:
        request: The condition.
        strays: Tolerances by the number of the stage at which they show.
    """
    board = board_of(lettered(request))
    request = board.request
    steps = steps_of(request.section, request.findings, request.catalog)
    table = Block(
        f"HOLD-POINT CHECKLIST {request.mark}: {request.title}".upper(),
        lambda width: _all_rows(request, steps, strays, width),
        lambda width: [_head(width)],
    )
    waiting = pieces_of([table], board.rest)
    beside = pieces_of([_use(), _signed(request)], board.column)
    pages: list[Page] = []
    while waiting or beside:
        page = Page()
        x0, y0, _, y1 = board.inner
        wide, side = Column(x0, board.rest, y1, y0), board.side_column()
        waiting, beside = fill(waiting, [wide]), fill(beside, [side])
        page.items += [*wide.items, *side.items]
        if not waiting:
            page.items += _remarks(wide)
        pages.append(page)
    return board.scenes(pages, "checklist", "Checklist")


def _remarks(wide: Column) -> list[Item]:
    """Return lines for what else was seen, where the table leaves room for them."""
    free = Column(wide.x, wide.width, wide.top - GAP, wide.bottom)
    return [item for column in ruled_free([free], "REMARKS") for item in column.items]


def _stops(width: float) -> list[float]:
    """Return where the columns of the table begin, and where the last ends."""
    stops = [0.0]
    for share in _SHARES:
        stops.append(stops[-1] + share * width)
    return stops


def _head(width: float) -> Row:
    stops = _stops(width)
    items = [line(h, x, -TOP, bold=True) for h, x in zip(_HEADS, stops, strict=False)]
    return Row(height_for(1), tuple(items))


def _all_rows(
    request: SheetRequest,
    steps: Sequence[Step],
    strays: Mapping[int, Sequence[Tolerance]],
    width: float,
) -> list[Row]:
    """Return the rows of all stages, and of what must be so before the first."""
    rows: list[Row] = []
    if early := strays.get(0, ()):
        rows += _ruled(
            "Before work starts", [_stray(request, t, width) for t in early], width
        )
    for step in steps:
        name = f"{step.stage.number}  {step.name}"
        these = [_row(width, look, "yes", "", tick=True) for look in _done(step)]
        these += [_rule(request, f, width) for f in step.rules]
        these += [_stray(request, t, width) for t in strays.get(step.stage.number, ())]
        rows += _ruled(name.upper() if step.stage.hold else name, these, width)
    return rows


def _stray(request: SheetRequest, tolerance: Tolerance, width: float) -> Row:
    """Return how far work may stray, where it does."""
    limit = show_amount(tolerance.value, str(tolerance.unit), request.units)
    return _row(width, tolerance.text, f"by {limit} at most", "")


def _ruled(name: str, rows: list[Row], width: float) -> list[Row]:
    """Return rows under their heading, with a line below."""
    head = paragraph("", width, bold=name)
    rows = [Row(head.height + 1.0, head.items, with_next=True), *rows]
    last = rows[-1]
    ruled = Path(((0.0, -last.height - 0.4), (width, -last.height - 0.4)), "table")
    rows[-1] = Row(last.height + 1.2, (*last.items, ruled))
    return rows


def _done(step: Step) -> tuple[str, ...]:
    """Return what is looked at, or that the stage is done where nothing more is told."""
    return step.looks or (step.stage.text,)


def _rule(request: SheetRequest, finding: Finding, width: float) -> Row:
    asked = words.requirement(finding.required, request.units)
    if finding.severity is not Severity.REQUIRED:
        asked += " (advice)"
    found = words.actual(finding, request.units)
    if finding.outcome is Outcome.FAIL:
        found += ", FAILS"
    if finding.required.amount.unit is Unit.WORDS:
        return _row(width, without_relation(finding.title), "yes", "", tick=True)
    return _row(width, without_relation(finding.title), asked, found)


def _row(width: float, what: str, asked: str, found: str, *, tick: bool = False) -> Row:
    """Return one line of the table: three columns of words, then blanks to fill in."""
    stops = _stops(width)
    items: list[Item] = []
    most = 1
    for index, text in enumerate((what, asked, found)):
        room = stops[index + 1] - stops[index] - 3.0
        start = stops[index] + (4.0 if index == 0 else 0.0)
        lines = wrap(text, room - (4.0 if index == 0 else 0.0), TEXT)
        most = max(most, len(lines))
        items += [line(t, start, -TOP - n * PITCH) for n, t in enumerate(lines)]
    low = -TOP - (most - 1) * PITCH - 0.6
    for index in range(_BLANK, len(_SHARES)):
        x0, x1 = stops[index], stops[index + 1] - 2.5
        if tick and index == _BLANK:
            items.append(_box(x0, low))
        else:
            items.append(Path(((x0, low), (x1, low)), "table"))
    return Row(max(height_for(most), _ROOM + 1.4), tuple(items))


def _box(x: float, y: float) -> Path:
    ring = ((x, y), (x + _BOX, y), (x + _BOX, y + _BOX), (x, y + _BOX))
    return Path(ring, "table", closed=True)


def _use() -> Block:
    texts = (
        "Look before the next stage covers it. Measure where the drawing measures.",
        "Write down what you find, not what is asked.",
        "A hold point stops the work until somebody who did not build it has looked.",
        "By so much at most: so far may work stray from the drawing, by common practice.",
        "The required values count all the same.",
    )

    def rows(width: float) -> list[Row]:
        return [paragraph(text, width) for text in texts]

    return Block("HOW TO USE IT", rows)


def _signed(request: SheetRequest) -> Block:
    """Return blanks for who looked at each hold point and at the finished work."""
    stages = request.section.stages
    held = [f"{s.number} {s.name}" for s in stages if s.hold or s is stages[-1]]

    def rows(width: float) -> list[Row]:
        made: list[Row] = []
        for name in held:
            items: list[Item] = list(paragraph("", width, bold=name).items)
            y = -TOP - 7.0
            for told, x0, x1 in (
                ("Name", 0.0, 0.62 * width),
                ("Date", 0.66 * width, width),
            ):
                start = x0 + text_width(told, TEXT) + 1.5
                items += [
                    line(told, x0, y),
                    Path(((start, y - 0.6), (x1, y - 0.6)), "table"),
                ]
            made.append(Row(-y + 3.4, tuple(items)))
        return made

    return Block("LOOKED AT", rows)
