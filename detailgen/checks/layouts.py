"""Rules on what a section cannot show: nail patterns, laps of pieces, joints of metal."""

from collections.abc import Sequence
from itertools import pairwise

from detailgen.checks._case import Case
from detailgen.checks._rule import EDGE, NONE_AT_ALL, WALL, Idle, Measured, Verdict, rule
from detailgen.finding import Relation
from detailgen.geometry import Point
from detailgen.section import ADHERED, Bond, Layout, Mark, Part, Role

PLAN = "flange-plan"
ELEVATION = "wall-elevation"
SAME_ROW = 2.0
"""Fasteners whose heights differ by less, mm, stand in one row."""


def _rows(marks: Sequence[Mark]) -> list[list[Mark]]:
    """Return fasteners by row, lowest row first, each from left to right."""
    rows: list[list[Mark]] = []
    for mark in sorted(marks, key=lambda m: (m.at[1], m.at[0])):
        if rows and mark.at[1] - rows[-1][-1].at[1] < SAME_ROW:
            rows[-1].append(mark)
        else:
            rows.append([mark])
    return [sorted(row, key=lambda m: m.at[0]) for row in rows]


def _widest(row: Sequence[Mark], start: float, end: float) -> tuple[float, Point]:
    """Return the longest stretch of a row without a fastener, the ends included."""
    height = row[0].at[1]
    xs = [start, *(m.at[0] for m in row), end]
    gap, left = max((b - a, a) for a, b in pairwise(xs))
    return gap, (left + gap / 2.0, height)


def _ends(parts: Sequence[Part]) -> tuple[float, float]:
    """Return where parts begin and end along the layout."""
    boxes = [p.region.bounds for p in parts]
    return min(b[0] for b in boxes), max(b[2] for b in boxes)


def _spacing(
    parts: Sequence[Part], rows: Sequence[Sequence[Mark]], layout: Layout, missing: str
) -> Verdict:
    """Return the longest stretch without a fastener in any of the rows."""
    start, end = _ends(parts)
    if not rows:
        where = ((start + end) / 2.0, parts[0].region.bounds[3])
        return Measured(end - start, where, view=layout.id, reason=missing)
    gap, where = max(_widest(row, start, end) for row in rows)
    return Measured(gap, where, view=layout.id)


# --- flange plan --------------------------------------------------------------------------


def _plan(case: Case) -> tuple[Layout, tuple[Part, ...], list[list[Mark]]] | Idle:
    """Return the flange plan, its metal and the rows of nails through the flange."""
    layout = case.section.layout(PLAN)
    if layout is None:
        return Idle("there is no plan of the flange")
    metal = layout.of_role(Role.EDGE_METAL)
    if not metal:
        return Idle("the plan shows no metal")
    x0, x1 = _ends(metal)
    y0 = min(p.region.bounds[1] for p in metal)
    y1 = max(p.region.bounds[3] for p in metal)
    nails = [
        m
        for m in layout.marks
        if m.role is Role.FASTENER and x0 <= m.at[0] <= x1 and y0 <= m.at[1] <= y1
    ]
    return layout, metal, _rows(nails)


@rule(
    "nail_spacing_most",
    kinds=(EDGE,),
    relation=Relation.AT_MOST,
    wrong="The flange nails stand too far apart.",
)
def sparse_nails(case: Case) -> Verdict:
    """Guards the flange against lifting and against buckling between its nails.

    Measured on the flange plan, along each row by itself: the longest stretch without a
    nail, the ends of the drawn metal included.
    """
    plan = _plan(case)
    if isinstance(plan, Idle):
        return plan
    layout, metal, rows = plan
    return _spacing(metal, rows, layout, "The flange is not nailed.")


