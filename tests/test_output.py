"""Writing files: all of them or none, and nothing outside the folder."""

import os
import pickle
from collections.abc import Callable
from pathlib import Path

import pytest

from detailgen import output
from detailgen.errors import Problem, UserError
from detailgen.output import check_folder, staged, write_all, write_new

FILES = {"pdf/W1-1.pdf": b"one", "svg/W1-1.svg": b"two", "set.pdf": b"three"}


def tree(folder: Path) -> dict[str, bytes | str]:
    """Return everything in a folder: the content of files, where links lead."""
    found: dict[str, bytes | str] = {}
    for path in sorted(folder.rglob("*")):
        name = str(path.relative_to(folder))
        if path.is_symlink():
            found[name] = str(path.readlink())
        else:
            found[name] = path.read_bytes() if path.is_file() else "folder"
    return found


def test_writes_every_file_and_leaves_no_other(tmp_path: Path) -> None:
    paths = write_all(tmp_path / "new" / "out", FILES)
    assert {
        str(p.relative_to(tmp_path / "new" / "out")): p.read_bytes() for p in paths
    } == FILES
    assert len(tree(tmp_path)) == len(FILES) + 4  # new, out, pdf, svg


def test_a_new_folder_stays_where_somebody_else_has_put_something(tmp_path: Path) -> None:
    def fail() -> None:
        with output.staged(tmp_path / "new" / "out"):
            (tmp_path / "new" / "out" / "mine").write_bytes(b"mine")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        fail()
    assert list(tree(tmp_path)) == ["new", "new/out", "new/out/mine"]


def test_no_files_need_no_folder(tmp_path: Path) -> None:
    assert write_all(tmp_path / "out", {}) == ()
    assert tree(tmp_path) == {}


def test_replaces_its_own_files_and_leaves_others_alone(tmp_path: Path) -> None:
    (tmp_path / "pdf").mkdir()
    (tmp_path / "pdf" / "W1-1.pdf").write_bytes(b"old")
    (tmp_path / "pdf" / "notes.txt").write_bytes(b"mine")
    write_all(tmp_path, FILES)
    assert (tmp_path / "pdf" / "W1-1.pdf").read_bytes() == b"one"
    assert (tmp_path / "pdf" / "notes.txt").read_bytes() == b"mine"


def a_file_for_the_folder(out: Path) -> None:
    out.write_bytes(b"mine")


def a_file_for_a_folder_inside(out: Path) -> None:
    out.mkdir()
    (out / "svg").write_bytes(b"mine")


def a_folder_for_a_file(out: Path) -> None:
    (out / "svg" / "W1-1.svg").mkdir(parents=True)


def a_link_for_a_file(out: Path) -> None:
    (out / "svg").mkdir(parents=True)
    (out.parent / "precious").write_bytes(b"mine")
    (out / "svg" / "W1-1.svg").symlink_to(out.parent / "precious")


def a_link_for_a_folder_inside(out: Path) -> None:
    out.mkdir()
    (out.parent / "elsewhere").mkdir()
    (out / "pdf").symlink_to(out.parent / "elsewhere")


def a_link_to_nowhere(out: Path) -> None:
    out.symlink_to(out.parent / "missing" / "folder")


def a_link_to_itself(out: Path) -> None:
    out.symlink_to(out)


@pytest.mark.parametrize(
    "obstacle",
    [
        a_file_for_the_folder,
        a_file_for_a_folder_inside,
        a_folder_for_a_file,
        a_link_for_a_file,
        a_link_for_a_folder_inside,
        a_link_to_nowhere,
        a_link_to_itself,
    ],
    ids=lambda f: f.__name__,
)
def test_what_stands_in_the_way_is_told_and_nothing_changes(
    tmp_path: Path, obstacle: Callable[[Path], None]
) -> None:
    out = tmp_path / "out"
    obstacle(out)
    before = tree(tmp_path)
    with pytest.raises(UserError) as caught:
        write_all(out, FILES)
    assert tree(tmp_path) == before
    assert all(p.message and p.mend for p in caught.value.problems)
    assert str(tmp_path) in caught.value.problems[0].file


