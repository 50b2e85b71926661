"""What the command line prints: tables for people, JSON for programs."""

import json
from collections.abc import Generator, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final, Protocol

from rich.console import Console, Group
from rich.padding import Padding
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn
from rich.table import Table
from rich.text import Text

from detailgen import rule_pages
from detailgen.catalog import DEFAULT_RULES, Catalog
from detailgen.checked import Verdict
from detailgen.conditions import CONDITIONS, Condition
from detailgen.errors import Problem
from detailgen.finding import Amount, Finding, Outcome, Unit
from detailgen.loader import Job, Kind, PlacedCondition, Told, told
from detailgen.pipeline import told_source
from detailgen.sheet import words
from detailgen.units import UnitSystem

if TYPE_CHECKING:
    from detailgen.compare import Comparison
    from detailgen.margins import Margin
    from detailgen.mend import Mended
    from detailgen.water_pages import Ways

# What only some commands tell is imported where it is told: drawing starts sooner.

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


class Advance(Protocol):
    """Told what has been done, and how many steps that was."""

    def __call__(self, done: str, steps: int = 1) -> None: ...  # noqa: D102


@contextmanager
def progress(steps: int) -> Generator[Advance]:
    """Show a bar on standard error; yields what to call after one step or several."""
    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn())
    # No thread redraws the bar: while it is shown, other processes are begun.
    with Progress(
        *columns, console=console(stderr=True), transient=True, auto_refresh=False
    ) as bar:
        task = bar.add_task("drawing", total=steps)

        def advance(done: str, steps: int = 1) -> None:
            bar.update(task, advance=steps, description=done, refresh=True)

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


def findings_table(job: Job, checked: Verdict, *, idle: bool) -> Table:
    """Return what every rule found of one condition.

    Args:
        job: Whose unit system is used.
        checked: The condition.
        idle: Whether rules that do not apply are listed too, each with its reason.
    """
    placed, system = checked.placed, job.project.units
    title = f"{placed.id}  {placed.title}  ({job.rules.name})"
    table = Table(title=title, title_justify="left")
    for name in ("result", "rule", "asked", "found", *(("from",) if _mixed(job) else ())):
        table.add_column(name, overflow="fold")
    left_out = 0
    for finding in checked.findings:
        verdict = _verdict(finding)
        if finding.outcome is not Outcome.NOT_APPLICABLE:
            asked = words.requirement(finding.required, system)
            found = words.actual(finding, system)
            origin = (" and ".join(finding.origins) or rule_pages.THIS_JOB,)
            origin = origin if _mixed(job) else ()
            table.add_row(verdict, finding.title, asked, found, *origin)
        elif idle:
            table.add_row(verdict, finding.title, "", finding.reason)
        else:
            left_out += 1
    if left_out:
        rules = "1 rule does" if left_out == 1 else f"{left_out} rules do"
        table.caption = f"{rules} not apply; --all lists them with the reason"
        table.caption_justify = "left"
    return table


def failures_text(job: Job, checked: Sequence[Verdict]) -> Group:
    """Return every failure in plain words, or that there is none."""
    system = job.project.units
    parts: list[Text | Padding] = []
    for one in checked:
        for finding in one.failures:
            verdict = _verdict(finding)
            head = Text(f"{one.placed.id} {verdict.plain}: ", style=verdict.style)
            head.append(finding.title, style="default")
            asked = words.requirement(finding.required, system)
            found = words.actual(finding, system)
            where = words.place(finding, system)
            parts += [
                head,
                _indented(Text(_sentence(finding.reason))),
                _indented(Text(f"Asked {asked}, found {found}, {where}")),
                _indented(Text(f"Source: {told_source(job, finding)}")),
            ]
            if finding.override:
                parts.append(_indented(Text(f"The job's value: {finding.override}")))
            if finding.accepted:
                parts.append(_indented(Text(f"Why: {finding.accepted}")))
    if not parts:
        parts = [Text("Every rule that applies holds.", style="green")]
    parts += _summed_up(checked)
    clashes = job.catalog.conflicts_of(job.rules)
    return Group(*parts, *rule_pages.conflict_lines(clashes))


def _verdict(finding: Finding) -> Text:
    """Return the result of a rule; an accepted deviation is told apart, and never holds."""
    if finding.accepted:
        return Text("accepted deviation", style="magenta")
    verdict = words.verdict(finding)
    return Text(verdict, style=_STYLES[verdict])


def _summed_up(checked: Sequence[Verdict]) -> list[Text | Padding]:
    """Return how many conditions fail, what is accepted, and what is so for nothing."""
    parts: list[Text | Padding] = []
    if failing := sum(not one.settled for one in checked):
        many = f"{failing} of {len(checked)} conditions"
        parts.append(Text(f"Required rules fail in {many}.", style="bold red"))
    if accepted := sum(len(one.accepted) for one in checked):
        many = "1 rule fails" if accepted == 1 else f"{accepted} rules fail"
        parts.append(Text(f"{many} as an accepted deviation.", style="magenta"))
    for one in checked:
        for needless in one.needless:
            text = (
                f"{one.placed.id}: the deviation from {needless.rule} is accepted for "
                "nothing, as that rule does not fail here. Take the table out of the file."
            )
            parts.append(Text(text, style="yellow"))
    return parts


