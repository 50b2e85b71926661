"""What a measurement gives, and what every way of measuring a section offers."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Protocol

from detailgen.geometry import Line
from detailgen.quantity import Per
from detailgen.section import RIGHT, Body, Coat, Joint, Layout, Part, Role

GEOMETRY: Final = "geometry of the section"
"""Source of a quantity that is measured on the section alone and takes no rate."""
PLAN: Final = "geometry of the section and its plan"
"""Source of a quantity of one piece, which takes its plan as well."""
FIELD: Final = frozenset({Role.BASE_PLY, Role.FINISH_PLY})
"""What the roof field is made of as well."""
AT_SIDE: Final = 1.0
"""What comes this near, mm, to the side of a drawing goes on beyond it."""
Halves = tuple[Body, ...]
"""Bodies of a section that are one thing: its left and its right half, say."""

Blanks = tuple[tuple[float, float], ...]
"""Widths and depths, mm, of the rectangles that the pieces of a sheet are cut from."""


@dataclass(frozen=True, slots=True)
class Found:
    """An amount for one metre or one piece, and how it was found."""

    amount: float
    told: str


class Ways(Protocol):
    """How the amounts of one metre, or of one piece, are measured."""

    @property
    def per(self) -> Per:
        """For how much of the condition the amounts are."""
        ...

    @property
    def source(self) -> str:
        """Source of what is measured."""
        ...

    def sheet(self, halves: Halves) -> Found:
        """Return the area, m2, that is cut for a sheet or a metal, without laps."""
        ...

    def widths(self, halves: Halves) -> tuple[float, ...]:
        """Return the developed widths, mm, of the strips of a run; nothing of a piece."""
        ...

    def blanks(self, halves: Halves) -> Blanks:
        """Return width and depth, mm, of what a sheet is cut from; nothing of a run."""
        ...

    def lapped(self, halves: Halves) -> float:
        """Return the area, m2, on which pieces of one sheet lie double; 0 of a run."""
        ...

    def bed(self, halves: Halves) -> Found:
        """Return the volume of a bed of cement, L."""
        ...

    def bead(self, halves: Halves) -> Found:
        """Return the length of a bead, m; its section is the body's."""
        ...

    def fill(self, halves: Halves) -> Found:
        """Return the volume of what is poured, L."""
        ...

    def run(self, halves: Halves) -> Found:
        """Return the length of a strip or of lumber, m, all its halves together."""
        ...

    def coat(self, coats: Sequence[Coat]) -> Found:
        """Return the area of a coat, m2, all its faces together."""
        ...

    def spread(self, joints: Sequence[Joint]) -> Found:
        """Return the area over which sheets are stuck, m2."""
        ...


def metres(length: float) -> str:
    """Return a length in mm as text in metres, for a formula."""
    return f"{length / 1000.0:.3f} m"


def summed(lengths: Sequence[float]) -> str:
    """Return lengths in mm as a sum in metres: `0.449 m`, `0.449 + 0.437 m`."""
    return f"{' + '.join(f'{x / 1000.0:.3f}' for x in lengths)} m"


def square_metres(area: float) -> str:
    """Return an area in mm2 as text in square metres, for a formula."""
    return f"{area / 1e6:.4f} m2"


def stem(body: Body) -> str:
    """Return the id that the halves of one thing share."""
    return body.id.removesuffix(RIGHT).removesuffix("-lap")


def course_of(body: Body) -> Line:
    """Return the course of a body, or the level line that stands for it."""
    if body.course is not None:
        return body.course
    x0, y0, x1, _ = body.region.bounds
    return Line([(x0, y0), (x1, y0)])


def common_name(halves: Halves) -> str:
    """Return what the names of the halves share, up to a comma."""
    names = [b.name.split(", ") for b in halves]
    shared = [words[0] for words in zip(*names, strict=False) if len(set(words)) == 1]
    return ", ".join(shared) or halves[0].name


def ids(halves: Halves) -> tuple[str, ...]:
    """Return the ids of bodies."""
    return tuple(b.id for b in halves)


def window(layout: Layout) -> tuple[float, float, float, float]:
    """Return the sides of all that a layout shows: left, low, right, high."""
    boxes = [p.region.bounds for p in layout.parts]
    return (
        min(b[0] for b in boxes),
        min(b[1] for b in boxes),
        max(b[2] for b in boxes),
        max(b[3] for b in boxes),
    )


def reaches(part: Part, sides: tuple[float, float, float, float]) -> bool:
    """Return whether a part of a layout goes on beyond its left or right side."""
    x0, _, x1, _ = part.region.bounds
    return x0 <= sides[0] + AT_SIDE or x1 >= sides[2] - AT_SIDE
