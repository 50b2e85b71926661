"""What may be changed: every parameter with the values that it can take, nearest first.

Numbers move in steps: 1/16 in in a job in feet and inches, 1 mm in one in millimetres; a
slope in steps of 1/16 in per ft or of 0.1 %; a count and an angle in whole ones. The values
are those that a person writes (whole steps from nothing), so that the first step of a
length that is not a whole number of steps is a shorter one. Left alone are lists of a
condition's own and the angle of a corner, which is the building's.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import Enum, IntEnum
from fractions import Fraction
from math import ceil, floor
from types import NoneType, UnionType
from typing import Annotated, Any, Final, Literal, Union, cast, get_args, get_origin

from pydantic.fields import FieldInfo

from detailgen.catalog import Catalog
from detailgen.conditions import Condition, Site
from detailgen.parameters import Model, Placed, limits_of
from detailgen.units import UnitSystem, parse_length

Value = float | str | bool | Enum
"""What a parameter can be: mm, rise per run, a count, a word, a switch."""

NOISE: Final = 1e-6
"""A part of a step that is arithmetic noise."""


class Tier(IntEnum):
    """What sort of thing is changed, the dearest last."""

    OWN_NUMBER = 0
    OWN_KIND = 1
    ROOF_NUMBER = 2
    ROOF_KIND = 3


class Sort(Enum):
    """How a value is counted and written."""

    LENGTH = "length"
    SLOPE = "slope"
    WHOLE = "whole number"
    WORD = "word"


@dataclass(frozen=True, slots=True)
class Rung:
    """A value that a parameter can take, and how many steps it lies from what it is."""

    value: Value
    steps: int


@dataclass(frozen=True, slots=True)
class Handle:
    """One parameter that may be changed."""

    number: int
    """Place in the list of handles, which settles ties."""
    key: str
    layer: int | None
    """Which item of a list, counted from 0; one past its end adds to it."""
    tier: Tier
    sort: Sort
    now: Value
    """What it is, or what is taken for it."""
    given: bool
    """Whether it has a value of its own: else it follows from others as they are."""
    up: tuple[Rung, ...] = ()
    """Larger values, nearest first. One left to its default can be held to it: no step."""
    down: tuple[Rung, ...] = ()
    others: tuple[Value, ...] = ()
    """Other choices, in the order of declaration."""

    @property
    def is_number(self) -> bool:
        """Return whether it moves in steps."""
        return self.sort is not Sort.WORD

    def rungs(self, direction: int) -> tuple[Rung, ...]:
        """Return the values in one direction: 1 is up, -1 down."""
        return self.up if direction > 0 else self.down


def step_of(sort: Sort, system: UnitSystem) -> Fraction:
    """Return the smallest change of a number: mm, rise per run, or one."""
    inches = system is UnitSystem.FEET_INCHES
    if sort is Sort.LENGTH:
        return Fraction(127, 80) if inches else Fraction(1)
    if sort is Sort.SLOPE:
        return Fraction(1, 192) if inches else Fraction(1, 1000)
    return Fraction(1)


def handles(
    condition: Condition,
    parameters: Placed,
    site: Site,
    system: UnitSystem,
    kept: frozenset[str] = frozenset(),
    steps: Mapping[Sort, Fraction] | None = None,
) -> tuple[Handle, ...]:
    """Return all that may be changed, the condition's own parameters first.

    Args:
        condition: The kind.
        parameters: Its parameters as they are.
        site: Roof, catalogue and rules.
        system: The job's unit system, which sets the steps.
        kept: What must stay: `reglet_height`, `roof.slope`, or `roof` for all of it.
        steps: Other steps than the usual ones.
    """
    ladder = _Ladder(system, site.catalog, steps or {})
    taken = dict(condition.taken(parameters, site))
    found: list[Handle] = []
    own = [n for n in type(parameters).model_fields if n not in Placed.model_fields]
    for name in own:
        if name not in kept:
            found += ladder.of(parameters, name, taken, len(found), roof=False)
    if "roof" not in kept:
        for name in type(site.roof).model_fields:
            if f"roof.{name}" not in kept:
                found += ladder.of(site.roof, name, taken, len(found), roof=True)
    return tuple(found)


class _Ladder:
    """Makes handles of the fields of a model."""

    def __init__(
        self, system: UnitSystem, catalog: Catalog, steps: Mapping[Sort, Fraction]
    ) -> None:
        self._system, self._catalog, self._steps = system, catalog, steps

    def of(
        self, model: Model, name: str, taken: Mapping[str, Value], first: int, *, roof: bool
    ) -> Iterator[Handle]:
        """Yield the handles of one field: one, or one for each item of a list."""
        info = type(model).model_fields[name]
        value = getattr(model, name)
        sort = sort_of(info)
        words = isinstance(value, tuple) and sort is not Sort.LENGTH
        if words or "settled" in _extra(info):  # tables and lists of words; what stays
            return
        if isinstance(value, tuple) and not roof:
            return  # lists of bodies or layers: what they are is not a figure to change
        if isinstance(value, tuple):
            layers = cast("tuple[float, ...]", value)
            for i, layer in enumerate(layers):
                yield self._number(
                    (first + i, name, i), Tier.ROOF_NUMBER, sort, layer, True, info
                )
            if len(layers) < _most_layers(info):  # one more can be added, from nothing
                place = (first + len(layers), name, len(layers))
                yield self._number(place, Tier.ROOF_NUMBER, sort, 0.0, True, info)
            return
        given = value is not None
        now: Value | None = value if given else taken.get(name)
        if sort is Sort.WORD:
            tier = Tier.ROOF_KIND if roof else Tier.OWN_KIND
            others = tuple(c for c in self._choices(info) if c != now)
            if now is not None and others:
                yield Handle(first, name, None, tier, sort, now, given, others=others)
            return
        if now is None and roof:  # a board that is not there is added from nothing
            now = 0.0
        if now is not None:
            tier = Tier.ROOF_NUMBER if roof else Tier.OWN_NUMBER
            yield self._number((first, name, None), tier, sort, now, given, info)

    def _number(
        self,
        place: tuple[int, str, int | None],
        tier: Tier,
        sort: Sort,
        now: Value,
        given: bool,
        info: FieldInfo,
    ) -> Handle:
        assert isinstance(now, float | int)
        low, high = _limits(info)
        step = self._steps.get(sort) or step_of(sort, self._system)
        at = now / float(step)
        least, most = ceil(low / float(step) - NOISE), floor(high / float(step) + NOISE)
        above = range(max(floor(at + NOISE) + 1, least), most + 1)
        below = range(min(ceil(at - NOISE) - 1, most), least - 1, -1)
        held: tuple[Rung, ...] = ()
        if not given and abs(at - round(at)) < NOISE and least <= round(at) <= most:
            held = (Rung(_exact(round(at), step, sort), 0),)

        def rung(k: int) -> Rung:
            return Rung(_exact(k, step, sort), ceil(abs(k - at) - NOISE))

        return Handle(
            *place,
            tier,
            sort,
            now,
            given,
            up=(*held, *map(rung, above)),
            down=(*held, *map(rung, below)),
        )

    def _choices(self, info: FieldInfo) -> tuple[Value, ...]:
        family = _extra(info).get("family")
        if family:
            return tuple(m.id for m in self._catalog.of_family(family))
        return tuple(c for kind in _types(info.annotation) for c in _options(kind))


def _exact(steps: int, step: Fraction, sort: Sort) -> float:
    """Return so many steps as the number that reading them from a file gives."""
    return int(steps * step) if sort is Sort.WHOLE else float(steps * step)


def sort_of(info: FieldInfo) -> Sort:
    """Return how the values of a field are counted."""
    quantity = _extra(info).get("quantity")
    if quantity in {"length", "slope"}:
        return Sort(quantity)
    return Sort.WHOLE if int in _types(info.annotation) else Sort.WORD


def _limits(info: FieldInfo) -> tuple[float, float]:
    """Return the declared range of a number, both ends allowed."""
    low, high = limits_of(info)
    if low is None or high is None:  # the items of a list
        extra = _extra(info)
        return parse_length(extra["least_text"]), parse_length(extra["most_text"])
    return low, high


def _most_layers(info: FieldInfo) -> int:
    return next((m.max_length for m in info.metadata if hasattr(m, "max_length")), 0)


def _extra(info: FieldInfo) -> dict[str, str]:
    extra = info.json_schema_extra
    return cast("dict[str, str]", extra) if isinstance(extra, dict) else {}


def _types(annotation: Any) -> list[Any]:  # noqa: ANN401  (any type may stand there)
    """Return the alternatives of an annotation, without None and without decoration."""
    origin = get_origin(annotation)
    if origin is Annotated:
        return _types(get_args(annotation)[0])
    if origin in {Union, UnionType}:
        return [t for part in get_args(annotation) for t in _types(part)]
    return [] if annotation is NoneType else [annotation]


def _options(kind: Any) -> tuple[Value, ...]:  # noqa: ANN401  (any type may stand there)
    if get_origin(kind) is Literal:
        return get_args(kind)
    if isinstance(kind, type) and issubclass(kind, Enum):
        return tuple(kind)
    return (False, True) if kind is bool else ()
