"""The same bytes whatever stands around the program, in processes of their own."""

import builtins
import os
import shutil
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

import pytest
from typer.testing import CliRunner

from detailgen import workers
from detailgen.cli import app

ROOT = Path(__file__).parent.parent
JOB = """
[project]
name = "Trial"
[[condition]]
id = "E2"
kind = "vent-sleeve"
title = "Parapet, n\u00f6rdlich"
length = "120 ft"
[[condition]]
id = "E1"
kind = "vent-sleeve"
[[condition]]
id = "V1"
kind = "vent-sleeve"
count = 2
[[condition]]
id = "K1"
kind = "outside-corner"
length = "40 ft"
"""
PRICES = "item,price,per\nbase-ply-glass-smooth,92.00,roll\n"
"""Enough conditions for the work to be shared out."""
COMMANDS = {
    "draw": [
        "--fresh",
        *(w for f in ("dxf", "svg", "pdf", "png") for w in ("--format", f)),
    ],
    "teach": [],
    "takeoff": ["--prices", "prices.csv"],
    "package": ["--prices", "prices.csv"],
    "pieces": [],
    "patterns": ["--detail", "K1"],
    "faults": ["--papers", "2", "--seed", "3", "--condition", "V1", "--format", "svg"],
    "alternates": ["--with", "adhesion=cold"],
    "compare": ["new.toml"],
    "sweep": ["--detail", "V1", "--over", "strip_in: 4 in to 8 in by 2 in"],
    "margins": ["--plot"],
}
"""Commands that write a folder, and what else they are given; the folder's option is --out
where none stands last."""

SLOW = {"margins", "faults"}

USUAL = {"PYTHONHASHSEED": "1", "TZ": "UTC", "LC_ALL": "C.UTF-8"}
OTHER = {"PYTHONHASHSEED": "987", "TZ": "Asia/Kathmandu", "LC_ALL": "C", "LANG": "tr_TR"}


def run(
    folder: Path, command: str, around: dict[str, str], *python: str, umask: int
) -> Path:
    """Run a command in a folder and return where it has written."""
    folder.mkdir(parents=True)
    (folder / "job.toml").write_text(JOB, encoding="utf-8")
    (folder / "new.toml").write_text(JOB.replace("120 ft", "130 ft"), encoding="utf-8")
    (folder / "prices.csv").write_text(PRICES, encoding="utf-8")
    more = COMMANDS[command]
    into = ["out"] if more[-1:] == ["--plot"] else ["--out", "out"]
    done = subprocess.run(
        [*python, "-m", "detailgen", command, "job.toml", *more, *into],
        cwd=folder,
        env={"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT), **around},
        umask=umask,
        capture_output=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return folder / "out"


def content(folder: Path) -> dict[str, bytes]:
    files = (p for p in folder.rglob("*") if p.is_file())
    return {str(p.relative_to(folder)): p.read_bytes() for p in files}


@pytest.mark.parametrize("command", COMMANDS)
def test_the_same_bytes_whatever_stands_around(
    tmp_path: Path, command: str, pytestconfig: pytest.Config
) -> None:
    if command in SLOW and not pytestconfig.getoption("all_sets"):
        pytest.skip("only with --all-sets")
    one_core = ["taskset", "-c", "0"] if shutil.which("taskset") else []
    first = content(run(tmp_path / "a", command, USUAL, sys.executable, umask=0o022))
    python = [*one_core, sys.executable, "-O"]
    far = tmp_path / "b c" / "\u00e9"
    second = content(run(far, command, OTHER, *python, umask=0o077))
    assert first
    assert first.keys() == second.keys()
    assert [name for name in first if first[name] != second[name]] == []


def test_no_float_is_added_by_sum(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """From Python 3.12 on `sum` rounds floats otherwise; `fsum` is the same everywhere."""
    seen: dict[str, bool] = {}

    def watched(values: Iterable[object], /, start: object = 0) -> object:
        total = plain(values, start)  # pyright: ignore[reportArgumentType, reportCallIssue]
        code = sys._getframe(1).f_code
        if "/detailgen/" in code.co_filename:
            place = f"{code.co_filename}:{code.co_name}"
            seen[place] = seen.get(place, False) or isinstance(total, float)
        return total

    plain = builtins.sum
    monkeypatch.setattr(builtins, "sum", watched)
    monkeypatch.setattr(workers, "_cores", lambda: 1)
    monkeypatch.chdir(tmp_path)
    kinds = ("wall", "drain", "roof-edge", "outside-corner")
    rows = [f'[[condition]]\nid = "{k}"\nkind = "{k}"\nlength = "40 ft"\n' for k in kinds]
    job = "".join(['[project]\nname = "Trial"\n', *rows])
    Path("job.toml").write_text(job.replace('drain"\nlength = "40 ft"', 'drain"'), "utf-8")
    for command in ("package", "pieces", "teach"):
        done = CliRunner().invoke(app, [command, "job.toml", "--out", command])
        assert done.exit_code == 0, done.output
    assert len(seen) > 5
    assert [place for place, is_float in seen.items() if is_float] == []
