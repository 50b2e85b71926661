"""Find-the-fault papers of a job, and their keys: the step after checking for a trainer."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from detailgen.errors import Problem, UserError, printable
from detailgen.fault_papers._files import files_with
from detailgen.fault_papers._nouns import (
    FORMATS,
    KEYS,
    MOST_FAULTS,
    PAPERS,
    RECIPE,
    Given,
    Paper,
    Wanted,
    span_of,
)
from detailgen.fault_papers._planting import bench_of, of_condition, planter_of
from detailgen.loader import Job
from detailgen.pipeline import Checked, Progress, check_job
from detailgen.workers import one_by_one

__all__ = [
    "FORMATS",
    "KEYS",
    "MOST_FAULTS",
    "PAPERS",
    "RECIPE",
    "Made",
    "Paper",
    "Wanted",
    "bench_of",
    "make_papers",
    "papers_of",
    "planter_of",
    "span_of",
    "steps_to_make",
]

_FEW: Final = 2


@dataclass(frozen=True, slots=True)
class Made:
    """A class set."""

    files: dict[str, bytes]
    papers: int
    left_out: tuple[str, ...]
    """Conditions of which no paper can be made, and why."""


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
    files = files_with(job, papers, formats, wanted, progress)
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
    made: dict[int, Given] = {}
    due = [n for n, share in enumerate(shares) if share]
    while due:
        asked = [(usable[n], shares[n]) for n in due]
        found = _given(job, asked, wanted, progress)
        made |= dict(zip(due, found, strict=True))
        due = _dealt_again(job, usable, shares, made)
    papers = [p for given in made.values() for p in given.papers]
    papers.sort(key=lambda p: p.number)
    return papers, left_out


def steps_to_make(job: Job, wanted: Wanted) -> int:
    """Return how often making papers reports progress, at most."""
    conditions = len(wanted.conditions or job.conditions)
    return min(conditions, wanted.papers) + 2 * wanted.papers


def _given(
    job: Job,
    asked: Sequence[tuple[Checked, list[int]]],
    wanted: Wanted,
    progress: Progress,
) -> list[Given]:
    """Return the papers of conditions, each with the numbers of its own; on all cores."""
    return one_by_one(
        lambda n: of_condition(job, *asked[n], wanted),
        len(asked),
        _FEW,
        lambda n: progress(f"{asked[n][0].placed.id} is drawn"),
    )


def _dealt_again(
    job: Job,
    usable: Sequence[Checked],
    shares: list[list[int]],
    made: Mapping[int, Given],
) -> list[int]:
    """Hand on the numbers of papers that a condition does not give; return to whom.

    Raises:
        UserError: No condition gives more.
    """
    left: list[int] = []
    for n, given in made.items():
        count = len(given.papers)
        left += shares[n][count:]
        shares[n] = shares[n][:count]
    able = [n for n, given in made.items() if not given.ended]
    if not left:
        return []
    if not able:
        told = "; ".join(
            f"{usable[n].placed.id} gives {len(given.papers)}: {given.ended}"
            for n, given in made.items()
        )
        count = sum(len(given.papers) for given in made.values())
        raise UserError([
            Problem(
                f"there are {count} different papers: {told}",
                file=job.file,
                key="--papers",
                value=str(count + len(left)),
                allowed=f"at most {count} with this seed and so many faults",
                mend="Ask for fewer papers, another number of faults or more conditions.",
            )
        ])
    takers = [able[i % len(able)] for i in range(len(left))]
    for n, number in zip(takers, sorted(left), strict=True):
        shares[n].append(number)
    return sorted(set(takers))


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
            value=printable("; ".join(left_out), 180),
            allowed="conditions all of whose rules hold",
            mend="Mend one of them (`detailgen mend`), or take another job.",
        )
    ])


def _shares(usable: Sequence[Checked], wanted: Wanted) -> list[list[int]]:
    """Return the numbers of each condition's papers: the conditions take turns."""
    count = len(usable)
    return [list(range(n + 1, wanted.papers + 1, count)) for n in range(count)]
