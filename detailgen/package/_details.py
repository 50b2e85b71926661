"""The schedule of details: where each is used, how much of it, on which sheets."""

from typing import Final

from detailgen.bill import Counted
from detailgen.book import Part
from detailgen.book.columns import Col, Line
from detailgen.book.package import mark_key
from detailgen.book.table import table, texts
from detailgen.checked import Checked
from detailgen.package._told import ToldJob
from detailgen.pipeline import amount_of
from detailgen.units import show_length

KEY: Final = "details"
NOT_TOLD: Final = "not told"
_COLUMNS: Final = (
    Col("Detail"), Col("Where it is used"), Col("What it is"), Col("Stands near"),
    Col("How much"), Col("Sheets"), Col("State"),
)  # fmt: skip


def schedule_of_details(told: ToldJob) -> Part:
    """Return the schedule of details."""
    near = _near(told)
    counted = told.counted
    lines = [
        Line(
            (
                one.placed.id,
                one.placed.title,
                one.placed.condition.title,
                ", ".join(near.get(one.placed.id, ())),
                _amount(told, one, counted[one.placed.id]),
                told.sheets[one.placed.id].numbers,
                one.summary,
            ),
            bold=not one.settled,
            targets=dict.fromkeys((0, 5), mark_key(one.placed.id)),
        )
        for one in told.checked
    ]
    notes = [
        ("Stands near:", "other details, and the clear distance that the job tells."),
        ("How much:", "as the job tells it. What is not told is not counted."),
        ("State:", "rules that hold and rules that fail; the summary has them all."),
    ]
    block = table("SCHEDULE OF DETAILS", _COLUMNS, lines)
    return Part(KEY, "Schedule of details", (block,), (texts("HOW TO READ IT", notes),))


def _amount(told: ToldJob, one: Checked, counted: Counted) -> str:
    """Return how much there is of a detail, and what the job would have to say besides."""
    said = amount_of(one.placed, told.units)
    lacks = counted.missing.rpartition(" gives ")[2]
    return f"{said} ({lacks})" if said and lacks else said or NOT_TOLD


def _near(told: ToldJob) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for one in told.job.distances:
        clear = show_length(one.clear, told.units)
        found.setdefault(one.of, []).append(f"{one.to} {clear}")
        found.setdefault(one.to, []).append(f"{one.of} {clear}")
    return found
