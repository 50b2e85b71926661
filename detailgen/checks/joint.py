"""Rules on what moves apart: the gap, the barrier across it, and the metal over it."""

from collections.abc import Sequence
from itertools import pairwise
from math import hypot, inf

from detailgen.checks._case import Case
from detailgen.checks._rule import JOINT, MOVING_WALL, Idle, Measured, Verdict, rule
from detailgen.geometry import Point
from detailgen.geometry.columns import column_at, columns
from detailgen.geometry.joints import lines_in
from detailgen.geometry.regions import box
from detailgen.section import SHEETS, WOOD, Body, Moving, Role

RIGID = WOOD | {Role.WALL, Role.DECK, Role.INSULATION, Role.COVER_BOARD}
"""What pushes when it is pushed."""
RIDES = SHEETS | WOOD | {Role.CEMENT, Role.FASTENER, Role.WALL, Role.COVER_BOARD, Role.CANT}
"""What moves with a nailer on the deck, below metal that hangs from the wall."""
NOTHING_MOVES = Idle("nothing moves apart in this section")
ASIDE = 0.01
"""How far beside a corner, mm, a clear distance is looked at."""
NEAR = 150.0
"""Metal further off than this, mm, is no matter of a clear distance."""


def _gap(case: Case) -> tuple[Point, Point]:
    return case.at("gap.left"), case.at("gap.right")


@rule(
    "joint_closed_least",
    kinds=(JOINT, MOVING_WALL),
    whole=True,
    wrong="The gap closes too far.",
    built=(Role.WALL, Role.BLOCKING),
)
def tight_joint(case: Case) -> Verdict:
    """Guards curbs and walls against being pushed over by what moves toward them.

    Measured level, between what is rigid on both sides of the gap where they come nearest,
    less the movement by which the gap closes. Filler and barrier give way.
    """
    moving = case.section.moving
    if moving is None:
        return NOTHING_MOVES
    left, right = _gap(case)
    middle = (left[0] + right[0]) / 2.0
    bodies = case.all(*RIGID)
    before = [b for b in bodies if b.region.centroid.x < middle]
    after = [b for b in bodies if b.region.centroid.x >= middle]
    if not before or not after:
        return Measured(-moving.closes, left, reason="One side of the gap is missing.")
    apart, one, other = min(
        ((a.region.distance(b.region), a, b) for a in before for b in after),
        key=lambda found: found[0],
    )
    ids = tuple(dict.fromkeys((one.id, other.id)))
    return Measured(apart - moving.closes, (middle, left[1]), ids)


def _widest(moving: Moving, left: Point, right: Point) -> float:
    """Return how far apart both edges of the gap come."""
    return hypot(right[0] - left[0] + moving.opens, moving.rises)


@rule(
    "joint_slack_least",
    kinds=(JOINT, MOVING_WALL),
    whole=True,
    wrong="The barrier is pulled tight when the joint is open.",
    built=(Role.BARRIER,),
)
def tight_barrier(case: Case) -> Verdict:
    """Guards the barrier, the second line under the cover, against being torn.

    Measured along the barrier's lower side from edge to edge of the gap, less the distance
    of the edges when the joint is open widest.
    """
    moving = case.section.moving
    if moving is None:
        return NOTHING_MOVES
    left, right = _gap(case)
    barrier = case.first(Role.BARRIER)
    apart = _widest(moving, left, right)
    if barrier is None:
        return Measured(-apart, left, reason="There is no barrier across the gap.")
    low = barrier.region.bounds[1]
    window = box(left[0], low - 1.0, right[0], max(left[1], right[1]) + ASIDE)
    sides = lines_in(barrier.region.boundary.intersection(window))
    across = [
        s.length
        for s in sides
        if s.bounds[0] < left[0] + 1.0 and s.bounds[2] > right[0] - 1.0
    ]
    where = ((left[0] + right[0]) / 2.0, low)
    if not across:
        reason = "The barrier does not reach across the gap."
        return Measured(-apart, where, (barrier.id,), reason=reason)
    return Measured(max(across) - apart, where, (barrier.id,))


def _hook(side: Case) -> tuple[float, float, Point] | None:
    """Return how far a cover is hooked on one side, what play it has, and where.

    The cover's fold lies below the hook of the curb's metal, and its top above.
    """
    metal, cover = side.first(Role.COUNTERFLASHING), side.first(Role.JOINT_COVER)
    if metal is None or cover is None:
        return None
    x0, _, x1, _ = cover.region.bounds
    shapes = [side.rings(metal), side.rings(cover)]
    hold, levels = 0.0, (0.0, 0.0)
    for column in columns(shapes, (x0, 0.0), (x1, 0.0)):
        for below, hook, above in zip(
            column.spans, column.spans[1:], column.spans[2:], strict=False
        ):
            if (below[2], hook[2], above[2]) == (1, 0, 1):
                hold += column.width
                levels = ((below[0] + below[1]) / 2.0, (hook[0] + hook[1]) / 2.0)
    if not hold:
        return None
    play = min(_between(shapes, x1, y) for y in levels)
    return hold, play, (x0, levels[1])


