"""The sheet of materials: all that a job takes, in packs, with weights and costs."""

from typing import Final

from detailgen.bill._cells import Page, at, on
from detailgen.bill._nouns import Bill, Total
from detailgen.bill._shown import Shown

MATERIALS: Final = "Materials"
_HEAD: Final = 2
FIRST: Final = _HEAD + 1
"""Row of the first material."""
WASTE: Final = 5
_GROSS, _HOLDS, _PACK, _PACKS = range(6, 10)
_FOR, _PRICE, COST, _EACH, HOURS = range(12, 17)
_WIDTHS: Final = (28, 40, 18, 8, 12, 8, 12, 10, 10, 9, 12, 10, 10, 12, 14, 10, 10, 46)
_ROUNDED: Final = (
    "Packs are rounded up here and nowhere else, once a material over the whole job. "
    "Weight and board feet are those of the gross amount."
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
    sheet.text(1, 0, _ROUNDED, "note")
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
    for column, value in ((COST, bill.cost), (HOURS, bill.hours)):
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
        (_PRICE, COST, price and price.price, total.cost),
        (_EACH, HOURS, price and price.hours, total.hours),
    )
    for column, result, value, found in given:
        if value is None:
            sheet.blank(row, column, "amount", entry=True)
        else:
            sheet.number(row, column, value, "amount")
        cell = at(row, column)
        formula = f'IF(ISNUMBER({cell}),{which}*{cell},"")'
        sheet.formula(row, result, formula, "amount", "" if found is None else found)
