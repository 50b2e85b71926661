"""Measuring one piece that goes through a wall: a scupper.

Its plan is unfolded about the foot of the wall: the roof below y = 0, the wall above. What
goes on along the wall or into the roof field is counted over the width of the strip-in.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import dist, fsum
from typing import Final

from detailgen.geometry import Region
from detailgen.geometry.measures import stretches
from detailgen.geometry.regions import box, clip
from detailgen.quantity import Per
from detailgen.section import Body, Coat, Joint, Role
from detailgen.takeoff._along import length_between
from detailgen.takeoff._found import (
    PLAN,
    Blanks,
    Found,
    Halves,
    course_of,
    metres,
    square_metres,
    summed,
)
from detailgen.takeoff._plan import Plan

_FAR: Final = 1e6


@dataclass(frozen=True, slots=True)
class Through:
    """One piece that goes through a wall."""

    plan: Plan
    per: Per = Per.PIECE
    source: str = PLAN

    @property
    def width(self) -> float:
        """Width along the wall over which sheets are counted, mm."""
        return self.plan.footprint[2] - self.plan.footprint[0]

    @property
    def opening(self) -> tuple[float, float]:
        """Clear width and height of the opening, mm."""
        part = next(p for p in self.plan.layout.parts if p.id == "opening")
        x0, y0, x1, y1 = part.region.bounds
        return x1 - x0, y1 - y0

    def sheet(self, halves: Halves) -> Found:
        """Return the area of a sheet by its zone; of the liner, its flange and its tube."""
        if halves[0].role is Role.LINER:
            return self._liner(halves)
        zone = self.plan.zone(halves)
        if zone is None or halves[0].role is Role.COUNTERFLASHING:
            girth = fsum(_length(b) for b in halves)
            return Found(
                girth * self.width / 1e6, f"girth {metres(girth)} x {metres(self.width)}"
            )
        if zone.bounds[1] >= 0.0:
            return Found(zone.area / 1e6, f"zone {square_metres(zone.area)}")
        slope, turned = self._on_roof(halves)
        told = f"zone {square_metres(zone.area)}, x {slope:.4f} along the slope"
        if turned > 1.0:
            told += f", + {square_metres(turned)} turned up or into the opening"
        return Found((zone.area * slope + turned) / 1e6, told)

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
        """Return the volume of a bed: under the flange, and along the floor of the tube."""
        area = fsum(self._bedded(b) for b in halves)
        thick = fsum(b.region.area for b in halves) / fsum(_length(b) for b in halves)
        return Found(
            area * thick / 1e6,
            f"{square_metres(area)} x mean thickness {thick:.2f} mm (all coats together",
        )

    def bead(self, halves: Halves) -> Found:
        """Return the length of a bead: about the outer flange, along wall or opening."""
        wide, high = self.opening
        flange = halves[0].region.bounds[1] - self._head()
        if halves[0].id.startswith("outer"):
            length = wide + 2.0 * high + 4.0 * max(flange, 0.0)
            return Found(length / 1000.0, f"{metres(length)} over the head and down sides")
        length = self.width if halves[0].id.startswith("reglet") else wide
        return Found(length / 1000.0, f"{metres(length)} long")

    def fill(self, halves: Halves) -> Found:
        """Return the volume of a fill over the width of the opening."""
        wide, _ = self.opening
        area = fsum(b.region.area for b in halves)
        return Found(area * wide / 1e6, f"section {area / 100.0:.2f} cm2 x {metres(wide)}")

    def run(self, halves: Halves) -> Found:
        """Return the length of a strip or of lumber along the wall."""
        length = self.width * len(halves)
        return Found(length / 1000.0, f"{len(halves)} x {metres(self.width)}")

    def coat(self, coats: Sequence[Coat]) -> Found:
        """Return the area of primer: on the wall under its sheet, or on the flange."""
        bodies = [self.plan.section.body(c.body) for c in coats]
        if any(b is not None and b.role is Role.LINER for b in bodies):
            faces = max(sum(c.body == b for c in coats) for b in {c.body for c in coats})
            area = fsum(r.area for r in self._flange(-_FAR, _FAR))
            return Found(
                area * faces / 1e6, f"flange {square_metres(area)} x {faces} faces"
            )
        wall = self._on_wall()
        if wall is not None:
            return Found(
                wall.area / 1e6, f"wall under its sheet {square_metres(wall.area)}"
            )
        length = fsum(c.line.length for c in coats)
        return Found(length * self.width / 1e6, f"{metres(length)} x {metres(self.width)}")

    def spread(self, joints: Sequence[Joint]) -> Found:
        """Return the area over which sheets are stuck: each by its share of its course."""
        area = 0.0
        bodies = {b.id: b for b in self.plan.section.bodies}
        for joint in joints:
            upper = bodies[joint.upper]
            x0 = self._start(upper)
            share = length_between(joint.line, x0, _FAR) / max(self._long(upper), 1e-9)
            area += share * self.sheet((upper,)).amount * 1e6
        return Found(area / 1e6, f"stuck areas, {square_metres(area)} in all")

    def _liner(self, halves: Halves) -> Found:
        """Return flange and tube: floor and head by their courses, sides by height."""
        wide, high = self.opening
        on_roof, on_wall = self._flanges()
        runs = [
            max(_length(b) - f, 0.0)
            for b, f in zip(halves, (on_roof, on_wall), strict=False)
        ]
        floor, head = runs[0], runs[-1]
        flange = fsum(r.area for r in self._flange(-_FAR, _FAR))
        tube = wide * (floor + head) + 2.0 * high * head
        return Found(
            (flange + tube) / 1e6,
            f"flange {square_metres(flange)} + tube: {metres(wide)} wide x "
            f"({summed([floor, head])} floor and head) + 2 x {metres(high)} x "
            f"{metres(head)} sides",
        )

    def _flanges(self) -> tuple[float, float]:
        """Return how wide the flange is on the roof, and on the wall over the opening."""
        zone = [r.bounds for r in self._flange(-_FAR, _FAR)]
        opening = next(p for p in self.plan.layout.parts if p.id == "opening")
        top = opening.region.bounds[3]
        return -min(b[1] for b in zone), max(b[3] for b in zone) - top

    def _flange(self, low: float, high: float) -> list[Region]:
        parts = [p for p in self.plan.layout.of_role(Role.LINER) if "flange" in p.id]
        window = box(-_FAR, low, _FAR, high)
        return [r for p in parts for r in clip(p.region, window)]

    def _bedded(self, body: Body) -> float:
        """Return the area of a bed: on the wall, or on the roof and in the throat."""
        wide, _ = self.opening
        x0, y0, x1, y1 = body.region.bounds
        sheet = self._on_wall()
        if x1 - x0 < 0.5 * (y1 - y0):  # it stands on the face of the wall
            under_flange = body.id.startswith("wall")
            zone = self._flange(0.0, _FAR) if under_flange else [sheet] if sheet else []
            return fsum(r.area for r in zone)
        on_roof, _ = self._flanges()
        return fsum(r.area for r in self._flange(-_FAR, 0.0)) + wide * max(
            _length(body) - on_roof, 0.0
        )

    def _on_wall(self) -> Region | None:
        sheets = self.plan.section.of_role(Role.FLASHING)
        return self.plan.zone(sheets[:1]) if sheets else None

    def _head(self) -> float:
        heads = self.plan.section.of_role(Role.LINER)
        return min((b.region.bounds[1] for b in heads[-1:]), default=0.0)

    def _on_roof(self, halves: Halves) -> tuple[float, float]:
        """Return how much longer than its plan a sheet on the roof is, and what it turns.

        What stands up, or goes into the wall, is as wide as the opening.
        """
        long = level = turned = 0.0
        for body in halves:
            for a, b in stretches(course_of(body), self._start(body), _FAR):
                if abs(a[0] - b[0]) < 0.5 * dist(a, b) or a[0] >= 0.0:
                    turned += dist(a, b)
                else:
                    long, level = long + dist(a, b), level + abs(a[0] - b[0])
        return long / level if level else 1.0, turned * self.opening[0]

    def _start(self, body: Body) -> float:
        """Return from where a body is counted: it may go on into the roof field."""
        return max(float(body.region.bounds[0]), self.plan.footprint[1])

    def _long(self, body: Body) -> float:
        return length_between(course_of(body), self._start(body), _FAR)


def _length(body: Body) -> float:
    """Return the developed length of a body in the section, mm."""
    if body.course is not None:
        return body.course.length
    return body.region.area / (body.thickness or 1.0)
