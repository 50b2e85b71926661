"""The title block, at the lower right of every sheet, laid out after ISO 7200."""

from dataclasses import dataclass
from typing import Final

from detailgen.geometry import Point
from detailgen.lettering import letterable, text_width
from detailgen.office import Logo
from detailgen.scene import CELL_PAD, MIN_TEXT, Cell, Item, Path, TitleBlock
from detailgen.sheet.fitting import lines_of
from detailgen.sheet.request import SheetRequest
from detailgen.sheet.revisions import mark_width, revision_cells, revision_mark

_SIZES: Final = (3.5, MIN_TEXT)
"""Letter heights of a value, the first that fits being taken."""
_BESIDE: Final = 1.5
"""From the mark of a revision to what stands beside it, mm."""
_MOST: Final = 0.62
"""Most part of the frame's height that the block takes with its table of revisions."""
_LOGO: Final = 14.0
"""Most height of a logo, mm."""
_LOGO_SHARE: Final = 0.4
"""Most part of the block's width that it takes."""
_CLEAR: Final = 1.8
"""White space about it, mm."""
_MORE: Final = 5.2
"""Height of a further line of a value."""


@dataclass(frozen=True, slots=True)
class _Field:
    tag: str
    caption: str
    value: str
    share: float
    """Part of the block's width."""
    largest: float = MIN_TEXT
    kept: float = 0.0
    """Room that its value leaves free at the right, mm."""


def title_block(
    request: SheetRequest,
    scale: str,
    sheet: tuple[int, int],
    corner: Point,
    width: float,
) -> TitleBlock:
    """Return the title block.

    Args:
        request: The condition and its job.
        scale: As printed; `AS SHOWN` where views differ.
        sheet: Which sheet of the condition this is, from 1, and of how many.
        corner: Its lower right corner on the paper, mm.
        width: Of the block.
    """
    cells: list[Cell] = []
    y = 0.0
    for row in _rows(request, scale, *sheet):
        made, height = _row(row, y, width)
        cells += made
        y += height
    made, height = _office(request, y, width)
    cells += made
    y += height
    if request.revisions:
        paper = request.catalog.drafting.paper(request.paper)
        room = _MOST * (paper.height - 2 * paper.margin) - y
        made, height = revision_cells(request.revisions, y, width, room)
        cells += made
        y += height
    at = (corner[0] - width, corner[1])
    return TitleBlock(at, width, y, tuple(cells), "title", "text")


def _office(request: SheetRequest, y: float, width: float) -> tuple[list[Cell], float]:
    """Return the cells of the office's logo and lines from y upward, and their height."""
    office = request.office
    if not office.shown:
        return [], 0.0
    left = _logo_size(office.logo, width)[0] + 2 * _CLEAR if office.logo else 0.0
    room = width - left - 2 * CELL_PAD
    lines = [lines_of(letterable(line), room, MIN_TEXT, 1)[0] for line in office.lines]
    least = len(lines) * _MORE + 2 * CELL_PAD
    height = max(
        least, _logo_size(office.logo, width)[1] + 2 * _CLEAR if office.logo else 0
    )
    cells = [Cell("LOGO", "", "", 0.0, y, left, height, MIN_TEXT)] if office.logo else []
    wide = width - left
    if not lines:
        return [*cells, Cell("OFFICE", "", "", left, y, wide, height, MIN_TEXT)], height
    low = y
    for index in range(len(lines) - 1, 0, -1):
        tag = f"OFFICE_{index + 1}"
        cells.append(
            Cell(tag, "", lines[index], left, low, wide, _MORE, MIN_TEXT, joined=True)
        )
        low += _MORE
    first = Cell("OFFICE", "", lines[0], left, low, wide, height - (low - y), MIN_TEXT)
    cells.append(first)
    return cells, height


def _logo_size(logo: Logo, width: float) -> tuple[float, float]:
    """Return how wide and high a logo is on paper, in a block of some width, mm."""
    high = min(_LOGO, _LOGO_SHARE * width / logo.width)
    return high * logo.width, high


