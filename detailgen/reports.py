"""What the command line prints: tables for people, JSON for programs."""

import json
from collections.abc import Callable, Generator, Sequence
from contextlib import contextmanager
from inspect import cleandoc
from typing import Any, Final

from rich.console import Console, Group
from rich.padding import Padding
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn
from rich.table import Table
from rich.text import Text

from detailgen.catalog import Rule, RuleSet
from detailgen.checks import REGISTRY
from detailgen.conditions import CONDITIONS, Condition
from detailgen.errors import Problem
from detailgen.finding import Amount, Finding, Outcome, Unit
from detailgen.loader import Job, told
from detailgen.pipeline import Checked
from detailgen.sheet import words
from detailgen.units import UnitSystem, to_inches

FORMAT: Final = 1
"""Version of the JSON; it grows when a key changes its meaning or goes."""

_PIPE_WIDTH: Final = 120
_STYLES: Final = {"FAILS": "bold red", "ADVICE": "yellow", "holds": "green", "n/a": "dim"}


def console(*, stderr: bool = False) -> Console:
    """Return a console that prints text as it is: no markup, no pictures for words."""
    made = Console(stderr=stderr, markup=False, emoji=False, highlight=False)
    if not made.is_terminal:
        made.width = _PIPE_WIDTH
    return made


@contextmanager
def progress(steps: int) -> Generator[Callable[[str], None]]:
    """Show a bar on standard error; yields what to call after each step."""
    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn())
    with Progress(*columns, console=console(stderr=True), transient=True) as bar:
        task = bar.add_task("drawing", total=steps)

        def advance(done: str) -> None:
            bar.update(task, advance=1, description=done)

        yield advance


def problems_text(problems: Sequence[Problem]) -> Group:
    """Return the user's mistakes: where each is, what is allowed, how to mend it."""
    parts: list[Text | Padding] = []
    for problem in problems:
        given = " = ".join(part for part in (problem.key, problem.value) if part)
        between = ": " if problem.place and given else ""
        parts.append(Text.assemble((problem.place + between, "bold"), (given, "cyan")))
        parts.append(_indented(Text(_sentence(problem.message), style="red")))
        if problem.allowed:
            parts.append(_indented(Text(f"Allowed: {problem.allowed}")))
        if problem.mend:
            parts.append(_indented(Text(problem.mend)))
    count = len(problems)
    parts.append(
        Text(f"{count} {'mistake' if count == 1 else 'mistakes'}; nothing was written.")
    )
    return Group(*parts)


def problems_json(problems: Sequence[Problem]) -> str:
    """Return the user's mistakes as JSON."""
    return _json({
        "problems": [
            {
                "message": p.message,
                "file": p.file,
                "line": p.line,
                "key": p.key,
                "value": p.value,
                "allowed": p.allowed,
                "mend": p.mend,
            }
            for p in problems
        ]
    })


def findings_table(job: Job, checked: Checked, *, idle: bool) -> Table:
    """Return what every rule found of one condition.

    Args:
        job: Whose unit system is used.
        checked: The condition.
        idle: Whether rules that do not apply are listed too, each with its reason.
    """
    placed, system = checked.placed, job.project.units
    table = Table(title=f"{placed.id}  {placed.title}", title_justify="left")
    for name in ("result", "rule", "asked", "found"):
        table.add_column(name, overflow="fold")
    left_out = 0
    for finding in checked.findings:
        verdict = Text(words.verdict(finding), style=_STYLES[words.verdict(finding)])
        if finding.outcome is not Outcome.NOT_APPLICABLE:
            asked = words.requirement(finding.required, system)
            table.add_row(verdict, finding.title, asked, words.actual(finding, system))
        elif idle:
            table.add_row(verdict, finding.title, "", finding.reason)
        else:
            left_out += 1
    if left_out:
        rules = "1 rule does" if left_out == 1 else f"{left_out} rules do"
        table.caption = f"{rules} not apply; --all lists them with the reason"
        table.caption_justify = "left"
    return table


def failures_text(job: Job, checked: Sequence[Checked]) -> Group:
    """Return every failure in plain words, or that there is none."""
    system = job.project.units
    parts: list[Text | Padding] = []
    for one in checked:
        for finding in one.failures:
            verdict = words.verdict(finding)
            head = Text(f"{one.placed.id} {verdict}: ", style=_STYLES[verdict])
            head.append(finding.title, style="default")
            asked = words.requirement(finding.required, system)
            found = words.actual(finding, system)
            parts += [
                head,
                _indented(Text(_sentence(finding.reason))),
                _indented(Text(f"Asked {asked}, found {found}, {_where(finding, system)}")),
                _indented(Text(f"Source: {finding.source}")),
            ]
            if finding.override:
                parts.append(_indented(Text(f"The job's value: {finding.override}")))
    failing = sum(not one.holds for one in checked)
    if not parts:
        parts = [Text("Every rule that applies holds.", style="green")]
    elif failing:
        many = f"{failing} of {len(checked)} conditions"
        parts.append(Text(f"Required rules fail in {many}.", style="bold red"))
    return Group(*parts)


