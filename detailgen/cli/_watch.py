"""A command that is done again whenever a file is saved."""

import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from time import sleep
from typing import Final

from detailgen.errors import UserError

_BETWEEN: Final = 0.1
"""Seconds between two looks at the files."""


def watched(once: Callable[[], None], files: Sequence[Path]) -> None:
    """Do something now and whenever one of some files is saved, until somebody stops it.

    A mistake in the files is told, and the next save tries again.
    """
    from detailgen import reports

    try:
        while True:
            before = _state(files)
            try:
                once()
            except UserError as error:
                reports.console(stderr=True).print(reports.problems_text(error.problems))
            sys.stderr.write("Waiting for a change; Ctrl-C ends it.\n")
            _wait(files, before)
    except KeyboardInterrupt:
        sys.stderr.write("Ended.\n")


def _wait(files: Sequence[Path], before: object) -> None:
    """Return when the files differ from before and have been left alone for a moment."""
    while (now := _state(files)) == before:
        sleep(_BETWEEN)
    while True:
        sleep(_BETWEEN)
        if now == (now := _state(files)):
            return


def _state(files: Sequence[Path]) -> list[tuple[int, int, int] | None]:
    """Return of each file what changes when it is saved; None where it is not there."""
    found: list[tuple[int, int, int] | None] = []
    for file in files:
        try:
            about = file.stat()
        except OSError:
            found.append(None)
        else:
            found.append((about.st_mtime_ns, about.st_size, about.st_ino))
    return found
