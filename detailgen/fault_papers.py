"""Find-the-fault papers of a job, and their keys: the step after checking for a trainer."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from random import Random  # noqa: TID251 (papers that a seed makes again)
from typing import TYPE_CHECKING, Any, Final

from detailgen.checks import REGISTRY
from detailgen.conditions import Thickening
from detailgen.errors import Problem, UserError, printable
from detailgen.faults import Bench, Broken, NoPaperError, Planted, Planter, told
from detailgen.loader import Job
from detailgen.pipeline import Checked, Progress, check_job, request_for
from detailgen.printing import files_of, printed
from detailgen.scene import Scene
from detailgen.workers import shared_out

if TYPE_CHECKING:
    from detailgen.sheet import SheetRequest
    from detailgen.writers.pdf import PageContent

FORMATS: Final = ("pdf",)
"""What is written when nothing else is asked: two files to print."""
PAPERS: Final = "papers.pdf"
KEYS: Final = "keys.pdf"
RECIPE: Final = "keys.json"
"""What was planted, from which each paper can be made again."""
MOST_PAPERS: Final = 500
MOST_FAULTS: Final = 3
_FEW: Final = 2
_KEY_FOLDER: Final = "keys"


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a trainer asks for."""

    papers: int = 1
    seed: int = 1
    least: int = 1
    """Fewest faults on a paper."""
    most: int = MOST_FAULTS
    paper: str = ""
    """Name of a class paper; by default the job's units tell."""
    conditions: tuple[str, ...] = ()
    """Ids of the conditions that papers are made of; by default all."""


@dataclass(frozen=True, slots=True)
class Paper:
    """One paper, its key, and what was planted."""

    number: int
    scenes: tuple[Scene, ...]
    key: tuple[Scene, ...]
    recipe: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Made:
    """A class set."""

    files: dict[str, bytes]
    papers: int
    left_out: tuple[str, ...]
    """Conditions of which no paper can be made, and why."""


def span_of(text: str) -> tuple[int, int]:
    """Return the fewest and the most faults of a paper: `2`, or `1..3`.

    Raises:
        UserError: It says neither.
    """
    low, dots, high = text.partition("..")
    ends = (low, high if dots else low)
    counts = [int(e) for e in ends if e in {"1", "2", "3"}]
    if len(counts) == len(ends) and counts[0] <= counts[1]:
        return counts[0], counts[1]
    raise UserError([
        Problem(
            "so many faults cannot be planted",
            key="--faults",
            value=printable(text),
            allowed="1, 2, 3, or the fewest and the most, as 1..3",
        )
    ])


def make_papers(
    job: Job,
    formats: Sequence[str],
    wanted: Wanted,
    progress: Progress = lambda _: None,
) -> Made:
    """Plant faults and write papers and keys, into memory.

    Raises:
        UserError: What is asked cannot be, or the job does not give so many papers.
    """
    papers, left_out = papers_of(job, wanted, progress)
    files = _files(job, papers, formats, wanted, progress)
    return Made(files, len(papers), left_out)


def papers_of(
    job: Job, wanted: Wanted, progress: Progress = lambda _: None
) -> tuple[list[Paper], tuple[str, ...]]:
    """Plant faults and compose papers; with them go the conditions that give none.

    Raises:
        UserError: What is asked cannot be, or the job does not give so many papers.
    """
    _asks_something(job, wanted)
    usable, left_out = _usable(job, wanted)
    shares = _shares(usable, wanted)

    def some(numbers: Sequence[int]) -> list[list[Paper] | Problem]:
        return [_of_condition(job, usable[n], shares[n], wanted) for n in numbers]

    found = shared_out(
        some, len(usable), _FEW, lambda n: progress(f"{usable[n].placed.id} is drawn")
    )
    problems = [f for f in found if isinstance(f, Problem)]
    if problems:
        raise UserError(problems)
    papers = [p for f in found if not isinstance(f, Problem) for p in f]
    papers.sort(key=lambda p: p.number)
    return papers, left_out


