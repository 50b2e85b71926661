"""What a shop bends for one section: a profile for each metal, or why there is none."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from detailgen.catalog import Catalog
from detailgen.errors import UserError
from detailgen.patterns.profiles import AS_USUAL, profile
from detailgen.profile import LeftOut, Profile, Shop, Shopwork
from detailgen.section import METALS, Body, LayeredSection, Role

_ROUND: Final = frozenset({Role.SLEEVE, Role.HOOD, Role.COLLAR})
_MADE_TO_FIT: Final = frozenset({Role.PAN, Role.LINER})
_DRESSED: Final = "lead"
_LENGTH: Final = 0.5
"""mm; legs that differ by less are made alike."""
_ANGLE: Final = 0.5
"""Degrees; so are bends."""


def shopwork(section: LayeredSection, catalog: Catalog, shop: Shop = AS_USUAL) -> Shopwork:
    """Return the profiles of a section, in the order of building, and what has none.

    Two metals that are made alike, as on the two sides of a joint, are one profile.
    """
    made: list[Profile] = []
    out: dict[str, LeftOut] = {}
    for body in section.bodies:
        if body.role not in METALS:
            continue
        reason = _reason(body, catalog)
        if not reason:
            try:
                found = profile(section, body.id, catalog, shop)
            except UserError:
                reason = "the catalogue has no figures for bending it"
            else:
                if body.role in _MADE_TO_FIT:
                    found = replace(found, made_to_fit=True, gap_drawn=None, lap_drawn=None)
                place = next((n for n, p in enumerate(made) if _alike(found, p)), None)
                if place is None:
                    made.append(found)
                else:
                    again = (*made[place].also, body.id)
                    made[place] = replace(made[place], also=again)
                continue
        out.setdefault(body.name, LeftOut(body.name, reason, body.id))
    return Shopwork(tuple(made), tuple(out.values()))


def _reason(body: Body, catalog: Catalog) -> str:
    """Return why a metal is not bent by legs on a brake; nothing for one that is."""
    if catalog.material(body.material).kind == _DRESSED:
        return "lead is dressed by hand in place, not bent on a brake"
    if body.role in _ROUND:
        return "formed round and soldered or welded, not bent by legs"
    if body.role is Role.TERMINATION_BAR or body.course is None:
        return "bought as a bar or a band, not bent"
    return ""


def _alike(one: Profile, other: Profile) -> bool:
    """Return whether two profiles are made alike, seen from either end."""
    if (one.material, len(one.legs)) != (other.material, len(other.legs)):
        return False
    lengths, angles = _figures(one)
    return any(
        _near(lengths, other_lengths, _LENGTH) and _near(angles, other_angles, _ANGLE)
        for other_lengths, other_angles in (
            _figures(other),
            tuple(list(reversed(f)) for f in _figures(other)),
        )
    ) and _punched(one) == _punched(other)


def _figures(one: Profile) -> tuple[list[float], list[float]]:
    signs = {"up": 1.0, "down": -1.0}
    return (
        [leg.length for leg in one.legs],
        [bend.angle * signs[bend.turn.value] for bend in one.bends],
    )


def _punched(one: Profile) -> list[tuple[str, float | None]]:
    return sorted((row.name, row.spacing) for row in one.holes)


def _near(one: Iterable[float], other: Iterable[float], by: float) -> bool:
    return all(abs(a - b) < by for a, b in zip(one, other, strict=True))
