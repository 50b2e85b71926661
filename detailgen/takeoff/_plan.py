"""The plan of one piece as the takeoff reads it: zones, and outlines of any half width."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import chain
from math import fsum, inf
from typing import Final

from detailgen.geometry import Region
from detailgen.geometry.regions import box, clip, holes, outline, polygon, union
from detailgen.section import METALS, SHEETS, LayeredSection, Layout, Part, Role
from detailgen.takeoff._found import AT_SIDE, FIELD, Blanks, Halves, reaches, stem, window

_OWN: Final = (SHEETS | METALS) - FIELD | {Role.CEMENT}
_ROUND: Final = 8
"""An outline with more corners than this is a round."""
_CENTRED: Final = 1.0
_SAME: Final = 3.0
"""An outline this near, mm, in half width is the one of the edge that is looked at."""
_JUST_THERE: Final = 0.5
"""How near, mm, an edge of something else must be to be the one that is looked at."""
_BESIDE: Final = 10.0
"""What ends this near, mm, to a hole ends at it: a sheet that is turned into it, say."""
_NO_SHEETS: Final = frozenset({
    Role.INSULATION,
    Role.STRAINER,
    Role.POST,
    Role.EQUIPMENT,
    Role.WALL,
})
"""Parts whose outlines are not those of sheets or metals."""


@dataclass(frozen=True)
class Outline:
    """A closed outline about the axis of a piece."""

    ring: Region
    """What it encloses, without holes."""

    @cached_property
    def half(self) -> float:
        """Half its width along the section, mm."""
        x0, _, x1, _ = self.ring.bounds
        return float(x1 - x0) / 2.0

    @property
    def round(self) -> bool:
        """A round grows in proportion; else all sides move out by the same."""
        return len(outline(self.ring)) > _ROUND

    def area(self, half: float) -> float:
        """Return what it encloses when its half width is `half`, mm2."""
        if self.round:
            return self.ring.area * (half / self.half) ** 2
        x0, y0, x1, y1 = self.ring.bounds
        out = 2.0 * (half - self.half)
        fills = self.ring.area / ((x1 - x0) * (y1 - y0))
        return max(x1 - x0 + out, 0.0) * max(y1 - y0 + out, 0.0) * fills

    def girth(self, half: float) -> float:
        """Return how long it is when its half width is `half`, mm."""
        if self.round:
            return self.ring.length * half / self.half
        return max(self.ring.length + 8.0 * (half - self.half), 0.0)


@dataclass(frozen=True)
class Plan:
    """The plan of one piece."""

    section: LayeredSection
    layout: Layout

    @cached_property
    def sides(self) -> tuple[float, float, float, float]:
        """Sides of the window that the plan shows."""
        return window(self.layout)

    @cached_property
    def footprint(self) -> tuple[float, float, float, float]:
        """What the pieces cover that the condition alone has: left, low, right, high."""
        own = [
            p for p in self.layout.parts if p.role in _OWN and not reaches(p, self.sides)
        ]
        return window(Layout("", "", tuple(own))) if own else self.sides

    def parts_of(self, halves: Halves) -> tuple[Part, ...]:
        """Return the parts that show a thing from above, flat: sheet, flange or bed."""
        role, name = halves[0].role, stem(halves[0])
        same = [p for p in self.layout.of_role(role) if not _is_seam(p)]
        found = [p for p in same if p.id == name or p.id.startswith(f"{name}-")]
        if role in METALS:
            return tuple([p for p in same if "flange" in p.id] or found)
        first = name.split("-", 1)[0]
        return tuple(found or [p for p in same if p.id.startswith(f"{first}-")])

    def clipped(self, part: Part) -> list[Region]:
        """Return a part inside the footprint, if it goes on beyond the window."""
        if not reaches(part, self.sides):
            return [part.region]
        x0, y0, x1, y1 = part.region.bounds
        fx0, fy0, fx1, fy1 = self.footprint
        _, low, _, high = self.sides
        below = fy0 if y0 <= low + _CENTRED else y0
        above = fy1 if y1 >= high - _CENTRED else y1
        return clip(part.region, box(max(x0, fx0), below, min(x1, fx1), above))

    def zone(self, halves: Halves) -> Region | None:
        """Return what a thing covers in plan; None where no part shows it."""
        pieces = list(chain.from_iterable(map(self.clipped, self.parts_of(halves))))
        return max(union(pieces), key=lambda r: r.area) if pieces else None

    def blanks(self, halves: Halves) -> Blanks:
        """Return the rectangles that the pieces of a sheet are cut from."""
        boxes = [r.bounds for p in self.parts_of(halves) for r in self.clipped(p)]
        return tuple((b[2] - b[0], b[3] - b[1]) for b in boxes)

    def lapped(self, halves: Halves) -> float:
        """Return the area on which the pieces of one sheet lie double, m2."""
        pieces = list(chain.from_iterable(map(self.clipped, self.parts_of(halves))))
        whole = fsum(r.area for r in union(pieces)) if pieces else 0.0
        twice = fsum(r.area for r in pieces) - whole
        return twice / 1e6 if twice > 1.0 else 0.0

    @property
    def seams(self) -> float:
        """Area of the lapped seams that the plan shows by themselves, mm2."""
        return fsum(p.region.area for p in self.layout.parts if _is_seam(p))

    @cached_property
    def openings(self) -> tuple[Outline, ...]:
        """Every hole about the axis, of a part or of the pieces of a sheet together."""
        return self._about_axis(polygon(hole) for r in self._regions for hole in holes(r))

    @cached_property
    def outlines(self) -> tuple[Outline, ...]:
        """Every closed outline about the axis, of edges and of holes."""
        edges = self._about_axis(polygon(outline(r)) for r in self._regions)
        return (*self.openings, *edges)

    def outline_at(self, half: float, own: Region | None = None) -> Outline:
        """Return the outline of an edge at a half width.

        That is the thing's own, if it has one there; else one that the plan shows just
        there, or a hole near there; else the thing's own outer edge moved in; else the
        nearest that the plan has.
        """
        mine = [] if own is None else _rings(own)
        return (
            _near(mine, half, _SAME)
            or _near(self.outlines, half, _JUST_THERE)
            or _near(self.openings, half, _BESIDE)
            or _near(mine[:1] or self.outlines, half, inf)
            or Outline(box(-half, -half, half, half))
        )

    @cached_property
    def _regions(self) -> list[Region]:
        """What the parts of sheets and metals cover, one by one and by what they are."""
        shown = [p for p in self.layout.parts if p.role not in _NO_SHEETS]
        roles = dict.fromkeys(p.role for p in shown)
        together = [union([p.region for p in shown if p.role is role]) for role in roles]
        return [p.region for p in shown] + [r for regions in together for r in regions]

    def _about_axis(self, rings: Iterable[Region]) -> tuple[Outline, ...]:
        x0, _, x1, _ = self.sides
        found = [Outline(r) for r in rings if _centred(r)]
        return tuple(o for o in found if x0 + AT_SIDE < -o.half and o.half < x1 - AT_SIDE)


def hole_of(zone: Region) -> Outline | None:
    """Return the outline of the hole of a zone, or None."""
    found = [Outline(polygon(h)) for h in holes(zone)]
    return max(found, key=lambda o: o.ring.area, default=None)


def _is_seam(part: Part) -> bool:
    return part.id.startswith("seam")


def _centred(ring: Region) -> bool:
    """Return whether an outline lies about the axis of a piece, x = y = 0."""
    x0, y0, x1, y1 = ring.bounds
    return abs(x0 + x1) < _CENTRED and abs(y0 + y1) < _CENTRED and x1 > _CENTRED


def _rings(zone: Region) -> list[Outline]:
    return [Outline(polygon(r)) for r in (outline(zone), *holes(zone))]


def _near(known: Sequence[Outline], half: float, most: float) -> Outline | None:
    """Return the outline that comes nearest to a half width, no further off than `most`."""
    near = min(known, key=lambda o: abs(o.half - half), default=None)
    return None if near is None or abs(near.half - half) > most else near
