"""A metal with a flange round one point of the roof: pipe, vent, pocket or post.

One half is built to the left of the axis: ground, base ply, bed of cement, then the metal,
which is the condition's own, and over it target, finish ply and bead. The two halves of a
section along the fall differ in the tilt of their roof alone.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum, hypot

from detailgen.conditions._bonds import by_material
from detailgen.conditions._condition import Site, Thickening
from detailgen.conditions._ground import DECK_THICKNESS, Plane, Roof, roof_beside
from detailgen.conditions._turn_up_words import HOW
from detailgen.geometry import Line, Point
from detailgen.geometry.regions import vertices
from detailgen.geometry.strips import normal, polyline, ribbon
from detailgen.geometry.surfaces import Surface
from detailgen.section import Body, Bond, Coat, Method, Role
from detailgen.stacking import BondRule, Spec, Stack, everywhere
from detailgen.units import inches

MARGIN = inches(4)
"""How much of the field is drawn past the target, mm."""
NEAR_FOOT = 12.0
"""The corner at the foot of the metal is looked for this near, mm."""
_SHY = 0.01
"""A bed stays this far within the metal that lies on it, mm."""
COLD = "in cold adhesive, away from the flame: it lies on or beside lead"


@dataclass(frozen=True, slots=True)
class PointSizes:
    """What a flange round a point is like, mm."""

    metal: str
    flange: float
    strip_in: float
    bead: float
    lap: float
    """How much the upslope piece of the finish ply laps over the downslope one."""


@dataclass(frozen=True, slots=True)
class Core:
    """What goes up through the roof, as the left half sees it."""

    bodies: tuple[Body, ...]
    x: float
    """Where boards and base ply end."""
    deck_x: float
    """Where the deck ends."""
    tail: tuple[tuple[Point, str], ...]
    """The surface from there on: its points, each with the body that it is reached on."""


def roof_depth(site: Site) -> float:
    """Return the distance from the top of the boards to the deck's underside, mm."""
    roof = site.roof
    deck = roof.deck_thickness or DECK_THICKNESS[roof.deck]
    return fsum(roof.insulation) + (roof.cover_board or 0.0) + deck


def has_boards(site: Site) -> bool:
    """Return whether boards lie on the deck, which close the hole in it."""
    return bool(site.roof.insulation or site.roof.cover_board)


def cut_lines(sizes: PointSizes, face: float) -> tuple[float, float]:
    """Return where the two pieces of the finish ply end, past the axis, mm.

    The upslope piece ends so far down the slope, the downslope one so far up. Where the lap
    is wider than what it goes round, the downslope piece alone comes out behind that, well
    clear of the bead.

    Args:
        sizes: With the lap that is asked.
        face: From the axis to the face that they are fitted against.
    """
    if sizes.lap <= 1.8 * face:
        return sizes.lap / 2.0, sizes.lap / 2.0
    up = 0.9 * face
    return up, max(sizes.lap - up, face + sizes.bead + inches(1.0))


