"""Tables of values to the text of a TOML file; the standard library only reads them."""

from collections.abc import Mapping
from datetime import date, time
from typing import Any


def toml(values: Mapping[str, Any]) -> str:
    """Return the text of a TOML file; top-level tables get headers of their own."""
    lines: list[str] = []
    later: list[str] = []
    for key, value in values.items():
        tables = value if isinstance(value, list) else [value]
        if tables and all(isinstance(one, dict) for one in tables):
            for one in tables:
                header = f"[[{_key(key)}]]" if isinstance(value, list) else f"[{_key(key)}]"
                later += [header, *(f"{_key(k)} = {written(v)}" for k, v in one.items())]
        else:
            lines.append(f"{_key(key)} = {written(value)}")
    return "\n".join([*lines, *later]) + "\n"


def written(value: Any) -> str:
    """Return one value as TOML writes it."""
    match value:
        case bool():
            return str(value).lower()
        case dict():
            inner = ", ".join(f"{_key(k)} = {written(v)}" for k, v in value.items())
            return f"{{{inner}}}"
        case list():
            return f"[{', '.join(map(written, value))}]"
        case int() | float():
            return f"{value:d}" if isinstance(value, int) else repr(value)
        case date() | time():
            return value.isoformat()
        case _:
            return _text(str(value))


def _text(text: str) -> str:
    signs = (
        f"\\{s}"
        if s in '"\\'
        else s
        if ord(s) > 31 and ord(s) != 127
        else f"\\u{ord(s):04x}"
        for s in text
    )
    return f'"{"".join(signs)}"'


def _key(key: str) -> str:
    plain = key.isascii() and key.replace("-", "").replace("_", "").isalnum()
    return key if plain else _text(key)
