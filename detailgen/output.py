"""The one place that writes files: all of them, or none.

Everything is written into a fresh folder beside its goal first, and moved into place only
when the last byte is on the disk. Until then the output folder is as it was.

Who writes into a folder holds a lock on it, which the system takes back when the process
ends in whatever way. What a killed run has left is therefore known, and taken away.
"""

import os
import platform
import shutil
import sys
import tempfile
import time
import zlib
from collections.abc import Generator, Iterable, Mapping
from contextlib import ExitStack, contextmanager, suppress
from hashlib import blake2b
from pathlib import Path, PurePosixPath

from detailgen.errors import Problem, UserError, printable

try:
    import fcntl
except ImportError:  # a system without such locks: nothing is guarded, nothing tidied
    fcntl = None

_TEMPORARY = ".detailgen-"
_PATIENCE = 300.0
"""Seconds to wait for another run that makes sheets for the same folder."""
_SOON = 2.0
"""After so many seconds it is told that this one waits."""


class Staging:
    """Files that wait beside an output folder until all of them are there."""

    def __init__(self, folder: Path, beside: Path) -> None:
        self.folder = folder
        """Where they will stand."""
        self.scratch = beside / "scratch"
        """Room for what is needed until then; it is gone when the files are in place."""
        self._beside = beside

    def put(self, name: str, content: bytes) -> None:
        """Write a file to where it waits; any process that this one began may do so.

        Work that is done once more, as when a process has ended early, writes it anew.

        Args:
            name: Its path inside the folder, with forward slashes: `pdf/W1-A.pdf`.
            content: What it holds.

        Raises:
            UserError: It cannot be written.
        """
        with _told(self.folder):
            self._waiting(name).unlink(missing_ok=True)
            _write(self._waiting(name), content)

    def move_in(self, names: Iterable[str]) -> tuple[Path, ...]:
        """Move files that have been put here to where they belong, and return their paths.

        Files of the same name are replaced, others are left alone.

        Raises:
            UserError: One of them cannot stand there; nothing has been changed.
        """
        goals = {self.folder / PurePosixPath(name): name for name in names}
        with _told(self.folder), _fresh(sorted({goal.parent for goal in goals})):
            found = (_blocked(goal, self.folder) for goal in goals)
            if problems := [problem for problem in found if problem]:
                raise UserError(problems)
            for goal, name in goals.items():
                self._waiting(name).replace(goal)
        return tuple(goals)

    def _waiting(self, name: str) -> Path:
        return self._beside / blake2b(name.encode(), digest_size=16).hexdigest()


@contextmanager
def staged(folder: Path) -> Generator[Staging]:
    """Hold an output folder for a run that makes its files one by one.

    Until they are moved in, the folder is as it was. A new folder is taken away again when
    something fails, and so is all that waits.

    Raises:
        UserError: The folder cannot be written to, or another run holds it.
    """
    with ExitStack() as held:
        with _told(folder):
            held.enter_context(_fresh([folder]))
            held.enter_context(_claimed(folder))
            beside = held.enter_context(_beside(folder))
        yield Staging(folder, Path(beside))


