"""Moves of the plane and convex shapes, for developing one face beside another."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import dist, hypot

from detailgen.flat import ring_area
from detailgen.geometry import Point

SAME = 1e-7
"""Points closer than this, mm, are one point."""
SMALLEST = 1e-3
"""Shapes with less area than this, mm2, are nothing."""
DIGITS = 9
"""Decimals of a mm that are kept."""


@dataclass(frozen=True, slots=True)
class Motion:
    """A turn about the origin, then a shift; lengths and angles stay what they are."""

    cos: float = 1.0
    sin: float = 0.0
    dx: float = 0.0
    dy: float = 0.0

    def __call__(self, p: Point) -> Point:
        """Return where a point comes to lie."""
        x, y = self.turned(p)
        return (x + self.dx, y + self.dy)

    def turned(self, v: Point) -> Point:
        """Return a direction after the turn."""
        return (self.cos * v[0] - self.sin * v[1], self.sin * v[0] + self.cos * v[1])

    def inverse(self) -> "Motion":
        """Return the motion back."""
        x, y = Motion(self.cos, -self.sin).turned((self.dx, self.dy))
        return Motion(self.cos, -self.sin, -x, -y)

    def after(self, first: "Motion") -> "Motion":
        """Return one motion that does `first` and then this."""
        dx, dy = self((first.dx, first.dy))
        return Motion(
            self.cos * first.cos - self.sin * first.sin,
            self.sin * first.cos + self.cos * first.sin,
            dx,
            dy,
        )

    @staticmethod
    def laying(a: Point, b: Point, on: Point, toward: Point) -> "Motion":
        """Return the motion that lays `a` on a point, with `b` in a direction from it."""
        ux, uy = b[0] - a[0], b[1] - a[1]
        vx, vy = toward[0] - on[0], toward[1] - on[1]
        scale = hypot(ux, uy) * hypot(vx, vy)
        turn = Motion((ux * vx + uy * vy) / scale, (ux * vy - uy * vx) / scale)
        x, y = turn.turned(a)
        return Motion(turn.cos, turn.sin, on[0] - x, on[1] - y)


STAY = Motion()


@dataclass(frozen=True, slots=True)
class Side:
    """A straight limit: the points with a * x + b * y at most c, (a, b) a unit vector."""

    a: float
    b: float
    c: float

    def beyond(self, p: Point) -> float:
        """Return how far a point lies beyond the limit, mm; negative inside."""
        return self.a * p[0] + self.b * p[1] - self.c

    def moved(self, motion: Motion) -> "Side":
        """Return the limit where a motion takes it."""
        a, b = motion.turned((self.a, self.b))
        return Side(a, b, self.c + a * motion.dx + b * motion.dy)

    def pushed(self, by: float) -> "Side":
        """Return the limit further out."""
        return Side(self.a, self.b, self.c + by)

    def other(self) -> "Side":
        """Return the limit that keeps what this one cuts off."""
        return Side(-self.a, -self.b, -self.c)


def left_of(a: Point, b: Point) -> Side:
    """Return the limit that keeps what lies to the left of the way from `a` to `b`."""
    size = dist(a, b)
    nx, ny = (b[1] - a[1]) / size, (a[0] - b[0]) / size
    return Side(nx, ny, nx * a[0] + ny * a[1])


def right_of(a: Point, b: Point) -> Side:
    """Return the limit that keeps what lies to the right of the way from `a` to `b`."""
    return left_of(b, a)


def x_from(x: float) -> Side:
    """Return the limit that keeps what lies to the right of x."""
    return Side(-1.0, 0.0, -x)


def x_to(x: float) -> Side:
    """Return the limit that keeps what lies to the left of x."""
    return Side(1.0, 0.0, x)


def y_from(y: float) -> Side:
    """Return the limit that keeps what lies above y."""
    return Side(0.0, -1.0, -y)


def y_to(y: float) -> Side:
    """Return the limit that keeps what lies below y."""
    return Side(0.0, 1.0, y)


def clipped(ring: Sequence[Point], side: Side) -> list[Point]:
    """Return what of a convex ring lies within a limit."""
    kept: list[Point] = []
    for p, q in pairwise([*ring, *ring[:1]]):
        over_p, over_q = side.beyond(p), side.beyond(q)
        if over_p <= 0.0:
            kept.append(p)
        if min(over_p, over_q) < 0.0 < max(over_p, over_q):
            t = over_p / (over_p - over_q)
            kept.append((p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])))
    return kept


def tidy(ring: Sequence[Point]) -> list[Point]:
    """Return a ring without repeated points."""
    kept: list[Point] = []
    for p in ring:
        if not kept or dist(kept[-1], p) > SAME:
            kept.append(p)
    while len(kept) > 1 and dist(kept[0], kept[-1]) <= SAME:
        kept.pop()
    return kept


def rounded(ring: Iterable[Point]) -> tuple[Point, ...]:
    """Return a ring without the noise of computing."""
    return tuple((round(x, DIGITS) + 0.0, round(y, DIGITS) + 0.0) for x, y in ring)


def within(sides: Iterable[Side], room: float) -> tuple[Point, ...]:
    """Return the convex shape within limits; empty where they leave nothing.

    Args:
        sides: The limits.
        room: Half the width of a square about the origin that surely holds the shape.
    """
    ring = [(-room, -room), (room, -room), (room, room), (-room, room)]
    for side in sides:
        ring = clipped(ring, side)
    ring = tidy(rounded(ring))
    return tuple(ring) if len(ring) > 2 and ring_area(ring) > SMALLEST else ()


def shared(one: Sequence[Point], other: Sequence[Point]) -> tuple[Point, ...]:
    """Return what two convex rings have in common; empty where that is nothing."""
    ring = list(one)
    for a, b in pairwise([*other, *other[:1]]):
        ring = clipped(ring, left_of(a, b))
    ring = tidy(ring)
    return tuple(ring) if len(ring) > 2 and ring_area(ring) > SMALLEST else ()
