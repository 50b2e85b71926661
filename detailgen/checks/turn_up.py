"""Rules on the sheets that turn up a wall: how far they reach and how many they are."""

from collections.abc import Set

from detailgen.checks._case import Case
from detailgen.checks._rule import WALL, Idle, Measured, Verdict, rule
from detailgen.finding import Relation
from detailgen.geometry.columns import Column
from detailgen.geometry.measures import uncovered
from detailgen.section import Role

FOOT_OF_WALL = 10.0
"""Height of the foot of the wall above the cant, mm, where sheets are counted always."""
BAND_BODY = Role.FINISH_PLY
"""The ply on whose face the band under the flashing sheet is prepared."""


def _height(case: Case) -> tuple[float, str] | None:
    """Return how high the flashing sheet ends above the roof, with its id."""
    body = case.highest(Role.FLASHING)
    if body is None:
        return None
    return body.region.bounds[3] - case.at("roof.datum")[1], body.id


@rule(
    "flashing_height_least",
    kinds=(WALL,),
    wrong="The flashing sheet ends too low.",
    built=(Role.FLASHING,),
)
def low_flashing(case: Case) -> Verdict:
    """Guards against water that stands or drifts over the top of the flashing sheet.

    Measured upright, from the top of the finish ply at the toe of the cant to the highest
    point of the flashing sheet. In a two-piece wall the lower sheet is meant.
    """
    found = _height(case)
    foot = case.at("roof.datum")
    if found is None:
        return Measured(0.0, foot, reason="There is no flashing sheet.")
    return Measured(found[0], (case.at("cant.top")[0], foot[1] + found[0]), (found[1],))


@rule(
    "flashing_height_usual_most",
    kinds=(WALL,),
    relation=Relation.AT_MOST,
    wrong="The flashing sheet is taller than is usual: it needs more fastening.",
    built=(Role.FLASHING,),
)
def tall_flashing(case: Case) -> Verdict:
    """Warns of a flashing sheet so tall that its own weight may make it slip.

    Measured as the height of the flashing sheet is; advice, because a taller one is in
    order with a further row of fasteners.
    """
    found = _height(case)
    if found is None:
        return Idle("there is no flashing sheet that could be too tall")
    foot = case.at("roof.datum")
    return Measured(found[0], (case.at("cant.top")[0], foot[1] + found[0]), (found[1],))


@rule(
    "flashing_reach_least",
    kinds=(WALL,),
    wrong="The flashing sheet ends too near the cant on the roof.",
    built=(Role.FLASHING,),
)
def short_flashing_reach(case: Case) -> Verdict:
    """Guards against water that creeps under the foot of the flashing sheet.

    Measured level, from the toe of the bare cant out to where the sheet's lower face ends.
    """
    toe = case.at("cant.toe")
    body = case.outermost(Role.FLASHING)
    if body is None:
        return Measured(0.0, toe, reason="There is no flashing sheet.")
    end = case.outer_end(body)
    return Measured(toe[0] - end[0], end, (body.id,))


@rule(
    "prepared_band_least",
    kinds=(WALL,),
    wrong="The finish ply is not prepared as far as the flashing sheet reaches.",
    built=("prepared-band",),
)
def narrow_prepared_band(case: Case) -> Verdict:
    """Guards against a flashing sheet stuck to bare granules or to unprimed foil.

    Measured level, from the toe of the bare cant out to where the prepared face of the
    finish ply ends or is first broken. It must reach as far as the rule set asks, and at
    least as far as the flashing sheet does; a bare spot under the sheet ends the band.
    """
    toe = case.at("cant.toe")
    plies = {b.id for b in case.all(BAND_BODY)}
    sheet = case.outermost(Role.FLASHING)
    least = case.rules.value("prepared_band_least")
    if sheet is not None:
        least = max(least, toe[0] - case.outer_end(sheet)[0])
    coats = [c for c in case.section.coats if c.body in plies]
    if not coats:
        reason = "No band of the finish ply is prepared."
        return Measured(0.0, toe, required=least, reason=reason)
    reach = toe[0] - min(c.line.bounds[0] for c in coats)
    for bare in _bare(case, plies):
        reach = min(reach, max(toe[0] - bare, 0.0))
    where = (toe[0] - reach, toe[1])
    return Measured(reach, where, tuple(sorted(plies)), required=least)


def _bare(case: Case, plies: Set[str]) -> list[float]:
    """Return where unprepared stretches under the flashing sheet end, toward the wall."""
    over = {b.id for b in case.all(Role.FLASHING)}
    over |= {
        j.lower
        for j in case.section.joints
        if j.upper in over and _is_cement(case, j.lower)
    }
    coats = [c.line for c in case.section.coats if c.body in plies]
    out: list[float] = []
    for joint in case.section.joints:
        if joint.lower in plies and joint.upper in over:
            out += [bare.bounds[2] for bare in uncovered(joint.line, coats)]
    return out


def _is_cement(case: Case, body_id: str) -> bool:
    body = case.section.body(body_id)
    return body is not None and body.role is Role.CEMENT


