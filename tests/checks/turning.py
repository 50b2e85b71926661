"""Changes made on the right side of a section, or on bodies that go by other names.

A section is turned over in the axis, so that what a change names on the left is the right
side; afterwards it is turned back. Rows of walls serve curbs, joints and supports so.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace

from detailgen.geometry.regions import flipped_line, mirrored
from detailgen.section import RIGHT, LayeredSection
from tests.checks.mutating import Mutation
from tests.checks.variants import Base


def renamed(section: LayeredSection, name: Callable[[str], str]) -> LayeredSection:
    """Return a section whose bodies go by other ids."""
    return replace(
        section,
        bodies=tuple(
            replace(b, id=name(b.id), pierces=tuple(map(name, b.pierces)))
            for b in section.bodies
        ),
        joints=tuple(
            replace(j, upper=name(j.upper), lower=name(j.lower)) for j in section.joints
        ),
        coats=tuple(replace(c, body=name(c.body)) for c in section.coats),
        must_stay_dry=tuple(map(name, section.must_stay_dry)),
        dry_within={name(k): r for k, r in section.dry_within.items()},
    )


def turned(section: LayeredSection) -> LayeredSection:
    """Return a section seen in the mirror on its axis, with its sides exchanged by name."""
    ids = {b.id for b in section.bodies}

    def other(name: str, there: set[str]) -> str:
        stem = name.removesuffix(RIGHT)
        swap = stem if stem != name else name + RIGHT
        return swap if swap in there else name

    section = renamed(section, lambda name: other(name, ids))
    points = set(section.points)
    x0, _, x1, _ = section.extent.bounds
    return replace(
        section,
        bodies=tuple(
            replace(
                b,
                region=mirrored(b.region),
                course=None if b.course is None else flipped_line(b.course),
            )
            for b in section.bodies
        ),
        joints=tuple(replace(j, line=flipped_line(j.line)) for j in section.joints),
        coats=tuple(replace(c, line=flipped_line(c.line)) for c in section.coats),
        points={other(n, points): (-x, y) for n, (x, y) in section.points.items()},
        hollows=tuple(map(mirrored, section.hollows)),
        zones=tuple(replace(z, region=mirrored(z.region)) for z in section.zones),
        dry_within={k: mirrored(r) for k, r in section.dry_within.items()},
        extent=mirrored(section.extent),
        breaks=tuple(map(flipped_line, section.breaks)),
        slope=_slope(section, x1 - x0),
    )


def _slope(section: LayeredSection, width: float) -> float:
    """Return the slope of a section seen in the mirror: what falls through turns round."""
    ends = [section.points.get(f"flange.outer{side}") for side in ("", RIGHT)]
    if ends[0] is None or ends[1] is None or width <= 0.0:
        return section.slope
    return -section.slope


def on_right(change: Mutation) -> Mutation:
    """Return a change that is made on the right side instead of the left."""
    return Mutation(
        f"on the right side: {change.what}",
        lambda base, section: turned(change(base, turned(section))),
    )


def known_as(change: Mutation, names: Mapping[str, str]) -> Mutation:
    """Return a change for which bodies go by other names than the section gives them."""
    back = {new: old for old, new in names.items()}

    def apply(base: Base, section: LayeredSection) -> LayeredSection:
        there = {b.id for b in section.bodies}
        taken = {old: new for old, new in names.items() if old in there}
        if not taken or there & set(taken.values()):
            return change(base, section)
        changed = change(base, renamed(section, lambda n: taken.get(n, n)))
        return renamed(changed, lambda n: back.get(n, n))

    return Mutation(change.what, apply)
