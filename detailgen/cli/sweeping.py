"""The command that tries a condition over ranges of its parameters."""

from pathlib import Path
from typing import Annotated

import typer

from detailgen.cli._app import AsJson, app, print_text, shown, told
from detailgen.cli.jobs import JobFile


@app.command()
@told
def sweep(
    job_file: JobFile,
    detail: Annotated[
        str, typer.Option("--detail", metavar="ID", help="The condition that is tried.")
    ],
    over: Annotated[
        list[str],
        typer.Option(
            "--over",
            metavar="RANGE",
            help="'NAME: FROM to TO by STEP' or 'NAME: VALUE, VALUE'; one or two of them.",
        ),
    ],
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="DIR", help="Write a plot and a CSV here."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Tell which rules hold where, when one or two parameters run over ranges.

    The roof's parameters are called roof.slope and so on.
    """
    import json
    from math import prod

    from detailgen import reports
    from detailgen.loader import load_job
    from detailgen.loader.sweeps import axes_of
    from detailgen.output import check_folder, write_all
    from detailgen.sweep import sweep as swept
    from detailgen.sweep.plotting import plot
    from detailgen.sweep_pages import sweep_csv, sweep_json, sweep_text, ticks_of

    job = load_job(job_file)
    placed, axes = axes_of(job, detail, over)
    if out is not None:
        check_folder(out)
    with reports.progress(prod(len(axis.values) for axis in axes)) as advance:
        found = swept(
            placed.condition,
            placed.parameters,
            job.site,
            axes,
            lambda count: advance(f"{placed.id} is tried", count),
        )
    paths: tuple[Path, ...] = ()
    if out is not None:
        ticks = ticks_of(found, job.project.units)
        files = {
            f"{placed.id}-sweep.png": plot(f"{placed.id}  {placed.title}", found, ticks),
            f"{placed.id}-sweep.csv": sweep_csv(found, job.project.units).encode(),
        }
        paths = write_all(out, files)
    if as_json:
        print_text(json.dumps(sweep_json(placed, found)))
        return
    console = reports.console()
    console.print(sweep_text(job, placed, found))
    if out is not None:
        console.print(f"{len(paths)} files written to {shown(out)}")
