"""The solid corner: planes in space, and the panels as cuts of those planes.

A separate derivation, without unfolding: every face is a plane, every panel the points of
its plane within half-spaces, and every vertex the solution of three equations. Wall 1 runs
along +x with the roof at y < 0; the arris is the z axis and the roof is z = 0.
"""

from dataclasses import dataclass
from itertools import combinations
from random import Random

import numpy as np

from detailgen.conditions.wall import Wall
from detailgen.patterns.corners import CornerSheet, least_run
from tests.sampling import _limits

IN = 25.4
Z = np.array([0.0, 0.0, 1.0])
Half = tuple[np.ndarray, float]
"""The points p with a . p at most b."""


def unit(v):
    return np.asarray(v) / np.linalg.norm(v)


def angle(u, v) -> float:
    """Return the angle between two directions, radians."""
    return float(np.arctan2(np.linalg.norm(np.cross(u, v)), np.dot(u, v)))


class Solid:
    """Walls, cants and roof of one corner."""

    def __init__(self, kind: str, degrees: float, height: float, run: float):
        self.inside, self.h, self.c = kind == "inside", height, run
        away = np.radians(degrees)
        self.u = {
            1: np.array([1.0, 0.0, 0.0]),
            # the roof is at y < 0: within the angle inside, outside it outside
            2: np.array([np.cos(away), np.sin(away) * (-1 if self.inside else 1), 0.0]),
        }
        square = np.cross(self.u[2], Z)
        # inside, wall 1 stands before wall 2; outside behind it
        before = np.dot(self.u[1], square) > 0
        self.n = {
            1: np.array([0.0, -1.0, 0.0]),
            2: square if before == self.inside else -square,
        }
        self.v = np.array([0.0, 0.0, height])
        self.t = np.linalg.solve(np.array([self.n[1], self.n[2], Z]), [run, run, 0.0])
        self.slant = float(np.hypot(height, run))
        self.up = {i: unit(height * Z - run * self.n[i]) for i in (1, 2)}
        across = np.cross(self.t, Z)
        self.b = unit(across if np.dot(across, self.u[1]) > 0 else -across)
        """Square to the plane that halves the corner, toward wall 1."""

    def normal(self, face: str) -> np.ndarray:
        """Return the direction out of a face, toward the weather."""
        if face == "roof":
            return Z
        i = int(face[-1])
        if face.startswith("wall"):
            return self.n[i]
        out = unit(np.cross(self.u[i], self.up[i]))
        return out if out[2] > 0 else -out

    def origin(self, face: str) -> np.ndarray:
        return self.t if face == "roof" else self.v

    def root(self, piece) -> np.ndarray:
        """Return the pose of the panel of a piece that is set first."""
        face = piece.panels[0].face
        i = int(face[-1])
        pose = np.eye(4)
        pose[:3, 0] = self.u[i] * (1 if i == 1 else -1)
        pose[:3, 1] = Z if face.startswith("wall") else self.up[i]
        pose[:3, 2] = self.normal(face)
        x, y = piece.points["vertex"]
        pose[:3, 3] = self.v - pose[:3, 0] * x - pose[:3, 1] * y
        assert np.isclose(np.linalg.det(pose), 1.0), "mirrored"
        return pose

    # --- half-spaces -----------------------------------------------------------

    def along(self, i: int, low: float, high: float) -> list[Half]:
        return [(-self.u[i], -low), (self.u[i], high)]

    def levels(self, low: float, high: float) -> list[Half]:
        return [(-Z, -low), (Z, high)]

    def out(self, i: int, low: float, high: float) -> list[Half]:
        """Distances from the toe of wall i."""
        return [(-self.n[i], -low - self.c), (self.n[i], high + self.c)]

    def side(self, i: int) -> list[Half]:
        return [(-self.b, 0.0)] if i == 1 else [(self.b, 0.0)]

    def band(self, i: int, width: float) -> list[Half]:
        """What lies on cant i within a distance from the mitre."""
        mitre = unit(self.t - self.v)
        off = np.cross(self.normal(f"cant-{i}"), mitre)
        off = off if (np.dot(off, self.b) > 0) == (i == 1) else -off
        return [(off, float(np.dot(off, self.v)) + width)]

    def slits(self) -> list[Half]:
        """What the relief cuts leave of the tab on cant 2.

        A cut goes straight on from a fold of the main panel: so much of the half turn as
        the main panel needs between its fold and the mitre is not there for the tab.
        """
        mitre = unit(self.t - self.v)
        off = self.band(2, 0.0)[0][0]
        found = []
        for tip, way in ((self.v, mitre), (self.t, -mitre)):
            room = np.pi - angle(way, self.u[1])
            g = np.cos(room) * off - np.sin(room) * way
            found.append((g, float(np.dot(g, tip))))
        return found

    def unrolled(self, halves: list[Half], line: np.ndarray, old, new) -> list[Half]:
        """Return half-spaces of one face told for another, unrolled about wall 2's line.

        Args:
            halves: Half-spaces of the first face.
            line: A point on the line.
            old: Direction on the first face, square to the line.
            new: The direction on the other face that `old` unrolls to.
        """
        u = self.u[2]
        out = []
        for g, most in halves:
            turned = np.dot(g, u) * u + np.dot(g, old) * new
            out.append((turned, most - float(np.dot(g, line) - np.dot(turned, line))))
        return out

    # --- panels ----------------------------------------------------------------

    def panels(self, sheet: CornerSheet, run: float) -> dict[tuple[str, str], tuple]:
        """Return face and half-spaces of every panel, by (piece, panel)."""
        r, w = sheet.reach_out, sheet.lap
        wall = self.levels(self.h, self.h + sheet.reach_up)
        cant = self.levels(0.0, self.h)
        far = 1e6
        if self.inside:
            other = [*self.out(2, 0.0, far), (-self.b, w)]
        else:
            blunt = np.dot(self.u[1], self.u[2]) < 0
            other = [*self.out(2, -far, r), *self.along(2, -far, w if blunt else far)]
        tab = [*self.side(2), *self.band(2, w), *self.slits()]
        found = {
            ("corner", "wall"): ("wall-1", [*self.along(1, 0.0, run), *wall]),
            ("corner", "cant"): (
                "cant-1",
                [*self.along(1, -far, run), *cant, *self.side(1)],
            ),
            ("corner", "roof"): (
                "roof",
                [*self.along(1, -far, run), *self.out(1, 0.0, r), *other],
            ),
            ("corner", "wall-tab"): ("wall-2", [*self.along(2, 0.0, w), *wall]),
            ("corner", "cant-tab"): ("cant-2", [*cant, *tab]),
            ("next", "wall"): ("wall-2", [*self.along(2, 0.0, run), *wall]),
        }
        square = self.side(2) if self.inside else self.along(2, 0.0, far)
        found["next", "cant"] = "cant-2", [*cant, *square, *self.along(2, -far, run)]
        found["next", "roof"] = (
            "roof",
            [*self.out(2, 0.0, r), *square, *self.along(2, -far, run)],
        )
        tab = [*self.band(2, w), *self.slits()]
        if self.inside:
            found["corner", "top-flap"] = (
                "wall-2",
                [*self.unrolled(tab, self.v, self.up[2], Z), *wall],
            )
            roof = self.out(1, 0.0, r)
            half = np.sin(angle(self.u[2], self.t))
            found["corner", "roof-tab"] = (
                "cant-2",
                [
                    *self.unrolled(roof, self.t, -self.n[2], self.up[2]),
                    *self.levels(0.0, self.h * min(w / self.slant, 1.0)),
                    *self.along(2, -far, float(self.t @ self.u[2]) + w / half),
                    *self.side(2),
                ],
            )
            return found
        found["corner", "toe-flap"] = (
            "roof",
            [*self.unrolled(tab, self.t, self.up[2], -self.n[2]), *self.out(2, 0.0, r)],
        )
        near = self.along(2, -far, w)
        found["patch", "cant"] = "cant-2", [*cant, *self.side(2), *near]
        found["patch", "roof"] = (
            "roof",
            [*self.out(2, 0.0, r), *self.out(1, -far, w), *near],
        )
        found["patch", "cant-lap"] = "cant-1", [*cant, *self.side(1), *self.band(1, w)]
        return found

    def corners(self, face: str, halves: list[Half]) -> np.ndarray:
        """Return the vertices of what a face has within half-spaces: all of them, tried."""
        n, o = self.normal(face), self.origin(face)
        sides = np.array([g for g, _ in halves])
        most = np.array([b for _, b in halves])
        i, j = np.array(list(combinations(range(len(halves)), 2))).T
        rows = np.stack([np.broadcast_to(n, (len(i), 3)), sides[i], sides[j]], axis=1)
        right = np.stack([np.full(len(i), n @ o), most[i], most[j]], axis=1)
        meet = np.abs(np.linalg.det(rows)) > 1e-9
        found = np.linalg.solve(rows[meet], right[meet][:, :, None])[:, :, 0]
        return found[(found @ sides.T <= most + 1e-6).all(axis=1)]


