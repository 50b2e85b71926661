"""The JSON Schema of parameter files, so that an editor completes and checks as one types.

Draft 7, because that is what TOML editors read. What a schema cannot tell (ranges of texts
with units, combinations, ids that stand twice) stands in the descriptions, and the loader
checks it.
"""

import json
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any, Final, cast

from detailgen.catalog import Catalog
from detailgen.checks import REGISTRY
from detailgen.conditions import CONDITIONS, Condition
from detailgen.finding import Unit
from detailgen.loader._alternates import MOST_ALTERNATES, AlternateHead
from detailgen.loader._revisions import MOST_REVISIONS, Revision
from detailgen.loader._runs import Run
from detailgen.loader.fields import BARE, Kind, Told, told
from detailgen.loader.job import MOST_CONDITIONS, TABLES
from detailgen.parameters import (
    MOST_SETS,
    Acceptance,
    Distance,
    MaterialOverride,
    Model,
    Placed,
    Project,
    Roof,
    RuleOverride,
)

Schema = dict[str, Any]

TITLE: Final = "Parameter file of detailgen"
OFFICE_TITLE: Final = "Settings of an office for detailgen"
DRAFT: Final = "http://json-schema.org/draft-07/schema#"
FILE_NAME: Final = "detailgen.schema.json"


def job_schema(catalog: Catalog) -> Schema:
    """Return the schema of a parameter file, with the ids that the catalogue has."""
    conditions: Schema = {
        "type": "array",
        "minItems": 1,
        "maxItems": MOST_CONDITIONS,
        "items": _condition_schema(catalog),
    }
    tables: dict[str, Schema] = {
        "project": table_schema(Project, catalog),
        "roof": table_schema(Roof, catalog),
        "rule": {"type": "array", "items": _rule_schema(catalog)},
        "material": {"type": "array", "items": table_schema(MaterialOverride, catalog)},
        "condition": conditions,
        "distance": {"type": "array", "items": table_schema(Distance, catalog)},
        "run": {"type": "array", "items": table_schema(Run, catalog)},
        "alternate": {
            "type": "array",
            "maxItems": MOST_ALTERNATES,
            "items": _alternate_schema(catalog),
        },
        "revision": {
            "type": "array",
            "maxItems": MOST_REVISIONS,
            "items": table_schema(Revision, catalog),
        },
    }
    properties = {n: {"description": TABLES[n], **table} for n, table in tables.items()}
    return {
        "$schema": DRAFT,
        "title": TITLE,
        "type": "object",
        "additionalProperties": False,
        "required": ["project", "condition"],
        "properties": properties,
    }


def schema_text(catalog: Catalog) -> str:
    """Return the schema as the text of a file."""
    return written(job_schema(catalog))


def written(schema: Schema) -> str:
    """Return a schema as the text of a file."""
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"


def is_schema(file: Path) -> bool:
    """Return whether a file is a schema of this program, so that it may be renewed."""
    try:
        content = json.loads(file.read_bytes())
    except (OSError, ValueError):
        return False
    title = cast("Schema", content).get("title") if isinstance(content, dict) else None
    return title in {TITLE, OFFICE_TITLE}


def table_schema(model: type[Model], catalog: Catalog) -> Schema:
    """Return the schema of one table."""
    fields = told(model)
    return {
        "type": "object",
        "additionalProperties": False,
        "required": [f.key for f in fields if f.required],
        "properties": {f.key: _value_schema(f, catalog) for f in fields},
    }


def _rule_schema(catalog: Catalog) -> Schema:
    """Return the schema of an override: what its value may be depends on the rule."""
    schema = table_schema(RuleOverride, catalog)
    rows = {
        row.id: row for rules in catalog.rule_sets.values() for row in rules.rows.values()
    }
    values: dict[Unit, Schema] = {
        Unit.LENGTH: {"type": "string", "pattern": LENGTH},
        Unit.SLOPE: {"type": "string", "pattern": SLOPE},
        Unit.ANGLE: {"type": "string", "pattern": _whole(rf"{_PLAIN}\s*deg")},
        Unit.AREA: {"type": "string", "pattern": _whole(rf"{_PLAIN}\s*(?:mm2|sq in)")},
        Unit.COUNT: {
            "anyOf": [{"type": "integer"}, {"type": "string", "pattern": "^[0-9]+$"}]
        },
    }
    schema["allOf"] = [
        {
            "if": {
                "required": ["rule"],
                "properties": {"rule": {"enum": [r for r in rows if rows[r].unit is unit]}},
            },
            "then": {"properties": {"value": value}},
        }
        for unit, value in values.items()
        if any(row.unit is unit for row in rows.values())
    ]
    return schema


