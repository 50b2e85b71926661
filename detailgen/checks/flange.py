"""Rules on a flange in the membrane: what lies under and over it, and what it lies on."""

from detailgen.checks._case import FLANGED, Case
from detailgen.checks._rule import EDGE, FLANGE, WALL, Idle, Measured, Verdict, rule
from detailgen.finding import Amount, Relation
from detailgen.geometry import Point
from detailgen.geometry.measures import strip_thickness
from detailgen.section import ADHERED, WOOD, Body, Bond, Role

NO_METAL = "There is no edge metal."
HOLDS = "wood or a nailable deck"


def _sheets_at_flange(case: Case, *, upward: bool) -> Verdict:
    """Count the sheets on one side of the flange on every column; tell the fewest."""
    metal = case.flange
    if metal is None:
        return Measured(0, case.at("edge.top"), reason=NO_METAL)
    stop = float("inf") if upward else case.at("edge.top")[0]
    counts: list[tuple[int, Point]] = []
    for column in case.cover:
        plate = next((s for s in column.spans if case.body_of(s) is metal), None)
        if plate is not None and column.at[0] <= stop:
            level = plate[1] if upward else plate[0]
            count = case.sheets(case.stack(column, level, upward=upward))
            counts.append((count, (column.at[0], level)))
    if not counts:
        return Measured(0, case.at("edge.top"), reason="The metal has no flange.")
    count, where = min(counts, key=lambda found: found[0])
    return Measured(count, where, (metal.id,))


@rule(
    "sheets_over_flange",
    kinds=(EDGE, FLANGE),
    wrong="Too few sheets lie over the flange.",
    built=(Role.FINISH_PLY,),
)
def thin_flange_cover(case: Case) -> Verdict:
    """Guards the flange against leaks at its nails and at the ends of its pieces.

    Counted on upright columns from the outer end of the flange to where the metal leaves
    the membrane: the foot of a raised leg, or the bend of a flush edge less the gap that
    the finish ply keeps from it. The section is cut at every corner of every layer, so
    that no narrow place is missed; cement and nails do not part sheets. The column with the
    fewest sheets over the metal is told.
    """
    return _sheets_at_flange(case, upward=True)


@rule(
    "sheets_under_flange",
    kinds=(EDGE, FLANGE),
    wrong="The flange lies on bare wood or boards.",
    built=FLANGED,
)
def bare_flange_underside(case: Case) -> Verdict:
    """Guards what lies under the flange while water gets past the sheets over it.

    Counted on the same columns as the sheets over the flange, downward from the metal, as
    far as the top outer corner of the wood: beyond it the metal hangs over the drop.
    """
    return _sheets_at_flange(case, upward=False)


@rule(
    "flange_strip_in_least",
    kinds=(EDGE, FLANGE),
    wrong="The strip-in ends too near the flange.",
    built=(Role.STRIP_IN,),
)
def short_flange_strip_in(case: Case) -> Verdict:
    """Guards the outer end of the flange, where the membrane is first torn.

    Measured level, from the outer end of the flange to the end of the strip-in's lower
    face.
    """
    strip = case.outermost(Role.STRIP_IN)
    start = case.flange_start
    height = case.at("edge.top")[1]
    if strip is None:
        return Measured(0.0, (start, height), reason="There is no strip-in ply.")
    end = case.outer_end(strip)
    return Measured(start - end[0], end, (strip.id,))


def _flange_end(case: Case) -> Point:
    """Return where the flange turns into the leg or the face."""
    return case.at("metal.leaves" if case.has("leg.top") else "metal.bend")


@rule(
    "flange_width_least",
    kinds=(EDGE, FLANGE),
    wrong="The flange is too narrow.",
    built=FLANGED,
)
def narrow_flange(case: Case) -> Verdict:
    """Guards the hold of the metal: room for two rows of nails and a wide bed.

    Measured level, from the flange's outer end to the foot of the raised leg or to the bend
    of a flush edge.
    """
    metal, end = case.flange, _flange_end(case)
    if metal is None:
        return Measured(0.0, end, reason=NO_METAL)
    start = case.outer_end(metal)
    return Measured(end[0] - start[0], start, (metal.id,))


@rule(
    "flange_width_most",
    kinds=(EDGE, FLANGE),
    relation=Relation.AT_MOST,
    wrong="The flange is too wide to be stripped in.",
    built=FLANGED,
)
def wide_flange(case: Case) -> Verdict:
    """Guards the strip-in against a flange so wide that its movement tears the sheets.

    Measured as the width of the flange is: level, from its outer end to the foot of the
    raised leg or to the bend of a flush edge. A width within 1/64 in of the most counts as
    the most: metal is cut and laid no closer.
    """
    if case.flange is None:
        return Idle("there is no metal whose flange could be too wide")
    if case.flange.role is Role.DRAIN_LEAD:
        return Idle("the square of metal at a drain has a size of its own")
    start, limit = case.outer_end(case.flange), case.rules.value("flange_width_most")
    width = _flange_end(case)[0] - start[0]
    if limit < width <= limit + CUT_TO:
        width = limit
    return Measured(width, start, (case.flange.id,))


CUT_TO = 25.4 / 64.0
"""mm."""
ON_FIELD = "on the finished field sheets"


