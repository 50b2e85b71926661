"""What a job does not say, and what was taken in its place.

Every parameter that a file leaves out is one assumption. Those that several details take
alike are told once, with the details; so are those of the roof. What has no effect on a
detail, as the metal of a coping where there is none, is only named.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Final, cast

from detailgen.assumed._heeded import heeded_by
from detailgen.catalog import Catalog
from detailgen.finding import Relation
from detailgen.loader import Job, Kind, PlacedCondition, Told, told
from detailgen.parameters import Model
from detailgen.units import UnitSystem, show_amount, show_angle, show_length, show_slope
from detailgen.workers import shared_out

ROOF: Final = "roof"
SEVERAL: Final = "several"
PROJECT: Final = "project"
_ITS_OWN: Final = frozenset({"id", "title", "length", "count"})
"""What is no matter of how a detail is built."""
_BLANK: Final = "left blank"
_NONE: Final = "none"
_USUAL: Final = "usual"
_END: Final = {Relation.AT_LEAST: "the least", Relation.AT_MOST: "the most"}
_ANGLES: Final = "angle"
_FEW: Final = 3
"""Fewer details than this are looked at sooner by one process."""


@dataclass(frozen=True, slots=True)
class Assumption:
    """One value that was taken because the job does not give it."""

    group: str
    """`roof`, `project`, the kind of detail that takes it, or `several` kinds."""
    key: str
    """What the parameter file calls it."""
    about: str
    value: str
    basis: str
    """Why this value: usual, a row of the rule set, or the rest of the job."""
    marks: tuple[str, ...]
    """The details that take it; none for the roof and the project."""
    used: bool = True
    """Whether the details would be built otherwise with another value."""


def assumptions(job: Job) -> tuple[Assumption, ...]:
    """Return every assumption of a job: of project and roof, then of the details."""
    found = [
        *_shared(job, PROJECT, job.project),
        *_shared(job, ROOF, job.roof),
    ]
    return (*found, *_of_details(job))


def _shared(job: Job, group: str, model: Model) -> Iterator[Assumption]:
    for field in told(type(model)):
        if field.key in _unset(model):
            value = getattr(model, field.key)
            shown = _shown(value, field, job.catalog, job.project.units)
            shown = shown if shown != _NONE or not _is_text(field) else _BLANK
            basis = _basis(field, job) if field.by_rule else _USUAL
            about = field.key.replace("_", " ").capitalize()
            about = about if shown == _BLANK else _about(field)
            yield Assumption(group, field.key, about, shown, basis, ())


def _is_text(field: Told) -> bool:
    return field.kind is Kind.TEXT


def _unset(model: Model) -> frozenset[str]:
    """Return the keys of a table that the file leaves out."""
    return frozenset(type(model).model_fields) - model.model_fields_set


def _of_details(job: Job) -> list[Assumption]:
    """Return what details take, alike ones together, in the order of the job."""
    marks: dict[tuple[str, str, str, str, bool], list[str]] = {}
    kinds: dict[tuple[str, str, str, str, bool], dict[str, None]] = {}

    def some(numbers: Sequence[int]) -> list[frozenset[str]]:
        return [heeded_by(job, job.conditions[n], _ITS_OWN) for n in numbers]

    found = shared_out(some, len(job.conditions), _FEW, lambda _: None)
    for placed, heeded in zip(job.conditions, found, strict=True):
        for key in _of_one(job, placed, heeded):
            marks.setdefault(key, []).append(placed.id)
            kinds.setdefault(key, {}).setdefault(placed.condition.title)
    made = [
        Assumption(
            SEVERAL if len(kinds[row]) > 1 else next(iter(kinds[row])),
            *row[:4],
            tuple(these),
            row[4],
        )
        for row, these in marks.items()
    ]
    # What kinds share comes first, then kind by kind as the job has them.
    groups = list(dict.fromkeys((SEVERAL, *(one.group for one in made))))
    return sorted(made, key=lambda one: groups.index(one.group))


def _of_one(
    job: Job, placed: PlacedCondition, heeded: frozenset[str]
) -> Iterator[tuple[str, str, str, str, bool]]:
    """Return key, words, value, basis and use of all that one detail leaves out."""
    condition, given = placed.condition, placed.parameters
    taken = condition.taken(given, job.site)
    for field in told(condition.parameters):
        if field.key in _ITS_OWN or field.key not in _unset(given):
            continue
        own = getattr(given, field.key)
        value = taken.get(field.key) if own is None else own
        shown = _shown(value, field, job.catalog, job.project.units)
        basis = _USUAL if own is not None else _basis(field, job)
        yield field.key, _about(field), shown, basis, field.key in heeded


def _basis(field: Told, job: Job) -> str:
    """Return why a value is taken that is not a parameter's own default."""
    if not field.by_rule:
        return "from the rest of the job"
    row = job.rules.rows.get(field.by_rule)
    return f"{_END[row.asks]} that a rule asks" if row else "rule set"


def _about(field: Told) -> str:
    """Return what a parameter is, without what is taken where it is left out."""
    text = field.about.partition(" Without it")[0].partition("; leave it out")[0]
    return text.rstrip(".:;")


def _shown(value: object, field: Told, catalog: Catalog, units: UnitSystem) -> str:
    """Return a value in words, in the units of the job."""
    match value:
        case None | "" | ():
            return _NONE
        case bool():
            return "yes" if value else "no"
        case Enum():
            return str(value.value)
        case str():
            return catalog.materials[value].name if value in catalog.materials else value
        case tuple():
            parts = cast("tuple[object, ...]", value)
            return ", ".join(_shown(one, field, catalog, units) for one in parts)
        case int() | float():
            return _number(float(value), field, units)
        case _:
            return str(value)


def _number(value: float, field: Told, units: UnitSystem) -> str:
    if field.kind in {Kind.LENGTH, Kind.LENGTHS}:
        return show_length(value, units)
    if field.kind is Kind.SLOPE:
        return show_slope(value, units)
    if _ANGLES in field.key:
        return show_angle(value)
    return show_amount(value, "count", units)
