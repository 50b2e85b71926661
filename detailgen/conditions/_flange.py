"""A metal flange set in the membrane: bed, metal, nails, strip-in, finish ply, bead."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil, fsum, hypot

from detailgen.conditions._bonds import by_material
from detailgen.conditions._condition import Site, Thickening
from detailgen.conditions._metalwork import FOLD, driven
from detailgen.conditions._turn_up_words import HOW
from detailgen.geometry import Line, Point
from detailgen.geometry.regions import overlap_area
from detailgen.geometry.strips import normal, polyline, ribbon
from detailgen.section import Body, Bond, Coat, Role
from detailgen.stacking import Spec, Stack, everywhere
from detailgen.units import inches

_ROUND = inches(0.25)
"""Nails come in steps of 1/4 in (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class FlangeSizes:
    """What a flange at an edge is like, mm."""

    flush: bool
    metal: str
    width: float
    rise: float
    strip_in: float
    finish_gap: float
    bead: float
    rows: int
    nail_length: float | None
    taper: tuple[float, float] | None
    """Height and length of a tapered strip under the flange, or None."""


class Flange:
    """A flange in the making; the steps are called in the order of building."""

    def __init__(
        self, stack: Stack, site: Site, thick: Thickening, sizes: FlangeSizes
    ) -> None:
        """Start on a stack on which the sheet below the metal already lies."""
        self.stack, self.site, self.thick, self.s = stack, site, thick, sizes
        self.flush = sizes.flush
        self.points: dict[str, Point] = {}
        self.notes: list[str] = []
        self.row_at: list[float] = []
        self.bend = 0.0

    def _true(self, material: str) -> float:
        return self.site.catalog.materials[material].thickness

    def _sheet(self, material: str) -> float:
        return self._true(material) * self.thick.sheet

    def top_corner(self) -> float:
        """Return the station of the outer corner at the top of the edge."""
        return top_corner(self.stack)

    def set_metal(self, face: Sequence[Point], foot: float) -> None:
        """Bed the flange in cement and set the metal, its face as given.

        Args:
            face: Centre line of the face from its foot down, the kick included.
            foot: Height of the outer side's bend at the foot of the face.
        """
        site, stack = self.site, self.stack
        metal = site.catalog.materials[self.s.metal]
        t = metal.thickness * self.thick.metal
        self.face_x = face[0][0]
        bend = self.face_x + t / 2.0 if self.flush else self.face_x - 1.5 * t
        self._bed(bend - self.s.width)
        bed = self.stack.get("flange-cement")
        assert bed.course is not None
        below = [(float(x), float(y)) for x, y in bed.course.coords]
        n = normal(below[0], below[-1])
        outer, inner = (
            (q[0] + n[0] * bed.thickness, q[1] + n[1] * bed.thickness)
            for q in (below[0], below[-1])
        )
        slope = (inner[1] - outer[1]) / (inner[0] - outer[0])
        lift = hypot(1.0, slope) * t / 2.0

        def flange(x: float) -> Point:
            return (x, outer[1] + slope * (x - outer[0]) + lift)

        first = (outer[0] + n[0] * t / 2.0, outer[1] + n[1] * t / 2.0)
        x = self.face_x
        if self.flush:
            centre = [first, flange(x), *face]
        else:
            inner = x - t + FOLD
            top = flange(inner)[1] + self.s.rise
            centre = [first, flange(inner), (inner, top), (x, top), *face]
        body = Body(
            "edge-metal",
            Role.EDGE_METAL,
            metal.id,
            ribbon(centre, t),
            4,
            "Edge metal, " + metal.name.lower(),
            thickness=t,
            course=polyline(centre),
            sticks="flange primed both sides, in plastic cement, nailed",
        )
        stack.place(body)
        stack.joints += stack.touching(body, Bond.CEMENT, "flange-cement")
        stack.joints += stack.touching(body, Bond.DRY, "cleat")
        ends = (flange(bend), flange(min(bend, x - t / 2.0)))
        self._prime_flange((first, n), ends, t / 2.0, lift)
        top_at = flange(bend)[1] + lift
        gap = site.rules.value("finish_gap_flush_most")
        leave = bend - gap if self.flush else bend
        self.points |= {
            "flange.outer": outer,
            "metal.bend": (bend, top_at),
            "metal.leaves": (leave, flange(leave)[1] + lift),
            "face.bottom": (x + t / 2.0, foot),
            "leg.top": (bend, top_at + self.s.rise),
        }
        if self.flush:
            del self.points["leg.top"]
        self.bend, self.flange_at, self.metal_t = bend, flange, t
        self.normal = n

    def _bed(self, outer: float) -> None:
        cement = self.site.catalog.materials["plastic-cement"]
        on = self.stack.surface
        corner = self.top_corner()
        before, last = on.at(corner - 1.0), on.at(corner)
        bed = cement.thickness * self.thick.bed
        # square ends lean: the outer one so that the metal on the bed has its width, the
        # inner one, where the roof falls outward, toward the face
        rise = (last[1] - before[1]) / max(last[0] - before[0], 0.1)
        fall = max(-rise, 0.0)
        self.stack.lay(
            Spec(
                "flange-cement",
                Role.CEMENT,
                cement.id,
                cement.name + " under the flange",
                4,
                bed,
            ),
            on.at_x(outer + rise / hypot(1.0, rise) * bed, before=corner),
            corner - fall * bed - 0.01,
            everywhere(Bond.CEMENT),
        )

    def _prime_flange(
        self, outer: tuple[Point, Point], inner: tuple[Point, Point], half: float, up: float
    ) -> None:
        first, n = outer
        for name, side, last in (("top", 1, inner[0]), ("underside", -1, inner[1])):
            ends = [
                (first[0] + side * n[0] * half, first[1] + side * n[1] * half),
                (last[0], last[1] + side * up),
            ]
            self.stack.coats.append(
                Coat(
                    "flange-primer",
                    f"Primer on the flange, {name}",
                    "edge-metal",
                    Line(ends),
                    4,
                )
            )

    def drive_nails(self) -> None:
        """Nails through the flange, one of each row."""
        s, site = self.s, self.site
        nail = site.catalog.materials["flange-nail"]
        self.row_at = nail_rows(s)
        drawn, true = self._over_wood()
        length = s.nail_length or usual_nail(site, s)
        n = self.normal
        for i, d in enumerate(self.row_at):
            at = self.flange_at(self.bend - s.width + d)
            head = (at[0] + n[0] * self.metal_t / 2.0, at[1] + n[1] * self.metal_t / 2.0)
            deep = length + drawn(d) - true(d)  # as deep in the wood as at true size
            body = driven(
                f"nail-{i + 1}",
                nail.id,
                "Large-head barbed nail",
                4,
                head,
                (head[0] - n[0] * deep, head[1] - n[1] * deep),
                shank=3.2,
                cap=inches(0.375),
                cap_depth=-0.9 * self.metal_t,
            )
            self.stack.add(body)
            through = [
                b.id
                for b in self.stack.bodies
                if b.id != body.id
                and b.role is not Role.FASTENER
                and overlap_area(b.region, body.region) > 1e-6
            ]
            self.stack.pierce(body.id, through)
        if length > inches(1.5) + 1e-6:
            self.notes.append(
                f"Flange nails {length / 25.4:g} in ({length:.0f} mm) long: what lies over "
                "the wood takes more than a 1 1/2 in nail leaves for its bite."
            )

    def _over_wood(self) -> tuple[Callable[[float], float], Callable[[float], float]]:
        """Return how thick it is over the wood at a row: as drawn, and at true size, mm."""
        base, cement = self._true(self.site.roof.base_ply), self._true("plastic-cement")
        metal = self._true(self.s.metal)
        t = self.thick
        thick = base * t.sheet + cement * t.bed + metal * t.metal
        true = base + cement + metal
        return lambda d: thick + tapered(self.s, d), lambda d: true + tapered(self.s, d)

    def cover(self) -> None:
        """Strip-in ply, finish ply and bead."""
        s, site, stack = self.s, self.site, self.stack
        base = site.catalog.materials[site.roof.base_ply]
        finish = site.catalog.materials[site.roof.finish_ply]
        how = HOW[site.roof.adhesion]
        outer = self.points["flange.outer"][0] - s.strip_in
        bonds = by_material(site, stack.bodies)
        bend = stack.surface.station_of(self.points["metal.bend"])
        end, butt = self._end_on_metal(), not self.flush
        stack.lay(
            Spec(
                "strip-in",
                Role.STRIP_IN,
                base.id,
                "Strip-in ply, as the base ply",
                5,
                self._sheet(base.id),
                f"{how}, fully; covers flange and nails",
            ),
            stack.surface.at_x(outer, before=bend),
            end,
            bonds,
            butt=butt,
        )
        end = self._top_of_cut("strip-in") if self.flush else self._end_on_metal()
        stack.lay(
            Spec(
                "finish-ply",
                Role.FINISH_PLY,
                finish.id,
                finish.name,
                6,
                self._sheet(finish.id),
                f"{how}, fully",
            ),
            0.0,
            end,
            by_material(site, stack.bodies),
            butt=butt,
        )
        self.points["strip.outer"] = _start(stack.get("strip-in"))
        self.points["finish.end"] = (
            (self.bend - self.s.finish_gap, self.points["metal.bend"][1])
            if self.flush
            else self.points["metal.bend"]
        )
        self._bead()

    def _end_on_metal(self) -> float:
        """Return where a ply ends: at the foot of the leg, or short of the bend."""
        on = self.stack.surface
        if not self.flush:
            near = [
                y
                for b in self.stack.bodies
                if b.id == "strip-in"
                for x, y in b.region.exterior.coords
                if x > self.bend - 1.0
            ]
            top = max([self.points["metal.bend"][1], *near])
            return on.corner_near((self.bend, top), reach=10.0)
        x = self.bend - self.s.finish_gap
        return on.at_x(x, before=on.station_of(self.points["metal.bend"]))

    def _top_of_cut(self, body_id: str) -> float:
        """Return the station of the upper edge of a sheet's square end."""
        body = self.stack.get(body_id)
        assert body.course is not None
        (ax, ay), (bx, by) = (c[:2] for c in body.course.coords[-2:])
        n = normal((ax, ay), (bx, by))
        return self.stack.surface.station_of((
            bx + n[0] * body.thickness,
            by + n[1] * body.thickness,
        ))

    def _bead(self) -> None:
        """A cove between the ply's end and the leg, or along the ply's end on the metal."""
        stack, leg = self.stack, self.s.bead
        sealant = self.site.catalog.materials["sealant"]
        on = stack.surface
        if self.flush:
            cut_top = self._top_of_cut("finish-ply")
            foot = self._end_on_metal()
            start, end = max(cut_top, foot - leg), foot + leg
        else:
            top = max(
                y
                for x, y in stack.get("finish-ply").region.exterior.coords
                if x > self.bend - 1.0
            )
            foot = on.corner_near((self.bend, top), reach=10.0)
            start, end = foot - leg, foot + leg
        stack.cover(
            Spec("edge-bead", Role.BEAD, sealant.id, "Sealant bead, continuous", 7),
            start,
            end,
            [on.at(start), on.at(end)],
            everywhere(Bond.SEALED),
        )


def nail_rows(s: FlangeSizes) -> list[float]:
    """Return how far each row of nails stands from the flange's outer end, mm."""
    first, last = min(inches(1.0), s.width / 4.0), 0.625 * s.width
    return [first + i * (last - first) / max(s.rows - 1, 1) for i in range(s.rows)]


def usual_nail(site: Site, s: FlangeSizes) -> float:
    """Return the length of nail that is taken where the job gives none, mm."""
    sheets = (site.roof.base_ply, "plastic-cement", s.metal)
    over = fsum(site.catalog.materials[m].thickness for m in sheets)
    deepest = max(over + tapered(s, d) for d in nail_rows(s))
    bite = site.rules.value("nail_bite_least")
    return max(inches(1.5), ceil((deepest + bite) / _ROUND - 1e-6) * _ROUND)


def tapered(s: FlangeSizes, d: float) -> float:
    """Return the height of the tapered strip so far from the flange's outer end, mm."""
    strip, run = s.taper or (0.0, 1.0)
    return strip * (1.0 - (s.width - d) / run) if strip else 0.0


def top_corner(stack: Stack) -> float:
    """Return the station of the outer corner at the top of an edge."""
    on = stack.surface
    high = max((q for q in on.points if q[0] > -inches(0.25)), key=lambda q: (q[1], q[0]))
    return on.station_of(high)


def _start(body: Body) -> Point:
    assert body.course is not None
    x, y = body.course.coords[0][:2]
    return (float(x), float(y))
