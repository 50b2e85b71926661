"""What the command line tells of margins and of stages: tables and JSON."""

from collections.abc import Mapping, Sequence
from typing import Any, Final

from rich.console import Group
from rich.table import Table
from rich.text import Text

from detailgen.finding import Finding, Outcome, Severity, Unit
from detailgen.loader import Job, PlacedCondition
from detailgen.margins import FURTHEST, Margin, Use
from detailgen.section import Stage
from detailgen.sheet import words
from detailgen.units import show_amount

AT_ONCE: Final = 0.01
"""A smaller multiple of a tolerance is none."""
LOST_AT: Final = (
    "Lost at: how many times the tolerance it takes until the rule fails, each tolerance "
    "by itself."
)
_NOISE: Final = {Unit.LENGTH: 0.01, Unit.SLOPE: 1e-5}
"""A margin below this is none but for rounding."""


def margins_table(job: Job, placed: PlacedCondition, found: Sequence[Margin]) -> Group:
    """Return which rules of a condition lose their margin first, and to what."""
    table = Table(title=f"{placed.id}  {placed.title}", title_justify="left")
    for name in ("lost at", "rule", "holds by", "first lost to", "which is"):
        table.add_column(name, overflow="fold")
    lost = [m for m in found if m.fails or m.first is not None]
    for margin in lost:
        table.add_row(*_cells(job, margin))
    kept = [m for m in found if m not in lost and m.uses]
    free = [m for m in found if m not in lost and not m.uses]
    notes = [LOST_AT]
    if kept:
        notes.append(
            f"Touched, and not lost at {FURTHEST:g} times any tolerance that can be built: "
            + _names(kept)
        )
    if free:
        notes.append("Touched by no tolerance: " + _names(free))
    return Group(table, *(Text(note) for note in notes))


def _cells(job: Job, margin: Margin) -> tuple[str | Text, ...]:
    holds = _amount(job, margin)
    if margin.fails:
        return (Text("fails", style="bold red"), margin.title, holds, "as it is drawn", "")
    use = margin.first
    assert use is not None
    return (
        _times(use),
        margin.title,
        holds,
        use.text,
        use.tolerance.written,
    )


def _times(use: Use) -> Text:
    if use.multiple is None or use.multiple < AT_ONCE:
        return Text("at once", style="red")
    style = "yellow" if use.multiple <= 1.0 else ""
    return Text(f"{use.multiple:.2f} x", style=style)


def _amount(job: Job, margin: Margin) -> str:
    """Return by how much a rule holds."""
    left, system = margin.slack, job.project.units
    if left is None or margin.fails:
        return ""
    left = 0.0 if left < _NOISE.get(margin.unit, 1e-9) else left
    return show_amount(left, str(margin.unit), system)


def _names(these: Sequence[Margin]) -> str:
    return ", ".join(margin.rule for margin in these) + "."


def margins_json(
    job: Job, found: Sequence[tuple[PlacedCondition, Sequence[Margin]]]
) -> dict[str, Any]:
    """Return the margins of a job as plain values."""
    return {
        "rules": job.rules.id,
        "conditions": [
            {
                "id": placed.id,
                "kind": placed.condition.kind,
                "margins": [_margin(margin) for margin in these],
            }
            for placed, these in found
        ],
    }


def _margin(margin: Margin) -> dict[str, Any]:
    return {
        "rule": margin.rule,
        "title": margin.title,
        "severity": str(margin.severity),
        "fails": margin.fails,
        "slack": None if margin.slack is None else round(margin.slack, 6),
        "unit": str(margin.unit),
        "uses": [
            {
                "tolerance": use.tolerance.id,
                "text": use.text,
                "value": use.tolerance.written,
                "source": use.tolerance.source,
                "multiple": None if use.multiple is None else round(use.multiple, 3),
                "tried": use.tried,
            }
            for use in margin.uses
        ],
    }


# --- stages -------------------------------------------------------------------------------


def stages_table(
    job: Job,
    placed: PlacedCondition,
    stages: Sequence[Stage],
    found: Mapping[int, Sequence[Finding]],
) -> Table:
    """Return what holds at each stage of building, and the weak point where it does not."""
    system = job.project.units
    table = Table(title=f"{placed.id}  stage by stage", title_justify="left")
    for name in ("stage", "asked", "fails", "weak point"):
        table.add_column(name, overflow="fold")
    for stage in stages:
        asked = [f for f in found[stage.number] if f.outcome is not Outcome.NOT_APPLICABLE]
        failing = [f for f in asked if f.outcome is Outcome.FAIL]
        hold = "; work may wait here" if stage.hold else ""
        points = [f"{f.reason.rstrip('.')}, {words.place(f, system)}." for f in failing]
        weak = "\n".join(points) or "none"
        required = any(f.severity is Severity.REQUIRED for f in failing)
        table.add_row(
            f"{stage.number} {stage.name}{hold}",
            str(len(asked)),
            Text(str(len(failing)), style="bold red" if required else ""),
            weak,
        )
    return table


def stages_json(
    stages: Sequence[Stage], found: Mapping[int, Sequence[Finding]]
) -> list[dict[str, Any]]:
    """Return what fails at each stage as plain values."""
    return [
        {
            "stage": stage.number,
            "name": stage.name,
            "hold": stage.hold,
            "asked": sum(
                f.outcome is not Outcome.NOT_APPLICABLE for f in found[stage.number]
            ),
            "fails": [
                {"rule": f.rule, "reason": f.reason, "severity": str(f.severity)}
                for f in found[stage.number]
                if f.outcome is Outcome.FAIL
            ],
        }
        for stage in stages
    ]
