"""Measuring a section that is the same all along: amounts of one metre.

The roof field is measured elsewhere, by its plan area. What is counted here starts where
the first piece that belongs to the condition alone starts: a strip-in, a flashing sheet, a
prepared band, a flange, a cant; and it ends where the last of them ends, if the field goes
on beyond on that side too. So the result does not depend on how much of the field is drawn.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import dist, fsum, inf
from typing import Final

from detailgen.geometry import Line
from detailgen.geometry.measures import area_between, stretches
from detailgen.quantity import Per
from detailgen.section import METALS, SHEETS, WOOD, Body, Coat, Joint, LayeredSection, Role
from detailgen.takeoff._found import (
    AT_SIDE,
    FIELD,
    GEOMETRY,
    Blanks,
    Found,
    Halves,
    metres,
    summed,
)

AGREE: Final = 0.05
"""Part by which the length of a course and area / thickness may differ."""
_OWN: Final = (SHEETS | METALS | WOOD) - FIELD | {Role.CANT, Role.CEMENT}


@dataclass(frozen=True, slots=True)
class Along:
    """One metre of a section that is the same all along."""

    section: LayeredSection
    start: float
    """x, mm, from which the condition takes material; further left is the roof field."""
    end: float
    """x up to which it does; infinite where no roof field goes on at the right."""
    per: Per = Per.METRE
    source: str = GEOMETRY

    def width(self, body: Body) -> tuple[float, str]:
        """Return the developed width of a sheet or a metal, mm, and how it was found.

        The length of its course, held against area / thickness: a body that was cut after
        it was laid still has the course of the whole, and then the area decides.
        """
        left, right = _goes_on(self.section, body)
        low, high = self.start if left else -inf, self.end if right else inf
        thick = body.thickness or 1.0
        from_area = area_between(body.region, low, high) / thick
        where = "to where the roof field starts" if left or right else ""
        if body.course is not None:
            along = length_between(body.course, low, high)
            if abs(along - from_area) <= AGREE * max(along, from_area):
                return along, _words("along its course", where)
        return from_area, _words(f"section area / {thick:.3g} mm", where)

    def sheet(self, halves: Halves) -> Found:
        """Return the developed widths of a sheet or a metal, a metre long."""
        found = [self.width(b) for b in halves]
        how = "; ".join(dict.fromkeys(told for _, told in found))
        widths = [w for w, _ in found]
        return Found(fsum(widths) / 1000.0, f"{summed(widths)} wide ({how}) x 1 m")

    def widths(self, halves: Halves) -> tuple[float, ...]:
        """Return the developed width of every half, mm."""
        return tuple(self.width(b)[0] for b in halves)

    def blanks(self, halves: Halves) -> Blanks:
        """Return nothing: laps come every so many metres."""
        del halves
        return ()

    def lapped(self, halves: Halves) -> float:
        """Return 0: laps come every so many metres."""
        del halves
        return 0.0

    def bed(self, halves: Halves) -> Found:
        """Return the volume of a bed by the area of its section."""
        areas = " + ".join(f"{b.region.area / 100.0:.2f}" for b in halves)
        widths = [self.width(b)[0] for b in halves]
        return Found(
            fsum(b.region.area for b in halves) / 1000.0,
            f"section of the bed {areas} cm2 x 1 m ({summed(widths)} wide, all coats "
            "together",
        )

    def bead(self, halves: Halves) -> Found:
        """Return the length of a bead: a metre for every one that is seen in section."""
        return Found(float(len(halves)), _each(halves))

    def fill(self, halves: Halves) -> Found:
        """Return the volume of what is filled in by the area of its section."""
        areas = " + ".join(f"{b.region.area / 100.0:.2f}" for b in halves)
        litres = fsum(b.region.area for b in halves) / 1000.0
        return Found(litres, f"section {areas} cm2 x 1 m")

    def run(self, halves: Halves) -> Found:
        """Return the length of a strip: a metre for every one that is seen in section."""
        return Found(float(len(halves)), _each(halves))

    def coat(self, coats: Sequence[Coat]) -> Found:
        """Return the area of a coat by its developed width."""
        return self._strip([c.line for c in coats])

    def spread(self, joints: Sequence[Joint]) -> Found:
        """Return the area over which sheets are stuck, by the length of their joints."""
        return self._strip([j.line for j in joints])

    def _strip(self, lines: Sequence[Line]) -> Found:
        width = fsum(length_between(x, self.start, self.end) for x in lines)
        return Found(width / 1000.0, f"{metres(width)} wide x 1 m")


def along(section: LayeredSection) -> Along:
    """Return a section that is the same all along, ready to be measured."""
    left, _, right, _ = section.extent.bounds
    boxes = [b.region.bounds for b in section.bodies if b.role in _OWN]
    boxes += [c.line.bounds for c in section.coats]
    lefts = [b[0] for b in boxes if b[0] > left + AT_SIDE]
    rights = [b[2] for b in boxes if b[2] < right - AT_SIDE]
    both = any(_goes_on(section, b)[1] for b in section.of_role(*FIELD))
    end = max(rights, default=right) if both else inf
    return Along(section, min(lefts, default=left), end)


def length_between(line: Line, low: float, high: float) -> float:
    """Return how much of a polyline lies between two x, mm."""
    return fsum(dist(a, b) for a, b in stretches(line, low, high))


def _goes_on(section: LayeredSection, body: Body) -> tuple[bool, bool]:
    """Return whether a body goes on as the roof field, to the left and to the right."""
    left, _, right, _ = section.extent.bounds
    x0, _, x1, _ = body.region.bounds
    return x0 <= left + AT_SIDE, body.role in FIELD and x1 >= right - AT_SIDE


def _each(halves: Halves) -> str:
    return "one run" if len(halves) == 1 else f"{len(halves)} x 1 m"


def _words(*parts: str) -> str:
    return ", ".join(p for p in parts if p)
