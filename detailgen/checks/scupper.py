"""Rules on scuppers: the opening and where it stands, its flanges, its outlet."""

from math import pi

from detailgen.checks._case import Case
from detailgen.checks._plan import PLAN, box_of, ids_of, least_of, parts_in_plan
from detailgen.checks._rule import OVERFLOW, SCUPPER, Idle, Measured, Verdict, rule
from detailgen.finding import Relation
from detailgen.geometry import Point
from detailgen.geometry.columns import column_at
from detailgen.section import Role

NO_LINER = "There is no liner in the opening."
EDGE_LEFT_BARE = 13.0
"""Sheets on the wall end short of the opening's edge by less than this, mm."""


def _throat(case: Case) -> tuple[float, float] | None:
    """Return the levels of floor and head of the liner in the middle of the wall."""
    middle = case.at("opening.low")[0]
    shapes = [case.rings(b) for b in case.all(Role.LINER)]
    spans = column_at(shapes, (middle, 0.0), (0.0, 1.0))
    return (spans[0][1], spans[-1][0]) if len(spans) > 1 else None


def _opening(case: Case) -> tuple[float, float, float, float] | None:
    """Return the opening as the plan shows it."""
    seen = [p for p in parts_in_plan(case, Role.LINER) if p.id == "opening"]
    return box_of(seen) if seen else None


@rule(
    "scupper_height_least",
    kinds=(SCUPPER,),
    wrong="The opening of the scupper is too low.",
    built=(Role.LINER,),
)
def low_scupper(case: Case) -> Verdict:
    """Guards the opening against leaves and ice, which close a low one.

    Measured upright in the middle of the wall, from the floor of the liner to its head, and
    as the height of the opening where roof and wall are seen unfolded. The less is told.
    """
    where = case.at("opening.low")
    throat, opening = _throat(case), _opening(case)
    if throat is None:
        return Measured(0.0, where, reason=NO_LINER)
    section = Measured(throat[1] - throat[0], (where[0], throat[0]))
    plan = None
    if opening is not None:
        x0, y0, _, y1 = opening
        plan = Measured(y1 - y0, (x0, y0), ("opening",), view=PLAN)
    return least_of(section, plan) or section


@rule(
    "scupper_circumferences_least",
    "overflow_diameters_least",
    "overflow_areas_least",
    kinds=(SCUPPER,),
    wrong="The opening is too small for the drain that it stands for.",
    built=(Role.LINER,),
)
def small_scupper(case: Case) -> Verdict:
    """Guards the roof against filling: the scupper takes the water of a drain.

    Measured on the opening where roof and wall are seen unfolded. Codes are read in three
    ways, of which the job names one: its width in circumferences of the drain, its width in
    diameters of the drain, or its area in areas of the drain.
    """
    serves, opening = case.section.serves, _opening(case)
    if serves is None or opening is None:
        return Idle("nothing tells which drain it stands for")
    x0, y0, x1, y1 = opening
    width, d = x1 - x0, serves.diameter
    figures = {
        "scupper_circumferences_least": width / (pi * d),
        "overflow_diameters_least": width / d,
        "overflow_areas_least": width * (y1 - y0) / (pi * d**2 / 4.0),
    }
    figure = round(figures[serves.row], 6)
    return Measured(figure, (x0, y0), ("opening",), row=serves.row, view=PLAN)


@rule(
    "overflow_rise",
    kinds=(OVERFLOW,),
    relation=Relation.BETWEEN,
    high_row="overflow_rise_most",
    wrong="The inlet of the overflow stands at the wrong height.",
    built=(Role.LINER,),
)
def wrong_overflow_rise(case: Case) -> Verdict:
    """Guards the roof's load, and tells of clogged drains, neither too early nor too late.

    Measured upright, from the finished roof before the scupper, which is taken as its low
    point, to the floor of the liner in the wall.
    """
    low, throat = case.at("roof.low"), _throat(case)
    if throat is None:
        return Measured(0.0, low, reason=NO_LINER)
    return Measured(throat[0] - low[1], (case.at("opening.low")[0], throat[0]))


