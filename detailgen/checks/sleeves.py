"""Rules on what goes up through the roof: pipes, sleeves, pockets, and their plans."""

from detailgen.checks._case import FLANGED, Case
from detailgen.checks._plan import (
    PLAN,
    POINTS,
    hole_of,
    ids_of,
    least_past,
    parts_in_plan,
    plan_of,
)
from detailgen.checks._rule import (
    FLANGE,
    NONE_AT_ALL,
    POCKET,
    SLEEVE,
    STACK,
    SUPPORT,
    Idle,
    Measured,
    Verdict,
    rule,
)
from detailgen.finding import Relation
from detailgen.geometry.measures import rim_gap
from detailgen.geometry.regions import union
from detailgen.section import METALS, SHEETS, Body, Role

SLEEVED = (SLEEVE, SUPPORT)
ON_FACE = 0.05
"""What comes this near to a face, mm, lies on it."""


def _above_roof(case: Case, body: Body | None, missing: str) -> Verdict:
    """Measure how high a body ends above the finished roof beside it."""
    datum = case.at("roof.datum")
    if body is None:
        return Measured(0.0, datum, reason=missing)
    high = body.region.bounds[3]
    return Measured(high - datum[1], (body.region.bounds[0], high), (body.id,))


@rule(
    "stack_height_least",
    kinds=(STACK,),
    wrong="The pipe ends too low above the roof.",
    built=(Role.PIPE,),
)
def low_stack(case: Case) -> Verdict:
    """Guards the pipe against snow, leaves and splashed water that reach its rim.

    Measured upright, from the top of the finish ply where it meets the sleeve to the rim of
    the pipe, on both sides; on the upslope side the roof comes highest.
    """
    pipe = min(case.all(Role.PIPE), key=lambda b: b.region.bounds[3], default=None)
    return _above_roof(case, pipe, "There is no pipe.")


@rule(
    "sleeve_turned_in_least",
    kinds=(STACK,),
    wrong="The sleeve is turned down too little into the pipe.",
    built=(Role.SLEEVE,),
)
def short_turn_in(case: Case) -> Verdict:
    """Guards the gap between sleeve and pipe, which lies open to the rain at the rim.

    Measured upright, from the rim of the pipe down to the end of the sleeve inside it, on
    both sides; a sleeve that ends on the rim or before it is not turned in at all.
    """
    sleeve, pipe = case.first(Role.SLEEVE), case.first(Role.PIPE)
    if sleeve is None or pipe is None:
        missing = "sleeve" if sleeve is None else "pipe"
        return Measured(0.0, case.at("pipe.rim"), reason=f"There is no {missing}.")
    _, _, bore, rim = pipe.region.bounds
    inside = [y for x, y in case.corners(sleeve) if x > bore - ON_FACE]
    low = min(inside, default=rim)
    return Measured(max(rim - low, 0.0), (bore, low), (sleeve.id, pipe.id))


@rule(
    "sleeve_height_least",
    kinds=SLEEVED,
    wrong="The sleeve ends too low above the roof.",
    built=(Role.SLEEVE,),
)
def low_sleeve(case: Case) -> Verdict:
    """Guards the open top of a sleeve, which only its collar or hood covers.

    Measured upright, from the top of the finish ply where it meets the sleeve to the top of
    the sleeve, on both sides.
    """
    return _above_roof(case, case.highest(Role.SLEEVE), "There is no sleeve.")


@rule(
    "collar_lap_least",
    kinds=SLEEVED,
    wrong="The collar laps the sleeve too little.",
    built=(Role.COLLAR, Role.HOOD),
)
def short_collar_lap(case: Case) -> Verdict:
    """Guards the top of the sleeve against rain that is driven up under its cover.

    Measured upright, from the lower edge of the collar or hood up to the top of the sleeve,
    on both sides.
    """
    sleeve, cover = case.highest(Role.SLEEVE), case.lowest(Role.COLLAR, Role.HOOD)
    where = case.at("roof.datum")
    if sleeve is None or cover is None:
        missing = "There is no sleeve." if sleeve is None else "Nothing covers the sleeve."
        return Measured(0.0, where, reason=missing)
    x, low, _, _ = cover.region.bounds
    return Measured(sleeve.region.bounds[3] - low, (x, low), (cover.id, sleeve.id))


