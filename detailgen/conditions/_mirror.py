"""Two halves of one section: each is built as a left half, and the right one mirrored.

For sections whose halves differ, as on a roof that falls across them; a section that is the
same on both sides is whole with `_both_sides`. What belongs to the right half gets `-right`
behind its id. A body that both halves bring up to the axis, x = 0, is one body: it keeps
its id.
"""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from detailgen.geometry import Point, Region
from detailgen.geometry.regions import flipped_line, joined, mirrored, vertices
from detailgen.geometry.strips import polyline
from detailgen.section import RIGHT, Body, Coat, Joint
from detailgen.stacking import Stack

ON_AXIS = 1e-6
"""A body that comes this near to the axis, mm, reaches it."""


@dataclass(frozen=True, slots=True)
class Half:
    """What stands on one side of the axis, built to the left of it; or both sides."""

    bodies: tuple[Body, ...]
    joints: tuple[Joint, ...]
    coats: tuple[Coat, ...]
    points: Mapping[str, Point]
    hollows: tuple[Region, ...] = ()


def half_of(
    stack: Stack, points: Mapping[str, Point], hollows: Sequence[Region] = ()
) -> Half:
    """Return what a stack holds, with its points and the hollows it is meant to have."""
    return Half(
        tuple(stack.bodies),
        tuple(stack.joints),
        tuple(stack.coats),
        dict(points),
        tuple(hollows),
    )


def both(left: Half, right: Half, apart: Collection[str] = ()) -> Half:
    """Return both sides of a section, its bodies in the order of building.

    Args:
        left: The left side.
        right: The right side, as it is built to the left of the axis.
        apart: Ids of bodies that are two although they meet on the axis: sheets, say, that
            come up from both sides and are butted there.
    """
    turned = flipped(right, lambda name: name + RIGHT)
    there = {b.id: b for b in turned.bodies}
    across = [
        b.id
        for b in left.bodies
        if b.id + RIGHT in there
        and b.id not in apart
        and b.region.bounds[2] > -ON_AXIS
        and there[b.id + RIGHT].region.bounds[0] < ON_AXIS
    ]
    own = {name + RIGHT: name for name in across}

    def name(body_id: str) -> str:
        return own.get(body_id, body_id)

    bodies = [_united(b, there[b.id + RIGHT]) if b.id in across else b for b in left.bodies]
    bodies += [
        replace(b, pierces=tuple(map(name, b.pierces)))
        for b in turned.bodies
        if b.id not in own
    ]
    return Half(
        tuple(sorted(bodies, key=lambda b: b.stage)),
        (
            *left.joints,
            *(replace(j, upper=name(j.upper), lower=name(j.lower)) for j in turned.joints),
        ),
        (*left.coats, *(replace(c, body=name(c.body)) for c in turned.coats)),
        {**left.points, **turned.points},
        (*left.hollows, *turned.hollows),
    )


def flipped(half: Half, named: Callable[[str], str]) -> Half:
    """Return a half seen in the mirror on the axis.

    Args:
        half: What is turned over.
        named: What bodies and points are called on the other side.
    """
    return Half(
        tuple(
            replace(
                b,
                id=named(b.id),
                region=mirrored(b.region),
                course=None if b.course is None else flipped_line(b.course),
                pierces=tuple(named(p) for p in b.pierces),
            )
            for b in half.bodies
        ),
        tuple(
            Joint(named(j.upper), named(j.lower), flipped_line(j.line), j.bond)
            for j in half.joints
        ),
        tuple(
            replace(c, body=named(c.body), line=flipped_line(c.line)) for c in half.coats
        ),
        {named(name): (-x, y) for name, (x, y) in half.points.items()},
        tuple(map(mirrored, half.hollows)),
    )


def _united(left: Body, right: Body) -> Body:
    """Return one body of two that meet on the axis, with one course."""
    course = left.course
    if course is not None and right.course is not None:
        before, after = vertices(course), vertices(right.course)
        course = polyline([*before, *after[1:]])
    return replace(left, region=joined(left.region, right.region), course=course)
