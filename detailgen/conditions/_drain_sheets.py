"""The sheets at a drain, in the order of building, to the ring that clamps them."""

from dataclasses import astuple
from math import atan, tan

from detailgen.conditions._bonds import by_material, sheet_bond
from detailgen.conditions._clad_sheet import CladSizes
from detailgen.conditions._condition import Site, Thickening
from detailgen.conditions._drain_ground import DrainGround, lean
from detailgen.conditions._drain_parameters import LIP, RING, SIDE, STRAINER, DrainSizes
from detailgen.conditions._metalwork import driven
from detailgen.conditions._strainer import LEAN, SEAT
from detailgen.conditions._turn_up_words import HOW
from detailgen.geometry import Line, Point
from detailgen.geometry.regions import box, overlap_area
from detailgen.geometry.strips import parallel, polyline, ribbon
from detailgen.section import Body, Bond, Coat, Method, Role
from detailgen.stacking import BondRule, Spec, Stack, everywhere
from detailgen.units import inches

BOLT = 6.0
"""Radius of the head of a ring's bolt, mm."""


def held(site: Site, s: DrainSizes, slope: float, top: str) -> Thickening:
    """Return the view's factors, held down so that the ring still lies on level sheets.

    The bend at the rim wanders under the ring as what lies on it grows.
    """
    t = site.thickening
    at = site.catalog.materials
    roof = site.roof
    sheets = 2.0 * at[roof.base_ply].thickness + at[top].thickness
    beds, metal = 4.0 * at["plastic-cement"].thickness, at[s.metal].thickness
    true = sheets + beds + metal
    drawn = sheets * t.sheet + beds * t.bed + metal * t.metal
    most = 0.8 * LIP / tan(atan(slope) / 2.0) if slope else drawn
    if drawn <= max(most, true):
        return t
    part = max(most - true, 0.0) / (drawn - true)
    return Thickening(*(1.0 + int((f - 1.0) * part * 4.0) / 4.0 for f in astuple(t)))


