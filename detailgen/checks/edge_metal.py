"""Rules on edge metal: its face, cleat and gauge, and the sheets that end at it."""

from math import atan2, degrees, fsum, hypot

from detailgen.checks._case import Case
from detailgen.checks._rule import EDGE, Idle, Measured, Verdict, rule
from detailgen.finding import Relation
from detailgen.geometry import Point
from detailgen.geometry.columns import column_at, columns
from detailgen.section import WOOD, Body, Role

NO_METAL = "There is no edge metal."
HEMMED = (Role.EDGE_METAL, Role.COPING)
"""Metal whose face ends in a drip and may be hooked over a cleat."""


def _drop(case: Case) -> tuple[float, Body] | None:
    """Return the lower end of the base ply beyond the edge, or None."""
    edge = case.at("edge.top")[0]
    found: list[tuple[float, Body]] = []
    for ply in case.all(Role.BASE_PLY):
        heights = [y for x, y in case.corners(ply) if x > edge + 0.05]
        found += [(min(heights), ply)] if heights else []
    return min(found, key=lambda f: f[0], default=None)


@rule(
    "base_ply_drop_least",
    kinds=(EDGE,),
    wrong="The base ply ends too high on the edge.",
    built=(Role.BASE_PLY,),
)
def short_base_ply_drop(case: Case) -> Verdict:
    """Guards the top of the wall against water that gets behind the metal.

    Measured upright, from the top outer corner of the wood down to the base ply's end.
    """
    edge = case.at("edge.top")
    drop = _drop(case)
    if drop is None:
        return Measured(0.0, edge, reason="The base ply does not turn down over the edge.")
    return Measured(edge[1] - drop[0], (edge[0], drop[0]), (drop[1].id,))


@rule(
    "base_ply_below_wood_least",
    kinds=(EDGE,),
    strict=True,
    wrong="The base ply ends above the underside of the wood.",
    built=(Role.BASE_PLY,),
)
def base_ply_short_of_wood(case: Case) -> Verdict:
    """Guards the joints of the wood at the edge, which the base ply covers entirely.

    Measured upright, from the underside of the lowest wood at the edge (or of a deck that
    takes nails) down to the base ply's end; the end must lie below it.
    """
    edge = case.at("edge.top")
    near = edge[0] - 1.0  # further in, wood that slopes with the roof lies lower
    wood = [y for b in case.all(*WOOD) for x, y in case.corners(b) if x > near]
    low = min([*wood, case.at("wood.bottom")[1]])  # a wood deck lies lower than its nailers
    drop = _drop(case)
    if drop is None:
        reason = "The base ply does not turn down over the edge."
        return Measured(low - edge[1], edge, reason=reason)
    return Measured(low - drop[0], (edge[0], drop[0]), (drop[1].id,))


@rule(
    "face_below_drop_least",
    kinds=(EDGE,),
    wrong="The metal's face leaves the ply's end bare.",
    built=(Role.EDGE_METAL,),
)
def bare_drop(case: Case) -> Verdict:
    """Guards the end of the base ply against sun and wind: the metal's face hides it.

    Measured upright, from the base ply's end down to the lowest point of the metal.
    """
    edge = case.at("edge.top")
    drop = _drop(case)
    if drop is None:
        return Idle("no base ply comes down over the edge")
    metal = case.flange
    if metal is None:
        return Measured(drop[0] - edge[1], (edge[0], drop[0]), reason=NO_METAL)
    heights = [y for x, y in case.corners(metal) if x > edge[0]]
    low = min(heights, default=edge[1])
    return Measured(drop[0] - low, (edge[0], drop[0]), (metal.id, drop[1].id))


@rule(
    "finish_gap_flush_least",
    kinds=(EDGE,),
    relation=Relation.BETWEEN,
    high_row="finish_gap_flush_most",
    wrong="The finish ply ends in the wrong place before the bend.",
    built=(Role.FINISH_PLY,),
)
def wrong_finish_gap(case: Case) -> Verdict:
    """Keeps the finish ply off the drip of a flush edge, and near enough to cover it.

    Measured level, from the finish ply's end to the bend of the metal.
    """
    if case.has("leg.top"):
        return Idle("the edge is raised: it has no flush bend")
    bend = case.at("metal.bend")
    ply = case.innermost(Role.FINISH_PLY)
    if ply is None:
        gap = bend[0] - case.flange_start
        return Measured(gap, bend, reason="There is no finish ply.")
    end = ply.region.bounds[2]
    return Measured(bend[0] - end, (end, bend[1]), (ply.id,))


@rule(
    "finish_ply_off_leg_most",
    kinds=(EDGE,),
    relation=Relation.AT_MOST,
    wrong="The finish ply stops short of the raised leg.",
    built=(Role.FINISH_PLY,),
)
def finish_ply_off_leg(case: Case) -> Verdict:
    """Keeps the finish ply against the foot of a raised leg, so that no flange is bare.

    Measured level, from the finish ply's end to the foot of the leg.
    """
    if not case.has("leg.top"):
        return Idle("the edge is flush: it has no raised leg")
    leg = case.at("metal.leaves")
    ply = case.innermost(Role.FINISH_PLY)
    if ply is None:
        gap = leg[0] - case.flange_start
        return Measured(gap, leg, reason="There is no finish ply.")
    end = ply.region.bounds[2]
    return Measured(leg[0] - end, (end, leg[1]), (ply.id,))


