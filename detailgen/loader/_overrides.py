"""A job's own values for rules and materials, laid over the catalogue."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from math import inf
from typing import Final, TypeVar, cast

from detailgen.catalog import (
    DEFAULT_RULES,
    Catalog,
    RuleSet,
    with_material_overrides,
    with_rule_overrides,
)
from detailgen.errors import UserError
from detailgen.loader._complaints import Complaints, suggestion
from detailgen.loader._places import Path
from detailgen.loader.fields import Kind, told
from detailgen.parameters import MOST_SETS, MaterialOverride, Model, RuleOverride

_Laid = TypeVar("_Laid")
_LISTS: Final = {
    "rule": "`detailgen rules` lists",
    "material": "the catalogue has: the schema file lists them",
}
"""Where to look up an id of each table; the ids are too many for a message."""


@dataclass(frozen=True, slots=True)
class _Partly:
    """What can be made out of a row that does not fit, to tell what else is wrong in it."""

    rule: str
    material: str
    value: str | int | float
    reason: str = ""
    thickness: float | None = None
    mass: float | None = None
    name: str | None = None


def own_materials(
    catalog: Catalog,
    overrides: Mapping[int, MaterialOverride],
    broken: Mapping[int, Mapping[str, object]],
    complaints: Complaints,
) -> Catalog:
    """Return the catalogue with the job's figures for materials.

    Args:
        catalog: What they are laid over.
        overrides: The rows that fit, by their number in the file.
        broken: The others as the file gives them, so that all their mistakes are told.
        complaints: Takes the mistakes.
    """
    for number, override in overrides.items():
        if not override.model_fields_set - {"material", "reason"}:
            complaints.add(
                ("material", number),
                "this changes nothing",
                allowed="thickness, mass, name",
                mend="Add the figure that the job asks, or take the table out.",
            )
    partly = {n: _Partly("", one, "") for n, one in _named(broken, "material").items()}
    rows = dict(sorted({**overrides, **partly}.items()))
    lay = partial(with_material_overrides, catalog, list(rows.values()))
    return _laid(lay, catalog, ("material", list(rows)), complaints)


def own_rules(
    catalog: Catalog,
    named: object,
    overrides: Mapping[int, RuleOverride],
    broken: Mapping[int, Mapping[str, object]],
    complaints: Complaints,
) -> RuleSet:
    """Return the job's rule set, or the two that it combines, with its own values.

    A rule set that is not there is noted, and the default one stands in for it so that the
    overrides can be looked at all the same; of rows that do not fit (`broken`) what they
    say is looked at as well.
    """
    found = _known_sets(catalog, named, complaints)
    rule_set = catalog.rules_of(found or (DEFAULT_RULES,))
    partly = {
        n: _Partly(one, "", _value(broken[n], rule_set, one))
        for n, one in _named(broken, "rule").items()
    }
    rows = dict(sorted({**overrides, **partly}.items()))
    lay = partial(with_rule_overrides, rule_set, list(rows.values()))
    return _laid(lay, rule_set, ("rule", list(rows)), complaints)


def _named(broken: Mapping[int, Mapping[str, object]], key: str) -> dict[int, str]:
    """Return what rows that do not fit are about, where they say it in a text."""
    names = {number: row.get(key) for number, row in broken.items()}
    return {n: one.strip() for n, one in names.items() if isinstance(one, str)}


def _value(row: Mapping[str, object], rule_set: RuleSet, rule: str) -> str | int | float:
    """Return the value that a row gives; the rule's own where it gives none of any use."""
    given = row.get("value")
    if isinstance(given, str | int | float) and not isinstance(given, bool):
        return given
    return rule_set.rows[rule].written if rule in rule_set.rows else ""


def _known_sets(catalog: Catalog, named: object, complaints: Complaints) -> list[str]:
    """Return the ids of the rule sets that there are, after noting the others."""
    listed = isinstance(named, list)
    ids = cast("list[object]", named) if listed else [named]
    found: list[str] = []
    for number, set_id in enumerate(ids):
        if isinstance(set_id, str) and set_id in catalog.rule_sets:
            found.append(set_id)
            continue
        complaints.add(
            ("project", "rules", number) if listed else ("project", "rules"),
            "there is no such rule set",
            allowed=", ".join(catalog.rule_sets),
            mend=suggestion(str(set_id), catalog.rule_sets),
        )
    return found[:MOST_SETS]


def check_materials(
    model: Model, path: Path, catalog: Catalog, complaints: Complaints
) -> None:
    """Note materials that the catalogue lacks, or that are of another family."""
    for field in told(type(model)):
        named = getattr(model, field.key)
        if field.kind is not Kind.MATERIAL or named is None:
            continue
        known = [m.id for m in catalog.of_family(field.family)]
        if named not in known:
            complaints.add(
                (*path, field.key),
                f"the catalogue has no {field.family} material of this name",
                allowed=", ".join(known),
                mend=suggestion(named, known),
            )


def _laid(
    lay: Callable[[], _Laid],
    without: _Laid,
    numbered: tuple[str, Sequence[int]],
    complaints: Complaints,
) -> _Laid:
    """Lay overrides, and give each problem its place in the file.

    Args:
        lay: Lays them; its problems are keyed `rule.<n>.<field>`, n counting from 0.
        without: What stands when they cannot be laid.
        numbered: Name of the tables, and the number in the file of each one laid.
        complaints: Takes the mistakes.
    """
    table, numbers = numbered
    try:
        return lay()
    except UserError as error:
        for problem in error.problems:
            _, number, key = problem.key.split(".", 2)
            complaints.add(
                (table, numbers[int(number)], key),
                problem.message,
                allowed=f"an id that {_LISTS[table]}" if key == table else problem.allowed,
                mend=problem.mend,
            )
        return without


def check_defaults(
    model: Model, path: Path, rules: RuleSet, complaints: Complaints
) -> None:
    """Note keys that are left to a rule which asks far more, or less, than they take.

    Half the least and one and a half times the most can be built, or it is told why not.
    """
    for field in told(type(model)):
        row = rules.rows.get(field.by_rule)
        if row is None or getattr(model, field.key) is not None:
            continue
        low, high = field.least or 0.0, field.most or inf
        if not low / 2.0 <= row.value <= high * 1.5:
            complaints.add(
                (*path, field.key),
                f"the rule {row.id} asks {row.written}, which {field.key} cannot be",
                allowed=field.allowed,
                mend=f"Give {field.key} here, or another value for the rule.",
            )