@pytest.mark.parametrize("full_at", range(3))
def test_a_full_disk_changes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, full_at: int
) -> None:
    write_all(tmp_path / "out", {"pdf/W1-1.pdf": b"old"})
    before = tree(tmp_path)
    write, calls = output._write, iter(range(9))

    def until_full(file: Path, content: bytes) -> None:
        if next(calls) == full_at:
            raise OSError(28, "No space left on device", str(file))
        write(file, content)

    monkeypatch.setattr(output, "_write", until_full)
    with pytest.raises(UserError) as caught:
        write_all(tmp_path / "out", FILES)
    [problem] = caught.value.problems
    assert "no space left" in problem.message
    assert problem.file == str(tmp_path / "out")
    assert tree(tmp_path) == before


def test_stopping_midway_changes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(file: Path, content: bytes) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(output, "_write", stop)
    with pytest.raises(KeyboardInterrupt):
        write_all(tmp_path / "out", FILES)
    assert tree(tmp_path) == {}


def test_a_path_that_no_system_takes(tmp_path: Path) -> None:
    for folder in (tmp_path / ("n" * 300), tmp_path / "a\0b"):
        with pytest.raises(UserError):
            write_all(folder, FILES)


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_without_permission(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    for do in (lambda f: write_all(f, FILES), check_folder):
        with pytest.raises(UserError):
            do(tmp_path / "out")
    tmp_path.chmod(0o700)


def test_a_folder_that_the_system_refuses(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "access", lambda *_: False)
    with pytest.raises(UserError, match="cannot be written to"):
        check_folder(tmp_path / "out")


def test_a_folder_is_looked_at_before_the_work(tmp_path: Path) -> None:
    check_folder(tmp_path)
    check_folder(tmp_path / "new" / "folder")
    assert tree(tmp_path) == {}
    (tmp_path / "file").write_bytes(b"")
    for folder in (tmp_path / "file", tmp_path / "file" / "below"):
        with pytest.raises(UserError, match="something else has this name"):
            check_folder(folder)


def test_a_new_file_never_replaces_one(tmp_path: Path) -> None:
    write_new(tmp_path / "job.toml", b"new")
    assert (tmp_path / "job.toml").read_bytes() == b"new"
    (tmp_path / "link.toml").symlink_to(tmp_path / "missing")
    for name in ("job.toml", "link.toml", "missing/job.toml"):
        with pytest.raises(UserError):
            write_new(tmp_path / name, b"newer")
    assert (tmp_path / "job.toml").read_bytes() == b"new"


def test_what_waits_is_out_of_sight_until_all_of_it_is_there(tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "set.pdf").write_bytes(b"old")
    with staged(out) as staging:
        for name, content in FILES.items():
            staging.put(name, content)
        assert {k: v for k, v in tree(out).items() if not k.startswith(".")} == {
            "set.pdf": b"old"
        }
        staging.move_in(FILES)
    assert {k: v for k, v in tree(out).items() if isinstance(v, bytes)} == FILES
    assert not list(out.glob(".*"))


def test_work_that_fails_leaves_a_folder_as_it_was(tmp_path: Path) -> None:
    def fails(folder: Path) -> None:
        with staged(folder) as staging:
            staging.put("set.pdf", b"one")
            raise ValueError("half done")

    for folder in (tmp_path / "new" / "out", tmp_path):
        before = tree(tmp_path)
        with pytest.raises(ValueError, match="half done"):
            fails(folder)
        assert tree(tmp_path) == before


def test_a_file_that_waits_can_come_from_another_process(tmp_path: Path) -> None:
    with staged(tmp_path) as staging:
        if (child := os.fork()) == 0:
            staging.put("set.pdf", b"three")
            os._exit(0)
        os.waitpid(child, 0)
        staging.move_in(["set.pdf"])
    assert (tmp_path / "set.pdf").read_bytes() == b"three"


def test_mistakes_come_whole_from_another_process() -> None:
    told = UserError([Problem("one", "a.toml", line=3), Problem("two")])
    again = pickle.loads(pickle.dumps(told))  # noqa: S301
    assert again.problems == told.problems
    assert str(again) == "one; two"


def test_work_that_is_done_once_more_writes_its_files_anew(tmp_path: Path) -> None:
    with staged(tmp_path) as staging:
        staging.put("a.txt", b"half of it, by a process that has ended")
        staging.put("a.txt", b"all")
        staging.move_in(["a.txt"])
    assert (tmp_path / "a.txt").read_bytes() == b"all"
