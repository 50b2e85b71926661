"""Ways of spoiling a file: its bytes, its lines, or the values that it holds."""

import re
import tomllib
from collections.abc import Callable
from copy import deepcopy
from random import Random
from typing import Any

from tests.hard.tomls import toml, written
from tests.hard.values import deep, odd

Home = tuple[Any, Any]
"""A table or list, and the key or position of a value in it."""
_RAW = (
    b'"\\ud800"',
    b'"\\U00110000"',
    b"9" * 5000,
    b"[" * 400 + b"]" * 400,
    b"{a." * 50,
    b"0x",
    b'"""',
    b"'''",
    b'"' + b"x" * 70_000 + b'"',
    b"1979-13-45",
    b"+nan",
    b"1__0",
    b"\xff\xfe",
    b'"\xed\xa0\x80"',
    b"[1, 2",
    b"{a = 1",
    b"a.b.c",
    b"= =",
    b'"\xd7\xa9\xd7\x9c"',
    b"{" + b", ".join(b"k%d = 1" % n for n in range(900)) + b"}",
    b"[1]" * 3,
    b"-",
)


def spoilt_bytes(text: bytes, by: Random) -> bytes:
    """Return a text with bytes changed, cut out or put in another coding."""
    way = by.randrange(6)
    if way == 0:
        changed = bytearray(text)
        for _ in range(by.choice([1, 3, 20])):
            changed[by.randrange(len(changed))] = by.randrange(256)
        return bytes(changed)
    if way == 1:
        cut = by.randrange(len(text))
        return text[:cut] + text[cut + by.randrange(80) :]
    if way == 2:
        return text.replace(b"\n", by.choice([b"\r", b"\r\n", b"\0", b"\xe2\x80\xa8"]))
    if way == 3:
        at = by.randrange(len(text))
        return (
            text[:at]
            + by.choice([b"\xed\xa0\x80", b"\xe2\x80\xae", b"\x1b", b"\xc0\xaf"])
            + text[at:]
        )
    if way == 4:
        return text[: by.randrange(len(text))]
    coded = text.decode().encode(by.choice(["utf-16", "utf-32", "cp500"]), "replace")
    return by.choice([b"\xef\xbb\xbf" + text, coded, b"\0" + text, b""])


def spoilt_lines(text: bytes, by: Random) -> bytes:
    """Return a TOML text with lines moved, doubled, or given what is no value."""
    lines = text.split(b"\n")
    keys = [n for n, line in enumerate(lines) if b"=" in line and line[:1] != b"#"]
    for _ in range(by.choice([1, 1, 2, 4]) if keys else 0):
        at, way = by.choice(keys), by.randrange(5)
        key = lines[at].split(b"=")[0]
        if way == 0:
            lines[at] = key + b"= " + by.choice(_RAW)
        elif way == 1:
            other = str(by.choice([0, 0.1, 1, 2.5, 7, 30, 179, 400, 99999])).encode()
            lines[at] = re.sub(rb"\d+(?:\.\d+)?", other, lines[at], count=1)
        elif way == 2:
            lines[at] = lines[by.choice(keys)]
        elif way == 3:
            lines[at] = by.choice([b"x", b"a." * 400, b'"" . ', b"[", b"[["]) + lines[at]
        else:
            lines[at] = lines[at].replace(b'"', b"")
    if by.random() < 0.02:
        lines *= 200
    return b"\n".join(lines)


def spoilt_tables(text: bytes, by: Random, odds: int = 4) -> bytes:
    """Return a TOML text that reads well and says something else here and there."""
    values = tomllib.loads(text.decode())
    for _ in range(1 + by.randrange(odds)):
        homes = _homes(values)
        if not homes:
            break
        by.choice(_CHANGES)(values, homes, by)
    return toml(values).encode(errors="surrogatepass")


def _homes(values: Any) -> list[Home]:
    """Return where every value stands, without those that lie very deep."""
    found: list[Home] = []
    waiting: list[tuple[Any, int]] = [(values, 0)]
    while waiting:
        inside, depth = waiting.pop()
        places = inside.items() if isinstance(inside, dict) else enumerate(inside)
        for key, value in places:
            found.append((inside, key))
            if isinstance(value, dict | list) and depth < 6:
                waiting.append((value, depth + 1))
    return found


def _other(_: Any, homes: list[Home], by: Random) -> None:
    home, key = by.choice(homes)
    home[key] = odd(by)


def _away(_: Any, homes: list[Home], by: Random) -> None:
    home, key = by.choice(homes)
    del home[key]


def _moved(_: Any, homes: list[Home], by: Random) -> None:
    (home, key), (other, there) = by.choice(homes), by.choice(homes)
    other[there] = deepcopy(home[key])


def _renamed(_: Any, homes: list[Home], by: Random) -> None:
    home, key = by.choice(homes)
    if isinstance(home, dict):
        names = [
            "x",
            key + "s",
            key[:-1] or "y",
            "",
            "\u202e",
            "a\nb",
            "id",
            "kind",
            "x" * 300,
        ]
        home[by.choice(names)] = home.pop(key)


def _twice(_: Any, homes: list[Home], by: Random) -> None:
    lists = [home[key] for home, key in homes if isinstance(home[key], list) and home[key]]
    if lists:
        chosen = by.choice(lists)
        most = by.choice([1, 1, 1, 1, 3, 3, 12, 45, 130, 2500])
        chosen += [deepcopy(by.choice(chosen)) for _ in range(most)]


def _wrapped(_: Any, homes: list[Home], by: Random) -> None:
    home, key = by.choice(homes)
    home[key] = [home[key]] if by.random() < 0.5 else {"a": home[key]}


def _sunk(values: Any, homes: list[Home], by: Random) -> None:
    home, key = by.choice(homes)
    home[key] = deep(by.choice([9, 90, 250]), tables=by.random() < 0.5)
    del values


_CHANGES: tuple[Callable[[Any, list[Home], Random], None], ...] = (
    _other,
    _other,
    _other,
    _other,
    _away,
    _away,
    _moved,
    _renamed,
    _twice,
    _wrapped,
    _sunk,
)


def spoilt_cells(text: bytes, by: Random) -> bytes:
    """Return a CSV text with other cells, rows, separators or quotes."""
    rows = [line.split(",") for line in text.decode().splitlines()]
    for _ in range(by.choice([1, 1, 2, 5])):
        row = by.choice(rows)
        way = by.randrange(6)
        value = odd(by)
        cell = value if isinstance(value, str) else written(value)
        if way < 3:
            row[by.randrange(len(row))] = cell.encode(errors="replace").decode()
        elif way == 3:
            row.append(cell.encode(errors="replace").decode())
        elif way == 4:
            rows.append(list(row))
        else:
            row[-1] += by.choice(['"', "'", "\r", "\0", ";", "\t", '"a"b'])
    between = by.choice([",", ",", ";", "\t"])
    return "\n".join(between.join(row) for row in rows).encode()


SPOILING = (
    spoilt_bytes,
    spoilt_lines,
    spoilt_lines,
    spoilt_tables,
    spoilt_tables,
    spoilt_tables,
)
