"""The takeoff tables: materials of the whole job, detail by detail, what is not counted."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from detailgen.bill import Counted, Total, factors, figures, how_much, pack_of, weight_of
from detailgen.book import Part
from detailgen.book.columns import Col, Heading, Line, Note, chosen
from detailgen.book.package import mark_key
from detailgen.book.table import table, texts
from detailgen.package._told import ToldJob
from detailgen.sheet.flow import Block

KEY: Final = "takeoff"
_MATERIALS: Final = (
    Col("Item"), Col("Material"), Col("Net", number=True), Col("Waste", number=True),
    Col("Gross", number=True), Col("Unit"), Col("Packs", number=True), Col("of"),
    Col("Weight", number=True),
)  # fmt: skip
_DETAIL: Final = (
    Col("Detail"),
    Col("Quantity"), Col("Bought as"), Col("Net", number=True),
    Col("Gross", number=True), Col("Unit"), Col("From net to gross"),
)  # fmt: skip


def takeoff(told: ToldJob) -> Part:
    """Return the tables of the takeoff; with costs where there is a price list."""
    blocks = [_materials(told), *_sums(told), _by_detail(told), _not_counted(told)]
    return Part(KEY, "Takeoff", tuple(blocks), _notes(told))


def _money(told: ToldJob, what: str) -> str:
    return f"{what}, {told.bill.prices.currency}".rstrip(", ")


def _materials(told: ToldJob) -> Block:
    priced = bool(told.bill.prices.rows)
    columns = _MATERIALS
    if priced:
        names = _money(told, "Price"), _money(told, "Cost"), "Hours"
        columns += tuple(Col(name, number=True) for name in names)
    lines = [_material(told, total, priced=priced) for total in told.bill.totals]
    if priced:
        sums = figures_of(told.bill.cost), figures_of(told.bill.hours)
        lines.append(Line(("Sum", *[""] * (len(_MATERIALS)), *sums), bold=True))
    narrow = _narrowed(columns, lines, priced=priced)
    return table("MATERIALS OF THE WHOLE JOB", columns, lines, narrow=narrow)


def _narrowed(
    columns: Sequence[Col], lines: Sequence[Line], *, priced: bool
) -> tuple[list[Col], list[Line]]:
    """Return the table for a small sheet: the item by the material; with prices no net."""
    told = [
        replace(x, cells=("", f"{x.cells[1]} ({x.cells[0]})", *x.cells[2:]))
        if x.cells[1]
        else replace(x, cells=("", *x.cells[:1], *x.cells[2:]))
        for x in lines
    ]
    keep = (1, 4, 5, 6, 7, 9, 10, 11) if priced else range(1, len(columns))
    return chosen(columns, told, list(keep))


def figures_of(value: float | None) -> str:
    """Return a sum of money or hours; nothing for none."""
    return "" if value is None else f"{value:,.2f}"


def _material(told: ToldJob, total: Total, *, priced: bool) -> Line:
    shown = told.shown
    factor = shown.factor(total.measure)
    cells = [
        total.item,
        total.name,
        figures(total.net * factor),
        f"{total.waste:.0%}",
        figures(total.gross * factor),
        shown.unit(total.measure),
        f"{total.packs:,}",
        pack_of(total, shown),
        weight_of(total, shown),
    ]
    if priced:
        price = total.price.price if total.price else None
        cells += [figures_of(v) for v in (price, total.cost, total.hours)]
    return Line(tuple(cells))


def _sums(told: ToldJob) -> list[Block]:
    """Return what materials and labour come to, and what has no price."""
    bill = told.bill
    if not bill.prices.rows:
        return []
    said = [
        (_money(told, "Materials") + ":", f"{figures_of(bill.cost)}."),
        ("Labour:", f"{figures_of(bill.hours)} hours."),
    ]
    if bill.prices.rate is not None:
        labour = bill.hours * bill.prices.rate
        rate = figures_of(bill.prices.rate)
        said[-1] = (
            _money(told, "Labour") + ":",
            f"{figures_of(bill.hours)} hours at {rate}: {figures_of(labour)}.",
        )
        said.append((_money(told, "All") + ":", f"{figures_of(bill.cost + labour)}."))
    if bill.unpriced:
        said.append((
            "Without a price, and not in the sum:",
            f"{', '.join(bill.unpriced)}.",
        ))
    if bill.unused:
        said.append(("In the price list, not in this job:", f"{', '.join(bill.unused)}."))
    return [texts("WHAT IT COMES TO", said)]


def _by_detail(told: ToldJob) -> Block:
    lines: list[Line | Heading | Note] = []
    for one in told.bill.conditions:
        if one.lines:
            lines += _condition(told, one)
    return table("DETAIL BY DETAIL", _DETAIL, lines)


def _condition(told: ToldJob, one: Counted) -> list[Line | Heading]:
    shown = told.shown
    head = Heading(f"{one.id}  {one.title}", mark_key(one.id), how_much(one, shown))
    rows = [
        Line((
            one.id,
            line.label,
            line.item,
            figures(line.net * shown.factor(line.measure)),
            figures(line.gross * shown.factor(line.measure)),
            shown.unit(line.measure),
            factors(line),
        ))
        for line in one.lines
        if line.bought
    ]
    return [head, *rows]


def _not_counted(told: ToldJob) -> Block:
    """Return what the job does not tell enough of, and what others set."""
    said = [(f"{one.id}:", f"{one.missing}.") for one in told.bill.uncounted]
    others: dict[str, list[str]] = {}
    for one in told.bill.conditions:
        for label in one.others:
            others.setdefault(label, []).append(one.id)
    if others:
        listed = (f"{label} ({', '.join(marks)})" for label, marks in others.items())
        said.append(("There already, or set by others:", f"{'; '.join(listed)}."))
    said.append((
        "The roof field:",
        "deck, boards and sheets beyond the details are not in it; see the exclusions.",
    ))
    return texts("WHAT IS NOT COUNTED", said)


def _notes(told: ToldJob) -> tuple[Block, ...]:
    said = [
        ("Net:", "what is built in, measured on the sections that are drawn."),
        ("Gross:", "with laps, ends, offcuts and waste. Neither is rounded."),
        ("Packs:", "what is bought, rounded up once a material over the whole job."),
        ("Weight:", "of the gross amount; of lumber its board feet."),
        ("More:", "the workbook has each line's formula and source, and computes."),
    ]
    if not told.bill.prices.rows:
        said.append(("Prices:", "there is no price list, so nothing is priced."))
    else:
        said.append(("Prices:", f"from {told.bill.prices.file}."))
    said.append(("What it rests on:", "stands with the assumptions."))
    return (texts("HOW TO READ IT", said),)
