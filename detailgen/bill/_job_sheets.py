"""The sheets of the whole job: summary, materials, and all lines one under the other."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from xlsxwriter.worksheet import Worksheet

from detailgen.bill._cells import GROSS, NET, Formats, at, heading, on, set_up
from detailgen.bill._nouns import Bill, Total
from detailgen.bill._shown import Shown
from detailgen.units import show_run

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
_LINE_HEAD: Final = 0
_NEED: Final = (
    "What may be changed stands on a tinted ground: lengths, ends, factors on the sheets "
    "of conditions; waste, packs, prices and hours on the sheet of materials."
)


def materials_sheet(
    sheet: Worksheet, bill: Bill, shown: Shown, formats: Formats, last: int
) -> None:
    """Write all that the job takes, by what is bought.

    Args:
        sheet: The sheet.
        bill: The bill.
        shown: Units of the job.
        formats: Formats of the workbook.
        last: Last row of the sheet of lines.
    """
    set_up(sheet, formats, shown.system, _WIDTHS, _HEAD)
    sheet.write_string(0, 0, "Materials of the whole job", formats("title"))
    money = f", {bill.prices.currency}" if bill.prices.currency else ""
    weight = shown.weight[0]
    names = (
        "Item", "Name", "Standard", "Unit", "Net", "Waste", "Gross", "Pack holds", "Pack",
        "Packs", f"Weight, {weight}", "Board feet", "Price for", f"Price{money}",
        f"Cost{money}", "Hours for one", "Hours", "Source of pack and waste",
    )  # fmt: skip
    heading(sheet, formats, _HEAD, names)
    for number, total in enumerate(bill.totals):
        _material(sheet, formats, FIRST + number, total, shown, last)
    end = FIRST + len(bill.totals)
    sheet.write_string(end, 0, "Sum", formats("label"))
    for column, value in ((_COST, bill.cost), (_HOURS, bill.hours)):
        summed = f"=SUM({at(FIRST, column)}:{at(max(end - 1, FIRST), column)})"
        sheet.write_formula(end, column, summed, formats("total"), value)


def _material(
    sheet: Worksheet, formats: Formats, row: int, total: Total, shown: Shown, last: int
) -> None:
    factor, unit = shown.factor(total.measure), shown.unit(total.measure)
    for column, text in enumerate((total.item, total.name, total.standard, unit)):
        sheet.write_string(row, column, text, formats("text"))
    for column, source, value in ((4, 4, total.net), (_GROSS, 5, total.gross)):
        keys = on("Lines", f"{at(1, 2, fixed=True)}:{at(last, 2, fixed=True)}")
        values = on("Lines", f"{at(1, source, fixed=True)}:{at(last, source, fixed=True)}")
        summed = f"=SUMIF({keys},{at(row, 0)},{values})"
        sheet.write_formula(row, column, summed, formats("amount"), value * factor)
    sheet.write_number(row, WASTE, total.waste, formats("percent", entry=True))
    sheet.write_number(row, _HOLDS, total.holds * factor, formats("amount", entry=True))
    sheet.write_string(row, _PACK, total.pack, formats("text"))
    packs = f"=MAX(0,ROUNDUP({at(row, _GROSS)}/{at(row, _HOLDS)}-1E-9,0))"
    sheet.write_formula(row, _PACKS, packs, formats("whole"), total.packs)
    _masses(sheet, formats, row, total, shown)
    _costs(sheet, formats, row, total, unit)
    sheet.write_string(row, 17, total.source, formats("text"))


def _masses(
    sheet: Worksheet, formats: Formats, row: int, total: Total, shown: Shown
) -> None:
    factor = shown.factor(total.measure)
    each = (total.mass * shown.weight[1], total.board_feet)
    for column, value in zip((10, 11), each, strict=True):
        if value:
            told = f"={at(row, _GROSS)}*{value / factor!r}"
            sheet.write_formula(row, column, told, formats("amount"), total.gross * value)
        else:
            sheet.write_blank(row, column, None, formats("text"))


def _costs(sheet: Worksheet, formats: Formats, row: int, total: Total, unit: str) -> None:
    price = total.price
    told = unit if total.by_unit else total.pack
    sheet.write_string(row, _FOR, told, formats("text", entry=True))
    which = f"IF({at(row, _FOR)}={at(row, 3)},{at(row, _GROSS)},{at(row, _PACKS)})"
    given = (
        (_PRICE, _COST, price and price.price, total.cost),
        (_EACH, _HOURS, price and price.hours, total.hours),
    )
    for column, result, value, found in given:
        if value is None:
            sheet.write_blank(row, column, None, formats("amount", entry=True))
        else:
            sheet.write_number(row, column, value, formats("amount", entry=True))
        cell = at(row, column)
        formula = f'=IF(ISNUMBER({cell}),{which}*{cell},"")'
        sheet.write_formula(
            row, result, formula, formats("amount"), "" if found is None else found
        )


def lines_sheet(
    sheet: Worksheet, sheets: Sequence["ConditionSheet"], shown: Shown, formats: Formats
) -> int:
    """Write all lines one under the other, as they stand on their sheets.

    Returns:
        The last row.
    """
    set_up(sheet, formats, shown.system, _LINE_WIDTHS, _LINE_HEAD)
    heading(sheet, formats, 0, ("Condition", "Quantity", "Item", "Unit", "Net", "Gross"))
    row = 0
    for one in sheets:
        for number, line in enumerate(one.counted.lines):
            if not line.bought:
                continue
            row += 1
            unit, there = shown.unit(line.measure), one.row(number)
            for column, text in enumerate((one.counted.id, line.label, line.item, unit)):
                sheet.write_string(row, column, text, formats("text"))
            factor = shown.factor(line.measure)
            for column, value, of in ((4, line.net, NET), (5, line.gross, GROSS)):
                formula = f"={on(one.name, at(there, of))}"
                sheet.write_formula(row, column, formula, formats("amount"), value * factor)
    sheet.autofilter(0, 0, max(row, 1), len(_LINE_WIDTHS) - 1)
    return max(row, 1)


def summary_sheet(
    sheet: Worksheet,
    bill: Bill,
    shown: Shown,
    formats: Formats,
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
    row = _costs_summary(sheet, bill, formats, facts)
    told = [_NEED]
    if bill.prices.rows and bill.unpriced:
        told.append(f"Without a price: {', '.join(bill.unpriced)}")
    if bill.unused:
        told.append(f"In the price list, not in this job: {', '.join(bill.unused)}")
    for text in told:
        sheet.write_string(row, 0, text, formats("note"))
        row += 1
    head = row + 1
    set_up(sheet, formats, shown.system, (16, 46, 24, 22, 44), head)
    sheet.freeze_panes(1, 0)
    heading(sheet, formats, head, ("Condition", "Title", "Kind", "How much", "Remark"))
    for number, one in enumerate(sheets, head + 1):
        counted = one.counted
        amount = (
            f"{counted.places} pieces"
            if counted.length is None and counted.places
            else show_run(counted.length, shown.system)
            if counted.length
            else ""
        )
        cells = (counted.id, counted.title, counted.kind, amount, counted.missing)
        for column, text in enumerate(cells):
            sheet.write_string(number, column, text, formats("text"))


def _costs_summary(
    sheet: Worksheet, bill: Bill, formats: Formats, facts: Sequence[tuple[str, str]]
) -> int:
    sheet.write_string(0, 0, "Takeoff", formats("title"))
    row = 2
    for name, text in facts:
        sheet.write_string(row, 0, name, formats("label"))
        sheet.write_string(row, 1, text, formats("plain"))
        row += 1
    end, money = FIRST + len(bill.totals), bill.prices.currency
    suffix = f", {money}" if money else ""
    rate = bill.prices.rate or 0.0
    row += 1
    rows = (
        (f"Materials{suffix}", f"={on(MATERIALS, at(end, _COST))}", bill.cost),
        ("Labour, hours", f"={on(MATERIALS, at(end, _HOURS))}", bill.hours),
        (f"An hour{suffix}", None, rate),
        (f"Labour{suffix}", f"={at(row + 1, 1)}*{at(row + 2, 1)}", bill.hours * rate),
        (f"Sum{suffix}", f"={at(row, 1)}+{at(row + 3, 1)}", bill.cost + bill.hours * rate),
    )
    for name, formula, value in rows:
        sheet.write_string(row, 0, name, formats("label"))
        if formula is None:
            sheet.write_number(row, 1, value, formats("amount", entry=True))
        else:
            sheet.write_formula(row, 1, formula, formats("amount"), value)
        row += 1
    return row + 1
