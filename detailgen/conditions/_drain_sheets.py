"""The sheets at a drain, in the order of building, to the ring that clamps them."""

from detailgen.conditions._bonds import by_material, sheet_bond
from detailgen.conditions._condition import Site
from detailgen.conditions._drain_ground import DrainGround, lean
from detailgen.conditions._drain_parameters import DrainSizes
from detailgen.conditions._metalwork import driven
from detailgen.conditions._turn_up_words import HOW
from detailgen.geometry import Line, Point
from detailgen.geometry.regions import box, overlap_area
from detailgen.geometry.strips import parallel, polyline, ribbon
from detailgen.section import Body, Bond, Coat, Method, Role
from detailgen.stacking import BondRule, Spec, Stack, everywhere
from detailgen.units import inches

RING = inches(0.375)
"""Thickness of the clamping ring (common practice, no source)."""
STRAINER = 5.0
"""Thickness of a cast strainer, mm (common practice, no source)."""
BOLT = 6.0
"""Radius of the head of a ring's bolt, mm."""


class DrainSheets:
    """The sheets of a drain in the making; the steps are called in the order of building."""

    def __init__(self, s: DrainSizes, site: Site, ground: DrainGround) -> None:
        """Start on the bare ground."""
        self.s, self.site, self.ground = s, site, ground
        self.stack = Stack(ground.bodies, ground.surface, ground.closing)
        self.points: dict[str, Point] = {
            "bowl.lip": (-s.bowl, ground.rim_level),
            "drain.axis": (0.0, ground.rim_level),
            "sump.edge": (-s.sump, ground.field_level),
            "sump.low": (-s.rim, ground.rim_level),
        }

    def _true(self, material: str) -> float:
        return self.site.catalog.materials[material].thickness

    def _sheet(self, material: str) -> float:
        return self._true(material) * self.site.thickening.sheet

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

    def bed(self, body_id: str, name: str, stage: int, ends: tuple[float, float]) -> None:
        """Spread a bed of plastic cement between two stations."""
        cement = self.site.catalog.materials["plastic-cement"]
        thick = cement.thickness * self.site.thickening.bed
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
        thick = self._true("plastic-cement") * site.thickening.bed
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
                metal.thickness * site.thickening.metal,
                "primed on both sides, in plastic cement, dressed into the bowl with a "
                "mallet",
            ),
            stack.outer_top("flange-cement"),
            self._down(s.dressed),
            lambda owner, _: Bond.CEMENT if owner == "flange-cement" else Bond.DRY,
        )
        self._prime(body)
        self.points |= {
            "flange.outer": (-s.half, self._start(body)[1]),
            "metal.end": (-s.bowl, self.ground.rim_level - s.dressed),
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

    def finish_ply(self, start: float = 0.0) -> None:
        """The finish ply, its inner end under the ring."""
        site, stack = self.site, self.stack
        finish = site.catalog.materials[site.roof.finish_ply]
        stack.lay(
            Spec(
                "finish-ply",
                Role.FINISH_PLY,
                finish.id,
                finish.name,
                5,
                self._sheet(finish.id),
                f"{HOW[site.roof.adhesion]}, fully; its inner end under the ring",
            ),
            start,
            self._top_of_end("target"),
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
        iron = self.site.catalog.materials["cast-iron"]
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
            top = roof + s.strainer_height
            rise = max(top - foot - STRAINER, STRAINER)
            r = s.ring_inner
            centre = [
                start,
                (-r + 4.0, foot + half),
                (-0.9 * r + 4.0, foot + half + 0.7 * rise),
                (-0.55 * r, foot + half + rise),
                (0.0, foot + half + rise),
            ]
            self.points["strainer.top"] = (0.0, foot + STRAINER + rise)
        else:
            centre = [start, (0.0, foot + half)]
            self.points["strainer.top"] = (0.0, foot + STRAINER)
        iron = self.site.catalog.materials["cast-iron"]
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
