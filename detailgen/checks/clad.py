"""Rules on a clad sump: how far its metal-clad sheet reaches, its border, its seams."""

from collections.abc import Sequence
from itertools import pairwise

from detailgen.checks._case import Case
from detailgen.checks._plan import PLAN, box_of, ids_of, least_past, less_of, parts_in_plan
from detailgen.checks._rule import DEEP_DRAIN, Idle, Measured, Verdict, rule
from detailgen.section import Bond, Role


@rule(
    "clad_past_target_least",
    kinds=(DEEP_DRAIN,),
    wrong="The clad sheet ends too near the target.",
    built=(Role.CLAD_SHEET,),
)
def short_clad_sheet(case: Case) -> Verdict:
    """Guards the edge of the target, which stands in water in a deep sump.

    Measured level from the outer end of the target to that of the clad sheet, on both
    sides, and on the plan square to each side. The least is told.
    """
    clad, target = case.outermost(Role.CLAD_SHEET), case.outermost(Role.STRIP_IN)
    where = case.at("strip.outer")
    if clad is None or target is None:
        missing = "clad sheet" if clad is None else "target"
        return Measured(0.0, where, reason=f"There is no {missing}.")
    end = case.outer_end(clad)
    section = Measured(case.outer_end(target)[0] - end[0], end, (clad.id, target.id))
    plan: Measured | None = None
    sheets, strips = (
        parts_in_plan(case, Role.CLAD_SHEET),
        parts_in_plan(case, Role.STRIP_IN),
    )
    sheets = tuple(p for p in sheets if not p.hidden)
    if sheets and strips:
        past, at = least_past(box_of(sheets), box_of(strips))
        plan = Measured(past, at, ids_of(sheets), view=PLAN)
    return less_of(section, plan)


@rule(
    "clad_border_least",
    kinds=(DEEP_DRAIN,),
    wrong="Too little of the clad sheet's border is primed under the finish ply.",
    built=(Role.FINISH_PLY,),
)
def narrow_clad_border(case: Case) -> Verdict:
    """Guards the lap of the finish ply on bare metal, which it does not hold on unprimed.

    Measured level on both sides, from the outer end of the clad sheet inward: as far as its
    face is primed without a break, and the finish ply is stuck on it. It must reach as far
    as the rule set asks, and at least as far as the finish ply does.
    """
    clad = case.outermost(Role.CLAD_SHEET)
    if clad is None:
        return Measured(0.0, case.at("strip.outer"), reason="There is no clad sheet.")
    end = clad.region.bounds[0]
    plies = {b.id for b in case.all(Role.FINISH_PLY)}
    laps = [
        j.line.bounds
        for j in case.section.joints
        if j.upper in plies and j.lower == clad.id and j.bond is not Bond.DRY
    ]
    coats = [c.line.bounds for c in case.section.coats if c.body == clad.id]
    lap, primed = _inward(laps, end), _inward(coats, end)
    asked = max(case.rules.value("clad_border_least"), lap)
    reach = min(lap, primed)
    where = (end + reach, clad.region.bounds[3])
    return Measured(reach, where, (clad.id,), required=asked)


def _inward(lines: Sequence[tuple[float, float, float, float]], start: float) -> float:
    """Return how far inward from an x lines reach without a break, mm."""
    reached = start
    for x0, _, x1, _ in sorted(lines):
        if x0 <= reached + SQUARE_END:
            reached = max(reached, x1)
    return reached - start


SQUARE_END = 6.0
"""A square end leans, and is as thick as its sheet: so much, mm, is not a break."""


@rule(
    "side_lap_least",
    kinds=(DEEP_DRAIN,),
    title="Seam of the clad sheet, at least",
    wrong="The pieces of the clad sheet lap one another too little.",
    built=(Role.CLAD_SHEET,),
    whole=True,
)
def short_clad_seam(case: Case) -> Verdict:
    """Guards the seams of a clad sheet that is wider than a roll.

    Measured on the plan, square to the seams, between neighbouring pieces. The narrowest is
    told.
    """
    pieces = [p for p in parts_in_plan(case, Role.CLAD_SHEET) if not p.hidden]
    if len(pieces) < 2:
        return Idle("the clad sheet is in one piece")
    ordered = sorted(pieces, key=lambda p: p.region.bounds[1])
    lap, low, high = min(
        ((a.region.bounds[3] - b.region.bounds[1], a, b) for a, b in pairwise(ordered)),
        key=lambda found: found[0],
    )
    where = (high.region.bounds[0], high.region.bounds[1])
    return Measured(lap, where, (low.id, high.id), view=PLAN)