class DrainSheets:
    """The sheets of a drain in the making; steps come in the order of building."""

    def __init__(
        self, s: DrainSizes, site: Site, ground: DrainGround, top: str = ""
    ) -> None:
        """Start on the bare ground; `top` is clamped uppermost, if not the finish ply."""
        self.s, self.site, self.ground = s, site, ground
        self.thick = held(site, s, ground.slope, top or site.roof.finish_ply)
        self.stack = Stack(ground.bodies, ground.surface, ground.closing, site.mistakes)
        self.points: dict[str, Point] = {
            "bowl.lip": (-s.bowl, ground.rim_level),
            "edge.top": (-s.bowl, ground.rim_level),
            "drain.axis": (0.0, ground.rim_level),
            "sump.edge": (-s.sump, ground.field_level),
            "sump.low": (-s.rim, ground.rim_level),
        }

    def _true(self, material: str) -> float:
        return self.site.catalog.materials[material].thickness

    def _sheet(self, material: str) -> float:
        return self._true(material) * self.thick.sheet

    def _lip(self) -> float:
        """Return the station of the corner at which the surface turns into the bowl."""
        on = self.stack.surface
        level = self.ground.rim_level - 1e-6
        return max(
            m for m, p in zip(on.stations(), on.points, strict=True) if p[1] >= level
        )

    def _down(self, depth: float) -> float:
        """Return the station so far down the wall of the bowl."""
        return self.stack.surface.at_y(self.ground.rim_level - depth, after=self._lip())

    def _out(self, x: float) -> float:
        """Return the station so far from the axis on the roof."""
        return self.stack.surface.at_x(-x, before=self._lip())

    def _slope_at(self, x: float) -> float:
        return self.ground.slope if x < self.s.sump else self.site.roof.slope

    def bed(
        self,
        body_id: str,
        name: str,
        stage: int,
        ends: tuple[float, float],
        material: str = "plastic-cement",
    ) -> None:
        """Spread a bed of cement between two stations."""
        cement = self.site.catalog.materials[material]
        thick = cement.thickness * self.thick.bed
        self.stack.lay(
            Spec(body_id, Role.CEMENT, cement.id, name, stage, thick),
            *ends,
            everywhere(Bond.CEMENT),
        )

    def base_ply(self) -> None:
        """The base ply, next to the opening in plastic cement, cut down into the bowl."""
        s, site = self.s, self.site
        lip = (-s.bowl, self.ground.rim_level)
        out = s.bowl + s.base_cement
        start = self.stack.surface.at_x(-out, before=self._lip())
        end = self.stack.surface.station_of(lip)
        self.bed("base-cement", "Plastic cement under the base ply", 2, (start, end))
        base = site.catalog.materials[site.roof.base_ply]
        field = by_material(site, self.stack.bodies)
        self.stack.lay(
            Spec(
                "base-ply",
                Role.BASE_PLY,
                base.id,
                base.name,
                2,
                self._sheet(base.id),
                f"{HOW[site.roof.adhesion]}; in plastic cement next to the drain, cut into "
                "the bowl",
            ),
            0.0,
            self._down(s.base_drop),
            lambda owner, q: (
                Bond.CEMENT if owner in {"base-cement", "bowl"} else field(owner, q)
            ),
        )
        self.points["base.cement"] = (-out, self.ground.rim_level)

    def metal(self) -> None:
        """The square of metal, primed, in plastic cement, dressed into the bowl."""
        s, site, stack = self.s, self.site, self.stack
        thick = self._true("plastic-cement") * self.thick.bed
        off = lean(self._slope_at(s.half), thick)
        cut = stack.get("base-ply").course
        assert cut is not None
        last = cut.coords[-1]
        inward = self._sheet(site.roof.base_ply)
        end = stack.surface.station_of((last[0] + inward, last[1]))
        self.bed(
            "flange-cement",
            "Plastic cement under the metal",
            3,
            (self._out(s.half + off), end),
        )
        metal = site.catalog.materials[s.metal]
        body = stack.lay(
            Spec(
                "drain-metal",
                Role.DRAIN_LEAD,
                metal.id,
                f"Square of metal, {metal.name[:1].lower()}{metal.name[1:]}",
                3,
                metal.thickness * self.thick.metal,
                "primed on both sides, in plastic cement, "
                + ("dressed" if metal.kind == "lead" else "formed")
                + " into the bowl",
            ),
            stack.outer_top("flange-cement"),
            self._down(s.dressed),
            lambda owner, _: Bond.CEMENT if owner == "flange-cement" else Bond.DRY,
        )
        self._prime(body)
        self.points |= {
            "flange.outer": (-s.half, self._start(body)[1]),
            "metal.end": (-s.bowl, self.ground.rim_level - s.dressed),
            "metal.bend": (-s.bowl, stack.surface.at(self._lip())[1]),
            "metal.leaves": stack.surface.at(self._out(s.ring_outer)),
        }

    def _prime(self, body: Body) -> None:
        assert body.course is not None
        below = [(float(x), float(y)) for x, y in body.course.coords]
        above = parallel(below, body.thickness) or []
        level = self.ground.rim_level
        for name, line in (("top", above), ("underside", below)):
            run = [p for p in line if p[1] > level]
            if len(run) > 1:
                self.stack.coats.append(
                    Coat(
                        "flange-primer",
                        f"Primer on the metal, {name}",
                        body.id,
                        Line(run),
                        3,
                    )
                )

    def target(self) -> None:
        """The target, its innermost part in plastic cement, past the metal."""
        s, site, stack = self.s, self.site, self.stack
        self.bed(
            "target-cement",
            "Plastic cement under the target",
            4,
            (self._out(s.inner + s.target_cement), self._out(s.inner)),
        )
        base = site.catalog.materials[site.roof.base_ply]
        outer = s.half + s.target
        stack.lay(
            Spec(
                "target",
                Role.STRIP_IN,
                base.id,
                "Target, as the base ply",
                4,
                self._sheet(base.id),
                f"in plastic cement at the ring, then {self._beside_lead().value}",
            ),
            self._out(outer),
            self._top_of_end("target-cement"),
            self._target_bonds(),
        )
        self.points |= {
            "strip.outer": (-outer, self._start(stack.get("target"))[1]),
            "target.cement": (-s.inner - s.target_cement, self.ground.rim_level),
            "sheets.inner": (-s.inner, self.ground.rim_level),
        }

    def _beside_lead(self) -> Bond:
        """Return how the target is stuck past its cement: without a flame."""
        if self.site.roof.adhesion is Method.TORCH:
            return Bond.COLD_ADHESIVE
        return sheet_bond(self.site, self.site.roof.base_ply)

    def _target_bonds(self) -> BondRule:
        rest = self._beside_lead()
        return lambda owner, _: Bond.CEMENT if owner == "target-cement" else rest

    def finish_ply(self) -> None:
        """The finish ply, its inner end under the ring."""
        site = self.site
        self._finish(
            f"{HOW[site.roof.adhesion]}, fully; its inner end under the ring",
            5,
            self._top_of_end("target"),
        )

    def clad_sheet(self, c: CladSizes) -> None:
        """The clad sheet, over the target and past it, its inner end under the ring."""
        s, site, stack = self.s, self.site, self.stack
        outer = s.half + s.target + c.past
        start, end = self._out(outer), self._top_of_end("target")
        bond, below = Bond.TORCHED, "target"
        if c.cement:
            thick = self._true("clad-cement") * self.thick.bed
            start = self._out(outer + lean(self._slope_at(outer), thick))
            name = "Solvent-free flashing cement under the clad sheet"
            self.bed("clad-cement", name, 5, (start, end), "clad-cement")
            start, bond, below = stack.outer_top("clad-cement"), Bond.CEMENT, "clad-cement"
            end = self._top_of_end(below)
        clad = site.catalog.materials[c.material]
        body = stack.lay(
            Spec(
                "clad-sheet",
                Role.CLAD_SHEET,
                clad.id,
                clad.name,
                5,
                self._sheet(clad.id),
                "in solvent-free flashing cement on both faces"
                if c.cement
                else "torched, fully",
            ),
            start,
            end,
            everywhere(bond),
        )
        self.points["clad.outer"] = (-outer, self._start(body)[1])

    def finish_on_clad(self, c: CladSizes) -> None:
        """The border of the clad sheet's face, primed, and the finish ply lapped on it."""
        s, stack = self.s, self.stack
        outer = s.half + s.target + c.past
        stack.coat(
            "clad-border",
            "Primer on the border of the clad sheet's face",
            6,
            stack.outer_top("clad-sheet"),
            self._out(outer - c.border),
        )
        end = self._out(outer - c.lap)
        level = stack.surface.at(end)[1]
        how = HOW[self.site.roof.adhesion]
        self._finish(f"{how}, fully; lapped on the clad sheet's primed border", 6, end)
        self.points["finish.end"] = (c.lap - outer, level)

    def _finish(self, sticks: str, stage: int, end: float) -> None:
        site, stack = self.site, self.stack
        finish = site.catalog.materials[site.roof.finish_ply]
        stack.lay(
            Spec(
                "finish-ply",
                Role.FINISH_PLY,
                finish.id,
                finish.name,
                stage,
                self._sheet(finish.id),
                sticks,
            ),
            0.0,
            end,
            by_material(site, stack.bodies),
        )

    def _top_of_end(self, body_id: str) -> float:
        """Return the station of the upper corner of a sheet's end under the ring."""
        on = self.stack.surface
        body = self.stack.get(body_id)
        top = max(y for x, y in body.region.exterior.coords if x > -self.s.inner - 1e-3)
        return on.station_of((-self.s.inner, top))

    def _start(self, body: Body) -> Point:
        assert body.course is not None
        x, y = body.course.coords[0][:2]
        return (float(x), float(y))

    def ring(self, top_id: str, stage: int) -> None:
        """The clamping ring with its bolts, tightened last."""
        s, stack = self.s, self.stack
        level = stack.surface.at(self._top_of_end(top_id))[1]
        iron = self.site.catalog.materials["drain-cast-iron"]
        ring = Body(
            "clamping-ring",
            Role.CLAMPING_RING,
            iron.id,
            box(-s.ring_outer, level, -s.ring_inner, level + RING),
            stage,
            "Clamping ring",
            thickness=RING,
            sticks="its bolts tightened evenly, last of all",
        )
        stack.add(ring)
        stack.joints += stack.touching(ring, Bond.FASTENED, top_id)
        middle = -s.ring_inner - s.ring / 2.0
        head = level + RING
        bolt = driven(
            "ring-bolt-1",
            self.site.catalog.materials["ring-bolt"].id,
            "Bolt of the clamping ring",
            stage,
            (middle, head),
            (middle, self.ground.rim_level - inches(0.2)),
            shank=inches(0.375),
            cap=2.0 * BOLT,
            cap_depth=5.0,
        )
        stack.add(bolt)
        through = [
            b.id
            for b in stack.bodies
            if b.id != bolt.id and overlap_area(b.region, bolt.region) > 1e-6
        ]
        stack.pierce(bolt.id, through)
        roof = stack.surface.at(self._out(s.ring_outer))[1]
        self.points["roof.datum"] = (-s.ring_outer, roof)
        self._strainer(head, roof, stage + 1)

    def _strainer(self, foot: float, roof: float, stage: int) -> None:
        """A dome on the ring, or a flat plate."""
        s, half = self.s, STRAINER / 2.0
        seat = min(10.0, s.ring / 2.0 - BOLT - 3.0)
        start = (-s.ring_inner - seat, foot + half)
        if s.dome:
            rise = max(roof + s.strainer_height - foot - STRAINER, STRAINER)
            r = s.ring_inner
            centre = [
                start,
                (SEAT - r, foot + half),
                (SEAT - (1.0 - LEAN) * r, foot + half + SIDE * rise),
                (-0.55 * r, foot + half + rise),
                (0.0, foot + half + rise),
            ]
            self.points["strainer.top"] = (0.0, foot + STRAINER + rise)
        else:
            centre = [start, (0.0, foot + half)]
            self.points["strainer.top"] = (0.0, foot + STRAINER)
        iron = self.site.catalog.materials["drain-cast-iron"]
        body = Body(
            "strainer",
            Role.STRAINER,
            iron.id,
            ribbon(centre, STRAINER),
            stage,
            "Strainer, a dome" if s.dome else "Strainer, flat",
            thickness=STRAINER,
            course=polyline(centre),
            sticks="screwed or locked to the ring",
        )
        self.stack.add(body)
        self.stack.joints += self.stack.touching(body, Bond.FASTENED, "clamping-ring")