def _condition_schema(catalog: Catalog) -> Schema:
    """Return the schema of a condition.

    The keys of all kinds stand in the open, without demands, so that an editor can offer
    them; which of them a condition may have, its kind says.
    """
    kinds = {
        kind: _kind_schema(condition, catalog) for kind, condition in CONDITIONS.items()
    }
    about = "; ".join(f"{c.kind}: {c.about}" for c in CONDITIONS.values())
    offered = {
        key: {"description": value.get("description", "")}
        for schema in kinds.values()
        for key, value in schema["properties"].items()
    }
    common = {field.key: _value_schema(field, catalog) for field in told(Placed)}
    kind = {"enum": list(CONDITIONS), "description": about}
    return {
        "type": "object",
        "required": ["kind", "id"],
        "properties": {**offered, **common, "kind": kind},
        "allOf": [
            {
                "if": {"required": ["kind"], "properties": {"kind": {"const": kind}}},
                "then": schema,
            }
            for kind, schema in kinds.items()
        ],
    }


def _kind_schema(condition: Condition, catalog: Catalog) -> Schema:
    schema = table_schema(condition.parameters, catalog)
    kind = {"const": condition.kind, "description": condition.about}
    accept = {
        "type": "array",
        "description": "Rules that the owner leaves failing here: accepted deviations.",
        "items": _acceptance_schema(condition, catalog),
    }
    own = schema["properties"]
    return {**schema, "properties": {"kind": kind, **own, "accept": accept}}


def _alternate_schema(catalog: Catalog) -> Schema:
    """Return the schema of an alternate, with the keys of what it may change."""

    def changes(model: type[Model]) -> Schema:
        return {**table_schema(model, catalog), "required": [], "minProperties": 1}

    schema = table_schema(AlternateHead, catalog)
    kinds = {kind: changes(one.parameters) for kind, one in CONDITIONS.items()}
    tables: Schema = {
        "roof": {"description": "Keys of the roof.", **changes(Roof)},
        "kind": {
            "description": "Keys of all conditions of a kind.",
            "type": "object",
            "additionalProperties": False,
            "properties": kinds,
        },
        "condition": {
            "description": "Keys of one condition, by its id.",
            "type": "object",
            "additionalProperties": {"type": "object"},
        },
    }
    return {**schema, "properties": {**schema["properties"], **tables}}


def _acceptance_schema(condition: Condition, catalog: Catalog) -> Schema:
    schema = table_schema(Acceptance, catalog)
    own = {condition.kind, *condition.families}
    mine = [r.id for r in REGISTRY.values() if not r.kinds or not own.isdisjoint(r.kinds)]
    rule = {"description": schema["properties"]["rule"]["description"], "enum": mine}
    return {**schema, "properties": {**schema["properties"], "rule": rule}}


def _value_schema(field: Told, catalog: Catalog) -> Schema:
    """Return the schema of one value, with all that its list of parameters tells."""
    schema: Schema = {"description": _description(field), **_shape(field, catalog)}
    if field.default:
        bare = field.kind in BARE
        schema["default"] = json.loads(field.default) if bare else field.default
    return schema


def _inner_shape(field: Told, catalog: Catalog) -> Schema:
    """Return the schema of a table inside the table, of several, or of points."""
    text: Schema = {"type": "string", "maxLength": 200}
    point: Schema = {
        "anyOf": [text, {"type": "array", "items": text, "minItems": 2, "maxItems": 2}]
    }
    if field.kind is Kind.POINT:
        return point
    if field.kind is Kind.COORDINATE:
        return text
    several: Schema = {"type": "array", "maxItems": field.most}
    if field.kind is Kind.POINTS:
        return {**several, "items": point}
    if field.kind is Kind.CHOICES:
        return {**several, "items": {"enum": list(field.choices)}}
    if field.of is None:
        return {**several, "items": text}
    table = table_schema(field.of, catalog)
    if field.kind is Kind.TABLES:
        return {**several, "items": table}
    return {"anyOf": [text, table]}


def _shape(field: Told, catalog: Catalog) -> Schema:
    if field.of or field.kind in _INNER:
        return _inner_shape(field, catalog)
    shapes: dict[Kind, Schema] = {
        Kind.LENGTH: {"type": "string", "pattern": LENGTH},
        Kind.SLOPE: {"type": "string", "pattern": SLOPE},
        Kind.LENGTHS: {
            "type": "array",
            "maxItems": field.most,
            "items": {"type": "string", "pattern": LENGTH},
        },
        Kind.MATERIAL: {"enum": [m.id for m in catalog.of_family(field.family)]},
        Kind.CHOICE: {"enum": list(field.choices)},
        Kind.SWITCH: {"type": "boolean"},
        Kind.WHOLE: {"type": "integer", **_span(field, "minimum", "maximum")},
        Kind.NUMBER: {"type": "number", **_span(field, "exclusiveMinimum", "maximum")},
        Kind.RULE_VALUE: {"type": ["string", "integer", "number"]},
        Kind.RULE_SETS: _sets_shape(catalog),
    }
    return shapes.get(field.kind) or _text_shape(field, catalog)


