"""A short number for any value of the program: equal values, equal numbers.

It does not depend on the process, on the order in which sets are walked, or on where a
value lies in memory. A value of a kind that is not known here is refused: a number that
overlooked something would pass off an old drawing as a new one.
"""

import os
import sys
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import cache
from hashlib import blake2b
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any, Final, cast

from pydantic import BaseModel

_SIZE: Final = 20
"""Bytes of a fingerprint."""
_LIBRARIES: Final = (
    "ezdxf", "fonttools", "matplotlib", "numpy", "pydantic", "reportlab", "shapely",
)  # fmt: skip
"""What a sheet's bytes depend on besides the program."""
_WRITTEN: Final = frozenset({type(None), bool, int, str, bytes})
"""What Python itself writes out in one way only."""


def fingerprint(*values: object) -> str:
    """Return the fingerprint of some values, in order, as hexadecimal digits.

    Raises:
        TypeError: One of them, or a part of it, is of a kind that is not known here.
    """
    return blake2b(repr(_plain(values)).encode(), digest_size=_SIZE).hexdigest()


def sum_of(content: bytes) -> str:
    """Return the check sum of a file's content, as hexadecimal digits."""
    return blake2b(content, digest_size=_SIZE).hexdigest()


@cache
def of_program() -> str:
    """Return the fingerprint of the program itself and of the libraries that it uses."""
    seen = blake2b(digest_size=_SIZE)
    root = Path(__file__).parent
    for name, file in sorted(_sources(root, "")):
        seen.update(f"{name}\n".encode())
        with open(file, "rb", buffering=0) as stream:  # noqa: PTH123  (hundreds of them)
            seen.update(stream.read())
    for name in _LIBRARIES:
        try:
            told = version(name)
        except PackageNotFoundError:
            told = "not installed"
        seen.update(f"{name} {told}\n".encode())
    seen.update(sys.version.encode())
    return seen.hexdigest()


def _sources(folder: Path | str, within: str) -> Iterator[tuple[str, str]]:
    """Yield the name inside the program of each of its files, and its path."""
    with os.scandir(folder) as found:
        for entry in found:
            if entry.name.endswith(".py"):
                yield within + entry.name, entry.path
            elif entry.is_dir():
                yield from _sources(entry.path, f"{within}{entry.name}/")


def _plain(value: object) -> object:
    """Return a value as nested tuples of what Python writes out in one way only."""
    kind = type(value)
    if kind in _WRITTEN:
        return value
    if kind is float:
        return float.hex(cast("float", value))
    if (names := _names(kind)) is not None:
        held = [(name, _plain(getattr(value, name))) for name in names]
        if isinstance(value, BaseModel):
            return kind.__name__, sorted(value.model_fields_set), held
        return kind.__name__, held
    if isinstance(value, Enum):
        return value.name if isinstance(value, int | str) else (kind.__name__, value.name)
    if isinstance(value, int | str | bytes):
        return value
    if isinstance(value, float):
        return float.hex(value)
    return _many(value)


@cache
def _names(kind: type[object]) -> tuple[str, ...] | None:
    """Return what the values of a class hold; None for one that has no fields."""
    if issubclass(kind, BaseModel):
        return tuple(kind.model_fields)
    if is_dataclass(kind):
        return tuple(f.name for f in fields(kind))
    return None


def _many(value: object) -> object:
    """Return what holds other values, each part plain."""
    if isinstance(value, Mapping):
        items = cast("Mapping[Any, Any]", value).items()
        return "mapping", [(_plain(key), _plain(one)) for key, one in items]
    if isinstance(value, tuple | list):
        return [_plain(one) for one in cast("tuple[Any, ...]", value)]
    if isinstance(value, frozenset | set):
        parts = (_plain(one) for one in cast("frozenset[Any]", value))
        return "set", sorted(parts, key=repr)
    message = f"no fingerprint of a {type(value).__name__}"
    raise TypeError(message)
