"""How near two conditions stand: where their faces are, and how far their sheets reach.

The face of a condition is what rises from the roof there (a pipe, a curb, a wall), the rim
of a drain's bowl, or the outer edge of the roof. Distances that a job tells are between
faces; whether the sheets about them have room follows from how far each comes out.
"""

from typing import Final

from detailgen.geometry.columns import rings
from detailgen.section import METALS, SHEETS, WOOD, LayeredSection, Neighbour, Role, Stand
from detailgen.units import MM_PER_INCH

_FOOT: Final = 2.0 * MM_PER_INCH
"""What comes higher above the finished roof than this, mm, rises from it."""
_AT_SIDE: Final = 1.0
"""A body that comes this near, mm, to the side of the drawing goes on beyond it."""
_FIELD: Final = frozenset({Role.BASE_PLY, Role.FINISH_PLY})
_OWN: Final = (SHEETS | METALS | WOOD) - _FIELD | {Role.CANT, Role.CEMENT}
_HUNG: Final = METALS - {Role.SLEEVE, Role.PAN}
"""Metal that hangs on what rises, before its face."""
_SOFT: Final = SHEETS | _HUNG | {Role.CANT, Role.CEMENT, Role.BEAD, Role.FASTENER}
_RIMS: Final = (Role.DRAIN_BOWL, Role.CLAMPING_RING)


def face(section: LayeredSection) -> float:
    """Return x, mm, of the left face of what a section is about."""
    if section.stand is Stand.EDGE:
        return section.points["edge.top"][0]
    if section.stand is Stand.DRAIN:
        return min(b.region.bounds[0] for b in section.of_role(*_RIMS))
    level = section.points.get("roof.datum", (0.0, 0.0))[1] + _FOOT
    hard = [
        rings(b.region) for b in section.bodies if b.role not in _SOFT | {Role.EQUIPMENT}
    ]
    xs = [x for shape in hard for x in _left_above(shape[0], level)]
    return min(xs, default=0.0)


def _left_above(ring: tuple[tuple[float, float], ...], level: float) -> list[float]:
    """Return the x of a ring's corners above a level, and of its sides where they cross."""
    found = [x for x, y in ring if y >= level]
    for (xa, ya), (xb, yb) in zip(ring, (*ring[1:], ring[0]), strict=True):
        if (ya - level) * (yb - level) < 0:
            found.append(xa + (xb - xa) * (level - ya) / (yb - ya))
    return found


def reach(section: LayeredSection) -> float:
    """Return how far the sheets, the cant or the flange come out from the face, mm."""
    side: float = section.extent.bounds[0] + _AT_SIDE
    lefts = [b.region.bounds[0] for b in section.bodies if b.role in _OWN]
    lefts += [c.line.bounds[0] for c in section.coats]
    foot = face(section)
    return foot - min((x for x in lefts if x > side), default=foot)


def neighbour_of(section: LayeredSection, mark: str, clear: float) -> Neighbour | None:
    """Return a section as its neighbours see it; None for a stand-alone one."""
    if section.stand is None:
        return None
    return Neighbour(mark, section.stand, section.hot, clear, reach(section))
