"""Where metal hangs over a flashing sheet, and the top of the upright that it hangs on."""

from detailgen.checks._case import Case
from detailgen.geometry import Point
from detailgen.section import Role

NEAR_FACE = 0.05
"""Corners within this of the upright's face, mm, stand on it."""


def hem_of(case: Case) -> Point | None:
    """Return where metal over the flashing sheet hangs lowest by name; None under a coping.

    A counterflashing has a hem; so have the cap and the metal of a curb.
    """
    names = [name for name in ("cf.hem", "cover.hem") if case.has(name)]
    return case.at(names[0]) if names else None


def top_of_upright(case: Case) -> float | None:
    """Return the top of wall, blocking or curb at its roof face; None where none stands.

    What is built later on top of it, as the wood under a cap, does not count.
    """
    face = case.at("cant.top")[0]
    solid = case.all(Role.WALL, Role.BLOCKING)
    first = min((b.stage for b in solid), default=0)
    solid = tuple(b for b in solid if b.stage == first)
    tops = [y for b in solid for x, y in case.corners(b) if abs(x - face) < NEAR_FACE]
    return max(tops, default=None)


def sinks(case: Case) -> float:
    """Return how far what is flashed sinks or rises against what covers it, mm."""
    return case.section.moving.rises if case.section.moving else 0.0
