"""Where a scupper's floor, head and sheets lie, which follows from what lies under them."""

from dataclasses import dataclass
from math import hypot

from detailgen.conditions._condition import Site
from detailgen.conditions._ground import Plane
from detailgen.conditions._terminations import Ends
from detailgen.units import inches

FIELD = inches(5)
"""Roof that is drawn past sump and sheets."""


@dataclass(frozen=True, slots=True)
class ScupperSizes:
    """What a scupper is like, mm; distances out on the roof count from the wall's face."""

    overflow: bool
    metal: str
    width: float
    height: float
    """Clear height of the opening."""
    rise: float
    """Inlet above the finished roof before it; 0 where it drains the roof."""
    sump: float
    sump_drop: float
    roof_flange: float
    wall_flange: float
    strip_in: float
    spout: float
    wall: str
    thickness: float
    flashing: float
    """Height of the flashing above the finished roof at the wall."""
    reglet_depth: float
    lap: float
    foil: bool
    cf_metal: str
    bead: float


class Frame:
    """Levels and thicknesses of one drawn scupper."""

    def __init__(self, s: ScupperSizes, site: Site) -> None:
        """Find the levels from the thickness of what is drawn."""
        self.s, self.site, self.thick = s, site, site.thickening
        self.plane = Plane(-site.roof.slope)
        self.left = -max(s.sump, s.roof_flange + s.strip_in) - FIELD
        self.tilt = -(site.roof.slope + (s.sump_drop / s.sump if s.sump_drop else 0.0))
        self.foot = -s.sump_drop
        roof = site.roof
        self.base = self.sheet(roof.base_ply)
        self.bed = self.true("plastic-cement") * self.thick.bed
        self.metal = self.true(s.metal) * self.thick.metal
        # face of the leg that stands up to a raised sill; the wall's face without one
        self.bend = -(self.base + self.bed + self.metal) if s.overflow else 0.0
        over = self.sheet(roof.base_ply) + self.sheet(roof.finish_ply)
        self.flange_top = self.roof(self.bend) + self.above(
            self.base + self.bed + self.metal
        )
        self.datum = self.flange_top + self.above(over)
        if s.overflow:
            self.inlet = self.datum + s.rise
            self.sill = self.inlet - self.bed - self.metal
        else:
            self.sill = self.foot + self.above(self.base)
            self.inlet = self.sill + self.bed + self.metal
        self.head = self.inlet + s.height + self.metal
        self.ends = Ends(
            flashing_top=self.datum + s.flashing,
            reglet=self.datum + s.flashing + inches(1),
            blocking_top=0.0,
            low=0.0,
            datum=self.datum,
            thickness=s.thickness,
            depth=s.reglet_depth,
            coping_slope=0.0,
        )

    def true(self, material: str) -> float:
        """Return the true thickness of a material."""
        return self.site.catalog.materials[material].thickness

    def sheet(self, material: str) -> float:
        """Return the drawn thickness of a sheet."""
        return self.true(material) * self.thick.sheet

    def above(self, thickness: float) -> float:
        """Return how much layers of this thickness raise the roof, upright."""
        return thickness * hypot(1.0, self.tilt)

    def roof(self, x: float) -> float:
        """Return the level of the boards so far from the wall."""
        if x < -self.s.sump:
            return self.plane.at(x)[1]
        return self.foot + self.tilt * x
