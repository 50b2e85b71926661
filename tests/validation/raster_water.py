"""The water path, searched by brute force on pixels.

A second opinion on `detailgen.waterpath`: the same model, found another way. The section is
filled into a grid of pixels by an even-odd scan of the outlines; grid lines run through all
corners and lie as close between them as thin, sloping layers need. Water sits in pixels of
air and on the sides of pixels between two bodies. Nothing of the package's arrangement,
joints or measures is used, only the section's plain data.

Where a layer slopes, its joint is a staircase of sides. A step along a stuck joint counts
as long as it is along the joint of record, and a climb as high as it goes up, so that a
staircase is as long and as high as what it stands for.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import pairwise
from math import ceil, hypot, inf

import numpy as np
from numpy.typing import NDArray

from detailgen.catalog import RuleSet
from detailgen.section import Body, Bond, Joint, LayeredSection, Role

FINE = 0.4
"""Pitch of the grid across a sloping layer, in its thicknesses: no water slips diagonally
between two pixels of one layer, since their middles are closer than it is thick."""
ASKEW = 0.487
"""Where in a pixel it is asked what fills it: beside its middle, where joints may run."""
SHEET = 2.5
"""A gap of this width, mm, beside board or wall is where a sheet was taken out."""
COARSE = 15.0
"""Widest pitch, mm."""
SHEETS = {
    "base ply",
    "strip-in ply",
    "finish ply",
    "flashing sheet",
    "upper flashing sheet",
}
METALS = {"edge metal", "counterflashing", "coping"}
LEFT_OUT = {
    "sealant bead",
    "fastener",
    "continuous cleat",
    "termination bar",
    "backing plate",
}
STUCK = {
    Bond.TORCHED,
    Bond.HOT_ASPHALT,
    Bond.COLD_ADHESIVE,
    Bond.SELF_ADHERED,
    Bond.CEMENT,
}
Lines = NDArray[np.float64]
Path = list[tuple[float, float]]


@dataclass
class Solid:
    """A body as the search sees it."""

    id: str
    counts_as: str
    """Id of the body that it counts with."""
    worth: float
    rings: list[list[tuple[float, float]]]
    thickness: float


def worth_of_metal(section: LayeredSection, role: Role, rules: RuleSet) -> float:
    """Return for how much metal counts, by the joints that the layouts show."""
    worst = inf
    for layout in section.layouts:
        parts = sorted(
            (p.region.bounds[0], p.region.bounds[2]) for p in layout.parts if p.role is role
        )
        plates = [p.region.bounds for p in layout.parts if p.role is Role.BACKING_PLATE]
        if parts:
            worst = min(worst, 1.0)
        for (_, end), (start, _) in pairwise(parts):
            best = (end - start) / rules.value("counterflashing_end_lap_least")
            for x0, _, x1, _ in plates:
                reach = min(end - x0, x1 - start)
                best = max(best, reach / rules.value("backing_plate_lap_least"))
            worst = min(worst, max(best, 0.0))
    return 0.0 if worst == inf else worst


def worth_of(section: LayeredSection, body: Body, rules: RuleSet) -> float:
    """Return for how much going through a body counts."""
    name = str(body.role)
    if name in SHEETS:
        return 1.0
    if name in METALS:
        return worth_of_metal(section, body.role, rules)
    return 0.0 if name in LEFT_OUT or name == "cement" else inf


def owners_of_beds(section: LayeredSection) -> dict[str, str]:
    """Return for each bed of cement the sheet or metal that it holds most of."""
    role = {b.id: str(b.role) for b in section.bodies}
    bed_of: dict[str, dict[str, float]] = {}
    for joint in section.joints:
        bed = joint.bond is Bond.CEMENT and role.get(joint.lower) == "cement"
        if bed and role.get(joint.upper, "") in SHEETS | METALS:
            held = bed_of.setdefault(joint.lower, {})
            held[joint.upper] = held.get(joint.upper, 0.0) + joint.line.length
    return {bed: max(held, key=lambda k: held[k]) for bed, held in bed_of.items()}


def solids(section: LayeredSection, rules: RuleSet) -> list[Solid]:
    """Return the bodies that are there for water."""
    worth = {b.id: worth_of(section, b, rules) for b in section.bodies}
    owner = owners_of_beds(section)
    out: list[Solid] = []
    for body in section.bodies:
        counts_as = owner.get(body.id, body.id)
        if worth[counts_as] > 0.0:
            rings = [body.region.exterior, *body.region.interiors]
            coords = [[(x, y) for x, y, *_ in r.coords] for r in rings]
            out.append(Solid(body.id, counts_as, worth[counts_as], coords, body.thickness))
    return [*out, *flutes(section)]


def flutes(section: LayeredSection) -> list[Solid]:
    """Return the hollows under a fluted deck, into which no water goes."""
    out: list[Solid] = []
    steel = [b for b in section.bodies if b.material == "deck-steel"]
    bent = METALS | (LEFT_OUT - {"sealant bead", "fastener"})
    metals = [b for b in section.bodies if str(b.role) in bent]
    for i, hollow in enumerate(section.hollows):
        by_metal = any(hollow.distance(b.region) < 0.02 for b in metals)
        if not by_metal and any(hollow.distance(b.region) < 0.02 for b in steel):
            ring = [(x, y) for x, y, *_ in hollow.exterior.coords]
            out.append(Solid(f"hollow-{i}", f"hollow-{i}", inf, [ring], 0.0))
    return out


# --- the grid -----------------------------------------------------------------------------


def grid(
    section: LayeredSection, bodies: Sequence[Solid], before: Sequence[Solid]
) -> tuple[Lines, Lines]:
    """Return the lines of the grid: through all corners, and closer where layers slope.

    What was there before counts, too: where a thin layer was taken out there is a gap.
    """
    x0, y0, x1, y1 = section.extent.bounds
    marks: tuple[set[float], set[float]] = ({x0, x1}, {y0, y1})
    close: tuple[list[tuple[float, float, float]], list[tuple[float, float, float]]] = (
        [],
        [],
    )
    boxes = [z.region.bounds for z in section.zones]
    boxes += [r.bounds for r in section.dry_within.values()]
    for bx0, by0, bx1, by1 in boxes:
        marks[0].update((bx0, bx1))
        marks[1].update((by0, by1))
    for body in (*bodies, *before):
        for ring in body.rings:
            for (ax, ay), (bx, by) in pairwise(ring):
                marks[0].add(ax)
                marks[1].add(ay)
                dx, dy = abs(bx - ax), abs(by - ay)
                if min(dx, dy) < 1e-6:
                    continue
                layer = SHEET if body.worth == inf else max(body.thickness, 0.3)
                pitch = FINE * layer
                lean = dy / dx
                fit = (pitch / lean, pitch) if lean <= 1.0 else (pitch, pitch * lean)
                close[0].append((min(ax, bx), max(ax, bx), fit[0]))
                close[1].append((min(ay, by), max(ay, by), fit[1]))
    return (
        _lines(marks[0], close[0], x0, x1),
        _lines(marks[1], close[1], y0, y1),
    )


def _lines(
    marks: set[float], close: list[tuple[float, float, float]], low: float, high: float
) -> Lines:
    kept: list[float] = []
    for mark in sorted(m for m in marks if low - 1e-9 <= m <= high + 1e-9):
        if not kept or mark - kept[-1] > 1e-3:
            kept.append(mark)
    out: list[float] = []
    for a, b in pairwise(kept):
        pitch = min(
            (p for u, v, p in close if u < b - 1e-6 and v > a + 1e-6), default=COARSE
        )
        steps = max(ceil((b - a) / min(pitch, COARSE)), 1)
        out += [a + (b - a) * i / steps for i in range(steps)]
    return np.asarray([*out, kept[-1]])


def filled(
    rings: list[list[tuple[float, float]]], xs: Lines, ys: Lines
) -> NDArray[np.bool_]:
    """Return which pixels, by their middles, lie inside rings: crossings of the outline."""
    inside = np.zeros((len(xs), len(ys)), dtype=bool)
    for ring in rings:
        for (x0, y0), (x1, y1) in pairwise(ring):
            a = int(np.searchsorted(xs, min(x0, x1), side="left"))
            b = int(np.searchsorted(xs, max(x0, x1), side="left"))
            if a < b:
                heights = y0 + (y1 - y0) * (xs[a:b] - x0) / (x1 - x0)
                inside[a:b] ^= ys[None, :] > heights[:, None]
    return inside


# --- the search ---------------------------------------------------------------------------


class Raster:
    """A section on pixels, and the least that water must overcome to every zone."""

    def __init__(
        self, section: LayeredSection, rules: RuleSet, before: LayeredSection | None = None
    ) -> None:
        """Fill the grid with a section, which may have been changed from one before."""
        self.section, self.rules = section, rules
        self.bodies = solids(section, rules)
        earlier = [] if before is None else solids(before, rules)
        self.xs, self.ys = grid(section, self.bodies, earlier)
        mx = self.xs[:-1] + ASKEW * np.diff(self.xs)
        my = self.ys[:-1] + ASKEW**2 * np.diff(self.ys) * 2.0
        self.label = np.full((len(mx), len(my)), -1, dtype=int)
        for i, body in enumerate(self.bodies):
            self.label[filled(body.rings, mx, my)] = i
        self.zone = np.full(self.label.shape, -1, dtype=int)
        for i in range(len(section.zones) - 1, -1, -1):
            self.zone[_in_box(section.zones[i].region.bounds, mx, my)] = i
        self.dry = np.zeros(self.label.shape, dtype=bool)
        for i, body in enumerate(self.bodies):
            if body.id in section.must_stay_dry:
                here = self.label == i
                if body.id in section.dry_within:
                    here &= _in_box(section.dry_within[body.id].bounds, mx, my)
                self.dry |= here
        names = sorted({b.counts_as for b in self.bodies})
        self.owner = np.asarray([names.index(b.counts_as) for b in self.bodies])
        self.worth = np.asarray([b.worth for b in self.bodies])
        metal = any(str(b.role) == "counterflashing" for b in section.bodies)
        row = "counterflashing_lap_least" if metal else "coping_face_least"
        self.climb = rules.value(row)
        self._joints: dict[frozenset[str], list[tuple[Joint, Path]]] = {}
        for joint in section.joints:
            line = [(x, y) for x, y, *_ in joint.line.coords]
            pair = frozenset((joint.upper, joint.lower))
            self._joints.setdefault(pair, []).append((joint, line))
        self._role = {b.id: str(b.role) for b in section.bodies}
        self._counts_as = {b.id: b.counts_as for b in self.bodies}

    def exposed(self) -> NDArray[np.bool_]:
        """Return the air that is reached from the sky without ever going up."""
        air = self.label < 0
        out = np.zeros_like(air)
        above = air[:, -1].copy()
        for j in range(air.shape[1] - 1, -1, -1):
            row = air[:, j]
            runs = np.cumsum(np.diff(row, prepend=row[:1]))
            wet = np.unique(runs[row & above])
            out[:, j] = row & np.isin(runs, wet)
            above = out[:, j]
        return out

    def _lap(self, upper: str, lower: str) -> float:
        value = self.rules.value
        role = self._role[self._counts_as[upper]]
        below = self._role[self._counts_as[lower]]
        if below in METALS:
            return value("flange_width_least") - value("finish_gap_flush_most")
        if role == "upper flashing sheet":
            return value("upper_lap_least" if below in SHEETS else "coping_face_least")
        if "strip-in ply" in {role, below} and role != "flashing sheet":
            edge = self.section.kind == "roof-edge"
            return value("flange_strip_in_least" if edge else "strip_in_toe_least")
        if role == "edge metal":
            return value("flange_width_least")
        if role == "flashing sheet":
            return value("flashing_reach_least")
        return value("end_lap_least")

    def _prices(
        self, one: int, other: int, a: tuple[float, float], b: tuple[float, float]
    ) -> tuple[float, float]:
        """Return what it costs to pass a side between two bodies, there and back."""
        ids = (self.bodies[one].id, self.bodies[other].id)
        mid = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
        best: tuple[float, Joint, tuple[float, float]] | None = None
        for joint, line in self._joints.get(frozenset(ids), ()):
            for p, q in pairwise(line):
                away = _away(p, q, mid)
                if best is None or away < best[0]:
                    span = hypot(q[0] - p[0], q[1] - p[1])
                    if span > 0.0:
                        best = (away, joint, ((q[0] - p[0]) / span, (q[1] - p[1]) / span))
        near = 0.75 * self._pitch(a, level=a[1] == b[1]) + 0.02
        if best is not None and best[0] <= near:
            _, joint, (ux, uy) = best
            along = abs((b[0] - a[0]) * ux + (b[1] - a[1]) * uy)
            if joint.bond in STUCK:
                cost = along / self._lap(joint.upper, joint.lower)
                return cost, cost
            receives = (
                self._role[joint.upper] == "counterflashing"
                and self._role[joint.lower] not in SHEETS | METALS
            )
            if joint.bond is Bond.FASTENED and receives:
                cost = along / self.rules.value("reglet_depth_least")
                return cost, cost
        rise = b[1] - a[1]
        return max(rise, 0.0) / self.climb, max(-rise, 0.0) / self.climb

    def _pitch(self, at: tuple[float, float], *, level: bool) -> float:
        """Return how far a staircase strays there: the wider pixel across a side, mm."""
        lines, place = (self.ys, at[1]) if level else (self.xs, at[0])
        i = min(max(int(np.searchsorted(lines, place)), 1), len(lines) - 2)
        return float(min(max(lines[i + 1] - lines[i], lines[i] - lines[i - 1]), 2.0))

    def figures(self) -> dict[str, float]:
        """Return the least that water must overcome to what must stay dry in each zone."""
        net = _Pixels(self)
        found = net.search()
        return {
            z.name: found[i] for i, z in enumerate(self.section.zones) if found[i] < inf
        }


def _places(mask: NDArray[np.bool_]) -> Iterator[tuple[int, int]]:
    """Yield the pixels that are set."""
    return zip(*(n.tolist() for n in np.nonzero(mask)), strict=True)


def _in_box(
    box: tuple[float, float, float, float], xs: Lines, ys: Lines
) -> NDArray[np.bool_]:
    x0, y0, x1, y1 = box
    return ((xs > x0) & (xs < x1))[:, None] & ((ys > y0) & (ys < y1))[None, :]


def _away(a: tuple[float, float], b: tuple[float, float], p: tuple[float, float]) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    t = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square if square else 0.0
    t = min(max(t, 0.0), 1.0)
    return hypot(a[0] + t * dx - p[0], a[1] + t * dy - p[1])


class _Pixels:
    """The graph of corners of pixels, sheltered air, pieces of sheets, and zones."""

    def __init__(self, raster: Raster) -> None:
        self.r = raster
        self.links: dict[object, list[tuple[object, float]]] = {}
        self.weather = raster.exposed()
        air = np.pad(raster.label < 0, ((0, 0), (1, 1)))
        self._open = (air[:, 1:] | air[:, :-1]).tolist()
        wet = np.pad(self.weather, ((0, 0), (1, 1)))
        self._wet = (wet[:, 1:] | wet[:, :-1]).tolist()
        self.ends: set[object] = set()
        self._corner_zones: dict[object, set[int]] = {}
        self._sides(vertical=True)
        self._sides(vertical=False)
        self._sheltered()
        self._goals()

    def _link(self, a: object, b: object, cost: float) -> None:
        self.links.setdefault(a, []).append((b, cost))

    def _water(self, i: int, j: int) -> object:
        """Return the node of water at the lower side of column i in row j.

        All weather is one node.
        """
        return "weather" if self._wet[i][j] else ("air", i, j)

    def _sheltered(self) -> None:
        """Let water fall in sheltered air, run level, and climb at its price."""
        air = self.r.label < 0
        dark = air & ~self.weather
        for i, j in _places(dark):
            low, high = self._water(i, j), self._water(i, j + 1)
            self._link(high, low, 0.0)
            self._link(low, high, float(self.r.ys[j + 1] - self.r.ys[j]) / self.r.climb)
        for i, j in _places(air[:-1] & air[1:] & (dark[:-1] | dark[1:])):
            for level in (j, j + 1):
                self._link(self._water(i, level), self._water(i + 1, level), 0.0)
                self._link(self._water(i + 1, level), self._water(i, level), 0.0)

    def _sides(self, *, vertical: bool) -> None:
        """Take the sides of pixels between different things into the graph."""
        label = self.r.label
        before, after = (
            (label[:-1], label[1:]) if vertical else (label[:, :-1], label[:, 1:])
        )
        for i, j in _places(before != after):
            one, other = (i, j), ((i + 1, j) if vertical else (i, j + 1))
            a = ("corner", i + 1, j) if vertical else ("corner", i, j + 1)
            b = ("corner", i + 1, j + 1)
            self._side(one, other, a, b)

    def _side(
        self, one: tuple[int, int], other: tuple[int, int], a: object, b: object
    ) -> None:
        r = self.r
        la, lb = int(r.label[one]), int(r.label[other])
        if la < 0 or lb < 0:
            self._border(one if la < 0 else other, other if la < 0 else one, a, b)
            return
        if r.owner[la] == r.owner[lb] or (r.worth[la] == inf and r.worth[lb] == inf):
            return
        pa, pb = self._at(a), self._at(b)
        there, back = r._prices(la, lb, pa, pb)
        self._link(a, b, there)
        self._link(b, a, back)
        for corner in (a, b):
            self._beside(corner)
        for here, there_ in ((one, other), (other, one)):
            self._enter(here, a, b)
            if r.dry[here]:
                self._ends(here, a, b)
                if r.zone[here] == r.zone[there_]:  # else a stair of a line between zones
                    self._link(self._piece(there_), ("zone", int(r.zone[here])), 0.0)

    def _border(
        self, air: tuple[int, int], body: tuple[int, int], a: object, b: object
    ) -> None:
        """Let water pass between a pixel of air and the body beside it."""
        r = self.r
        (i, j), upright = air, air[1] == body[1]
        low = self._water(i, j + (not upright and body[1] > j))
        high = self._water(i, j + 1) if upright else low
        if r.dry[body]:
            self._link(low, ("zone", int(r.zone[body])), 0.0)
            self._ends(body, a, b, air=True)
        elif r.worth[r.label[body]] < inf:
            piece = self._piece(body)
            self._link(low, piece, float(r.worth[r.label[body]]))
            self._link(piece, low, 0.0)
            self._link(piece, high, 0.0)
            self._enter(body, a, b)

    def _piece(self, pixel: tuple[int, int]) -> object:
        r = self.r
        return ("piece", int(r.owner[r.label[pixel]]), int(r.zone[pixel]))

    def _enter(self, pixel: tuple[int, int], a: object, b: object) -> None:
        r = self.r
        worth = float(r.worth[r.label[pixel]])
        if worth < inf:
            for corner in (a, b):
                self._link(corner, self._piece(pixel), worth)
                self._link(self._piece(pixel), corner, 0.0)

    def _ends(
        self, pixel: tuple[int, int], a: object, b: object, *, air: bool = False
    ) -> None:
        zone = int(self.r.zone[pixel])
        for corner in (a, b):
            self.ends.add(corner)
            self._corner_zones.setdefault(corner, set()).add(zone)
            if air:
                self._link(corner, ("zone", zone), 0.0)

    def _goals(self) -> None:
        """End ways at corners of what must stay dry, but not on a line between zones."""
        boxes = [z.region.bounds for z in self.r.section.zones]
        for corner, zones in self._corner_zones.items():
            x, y = self._at(corner)
            between = any(
                min(abs(x - bx0), abs(x - bx1), abs(y - by0), abs(y - by1)) < 1e-3
                for bx0, by0, bx1, by1 in boxes
            )
            if len(zones) == 1 and not between:
                self._link(corner, ("zone", next(iter(zones))), 0.0)

    def _at(self, corner: object) -> tuple[float, float]:
        _, i, j = corner  # type: ignore[misc]
        return float(self.r.xs[i]), float(self.r.ys[j])

    def _beside(self, corner: object) -> None:
        """Let water pass between the corner of a joint and the air on a level with it."""
        if ("seen", corner) in self.links:
            return
        self.links["seen", corner] = []
        _, ci, j = corner  # type: ignore[misc]
        for i in (ci - 1, ci):
            if 0 <= i < len(self._open) and self._open[i][j]:
                self._link(corner, self._water(i, j), 0.0)
                self._link(self._water(i, j), corner, 0.0)

    def search(self) -> list[float]:
        """Return the least cost to each zone, by Dijkstra from the weather."""
        cost: dict[object, float] = {"weather": 0.0}
        queue: list[tuple[float, int, object]] = [(0.0, 0, "weather")]
        count = 1
        while queue:
            here, _, node = heappop(queue)
            if here > cost[node]:
                continue
            stops = node in self.ends
            for other, more in self.links.get(node, ()):
                if stops and other[0] != "zone":  # type: ignore[index]
                    continue
                if here + more < cost.get(other, inf) - 1e-12:
                    cost[other] = here + more
                    heappush(queue, (here + more, count, other))
                    count += 1
        zones = range(len(self.r.section.zones))
        return [cost.get(("zone", z), inf) for z in zones]
