"""A turn-up on a cant: the sheets from the field to the top of the flashing."""

from dataclasses import dataclass
from math import hypot

from detailgen.conditions._bonds import by_material
from detailgen.conditions._condition import Site
from detailgen.conditions._ground import finish_surface
from detailgen.conditions._turn_up_words import BAND, HOW
from detailgen.geometry import Point
from detailgen.section import Bond, Role
from detailgen.stacking import BondRule, Spec, Stack, everywhere

ABOVE = 1000.0
"""From so far above, mm, the nearest place on a curb is the highest over it."""


@dataclass(frozen=True, slots=True)
class TurnUpSizes:
    """Where the sheets of a turn-up begin and end, mm."""

    toe: Point
    """Toe of the bare cant."""
    cant_height: float
    """Height of the top of the bare cant, where it meets the upright face at x = 0."""
    cant_material: str
    strip_out: float
    strip_up: float
    band: float
    reach: float
    flashing_top: float
    """Level of the flashing sheet's top edge."""
    foil: bool
    """Foil-faced and stuck as the roof is; else granule-surfaced, in cement."""
    over: Point | None = None
    """Where the flashing sheet ends that goes over the top of a curb; None for one that
    ends on the face."""


class TurnUp:
    """A turn-up in the making; the steps are called in the order of building."""

    def __init__(self, stack: Stack, site: Site, sizes: TurnUpSizes) -> None:
        """Start on the bare corner of roof and upright face."""
        self.stack, self.site, self.s = stack, site, sizes
        self.toe = sizes.toe
        self.cant_top: Point = (0.0, sizes.cant_height)
        self.points: dict[str, Point] = {}

    def _sheet(self, material: str) -> float:
        return self.site.catalog.materials[material].thickness * self.site.thickening.sheet

    def _up_wall(self, y: float) -> float:
        """Return the station on the wall at this height, above the cant's corner."""
        on = self.stack.surface
        corner = self._corner()
        return on.at_y(y, after=corner) if y > on.at(corner)[1] + 0.5 else corner + 0.5

    def _flashing_end(self) -> float:
        """Return the station at which the flashing sheet ends, or its bed of cement."""
        if self.s.over is None:
            return self._up_wall(self.s.flashing_top)
        x, y = self.s.over
        return self.stack.surface.station_of((x, y + ABOVE))

    def _corner(self) -> float:
        """Return the station of the inside corner between cant and wall."""
        return self.stack.surface.corner_near(self.cant_top, reach=self.s.cant_height)

    def _bonds(self, loose: frozenset[str] = frozenset()) -> BondRule:
        return by_material(self.site, self.stack.bodies, loose)

    def roof_sheets(self) -> None:
        """Cant, base ply, strip-in ply, finish ply."""
        s, site, stack = self.s, self.site, self.stack
        cant = site.catalog.materials[f"cant-{s.cant_material}"]
        on = stack.surface
        stack.cover(
            Spec("cant", Role.CANT, cant.id, cant.name, 2, sticks="laid loose"),
            on.station_of(self.toe),
            on.station_of(self.cant_top),
            [self.toe, self.cant_top],
            everywhere(Bond.DRY),
        )
        base = site.catalog.materials[site.roof.base_ply]
        finish = site.catalog.materials[site.roof.finish_ply]
        how = HOW[site.roof.adhesion]
        stack.lay(
            Spec(
                "base-ply",
                Role.BASE_PLY,
                base.id,
                base.name,
                3,
                self._sheet(base.id),
                f"{how} as far as the toe, loose over the cant",
            ),
            0.0,
            self._corner(),
            self._bonds(frozenset({"cant"})),
            butt=True,
        )
        on = stack.surface
        stack.lay(
            Spec(
                "strip-in",
                Role.STRIP_IN,
                base.id,
                "Strip-in ply, as the base ply",
                4,
                self._sheet(base.id),
                f"{how}, fully",
            ),
            on.at_x(self.toe[0] - s.strip_out),
            self._up_wall(s.cant_height + s.strip_up),
            self._bonds(),
        )
        stack.lay(
            Spec(
                "finish-ply",
                Role.FINISH_PLY,
                finish.id,
                finish.name,
                5,
                self._sheet(finish.id),
                f"{how}, fully",
            ),
            0.0,
            self._corner(),
            self._bonds(),
            butt=True,
        )

    def flashing_sheet(self) -> None:
        """The prepared band, then the flashing sheet, in cement where it is set so."""
        s, site, stack = self.s, self.site, self.stack
        on = stack.surface
        stack.coat(
            "prepared-band",
            BAND[finish_surface(site)],
            6,
            on.at_x(self.toe[0] - s.band),
            self._corner(),
        )
        material = site.catalog.materials["flashing-foil" if s.foil else "flashing-granule"]
        top = s.flashing_top
        bonds = self._bonds()
        start = stack.surface.at_x(self.toe[0] - s.reach)
        if not s.foil:
            cement = site.catalog.materials["flashing-cement"]
            bed = cement.thickness * site.thickening.bed
            # its square end leans with the roof; the sheet starts at its upper corner
            tilt = self.toe[1] / self.toe[0]
            lean = tilt / hypot(1.0, tilt) * bed
            stack.lay(
                Spec(
                    "flashing-cement",
                    Role.CEMENT,
                    cement.id,
                    cement.name,
                    7,
                    bed,
                    "thin coat on both faces",
                ),
                stack.surface.at_x(self.toe[0] - s.reach + lean),
                self._flashing_end(),
                everywhere(Bond.CEMENT),
            )
            bonds = everywhere(Bond.CEMENT)
            start = stack.outer_top("flashing-cement")
        stack.lay(
            Spec(
                "flashing",
                Role.FLASHING,
                material.id,
                material.name,
                7,
                self._sheet(material.id),
                f"{HOW[site.roof.adhesion]}, fully"
                if s.foil
                else "in flashing cement on both faces, top edge fastened",
            ),
            start,
            self._flashing_end(),
            bonds,
        )
        self.points |= {
            "flashing.top": (0.0, top),
            "flashing.outer": self._outer("flashing"),
            "strip.outer": self._outer("strip-in"),
            "strip.inner": (0.0, s.cant_height + s.strip_up),
        }

    def _outer(self, body_id: str) -> Point:
        """Return the lower left end of a sheet: where it ends out on the roof."""
        course = self.stack.get(body_id).course
        assert course is not None
        x, y = course.coords[0][:2]
        return (float(x), float(y))
