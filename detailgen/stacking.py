"""The stacking engine: lays sheets on the surface that is exposed when their turn comes.

A `Stack` starts from a ground (deck, boards, wall) with its exposed surface. Every call
lays one body on it, remembers what it touches and how it is stuck there, and moves the
surface out. Draping over the steps of earlier sheets comes for free. At the end `bodies`,
`joints` and `coats` go into a `LayeredSection`.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import dist, fsum

from detailgen.geometry import Line, Point, Region
from detailgen.geometry.ends import behind, beyond, meeting, onto_upright
from detailgen.geometry.joints import shared_lines
from detailgen.geometry.regions import box, cut, joined, outline, pieces, polygon
from detailgen.geometry.strips import normal, parallel, pieced, polyline
from detailgen.geometry.surfaces import SAME, Surface, merged
from detailgen.mistakes import NO_MISTAKES, Mistakes
from detailgen.section import Body, Bond, Coat, Joint, Role

SHORTEST = 12.0
"""A sheet that is cut too short by mistake is this long at least, mm."""
BondRule = Callable[[str, Point], Bond]
"""How a new body is stuck to the body named, at a point of their joint."""


@dataclass(frozen=True, slots=True)
class Spec:
    """What a body is, before the stack knows its shape."""

    id: str
    role: Role
    material: str
    name: str
    stage: int
    thickness: float = 0.0
    """Thickness to draw, mm."""
    sticks: str = ""


def everywhere(bond: Bond) -> BondRule:
    """Return a rule that sticks the same way everywhere."""
    return lambda _owner, _point: bond


class Stack:
    """Bodies built so far, and the surface that is exposed."""

    def __init__(
        self,
        ground: Sequence[Body],
        surface: Surface,
        closing: Sequence[Point],
        mistakes: Mistakes = NO_MISTAKES,
    ) -> None:
        """Start on a ground.

        Args:
            ground: The bodies that are there before roofing starts.
            surface: Their exposed surface, from the field to the end of the section.
            closing: Corners of the drawn extent that lead from the end of the surface back
                to its start, through the ground.
            mistakes: What is not laid as the calls say.
        """
        self.bodies = list(ground)
        self.joints: list[Joint] = []
        self.coats: list[Coat] = []
        self.surface = surface
        self._closing = tuple(closing)
        self.mistakes = mistakes
        self._not_there: dict[str, Body] = {}
        self._late: list[tuple[Spec, tuple[Point, Point], BondRule, bool]] = []

    def solid(self) -> Region:
        """Return all that lies under the exposed surface as one region."""
        return polygon([*self.surface.points, *self._closing])

    def add(self, body: Body, joints: Sequence[Joint] = ()) -> Body:
        """Add a body that nothing will be laid on; the surface stays as it is."""
        if body.id in self.mistakes.left_out:
            return self._missed(body)
        self.bodies.append(body)
        self.joints += joints
        return body

    def cover(
        self, spec: Spec, start: float, end: float, over: Sequence[Point], bond: BondRule
    ) -> Body:
        """Fill between a stretch of the surface and a polyline above it.

        The polyline runs from left to right; its ends may lie on the surface's stations.
        """
        if spec.id in self.mistakes.left_out:
            return self._missed(self._aside().cover(spec, start, end, over, bond))
        points, owners = self.surface.between(start, end)
        ring = [*points]
        for p in reversed(over):
            if dist(ring[-1], p) > SAME and dist(ring[0], p) > SAME:
                ring.append(p)
        body = self._body(spec, polygon(ring), points)
        self._join(spec.id, points, owners, bond)
        self.surface = self._spliced(start, end, over, spec.id)
        self.bodies.append(body)
        return body

    def lay(
        self, spec: Spec, start: float, end: float, bond: BondRule, *, butt: bool = False
    ) -> Body:
        """Lay a sheet of the spec's thickness from one station to another.

        Args:
            spec: What is laid.
            start: Station of its left end; 0 goes on beyond the drawing.
            end: Station of its right end.
            bond: How it is stuck, by what lies under it.
            butt: The right end lies in an inside corner and is fitted against the next
                face, instead of being cut square.
        """
        wrong = self.mistakes
        if spec.id in wrong.left_out:
            return self._missed(self._aside().lay(spec, start, end, bond, butt=butt))
        if wrong.after.get(spec.id, spec.id) not in {spec.id, *(b.id for b in self.bodies)}:
            ends = self.surface.at(start), self.surface.at(end)
            self._late.append((spec, ends, bond, butt))
            return self._missed(self._aside().lay(spec, start, end, bond, butt=butt))
        if (cut_off := wrong.from_left.get(spec.id)) and start > SAME:
            start = min(start + cut_off, end - SHORTEST)
        at_side = end >= self.surface.length - SAME
        if (cut_off := wrong.from_right.get(spec.id)) and not at_side:
            end, butt = max(end - cut_off, start + SHORTEST), False
        body = self._lay(spec, start, end, bond, butt=butt)
        self._catch_up(body)
        return body

    def _lay(
        self, spec: Spec, start: float, end: float, bond: BondRule, *, butt: bool
    ) -> Body:
        points, owners = self.surface.between(start, end)
        over = parallel(points, spec.thickness)
        if over is None or len(points) < 2:
            return self._lay_in_pieces(
                spec, points, owners, bond, butt=butt, field=start <= SAME
            )
        if start <= SAME:
            over[0] = onto_upright(over[0], over[1], points[0][0])
        stop, below = end, points
        if butt:
            fitted = self._fit(over, end)
            if fitted is not None:
                over[-1] = fitted
                stop = max(self.surface.station_of(fitted), end)
                below, _ = self.surface.between(start, stop)
                if dist(below[-1], fitted) < SAME:  # one point, not two but for rounding
                    over[-1] = below[-1]
        ring = [*below, *reversed(over)]
        region = polygon(ring)
        if not region.is_valid:
            return self._lay_in_pieces(
                spec, points, owners, bond, butt=butt, field=start <= SAME
            )
        self._join(spec.id, points, owners, bond)
        self.surface = self._spliced(start, stop, over, spec.id)
        body = self._body(spec, region, points)
        self.bodies.append(body)
        return body

    def place(self, body: Body, joints: Sequence[Joint] = ()) -> Body:
        """Add a body of given shape (bent metal) that later sheets are laid on."""
        if body.id in self.mistakes.left_out:
            return self._missed(body)
        self.bodies.append(body)
        self.joints += joints
        self._resurface(body.region, body.id)
        return body

    def coat(self, coat_id: str, name: str, stage: int, start: float, end: float) -> None:
        """Brush primer on a stretch of the surface."""
        if end - start <= SAME:
            return
        points, owners = self.surface.between(start, end)
        for owner, run in _runs(points, owners):
            self.coats.append(Coat(coat_id, name, owner, polyline(run), stage))

    def touching(self, body: Body, bond: Bond, *others: str) -> list[Joint]:
        """Return the joints of a placed body with other bodies, from their shared lines."""
        out: list[Joint] = []
        for other in self.bodies:
            if other.id in others:
                lines = shared_lines(body.region, other.region)
                out += [Joint(body.id, other.id, line, bond) for line in lines]
        return out

    def get(self, body_id: str) -> Body:
        """Return a body by id; KeyError when its turn has not come.

        A body that was left out by mistake is told as it would have been.
        """
        for body in (*self.bodies, *self._not_there.values()):
            if body.id == body_id:
                return body
        raise KeyError(body_id)

    def outer_top(self, body_id: str) -> float:
        """Return the station of the upper corner of a sheet's left end."""
        body = self.get(body_id)
        assert body.course is not None
        (ax, ay), b = body.course.coords[0], body.course.coords[1]
        n = normal((ax, ay), (b[0], b[1]))
        t = body.thickness
        return self.surface.station_of((ax + t * n[0], ay + t * n[1]))

    def pierce(self, body_id: str, through: Sequence[str]) -> None:
        """Record what a fastener goes through."""
        self.bodies = [
            replace(b, pierces=tuple(through)) if b.id == body_id else b
            for b in self.bodies
        ]

    def _missed(self, body: Body) -> Body:
        """Remember a body that is not there, for those who ask where it would have been."""
        self._not_there[body.id] = body
        return body

    def _aside(self) -> "Stack":
        """Return a copy to try on what is not built here."""
        other = Stack(self.bodies, self.surface, self._closing)
        other.joints = list(self.joints)
        return other

    def _catch_up(self, laid: Body) -> None:
        """Lay what should have been laid before this body."""
        due = [one for one in self._late if self.mistakes.after[one[0].id] == laid.id]
        self._late = [one for one in self._late if one not in due]
        for spec, (first, last), bond, butt in due:
            on = self.surface
            start, end = on.station_of(first), on.station_of(last)
            start = 0.0 if abs(first[0] - on.points[0][0]) < SAME else start
            if end - start >= SHORTEST:
                del self._not_there[spec.id]
                self._lay(replace(spec, stage=laid.stage), start, end, bond, butt=butt)

    def _body(self, spec: Spec, region: Region, course: Sequence[Point]) -> Body:
        return Body(
            id=spec.id,
            role=spec.role,
            material=spec.material,
            region=region,
            stage=spec.stage,
            name=spec.name,
            thickness=spec.thickness,
            course=polyline(course),
            sticks=spec.sticks,
        )

    def _join(
        self, upper: str, points: Sequence[Point], owners: Sequence[str], bond: BondRule
    ) -> None:
        run: list[Point] = [points[0]]
        held: tuple[str, Bond] | None = None
        for (a, b), owner in zip(pairwise(points), owners, strict=True):
            now = (owner, bond(owner, ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)))
            if held is not None and now != held:
                self.joints.append(Joint(upper, held[0], polyline(run), held[1]))
                run = [a]
            run.append(b)
            held = now
        if held is not None:
            self.joints.append(Joint(upper, held[0], polyline(run), held[1]))

    def _spliced(
        self, start: float, end: float, over: Sequence[Point], owner: str
    ) -> Surface:
        if start > SAME:
            new = self.surface.spliced(start, end, over, owner)
            return merged(new.points, new.owners)
        rest = self.surface.spliced(0.0, end, over, owner)
        points, owners = list(rest.points), list(rest.owners)
        if dist(points[0], over[0]) > SAME:  # the end at the field goes on: no cut edge
            points, owners = points[1:], owners[1:]
        return merged(points, owners)

    def _fit(self, over: Sequence[Point], end: float) -> Point | None:
        """Return where the top of a sheet meets the face beyond its end."""
        if len(over) < 2:
            return None
        face = [self.surface.at(end)]
        for mark, point in zip(self.surface.stations(), self.surface.points, strict=True):
            if mark > end + SAME:
                face.append(point)
        for c, d in pairwise(face[:5]):
            met = meeting(over[-2], over[-1], c, d)
            if met is not None:
                return met
        return None

    def _lay_in_pieces(
        self,
        spec: Spec,
        points: Sequence[Point],
        owners: Sequence[str],
        bond: BondRule,
        *,
        butt: bool,
        field: bool,
    ) -> Body:
        """Lay a sheet across steps that are too small to offset one by one."""
        line = list(points)
        if butt:
            line[-1] = beyond(points[-2], points[-1], 2.0 * spec.thickness)
        if field:
            line[0] = beyond(points[1], points[0], 2.0 * spec.thickness)
        region = pieced(line, spec.thickness, self.solid())
        assert region is not None, f"{spec.id} has no room"
        x0, y0, _, y1 = region.bounds
        # in the field it goes on to the side of the drawing; elsewhere ends are square
        ends = [
            box(x0 - 1.0, y0 - 1.0, points[0][0], y1 + 1.0)
            if field
            else behind(points[0], points[1], 4.0 * spec.thickness)
        ]
        if not butt:
            ends.append(behind(points[-1], points[-2], 4.0 * spec.thickness))
        region = cut(region, ends)[0]
        self._join(spec.id, points, owners, bond)
        body = self._body(spec, region, points)
        self.bodies.append(body)
        self._resurface(region, spec.id)
        return body

    def _resurface(self, region: Region, owner: str) -> None:
        """Take the surface anew from the boundary of everything, with `region` added."""
        old = self.surface
        ring = list(outline(joined(self.solid(), region)))
        if _signed_area(ring) > 0.0:  # walk with the air on the left: clockwise
            ring.reverse()
        left = min(p[0] for p in ring)
        start = max(
            (i for i, p in enumerate(ring) if p[0] - left < 1e-5), key=lambda i: ring[i][1]
        )
        ring = ring[start:] + ring[:start]
        stop = min(range(len(ring)), key=lambda i: dist(ring[i], old.points[-1]))
        ring = ring[: stop + 1]
        owners = [_owner(old, a, b, owner) for a, b in pairwise(ring)]
        self.surface = merged(ring, owners)