def findings_json(job: Job, checked: Sequence[Checked]) -> str:
    """Return what every rule found of every condition, as JSON."""
    return _json({
        "file": job.file,
        "project": job.project.name,
        "rule_set": job.rules.id,
        "holds": all(one.holds for one in checked),
        "conditions": [_condition_json(job, one) for one in checked],
    })


def drawn_table(job: Job, checked: Sequence[Checked]) -> Table:
    """Return a line for each condition that was drawn."""
    table = Table(title=job.project.name, title_justify="left")
    for name in ("id", "kind", "title", "rules"):
        table.add_column(name, overflow="fold")
    for one in checked:
        placed = one.placed
        state = Text(one.summary, style="green" if one.holds else "red")
        table.add_row(placed.id, placed.condition.kind, placed.title, state)
    return table


def kinds_table() -> Table:
    """Return the kinds of condition."""
    table = Table()
    for name in ("kind", "title", "about"):
        table.add_column(name, overflow="fold")
    for condition in CONDITIONS.values():
        table.add_row(condition.kind, condition.title, condition.about)
    return table


def parameters_table(condition: Condition) -> Table:
    """Return the parameters of a kind, each with its default, range and description."""
    title = f"{condition.kind}: {condition.title}"
    table = Table(title=title, title_justify="left", show_lines=True)
    for name in ("parameter", "default", "allowed", "about"):
        table.add_column(name, overflow="fold")
    for field in told(condition.parameters):
        default = "(must be given)" if field.required else field.default
        if field.by_rule and not field.default:
            default = f"rule {field.by_rule}"
        table.add_row(field.key, default, field.allowed, field.about)
    return table


def rules_table(rule_set: RuleSet) -> Table:
    """Return the rows of a rule set with their sources."""
    table = Table(
        title=f"{rule_set.id}: {rule_set.name}", title_justify="left", show_lines=True
    )
    for name in ("rule", "value", "severity", "what it asks", "source"):
        table.add_column(name, overflow="fold")
    for row in rule_set.rows.values():
        table.add_row(row.id, _value(row), str(row.severity), row.text, row.source)
    return table


def rule_text(rule_set: RuleSet, rule_id: str) -> Group:
    """Return all that is known of a rule row and its checks, or of a check and its rows."""
    if rule_id in REGISTRY:
        check = REGISTRY[rule_id]
        rows = [row for row in (*check.rows, check.high_row) if row]
        told = (rule_text(rule_set, row) for row in rows)
        return Group(*told)
    row = rule_set.row(rule_id)
    lines = [
        Text(row.id, style="bold"),
        Text(row.text),
        Text(f"Value: {_value(row)} ({row.severity}, rule set {rule_set.id})"),
        Text(f"Source: {row.source}"),
    ]
    if row.guards:
        lines.append(Text(f"Guards against: {row.guards}"))
    parts: list[Text | Padding] = [*lines]
    for check in REGISTRY.values():
        if rule_id in (*check.rows, check.high_row):
            parts += [
                Text(f"\nChecked by {check.id}:"),
                _indented(Text(cleandoc(check.page))),
            ]
    return Group(*parts)


def _indented(text: Text) -> Padding:
    return Padding(text, (0, 0, 0, 4), expand=False)


def _value(row: Rule) -> str:
    shown = words.amount(Amount(row.value, row.unit), UnitSystem.FEET_INCHES)
    return row.written or shown


def _where(finding: Finding, system: UnitSystem) -> str:
    """Return a point as a reader of the drawing finds it: from the origin of its view."""
    if finding.where is None:
        return ""
    x, y = finding.where
    if system is UnitSystem.FEET_INCHES:
        point = f'x {to_inches(x):.2f}", y {to_inches(y):.2f}"'
    else:
        point = f"x {x:.1f} mm, y {y:.1f} mm"
    return f"at {point}, on the {finding.view.replace('-', ' ')}"


def _condition_json(job: Job, checked: Checked) -> dict[str, Any]:
    placed = checked.placed
    return {
        "id": placed.id,
        "kind": placed.condition.kind,
        "title": placed.title,
        "line": placed.line,
        "holds": checked.holds,
        "findings": [
            _finding_json(finding, job.project.units) for finding in checked.findings
        ],
    }


def _finding_json(finding: Finding, system: UnitSystem) -> dict[str, Any]:
    required = finding.required
    return {
        "rule": finding.rule,
        "title": finding.title,
        "outcome": str(finding.outcome),
        "severity": str(finding.severity),
        "required": {
            "relation": str(required.relation),
            **_amount_json(required.amount),
            "high": None if required.high is None else _amount_json(required.high)["value"],
            "text": words.requirement(required, system),
        },
        "actual": {**_amount_json(finding.actual), "text": words.actual(finding, system)},
        "where": None if finding.where is None else [round(v, 3) for v in finding.where],
        "view": finding.view,
        "reason": finding.reason,
        "source": finding.source,
        "override": finding.override,
        "bodies": list(finding.bodies),
    }


def _amount_json(amount: Amount) -> dict[str, Any]:
    if amount.unit is Unit.WORDS:
        return {"value": amount.words, "unit": str(amount.unit)}
    return {"value": round(amount.value, 6) + 0.0, "unit": str(amount.unit)}


def _json(content: dict[str, Any]) -> str:
    return json.dumps({"format": FORMAT, **content}, indent=2, ensure_ascii=False)


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith(('.', '?')) else '.'}"
