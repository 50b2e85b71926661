"""The pieces that a condition's sheets are cut from, laid flat, for a class that practises.

A corner has its pieces from its patterns. Of what stands by itself they are the parts of
its plan. Of a run they are a stretch of each sheet as wide as a class handles it, developed
from the section, with its folds where the sheet turns.
"""

from itertools import pairwise
from math import atan2, degrees, dist, fsum
from typing import Final, cast

from detailgen.flat import FlatPiece, Fold, Panel, TrueLength
from detailgen.geometry import Line, Point
from detailgen.geometry.regions import outline, vertices
from detailgen.roles import RIGHT
from detailgen.section import SHEETS, Body, LayeredSection, Layout, Part, Role

STRETCH: Final = 304.8
"""Length of a run that a class cuts, mm: 1 ft (common practice, no source)."""
_STEPS: Final = 5.0
"""What a sheet rises over the edge of another one is no fold, mm."""
_LEAST_TURN: Final = 6.0
"""Nor is a turn of fewer degrees."""
_ON: Final = "It goes on into the field; as much is cut as the plan shows."
_PLAN: Final = "plan"
_FIELD: Final = frozenset({Role.BASE_PLY})
"""Laid with the field of the roof, whatever stands there."""
_CUT: Final = (SHEETS | {Role.DRAIN_LEAD, Role.CLAD_SHEET}) - _FIELD


def cut_pieces(section: LayeredSection) -> tuple[FlatPiece, ...]:
    """Return the pieces of a section's sheets, flat, in the order of building."""
    if section.pieces:
        return section.pieces
    if section.by_the_piece:
        plan = section.layout(_PLAN)
        parts = plan.parts if plan else ()
        ordered = sorted(parts, key=lambda p: p.level)
        return tuple(_of_plan(plan, part) for part in ordered if plan and _is_cut(part))
    bodies = (b for b in section.bodies if b.role in _CUT and b.course is not None)
    return tuple(_of_run(b) for b in bodies if not b.id.endswith(RIGHT))


def _is_cut(part: Part) -> bool:
    return part.role in _CUT and not part.id.startswith("seam")


def _of_plan(plan: Layout, part: Part) -> FlatPiece:
    """Return a part of a plan as a piece, its middle at the axis of what stands there."""
    ring = _counter(outline(part.region))
    holes = tuple(
        tuple(reversed(_counter(tuple((float(x), float(y)) for x, y in hole.coords[:-1]))))
        for hole in part.region.interiors
    )
    x0, y0, x1, y1 = (float(v) for v in part.region.bounds)
    lengths = [
        TrueLength("width", (x0, y0), (x1, y0), ""),
        TrueLength("depth", (x1, y0), (x1, y1), ""),
    ]
    for n, hole in enumerate(holes, 1):
        xs = [x for x, _ in hole]
        left, right = min(xs), max(xs)
        middle = fsum(y for _, y in hole) / len(hole)
        lengths += [
            TrueLength(f"hole-{n}", (left, middle), (right, middle), "HOLE"),
            TrueLength(f"to-hole-{n}", (x0, middle), (left, middle), "TO HOLE"),
        ]
    goes_on = _goes_on(plan, part)
    notes = (
        ("It goes on into the field; as much is cut as the plan shows.",) if goes_on else ()
    )
    return FlatPiece(
        id=part.id,
        sheet=part.id,
        name=part.name,
        outline=ring,
        panels=(Panel("flat", "roof", ring),),
        folds=(),
        holes=holes,
        lengths=tuple(lengths),
        notes=notes,
        set_out=False,
    )


def _goes_on(plan: Layout, part: Part) -> bool:
    """Return whether a part ends where the drawing does, and not where the sheet does."""
    boxes = [p.region.bounds for p in plan.parts]
    sides = [min(b[0] for b in boxes), max(b[2] for b in boxes)]
    x0, _, x1, _ = part.region.bounds
    return part.role is Role.FINISH_PLY and (x0 <= sides[0] + 1.0 or x1 >= sides[1] - 1.0)


def _counter(ring: tuple[Point, ...]) -> tuple[Point, ...]:
    """Return a ring that runs counter-clockwise and does not repeat its first point."""
    points = ring[:-1] if ring[0] == ring[-1] else ring
    closed = (*points, points[0])
    area = fsum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(closed))
    return points if area > 0.0 else tuple(reversed(points))


def _of_run(body: Body) -> FlatPiece:
    """Return a stretch of a sheet developed: its folds level, the roof side below."""
    assert body.course is not None
    whole = float(body.course.length)
    stations, turns = _folds(body.course)
    levels = [0.0, *stations, whole]
    panels = tuple(
        Panel(
            f"panel-{n}",
            f"face-{n}",
            ((0.0, low), (STRETCH, low), (STRETCH, high), (0.0, high)),
        )
        for n, (low, high) in enumerate(pairwise(levels), 1)
    )
    folds = tuple(
        Fold(f"fold-{n}", (0.0, y), (STRETCH, y), (f"panel-{n}", f"panel-{n + 1}"), turn)
        for n, (y, turn) in enumerate(zip(stations, turns, strict=True), 1)
    )
    lengths = [TrueLength("stretch", (0.0, 0.0), (STRETCH, 0.0), "")]
    if folds:
        lengths += [
            TrueLength(f"panel-{n}", (0.0, low), (0.0, high), "")
            for n, (low, high) in enumerate(pairwise(levels), 1)
        ]
    lengths.append(TrueLength("whole", (STRETCH, 0.0), (STRETCH, whole), ""))
    ring = ((0.0, 0.0), (STRETCH, 0.0), (STRETCH, whole), (0.0, whole))
    return FlatPiece(
        id=body.id,
        sheet=body.id,
        name=body.name,
        outline=ring,
        panels=panels,
        folds=folds,
        lengths=tuple(lengths),
        notes=("A stretch of the run; its lower edge is the outer end on the roof.",),
        set_out=False,
    )


def _folds(course: Line) -> tuple[list[float], list[float]]:
    """Return where a sheet turns, mm along its course, and by how many degrees.

    A turn toward the weather side is a valley; in a section that side is at the left of who
    follows the sheet from its first point on.
    """
    points = vertices(cast("Line", course.simplify(_STEPS)))
    ratio = float(course.length) / fsum(dist(a, b) for a, b in pairwise(points))
    stations: list[float] = []
    turns: list[float] = []
    at = 0.0
    for (a, b), (_, c) in pairwise(pairwise(points)):
        at += dist(a, b)
        before = atan2(b[1] - a[1], b[0] - a[0])
        after = atan2(c[1] - b[1], c[0] - b[0])
        turn = (degrees(after - before) + 180.0) % 360.0 - 180.0
        if abs(turn) > _LEAST_TURN:
            stations.append(at * ratio)
            turns.append(turn)
    return stations, turns