@rule("nail_rows_least", kinds=(EDGE,), wrong="The flange has too few rows of nails.")
def single_nail_row(case: Case) -> Verdict:
    """Guards the flange against turning about a single row of nails.

    Counted on the flange plan, as rows of nails that stand in one line along the edge.
    """
    plan = _plan(case)
    if isinstance(plan, Idle):
        return plan
    layout, metal, rows = plan
    where = rows[0][0].at if rows else _corner(metal[0])
    return Measured(len(rows), where, view=layout.id)


@rule("nail_stagger_least", kinds=(EDGE,), wrong="The rows of nails are not staggered.")
def unstaggered_nails(case: Case) -> Verdict:
    """Guards the wood against splitting, and closes the gaps of one row with the next.

    Measured on the flange plan along the edge: the least distance between a nail and the
    nearest nail of another row.
    """
    plan = _plan(case)
    if isinstance(plan, Idle):
        return plan
    layout, metal, rows = plan
    if len(rows) < 2:
        return Measured(
            0.0,
            _corner(metal[0]),
            view=layout.id,
            reason="There is no second row of nails.",
        )
    worst, where = float("inf"), rows[0][0].at
    for row, other in pairwise(rows):
        for nail in row:
            apart = min(abs(nail.at[0] - m.at[0]) for m in other)
            if apart < worst:
                worst, where = apart, nail.at
    return Measured(worst, where, view=layout.id)


def _corner(part: Part) -> Point:
    x0, y0, _, _ = part.region.bounds
    return (x0, y0)


def _joint(case: Case) -> tuple[Layout, Part, Part] | Idle:
    """Return the two pieces of edge metal that meet in the flange plan."""
    layout = case.section.layout(PLAN)
    pieces = () if layout is None else layout.of_role(Role.EDGE_METAL)
    if layout is None or len(pieces) < 2:
        return Idle("no joint between pieces of edge metal is drawn")
    first, second = sorted(pieces, key=lambda p: p.region.bounds[0])[:2]
    return layout, first, second


@rule("joint_gap_least", kinds=(EDGE,), wrong="Pieces of edge metal stand too close.")
def tight_joint_gap(case: Case) -> Verdict:
    """Guards the metal against buckling when it grows in the sun.

    Measured on the flange plan, along the edge, between the ends of two pieces.
    """
    joint = _joint(case)
    if isinstance(joint, Idle):
        return joint
    layout, first, second = joint
    end = first.region.bounds[2]
    return Measured(
        second.region.bounds[0] - end,
        (end, first.region.bounds[3]),
        (first.id, second.id),
        view=layout.id,
    )


@rule(
    "backing_plate_lap_least",
    kinds=(EDGE,),
    wrong="The backing plate does not reach far enough under the metal.",
)
def narrow_backing_plate(case: Case) -> Verdict:
    """Guards the open joint between two pieces of metal, which only the plate closes.

    Measured on the flange plan, along the edge: how far the plate lies under each of the
    two pieces. The shorter reach is told.
    """
    joint = _joint(case)
    if isinstance(joint, Idle):
        return joint
    layout, first, second = joint
    end, start = first.region.bounds[2], second.region.bounds[0]
    where = ((end + start) / 2.0, first.region.bounds[3])
    plates = [
        p
        for p in layout.of_role(Role.BACKING_PLATE)
        if p.region.bounds[0] < end and p.region.bounds[2] > start and p.level < first.level
    ]
    if not plates:
        return Measured(0.0, where, view=layout.id, reason="No plate backs the joint.")
    x0, _, x1, _ = plates[0].region.bounds
    return Measured(min(end - x0, x1 - start), where, (plates[0].id,), view=layout.id)


@rule(
    "cleat_nail_spacing_most",
    kinds=(EDGE,),
    relation=Relation.AT_MOST,
    wrong="The cleat's nails stand too far apart.",
)
def sparse_cleat_nails(case: Case) -> Verdict:
    """Guards the cleat, which holds the face of the metal against wind.

    Measured on the flange plan, along the edge: the longest stretch of the cleat without a
    nail, its ends included.
    """
    layout = case.section.layout(PLAN)
    cleats = () if layout is None else layout.of_role(Role.CLEAT)
    if layout is None or not cleats:
        return Idle("there is no continuous cleat")
    rows = _rows([m for m in layout.marks if m.role is Role.CLEAT])
    return _spacing(cleats, rows, layout, "The cleat is not nailed.")


