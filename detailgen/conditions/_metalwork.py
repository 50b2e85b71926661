"""Bent metal and fasteners that several conditions share."""

from math import cos, radians, sin

from detailgen.conditions._condition import Site
from detailgen.geometry import Point
from detailgen.geometry.regions import polygon, union
from detailgen.geometry.strips import normal
from detailgen.section import Body, Role

HEM = 12.7
"""Depth of a plain closed hem, mm (1/2 in; common practice, no source)."""


FOLD = 2e-4
"""How far, mm, the two sides of a closed fold run into each other, to be one solid."""

ROUNDING = 0.01
"""Thicknesses that differ by less, mm, are the same."""

_CLEATS = {
    "galvanized-24": "galvanized-22",
    "aluminium-032": "aluminium-050",
    "aluminium-040": "aluminium-050",
    "aluminium-050": "aluminium-050",
    "stainless-018": "stainless-025",
    "stainless-025": "stainless-025",
    "copper-16": "copper-24",
    "copper-20": "copper-24",
}


def usual_copper(site: Site) -> str:
    """Return the copper that is taken where none is named: 16 oz, or as the set asks."""
    least = site.rules.value("metal_least_copper") - ROUNDING
    thin = site.catalog.materials["copper-16"].thickness
    return "copper-16" if thin >= least else "copper-20"


def cleat_for(metal_id: str) -> str:
    """Return the metal of a cleat: of the same kind as the face, and not lighter."""
    return _CLEATS[metal_id]


def kick(foot: Point, length: float, angle: float, side: float = 1.0) -> Point:
    """Return the end of a drip kick.

    Args:
        foot: Where the face ends.
        length: Length of the kick, mm.
        angle: Degrees bent out from plumb.
        side: 1 to the right, -1 to the left.
    """
    a = radians(angle)
    return (foot[0] + side * length * sin(a), foot[1] - length * cos(a))


def hooked_end(
    foot: Point, length: float, angle: float, gap: float, hook: float, side: float = 1.0
) -> list[Point]:
    """Return the centre line of a kick that is folded back to hook over a cleat.

    Args:
        foot: Where the face ends, on the metal's centre line.
        length: Length of the kick.
        angle: Degrees bent out from plumb.
        gap: Distance between the centre lines of the kick and of the hook.
        hook: How far the metal is folded back.
        side: 1 when the kick leads to the right, -1 to the left.
    """
    a = radians(angle)
    down = (side * sin(a), -cos(a))
    inward = (-side * cos(a), -sin(a))
    tip = (foot[0] + length * down[0], foot[1] + length * down[1])
    back = (tip[0] + gap * inward[0], tip[1] + gap * inward[1])
    return [tip, back, (back[0] - hook * down[0], back[1] - hook * down[1])]


def driven(  # noqa: PLR0913  (a fastener is that many things)
    body_id: str,
    material: str,
    name: str,
    stage: int,
    head: Point,
    into: Point,
    *,
    shank: float,
    cap: float,
    cap_depth: float,
) -> Body:
    """Return a fastener driven from its head toward its point.

    Args:
        body_id: Id of the body.
        material: Id of the fastener in the catalogue.
        name: What a callout calls it.
        stage: Stage in which it is driven.
        head: Middle of the underside of the head, on the surface that it holds down.
        into: The point of the fastener.
        shank: Diameter of the shank, mm.
        cap: Diameter of the head or cap, mm.
        cap_depth: Thickness of the head; it stands off the surface.
    """
    nx, ny = normal(head, into)
    dx, dy = ny, -nx  # from head to point
    half, wide = shank / 2.0, cap / 2.0
    body = polygon([
        (head[0] + half * nx, head[1] + half * ny),
        (head[0] - half * nx, head[1] - half * ny),
        (into[0] - half * nx, into[1] - half * ny),
        (into[0] + half * nx, into[1] + half * ny),
    ])
    top = polygon([
        (head[0] + wide * nx, head[1] + wide * ny),
        (head[0] - wide * nx, head[1] - wide * ny),
        (head[0] - wide * nx - cap_depth * dx, head[1] - wide * ny - cap_depth * dy),
        (head[0] + wide * nx - cap_depth * dx, head[1] + wide * ny - cap_depth * dy),
    ])
    region = max(union([body, top]), key=lambda g: g.area)
    return Body(body_id, Role.FASTENER, material, region, stage, name, thickness=shank)


def hooked_pair(
    back: float,
    foot: float,
    cleat: float,
    face: float,
    angle: float,
    depth: float,
    hook: float,
) -> tuple[list[Point], list[Point]]:
    """Return the lower ends of a cleat and of the face that hooks over it.

    Args:
        back: x of the surface that the cleat stands against.
        foot: y at which the face's outer side kicks out.
        cleat: Thickness of the cleat's metal.
        face: Thickness of the face's metal.
        angle: Degrees that both are bent out from plumb.
        depth: Length of the cleat's kick.
        hook: How far the face is folded back past the cleat's edge.

    Returns:
        Centre lines: of the cleat from its kick down, and of the face from its kick down.
    """
    a = radians(angle)
    apart = (cleat + face) / 2.0
    # cleat and face keep their distance through the bend: inner bends lie a little lower
    lower = sin(a) / (1.0 + cos(a))
    face_foot = (back + cleat + face / 2.0, foot - face / 2.0 * lower)
    cleat_foot = (back + cleat / 2.0, face_foot[1] - apart * lower)
    slack = apart + 0.5
    # the folded edge stays clear of what the cleat stands against
    nearest = ((cleat + 1.5 * face) * cos(a) - cleat - face / 2.0) / sin(a)
    hook = min(hook + slack + apart * lower, depth + slack - max(nearest, 0.0) - 0.2)
    if hook < face:  # drawn thick, a short kick has no room for its fold
        return [cleat_foot, kick(cleat_foot, depth, angle)], [
            face_foot,
            kick(face_foot, depth + slack, angle),
        ]
    tail = hooked_end(face_foot, depth + slack, angle, 2.0 * apart, hook)
    return [cleat_foot, kick(cleat_foot, depth, angle)], [face_foot, *tail]