class FlangedPoint:
    """One half in the making; the steps are called in the order of building."""

    def __init__(
        self,
        site: Site,
        thick: Thickening,
        plane: Plane,
        sizes: PointSizes,
        reach: tuple[float, float],
    ) -> None:
        """Start on nothing.

        Args:
            site: Roof, catalogue and rules.
            thick: How much thicker than true thin things are drawn.
            plane: The roof, rising or falling to the axis.
            sizes: Of flange and sheets.
            reach: How far left and how far down the section is drawn, mm.
        """
        self.site, self.thick, self.plane, self.s = site, thick, plane, sizes
        self.left, self.low = reach
        self.points, self.foot = dict[str, Point](), 0.0

    def true(self, material: str) -> float:
        """Return the true thickness of a material, mm."""
        return self.site.catalog.materials[material].thickness

    def sheet(self, material: str) -> float:
        """Return the thickness at which a sheet is drawn, mm."""
        return self.true(material) * self.thick.sheet

    @property
    def metal(self) -> float:
        """Thickness at which the metal is drawn, mm."""
        return self.true(self.s.metal) * self.thick.metal

    @property
    def bed(self) -> float:
        """Thickness at which the bed of cement is drawn, mm."""
        return self.true("plastic-cement") * self.thick.bed

    @property
    def steep(self) -> float:
        """How much longer the roof is than its plan; plumb through square thickness."""
        return hypot(1.0, self.plane.tilt)

    def ground(self, core: Core) -> Roof:
        """Deck and boards up to the core, and the core itself."""
        plane = self.plane
        roof = roof_beside(self.site, plane, self.left, core.x, core.deck_x)
        points = [plane.at(self.left), plane.at(core.x)]
        owners = [roof.top_id]
        for point, owner in core.tail:
            points.append(point)
            owners.append(owner)
        self.core = core
        self.stack = Stack(
            [*roof.bodies, *core.bodies],
            Surface(tuple(points), tuple(owners)),
            [(points[-1][0], self.low), (self.left, self.low)]
            if points[-1][1] > self.low
            else [(self.left, self.low)],
            self.site.mistakes,
        )
        return roof

    def base_ply(self, *, butt: bool = True, stage: int = 2) -> None:
        """The base ply, cut to fit round what goes through the roof, or to the opening."""
        site, stack = self.site, self.stack
        base = site.catalog.materials[site.roof.base_ply]
        thick, falls = self.sheet(base.id), max(-self.plane.tilt, 0.0)
        # a square end on a roof that falls to the opening leans into it
        lean = 0.0 if butt else falls / self.steep * thick
        stack.lay(
            Spec(
                "base-ply",
                Role.BASE_PLY,
                base.id,
                base.name,
                stage,
                thick,
                f"{HOW[site.roof.adhesion]}, cut to fit round it",
            ),
            0.0,
            stack.surface.station_of(self.plane.at(self.core.x - lean)),
            by_material(site, stack.bodies),
            butt=butt,
        )

    def lay_bed(self, face: float, inner: float | None = None, *, stage: int = 3) -> None:
        """The bed of cement under the flange.

        Args:
            face: x of the metal's outer face; the flange runs out from there.
            inner: x at which the bed ends; None where it ends against the core.
            stage: Stage in which it is laid.
        """
        stack, bed, tilt = self.stack, self.bed, self.plane.tilt
        self.foot = face
        sine = tilt / self.steep
        on = stack.surface
        if inner is None:
            end = self.corner(self.core.x, self.sheet(self.site.roof.base_ply))
        else:
            # its square end leans with the roof, and stays under the metal
            edge = self._top_of_cut("base-ply")
            last = min(inner, edge[0]) - max(-sine, 0.0) * bed - _SHY
            end = on.at_x(last, before=on.station_of(edge))
        cement = self.site.catalog.materials["plastic-cement"]
        stack.lay(
            Spec(
                "flange-cement",
                Role.CEMENT,
                cement.id,
                cement.name + " under the flange",
                stage,
                bed,
            ),
            on.at_x(face - self.s.flange + sine * bed, before=end),
            end,
            everywhere(Bond.CEMENT),
            butt=inner is None,
        )
        body = stack.get("flange-cement")
        assert body.course is not None
        a, b = vertices(body.course)[:2]
        self.n = n = normal(a, b)
        self.points["flange.outer"] = (a[0] + bed * n[0], a[1] + bed * n[1])

    def _top_of_cut(self, body_id: str) -> Point:
        """Return the upper corner of a sheet's right end."""
        body = self.stack.get(body_id)
        assert body.course is not None
        a, b = vertices(body.course)[-2:]
        n = normal(a, b)
        return (b[0] + n[0] * body.thickness, b[1] + n[1] * body.thickness)

    def on_flange(self, x: float, above: float = 0.0) -> Point:
        """Return the point over the bed with this x, so far above it, square to it."""
        x0, y0 = self.points["flange.outer"]
        return (x, y0 + self.plane.tilt * (x - x0) + above * self.steep)

    def bent(self, up: Sequence[Point]) -> tuple[Line, Point]:
        """Return the centre line of a metal from its flange's outer end, and that end.

        Args:
            up: The centre line from the foot of its upright on; the foot itself is added.
        """
        half = self.metal / 2.0
        outer = self.points["flange.outer"]
        first = (outer[0] + half * self.n[0], outer[1] + half * self.n[1])
        foot = self.on_flange(up[0][0], half)
        return polyline([first, foot, *up]), first

    def set_metal(self, body: Body) -> None:
        """Set a metal of given shape on the bed; sheets are laid on it afterwards."""
        self.stack.place(body)
        self.stack.joints += self.stack.touching(body, Bond.CEMENT, "flange-cement")
        self.leave(body)

    def leave(self, body: Body) -> None:
        """Say where the metal leaves the membrane, and prime its flange on both sides."""
        t = body.thickness
        outer = self.points["flange.outer"]
        foot = self.on_flange(self.foot, t)
        self.points["metal.leaves"] = foot
        top = (outer[0] + t * self.n[0], outer[1] + t * self.n[1])
        under = self.on_flange(self.foot)
        for name, ends in (("top", (top, foot)), ("underside", (outer, under))):
            self.stack.coats.append(
                Coat(
                    "flange-primer",
                    f"Primer on the flange, {name}",
                    body.id,
                    Line(ends),
                    body.stage,
                )
            )

    def corner(self, x: float, above: float) -> float:
        """Return the station of the inside corner at an upright, so far above the roof."""
        at = (x, self.plane.at(x)[1] + above * self.steep)
        return self.stack.surface.corner_near(at, reach=NEAR_FOOT)

    def _foot(self, above: float) -> float:
        over = self.sheet(self.site.roof.base_ply) + self.bed + self.metal
        return self.corner(self.foot, over + above)

    @property
    def cold(self) -> bool:
        """Whether sheets on the metal stay away from the flame: it is lead."""
        lead = self.site.catalog.materials[self.s.metal].kind == "lead"
        return lead and self.site.roof.adhesion is Method.TORCH

    def _bonds(self, on: frozenset[str]) -> BondRule:
        """Return how a sheet sticks; on lead and on what lies there without a flame."""
        plain = by_material(self.site, self.stack.bodies)
        if not self.cold:
            return plain
        return lambda owner, q: Bond.COLD_ADHESIVE if owner in on else plain(owner, q)

    def target(self, metal_id: str, *, stage: int = 4) -> None:
        """The strip-in ply, from the metal's upright to past the flange."""
        site, stack = self.site, self.stack
        base = site.catalog.materials[site.roof.base_ply]
        how = COLD if self.cold else f"{HOW[site.roof.adhesion]}, fully"
        bonds = self._bonds(frozenset({metal_id, "flange-cement", "base-ply"}))
        end = self._foot(0.0)
        stack.lay(
            Spec(
                "strip-in",
                Role.STRIP_IN,
                base.id,
                "Target (strip-in), as the base ply",
                stage,
                self.sheet(base.id),
                how,
            ),
            stack.surface.at_x(
                self.points["flange.outer"][0] - self.s.strip_in, before=end
            ),
            end,
            bonds,
            butt=True,
        )
        course = stack.get("strip-in").course
        assert course is not None
        self.points["strip.outer"] = vertices(course)[0]

    def finish(self, name: str, *, behind: float | None = None, stage: int = 5) -> None:
        """The finish ply up to the metal's upright.

        Args:
            name: What a callout calls this piece of it.
            behind: x at which the other piece, which comes round what stands here, ends
                under this one; None where it does not come as far.
            stage: Stage in which it is laid.
        """
        site, stack = self.site, self.stack
        finish = site.catalog.materials[site.roof.finish_ply]
        t = self.sheet(finish.id)
        how = f"{HOW[site.roof.adhesion]}, fully"
        sticks = f"{how}; on the target {COLD}" if self.cold else how
        level = self.sheet(site.roof.base_ply)
        cold = frozenset({"strip-in", "finish-ply-lap"})
        if behind is not None:
            end = self._foot(level)
            stack.lay(
                Spec(
                    "finish-ply-lap",
                    Role.FINISH_PLY,
                    finish.id,
                    finish.name + ", downslope piece",
                    stage,
                    t,
                    sticks,
                ),
                stack.surface.at_x(behind, before=end),
                end,
                self._bonds(cold),
                butt=True,
            )
            level += t
        told = f"{finish.name}, {name}"
        stack.lay(
            Spec("finish-ply", Role.FINISH_PLY, finish.id, told, stage, t, sticks),
            0.0,
            self._foot(level),
            self._bonds(cold),
            butt=True,
        )
        level += t
        over = self.sheet(site.roof.base_ply) + self.bed + self.metal + level
        self.points["finish.end"] = (
            self.foot,
            self.plane.at(self.foot)[1] + over * self.steep,
        )

    def bead(self, *, stage: int = 6) -> None:
        """A cove of sealant between the end of the finish ply and the metal."""
        stack, leg = self.stack, self.s.bead
        on = stack.surface
        foot = on.corner_near(self.points["finish.end"], reach=NEAR_FOOT)
        sealant = self.site.catalog.materials["sealant"]
        stack.cover(
            Spec("foot-bead", Role.BEAD, sealant.id, "Sealant bead round the base", stage),
            foot - leg,
            foot + leg,
            [on.at(foot - leg), on.at(foot + leg)],
            everywhere(Bond.SEALED),
        )

    def bent_body(
        self, body_id: str, role: Role, name: str, centre: Line, stage: int, sticks: str
    ) -> Body:
        """Return a piece of the flange's metal, bent along its centre line."""
        return Body(
            body_id,
            role,
            self.s.metal,
            ribbon(vertices(centre), self.metal),
            stage,
            name,
            thickness=self.metal,
            course=centre,
            sticks=sticks,
        )
