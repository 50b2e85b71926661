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
    made: list[tuple[Checked, Scene]] = []
    for one in checked if sheets else ():
        made += [(one, scene) for scene in class_scenes(job, one)]
        progress(f"{one.placed.id} is drawn")
    from detailgen.sheet.numbering import numbered
    from detailgen.writers import WRITERS

    scenes = numbered([scene for _, scene in made])
    files: dict[str, bytes] = {}
    for name in sheets:
        for scene in scenes:
            files[f"{name}/{scene.id}.{name}"] = WRITERS[name](scene)
        if name == "pdf" and scenes:
            files[BOUND] = _bound(job, [one for one, _ in made], scenes)
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


def _bound(job: Job, checked: Sequence[Checked], scenes: Sequence[Scene]) -> bytes:
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
    return bound_set(BookInfo(project.name, facts, project.drawn_by), rows, scenes)
