"""The commands on versions of a job: two files compared, a job beside its alternates."""

from pathlib import Path
from typing import Annotated

import typer

from detailgen.cli._app import RULE_FAILS, AsJson, app, print_text, told

OldFile = Annotated[
    Path, typer.Argument(metavar="OLD.toml", help="Parameter file as it was.")
]
NewFile = Annotated[
    Path, typer.Argument(metavar="NEW.toml", help="Parameter file as it is.")
]
PriceFile = Annotated[
    Path | None,
    typer.Option("--prices", metavar="FILE", help="Price list, TOML or CSV."),
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
    as_json: AsJson = False,
) -> None:
    """Tell what changed between two versions of a job, and by how much.

    Exit code 1 when a required rule fails that did not, or was accepted, before.
    """
    from detailgen import compare_pages, reports
    from detailgen.comparing import STEPS, compare_jobs, read_job

    old, new = read_job(old_file), read_job(new_file)
    with reports.progress(STEPS) as advance:
        found = compare_jobs(old, new, prices, advance)
    if as_json:
        print_text(reports.comparison_json(found))
    else:
        reports.console().print(compare_pages.comparison_text(found, every=every))
    if found.worse:
        raise typer.Exit(RULE_FAILS)
