"""What earlier runs have worked out, kept in a folder of the user's.

Entries have the fingerprint of all that they follow from as their name, so none is ever out
of date; one that is missing, damaged or from elsewhere counts as not there. Nothing depends
on the store but how long a run takes.
"""

import io
import os
import pickle
import stat
import sys
import tempfile
from contextlib import suppress
from hashlib import blake2b
from pathlib import Path
from typing import Final, Protocol

MOST: Final = 256 * 2**20
"""Bytes that the store may hold; then those that have not been used for longest go."""
_PRUNED: Final = 64
"""After so many new entries the store is looked through for what is too much."""
_SUM: Final = 16
"""Bytes of the check sum before an entry's content."""
_KNOWN: Final = ("detailgen.",)
_PLAIN: Final = frozenset({("builtins", "frozenset"), ("builtins", "set")})


class Store(Protocol):
    """Somewhere to look up what has been worked out before."""

    def get(self, name: str) -> object | None:
        """Return a value; None where there is none of that name."""
        ...

    def put(self, name: str, value: object) -> bool:
        """Keep a value, and return whether that could be done."""
        ...


class Nothing:
    """A store that keeps nothing."""

    def get(self, name: str) -> None:
        """Return None."""
        del name

    def put(self, name: str, value: object) -> bool:
        """Return that it is not kept."""
        del name, value
        return False


class FolderStore:
    """A store in a folder that belongs to the user alone."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._new = 0

    def get(self, name: str) -> object | None:
        """Return a value; None where there is none, or none that is whole."""
        path = self._folder / name
        try:
            content = path.read_bytes()
            if blake2b(content[_SUM:], digest_size=_SUM).digest() != content[:_SUM]:
                return None
            value = unpacked(content[_SUM:])
            os.utime(path)
        except (OSError, pickle.UnpicklingError, AttributeError, EOFError, ImportError):
            return None
        return value

    def put(self, name: str, value: object) -> bool:
        """Keep a value, whole or not at all, and return whether that could be done."""
        content = pickle.dumps(value, 5)
        summed = blake2b(content, digest_size=_SUM).digest() + content
        with suppress(OSError):
            self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            if self._foreign():
                return False
            handle, temporary = tempfile.mkstemp(dir=self._folder, prefix=".new-")
            try:
                with os.fdopen(handle, "wb") as stream:
                    stream.write(summed)
                Path(temporary).replace(self._folder / name)
            except OSError:
                Path(temporary).unlink(missing_ok=True)
                return False
            self._new += 1
            if self._new % _PRUNED == 1:
                self._prune()
            return True
        return False

    def _foreign(self) -> bool:
        """Return whether somebody else could put something into the folder."""
        if sys.platform == "win32":
            return False
        about = self._folder.stat()
        writable = about.st_mode & (stat.S_IWGRP | stat.S_IWOTH)
        return about.st_uid != os.getuid() or bool(writable)

    def _prune(self) -> None:
        entries = [(p.stat().st_mtime, p.stat().st_size, p) for p in self._folder.iterdir()]
        held = sum(size for _, size, _ in entries)
        for _, size, path in sorted(entries):
            if held <= MOST:
                return
            path.unlink(missing_ok=True)
            held -= size


def unpacked(content: bytes) -> object:
    """Return a value that has been pickled, if it is of this program's own kinds.

    Raises:
        UnpicklingError: It is not.
    """
    return _Reader(io.BytesIO(content)).load()


class _Reader(pickle.Unpickler):  # noqa: S301  (it takes only what it knows)
    """Reads values of this program's own kinds and nothing else."""

    def find_class(  # pyright: ignore[reportImplicitOverride]
        self, module_name: str, global_name: str
    ) -> type:
        """Return one of the program's own classes.

        Raises:
            UnpicklingError: It is another's.
        """
        known = module_name.startswith(_KNOWN) or (module_name, global_name) in _PLAIN
        found = super().find_class(module_name, global_name) if known else None
        if not isinstance(found, type):
            message = f"{module_name}.{global_name} is nothing that is kept"
            raise pickle.UnpicklingError(message)
        return found
