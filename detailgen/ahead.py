"""A second process that loads writers while the job is read, and writes some formats then.

Loading the libraries of the writers takes about as long as reading a job and drawing one of
its conditions; on two cores both are done at once. Nothing but time depends on it: where
there is no such process, or it is gone, the work is done in this one.
"""

import os
import pickle
import signal
import sys
from collections.abc import Generator, Sequence
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, BinaryIO, Final

if TYPE_CHECKING:
    from detailgen.printing import Printed
    from detailgen.scene import Scene

# What is imported here delays the other process, so it is little: `multiprocessing` alone
# takes as long as a tenth of what that process is begun for.

_PAGES: Final = "pdf"
"""The format that stays here, because the bound set waits for its pages."""
_SLOW: Final = "dxf"
"""The format that takes about as long as all others together."""
_GONE: Final = (OSError, EOFError, pickle.UnpicklingError)
"""What is raised when there is nobody, or nobody any more, at the other end of a pipe."""


class Ahead:
    """The other process, as this one sees it."""

    def __init__(
        self, formats: Sequence[str], process: int, to: BinaryIO, back: BinaryIO
    ) -> None:
        self.formats = tuple(formats)
        """What it writes."""
        self._process, self._to, self._back = process, to, back
        self._ended = False

    def begin(self, groups: "Sequence[Sequence[Scene]]") -> None:
        """Let it write groups of sheets."""
        with suppress(*_GONE):  # then there is no result
            pickle.dump(groups, self._to, 5)
            self._to.flush()

    def result(self) -> "list[Printed] | None":
        """Return the files of the groups that it was given; None when it is gone."""
        try:
            found: list[Printed] = pickle.load(self._back)  # noqa: S301  (its own)
        except _GONE:
            return None
        return found

    def end(self) -> None:
        """End it, whatever it is doing; nothing happens where it has been ended."""
        if self._ended:
            return
        self._ended = True
        with suppress(ProcessLookupError):
            os.kill(self._process, signal.SIGKILL)
        os.waitpid(self._process, 0)
        for pipe in (self._to, self._back):
            with suppress(OSError):  # what it has not taken is lost with it
                pipe.close()


@contextmanager
def begun_ahead(formats: Sequence[str]) -> "Generator[Ahead | None]":
    """Have another process load the writers of some formats, where that saves time.

    Args:
        formats: What sheets will be written as, by this process and by that one.
    """
    ahead = _begun(formats)
    try:
        yield ahead
    finally:
        if ahead:
            ahead.end()


def _begun(formats: Sequence[str]) -> Ahead | None:
    theirs = _share(formats)
    if not theirs or _cores() < 2:
        return None
    sys.stdout.flush()  # else both would print what waits there
    sys.stderr.flush()
    there, to = os.pipe()
    back, here = os.pipe()
    try:
        process = os.fork()
    except OSError:  # no room for another process
        for end in (there, to, back, here):
            os.close(end)
        return None
    if process:
        os.close(there)
        os.close(here)
        return Ahead(theirs, process, os.fdopen(to, "wb"), os.fdopen(back, "rb"))
    try:
        os.close(to)  # else this process would hold its own pipe open
        os.close(back)
        _serve(os.fdopen(there, "rb"), os.fdopen(here, "wb"), theirs)
    finally:
        os._exit(0)  # nothing of the program goes on in the other process


def _cores() -> int:
    """Return how many cores this process may use; 1 where it cannot be doubled."""
    return len(os.sched_getaffinity(0)) if sys.platform == "linux" else 1


def _share(formats: Sequence[str]) -> tuple[str, ...]:
    """Return which formats another process writes."""
    wanted = (_SLOW, "svg") if _PAGES in formats else (_SLOW,)
    theirs = tuple(name for name in formats if name in wanted)
    return theirs if len(theirs) < len(formats) else ()


def _serve(asked: BinaryIO, answers: BinaryIO, formats: Sequence[str]) -> None:
    """Load, wait for sheets, and send back their files; end when nobody asks any more."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the one that began it ends it
    from detailgen.printing import written
    from detailgen.writers import load

    load(formats)
    with suppress(*_GONE):
        groups: Sequence[Sequence[Scene]] = pickle.load(asked)  # noqa: S301  (its own)
        pickle.dump(written(groups, formats), answers, 5)
        answers.flush()
