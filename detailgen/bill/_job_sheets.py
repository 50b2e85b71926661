"""The sheets of the whole job: summary, materials, and all lines one under the other."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from detailgen.bill._cells import GROSS, NET, Page, at, on
from detailgen.bill._nouns import Bill, Total
from detailgen.bill._shown import Shown, how_much

if TYPE_CHECKING:
    from detailgen.bill._condition_sheet import ConditionSheet

MATERIALS: Final = "Materials"
_HEAD: Final = 2
FIRST: Final = _HEAD + 1
"""Row of the first material."""
WASTE: Final = 5
_GROSS, _HOLDS, _PACK, _PACKS = range(6, 10)
_FOR, _PRICE, _COST, _EACH, _HOURS = range(12, 17)
_WIDTHS: Final = (28, 40, 18, 8, 12, 8, 12, 10, 10, 9, 12, 10, 10, 12, 14, 10, 10, 46)
_LINE_WIDTHS: Final = (12, 44, 30, 8, 14, 14)
_NEED: Final = (
    "What may be changed stands on a tinted ground: lengths, ends, factors on the sheets "
    "of conditions; waste, packs, prices and hours on the sheet of materials."
)


def materials_sheet(sheet: Page, bill: Bill, shown: Shown, last: int) -> None:
    """Write all that the job takes, by what is bought.

    Args:
        sheet: The sheet.
        bill: The bill.
        shown: Units of the job.
        last: Last row of the sheet of lines.
    """
    sheet.set_up(_WIDTHS, _HEAD)
    sheet.text(0, 0, "Materials of the whole job", "title")
    money = f", {bill.prices.currency}" if bill.prices.currency else ""
    weight = shown.weight[0]
    names = (
        "Item", "Name", "Standard", "Unit", "Net", "Waste", "Gross", "Pack holds", "Pack",
        "Packs", f"Weight, {weight}", "Board feet", "Price for", f"Price{money}",
        f"Cost{money}", "Hours for one", "Hours", "Source of pack and waste",
    )  # fmt: skip
    sheet.texts(_HEAD, names, "head")
    for number, total in enumerate(bill.totals):
        _material(sheet, FIRST + number, total, shown, last)
    end = FIRST + len(bill.totals)
    sheet.text(end, 0, "Sum", "label")
    for column, value in ((_COST, bill.cost), (_HOURS, bill.hours)):
        summed = f"SUM({at(FIRST, column)}:{at(max(end - 1, FIRST), column)})"
        sheet.formula(end, column, summed, "total", value)


def _material(sheet: Page, row: int, total: Total, shown: Shown, last: int) -> None:
    factor, unit = shown.factor(total.measure), shown.unit(total.measure)
    for column, text in enumerate((total.item, total.name, total.standard, unit)):
        sheet.text(row, column, text, "text")
    for column, source, value in ((4, 4, total.net), (_GROSS, 5, total.gross)):
        keys = on("Lines", f"{at(1, 2, fixed=True)}:{at(last, 2, fixed=True)}")
        values = on("Lines", f"{at(1, source, fixed=True)}:{at(last, source, fixed=True)}")
        summed = f"SUMIF({keys},{at(row, 0)},{values})"
        sheet.formula(row, column, summed, "amount", value * factor)
    sheet.number(row, WASTE, total.waste, "percent")
    sheet.number(row, _HOLDS, total.holds * factor, "amount")
    sheet.text(row, _PACK, total.pack, "text")
    packs = f"MAX(0,ROUNDUP({at(row, _GROSS)}/{at(row, _HOLDS)}-1E-9,0))"
    sheet.formula(row, _PACKS, packs, "whole", total.packs)
    _masses(sheet, row, total, shown)
    _costs(sheet, row, total, unit)
    sheet.text(row, 17, total.source, "text")


def _masses(sheet: Page, row: int, total: Total, shown: Shown) -> None:
    factor = shown.factor(total.measure)
    each = (total.mass * shown.weight[1], total.board_feet)
    for column, value in zip((10, 11), each, strict=True):
        if value:
            told = f"{at(row, _GROSS)}*{value / factor!r}"
            sheet.formula(row, column, told, "amount", total.gross * value)
        else:
            sheet.blank(row, column, "text")


def _costs(sheet: Page, row: int, total: Total, unit: str) -> None:
    price = total.price
    told = unit if total.by_unit else total.pack
    sheet.text(row, _FOR, told, "text", entry=True)
    which = f"IF({at(row, _FOR)}={at(row, 3)},{at(row, _GROSS)},{at(row, _PACKS)})"
    given = (
        (_PRICE, _COST, price and price.price, total.cost),
        (_EACH, _HOURS, price and price.hours, total.hours),
    )
    for column, result, value, found in given:
        if value is None:
            sheet.blank(row, column, "amount", entry=True)
        else:
            sheet.number(row, column, value, "amount")
        cell = at(row, column)
        formula = f'IF(ISNUMBER({cell}),{which}*{cell},"")'
        sheet.formula(row, result, formula, "amount", "" if found is None else found)


def lines_sheet(sheet: Page, sheets: Sequence["ConditionSheet"], shown: Shown) -> int:
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
    sheets: Sequence["ConditionSheet"],
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
        (f"Materials{suffix}", on(MATERIALS, at(end, _COST)), bill.cost),
        ("Labour, hours", on(MATERIALS, at(end, _HOURS)), bill.hours),
        (f"An hour{suffix}", "", rate),
        (f"Labour{suffix}", f"{at(row + 1, 1)}*{at(row + 2, 1)}", bill.hours * rate),
        (f"Sum{suffix}", f"{at(row, 1)}+{at(row + 3, 1)}", bill.cost + bill.hours * rate),
    )
    for name, formula, value in rows:
        sheet.text(row, 0, name, "label")
        if not formula:
            sheet.number(row, 1, value, "amount")
        else:
            sheet.formula(row, 1, formula, "amount", value)
        row += 1
    return row + 1
