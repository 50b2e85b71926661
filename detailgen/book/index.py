"""The index of a set: a cover page that lists the sheets, as scenes like any other.

+----------------------------------------------------------+
| PROJECT NAME                                             |
| caption  value                                           |
| INDEX OF SHEETS                            | RULES       |
| SHEET  MARK   TITLE        SCALE  FINDINGS | ...         |
| ------------------------------------------ | MARKS       |
| ...                                        | ...         |
| note                                       |             |
+----------------------------------------------------------+

On a narrow page what stands beside the index follows below it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import fsum
from typing import Final

from detailgen.lettering import LINE_PITCH, letterable, text_width, wrap
from detailgen.scene import Item, Layer, Paper, Path, Scene, Text
from detailgen.sheet.flow import Block, Column, Piece, fill, pieces_of

BLACK: Final = (0, 0, 0)
LAYERS: Final = (
    Layer("frame", "G-ANNO-TTLB", 0.7, BLACK, about="Frame of the page"),
    Layer("table", "G-ANNO-TABL", 0.18, BLACK, about="Lines of the index"),
    Layer("text", "G-ANNO-TEXT", 0.18, BLACK, about="Text of the index"),
    Layer("keynotes", "G-ANNO-KEYN", 0.25, BLACK, about="Marks of keynotes, explained"),
    Layer("finding", "G-ANNO-CHEK", 0.5, (170, 0, 0), about="Marks of rules that fail"),
    Layer("hidden", "G-ANNO-HIDD", 0.18, BLACK, (2.2, 1.1), about="Covered edges"),
    Layer("break", "G-ANNO-BRKL", 0.25, BLACK, about="Break lines, explained"),
)
HEADINGS: Final = ("SHEET", "MARK", "TITLE", "SCALE", "FINDINGS", "PAGE")
PAGED: Final = len(HEADINGS)
"""So many columns has an index that tells the pages of its book, too; else one less."""
TITLE_COLUMN: Final = 2
WIDEST: Final = (27.0, 32.0, 1000.0, 44.0, 44.0, 20.0)
"""No column is wider than this, mm; the title has what the others leave."""
TITLE_SHARE: Final = 0.3
"""Least part of the page that the title column keeps."""
NAME, HEADING, BODY = 7.0, 3.5, 3.0
"""Letter heights, mm."""
PITCH: Final = BODY * LINE_PITCH
PAD: Final = 2.0
"""Clear space in a cell, each side."""
INSET: Final = 8.0
"""From the frame to the text."""
SIDE: Final = 92.0
"""Width of the column beside the index, mm."""
BETWEEN: Final = 10.0
"""From the index to that column, mm."""
ROOMY: Final = 300.0
"""Narrower pages have no column beside the index, mm."""
_HAIR: Final = 0.01
"""Added to what a column must hold, so that rounding parts no word, mm."""


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One line of the index."""

    number: str
    """Sheet number: `A-501`."""
    mark: str
    """Id of the condition drawn."""
    title: str
    scale: str
    findings: str
    """What was found, in words: `14 pass`, `13 pass, 1 fail`."""
    fails: bool = False
    """Whether a rule fails: the line is then printed bold."""
    page: str = ""
    """Page of the book, where the index has a column for it."""


@dataclass(frozen=True, slots=True)
class BookInfo:
    """What the cover says about the whole set."""

    title: str
    """Name of the project."""
    facts: tuple[tuple[str, str], ...] = ()
    """Caption and value: `("Location", "...")`; one without a value is left out."""
    author: str = ""
    note: str = ""
    """Printed below the index."""
    beside: tuple[Block, ...] = ()
    """What else the cover tells, set beside the index."""


@dataclass(slots=True)
class IndexPage:
    """One page of the index."""

    scene: Scene
    boxes: tuple[tuple[int, tuple[float, float, float, float]], ...]
    """Number of a row, and where on the page it stands, mm."""


def index_pages(
    info: BookInfo, rows: Sequence[SheetRow], paper: Paper
) -> tuple[IndexPage, ...]:
    """Return the cover, and as many pages after it as the rows need."""
    whole = paper.width - 2 * (paper.margin + INSET)
    side = bool(info.beside) and whole >= ROOMY
    table = whole - SIDE - BETWEEN if side else whole
    count = PAGED if any(row.page for row in rows) else PAGED - 1
    layout = _Layout(info, paper, _columns(rows, table, count), table)
    layout.begin()
    for number, row in enumerate(rows):
        layout.add_row(number, row)
    layout.add_note()
    layout.add_blocks(pieces_of(info.beside, min(SIDE, whole)), beside=side)
    return layout.finish()


