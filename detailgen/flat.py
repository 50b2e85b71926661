"""Flat pieces: sheets as they are cut, before they are folded into place.

A piece is drawn face up: the reader looks at the side that will see the weather. x runs to
the right and y up the wall, in true millimetres. Whoever makes a piece says in its notes
what its coordinates start from.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from math import acos, degrees, dist, fsum

from detailgen.geometry import Point

Outline = tuple[Point, ...]
"""A closed ring, counter-clockwise, without repeating the first point."""


@dataclass(frozen=True, slots=True)
class Panel:
    """The part of a piece between its folds, which lies on one face of the building."""

    id: str
    """Unique in its piece: `wall`, `cant-tab`."""
    face: str
    """The face it lies on: `wall-1`, `cant-2`, `roof`."""
    outline: Outline


@dataclass(frozen=True, slots=True)
class Fold:
    """A line about which two panels are folded."""

    id: str
    start: Point
    end: Point
    panels: tuple[str, str]
    """Ids of the two panels, the one that is set first before the other."""
    turn: float
    """Degrees from flat; positive brings the panels toward each other's faces (a valley),
    negative their backs (a ridge)."""

    @property
    def length(self) -> float:
        """Length of the fold, mm."""
        return dist(self.start, self.end)


@dataclass(frozen=True, slots=True)
class Cut:
    """A relief cut: from the edge of the piece in to a point where three faces meet.

    Its two sides start at the same tip. Where they run together nothing is taken out;
    where they open, the wedge between them is waste.
    """

    id: str
    tip: Point
    ends: tuple[Point, Point]

    @property
    def length(self) -> float:
        """Length of the longer side, mm."""
        return max(dist(self.tip, end) for end in self.ends)

    @property
    def opening(self) -> float:
        """Angle between the two sides, degrees."""
        return angle_at(self.tip, *self.ends)


@dataclass(frozen=True, slots=True)
class Zone:
    """A part of one panel of a piece."""

    panel: str
    outline: Outline


@dataclass(frozen=True, slots=True)
class Overlap:
    """Where a piece shares its place with another piece of the same sheet."""

    piece: str
    """Id of the other piece."""
    under: bool
    """True: the other piece lands on this one; false: this one lies on it."""
    panel: str
    outline: Outline


@dataclass(frozen=True, slots=True)
class TrueLength:
    """A length worth a dimension on the pattern."""

    id: str
    start: Point
    end: Point
    label: str

    @property
    def value(self) -> float:
        """The length, mm."""
        return dist(self.start, self.end)


@dataclass(frozen=True, slots=True)
class TrueAngle:
    """An angle worth a dimension on the pattern, between the directions to two points."""

    id: str
    at: Point
    first: Point
    second: Point
    label: str

    @property
    def value(self) -> float:
        """The angle, degrees, from 0 to 180."""
        return angle_at(self.at, self.first, self.second)


@dataclass(frozen=True, slots=True)
class FlatPiece:
    """One sheet as it is cut, with all that is marked on it."""

    id: str
    sheet: str
    """Id of the sheet that it is a piece of: `flashing`."""
    name: str
    outline: Outline
    """What is cut out; a cut without waste is not in it."""
    panels: tuple[Panel, ...]
    """In the order of setting."""
    folds: tuple[Fold, ...]
    cuts: tuple[Cut, ...] = ()
    holes: tuple[Outline, ...] = ()
    prime: tuple[Zone, ...] = ()
    """Where the face is primed, because a later sheet lands on it."""
    overlaps: tuple[Overlap, ...] = ()
    points: Mapping[str, Point] = field(default_factory=dict[str, Point])
    lengths: tuple[TrueLength, ...] = ()
    angles: tuple[TrueAngle, ...] = ()
    dabs: tuple[Point, ...] = ()
    """Where a touch of sealant closes a pinhole."""
    notes: tuple[str, ...] = ()
    roll: float = 0.0
    """Width of the roll that it is cut from, mm; 0 where that is not known."""
    set_out: bool = True
    """Whether its corners are told, to set it out by; else its dimensions say it all."""

    def panel(self, panel_id: str) -> Panel | None:
        """Return the panel with this id, or None."""
        return next((p for p in self.panels if p.id == panel_id), None)

    @property
    def area(self) -> float:
        """Area of the sheet that is left after cutting, mm2."""
        return ring_area(self.outline) - fsum(abs(ring_area(h)) for h in self.holes)

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the blank that it is cut from, mm."""
        xs, ys = zip(*self.outline, strict=True)
        return (max(xs) - min(xs), max(ys) - min(ys))

    def edges(self) -> tuple[tuple[Point, Point], ...]:
        """Return the edges of the outline, counter-clockwise."""
        return tuple(pairwise((*self.outline, self.outline[0])))

    def mirrored(self) -> "FlatPiece":
        """Return the piece for the corner of the other hand, its left and right exchanged.

        A valley stays a valley, and every length and angle stays what it is.
        """
        return replace(
            self,
            outline=_ring(self.outline),
            panels=tuple(replace(p, outline=_ring(p.outline)) for p in self.panels),
            folds=tuple(
                replace(f, start=_flip(f.end), end=_flip(f.start)) for f in self.folds
            ),
            cuts=tuple(
                replace(c, tip=_flip(c.tip), ends=(_flip(c.ends[1]), _flip(c.ends[0])))
                for c in self.cuts
            ),
            holes=tuple(_ring(h) for h in self.holes),
            prime=tuple(replace(z, outline=_ring(z.outline)) for z in self.prime),
            overlaps=tuple(replace(o, outline=_ring(o.outline)) for o in self.overlaps),
            points={name: _flip(p) for name, p in self.points.items()},
            lengths=tuple(
                replace(n, start=_flip(n.end), end=_flip(n.start)) for n in self.lengths
            ),
            angles=tuple(
                replace(a, at=_flip(a.at), first=_flip(a.second), second=_flip(a.first))
                for a in self.angles
            ),
            dabs=tuple(_flip(p) for p in self.dabs),
        )


def ring_area(ring: Sequence[Point]) -> float:
    """Return the area inside a ring, mm2; positive when it runs counter-clockwise."""
    closed = (*ring, *ring[:1])
    return fsum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(closed)) / 2.0


def angle_at(at: Point, first: Point, second: Point) -> float:
    """Return the angle between the directions to two points, degrees, from 0 to 180."""
    ux, uy = first[0] - at[0], first[1] - at[1]
    vx, vy = second[0] - at[0], second[1] - at[1]
    cosine = (ux * vx + uy * vy) / (dist(at, first) * dist(at, second))
    return degrees(acos(min(max(cosine, -1.0), 1.0)))


def _flip(p: Point) -> Point:
    return (-p[0], p[1])


def _ring(ring: Outline) -> Outline:
    return tuple(_flip(p) for p in reversed(ring))
