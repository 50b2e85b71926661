"""The bill as a workbook whose formulas lead from net to gross to cost.

What an estimator may change stands on a tinted ground: lengths and ends, lap and offcut
factors on the sheet of a condition; waste, packs, prices and hours on the sheet of
materials. Text is written as text, so that no cell can be read as a formula.
"""

from datetime import datetime
from io import BytesIO

from xlsxwriter import Workbook

from detailgen.bill._cells import Formats
from detailgen.bill._condition_sheet import ConditionSheet
from detailgen.bill._job_sheets import (
    MATERIALS,
    lines_sheet,
    materials_sheet,
    summary_sheet,
)
from detailgen.bill._nouns import Bill, Counted
from detailgen.bill._shown import Shown

_TAKEN = frozenset({"summary", "materials", "lines", "history"})
"""Names of other sheets, and one that spreadsheets keep for themselves."""
_DAY = datetime(2000, 1, 1)  # noqa: DTZ001  (a file depends on its inputs only)


def workbook(bill: Bill, shown: Shown) -> bytes:
    """Return the bill as the bytes of an .xlsx file."""
    stream = BytesIO()
    book = Workbook(stream, {"in_memory": True, "strings_to_numbers": False})
    book.set_properties({"title": "Takeoff", "created": _DAY})
    book.set_calc_mode("auto")
    formats = Formats(book, bill.project)
    summary = book.add_worksheet("Summary")
    materials = book.add_worksheet(MATERIALS)
    flat = book.add_worksheet("Lines")
    rows = {total.item: number for number, total in enumerate(bill.totals)}
    sheets = [
        ConditionSheet(book.add_worksheet(_name(one)), _name(one), one, shown, rows)
        for one in bill.conditions
    ]
    for sheet in sheets:
        sheet.write(formats)
    last = lines_sheet(flat, sheets, shown, formats)
    materials_sheet(materials, bill, shown, formats, last)
    summary_sheet(summary, bill, shown, formats, sheets)
    book.close()
    return stream.getvalue()


def _name(one: Counted) -> str:
    """Return the name of a condition's sheet: its id, unless that is taken."""
    return f"{one.id} detail" if one.id.casefold() in _TAKEN else one.id
