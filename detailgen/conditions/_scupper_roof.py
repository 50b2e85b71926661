"""A scupper on the roof: its sump, the sheets before it, and the floor of its liner."""

from math import hypot, sqrt

from detailgen.conditions._bonds import by_material
from detailgen.conditions._ground import Roof, roof_beside
from detailgen.conditions._scupper_frame import Frame
from detailgen.conditions._sump import Sump, sunken
from detailgen.conditions._turn_up_words import HOW
from detailgen.geometry import Line, Point
from detailgen.geometry.regions import box
from detailgen.geometry.strips import normal, parallel, polyline, ribbon
from detailgen.geometry.surfaces import Surface, merged
from detailgen.section import Body, Bond, Coat, Role
from detailgen.stacking import Spec, Stack, everywhere
from detailgen.units import inches

DRIP = inches(0.5)
"""Length of the drip at the end of the outlet (common practice, no source)."""


class RoofSide:
    """The roof at a scupper; the steps are called in the order of building."""

    def __init__(self, frame: Frame) -> None:
        """Start with the ground."""
        self.f, self.s, self.site = frame, frame.s, frame.site
        self.points: dict[str, Point] = {}
        self._ground()

    def _ground(self) -> None:
        s, site = self.s, self.site
        beside = roof_beside(site, self.f.plane, self.f.left, 0.0, 0.0)
        deck, boards = beside.bodies[0], list(beside.bodies[1:])
        if s.sump_drop:
            level = self.f.plane.at(-s.sump)[1]
            sump = Sump(s.sump, level, -self.f.tilt, 0.0, 0.0, "tapered to the scupper")
            boards = sunken(site, self.f.plane, boards, sump)
        self.low = deck.region.bounds[1] - inches(1.5)
        wall = site.catalog.materials[f"wall-{s.wall}"]
        below = Body(
            "wall-below",
            Role.WALL,
            wall.id,
            box(0.0, self.low, s.thickness, self.f.sill),
            0,
            wall.name,
        )
        self.hollows = beside.hollows
        surface = self._surface(beside, boards)
        self.stack = Stack(
            [deck, *boards, below], surface, [(self.f.left, self.low)], site.mistakes
        )
        self.points |= {
            "edge.top": (0.0, self.f.foot),
            "sump.edge": self.f.plane.at(-s.sump),
            "sump.low": (0.0, self.f.foot),
        }

    def _surface(self, beside: Roof, boards: list[Body]) -> Surface:
        s = self.s
        ids = [b.id for b in boards]
        top = beside.top_id
        sunk = next((i for i in ("sump-cover", "sump-board") if i in ids), top)
        points: list[Point] = [self.f.plane.at(self.f.left)]
        owners: list[str] = []
        for point, owner in (
            (self.f.plane.at(-s.sump), top),
            ((0.0, self.f.foot), sunk),
            ((0.0, self.f.sill), "wall-below"),
            ((s.thickness, self.f.sill), "wall-below"),
            ((s.thickness, self.low), "wall-below"),
        ):
            points.append(point)
            owners.append(owner)
        return merged(points, owners)

    def base_ply(self) -> None:
        """The base ply, to the opening; up to the sill where that stands higher."""
        site, stack = self.site, self.stack
        base = site.catalog.materials[site.roof.base_ply]
        on = stack.surface
        foot = on.corner_near((0.0, self.f.foot), reach=10.0)
        raised = self.s.overflow
        end = on.at_y(self.f.sill, after=foot) if raised else foot
        stack.lay(
            Spec(
                "base-ply",
                Role.BASE_PLY,
                base.id,
                base.name,
                2,
                self.f.sheet(base.id),
                f"{HOW[site.roof.adhesion]}; to the opening"
                + (", up to its sill" if raised else ""),
            ),
            0.0,
            end,
            by_material(site, stack.bodies),
            butt=not raised,
        )

    def liner(self) -> None:
        """The liner's floor with its roof flange, in cement, and its outlet."""
        s, site, stack = self.s, self.site, self.stack
        metal = site.catalog.materials[s.metal]
        cement = site.catalog.materials["plastic-cement"]
        bend = self.f.bend
        sine = -self.f.tilt / hypot(1.0, self.f.tilt)
        outer = bend - s.roof_flange
        on = stack.surface
        before = on.station_of((s.thickness, self.f.sill))
        stack.lay(
            Spec(
                "flange-cement",
                Role.CEMENT,
                cement.id,
                f"{cement.name} under the liner",
                3,
                self.f.bed,
            ),
            on.at_x(outer - sine * self.f.bed, before=before),
            before,
            everywhere(Bond.CEMENT),
        )
        course = stack.get("flange-cement").course
        assert course is not None
        below = [(float(x), float(y)) for x, y in course.coords]
        centre = parallel(below, self.f.bed + self.f.metal / 2.0)
        assert centre is not None, "the liner has room for its bends"
        tip = s.thickness + s.spout
        fall = DRIP / sqrt(2.0)
        y = centre[-1][1]
        centre = [*centre[:-1], (tip - fall, y), (tip, y - fall)]
        body = Body(
            "liner",
            Role.LINER,
            metal.id,
            ribbon(centre, self.f.metal),
            3,
            f"Scupper liner, {metal.name[:1].lower()}{metal.name[1:]}",
            thickness=self.f.metal,
            course=polyline(centre),
            sticks="all joints soldered; flanges primed on both sides, in plastic cement",
        )
        stack.place(body)
        stack.joints += stack.touching(body, Bond.CEMENT, "flange-cement")
        self._prime(centre, body.id)
        top = self.f.flange_top if s.overflow else self.f.inlet
        self.points |= {
            "flange.outer": (
                outer,
                self.f.roof(outer) + self.f.above(self.f.base + self.f.bed),
            ),
            "metal.bend": (bend, top),
            "metal.leaves": (bend, top),
            "sill.top": (0.0, self.f.inlet),
            "wall.outer": (s.thickness, self.f.sill),
            "spout.end": (tip, y - fall),
            "opening.low": (s.thickness / 2.0, self.f.inlet),
            "opening.high": (s.thickness / 2.0, self.f.head - self.f.metal),
        }
        if s.overflow:
            self.points["leg.top"] = (bend, self.f.inlet)

    def _prime(self, centre: list[Point], body_id: str) -> None:
        """Primer on both sides of the roof flange, which is straight to its first bend."""
        a, b = centre[:2]
        n, half = normal(a, b), self.f.metal / 2.0
        slope = (b[1] - a[1]) / (b[0] - a[0])
        last = b[0] - half
        for name, side in (("top", half), ("underside", -half)):
            x, y = a[0] + side * n[0], a[1] + side * n[1]
            ends = [(x, y), (last, y + slope * (last - x))]
            self.stack.coats.append(
                Coat(
                    "flange-primer", f"Primer on the flange, {name}", body_id, Line(ends), 3
                )
            )

    def roof_sheets(self) -> None:
        """Target and finish ply over the roof flange, and the bead at their end."""
        s, site = self.s, self.site
        base = site.catalog.materials[site.roof.base_ply]
        finish = site.catalog.materials[site.roof.finish_ply]
        how = HOW[site.roof.adhesion]
        outer = self.points["flange.outer"][0] - s.strip_in
        on = self.stack.surface
        self._lay(
            Spec(
                "target",
                Role.STRIP_IN,
                base.id,
                "Target, as the base ply",
                4,
                self.f.sheet(base.id),
                f"{how}, fully; covers the roof flange",
            ),
            on.at_x(outer, before=on.station_of(self.points["metal.bend"])),
        )
        self._lay(
            Spec(
                "finish-ply",
                Role.FINISH_PLY,
                finish.id,
                finish.name,
                7,
                self.f.sheet(finish.id),
                f"{how}, fully; to the throat",
            ),
            0.0,
        )
        self.points |= {
            "strip.outer": (outer, self.f.roof(outer) + self.f.above(self.f.base)),
            "roof.low": (self.f.bend, self.f.datum),
            "finish.end": (self.f.bend, self.f.datum),
        }
        self._bead()

    def _lay(self, spec: Spec, start: float) -> None:
        """Lay a sheet to the foot of the leg, or to the throat at the wall's face."""
        stack = self.stack
        on = stack.surface
        if self.s.overflow:
            end = on.corner_near(self._foot(), reach=8.0 + 2.0 * spec.thickness)
        else:
            end = self._end_at_face()
        stack.lay(
            spec,
            start,
            end,
            by_material(self.site, stack.bodies),
            butt=self.s.overflow,
        )

    def _foot(self) -> Point:
        """Return the inside corner at the foot of the leg."""
        near = [
            y
            for b in self.stack.bodies
            if b.role in {Role.STRIP_IN, Role.FINISH_PLY}
            for x, y in b.region.exterior.coords
            if x > self.f.bend - 1.0
        ]
        return (self.f.bend, max([self.points["metal.bend"][1], *near]))

    def _end_at_face(self) -> float:
        """Return the station at the wall's face on what lies uppermost there."""
        on = self.stack.surface
        if not any(b.id == "target" for b in self.stack.bodies):
            return on.corner_near((0.0, self.f.inlet), reach=10.0)
        return on.station_of(self._last_corner("target"))

    def _last_corner(self, body_id: str) -> Point:
        """Return the upper corner of a sheet's end at the throat."""
        course = self.stack.get(body_id).course
        assert course is not None
        (ax, ay), (bx, by) = (c[:2] for c in course.coords[-2:])
        n = normal((ax, ay), (bx, by))
        t = self.stack.get(body_id).thickness
        return (bx + t * n[0], by + t * n[1])

    def _bead(self) -> None:
        """A cove at the foot of the leg, or along the sheets' end in the throat."""
        s, stack = self.s, self.stack
        sealant = self.site.catalog.materials["sealant"]
        on = stack.surface
        if s.overflow:
            foot = on.corner_near(self._foot(), reach=10.0)
            start, end = foot - s.bead, foot + s.bead
        else:
            top = on.station_of(self._last_corner("finish-ply"))
            foot = on.at_y(self.f.inlet + 1e-6, after=top)
            start, end = top, foot + s.bead
        stack.cover(
            Spec("throat-bead", Role.BEAD, sealant.id, "Sealant bead, continuous", 8),
            start,
            end,
            [on.at(start), on.at(end)],
            everywhere(Bond.SEALED),
        )