def _owner(old: Surface, a: Point, b: Point, new: str) -> str:
    mid = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
    for (c, d), owner in zip(pairwise(old.points), old.owners, strict=True):
        low_x, high_x = (c[0], d[0]) if c[0] < d[0] else (d[0], c[0])
        low_y, high_y = (c[1], d[1]) if c[1] < d[1] else (d[1], c[1])
        if not (low_x - 1e-5 <= mid[0] <= high_x + 1e-5):
            continue
        if not (low_y - 1e-5 <= mid[1] <= high_y + 1e-5):
            continue
        n = normal(c, d)
        if abs((mid[0] - c[0]) * n[0] + (mid[1] - c[1]) * n[1]) < 1e-5:
            return owner
    return new


def _runs(points: Sequence[Point], owners: Sequence[str]) -> list[tuple[str, list[Point]]]:
    out: list[tuple[str, list[Point]]] = []
    for (a, b), owner in zip(pairwise(points), owners, strict=True):
        if out and out[-1][0] == owner:
            out[-1][1].append(b)
        else:
            out.append((owner, [a, b]))
    return out


def _signed_area(ring: Sequence[Point]) -> float:
    return fsum(
        a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, [*ring[1:], ring[0]], strict=True)
    )


def clipped(bodies: Sequence[Body], window: Region) -> tuple[Body, ...]:
    """Return the bodies cut to the drawn extent; what falls outside is dropped."""
    out: list[Body] = []
    for body in bodies:
        inside = pieces(body.region.intersection(window))
        if inside:
            out.append(replace(body, region=max(inside, key=lambda g: g.area)))
    return tuple(out)


__all__ = ["BondRule", "Line", "Spec", "Stack", "clipped", "everywhere"]
