"""Dimensions of a broken section, without those that tell of what is not there."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from math import dist
from typing import Final

from detailgen.faults._edits import one_side
from detailgen.geometry import Point, Region
from detailgen.geometry.regions import holes, outline
from detailgen.section import Gauge, LayeredSection, Layout

_NEAR: Final = 0.3
"""A named point nearer than this to a corner of a body belongs to it, mm."""


def told_truly(
    sound: LayeredSection, broken: LayeredSection, changed: Collection[str]
) -> LayeredSection:
    """Return a broken section without the dimensions that its picture does not bear out.

    A named point says where a thing should end. Where it lay on a corner of what was
    changed, and no longer does, its dimension would show a length that is not drawn. No
    dimension says that it is the least or the most: that one does not would give it away.

    Args:
        sound: The section as it should be.
        broken: The same with the changes.
        changed: Ids of bodies and of parts of views that were changed otherwise than by a
            parameter.
    """
    before = {b.id: b.region for b in sound.bodies if one_side(b.id) in changed}
    after = {b.id: b.region for b in broken.bodies}
    gauges = _kept(broken.gauges, broken.points, before, after)
    layouts = tuple(
        replace(
            view,
            gauges=_kept(
                view.gauges,
                view.points,
                {
                    p.id: p.region
                    for v in sound.layouts
                    if v.id == view.id
                    for p in v.parts
                    if p.id in changed
                },
                {p.id: p.region for p in view.parts},
                _gone(sound.layout(view.id), view),
            ),
        )
        for view in broken.layouts
    )
    return replace(broken, gauges=gauges, layouts=layouts)


def _kept(
    gauges: Iterable[Gauge],
    points: Mapping[str, Point],
    before: Mapping[str, Region],
    after: Mapping[str, Region],
    gone: Iterable[Point] = (),
) -> tuple[Gauge, ...]:
    """Return the gauges whose ends are where they were, without words of limits."""

    def bears_out(name: str) -> bool:
        at = points.get(name)
        if at is not None and any(dist(at, mark) <= _NEAR for mark in gone):
            return False
        return at is None or not any(
            _has_corner(region, at) and (i not in after or not _has_corner(after[i], at))
            for i, region in before.items()
        )

    return tuple(
        replace(g, suffix="") for g in gauges if bears_out(g.start) and bears_out(g.end)
    )


def _gone(sound: Layout | None, broken: Layout) -> list[Point]:
    """Return where fasteners are missing that a view should show."""
    there = {(m.row, m.at) for m in broken.marks}
    before = sound.marks if sound else ()
    return [m.at for m in before if (m.row, m.at) not in there]


def _has_corner(region: Region, at: Point) -> bool:
    return any(
        dist(p, at) <= _NEAR for ring in (outline(region), *holes(region)) for p in ring
    )