@rule(
    "strip_in_toe_least",
    kinds=(WALL,),
    wrong="The strip-in ends too near the toe of the cant.",
    built=(Role.STRIP_IN,),
)
def short_strip_in_at_toe(case: Case) -> Verdict:
    """Guards the bend at the toe, where the base ply alone would carry any movement.

    Measured level, from the toe of the bare cant out to the end of the strip-in's lower
    face.
    """
    toe = case.at("cant.toe")
    body = case.outermost(Role.STRIP_IN)
    if body is None:
        return Measured(0.0, toe, reason="There is no strip-in ply.")
    end = case.outer_end(body)
    return Measured(toe[0] - end[0], end, (body.id,))


@rule(
    "strip_in_wall_least",
    kinds=(WALL,),
    wrong="The strip-in does not go far enough up the wall.",
    built=(Role.STRIP_IN,),
)
def low_strip_in_on_wall(case: Case) -> Verdict:
    """Guards the joint between cant and wall while the flashing sheet is not yet there.

    Measured upright, from the top of the bare cant to the strip-in's highest point.
    """
    top = case.at("cant.top")
    body = case.highest(Role.STRIP_IN)
    if body is None:
        return Measured(0.0, top, reason="There is no strip-in ply.")
    high = body.region.bounds[3]
    return Measured(high - top[1], (top[0], high), (body.id,))


@rule(
    "strip_in_wall_usual_most",
    kinds=(WALL,),
    relation=Relation.AT_MOST,
    wrong="The strip-in goes further up the wall than is usual.",
    built=(Role.STRIP_IN,),
)
def high_strip_in_on_wall(case: Case) -> Verdict:
    """Warns of a strip-in that takes more of the wall than it needs.

    Measured upright, from the top of the bare cant to the strip-in's highest point. A
    higher one does no harm and costs material.
    """
    top = case.at("cant.top")
    body = case.highest(Role.STRIP_IN)
    if body is None:
        return Idle("there is no strip-in ply that could go too high")
    high = body.region.bounds[3]
    return Measured(high - top[1], (top[0], high), (body.id,))


@rule(
    "sheets_on_cant",
    kinds=(WALL,),
    wrong="Too few sheets lie over the cant.",
    built=(Role.FINISH_PLY,),
)
def thin_cover_on_cant(case: Case) -> Verdict:
    """Guards the cant, which carries at least as many sheets as the roof does.

    Counted on columns square to the face of the bare cant, all along it: the sheets that
    lie on one another from the face outward. The column with the fewest is told.
    """
    zone = [(c, case.stack(c, 0.0)) for c in case.incline]
    found = case.fewest(zone)
    if found is None:
        return Idle("the cant has no face")
    return Measured(found[0], found[1])


@rule(
    "sheets_on_wall",
    kinds=(WALL,),
    wrong="The wall is bare where weather reaches it.",
    built=(
        Role.FLASHING,
        Role.UPPER_FLASHING,
        Role.COUNTERFLASHING,
        Role.COPING,
    ),
)
def bare_wall(case: Case) -> Verdict:
    """Guards the wall between the cant and what covers the top of the flashing.

    Counted on columns square to the wall, from the top of the bare cant up to the lower
    edge of the counterflashing; in a two-piece wall up to the coping's; without either, up
    to the height that the flashing sheet must have; at least over the foot of the wall. The
    fewest sheets are told.
    """
    foot = case.at("cant.top")
    end = max(_covered_from(case), foot[1] + FOOT_OF_WALL)
    zone = [(c, case.stack(c, 0.0)) for c in case.upright if _foot(c) < end]
    found = case.fewest(zone) or (0, foot)
    return Measured(found[0], found[1])


def _foot(column: Column) -> float:
    """Return the height at which a column on the wall begins."""
    return column.at[1] - column.width / 2.0


def _covered_from(case: Case) -> float:
    """Return the height above which metal keeps the weather from the wall."""
    face = case.at("cant.top")[0]
    covers = case.all(Role.COUNTERFLASHING, Role.COPING, Role.TERMINATION_BAR)
    heights = [y for b in covers for x, y in case.corners(b) if x < face]
    if heights:
        return min(heights)
    return case.at("roof.datum")[1] + case.rules.value("flashing_height_least")


@rule(
    "upper_lap_least",
    kinds=(WALL,),
    wrong="The upper sheet laps the lower one too little.",
    built=(Role.UPPER_FLASHING,),
)
def short_upper_lap(case: Case) -> Verdict:
    """Guards the lap of a two-piece wall against driven rain.

    Measured upright: from the lowest point of the upper sheet to the highest of the lower.
    """
    if not case.has("upper.bottom"):
        return Idle("the wall has no upper sheet")
    lower, upper = case.highest(Role.FLASHING), case.lowest(Role.UPPER_FLASHING)
    where = case.at("upper.bottom")
    if lower is None or upper is None:
        return Measured(0.0, where, reason="One of the two sheets is missing.")
    low, high = upper.region.bounds[1], lower.region.bounds[3]
    return Measured(high - low, (where[0], low), (upper.id, lower.id))
