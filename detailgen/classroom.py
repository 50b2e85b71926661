"""What a trainer gets of a job: sheets for a class with their keys, and a page.

Stage sheets, hold-point checklists, handouts and exercises come detail by detail; keys
stand together at the end, so that the rest can be handed out.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cache
from typing import TYPE_CHECKING, Final

from detailgen.errors import Problem, UserError
from detailgen.loader import Job
from detailgen.margins import shown_at
from detailgen.pipeline import Checked, Progress, check_job, request_for
from detailgen.printing import FEW, files_of, numbered_through, printed
from detailgen.scene import Scene
from detailgen.workers import one_by_one

if TYPE_CHECKING:
    from detailgen.writers.pdf import PageContent

PAGE: Final = "html"
"""The format of the page to look through, which is one file for all of a job."""
PAGE_FILE: Final = "details.html"
BOUND: Final = "class.pdf"
"""All sheets in one file, with an index, written when PDF is asked for."""
FORMATS: Final = ("dxf", "svg", "pdf", PAGE)
"""What is written when nothing else is asked."""


class Part(StrEnum):
    """What can be made for a class."""

    STAGES = "stages"
    CHECKLIST = "checklist"
    HANDOUT = "handout"
    EXERCISE = "exercise"
    CUTS = "cuts"
    PAGE = "page"


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a trainer asks for."""

    parts: frozenset[Part] = frozenset(Part)
    paper: str = ""
    """Name of a class paper for handouts and exercises; by default the job's units tell."""
    seed: int = 1
    """What shuffles exercises: the same seed makes the same papers."""
    word_bank: bool = True
    """Whether the names stand, shuffled, on the sheet that asks for them."""

    def sheets(self, formats: Sequence[str]) -> list[str]:
        """Return the formats in which sheets are written."""
        drawn = self.parts - {Part.PAGE}
        return [n for n in formats if n != PAGE] if drawn else []

    def page(self, formats: Sequence[str]) -> bool:
        """Return whether the page is written."""
        return PAGE in formats and Part.PAGE in self.parts


EVERYTHING: Final = Wanted()


@dataclass(frozen=True, slots=True)
class Taught:
    """A job, made ready for a class."""

    files: dict[str, bytes]
    """Content by path inside the output folder."""
    sheets: int


def teach_job(
    job: Job,
    formats: Sequence[str],
    progress: Progress = lambda _: None,
    wanted: Wanted = EVERYTHING,
) -> Taught:
    """Compose and write what a class gets of a job, into memory.

    Raises:
        UserError: There is no class paper of that name, or nothing would be written.
    """
    _asks_something(job, formats, wanted)
    checked = check_job(job)
    sheets = wanted.sheets(formats)

    found = one_by_one(
        lambda n: class_scenes(job, checked[n], wanted),
        len(checked) if sheets else 0,
        FEW,
        lambda n: progress(f"{checked[n].placed.id} is drawn"),
    )
    handed = [(one, given) for one, (given, _) in zip(checked, found, strict=False)]
    keys = [(one, kept) for one, (_, kept) in zip(checked, found, strict=False) if kept]
    groups = [*handed, *keys]
    made = numbered_through([some for _, some in groups])
    written = printed(
        len(made),
        lambda n: made[n],
        sheets,
        lambda n: progress(f"{groups[n][0].placed.id} is written"),
    )
    files = files_of(written, sheets)
    scenes = [scene for some in made for scene in some]
    if "pdf" in sheets and scenes:
        owners = [one for one, some in groups for _ in some]
        files[BOUND] = _bound(
            job, owners, scenes, [page for group in written for page in group.pages]
        )
    if wanted.page(formats):
        files[PAGE_FILE] = class_page(job, checked)
        progress("the page is written")
    return Taught(files, len(scenes))


def steps_to_teach(job: Job, formats: Sequence[str], wanted: Wanted = EVERYTHING) -> int:
    """Return how often making a job ready reports progress."""
    drawn = len(job.conditions) if wanted.sheets(formats) else 0
    keys = drawn if Part.EXERCISE in wanted.parts else 0
    return 2 * drawn + keys + wanted.page(formats)


def _asks_something(job: Job, formats: Sequence[str], wanted: Wanted) -> None:
    """Refuse what a trainer cannot have meant."""
    if wanted.paper:
        job.catalog.drafting.class_paper(wanted.paper, job.project.units)
    if not wanted.sheets(formats) and not wanted.page(formats):
        only_page = wanted.parts == frozenset({Part.PAGE})
        raise UserError([
            Problem(
                "nothing would be written: the page is html, and everything else is not",
                key="--format",
                value=", ".join(formats),
                allowed=PAGE if only_page else "dxf, svg, pdf, png",
                mend="Ask for another format, or for other parts.",
            )
        ])


def class_scenes(
    job: Job, checked: Checked, wanted: Wanted = EVERYTHING
) -> tuple[tuple[Scene, ...], tuple[Scene, ...]]:
    """Return the sheets of one condition that are handed out, and the keys."""
    from detailgen.lessons import (
        checklist,
        cut_sheets,
        handout,
        names_exercise,
        numbers_exercise,
        stage_sheets,
    )

    request = request_for(job, checked)
    # Many sheets try the same scales.
    request = replace(request, rebuild=cache(request.rebuild))
    placed, paper = checked.placed, wanted.paper
    scenes: list[Scene] = []
    keys: list[Scene] = []
    if Part.STAGES in wanted.parts:
        scenes += stage_sheets(request)
    if Part.CHECKLIST in wanted.parts:
        given = placed.condition, placed.parameters, job.site
        scenes += checklist(request, shown_at(*given, job.catalog.tolerances.values()))
    if Part.HANDOUT in wanted.parts:
        scenes += handout(request, paper)
    if Part.CUTS in wanted.parts:
        scenes += cut_sheets(request)
    if Part.EXERCISE in wanted.parts:
        shuffle, bank = wanted.seed, wanted.word_bank
        for papers, key in (
            names_exercise(request, paper, seed=shuffle, bank=bank),
            numbers_exercise(request, paper),
        ):
            scenes += papers
            keys += key
    return tuple(scenes), tuple(keys)


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
