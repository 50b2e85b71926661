"""Unfolding a bent metal: from its centre line to legs, bends and the flat piece."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, degrees, dist, fsum

from detailgen.catalog.lookups import Bending
from detailgen.geometry import Point
from detailgen.patterns.bending import HALF_TURN, allowance, beyond_centre, setback
from detailgen.profile import Bend, Leg, Make, Turn

STRAIGHT = 0.05
"""A turn of less than this, degrees, is no bend."""
TOUCHING = 0.1
"""Plies closer than this share of the thickness lie on one another."""


@dataclass(frozen=True, slots=True)
class Corner:
    """A bend of the centre line, or a fold that takes two of its corners."""

    angle: float
    """Degrees bent through."""
    left: bool
    """The line turns to its left."""
    make: Make
    radius: float
    """Inside radius, mm."""
    before: float
    """How far the outer apex lies beyond the end of the leg before, mm."""
    after: float
    """How far it lies before the start of the leg after, mm."""
    enters: float
    """Station of the centre line at which the leg before ends, mm."""
    leaves: float
    """Station at which the leg after starts, mm."""


@dataclass(frozen=True, slots=True)
class Unfolded:
    """A bent metal laid flat."""

    legs: tuple[Leg, ...]
    bends: tuple[Bend, ...]
    width: float
    """mm."""
    corners: tuple[Corner, ...]

    def across(self, station: float) -> float:
        """Return where a station of the centre line comes to lie on the flat piece, mm.

        A station inside a bend lies in the same share of the bend's allowance.
        """
        first = 0.0
        for corner, bend, leg in zip(self.corners, self.bends, self.legs, strict=False):
            tangent = corner.enters - (bend.setback - corner.before)
            if station <= tangent:
                return leg.start + station - first
            start = corner.leaves + bend.setback - corner.after
            if station < start:
                share = (station - tangent) / (start - tangent)
                return leg.start + leg.flat + share * bend.allowance
            first = start
        return self.legs[-1].start + station - first


def tidy(points: Iterable[Point]) -> list[Point]:
    """Return a line without repeated points and those at which it goes straight on."""
    kept: list[Point] = []
    for p in points:
        if kept and dist(kept[-1], p) < 1e-6:
            continue
        if len(kept) > 1 and abs(_turn(kept[-2], kept[-1], p)) < STRAIGHT:
            kept.pop()
        kept.append(p)
    return kept


def corners(course: Sequence[Point], thickness: float, bending: Bending) -> list[Corner]:
    """Return the bends of a tidy centre line.

    Two corners to one side that make a half turn together, and leave less room between the
    plies than a bend of the metal's own radius needs, are one fold.
    """
    stations = [0.0]
    for a, b in pairwise(course):
        stations.append(stations[-1] + dist(a, b))
    turns = [
        _turn(a, b, c) for a, b, c in zip(course, course[1:], course[2:], strict=False)
    ]
    found: list[Corner] = []
    i = 0
    while i < len(turns):
        at = stations[i + 1]
        if i + 1 < len(turns) and _together(turns[i], turns[i + 1]):
            web = stations[i + 2] - at
            if web - thickness < 2.0 * bending.radius.value:
                found.append(
                    _fold(turns[i], turns[i + 1], (at, stations[i + 2]), thickness)
                )
                i += 2
                continue
        found.append(_bend(turns[i], thickness, bending.radius.value, at))
        i += 1
    return found


def unfold(
    course: Sequence[Point], thickness: float, bending: Bending, *, face_left: bool
) -> Unfolded:
    """Return a bent metal laid flat.

    Args:
        course: Its centre line, tidy.
        thickness: mm.
        bending: How its metal bends.
        face_left: Whether the face that lies up on the brake is left of the centre line.
    """
    found = corners(course, thickness, bending)
    k = bending.k.value
    ends = [0.0, *(c.leaves for c in found)]
    stops = [*(c.enters for c in found), fsum(dist(a, b) for a, b in pairwise(course))]
    legs: list[Leg] = []
    bends: list[Bend] = []
    station = 0.0
    for i, (start, stop) in enumerate(zip(ends, stops, strict=True)):
        length, taken = stop - start, 0.0
        if i:
            length, taken = length + found[i - 1].after, taken + bends[-1].setback
        if i < len(found):
            length += found[i].before
            taken += setback(found[i].angle, found[i].radius, thickness)
        legs.append(Leg(length, length - taken, station))
        station += length - taken
        if i < len(found):
            bend = _as_bent(found[i], thickness, k, station, face_left)
            bends.append(bend)
            station += bend.allowance
    return Unfolded(tuple(legs), tuple(bends), station, tuple(found))


def _as_bent(
    corner: Corner, thickness: float, k: float, station: float, face_left: bool
) -> Bend:
    """Return a corner as the shop bends it, its allowance starting at a station.

    A line that goes straight back does not say to which side: a hem is turned under.
    """
    up = corner.left is face_left and (
        corner.make is not Make.CLOSED_FOLD or corner.enters < corner.leaves
    )
    long = allowance(corner.angle, corner.radius, thickness, k)
    return Bend(
        angle=corner.angle,
        turn=Turn.UP if up else Turn.DOWN,
        make=corner.make,
        radius=corner.radius,
        setback=setback(corner.angle, corner.radius, thickness),
        allowance=long,
        at=station + long / 2.0,
    )


def _together(one: float, other: float) -> bool:
    return one * other > 0.0 and HALF_TURN <= abs(one + other) <= 360.0 - HALF_TURN


def _fold(one: float, other: float, web: tuple[float, float], thickness: float) -> Corner:
    """Return the fold of two corners; plies that nearly touch lie on one another."""
    gap = web[1] - web[0] - thickness
    clear = gap if gap > TOUCHING * thickness else 0.0
    return Corner(
        angle=180.0,
        left=one > 0.0,
        make=Make.OPEN_FOLD if clear else Make.CLOSED_FOLD,
        radius=clear / 2.0,
        before=beyond_centre(abs(one), thickness),
        after=beyond_centre(abs(other), thickness),
        enters=web[0],
        leaves=web[1],
    )


def _bend(turn: float, thickness: float, radius: float, at: float) -> Corner:
    """Return the bend of one corner; a line that goes straight back is a closed fold."""
    if abs(turn) >= HALF_TURN:
        return Corner(180.0, turn > 0.0, Make.CLOSED_FOLD, 0.0, 0.0, 0.0, at, at)
    out = beyond_centre(abs(turn), thickness)
    return Corner(abs(turn), turn > 0.0, Make.BEND, radius, out, out, at, at)


def _turn(a: Point, b: Point, c: Point) -> float:
    """Return by how many degrees a line turns to its left at b."""
    ux, uy, vx, vy = b[0] - a[0], b[1] - a[1], c[0] - b[0], c[1] - b[1]
    return degrees(atan2(ux * vy - uy * vx, ux * vx + uy * vy))
