"""Holds every text of a parameter file to what a sheet can letter."""

import unicodedata
from collections.abc import Iterator
from typing import Any, cast

from detailgen.errors import printable, unprintable
from detailgen.lettering import has_glyphs
from detailgen.loader._complaints import Complaints
from detailgen.loader._file import Document
from detailgen.loader._places import DEEPEST, Path


def check_texts(document: Document, complaints: Complaints) -> None:
    """Note texts with signs that turn lines around, break them, or cannot be drawn."""
    for path, text in _texts(document.values):
        composed = unicodedata.normalize("NFC", text)
        if sign := unprintable(composed):
            complaints.add(
                path,
                f"holds {_named(sign)}, which no sheet can print",
                allowed="one line of letters, digits and signs",
                mend="Type the text anew, without it.",
            )
        elif not has_glyphs(composed):
            sign = next(s for s in composed if not has_glyphs(s))
            complaints.add(
                path,
                f"holds {_named(sign)}, which the typeface of the sheets cannot letter",
                allowed="letters that run from left to right, digits and common signs",
                mend="Write it in other letters.",
            )


def _texts(values: object) -> Iterator[tuple[Path, str]]:
    """Yield every text that could be one of ours with its path, without recursion."""
    waiting: list[tuple[Path, object]] = [((), values)]
    while waiting:
        path, value = waiting.pop()
        if isinstance(value, str):
            yield path, value
        elif len(path) >= DEEPEST:
            continue
        elif isinstance(value, dict):
            table = cast("dict[str, Any]", value)
            waiting += [((*path, key), item) for key, item in table.items()]
        elif isinstance(value, list):
            items = cast("list[Any]", value)
            waiting += [((*path, i), item) for i, item in enumerate(items)]


def _named(sign: str) -> str:
    """Return a sign in words: its Unicode name, which is always plain letters."""
    if sign == "\n":
        return "a line break"
    name = unicodedata.name(sign, "a control character").lower()
    return f"{printable(sign)} ({name}, U+{ord(sign):04X})"
