"""What a trainer gets of a job: stage sheets, checklists, and a page to look through."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from detailgen.loader import Job
from detailgen.margins import shown_at
from detailgen.pipeline import Checked, Progress, check_job, request_for
from detailgen.scene import Scene

PAGE: Final = "html"
"""The format of the page to look through, which is one file for all of a job."""
PAGE_FILE: Final = "details.html"
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
    scenes: list[Scene] = []
    for one in checked if sheets else ():
        scenes += class_scenes(job, one)
        progress(f"{one.placed.id} is drawn")
    from detailgen.sheet.numbering import numbered
    from detailgen.writers import WRITERS

    files: dict[str, bytes] = {}
    for name in sheets:
        for scene in numbered(scenes):
            files[f"{name}/{scene.id}.{name}"] = WRITERS[name](scene)
        progress(f"{name} is written")
    if PAGE in formats:
        files[PAGE_FILE] = class_page(job, checked)
        progress("the page is written")
    return Taught(files, len(scenes))


def parts_of(job: Job, formats: Sequence[str]) -> int:
    """Return how often making a job ready reports progress."""
    drawn = len(job.conditions) if any(n != PAGE for n in formats) else 0
    return drawn + len(formats)


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
