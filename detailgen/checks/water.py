"""Rules on the way of water: laps shed it, and sealant closes what must be closed."""

from itertools import pairwise

from detailgen.checks._case import Case
from detailgen.checks._rule import EDGE, NONE_AT_ALL, WALL, Idle, Measured, Verdict, rule
from detailgen.finding import Relation
from detailgen.geometry import Point
from detailgen.geometry.measures import Column
from detailgen.section import METALS, Body, Role

SHEDDING = (
    Role.FINISH_PLY,
    Role.FLASHING,
    Role.UPPER_FLASHING,
    Role.COUNTERFLASHING,
    Role.COPING,
)
"""What water runs down on, in the order in which each may lie over the one before."""


SEALS = 0.5
"""A bead that covers less of a ply's end than this, mm, does not seal it."""


@rule(
    "laps_shed_water",
    kinds=(WALL,),
    relation=Relation.AT_MOST,
    asked=NONE_AT_ALL,
    wrong="A lap faces the water.",
    title="Laps that face the water, none",
)
def backwater_lap(case: Case) -> Verdict:
    """Guards every lap on roof, cant and wall against water that runs into it.

    Counted on columns over the roof, the cant and the wall: pairs of layers of which the
    one that reaches higher lies behind the other where they lap.
    """
    bodies = [b for b in case.all(*SHEDDING) if b.region.bounds[0] < case.at("cant.top")[0]]
    tops = {b.id: b.region.bounds[3] for b in bodies}
    if len(bodies) < 2:
        return Idle("no two layers lap that water runs down on")
    laps: set[tuple[str, str]] = set()
    wrong: dict[tuple[str, str], Point] = {}
    foot = case.at("cant.toe")[0]
    for column in (*case.field, *case.incline, *case.upright):
        order = _outward(case, column, tops)
        for inner, outer in pairwise(order):
            pair = (inner.id, outer.id)
            laps.add(pair)
            if tops[inner.id] > tops[outer.id] + 0.05:
                wrong.setdefault(pair, column.at)
    if not laps:
        return Idle("no two layers lap that water runs down on")
    where = next(iter(wrong.values()), (foot, case.at("roof.datum")[1]))
    bodies_at = next(iter(wrong), ())
    return Measured(len(wrong), where, tuple(bodies_at))


def _outward(case: Case, column: Column, tops: dict[str, float]) -> list[Body]:
    """Return the layers that a column meets, by where each is met last on the way out."""
    found: dict[str, Body] = {}
    for span in column.spans:
        body = case.body_of(span)
        if body.id in tops and span[1] > 0.0:
            found.pop(body.id, None)
            found[body.id] = body
    return list(found.values())


@rule(
    "bead_leg_least",
    kinds=(EDGE, WALL),
    wrong="The bead of sealant is missing or too small.",
)
def missing_bead(case: Case) -> Verdict:
    """Guards the end of the finish ply at the metal, or the top of a counterflashing.

    Measured along the faces that the bead seals: the metal's, and on a wall the
    wall's, at a raised edge the top of the finish ply; the shorter one is told. At a flush
    edge the end of the finish ply is only as high as the ply, so there the metal's alone
    counts. A bead that misses one of its two sides seals nothing.
    """
    edge = case.section.kind == EDGE
    if not edge and not case.has("cf.hem"):
        return Idle("a coping needs no bead of sealant")
    where = case.at("metal.leaves" if edge else "cf.top")
    beads = [(_leg(case, b), b) for b in case.all(Role.BEAD)]
    if not beads:
        return Measured(0.0, where, reason="There is no bead of sealant.")
    leg, bead = min(beads, key=lambda found: found[0])
    x0, y0, x1, y1 = bead.region.bounds
    return Measured(leg, ((x0 + x1) / 2.0, (y0 + y1) / 2.0), (bead.id,))


def _leg(case: Case, bead: Body) -> float:
    """Return the shorter of the faces along which a bead seals; 0 when it misses one."""
    roles = {b.id: b.role for b in case.section.bodies}
    sealed = Role.FINISH_PLY if case.section.kind == EDGE else None
    metal = other = 0.0
    for joint in case.section.joints_of(bead.id):
        role = roles.get(joint.lower if joint.upper == bead.id else joint.upper)
        if role in METALS:
            metal += joint.line.length
        elif role is sealed or (sealed is None and role is not None):
            other += joint.line.length
    flush = case.section.kind == EDGE and not case.has("leg.top")
    if flush:
        return metal if other > SEALS else 0.0
    return min(metal, other)