def _cells(row: SheetRow) -> tuple[str, ...]:
    cells = (row.number, row.mark, row.title, row.scale, row.findings, row.page)
    return tuple(letterable(cell) for cell in cells)


def _columns(rows: Sequence[SheetRow], width: float, count: int) -> tuple[float, ...]:
    """Return the widths of the columns: what they hold, the title what is left.

    When that leaves too little, the others shrink toward their longest words.
    """
    table = [HEADINGS, *(_cells(row) for row in rows)]
    wanted: list[float] = []
    least: list[float] = []
    for i, widest in enumerate(WIDEST[:count]):
        cells = [line[i] for line in table]
        words = [word for cell in cells for word in cell.split()]
        wanted.append(min(widest, _widest(cells)))
        least.append(min(wanted[i], _widest(words)))
    wanted[TITLE_COLUMN] = least[TITLE_COLUMN] = 0.0
    over = fsum(wanted) - width * (1 - TITLE_SHARE)
    spare = fsum(wanted) - fsum(least)
    if over > 0 and spare:
        kept = max(0.0, 1 - over / spare)
        wanted = [b + (a - b) * kept for a, b in zip(wanted, least, strict=True)]
    wanted[TITLE_COLUMN] = width - fsum(wanted)
    return tuple(wanted)


def _widest(texts: Sequence[str]) -> float:
    """Return the width of a column that holds each of the texts on one line."""
    widths = (text_width(text, BODY, bold=True) for text in texts)
    return max(widths, default=0.0) + 2 * PAD + _HAIR


