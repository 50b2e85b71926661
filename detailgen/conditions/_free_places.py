"""From written places to points and stations: what the names of a free section mean."""

from collections.abc import Mapping
from math import dist, fsum

from detailgen.conditions._free_words import Coordinate, PlaceModel, Spot
from detailgen.conditions._ground import Plane
from detailgen.geometry import Point
from detailgen.geometry.strips import normal
from detailgen.geometry.surfaces import SAME, Surface
from detailgen.section import Body

Where = tuple[str | int, ...]
"""Keys and numbers that lead to a value inside the condition."""
_NEAR = 1e-4
"""A place found so near to where it was looked for, mm, has been found."""


class Fault(ValueError):  # noqa: N818  (a user's mistake, told and not raised further)
    """Something in a free section that cannot be built."""

    def __init__(self, message: str, *, allowed: str = "", mend: str = "") -> None:
        """Take what is wrong and how to mend it."""
        super().__init__(message)
        self.message, self.allowed, self.mend = message, allowed, mend
        self.where: Where = ()

    def at(self, *where: str | int) -> "Fault":
        """Return the fault with its place, unless it has one that is nearer."""
        self.where = self.where or where
        return self


class Names:
    """Points by their names, as far as they are known yet."""

    def __init__(self, plane: Plane, spots: Mapping[str, Spot]) -> None:
        """Take the points that the file names; those of layers are added as they come."""
        self.plane = plane
        self._spots = spots
        self._known: dict[str, Point] = {}
        self._on_the_way: set[str] = set()

    def point(self, name: str) -> Point:
        """Return a named point.

        Raises:
            Fault: It is not known, or not yet.
        """
        if name in self._known:
            return self._known[name]
        if name not in self._spots or name in self._on_the_way:
            msg = f"the point {name} is not known here"
            raise Fault(msg, mend="Name it in a point table, or lay its layer before.")
        self._on_the_way.add(name)
        self._known[name] = self.spot(self._spots[name])
        return self._known[name]

    def spot(self, where: Spot, thick: float = 0.0) -> Point:
        """Return where a spot is; `thick` is the thickness of the metal in question."""
        x = self.value(where.x, 0, thick)
        return (x, self.value(where.y, 1, thick, x))

    def value(
        self, written: Coordinate, axis: int, thick: float = 0.0, x: float = 0.0
    ) -> float:
        """Return a coordinate along an axis, mm; `x` is where the roof plane is taken."""
        named = fsum(times * self.point(name)[axis] for name, times in written.named)
        level = self.plane.at(x)[1] if axis else 0.0
        return written.fixed + written.roof * level + written.thick * thick + named

    def laid(self, body: Body) -> None:
        """Add the corners of a layer that lies along the surface."""
        assert body.course is not None
        line = [(float(x), float(y)) for x, y, *_ in body.course.coords]
        t = body.thickness
        for end, at, n in (
            ("start", line[0], normal(line[0], line[1])),
            ("end", line[-1], normal(line[-2], line[-1])),
        ):
            self._known[f"{body.id}.{end}"] = at
            self._known[f"{body.id}.{end}.top"] = (at[0] + t * n[0], at[1] + t * n[1])

    def station(self, place: PlaceModel, on: Surface) -> float:
        """Return the station of a place on the surface that is exposed now.

        Raises:
            Fault: There is no such place.
        """
        base, point = self._base(place, on)
        if place.corner is not None:
            base = on.corner_near(point, reach=self.value(place.corner, 0))
        if place.across is not None:
            base = _across(on, base, point[0] + self.value(place.across, 0), place)
        elif place.up is not None:
            base = _up(on, base, point[1] + self.value(place.up, 1), place)
        if place.along is not None:
            base += self.value(place.along, 0)
        if not -SAME <= base <= on.length + SAME:
            msg = "the place lies beyond the end of the surface"
            raise Fault(msg, mend="Make the distance smaller, or the surface longer.")
        return min(max(base, 0.0), on.length)

    def _base(self, place: PlaceModel, on: Surface) -> tuple[float, Point]:
        if place.point == "start":
            return 0.0, on.points[0]
        if place.point == "end":
            return on.length, on.points[-1]
        point = self.point(place.point)
        return on.station_of(point), point


def _across(on: Surface, base: float, x: float, place: PlaceModel) -> float:
    back = place.toward == "start" or (place.toward is None and x < on.at(base)[0] + SAME)
    found = on.at_x(x, before=base) if back else on.at_x_after(x, after=base)
    return _found(on, found, (x, on.at(found)[1]))


def _up(on: Surface, base: float, y: float, place: PlaceModel) -> float:
    back = place.toward == "start"
    found = on.at_y_back(y, before=base) if back else on.at_y(y, after=base)
    return _found(on, found, (on.at(found)[0], y))


def _found(on: Surface, station: float, wanted: Point) -> float:
    if dist(on.at(station), wanted) > _NEAR:
        raise Fault(
            "the surface does not come to this place on that side of the point",
            mend='Change the distance, or look the other way with toward = "start" or '
            '"end".',
        )
    return station
