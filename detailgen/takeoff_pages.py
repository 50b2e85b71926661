"""What the command line tells of a takeoff: conditions, materials, and what is missing."""

from typing import Final

from rich.console import Group
from rich.table import Table
from rich.text import Text

from detailgen.bill import (
    Bill,
    Counted,
    Shown,
    factors,
    figures,
    how_much,
    pack_of,
    weight_of,
)
from detailgen.units import UnitSystem

_GAP: Final = Text("")


def bill_text(bill: Bill, system: UnitSystem) -> Group:
    """Return the lines of conditions, the materials of the job, and what is missing."""
    shown = Shown(system)
    parts: list[Table | Text] = []
    for one in bill.conditions:
        if one.lines:
            parts += [_condition(one, shown), _GAP]
    parts += [_materials(bill, shown), _GAP]
    parts += [Text(told, style=style) for told, style in _remarks(bill)]
    return Group(*parts)


def _condition(one: Counted, shown: Shown) -> Table:
    amount = how_much(one, shown)
    table = Table(title=f"{one.id}  {one.title}, {amount}", title_justify="left")
    _columns(
        table, ("quantity", "bought as"), ("net", "gross"), ("unit", "from net to gross")
    )
    for line in one.lines:
        if line.bought:
            factor = shown.factor(line.measure)
            table.add_row(
                line.label,
                line.item,
                figures(line.net * factor),
                figures(line.gross * factor),
                shown.unit(line.measure),
                factors(line),
            )
    return table


def _materials(bill: Bill, shown: Shown) -> Table:
    table = Table(title="Materials of the whole job", title_justify="left")
    priced = bool(bill.prices.rows)
    money = f"cost {bill.prices.currency}".strip()
    table.add_column("item", no_wrap=True)
    if not priced:  # a line has room for the name or for the cost
        table.add_column("name", overflow="fold")
    _columns(table, (), ("net", "gross"), ())
    table.add_column("unit", no_wrap=True)
    table.add_column("packs", overflow="fold")
    _columns(table, (), ("weight", *((money, "hours") if priced else ())), ())
    for total in bill.totals:
        factor, unit = shown.factor(total.measure), shown.unit(total.measure)
        row = [total.item] if priced else [total.item, total.name]
        row += [figures(total.net * factor), figures(total.gross * factor), unit]
        row += [f"{total.packs} x {pack_of(total, shown)}", weight_of(total, shown)]
        if priced:
            row += ["" if v is None else f"{v:,.2f}" for v in (total.cost, total.hours)]
        table.add_row(*row)
    if priced:
        table.add_section()
        sums = [f"{bill.cost:,.2f}", f"{bill.hours:,.2f}"]
        table.add_row("Sum", *[""] * 5, *sums)
    return table


def _remarks(bill: Bill) -> list[tuple[str, str]]:
    told = [(f"{one.id}: {one.missing}.", "yellow") for one in bill.uncounted]
    if not bill.prices.rows:
        told.append(("Nothing is priced: give a price list with --prices.", "dim"))
        return told
    if bill.prices.rate is not None:
        labour = bill.hours * bill.prices.rate
        money = f" {bill.prices.currency}".rstrip()
        told.append((
            f"Labour {labour:,.2f}{money}, all {bill.cost + labour:,.2f}{money}.",
            "",
        ))
    if bill.unpriced:
        told.append((f"Without a price: {', '.join(bill.unpriced)}.", "yellow"))
    if bill.unused:
        told.append((f"In the price list, not in this job: {', '.join(bill.unused)}.", ""))
    return told


def _columns(
    table: Table, texts: tuple[str, ...], numbers: tuple[str, ...], after: tuple[str, ...]
) -> None:
    for name in texts:
        table.add_column(name, overflow="fold")
    for name in numbers:
        table.add_column(name, justify="right", no_wrap=True)
    for name in after:
        table.add_column(name, overflow="fold")