def _sets_shape(catalog: Catalog) -> Schema:
    one: Schema = {"enum": sorted(catalog.rule_sets)}
    several: Schema = {
        "type": "array",
        "items": one,
        "minItems": 1,
        "maxItems": MOST_SETS,
        "uniqueItems": True,
    }
    return {"anyOf": [one, several]}


def _text_shape(field: Told, catalog: Catalog) -> Schema:
    known = {
        "rule": {row for rules in catalog.rule_sets.values() for row in rules.rows},
        "material": catalog.materials,
    }
    if field.key in known:
        return {"enum": sorted(known[field.key])}
    pattern = {"pattern": field.pattern} if field.pattern else {}
    return {"type": "string", **pattern, **_span(field, "minLength", "maxLength")}


def _span(field: Told, low: str, high: str) -> Schema:
    limits = {low: field.least, high: field.most}
    return {name: limit for name, limit in limits.items() if limit is not None}


def _description(field: Told) -> str:
    default = f"Default: {field.default}." if field.default else ""
    if field.by_rule:
        default = f"Default: what the rule {field.by_rule} asks."
    return " ".join(
        part for part in (field.about, f"Allowed: {field.allowed}.", default) if part
    )


_INNER: Final = frozenset({
    Kind.POINT,
    Kind.POINTS,
    Kind.COORDINATE,
    Kind.CHOICES,
    Kind.TEXTS,
})


def _any_case(words: Iterable[str]) -> str:
    """Return a pattern of any of the words, in capitals or not."""
    spelt = (
        "".join(f"[{c}{c.upper()}]" if c.isalpha() else re.escape(c) for c in word)
        for word in words
    )
    return f"(?:{'|'.join(spelt)})"


def _whole(pattern: str) -> str:
    return rf"^\s*(?:{pattern})\s*$"


# What `units` reads, as patterns. A test holds the two against each other.
_PLAIN: Final = r"[0-9]+(?:\.[0-9]+)?"
_DASH: Final = "[-\u2010-\u2015\u2212]"
_VULGAR: Final = "[\u00bc-\u00be\u2150-\u215e\u2189]"
_NUMBER: Final = (
    rf"(?:[0-9]+(?:\s+|\s*{_DASH}\s*)[0-9]+[/\u2044\u2215][0-9]+"
    rf"|[0-9]+\s*{_DASH}?\s*{_VULGAR}|{_VULGAR}"
    r"|[0-9]+[/\u2044\u2215][0-9]+|[0-9]*\.[0-9]+|[0-9]+)"
)
_PRIME: Final = "['\u2032\u2018\u2019\u02b9\u00b4`]"
_SECONDS: Final = f'(?:["\u2033\u201c\u201d\u02ba]|{_PRIME}{_PRIME})'
_INCHES: Final = rf"(?:{_any_case(['inches', 'inch', 'in.', 'in'])}|{_SECONDS})"
_FEET: Final = rf"(?:{_any_case(['feet', 'foot', 'ft.', 'ft'])}|{_PRIME})"
_METRES: Final = _any_case(
    f"{prefix}{spelling}{plural}"
    for spelling, prefixes in (("met", ("milli", "centi", "")),)
    for prefix in prefixes
    for plural in ("res", "re", "ers", "er")
)
_SHORT: Final = _any_case(["mm", "cm", "mils", "mil", "m"])
_LENGTH: Final = (
    rf"(?:[0-9]+\s*{_FEET}\s*{_DASH}?\s*{_NUMBER}\s*{_INCHES}"
    rf"|{_NUMBER}\s*(?:{_INCHES}|{_FEET}|{_METRES}|{_SHORT}))"
)
_RUN: Final = rf"(?:{_any_case(['foot', 'ft.', 'ft', 'metre', 'meter', 'm'])}|{_PRIME})"
_PER: Final = rf"(?:\s*/\s*|\s+{_any_case(['per'])}\s+|{_SECONDS}{_any_case(['per'])}\s+)"

LENGTH: Final = _whole(_LENGTH)
"""Pattern of a length with its unit."""
SLOPE: Final = _whole(
    rf"{_NUMBER}\s*(?::|\s{_any_case(['in'])}\s)\s*{_NUMBER}"
    rf"|{_NUMBER}\s*(?:%|{_any_case(['percent', 'per cent'])})"
    rf"|{_NUMBER}\s*(?:°|{_any_case(['degrees', 'degree', 'deg.', 'deg'])})"
    rf"|{_LENGTH}{_PER}{_RUN}"
)
"""Pattern of a slope."""
