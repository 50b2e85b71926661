"""The papers of one condition: broken, composed, and told in a key."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cache
from random import Random  # noqa: TID251 (papers that a seed makes again)
from typing import TYPE_CHECKING

from detailgen.checks import REGISTRY
from detailgen.conditions import Thickening
from detailgen.fault_papers._nouns import Given, Paper, Wanted
from detailgen.faults import Bench, Broken, NoPaperError, Planted, Planter, told
from detailgen.loader import Job
from detailgen.pipeline import Checked, request_for

if TYPE_CHECKING:
    from detailgen.sheet import SheetRequest


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

    units = job.project.units
    factors = [s.factor for s in job.catalog.drafting.scales_of(units)]
    return Planter(bench, units, scales_of, thickening_at, factors)


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


def of_condition(
    job: Job, checked: Checked, numbers: Sequence[int], wanted: Wanted
) -> Given:
    """Return the papers of one condition, as many as it gives."""
    made: list[Paper] = []
    try:
        planter = planter_of(job, checked, wanted.paper)
        for number in numbers:
            rng = Random(f"faults {wanted.seed} {checked.placed.id} {number}")  # noqa: S311
            planted = _plant(planter, wanted, rng)
            made.append(_paper(job, checked, planted, number, wanted))
    except NoPaperError as error:
        return Given(tuple(made), str(error))
    return Given(tuple(made))


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
