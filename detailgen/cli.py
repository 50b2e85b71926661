"""The command line: arguments, progress, printing and exit codes.

0: done. 1: `check` found a required rule that fails and is not accepted, or `mend` a
condition that cannot be mended. 2: the user's mistake, told on
standard error. 3: a fault of the program. Everything heavy is imported inside the commands,
so that help is instant.
"""

import signal
import sys
from collections.abc import Callable
from enum import StrEnum
from functools import wraps
from gc import set_threshold
from io import TextIOWrapper
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING, Annotated, Any, Final

import typer

if TYPE_CHECKING:
    from detailgen.errors import UserError

app = typer.Typer(
    name="detailgen",
    help="Checked, dimensioned roofing details from a parameter file.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)

RULE_FAILS: Final = 1
MISTAKE: Final = 2
FAULT: Final = 3
STOPPED: Final = 130
_SELDOM: Final = (100_000, 20, 50)
"""When Python looks for cycles: sections are many small values that all stay, and looking
through them as often as usual takes a fifth of the time of a check."""


class Format(StrEnum):
    """What a sheet can be written as."""

    DXF = "dxf"
    SVG = "svg"
    PDF = "pdf"
    PNG = "png"


JobFile = Annotated[
    Path, typer.Argument(metavar="JOB.toml", help="Parameter file of the job.")
]
Kind = Annotated[
    str, typer.Argument(metavar="KIND", help="Kind of condition: see `kinds`.")
]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON instead of a table.")]
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
Formats = Annotated[
    list[Format] | None,
    typer.Option("--format", help="May be repeated; by default dxf, svg and pdf."),
]


def _told(command: Callable[..., None]) -> Callable[..., None]:
    """Tell the user's mistakes without a traceback, and stop cleanly when asked to."""

    @wraps(command)
    def run(*args: Any, **options: Any) -> None:  # noqa: ANN401
        from detailgen.errors import UserError

        stopped: list[int] = []

        def stop(number: int, _: FrameType | None) -> None:
            stopped.append(number)  # libraries that are just loading may hide what follows
            raise KeyboardInterrupt

        before = signal.signal(signal.SIGINT, stop)
        try:
            command(*args, **options)
        except UserError as error:
            _tell_mistakes(error, as_json=bool(options.get("as_json")))
            raise typer.Exit(MISTAKE) from None
        except (typer.Exit, BrokenPipeError):
            raise
        except (KeyboardInterrupt, Exception) as error:
            if not (stopped or isinstance(error, KeyboardInterrupt)):
                _tell_fault(error)
                raise typer.Exit(FAULT) from None
            sys.stderr.write("Stopped; nothing was written.\n")
            raise typer.Exit(STOPPED) from None
        finally:
            signal.signal(signal.SIGINT, before)

    return run


def _tell_mistakes(error: "UserError", *, as_json: bool) -> None:
    from detailgen import reports

    if as_json:
        _print(reports.problems_json(error.problems))
    else:
        reports.console(stderr=True).print(reports.problems_text(error.problems))


def _tell_fault(error: BaseException) -> None:
    from traceback import print_exception

    print_exception(error)
    sys.stderr.write("This is a fault of detailgen, not of your file.\n")


def _version(asked: bool) -> None:
    if asked:
        from importlib.metadata import PackageNotFoundError, version

        try:
            _print(f"detailgen {version('detailgen')}")
        except PackageNotFoundError:  # run from its folder
            _print("detailgen, not installed")
        raise typer.Exit


@app.callback()
def _main(
    version: Annotated[
        bool,
        typer.Option(
            "--version", callback=_version, is_eager=True, help="Print the version."
        ),
    ] = False,
) -> None:
    del version  # its callback has already answered
    set_threshold(*_SELDOM)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(
            stream, TextIOWrapper
        ):  # a terminal may lack signs such as the degree
            stream.reconfigure(errors="backslashreplace")


@app.command()
@_told
def draw(job_file: JobFile, out: Out = None, formats: Formats = None) -> None:
    """Draw a job: every condition checked, counted and put on sheets.

    A rule that fails does not stop the drawing: the sheets and the summary say so.
    """
    from detailgen import reports
    from detailgen.loader import load_job
    from detailgen.output import check_folder, write_all
    from detailgen.pipeline import USUAL_FORMATS, draw_job, steps_of

    folder = out or Path("sheets", job_file.stem)
    wanted = tuple(dict.fromkeys(str(f) for f in formats or USUAL_FORMATS))
    job = load_job(job_file)
    check_folder(folder)
    with reports.progress(steps_of(job, wanted)) as advance:
        drawn = draw_job(job, wanted, advance)
    paths = write_all(folder, drawn.files)
    console = reports.console()
    console.print(reports.drawn_table(job, drawn.checked))
    console.print(reports.failures_text(job, drawn.checked))
    console.print(f"{drawn.sheets} sheets in {len(paths)} files written to {folder}")


@app.command()
@_told
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
        _print(reports.findings_json(job, checked, told if by_stage else None))
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
@_told
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
        _print(reports.margins_json(job, found))
        return
    console = reports.console()
    for placed, these in found:
        console.print(margin_pages.margins_table(job, placed, these))
    if plots is not None:
        console.print(
            f"{len(paths)} {'plot' if len(paths) == 1 else 'plots'} written to {plots}"
        )


@app.command()
@_told
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
        _print(reports.mends_json(job, mended))
    else:
        console = reports.console()
        console.print(mend_pages.mends_text(job, mended))
        if write is not None:
            console.print(f"Wrote {write}.")
    if not mend_pages.all_can(mended):
        raise typer.Exit(RULE_FAILS)


@app.command()
@_told
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
        _print(reports.water_json(job, [(one, ways) for one, _, ways in found]))
    else:
        console = reports.console()
        for one, section, ways in found:
            console.print(water_pages.water_table(job, one, section, ways))
        console.print(water_pages.LIMITS)
    if not all(water_pages.holds(*way) for _, _, ways in found for way in ways):
        raise typer.Exit(RULE_FAILS)


@app.command()
@_told
def kinds(
    kind: Annotated[
        str | None,
        typer.Argument(metavar="[KIND]", help="List the parameters of this kind."),
    ] = None,
) -> None:
    """List the kinds of condition, or the parameters of one kind."""
    from detailgen import reports
    from detailgen.loader import condition_of

    console = reports.console()
    if kind is None:
        console.print(reports.kinds_table())
    else:
        console.print(reports.parameters_table(condition_of(kind)))


@app.command()
@_told
def start(
    kind: Kind,
    file: Annotated[
        Path | None,
        typer.Argument(metavar="[FILE]", help="File to write; by default KIND.toml."),
    ] = None,
) -> None:
    """Start a parameter file for a kind, with every key explained.

    The schema for editors is written beside it. A file that is there is never replaced.
    """
    from detailgen.catalog import load_catalog
    from detailgen.loader import condition_of
    from detailgen.loader.schema import FILE_NAME
    from detailgen.loader.starter import starter
    from detailgen.output import check_new, write_new

    condition = condition_of(kind)
    goal = file or Path(f"{kind}.toml")
    catalog = load_catalog()
    check_new(goal)
    _write_schema(goal.parent / FILE_NAME)
    write_new(goal, starter(condition, catalog).encode())
    _print(f"Wrote {goal} and {goal.parent / FILE_NAME}.")
    _print(f"Draw it with: detailgen draw {goal}")


@app.command()
@_told
def schema(
    write: Annotated[
        Path | None, typer.Option("--write", metavar="FILE", help="Write it to a file.")
    ] = None,
) -> None:
    """Print the JSON Schema of parameter files, for editors."""
    from detailgen.catalog import load_catalog
    from detailgen.loader.schema import schema_text

    if write is None:
        _print(schema_text(load_catalog()), end="")
    else:
        _write_schema(write)


@app.command()
@_told
def rules(
    rule: Annotated[
        str | None,
        typer.Argument(metavar="[RULE]", help="Explain this row, check or relation."),
    ] = None,
    rule_sets: Annotated[
        list[str] | None,
        typer.Option("--set", metavar="SET", help="Rule set to show; two are combined."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """List the rule sets and their rows, or explain one rule.

    Without --set a rule is told with its values in every set.
    """
    from detailgen import reports, rule_pages
    from detailgen.catalog import load_catalog

    catalog, sets = load_catalog(), rule_sets or ()
    console = reports.console()
    if as_json:
        _print(reports.rules_json(catalog, rule, sets))
    elif rule is None:
        console.print(reports.rules_listed(catalog, sets))
    else:
        console.print(rule_pages.rule_page(catalog, rule, sets))


def _write_schema(file: Path) -> None:
    """Write the schema, over an older one but over nothing else."""
    from detailgen.catalog import load_catalog
    from detailgen.loader.schema import is_schema, schema_text
    from detailgen.output import write_all, write_new

    content = schema_text(load_catalog()).encode()
    if is_schema(file):
        write_all(file.parent, {file.name: content})
    else:
        write_new(file, content)


def _print(text: str, end: str = "\n") -> None:
    """Print plain text, which no terminal may wrap or colour."""
    sys.stdout.write(text + end)