def write_all(folder: Path, files: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write files into a folder, all of them or none, and return their paths.

    Args:
        folder: Made when it is missing.
        files: Content by path inside the folder, with forward slashes: `pdf/W1-A.pdf`.
            Files of the same name are replaced, others are left alone.

    Raises:
        UserError: The folder or a file cannot be written; nothing has been changed.
    """
    if not files:  # then no folder is made, either
        return ()
    with staged(folder) as staging:
        for name, content in files.items():
            staging.put(name, content)
        return staging.move_in(files)


def write_new(file: Path, content: bytes) -> None:
    """Write a file that is not there yet, whole or not at all.

    Raises:
        UserError: There is something of that name, or it cannot be written.
    """
    put_file(file, content, replace=False)


def put_file(file: Path, content: bytes, *, replace: bool) -> None:
    """Write one file, whole or not at all.

    Args:
        file: Its path; its folder is there.
        content: What it holds.
        replace: Whether it may take the place of a plain file of this name.

    Raises:
        UserError: There is something of that name, or it cannot be written.
    """
    if not replace:
        check_new(file)
    folder = file.parent
    with _told(file):
        if not folder.is_dir():
            raise UserError([_problem(folder, "there is no such folder")])
        if problem := _blocked(file, folder):
            raise UserError([problem])
        with _claimed(folder), _beside(folder) as beside:
            temporary = Path(beside, "0")
            _write(temporary, content)
            temporary.replace(file)


def check_new(file: Path) -> None:
    """Find out early whether a file would be new.

    Raises:
        UserError: There is something of that name.
    """
    if os.path.lexists(file):
        mend = "Give another name, or take the old file away."
        problem = Problem("there is already a file of this name", _name(file), mend=mend)
        raise UserError([problem])


def check_folder(folder: Path) -> None:
    """Find out early whether a folder can take files.

    Raises:
        UserError: It cannot.
    """
    with _told(folder):
        nearest = next(
            p for p in (folder, *folder.absolute().parents) if os.path.lexists(p)
        )
        if not nearest.is_dir():
            message = "the output goes to a folder, and something else has this name"
            raise UserError([_problem(nearest, message)])
        if not os.access(nearest, os.W_OK | os.X_OK):
            raise UserError([_problem(nearest, "the folder cannot be written to")])


def _blocked(goal: Path, folder: Path) -> Problem | None:
    """Return what stands in the way of a file."""
    if goal.parent != folder and goal.parent.is_symlink():
        return _problem(goal.parent, "this is a link that leads out of the output folder")
    if os.path.lexists(goal) and (goal.is_symlink() or not goal.is_file()):
        return _problem(goal, "something that is not a plain file has the name of a sheet")
    return None


def _write(file: Path, content: bytes) -> None:
    with file.open("xb") as stream:
        stream.write(content)
        stream.flush()
        os.fsync(stream.fileno())


def _beside(folder: Path) -> tempfile.TemporaryDirectory[str]:
    """Return a fresh folder in a folder, whose name says which machine made it."""
    return tempfile.TemporaryDirectory(prefix=_own(), dir=folder)


def _own() -> str:
    machine = zlib.crc32(platform.node().encode(errors="replace"))
    return f"{_TEMPORARY}{machine:08x}-"


@contextmanager
def _claimed(folder: Path) -> Generator[None]:
    """Keep other runs out of a folder, after taking away what dead ones have left.

    Where the system gives no lock, as on some network shares, nothing is taken away: it may
    belong to a run that lives. What another machine has left stays for that one, too: a
    lock may not reach so far.
    """
    if fcntl is None:
        yield
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        if _locked(handle, folder):
            _tidy(folder)
        yield
    finally:
        os.close(handle)


def _locked(handle: int, folder: Path) -> bool:
    """Wait for the lock on a folder; False where there are no locks.

    Raises:
        UserError: Another run holds it for too long.
    """
    assert fcntl is not None
    began, told = time.monotonic(), False
    while True:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            waited = time.monotonic() - began
            if waited > _SOON and not told:
                told = True
                sys.stderr.write(f"Another run works in {_name(folder)}; waiting for it.\n")
            if waited > _PATIENCE:
                message = "another run is writing into this folder"
                mend = "Wait until it is done, or choose another folder with --out."
                raise UserError([Problem(message, _name(folder), mend=mend)]) from None
            time.sleep(0.05)
        except OSError:
            return False
        else:
            return True


def _tidy(folder: Path) -> None:
    """Take away what a run that was killed has left of its unfinished files, and say so."""
    left = [
        path
        for path in sorted(folder.glob(f"{_own()}*"))
        if path.is_dir() and not path.is_symlink()
    ]
    for path in left:
        shutil.rmtree(path)
    if left:
        sys.stderr.write(f"Took away what a killed run had left in {_name(folder)}.\n")


@contextmanager
def _fresh(folders: list[Path]) -> Generator[None]:
    """Make folders, and take the new ones away again when something fails."""
    made: list[Path] = []
    try:
        for folder in folders:
            missing = [p for p in (folder, *folder.parents) if not p.is_dir()]
            for path in reversed(missing):
                path.mkdir()
                made.append(path)
        yield
    except BaseException:
        for path in reversed(made):
            with suppress(OSError):  # somebody else has put something there
                path.rmdir()
        raise


@contextmanager
def _told(path: Path) -> Generator[None]:
    """Turn what the system refuses into something that a user is told."""
    try:
        yield
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or "the path cannot be used").lower()
        culprit = Path(getattr(error, "filename", None) or path)
        told = path if _TEMPORARY in str(culprit) else culprit
        raise UserError([_problem(told, f"cannot be written: {reason}")]) from None


def _problem(path: Path, message: str) -> Problem:
    mend = "Choose another folder with --out, or make room there."
    return Problem(message, _name(path), mend=mend)


def _name(path: Path) -> str:
    return printable(str(path), 200)
