"""What the command line tells of the water path: zones, weakest ways, its limits."""

from collections.abc import Sequence
from typing import Any, Final

from rich.console import Group
from rich.table import Table
from rich.text import Text

from detailgen.loader import Job, PlacedCondition
from detailgen.section import LayeredSection
from detailgen.units import UnitSystem, show_amount, show_length, to_inches
from detailgen.waterpath import How, Step, Way

LIMITS: Final = (
    "Counted in sheets: what water must overcome on its easiest way from the weather to "
    "what must stay dry. A sheet counts 1; a stuck lap counts its length, and a climb its "
    "rise, over the lap that the rule set asks there, at most 1; metal counts as its "
    "joints do; board, wood, masonry, open joints and beads of sealant count nothing. The "
    "argument ends at the receiver or the coping. It argues redundancy; it does not "
    "predict leaks: workmanship, age, pressure and the amount of water are not in it."
)
Ways = Sequence[tuple[Way, float]]
"""Ways with what the rule set asks of each."""


def water_table(
    job: Job, placed: PlacedCondition, section: LayeredSection, found: Ways
) -> Group:
    """Return the zones of a condition, the figure of each, and its easiest way in."""
    table = Table(title=f"{placed.id}  {placed.title}", title_justify="left")
    for name in ("result", "zone", "asked", "found", "weakest at", "easiest way in"):
        table.add_column(name, overflow="fold")
    system = job.project.units
    for way, asked in found:
        good = holds(way, asked)
        table.add_row(
            Text("holds" if good else "FAILS", style="green" if good else "bold red"),
            way.zone,
            _count(asked, system),
            _count(way.told, system),
            _place(section, way, system),
            _told(section, way, system),
        )
    if not found:
        return Group(table, Text("Nothing here is said to have to stay dry."))
    return Group(table)


def holds(way: Way, asked: float) -> bool:
    """Tell whether a way meets as much as is asked."""
    return way.told >= asked - 1e-9


def _count(value: float, system: UnitSystem) -> str:
    return show_amount(value, "count", system)


def _place(section: LayeredSection, way: Way, system: UnitSystem) -> str:
    """Return where a way ends: the body that it reaches, from the drawing's origin."""
    body = section.body(way.body)
    across, up = (
        f"{'-' if v < 0 else ''}{show_length(abs(v), system)}"
        for v in (v if abs(v) > 1.0 else 0.0 for v in way.at)
    )
    return f"{way.body if body is None else body.role}, {across} across, {up} up"


def _told(section: LayeredSection, way: Way, system: UnitSystem) -> str:
    """Return the steps of a way that cost something, with what each counts."""
    steps = [f"{_step(section, s, system)}: {_count(s.cost, system)}" for s in way.steps]
    return "; ".join(steps) or "nothing in its way"


def _step(section: LayeredSection, step: Step, system: UnitSystem) -> str:
    body = section.body(step.body)
    what = "what covers it" if body is None else f"the {body.role}"
    if step.how is How.THROUGH:
        return f"through {what}"
    return f"{show_length(step.amount, system)} {step.how} {what}"


def water_content(placed: PlacedCondition, found: Ways) -> dict[str, Any]:
    """Return the zones and ways of a condition for JSON; lengths in mm and in inches."""
    return {
        "id": placed.id,
        "zones": [
            {
                "zone": way.zone,
                "low": way.low,
                "asked": asked,
                "found": way.told,
                "holds": holds(way, asked),
                "reaches": way.body,
                "at_mm": [round(v, 3) for v in way.at],
                "line_mm": [[round(v, 3) for v in p] for p in way.line],
                "steps": [
                    {
                        "how": str(step.how),
                        "body": step.body,
                        "mm": round(step.amount, 3),
                        "inches": round(to_inches(step.amount), 4),
                        "counts": round(step.cost, 4),
                    }
                    for step in way.steps
                ],
            }
            for way, asked in found
        ],
    }
