"""Work shared out over processes gives what one process gives."""

import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path

import pytest

from detailgen import workers
from detailgen.loader import load_job
from detailgen.pipeline import check_job, draw_job, steps_of
from detailgen.workers import shared_out

JOB = '[project]\nname = "Long shed"\n'


@pytest.fixture
def two(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the work be shared out even where there is one core."""
    monkeypatch.setattr(workers, "_cores", lambda: 2)


def squares(numbers: Sequence[int]) -> list[int]:
    return [n * n for n in numbers]


@pytest.mark.parametrize("count", [0, 1, 2, 7, 30])
@pytest.mark.usefixtures("two")
def test_results_stand_in_the_order_of_the_things(count: int) -> None:
    assert shared_out(squares, count, few=2) == [n * n for n in range(count)]


@pytest.mark.parametrize("count", [1, 2, 7, 100])
@pytest.mark.parametrize("cores", [1, 2, 3])
def test_small_parts_are_told_as_they_are_done(
    monkeypatch: pytest.MonkeyPatch, count: int, cores: int
) -> None:
    monkeypatch.setattr(workers, "_cores", lambda: cores)
    told: list[int] = []
    assert shared_out(squares, count, 2, told.append) == [n * n for n in range(count)]
    assert sorted(told) == list(range(count))


@pytest.mark.usefixtures("two")
def test_a_fault_in_a_small_part_is_not_hidden() -> None:
    def faulty(numbers: Sequence[int]) -> list[float]:
        return [1 / (n - 3) for n in numbers]

    with pytest.raises(ZeroDivisionError):
        shared_out(faulty, 10, 2, lambda _: None)


@pytest.mark.usefixtures("two")
def test_a_fault_in_the_work_is_not_hidden() -> None:
    def faulty(numbers: Sequence[int]) -> list[float]:
        return [1 / (n - 3) for n in numbers]

    with pytest.raises(ZeroDivisionError):
        shared_out(faulty, 10, few=2)


def test_few_things_are_done_here(monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_: object, **__: object) -> None:
        raise AssertionError

    monkeypatch.setattr(workers, "ProcessPoolExecutor", refused)
    assert shared_out(squares, 5, few=6) == [0, 1, 4, 9, 16]


def test_where_no_process_can_be_started_the_work_is_done_here(
    monkeypatch: pytest.MonkeyPatch, two: None
) -> None:
    def none_left(*_: object, **__: object) -> None:
        raise OSError

    monkeypatch.setattr(workers, "ProcessPoolExecutor", none_left)
    assert shared_out(squares, 5, few=2) == [0, 1, 4, 9, 16]


@pytest.mark.usefixtures("two")
def test_a_job_is_checked_alike_by_one_process_and_by_several(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kinds = ("wall", "stack", "drain", "curb", "roof-edge")
    parts = [f'[[condition]]\nid = "C{n}"\nkind = "{kinds[n % 5]}"\n' for n in range(30)]
    parts.append('[[distance]]\nof = "C1"\nto = "C2"\nclear = "9 in"\n')
    file = tmp_path / "job.toml"
    file.write_text(JOB + "\n".join(parts), encoding="utf-8")
    job = load_job(file)
    several = check_job(job)
    monkeypatch.setattr(workers, "_cores", lambda: 1)
    one = check_job(job)
    assert [c.findings for c in several] == [c.findings for c in one]
    assert [c.section for c in several] == [c.section for c in one]
    assert any("C2" in f.reason for f in several[1].failures)


def test_sheets_are_the_same_by_one_process_and_by_several(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    parts = [f'[[condition]]\nid = "C{n}"\nkind = "stack"\n' for n in range(4)]
    file = tmp_path / "job.toml"
    file.write_text(JOB + "\n".join(parts), encoding="utf-8")
    job = load_job(file)
    drawn: list[dict[str, bytes]] = []
    for cores in (1, 2):
        monkeypatch.setattr(workers, "_cores", lambda cores=cores: cores)
        told: list[str] = []
        drawn.append(dict(draw_job(job, progress=told.append).files))
        assert len(told) == steps_of(job)
    assert drawn[0] == drawn[1]
    assert list(drawn[0]) == list(drawn[1])


SLOW = """
import os, sys, time
from detailgen.workers import shared_out
def work(numbers):
    print(os.getpid(), flush=True)
    time.sleep(60)
    return list(numbers)
shared_out(work, 4, 2, lambda _: None)
"""


@pytest.mark.skipif(sys.platform != "linux", reason="work is shared out on Linux only")
def test_workers_end_when_the_one_that_began_them_is_killed() -> None:
    with subprocess.Popen([sys.executable, "-c", SLOW], stdout=subprocess.PIPE) as run:
        assert run.stdout
        worker = int(run.stdout.readline())
        run.kill()
    for _ in range(100):
        if not Path(f"/proc/{worker}").exists():
            break
        time.sleep(0.1)
    assert not Path(f"/proc/{worker}").exists()
