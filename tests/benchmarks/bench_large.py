"""What a large job costs: 400 sheets and more, drawn, changed and drawn again; a sweep.

Run by hand, on a machine that does nothing else: python tests/benchmarks/bench_large.py.
Writes RESULTS_LARGE.md beside this file. It takes about five minutes.

- All of it on one core and on two; target: two at least 1.7 times as fast as one.
- Memory from the 50th sheet to the last; target: no growth.
- One condition changed, and the job drawn again: by a new process, and by one that watches;
  target: 1 s. The files are compared with those of a full run, byte by byte.
- 10,001 sections of a sweep; target: 60 s on two cores.
"""

import filecmp
import os
import platform
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
KINDS = (
    "wall", "roof-edge", "curb", "stack", "drain", "expansion-joint", "scupper",
    "vent-sleeve", "equipment-sleeper", "independent-wall",
)  # fmt: skip
COUNT = 110
FORMATS = 3
ROW = "| {} | {} | {} |"


def job_text(title: str = "") -> str:
    """Return a job of all kinds that have sheets of their own, in turn."""
    parts = ['[project]\nname = "Long shed"\n']
    for n in range(COUNT):
        kind = KINDS[n % len(KINDS)]
        long = 'length = "40 ft"\n' if kind in {"wall", "roof-edge"} else ""
        named = f'title = "{title}"\n' if title and n == 5 else ""
        parts.append(f'[[condition]]\nid = "C{n}"\nkind = "{kind}"\n{long}{named}')
    return "\n".join(parts)


def detailgen(*words: str, cores: int = 2, cache: Path | None = None) -> subprocess.Popen:
    """Begin a run of the program on some cores."""
    free = sorted(os.sched_getaffinity(0))[:cores]
    return subprocess.Popen(
        [
            "taskset",
            "-c",
            ",".join(map(str, free)),
            sys.executable,
            "-m",
            "detailgen",
            *words,
        ],
        cwd=ROOT,
        env=os.environ | {"DETAILGEN_CACHE": str(cache or "")},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )


def took(*words: str, cores: int = 2, cache: Path | None = None) -> float:
    """Return the seconds of a run."""
    start = time.perf_counter()
    assert detailgen(*words, cores=cores, cache=cache).wait() == 0
    return time.perf_counter() - start


def held(process: int) -> float:
    """Return the memory of a process and of those it began, MB; what is shared once."""
    try:
        told = Path(f"/proc/{process}/smaps_rollup").read_text(encoding="ascii")
        own = int(re.search(r"^Pss:\s+(\d+)", told, re.MULTILINE)[1]) / 1024
        children = Path(f"/proc/{process}/task/{process}/children").read_text("ascii")
    except (OSError, TypeError):
        return 0.0
    return own + sum(held(int(child)) for child in children.split())


def memory(file: Path, out: Path) -> dict[str, float]:
    """Return the most memory that was held, MB, at each part of a run."""
    run = detailgen("draw", str(file), "--out", str(out), "--fresh")
    found: dict[int, float] = {}
    while run.poll() is None:
        done = sum(p.is_file() for p in out.glob(".detailgen-*/*")) // FORMATS
        found[done] = max(found.get(done, 0.0), held(run.pid))
        time.sleep(0.1)
    sheets = max(found)
    parts = {
        "until the 50th sheet is written": range(51),
        "then, up to the 100th": range(51, 101),
        "of the last 50": range(sheets - 50, sheets - 1),
        "while the set is bound": range(sheets - 1, sheets + 1),
    }
    return {
        what: max(mb for done, mb in found.items() if done in part)
        for what, part in parts.items()
    }