def findings_json(
    job: Job, checked: Sequence[Verdict], stages: Mapping[str, Any] | None = None
) -> str:
    """Return what every rule found of every condition, as JSON.

    Args:
        job: What was checked.
        checked: Its conditions.
        stages: What fails at the stages of each condition, by its id, where asked.
    """
    return _json({
        "file": job.file,
        "project": job.project.name,
        "rule_set": job.rules.id,
        "rule_sets": list(job.rules.set_ids),
        "conflicts": rule_pages.conflicts_json(job.catalog.conflicts_of(job.rules)),
        "holds": all(one.holds for one in checked),
        "settled": all(one.settled for one in checked),
        "conditions": [
            _condition_json(job, one)
            | ({"stages": stages[one.placed.id]} if stages is not None else {})
            for one in checked
        ],
    })


def margins_json(
    job: Job, found: "Sequence[tuple[PlacedCondition, Sequence[Margin]]]"
) -> str:
    """Return the margins of a job, as JSON."""
    from detailgen import margin_pages

    return _json({"file": job.file, **margin_pages.margins_json(job, found)})


def mends_json(job: Job, mended: "Mended") -> str:
    """Return what would mend a job, as JSON."""
    from detailgen import mend_pages

    return _json(mend_pages.mends_content(job, mended))


def water_json(job: Job, found: "Sequence[tuple[PlacedCondition, Ways]]") -> str:
    """Return the water paths of a job, as JSON."""
    from detailgen import water_pages

    content = [water_pages.water_content(placed, ways) for placed, ways in found]
    about = " ".join(water_pages.LIMITS.split())
    return _json({"file": job.file, "about": about, "conditions": content})


def comparison_json(found: "Comparison") -> str:
    """Return what differs between two versions of a job, as JSON."""
    from detailgen.compare import comparison_content

    return _json(comparison_content(found))


def drawn_table(job: Job, checked: Sequence[Verdict]) -> Table:
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
    for field in _every(told(condition.parameters)):
        default = "(must be given)" if field.required else field.default
        if field.by_rule and not field.default:
            default = f"rule {field.by_rule}"
        table.add_row(field.key, default, field.allowed, field.about)
    return table


def _every(fields: Iterable[Told], within: str = "") -> Iterator[Told]:
    """Yield all keys, those of inner tables after the key of the table."""
    for field in fields:
        yield replace(field, key=within + field.key)
        if field.of and field.kind is Kind.TABLES:
            yield from _every(told(field.of), f"{within}{field.key}.")


def rules_listed(catalog: Catalog, set_ids: Sequence[str]) -> Group:
    """Return the rule sets and the rows of the one, or of the two, that were named."""
    listed = rule_pages.set_page(catalog, rule_pages.chosen(catalog, set_ids))
    hint = Text(
        "\nExplain one: detailgen rules RULE. Another set: --set; two of them combine."
    )
    return Group(*(() if set_ids else (rule_pages.sets_table(catalog),)), listed, hint)


def rules_json(catalog: Catalog, rule: str | None, set_ids: Sequence[str]) -> str:
    """Return the rules, or one of them, as JSON."""
    if rule is not None:
        return _json(rule_pages.rule_json(catalog, rule, set_ids))
    return _json(rule_pages.listed_json(catalog, rule_pages.chosen(catalog, set_ids)))


def _mixed(job: Job) -> bool:
    """Return whether the job's rows stand in more than the default rule set."""
    return job.rules.set_ids != (DEFAULT_RULES,)


def _indented(text: Text) -> Padding:
    return Padding(text, (0, 0, 0, 4), expand=False)


def _condition_json(job: Job, checked: Verdict) -> dict[str, Any]:
    placed = checked.placed
    return {
        "id": placed.id,
        "kind": placed.condition.kind,
        "title": placed.title,
        "line": placed.line,
        "holds": checked.holds,
        "settled": checked.settled,
        "accepted": [f.rule for f in checked.accepted],
        "accepted_for_nothing": [a.rule for a in checked.needless],
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
        "accepted": finding.accepted,
        "origins": list(finding.origins),
        "bodies": list(finding.bodies),
    }


def _amount_json(amount: Amount) -> dict[str, Any]:
    if amount.unit is Unit.WORDS:
        return {"value": amount.words, "unit": str(amount.unit)}
    return {"value": round(amount.value, 6) + 0.0, "unit": str(amount.unit)}


def _json(content: dict[str, Any]) -> str:
    # on one line: laying it out would take as long as checking half of a large job
    return json.dumps({"format": FORMAT, **content}, ensure_ascii=False)


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith(('.', '?')) else '.'}"
