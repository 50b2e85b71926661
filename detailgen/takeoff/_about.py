"""Measuring one piece that stands about an upright axis: a drain, a pipe, a post.

The section shows a left and a right half of it, the plan how far things go round. What is
flat comes from the plan, along the slope; what turns up or down is developed: the length of
its course times the girth of the outline where it stands.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import dist, fsum
from typing import Final

from detailgen.geometry import Line, Point, Region
from detailgen.geometry.measures import stretches
from detailgen.quantity import Per
from detailgen.section import Body, Coat, Joint, Role
from detailgen.takeoff._found import (
    PLAN,
    Blanks,
    Found,
    Halves,
    course_of,
    metres,
    square_metres,
)
from detailgen.takeoff._plan import Outline, Plan, hole_of

_TURNED: Final = frozenset({Role.COLLAR, Role.HOOD})
"""What is all turned about the axis; its part in the plan is only the view from above."""

_LEVEL: Final = 0.5
"""What runs less than this part of its length outward stands up or down."""
_AT_HOLE: Final = 1e-6
"""What stands on the edge of a hole counts as inside it."""
_FAR: Final = 1e6
Stretch = tuple[Point, Point]


@dataclass(frozen=True, slots=True)
class About:
    """One piece about an upright axis, x = 0."""

    plan: Plan
    per: Per = Per.PIECE
    source: str = PLAN

    def sheet(self, halves: Halves) -> Found:
        """Return the area of a sheet or a metal: its zone, and what is turned up or down.

        A zone without a hole is a whole piece: what is turned down comes out of it.
        """
        zone = None if halves[0].role in _TURNED else self.plan.zone(halves)
        if zone is None:
            area = _mean([self._revolved(b) for b in halves], halves)
            return Found(area / 1e6, f"developed about the axis {square_metres(area)}")
        hole = hole_of(zone)
        told = [_plan_words(zone, hole)]
        if hole is None:
            told.append("the whole piece, before its middle is cut or dressed down")
            return Found(zone.area / 1e6, ", ".join(told))
        slope = self._slope(halves, hole.half)
        if slope > 1.00005:
            told.append(f"x {slope:.4f} along the slope")
        turned = _mean([self._turned(b, hole.half) for b in halves], halves)
        if turned > 1.0:
            told.append(f"+ turned up or down {square_metres(turned)}")
        return Found((zone.area * slope + turned) / 1e6, ", ".join(told))

    def widths(self, halves: Halves) -> tuple[float, ...]:
        """Return nothing: a piece is not cut by the metre."""
        del halves
        return ()

    def blanks(self, halves: Halves) -> Blanks:
        """Return the rectangles about the pieces that the plan shows."""
        return self.plan.blanks(halves)

    def lapped(self, halves: Halves) -> float:
        """Return the area on which the pieces of one sheet lie double."""
        return self.plan.lapped(halves)

    def bed(self, halves: Halves) -> Found:
        """Return the volume of a bed: the ring that it covers, as thick as it is."""
        zone = self.plan.zone(halves)
        areas = [self._ring(course_of(b), zone) for b in halves]
        volumes = [
            a * b.region.area / course_of(b).length
            for a, b in zip(areas, halves, strict=True)
        ]
        area, volume = _mean(areas, halves), _mean(volumes, halves)
        outer = max(max(abs(b.region.bounds[0]), abs(b.region.bounds[2])) for b in halves)
        inner = min(min(abs(b.region.bounds[0]), abs(b.region.bounds[2])) for b in halves)
        return Found(
            volume / 1e6,
            f"ring {square_metres(area)} from {metres(inner)} to {metres(outer)} off the "
            f"axis, mean thickness {volume / area:.2f} mm (all coats together",
        )

    def bead(self, halves: Halves) -> Found:
        """Return the length of a bead round the piece, in the middle of its section."""
        length = _mean([self._girth(b) for b in halves], halves)
        return Found(length / 1000.0, f"ring {metres(length)} long")

    def fill(self, halves: Halves) -> Found:
        """Return the volume of what is poured round a thing: its zone times its depth."""
        zone = self._poured()
        if zone is None:
            volume = _mean([b.region.area * self._girth(b) for b in halves], halves)
            return Found(volume / 1e6, "section turned about the axis")
        depth = _mean([self._depth(b) for b in halves], halves)
        return Found(
            zone.area * depth / 1e6,
            f"{_plan_words(zone, hole_of(zone))} x mean depth {metres(depth)}",
        )

    def run(self, halves: Halves) -> Found:
        """Return the length of lumber framed in a square about the piece."""
        lengths = [
            4.0 * (abs(b.region.bounds[0]) + abs(b.region.bounds[2])) for b in halves
        ]
        length = _mean(lengths, halves)
        return Found(
            length / 1000.0, f"four pieces in a square, {metres(length)} along their middle"
        )

    def coat(self, coats: Sequence[Coat]) -> Found:
        """Return the area of a coat: the rings that its stretches cover.

        Under the lapped seams of a clad sheet its face is primed as its border is.
        """
        found = self._rings([(c.line, c.body) for c in coats])
        body = self.plan.section.body(coats[0].body)
        seams = self.plan.seams if body and body.role is Role.CLAD_SHEET else 0.0
        if not seams:
            return found
        told = f"({found.told} + under seams {square_metres(seams)})"
        return Found(found.amount + seams / 1e6, told)

    def spread(self, joints: Sequence[Joint]) -> Found:
        """Return the area over which sheets are stuck: the rings that joints cover."""
        return self._rings([(j.line, j.upper) for j in joints])

    def _rings(self, lines: Sequence[tuple[Line, str]]) -> Found:
        """Return the area of the rings that lines on bodies cover."""
        areas = [self._ring(x, self._zone_of(body_id)) for x, body_id in lines]
        area = _mean(areas, [x for x, _ in lines])
        return Found(area / 1e6, f"rings of the plan, {square_metres(area)} in all")

    def _zone_of(self, body_id: str) -> Region | None:
        body = self.plan.section.body(body_id)
        return self.plan.zone((body,)) if body else None

    def _ring(self, line: Line, zone: Region | None) -> float:
        """Return the area of the ring round the axis that a line of the section covers."""
        total = 0.0
        limit = self.plan.footprint[2]
        for a, b in stretches(line, -limit, limit):
            inner, outer = sorted((abs(a[0]), abs(b[0])))
            long, level = dist(a, b), outer - inner
            if not _is_level(a, b):
                middle = (inner + outer) / 2.0
                total += long * self.plan.outline_at(middle, zone).girth(middle)
                continue
            whole = self.plan.outline_at(outer, zone).area(outer)
            total += (whole - self.plan.outline_at(inner, zone).area(inner)) * long / level
        return total

    def _slope(self, halves: Halves, half: float) -> float:
        """Return how much longer than its plan the level part of a course is."""
        flat = [ab for body in halves for ab in self._parted(body, half)[0]]
        level = fsum(abs(a[0] - b[0]) for a, b in flat)
        return fsum(dist(a, b) for a, b in flat) / level if level else 1.0

    def _turned(self, body: Body, half: float) -> float:
        """Return the developed area of what the plan does not show level, mm2."""
        total = 0.0
        for a, b in self._parted(body, half)[1]:
            middle = abs(a[0] + b[0]) / 2.0
            total += dist(a, b) * self.plan.outline_at(middle).girth(middle)
        return total

    def _parted(self, body: Body, half: float) -> tuple[list[Stretch], list[Stretch]]:
        """Return what of a course is seen level about the hole, and what is not.

        Not level is what stands up or down, and what lies inside the hole of the zone.
        """
        limit, edge = self.plan.footprint[2], half + _AT_HOLE
        course = course_of(body)
        outside = [*stretches(course, -limit, -edge), *stretches(course, edge, limit)]
        inside = stretches(course, -edge, edge) if half else []
        level = [ab for ab in outside if _is_level(*ab)]
        return level, [*(ab for ab in outside if not _is_level(*ab)), *inside]

    def _revolved(self, body: Body) -> float:
        if body.course is not None:
            return self._turned(body, _FAR)
        return body.region.area / (body.thickness or 1.0) * self._girth(body)

    def _girth(self, body: Body) -> float:
        middle = abs(body.region.centroid.x)
        return self.plan.outline_at(middle).girth(middle)

    def _poured(self) -> Region | None:
        parts = self.plan.layout.of_role(Role.POURED_SEALANT)
        return parts[0].region if parts else None

    def _depth(self, body: Body) -> float:
        """Return the mean depth of a fill; what lies further out goes further round."""
        x0, _, x1, _ = body.region.bounds
        middle, at = abs(x0 + x1) / 2.0, abs(body.region.centroid.x)
        ring = self.plan.outline_at(middle)
        return body.region.area * ring.girth(at) / ((x1 - x0) * ring.girth(middle))


def _is_level(a: Point, b: Point) -> bool:
    """Return whether a stretch runs outward more than it stands."""
    return abs(a[0] - b[0]) >= _LEVEL * dist(a, b)


def _mean(values: Sequence[float], things: Sequence[Body | Line]) -> float:
    """Return the sum over the left and the right side, each standing for one half."""
    sides = {_side(t) for t in things}
    return fsum(values) / len(sides)


def _side(thing: Body | Line) -> bool:
    x0, _, x1, _ = (thing if isinstance(thing, Line) else thing.region).bounds
    return x0 + x1 > 0.0


def _plan_words(zone: Region, hole: Outline | None) -> str:
    x0, y0, x1, y1 = zone.bounds
    told = f"plan {(x1 - x0) / 1000.0:.3f} x {(y1 - y0) / 1000.0:.3f} m"
    if hole:
        told += f" less the opening {square_metres(hole.ring.area)}"
    return f"{told} = {square_metres(zone.area)}"
