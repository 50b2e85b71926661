"""Rules on what the plan of a flange shows: nail patterns, joints of metal."""

from itertools import pairwise

from detailgen.checks._case import Case
from detailgen.checks._marks import ends_of, rows_of, spacing
from detailgen.checks._rule import EDGE, Idle, Measured, Verdict, rule
from detailgen.finding import Relation
from detailgen.geometry import Point
from detailgen.section import Layout, Mark, Part, Role

PLAN = "flange-plan"


def _plan(case: Case) -> tuple[Layout, tuple[Part, ...], list[list[Mark]]] | Idle:
    """Return the flange plan, its metal and the rows of nails through the flange."""
    layout = case.section.layout(PLAN)
    if layout is None:
        return Idle("there is no plan of the flange")
    metal = layout.of_role(Role.EDGE_METAL)
    if not metal:
        return Idle("the plan shows no metal")
    x0, x1 = ends_of(metal)
    y0 = min(p.region.bounds[1] for p in metal)
    y1 = max(p.region.bounds[3] for p in metal)
    nails = [
        m
        for m in layout.marks
        if m.role is Role.FASTENER and x0 <= m.at[0] <= x1 and y0 <= m.at[1] <= y1
    ]
    return layout, metal, rows_of(nails)


@rule(
    "nail_spacing_most",
    kinds=(EDGE,),
    whole=True,
    relation=Relation.AT_MOST,
    wrong="The flange nails stand too far apart.",
    built=(Role.EDGE_METAL,),
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
    return spacing(metal, rows, layout, "The flange is not nailed.")


@rule(
    "nail_rows_least",
    kinds=(EDGE,),
    whole=True,
    wrong="The flange has too few rows of nails.",
    built=(Role.EDGE_METAL,),
)
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


@rule(
    "nail_stagger_least",
    kinds=(EDGE,),
    whole=True,
    wrong="The rows of nails are not staggered.",
    built=(Role.EDGE_METAL,),
)
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


@rule(
    "joint_gap_least",
    kinds=(EDGE,),
    whole=True,
    wrong="Pieces of edge metal stand too close.",
    built=(Role.EDGE_METAL,),
)
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
    whole=True,
    wrong="The backing plate does not reach far enough under the metal.",
    built=(Role.EDGE_METAL,),
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
    whole=True,
    relation=Relation.AT_MOST,
    wrong="The cleat's nails stand too far apart.",
    built=(Role.CLEAT,),
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
    rows = rows_of([m for m in layout.marks if m.role is Role.CLEAT])
    return spacing(cleats, rows, layout, "The cleat is not nailed.")
