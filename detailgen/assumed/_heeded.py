"""Which parameters a detail heeds: those with which it would be built otherwise.

What a condition does not even read while it is built is of no effect. What it reads is
tried with other values, near and far: where the section stays the same, it is of none
either. What cannot be tried, since no other value is possible, counts as heeded.
"""

from collections.abc import Collection, Iterator, Mapping
from enum import Enum
from typing import Any, Final, cast

from detailgen.loader import Job, Kind, PlacedCondition, Told, told
from detailgen.parameters import Placed
from detailgen.section import LayeredSection

_STEPS: Final = {Kind.LENGTH: 6.35, Kind.SLOPE: 1.0 / 96.0}
"""By how much a number is changed at first: 1/4 in, 1/8 in per ft; others by 1."""
_FAR: Final = 4.0
"""So many times as far it is tried again."""


def heeded_by(
    job: Job, placed: PlacedCondition, but: Collection[str] = ()
) -> frozenset[str]:
    """Return the keys that are left out and that a condition heeds.

    Args:
        job: The job.
        placed: The condition.
        but: Keys that nobody asks after.
    """
    condition, given = placed.condition, placed.parameters
    seen: set[str] = set()
    condition.build(_listening(given, seen), job.site)
    section = condition.build(given, job.site)
    taken = condition.taken(given, job.site)
    return frozenset(
        field.key
        for field in told(condition.parameters)
        if field.key in seen
        and field.key not in but
        and field.key not in given.model_fields_set
        and _matters(job, placed, field, taken.get(field.key), section)
    )


def _matters(
    job: Job,
    placed: PlacedCondition,
    field: Told,
    taken: object,
    section: LayeredSection,
) -> bool:
    """Return whether another value makes another section, or none can be tried."""
    own = getattr(placed.parameters, field.key)
    tried = False
    for value in _others(field, taken if own is None else own):
        changed = placed.parameters.model_copy(update={field.key: value})
        if placed.condition.impossible(changed, job.site):
            continue
        tried = True
        if placed.condition.build(changed, job.site) != section:
            return True
    return not tried


def _others(field: Told, value: object) -> Iterator[object]:
    """Yield other values that a parameter may take: the near ones first."""
    if field.kind is Kind.SWITCH:
        yield not value
    elif field.choices and not isinstance(value, tuple):
        yield from (_as_written(c, value) for c in field.choices if c != str(value))
    elif isinstance(value, int | float):
        step = _STEPS.get(field.kind, 1.0)
        for far in (step, -step, _FAR * step, -_FAR * step):
            other = type(value)(value + far)
            low, high = field.least, field.most
            if (low is None or other >= low) and (high is None or other <= high):
                yield other


def _as_written(choice: str, value: object) -> object:
    """Return a choice as what the model holds: an enumeration's member, or the word."""
    return type(value)(choice) if isinstance(value, Enum) else choice


def _listening(parameters: Placed, seen: set[str]) -> Placed:
    """Return the same parameters, which note each of their keys that is read."""
    kind = type(parameters)
    keys = frozenset(kind.model_fields)

    def read(self: Any, name: str) -> object:  # noqa: ANN401  (any model)
        if name in keys:
            seen.add(name)
        return object.__getattribute__(self, name)

    heard = type(kind.__name__, (kind,), {"__getattribute__": read}, frozen=True)
    values: Mapping[str, object] = {key: getattr(parameters, key) for key in keys}
    made = cast("Placed", heard.model_construct({*parameters.model_fields_set}, **values))
    seen.clear()
    return made
