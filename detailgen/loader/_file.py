"""From a path to the values of a TOML file and their places, or what is wrong with it."""

import re
import stat
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import Any, Final

from detailgen.errors import Problem, UserError, printable
from detailgen.loader._places import Path, Place, find_places
from detailgen.units import parse_length, parse_slope

LARGEST: Final = 1024 * 1024
"""Bytes; a job of five hundred conditions has a fifth of it."""

_MOST_POINTS: Final = 300
"""In one line: reading a key of thousands of parts would take all memory."""
_AT_LINE: Final = re.compile(r"(.*) \(at line (\d+), column \d+\)", re.DOTALL)
_OPENING: Final = re.compile(r"[\[{][\[{\w\s=.]*")
_DIGITS: Final = re.compile(r"[0-9_]+")
_BARE_VALUE: Final = re.compile(r"\s*([A-Za-z0-9_-]+)\s*=\s*([^\[{#]+?)\s*(?:#.*)?")
_SLIPS: Final = {
    "overwrite": "The key stands twice in its table: take one of the two out.",
    "declare": "The table stands twice: put its keys together under one header.",
    "Illegal character": "Close the quotes on the line on which they were opened.",
    "Unterminated string": "Close the quotes on the line on which they were opened.",
}
"""What tomllib complains of, and how to mend that."""


@dataclass(frozen=True, slots=True)
class Document:
    """A parameter file as it was written."""

    file: str
    """The path as the user gave it."""
    values: Mapping[str, Any]
    places: Mapping[Path, Place]


def read_document(path: FilePath) -> Document:
    """Return the values of a TOML file with the place of each.

    Raises:
        UserError: It cannot be read, or it is not TOML.
    """
    file = printable(str(path), 200)
    return document_of(_decoded(_bytes_of(path, file), file), file)


def read_text(path: FilePath) -> str:
    """Return the text of a TOML file.

    Raises:
        UserError: It cannot be read.
    """
    file = printable(str(path), 200)
    return _decoded(_bytes_of(path, file), file)


def document_of(text: str, file: str) -> Document:
    """Return the values of a TOML text with the place of each.

    Raises:
        UserError: It is not TOML.
    """
    for number, line in enumerate(text.splitlines(), 1):
        if line.count(".") > _MOST_POINTS:
            raise UserError([
                Problem(
                    "the line holds too many points",
                    file,
                    number,
                    value=printable(line.strip()),
                    allowed=f"up to {_MOST_POINTS} points in a line",
                    mend="Write shorter keys, or a list over several lines.",
                )
            ])
    try:
        values = tomllib.loads(text)
        places = find_places(text)
    except tomllib.TOMLDecodeError as error:
        raise UserError([_syntax_problem(str(error), text, file)]) from None
    except RecursionError:
        told = "lists or tables lie too deep in one another"
        raise UserError([_worst(told, _OPENING, text, file)]) from None
    except ValueError:  # an integer of thousands of digits
        told = "a number has too many digits to be read"
        raise UserError([_worst(told, _DIGITS, text, file)]) from None
    return Document(file, values, places)


def _bytes_of(path: FilePath, file: str) -> bytes:
    """Return the content of a regular file of reasonable size."""
    mend = "Give the path of a parameter file; `detailgen start` writes one."
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise UserError([
                Problem("this is a folder, not a parameter file", file, mend=mend)
            ])
        if not stat.S_ISREG(status.st_mode):
            raise UserError([Problem("this is not a regular file", file, mend=mend)])
        if status.st_size > LARGEST:
            message = (
                f"the file is larger than a parameter file may be ({status.st_size} bytes)"
            )
            raise UserError([Problem(message, file, allowed=f"at most {LARGEST} bytes")])
        return path.read_bytes()
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "the path cannot be used"
        problem = Problem(f"the file cannot be read: {reason.lower()}", file, mend=mend)
        raise UserError([problem]) from None


def _decoded(content: bytes, file: str) -> str:
    """Return the bytes as text; only UTF-8 is TOML."""
    mend = "Save the file as plain text in UTF-8."
    if b"\0" in content:
        raise UserError([Problem("the file is binary, not text in UTF-8", file, mend=mend)])
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        problem = Problem("the file is not text in UTF-8", file, line, mend=mend)
        raise UserError([problem]) from None


def _syntax_problem(told: str, text: str, file: str) -> Problem:
    """Return what tomllib says, with its line and, for a known slip, how to mend it."""
    found = _AT_LINE.fullmatch(told)
    what = found[1] if found else told.partition(" (at ")[0]
    what = printable(what.rstrip("."), 120)
    lines = text.replace("\r\n", "\n").split("\n")
    number = int(found[2]) if found else len(lines)
    line = lines[number - 1]
    message = f"not valid TOML, so the rest was not read: {what[:1].lower()}{what[1:]}"
    key, _, value = (part.strip() for part in line.partition("="))
    return Problem(
        message,
        file,
        number,
        key=printable(key, 40) if value else "",
        value=printable(value or line.strip()),
        mend=next((m for sign, m in _SLIPS.items() if sign in what), _mend_of(line)),
    )


def _worst(told: str, sign: re.Pattern[str], text: str, file: str) -> Problem:
    """Return a problem of the line that holds the longest row of some signs."""

    def longest(line: str) -> int:
        return max(map(len, sign.findall(line)), default=0)

    number, line = max(enumerate(text.split("\n"), 1), key=lambda one: longest(one[1]))
    key, _, value = (part.strip() for part in line.partition("="))
    mend = "Take the value out, or write it as the README shows."
    return Problem(
        told,
        file,
        number,
        key=printable(key, 40) if value else "",
        value=printable(value or line.strip()),
        mend=mend,
    )


def _mend_of(line: str) -> str:
    """Return how to put a line right on which a length stands without quotes."""
    found = _BARE_VALUE.fullmatch(line)
    if not found:
        return "See the other lines of the file, or a fresh one from `detailgen start`."
    key, value = found.groups()
    bare = value.strip("\"'") if value[0] in "\"'" else value
    for written in (value, bare):
        if _is_amount(written):
            plain = written.replace('"', " in").replace("  ", " ")
            return f'Put the value in quotes: {key} = "{plain}"'
    return 'Put text and lengths in quotes: title = "North parapet", height = "8 in"'


def _is_amount(text: str) -> bool:
    for parse in (parse_length, parse_slope):
        try:
            parse(text)
        except ValueError:
            continue
        return True
    return False
