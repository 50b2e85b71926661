"""What the office needs for a bid, from a job: its bill, and the files of the bill."""

from collections.abc import Mapping
from pathlib import Path

from detailgen.bill import (
    Bill,
    Given,
    Prices,
    Shown,
    count,
    csv_files,
    empty_bill,
    json_text,
    workbook,
)
from detailgen.built import built_of
from detailgen.loader import Job
from detailgen.loader.prices import load_prices
from detailgen.section import LayeredSection
from detailgen.takeoff import flat_pieces, take_off


def prices_of(job: Job, file: Path | None) -> Prices:
    """Return a price list; an empty one without a file.

    Raises:
        UserError: It cannot be read, or says what cannot be; all mistakes are told.
    """
    if file is None:
        return Prices()
    return load_prices(file, job.catalog, Shown(job.project.units))


def bill_of(
    job: Job, prices: Prices, built: Mapping[str, LayeredSection] | None = None
) -> Bill:
    """Count every condition of a job; return what the whole job takes.

    Args:
        job: The job.
        prices: What a user gives.
        built: The sections by their ids, where they have been built before.
    """
    built, project = built_of(job) if built is None else built, job.project
    given = [
        Given(
            placed.id,
            placed.title,
            placed.condition.kind,
            placed.parameters.length,
            placed.parameters.count,
            take_off(built[placed.id], job.catalog, job.rules)
            + flat_pieces(built[placed.id]),
        )
        for placed in job.conditions
    ]
    blank = empty_bill(
        project.name, project.number, project.revision, project.date, job.file
    )
    return count(blank, given, job.catalog, Shown(project.units), prices)


def bill_files(job: Job, bill: Bill) -> dict[str, bytes]:
    """Return the workbook, and the same as CSV and JSON, by the names of the files."""
    shown = Shown(job.project.units)
    return {
        "takeoff.xlsx": workbook(bill, shown),
        "takeoff.json": json_text(bill, shown).encode() + b"\n",
        **csv_files(bill, shown),
    }
