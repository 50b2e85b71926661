"""The exposed surface: the polyline on which the next sheet is laid.

A surface runs from the roof field (left) to the end of the section, with the air on its
left hand. Every segment knows which body it belongs to, so that laying a sheet on a
stretch tells what the sheet touches. Positions on it are *stations*: distances along the
surface, mm.
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import dist, fsum, hypot

from detailgen.geometry import Line, Point

SAME = 1e-7
"""Points closer than this, mm, are one point."""
CLOSE = 1e-6
"""Points of a finished surface closer than this, mm, are made one."""
STRAIGHT = 1e-9
"""Sine of the smallest turn that counts as a corner."""
SPIKE = 1e-6
"""Sine of the turn up to which going back counts as going straight back."""


@dataclass(frozen=True, slots=True)
class Surface:
    """A polyline with an owner for each of its segments."""

    points: tuple[Point, ...]
    owners: tuple[str, ...]
    """Body of segment i, from points[i] to points[i + 1]."""

    def stations(self) -> list[float]:
        """Return the station of every point, mm."""
        total, out = 0.0, [0.0]
        for a, b in pairwise(self.points):
            total += dist(a, b)
            out.append(total)
        return out

    @property
    def length(self) -> float:
        """Length of the whole surface, mm."""
        return fsum(dist(a, b) for a, b in pairwise(self.points))

    def at(self, station: float) -> Point:
        """Return the point at a station; stations beyond the ends give the ends."""
        marks = self.stations()
        i = min(max(bisect_right(marks, station) - 1, 0), len(self.points) - 2)
        a, b = self.points[i], self.points[i + 1]
        span = marks[i + 1] - marks[i]
        t = min(max((station - marks[i]) / span, 0.0), 1.0) if span else 0.0
        return (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))

    def station_of(self, point: Point) -> float:
        """Return the station nearest to a point."""
        best, where, total = float("inf"), 0.0, 0.0
        for a, b in pairwise(self.points):
            span = dist(a, b)
            t = _along(a, b, point)
            away = dist(point, (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])))
            if away < best - SAME:
                best, where = away, total + t * span
            total += span
        return where

    def at_x(self, x: float, *, before: float | None = None) -> float:
        """Return the last station with this x that comes before another station.

        On the riser of a step that is the top of a rise and the foot of a fall, which is
        where a sheet that goes on to the right rests. Falls back to the start.
        """
        return self._crossing(0, x, first=False, low=0.0, high=before)

    def at_x_after(self, x: float, *, after: float) -> float:
        """Return the first station with this x that comes after another station."""
        return self._crossing(0, x, first=True, low=after, high=None)

    def at_y(self, y: float, *, after: float) -> float:
        """Return the first station with this height that comes after another station."""
        return self._crossing(1, y, first=True, low=after, high=None)

    def at_y_back(self, y: float, *, before: float | None = None) -> float:
        """Return the last station with this height that comes before another station."""
        return self._crossing(1, y, first=False, low=0.0, high=before)

    def _crossing(
        self, axis: int, value: float, *, first: bool, low: float, high: float | None
    ) -> float:
        found = 0.0 if not first else self.length
        total = 0.0
        for a, b in pairwise(self.points):
            span = dist(a, b)
            u, v = a[axis], b[axis]
            if min(u, v) - SAME <= value <= max(u, v) + SAME:
                if abs(v - u) < SAME:  # all of it has this coordinate
                    goal = low if first else self.length if high is None else high
                else:
                    goal = total + (value - u) / (v - u) * span
                station = min(max(goal, total), total + span)
                if station >= low - SAME and (high is None or station <= high + SAME):
                    found = station
                    if first:
                        return found
            total += span
        return found

    def corner_near(self, point: Point, *, reach: float) -> float:
        """Return the station of the inside corner nearest to a point.

        Only corners within `reach` of the point count; with none, the nearest station is
        returned.
        """
        best, where, total = reach, self.station_of(point), 0.0
        for a, b, c in zip(self.points, self.points[1:], self.points[2:], strict=False):
            total += dist(a, b)
            if turn(a, b, c) > STRAIGHT and dist(b, point) < best:
                best, where = dist(b, point), total
        return where

    def between(self, start: float, end: float) -> tuple[list[Point], list[str]]:
        """Return the stretch between two stations: its points and its segments' owners."""
        marks = self.stations()
        points, owners = [self.at(start)], list[str]()
        for i, owner in enumerate(self.owners):
            if marks[i + 1] <= start + SAME or marks[i] >= end - SAME:
                continue
            last = marks[i + 1] >= end - SAME
            points.append(self.at(end) if last else self.points[i + 1])
            owners.append(owner)
        return points, owners

    def spliced(
        self, start: float, end: float, over: Sequence[Point], owner: str
    ) -> "Surface":
        """Return the surface with the stretch between two stations covered by `over`."""
        marks = self.stations()
        head = [
            (p, o)
            for p, o, m in zip(self.points, self.owners, marks, strict=False)
            if m < start - SAME
        ]
        tail = [i for i, m in enumerate(marks) if m > end + SAME]
        points = [p for p, _ in head]
        owners = [o for _, o in head]
        first = self.at(start)
        if not points or dist(points[-1], first) > SAME:
            points.append(first)
        else:
            owners.pop()
        for p in over:
            if dist(points[-1], p) > SAME:
                points.append(p)
                owners.append(owner)
        last = self.at(end)
        if dist(points[-1], last) > SAME:
            points.append(last)
            owners.append(owner)
        for i in tail:
            if dist(points[-1], self.points[i]) > SAME:
                points.append(self.points[i])
                owners.append(self.owners[i - 1])
        return Surface(tuple(points), tuple(owners))

    def noded(self, stations: Sequence[float]) -> "Surface":
        """Return the surface with a point at each of the stations."""
        marks = self.stations()
        new = [
            m
            for m in stations
            if SAME < m < marks[-1] - SAME and all(abs(m - k) > CLOSE for k in marks)
        ]
        points, owners = [self.points[0]], list[str]()
        for i, owner in enumerate(self.owners):
            within = sorted({m for m in new if marks[i] < m < marks[i + 1]})
            points += [*(self.at(m) for m in within), self.points[i + 1]]
            owners += [owner] * (len(within) + 1)
        return Surface(tuple(points), tuple(owners))

    def line(self) -> Line:
        """Return the surface as a plain polyline."""
        return Line(self.points)


