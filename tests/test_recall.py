"""What has been drawn before is not drawn again, and what is drawn is always right."""

import os
import pickle
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from pathlib import Path

import pytest

from detailgen import pipeline, reports
from detailgen.checked import Verdict
from detailgen.covers import cover_of
from detailgen.fingerprint import fingerprint, sum_of
from detailgen.loader import Job, job_of
from detailgen.output import write_all
from detailgen.pipeline import Drawn, check_job, draw_job
from detailgen.recall import Past, keys_of
from detailgen.standing import Standing
from detailgen.store import MOST, FolderStore, Nothing, unpacked

TEXT = """[project]
name = "Long shed"
[[condition]]
id = "W1"
kind = "wall"
length = "40 ft"
[[condition]]
id = "S1"
kind = "stack"
[[condition]]
id = "S2"
kind = "stack"
[[distance]]
of = "S1"
to = "S2"
clear = "40 in"
"""


class Kind(Enum):
    ONE = 1
    TWO = 2


@dataclass(frozen=True)
class Thing:
    held: object


def job(text: str = TEXT) -> Job:
    return job_of(text, "job.toml")


class Desk:
    """A folder, a store, and a count of the conditions that were really composed."""

    def __init__(self, root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.out, self.store = root / "out", FolderStore(root / "store")
        self.composed: list[str] = []
        compose: Callable[..., object] = pipeline._composed

        def counted(job: Job, checked: pipeline.Checked, water: bool) -> object:
            self.composed.append(checked.placed.id)
            return compose(job, checked, water)

        monkeypatch.setattr(pipeline, "_composed", counted)
        monkeypatch.setattr("detailgen.workers._cores", lambda: 1)

    def draw(self, text: str, formats: tuple[str, ...] = ("svg", "pdf")) -> Drawn:
        self.composed.clear()
        standing = Standing(self.out, self.store)
        drawn = draw_job(job(text), formats, past=Past(self.store, standing.sum_at))
        write_all(self.out, drawn.files)
        standing.keep(drawn.sums.items())
        whole = dict(draw_job(job(text), formats).files)
        assert {p: (self.out / p).read_bytes() for p in whole} == whole
        del self.composed[-len(job(text).conditions) :]
        return drawn


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Desk:
    return Desk(tmp_path, monkeypatch)


def test_nothing_is_drawn_twice(desk: Desk) -> None:
    first = desk.draw(TEXT)
    assert desk.composed == ["W1", "S1", "S2"]
    again = desk.draw(TEXT)
    assert desk.composed == []
    assert set(again.files) == {"set.pdf"}
    assert again.standing == len(first.files) - 1


def test_only_what_changed_is_drawn_again(desk: Desk) -> None:
    desk.draw(TEXT)
    drawn = desk.draw(TEXT.replace('length = "40 ft"', 'length = "50 ft"'))
    assert desk.composed == ["W1"]
    assert {Path(p).stem[:2] for p in drawn.files if p != "set.pdf"} == {"W1"}


def test_what_stands_near_counts(desk: Desk) -> None:
    desk.draw(TEXT)
    desk.draw(TEXT.replace("40 in", "20 in"))
    assert desk.composed == ["S1", "S2"]
    desk.draw(TEXT.replace('id = "S2"\n', 'id = "S2"\ntitle = "Flue"\n'))
    assert desk.composed == ["S1", "S2"]  # S1 is told of its neighbour


RULE = """[[rule]]
rule = "flashing_height_least"
value = "6 in"
reason = "Sill"
[[distance]]"""
MATERIAL = """[[material]]
material = "base-ply-glass-smooth"
thickness = "3.1 mm"
reason = "Stock"
[[distance]]"""


@pytest.mark.parametrize(
    "change",
    [
        ('name = "Long shed"', 'name = "Short shed"'),
        ("[[distance]]", '[roof]\ndeck = "steel"\n[[distance]]'),
        ("[[distance]]", RULE),
        ("[[distance]]", MATERIAL),
    ],
)
def test_what_all_share_draws_all_of_them_again(
    desk: Desk, change: tuple[str, str]
) -> None:
    desk.draw(TEXT)
    desk.draw(TEXT.replace(*change))
    assert desk.composed == ["W1", "S1", "S2"]


def test_one_sheet_more_numbers_all_of_them_anew_and_composes_one(desk: Desk) -> None:
    desk.draw(TEXT)
    drawn = desk.draw(TEXT + '[[condition]]\nid = "D1"\nkind = "drain"\n')
    assert desk.composed == ["D1"]
    assert drawn.standing == 0


def test_a_format_more_is_written_from_what_is_known(desk: Desk) -> None:
    desk.draw(TEXT, ("svg",))
    desk.draw(TEXT, ("svg", "pdf"))
    assert desk.composed == []


@pytest.mark.parametrize("harm", ["gone", "changed", "empty", "a link"])
def test_a_file_that_is_not_as_it_should_be_is_written_again(desk: Desk, harm: str) -> None:
    desk.draw(TEXT)
    file = desk.out / "svg" / "S1-1.svg"
    whole = file.read_bytes()
    file.unlink()
    if harm == "changed":
        file.write_bytes(whole.replace(b"0", b"1", 1))
    elif harm == "empty":
        file.write_bytes(b"")
    elif harm == "a link":
        (desk.out / "there.svg").write_bytes(whole)
        file.symlink_to(desk.out / "there.svg")
        there = Standing(desk.out, desk.store).sum_at
        found = draw_job(job(), ("svg", "pdf"), past=Past(desk.store, there))
        assert "svg/S1-1.svg" in found.files
        return
    desk.draw(TEXT)
    assert file.read_bytes() == whole


def test_a_file_that_nobody_touched_is_not_read_again(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk.draw(TEXT)
    read: list[Path] = []
    plain = Path.read_bytes

    def seen(path: Path) -> bytes:
        read.append(path)
        return plain(path)

    def standing() -> Drawn:
        there = Standing(desk.out, desk.store).sum_at
        with monkeypatch.context() as watched:
            watched.setattr(Path, "read_bytes", seen)
            return draw_job(job(), ("svg", "pdf"), past=Past(desk.store, there))

    assert set(standing().files) == {"set.pdf"}
    assert not [p for p in read if desk.out in p.parents]
    file = desk.out / "svg" / "S1-1.svg"
    content, about = plain(file), file.stat()
    file.write_bytes(content[::-1])  # of the same size, and said to be of the same age
    os.utime(file, ns=(about.st_atime_ns, about.st_mtime_ns))
    assert "svg/S1-1.svg" in standing().files
    assert file in read


def test_sheets_that_are_gone_from_the_store_are_composed_again(desk: Desk) -> None:
    desk.draw(TEXT)
    for entry in desk.store._folder.glob("sheets-*"):
        entry.unlink()
    (desk.out / "svg" / "S1-1.svg").unlink()
    desk.draw(TEXT)
    assert desk.composed == ["S1"]


def test_files_are_put_away_one_by_one(desk: Desk) -> None:
    put: dict[str, bytes] = {}
    drawn = draw_job(job(), ("svg", "pdf"), past=Past(desk.store), put=put.__setitem__)
    assert not drawn.files
    assert put == dict(draw_job(job(), ("svg", "pdf")).files)
    assert dict(drawn.sums) == {name: sum_of(content) for name, content in put.items()}


def test_a_damaged_store_is_no_store(desk: Desk) -> None:
    desk.draw(TEXT)
    for number, entry in enumerate(sorted(desk.store._folder.iterdir())):
        content = entry.read_bytes()
        entry.write_bytes(content[: len(content) // 2] if number % 2 else content[::-1])
    desk.draw(TEXT)
    assert desk.composed == ["W1", "S1", "S2"]


def test_a_store_runs_nothing_of_others(tmp_path: Path) -> None:
    class Evil:
        def __reduce__(self) -> tuple[object, tuple[str]]:
            return os.system, (f"touch {tmp_path / 'harm'}",)

    with pytest.raises(pickle.UnpicklingError):
        unpacked(pickle.dumps(Evil()))
    store = FolderStore(tmp_path / "store")
    store.put("one", Evil())
    assert store.get("one") is None
    assert not (tmp_path / "harm").exists()


def test_a_store_that_cannot_be_kept_is_none(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    store = FolderStore(tmp_path / "file" / "store")
    store.put("one", 1)
    assert store.get("one") is None
    Nothing().put("one", 1)
    assert Nothing().get("one") is None


@pytest.mark.skipif(sys.platform == "win32", reason="no permissions of that kind")
def test_a_folder_that_others_may_write_to_is_not_used(tmp_path: Path) -> None:
    store = FolderStore(tmp_path / "store")
    store.put("one", 1)
    assert store.get("one") == 1
    (tmp_path / "store").chmod(0o777)
    store.put("two", 2)
    assert store.get("two") is None


def test_a_store_stays_below_its_size(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert MOST > 1_000_000
    monkeypatch.setattr("detailgen.store.MOST", 20_000)
    monkeypatch.setattr("detailgen.store._PRUNED", 2)
    store = FolderStore(tmp_path)
    for n in range(40):
        store.put(f"{n:02}", b"x" * 1000)
        os.utime(tmp_path / f"{n:02}", (n, n))
    left = sorted(p.name for p in tmp_path.iterdir())
    assert "39" in left
    assert "00" not in left
    assert sum(p.stat().st_size for p in tmp_path.iterdir()) < 22_000


def test_equal_values_have_equal_fingerprints() -> None:
    some = [f"name {n}" for n in range(50)]
    assert fingerprint(frozenset(some)) == fingerprint(frozenset(reversed(some)))
    assert fingerprint(Thing((1, 2.5, "a", None))) == fingerprint(
        Thing((1, 2.5, "a", None))
    )


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (1, 1.0),
        (1, True),
        ("1", 1),
        (0.1 + 0.2, 0.3),
        (0.0, -0.0),
        (("a", "b"), ("ab",)),
        ((1, (2, 3)), ((1, 2), 3)),
        (Kind.ONE, Kind.TWO),
        (Thing(1), Thing(2)),
        ({"a": 1}, {"a": 2}),
        (None, "None"),
        (b"a", "a"),
    ],
)
def test_other_values_have_other_fingerprints(one: object, other: object) -> None:
    assert fingerprint(one) != fingerprint(other)


def test_what_is_not_known_has_no_fingerprint() -> None:
    with pytest.raises(TypeError, match="no fingerprint of a function"):
        fingerprint(Thing(lambda: None))


def test_every_field_of_a_job_counts() -> None:
    """A field that the fingerprint left out would pass off an old sheet as a new one."""
    one = job()
    base = keys_of(one, water=False)
    roof = one.roof.model_copy(update={"deck": "steel"})
    assert not set(base) & set(keys_of(replace(one, roof=roof), water=False))
    assert not set(base) & set(keys_of(one, water=True))
    assert keys_of(replace(one, file="elsewhere.toml"), water=False) == base


def wait_for(holds: Callable[[], bool], seconds: float = 60) -> None:
    end = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < end, "waited in vain"
        time.sleep(0.05)


@pytest.mark.skipif(sys.platform == "win32", reason="no such signal")
def test_a_watched_job_is_drawn_again_when_it_is_saved(tmp_path: Path) -> None:
    file, out = tmp_path / "job.toml", tmp_path / "out"
    small = '[project]\nname = "Shed"\n[[condition]]\nid = "S1"\nkind = "stack"\n'
    file.write_text(small, encoding="utf-8")
    command = [sys.executable, "-m", "detailgen", "draw", str(file)]
    options = ["--out", str(out), "--format", "svg", "--watch"]
    sheet, log = out / "svg" / "S1-1.svg", tmp_path / "log"
    with log.open("wb") as told:
        run = subprocess.Popen([*command, *options], stdout=told, stderr=told)
        try:

            def waiting() -> int:
                return log.read_bytes().count(b"Waiting for a change")

            wait_for(lambda: waiting() == 1)
            before = sheet.read_bytes()
            file.write_text(small.replace("Shed", "Barn"), encoding="utf-8")
            wait_for(lambda: waiting() == 2)
            assert sheet.read_bytes() != before
            file.write_text(small.replace("stack", "stork"), encoding="utf-8")
            wait_for(lambda: waiting() == 3)
            assert b"stork" in log.read_bytes()
            file.write_text(small, encoding="utf-8")
            wait_for(lambda: waiting() == 4)
            assert sheet.read_bytes() == before
        finally:
            run.send_signal(signal.SIGINT)
            assert run.wait(30) == 0
    assert b"Traceback" not in log.read_bytes()


FAILING = """[project]
name = "Long shed"
[[rule]]
rule = "upper_lap_least"
value = "5 in"
reason = "Agreed with the owner"
[[condition]]
id = "W1"
kind = "wall"
length = "40 ft"
reglet_height = "7 in"
[[condition.accept]]
rule = "low_flashing"
reason = "Sills cannot be raised"
by = "the owner's agent"
[[condition]]
id = "W2"
kind = "wall"
length = "40 ft"
"""


def test_what_is_kept_of_the_findings_is_all_that_a_set_tells(desk: Desk) -> None:
    of = job(FAILING)
    checked = check_job(of)
    assert [one.holds for one in checked] == [False, True]
    assert len(checked[0].accepted) == 1
    for drawn in (desk.draw(FAILING), desk.draw(FAILING)):
        for one, whole in zip(drawn.checked, checked, strict=True):
            assert one.summary == whole.summary
            assert one.failures == whole.failures
            assert (one.holds, one.settled) == (whole.holds, whole.settled)
            assert len(one.findings) < 10 < len(whole.findings)
        plain = reports.console()
        with plain.capture() as told:
            plain.print(reports.drawn_table(of, drawn.checked))
            plain.print(reports.failures_text(of, drawn.checked))
        with plain.capture() as wanted:
            plain.print(reports.drawn_table(of, checked))
            plain.print(reports.failures_text(of, checked))
        assert told.get() == wanted.get()
        firsts = [(one, n) for n, one in enumerate(drawn.checked)]
        wholes = [(one, n) for n, one in enumerate(checked)]
        assert _cover(of, firsts) == _cover(of, wholes)


def _cover(of: Job, firsts: Sequence[tuple[Verdict, int]]) -> object:
    blocks = cover_of(of, firsts).beside
    return [(block.title, list(map(repr, block.rows(90.0)))) for block in blocks]