def _between(shapes: Sequence[tuple[tuple[Point, ...], ...]], x: float, y: float) -> float:
    """Return the least clear distance of two bodies along a level line; none is endless."""
    spans = column_at(shapes, (x, y), (-1.0, 0.0))
    clear = [b[0] - a[1] for a, b in pairwise(spans) if a[2] != b[2]]
    return max(min(clear, default=inf), 0.0)


@rule(
    "joint_cover_hold_least",
    kinds=(JOINT,),
    whole=True,
    wrong="The cover slides off its hooks when the joint moves.",
    built=(Role.COUNTERFLASHING, Role.JOINT_COVER),
)
def loose_joint_cover(case: Case) -> Verdict:
    """Guards the cover of a joint against wind when the joint has moved as far as it will.

    Measured on both sides: the stretch in which the hook of the curb's metal lies between
    the fold of the cover and its top, less the movement by which the joint closes and less
    the play by which the cover can be pushed aside. Where the play of both sides is less
    than the joint opens, the cover binds and holds by nothing.
    """
    moving = case.section.moving
    if moving is None:
        return NOTHING_MOVES
    found = [_hook(side) for side in case.sides]
    ids = tuple(b.id for b in case.all(Role.JOINT_COVER))
    place = case.at("gap.left")
    hooked = [f for f in found if f is not None]
    if len(hooked) < 2:
        return Measured(0.0, place, ids, reason="The cover is hooked on one side at most.")
    (hold, play, (x, y)), (hold_right, play_right, _) = hooked
    if play + play_right < moving.opens - ASIDE:
        reason = "The cover binds on its hooks before the joint is open widest."
        return Measured(0.0, (x, y), ids, reason=reason)
    left, right = hold - play_right, hold_right - play
    where = (x, y) if left <= right else (-x, y)
    return Measured(min(left, right) - moving.closes, where, ids)


@rule(
    "slip_clear_least",
    kinds=(MOVING_WALL,),
    whole=True,
    wrong="The counterflashing is touched by what moves under it.",
    built=(Role.COUNTERFLASHING, Role.FLASHING),
)
def touched_counterflashing(case: Case) -> Verdict:
    """Guards metal that hangs from a wall over a nailer which moves on its own.

    Measured level from sheet and fasteners on the nailer to the metal before them, less the
    movement away from the wall; and upright from them to the metal above them, less the
    rise. The lesser of the two is told.
    """
    moving = case.section.moving
    metal = case.first(Role.COUNTERFLASHING)
    if moving is None or metal is None:
        return Idle("no counterflashing hangs over what moves")
    x1 = case.at("curb.inner")[0]
    wall = case.at("gap.right")[0]
    rides = [
        b
        for b in case.all(*RIDES)
        if b.region.bounds[0] < wall - ASIDE and metal.id not in b.pierces
    ]
    found = [
        (clear - moving.opens, where)
        for clear, where in _clear(case, metal, rides, (-1.0, 0.0), x1)
    ]
    found += [
        (clear - moving.rises, where)
        for clear, where in _clear(case, metal, rides, (0.0, 1.0), x1)
    ]
    if not found:
        reason = "The counterflashing hangs over nothing."
        return Measured(0.0, case.at("curb.top"), (metal.id,), reason=reason)
    clear, where = min(found)
    return Measured(clear, where, (metal.id,))


def _clear(
    case: Case, metal: Body, rides: Sequence[Body], way: Point, end: float
) -> list[tuple[float, Point]]:
    """Return clear distances from what rides to the metal beyond it, each with its place.

    Looked at beside every corner, between which they change evenly.

    Args:
        case: What is examined.
        metal: The metal.
        rides: What moves.
        way: In which direction they are looked for: level outward, or up.
        end: x up to which they are looked for.
    """
    upright = way[1] > 0.0
    shapes = [case.rings(b) for b in (metal, *rides)]
    x0, y0, _, y1 = metal.region.bounds
    low, high = (x0, end) if upright else (y0, y1)
    marks = {low, high}
    marks |= {p[not upright] for shape in shapes for ring in shape for p in ring}
    found: list[tuple[float, Point]] = []
    for mark in sorted(marks):
        for at in (mark - ASIDE, mark + ASIDE):
            if not low < at < high:
                continue
            foot = (at, 0.0) if upright else (end, at)
            for a, b in pairwise(column_at(shapes, foot, way)):
                if a[2] and not b[2] and b[0] - a[1] < NEAR:
                    where = (at, a[1]) if upright else (end - a[1], at)
                    found.append((b[0] - a[1], where))
    return found