def _along(a: Point, b: Point, p: Point) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    if not square:
        return 0.0
    return min(max(((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square, 0.0), 1.0)


def turn(a: Point, b: Point, c: Point) -> float:
    """Return the sine of the turn at b: positive to the left, toward the air."""
    ux, uy, vx, vy = b[0] - a[0], b[1] - a[1], c[0] - b[0], c[1] - b[1]
    scale = hypot(ux, uy) * hypot(vx, vy)
    return (ux * vy - uy * vx) / scale if scale else 0.0


def merged(points: Sequence[Point], owners: Sequence[str]) -> Surface:
    """Return a surface without repeated points and without needless ones on straights.

    Where it goes out and straight back, as at the square end of a sheet that stands against
    a face, only what the longer way leaves is kept.
    """
    kept: list[Point] = [points[0]]
    names: list[str] = []
    for p, name in zip(points[1:], owners, strict=True):
        owner = name
        while dist(kept[-1], p) > CLOSE:
            bend = abs(turn(kept[-2], kept[-1], p)) if len(kept) > 1 else 1.0
            back = bend < SPIKE and _along(kept[-2], kept[-1], p) < 1.0
            if not back:
                if bend < STRAIGHT and names[-1] == owner:
                    kept[-1] = p
                else:
                    kept.append(p)
                    names.append(owner)
                break
            if dist(kept[-2], kept[-1]) > dist(kept[-1], p):
                owner = names[-1]
            kept.pop()
            names.pop()
    return Surface(tuple(kept), tuple(names))
