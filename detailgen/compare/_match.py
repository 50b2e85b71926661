"""Which condition of one version is which of the other."""

from collections import defaultdict
from collections.abc import Callable, Hashable, Mapping, Sequence

from detailgen.compare._nouns import Side
from detailgen.compare._values import condition_keys

Pair = tuple[Side | None, Side | None]


def matched(old: Mapping[str, Side], new: Mapping[str, Side]) -> list[Pair]:
    """Return the conditions in pairs: those of the new version, then those that are gone.

    Conditions of one mark are one condition. What is left is paired where it says the same
    under another mark: with its title first, then without.
    """
    partners = {mark: old[mark] for mark in new if mark in old}
    lost = [side for mark, side in old.items() if mark not in new]
    come = [side for mark, side in new.items() if mark not in old]
    for content in (_content, _untitled):
        for was, now in _alike(lost, come, content):
            partners[now.id] = was
            lost.remove(was)
            come.remove(now)
    pairs: list[Pair] = [(partners.get(mark), side) for mark, side in new.items()]
    return [*pairs, *((side, None) for side in lost)]


def _alike(
    old: Sequence[Side], new: Sequence[Side], content: Callable[[Side], Hashable]
) -> list[tuple[Side, Side]]:
    """Return pairs of the same content, in the order of the two files."""
    waiting: dict[Hashable, list[Side]] = defaultdict(list)
    for side in old:
        waiting[content(side)].append(side)
    claimed = ((waiting[content(side)], side) for side in new)
    return [(found.pop(0), side) for found, side in claimed if found]


def _content(side: Side) -> Hashable:
    """Return all that a file says of a condition but its mark."""
    keyed = condition_keys(side.placed)
    return tuple((key, _rounded(value)) for key, (_, value) in keyed.items())


def _untitled(side: Side) -> Hashable:
    keyed = condition_keys(side.placed)
    return tuple((k, _rounded(value)) for k, (_, value) in keyed.items() if k != "title")


def _rounded(value: object) -> Hashable:
    """Return a value that is equal for lengths written in either system."""
    if isinstance(value, float):
        return f"{value:.9g}"
    if isinstance(value, tuple):
        return tuple(_rounded(one) for one in value)  # type: ignore[reportUnknownVariableType]
    return str(value)
