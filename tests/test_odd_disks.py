"""A full disk and a read-only one: one clear message, and nothing half-written.

Needs the right to mount a small file system in memory; left out where there is none.
"""

import subprocess
from collections.abc import Generator
from pathlib import Path

import pytest
from typer.testing import CliRunner

from detailgen.cli import app
from detailgen.errors import UserError
from detailgen.output import put_file, write_all, write_new

JOB = '[project]\nname = "Trial"\n[[condition]]\nid = "W1"\nkind = "wall"\n'
OLD = {"pdf/a.pdf": b"old", "b.txt": b"old"}


def mount(*arguments: str) -> bool:
    try:
        done = subprocess.run(["mount", *arguments], capture_output=True, check=False)
    except OSError:
        return False
    return done.returncode == 0


@pytest.fixture
def disk(tmp_path: Path) -> Generator[Path]:
    """A disk of 64 KiB."""
    place = tmp_path / "disk"
    place.mkdir()
    if not mount("-t", "tmpfs", "-o", "size=64k", "tmpfs", str(place)):
        pytest.skip("nothing may be mounted here")
    try:
        yield place
    finally:
        subprocess.run(["umount", str(place)], check=True)


def content(folder: Path) -> dict[str, bytes]:
    files = (p for p in folder.rglob("*") if p.is_file())
    return {str(p.relative_to(folder)): p.read_bytes() for p in files}


def everything(folder: Path) -> set[str]:
    return {str(p.relative_to(folder)) for p in folder.rglob("*")}


def test_a_full_disk_keeps_the_old_files(disk: Path) -> None:
    write_all(disk, OLD)
    before = everything(disk)
    new = {"pdf/a.pdf": b"new", "b.txt": b"n" * 200_000, "svg/c.svg": b"new"}
    with pytest.raises(UserError, match="no space left"):
        write_all(disk, new)
    assert content(disk) == OLD
    assert everything(disk) == before
    with pytest.raises(UserError, match="no space left"):
        put_file(disk / "b.txt", b"n" * 200_000, replace=True)
    with pytest.raises(UserError, match="no space left"):
        write_new(disk / "new.toml", b"n" * 200_000)
    assert content(disk) == OLD
    assert everything(disk) == before


def test_a_read_only_disk_is_told(disk: Path) -> None:
    write_all(disk, OLD)
    if not mount("-o", "remount,ro", str(disk)):
        pytest.skip("nothing may be mounted again here")
    for do in (
        lambda: write_all(disk, {"b.txt": b"new"}),
        lambda: write_all(disk / "new", {"b.txt": b"new"}),
        lambda: put_file(disk / "b.txt", b"new", replace=True),
        lambda: write_new(disk / "new.toml", b"new"),
    ):
        with pytest.raises(UserError, match="read-only"):
            do()
    assert content(disk) == OLD


@pytest.mark.parametrize("options", ["size=64k", "ro"])
@pytest.mark.parametrize(
    "command",
    [["draw", "--format", "pdf", "--format", "dxf"], ["takeoff"], ["teach"]],
    ids=lambda c: c[0],
)
def test_commands_tell_it_in_one_message(
    disk: Path, tmp_path: Path, options: str, command: list[str]
) -> None:
    (tmp_path / "job.toml").write_text(JOB, encoding="utf-8")
    write_all(disk, {"filling": b"x" * 60_000})
    assert mount("-o", f"remount,{options}", str(disk))
    before = content(disk)
    name, *more = command
    given = [name, str(tmp_path / "job.toml"), "--out", str(disk / "out"), *more]
    result = CliRunner().invoke(app, given)
    assert result.exit_code == 2, result.output
    assert "Traceback" not in result.output
    assert result.stderr.count("nothing was written") == 1
    assert content(disk) == before
    assert not (disk / "out").exists()
