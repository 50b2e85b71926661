"""Random valid parameter sets, drawn from the declared ranges of every field.

The generator is seeded by the caller, so that a test sees the same sets on every run. Sets
that a condition calls impossible are rejected and counted.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import Enum
from random import Random
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin

from pydantic.fields import FieldInfo

from detailgen.catalog import Catalog, RuleSet
from detailgen.conditions import CONDITIONS, Condition, Site
from detailgen.parameters import Placed, Roof
from detailgen.units import parse_length
from tests.free_sections import draw_free

SKIP = {"id", "title", "length", "count", "base_ply", "finish_ply", "roll_width"}


@dataclass
class Tally:
    """How many sets were drawn and how many of them could not be built."""

    drawn: int = 0
    rejected: int = 0
    why: dict[str, int] = field(default_factory=dict)

    @property
    def rate(self) -> float:
        """Share of rejected sets."""
        return self.rejected / max(self.drawn, 1)


def _limits(info: FieldInfo) -> tuple[float, float]:
    low = next(m.ge for m in info.metadata if hasattr(m, "ge"))
    high = next(m.le for m in info.metadata if hasattr(m, "le"))
    return low, high


def _value(info: FieldInfo, rng: Random) -> Any:
    kind = info.annotation
    options = get_args(kind) if get_origin(kind) in {Union, UnionType} else (kind,)
    if NoneType in options and rng.random() < 0.35:
        return None
    kind = next(o for o in options if o is not NoneType)
    extra = info.json_schema_extra if isinstance(info.json_schema_extra, Mapping) else {}
    if get_origin(kind) is Literal:
        return rng.choice(get_args(kind))
    if isinstance(kind, type) and issubclass(kind, Enum):
        return rng.choice(list(kind))
    if kind is bool:
        return rng.random() < 0.5
    if kind is int:
        low, high = _limits(info)
        return rng.randint(int(low), int(high))
    if get_origin(kind) is tuple:
        low, high = parse_length(extra["least_text"]), parse_length(extra["most_text"])
        return tuple(rng.uniform(low, high) for _ in range(rng.randint(0, 3)))
    low, high = _limits(info)
    return rng.uniform(low, high)


def draw(model: type, rng: Random) -> dict[str, Any]:
    """Return random values for all fields of a model that have a range or choices."""
    return {
        name: _value(info, rng)
        for name, info in model.model_fields.items()
        if name not in SKIP
    }


def draw_roof(rng: Random) -> Roof:
    """Return a random roof."""
    return Roof(**draw(Roof, rng))


def samples(
    kind: str,
    count: int,
    seed: int,
    catalog: Catalog,
    rules: RuleSet,
    tally: Tally | None = None,
) -> Iterator[tuple[Condition, Placed, Site]]:
    """Yield as many random sets of one kind as asked, without the impossible ones."""
    rng = Random(seed)
    condition = CONDITIONS[kind]
    tally = tally or Tally()
    found = 0
    while found < count:
        if condition.example:  # its tables cannot be drawn field by field
            parameters, site = draw_free(rng)
            tally.drawn += 1
            found += 1
            yield condition, parameters, site
            continue
        site = Site(draw_roof(rng), catalog, rules)
        parameters = condition.parameters(id="X1", **draw(condition.parameters, rng))
        tally.drawn += 1
        problems = condition.impossible(parameters, site)
        if problems:
            tally.rejected += 1
            for problem in problems:
                tally.why[problem.message] = tally.why.get(problem.message, 0) + 1
            continue
        found += 1
        yield condition, parameters, site
