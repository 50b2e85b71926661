"""The profile of a bent metal: what a shop needs to cut, punch and bend one piece.

Legs are outside lengths, from one outer apex (where the outer faces would meet if the bend
were sharp) to the next; a fold counts to its outer edge. Bends turn up or down as they lie
on the brake with the stated face up. Widths and stations are measured across the flat piece
from the edge at which the list of legs starts.
"""

from dataclasses import dataclass
from enum import StrEnum
from math import floor

from detailgen.geometry import Point


class Turn(StrEnum):
    """Which way a leg is bent, with the stated face up."""

    UP = "up"
    DOWN = "down"


class Make(StrEnum):
    """What a bend is."""

    BEND = "bend"
    CLOSED_FOLD = "closed fold"
    OPEN_FOLD = "open fold"


class End(StrEnum):
    """What an end of the profile is."""

    CUT = "cut edge"
    CLOSED_HEM = "closed hem"
    OPEN_HEM = "open hem"


@dataclass(frozen=True, slots=True)
class Shop:
    """How pieces are made, and how warm and cold they get."""

    piece: float
    """Length of a piece, mm."""
    temperatures: str
    """Id of the range of temperatures in the catalogue."""


@dataclass(frozen=True, slots=True)
class Leg:
    """A straight of the profile, mm."""

    length: float
    """Outside length."""
    flat: float
    """What stays flat between the tangents of its bends; below 0 there is none."""
    start: float
    """Station at which its flat starts."""


@dataclass(frozen=True, slots=True)
class Bend:
    """A bend between two legs, or a fold of 180 degrees."""

    angle: float
    """Degrees bent through."""
    turn: Turn
    make: Make
    radius: float
    """Inside radius, mm; of a fold half of the gap between its plies."""
    setback: float
    """Outside setback: from the outer apex, or a fold's outer edge, to the tangent, mm."""
    allowance: float
    """Length of the neutral fibre in the bend, mm."""
    at: float
    """Station of the middle of the bend."""

    @property
    def deduction(self) -> float:
        """By how much the flat piece is narrower than the outside legs together, mm."""
        return 2.0 * self.setback - self.allowance

    @property
    def included(self) -> float:
        """The angle between the legs, degrees."""
        return 180.0 - self.angle

    @property
    def gap(self) -> float:
        """Clear distance between the plies of a fold, mm; 0 for a bend."""
        return 0.0 if self.make is Make.BEND else 2.0 * self.radius


@dataclass(frozen=True, slots=True)
class HoleRow:
    """One row of holes through the flat piece, mm."""

    body: str
    """Id of the fastener in the section."""
    name: str
    """What a callout calls the fastener."""
    across: float
    """Station of the row."""
    diameter: float
    """Of the fastener's shank."""
    spacing: float | None
    """Along the piece; None where no layout shows the row."""
    first: float | None
    """From the end of a piece to the first hole; None where no layout shows an end."""

    def along(self, piece: float) -> tuple[float, ...]:
        """Return where the holes of a piece are, from its end, mm."""
        if self.spacing is None or self.first is None:
            return ()
        count = floor((piece - self.first) / self.spacing + 1e-9) + 1
        return tuple(self.first + i * self.spacing for i in range(count))


@dataclass(frozen=True, slots=True)
class Profile:
    """One bent metal as the shop makes it."""

    id: str
    """Id of the body in the section."""
    name: str
    material: str
    metal: str
    """Name of the metal with its gauge or thickness, as the catalogue prints it."""
    thickness: float
    """mm."""
    face: str
    """The face that lies up on the brake, in words."""
    face_left: bool
    """The stated face is on the left of the course."""
    course: tuple[Point, ...]
    """Centre line in the section, from the edge at which the list of legs starts, mm."""
    legs: tuple[Leg, ...]
    bends: tuple[Bend, ...]
    """One between each leg and the next."""
    developed: float
    """Width of the flat piece, mm."""
    k: float
    """Depth of the neutral fibre as a share of the thickness."""
    bend_sources: tuple[str, ...]
    """Sources of the neutral fibre's depth and of the inside radius."""
    piece: float
    """Length of a piece, mm."""
    movement: float
    """By how much a piece grows over the whole range of temperatures, mm."""
    gap_needed: float
    """Least joint gap, in whole steps of laying out, mm."""
    gap_drawn: float | None
    """Joint gap that a layout shows, mm; None where none does."""
    lap_drawn: float | None
    """End lap that a layout shows, mm; None where none does."""
    movement_sources: tuple[str, ...]
    """Sources of the coefficient and of the temperatures."""
    holes: tuple[HoleRow, ...]
    notes: tuple[str, ...]
    made_to_fit: bool = False
    """Made for its one place, so that it has neither a stock length nor a joint."""
    also: tuple[str, ...] = ()
    """Ids of the other bodies of the section that are made alike."""

    @property
    def start(self) -> End:
        """What the edge is at which the list of legs starts."""
        return _end(self.bends[:1], *self.legs[:2])

    @property
    def end(self) -> End:
        """What the edge is at which the list of legs ends."""
        return _end(self.bends[-1:], *self.legs[:-3:-1])

    def stagger(self, row: HoleRow) -> float | None:
        """Return how far along the piece a row's holes follow those of the first row, mm.

        None where no layout shows one of the two rows.
        """
        lead = self.holes[0]
        if row.spacing is None or row.first is None or lead.first is None:
            return None
        return (row.first - lead.first) % row.spacing

    @property
    def gap_is_tight(self) -> bool:
        """Whether a layout shows a joint gap that the metal's movement would close."""
        return self.gap_drawn is not None and self.gap_drawn < self.movement - 1e-4


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A metal without a profile, and why."""

    name: str
    reason: str
    body: str = ""
    """Id of the first such body in the section."""


@dataclass(frozen=True, slots=True)
class Shopwork:
    """All that a shop makes for one condition."""

    profiles: tuple[Profile, ...] = ()
    left_out: tuple[LeftOut, ...] = ()


NOTHING = Shopwork()


def _end(bends: tuple[Bend, ...], edge: Leg, beside: Leg | None = None) -> End:
    """Return what an end is: a fold is a hem when its edge leg is the shorter one."""
    if not bends or beside is None or edge.length >= beside.length:
        return End.CUT
    return {
        Make.BEND: End.CUT,
        Make.CLOSED_FOLD: End.CLOSED_HEM,
        Make.OPEN_FOLD: End.OPEN_HEM,
    }[bends[0].make]
