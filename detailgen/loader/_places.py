"""Where in a TOML text each value stands: tomllib reads the values but keeps no places.

The text has already been read by tomllib, so it is valid: this scanner only has to find
its way, and never judges.
"""

import tomllib
from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

Path = tuple[str | int, ...]
"""Keys and list positions that lead to a value: `("condition", 0, "height")`."""

DEEPEST: Final = 8
"""Longest path whose place is kept: no parameter file goes as deep."""

_SPACE: Final = " \t"
_BLANK: Final = " \t\n"
_BARE_ENDS: Final = frozenset(",]}#\n")
_LONG_QUOTES: Final = ('"""', "'''")


@dataclass(frozen=True, slots=True)
class Place:
    """The line on which a value starts, and the value as it was written (not a table's)."""

    line: int
    written: str = ""


def find_places(text: str) -> Mapping[Path, Place]:
    """Return the place of every table, key and list item of a valid TOML text."""
    scanner = _Scanner(text.replace("\r\n", "\n"))
    scanner.scan()
    return scanner.places


class _Scanner:
    """Walks over a valid TOML text, statement by statement."""

    def __init__(self, text: str) -> None:
        self.places: dict[Path, Place] = {}
        self._text = text
        self._at = 0
        self._line_starts = [0, *(i + 1 for i, sign in enumerate(text) if sign == "\n")]
        self._repeated: dict[Path, int] = {}
        """How many `[[name]]` headers each name has had so far."""

    def scan(self) -> None:
        """Fill `places`."""
        table: Path = ()
        self._skip(_BLANK)
        while self._at < len(self._text):
            if self._text[self._at] == "[":
                table = self._header()
            else:
                self._pair(table)
            self._skip(_BLANK)

    def _header(self) -> Path:
        """Read `[name]` or `[[name]]`; return the path of the table it opens."""
        start = self._at
        repeated = self._text.startswith("[[", start)
        self._at += 2 if repeated else 1
        walked: list[str | int] = []
        keys = self._keys()
        for depth, key in enumerate(keys, start=1):
            walked.append(key)
            if len(walked) > DEEPEST:
                continue
            path = tuple(walked)
            self.places.setdefault(path, Place(self._line(start)))
            if repeated and depth == len(keys):
                self._repeated[path] = self._repeated.get(path, 0) + 1
            if path in self._repeated:
                walked.append(self._repeated[path] - 1)
                self.places.setdefault(tuple(walked), Place(self._line(start)))
        self._at += 2 if repeated else 1
        path = tuple(walked)
        self._keep(path, start)
        return path

    def _pair(self, table: Path) -> None:
        """Read `key = value`."""
        start = self._at
        keys = self._keys()
        for depth in range(1, min(len(keys), DEEPEST)):
            self.places.setdefault((*table, *keys[:depth]), Place(self._line(start)))
        self._at += 1  # the equals sign
        self._skip(_SPACE)
        self._value((*table, *keys))

    def _keys(self) -> list[str]:
        """Read a key, dotted or not, and the blanks around it."""
        keys: list[str] = []
        while True:
            self._skip(_SPACE)
            start = self._at
            if self._text[start] in "\"'":
                self._string()
                [key] = tomllib.loads(f"{self._text[start : self._at]} = 0")
            else:
                while self._text[self._at].isalnum() or self._text[self._at] in "_-":
                    self._at += 1
                key = self._text[start : self._at]
            keys.append(key)
            self._skip(_SPACE)
            if self._text[self._at] != ".":
                return keys
            self._at += 1

    def _value(self, path: Path) -> None:
        """Read one value of any kind and note its place."""
        start = self._at
        self._keep(path, start)  # before what is inside, to keep the order of the text
        match self._text[start]:
            case "[":
                self._list(path)
            case "{":
                self._inline_table(path)
            case '"' | "'":
                self._string()
            case _:
                while not self._ended() and self._text[self._at] not in _BARE_ENDS:
                    self._at += 1
        self._keep(path, start, self._text[start : self._at].rstrip())

    def _keep(self, path: Path, start: int, written: str = "") -> None:
        if len(path) <= DEEPEST:
            self.places[path] = Place(self._line(start), written)

    def _list(self, path: Path) -> None:
        self._at += 1
        index = 0
        self._skip(_BLANK)
        while self._text[self._at] != "]":
            self._value((*path, index))
            index += 1
            self._skip(_BLANK)
            if self._text[self._at] == ",":
                self._at += 1
                self._skip(_BLANK)
        self._at += 1

    def _inline_table(self, path: Path) -> None:
        self._at += 1
        self._skip(_BLANK)
        while self._text[self._at] != "}":
            self._pair(path)
            self._skip(_BLANK)
            if self._text[self._at] == ",":
                self._at += 1
                self._skip(_BLANK)
        self._at += 1

    def _string(self) -> None:
        """Pass over a string of any of the four kinds."""
        mark = self._text[self._at]
        if self._text.startswith(_LONG_QUOTES, self._at):
            self._at = self._closing(mark * 3, self._at + 3) + 3
            while self._text.startswith(mark, self._at):  # it may end in quotes of its own
                self._at += 1
        else:
            self._at = self._closing(mark, self._at + 1) + 1

    def _closing(self, quotes: str, start: int) -> int:
        """Return where the closing quotes stand; in basic strings a backslash escapes."""
        at = start
        while not self._text.startswith(quotes, at):
            at += 2 if self._text[at] == "\\" and quotes[0] == '"' else 1
        return at

    def _skip(self, signs: str) -> None:
        """Pass over blanks, and over comments where lines may end."""
        while not self._ended():
            sign = self._text[self._at]
            if sign == "#" and "\n" in signs:
                end = self._text.find("\n", self._at)
                self._at = len(self._text) if end < 0 else end
            elif sign in signs:
                self._at += 1
            else:
                return

    def _ended(self) -> bool:
        return self._at >= len(self._text)

    def _line(self, at: int) -> int:
        return bisect_right(self._line_starts, at)
