"""Flat TOML tables of data: read strictly, with every mistake told at once.

A data file is a list of tables, one row each: `[some-id]`, then `key = value`. A row hands
out its values by type and remembers what was wrong, so that a person who edits the files
is told of all mistakes together, each with its file, line, key and value.
"""

import re
import tomllib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path
from typing import Final, TypeVar, cast

from detailgen.errors import Problem, UserError, printable
from detailgen.units import parse_length

COMMON_PRACTICE: Final = "common practice, no source"
"""The mark of a figure that has no source."""
KNOWN: Final = ("read", "restated", "memory", "computed", COMMON_PRACTICE)
"""How the figure of a row is known: its source was read, is quoted by others, ..."""
_HUGE: Final = 1e12
"""No number of the data is so large; a whole number may even be too large for a float."""
ID: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9_ -]*")
_NUMBER_AND_WORDS: Final = re.compile(r"\s*([0-9]+(?:\.[0-9]+)?)\s*(\S.*?)\s*")
_TOML_LINE: Final = re.compile(r"at line (\d+)")


def nearest(word: str, known: Iterable[str]) -> str:
    """Return a hint that names the known word most like this one, or nothing."""
    found = get_close_matches(word, list(known), n=1, cutoff=0.6)
    return f"Did you mean {found[0]!r}?" if found else ""


T = TypeVar("T")


class Table(dict[str, T]):
    """Rows by id; to ask for one that is not there tells whoever edited the data."""

    def __init__(self, what: str, where: str, rows: Mapping[str, T]) -> None:
        super().__init__(rows)
        self.what, self.where = what, where

    def __missing__(self, key: str) -> T:
        raise UserError([unknown(self.what, key, self, self.where)])


