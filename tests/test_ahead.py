"""A process that has loaded writers changes how long a run takes, and nothing else."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path

import pytest

from detailgen import ahead as module
from detailgen import pipeline, printing
from detailgen.ahead import Ahead, begun_ahead
from detailgen.loader import Job, job_of
from detailgen.pipeline import draw_job
from detailgen.scene import Scene

WALL = '[[condition]]\nid = "W{}"\nkind = "wall"\nlength = "40 ft"\n'
USUAL = ("dxf", "svg", "pdf")


@pytest.fixture(autouse=True)
def two(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_cores", lambda: 2)


def job(count: int = 1) -> Job:
    walls = "".join(WALL.format(n) for n in range(count))
    return job_of(f'[project]\nname = "Long shed"\n{walls}', "job.toml")


def in_place_of(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Return a list that takes the formats of the sheets that this process writes."""
    formats: list[str] = []
    printed = printing._printed

    def seen(
        scenes: Sequence[Scene], names: Sequence[str], paged: bool, put: object
    ) -> printing.Printed:
        formats.extend(names)
        return printed(scenes, names, paged, put)  # pyright: ignore[reportArgumentType]

    monkeypatch.setattr(printing, "_printed", seen)
    return formats


@pytest.mark.parametrize("count", [1, 2])
@pytest.mark.parametrize("formats", [USUAL, ("dxf", "pdf"), ("dxf", "svg"), ("svg", "pdf")])
def test_files_are_the_same(
    monkeypatch: pytest.MonkeyPatch, count: int, formats: tuple[str, ...]
) -> None:
    plain = draw_job(job(count), formats)
    here = in_place_of(monkeypatch)
    with begun_ahead(formats) as ahead:
        assert ahead is not None
        drawn = draw_job(job(count), formats, ahead=ahead)
    assert dict(drawn.files) == dict(plain.files)
    assert dict(drawn.sums) == dict(plain.sums)
    assert set(here) == set(formats) - set(ahead.formats) != set(formats)


def test_files_are_put_away_as_without_it() -> None:
    put: dict[str, bytes] = {}
    with begun_ahead(USUAL) as ahead:
        drawn = draw_job(job(), put=put.__setitem__, ahead=ahead)
    assert not drawn.files
    assert put == dict(draw_job(job()).files)


@pytest.mark.parametrize("when", ["before", "while it writes"])
def test_where_it_is_gone_the_work_is_done_here(
    monkeypatch: pytest.MonkeyPatch, when: str
) -> None:
    plain = draw_job(job())
    with begun_ahead(USUAL) as ahead:
        assert ahead is not None
        begin = ahead.begin

        def gone(groups: Sequence[Sequence[Scene]]) -> None:
            if when == "before":
                os.kill(ahead._process, signal.SIGKILL)
                time.sleep(0.05)
            begin(groups)
            if when != "before":
                os.kill(ahead._process, signal.SIGKILL)

        monkeypatch.setattr(ahead, "begin", gone)
        here = in_place_of(monkeypatch)
        drawn = draw_job(job(), ahead=ahead)
    assert dict(drawn.files) == dict(plain.files)
    assert {"dxf", "svg", "pdf"} == set(here)


def test_many_conditions_are_shared_out_without_it() -> None:
    with begun_ahead(USUAL) as ahead:
        assert ahead is not None
        drawn = draw_job(job(printing.FEW), ahead=ahead)
    assert dict(drawn.files) == dict(draw_job(job(printing.FEW)).files)


@pytest.mark.parametrize("formats", [(), ("pdf",), ("svg",), ("dxf",), ("png",)])
def test_one_format_needs_no_other_process(formats: tuple[str, ...]) -> None:
    with begun_ahead(formats) as ahead:
        assert ahead is None


def test_one_core_has_no_room_for_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_cores", lambda: 1)
    with begun_ahead(USUAL) as ahead:
        assert ahead is None


def test_it_ends_with_the_run() -> None:
    with begun_ahead(USUAL) as ahead:
        assert isinstance(ahead, Ahead)
    with pytest.raises(ProcessLookupError):
        os.kill(ahead._process, 0)


def test_it_ends_when_the_one_that_began_it_is_killed(tmp_path: Path) -> None:
    script = (
        "import time\nfrom detailgen import ahead\nahead._cores = lambda: 2\n"
        "with ahead.begun_ahead(('dxf', 'pdf')) as one:\n"
        "    print(one._process, flush=True)\n    time.sleep(60)\n"
    )
    run = subprocess.Popen([sys.executable, "-c", script], stdout=subprocess.PIPE)
    assert run.stdout
    other = int(run.stdout.readline())
    os.kill(other, 0)
    run.kill()
    run.wait()
    run.stdout.close()
    until = time.monotonic() + 30.0
    while _lives(other):
        assert time.monotonic() < until
        time.sleep(0.05)


def _lives(process: int) -> bool:
    """Return whether a process is there and not a shell that nobody has cleared away."""
    try:
        about = Path(f"/proc/{process}/stat").read_text(encoding="ascii")
    except OSError:
        return False
    return about.rpartition(")")[2].split()[0] != "Z"


def test_the_set_is_bound_while_the_other_formats_are_written(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    order: list[str] = []
    bound, result = pipeline._bound, Ahead.result

    def binding(*given: object) -> bytes:
        order.append("bound")
        return bound(*given)  # pyright: ignore[reportArgumentType]

    def asked(one: Ahead) -> list[printing.Printed] | None:
        order.append("asked")
        return result(one)

    monkeypatch.setattr(pipeline, "_bound", binding)
    monkeypatch.setattr(Ahead, "result", asked)
    with begun_ahead(USUAL) as ahead:
        draw_job(job(), ahead=ahead)
    assert order == ["bound", "asked"]
