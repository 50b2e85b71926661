"""The commands on versions of a job: two files compared, a job beside its alternates."""

from pathlib import Path
from typing import Annotated

import typer

from detailgen.cli._app import RULE_FAILS, AsJson, app, print_text, shown, told
from detailgen.cli.bids import PriceFile
from detailgen.cli.jobs import Formats, JobFile

OldFile = Annotated[
    Path, typer.Argument(metavar="OLD.toml", help="Parameter file as it was.")
]
NewFile = Annotated[
    Path, typer.Argument(metavar="NEW.toml", help="Parameter file as it is.")
]


@app.command()
@told
def compare(
    old_file: OldFile,
    new_file: NewFile,
    prices: PriceFile = None,
    every: Annotated[
        bool, typer.Option("--all", help="List parts that only moved along, too.")
    ] = False,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out", metavar="DIR", help="Draw what changed here, with mark and revision."
        ),
    ] = None,
    formats: Formats = None,
    as_json: AsJson = False,
) -> None:
    """Tell what changed between two versions of a job, and by how much.

    Exit code 1 when a required rule fails that did not, or was accepted, before.
    """
    from detailgen import compare_pages, reports
    from detailgen.comparing import STEPS, compare_jobs, read_job
    from detailgen.formats import USUAL_FORMATS
    from detailgen.output import check_folder, write_all
    from detailgen.revising import revised_files, steps_of

    old, new = read_job(old_file), read_job(new_file)
    if out is not None:
        check_folder(out)
    with reports.progress(STEPS) as advance:
        found = compare_jobs(old, new, prices, advance)
    written = ""
    if out is not None:
        wanted = tuple(dict.fromkeys(str(f) for f in formats or USUAL_FORMATS))
        with reports.progress(steps_of(found)) as advance:
            files, sheets = revised_files(found, wanted, advance)
        paths = write_all(out, files)
        written = f"{sheets} changed sheets in {len(paths)} files written to {shown(out)}"
    if as_json:
        print_text(reports.comparison_json(found))
    else:
        reports.console().print(compare_pages.comparison_text(found, every=every))
        if written:
            reports.console().print(written)
    if found.worse:
        raise typer.Exit(RULE_FAILS)


@app.command()
@told
def alternates(
    job_file: JobFile,
    others: Annotated[
        list[str] | None,
        typer.Option(
            "--with",
            metavar="WHAT",
            help="One more: rules=SET, adhesion=cold, roof-edge.edge=flush, W1.KEY=VALUE, "
            "without=E2; a comma joins several into one. May be repeated.",
        ),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="DIR", help="Write a workbook, CSV and JSON here."),
    ] = None,
    prices: PriceFile = None,
    as_json: AsJson = False,
) -> None:
    """Set a job beside its alternates: what they take, what they cost, what rules say.

    Named alternates stand in the file; --with asks for more.
    """
    from detailgen import alternate_pages, reports
    from detailgen.bids import prices_of
    from detailgen.compare import beside_files, beside_json
    from detailgen.comparing import asked_alternates, beside, read_job
    from detailgen.output import check_folder, write_all

    read = read_job(job_file)
    given = prices_of(read.job, prices)
    asked = asked_alternates(read, others or ())
    if out is not None:
        check_folder(out)
    with reports.progress(len(asked) + 1) as advance:
        found = beside(read, asked, given, advance)
    files = beside_files(found, given.currency) if out is not None else {}
    paths = write_all(out, files) if out is not None else ()
    if as_json:
        print_text(beside_json(found))
        return
    console = reports.console()
    console.print(alternate_pages.alternates_text(found, given.currency))
    if out is not None:
        console.print(f"{len(paths)} files written to {shown(out)}")
