"""What keys of a parameter file say in two versions: lengths count at their true size."""

from collections.abc import Iterable, Mapping
from enum import Enum
from typing import Final, cast

from detailgen.compare._nouns import ValueChange
from detailgen.loader import Kind, PlacedCondition, told
from detailgen.parameters import Model
from detailgen.units import UnitSystem, show_length, show_run, show_slope

_SAME: Final = 1e-9
"""Numbers that differ by no more, relative to their size, were written the same."""
_RUNS: Final = frozenset({"length", "clear"})
"""Keys of lengths that may be as long as a building."""
Keyed = Mapping[str, tuple[Kind, object]]


def value_changes(old: Keyed, new: Keyed) -> tuple[ValueChange, ...]:
    """Return the keys that say something else, in the order in which they stand."""
    keys = dict.fromkeys([*new, *old])
    found: list[ValueChange] = []
    for key in keys:
        kind = (new.get(key) or old[key])[0]
        before = old[key][1] if key in old else None
        after = new[key][1] if key in new else None
        if not same_value(before, after):
            found.append(ValueChange(key, kind, before, after))
    return tuple(found)


def condition_keys(placed: PlacedCondition) -> dict[str, tuple[Kind, object]]:
    """Return all that a file says of a condition but its mark, tables laid out by keys."""
    keyed: dict[str, tuple[Kind, object]] = {"kind": (Kind.CHOICE, placed.condition.kind)}
    keyed |= keyed_values(placed.parameters)
    keyed.pop("id")
    keyed["title"] = (Kind.TEXT, placed.title)
    for one in placed.accepted:
        keyed[f"accept.{one.rule}"] = (Kind.TEXT, f"{one.reason} ({one.by})")
    return keyed


def keyed_values(model: Model, within: str = "") -> dict[str, tuple[Kind, object]]:
    """Return what a table says by its keys; those of inner tables follow a point."""
    keyed: dict[str, tuple[Kind, object]] = {}
    for one in told(type(model)):
        value, key = getattr(model, one.key), f"{within}{one.key}"
        if isinstance(value, Model):
            keyed |= keyed_values(value, f"{key}.")
        elif one.kind is Kind.TABLES:
            for number, item in enumerate(cast("tuple[Model, ...]", value), 1):
                keyed |= keyed_values(item, f"{key}.{number}.")
        else:
            keyed[key] = (one.kind, value)
    return keyed


def same_value(old: object, new: object) -> bool:
    """Return whether two values say the same."""
    if isinstance(old, tuple) and isinstance(new, tuple):
        first, second = cast("tuple[object, ...]", old), cast("tuple[object, ...]", new)
        return len(first) == len(second) and all(map(same_value, first, second))
    if isinstance(old, float) and isinstance(new, float):
        return abs(old - new) <= _SAME * max(1.0, abs(old), abs(new))
    return old == new


def show_value(change: ValueChange, value: object, system: UnitSystem) -> str:
    """Return a value as a table shows it; nothing said is told as such."""
    if value is None or value == "":
        return "not given"
    if isinstance(value, tuple):
        listed = cast("tuple[object, ...]", value)
        return ", ".join(_plain(change, one, system) for one in listed) or "none"
    return _plain(change, value, system)


def _plain(change: ValueChange, value: object, system: UnitSystem) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        if change.kind in {Kind.LENGTH, Kind.LENGTHS}:
            show = show_run if change.key in _RUNS else show_length
            return show(value, system)
        if change.kind is Kind.SLOPE:
            return show_slope(value, system)
        return f"{value:.6g}"
    if isinstance(value, tuple):
        return f"({', '.join(str(v) for v in cast('tuple[object, ...]', value))})"
    return str(value.value if isinstance(value, Enum) else value)


def words_of(key: str) -> str:
    """Return a key as words.

    >>> words_of("flashing_height"), words_of("layer.2.thickness")
    ('flashing height', 'layer 2 thickness')
    """
    return key.replace("_", " ").replace(".", " ")


def listed(names: Iterable[str]) -> str:
    """Return names in one line; nothing for none."""
    return ", ".join(names)
