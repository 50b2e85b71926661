"""Cells, pages and the book: the only module that knows the library.

Text is written as text and never guessed at, so that no cell can be read as a formula.
"""

# pyright: reportMissingTypeStubs=false

import re
from collections.abc import Sequence
from datetime import datetime
from io import BytesIO
from typing import Any, Final

from xlsxwriter import Workbook
from xlsxwriter.utility import xl_rowcol_to_cell

from detailgen.units import UnitSystem

_INPUT: Final = "#FFF6DD"
_HEAD: Final = "#E3E8EC"
NET: Final = 4
GROSS: Final = 9
"""Columns of amounts on the sheet of a condition."""
_LETTER: Final = 1
_A4: Final = 9
_DAY: Final = datetime(2000, 1, 1)  # noqa: DTZ001  (a file depends on its inputs only)
_RULE: Final = {"bottom": 1, "bottom_color": "#C5CCD2", "valign": "top"}
_KINDS: Final[dict[str, dict[str, Any]]] = {
    "title": {"bold": True, "font_size": 14, "quote_prefix": True},
    "head": {"bold": True, "bg_color": _HEAD, "text_wrap": True, "border": 1}
    | {"quote_prefix": True},
    "label": {"bold": True, "quote_prefix": True},
    "text": {"text_wrap": True, "quote_prefix": True} | _RULE,
    "plain": {"quote_prefix": True},
    "note": {"italic": True, "quote_prefix": True},
    "warn": {"bold": True, "font_color": "#B00020", "quote_prefix": True},
    "amount": {"num_format": "#,##0.00"} | _RULE,
    "fine": {"num_format": "0.0000"} | _RULE,
    "factor": {"num_format": "0.000"} | _RULE,
    "percent": {"num_format": "0.0%"} | _RULE,
    "whole": {"num_format": "#,##0"} | _RULE,
    "total": {"num_format": "#,##0.00", "bold": True, "top": 1},
}


class Book:
    """A workbook in memory."""

    def __init__(self, project: str, system: UnitSystem, title: str = "Takeoff") -> None:
        self.project, self.system = project, system
        self._stream = BytesIO()
        self._book: Any = Workbook(self._stream, {"in_memory": True})
        self._book.set_properties({"title": title, "created": _DAY})
        self._formats: dict[str, Any] = {}

    def page(self, name: str) -> "Page":
        """Return a new sheet."""
        return Page(self, self._book.add_worksheet(name))

    def format(self, name: str, *, entry: bool) -> Any:  # noqa: ANN401
        """Return a format; of what a user may change if `entry`."""
        key = f"{name} entry" if entry else name
        if key not in self._formats:
            tint = {"bg_color": _INPUT} if entry else {}
            self._formats[key] = self._book.add_format(_KINDS[name] | tint)
        return self._formats[key]

    def content(self) -> bytes:
        """Return the bytes of the file."""
        self._book.close()
        return self._stream.getvalue()


class Page:
    """One sheet of a workbook."""

    def __init__(self, book: Book, sheet: Any) -> None:  # noqa: ANN401
        self.book, self._sheet = book, sheet

    def text(
        self, row: int, column: int, text: str, kind: str, *, entry: bool = False
    ) -> None:
        """Write text."""
        self._sheet.write_string(row, column, text, self.book.format(kind, entry=entry))

    def texts(self, row: int, texts: Sequence[str], kind: str) -> None:
        """Write texts beside one another, from the first column on."""
        for column, text in enumerate(texts):
            self.text(row, column, text, kind)

    def number(self, row: int, column: int, value: float, kind: str) -> None:
        """Write a number that an estimator may change."""
        self._sheet.write_number(row, column, value, self.book.format(kind, entry=True))

    def fixed(self, row: int, column: int, value: float, kind: str) -> None:
        """Write a number that comes from the section."""
        self._sheet.write_number(row, column, value, self.book.format(kind, entry=False))

    def formula(
        self, row: int, column: int, formula: str, kind: str, value: float | str
    ) -> None:
        """Write a formula, with its value for readers that do not compute."""
        cell = self.book.format(kind, entry=False)
        self._sheet.write_formula(row, column, f"={formula}", cell, value)

    def blank(self, row: int, column: int, kind: str, *, entry: bool = False) -> None:
        """Write an empty cell."""
        cell = self.book.format(kind, entry=entry)
        self._sheet.write_blank(row, column, None, cell)

    def filter(self, last: int, columns: int) -> None:
        """Let a reader filter rows by what stands in them."""
        self._sheet.autofilter(0, 0, last, columns - 1)

    def set_up(self, widths: Sequence[float], head: int, *, freeze: int = 0) -> None:
        """Set widths of columns, frozen headers and how it is printed.

        Args:
            widths: Of the columns, in signs.
            head: Row of the header, counted from 0.
            freeze: Rows that stay in sight; by default down to the header.
        """
        sheet, metric = self._sheet, self.book.system is UnitSystem.MILLIMETRES
        for column, width in enumerate(widths):
            sheet.set_column(column, column, width)
        sheet.freeze_panes(freeze or head + 1, 0 if freeze else 1)
        sheet.repeat_rows(head)
        sheet.set_landscape()
        sheet.set_paper(_A4 if metric else _LETTER)
        sheet.fit_to_pages(1, 0)
        sheet.set_margins(left=0.5, right=0.5, top=0.8, bottom=0.7)
        # an ampersand begins a code in a header, and doubled it may still be taken for one
        project = re.sub(r"\s*&\s*", " and ", self.book.project)[:80]
        # a number just after a code of the header would be read as a size of letters
        sheet.set_header(f"&L{' ' if project[:1].isdigit() else ''}{project}&R&A")
        sheet.set_footer("&CPage &P of &N")


def at(row: int, column: int, *, fixed: bool = False) -> str:
    """Return a cell as formulas name it."""
    return str(xl_rowcol_to_cell(row, column, row_abs=fixed, col_abs=fixed))


def on(sheet: str, cell: str) -> str:
    """Return a cell of another sheet; names of sheets have no quotes in them."""
    return f"'{sheet}'!{cell}"
