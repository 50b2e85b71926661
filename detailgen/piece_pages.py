"""What the command line tells of the pieces of a job."""

from collections.abc import Sequence

from rich.console import Group
from rich.table import Table
from rich.text import Text

from detailgen.loader import Job
from detailgen.pieces.sheets import lost_words
from detailgen.piecework import Layout
from detailgen.units import show_length, show_run


def pieces_text(job: Job, layouts: Sequence[Layout]) -> Group:
    """Return the schedules of all runs, and which conditions have none."""
    parts: list[Table | Text] = []
    for layout in layouts:
        parts += _one(job, layout)
    told = {layout.request.mark for layout in layouts}
    left = [placed.id for placed in job.conditions if placed.id not in told]
    if left:
        parts.append(Text(f"No run, or no length of it: {', '.join(left)}."))
    return Group(*parts)


def _one(job: Job, layout: Layout) -> list[Table | Text]:
    request, units = layout.request, job.project.units
    line = layout.line
    title = f"{request.mark}  {request.title}, {show_run(line.run, units)}"
    table = Table(title=title, title_justify="left", title_style="bold", box=None)
    for name in ("", "course", "pieces", "most", "last", "lap or gap", "not kept"):
        table.add_column(name, justify="right" if name == "pieces" else "left")
    for one in layout.courses:
        wide = [b - a for a, b in one.placed.pieces]
        table.add_row(
            one.course.mark,
            one.course.name,
            str(len(wide) * one.sides),
            show_length(max(wide), units),
            show_length(wide[-1], units),
            show_length(abs(one.course.lap), units) if one.course.lap else "butted",
            " ".join(lost_words(lost, units) for lost in one.placed.lost),
        )
    parts: list[Table | Text] = [table]
    if layout.assumed:
        parts.append(
            Text("Assumed: low point at the left end, no corner; [[run]] says otherwise.")
        )
    return [*parts, Text("")]
