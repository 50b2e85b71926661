"""The legend: a swatch and a name for all that a view draws."""

from collections.abc import Sequence
from typing import Final

from detailgen.catalog import Catalog
from detailgen.geometry import Point
from detailgen.lettering import DESCENT, wrap
from detailgen.scene import Hatch, Item, Path
from detailgen.sheet.bodies import pattern_of
from detailgen.sheet.figure import Swatch
from detailgen.sheet.flow import PITCH, TEXT, Block, Row, line, moved

_WIDE: Final = 13.0
_HIGH: Final = 4.8
_ROOMY: Final = 62.0
"""Least width of one of two columns of the legend, mm."""


def legend(swatches: Sequence[Swatch], catalog: Catalog) -> Block:
    """Return the legend as a block; in a wide column it stands in two or more columns."""

    def rows(width: float) -> list[Row]:
        columns = max(1, int(width / _ROOMY))
        wide = width / columns
        cells = [_cell(s, catalog, wide - 3.0) for s in swatches]
        made: list[Row] = []
        for first in range(0, len(cells), columns):
            group = cells[first : first + columns]
            height = max(h for _, h in group)
            items = [i for n, (make, _) in enumerate(group) for i in _at(make, n * wide)]
            made.append(Row(height, tuple(items)))
        return made

    return Block("LEGEND", rows, wide=True)


def _at(items: list[Item], dx: float) -> list[Item]:
    return [moved(i, dx, 0.0) for i in items] if dx else items


def _cell(swatch: Swatch, catalog: Catalog, width: float) -> tuple[list[Item], float]:
    """Return one entry about its upper left corner, and its height."""
    lines = wrap(swatch.name, width - _WIDE - 3.0, TEXT)
    items = _picture(swatch, catalog)
    y = -_HIGH / 2 - TEXT / 2 - 0.4
    for text in lines:
        items.append(line(text, _WIDE + 3.0, y))
        y -= PITCH
    return items, max(_HIGH + 1.8, -y - PITCH + DESCENT * TEXT + 2.0)


def _picture(swatch: Swatch, catalog: Catalog) -> list[Item]:
    top, low = -0.4, -0.4 - _HIGH
    ring: tuple[Point, ...] = ((0.0, low), (_WIDE, low), (_WIDE, top), (0.0, top))
    middle = (top + low) / 2
    if swatch.kind != "area":
        items: list[Item] = [Path(((0.0, middle), (_WIDE, middle)), swatch.layer)]
        if swatch.kind == "dry":
            for y, fill in (
                (middle + 0.2, (226, 226, 226)),
                (middle - 0.2, (178, 178, 178)),
            ):
                far = top if y > middle else low
                band = ((0.0, y), (_WIDE, y), (_WIDE, far), (0.0, far))
                items.insert(0, Path(band, "sheet", closed=True, fill=fill))
        return items
    items = [Path(ring, swatch.layer, closed=True, fill=swatch.fill)]
    if swatch.crossed:
        items += [
            Path((ring[0], ring[2]), "hatch"),
            Path((ring[1], ring[3]), "hatch"),
        ]
    elif swatch.pattern:
        pattern = pattern_of(catalog.drafting.pattern(swatch.pattern))
        items.append(Hatch(ring, "hatch", pattern))
    return items
