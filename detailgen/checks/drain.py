"""Rules on roof drains: the metal under the ring, what is in cement, sump and strainer."""

from collections.abc import Sequence
from itertools import pairwise
from math import fsum, hypot, pi

from detailgen.checks._case import Case
from detailgen.checks._plan import PLAN, box_of, ids_of, least_past, less_of, parts_in_plan
from detailgen.checks._rule import DEEP_DRAIN, DRAIN, Idle, Measured, Verdict, rule
from detailgen.geometry import Point
from detailgen.geometry.columns import column_at
from detailgen.section import SHEETS, Body, Bond, Role

DRAINS = (DRAIN, DEEP_DRAIN)
MEETS = 0.5
"""Stretches that are no further apart than this, mm, are one."""
STEEPER = 1e-4
"""Boards that fall more than the roof by this much, rise per run, are tapered."""
BOARDS = (Role.INSULATION, Role.COVER_BOARD, Role.BLOCKING, Role.DRAIN_BOWL)
NO_METAL = "There is no metal at the drain."


@rule(
    "drain_sheet_least",
    kinds=DRAINS,
    wrong="The square of metal at the drain is too small.",
    built=(Role.DRAIN_LEAD,),
)
def small_drain_sheet(case: Case) -> Verdict:
    """Guards the hold of the metal at a drain, which sheets and ring lie on.

    Measured level as twice the distance from the axis of the drain to the outer end of the
    metal, on both sides, and on the plan as the shorter side of the square. The least is
    told.
    """
    axis, metal = case.at("drain.axis"), case.outermost(Role.DRAIN_LEAD)
    if metal is None:
        return Measured(0.0, axis, reason=NO_METAL)
    end = case.outer_end(metal)
    section = Measured(2.0 * (axis[0] - end[0]), end, (metal.id,))
    plan: Measured | None = None
    if seen := parts_in_plan(case, Role.DRAIN_LEAD):
        x0, y0, x1, y1 = box_of(seen)
        side = min(x1 - x0, y1 - y0, 2.0 * min(-x0, -y0, x1, y1))
        plan = Measured(side, (x0, y0), ids_of(seen), view=PLAN)
    return less_of(section, plan)


@rule(
    "drain_target_least",
    kinds=DRAINS,
    wrong="The target ends too near the edge of the metal.",
    built=(Role.STRIP_IN,),
)
def short_drain_target(case: Case) -> Verdict:
    """Guards the edge of the metal, which moves under the sheets with heat and cold.

    Measured level from the outer end of the metal to that of the target, on both sides, and
    on the plan square to each side of the square. The least is told.
    """
    metal, target = case.outermost(Role.DRAIN_LEAD), case.outermost(Role.STRIP_IN)
    axis = case.at("drain.axis")
    if metal is None or target is None:
        missing = NO_METAL if metal is None else "There is no target."
        return Measured(0.0, axis, reason=missing)
    end = case.outer_end(target)
    section = Measured(case.outer_end(metal)[0] - end[0], end, (target.id, metal.id))
    plan: Measured | None = None
    strips, square = (
        parts_in_plan(case, Role.STRIP_IN),
        parts_in_plan(case, Role.DRAIN_LEAD),
    )
    if strips and square:
        past, where = least_past(box_of(strips), box_of(square))
        plan = Measured(past, where, ids_of(strips), view=PLAN)
    return less_of(section, plan)


def _in_cement(case: Case, ply: Body, start: float) -> float:
    """Return how far out from an x a sheet is set in cement without a break, mm."""
    lines = [
        j.line.bounds
        for j in case.section.joints
        if j.upper == ply.id and j.bond is Bond.CEMENT
    ]
    reached = start
    for x0, _, x1, _ in sorted(lines, key=lambda b: -b[2]):
        if x1 >= reached - MEETS:
            reached = min(reached, x0)
    return start - reached


def _cement_in_plan(case: Case, under: str, start: str) -> Measured | None:
    """Return how wide the plan shows a ring of cement, from a radius on."""
    seen = [p for p in parts_in_plan(case, Role.CEMENT) if p.id == under]
    layout = case.section.layout(PLAN)
    if not seen or layout is None or start not in layout.points:
        return None
    x0, y0, x1, y1 = box_of(seen)
    inner = hypot(*layout.points[start])
    where = (0.0, (y1 if layout.points[start][1] > 0.0 else y0))
    return Measured(min(-x0, -y0, x1, y1) - inner, where, ids_of(seen), view=PLAN)


