"""What spans the gap of a joint: filler, flexible barrier, and the cover over it."""

from collections.abc import Sequence
from dataclasses import replace
from math import hypot

from detailgen.conditions._condition import Site
from detailgen.conditions._joint_halves import Level, Slip, both_ways
from detailgen.geometry import Point
from detailgen.geometry.joints import shared_lines
from detailgen.geometry.regions import box, joined, polygon, vertices
from detailgen.geometry.strips import normal, parallel, polyline, ribbon
from detailgen.section import Body, Bond, Joint, Role

CLEAR = 0.5
"""Room above and below a hook for the cover to slide, mm."""
FOOT = 0.35
"""Half the width of the bottom of the barrier's loop, as a part of half the gap."""


def touching(body: Body, bodies: Sequence[Body], bond: Bond, *others: str) -> list[Joint]:
    """Return the joints of a body with the bodies of these ids, from their shared lines."""
    return [
        Joint(body.id, other.id, line, bond)
        for other in bodies
        if other.id in others
        for line in shared_lines(body.region, other.region)
    ]


def loop_length(half_gap: float, depth: float) -> float:
    """Return how much of the barrier's loop lies between the two nailers, mm."""
    foot = FOOT * half_gap
    return 2.0 * hypot(half_gap - foot, depth) + 2.0 * foot


def filler(site: Site, x0: float, x1: float, low: float, top: float) -> Body:
    """Return the compressible filler in the gap."""
    material = site.catalog.materials["joint-filler"]
    return Body(
        "filler",
        Role.FILLER,
        material.id,
        box(x0, low, x1, top),
        1,
        material.name,
        sticks="pressed in, stuck to nothing",
    )


def loop_between(left: Point, right: Point, depth: float) -> list[Point]:
    """Return the lower side of a barrier's loop between two edges of one height."""
    (x0, y), (x1, _) = left, right
    aside = (x1 - x0) / 2.0 * (1.0 - FOOT)
    return [left, (x0 + aside, y - depth), (x1 - aside, y - depth), right]


def looped(left: Body, lower: Sequence[Point], right: Body | None = None) -> Body:
    """Return a barrier whole: what lies on the left curb, and its loop from there.

    Args:
        left: What of it lies on the left curb.
        lower: Lower side of the loop, from the inner upper edge of that curb; what of it
            lies on a wall follows.
        right: What of it lies on a curb on the right, which is alike.
    """
    t = min(left.thickness, 0.3 * (lower[2][0] - lower[1][0]) / FOOT / 2.0)
    upper = parallel(lower, t)
    assert upper is not None, "the loop of a barrier is wider than the barrier is thick"
    end = _outer(left, lower[0])
    there = [] if right is None else [(-end[0], end[1])]
    region = joined(left.region, polygon([*lower, *there, *reversed(upper), end]))
    assert left.course is not None
    course = [*vertices(left.course), *lower[1:]]
    if right is not None and right.course is not None:
        region = joined(region, right.region)
        course += vertices(right.course)[1:]
    return replace(left, region=region, course=polyline(course))


def _outer(sheet: Body, edge: Point) -> Point:
    """Return the upper corner of a sheet's square end, of which the edge is the lower."""
    assert sheet.course is not None
    a, b = vertices(sheet.course)[-2:]
    n = normal(a, b)
    return (edge[0] + sheet.thickness * n[0], edge[1] + sheet.thickness * n[1])


def slip_cover(
    site: Site, slip: Slip, hook: tuple[Point, Point], metal_id: str, pitch: float
) -> tuple[Body, dict[str, Point]]:
    """Return the cover that is hooked on the metal of both curbs and slides on it.

    Args:
        site: Catalogue.
        slip: How it is hooked.
        hook: Outer end of the left hook, and the dam that it springs from, both on the
            middle of the metal.
        metal_id: Metal of the cover and of the hooks.
        pitch: Rise per run from its folds to the axis.

    Returns:
        The cover, and named points of its left side.
    """
    metal = site.catalog.materials[metal_id]
    t = metal.thickness * site.thickening.metal
    (tip, y), (dam, _) = hook
    apart = t * (hypot(1.0, pitch) + 1.0) / 2.0 + CLEAR
    x, end = tip - slip.play - t / 2.0, dam - slip.play - t / 2.0
    left: list[Point] = [
        (end, y - apart),
        (x, y - apart),
        (x, y + apart),
        (0.0, y + apart - pitch * x),
    ]
    line = both_ways(left)
    body = Body(
        "joint-cover",
        Role.JOINT_COVER,
        metal.id,
        ribbon(line, t),
        9,
        "Cover of the joint, " + metal.name.lower(),
        thickness=t,
        course=polyline(line),
        sticks="hooked loosely on both sides, so that it slides",
    )
    return body, {"cover.end": (end, y - apart), "cover.fold": (x + t / 2.0, y)}


def cap(
    site: Site, leg: Sequence[Point], over: Level, metal_id: str, pitch: float, t: float
) -> Body:
    """Return the cap of an area divider, with a leg down each side.

    Args:
        site: Catalogue.
        leg: Centre line of the left leg, from the top down.
        over: Upper face of what lies on the left half, measured from the axis.
        metal_id: Metal of the cap.
        pitch: Rise per run from its edges to the axis.
        t: Thickness of the metal.
    """
    metal = site.catalog.materials[metal_id]
    x = leg[0][0]
    low = over.at(x) + t / 2.0 * hypot(1.0, pitch) + 5e-5
    line = both_ways([*reversed(leg[1:]), (x, low), (0.0, low - pitch * x)])
    return Body(
        "counterflashing",
        Role.COUNTERFLASHING,
        metal.id,
        ribbon(line, t),
        9,
        "Cap, " + metal.name.lower(),
        thickness=t,
        course=polyline(line),
        sticks="legs screwed through slotted holes, with sealing washers",
    )
