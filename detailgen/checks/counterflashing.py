"""Rules on the metal that covers the top of a flashing: reglet, bar and coping."""

from detailgen.checks._case import Case
from detailgen.checks._hems import NEAR_FACE, hem_of, sinks, top_of_upright
from detailgen.checks._rule import WALL, Idle, Measured, Verdict, rule
from detailgen.finding import Amount, Relation
from detailgen.section import Body, Role

NO_COUNTERFLASHING = Idle("a coping covers this wall: it has no counterflashing")
NO_REGLET = Idle("the counterflashing is not held in a reglet")
NEAR_MOUTH = 25.0
"""How far from the mouth, mm, the slot of a reglet is looked for."""
NO_COPING = Idle("the wall has no coping in this section")


@rule(
    "counterflashing_lap_least",
    kinds=(WALL,),
    wrong="The counterflashing laps the flashing sheet too little.",
    built=(Role.COUNTERFLASHING,),
)
def short_counterflashing_lap(case: Case) -> Verdict:
    """Guards the top edge of the flashing sheet against driven rain.

    Measured upright, from the lowest point of the counterflashing, or of the metal or cap
    on a curb, to the highest point of the flashing sheet; on a curb to the top of its
    nailer at the roof face, over which the sheet goes. What the curb may sink against the
    metal counts off.
    """
    where = hem_of(case)
    if where is None:
        return NO_COUNTERFLASHING
    cover, sheet = case.lowest(Role.COUNTERFLASHING), case.highest(Role.FLASHING)
    if cover is None or sheet is None:
        missing = "counterflashing" if cover is None else "flashing sheet"
        return Measured(0.0, where, reason=f"There is no {missing}.")
    low, high = cover.region.bounds[1], sheet.region.bounds[3]
    top = top_of_upright(case) if case.has("curb.top") else None
    if top is not None:
        high = min(high, top)
    return Measured(high - low - sinks(case), (where[0], low), (cover.id, sheet.id))


@rule(
    "hem_above_cant_least",
    kinds=(WALL,),
    wrong="The hem of the counterflashing hangs too near the cant.",
    built=(Role.COUNTERFLASHING,),
)
def low_hem(case: Case) -> Verdict:
    """Keeps the hem of the counterflashing off the bend at the top of the cant.

    Measured upright, from the top of the bare cant to the counterflashing's lowest point.
    What the cant may rise toward it counts off.
    """
    where = hem_of(case)
    if where is None:
        return NO_COUNTERFLASHING
    cover = case.lowest(Role.COUNTERFLASHING)
    if cover is None:
        return Idle("there is no counterflashing whose hem could hang too low")
    low = cover.region.bounds[1]
    clear = low - case.at("cant.top")[1] - sinks(case)
    return Measured(clear, (where[0], low), (cover.id,))


def _embedded(case: Case, metal: Body) -> list[float]:
    """Return the heights of the metal's corners that lie inside the wall."""
    face = case.at("reglet.mouth" if case.has("reglet.mouth") else "cant.top")[0]
    return [y for x, y in case.corners(metal) if x > face + 0.05]


@rule(
    "reglet_depth_least",
    kinds=(WALL,),
    wrong="The reglet is too shallow to hold the counterflashing.",
    built=(Role.COUNTERFLASHING,),
)
def shallow_reglet(case: Case) -> Verdict:
    """Guards against a counterflashing that works out of its reglet.

    Measured level, from the face of the wall to the back of the slot that is cut into it.
    Without metal in the slot the depth counts as nothing.
    """
    if case.has("bar.top") or not case.has("reglet.mouth"):
        return NO_REGLET
    mouth = case.at("reglet.mouth")
    metal = case.first(Role.COUNTERFLASHING)
    if metal is None or not _embedded(case, metal):
        return Measured(0.0, mouth, reason="No counterflashing is held in the reglet.")
    x, y = mouth
    near = case.cut((x, y - NEAR_MOUTH), (x, y + NEAR_MOUTH))
    faces = [
        max(
            (s[1] for s in c.spans if case.body_of(s).role is Role.WALL and s[0] < 0.0),
            default=0.0,
        )
        for c in near
    ]
    return Measured(max(-min(faces, default=0.0), 0.0), mouth, (metal.id,))


