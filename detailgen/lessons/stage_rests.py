"""What stands where panels leave a stage sheet free: all stages in short, and lines."""

from collections.abc import Container, Sequence
from dataclasses import replace
from math import fsum
from typing import Final

from detailgen.lessons.class_text import ruled
from detailgen.lessons.step import Step
from detailgen.sheet.blocks import paragraph
from detailgen.sheet.flow import Block, Column, Piece, Row, fill, opening

NOTES: Final = "NOTES"
_FEWEST: Final = 4
"""Fewer lines than this are not worth their heading."""


def stages_block(steps: Sequence[Step], here: Container[int]) -> Block:
    """Return the list of all stages, those of a sheet in bold.

    Args:
        steps: All of them.
        here: The indices of those that have a panel on the sheet.
    """

    def rows(width: float) -> list[Row]:
        told = [f"{step.stage.number}  {step.name}" for step in steps]
        return [
            paragraph("", width, bold=one) if index in here else paragraph(one, width)
            for index, one in enumerate(told)
        ]

    return Block("ALL STAGES", rows)


def ruled_free(areas: Sequence[Column], title: str = NOTES) -> list[Column]:
    """Return areas that nothing stands in, filled with lines to write on.

    Only the first of them has a heading; those too low for some lines are left out.

    Args:
        areas: What is free.
        title: The heading.
    """
    filled: list[Column] = []
    for area in areas:
        titles = [] if filled else [Piece(title, ())]
        head = fsum(r.height for p in titles for r in opening(p, area.width))
        line = ruled(area.width, 1)[0].height
        count = int((area.room - head) / line)
        if count < _FEWEST:
            continue
        lines = ruled(area.width, count)
        column = replace(area)
        if titles:
            fill([Piece(title, tuple(lines))], [column])
        else:
            for row in lines:
                column.put(row)
        filled.append(column)
    return filled
