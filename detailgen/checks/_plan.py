"""What several rules ask of the plan of a point: how far one zone lies within another."""

from collections.abc import Iterable, Sequence

from detailgen.checks._case import Case
from detailgen.checks._rule import POCKET, SLEEVE, STACK, SUPPORT, Measured
from detailgen.geometry import Point
from detailgen.section import Layout, Part, Role

PLAN = "plan"
POINTS = (STACK, SLEEVE, SUPPORT, POCKET)
"""Kinds whose metal goes round one upright, its flange in the membrane all round."""
Box = tuple[float, float, float, float]


def plan_of(case: Case) -> Layout | None:
    """Return the plan of a point, or None."""
    return case.section.layout(PLAN)


def parts_in_plan(case: Case, *roles: Role) -> tuple[Part, ...]:
    """Return what the plan shows of some roles; nothing where there is no plan."""
    layout = plan_of(case)
    return () if layout is None else layout.of_role(*roles)


def box_of(parts: Iterable[Part]) -> Box:
    """Return the box about several parts."""
    boxes = [p.region.bounds for p in parts]
    return (
        min(b[0] for b in boxes),
        min(b[1] for b in boxes),
        max(b[2] for b in boxes),
        max(b[3] for b in boxes),
    )


def hole_of(part: Part) -> Box | None:
    """Return the box about the hole of a part, or None where it has none."""
    for ring in part.region.interiors:
        xs, ys = zip(*((c[0], c[1]) for c in ring.coords), strict=True)
        return (min(xs), min(ys), max(xs), max(ys))
    return None


def least_past(outer: Box, inner: Box) -> tuple[float, Point]:
    """Return how far a box runs past another on its narrowest side, and where."""
    middle = ((inner[0] + inner[2]) / 2.0, (inner[1] + inner[3]) / 2.0)
    past = (
        (inner[0] - outer[0], (inner[0], middle[1])),
        (inner[1] - outer[1], (middle[0], inner[1])),
        (outer[2] - inner[2], (inner[2], middle[1])),
        (outer[3] - inner[3], (middle[0], inner[3])),
    )
    return min(past, key=lambda found: found[0])


def ids_of(parts: Sequence[Part]) -> tuple[str, ...]:
    """Return the ids of parts."""
    return tuple(p.id for p in parts)


def least_of(*found: Measured | None) -> Measured | None:
    """Return the least of what was measured in section and plan; None for nothing."""
    there = [f for f in found if f is not None]
    return min(there, key=lambda f: float(f.actual), default=None)


def less_of(section: Measured, plan: Measured | None) -> Measured:
    """Return what is less of what section and plan show."""
    return least_of(section, plan) or section
