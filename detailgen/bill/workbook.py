"""The bill as a workbook whose formulas lead from net to gross to cost.

What an estimator may change stands on a tinted ground: lengths and ends, lap and offcut
factors on the sheet of a condition; waste, packs, prices and hours on the sheet of
materials. Text is written as text, so that no cell can be read as a formula.
"""

from detailgen.bill._cells import Book
from detailgen.bill._condition_sheet import ConditionSheet
from detailgen.bill._job_sheets import lines_sheet, summary_sheet
from detailgen.bill._materials_sheet import MATERIALS, materials_sheet
from detailgen.bill._nouns import Bill, Counted
from detailgen.bill._shown import Shown

_TAKEN = frozenset({"summary", "materials", "lines", "history"})
"""Names of other sheets, and one that spreadsheets keep for themselves."""


def workbook(bill: Bill, shown: Shown) -> bytes:
    """Return the bill as the bytes of an .xlsx file."""
    book = Book(bill.project, shown.system)
    summary, materials = book.page("Summary"), book.page(MATERIALS)
    flat = book.page("Lines")
    rows = {total.item: number for number, total in enumerate(bill.totals)}
    sheets = [
        ConditionSheet(book.page(_name(one)), _name(one), one, shown, rows)
        for one in bill.conditions
    ]
    for sheet in sheets:
        sheet.write()
    last = lines_sheet(flat, sheets, shown)
    materials_sheet(materials, bill, shown, last)
    summary_sheet(summary, bill, shown, sheets)
    return book.content()


def _name(one: Counted) -> str:
    """Return the name of a condition's sheet: its id, unless that is taken."""
    return f"{one.id} detail" if one.id.casefold() in _TAKEN else one.id
