"""A corner under examination: its pieces folded up, and what the straight run asks."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import hypot

from detailgen.checks._case import Case
from detailgen.flat import FlatPiece
from detailgen.folding import Face, Vector, cross, dot, folded, meeting, poses
from detailgen.geometry import Point, Region
from detailgen.geometry.arrangement import away_from
from detailgen.geometry.measures import inner_point
from detailgen.geometry.regions import clip, cut, grown, polygon, union

PLAN = "corner-plan"
NOTHING = 0.5
"""Areas smaller than this, mm2, are rounding of the drawing."""
CRACK = 1e-5
"""Half the width, mm, of what is no gap but rounding."""
_ON_WALL = {"strip-in": "strip.inner", "flashing": "flashing.top"}
"""Sheets that go up the wall, each with the point of the section where it ends there."""
_WALLS = ("wall-1", "wall-2")


@dataclass(frozen=True, slots=True)
class Lying:
    """A panel of a piece where it lies, in the coordinates of its face."""

    piece: FlatPiece
    panel: str
    face: Face
    region: Region
    order: int
    """Among all panels of the corner, in the order of setting."""


class CornerCase:
    """What the rules of corners look at, measured on the folded pieces."""

    def __init__(self, case: Case) -> None:
        """Take the pieces and faces of a section."""
        self.section = case.section
        self.pieces = case.section.pieces
        self.faces: Mapping[str, Face] = {f.id: f for f in case.section.faces}

    @property
    def there(self) -> bool:
        """Tell whether there is a corner at all, with pieces."""
        return bool(self.pieces) and {*_WALLS, "cant-1", "cant-2", "roof"} <= set(
            self.faces
        )

    @property
    def outside(self) -> bool:
        """Tell whether the walls lie within the angle: they look away from each other."""
        one, two = (self.faces[w] for w in _WALLS)
        far = max((p[0] for p in one.outline), key=abs)
        return two.away(one.lift((far, 0.0))) < 0.0

    @property
    def sharpness(self) -> float:
        """Return the sine of the plan angle where it is less than 90 degrees, else 1."""
        one, two = (self.faces[w].out for w in _WALLS)
        blunt = (dot(one, two) < 0.0) is not self.outside
        return 1.0 if blunt else hypot(*cross(one, two))

    # --- in space ----------------------------------------------------------------------

    @cached_property
    def vertex(self) -> Vector:
        """Where the arris meets the tops of both cants."""
        return meeting(self.faces["wall-1"], self.faces["wall-2"], self.faces["cant-1"])

    @cached_property
    def toe(self) -> Vector:
        """Where the two toes meet."""
        return meeting(self.faces["cant-1"], self.faces["cant-2"], self.faces["roof"])

    @cached_property
    def spots(self) -> Mapping[tuple[str, str], tuple[Vector, ...]]:
        """The corners of all panels in space, by the ids of piece and panel."""
        return {
            (piece.id, panel): ring
            for piece in self.pieces
            for panel, ring in folded(piece, self.section.faces).items()
        }

    def plan(self, face: Face, point: Point) -> Point:
        """Return where a point of a face is on the plan."""
        x, y, _ = face.lift(point)
        return (x, y)

    def lifted(self, piece: FlatPiece, panel: str, ring: Sequence[Point]) -> list[Vector]:
        """Return points of a panel where they are in space."""
        pose = poses(piece, self.section.faces)[panel]
        return [pose(p) for p in ring]

    def in_space(self, piece: FlatPiece, point: Point) -> Iterator[Vector]:
        """Yield where a point of a piece is in space, once for each panel nearest to it."""
        where = poses(piece, self.section.faces)
        off = {
            p.id: away_from([*p.outline, p.outline[0]], point)
            for p in piece.panels
            if p.id in where
        }
        nearest = min(off.values(), default=0.0)
        for panel, distance in off.items():
            if distance < nearest + 1e-6:
                yield where[panel](point)

    # --- on the faces ------------------------------------------------------------------

    @cached_property
    def lying(self) -> tuple[Lying, ...]:
        """All panels on their faces, in the order of setting."""
        found: list[Lying] = []
        for piece in self.pieces:
            for panel in piece.panels:
                face = self.faces[panel.face]
                ring = [face.flat(q) for q in self.spots[piece.id, panel.id]]
                found.append(Lying(piece, panel.id, face, polygon(ring), len(found)))
        return tuple(found)

    def on(self, face: str, sheet: str = "") -> list[Lying]:
        """Return the panels on a face, of one sheet or of all."""
        return [
            one
            for one in self.lying
            if one.face.id == face and (not sheet or one.piece.sheet == sheet)
        ]

    # --- what the straight run has -----------------------------------------------------

    @cached_property
    def sheets(self) -> tuple[str, ...]:
        """Ids of the sheets that have pieces, the first at the bottom."""
        return tuple(dict.fromkeys(p.sheet for p in self.pieces))

    def reach_up(self, sheet: str) -> float:
        """Return how far a sheet of the section goes up the wall over the bare cant, mm."""
        body, points = self.section.body(sheet), self.section.points
        name = _ON_WALL.get(sheet)
        if body is None or name is None or name not in points:
            return 0.0
        return max(points[name][1] - points["cant.top"][1], 0.0)

    def reach_out(self, sheet: str) -> float:
        """Return how far out from the toe the corner must have a sheet, mm.

        Sheets of the field go on past their pieces, which lap them; of the pieces as much
        is asked as lies under the flashing.
        """
        points = self.section.points
        name = "strip.outer" if sheet == "strip-in" else "flashing.outer"
        if name not in points:
            return 0.0
        out = max(points["cant.toe"][0] - points[name][0], 0.0)
        if sheet in _ON_WALL:
            return out
        ends = (p.points.get("end.outer") for p in self.pieces if p.sheet == sheet)
        return min([out, *(-end[1] for end in ends if end)])

    def run(self, sheet: str, wall: int) -> float:
        """Return how far along a wall the pieces of a sheet go, with the sign of x."""
        way = max((p[0] for p in self.faces[f"wall-{wall}"].outline), key=abs)
        ends = (p.points.get("end.toe") for p in self.pieces if p.sheet == sheet)
        reach = max((abs(end[0]) for end in ends if end), default=abs(way))
        return reach if way > 0.0 else -reach

    @cached_property
    def zones(self) -> Mapping[str, Mapping[str, Region]]:
        """Where the straight run has each sheet: by sheet, then by face."""
        return {sheet: self._zones(sheet) for sheet in self.sheets}

    def _zones(self, sheet: str) -> Mapping[str, Region]:
        found: dict[str, Region] = {}
        out, up = self.reach_out(sheet), self.reach_up(sheet)
        roof: list[Region] = []
        for i in (1, 2):
            wall, cant = self.faces[f"wall-{i}"], self.faces[f"cant-{i}"]
            end, top = self.run(sheet, i), cant.flat(self.vertex)
            if up > 0.0:
                x, y = wall.flat(self.vertex)
                ring = [(x, y), (end, y), (end, y + up), (x, y + up)]
                found[wall.id] = polygon(ring)
            toe = cant.flat(self.toe)
            found[cant.id] = polygon([top, toe, (end, toe[1]), (end, top[1])])
            roof.append(self._before(cant.lift((end, toe[1])), wall.out, out))
        found["roof"] = union(roof)[0]
        return found

    def _before(self, end: Vector, way: Vector, out: float) -> Region:
        """Return the roof before one wall, mitred at the corner."""
        roof = self.faces["roof"]
        one, two = (self.faces[w].out for w in _WALLS)
        share = out / (1.0 + dot(one, two))
        mitre = tuple(
            t + share * (a + b) for t, a, b in zip(self.toe, one, two, strict=True)
        )
        far = tuple(e + out * w for e, w in zip(end, way, strict=True))
        ring = [self.toe, end, far, mitre]
        return polygon([roof.flat((p[0], p[1], p[2])) for p in ring])

    def open_in(self, sheet: str, but: str = "") -> Iterator[tuple[Face, Region]]:
        """Yield what of a sheet's zone none of its pieces covers.

        Args:
            sheet: Id of the sheet.
            but: Ending of the ids of pieces that are left out.
        """
        for face, zone in self.zones[sheet].items():
            lying = [
                one.region
                for one in self.on(face, sheet)
                if not but or not one.piece.id.endswith(but)
            ]
            for region in left_of(zone, lying):
                yield self.faces[face], region

    def count(self, face: Face, point: Point) -> tuple[int, int]:
        """Return how many sheets lie over a point, and how many the straight run has."""
        spot = polygon([
            (point[0] + dx, point[1] + dy)
            for dx, dy in ((-0.01, -0.01), (0.01, 0.0), (0.0, 0.01))
        ])
        here = {one.piece.sheet for one in self.on(face.id) if clip(one.region, spot)}
        zones = [s for s in self.sheets if face.id in self.zones[s]]
        return len(here), sum(bool(clip(self.zones[s][face.id], spot)) for s in zones)


def middles(regions: Iterable[tuple[Face, Region]]) -> list[tuple[Face, Point]]:
    """Return a point inside each region."""
    return [(face, inner_point(region)) for face, region in regions]


def left_of(zone: Region, covers: Iterable[Region]) -> list[Region]:
    """Return what of a zone is not covered, without cracks between edges that meet."""
    left = cut(zone, [grown(cover, CRACK) for cover in covers])
    return [region for region in left if region.area > NOTHING]