@rule(
    "hot_stack_gap_least",
    kinds=(SLEEVE,),
    wrong="The hot stack is too near to sleeve or sheets.",
    built=(Role.SLEEVE,),
)
def tight_hot_stack(case: Case) -> Verdict:
    """Guards sheets and sealant against the heat of a stack.

    Measured as the shortest distance, in any direction, between the stack and a sheet or
    the sleeve; the collar alone touches it.
    """
    if not case.section.hot:
        return Idle("no hot stack goes through this sleeve")
    pipes = case.all(Role.PIPE)
    near = case.all(Role.SLEEVE, *SHEETS)
    if not pipes or not near:
        return Idle("there is no stack, or nothing near it")
    gap, body = min(
        ((p.region.distance(b.region), b) for p in pipes for b in near),
        key=lambda found: found[0],
    )
    x1 = body.region.bounds[2]
    return Measured(gap, (x1, case.at("roof.datum")[1]), (pipes[0].id, body.id))


@rule(
    "pocket_height_least",
    kinds=(POCKET,),
    wrong="The pan ends too low above the roof.",
    built=(Role.PAN,),
)
def low_pan(case: Case) -> Verdict:
    """Guards the rim of a pan against water that stands round it or splashes.

    Measured upright, from the top of the finish ply where it meets the pan to the top of
    the pan's hem, on both sides.
    """
    return _above_roof(case, case.highest(Role.PAN), "There is no pan.")


@rule(
    "pocket_grout_halves_least",
    kinds=(POCKET,),
    wrong="The grout fills less than half of the pan.",
    built=(Role.FILL,),
    whole=True,
)
def shallow_grout(case: Case) -> Verdict:
    """Guards the sealant, which needs firm ground that holds the shape still.

    Measured upright, as the height of the grout over the middle of the pan's floor, and
    told in halves of the height from there to the rim of the pan.
    """
    floor, rim = case.at("fill.bottom"), case.at("pan.top")
    fill = case.first(Role.FILL)
    if fill is None:
        return Measured(0.0, floor, reason="There is no grout in the pan.")
    top = fill.region.bounds[3]
    halves = 2.0 * (top - floor[1]) / (rim[1] - floor[1])
    return Measured(round(halves, 6), (floor[0], top), (fill.id,))


@rule(
    "pocket_crown_least",
    kinds=(POCKET,),
    wrong="Water stands on the sealant.",
    built=(Role.POURED_SEALANT,),
)
def flat_sealant(case: Case) -> Verdict:
    """Guards the poured sealant, which shrinks from the shape where water stands on it.

    Measured upright, on both sides: how much higher the sealant ends at the shape than at
    the rim of the pan.
    """
    sealant, pan = case.first(Role.POURED_SEALANT), case.first(Role.PAN)
    rim = case.at("pan.top")
    if sealant is None:
        return Measured(0.0, rim, reason="There is no sealant in the pan.")
    if pan is None:
        return Idle("there is no pan")
    ring = case.corners(sealant)
    at_rim = max((y for x, y in ring if x < rim[0] + ON_FACE), default=rim[1])
    x, at_shape = max(ring, key=lambda p: (p[1], p[0]))
    return Measured(at_shape - at_rim, (x, at_shape), (sealant.id,))


@rule(
    "bead_leg_least",
    kinds=(FLANGE,),
    wrong="The bead at the end of the finish ply is missing or too small.",
    built=(Role.BEAD,),
)
def missing_foot_bead(case: Case) -> Verdict:
    """Guards the end of the finish ply where it meets the metal that goes up or through.

    Measured on both sides along the faces that the bead seals: what it covers of the
    metal, and of the sheets; the shorter one is told, but where the sheets end square in a
    throat they are only as high as they are thick, so that the metal's alone counts. Under
    the ring of a drain the sheets end clamped: no bead is asked.
    """
    if case.whole.first(Role.CLAMPING_RING, Role.DRAIN_BOWL) is not None:
        return Idle("the sheets end clamped under a ring")
    where = case.at("metal.leaves")
    found = [f for b in case.all(Role.BEAD) if (f := _sealed(case, b)) is not None]
    if not found:
        return Measured(0.0, where, reason="No bead closes the end of the finish ply.")
    leg, bead = max(found, key=lambda f: f[0])
    x0, y0, x1, y1 = bead.region.bounds
    return Measured(leg, ((x0 + x1) / 2.0, (y0 + y1) / 2.0), (bead.id,))


