"""Alternates: named changes of a job, to be priced and checked beside it.

    [[alternate]]
    name = "Cold adhesive"
    rules = "navy-guides"
    roof.adhesion = "cold adhesive"
    kind.roof-edge.edge = "flush"
    condition.W1.flashing_height = "10 in"
    without = ["E2"]

What an alternate changes is held to the same models as the file, once it is asked for; see
`variants.py`. Here its own form is looked at, with every job.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final, cast

from pydantic import Field

from detailgen.conditions import CONDITIONS
from detailgen.loader._complaints import Complaints, suggestion
from detailgen.loader._places import Path
from detailgen.loader._validate import validated
from detailgen.parameters import Model, Roof, RuleSets

MOST_ALTERNATES: Final = 12
"""More than fit side by side into a table."""
ROOF, KIND, CONDITION, RULES, WITHOUT = "roof", "kind", "condition", "rules", "without"
_TABLES: Final = (ROOF, KIND, CONDITION)


class AlternateHead(Model, frozen=True):
    """What an alternate says besides the keys that it changes."""

    name: str = Field(
        min_length=1,
        max_length=40,
        description="What it is called beside the base.",
        examples=["Cold adhesive"],
    )
    about: str = Field("", max_length=160, description="Why it is asked for.")
    rules: RuleSets | None = Field(
        None,
        description="Another rule set, or a list of two.",
        json_schema_extra={
            "quantity": "rule sets",
            "allowed_text": "a rule set, or a list of two",
        },
    )
    without: tuple[str, ...] = Field(
        (),
        max_length=500,
        description="Ids of conditions that are left out.",
        json_schema_extra={
            "quantity": "texts",
            "allowed_text": 'a list of ids of conditions of this file: ["E2"]',
        },
    )


@dataclass(frozen=True, slots=True)
class Setting:
    """One key that an alternate sets."""

    home: str
    """`roof`, `kind`, `condition` or `rules`."""
    of: str
    """The kind, or the id of the condition; empty for the roof and the rules."""
    key: str
    value: object
    path: Path = ()
    """Where the file says it; nothing for what the command line says."""


@dataclass(frozen=True, slots=True)
class Alternate:
    """A named change of a job."""

    name: str
    settings: tuple[Setting, ...]
    without: tuple[str, ...] = ()
    """Ids of the conditions that are left out."""
    about: str = ""
    path: Path = ()
    """Where the file says it; nothing for one of the command line."""


def told_alternates(
    tables: Iterable[tuple[Path, dict[str, Any]]],
    ids: Collection[str],
    complaints: Complaints,
) -> tuple[Alternate, ...]:
    """Return the alternates of a file, after noting what is wrong with their form."""
    found: list[Alternate] = []
    for path, table in tables:
        rest = {k: v for k, v in table.items() if k not in _TABLES}
        _check_keys(rest, path, complaints)
        rest = {k: v for k, v in rest.items() if k in AlternateHead.model_fields}
        head = validated(AlternateHead, rest, path, complaints)
        settings = _settings(table, path, ids, complaints)
        if head is None or complaints.about(path):
            continue
        if head.rules is not None:
            at = (*path, RULES)
            settings.append(Setting(RULES, "", RULES, table[RULES], at))
        _check_without(head, path, ids, complaints)
        if not settings and not head.without:
            complaints.add(
                path,
                "this alternate changes nothing",
                allowed="rules, roof.KEY, kind.KIND.KEY, condition.ID.KEY, without",
                mend="Say what it changes, or take the table out.",
            )
        if head.name.casefold() in {one.name.casefold() for one in found}:
            complaints.add(
                (*path, "name"),
                "there is an alternate of this name already",
                mend="Choose another name.",
            )
        made = Alternate(head.name, tuple(settings), head.without, head.about, path)
        found.append(made)
    if len(found) > MOST_ALTERNATES:
        complaints.add(
            ("alternate", MOST_ALTERNATES),
            f"the job has {len(found)} alternates",
            allowed=f"at most {MOST_ALTERNATES}",
            mend="Keep others in a file of their own.",
        )
    return tuple(found)


def _check_keys(table: Mapping[str, Any], path: Path, complaints: Complaints) -> None:
    known = (*AlternateHead.model_fields, *_TABLES)
    for key in table:
        if key not in known:
            complaints.add(
                (*path, key),
                "an alternate has no key of this name",
                allowed="name, about, rules, roof.KEY, kind.KIND.KEY, condition.ID.KEY, "
                "without",
                mend=f"Write roof.{key}."
                if key in Roof.model_fields
                else suggestion(key, known),
            )


def _settings(
    table: Mapping[str, Any], path: Path, ids: Collection[str], complaints: Complaints
) -> list[Setting]:
    """Return the keys that an alternate sets, after noting tables that are none."""
    found: list[Setting] = []
    for home in _TABLES:
        if home not in table:
            continue
        given, at = table[home], (*path, home)
        if not _is_table(given, at, f"{home}.KEY", complaints):
            continue
        if home == ROOF:
            found += [Setting(home, "", k, v, (*at, k)) for k, v in given.items()]
            continue
        known = CONDITIONS if home == KIND else ids
        for of, inner in given.items():
            here = (*at, of)
            if of not in known:
                told = "kind of condition" if home == KIND else "condition"
                complaints.add(
                    here,
                    f"there is no such {told}",
                    allowed=", ".join(known) or "the id of a [[condition]] of this file",
                    mend=suggestion(of, known),
                )
            elif _is_table(inner, here, f"{home}.{of}.KEY", complaints):
                found += [Setting(home, of, k, v, (*here, k)) for k, v in inner.items()]
    for one in found:
        if one.home in {KIND, CONDITION} and one.key in {"id", "kind"}:
            complaints.add(
                one.path,
                f"an alternate cannot change the {one.key} of a condition",
                mend="Leave the condition out with `without`, or write another job.",
            )
    return found


def _is_table(value: object, path: Path, told: str, complaints: Complaints) -> bool:
    if isinstance(value, dict) and cast("dict[str, object]", value):
        return True
    complaints.add(
        path,
        "this says what is changed by its keys",
        allowed=told,
        mend=f"Write a key and its value: {told} = ...",
    )
    return False


def _check_without(
    head: AlternateHead, path: Path, ids: Collection[str], complaints: Complaints
) -> None:
    for number, named in enumerate(head.without):
        if named not in ids:
            complaints.add(
                (*path, WITHOUT, number),
                "no condition has this id",
                allowed="the id of a [[condition]] of this file",
                mend=suggestion(named, ids),
            )
    if ids and set(ids) <= set(head.without):
        complaints.add(
            (*path, WITHOUT),
            "this leaves no condition in the job",
            mend="Keep at least one.",
        )
