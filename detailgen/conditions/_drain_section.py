"""What all drains put into their section: dimensions, notes, what must stay dry."""

from math import fsum

from detailgen.conditions._condition import Site
from detailgen.conditions._drain_parameters import DrainSizes
from detailgen.conditions._drain_sheets import DrainSheets
from detailgen.geometry import Line
from detailgen.geometry.regions import box
from detailgen.lead import lead_sheet
from detailgen.section import Axis, Gauge, LayeredSection, Method, Role, Stand, Zone
from detailgen.stacking import clipped
from detailgen.units import inches

NEVER_IDLE = frozenset({
    "closed_pocket",
    "shallow_slope",
    "solids_overlap",
    "thin_bed",
})
_ABSORBS = (Role.DECK, Role.INSULATION, Role.COVER_BOARD, Role.BLOCKING)
_FAR = 1e4


def drain_section(kind: str, s: DrainSizes, sheets: DrainSheets) -> LayeredSection:
    """Return the half of a drain's section to the left of its axis."""
    site, ground, stack = sheets.site, sheets.ground, sheets.stack
    top = max(b.region.bounds[3] for b in stack.bodies)
    extent = box(ground.left, ground.low, 0.0, top + inches(1))
    bodies = clipped(stack.bodies, extent)
    deck = stack.get("deck").region.bounds
    t = sheets.thick
    dry = [b.id for b in bodies if b.role in _ABSORBS]
    return LayeredSection(
        kind=kind,
        variant=f"{s.metal}, {'dome' if s.dome else 'flat strainer'}"
        + (", sump" if s.taper else ""),
        bodies=bodies,
        joints=tuple(stack.joints),
        coats=tuple(stack.coats),
        points=sheets.points,
        gauges=(),
        stages=(),
        method=site.roof.adhesion,
        slope=-site.roof.slope,
        extent=extent,
        breaks=(Line([(ground.left, deck[1]), (ground.left, deck[3] + 1e3)]),),
        hollows=ground.hollows,
        side_of_air="top",
        notes=_notes(s, site),
        roof_slope=site.roof.slope,
        sheet_factor=t.sheet,
        metal_factor=t.metal,
        bed_factor=t.bed,
        stand=Stand.DRAIN,
        must_stay_dry=tuple(dry),
        zones=(
            Zone("drain", box(-s.half, -_FAR, 0.0, _FAR), low=True),
            Zone("roof", box(-_FAR, -_FAR, -s.half, _FAR), low=True),
        ),
        families=frozenset({"flange"}),
        by_the_piece=True,
    )


def _notes(s: DrainSizes, site: Site) -> tuple[str, ...]:
    metal = site.catalog.materials[s.metal]
    notes: list[str] = []
    if metal.kind == "lead":
        figures = site.catalog.tables.lead
        pounds = metal.mass / lead_sheet(1.0, figures).mass
        sheet = lead_sheet(pounds, figures)
        notes.append(
            f"Lead of {pounds:.3g} lb per sq ft ({sheet.mass:.1f} kg/m2): "
            f"{sheet.physical:.2f} mm thick by its density, {sheet.nominal:.2f} mm by name."
        )
        if site.roof.adhesion is Method.TORCH:
            notes.append(
                "No flame on or beside the lead: the target is set in cement and cold "
                "adhesive, and shields the lead from the torch above it."
            )
    if not s.taper:
        notes.append(
            "No sump: the insulation leaves no room to taper it below the roof's surface."
            if not site.roof.insulation or fsum(site.roof.insulation) < inches(1.5)
            else "No sump: the boards run level with the roof to the drain's flange."
        )
    off = abs(s.sump - s.half - s.target)
    if s.taper and off < site.rules.value("sheet_off_sump_edge_least"):
        notes.append(
            "The target ends on the break of the taper: make it or the sump wider."
        )
    notes.append("Leader joined with a fitting that lets the drain move with the deck.")
    return tuple(notes)


def drain_gauges(s: DrainSizes, site: Site) -> tuple[Gauge, ...]:
    """Return the dimensions that a drain's section shows, inner ones first."""
    v, h = Axis.VERTICAL, Axis.HORIZONTAL
    gauges = [
        Gauge(
            "base-cement",
            "base.cement",
            "bowl.lip",
            h,
            site.marked(s.base_cement, "drain_base_cement_least"),
            "BASE PLY IN CEMENT",
            2,
        ),
        Gauge(
            "target-cement",
            "sheets.inner-right",
            "target.cement-right",
            h,
            site.marked(s.target_cement, "drain_target_cement_least"),
            "TARGET IN CEMENT",
            2,
        ),
        Gauge(
            "target",
            "strip.outer",
            "flange.outer",
            h,
            site.marked(s.target, "drain_target_least"),
            "",
            1,
        ),
        Gauge(
            "metal",
            "flange.outer",
            "flange.outer-right",
            h,
            site.marked(2.0 * s.half, "drain_sheet_least"),
            "METAL",
            3,
        ),
        Gauge("dressed", "bowl.lip-right", "metal.end-right", v, "", "", 1),
    ]
    if s.taper:
        gauges += [
            Gauge(
                "sump",
                "sump.edge",
                "sump.edge-right",
                h,
                site.marked(2.0 * s.sump, "sump_width_least"),
                "SUMP",
                4,
            ),
            Gauge("sump-drop", "sump.low-right", "sump.edge-right", v, "", "", 2),
        ]
    if s.dome:
        gauges.append(
            Gauge(
                "strainer-height",
                "roof.datum-right",
                "strainer.top",
                v,
                site.marked(s.strainer_height, "strainer_height_least"),
                "",
                1,
            )
        )
    return tuple(gauges)
