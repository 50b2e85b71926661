"""What a parameter file may say, field by field: read off the models, never typed twice.

The messages of the loader, the list of parameters, the starter files and the JSON Schema
all come from here.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum, StrEnum
from functools import cache
from typing import Annotated, Any, Literal, cast, get_args, get_origin

from pydantic.fields import FieldInfo

from detailgen.parameters import Model


class Kind(StrEnum):
    """What sort of value a key takes."""

    LENGTH = "length"
    SLOPE = "slope"
    LENGTHS = "list of lengths"
    MATERIAL = "material"
    CHOICE = "choice"
    SWITCH = "switch"
    WHOLE = "whole number"
    NUMBER = "number"
    TEXT = "text"
    RULE_VALUE = "value of a rule"
    RULE_SETS = "rule sets"
    CHOICES = "choices"
    TEXTS = "texts"
    POINT = "point"
    POINTS = "points"
    COORDINATE = "coordinate"
    TABLE = "table"
    TABLES = "tables"


LISTS = frozenset({Kind.LENGTHS, Kind.CHOICES, Kind.TEXTS, Kind.POINTS, Kind.TABLES})
BARE = frozenset({Kind.SWITCH, Kind.WHOLE, Kind.NUMBER, *LISTS})
"""Kinds of values that are written without quotes."""


@dataclass(frozen=True, slots=True)
class Told:
    """One key of a table: what it is for, what it may be, what it is by default."""

    key: str
    kind: Kind
    about: str
    allowed: str
    default: str
    """As it would be written, without quotes; empty when it comes from elsewhere."""
    by_rule: str = ""
    """Id of the rule row that gives the default."""
    required: bool = False
    choices: tuple[str, ...] = ()
    least: float | None = None
    most: float | None = None
    """Limits of a number, of a text's length or of a list's length."""
    pattern: str = ""
    family: str = ""
    """Family of the materials that may be named."""
    example: str = ""
    """A valid value, for where there is no default."""
    of: type[Model] | None = None
    """What the table is, or each of the tables."""

    @property
    def written(self) -> str:
        """Return the default as TOML; empty when it comes from elsewhere."""
        bare = self.kind in BARE
        return self.default if bare or not self.default else quoted(self.default)


def quoted(text: str) -> str:
    """Return plain text as a TOML string."""
    quote = "'" if '"' in text else '"'
    return f"{quote}{text}{quote}"


@cache
def told(model: type[Model]) -> tuple[Told, ...]:
    """Return what each key of a table may be, in the order of the model."""
    return tuple(_told(name, field) for name, field in model.model_fields.items())


def _told(key: str, field: FieldInfo) -> Told:
    extra = _extra(field)
    kind, choices = _kind(field, extra)
    low, high = _limits(field)
    default = extra.get("default_text", "") or _plain(field.get_default())
    if extra.get("by_rule"):
        default = extra.get("default_text", "")
    return Told(
        key=key,
        kind=kind,
        about=field.description or "",
        allowed=_allowed(field, kind, choices),
        default="" if field.is_required() else default,
        by_rule=extra.get("by_rule", ""),
        required=field.is_required(),
        choices=choices,
        least=low,
        most=high,
        pattern=_metadata(field, ("pattern",)) or "",
        family=extra.get("family", ""),
        example=str(field.examples[0]) if field.examples else extra.get("least_text", ""),
        of=_tables(field)[0],
    )


def _tables(field: FieldInfo) -> tuple[type[Model] | None, bool]:
    """Return the model of a table inside the table, and whether there may be several."""
    for kind in _types(field.annotation):
        several = get_origin(kind) is tuple
        one = get_args(kind)[0] if several else kind
        if isinstance(one, type) and issubclass(one, Model):
            return one, several
    return None, False


def _extra(field: FieldInfo) -> dict[str, str]:
    extra = field.json_schema_extra
    return cast("dict[str, str]", extra) if isinstance(extra, dict) else {}


def _kind(field: FieldInfo, extra: dict[str, str]) -> tuple[Kind, tuple[str, ...]]:
    """Return the kind of value, and the choices where it is a choice."""
    types = _types(field.annotation)
    table, several = _tables(field)
    if table:
        return (Kind.TABLES if several else Kind.TABLE), ()
    listed = [get_args(t)[0] for t in types if get_origin(t) is tuple]
    choices = tuple(_choices(listed or types))
    if extra.get("quantity") == "length":
        listed = any(get_origin(t) is tuple for t in types)
        return (Kind.LENGTHS if listed else Kind.LENGTH), ()
    if extra.get("quantity"):
        return Kind(extra["quantity"]), choices
    if choices:
        return Kind.CHOICE, choices
    if len(types) > 1:
        return Kind.RULE_VALUE, ()
    plain = {bool: Kind.SWITCH, int: Kind.WHOLE, float: Kind.NUMBER}
    return plain.get(types[0], Kind.TEXT), ()


def _types(annotation: Any) -> list[Any]:  # noqa: ANN401  (any type may stand there)
    """Return the alternatives of an annotation, without None and without decoration."""
    origin = get_origin(annotation)
    if origin is Annotated:
        return _types(get_args(annotation)[0])
    if origin is None or origin in {tuple, Literal}:
        return [annotation]
    kept = [t for t in get_args(annotation) if t is not type(None)]
    return [t for kind in kept for t in _types(kind)]


def _choices(types: Iterable[Any]) -> Iterable[str]:
    for kind in types:
        if get_origin(kind) is Literal:
            yield from (str(choice) for choice in get_args(kind))
        elif isinstance(kind, type) and issubclass(kind, Enum):
            yield from (str(member.value) for member in kind)


def _limits(field: FieldInfo) -> tuple[float | None, float | None]:
    low = _metadata(field, ("ge", "gt", "min_length"))
    high = _metadata(field, ("le", "lt", "max_length"))
    return low, high


def _metadata(field: FieldInfo, names: tuple[str, ...]) -> Any:  # noqa: ANN401
    found = (getattr(item, name, None) for item in field.metadata for name in names)
    return next((value for value in found if value is not None), None)


def _plain(value: object) -> str:
    """Return a default as a person would write it."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    if value == ():
        return "[]"
    return str(value.value if isinstance(value, Enum) else value)


def _allowed(field: FieldInfo, kind: Kind, choices: tuple[str, ...]) -> str:
    """Return in words what a key may be."""
    extra, (low, high) = _extra(field), _limits(field)
    span = f"{extra.get('least_text', '')} to {extra.get('most_text', '')}"
    above = "above" if _metadata(field, ("gt",)) is not None else "from"
    most = f" to {high}" if high is not None else ""
    letters = f"{low}{most}" if low else f"up to {high}"
    words = {
        Kind.LENGTH: span,
        Kind.SLOPE: span,
        Kind.LENGTHS: f"a list of up to {high} lengths, each {span}",
        Kind.MATERIAL: f"a {extra.get('family')} material of the catalogue",
        Kind.CHOICE: ", ".join(choices),
        Kind.SWITCH: "true or false",
        Kind.WHOLE: f"a whole number {above} {low or 0}{most}",
        Kind.NUMBER: f"a number {above} {low or 0}{most}",
        Kind.TEXT: f"text of {letters} characters",
        Kind.RULE_VALUE: "a length, slope, angle, area or count, as the rule's value is",
        Kind.RULE_SETS: "a rule set, or a list of two",
        Kind.CHOICES: f"a list of {', '.join(choices)}",
        Kind.TABLES: f"up to {high} tables",
    }
    return extra.get("allowed_text") or words[kind]
