"""The faces of a corner in space, as far as a view shows them.

The arris is the z axis and the roof is z = 0; wall 1 runs along +x with the roof before it
at y < 0. Coordinates on the faces are those of the strips in `_faces`.
"""

from math import cos, fsum, radians, sin

from detailgen.flat import Outline
from detailgen.folding import Face, Vector
from detailgen.geometry import Point
from detailgen.patterns._faces import Corner, CornerKind

_UP: Vector = (0.0, 0.0, 1.0)


def corner_faces(
    kind: CornerKind,
    angle_deg: float,
    cant: tuple[float, float],
    shown: tuple[float, float, float],
) -> tuple[Face, ...]:
    """Return walls, cants and roof of a corner.

    Args:
        kind: `inside` or `outside`.
        angle_deg: Plan angle between the two wall faces, less than 180 in both kinds.
        cant: Height and run of the cant.
        shown: How far along the walls, up from the cant and out from its toe a view goes.
    """
    c = Corner(kind, angle_deg, *cant)
    far, up, out = shown
    away = radians(angle_deg)
    second = (cos(away), sin(away) * (-1.0 if kind == "inside" else 1.0))
    ways = {1: (1.0, 0.0), 2: (-second[0], -second[1])}  # where x runs along each wall
    found: list[Face] = []
    for i in (1, 2):
        (ax, ay), sign = ways[i], 1.0 if i == 1 else -1.0
        along, out_of = (ax, ay, 0.0), (ay, -ax, 0.0)
        end = sign * far
        top = c.slant + up
        wall = _ring((0.0, c.slant), (end, c.slant), (end, top), (0.0, top))
        found.append(
            Face(f"wall-{i}", "Wall", (0.0, 0.0, c.height - c.slant), along, _UP, wall)
        )
        slope = (
            -out_of[0] * c.run / c.slant,
            -out_of[1] * c.run / c.slant,
            c.height / c.slant,
        )
        toe = c.toe1 if i == 1 else c.toe2
        foot = (out_of[0] * c.run, out_of[1] * c.run, 0.0)
        cant_face = _ring(c.vertex, toe, (end, 0.0), (end, c.slant))
        found.append(Face(f"cant-{i}", "Cant", foot, along, slope, cant_face))
    found.append(
        Face(
            "roof",
            "Roof",
            (0.0, -c.run, 0.0),
            (1.0, 0.0, 0.0),
            (0.0, 1.0, 0.0),
            _roof(c, far, out),
        )
    )
    return tuple(found)


def _roof(c: Corner, far: float, out: float) -> Outline:
    into = c.strip2_in_roof
    mitred = c.skew * (c.run + out)
    return _ring(
        c.toe1,
        (far, 0.0),
        (far, -out),
        (mitred, -out),
        into((-far, -out)),
        into((-far, 0.0)),
    )


def _ring(*points: Point) -> Outline:
    """Return a ring that runs counter-clockwise."""
    turns = zip(points, (*points[1:], points[0]), strict=True)
    area = fsum(a[0] * b[1] - b[0] * a[1] for a, b in turns)
    return points if area > 0.0 else tuple(reversed(points))