@rule(
    "flange_over_field",
    kinds=(EDGE, FLANGE),
    relation=Relation.EXACTLY,
    asked=Amount(words=ON_FIELD),
    wrong="The finish ply lies over the flange, not under it.",
    built=(Role.FINISH_PLY,),
)
def flange_below_finish_ply(case: Case) -> Verdict:
    """Guards an order of layers in which the roof is finished before the metal comes.

    Looked at on upright columns over the flange: whether the finish ply comes below the
    metal or above it. Some guides strip a flange in on the finished roof; others lay the
    finish ply over it.
    """
    metal = case.flange
    if metal is None:
        return Idle("there is no flange in the membrane")
    below = above = False
    for column in case.cover:
        plates = [s for s in column.spans if case.body_of(s) is metal]
        plies = [s for s in column.spans if case.body_of(s).role is Role.FINISH_PLY]
        for plate in plates[:1]:
            above = above or any(s[0] >= plate[1] - SAME_LEVEL for s in plies)
            below = below or any(s[1] <= plate[0] + SAME_LEVEL for s in plies)
    where = (case.flange_start, case.at("edge.top")[1])
    if not (above or below):
        return Measured("where no finish ply is", where, (metal.id,))
    return Measured("under the finish ply" if above else ON_FIELD, where, (metal.id,))


SAME_LEVEL = 0.05
"""Faces that differ by less, mm, touch."""


def _bite_layers(case: Case) -> tuple[Body, ...]:
    """Return the bodies that hold a nail."""
    return tuple(
        b
        for b in case.section.bodies
        if b.role in WOOD or (b.role is Role.DECK and case.material(b).nailable)
    )


@rule(
    "nailer_beyond_flange_least",
    kinds=(EDGE,),
    wrong="The flange reaches past the wood that it is nailed to.",
    built=FLANGED,
)
def flange_off_nailer(case: Case) -> Verdict:
    """Guards against a flange that bridges the joint between nailer and boards.

    Measured level, from the inner end of the topmost wood under the flange (or of a deck
    that takes nails) to the outer end of the flange.
    """
    start = case.flange_start
    edge = case.at("edge.top")
    where = (start, edge[1])
    holding = [b for b in _bite_layers(case) if b.region.bounds[2] > edge[0] - 25.0]
    if not holding:
        return Measured("none", where, reason="No wood lies under the flange.")
    top = max(holding, key=lambda b: b.region.bounds[3])
    return Measured(start - top.region.bounds[0], where, (top.id,))


@rule(
    "nail_bite_least",
    kinds=(EDGE,),
    relation=Relation.EXACTLY,
    asked=Amount(words=HOLDS),
    wrong="The nails have nothing to bite.",
    title="Flange nailed to wood or to a deck that takes nails",
    built=FLANGED,
)
def nothing_to_bite(case: Case) -> Verdict:
    """Guards against a flange nailed into boards, steel or concrete.

    Looks for wood or a deck that takes nails below the flange, from its outer end to the
    edge.
    """
    start, edge = case.flange_start, case.at("edge.top")
    under = [
        b.id
        for b in _bite_layers(case)
        if b.region.bounds[0] < edge[0] - 1.0 and b.region.bounds[2] > start + 1.0
    ]
    return Measured(
        HOLDS if under else "nothing that holds nails", (start, edge[1]), tuple(under)
    )


@rule(
    "cement_bed_least",
    wrong="The cement bed is too thin.",
    built=(Role.CEMENT,),
)
def thin_bed(case: Case) -> Verdict:
    """Guards against a bed that leaves parts of the metal or of the sheet unstuck.

    Measured as the mean thickness of every bed of cement in the section: its area against
    its length. The thinnest is told.
    """
    beds = case.all(Role.CEMENT)
    if not beds:
        return _no_bed(case)
    thickness, bed = min(((strip_thickness(b.region), b) for b in beds), key=lambda f: f[0])
    return Measured(thickness, _centre(bed), (bed.id,))


def _no_bed(case: Case) -> Verdict:
    """Tell whether a bed is missing, or none is needed."""
    if case.is_a(EDGE) or case.is_a(FLANGE):
        return Measured(0.0, case.at("edge.top"), reason="The flange lies in no cement.")
    sheet = case.first(Role.FLASHING)
    if sheet is None or not case.is_a(WALL):
        return Idle("nothing in this section is set in cement")
    stuck = [
        j
        for j in case.section.joints
        if j.upper == sheet.id and j.bond in ADHERED and j.bond is not Bond.CEMENT
    ]
    if stuck:
        return Idle(f"the flashing sheet is {stuck[0].bond}")
    where = case.at("cant.top")
    return Measured(
        0.0, where, (sheet.id,), reason="The flashing sheet is stuck to nothing."
    )


@rule(
    "cement_bed_most",
    relation=Relation.AT_MOST,
    wrong="The cement bed is too thick.",
    built=(Role.CEMENT,),
)
def thick_bed(case: Case) -> Verdict:
    """Guards against a bed so thick that it stays soft and lets the metal slide.

    Measured as the mean thickness of every bed of cement; the thickest is told.
    """
    beds = case.all(Role.CEMENT)
    if not beds:
        return Idle("there is no bed of cement that could be too thick")
    thickness, bed = max(((strip_thickness(b.region), b) for b in beds), key=lambda f: f[0])
    return Measured(thickness, _centre(bed), (bed.id,))


def _centre(body: Body) -> Point:
    x0, y0, x1, y1 = body.region.bounds
    return ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
