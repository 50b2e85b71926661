"""Rules on what the elevation of a wall shows: rows of fasteners, laps of pieces."""

from collections.abc import Sequence
from itertools import pairwise

from detailgen.checks._case import Case
from detailgen.checks._hems import hem_of
from detailgen.checks._marks import ends_of, rows_of, spacing
from detailgen.checks._rule import NONE_AT_ALL, WALL, Idle, Measured, Verdict, rule
from detailgen.finding import Relation
from detailgen.geometry import Point
from detailgen.section import ADHERED, Bond, Layout, Mark, Part, Role

ELEVATION = "wall-elevation"


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
    return layout, sheets, rows_of(marks)


def _held_by_cement(case: Case) -> bool:
    """Tell whether the flashing sheet is held by cement alone."""
    sheets = {b.id for b in case.all(Role.FLASHING)}
    bonds = {j.bond for j in case.section.joints if j.upper in sheets and j.bond in ADHERED}
    return bonds == {Bond.CEMENT}


@rule(
    "top_fastener_spacing_most",
    kinds=(WALL,),
    whole=True,
    relation=Relation.AT_MOST,
    wrong="The top edge of the flashing sheet is fastened too far apart.",
    built=(Role.FLASHING,),
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
    return spacing(sheets, rows[-1:], layout, "The top edge of the sheet is not fastened.")


@rule(
    "intermediate_row_above",
    kinds=(WALL,),
    whole=True,
    relation=Relation.AT_MOST,
    wrong="A tall flashing sheet has no row of fasteners between roof and top edge.",
    built=(Role.FLASHING,),
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
    return Measured(gap, (ends_of(sheets)[0], start + gap / 2.0), view=layout.id)


@rule(
    "bar_fastener_spacing_most",
    kinds=(WALL,),
    whole=True,
    relation=Relation.AT_MOST,
    wrong="The bar is fastened too far apart.",
    built=(Role.TERMINATION_BAR,),
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
    return spacing(sheets, rows, layout, "The bar is not fastened.")


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
    whole=True,
    wrong="Pieces of the flashing sheet lap one another too little.",
    built=(
        Role.FLASHING,
        Role.UPPER_FLASHING,
    ),
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
    whole=True,
    wrong="Pieces of counterflashing lap one another too little.",
    built=(Role.COUNTERFLASHING,),
)
def short_counterflashing_end_lap(case: Case) -> Verdict:
    """Guards the joints between pieces of counterflashing, which are not soldered.

    Measured level on the wall elevation, between the ends of neighbouring pieces.
    """
    if hem_of(case) is None:
        return Idle("a coping covers this wall: it has no counterflashing")
    layout = case.section.layout(ELEVATION)
    if layout is None:
        return Idle("there is no elevation of the wall")
    found = _shortest_lap(layout, [layout.of_role(Role.COUNTERFLASHING)])
    return found or Idle("the elevation shows a single piece of counterflashing")


@rule(
    "laps_shed_water",
    kinds=(WALL,),
    whole=True,
    relation=Relation.AT_MOST,
    asked=NONE_AT_ALL,
    wrong="A side lap faces the water.",
    title="Side laps of pieces that face the water, none",
    built=(Role.FLASHING,),
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
