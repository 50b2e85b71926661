"""Cells: their formats, and how sheets of a workbook are set up for screen and paper."""

from collections.abc import Sequence
from typing import Any, Final

from xlsxwriter import Workbook
from xlsxwriter.utility import xl_rowcol_to_cell
from xlsxwriter.worksheet import Worksheet

from detailgen.units import UnitSystem

_INPUT: Final = "#FFF6DD"
_HEAD: Final = "#E3E8EC"
NET: Final = 4
GROSS: Final = 9
"""Columns of amounts on the sheet of a condition."""
_LETTER: Final = 1
_A4: Final = 9


class Formats:
    """The formats of one workbook."""

    def __init__(self, book: Workbook, project: str) -> None:
        self.project = project
        self._book = book
        self._kept: dict[str, Any] = {}
        rule = {"bottom": 1, "bottom_color": "#C5CCD2", "valign": "top"}
        self._kinds: dict[str, dict[str, Any]] = {
            "title": {"bold": True, "font_size": 14},
            "head": {"bold": True, "bg_color": _HEAD, "text_wrap": True, "border": 1},
            "label": {"bold": True},
            "text": {"text_wrap": True, "quote_prefix": True} | rule,
            "plain": {"quote_prefix": True},
            "note": {"italic": True, "quote_prefix": True},
            "warn": {"bold": True, "font_color": "#B00020", "quote_prefix": True},
            "amount": {"num_format": "#,##0.00"} | rule,
            "fine": {"num_format": "0.0000"} | rule,
            "factor": {"num_format": "0.000"} | rule,
            "percent": {"num_format": "0.0%"} | rule,
            "whole": {"num_format": "#,##0"} | rule,
            "total": {"num_format": "#,##0.00", "bold": True, "top": 1},
        }

    def __call__(self, name: str, *, entry: bool = False) -> Any:  # noqa: ANN401
        """Return a format; of what a user may change if `entry`."""
        key = f"{name} entry" if entry else name
        if key not in self._kept:
            kind = dict(self._kinds[name])
            if entry:
                kind["bg_color"] = _INPUT
            self._kept[key] = self._book.add_format(kind)
        return self._kept[key]


def set_up(
    sheet: Worksheet,
    formats: Formats,
    system: UnitSystem,
    widths: Sequence[float],
    head: int,
) -> None:
    """Set widths of columns, frozen headers and how a sheet is printed.

    Args:
        sheet: The sheet.
        formats: Formats of its workbook.
        system: Units of the job, which go with a size of paper.
        widths: Of the columns, in signs.
        head: Row of the header, counted from 0.
    """
    for column, width in enumerate(widths):
        sheet.set_column(column, column, width)
    sheet.freeze_panes(head + 1, 1)
    sheet.repeat_rows(head)
    sheet.set_landscape()
    sheet.set_paper(_A4 if system is UnitSystem.MILLIMETRES else _LETTER)
    sheet.fit_to_pages(1, 0)
    sheet.set_margins(left=0.5, right=0.5, top=0.8, bottom=0.7)
    project = formats.project.replace("&", "&&")[:80]
    # a number after a font code would be read as a size of letters
    sheet.set_header(f"&L{' ' if project[:1].isdigit() else ''}{project}&R&A")
    sheet.set_footer("&CPage &P of &N")


def heading(sheet: Worksheet, formats: Formats, row: int, names: Sequence[str]) -> None:
    """Write a row of headers."""
    for column, name in enumerate(names):
        sheet.write_string(row, column, name, formats("head"))


def at(row: int, column: int, *, fixed: bool = False) -> str:
    """Return a cell as formulas name it."""
    return str(xl_rowcol_to_cell(row, column, row_abs=fixed, col_abs=fixed))


def on(sheet: str, cell: str) -> str:
    """Return a cell of another sheet; names of sheets have no quotes in them."""
    return f"'{sheet}'!{cell}"
