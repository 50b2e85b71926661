"""READ FIRST: the order of the steps.

load -> build -> check -> take off -> compose -> write. Each step is a function of values;
nothing stands in the output folder before everything has been computed.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from itertools import accumulate
from typing import TYPE_CHECKING, Final

from detailgen.built import built_of
from detailgen.catalog import DEFAULT_RULES
from detailgen.checked import Checked, Verdict
from detailgen.checks import check, check_stages
from detailgen.conditions import Thickening
from detailgen.finding import Finding, Outcome
from detailgen.fingerprint import sum_of
from detailgen.formats import USUAL_FORMATS
from detailgen.loader import Job, PlacedCondition, job_of
from detailgen.parameters import Project
from detailgen.printing import FEW as FEW_GROUPS
from detailgen.printing import Ahead, Pages, Put, files_of, printed, sums_of
from detailgen.recall import NO_PAST, Memory, Past, Told, packed, scenes_in
from detailgen.recall import told as tell
from detailgen.scene import Scene
from detailgen.section import LayeredSection
from detailgen.takeoff import take_off
from detailgen.units import UnitSystem, show_run
from detailgen.waterpath import Way, ways
from detailgen.workers import one_by_one, shared_out

if TYPE_CHECKING:
    from detailgen.book import SheetRow
    from detailgen.margins import Margin
    from detailgen.mend import Mended
    from detailgen.sheet import Job as TitleData
    from detailgen.sheet import SheetRequest
    from detailgen.writers.pdf import PageContent

_FEW: Final = 24
"""Fewer conditions than this are checked sooner in one process."""
BOUND: Final = "set.pdf"
"""The bound set, written when PDF is asked for."""

Progress = Callable[[str], None]
"""Told what has just been done, once a step of `steps_of`."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A job, drawn."""

    checked: tuple[Verdict, ...]
    files: Mapping[str, bytes]
    """Content by path inside the output folder, of what does not stand there already.

    Empty where files were put away as they were made.
    """
    sums: Mapping[str, str]
    """Check sums of those files."""
    sheets: int
    standing: int = 0
    """How many files stand in the output folder as they should be."""


def check_job(job: Job) -> tuple[Checked, ...]:
    """Build and check every condition of a job; many of them on all cores."""

    def some(numbers: Sequence[int]) -> list[tuple[LayeredSection, tuple[Finding, ...]]]:
        placed = [job.conditions[n] for n in numbers]
        built = built_of(job, [p.id for p in placed])
        checked = [_checked(job, p, built[p.id]) for p in placed]
        return [(one.section, one.findings) for one in checked]

    found = shared_out(some, len(job.conditions), _FEW)
    return tuple(
        Checked(placed, findings, section)
        for placed, (section, findings) in zip(job.conditions, found, strict=True)
    )


def stages_of(job: Job, checked: Checked) -> Mapping[int, tuple[Finding, ...]]:
    """Return what the rules find at each stage of building of a condition."""
    return check_stages(checked.section, job.rules, job.catalog)


def water_of(
    job: Job, placed: PlacedCondition
) -> tuple[LayeredSection, tuple[tuple[Way, float], ...]]:
    """Return a condition's section, and the easiest way of water into each of its zones.

    With each way goes what the rule set asks there.
    """
    section = placed.condition.build(placed.parameters, job.site)
    asked = {
        low: job.rules.value(f"water_path_{'low' if low else 'high'}_least")
        for low in (True, False)
    }
    return section, tuple((way, asked[way.low]) for way in ways(section, job.rules))


def margins_of(
    job: Job, placed: PlacedCondition, progress: Progress = lambda _: None
) -> "tuple[Margin, ...]":
    """Return how far one condition may stray on site until its rules fail."""
    from detailgen.margins import margins

    given = placed.condition, placed.parameters, job.site
    found = margins(*given, job.catalog.tolerances.values())
    progress(f"{placed.id} is tried")
    return found


def margin_steps(job: Job, *, plotted: bool) -> int:
    """Return how often trying a job's margins reports progress."""
    return len(job.conditions) * (2 if plotted else 1)


def plotted_margins(
    job: Job, placed: PlacedCondition, progress: Progress = lambda _: None
) -> dict[str, bytes]:
    """Return the plot of one condition's margins by its file's name; empty for none."""
    from detailgen.margins import curves
    from detailgen.margins.plotting import plot

    given = placed.condition, placed.parameters, job.site
    found = curves(*given, job.catalog.tolerances.values())
    title = f"{placed.id}  {placed.title}: margins against parameters"
    files = {f"{placed.id}.png": plot(title, found, job.project.units)} if found else {}
    progress(f"{placed.id} is plotted")
    return files