@dataclass(slots=True)
class Row:
    """One table of a data file, and what is wrong with it."""

    file: Path
    content: str
    """The whole file, to find lines in."""
    id: str
    data: dict[str, object]
    problems: list[Problem]
    asked: set[str] = field(default_factory=set[str])

    def complain(
        self, key: str, message: str, *, allowed: str = "", mend: str = ""
    ) -> None:
        """Note a mistake in the value of `key`; an empty key is the whole row."""
        value = printable(str(self.data[key])) if key in self.data else ""
        shown, own = printable(self.id, 40), printable(key, 40)
        self.problems.append(
            Problem(
                f"{printable(message, 240)} ({shown})",
                file=printable(str(self.file), 200),
                line=line_of(self.content, self.id, key),
                key=f"{shown}.{own}" if key else shown,
                value=value,
                allowed=allowed,
                mend=mend or "Put it right in the data file.",
            )
        )

    def text(self, key: str, default: str | None = None) -> str:
        """Return a text; without a default the key must be there and not empty."""
        value = self._raw(key, default)
        if isinstance(value, str) and (value.strip() or default is not None):
            return value
        if key in self.data:
            self.complain(key, f"{key} must be a text between quotes")
        return ""

    def one_of(self, key: str, choices: Iterable[str], default: str | None = None) -> str:
        """Return a text that is one of the choices."""
        value, known = self.text(key, default), tuple(choices)
        if key in self.data and value not in known:
            hint = nearest(value, known)
            self.complain(key, f"{key} is not known", allowed=", ".join(known), mend=hint)
        return value

    def texts(self, key: str, choices: Iterable[str] | None = None) -> tuple[str, ...]:
        """Return a list of texts; empty when the key is missing."""
        value = self._raw(key, ())
        items = cast("list[object]", value) if isinstance(value, list) else []
        known = None if choices is None else tuple(choices)
        good = tuple(
            i for i in items if isinstance(i, str) and (known is None or i in known)
        )
        if key in self.data and (len(good) != len(items) or not items):
            self.complain(
                key,
                f"{key} must be a list of texts",
                allowed=", ".join(known or ('["one", "two"]',)),
            )
        return good

    def flag(self, key: str) -> bool:
        """Return a switch; false when the key is missing."""
        value = self._raw(key, False)
        if isinstance(value, bool):
            return value
        self.complain(key, f"{key} must be true or false", allowed="true, false")
        return False

    def number(self, key: str, *, least: float, most: float) -> float:
        """Return a number within a range, both ends allowed; the key must be there."""
        value = _real(self._raw(key, None))
        if value is not None and least <= value <= most:
            return value
        if key in self.data:
            self.complain(
                key,
                f"{key} must be a number in its range",
                allowed=f"{least:g} to {most:g}",
            )
        return least

    def numbers(self, key: str, *, count: int | None = None) -> tuple[float, ...]:
        """Return a list of numbers; empty when the key is missing."""
        value = self._raw(key, ())
        items = cast("list[object]", value) if isinstance(value, list) else []
        good = tuple(n for n in map(_real, items) if n is not None)
        wrong = len(good) != len(items) or (count is not None and len(good) != count)
        if key in self.data and wrong:
            amount = "numbers" if count is None else f"{count} numbers"
            self.complain(key, f"{key} must be a list of {amount}")
            return (0.0,) * (count or 0)
        return good

    def length(self, key: str, default: str | None = None) -> float:
        """Return a length in mm, written as text with its unit."""
        return self.read(key, parse_length, default, '"2.4 mm", "1 1/2 in", "70 mil"')

    def amount(self, key: str, factors: dict[str, float]) -> float:
        """Return a number times the factor of the unit written after it; 0 when missing."""

        def parse(text: str) -> float:
            return parse_amount(text, factors)

        return self.read(key, parse, "", " | ".join(f"<number> {unit}" for unit in factors))

    def read(
        self, key: str, parse: Callable[[str], float], default: str | None, allowed: str
    ) -> float:
        """Return what `parse` makes of a text; an empty default gives 0."""
        text = self.text(key, default)
        if not text:
            return 0.0
        try:
            return parse(text)
        except ValueError as error:
            self.complain(key, f"{key} cannot be read: {error}", allowed=allowed)
            return 0.0

    def tables(self, key: str) -> list["Row"]:
        """Return the rows of an array of tables inside this row."""
        value = self._raw(key, ())
        items = cast("list[object]", value) if isinstance(value, list) else []
        good = [cast("dict[str, object]", i) for i in items if isinstance(i, dict)]
        if key in self.data and len(good) != len(items):
            self.complain(key, f"{key} must be a list of tables {{ ... }}")
        return [self.part(table) for table in good]

    def part(self, data: dict[str, object]) -> "Row":
        """Return a table inside this row as a row; what is wrong with it is told here."""
        return Row(self.file, self.content, self.id, data, self.problems)

    def table(self, key: str) -> dict[str, object]:
        """Return a table inside this row; empty when the key is missing."""
        value = self._raw(key, ())
        if isinstance(value, dict):
            return cast("dict[str, object]", value)
        if key in self.data:
            self.complain(key, f"{key} must be a table {{ ... }}")
        return {}

    def done(self) -> None:
        """Complain of every key that nobody asked for."""
        for key in self.data:
            if key not in self.asked:
                self.complain(
                    key,
                    f"unknown key '{printable(key, 40)}'",
                    allowed=", ".join(sorted(self.asked)),
                    mend=nearest(key, self.asked),
                )

    def _raw(self, key: str, default: object) -> object:
        self.asked.add(key)
        if key not in self.data and default is None:
            self.complain("", f"{key} is missing", mend=f"Add {key} to the row.")
        return self.data.get(key, default)


def _real(value: object) -> float | None:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return None
    return float(value) if abs(value) < _HUGE else None


def read_rows(file: Path, problems: list[Problem]) -> list[Row]:
    """Return the rows of a data file in their order; mistakes are added to `problems`."""
    named = printable(str(file), 200)
    try:
        content = file.read_text(encoding="utf-8-sig")
        data = cast("dict[str, object]", tomllib.loads(content))
    except OSError as error:
        told = f"cannot be read: {error.strerror}"
        problems.append(Problem(told, named, mend="See to its place and permissions."))
        return []
    except UnicodeDecodeError:
        problems.append(Problem("is not UTF-8 text", named, mend="Save it as UTF-8."))
        return []
    except (ValueError, RecursionError) as error:
        problems.append(_not_toml(error, file.read_text(encoding="utf-8-sig"), named))
        return []
    rows: list[Row] = []
    for name, table in data.items():
        values = cast("dict[str, object]", table) if isinstance(table, dict) else {}
        row = Row(file, content, name, values, problems)
        if not isinstance(table, dict) or ID.fullmatch(name) is None:
            row.complain("", "a data file holds tables only, [id] and then its keys")
        else:
            rows.append(row)
    return rows


