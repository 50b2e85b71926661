"""What is cut for a job, piece by piece: layouts of its runs, and the sheets of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from detailgen.loader import Job, Run
from detailgen.pieces import Laid, Line, courses, laid
from detailgen.pipeline import Checked, Progress, check_job, request_for
from detailgen.printing import FEW, files_of, numbered_through, printed
from detailgen.scene import Scene
from detailgen.sheet import SheetRequest
from detailgen.workers import one_by_one

FORMATS: Final = ("dxf", "svg", "pdf")
"""What is written when nothing else is asked."""


@dataclass(frozen=True, slots=True)
class Layout:
    """The run of a condition, and what is laid along it."""

    request: SheetRequest
    """The condition, counted and ready to be drawn."""
    line: Line
    assumed: bool
    """Whether the file says nothing of its low point and its ends."""
    courses: tuple[Laid, ...]


def layout_of(job: Job, checked: Checked) -> Layout | None:
    """Return how a condition is laid out in pieces; None where nothing is, or no length."""
    placed = checked.placed
    length = placed.parameters.length
    if length is None or checked.section.by_the_piece:
        return None
    request = request_for(job, checked)
    told = next((run for run in job.runs if run.of == placed.id), None)
    line = _line(float(length), told)
    given = checked.section, request.quantities, request.shop.profiles
    found = courses(*given, job.catalog, job.rules)
    done = laid(found, line, job.catalog)
    return Layout(request, line, told is None, done) if done else None


def _line(length: float, told: Run | None) -> Line:
    if told is None:
        return Line(length)
    low = float(told.low) if told.low is not None else 0.0
    return Line(length, low, told.left.words, told.right.words)


def layouts_of(job: Job) -> tuple[Layout, ...]:
    """Return the layouts of a job's runs, in the order of its conditions."""
    found = (layout_of(job, checked) for checked in check_job(job))
    return tuple(one for one in found if one is not None)


def layout_scenes(layout: Layout) -> tuple[Scene, ...]:
    """Return the sheets of a layout, not numbered yet."""
    from detailgen.pieces.sheets import piece_sheets

    given = layout.request, layout.courses, layout.line
    return piece_sheets(*given, assumed=layout.assumed)


def run_scenes(job: Job, checked: Checked) -> tuple[Scene, ...]:
    """Return the sheets of a condition's pieces; none where it has no run."""
    layout = layout_of(job, checked)
    return layout_scenes(layout) if layout else ()


def piece_files(
    layouts: Sequence[Layout],
    formats: Sequence[str],
    progress: Progress = lambda _: None,
) -> tuple[dict[str, bytes], int]:
    """Return the sheets of layouts by the names of their files, and how many there are."""

    def told(n: int, what: str) -> None:
        progress(f"{layouts[n].request.mark} is {what}")

    count = len(layouts)
    found = one_by_one(
        lambda n: layout_scenes(layouts[n]), count, FEW, lambda n: told(n, "drawn")
    )
    sheets = numbered_through(found)
    made = printed(count, lambda n: sheets[n], formats, lambda n: told(n, "written"))
    return files_of(made, formats), sum(map(len, sheets))


def layout_json(layout: Layout) -> dict[str, Any]:
    """Return a layout for programs; lengths in mm from the left end of the run."""
    line = layout.line
    return {
        "detail": layout.request.mark,
        "length": line.run,
        "low": line.low,
        "ends": {"left": line.left, "right": line.right},
        "assumed": layout.assumed,
        "courses": [
            {
                "mark": one.course.mark,
                "name": one.course.name,
                "material": one.course.material,
                "way": one.course.way.value,
                "widths": list(one.course.widths),
                "lap": one.course.lap,
                "not_kept": [
                    {"what": lost.gave.value, "count": lost.count, "least": lost.least}
                    for lost in one.placed.lost
                ],
                "pieces": [
                    {"number": number, "from": a, "to": b}
                    for number, a, b in one.numbered()
                ],
            }
            for one in layout.courses
        ],
    }