def watched(file: Path, out: Path, cache: Path) -> float:
    """Return the least seconds from a save until a watching run has drawn again."""
    file.write_text(job_text("Before"), encoding="utf-8")
    run = detailgen("draw", str(file), "--out", str(out), "--watch", cache=cache)
    try:
        found: list[float] = []
        for n in range(4):
            title, sheet = f"Watched {n}", out / "set.pdf"
            wait_until_still(out)
            before = sheet.stat().st_mtime_ns
            start = time.perf_counter()
            file.write_text(job_text(title), encoding="utf-8")
            while sheet.stat().st_mtime_ns == before:
                time.sleep(0.01)
            found.append(time.perf_counter() - start)
        return min(found)
    finally:
        run.terminate()
        run.wait()


def wait_until_still(out: Path) -> None:
    """Return when nothing has changed in a folder for two seconds."""
    last, since = None, time.monotonic()
    while time.monotonic() - since < 2.0 or last is None:
        now = (out / "set.pdf").stat().st_mtime_ns if (out / "set.pdf").exists() else None
        if now != last or any(out.glob(".detailgen*")):
            last, since = now, time.monotonic()
        time.sleep(0.05)


def main() -> None:
    """Measure, print and write down."""
    rows: list[tuple[str, str, str]] = []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        file, out, whole = folder / "job.toml", folder / "out", folder / "whole"
        cache = folder / "cache"
        file.write_text(job_text(), encoding="utf-8")
        words = ("draw", str(file), "--out", str(out))
        one = min(took(*words, "--fresh", cores=1) for _ in range(2))
        two = min(took(*words, "--fresh") for _ in range(2))
        sheets = len(list((out / "svg").iterdir()))
        rows += [
            (f"{sheets} sheets of {COUNT} conditions, DXF, SVG, PDF and the set, one core",
             f"{one:.1f} s", ""),
            ("the same, two cores", f"{two:.1f} s", ""),
            ("**how many times as fast**", f"{one / two:.2f}", "1.7"),
        ]  # fmt: skip
        held_at = memory(file, folder / "held")
        rows += [
            (f"memory of all processes, {what}", f"{mb:.0f} MB", "")
            for what, mb in held_at.items()
        ]
        growth = held_at["of the last 50"] - held_at["then, up to the 100th"]
        rows += [
            (
                "**growth from the first hundred sheets to the last fifty**",
                f"{growth:.0f} MB",
                "0",
            )
        ]
        took(*words, cache=cache)
        same = min(took(*words, cache=cache) for _ in range(2))
        rows += [("nothing changed, drawn again", f"{same:.2f} s", "")]
        quick: list[float] = []
        for n in range(3):
            file.write_text(job_text(f"Changed {n}"), encoding="utf-8")
            quick.append(took(*words, cache=cache))
        rows += [("**one condition changed, a new process**", f"{min(quick):.2f} s", "1 s")]
        took("draw", str(file), "--out", str(whole), "--fresh")
        matched, wrong, missing = filecmp.cmpfiles(
            out,
            whole,
            [str(p.relative_to(whole)) for p in whole.rglob("*") if p.is_file()],
            shallow=False,
        )
        assert not wrong, wrong
        assert not missing, missing
        rows += [
            (
                "files equal to those of a full run",
                f"{len(matched)} of {len(matched)}",
                "all",
            )
        ]
        rows += [
            ("**one condition changed, a run that watches**",
             f"{watched(file, out, cache):.2f} s", "1 s"),
        ]  # fmt: skip
        swept = took(
            "sweep", str(file), "--detail", "C0",
            "--over", "flashing_height: 200 mm to 400 mm by 2 mm",
            "--over", "flashing_reach: 100 mm to 300 mm by 2 mm",
        )  # fmt: skip
        rows += [("**sweep of 101 x 101 = 10,201 sections**", f"{swept:.1f} s", "60 s")]
    text = "\n".join([
        "# What a large job costs",
        "",
        "Written by `bench_large.py` in this folder, on a machine that did nothing else.",
        "",
        "| | found | target |",
        "|---|---:|---:|",
        *(ROW.format(*row) for row in rows),
        "",
        f"Python {platform.python_version()}, {os.cpu_count()} cores.",
        "",
    ])
    print(text)
    Path(__file__).with_name("RESULTS_LARGE.md").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
