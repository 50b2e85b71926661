"""Runs that are killed, and runs at once: every file whole, and the rest mended.

A few random moments here; 200 with `--all-sets`.
"""

import fcntl
import multiprocessing
import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Generator
from contextlib import contextmanager
from pathlib import Path

import pytest

from detailgen import output
from detailgen.errors import UserError
from detailgen.output import put_file, write_all

FEW, ALL = 12, 200
FEW_RUNS = 3
"""Of the whole command; 200 with `--all-sets`."""
ROOT = Path(__file__).parent.parent
COUNT, SIZE = 30, 40_000
FORK = multiprocessing.get_context("fork")


def version(number: int) -> dict[str, bytes]:
    """Return a set of files whose content tells its version."""
    return {f"pdf/W{n}.pdf": b"%d," % number * (SIZE // 4) for n in range(COUNT)}


def written(folder: Path) -> dict[str, bytes]:
    return {
        str(p.relative_to(folder)): p.read_bytes()
        for p in folder.rglob("*")
        if p.is_file() and not p.relative_to(folder).parts[0].startswith(".")
    }


def left(folder: Path) -> list[Path]:
    return list(folder.glob(".detailgen-*"))


@contextmanager
def in_a_process(work: Callable[[], object]) -> Generator[int]:
    process = FORK.Process(target=work)
    process.start()
    try:
        assert process.pid
        yield process.pid
    finally:
        process.kill()
        process.join()


def duration(folder: Path) -> float:
    start = time.perf_counter()
    write_all(folder, version(0))
    return time.perf_counter() - start


def test_a_run_killed_at_any_moment_leaves_whole_files(
    tmp_path: Path, pytestconfig: pytest.Config, capfd: pytest.CaptureFixture[str]
) -> None:
    times = ALL if pytestconfig.getoption("all_sets") else FEW
    out, seeded = tmp_path / "out", random.Random(7)
    took = max(duration(out) for _ in range(3)) + 0.02
    old, new, halfway, mended = version(1), version(2), 0, 0
    for _ in range(times):
        write_all(out, old)
        capfd.readouterr()
        with in_a_process(lambda: write_all(out, new)) as pid:
            time.sleep(seeded.random() * took)
            os.kill(pid, signal.SIGKILL)
        found = written(out)
        assert found.keys() == old.keys()
        assert all(content in (old[name], new[name]) for name, content in found.items())
        halfway += 0 < sum(found[name] == new[name] for name in new) < COUNT
        behind = left(out)
        mended += bool(behind)
        write_all(out, new)
        assert written(out) == new
        assert not left(out)
        assert ("what a killed run had left" in capfd.readouterr().err) == bool(behind)
    if times == ALL:
        with capfd.disabled():
            told = f"{mended} left a folder, {halfway} between renames"
            sys.stdout.write(f"\n{times} kills: {told}\n")
        assert mended > 0


def drawn(folder: Path, title: str, seconds: float | None = None) -> str | None:
    """Draw a job of two conditions into a folder, and return what the command tells.

    Killed after so many seconds, where they are given and it still runs then: None.
    """
    job = folder / "job.toml"
    rows = "".join(
        f'[[condition]]\nid = "{one}"\nkind = "vent-sleeve"\ntitle = "{title} {one}"\n'
        for one in ("V1", "V2")
    )
    job.write_text(f'[project]\nname = "Trial"\n{rows}', encoding="utf-8")
    words = ["-m", "detailgen", "draw", "job.toml", "--out", "out"]
    around = {"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT)}
    run = subprocess.Popen(
        [sys.executable, *words],
        cwd=folder,
        env=around | {"DETAILGEN_CACHE": str(folder / "cache")},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        _, told = run.communicate(timeout=seconds)
    except subprocess.TimeoutExpired:
        run.kill()
        run.wait()
        assert run.stderr
        run.stderr.close()
        return None
    assert run.returncode == 0, told
    return told


def test_drawing_killed_at_any_moment_leaves_whole_files_and_the_next_run_mends(
    tmp_path: Path, pytestconfig: pytest.Config, capfd: pytest.CaptureFixture[str]
) -> None:
    """The whole command, with all that it keeps between runs."""
    every = pytestconfig.getoption("all_sets")
    titles, versions = ("North", "South"), list[dict[str, bytes]]()
    took = 0.0
    for title in titles:
        start = time.perf_counter()
        drawn(tmp_path, title)
        took = max(took, time.perf_counter() - start)
        versions.append(written(tmp_path / "out"))
    assert versions[0].keys() == versions[1].keys()
    assert any(versions[0][name] != versions[1][name] for name in versions[0])
    seeded, killed, mended, moved = random.Random(11), 0, 0, 0
    for number in range(ALL if every else FEW_RUNS):
        old, new = versions[number % 2 - 1], versions[number % 2]
        if number % 4 == 3:
            (tmp_path / "cache").rename(tmp_path / f"cache-{number}")  # as drawn anew
        told = drawn(tmp_path, titles[number % 2], seeded.uniform(0.2, 1.0) * took)
        killed += told is None
        found = written(tmp_path / "out")
        assert found.keys() == old.keys()
        assert all(content in (old[name], new[name]) for name, content in found.items())
        moved += found == new
        behind = left(tmp_path / "out")
        mended += bool(behind)
        told = drawn(tmp_path, titles[number % 2])
        assert told is not None
        assert written(tmp_path / "out") == new
        assert not left(tmp_path / "out")
        assert ("what a killed run had left" in told) == bool(behind)
    assert killed > 0
    if every:
        with capfd.disabled():
            kept = f"{mended} left a folder, {moved} had written all"
            sys.stdout.write(f"\n{killed} of {ALL} runs killed: {kept}\n")
        assert mended > 0


def test_what_a_killed_run_left_is_taken_away_and_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    dead = tmp_path / f"{output._own()}x1"
    other = tmp_path / ".detailgen-elsewhere"
    for folder in (dead, other):
        folder.mkdir()
        (folder / "0").write_bytes(b"half")
    (tmp_path / "mine").mkdir()
    linked = tmp_path / f"{output._own()}x2"
    linked.symlink_to(tmp_path / "mine")
    write_all(tmp_path, {"a.txt": b"a"})
    assert capsys.readouterr().err.count("Took away") == 1
    assert not dead.exists()
    assert other.exists()  # of another machine, which may live
    assert linked.is_symlink()  # not made here: left alone
    dead.mkdir()
    put_file(tmp_path / "b.txt", b"b", replace=False)
    assert not dead.exists()


def test_nothing_is_taken_away_where_there_are_no_locks(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*_: object) -> None:
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr(fcntl, "flock", refused)
    kept = tmp_path / f"{output._own()}x1"
    kept.mkdir()
    write_all(tmp_path, {"a.txt": b"a"})
    assert kept.exists()
    assert (tmp_path / "a.txt").read_bytes() == b"a"


def test_two_runs_into_one_folder_write_one_after_the_other(tmp_path: Path) -> None:
    write_all(tmp_path, version(0))
    one, two = version(1), version(2)
    for _ in range(4):
        runs = [FORK.Process(target=write_all, args=(tmp_path, v)) for v in (one, two)]
        for run in runs:
            run.start()
        for run in runs:
            run.join()
        assert [run.exitcode for run in runs] == [0, 0]
        assert written(tmp_path) in (one, two)
        assert not left(tmp_path)


def test_a_folder_that_another_run_holds_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(output, "_PATIENCE", 0.1)
    live = tmp_path / f"{output._own()}x1"
    live.mkdir()
    handle = os.open(tmp_path, os.O_RDONLY)
    fcntl.flock(handle, fcntl.LOCK_EX)
    try:
        with pytest.raises(UserError, match="another run is writing"):
            write_all(tmp_path, {"a.txt": b"a"})
    finally:
        os.close(handle)
    assert [p.name for p in tmp_path.iterdir()] == [live.name]
