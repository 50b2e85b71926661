"""Folding: the faces of a building in space, and a flat piece folded onto them.

A face is a plane with coordinates of its own. The first panel of a piece lies on its face
with the coordinates that it has on the flat piece; every other panel is turned about the
fold by which it hangs on an earlier one.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import cos, fsum, hypot, radians, sin

from detailgen.flat import FlatPiece, Outline
from detailgen.geometry import Point

Vector = tuple[float, float, float]
"""A point or a direction in space: z is up."""


@dataclass(frozen=True, slots=True)
class Face:
    """A plane face of the building, seen from where the weather is."""

    id: str
    """As panels name it: `wall-1`, `roof`."""
    name: str
    origin: Vector
    along: Vector
    """Where x runs, a unit vector."""
    up: Vector
    """Where y runs, a unit vector square to it."""
    outline: Outline
    """What of it a view shows, in its own coordinates."""

    @property
    def out(self) -> Vector:
        """Return the direction out of the face, toward the weather."""
        return cross(self.along, self.up)

    def lift(self, point: Point) -> Vector:
        """Return where a point of the face is in space."""
        return _sum(self.origin, (point[0], self.along), (point[1], self.up))

    def flat(self, spot: Vector) -> Point:
        """Return the coordinates of the point of the face that is nearest to a spot."""
        off = _less(spot, self.origin)
        return dot(off, self.along), dot(off, self.up)

    def away(self, spot: Vector) -> float:
        """Return how far a spot lies before the face, mm; negative behind it."""
        return dot(_less(spot, self.origin), self.out)

    def mirrored(self) -> "Face":
        """Return the face of the building of the other hand; see `FlatPiece.mirrored`."""
        return replace(
            self,
            origin=_across(self.origin),
            along=scaled(_across(self.along), -1.0),
            up=_across(self.up),
            outline=tuple((-x, y) for x, y in reversed(self.outline)),
        )


@dataclass(frozen=True, slots=True)
class Pose:
    """Where the plane of a flat piece lies: its origin, and the directions of its axes."""

    origin: Vector
    x: Vector
    y: Vector

    def __call__(self, p: Point) -> Vector:
        """Return where a point of the flat piece is in space."""
        return _sum(self.origin, (p[0], self.x), (p[1], self.y))

    def turned(self, start: Point, end: Point, degrees: float) -> "Pose":
        """Return the pose turned about a line of the flat piece."""
        size = hypot(end[0] - start[0], end[1] - start[1])
        ux, uy = (end[0] - start[0]) / size, (end[1] - start[1]) / size
        axis = _sum((0.0, 0.0, 0.0), (ux, self.x), (uy, self.y))
        x, y = (_rotated(v, axis, degrees) for v in (self.x, self.y))
        fixed = self(start)
        return Pose(_sum(fixed, (-start[0], x), (-start[1], y)), x, y)


def poses(piece: FlatPiece, faces: Sequence[Face]) -> Mapping[str, Pose]:
    """Return where each panel of a piece lies when it is folded, by the panel's id.

    Empty when none of the faces is that of the first panel.
    """
    first = piece.panels[0]
    face = next((f for f in faces if f.id == first.face), None)
    if face is None:
        return {}
    found = {first.id: Pose(face.origin, face.along, face.up)}
    for fold in piece.folds:
        parent, child = fold.panels
        outline = next(p.outline for p in piece.panels if p.id == child)
        (ax, ay), (bx, by) = fold.start, fold.end
        mx = fsum(x for x, _ in outline) / len(outline) - ax
        my = fsum(y for _, y in outline) / len(outline) - ay
        left = (bx - ax) * my - (by - ay) * mx > 0.0
        # a valley lifts what is left of the line by a positive turn about it
        turn = fold.turn if left else -fold.turn
        found[child] = found[parent].turned(fold.start, fold.end, turn)
    return found


def folded(piece: FlatPiece, faces: Sequence[Face]) -> Mapping[str, tuple[Vector, ...]]:
    """Return the corners of each panel in space, by the panel's id."""
    where = poses(piece, faces)
    return {
        p.id: tuple(where[p.id](q) for q in p.outline)
        for p in piece.panels
        if p.id in where
    }


def dot(a: Vector, b: Vector) -> float:
    """Return the scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vector, b: Vector) -> Vector:
    """Return the vector product."""
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


def scaled(v: Vector, by: float) -> Vector:
    """Return a vector so many times as long."""
    return (v[0] * by, v[1] * by, v[2] * by)


def meeting(one: Face, two: Face, three: Face) -> Vector:
    """Return the point where the planes of three faces meet."""
    n1, n2, n3 = one.out, two.out, three.out
    share = dot(n1, cross(n2, n3))
    d1, d2, d3 = (dot(f.origin, f.out) for f in (one, two, three))
    top = _sum((0.0, 0.0, 0.0), (d1, cross(n2, n3)), (d2, cross(n3, n1)))
    return scaled(_sum(top, (d3, cross(n1, n2))), 1.0 / share)


def _sum(start: Vector, *steps: tuple[float, Vector]) -> Vector:
    x, y, z = start
    for size, way in steps:
        x, y, z = x + size * way[0], y + size * way[1], z + size * way[2]
    return (x, y, z)


def _less(a: Vector, b: Vector) -> Vector:
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def _across(v: Vector) -> Vector:
    return (-v[0], v[1], v[2])


def _rotated(v: Vector, axis: Vector, degrees: float) -> Vector:
    """Return a vector turned about an axis through the origin (Rodrigues)."""
    c, s = cos(radians(degrees)), sin(radians(degrees))
    along = dot(axis, v) * (1.0 - c)
    return _sum((0.0, 0.0, 0.0), (c, v), (s, cross(axis, v)), (along, axis))
