"""The plan of a corner: walls, mitred cants, zones of sheets, pieces of the flashing."""

from collections.abc import Iterable, Sequence

from detailgen.flat import FlatPiece
from detailgen.folding import Face, Vector, folded, meeting
from detailgen.geometry import Point, Region
from detailgen.geometry.regions import merged, polygon
from detailgen.section import Axis, Body, Gauge, Layout, Part, Role

VIEW = "corner-plan"
_SET = ("set first", "set second", "set third")
_NAMES = {"corner": "Corner piece", "patch": "Patch", "next": "Next piece"}


def corner_plan(
    title: str,
    pieces: Sequence[FlatPiece],
    faces: Sequence[Face],
    sheets: Sequence[Body],
    wall_thickness: float,
) -> Layout:
    """Return the plan; x and y are those of space.

    Args:
        title: Of the view.
        pieces: In the order of setting.
        faces: Of the corner.
        sheets: The bodies that the pieces are cut for, in the order of building.
        wall_thickness: Of both walls.
    """
    by = {f.id: f for f in faces}
    parts = [
        Part(
            "wall", Role.WALL, "Wall", _walls(by["wall-1"], by["wall-2"], wall_thickness), 0
        )
    ]
    parts += [
        Part(f"cant-{i}", Role.CANT, "Cant", _seen(by[f"cant-{i}"]), 0, hidden=True)
        for i in (1, 2)
    ]
    top = sheets[-1].id
    for body in sheets:
        own = [p for p in pieces if p.sheet == body.id]
        if body.id != top:
            zone = merged([r for p in own for r in _on_plan(p, faces)])
            parts.append(
                Part(f"{body.id}-zone", body.role, body.name, zone, 1, hidden=True)
            )
            continue
        for n, piece in enumerate(own):
            name = f"{_NAMES[piece.id.rsplit('-', 1)[1]]} of the {body.role}, {_SET[n]}"
            seen = merged(_on_plan(piece, faces))
            parts.append(Part(f"{piece.id}-piece", body.role, name, seen, 2 + n))
    points = _points(by, pieces, top)
    return Layout(VIEW, title, tuple(parts), (), points, _GAUGES, close=True)


def _flat(spots: Iterable[Vector]) -> list[Point]:
    return [(x, y) for x, y, _ in spots]


def _seen(face: Face) -> Region:
    return polygon(_flat(face.lift(p) for p in face.outline))


def _on_plan(piece: FlatPiece, faces: Sequence[Face]) -> list[Region]:
    """Return what a plan shows of a piece: all but what stands on the walls."""
    where = folded(piece, faces)
    return [
        polygon(_flat(where[p.id])) for p in piece.panels if not p.face.startswith("wall")
    ]


def _walls(one: Face, two: Face, thick: float) -> Region:
    """Return both walls as far as they are drawn, mitred behind the arris."""
    back: list[Point] = []
    fronts: list[Point] = []
    for face in (one, two):
        far = max((p[0] for p in face.outline), key=abs)
        x, y, _ = face.lift((far, 0.0))
        fronts.append((x, y))
        back.append((x - thick * face.out[0], y - thick * face.out[1]))
    (ax, ay), (bx, by) = one.out[:2], two.out[:2]
    share = thick / (1.0 + ax * bx + ay * by)
    corner = (-(ax + bx) * share, -(ay + by) * share)
    return polygon([(0.0, 0.0), fronts[0], back[0], corner, back[1], fronts[1]])


def _points(by: dict[str, Face], pieces: Sequence[FlatPiece], top: str) -> dict[str, Point]:
    wall, cant = by["wall-1"], by["cant-1"]
    far = max((p[0] for p in wall.outline), key=abs)
    end_x = {p.sheet: p.points["end.toe"][0] for p in pieces if p.id.endswith("-corner")}
    lows = {p.sheet: p.points["end.outer"][1] for p in pieces if p.id.endswith("-corner")}
    vertex = meeting(by["wall-1"], by["wall-2"], by["roof"])
    foot = cant.lift((far, 0.0))
    ox, oy = wall.out[:2]

    def out(sheet: str) -> Point:
        return (foot[0] - lows[sheet] * ox, foot[1] - lows[sheet] * oy)

    end = cant.lift((end_x[top], 0.0))
    return {
        "arris": (vertex[0], vertex[1]),
        "wall.far": (wall.lift((far, 0.0))[0], wall.lift((far, 0.0))[1]),
        "toe.far": (foot[0], foot[1]),
        "strip.far": out("strip-in"),
        "flashing.far": out("flashing"),
        "piece.end": (end[0], end[1]),
        "toe.corner": _flat([meeting(by["cant-1"], by["cant-2"], by["roof"])])[0],
    }


_GAUGES = (
    Gauge("cant-run", "toe.far", "wall.far", Axis.VERTICAL, label="CANT", view=VIEW),
    Gauge("strip-in-out", "strip.far", "toe.far", Axis.VERTICAL, view=VIEW),
    Gauge("flashing-reach", "flashing.far", "toe.far", Axis.VERTICAL, rank=2, view=VIEW),
    Gauge("piece-run", "arris", "piece.end", Axis.HORIZONTAL, label="PIECE", view=VIEW),
)
