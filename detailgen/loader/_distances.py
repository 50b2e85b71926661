"""Distances between conditions: each names two that the file has, and no pair twice."""

from collections.abc import Collection, Mapping

from detailgen.loader._complaints import Complaints, suggestion
from detailgen.parameters import Distance


def told_distances(
    found: Mapping[int, Distance], ids: Collection[str], complaints: Complaints
) -> tuple[Distance, ...]:
    """Return the distances, after noting what is wrong with them."""
    pairs: dict[frozenset[str], int] = {}
    for number, distance in found.items():
        path = ("distance", number)
        for key, named in (("of", distance.of), ("to", distance.to)):
            if named not in ids:
                complaints.add(
                    (*path, key),
                    "no condition has this id",
                    allowed="the id of a [[condition]] of this file",
                    mend=suggestion(named, ids),
                )
        if distance.of == distance.to:
            complaints.add(
                (*path, "to"),
                "a condition has no distance to itself",
                mend="Name the other condition.",
            )
        pair = frozenset({distance.of, distance.to})
        if pair in pairs:
            complaints.add(
                (*path, "to"),
                "the distance of these two is told twice",
                mend="Take one of the two tables out.",
            )
        pairs.setdefault(pair, number)
    return tuple(found.values())
