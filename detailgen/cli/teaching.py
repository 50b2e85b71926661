"""The commands for a trainer."""

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from detailgen.cli._app import app, shown, told
from detailgen.cli.jobs import Format, JobFile


class ClassFormat(StrEnum):
    """What the things for a class can be written as."""

    DXF = "dxf"
    SVG = "svg"
    PDF = "pdf"
    PNG = "png"
    HTML = "html"


ClassFolder = Annotated[
    Path | None,
    typer.Option("--out", metavar="DIR", help="Output folder; by default class/JOB."),
]
ClassFormats = Annotated[
    list[ClassFormat] | None,
    typer.Option(
        "--format",
        help="Of the sheets; html is the page. May be repeated; by default all but png.",
    ),
]


class ClassPart(StrEnum):
    """What can be made for a class."""

    STAGES = "stages"
    CHECKLIST = "checklist"
    HANDOUT = "handout"
    EXERCISE = "exercise"
    CUTS = "cuts"
    PAGE = "page"


ClassParts = Annotated[
    list[ClassPart] | None,
    typer.Option("--part", help="What is made. May be repeated; by default everything."),
]
ClassPaperName = Annotated[
    str,
    typer.Option(
        "--paper",
        metavar="NAME",
        help="Of handouts and exercises: Letter or A4; by default the job's units tell.",
    ),
]
Seed = Annotated[
    int,
    typer.Option(
        "--seed", min=0, help="Shuffles exercises; the same seed makes the same papers."
    ),
]
WordBank = Annotated[
    bool,
    typer.Option(
        "--word-bank/--no-word-bank",
        help="Whether the names stand, shuffled, on the sheet that asks for them.",
    ),
]


@app.command()
@told
def teach(
    job_file: JobFile,
    out: ClassFolder = None,
    formats: ClassFormats = None,
    parts: ClassParts = None,
    paper: ClassPaperName = "",
    seed: Seed = 1,
    word_bank: WordBank = True,
) -> None:
    """Make a job ready for a class: sheets, handouts, exercises with keys, and a page.

    The page is one file that opens in any browser, without a network.
    """
    from detailgen import reports
    from detailgen.classroom import FORMATS, Part, Wanted, steps_to_teach, teach_job
    from detailgen.loader import load_job
    from detailgen.output import check_folder, write_all

    folder = out or Path("class", job_file.stem)
    wanted = tuple(dict.fromkeys(str(f) for f in formats or FORMATS))
    asked = frozenset(Part(str(p)) for p in parts or Part)
    choice = Wanted(asked, paper, seed, word_bank)
    job = load_job(job_file)
    check_folder(folder)
    with reports.progress(steps_to_teach(job, wanted, choice)) as advance:
        made = teach_job(job, wanted, advance, choice)
    paths = write_all(folder, made.files)
    told_sheets = f"{made.sheets} sheets in " if made.sheets else ""
    reports.console().print(f"{told_sheets}{len(paths)} files written to {shown(folder)}")


@app.command()
@told
def patterns(
    job_file: JobFile,
    detail: Annotated[str, typer.Option("--detail", help="Id of the condition.")],
    piece: Annotated[str, typer.Option("--piece", help="Only this piece.")] = "",
    paper: Annotated[str, typer.Option("--paper", help="By default ANSI A.")] = "",
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="DIR", help="By default patterns/JOB."),
    ] = None,
) -> None:
    """Print patterns at full size: tiles with crosses to lay them together by.

    Each piece is one PDF, and one whole sheet in DXF and SVG.
    """
    from detailgen import reports
    from detailgen.full_size import patterns_job
    from detailgen.loader import load_job
    from detailgen.output import check_folder, write_all

    folder = out or Path("patterns", job_file.stem)
    job = load_job(job_file)
    check_folder(folder)
    paths = write_all(folder, patterns_job(job, detail, piece, paper))
    reports.console().print(f"{len(paths)} files written to {shown(folder)}")


PaperFolder = Annotated[
    Path | None,
    typer.Option("--out", metavar="DIR", help="Output folder; by default faults/JOB."),
]
HowMany = Annotated[
    int, typer.Option("--papers", min=1, max=500, help="How many papers: one a student.")
]
FaultCount = Annotated[
    str,
    typer.Option(
        "--faults", metavar="N", help="How many faults a paper has: 1, 2, 3, or 1..3."
    ),
]
PaperSeed = Annotated[
    int,
    typer.Option(
        "--seed", min=0, help="The same seed makes the same papers again, another others."
    ),
]
OfConditions = Annotated[
    list[str] | None,
    typer.Option(
        "--condition",
        metavar="ID",
        help="Of which details; may be repeated. By default all take turns.",
    ),
]


PaperFormats = Annotated[
    list[Format] | None,
    typer.Option("--format", help="May be repeated; by default pdf: papers and keys."),
]


@app.command()
@told
def faults(  # noqa: PLR0913, PLR0917  (a command has that many options)
    job_file: JobFile,
    papers: HowMany = 1,
    count: FaultCount = "1..3",
    seed: PaperSeed = 1,
    conditions: OfConditions = None,
    out: PaperFolder = None,
    formats: PaperFormats = None,
    paper: ClassPaperName = "",
) -> None:
    """Break details on purpose: papers on which a class finds the fault, and their keys.

    Each fault breaks a rule, and can be seen on the paper. Keys say what is wrong.
    """
    from detailgen import reports
    from detailgen.fault_papers import FORMATS, Wanted, make_papers, span_of, steps_to_make
    from detailgen.loader import load_job
    from detailgen.output import check_folder, write_all

    folder = out or Path("faults", job_file.stem)
    least, most = span_of(count)
    names = tuple(dict.fromkeys(conditions or ()))
    choice = Wanted(papers, seed, least, most, paper, names)
    asked = tuple(dict.fromkeys(str(f) for f in formats or FORMATS))
    job = load_job(job_file)
    check_folder(folder)
    with reports.progress(steps_to_make(job, choice)) as advance:
        made = make_papers(job, asked, choice, advance)
    paths = write_all(folder, made.files)
    for line in made.left_out:
        reports.console().print(f"left out: {line}", highlight=False, markup=False)
    reports.console().print(
        f"{made.papers} papers with their keys in {len(paths)} files written to "
        f"{shown(folder)}"
    )