def steps_to_make(job: Job, wanted: Wanted) -> int:
    """Return how often making papers reports progress, at most."""
    return len(wanted.conditions or job.conditions) + 2 * wanted.papers


def planter_of(job: Job, checked: Checked, paper: str = "") -> Planter:
    """Return what plants faults in a condition and measures them on its paper.

    Raises:
        NoPaperError: The condition breaks a rule as it is.
    """
    from detailgen.lessons.fault_sheets import fault_scales
    from detailgen.sheet.thickening import thickened

    bench = bench_of(job, checked)
    base = request_for(job, checked)

    def thickening_at(broken: Broken, factor: float) -> Thickening:
        return thickened(_request(base, broken), factor)

    def scales_of(broken: Broken) -> Mapping[str, float]:
        return fault_scales(_request(base, broken), paper).scales

    return Planter(bench, job.project.units, scales_of, thickening_at)


def bench_of(job: Job, checked: Checked) -> Bench:
    """Return what builds and checks a condition with things that are wrong."""
    placed = checked.placed
    near = checked.section.neighbours
    return Bench(placed.condition, placed.parameters, job.site, near)


def _request(base: "SheetRequest", broken: Broken) -> "SheetRequest":
    """Return the request for a broken detail: nothing is counted or bent for it."""
    return replace(
        base,
        section=broken.section,
        rebuild=cache(broken.rebuild),
        findings=broken.findings,
        quantities=(),
    )


def _asks_something(job: Job, wanted: Wanted) -> None:
    """Refuse what a trainer cannot have meant."""
    if wanted.paper:
        job.catalog.drafting.class_paper(wanted.paper, job.project.units)
    known = [p.id for p in job.conditions]
    problems = [
        Problem(
            "there is no condition with this id in the job",
            key="--condition",
            value=printable(name),
            allowed=", ".join(known),
        )
        for name in wanted.conditions
        if name not in known
    ]
    if problems:
        raise UserError(problems)


def _usable(job: Job, wanted: Wanted) -> tuple[list[Checked], tuple[str, ...]]:
    """Return the conditions that break no rule as they are, and why others cannot be used.

    Raises:
        UserError: None can be used.
    """
    usable: list[Checked] = []
    left_out: list[str] = []
    for checked in check_job(job):
        if wanted.conditions and checked.placed.id not in wanted.conditions:
            continue
        if not checked.failures:
            usable.append(checked)
            continue
        rules = ", ".join(f.rule for f in checked.failures)
        left_out.append(f"{checked.placed.id} breaks rules as it is: {rules}")
    if usable:
        return usable, tuple(left_out)
    raise UserError([
        Problem(
            "a class finds what was planted only in a detail that holds otherwise; no "
            "condition asked for does",
            file=job.file,
            value="; ".join(left_out),
            mend="Mend one of them (`detailgen mend`), or take another job.",
        )
    ])


def _shares(usable: Sequence[Checked], wanted: Wanted) -> list[list[int]]:
    """Return the numbers of each condition's papers: the conditions take turns."""
    count = len(usable)
    return [list(range(n + 1, wanted.papers + 1, count)) for n in range(count)]


def _of_condition(
    job: Job, checked: Checked, numbers: Sequence[int], wanted: Wanted
) -> list[Paper] | Problem:
    """Return the papers of one condition; a problem where it does not give so many."""
    made: list[Paper] = []
    if not numbers:
        return made
    try:
        planter = planter_of(job, checked, wanted.paper)
        for number in numbers:
            rng = Random(f"faults {wanted.seed} {checked.placed.id} {number}")  # noqa: S311
            planted = _plant(planter, wanted, rng)
            made.append(_paper(job, checked, planted, number, wanted))
    except NoPaperError as error:
        return Problem(
            f"{checked.placed.id} gives {len(made)} different papers: {error}",
            file=job.file,
            line=checked.placed.line,
            key="--papers",
            value=str(wanted.papers),
            allowed=f"{len(numbers)} are asked of it, since the conditions take turns",
            mend="Ask for fewer papers or another number of faults, or leave it out.",
        )
    return made


