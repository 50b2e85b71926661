"""Which files stand in an output folder, in short: a check sum for each.

A file's content is read once; after that its size, its times and its number on the disk
tell that nobody has touched it.
"""

import stat
from collections.abc import Iterable
from pathlib import Path, PurePosixPath
from typing import cast

from detailgen.fingerprint import fingerprint, sum_of
from detailgen.store import Store

_Look = tuple[int, int, int, int]
"""Size, time of the last change of content and of anything, number on the disk."""


class Standing:
    """What an output folder is known to hold."""

    def __init__(self, folder: Path, store: Store) -> None:
        self._folder, self._store = folder, store
        self._entry = f"standing-{fingerprint(str(folder.absolute()))}"
        known = store.get(self._entry)
        self._known: dict[str, tuple[_Look, str]] = {}
        if isinstance(known, dict):  # a copy: what the store has at hand is not changed
            self._known |= cast("dict[str, tuple[_Look, str]]", known)

    def sum_at(self, name: str) -> str | None:
        """Return the check sum of a plain file by its path in the folder; None for none."""
        path = self._folder / PurePosixPath(name)
        if (look := _look(path)) is None:
            return None
        if (known := self._known.get(name)) and known[0] == look:
            return known[1]
        try:
            found = sum_of(path.read_bytes())
        except OSError:
            return None
        self._known[name] = look, found
        return found

    def keep(self, written: Iterable[tuple[str, str]]) -> None:
        """Remember what is known, and files just written with their check sums."""
        for name, summed in written:
            if look := _look(self._folder / PurePosixPath(name)):
                self._known[name] = look, summed
        self._store.put(self._entry, self._known)


def _look(path: Path) -> _Look | None:
    """Return how a plain file looks from outside; None for no such file."""
    try:
        about = path.lstat()
    except OSError:
        return None
    if not stat.S_ISREG(about.st_mode):
        return None
    return about.st_size, about.st_mtime_ns, about.st_ctime_ns, about.st_ino