def mend_job(
    job: Job, keep: Sequence[str] = (), progress: Progress = lambda _: None
) -> "Mended":
    """Return the smallest changes that make the required rules of a job hold.

    Raises:
        UserError: What is to be kept is not there.
    """
    from detailgen.mend import Broken, kept_of, mend_all

    kept = kept_of(keep, {placed.id: placed.parameters for placed in job.conditions})
    items = [
        Broken(
            placed.condition,
            placed.parameters,
            frozenset(a.rule for a in placed.accepted),
            kept[placed.id],
        )
        for placed in job.conditions
    ]
    return mend_all(items, job.site, job.project.units, progress)


def mended_text(text: str, job: Job, mended: "Mended") -> str:
    """Return the text of a job's parameter file with its changes, comments kept."""
    from detailgen.mend.rewrite import changed_text

    places = {placed.id: number for number, placed in enumerate(job.conditions)}
    done = changed_text(text, mended, places, job.project.units)
    again = job_of(done, job.file)
    wanted = [m.parameters for m in mended.conditions]
    assert [placed.parameters for placed in again.conditions] == wanted
    assert all(again.roof == m.roof for m in mended.conditions)
    return done


def draw_job(
    job: Job,
    formats: Sequence[str] = USUAL_FORMATS,
    progress: Progress = lambda _: None,
    *,
    water: bool = False,
    past: Past = NO_PAST,
    put: Put | None = None,
    ahead: Ahead | None = None,
) -> Drawn:
    """Build, check, count, compose and write every condition of a job.

    Args:
        job: The job.
        formats: What sheets are written as.
        progress: Told what has just been done.
        water: Whether the easiest ways of water are drawn.
        past: What earlier runs have left; what stands is not made again.
        put: Takes each file away as soon as it is made; without it they stay in memory.
        ahead: A process that has loaded some of the writers.
    """
    from detailgen.sheet.numbering import numbered

    memory = Memory(job, formats, water=water, past=past)
    known = _all_told(job, memory, water, progress, ahead)
    told = [one for one, _ in known]
    counts = [len(one.sheets) for one in told]
    starts, of = [0, *accumulate(counts)], sum(counts)
    filed = [memory.filed(n, starts[n], of) for n in range(len(told))]
    stale = [n for n, one in enumerate(filed) if one is None]
    for n in set(range(len(told))).difference(stale):
        progress(f"{job.conditions[n].id} stands")

    def sheets_of(number: int) -> tuple[Scene, ...]:
        n = stale[number]
        kept = known[n][1] or memory.sheets(n)
        scenes = scenes_in(kept) if kept else _drawn_one(job, n, water)[1]
        return numbered(scenes, starts[n], of)

    verdicts = tuple(
        Verdict(placed, one.findings, besides=one.besides)
        for placed, one in zip(job.conditions, told, strict=True)
    )
    book: list[bytes] = []

    def bind(new: Sequence[Pages]) -> None:
        if "pdf" in formats:
            pages = {n: one.pages for n, one in enumerate(filed) if one}
            pages |= zip(stale, new, strict=True)
            bound = [page for n in range(len(told)) for page in pages[n]]
            book.append(_bound(job, verdicts, told, bound))

    made = printed(
        len(stale),
        sheets_of,
        formats,
        lambda i: progress(f"{job.conditions[stale[i]].id} is written"),
        put=put,
        ahead=ahead,
        with_pages=bind,
    )
    for n, one in zip(stale, made, strict=True):
        memory.keep_filed(n, starts[n], of, one)
    files, sums = files_of(made, formats), sums_of(made, formats)
    for content in book:
        sums[BOUND] = sum_of(content)
        if put:
            put(BOUND, content)
        else:
            files[BOUND] = content
    standing = sum(len(one.sums) for one in filed if one)
    return Drawn(verdicts, files, sums, of, standing)


def _all_told(
    job: Job, memory: Memory, water: bool, progress: Progress, ahead: Ahead | None
) -> list[tuple[Told, bytes | None]]:
    """Return what each condition comes to, worked out where nothing remembers it.

    With it go its sheets, packed, where nothing else remembers them.
    """
    known = [memory.told(n) for n in range(len(job.conditions))]
    unknown = [n for n, one in enumerate(known) if one is None]
    if ahead and len(unknown) >= FEW_GROUPS:  # all cores have enough to do without it
        ahead.end()
    for n in set(range(len(known))).difference(unknown):
        progress(f"{job.conditions[n].id} is as it was")

    def drawn(number: int) -> tuple[Told, bytes | None]:
        findings, scenes = _drawn_one(job, unknown[number], water)
        told, sheets = tell(findings, scenes), packed(scenes)
        kept = memory.keep_told(unknown[number], told, sheets)
        return told, None if kept else sheets

    found = one_by_one(
        drawn,
        len(unknown),
        FEW_GROUPS,
        lambda i: progress(f"{job.conditions[unknown[i]].id} is drawn"),
    )
    new = iter(found)
    return [(one, None) if one else next(new) for one in known]


