"""What the command line tells of two versions of a job: tables, and JSON."""

from collections.abc import Iterable, Sequence
from math import fsum
from typing import Final

from rich.console import Group
from rich.table import Table
from rich.text import Text

from detailgen.bill import Shown, Total
from detailgen.compare import (
    Comparison,
    DetailChange,
    Fate,
    FindingChange,
    PartChange,
    SharedChange,
    State,
    ValueChange,
    by_how_much,
    dimension_words,
    finding_words,
    show_value,
    words_of,
)
from detailgen.units import UnitSystem

_STATES: Final = {
    State.ADDED: "green",
    State.REMOVED: "red",
    State.CHANGED: "yellow",
    State.SAME: "dim",
}


def comparison_text(found: Comparison, *, every: bool = False) -> Group:
    """Return all that differs between two versions, and a line that sums it up.

    Args:
        found: What differs.
        every: Whether parts are listed, too, that moved along with a dimension.
    """
    system = found.new.job.project.units
    shown = Shown(system)
    parts: list[Table | Text] = []
    if found.shared:
        parts += [_shared(found.shared, system), Text("")]
    for detail in found.changed:
        parts += _detail(detail, shown, every=every)
    if found.totals:
        parts += [_totals(found, shown), Text("")]
    parts += _summary(found)
    return Group(*parts)


def _shared(shared: Sequence[SharedChange], system: UnitSystem) -> Table:
    table = _table("What all conditions share", ("what", "was", "is", "reaches"))
    for one in shared:
        reaches = ", ".join(one.reaches) or "nothing"
        if not one.certain:
            reaches += " at least: it cannot stand by itself"
        name = f"{one.home}.{one.value.key}"
        table.add_row(name, *_pair(one.value, system), reaches)
    return table


def _detail(detail: DetailChange, shown: Shown, *, every: bool) -> list[Table | Text]:
    system = shown.system
    parts: list[Table | Text] = [_head(detail)]
    if detail.values:
        table = _table("", ("parameter", "was", "is"))
        for value in detail.values:
            table.add_row(words_of(value.key), *_pair(value, system))
        parts.append(table)
    if detail.dimensions:
        table = _table("", ("dimension", "seen in", "was", "is", "by"))
        for one in detail.dimensions:
            by = by_how_much(one.old, one.new, system)
            table.add_row(one.label, one.view, *dimension_words(one, system), by)
        parts.append(table)
    parts += _pieces(detail, every=every)
    if detail.findings:
        table = _table("", ("rule", "was", "is"))
        for finding in detail.findings:
            table.add_row(finding.title, *_findings(finding, system))
        parts.append(table)
    if detail.quantities:
        parts += _quantities(detail, shown, every=every)
    return [*parts, Text("")]


def _pieces(detail: DetailChange, *, every: bool) -> list[Table | Text]:
    """Return parts and all else; what moved along with a dimension is counted only."""
    along = bool(detail.dimensions) and not every
    listed = [p for p in detail.parts if not along or p.told or p.fate is not Fate.CHANGED]
    parts: list[Table | Text] = []
    if listed:
        table = _table("", ("part", "seen in", "what became of it"))
        for part in listed:
            table.add_row(part.name, part.view, part_words(part))
        parts.append(table)
    others = [o for o in detail.others if not along or (o.old and o.new)]
    if others:
        table = _table("", ("besides", "was", "is"))
        for other in others:
            table.add_row(other.what, other.old, other.new)
        parts.append(table)
    left = len(detail.parts) - len(listed), len(detail.others) - len(others)
    if any(left):
        told = f"{left[0]} parts and {left[1]} other things moved along; --all lists them."
        parts.append(Text(told, style="dim"))
    return parts


def _head(detail: DetailChange) -> Text:
    side = detail.new or detail.old
    assert side is not None  # one of the two is there
    told = str(detail.state)
    if detail.renamed and detail.old:
        told = f"was {detail.old.id}" + (", and changed" if _more(detail) else "")
    elif detail.drawn_anew and not detail.dimensions:
        told += "; no dimension says so"
    return Text(
        f"{side.id}  {side.placed.title}: {told}", style=f"bold {_STATES[detail.state]}"
    )


def _more(detail: DetailChange) -> bool:
    return bool(detail.values or detail.findings or detail.quantities or detail.drawn_anew)


def part_words(part: PartChange) -> str:
    """Return what became of a part, in words."""
    told = [f"{what} {old or 'none'} -> {new or 'none'}" for what, old, new in part.told]
    if part.fate != "changed":
        return str(part.fate)
    if part.apart:
        told.append(f"{part.apart / 100.0:,.2f} cm² of it moved")
    return "; ".join(told)


def _findings(one: FindingChange, system: UnitSystem) -> tuple[Text, Text]:
    style = "bold red" if one.appeared else "green" if one.went else ""
    return (
        Text(finding_words(one.old, system)),
        Text(finding_words(one.new, system), style=style),
    )


