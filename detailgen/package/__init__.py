"""The bid package: everything that is attached to a bid, from one job.

Order: load -> compose -> count -> tell -> bind -> manifest. The sheets come from the
pipeline and the bill from `bids`; here they are told in tables on pages of text, bound into
one PDF with the sheets, and listed with their hashes.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import Final

from detailgen.bids import bill_files, bill_of
from detailgen.bill import Bill, Prices
from detailgen.book import Bound, Part, SheetRow, bound_package, text_pages
from detailgen.book.package import sheet_key
from detailgen.checked import Checked
from detailgen.covers import cover_of, sheet_rows
from detailgen.loader import Job
from detailgen.package._assumptions import assumption_pages
from detailgen.package._details import schedule_of_details
from detailgen.package._exclusions import circumstances_of, exclusions_and_cautions
from detailgen.package._manifest import FILE as MANIFEST
from detailgen.package._manifest import manifest
from detailgen.package._materials import schedule_of_materials
from detailgen.package._metal import shop_list
from detailgen.package._rules import rule_summary
from detailgen.package._takeoff import takeoff
from detailgen.package._told import Sheets, ToldJob
from detailgen.patterns.shopwork import shopwork
from detailgen.pipeline import Progress, check_job, request_for
from detailgen.printing import FEW, Pages, files_of, numbered_through, printed
from detailgen.recall import sheet_info
from detailgen.scene import Scene
from detailgen.sheet import compose
from detailgen.workers import one_by_one

BOUND: Final = "package.pdf"
USUAL: Final = ("dxf",)
"""What sheets are written as beside the bound file, when nothing else is asked."""
_DOCUMENT: Final = "Bid package"
_ABOUT: Final = {
    BOUND: "bound package: cover, index, tables, all sheets",
    "takeoff.xlsx": "workbook of the takeoff, with formulas",
    "takeoff.json": "takeoff for programs",
    "conditions.csv": "takeoff, every line of every detail",
    "materials.csv": "takeoff, materials of the whole job",
}

More = Callable[[Job, Checked], Sequence[Scene]]
"""More sheets of one detail, which stand behind its own."""


@dataclass(frozen=True, slots=True)
class Packaged:
    """A job, made ready for a bid."""

    checked: tuple[Checked, ...]
    bill: Bill
    files: dict[str, bytes]
    """Content by path inside the output folder, the manifest among them."""
    sheets: int
    """Sheets of details."""
    pages: int
    """Pages of text, without the index."""


def no_more(_: Job, __: Checked) -> tuple[Scene, ...]:
    """Return no more sheets."""
    return ()


def package_job(
    job: Job,
    prices: Prices,
    formats: Sequence[str] = USUAL,
    progress: Progress = lambda _: None,
    *,
    more: More = no_more,
    inputs: Mapping[str, bytes] | None = None,
) -> Packaged:
    """Return all files of a package, in memory.

    Args:
        job: The job.
        prices: What a user gives; nothing is priced without.
        formats: What single sheets are written as.
        progress: Told what has just been done.
        more: Further sheets of a detail, behind its own.
        inputs: Names and contents of the files that it is made from, for the manifest.
    """
    checked = check_job(job)
    scenes = composed(
        job, checked, more, lambda n: progress(f"{job.conditions[n].id} is drawn")
    )
    told = told_job(job, prices, list(zip(checked, scenes, strict=True)))
    groups = [sheets.scenes for sheets in told.sheets.values()]
    pages: list[Pages] = []
    written = printed(
        len(groups),
        lambda n: groups[n],
        formats,
        lambda n: progress(f"{job.conditions[n].id} is written"),
        with_pages=pages.extend,
    )
    texts = text_pages(
        request_for(job, told.checked[0]),
        parts_of(told),
        _DOCUMENT,
        [_listed(told)],
    )
    details = [
        Bound(
            one.placed.id,
            one.placed.title,
            _rows(one, told.sheets[one.placed.id]),
            its,
        )
        for one, its in zip(told.checked, pages, strict=True)
    ]
    firsts = [(one, told.sheets[one.placed.id].first) for one in told.checked]
    info = cover_of(job, firsts, _DOCUMENT)
    bound = bound_package(info, texts, details, _DOCUMENT)
    files = {BOUND: bound, **bill_files(job, told.bill), **files_of(written, formats)}
    about = _ABOUT | _sheets_told(details, told)
    files[MANIFEST] = manifest(files, about, _head(job, inputs or {}))
    progress("the package is bound")
    count = sum(len(s.scenes) for s in told.sheets.values())
    return Packaged(told.checked, told.bill, files, count, len(texts))


def steps_of(job: Job) -> int:
    """Return how often making a package reports progress."""
    return 2 * len(job.conditions) + 1


def composed(
    job: Job,
    checked: Sequence[Checked],
    more: More = no_more,
    done: Callable[[int], None] = lambda _: None,
) -> list[tuple[Scene, ...]]:
    """Compose the sheets of every detail, and further ones behind them, on all cores."""

    def scenes(number: int) -> tuple[Scene, ...]:
        one = checked[number]
        return (*compose(request_for(job, one)), *more(job, one))

    return one_by_one(scenes, len(checked), FEW, done)


def told_job(
    job: Job, prices: Prices, composed: Sequence[tuple[Checked, Sequence[Scene]]]
) -> ToldJob:
    """Return a job as its package tells it, its sheets numbered through."""
    checked = tuple(one for one, _ in composed)
    sections = {one.placed.id: one.section for one in checked}
    first, sheets = 1, dict[str, Sheets]()
    groups = [scenes for _, scenes in composed]
    for one, scenes in zip(checked, numbered_through(groups), strict=True):
        sheets[one.placed.id] = Sheets(first, scenes)
        first += len(scenes)
    return ToldJob(
        job,
        checked,
        bill_of(job, prices, sections),
        sheets,
        {mark: shopwork(section, job.catalog) for mark, section in sections.items()},
    )


def parts_of(told: ToldJob) -> tuple[Part, ...]:
    """Return the pages of text of a package, in order."""
    return (
        rule_summary(told),
        schedule_of_details(told),
        takeoff(told),
        shop_list(told),
        schedule_of_materials(told),
        assumption_pages(told, circumstances_of(told)),
        exclusions_and_cautions(told),
    )


def _rows(one: Checked, sheets: Sheets) -> tuple[SheetRow, ...]:
    """Return the lines of the index for the sheets of one detail."""
    return sheet_rows(one, [sheet_info(s) for s in sheets.scenes], sheets.first)


def _listed(told: ToldJob) -> tuple[str, str, str]:
    """Return the line of the list of parts that leads to the sheets of details."""
    count = sum(len(s.scenes) for s in told.sheets.values())
    return "Sheets of the details", "1" if count == 1 else f"1-{count}", sheet_key(1)


def _sheets_told(details: Sequence[Bound], told: ToldJob) -> dict[str, str]:
    """Return what each file of a sheet is, by the name that it has in every folder."""
    return {
        scene.id: f"sheet {row.number}, {row.mark} {row.title}"
        for one in details
        for row, scene in zip(one.rows, told.sheets[one.mark].scenes, strict=True)
    }


def _head(job: Job, inputs: Mapping[str, bytes]) -> dict[str, str]:
    """Return what the manifest says of the whole package."""
    project = job.project
    head = {
        "Bid package": project.name,
        "Job number": project.number,
        "Revision": project.revision,
        "Date": project.date,
        "Rule sets": job.rules.name,
    }
    for name, content in inputs.items():
        head[f"Made from {name}, SHA-256"] = sha256(content).hexdigest()
    return head