# --- wall elevation -----------------------------------------------------------------------


def _on_wall(
    case: Case, *, bar: bool
) -> tuple[Layout, tuple[Part, ...], list[list[Mark]]] | Idle:
    """Return elevation, flashing pieces and rows of fasteners through (bar: above) them."""
    layout = case.section.layout(ELEVATION)
    if layout is None:
        return Idle("there is no elevation of the wall")
    sheets = layout.of_role(Role.FLASHING)
    if not sheets:
        return Idle("the elevation shows no flashing sheet")
    top = max(p.region.bounds[3] for p in sheets)
    marks = [m for m in layout.marks if m.role is Role.FASTENER and (m.at[1] > top) == bar]
    return layout, sheets, _rows(marks)


def _held_by_cement(case: Case) -> bool:
    """Tell whether the flashing sheet is held by cement alone."""
    sheets = {b.id for b in case.all(Role.FLASHING)}
    bonds = {j.bond for j in case.section.joints if j.upper in sheets and j.bond in ADHERED}
    return bonds == {Bond.CEMENT}


@rule(
    "top_fastener_spacing_most",
    kinds=(WALL,),
    relation=Relation.AT_MOST,
    wrong="The top edge of the flashing sheet is fastened too far apart.",
)
def sparse_top_fasteners(case: Case) -> Verdict:
    """Guards a sheet that is set in cement against sliding down the wall.

    Measured on the wall elevation, along the topmost row of fasteners through the sheet:
    the longest stretch without one, the ends of the drawn pieces included.
    """
    if not _held_by_cement(case):
        return Idle("the flashing sheet is stuck by other means than cement")
    found = _on_wall(case, bar=False)
    if isinstance(found, Idle):
        return found
    layout, sheets, rows = found
    return _spacing(sheets, rows[-1:], layout, "The top edge of the sheet is not fastened.")


@rule(
    "intermediate_row_above",
    kinds=(WALL,),
    relation=Relation.AT_MOST,
    wrong="A tall flashing sheet has no row of fasteners between roof and top edge.",
)
def missing_intermediate_row(case: Case) -> Verdict:
    """Guards a tall sheet against sliding down under its own weight.

    Measured upright on the wall elevation: the tallest stretch of sheet between the roof,
    the rows of fasteners and the sheet's top. Lower sheets need no such row.
    """
    found = _on_wall(case, bar=False)
    if isinstance(found, Idle):
        return found
    layout, sheets, rows = found
    low = min(p.region.bounds[1] for p in sheets)
    high = max(p.region.bounds[3] for p in sheets)
    if high - low <= case.rules.value("intermediate_row_above") + 0.01:
        return Idle("the flashing sheet is not tall enough to need one")
    levels = [low, *(row[0].at[1] for row in rows), high]
    gap, start = max((b - a, a) for a, b in pairwise(levels))
    return Measured(gap, (_ends(sheets)[0], start + gap / 2.0), view=layout.id)


@rule(
    "bar_fastener_spacing_most",
    kinds=(WALL,),
    relation=Relation.AT_MOST,
    wrong="The bar is fastened too far apart.",
)
def sparse_bar_fasteners(case: Case) -> Verdict:
    """Guards a surface-mounted counterflashing against gaping between its fasteners.

    Measured on the wall elevation, along the row of fasteners above the flashing sheet: the
    longest stretch without one, the ends of the drawn pieces included.
    """
    if not case.has("bar.top"):
        return Idle("no bar holds the counterflashing")
    found = _on_wall(case, bar=True)
    if isinstance(found, Idle):
        return found
    layout, sheets, rows = found
    return _spacing(sheets, rows, layout, "The bar is not fastened.")