def breadth(points: np.ndarray) -> float:
    """Return the least width of a flat patch of points: 0 for a line, mm."""
    if len(points) < 3:
        return 0.0
    spread = np.linalg.svd(points - points.mean(axis=0), compute_uv=False)
    return float(spread[1])


@dataclass(frozen=True)
class Case:
    """One random corner with its sheets."""

    kind: str
    angle: float
    height: float
    run: float
    sheets: tuple[CornerSheet, ...]

    @property
    def solid(self) -> Solid:
        return Solid(self.kind, self.angle, self.height, self.run)

    def length(self, sheet: CornerSheet) -> float:
        """Return the length of the pieces of a sheet along the wall."""
        least = least_run(self.kind, self.angle, self.height, self.run, sheet)
        return least if sheet.run is None else sheet.run


def cases(kind: str, count: int, seed: int):
    """Yield random corners with sheets as the wall condition allows them."""
    rng = Random(seed)
    ranges = {name: _limits(f) for name, f in Wall.model_fields.items() if _ranged(f)}

    def some(name: str) -> float:
        return rng.uniform(*ranges[name])

    for n in range(count):
        height, run = some("cant_height"), some("cant_run")
        # the ends of the range first
        angle = (60.0, 150.0)[n] if n < 2 else rng.uniform(60.0, 150.0)
        reach, lap = some("flashing_reach"), rng.uniform(3 * IN, 6 * IN)
        low, high = ranges["flashing_height"]
        top = rng.uniform(max(low, height + IN), high) - height
        strip = CornerSheet(
            "strip-in",
            "Strip-in ply",
            some("strip_in_out"),
            some("strip_in_up"),
            lap,
            False,
        )
        flashing = CornerSheet("flashing", "Flashing sheet", reach, top, lap, True)
        longer = least_run(kind, angle, height, run, flashing) + rng.uniform(0.0, 20 * IN)
        yield Case(
            kind,
            angle,
            height,
            run,
            (
                CornerSheet("base-ply", "Base ply", reach + 6 * IN, 0.0, lap, False),
                strip,
                CornerSheet("finish-ply", "Finish ply", reach + 2 * IN, 0.0, lap, True),
                CornerSheet(flashing.id, flashing.name, reach, top, lap, True, run=longer),
            ),
        )


def _ranged(info) -> bool:
    return any(hasattr(m, "ge") for m in info.metadata)
