"""What a sheet costs, held against the bare libraries in the same run.

Run by hand: python tests/benchmarks/bench_sheet.py. Writes RESULTS.md beside this file.

- A sheet in DXF, SVG and PDF, from valid parameters: built, checked, counted, composed and
  written. Held against the same primitives written with ezdxf, reportlab and f-strings
  alone; target: at most 1.5 times.
- The same from a cold start, in a process of its own; target: 1.2 s.
- `--help`, against a bare typer program; target: at most 1.5 times.
- The obvious other ways to the same files (see `alternatives.py`).
"""

import os
import platform
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))
sys.path.insert(0, str(Path(__file__).parent))

import alternatives  # noqa: E402
import bare  # noqa: E402

from detailgen import pipeline  # noqa: E402
from detailgen.built import built_of  # noqa: E402
from detailgen.loader import load_job  # noqa: E402
from detailgen.writers import WRITERS  # noqa: E402
from detailgen.writers._lowering import lower  # noqa: E402

FORMATS = ("dxf", "svg", "pdf")
RUNS = 15
FEW = 3
"""Runs of what takes long."""
JOB = """
[project]
name = "Benchmark"
[[condition]]
id = "{mark}"
kind = "{kind}"
length = "40 ft"
"""
BARE_PROGRAM = """
import typer
app = typer.Typer(add_completion=False)
@app.command()
def draw(job: str) -> None:
    "Draw."
@app.command()
def check(job: str) -> None:
    "Check."
app()
"""


def timed(work: Callable[[], object]) -> float:
    """Return the milliseconds that a piece of work takes."""
    start = time.perf_counter()
    work()
    return (time.perf_counter() - start) * 1000


def sheet_rows(folder: Path, kind: str) -> list[tuple[str, float, float]]:
    """Return label, ours and bare, ms, for the sheets of one kind."""
    file = folder / f"{kind}.toml"
    file.write_text(JOB.format(mark="B1", kind=kind), encoding="utf-8")
    job = load_job(file)
    placed = job.conditions[0]

    def check() -> pipeline.Checked:
        return pipeline._checked(job, placed, built_of(job, [placed.id])[placed.id])

    checked = check()
    drawn = pipeline._composed(job, checked, water=False)
    inks = [lower(scene) for scene in drawn]

    def ours() -> None:
        for scene in pipeline._composed(job, check(), water=False):
            for name in FORMATS:
                WRITERS[name](scene)

    files = [WRITERS["dxf"](s) for s in drawn]

    work: dict[str, Callable[[], object]] = {
        "all": ours,
        "check": check,
        "compose": lambda: pipeline._composed(job, checked, water=False),
        "dxf": lambda: [WRITERS["dxf"](replace(s)) for s in drawn],
        "svg": lambda: [WRITERS["svg"](replace(s)) for s in drawn],
        "pdf": lambda: [WRITERS["pdf"](replace(s)) for s in drawn],
        "bare dxf": lambda: [bare.dxf(s) for s in drawn],
        "bare svg": lambda: [bare.svg(s, i) for s, i in zip(drawn, inks, strict=True)],
        "bare pdf": lambda: [bare.pdf(s, i) for s, i in zip(drawn, inks, strict=True)],
    }
    others: dict[str, Callable[[], object]] = {
        "pdf": lambda: [
            alternatives.matplotlib_pdf(s, i) for s, i in zip(drawn, inks, strict=True)
        ],
        "svg": lambda: [
            alternatives.matplotlib_svg(s, i) for s, i in zip(drawn, inks, strict=True)
        ],
        "add-on": lambda: [alternatives.ezdxf_svg(file) for file in files],
    }
    for one in (*work.values(), *others.values()):
        one()
    times: dict[str, list[float]] = {name: [] for name in work}
    for _ in range(RUNS):  # side by side, so that a busy machine slows both
        for name, one in work.items():
            times[name].append(timed(one))
    best = {name: min(values) for name, values in times.items()}
    other = {name: min(timed(one) for _ in range(FEW)) for name, one in others.items()}
    whole = sum(best[f"bare {name}"] for name in FORMATS)
    count = f"{len(drawn)} sheet{'s' if len(drawn) > 1 else ''}"
    rows = [(f"**{kind}: {count}, three formats, checks included**", best["all"], whole)]
    rows += [(f"{kind}: built and checked", best["check"], 0.0)]
    rows += [(f"{kind}: counted and composed", best["compose"], 0.0)]
    rows += [
        (f"{kind}: {name} written", best[name], best[f"bare {name}"]) for name in FORMATS
    ]
    rows += [
        (f"{kind}: pdf, held against matplotlib's", best["pdf"], other["pdf"]),
        (f"{kind}: svg, held against matplotlib's", best["svg"], other["svg"]),
        (
            f"{kind}: svg, held against that of ezdxf's drawing add-on, from our DXF",
            best["svg"],
            other["add-on"],
        ),
    ]
    return rows


def process(*arguments: str, runs: int = 7) -> float:
    """Return the least milliseconds of a process."""

    def run() -> None:
        subprocess.run(
            [sys.executable, *arguments], check=True, capture_output=True, cwd=ROOT
        )

    run()
    return min(timed(run) for _ in range(runs))


def process_rows(folder: Path) -> list[tuple[str, float, float]]:
    """Return label, ours and bare, ms, for what starts a process."""
    program = folder / "bare_program.py"
    program.write_text(BARE_PROGRAM, encoding="utf-8")
    draw = (
        "-m",
        "detailgen",
        "draw",
        str(folder / "wall.toml"),
        "--out",
        str(folder / "out"),
        "--fresh",
    )
    return [
        ("**one condition in three formats and the bound set, cold**", process(*draw), 0.0),
        (
            "**`--help`**",
            process("-m", "detailgen", "--help"),
            process(str(program), "--help"),
        ),
    ]


def table(rows: list[tuple[str, float, float]]) -> str:
    """Return the rows as a table in Markdown."""
    lines = ["| | ours, ms | bare, ms | ratio |", "|---|---:|---:|---:|"]
    for label, ours, other in rows:
        ratio = f"{ours / other:.2f}" if other else ""
        lines.append(
            f"| {label} | {ours:.1f} | {f'{other:.1f}' if other else ''} | {ratio} |"
        )
    return "\n".join(lines)


def main() -> None:
    """Measure, print and write the table."""
    bare.fonts()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        rows = [row for kind in ("wall", "roof-edge") for row in sheet_rows(folder, kind)]
        rows += process_rows(folder)
    text = (
        "# What a sheet costs\n\n"
        "Written by `bench_sheet.py` in this folder; the least of several runs, side by\n"
        "side. `bare`: the same primitives written with ezdxf, reportlab and f-strings\n"
        "alone, a bare typer program, or the other way that the row names. One condition\n"
        "makes several sheets.\n\n"
        f"{table(rows)}\n\n"
        f"Python {platform.python_version()}, {os.cpu_count()} cores.\n"
    )
    (Path(__file__).parent / "RESULTS.md").write_text(text, encoding="utf-8")
    print(text)


if __name__ == "__main__":
    main()
