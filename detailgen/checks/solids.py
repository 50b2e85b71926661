"""Rules on the section as a whole: solids do not overlap, and leave no unmeant pockets."""

from itertools import combinations
from math import fsum

from detailgen.checks._case import Case
from detailgen.checks._rule import Measured, Verdict, rule
from detailgen.finding import Relation
from detailgen.geometry import Point
from detailgen.geometry.measures import inner_point, overlaps
from detailgen.geometry.regions import cut
from detailgen.section import Role


@rule(
    "overlap_most",
    relation=Relation.AT_MOST,
    whole=True,
    wrong="Two solids take the same room.",
)
def solids_overlap(case: Case) -> Verdict:
    """Guards the drawing itself: no two bodies can be in one place.

    Measured as the area by which the bodies together cover less than their sum; where that
    is too much, as the largest area that two of them share. A fastener is compared with the
    bodies that it is not driven through, and not with other fasteners, which stand at other
    places along the edge or the wall.
    """
    bodies = case.section.bodies
    limit = case.rules.value("overlap_most")
    solids = fsum(b.region.area for b in bodies if b.role is not Role.FASTENER)
    excess = max(solids - case.fused.area, 0.0)
    pairs = [
        (i, j)
        for (i, a), (j, b) in combinations(enumerate(bodies), 2)
        if (Role.FASTENER in {a.role, b.role} if excess <= limit else True)
        and not a.role is b.role is Role.FASTENER
        and a.id not in b.pierces
        and b.id not in a.pierces
    ]
    found = max(overlaps([b.region for b in bodies], pairs), key=_area, default=None)
    if found is None or found[2] <= limit:
        return Measured(min(excess, limit), case.anchor())
    i, j, area, where = found
    ids = (bodies[i].id, bodies[j].id)
    return Measured(area, where, ids, reason=f"{ids[0]} and {ids[1]} take the same room.")


def _area(found: tuple[int, int, float, Point]) -> float:
    return found[2]


@rule(
    "pocket_most",
    relation=Relation.AT_MOST,
    whole=True,
    wrong="The layers close in a pocket that nothing fills.",
)
def closed_pocket(case: Case) -> Verdict:
    """Guards against voids in which water or air is shut in.

    Measured as the area of the largest hole that the bodies leave between them, without the
    hollows that the condition means to have (behind a face, in a flute). Cracks that are
    narrower than the rounding of the drawing are closed first.
    """
    limit = case.rules.value("pocket_most")
    meant = [b.region for b in case.all(Role.FASTENER)]
    meant += case.section.hollows
    worst, where = 0.0, case.anchor()
    for hole in case.fused.holes:
        left = [hole] if hole.area <= limit else cut(hole, meant)
        if left and left[0].area > worst:
            worst, where = left[0].area, inner_point(left[0])
    return Measured(worst, where)