def _drawn_one(
    job: Job, number: int, water: bool
) -> tuple[tuple[Finding, ...], tuple[Scene, ...]]:
    """Build, check, count and compose one condition."""
    placed = job.conditions[number]
    checked = _checked(job, placed, built_of(job, [placed.id])[placed.id])
    return checked.findings, _composed(job, checked, water)


def steps_of(job: Job) -> int:
    """Return how often drawing a job reports progress."""
    return 2 * len(job.conditions)


def _checked(job: Job, placed: PlacedCondition, section: LayeredSection) -> Checked:
    found = check(section, job.rules, job.catalog)
    words = {a.rule: f"{a.reason} (accepted by {a.by})" for a in placed.accepted}
    findings = (
        replace(f, accepted=words[f.rule])
        if f.outcome is Outcome.FAIL and f.rule in words
        else f
        for f in found
    )
    return Checked(placed, tuple(findings), section)


def _composed(job: Job, checked: Checked, water: bool) -> tuple[Scene, ...]:
    """Compose the sheets of one condition."""
    from detailgen.sheet import compose

    return compose(request_for(job, checked, water=water))


def request_for(job: Job, checked: Checked, *, water: bool = False) -> "SheetRequest":
    """Count one condition, and return all that its sheets are made of."""
    from detailgen.patterns.shopwork import shopwork
    from detailgen.sheet import RevisionRow, SheetRequest

    placed, project = checked.placed, job.project

    def rebuild(thickening: Thickening) -> LayeredSection:
        site = replace(job.site, thickening=thickening)
        return placed.condition.build(placed.parameters, site)

    return SheetRequest(
        job=_title_data(project),
        mark=placed.id,
        title=placed.title,
        kind=placed.condition.kind,
        amount=amount_of(placed, project.units),
        length=placed.parameters.length or 0.0,
        count=placed.parameters.count or 0,
        section=checked.section,
        rebuild=rebuild,
        findings=tuple(replace(f, source=told_source(job, f)) for f in checked.findings),
        quantities=take_off(checked.section, job.catalog, job.rules),
        rules=job.rules,
        catalog=job.catalog,
        shop=shopwork(checked.section, job.catalog),
        paper=project.sheet,
        units=project.units,
        both_units=project.show_both_units,
        water=water,
        office=job.office,
        revisions=tuple(
            RevisionRow(one.mark, one.date, one.by, one.text)
            for one in job.revisions
            if one.concerns(placed.id)
        ),
    )


def told_source(job: Job, finding: Finding) -> str:
    """Return a finding's source with the rule sets that its value stands in.

    Under the default set alone there is nothing to tell apart.
    """
    if job.rules.set_ids == (DEFAULT_RULES,):
        return finding.source
    return f"{finding.source} [{', '.join(finding.origins) or 'another value in this job'}]"


def _title_data(project: Project) -> "TitleData":
    """Return what of the project a title block says."""
    from detailgen.sheet import Job as TitleData

    return TitleData(**{
        field.name: getattr(project, field.name) for field in fields(TitleData)
    })


def amount_of(placed: PlacedCondition, system: UnitSystem) -> str:
    """Return how much of a condition there is, as printed."""
    parts: list[str] = []
    if placed.parameters.length is not None:
        parts.append(show_run(placed.parameters.length, system))
    if (count := placed.parameters.count) is not None:
        parts.append(f"{count} {'place' if count == 1 else 'places'}")
    return " in ".join(parts)


def _bound(
    job: Job,
    verdicts: Sequence[Verdict],
    told: Sequence[Told],
    pages: "Sequence[PageContent]",
) -> bytes:
    """Return the bound set: a cover with an index, and every sheet."""
    from detailgen.book import bound_set
    from detailgen.covers import cover_of, sheet_rows

    rows: list[SheetRow] = []
    firsts: list[tuple[Verdict, int]] = []
    for one, its in zip(verdicts, told, strict=True):
        firsts.append((one, len(rows) + 1))
        rows += sheet_rows(one, its.sheets, len(rows) + 1)
    return bound_set(cover_of(job, firsts), rows, pages)
