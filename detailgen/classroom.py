"""What a trainer gets of a job: stage sheets, checklists, and a page to look through."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from detailgen.loader import Job
from detailgen.margins import shown_at
from detailgen.pipeline import Checked, Progress, check_job, numbered_job, request_for
from detailgen.printing import FEW, files_of, printed
from detailgen.scene import Scene
from detailgen.workers import shared_out

if TYPE_CHECKING:
    from detailgen.writers.pdf import PageContent

PAGE: Final = "html"
"""The format of the page to look through, which is one file for all of a job."""
PAGE_FILE: Final = "details.html"
BOUND: Final = "class.pdf"
"""All sheets in one file, with an index, written when PDF is asked for."""
FORMATS: Final = ("dxf", "svg", "pdf", PAGE)
"""What is written when nothing else is asked."""


@dataclass(frozen=True, slots=True)
class Taught:
    """A job, made ready for a class."""

    files: dict[str, bytes]
    """Content by path inside the output folder."""
    sheets: int


def teach_job(
    job: Job, formats: Sequence[str], progress: Progress = lambda _: None
) -> Taught:
    """Compose and write all that a class gets of a job, into memory."""
    checked = check_job(job)
    sheets = [n for n in formats if n != PAGE]

    def some(numbers: Sequence[int]) -> list[tuple[Scene, ...]]:
        return [class_scenes(job, checked[n]) for n in numbers]

    found = shared_out(
        some,
        len(checked) if sheets else 0,
        FEW,
        lambda n: progress(f"{checked[n].placed.id} is drawn"),
    )
    made = numbered_job(list(zip(checked, found, strict=False)))
    written = printed(
        len(made),
        lambda n: made[n],
        sheets,
        lambda n: progress(f"{checked[n].placed.id} is written"),
    )
    files = files_of(written, sheets)
    scenes = [scene for some in made for scene in some]
    if "pdf" in sheets and scenes:
        owners = [one for one, some in zip(checked, made, strict=False) for _ in some]
        files[BOUND] = _bound(
            job, owners, scenes, [page for group in written for page in group.pages]
        )
    if PAGE in formats:
        files[PAGE_FILE] = class_page(job, checked)
        progress("the page is written")
    return Taught(files, len(scenes))


def parts_of(job: Job, formats: Sequence[str]) -> int:
    """Return how often making a job ready reports progress."""
    drawn = 2 * len(job.conditions) if any(n != PAGE for n in formats) else 0
    return drawn + (PAGE in formats)


def class_scenes(job: Job, checked: Checked) -> tuple[Scene, ...]:
    """Return the stage sheets and the checklist of one condition."""
    from detailgen.lessons import checklist, stage_sheets

    request = request_for(job, checked)
    placed = checked.placed
    given = placed.condition, placed.parameters, job.site
    strays = shown_at(*given, job.catalog.tolerances.values())
    return (*stage_sheets(request), *checklist(request, strays))


def class_page(job: Job, checked: Sequence[Checked]) -> bytes:
    """Return the page to look through: all of a job in one file."""
    from detailgen.browse import Detail, page

    details = [
        Detail(request_for(job, one), one.summary, one.placed.condition.title)
        for one in checked
    ]
    return page(job.project.name, details, job.project.units)


def _bound(
    job: Job,
    checked: Sequence[Checked],
    scenes: Sequence[Scene],
    pages: "Sequence[PageContent]",
) -> bytes:
    """Return all sheets of the class in one file: an index, then each on its paper."""
    from detailgen.book import BookInfo, SheetRow, bound_set

    project = job.project
    rows = [
        SheetRow(
            number=str(number),
            mark=one.placed.id,
            title=scene.title.removeprefix(f"{one.placed.id} "),
            scale="".join({view.scale_label: "" for view in scene.views}),
            findings=one.summary,
            fails=bool(one.failures),
        )
        for number, (one, scene) in enumerate(zip(checked, scenes, strict=True), 1)
    ]
    facts = (("Job number", project.number), ("Location", project.location))
    return bound_set(BookInfo(project.name, facts, project.drawn_by), rows, pages)
