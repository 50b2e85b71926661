"""Collects what is wrong with a parameter file, each mistake with its place."""

from collections.abc import Iterable
from difflib import get_close_matches

from detailgen.errors import Problem, UserError, printable
from detailgen.loader._file import Document
from detailgen.loader._places import Path, Place

MOST = 500
"""So many mistakes are listed; who makes more has given another kind of file."""


class Complaints:
    """The mistakes found so far in one document; the first about a value is kept."""

    def __init__(self, document: Document) -> None:
        self._document = document
        self._found: dict[Path, Problem] = {}
        self._more = 0

    def __bool__(self) -> bool:
        """Return whether there is any."""
        return bool(self._found)

    @property
    def full(self) -> bool:
        """Return whether so much is wrong that no more will be listed, only counted."""
        return len(self._found) >= MOST

    def about(self, path: Path) -> bool:
        """Return whether there is a complaint about this value or one inside it."""
        return any(known[: len(path)] == path for known in self._found)

    def add(self, path: Path, message: str, *, allowed: str = "", mend: str = "") -> None:
        """Note a mistake in the value at `path`, which may be missing from the file."""
        if self.full:
            self._more += path not in self._found
            return
        place = self._place(path)
        key = next((str(part) for part in reversed(path) if isinstance(part, str)), "")
        problem = Problem(
            message,
            self._document.file,
            place.line,
            key=printable(key, 40),
            value=self._written(path),
            allowed=allowed,
            mend=mend,
        )
        self._found.setdefault(path, problem)

    def line(self, path: Path) -> int:
        """Return the line of a value, or of the table that should hold it."""
        return self._place(path).line

    def tell(self) -> None:
        """Raise what was found, in the order of the file.

        Raises:
            UserError: There is something to tell.
        """
        told = sorted(self._found.values(), key=lambda p: p.line or 0)
        if self._more:
            more = f"{self._more} more mistakes are not listed"
            told.append(Problem(more, self._document.file, mend="Mend these first."))
        if told:
            raise UserError(told)

    def _written(self, path: Path) -> str:
        """Return the value as it stands in the file; nothing for one that is missing."""
        place = self._document.places.get(path)
        return printable(" ".join(place.written.split())) if place else ""

    def _place(self, path: Path) -> Place:
        while path and path not in self._document.places:
            path = path[:-1]
        return self._document.places.get(path, Place(1))


def nearest(word: str, words: Iterable[str]) -> str:
    """Return the word most like the given one, or nothing when none is like it.

    >>> nearest("hight", ["height", "width"]), nearest("A4", ["ANSI A", "ISO A4"])
    ('height', 'ISO A4')
    """
    plain = {_folded(w): w for w in words}
    wanted = _folded(word)[:64]
    if close := get_close_matches(wanted, plain, n=1, cutoff=0.6):
        return plain[close[0]]
    holding = [w for w in plain if len(wanted) > 1 and (wanted in w or w in wanted)]
    return plain[holding[0]] if holding else ""


def suggestion(word: str, words: Iterable[str]) -> str:
    """Return `Did you mean ...?`, or nothing when no word is like the given one."""
    found = nearest(word, words)
    return f"Did you mean {found}?" if found else ""


def _folded(word: str) -> str:
    return "".join(c for c in word.lower() if c.isalnum())
