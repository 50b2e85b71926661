"""What the command line tells of a takeoff: conditions, materials, and what is missing."""

from typing import Final

from rich.console import Group
from rich.table import Table
from rich.text import Text

from detailgen.bill import Bill, Counted, Line, Shown, Total, how_much
from detailgen.units import UnitSystem

_GAP: Final = Text("")
_SEEN: Final = 1.0005
"""A factor less than this prints as 1."""


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
                _number(line.net * factor),
                _number(line.gross * factor),
                shown.unit(line.measure),
                _factors(line),
            )
    return table


def _factors(line: Line) -> str:
    """Return what lies between net and gross, in short."""
    told = [
        f"laps x {line.laps:.3f}" if line.laps > _SEEN else "",
        f"{line.ends} ends" if line.ends and line.at_end else "",
        f"offcuts x {line.offcuts:.3f}" if line.offcuts > _SEEN else "",
        f"waste {line.waste:.0%}" if line.waste else "",
        f"{line.pieces} stock pieces" if line.pieces else "",
    ]
    return ", ".join(t for t in told if t)


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
        row += [_number(total.net * factor), _number(total.gross * factor), unit]
        row += [f"{total.packs} x {_pack(total, shown)}", _weight(total, shown)]
        if priced:
            row += ["" if v is None else f"{v:,.2f}" for v in (total.cost, total.hours)]
        table.add_row(*row)
    if priced:
        table.add_section()
        sums = [f"{bill.cost:,.2f}", f"{bill.hours:,.2f}"]
        table.add_row("Sum", *[""] * 5, *sums)
    return table


def _pack(total: Total, shown: Shown) -> str:
    if total.pack == "piece" and total.holds == 1.0:
        return total.pack
    held = _number(total.holds * shown.factor(total.measure))
    return f"{total.pack} of {held} {shown.unit(total.measure)}"


def _weight(total: Total, shown: Shown) -> str:
    if total.board_feet:
        return f"{total.gross * total.board_feet:,.1f} bd ft"
    if not total.mass:
        return ""
    unit, factor = shown.weight
    return f"{total.gross * total.mass * factor:,.0f} {unit}"


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


def _number(value: float) -> str:
    """Return an amount with as many decimals as it needs to be told from others."""
    return f"{value:,.0f}" if value >= 1000.0 else f"{value:,.{1 if value >= 100 else 2}f}"