def logo_items(request: SheetRequest, block: TitleBlock) -> list[Item]:
    """Return the office's logo in its cell of a title block."""
    logo = request.office.logo
    cell = next((c for c in block.cells if c.tag == "LOGO"), None)
    if logo is None or cell is None:
        return []
    wide, high = _logo_size(logo, block.width)
    x = block.at[0] + cell.x + (cell.width - wide) / 2.0
    y = block.at[1] + cell.y + (cell.height - high) / 2.0

    def put(ring: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((x + u * high, y + v * high) for u, v in ring)

    return [
        Path(
            put(shape.outline),
            "symbol",
            closed=True,
            holes=tuple(put(hole) for hole in shape.holes),
            fill=shape.colour,
            stroke=False,
        )
        for shape in logo.shapes
    ]


def revised(request: SheetRequest, block: TitleBlock) -> list[Item]:
    """Return the mark of the last revision, beside the title in a title block."""
    if not request.revisions:
        return []
    mark = request.revisions[-1].mark
    (x, y), title = block.at, [c for c in block.cells if c.tag.startswith("TITLE")]
    low, high = min(c.y for c in title), max(c.y + c.height for c in title)
    right = x + block.width - CELL_PAD - _BESIDE - mark_width(mark) / 2
    return revision_mark(mark, (right, y + (low + high) / 2))


def _rows(request: SheetRequest, scale: str, number: int, count: int) -> list[list[_Field]]:
    """Return the rows of fields, the lowest first."""
    job = request.job
    kept, revision = 0.0, job.revision
    if request.revisions:
        last = request.revisions[-1].mark
        kept, revision = mark_width(last) + 2 * _BESIDE, last or revision
    if request.sheets_in_set:
        sheet = f"{request.first_sheet + number - 1} OF {request.sheets_in_set}"
    else:
        sheet = f"{number} OF {count}"
    return [
        [
            _Field("MARK", "DETAIL", request.mark, 0.45, 3.5),
            _Field("SHEET", "SHEET", sheet, 0.37, 3.5),
            _Field("REV", "REV.", revision, 0.18, 3.5),
        ],
        [
            _Field("CREATOR", "DRAWN", job.drawn_by, 0.34),
            _Field("CHECKED", "CHECKED", job.checked_by, 0.33),
            # Left to who signs the sheet: nobody's approval is ever printed.
            _Field("APPROVED", "APPROVED", "", 0.33),
        ],
        [
            _Field("SCALE", "SCALE", scale, 0.42),
            _Field("DATE", "DATE", job.date, 0.3),
            _Field("DOCTYPE", "DOCUMENT", "Detail", 0.28),
        ],
        [
            _Field("RULES", "RULE SET", request.rules.name, 0.55),
            _Field("OWNER", "LEGAL OWNER", letterable(request.office.name), 0.45),
        ],
        [_Field("TITLE", "TITLE", request.title, 1.0, 3.5, kept)],
        [
            _Field("LOCATION", "LOCATION", job.location, 0.62),
            _Field("ID", "JOB NO.", job.number, 0.38),
        ],
        [_Field("PROJECT", "PROJECT", job.name, 1.0, 3.5)],
    ]


def _row(fields: list[_Field], y: float, width: float) -> tuple[list[Cell], float]:
    """Return the cells of one row from y upward, and its height."""
    cells: list[Cell] = []
    x = 0.0
    tallest = 0.0
    sized: list[tuple[_Field, float, float, list[str]]] = []
    for field in fields:
        wide = field.share * width
        size, lines = _fitted(field, wide - 2 * CELL_PAD - field.kept)
        extra = (len(lines) - 1) * _MORE
        tallest = max(tallest, 3 * CELL_PAD + 2.5 + 1.45 * size + extra)
        sized.append((field, wide, size, lines))
    for field, wide, size, lines in sized:
        low = y
        for index in range(len(lines) - 1, 0, -1):
            tag = f"{field.tag}_{index + 1}"
            line = Cell(tag, "", lines[index], x, low, wide, _MORE, size, joined=True)
            cells.append(line)
            low += _MORE
        high = tallest - (low - y)
        cells.append(Cell(field.tag, field.caption, lines[0], x, low, wide, high, size))
        x += wide
    return cells, tallest


def _fitted(field: _Field, room: float) -> tuple[float, list[str]]:
    """Return the letter height and the lines of a value: one, or more at the least."""
    for size in _SIZES:
        if size <= field.largest and text_width(field.value, size) <= room:
            return size, [field.value]
    return MIN_TEXT, lines_of(field.value, room, MIN_TEXT, 3 if field.share == 1.0 else 2)
