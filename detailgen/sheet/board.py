"""The paper, divided: a column at the right with the title block, and the rest."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from detailgen.catalog import Drafting
from detailgen.lettering import letterable
from detailgen.scene import Item, Layer, Paper, Path, Scene, TitleBlock, View
from detailgen.sheet.flow import GAP, Column, Piece, fill, whole_height
from detailgen.sheet.plane import Box
from detailgen.sheet.request import SheetRequest
from detailgen.sheet.title_block import logo_items, revised, title_block

PAD: Final = 4.0
"""From the frame to what stands inside it, mm."""
GUTTER: Final = 6.0
"""Between columns, mm."""
_KIND: Final = "DOCTYPE"
"""Tag of the cell of a title block that says of what kind the sheet is."""
_COLUMN: Final = 92.0
"""Least width of a column of text, where the sheet is wide enough for three, mm."""


@dataclass(slots=True)
class Page:
    """One sheet in the making."""

    items: list[Item] = field(default_factory=list[Item])
    views: list[View] = field(default_factory=list[View])
    scales: list[str] = field(default_factory=list[str])
    used: float = 0.0
    """Height of all that was set in its columns, mm."""


@dataclass(frozen=True, slots=True)
class Board:
    """The paper and how it is divided."""

    request: SheetRequest
    paper: Paper
    frame: Box
    count: int
    """Number of columns of text that the sheet is divided into."""

    @property
    def inner(self) -> Box:
        """The frame less its padding."""
        x0, y0, x1, y1 = self.frame
        return x0 + PAD, y0 + PAD, x1 - PAD, y1 - PAD

    @property
    def column(self) -> float:
        """Width of a column of text."""
        return (self.inner[2] - self.inner[0] + GUTTER) / self.count - GUTTER

    @property
    def double(self) -> float:
        """Width of two columns of text."""
        return 2 * self.column + GUTTER

    @property
    def divider(self) -> float:
        """X of the line between the column at the right and the rest."""
        return self.inner[2] - self.column - GUTTER / 2

    @property
    def rest(self) -> float:
        """Width left of the column at the right."""
        return self.divider - GUTTER / 2 - self.inner[0]

    def title_top(self) -> float:
        """Return the level at which the title block ends."""
        width = self.frame[2] - self.divider
        block = title_block(self.request, "AS SHOWN", (1, 9), (0.0, 0.0), width)
        return self.frame[1] + block.height

    def side_column(self) -> Column:
        """Return the column above the title block."""
        _, _, x1, y1 = self.inner
        return Column(x1 - self.column, self.column, y1, self.title_top() + GAP - 1.0)

    def text_columns(self) -> list[Column]:
        """Return all columns of a sheet that holds text alone, from left to right."""
        x0, y0, _, y1 = self.inner
        wide = self.column
        return [
            *(
                Column(x0 + n * (wide + GUTTER), wide, y1, y0)
                for n in range(self.count - 1)
            ),
            self.side_column(),
        ]

    def lines(self) -> list[Item]:
        """Return the frame of the sheet and the line left of the column at the right."""
        x0, y0, x1, y1 = self.frame
        ring = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
        return [
            Path(ring, "frame", closed=True),
            Path(((self.divider, self.title_top()), (self.divider, y1)), "title"),
        ]

    def scene(self, page: Page, number: int, count: int) -> Scene:
        """Return a page as a scene, with frame and title block."""
        request = self.request
        labels = list(dict.fromkeys(page.scales))
        scale = labels[0] if len(labels) == 1 else "AS SHOWN" if labels else "NONE"
        corner = (self.frame[2], self.frame[1])
        width = self.frame[2] - self.divider
        block = title_block(request, scale, (number, count), corner, width)
        return Scene(
            id=f"{request.mark}-{number}",
            title=letterable(f"{request.mark} {request.title}"),
            paper=self.paper,
            layers=layers_of(request.catalog.drafting),
            items=(
                *self.lines(),
                *page.items,
                block,
                *logo_items(request, block),
                *revised(request, block),
            ),
            views=tuple(page.views),
            inches=request.inches,
            subject=letterable(request.job.name),
            author=letterable(request.job.drawn_by),
        )

    def scenes(
        self, pages: Sequence[Page], stem: str = "", told: str = ""
    ) -> tuple[Scene, ...]:
        """Return pages as scenes, numbered from 1.

        Args:
            pages: In their order.
            stem: Of what kind the sheets are, in their file names; empty for the detail.
            told: The same in their title blocks.
        """
        made = (self.scene(page, n, len(pages)) for n, page in enumerate(pages, 1))
        if not stem:
            return tuple(made)
        mark = self.request.mark
        return tuple(
            replace(
                scene,
                id=f"{mark}-{stem}-{number}",
                title=f"{scene.title}: {told.lower()}",
                items=tuple(_of_kind(item, told) for item in scene.items),
            )
            for number, scene in enumerate(made, 1)
        )


def _of_kind(item: Item, told: str) -> Item:
    """Return a title block with the kind of its sheet, and any other item as it is."""
    if not isinstance(item, TitleBlock):
        return item
    cells = (replace(c, value=told) if c.tag == _KIND else c for c in item.cells)
    return replace(item, cells=tuple(cells))


def layers_of(drafting: Drafting) -> tuple[Layer, ...]:
    """Return the layers of the catalogue as a scene has them."""
    return tuple(
        Layer(d.role, d.name, d.pen, d.colour, d.dash, d.plots, d.about)
        for d in drafting.layers
    )


def board_of(request: SheetRequest) -> Board:
    """Return the paper of a request, divided."""
    data = request.catalog.drafting.paper(request.paper)
    m = data.margin
    frame = (m, m, data.width - m, data.height - m)
    wide = frame[2] - frame[0] - 2 * PAD
    count = max(3, int((wide + GUTTER) / (_COLUMN + GUTTER)))
    return Board(request, Paper(data.name, data.width, data.height, m), frame, count)


def fill_whole(piece: Piece, columns: Sequence[Column]) -> bool:
    """Set a piece into the first column that can hold all of it; say whether one could."""
    for column in columns:
        gap = GAP if column.started else 0.0
        if column.room >= whole_height(piece, column.width) + gap:
            return not fill([piece], [column])
    return False
