"""The commands for a bid: what a job takes, what is cut for it, what is attached."""

from pathlib import Path
from typing import Annotated

import typer

from detailgen.cli._app import AsJson, app, print_text, shown, told
from detailgen.cli.jobs import Format, Formats, JobFile

PriceFile = Annotated[
    Path | None,
    typer.Option(
        "--prices", metavar="FILE", help="Price list, TOML or CSV; none is invented."
    ),
]


@app.command()
@told
def takeoff(
    job_file: JobFile,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="DIR", help="Write a workbook, CSV and JSON here."),
    ] = None,
    prices: PriceFile = None,
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
        console.print(f"{len(paths)} files written to {shown(out)}")


@app.command()
@told
def pieces(
    job_file: JobFile,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="DIR", help="Write the sheets of the layouts here."),
    ] = None,
    formats: Formats = None,
    as_json: AsJson = False,
) -> None:
    """Lay out what is cut in pieces along each run: sheets from the low point, metals.

    Ends and low point of a run stand in a [[run]] table of the file.
    """
    import json

    from detailgen import reports
    from detailgen.loader import load_job
    from detailgen.output import check_folder, write_all
    from detailgen.piece_pages import pieces_text
    from detailgen.piecework import FORMATS, layout_json, layouts_of, piece_files

    job = load_job(job_file)
    if out is not None:
        check_folder(out)
    layouts = layouts_of(job)
    told_sheets = ""
    if out is not None:
        wanted = tuple(dict.fromkeys(str(f) for f in formats or FORMATS))
        with reports.progress(2 * len(layouts)) as advance:
            files, sheets = piece_files(layouts, wanted, advance)
        paths = write_all(out, files)
        told_sheets = f"{sheets} sheets in {len(paths)} files written to {shown(out)}"
    if as_json:
        print_text(json.dumps([layout_json(one) for one in layouts]))
        return
    console = reports.console()
    console.print(pieces_text(job, layouts))
    if told_sheets:
        console.print(told_sheets)


@app.command()
@told
def package(
    job_file: JobFile,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="DIR", help="Folder; by default package/JOB."),
    ] = None,
    prices: PriceFile = None,
    formats: Annotated[
        list[Format] | None,
        typer.Option("--format", help="What single sheets are written as; by default dxf."),
    ] = None,
) -> None:
    """Make the package of a bid: one bound PDF, the sheets, the workbook, a manifest.

    The PDF holds an index, the rule summary with what fails first, schedules, the takeoff,
    the metal shop list, assumptions, exclusions, cautions, and all sheets.
    """
    from detailgen import reports
    from detailgen.bids import prices_of
    from detailgen.loader import load_job
    from detailgen.output import check_folder, write_all
    from detailgen.package import USUAL, package_job, steps_of
    from detailgen.piecework import run_scenes

    folder = out or Path("package", job_file.stem)
    wanted = tuple(dict.fromkeys(str(f) for f in formats or USUAL))
    job = load_job(job_file)
    given = prices_of(job, prices)
    check_folder(folder)
    inputs = {file.name: file.read_bytes() for file in (job_file, prices) if file}
    with reports.progress(steps_of(job)) as advance:
        made = package_job(job, given, wanted, advance, more=run_scenes, inputs=inputs)
    paths = write_all(folder, made.files)
    console = reports.console()
    console.print(reports.failures_text(job, made.checked))
    for one in made.bill.uncounted:
        console.print(f"{one.id}: {one.missing}.")
    console.print(
        f"{made.pages} pages of tables and {made.sheets} sheets, {len(paths)} files "
        f"written to {shown(folder)}"
    )