@rule(
    "drain_base_cement_least",
    kinds=DRAINS,
    wrong="The base ply lies in too little cement next to the drain.",
    built=(Role.BASE_PLY,),
)
def dry_base_ply(case: Case) -> Verdict:
    """Guards against water that creeps back from the bowl under the base ply.

    Measured level on both sides, from the lip of the bowl out to where the base ply is no
    longer in cement, and on the plan as the width of that ring. The least is told.
    """
    lip, ply = case.at("bowl.lip"), case.innermost(Role.BASE_PLY)
    if ply is None:
        return Measured(0.0, lip, reason="There is no base ply.")
    reach = _in_cement(case, ply, lip[0])
    section = Measured(reach, (lip[0] - reach, lip[1]), (ply.id,))
    return less_of(section, _cement_in_plan(case, "base-cement", "bowl.high"))


@rule(
    "drain_target_cement_least",
    kinds=DRAINS,
    wrong="The target lies in too little cement next to the ring.",
    built=(Role.STRIP_IN,),
)
def dry_target(case: Case) -> Verdict:
    """Guards against water that gets from the ring back between target and metal.

    Measured level on both sides, from the inner end of the target out to where it is no
    longer in cement, and on the plan as the width of that ring. The least is told.
    """
    target, inner = case.innermost(Role.STRIP_IN), case.at("sheets.inner")
    if target is None:
        return Measured(0.0, inner, reason="There is no target.")
    end = target.region.bounds[2]
    reach = _in_cement(case, target, end)
    section = Measured(reach, (end - reach, inner[1]), (target.id,))
    return less_of(section, _cement_in_plan(case, "target-cement", "sheets.low"))


@rule(
    "layers_under_ring",
    kinds=DRAINS,
    wrong="Not all layers run under the ring.",
    built=(Role.CLAMPING_RING,),
)
def loose_under_ring(case: Case) -> Verdict:
    """Guards the joint of roof and drain, which is tight only where the ring clamps it.

    Counted on upright columns from the outer edge of the ring to its middle, where its
    bolts are, on both sides: the sheets and the metal between ring and bowl. The fewest are
    told.
    """
    ring = case.first(Role.CLAMPING_RING)
    where = case.at("roof.datum")
    if ring is None:
        return Measured(0, where, reason="There is no clamping ring.")
    x0, low, x1, _ = ring.region.bounds
    counts: list[tuple[int, Point]] = []
    for column in case.cut((x0, 0.0), ((x0 + x1) / 2.0, 0.0)):
        clamped: set[str] = set()
        for span in case.stack(column, low, upward=False):
            body = case.body_of(span)
            if body.role in SHEETS or body.role is Role.DRAIN_LEAD:
                clamped.add(body.id)
            elif body.role is not Role.CEMENT:
                break
        counts.append((len(clamped), (column.at[0], low)))
    count, where = min(counts, key=lambda found: found[0])
    return Measured(count, where, (ring.id,))


# --- sump ---------------------------------------------------------------------------------


def _surface(case: Case) -> list[Point]:
    """Return the surface of the boards at their corners, from the bowl outward."""
    bodies = case.all(*BOARDS)
    left, lip = case.section.extent.bounds[0], case.at("bowl.lip")[0]
    shapes = [case.rings(b) for b in bodies]
    xs = sorted({x for b in bodies for x, _ in case.corners(b) if left < x < lip})
    out: list[Point] = []
    for x in reversed([left + MEETS, *xs]):
        tops = column_at(shapes, (x + 1e-3, 0.0), (0.0, 1.0))
        if tops:
            out.append((x, max(s[1] for s in tops)))
    return out


def _sump_edge(case: Case) -> Point | None:
    """Return where the boards begin to fall more than the roof; None without a sump."""
    edge: Point | None = None
    for (x1, y1), (x0, y0) in pairwise(_surface(case)):
        if x1 - x0 > MEETS and (y0 - y1) / (x1 - x0) > case.section.roof_slope + STEEPER:
            edge = (x0, y0)
    return edge


@rule(
    "sump_width_least",
    kinds=DRAINS,
    wrong="The sump is too narrow.",
)
def narrow_sump(case: Case) -> Verdict:
    """Guards the sheets in the sump, which a short, steep one makes them bridge.

    Measured level as twice the distance from the axis of the drain to where the boards
    begin to fall more than the roof does, on both sides, and on the plan as the shorter
    side of the sump. The least is told.
    """
    edge, axis = _sump_edge(case), case.at("drain.axis")
    if edge is None:
        return Idle("the boards run to the drain without a sump")
    section = Measured(2.0 * (axis[0] - edge[0]), edge)
    plan: Measured | None = None
    if seen := parts_in_plan(case, Role.INSULATION):
        x0, y0, x1, y1 = box_of(seen)
        side = 2.0 * min(-x0, -y0, x1, y1)
        plan = Measured(side, (x0, y0), ids_of(seen), view=PLAN)
    return less_of(section, plan)


