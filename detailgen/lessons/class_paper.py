"""Paper for a class: upright, with a strip at its top that says what it is and for whom.

    paper = class_paper(request, "Letter", Kind("names", "Exercise: names", blanks=True))
    column = paper.column()          # what is free under the strip, in one column
    page = Page(items=column.items)  # from `sheet.board`; views go to `page.views`
    scene = paper.scene(page, 1, 2)

What a student must not read goes through `blind`: see there.
"""

from dataclasses import dataclass
from typing import Final

from detailgen.lettering import letterable, text_width, wrap
from detailgen.scene import (
    CAPTION_HEIGHT,
    CELL_PAD,
    MIN_TEXT,
    Cell,
    Paper,
    Path,
    Scene,
    TitleBlock,
)
from detailgen.sheet.board import Page, layers_of
from detailgen.sheet.flow import Column
from detailgen.sheet.plane import Box
from detailgen.sheet.request import SheetRequest

PAD: Final = 5.0
"""From the frame to what stands inside it, mm."""
_SIZES: Final = (5.0, 4.5, 4.0, 3.5)
"""Letter heights of the strip's values, the first that fits being taken."""
_MORE: Final = 6.4
"""Height of a further line of a value."""
_TO_WRITE: Final = 13.0
"""Height of cells that are filled in by hand."""


@dataclass(frozen=True, slots=True)
class Kind:
    """What a sheet for the class is."""

    stem: str
    """In its file name: `handout`, `names-key`."""
    told: str
    """In its strip: `Handout`."""
    blanks: bool = False
    """Whether a student writes name and date on it, and a trainer the score."""
    points: int = 0
    """Of how many points the score is; 0 leaves that open."""


@dataclass(frozen=True, slots=True)
class ClassPaper:
    """A sheet of paper with its frame and its strip."""

    request: SheetRequest
    paper: Paper
    frame: Box
    kind: Kind

    @property
    def width(self) -> float:
        """Width that is free inside the frame, mm."""
        return self.frame[2] - self.frame[0] - 2 * PAD

    @property
    def inner(self) -> Box:
        """What is free under the strip."""
        x0, y0, x1, y1 = self.frame
        return x0 + PAD, y0 + PAD, x1 - PAD, y1 - self._strip(1, 9).height - PAD

    def column(self, top: float | None = None) -> Column:
        """Return what is free under the strip, or under a level, as one column."""
        x0, y0, x1, y1 = self.inner
        return Column(x0, x1 - x0, y1 if top is None else top, y0)

    def scene(self, page: Page, number: int, count: int) -> Scene:
        """Return a page as a scene, with frame and strip."""
        request = self.request
        x0, y0, x1, y1 = self.frame
        ring = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
        return Scene(
            id=f"{request.mark}-{self.kind.stem}-{number}",
            title=letterable(f"{request.mark} {request.title}: {self.kind.told.lower()}"),
            paper=self.paper,
            layers=layers_of(request.catalog.drafting),
            items=(
                Path(ring, "frame", closed=True),
                *page.items,
                self._strip(number, count),
            ),
            views=tuple(page.views),
            inches=request.inches,
            subject=letterable(request.job.name),
            author=letterable(request.job.drawn_by),
        )

    def _strip(self, number: int, count: int) -> TitleBlock:
        """Return the strip at the top, from the lowest row upward."""
        request = self.request
        width = self.frame[2] - self.frame[0]
        rows: list[list[tuple[str, str, str, float]]] = []
        if self.kind.blanks:
            points = f"/ {self.kind.points}" if self.kind.points else ""
            rows.append([
                ("NAME", "NAME", "", 0.5),
                ("DATE", "DATE", "", 0.26),
                ("SCORE", "SCORE", points, 0.24),
            ])
        rows += [
            [
                ("PROJECT", "PROJECT", request.job.name, 0.5),
                ("RULES", "RULE SET", request.rules.name, 0.3),
                ("SHEET", "SHEET", f"{number} OF {count}", 0.2),
            ],
            [
                ("TITLE", f"DETAIL {request.mark}", request.title, 0.66),
                ("DOCTYPE", "THIS SHEET", self.kind.told, 0.34),
            ],
        ]
        cells: list[Cell] = []
        y = 0.0
        for fields in rows:
            write = fields[0][0] == "NAME"
            made, tall = _row(fields, y, width, _TO_WRITE if write else 0.0)
            cells += made
            y += tall
        at = (self.frame[0], self.frame[3] - y)
        return TitleBlock(at, width, y, tuple(cells), "title", "text")


def class_paper(request: SheetRequest, name: str, kind: Kind) -> ClassPaper:
    """Return the paper of a sheet for the class.

    Args:
        request: The condition.
        name: Of a paper in the catalogue; without one it follows the job's units.
        kind: What the sheet is.

    Raises:
        UserError: There is no paper of that name.
    """
    data = request.catalog.drafting.class_paper(name, request.units)
    m = data.margin
    paper = Paper(f"{data.name} upright", data.width, data.height, m)
    return ClassPaper(request, paper, (m, m, data.width - m, data.height - m), kind)


def _row(
    fields: list[tuple[str, str, str, float]], y: float, width: float, least: float
) -> tuple[list[Cell], float]:
    """Return the cells of one row from y upward, and its height."""
    sized = [(*f, *_fitted(f[2], f[3] * width - 2 * CELL_PAD)) for f in fields]
    tallest = max(
        least,
        *(
            3 * CELL_PAD + CAPTION_HEIGHT + 1.45 * size + (len(lines) - 1) * _MORE
            for *_, size, lines in sized
        ),
    )
    cells: list[Cell] = []
    x = 0.0
    for tag, said, _, share, size, lines in sized:
        wide, low = share * width, y
        for index in range(len(lines) - 1, 0, -1):
            name = f"{tag}_{index + 1}"
            more = Cell(name, "", lines[index], x, low, wide, _MORE, size, joined=True)
            cells.append(more)
            low += _MORE
        told = _cut(letterable(said), wide - 2 * CELL_PAD, CAPTION_HEIGHT)
        cells.append(Cell(tag, told, lines[0], x, low, wide, tallest - low + y, size))
        x += wide
    return cells, tallest


def _fitted(value: str, room: float) -> tuple[float, list[str]]:
    """Return the letter height and the lines of a value."""
    for size in _SIZES:
        if text_width(value, size) <= room:
            return size, [value]
    size = _SIZES[-1]
    lines = wrap(value, room, size)
    return size, [lines[0], _cut(" ".join(lines[1:]), room, size)]


def _cut(value: str, room: float, size: float = MIN_TEXT) -> str:
    """Return as much of a text as fits, with an ellipsis where some is left out."""
    if text_width(value, size) <= room:
        return value
    while value and text_width(f"{value}…", size) > room:
        value = value[:-1].rstrip()
    return f"{value}…"