@dataclass(slots=True)
class _Layout:
    """Sets lines from the top of a page down, and starts new pages."""

    info: BookInfo
    paper: Paper
    columns: tuple[float, ...]
    table: float
    """Width of the index."""
    y: float = 0.0
    top: float = 0.0
    """Where what stands beside the index starts on this page."""
    items: list[Item] = field(default_factory=list[Item])
    boxes: list[tuple[int, tuple[float, float, float, float]]] = field(
        default_factory=list[tuple[int, tuple[float, float, float, float]]]
    )
    pages: list[IndexPage] = field(default_factory=list[IndexPage])
    sides: list[Column] = field(default_factory=list[Column])
    """Free columns beside the index, one for each finished page."""

    @property
    def left(self) -> float:
        """Return where the text starts."""
        return self.paper.margin + INSET

    @property
    def right(self) -> float:
        """Return where the index ends."""
        return self.left + self.table

    def begin(self) -> None:
        """Start a page: its frame, its head and the head of the table."""
        self._head()
        more = ", CONTINUED" if self.pages else ""
        self._write([f"INDEX OF SHEETS{more}"], HEADING)
        self.y -= PAD
        self._line(HEADINGS, bold=True)
        self._rule()

    def _head(self) -> None:
        """Start a page: its frame and its head."""
        edge, paper = self.paper.margin, self.paper
        frame = _box(edge, edge, paper.width - edge, paper.height - edge)
        self.items = [Path(frame, "frame", closed=True)]
        self.boxes = []
        self.y = paper.height - edge - INSET
        self._write(wrap(letterable(self.info.title), self._width, NAME, bold=True), NAME)
        if not self.pages:
            self._facts()
        self.y -= NAME
        self.top = self.y

    @property
    def _width(self) -> float:
        return self.paper.width - 2 * self.left

    def _write(self, lines: list[str], height: float) -> None:
        for line in lines:
            self.y -= height
            self.items.append(Text((self.left, self.y), line, height, "text", bold=True))
            self.y -= height * (LINE_PITCH - 1)

    def _facts(self) -> None:
        self.y -= PAD
        facts = [(letterable(a), letterable(b)) for a, b in self.info.facts if b.strip()]
        indent = max((text_width(a, BODY, bold=True) for a, _ in facts), default=0.0)
        indent = min(indent + 2 * PAD, self._width / 2)
        for caption, value in facts:
            x = self.left + indent
            names = wrap(caption, indent - PAD, BODY, bold=True)
            values = wrap(value, self.left + self._width - x, BODY)
            for i, line in enumerate(names):
                at = (self.left, self.y - BODY - i * PITCH)
                self.items.append(Text(at, line, BODY, "text", bold=True))
            for i, line in enumerate(values):
                self.items.append(Text((x, self.y - BODY - i * PITCH), line, BODY, "text"))
            self.y -= PITCH * max(len(names), len(values))

    def _wrapped(self, cells: Sequence[str], *, bold: bool) -> list[list[str]]:
        pairs = zip(cells[: len(self.columns)], self.columns, strict=True)
        return [wrap(cell, width - 2 * PAD, BODY, bold=bold) for cell, width in pairs]

    def _line(self, cells: Sequence[str], *, bold: bool) -> None:
        """Set one line of the table; its cells may take several lines of text."""
        wrapped = self._wrapped(cells, bold=bold)
        x = self.left
        for lines, width in zip(wrapped, self.columns, strict=True):
            for i, line in enumerate(lines):
                at = (x + PAD, self.y - PAD - BODY - i * PITCH)
                self.items.append(Text(at, line, BODY, "text", bold=bold))
            x += width
        self.y -= _height(wrapped)

    def _rule(self) -> None:
        ends = ((self.left, self.y), (self.right, self.y))
        self.items.append(Path(ends, "table"))

    def add_row(self, number: int, row: SheetRow) -> None:
        """Set one row, on a new page when this one is full."""
        cells = _cells(row)
        height = _height(self._wrapped(cells, bold=row.fails))
        if self.y - height < self._bottom and self.boxes:
            self._end_page()
            self.begin()
        top = self.y
        self._line(cells, bold=row.fails)
        self._rule()
        self.boxes.append((number, (self.left, self.y, self.right, top)))

    @property
    def _bottom(self) -> float:
        return self.paper.margin + INSET

    def add_note(self) -> None:
        """Set the note below the table."""
        lines = wrap(letterable(self.info.note), self.table, BODY)
        if lines and self.y - PITCH * (len(lines) + 1) < self._bottom:
            self._end_page()
            self.begin()
        self.y -= PITCH / 2
        for line in lines:
            self.y -= PITCH
            self.items.append(Text((self.left, self.y), line, BODY, "text"))

    def add_blocks(self, pieces: list[Piece], *, beside: bool) -> None:
        """Set what else the cover tells, beside the index or below it.

        What finds no room there has pages of its own at the end.
        """
        places = [*self.sides, self._side()] if beside else []
        under = self._under(self.y - BODY)
        left = fill(pieces, [*places, *under])
        for page, place in zip(self.pages, places, strict=False):
            page.scene = replace(page.scene, items=(*page.scene.items, *place.items))
        self.items += [i for c in (*places[-1:], *under) for i in c.items]
        while left:
            self._end_page()
            self._head()
            more = self._under(self.y)
            left = fill(left, more)
            self.items += [i for c in more for i in c.items]

    def _side(self) -> Column:
        """Return the column beside the index."""
        return Column(self.right + BETWEEN, SIDE, self.top, self._bottom)

    def _under(self, top: float) -> list[Column]:
        """Return columns over the width of the index, from a level down."""
        count = max(1, int((self.table + BETWEEN) / (SIDE + BETWEEN)))
        wide = min(SIDE, self.table)
        return [
            Column(self.left + n * (SIDE + BETWEEN), wide, top, self._bottom)
            for n in range(count)
        ]

    def _end_page(self) -> None:
        self.sides.append(self._side())
        count = len(self.pages) + 1
        scene = Scene(
            id="index" if count == 1 else f"index-{count}",
            title=letterable(self.info.title),
            paper=self.paper,
            layers=LAYERS,
            items=tuple(self.items),
            views=(),
            inches=False,
            subject="Index of sheets",
            author=self.info.author,
        )
        self.pages.append(IndexPage(scene, tuple(self.boxes)))

    def finish(self) -> tuple[IndexPage, ...]:
        """Return all pages."""
        self._end_page()
        return tuple(self.pages)


def _height(wrapped: list[list[str]]) -> float:
    """Return the height of a table line."""
    return PITCH * (max(map(len, wrapped)) - 1) + BODY + 2 * PAD


def _box(x0: float, y0: float, x1: float, y1: float) -> tuple[tuple[float, float], ...]:
    return (x0, y0), (x1, y0), (x1, y1), (x0, y1)
