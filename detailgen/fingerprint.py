"""A short number for any value of the program: equal values, equal numbers.

It does not depend on the process, on the order in which sets are walked, or on where a
value lies in memory. A value of a kind that is not known here is refused: a number that
overlooked something would pass off an old drawing as a new one.
"""

import sys
from collections.abc import Mapping
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
    for file in sorted(root.rglob("*.py")):
        seen.update(f"{file.relative_to(root).as_posix()}\n".encode())
        seen.update(file.read_bytes())
    for name in _LIBRARIES:
        try:
            told = version(name)
        except PackageNotFoundError:
            told = "not installed"
        seen.update(f"{name} {told}\n".encode())
    seen.update(sys.version.encode())
    return seen.hexdigest()


def _plain(value: object) -> object:
    """Return a value as nested tuples of what Python writes out in one way only."""
    if value is None or isinstance(value, bool | int | str | bytes):
        return value.name if isinstance(value, Enum) else value
    if isinstance(value, float):
        return float.hex(value)
    if isinstance(value, Enum):
        return type(value).__name__, value.name
    if isinstance(value, BaseModel):
        given = tuple(sorted(value.model_fields_set))
        held = tuple(
            (name, _plain(getattr(value, name))) for name in type(value).model_fields
        )
        return type(value).__name__, given, held
    if is_dataclass(value) and not isinstance(value, type):
        held = tuple((f.name, _plain(getattr(value, f.name))) for f in fields(value))
        return type(value).__name__, held
    return _many(value)


def _many(value: object) -> object:
    """Return what holds other values, each part plain."""
    if isinstance(value, Mapping):
        items = cast("Mapping[Any, Any]", value).items()
        return "mapping", tuple((_plain(key), _plain(one)) for key, one in items)
    if isinstance(value, tuple | list):
        return tuple(_plain(one) for one in cast("tuple[Any, ...]", value))
    if isinstance(value, frozenset | set):
        parts = (_plain(one) for one in cast("frozenset[Any]", value))
        return "set", tuple(sorted(parts, key=repr))
    message = f"no fingerprint of a {type(value).__name__}"
    raise TypeError(message)
