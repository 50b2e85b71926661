"""Numbers in the set: which sheet each is, of how many, once all of them are composed."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from detailgen.lettering import text_width
from detailgen.scene import MIN_TEXT, Cell, Item, Scene, TitleBlock

_TAG: Final = "SHEET"
_PAD: Final = 3.0
"""Clear space in a cell, both sides together, mm."""
_STEP: Final = 0.5


def numbered(scenes: Sequence[Scene], before: int = 0, of: int = 0) -> tuple[Scene, ...]:
    """Return sheets of a set with their numbers in the title blocks: `4 OF 14`.

    Args:
        scenes: Sheets that follow one another.
        before: How many sheets the set has before them.
        of: How many sheets the set has; by default it ends with these.
    """
    total = of or before + len(scenes)
    return tuple(
        replace(scene, items=tuple(_item(i, f"{n} OF {total}") for i in scene.items))
        for n, scene in enumerate(scenes, before + 1)
    )


def _item(item: Item, number: str) -> Item:
    if not isinstance(item, TitleBlock):
        return item
    cells = (_cell(cell, number) if cell.tag == _TAG else cell for cell in item.cells)
    return replace(item, cells=tuple(cells))


def _cell(cell: Cell, number: str) -> Cell:
    """Return a cell with another value, in smaller letters where the value is longer."""
    size = cell.size
    while size - _STEP >= MIN_TEXT and text_width(number, size) > cell.width - _PAD:
        size -= _STEP
    return replace(cell, value=number, size=size)
