"""What is cut for a job, piece by piece: layouts of its runs, and the sheets of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from detailgen.loader import Job, Run
from detailgen.pieces import Laid, Line, courses, laid
from detailgen.pipeline import Checked, Progress, check_job, numbered_job, request_for
from detailgen.printing import FEW, files_of, printed
from detailgen.scene import Scene
from detailgen.workers import shared_out

FORMATS: Final = ("dxf", "svg", "pdf")
"""What is written when nothing else is asked."""


@dataclass(frozen=True, slots=True)
class Layout:
    """The run of a condition, and what is laid along it."""

    checked: Checked
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
    return Layout(checked, line, told is None, done) if done else None


def _line(length: float, told: Run | None) -> Line:
    if told is None:
        return Line(length)
    low = float(told.low) if told.low is not None else 0.0
    return Line(length, low, told.left.is_corner, told.right.is_corner)


def layouts_of(job: Job) -> tuple[Layout, ...]:
    """Return the layouts of a job's runs, in the order of its conditions."""
    found = (layout_of(job, checked) for checked in check_job(job))
    return tuple(one for one in found if one is not None)


def layout_scenes(job: Job, layout: Layout) -> tuple[Scene, ...]:
    """Return the sheets of a layout, not numbered yet."""
    from detailgen.pieces.sheets import piece_sheets

    request = request_for(job, layout.checked)
    return piece_sheets(request, layout.courses, layout.line, assumed=layout.assumed)


def run_scenes(job: Job, checked: Checked) -> tuple[Scene, ...]:
    """Return the sheets of a condition's pieces; none where it has no run."""
    layout = layout_of(job, checked)
    return layout_scenes(job, layout) if layout else ()


def piece_files(
    job: Job,
    layouts: Sequence[Layout],
    formats: Sequence[str],
    progress: Progress = lambda _: None,
) -> tuple[dict[str, bytes], int]:
    """Return the sheets of layouts by the names of their files, and how many there are."""

    def some(numbers: Sequence[int]) -> list[tuple[Scene, ...]]:
        return [layout_scenes(job, layouts[n]) for n in numbers]

    def told(n: int, what: str) -> None:
        progress(f"{layouts[n].checked.placed.id} is {what}")

    found = shared_out(some, len(layouts), FEW, lambda n: told(n, "drawn"))
    owners = [one.checked for one in layouts]
    sheets = numbered_job(list(zip(owners, found, strict=True)))
    made = printed(len(sheets), lambda n: sheets[n], formats, lambda n: told(n, "written"))
    return files_of(made, formats), sum(map(len, sheets))


def layout_json(layout: Layout) -> dict[str, Any]:
    """Return a layout for programs; lengths in mm from the left end of the run."""
    line = layout.line
    return {
        "detail": layout.checked.placed.id,
        "length": line.run,
        "low": line.low,
        "corners": {"left": line.left_corner, "right": line.right_corner},
        "assumed": layout.assumed,
        "courses": [
            {
                "mark": one.course.mark,
                "name": one.course.name,
                "material": one.course.material,
                "way": one.course.way.value,
                "widths": list(one.course.widths),
                "lap": one.course.lap,
                "gave_way": [g.value for g in one.placed.gave],
                "pieces": [
                    {"number": number, "from": a, "to": b}
                    for number, a, b in one.numbered()
                ],
            }
            for one in layout.courses
        ],
    }
