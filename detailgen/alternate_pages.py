"""What the command line tells of a job beside its alternates."""

from collections.abc import Callable, Sequence
from typing import Final

from rich.console import Group
from rich.table import Table
from rich.text import Text

from detailgen.bill import Shown, Total
from detailgen.compare import Alternates, FindingRow, failing, finding_words, unpriced
from detailgen.compare_pages import signed
from detailgen.finding import Finding, Outcome

_ABREAST: Final = 3
"""So many alternates stand beside the base in one table."""
Cell = Callable[[Total | None], float]


def alternates_text(found: Alternates, currency: str) -> Group:
    """Return the base and its alternates: what fails, what it takes and what it costs."""
    parts: list[Table | Text] = [_summary(found, currency), Text("")]
    for start in range(0, len(found.others), _ABREAST):
        columns = [0, *range(start + 1, min(start + _ABREAST, len(found.others)) + 1)]
        parts += _amounts(found, columns, currency)
        parts += _findings(found, columns)
    parts += _remarks(found)
    return Group(*parts)


def _summary(found: Alternates, currency: str) -> Table:
    table = Table(title=f"{found.base.job.project.name}: alternates", title_justify="left")
    money = f"cost {currency}".strip()
    for name in ("alternate", "what it changes", "required rules"):
        table.add_column(name, overflow="fold")
    if found.priced:
        for name in (money, "by", "hours", "no price"):
            table.add_column(name, justify="right", no_wrap=True)
    told = [("",), *(one.changes for one in found.others)]
    costs, hours = found.costs, found.hours
    for number, name in enumerate(found.names):
        row: list[str | Text] = [name, "\n".join(told[number])]
        row.append(_failing(found, number))
        if found.priced:
            row += [f"{costs[number]:,.2f}", signed(costs[number] - costs[0])]
            missing = len(unpriced(found.versions[number]))
            row += [f"{hours[number]:,.2f}", f"{missing} items" if missing else "-"]
        table.add_row(*row)
    return table


def _failing(found: Alternates, number: int) -> Text:
    required, accepted, advice = failing(found.versions[number])
    told = [
        f"{required} {'fails' if required == 1 else 'fail'}" if required else "all hold",
        f"{accepted} accepted" if accepted else "",
        f"advice not met: {advice}" if advice else "",
    ]
    return Text(", ".join(t for t in told if t), style="bold red" if required else "green")


def _amounts(
    found: Alternates, columns: Sequence[int], currency: str
) -> list[Table | Text]:
    """Return gross amounts, packs and costs of what an alternate takes otherwise."""
    shown = Shown(found.base.job.project.units)
    rows = [
        row
        for row in found.materials
        if any(
            _differs(row.totals[0], row.totals[n], shown.factor(row.one.measure))
            for n in columns[1:]
        )
    ]
    if not rows:
        return [Text("The same materials."), Text("")]
    money = f"Cost {currency}".strip()
    tables: list[Table | Text] = []
    kinds: list[tuple[str, Cell, int, bool]] = [
        ("Gross amounts", lambda t: t.gross if t else 0.0, 2, True),
        ("Packs", lambda t: float(t.packs) if t else 0.0, 0, False),
    ]
    if found.priced:
        kinds.append((money, lambda t: (t.cost or 0.0) if t else 0.0, 2, False))
    for title, cell, places, measured in kinds:
        table = Table(title=title, title_justify="left")
        table.add_column("item", overflow="fold")
        table.add_column("of", no_wrap=True)
        _headed(table, found, columns)
        for row in rows:
            factor = shown.factor(row.one.measure) if measured else 1.0
            unit = shown.unit(row.one.measure) if measured else row.one.pack
            values = [cell(row.totals[n]) * factor for n in columns]
            told = _cells(values, places)
            if title == money and row.one.cost is None:
                told = ["no price", *([""] * (len(told) - 1))]
            table.add_row(row.item, unit, *told)
        if title == money:
            table.add_section()
            sums = [found.costs[n] for n in columns]
            table.add_row("Sum of all", "", *_cells(sums, places))
        tables += [table, Text("")]
    return tables


def _differs(old: Total | None, new: Total | None, factor: float) -> bool:
    """Return whether two amounts print otherwise."""
    if old is None or new is None:
        return old is not new
    if (old.packs, old.cost) != (new.packs, new.cost):
        return True
    return f"{old.gross * factor:.2f}" != f"{new.gross * factor:.2f}"


def _headed(table: Table, found: Alternates, columns: Sequence[int]) -> None:
    for n in columns:
        table.add_column(found.names[n], justify="right", overflow="fold")
        if n:
            table.add_column("by", justify="right", no_wrap=True)


def _cells(values: Sequence[float], places: int) -> list[str]:
    """Return the base, then each alternate with its difference."""
    base, *others = values
    cells = [f"{base:,.{places}f}"]
    for value in others:
        cells += [f"{value:,.{places}f}", signed(value - base, places)]
    return cells


def _findings(found: Alternates, columns: Sequence[int]) -> list[Table | Text]:
    system = found.base.job.project.units
    table = Table(title="Rules that say something else", title_justify="left")
    for name in ("detail", "rule", *(found.names[n] for n in columns)):
        table.add_column(name, overflow="fold")
    for row in found.findings:
        told = [finding_words(row.findings[n], system) for n in columns]
        if len(set(told)) == 1:
            continue
        cells = [_told(row, n, text) for n, text in zip(columns, told, strict=True)]
        table.add_row(row.mark, row.title, *cells)
    if not table.row_count:
        return [Text("Every rule says the same.", style="green"), Text("")]
    return [table, Text("")]


def _told(row: FindingRow, number: int, text: str) -> Text:
    """Return what a rule says in one column, told apart where it fails or ceases to."""
    if not row.kept[number]:
        return Text("left out", style="dim")
    base, now = row.findings[0], row.findings[number]
    if number and _fails(now) and not _fails(base):
        return Text(text, style="bold red")
    if number and _fails(base) and not _fails(now):
        return Text(text, style="green")
    return Text(text)


def _fails(finding: Finding | None) -> bool:
    return finding is not None and finding.outcome is Outcome.FAIL


def _remarks(found: Alternates) -> list[Text]:
    parts = [
        Text(f"{one.name}: comes to the same as the base.", style="yellow")
        for one in found.others
        if one.nothing
    ]
    missing = [s for s in found.base.sides.values() if s.counted.missing]
    parts += [Text(f"{s.id}: {s.counted.missing}.", style="yellow") for s in missing]
    if not found.priced:
        parts.append(
            Text("Nothing is priced: give a price list with --prices.", style="dim")
        )
    else:
        for name, version in zip(found.names, found.versions, strict=True):
            if items := unpriced(version):
                told = f"{name}, without a price: {', '.join(items)}."
                parts.append(Text(told, style="yellow"))
    return parts