@rule(
    "scupper_flange_least",
    kinds=(SCUPPER,),
    wrong="A flange of the scupper is too narrow.",
    built=(Role.LINER,),
)
def narrow_scupper_flange(case: Case) -> Verdict:
    """Guards the flanges of the liner, which sheets of roof and wall are stuck to.

    Measured level on the roof, from the outer end of the liner to its bend or to the face
    of the wall, upright on the wall, from the opening to the top of its flange, and where
    roof and wall are seen unfolded on both sides of the opening. The narrowest is told.
    """
    liner, head = case.outermost(Role.LINER), case.highest(Role.LINER)
    bend, low = case.at("metal.bend"), case.at("wall-flange.low")
    if liner is None or head is None:
        return Measured(0.0, bend, reason=NO_LINER)
    end = case.outer_end(liner)
    on_roof = Measured(bend[0] - end[0], end, (liner.id,))
    top = max((y for x, y in case.corners(head) if x < 0.0), default=low[1])
    on_wall = Measured(top - low[1], (low[0], top), (head.id,))
    return least_of(on_roof, on_wall, _seen_flange(case)) or on_roof


def _seen_flange(case: Case) -> Measured | None:
    """Return the narrowest flange where roof and wall are seen unfolded."""
    flange = [p for p in parts_in_plan(case, Role.LINER) if p.hidden]
    opening = _opening(case)
    if not flange or opening is None:
        return None
    x0, y0, x1, y1 = box_of(flange)
    left, _, right, top = opening
    found: list[tuple[float, Point]] = [
        (left - x0, (x0, 0.0)),
        (x1 - right, (x1, 0.0)),
        (y1 - top, (right, y1)),
        (-y0, (right, y0)),
    ]
    width, where = min(found, key=lambda f: f[0])
    return Measured(width, where, ids_of(flange), view=PLAN)


@rule(
    "sheets_on_wall",
    kinds=(SCUPPER,),
    title="Sheets over the wall flange of a scupper, at least",
    wrong="Too few sheets of the wall cover the flange on it.",
    built=(Role.FLASHING,),
)
def bare_wall_flange(case: Case) -> Verdict:
    """Guards the flange on the wall, where water runs down to the opening.

    Counted on columns square to the wall, from just above the edge of the opening to the
    top of the flange: the sheets over the metal. The fewest are told.
    """
    head, low = case.highest(Role.LINER), case.at("wall-flange.low")
    top = low[1] if head is None else head.region.bounds[3]
    start = low[1] + EDGE_LEFT_BARE
    counts: list[tuple[int, Point]] = []
    for column in case.cut((0.0, start), (0.0, top)) if start < top else ():
        plates = [s for s in column.spans if case.body_of(s) is head]
        if plates:  # the outermost: its turn-up on the other face lies further in
            count = case.sheets(case.stack(column, plates[-1][1]))
            counts.append((count, (low[0], column.at[1])))
    if head is None or not counts:
        return Measured(0, low, reason="The liner has no flange on the wall.")
    count, where = min(counts, key=lambda found: found[0])
    return Measured(count, where, (head.id,))


@rule(
    "spout_past_wall_least",
    kinds=(SCUPPER,),
    wrong="The outlet ends too near the face of the wall.",
    built=(Role.LINER,),
)
def short_spout(case: Case) -> Verdict:
    """Guards the face of the wall, which a short outlet lets the water run down.

    Measured level, from the outer face of the wall to the end of the liner's floor.
    """
    face, liner = case.at("wall.outer"), case.lowest(Role.LINER)
    if liner is None:
        return Measured(0.0, face, reason=NO_LINER)
    tip, low = liner.region.bounds[2], liner.region.bounds[1]
    return Measured(tip - face[0], (tip, low), (liner.id,))


@rule(
    "scupper_below_roof_least",
    kinds=(SCUPPER,),
    wrong="The sill of the scupper hardly lies below the roof about it.",
    built=(Role.LINER, Role.FINISH_PLY),
)
def high_sill(case: Case) -> Verdict:
    """Warns of a sill that holds water back, since flange and sheets have raised it.

    Measured upright at the wall, from the finished roof as it is beside the sump, carried
    on to the wall, down to the floor of the liner.
    """
    if OVERFLOW in case.section.families:
        return Idle("an overflow stands above the roof on purpose")
    throat, ply = _throat(case), case.outermost(Role.FINISH_PLY)
    where = case.at("sill.top")
    if throat is None:
        return Measured(0.0, where, reason=NO_LINER)
    if ply is None:
        return Idle("there is no finished roof that it could lie below")
    left = ply.region.bounds[0] + 1.0
    top = column_at([case.rings(ply)], (left, 0.0), (0.0, 1.0))
    level = top[-1][1] + case.section.roof_slope * left
    return Measured(level - throat[0], (where[0], throat[0]))
