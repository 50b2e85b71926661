"""The commands for a bid: what a job takes."""

from pathlib import Path
from typing import Annotated

import typer

from detailgen.cli._app import AsJson, app, print_text, told
from detailgen.cli.jobs import JobFile


@app.command()
@told
def takeoff(
    job_file: JobFile,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="DIR", help="Write a workbook, CSV and JSON here."),
    ] = None,
    prices: Annotated[
        Path | None,
        typer.Option(
            "--prices", metavar="FILE", help="Price list, TOML or CSV; none is invented."
        ),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Count what a job takes: net, gross, and in whole packs; with prices, what it costs.

    A condition without its length or count is told, not guessed.
    """
    from detailgen import reports, takeoff_pages
    from detailgen.bids import bill_files, bill_of, prices_of
    from detailgen.bill import Shown, json_text
    from detailgen.loader import load_job
    from detailgen.output import check_folder, write_all

    job = load_job(job_file)
    given = prices_of(job, prices)
    if out is not None:
        check_folder(out)
    bill = bill_of(job, given)
    paths = write_all(out, bill_files(job, bill)) if out is not None else ()
    if as_json:
        print_text(json_text(bill, Shown(job.project.units)))
        return
    console = reports.console()
    console.print(takeoff_pages.bill_text(bill, job.project.units))
    if out is not None:
        console.print(f"{len(paths)} files written to {out}")
