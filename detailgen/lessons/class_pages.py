"""Class sheets in the making: a figure on the first, text poured under it and on."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from detailgen.lessons.class_paper import ClassPaper
from detailgen.lessons.class_text import BODY, PITCH, Passage, pour, ruled, text, titled
from detailgen.lettering import DESCENT, wrap
from detailgen.scene import Item, Scene
from detailgen.sheet.board import Page
from detailgen.sheet.figure import Figure
from detailgen.sheet.flow import Column, moved

_UNDER: Final = 4.0
"""From a figure to what stands under it, mm."""
_FEWEST: Final = 2
"""So many lines at least are worth a heading."""


@dataclass(slots=True)
class Pages:
    """The pages of one class sheet, and what is free on the last."""

    paper: ClassPaper
    pages: list[Page]
    free: Column

    @property
    def room(self) -> float:
        """Height that is free on the last page, mm."""
        return self.free.room

    def pour(self, passages: Sequence[Passage]) -> None:
        """Set passages, on further pages where they do not fit."""
        left = list(passages)
        while left := pour(left, self.free):
            assert self.free.rows or self.pages[-1].views, "a row fits on a page"
            self.turn()

    def turn(self) -> None:
        """Begin a new page."""
        self._close()
        self.pages.append(Page())
        self.free = self.paper.column()

    def fill_with_lines(self, title: str, pitch_lines: int = 99) -> int:
        """Rule what is free on the last page; return how many lines there are."""
        width = self.free.width
        head = titled(title, width).height + (4.0 if self.free.started else 0.0)
        line = ruled(width, 1)[0].height
        count = min(pitch_lines, int((self.room - head) / line))
        if count >= _FEWEST:
            self.pour([Passage(title, tuple(ruled(width, count)))])
            return count
        return 0

    def scenes(self) -> tuple[Scene, ...]:
        """Return the finished sheets."""
        self._close()
        count = len(self.pages)
        return tuple(self.paper.scene(p, n, count) for n, p in enumerate(self.pages, 1))

    def _close(self) -> None:
        self.pages[-1].items += self.free.items
        self.free = replace(self.free, rows=[])


def begin(paper: ClassPaper, figure: Figure, notes: str, *, told: bool) -> Pages:
    """Return the first page with its figure and a line under it.

    Args:
        paper: The paper.
        figure: The section.
        notes: What is said under it.
        told: Whether the sheet says the figure's scale.
    """
    x0, _, x1, y1 = paper.inner
    wide = x1 - x0
    page = Page()
    left = x0 + (wide - figure.width) / 2
    low = y1 - figure.height
    view = figure.view(left, low, pad=0.5)
    page.views.append(view if told else replace(view, scale_label=""))
    if told:
        page.scales.append(view.scale_label)
    y = low - _UNDER - BODY
    items: list[Item] = []
    for line in wrap(notes, wide, BODY):
        items.append(moved(text(line, 0.0, 0.0), x0, y))
        y -= PITCH
    page.items += items
    under = y + PITCH - DESCENT * BODY - _UNDER if items else low - _UNDER
    return Pages(paper, [page], paper.column(under))