def _plant(planter: Planter, wanted: Wanted, rng: Random) -> Planted:
    """Return a broken detail with as many faults as chance says, or as it can have."""
    span = wanted.most - wanted.least + 1
    count = wanted.least + int(rng.random() * span)
    for fewer in range(count, wanted.least, -1):
        try:
            return planter.plant(fewer, rng)
        except NoPaperError:
            continue
    return planter.plant(wanted.least, rng)


def _paper(
    job: Job, checked: Checked, planted: Planted, number: int, wanted: Wanted
) -> Paper:
    from detailgen.lessons.fault_sheets import FaultTold, fault_key, fault_paper

    request = _request(request_for(job, checked), planted.broken)
    name = str(number).zfill(len(str(wanted.papers)))
    bench = bench_of(job, checked)
    faults = [
        FaultTold(
            f.finding,
            f.along,
            told(f.change, bench, job.project.units),
            _why(f.finding.rule),
            f.size,
        )
        for f in planted.faults
    ]
    recipe = {
        "paper": number,
        "condition": checked.placed.id,
        "faults": [
            {
                "change": f.change.as_data(),
                "rule": f.finding.rule,
                "along": [a.rule for a in f.along],
                "size_on_paper_mm": round(f.size, 2),
                "told": t.made,
            }
            for f, t in zip(planted.faults, faults, strict=True)
        ],
    }
    return Paper(
        number,
        fault_paper(request, wanted.paper, name, len(faults)),
        fault_key(request, wanted.paper, name, faults),
        recipe,
    )


def _why(rule: str) -> str:
    """Return what a rule guards against, from its public page."""
    page = " ".join(REGISTRY[rule].page.partition("\n\n")[0].split())
    return f"The rule {page[:1].lower()}{page[1:]}"


def _files(
    job: Job,
    papers: Sequence[Paper],
    formats: Sequence[str],
    wanted: Wanted,
    progress: Progress,
) -> dict[str, bytes]:
    """Return the files: what is handed out, and the keys in a folder of their own."""
    files: dict[str, bytes] = {}
    for folder, bound, sheets in (
        ("", PAPERS, [p.scenes for p in papers]),
        (f"{_KEY_FOLDER}/", KEYS, [p.key for p in papers]),
    ):
        groups = printed(
            len(papers),
            sheets.__getitem__,
            formats,
            lambda n: progress(f"paper {n + 1} is written"),
        )
        every = files_of(groups, formats)
        files |= {folder + p: b for p, b in every.items() if not p.startswith("pdf/")}
        if "pdf" in formats:
            pages = [(n + 1, page) for n, g in enumerate(groups) for page in g.pages]
            files[bound] = _bound(job, bound, pages)
    recipes = {
        "job": job.project.name,
        "seed": wanted.seed,
        "papers": [dict(p.recipe) for p in papers],
    }
    files[RECIPE] = (json.dumps(recipes, indent=1, ensure_ascii=False) + "\n").encode()
    return files


def _bound(job: Job, name: str, made: "Sequence[tuple[int, PageContent]]") -> bytes:
    """Return pages as one file, a bookmark at the first of each paper."""
    from detailgen.lettering import letterable
    from detailgen.writers.pdf import Page, pages

    seen: set[int] = set()
    book: list[Page] = []
    what = "Key" if name == KEYS else "Paper"
    for number, content in made:
        mark = "" if number in seen else f"{what} {number}"
        seen.add(number)
        book.append(Page(content, mark, label=str(len(book) + 1)))
    title = letterable(job.project.name)
    return pages(book, title, subject="Find the fault", author=job.project.drawn_by)
