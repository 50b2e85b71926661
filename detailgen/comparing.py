"""Two versions of a job, and a job beside its alternates: from files to what differs."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final, cast

from detailgen.bids import bill_of, prices_of
from detailgen.bill import Bill, Prices
from detailgen.compare import (
    Alternates,
    Beside,
    Comparison,
    SharedChange,
    Side,
    State,
    Version,
    compared,
    is_printing,
    moved,
)
from detailgen.errors import Problem, UserError
from detailgen.loader import Alternate, Document, Job, job_from, read_document
from detailgen.loader.variants import (
    GONE,
    NOWHERE,
    Put,
    alternate_job,
    given_alternates,
    variant,
)
from detailgen.pipeline import Progress, check_job
from detailgen.takeoff import flat_pieces, take_off

STEPS: Final = 3
"""How often comparing two versions reports progress."""


@dataclass(frozen=True, slots=True)
class Read:
    """A parameter file and the job that it describes."""

    document: Document
    job: Job


def read_job(path: Path) -> Read:
    """Return a parameter file with its job.

    Raises:
        UserError: The file cannot be read, or says what cannot be; all mistakes are told.
    """
    document = read_document(path)
    return Read(document, job_from(document))


def version_of(job: Job, bill: Bill) -> Version:
    """Return a job with all its conditions built, checked and counted."""
    counted = {one.id: one for one in bill.conditions}
    sides = {
        one.placed.id: Side(
            one.placed,
            one.section,
            one.findings,
            take_off(one.section, job.catalog, job.rules) + flat_pieces(one.section),
            counted[one.placed.id],
        )
        for one in check_job(job)
    }
    return Version(job, sides, bill.totals)


def _version(job: Job, prices: Prices) -> Version:
    return version_of(job, bill_of(job, prices))


def compare_jobs(
    old: Read, new: Read, prices: Path | None = None, progress: Progress = lambda _: None
) -> Comparison:
    """Return all that differs between two versions of a job.

    Args:
        old: The earlier file.
        new: The later one.
        prices: A price list, for what the difference costs.
        progress: Told what has just been done, as often as `STEPS` says.

    Raises:
        UserError: The price list cannot be read.
    """
    told = prices_of(new.job, prices)
    before = _version(old.job, told)
    progress("the old version is checked")
    after = _version(new.job, told)
    progress("the new version is checked")
    found = compared(before, after)
    shared = tuple(_reaching(found, old, new, told))
    progress("what the job's own figures reach is found")
    return replace(found, shared=shared)


# --- what a change that conditions share reaches ----------------------------------------


def _reaching(
    found: Comparison, old: Read, new: Read, prices: Prices
) -> Iterator[SharedChange]:
    """Yield the shared changes, each with the marks of the conditions that it reaches.

    Each is made by itself in the old version, and taken back by itself in the new one; what
    moves by that, it reaches. So two changes that undo one another are told as well.
    """
    partners = {d.old.id: d.id for d in found.details if d.old and d.new}
    marks = [d.id for d in found.details if d.new]
    built = [c for c in found.shared if c.home != "project" or c.value.key == "rules"]
    for change in found.shared:
        if change not in built:
            yield replace(change, reaches=tuple(marks) if is_printing(change) else ())
        elif len(built) == 1 and not any(d.values for d in found.details):
            changed = (d.id for d in found.changed if d.state is State.CHANGED)
            yield replace(change, reaches=tuple(changed))
        else:
            made = _alone(old.document, new.document, change)
            undone = _alone(new.document, old.document, change)
            forth = _tried(found.old, made, prices)
            back = _tried(found.new, undone, prices)
            reached = {partners.get(m, m) for m in forth or ()} | {*(back or ())}
            order = [d.id for d in found.details if d.id in reached]
            certain = forth is not None and back is not None
            yield replace(change, reaches=tuple(order), certain=certain)


def _alone(base: Document, other: Document, change: SharedChange) -> Job | None:
    """Return a file's job with one shared change of another; None if it cannot be."""
    puts: list[Put] = []
    if change.home in {"project", "roof"}:
        puts.append(_put(change.home, change.value.key, other))
    else:
        puts.append(_listed(base, other, change))
    try:
        return variant(base, puts)
    except UserError:
        return None