@rule(
    "sheet_off_sump_edge_least",
    kinds=DRAINS,
    wrong="The target ends on the break of the taper.",
    built=(Role.STRIP_IN,),
)
def target_on_sump_edge(case: Case) -> Verdict:
    """Guards the end of the target against the bend of the sheets at the sump's edge.

    Measured level on both sides, between the outer end of the target and the line from
    which the boards fall more than the roof does, whichever lies further out; on the plan
    on each side of the square. The least is told.
    """
    edge, target = _sump_edge(case), case.outermost(Role.STRIP_IN)
    if edge is None:
        return Idle("the boards run to the drain without a sump")
    if target is None:
        return Idle("there is no target that could end there")
    end = case.outer_end(target)
    section = Measured(abs(end[0] - edge[0]), end, (target.id,))
    plan: Measured | None = None
    strips, sump = parts_in_plan(case, Role.STRIP_IN), parts_in_plan(case, Role.INSULATION)
    if strips and sump:
        past = [abs(a - b) for a, b in zip(box_of(strips), box_of(sump), strict=True)]
        x0, y0, _, _ = box_of(strips)
        plan = Measured(min(past), (x0, y0), ids_of(strips), view=PLAN)
    return less_of(section, plan)


# --- strainer -----------------------------------------------------------------------------


def _is_dome(strainer: Body) -> bool:
    """Tell whether a strainer stands up, or lies flat on its ring."""
    return strainer.region.bounds[3] - strainer.region.bounds[1] > 3.0 * strainer.thickness


@rule(
    "strainer_height_least",
    kinds=DRAINS,
    wrong="The strainer stands too low.",
    built=(Role.STRAINER,),
)
def low_strainer(case: Case) -> Verdict:
    """Guards the drain against leaves that drift against its strainer and close it.

    Measured upright, from the roof next to the ring to the top of a dome. A flat strainer
    has no height; it needs more open area instead.
    """
    datum, strainer = case.at("roof.datum"), case.first(Role.STRAINER)
    if strainer is None:
        return Measured(0.0, datum, reason="There is no strainer.")
    if not _is_dome(strainer):
        return Idle("the strainer is flat")
    high = strainer.region.bounds[3]
    return Measured(high - datum[1], (0.0, high), (strainer.id,))


@rule(
    "strainer_open_halves_least",
    "flat_strainer_open_halves_least",
    kinds=DRAINS,
    wrong="The strainer has too little open area.",
    built=(Role.STRAINER,),
    whole=True,
)
def closed_strainer(case: Case) -> Verdict:
    """Guards the drain, which lets no more water through than its strainer does.

    Measured as the area of the slots that the plan shows, a dome's along its leaning side,
    whose lean the section shows; told in halves of the area of the outlet.
    """
    strainer = case.first(Role.STRAINER)
    seen = parts_in_plan(case, Role.STRAINER)
    slots = [p for p in seen if p.id.startswith("slot")]
    outlet = parts_in_plan(case, Role.DRAIN_BOWL)
    where = case.at("drain.axis")
    if strainer is None:
        return Measured(0.0, where, reason="There is no strainer.")
    if not outlet:
        return Idle("there is no plan of strainer and outlet")
    dome = _is_dome(strainer)
    area = fsum(p.region.area for p in slots) * (_lean(strainer) if dome else 1.0)
    x0, _, x1, _ = box_of(outlet)
    halves = area / (pi * (x1 - x0) ** 2 / 8.0)
    row = "strainer_open_halves_least" if dome else "flat_strainer_open_halves_least"
    return Measured(round(halves, 6), where, ids_of(seen[:1]), row=row, view=PLAN)


def _lean(strainer: Body) -> float:
    """Return how much longer a dome's side is than it is seen from above."""
    sides: Sequence[tuple[Point, Point]] = []
    if strainer.course is not None:
        line = [(float(c[0]), float(c[1])) for c in strainer.course.coords]
        sides = list(pairwise(line))
    steep = max(sides, key=lambda s: abs(s[1][1] - s[0][1]), default=None)
    if steep is None:
        return 1.0
    (x0, y0), (x1, y1) = steep
    return hypot(x1 - x0, y1 - y0) / max(abs(x1 - x0), 1e-6)