def _not_toml(error: Exception, content: str, named: str) -> Problem:
    """Return what keeps a data file from being read, with the line where it shows."""
    lines = content.splitlines()
    found = _TOML_LINE.search(str(error))
    if isinstance(error, RecursionError):
        told, line = "is not valid TOML: it goes too deep", _deepest(lines)
    elif isinstance(error, tomllib.TOMLDecodeError):
        told = f"is not valid TOML: {printable(str(error), 120)}"
        line = int(found[1]) if found else max(len(lines), 1)
    else:  # a whole number of thousands of digits
        told = "holds a number with too many digits to be read"
        line = max(range(len(lines)), key=lambda n: _digits(lines[n])) + 1
    shown = printable(lines[line - 1].strip()) if lines else ""
    mend = "Put it right in the data file."
    return Problem(told, named, line, value=shown, mend=mend)


def _deepest(lines: Sequence[str]) -> int:
    return (
        max(range(len(lines)), key=lambda n: lines[n].count("[") + lines[n].count("{")) + 1
    )


def _digits(line: str) -> int:
    return max(map(len, re.findall(r"[0-9_]+", line)), default=0)


def line_of(content: str, row_id: str, key: str) -> int | None:
    """Return the line of a key in a row of a data file, or of the row, or None."""
    name = rf"[\"']?{re.escape(row_id)}[\"']?"
    header = re.compile(rf"\s*(\[\[?\s*{name}\s*[\].]|{name}\s*=)")
    entry = re.compile(rf"\s*{re.escape(key)}\s*=")
    start: int | None = None
    for number, line in enumerate(content.splitlines(), 1):
        if start is None:
            start = number if header.match(line) else None
        elif key and entry.match(line):
            return number
        elif line.lstrip().startswith("["):
            break
    return start


def place_of(folder: Path, row_id: str, key: str) -> tuple[str, int | None]:
    """Return the file of a folder that holds a row, and the line of a key of it."""
    for file in sorted(folder.glob("*.toml")):
        content = file.read_text(encoding="utf-8-sig")
        if line := line_of(content, row_id, key):
            return printable(str(file), 200), line
    return printable(str(folder), 200), None


def parse_amount(text: str, factors: dict[str, float]) -> float:
    """Return a number times the factor of its unit.

    Raises:
        ValueError: The text is not a number and one of the units.
    """
    found = _NUMBER_AND_WORDS.fullmatch(text)
    if found is None or found[2] not in factors:
        msg = f"{text!r} is not a number with one of the units {', '.join(factors)}"
        raise ValueError(msg)
    return float(found[1]) * factors[found[2]]


def unknown(
    what: str, name: str, known: Iterable[str], where: str, key: str = ""
) -> Problem:
    """Return the problem of a name that is not among the known ones."""
    names = sorted(known)
    return Problem(
        f"the {where} has no {what} '{printable(name, 40)}'",
        key=key,
        value=printable(name),
        allowed=", ".join(names),
        mend=nearest(name, names) or "Use one of the allowed names.",
    )


def twice(key: str, name: str) -> Problem:
    """Return the problem of something that a job overrides twice."""
    return Problem(
        f"{name} is overridden twice", key=key, value=name, mend="Keep one of the two."
    )


def data_files(folder: Path, problems: list[Problem]) -> list[Path]:
    """Return the data files of a folder in the order of their names."""
    files = sorted(folder.glob("*.toml")) if folder.is_dir() else []
    if not files:
        problems.append(
            Problem(
                "there are no data files here",
                file=str(folder),
                mend="Give a catalogue folder with materials, rules and drafting in it.",
            )
        )
    return files


def source_of(row: Row) -> tuple[str, str]:
    """Return what a sheet prints as the source of a row's figures, and how it is known."""
    known = row.one_of("known", KNOWN)
    source = row.text("source", "")
    if known == COMMON_PRACTICE and source:
        row.complain("source", f"a row marked {COMMON_PRACTICE!r} has no source")
    if known in {"read", "restated", "computed"} and not source:
        row.complain("known", "a figure that is known so needs its source")
    if known == COMMON_PRACTICE or not source:
        # A figure that is merely remembered, with no document behind it, has no source.
        return COMMON_PRACTICE, known
    return f"{source} - {known}", known


def colour_of(row: Row, key: str) -> tuple[int, int, int]:
    """Return a colour, a list of three whole numbers from 0 to 255."""
    red, green, blue = row.numbers(key, count=3) or (0.0, 0.0, 0.0)
    if not all(0 <= part <= 255 and part == int(part) for part in (red, green, blue)):
        row.complain(key, f"{key} must be three whole numbers from 0 to 255")
    return int(red), int(green), int(blue)
