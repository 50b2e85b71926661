"""The commands on a job: draw, check, tell margins and the water path, and mend it."""

from functools import partial
from pathlib import Path
from typing import Annotated

import typer

from detailgen.cli._app import RULE_FAILS, AsJson, app, print_text, shown, told
from detailgen.formats import USUAL_FORMATS, Format

JobFile = Annotated[
    Path, typer.Argument(metavar="JOB.toml", help="Parameter file of the job.")
]
Every = Annotated[
    bool, typer.Option("--all", help="List the rules that do not apply, too.")
]
ByStage = Annotated[
    bool, typer.Option("--stages", help="Check each stage of building, too.")
]
Plots = Annotated[
    Path | None,
    typer.Option("--plot", metavar="DIR", help="Plot margins into this folder."),
]
Out = Annotated[
    Path | None,
    typer.Option("--out", metavar="DIR", help="Output folder; by default sheets/JOB."),
]
WithWater = Annotated[
    bool, typer.Option("--water", help="Draw the easiest ways of water, too.")
]
Fresh = Annotated[
    bool, typer.Option("--fresh", help="Draw all of it anew, whatever stands there.")
]
Watch = Annotated[
    bool, typer.Option("--watch", help="Draw again whenever the file is saved.")
]
Formats = Annotated[
    list[Format] | None,
    typer.Option("--format", help="May be repeated; by default dxf, svg and pdf."),
]


@app.command()
@told
def draw(
    job_file: JobFile,
    out: Out = None,
    formats: Formats = None,
    water_path: WithWater = False,
    fresh: Fresh = False,
    watch: Watch = False,
) -> None:
    """Draw a job: every condition checked, counted and put on sheets.

    A rule that fails does not stop the drawing: the sheets and the summary say so. What
    has not changed since it was drawn into the same folder is not drawn again.
    """
    from detailgen.ahead import begun_ahead

    folder = out or Path("sheets", job_file.stem)
    wanted = tuple(dict.fromkeys(str(f) for f in formats or USUAL_FORMATS))
    with begun_ahead(() if watch else wanted) as ahead:  # it loads while what follows does
        from detailgen.cli._cache import user_store
        from detailgen.cli._drawing import draw_once
        from detailgen.cli._watch import watched

        draw_it = partial(
            draw_once,
            job_file,
            folder,
            wanted,
            water=water_path,
            store=None if fresh else user_store(at_hand=watch),
        )
        if watch:
            watched(lambda: draw_it(ahead=None), (job_file,))
        else:
            draw_it(ahead=ahead)


@app.command()
@told
def check(
    job_file: JobFile,
    every: Every = False,
    by_stage: ByStage = False,
    as_json: AsJson = False,
) -> None:
    """Check a job; exit code 1 when a required rule fails."""
    from detailgen import margin_pages, reports
    from detailgen.loader import load_job
    from detailgen.pipeline import check_job, stages_of

    job = load_job(job_file)
    checked = check_job(job)
    stages = {one.placed.id: stages_of(job, one) for one in checked if by_stage}
    if as_json:
        told = {
            one.placed.id: margin_pages.stages_json(
                one.section.stages, stages[one.placed.id]
            )
            for one in checked
            if by_stage
        }
        print_text(reports.findings_json(job, checked, told if by_stage else None))
    else:
        console = reports.console()
        for one in checked:
            console.print(reports.findings_table(job, one, idle=every))
            if by_stage:
                found = stages[one.placed.id]
                listed = one.section.stages
                console.print(margin_pages.stages_table(job, one.placed, listed, found))
        console.print(reports.failures_text(job, checked))
    if not all(one.settled for one in checked):
        raise typer.Exit(RULE_FAILS)


@app.command()
@told
def margins(job_file: JobFile, plots: Plots = None, as_json: AsJson = False) -> None:
    """Tell how far work on site may stray until rules fail, the first to fail first.

    What may stray, and how far, stands in the catalogue's tolerances.
    """
    from detailgen import margin_pages, reports
    from detailgen.loader import load_job
    from detailgen.output import check_folder, write_all
    from detailgen.pipeline import margin_steps, margins_of, plotted_margins

    job = load_job(job_file)
    if plots is not None:
        check_folder(plots)
    with reports.progress(margin_steps(job, plotted=plots is not None)) as advance:
        found = [(one, margins_of(job, one, advance)) for one in job.conditions]
        files: dict[str, bytes] = {}
        for one in job.conditions if plots is not None else ():
            files |= plotted_margins(job, one, advance)
    paths = write_all(plots, files) if plots is not None else ()
    if as_json:
        print_text(reports.margins_json(job, found))
        return
    console = reports.console()
    for placed, these in found:
        console.print(margin_pages.margins_table(job, placed, these))
    if plots is not None:
        named = "plot" if len(paths) == 1 else "plots"
        console.print(f"{len(paths)} {named} written to {shown(plots)}")


@app.command()
@told
def mend(
    job_file: JobFile,
    keep: Annotated[
        list[str] | None,
        typer.Option(
            "--keep",
            metavar="NAME",
            help="What must stay: W1.reglet_height, roof.slope, roof. May be repeated.",
        ),
    ] = None,
    write: Annotated[
        Path | None,
        typer.Option("--write", metavar="FILE", help="Write the mended parameter file."),
    ] = None,
    replace: Annotated[
        bool, typer.Option("--replace", help="Let --write replace a file that is there.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Find the smallest change that makes every required rule hold.

    Exit code 1 when there is a condition that cannot be mended.
    """
    from detailgen import mend_pages, reports
    from detailgen.loader import load_job, read_text
    from detailgen.output import check_new, put_file
    from detailgen.pipeline import mend_job, mended_text

    job = load_job(job_file)
    if write is not None and not replace:
        check_new(write)
    with reports.progress(len(job.conditions)) as advance:
        mended = mend_job(job, keep or (), advance)
    if write is not None:
        text = mended_text(read_text(job_file), job, mended)
        put_file(write, text.encode(), replace=replace)
    if as_json:
        print_text(reports.mends_json(job, mended))
    else:
        console = reports.console()
        console.print(mend_pages.mends_text(job, mended))
        if write is not None:
            console.print(f"Wrote {shown(write)}.")
    if not mend_pages.all_can(mended):
        raise typer.Exit(RULE_FAILS)


@app.command()
@told
def water(job_file: JobFile, as_json: AsJson = False) -> None:
    """Tell the easiest ways of water through every condition; exit code 1 when one fails.

    It argues redundancy, counted in sheets; it does not predict leaks.
    """
    from detailgen import reports, water_pages
    from detailgen.loader import load_job
    from detailgen.pipeline import water_of

    job = load_job(job_file)
    found = [(one, *water_of(job, one)) for one in job.conditions]
    if as_json:
        print_text(reports.water_json(job, [(one, ways) for one, _, ways in found]))
    else:
        console = reports.console()
        for one, section, ways in found:
            console.print(water_pages.water_table(job, one, section, ways))
        console.print(water_pages.LIMITS)
    if not all(water_pages.holds(*way) for _, _, ways in found for way in ways):
        raise typer.Exit(RULE_FAILS)
