"""What the sections of all flanged points have in common, once both halves are built."""

from dataclasses import dataclass
from math import fsum

from detailgen.conditions._condition import Site, Thickening
from detailgen.conditions._dryness import dry_point
from detailgen.conditions._ground import DECK_THICKNESS
from detailgen.conditions._mirror import Half
from detailgen.geometry import Line, Region
from detailgen.section import Carried, Gauge, LayeredSection, Layout, Method, Stage, Stand
from detailgen.stacking import clipped

NEVER_IDLE = frozenset({
    "closed_pocket",
    "shallow_slope",
    "solids_overlap",
    "thick_bed",
    "thin_bed",
    "thin_cover_on_roof",
})
"""Checks that every flanged point must be able to answer."""


@dataclass(frozen=True, slots=True)
class PointSection:
    """What a kind of flanged point says of its section besides the bodies."""

    kind: str
    variant: str
    extent: Region
    through: tuple[tuple[float, float], ...]
    """From where to where (x) things go on below the drawing."""
    hollows: tuple[Region, ...]
    """Closed spaces in the deck, and those that the kind itself means to have."""
    gauges: tuple[Gauge, ...]
    stages: tuple[Stage, ...]
    layouts: tuple[Layout, ...]
    thick: Thickening
    notes: tuple[str, ...]
    low_zone: float
    """From the axis to the outer end of the flange, mm."""
    upper_breaks: tuple[tuple[float, float], ...] = ()
    """From where to where (x) things go on above the drawing."""
    breaks: tuple[Line, ...] = ()
    """Further sides at which things go on."""
    carried: Carried | None = None
    hot: bool = False


def point_section(whole: Half, site: Site, what: PointSection) -> LayeredSection:
    """Return the section of a flanged point."""
    x0, y0, x1, y1 = what.extent.bounds
    roof = site.roof
    build_up = fsum(roof.insulation) + (roof.cover_board or 0.0)
    depth = build_up + (roof.deck_thickness or DECK_THICKNESS[roof.deck])
    edge = roof.slope * x1
    breaks = [
        Line([(x0, -edge - depth), (x0, -edge)]),
        Line([(x1, edge - depth), (x1, edge)]),
        *(Line([(a, y0), (b, y0)]) for a, b in what.through),
        *(Line([(a, y1), (b, y1)]) for a, b in what.upper_breaks),
        *what.breaks,
    ]
    never = set(NEVER_IDLE)
    if roof.adhesion is Method.TORCH:
        never.add("flame_on_wood")
    if roof.deck == "steel":
        never.add("unspanned_flutes")
    section = LayeredSection(
        kind=what.kind,
        variant=what.variant,
        bodies=clipped(whole.bodies, what.extent),
        joints=whole.joints,
        coats=whole.coats,
        points=whole.points,
        gauges=what.gauges,
        stages=what.stages,
        method=roof.adhesion,
        slope=roof.slope,
        extent=what.extent,
        breaks=tuple(breaks),
        hollows=what.hollows,
        layouts=what.layouts,
        never_idle=frozenset(never),
        side_of_air="top",
        notes=what.notes,
        roof_slope=roof.slope,
        sheet_factor=what.thick.sheet,
        metal_factor=what.thick.metal,
        bed_factor=what.thick.bed,
        stand=Stand.PIPE,
        hot=what.hot,
        carried=what.carried,
        families=frozenset({"flange"}),
        by_the_piece=True,
    )
    return dry_point(section, what.low_zone)
