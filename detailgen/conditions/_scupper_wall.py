"""A scupper in the wall: the head of its liner, the wall flange, and the wall's sheets."""

from detailgen.conditions._bonds import by_material
from detailgen.conditions._scupper_frame import Frame
from detailgen.conditions._terminations import SLOT, Terminated, reglet
from detailgen.conditions._turn_up_words import HOW
from detailgen.geometry import Line, Point
from detailgen.geometry.regions import box, cut
from detailgen.geometry.surfaces import Surface
from detailgen.section import Body, Bond, Coat, Role
from detailgen.stacking import Spec, Stack, everywhere
from detailgen.units import inches

OUTER_FLANGE = inches(1)
"""Turn-up of the liner on the outer face of the wall (common practice, no source)."""
ABOVE_HEAD = inches(0.25)
"""Sheets on the wall end this much above the head of the opening (common practice)."""


class WallSide:
    """The wall over a scupper; the steps are called in the order of building."""

    def __init__(self, frame: Frame) -> None:
        """Start with the wall, a reglet cut into it."""
        self.f, self.s, self.site = frame, frame.s, frame.site
        self.points: dict[str, Point] = {}
        wall = self.site.catalog.materials[f"wall-{self.s.wall}"]
        self._ground(wall.id, wall.name)

    def _ground(self, material: str, name: str) -> None:
        """The wall over the opening: a stack of its own, since air lies between."""
        s, e = self.s, self.f.ends
        self.top = e.top("reglet")
        slot = box(0.0, e.reglet, e.depth, e.reglet + SLOT)
        region = cut(box(0.0, self.f.head, s.thickness, self.top), [slot])[0]
        wall = Body("wall", Role.WALL, material, region, 0, name)
        points = (
            (s.thickness, self.f.head + OUTER_FLANGE + s.bead + 1.0),
            (s.thickness, self.f.head),
            (0.0, self.f.head),
            (0.0, e.reglet),
            (e.depth, e.reglet),
            (e.depth, e.reglet + SLOT),
            (0.0, e.reglet + SLOT),
            (0.0, self.top),
        )
        self.stack = Stack(
            [wall],
            Surface(points, ("wall",) * 7),
            [(s.thickness, self.top)],
            self.site.mistakes,
        )
        on = self.stack.surface
        self.stack.coat(
            "wall-primer",
            "Primer on the wall, dry before anything is stuck to it",
            1,
            on.station_of((0.0, self.f.head)),
            on.at_y_back(e.flashing_top),
        )

    def wall_flange(self) -> None:
        """The liner's head with its flanges on both faces of the wall."""
        s, site, stack = self.s, self.site, self.stack
        cement = site.catalog.materials["plastic-cement"]
        metal = site.catalog.materials[s.metal]
        on = stack.surface
        corner = on.station_of((0.0, self.f.head))
        stack.lay(
            Spec(
                "wall-flange-cement",
                Role.CEMENT,
                cement.id,
                f"{cement.name} under the wall flange",
                3,
                self.f.bed,
            ),
            corner,
            corner + s.wall_flange,
            everywhere(Bond.CEMENT),
        )
        on = stack.surface
        start = on.station_of((s.thickness, self.f.head + OUTER_FLANGE))
        end = on.station_of((-self.f.bed, self.f.head + s.wall_flange))
        body = stack.lay(
            Spec(
                "liner-head",
                Role.LINER,
                metal.id,
                f"Scupper liner, {metal.name[:1].lower()}{metal.name[1:]}",
                3,
                self.f.metal,
                "all joints soldered; flanges primed on both sides, in plastic cement",
            ),
            start,
            end,
            lambda owner, _: Bond.CEMENT if owner == "wall-flange-cement" else Bond.DRY,
        )
        face = -self.f.bed - self.f.metal
        for name, x in (("top", face), ("underside", -self.f.bed)):
            stack.coats.append(
                Coat(
                    "flange-primer",
                    f"Primer on the flange, {name}",
                    body.id,
                    Line([(x, self.f.head), (x, self.f.head + s.wall_flange)]),
                    3,
                )
            )
        self.points |= {
            "wall-flange.low": (face, self.f.head),
            "wall-flange.top": (face, self.f.head + s.wall_flange),
        }
        self._outer_bead()

    def _outer_bead(self) -> None:
        s, stack = self.s, self.stack
        sealant = self.site.catalog.materials["sealant"]
        on = stack.surface
        y = self.f.head + OUTER_FLANGE
        foot = on.station_of((s.thickness, y))
        leg = s.bead
        run = min(leg, self.f.metal)
        # it lies in the angle between wall and the flange's upper edge
        stack.cover(
            Spec("outer-bead", Role.BEAD, sealant.id, "Sealant over the outer flange", 3),
            foot - leg,
            foot + run,
            [on.at(foot - leg), on.at(foot + run)],
            everywhere(Bond.SEALED),
        )

    def wall_sheets(self) -> Terminated:
        """The wall's sheets over its flange, and the counterflashing over them."""
        s, site, stack = self.s, self.site, self.stack
        base = site.catalog.materials[site.roof.base_ply]
        how = HOW[site.roof.adhesion]
        low = self.f.head + ABOVE_HEAD
        on = stack.surface
        strip_top = self.f.head + s.wall_flange + s.strip_in
        stack.lay(
            Spec(
                "wall-strip",
                Role.STRIP_IN,
                base.id,
                "Strip-in ply over the wall flange, as the base ply",
                5,
                self.f.sheet(base.id),
                f"{how}, fully",
            ),
            on.station_of((-self.f.bed - self.f.metal, low)),
            on.at_y_back(strip_top),
            by_material(site, stack.bodies),
        )
        self._flashing(low)
        done = reglet(stack, site, self.f.ends, s.lap, s.cf_metal, not s.foil)
        # a row between that comes at the level of the opening has no wall there
        stack.bodies[:] = [
            b for b in stack.bodies if b.role is not Role.FASTENER or b.pierces
        ]
        self.points |= {
            **done.points,
            "strip.top": (0.0, strip_top),
            "flashing.top": (0.0, self.f.ends.flashing_top),
        }
        return done

    def _flashing(self, low: float) -> None:
        s, site, stack = self.s, self.site, self.stack
        x = -self.f.bed - self.f.metal - self.f.sheet(site.roof.base_ply)
        start = stack.surface.station_of((x, low))
        bonds = by_material(site, stack.bodies)
        if not s.foil:
            cement = site.catalog.materials["flashing-cement"]
            bed = cement.thickness * self.f.thick.bed
            stack.lay(
                Spec(
                    "flashing-cement",
                    Role.CEMENT,
                    cement.id,
                    cement.name,
                    6,
                    bed,
                    "thin coat on both faces",
                ),
                start,
                stack.surface.at_y_back(self.f.ends.flashing_top),
                everywhere(Bond.CEMENT),
            )
            start, bonds = stack.surface.station_of((x - bed, low)), everywhere(Bond.CEMENT)
        sheet = site.catalog.materials["flashing-foil" if s.foil else "flashing-granule"]
        stack.lay(
            Spec(
                "flashing",
                Role.FLASHING,
                sheet.id,
                sheet.name,
                6,
                self.f.sheet(sheet.id),
                f"{HOW[site.roof.adhesion]}, fully; over the wall flange"
                if s.foil
                else "in flashing cement on both faces, top edge fastened",
            ),
            start,
            stack.surface.at_y_back(self.f.ends.flashing_top),
            bonds,
        )