def _sealed(case: Case, bead: Body) -> tuple[float, Body] | None:
    """Return how long a bead seals finish ply and metal; None for one elsewhere."""
    roles = {b.id: b.role for b in case.section.bodies}
    metal = ply = 0.0
    for joint in case.section.joints_of(bead.id):
        role = roles.get(joint.lower if joint.upper == bead.id else joint.upper)
        if role in METALS:
            metal += joint.line.length
        elif role is Role.FINISH_PLY:
            ply += joint.line.length
    if not ply:
        return None
    raised = case.has("leg.top")
    return (min(metal, ply) if raised else metal), bead


# --- what the plan shows ------------------------------------------------------------------


@rule(
    "flange_width_least",
    kinds=POINTS,
    title="Width of the flange all round, in plan, at least",
    wrong="The flange is too narrow on one of its sides.",
    built=FLANGED,
    whole=True,
)
def narrow_flange_in_plan(case: Case) -> Verdict:
    """Guards the hold of a flange on the sides that no section cuts.

    Measured on the plan, square to each side of the flange, from its outer edge to the
    upright that it is bent or soldered to. The narrowest side is told.
    """
    flanges = [p for p in parts_in_plan(case, *FLANGED) if p.hidden and p.id == "flange"]
    hole = hole_of(flanges[0]) if flanges else None
    if hole is None:
        return Idle("there is no plan of a flange")
    width, where = least_past(flanges[0].region.bounds, hole)
    return Measured(width, where, ids_of(flanges), view=PLAN)


@rule(
    "flange_strip_in_least",
    kinds=(FLANGE,),
    title="Target past the flange all round, in plan, at least",
    wrong="The target ends too near the flange on one of its sides.",
    built=(Role.STRIP_IN,),
    whole=True,
)
def short_target_in_plan(case: Case) -> Verdict:
    """Guards the edges of a flange on the sides that no section cuts.

    Measured on the plan, or where roof and wall are seen unfolded: the shortest distance
    between the outer edge of the metal and that of all strip-in plies over it.
    """
    metal = [p for p in parts_in_plan(case, *FLANGED) if p.hidden]
    strips = parts_in_plan(case, Role.STRIP_IN)
    if not metal:
        return Idle("there is no plan of a flange")
    x0, y0, _, _ = metal[0].region.bounds
    covers = union([p.region for p in strips])
    if not covers:
        return Measured(0.0, (x0, y0), view=PLAN, reason="The plan shows no target.")
    past, where = rim_gap(covers[0], metal[0].region)
    return Measured(past, where, ids_of(strips), view=PLAN)


@rule(
    "side_lap_least",
    kinds=POINTS,
    title="Lap of the finish ply's two pieces, at least",
    wrong="The two pieces of the finish ply lap too little.",
    built=(Role.FINISH_PLY,),
    whole=True,
)
def short_finish_lap(case: Case) -> Verdict:
    """Guards the cut that lets the finish ply round what goes up through it.

    Measured on the plan along the fall of the roof, between the ends of the two pieces.
    """
    pieces = sorted(parts_in_plan(case, Role.FINISH_PLY), key=lambda p: p.region.bounds[0])
    if len(pieces) < 2:
        return Idle("the finish ply is not in two pieces")
    low, high = pieces[:2]
    end = low.region.bounds[2]
    start, _, _, top = high.region.bounds
    return Measured(end - start, (start, top), ids_of(pieces), view=PLAN)


@rule(
    "laps_shed_water",
    kinds=POINTS,
    relation=Relation.AT_MOST,
    asked=NONE_AT_ALL,
    wrong="The downslope piece of the finish ply lies over the upslope one.",
    title="Pieces of the finish ply that face the water, none",
    built=(Role.FINISH_PLY,),
    whole=True,
)
def backwater_finish_lap(case: Case) -> Verdict:
    """Guards the lap of the two pieces of finish ply against water that runs into it.

    Counted on the plan: pieces that lie over the next piece up the slope.
    """
    layout = plan_of(case)
    pieces = sorted(parts_in_plan(case, Role.FINISH_PLY), key=lambda p: p.region.bounds[0])
    if layout is None or len(pieces) < 2:
        return Idle("the finish ply is not in two pieces")
    low, high = pieces[:2] if layout.downhill[0] < 0.0 else pieces[:2][::-1]
    wrong = int(low.level > high.level)
    x0, _, _, y1 = high.region.bounds
    return Measured(wrong, (x0, y1), ids_of(pieces[:2]), view=PLAN)
