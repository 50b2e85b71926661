"""What the command line tells of mends: tables, conflicts and JSON."""

from collections.abc import Iterable, Sequence
from typing import Any, Final

from rich.console import Group
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from detailgen.finding import Amount, Finding, Relation, Unit
from detailgen.loader import Job
from detailgen.mend import (
    Cause,
    Change,
    Conflict,
    Mend,
    Mended,
    Short,
    Verdict,
    shown,
    written,
)
from detailgen.sheet import words
from detailgen.units import UnitSystem, show_amount

_FAILED: Final = frozenset({Verdict.CONFLICT, Verdict.UNSETTLED})
Lines = list[Text | Padding]


def all_can(mended: Mended) -> bool:
    """Return whether every condition holds or can be mended."""
    return not any(one.verdict in _FAILED for one in mended.conditions)


def mends_text(job: Job, mended: Mended) -> Group:
    """Return the changes of a job as a table, and what else is to be said of them."""
    changes = [*mended.roof, *(c for one in mended.conditions for c in one.changes)]
    parts: list[Table | Text | Padding] = []
    if changes:
        parts.append(_table(changes, job.project.units))
    if mended.roof:
        marks = "every condition" if len(mended.conditions) > 1 else "the condition"
        text = f"The roof's figures move {marks}: nothing else helps."
        parts.append(Text(text, style="yellow"))
    for one in mended.conditions:
        parts += _told(job, one)
    if not changes and all_can(mended):
        parts.append(Text("There is nothing to mend.", style="green"))
    return Group(*parts)


def _table(changes: Sequence[Change], system: UnitSystem) -> Table:
    table = Table()
    for name in ("condition", "parameter", "now", "needed", "why"):
        table.add_column(name, overflow="fold")
    for change in changes:
        table.add_row(
            change.home,
            change.name,
            _now(change, system),
            str(_written(change, system)),
            "\n".join(_why(cause, system) for cause in change.causes),
        )
    return table


def _now(change: Change, system: UnitSystem) -> str:
    if not change.default:
        return _shown_now(change, system)
    return f"{_shown_now(change, system)} (by default)"


def _shown_now(change: Change, system: UnitSystem) -> str:
    return "none" if change.adds else shown(change.now, change.sort, system)


def _written(change: Change, system: UnitSystem) -> str | int:
    value = written(change.needed, change.sort, system)
    return str(value).lower() if isinstance(value, bool) else value


def _why(cause: Cause, system: UnitSystem) -> str:
    """Return in words what fails when a change is left out."""
    finding = cause.finding
    if finding is None:
        return cause.message
    asked = words.requirement(finding.required, system)
    found = words.actual(finding, system)
    short = _shortfall(finding, system)
    return f"{finding.title}: asked {asked}, found {found}{short and f' ({short})'}"


def _shortfall(finding: Finding, system: UnitSystem) -> str:
    """Return by how much a rule fails; nothing for what is no figure."""
    by = _difference(finding.required.relation, finding, finding.actual)
    return f"{show_amount(by.value, str(by.unit), system)} {by.words}" if by else ""


def _difference(relation: Relation, finding: Finding, actual: Amount) -> Amount | None:
    """Return the difference between an amount and what is required, with its sense."""
    low, high = finding.required.amount, finding.required.high
    if Unit.WORDS in {actual.unit, low.unit}:
        return None
    over = actual.value - (low if high is None else high).value
    if relation is Relation.AT_MOST or (high is not None and over > 0.0):
        return Amount(over, actual.unit, "too much")
    return Amount(low.value - actual.value, actual.unit, "too little")


# --- what else is to be said ----------------------------------------------------------