def _put(home: str, key: str, other: Document) -> Put:
    table = cast("Mapping[str, Any]", other.values.get(home, {}))
    return Put((home, key), table.get(key, GONE), NOWHERE)


def _listed(base: Document, other: Document, change: SharedChange) -> Put:
    """Return a list of tables, the one that a change is of as the other file has it."""
    key = change.value.key.rpartition(".")[0] or change.value.key
    ours = [t for t in _tables(base, change.home) if _is_of(t, change.home) != key]
    theirs = [t for t in _tables(other, change.home) if _is_of(t, change.home) == key]
    return Put((change.home,), [*ours, *theirs], NOWHERE)


def _tables(document: Document, home: str) -> list[Mapping[str, Any]]:
    return list(cast("list[Mapping[str, Any]]", document.values.get(home, [])))


def _is_of(table: Mapping[str, Any], home: str) -> str:
    """Return what a table is of, as a shared change names it."""
    if home == "distance":
        return " to ".join(sorted((str(table["of"]), str(table["to"]))))
    return str(table[home])


def _tried(base: Version, job: Job | None, prices: Prices) -> set[str] | None:
    """Return the marks of the conditions that a job has otherwise; None without a job."""
    if job is None:
        return None
    other = _version(job, prices)
    return {m for m, side in base.sides.items() if moved(side, other.sides[m])}


# --- a job beside its alternates --------------------------------------------------------


def asked_alternates(read: Read, texts: Sequence[str]) -> tuple[tuple[Alternate, Job], ...]:
    """Return the alternates of a job, those of the file first, each as a valid job.

    Args:
        read: The base.
        texts: What the command line asks for besides.

    Raises:
        UserError: There is none, or there are some that cannot be; all mistakes are told.
    """
    asked = [*read.job.alternates, *given_alternates(texts, read.job)]
    if not asked:
        told = "the job has no alternate, and none is asked for"
        allowed = "[[alternate]] in the file, or --with rules=SET, --with adhesion=cold"
        mend = "Add an [[alternate]] with a name and what it changes, or ask with --with."
        raise UserError([Problem(told, read.job.file, allowed=allowed, mend=mend)])
    made: list[tuple[Alternate, Job]] = []
    problems: list[Problem] = []
    for one in asked:
        try:
            made.append((one, alternate_job(read.document, one)))
        except UserError as error:
            problems += error.problems
    if problems:
        raise UserError(problems)
    return tuple(made)


def beside(
    read: Read,
    asked: Sequence[tuple[Alternate, Job]],
    prices: Prices,
    progress: Progress = lambda _: None,
) -> Alternates:
    """Return a job and its alternates, built, checked and counted.

    Args:
        read: The base.
        asked: Its alternates.
        prices: For what they cost.
        progress: Told what has just been done: once for the base and for each alternate.
    """
    base = _version(read.job, prices)
    progress("the base is checked")
    others: list[Beside] = []
    for one, job in asked:
        found = compared(base, _version(job, prices))
        others.append(Beside(one.name, one.about, _changes(one), found))
        progress(f"{one.name} is checked")
    return Alternates(base, tuple(others))


def _changes(one: Alternate) -> tuple[str, ...]:
    """Return what an alternate changes, in words."""
    told = [
        f"{'.'.join(part for part in (s.of or s.home * (s.home == 'roof'), s.key) if part)}"
        f" = {_plain(s.value)}"
        for s in one.settings
    ]
    return (*told, *(f"without {mark}" for mark in one.without))


def _plain(value: object) -> str:
    if isinstance(value, list):
        return " + ".join(str(v) for v in cast("list[object]", value))
    return str(value).lower() if isinstance(value, bool) else str(value)