def _quantities(detail: DetailChange, shown: Shown, *, every: bool) -> list[Table | Text]:
    heads = ("quantity", "unit", "net was", "is", "by", "gross was", "is", "by")
    table = _table("", heads, right=heads[2:])
    for one in detail.quantities:
        counted = any(a is not None and a.net is not None for a in (one.old, one.new))
        unit, factor = shown.unit(one.measure), shown.factor(one.measure)
        if not counted:
            unit += f" per {shown.run(one.per)}"
            factor /= shown.per_run(one.per)
        net = [a and (a.net if counted else a.rate) for a in (one.old, one.new)]
        gross = [a and a.gross for a in (one.old, one.new)]
        row = [*_moved(net, factor), *_moved(gross, factor)]
        if every or row[0] != row[1] or row[3] != row[4]:
            table.add_row(one.label, unit, *row)
    left = len(detail.quantities) - table.row_count
    told = f"{left} quantities moved by less than is printed; --all lists them."
    parts: list[Table | Text] = [table] if table.row_count else []
    return [*parts, Text(told, style="dim")] if left else parts


def _totals(found: Comparison, shown: Shown) -> Table:
    priced = bool(found.new.totals) and any(
        t is not None and t.cost is not None for c in found.totals for t in (c.old, c.new)
    )
    heads = ["unit", "gross was", "is", "by", "packs", "by"]
    heads += ["cost was", "is", "by"] if priced else []
    table = _table("Materials of the whole job", ("item", *heads), right=heads[1:])
    for one in found.totals:
        unit, factor = shown.unit(one.measure), shown.factor(one.measure)
        pair = (one.old, one.new)
        row = _moved([t and t.gross for t in pair], factor)
        packs = [float(t.packs) if t else 0.0 for t in pair]
        row += [f"{packs[0]:.0f} -> {packs[1]:.0f}", signed(packs[1] - packs[0], 0)]
        if priced:
            row += _moved([t and t.cost for t in pair], 1.0)
        table.add_row(one.item, unit, *row)
    if priced:
        table.add_section()
        sums = [_sum(side) for side in (found.old.totals, found.new.totals)]
        table.add_row("Sum of all", *[""] * 6, *_moved(sums, 1.0))
    return table


def _sum(totals: Iterable[Total]) -> float:
    return fsum(t.cost for t in totals if t.cost is not None)


def _moved(pair: Sequence[float | None], factor: float) -> list[str]:
    old, new = pair
    by = (
        ""
        if old is None and new is None
        else signed(((new or 0.0) - (old or 0.0)) * factor)
    )
    return [*("" if v is None else f"{v * factor:,.2f}" for v in pair), by]


def signed(value: float, places: int = 2) -> str:
    """Return a difference with its sign; a dash for none.

    >>> signed(1.5), signed(-1200.0, 0), signed(0.0)
    ('+1.50', '-1,200', '-')
    """
    text = f"{value:+,.{places}f}"
    if float(text.replace(",", "")):
        return text
    return "-" if not value else f"{'+' if value > 0 else '-'}0"


def _summary(found: Comparison) -> list[Text]:
    if found.same:
        return [Text("The two files describe the same job.", style="green")]
    states = [d.state for d in found.details]
    counts = {
        "changed": states.count(State.CHANGED),
        "added": states.count(State.ADDED),
        "removed": states.count(State.REMOVED),
        "the same": states.count(State.SAME),
    }
    told = ", ".join(f"{n} {what}" for what, n in counts.items() if n)
    renamed = sum(d.renamed for d in found.details)
    parts = [Text(f"Conditions: {told}{f' ({renamed} renamed)' if renamed else ''}.")]
    every = [f for d in found.details for f in d.findings]
    appeared, went = sum(f.appeared for f in every), sum(f.went for f in every)
    if appeared:
        parts.append(Text(f"{_rules(appeared)} now and did not.", style="bold red"))
    if went:
        parts.append(Text(f"{_rules(went, 'failed')} and no longer.", style="green"))
    if found.asked:
        rows = sum("." not in value.key for value in found.asked)
        parts.append(Text(f"The rule sets ask something else in {rows} rows."))
    if only_printing(found):
        parts.append(Text("Only how sheets are printed is not the same.", style="green"))
    return parts


def _rules(count: int, verb: str = "") -> str:
    one = count == 1
    return f"{count} {'rule' if one else 'rules'} {verb or ('fails' if one else 'fail')}"


def only_printing(found: Comparison) -> bool:
    """Return whether the versions differ in units or the size of sheets alone."""
    return (
        bool(found.shared)
        and not (found.changed or found.totals)
        and all(one.home == "project" for one in found.shared)
    )


def _table(title: str, names: Iterable[str], right: Iterable[str] = ()) -> Table:
    table = Table(title=title or None, title_justify="left")
    numbers = set(right)
    for name in names:
        if name in numbers:
            table.add_column(name, justify="right", no_wrap=True)
        else:
            table.add_column(name, overflow="fold")
    return table


def _pair(value: ValueChange, system: UnitSystem) -> tuple[str, str]:
    return show_value(value, value.old, system), show_value(value, value.new, system)