def _told(job: Job, one: Mend) -> Lines:
    """Return what is to be said of one condition besides its changes."""
    system = job.project.units
    parts: Lines = []
    if one.last_resort:
        rules = ", ".join(f.rule for f in one.last_resort)
        text = f"{one.id}: no figures of its own are enough for {rules}."
        parts.append(Text(text, style="yellow"))
    if one.conflict is not None:
        parts += _conflict_lines(one.id, one.conflict, system)
    if one.verdict is Verdict.UNSETTLED:
        text = (
            f"{one.id}: not settled. {one.builds} sections were tried; a smallest change "
            "was not found, nor that there is none. Keep fewer or more parameters."
        )
        parts.append(Text(text, style="bold red"))
    parts += [
        Text(f"{one.id}: left failing, as accepted: {f.title}", style="magenta")
        for f in one.accepted
    ]
    parts += [
        Text(f"{one.id}: advice that stays unmet, and is not asked for: {f.title}")
        for f in one.advice
    ]
    return parts


def _conflict_lines(mark: str, conflict: Conflict, system: UnitSystem) -> Lines:
    """Return the arithmetic of a conflict."""
    several = len(conflict.shorts) > 1
    what = "rules cannot hold together" if several else "rule cannot hold"
    head = f"{mark} cannot be mended: within the declared ranges {_these(conflict)} {what}."
    lines: Lines = [Text(head, style="bold red")]
    for short in conflict.shorts:
        lines.append(_indented(f"{short.finding.rule}: {_short(short, several, system)}"))
    lines += [_indented(f"In the way: {limit}") for limit in conflict.limits]
    if conflict.kept:
        lines.append(_indented(f"Kept as asked: {', '.join(conflict.kept)}"))
    return lines


def _these(conflict: Conflict) -> str:
    count = len(conflict.shorts)
    return {1: "this", 2: "these two"}.get(count, f"these {count}")


def _short(short: Short, several: bool, system: UnitSystem) -> str:
    finding = short.finding
    asked = words.requirement(finding.required, system)
    while_others = " while the other holds" if several else ""
    text = f"{finding.title}: asked {asked}"
    if short.best is None:
        return text
    best = words.amount(short.best, system)
    by = _difference(finding.required.relation, finding, short.best)
    much = f", {show_amount(by.value, str(by.unit), system)} {by.words}" if by else ""
    return f"{text}; the most that can be had{while_others} is {best}{much}"


def _indented(text: str) -> Padding:
    return Padding(Text(text), (0, 0, 0, 4), expand=False)


# --- JSON -----------------------------------------------------------------------------


def mends_content(job: Job, mended: Mended) -> dict[str, Any]:
    """Return what becomes of a job, for JSON."""
    system = job.project.units
    return {
        "file": job.file,
        "project": job.project.name,
        "rule_set": job.rules.id,
        "mended": all_can(mended),
        "roof": [_change_json(change, system) for change in mended.roof],
        "conditions": [_mend_json(one, system) for one in mended.conditions],
    }


def _mend_json(one: Mend, system: UnitSystem) -> dict[str, Any]:
    return {
        "id": one.id,
        "verdict": str(one.verdict),
        "failing": _ids(one.failing),
        "changes": [_change_json(change, system) for change in one.changes],
        "beyond_own_figures": _ids(one.last_resort),
        "accepted": _ids(one.accepted),
        "advice_unmet": _ids(one.advice),
        "conflict": one.conflict and _conflict_json(one.conflict, system),
        "sections_built": one.builds,
    }


def _ids(findings: Iterable[Finding]) -> list[str]:
    return [finding.rule for finding in findings]


def _change_json(change: Change, system: UnitSystem) -> dict[str, Any]:
    return {
        "home": change.home,
        "key": change.key,
        "layer": change.layer,
        "now": None if change.adds else shown(change.now, change.sort, system),
        "by_default": change.default,
        "needed": written(change.needed, change.sort, system),
        "steps": change.steps,
        "why": [
            {
                "rule": cause.finding and cause.finding.rule,
                "text": _why(cause, system),
            }
            for cause in change.causes
        ],
    }


def _conflict_json(conflict: Conflict, system: UnitSystem) -> dict[str, Any]:
    return {
        "rules": [
            {
                "rule": short.finding.rule,
                "asked": words.requirement(short.finding.required, system),
                "best": short.best and words.amount(short.best, system),
            }
            for short in conflict.shorts
        ],
        "in_the_way": list(conflict.limits),
        "kept": list(conflict.kept),
    }
