"""Holds tables of values to their models, and tells in plain words what does not fit."""

from collections.abc import Callable, Mapping
from datetime import date, datetime, time
from typing import Any, Final, NamedTuple, TypeVar, cast

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from detailgen.loader._complaints import Complaints, nearest, suggestion
from detailgen.loader._places import Path
from detailgen.loader.fields import Kind, Told, quoted, told
from detailgen.parameters import FROM_FILE, Model

ModelT = TypeVar("ModelT", bound=Model)

_RANGES: Final = frozenset({
    "greater_than",
    "greater_than_equal",
    "less_than",
    "less_than_equal",
    "finite_number",
})
_LENGTHS_OF_TEXT: Final = {
    "string_too_short": "the text is too short",
    "string_too_long": "the text is too long",
    "string_pattern_mismatch": "the text holds signs that it may not",
    "too_long": "the list is too long",
    "too_short": "the list is too short",
}
_WRONG_TYPES: Final = {
    Kind.TABLE: "a table in braces is needed",
    Kind.TABLES: "tables are needed, each with its keys",
    Kind.CHOICES: "a list of texts is needed",
    Kind.TEXTS: "a list of texts is needed",
    Kind.POINTS: "a list of points is needed",
    Kind.LENGTHS: "a list of lengths is needed",
    Kind.WHOLE: "a whole number is needed",
    Kind.NUMBER: "a number is needed",
    Kind.SWITCH: "true or false is needed",
}

Homes = Callable[[], Mapping[str, str]]
"""Returns where keys belong: asked when needed, as it loads all kinds of condition."""


def validated(
    model: type[ModelT],
    table: object,
    path: Path,
    complaints: Complaints,
    *,
    elsewhere: Homes = dict[str, str],
) -> ModelT | None:
    """Return the model of a table, or None after noting everything that does not fit.

    Args:
        model: What the table must be.
        table: The values as TOML gives them.
        path: Where the table stands.
        complaints: Takes the mistakes.
        elsewhere: Returns keys of other tables, each with the table's name, for a key
            that was written in the wrong one.
    """
    if not isinstance(table, dict):
        name = path[0] if path else "the file"
        complaints.add(
            path, f"{name} is a table, not a single value", mend=_table_mend(path)
        )
        return None
    values = cast("dict[str, Any]", table)
    try:
        return model.model_validate(values, context={FROM_FILE: True})
    except ValidationError as error:
        fields = {field.key: field for field in told(model)}
        for detail in error.errors(include_url=False):
            _complain(detail, fields, path, complaints, elsewhere)
        return None


def _complain(
    detail: ErrorDetails,
    fields: Mapping[str, Told],
    path: Path,
    complaints: Complaints,
    elsewhere: Homes,
) -> None:
    """Note one mistake that pydantic found."""
    if complaints.full:  # finding the nearest words would take long, for nothing
        complaints.add((*path, *detail["loc"]), detail["type"])
        return
    within, field, rest = _found(detail["loc"], fields)
    if field is None:
        (key, *_), table = rest, within.fields
        complaints.add(
            (*path, *within.path, key),
            f"there is no key {_name(str(key))} here",
            allowed=", ".join(table),
            mend=_unknown_mend(str(key), table, elsewhere()),
        )
        return
    parts = [part for part in rest if isinstance(part, int)]
    complaints.add(
        (*path, *within.path, field.key, *parts[:1]),
        _message(detail, field),
        allowed=field.allowed,
        mend=_mend(detail, field),
    )


class _Within(NamedTuple):
    """A table inside the table that is validated, or that itself."""

    path: Path
    fields: Mapping[str, Told]


def _found(
    loc: tuple[int | str, ...], fields: Mapping[str, Told]
) -> tuple[_Within, Told | None, tuple[int | str, ...]]:
    """Return the table that holds a mistake, the key concerned, and what follows that.

    Without such a key, what follows begins with the key that there is not.
    """
    path: Path = ()
    while True:
        field = fields.get(str(loc[0]))
        if field is None:
            return _Within(path, fields), None, loc
        inner = 2 if field.kind is Kind.TABLES else 1
        if field.of is None or len(loc) <= inner:
            return _Within(path, fields), field, loc[1:]
        path = (*path, *loc[:inner])
        fields, loc = {one.key: one for one in told(field.of)}, loc[inner:]


def _message(detail: ErrorDetails, field: Told) -> str:
    kind = detail["type"]
    if kind == "missing":
        return f"the key {field.key} is missing"
    if kind == "value_error":
        return str(detail.get("ctx", {}).get("error", detail["msg"]))
    if kind in _RANGES:
        return "out of range"
    if kind in {"literal_error", "enum"}:
        return "not one of the choices"
    if kind in _LENGTHS_OF_TEXT:
        return _LENGTHS_OF_TEXT[kind]
    return _WRONG_TYPES.get(field.kind, "text in quotes is needed")


def _mend(detail: ErrorDetails, field: Told) -> str:
    given = detail["input"]
    if detail["type"] == "missing":
        return f"Add a line, such as: {field.key} = {quoted(field.example)}"
    if field.choices and isinstance(given, str):
        return suggestion(given, field.choices)
    if detail["type"] == "string_type" and isinstance(given, int | float | date | time):
        shown = given.isoformat() if isinstance(given, date | datetime | time) else given
        return f'Put it in quotes: {field.key} = "{shown}"'
    return ""


def _unknown_mend(
    key: str, fields: Mapping[str, Told], elsewhere: Mapping[str, str]
) -> str:
    if key in elsewhere:
        return f"It belongs in {elsewhere[key]}."
    if close := nearest(key, fields):
        return f"Did you mean {close}?"
    return "Take it out; `detailgen kinds` lists what there is."


def _table_mend(path: Path) -> str:
    name = ".".join(str(part) for part in path[:1])
    header = f"[[{name}]]" if len(path) > 1 else f"[{name}]"
    return f"Write {header} on a line of its own and the keys below it."


def _name(key: str) -> str:
    return key if key.isidentifier() else "of that name"