@rule(
    "nail_bite_least",
    kinds=(EDGE,),
    wrong="The nails are too short to hold.",
    built=(Role.EDGE_METAL,),
)
def short_nail_bite(case: Case) -> Verdict:
    """Guards the metal against pulling out of what it is nailed to.

    Measured along each nail through flange or cleat: how much of it lies in wood or in a
    deck that takes nails. The worst nail is told.
    """
    held = {b.id for b in case.all(Role.EDGE_METAL, Role.CLEAT)}
    nails = [b for b in case.all(Role.FASTENER) if held & set(b.pierces)]
    if not nails:
        where = case.at("edge.top")
        return Measured(0.0, where, reason="No nail goes through the metal.")
    wood = [
        b
        for b in case.section.bodies
        if b.role in WOOD or (b.role is Role.DECK and case.material(b).nailable)
    ]
    bite, nail = min(((_bite(case, n, wood), n) for n in nails), key=lambda found: found[0])
    x0, y0, x1, y1 = nail.region.bounds
    return Measured(bite, ((x0 + x1) / 2.0, (y0 + y1) / 2.0), (nail.id,))


def _bite(case: Case, nail: Body, wood: list[Body]) -> float:
    """Return how much of a nail's length lies in wood."""
    x0, y0, x1, y1 = nail.region.bounds
    middle = ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
    upright = y1 - y0 > x1 - x0
    reach = (y1 - y0 if upright else x1 - x0) / 2.0
    spans = column_at(
        [case.rings(b) for b in wood], middle, (0.0, 1.0) if upright else (1.0, 0.0)
    )
    return fsum(max(min(high, reach) - max(low, -reach), 0.0) for low, high, _ in spans)


# --- the lower end of a face --------------------------------------------------------------


def _drip(case: Case, metal: Body) -> tuple[Point, Point]:
    """Return the side of the metal that leads down to its lowest corner."""
    ring = case.corners(metal)
    i = min(range(len(ring)), key=lambda k: (ring[k][1], ring[k][0]))
    low, before, after = ring[i], ring[i - 1], ring[(i + 1) % len(ring)]
    far = max((before, after), key=lambda p: hypot(p[0] - low[0], p[1] - low[1]))
    return far, low


@rule(
    "kick_most",
    kinds=(EDGE,),
    relation=Relation.AT_MOST,
    wrong="The drip is bent out too far.",
    built=(Role.EDGE_METAL,),
)
def steep_kick(case: Case) -> Verdict:
    """Guards the drip: bent out too far it holds water and catches the wind.

    Measured from the vertical, on the side of the metal that leads to its lowest corner.
    """
    metal = case.flange
    if metal is None:
        return Idle("there is no metal with a drip")
    (x0, y0), (x1, y1) = _drip(case, metal)
    angle = degrees(atan2(abs(x1 - x0), abs(y1 - y0)))
    return Measured(angle, (x1, y1), (metal.id,))


@rule(
    "cleat_hook_least",
    wrong="The metal is hooked too little over its cleat.",
    built=(
        Role.CLEAT,
        Role.EDGE_METAL,
        Role.COPING,
    ),
)
def shallow_cleat_hook(case: Case) -> Verdict:
    """Guards the face of the metal against wind: it is held along its whole lower edge.

    Measured along the drip, as the stretch in which the cleat lies between the metal's
    face and the metal's hook. Of several cleats the worst held is told.
    """
    cleats = case.all(Role.CLEAT)
    metal = case.first(*HEMMED)
    if metal is None or not cleats:
        planned = [p for view in case.section.layouts for p in view.of_role(Role.CLEAT)]
        if not planned:
            return Idle("no continuous cleat holds the metal")
        return Measured(0.0, case.anchor(), reason="The face is hooked over no cleat.")
    (x0, y0), (x1, y1) = far, low = _drip(case, metal)
    shapes = [case.rings(metal), case.rings(cleats[0])]
    span = hypot(x1 - x0, y1 - y0)
    ahead = (low[0] + 5.0 * (x1 - x0) / span, low[1] + 5.0 * (y1 - y0) / span)
    behind = (far[0] - 50.0 * (x1 - x0) / span, far[1] - 50.0 * (y1 - y0) / span)
    hook = 0.0
    for column in columns(shapes, ahead, behind):
        inside = [s for s in column.spans if abs(s[0]) < REACH and abs(s[1]) < REACH]
        kinds = [s[2] for s in inside]
        if any(kinds[k : k + 3] == [0, 1, 0] for k in range(len(kinds) - 2)):
            hook += column.width
    return Measured(hook, low, (metal.id, cleats[0].id))


REACH = 12.0
"""How far from the drip, mm, its hook and the cleat can lie."""
