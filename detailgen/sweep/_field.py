"""The field of a sweep: a section is built and checked at every place."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from itertools import product
from math import prod
from typing import Any, Final

from detailgen.checks import check
from detailgen.conditions import Condition, Site
from detailgen.finding import Outcome, Severity
from detailgen.parameters import Placed
from detailgen.workers import shared_out

Value = float | str | bool | Enum
"""What a parameter can be: mm, rise per run, a count, a word, a switch."""
ROOF: Final = "roof."
"""How a parameter of the roof is named."""
MOST: Final = 100_000
"""So many places at the most."""
_FEW: Final = 100
"""Fewer places than this are looked at sooner by one process."""
_CHUNK: Final = 25
"""Places that are looked at before progress is told."""


class State(Enum):
    """What comes of a place."""

    HOLDS = "holds"
    FAILS = "fails"
    IMPOSSIBLE = "cannot be built"


@dataclass(frozen=True, slots=True)
class Axis:
    """A parameter and the values that it takes, in order."""

    name: str
    """`height`, or `roof.slope`."""
    about: str
    unit: str
    """How its values are counted: `length`, `slope`, `whole number` or `word`."""
    values: tuple[Value, ...]


@dataclass(frozen=True, slots=True)
class Place:
    """One place of the field."""

    state: State
    outcomes: tuple[Outcome, ...] = ()
    """Of each rule of the field; none where nothing can be built."""
    reason: str = ""
    """Why nothing can be built."""


@dataclass(frozen=True, slots=True)
class Field:
    """What rules find at every place."""

    axes: tuple[Axis, ...]
    places: tuple[Place, ...]
    """The last axis runs fastest."""
    rules: tuple[str, ...]
    """Ids of the rules that apply somewhere, in the order of the checks."""
    titles: tuple[str, ...]
    required: tuple[bool, ...]
    """Whether a rule is required, and not advice."""

    def failing(self, place: Place) -> tuple[str, ...]:
        """Return the required rules that fail at a place."""
        return tuple(
            rule
            for rule, found, needed in zip(
                self.rules, place.outcomes, self.required, strict=False
            )
            if needed and found is Outcome.FAIL
        )

    @property
    def moving(self) -> tuple[str, ...]:
        """Return the rules that do not come out the same wherever something is built."""
        built = [p.outcomes for p in self.places if p.outcomes]
        columns = zip(*built, strict=True)
        return tuple(
            rule
            for rule, column in zip(self.rules, columns, strict=bool(built))
            if len(set(column)) > 1
        )


@dataclass(frozen=True, slots=True)
class _Seen:
    """What was found at a place, before the rules of the field are known."""

    outcomes: bytes
    """Of every rule, as places in `_ORDER`."""
    reason: str = ""


_ORDER: Final = tuple(Outcome)


def sweep(
    condition: Condition,
    parameters: Placed,
    site: Site,
    axes: Sequence[Axis],
    progress: Callable[[int], None] = lambda _: None,
) -> Field:
    """Build and check a condition at every place of the axes, on all cores.

    Args:
        condition: The kind.
        parameters: Its parameters; those of the axes are replaced.
        site: Roof, catalogue and rules.
        axes: What is changed.
        progress: Told how many places have been looked at since it was last told.
    """
    count = prod(len(axis.values) for axis in axes)
    every = list(product(*(axis.values for axis in axes)))
    names = [axis.name for axis in axes]
    chunks = [range(n, min(n + _CHUNK, count)) for n in range(0, count, _CHUNK)]

    def look(number: int) -> _Seen:
        return _seen(
            condition, parameters, site, dict(zip(names, every[number], strict=True))
        )

    def some(parts: Sequence[int]) -> list[list[_Seen]]:
        return [[look(number) for number in chunks[part]] for part in parts]

    few = -(-_FEW // _CHUNK)
    found = shared_out(some, len(chunks), few, lambda part: progress(len(chunks[part])))
    seen = [one for chunk in found for one in chunk]
    return _field(tuple(axes), seen, _rules_at(condition, parameters, site))


def _seen(
    condition: Condition, parameters: Placed, site: Site, values: dict[str, Value]
) -> _Seen:
    own: dict[str, Any] = {k: v for k, v in values.items() if not k.startswith(ROOF)}
    shared = {k.removeprefix(ROOF): v for k, v in values.items() if k.startswith(ROOF)}
    if shared:
        site = replace(site, roof=site.roof.model_copy(update=shared))
    given = parameters.model_copy(update=own)
    if found := condition.impossible(given, site):
        return _Seen(b"", found[0].message)
    findings = check(condition.build(given, site), site.rules, site.catalog)
    return _Seen(bytes(_ORDER.index(f.outcome) for f in findings))


def _rules_at(
    condition: Condition, parameters: Placed, site: Site
) -> list[tuple[str, str, bool]]:
    """Return id, title and whether it is required of every rule, in the order of checks."""
    findings = check(condition.build(parameters, site), site.rules, site.catalog)
    return [(f.rule, f.title, f.severity is Severity.REQUIRED) for f in findings]


def _field(
    axes: tuple[Axis, ...], seen: Sequence[_Seen], rules: Sequence[tuple[str, str, bool]]
) -> Field:
    idle = _ORDER.index(Outcome.NOT_APPLICABLE)
    columns = [
        n
        for n in range(len(rules))
        if any(s.outcomes and s.outcomes[n] != idle for s in seen)
    ]
    needed = tuple(rules[n][2] for n in columns)

    def place(one: _Seen) -> Place:
        if not one.outcomes:
            return Place(State.IMPOSSIBLE, reason=one.reason)
        outcomes = tuple(_ORDER[one.outcomes[n]] for n in columns)
        fails = any(
            o is Outcome.FAIL and needs for o, needs in zip(outcomes, needed, strict=True)
        )
        return Place(State.FAILS if fails else State.HOLDS, outcomes)

    return Field(
        axes,
        tuple(place(one) for one in seen),
        tuple(rules[n][0] for n in columns),
        tuple(rules[n][1] for n in columns),
        needed,
    )
