"""The sheets of the whole job: a summary, and all lines one under the other."""

from collections.abc import Sequence
from typing import Final

from detailgen.bill._cells import GROSS, NET, Page, at, on
from detailgen.bill._condition_sheet import ConditionSheet
from detailgen.bill._materials_sheet import COST, FIRST, HOURS, MATERIALS
from detailgen.bill._nouns import Bill
from detailgen.bill._shown import Shown, how_much

_LINE_WIDTHS: Final = (12, 44, 30, 8, 14, 14)
_NEED: Final = (
    "What may be changed stands on a tinted ground: lengths, ends, factors on the sheets "
    "of conditions; waste, packs, prices and hours on the sheet of materials."
)


def lines_sheet(sheet: Page, sheets: Sequence[ConditionSheet], shown: Shown) -> int:
    """Write all lines one under the other, as they stand on their sheets.

    Returns:
        The last row.
    """
    sheet.set_up(_LINE_WIDTHS, 0)
    sheet.texts(0, ("Condition", "Quantity", "Item", "Unit", "Net", "Gross"), "head")
    row = 0
    for one in sheets:
        for number, line in enumerate(one.counted.lines):
            if not line.bought:
                continue
            row += 1
            unit, there = shown.unit(line.measure), one.row(number)
            for column, text in enumerate((one.counted.id, line.label, line.item, unit)):
                sheet.text(row, column, text, "text")
            factor = shown.factor(line.measure)
            for column, value, of in ((4, line.net, NET), (5, line.gross, GROSS)):
                formula = on(one.name, at(there, of))
                sheet.formula(row, column, formula, "amount", value * factor)
    sheet.filter(max(row, 1), len(_LINE_WIDTHS))
    return max(row, 1)


def summary_sheet(
    sheet: Page,
    bill: Bill,
    shown: Shown,
    sheets: Sequence[ConditionSheet],
) -> None:
    """Write what the job is, what it comes to, and what it holds."""
    facts = [
        ("Job", bill.project),
        ("Number", bill.number),
        ("Revision", bill.revision),
        ("Date", bill.date),
        ("Prices from", bill.prices.file or "no price list: nothing is priced"),
    ]
    row = _costs_summary(sheet, bill, facts)
    told = [_NEED]
    if bill.prices.rows and bill.unpriced:
        told.append(f"Without a price: {', '.join(bill.unpriced)}")
    if bill.unused:
        told.append(f"In the price list, not in this job: {', '.join(bill.unused)}")
    for text in told:
        sheet.text(row, 0, text, "note")
        row += 1
    head = row + 1
    sheet.set_up((22, 46, 24, 22, 44), head, freeze=1)
    sheet.texts(head, ("Condition", "Title", "Kind", "How much", "Remark"), "head")
    for number, one in enumerate(sheets, head + 1):
        counted = one.counted
        amount = how_much(counted, shown)
        cells = (counted.id, counted.title, counted.kind, amount, counted.missing)
        for column, text in enumerate(cells):
            sheet.text(number, column, text, "text")


def _costs_summary(sheet: Page, bill: Bill, facts: Sequence[tuple[str, str]]) -> int:
    sheet.text(0, 0, "Takeoff", "title")
    row = 2
    for name, text in facts:
        sheet.text(row, 0, name, "label")
        sheet.text(row, 1, text, "plain")
        row += 1
    end, money = FIRST + len(bill.totals), bill.prices.currency
    suffix = f", {money}" if money else ""
    rate = bill.prices.rate or 0.0
    row += 1
    rows = (
        (f"Materials{suffix}", on(MATERIALS, at(end, COST)), bill.cost),
        ("Labour, hours", on(MATERIALS, at(end, HOURS)), bill.hours),
        (f"An hour{suffix}", "", bill.prices.rate),
        (f"Labour{suffix}", f"{at(row + 1, 1)}*{at(row + 2, 1)}", bill.hours * rate),
        (f"Sum{suffix}", f"{at(row, 1)}+{at(row + 3, 1)}", bill.cost + bill.hours * rate),
    )
    for name, formula, value in rows:
        sheet.text(row, 0, name, "label")
        if value is None:
            sheet.blank(row, 1, "amount", entry=True)
        elif formula:
            sheet.formula(row, 1, formula, "amount", value)
        else:
            sheet.number(row, 1, value, "amount")
        row += 1
    return row + 1