def _shortest_lap(
    layout: Layout, groups: Sequence[Sequence[Part]], row: str = ""
) -> Verdict | None:
    """Return the shortest lap along the layout between neighbours of a group."""
    worst: tuple[float, Point, Part, Part] | None = None
    for group in groups:
        ordered = sorted(group, key=lambda p: p.region.bounds[0])
        for a, b in pairwise(ordered):
            lap = a.region.bounds[2] - b.region.bounds[0]
            if worst is None or lap < worst[0]:
                worst = (lap, (b.region.bounds[0], b.region.bounds[3]), a, b)
    if worst is None:
        return None
    lap, where, a, b = worst
    return Measured(lap, where, (a.id, b.id), row, view=layout.id)


@rule(
    "flashing_side_lap_least",
    "side_lap_least",
    kinds=(WALL,),
    wrong="Pieces of the flashing sheet lap one another too little.",
)
def short_side_lap(case: Case) -> Verdict:
    """Guards the seams between the pieces of a flashing sheet.

    Measured level on the wall elevation, between the ends of neighbouring pieces of the
    flashing sheet, and of the upper sheet where there is one. The pieces are sheets as the
    roof's are: of the laps asked of both, the longer one counts.
    """
    layout = case.section.layout(ELEVATION)
    if layout is None:
        return Idle("there is no elevation of the wall")
    groups = [layout.of_role(role) for role in (Role.FLASHING, Role.UPPER_FLASHING)]
    row = max("flashing_side_lap_least", "side_lap_least", key=case.rules.value)
    found = _shortest_lap(layout, groups, row)
    return found or Idle("the elevation shows a single piece")


@rule(
    "counterflashing_end_lap_least",
    kinds=(WALL,),
    wrong="Pieces of counterflashing lap one another too little.",
)
def short_counterflashing_end_lap(case: Case) -> Verdict:
    """Guards the joints between pieces of counterflashing, which are not soldered.

    Measured level on the wall elevation, between the ends of neighbouring pieces.
    """
    if not case.has("cf.hem"):
        return Idle("a coping covers this wall: it has no counterflashing")
    layout = case.section.layout(ELEVATION)
    if layout is None:
        return Idle("there is no elevation of the wall")
    found = _shortest_lap(layout, [layout.of_role(Role.COUNTERFLASHING)])
    return found or Idle("the elevation shows a single piece of counterflashing")


@rule(
    "laps_shed_water",
    kinds=(WALL,),
    relation=Relation.AT_MOST,
    asked=NONE_AT_ALL,
    wrong="A side lap faces the water.",
    title="Side laps of pieces that face the water, none",
)
def backwater_side_lap(case: Case) -> Verdict:
    """Guards the seams along a wall against water that runs along it into them.

    Counted on the wall elevation: the laps in which the piece nearer the roof's low point
    lies over the piece that is further up the slope.
    """
    layout = case.section.layout(ELEVATION)
    if layout is None:
        return Idle("there is no elevation of the wall")
    dx = layout.downhill[0]
    if abs(dx) < 1e-9:
        return Idle("water does not run along this wall")
    laps, wrong = 0, list[tuple[Part, Part]]()
    for role in (Role.FLASHING, Role.UPPER_FLASHING, Role.COUNTERFLASHING):
        parts = sorted(layout.of_role(role), key=lambda p: -dx * p.region.bounds[0])
        for low, high in pairwise(parts):
            laps += 1
            if low.level > high.level:
                wrong.append((low, high))
    if not laps:
        return Idle("the elevation shows no two pieces side by side")
    x0, _, _, y1 = (wrong[0][1] if wrong else layout.parts[0]).region.bounds
    ids = tuple(p.id for p in wrong[0]) if wrong else ()
    return Measured(len(wrong), (x0, y1), ids, view=layout.id)