@rule(
    "reglet_height_least",
    kinds=(WALL,),
    wrong="The reglet is too near the roof.",
    built=(Role.COUNTERFLASHING,),
)
def low_reglet(case: Case) -> Verdict:
    """Guards against a receiver so low that snow or standing water reaches it.

    Measured upright, from the top of the finish ply at the toe of the cant to the lowest
    point of the metal that lies inside the wall.
    """
    if case.has("bar.top") or not case.has("reglet.mouth"):
        return NO_REGLET
    if not case.rules.value("reglet_height_least"):
        return Idle("the rule set asks no height of a reglet")
    mouth = case.at("reglet.mouth")
    metal = case.first(Role.COUNTERFLASHING)
    heights = [] if metal is None else _embedded(case, metal)
    if metal is None or not heights:
        return Measured(0.0, mouth, reason="No counterflashing is held in the reglet.")
    low = min(heights)
    return Measured(low - case.at("roof.datum")[1], (mouth[0], low), (metal.id,))


IN_REGLET = "in a reglet"


@rule(
    "counterflashing_in_reglet",
    kinds=(WALL,),
    relation=Relation.EXACTLY,
    asked=Amount(words=IN_REGLET),
    wrong="The counterflashing is fixed to the face of the wall.",
    built=(Role.COUNTERFLASHING,),
)
def surface_mounted_counterflashing(case: Case) -> Verdict:
    """Guards against a counterflashing that keeps water out by its sealant alone.

    Looks for metal of the counterflashing behind the face of the wall, where a reglet
    holds it and covers its upper edge.
    """
    if hem_of(case) is None:
        return NO_COUNTERFLASHING
    if case.has("curb.top") and not case.has("reglet.mouth"):
        return Idle("the metal lies over the top of a curb: no wall holds it")
    metal = case.first(Role.COUNTERFLASHING)
    if metal is None:
        return Idle("there is no counterflashing that could be fixed to the wall's face")
    held = IN_REGLET if _embedded(case, metal) else "on the face of the wall"
    return Measured(held, case.at("cf.top"), (metal.id,))


@rule(
    "parapet_height_usual_most",
    kinds=(WALL,),
    relation=Relation.AT_MOST,
    wrong="The parapet is taller than is usual.",
    built=(Role.COPING,),
)
def tall_parapet(case: Case) -> Verdict:
    """Warns of a parapet that would dam up much water, should the drains clog.

    Measured upright, from the top of the finish ply at the toe of the cant to the top of
    the wall or of the blocking on it, on the roof side.
    """
    if not case.has("wall.joint"):
        return NO_COPING
    face = case.at("cant.top")[0]
    solid = case.all(Role.WALL, Role.BLOCKING)
    tops = [y for b in solid for x, y in case.corners(b) if x < face + NEAR_FACE]
    if not tops:
        return Idle("no wall is drawn")
    high = max(tops)
    return Measured(high - case.at("roof.datum")[1], (face, high))


@rule(
    "coping_face_least",
    kinds=(WALL,),
    wrong="The coping's face does not cover the joint below it.",
    built=(Role.COPING,),
)
def short_coping_face(case: Case) -> Verdict:
    """Guards the joint between the wall and the wood under a coping.

    Measured upright on the outer face of the wall, from that joint down to the lower end of
    the coping's plumb face; a drip below it does not count.
    """
    if not case.has("wall.joint"):
        return NO_COPING
    joint = case.at("wall.joint")
    coping = case.first(Role.COPING)
    if coping is None:
        return Measured(0.0, joint, reason="There is no coping.")
    ring = case.corners(coping)
    plumb = [
        min(a, b, key=lambda p: p[1])
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)
        if min(a[0], b[0]) > joint[0] and abs(a[0] - b[0]) < 0.02 * abs(a[1] - b[1])
    ]
    low = min(plumb, key=lambda p: p[1], default=joint)
    return Measured(joint[1] - low[1], low, (coping.id,))
