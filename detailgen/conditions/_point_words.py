"""What the build order and the notes of flanged points say."""

from detailgen.conditions._condition import Site
from detailgen.lead import POUND_PER_SQUARE_FOOT, lead_sheet
from detailgen.section import Method, Stage
from detailgen.units import inches

FINISH = {"down": "downslope piece", "up": "upslope piece, over the downslope one"}
"""What the two pieces of the finish ply are called, by where they lie."""
DATUMS = (
    "Heights are from the top of the finish ply where it meets the upright, on the upslope "
    "side; widths are level, from the upright or from the flange's outer end."
)
"""From where a flanged point is measured."""

_STICK = {
    Method.TORCH: "torch it down, rolling for full contact",
    Method.HOT_ASPHALT: "set it in hot asphalt, in full contact",
    Method.COLD_ADHESIVE: "set it in cold adhesive within its open time, rolled",
}
_PARTS = 128
"""Thicknesses of lead are told in parts of an inch down to this one."""


def stages(
    method: Method,
    *,
    metal: str,
    set_metal: str,
    cold: bool,
    ground: str,
    last: tuple[Stage, ...] = (),
) -> tuple[Stage, ...]:
    """Return the order of building of a flanged point.

    Args:
        method: How the job's sheets are stuck.
        metal: What the flanged metal is called.
        set_metal: How it is set.
        cold: The metal is lead, which no flame may come near.
        ground: What the first step says.
        last: Steps after the bead.
    """
    stick = _STICK[method]
    flame = cold and method is Method.TORCH
    near = (
        "set it in cold adhesive: no flame on or beside lead"
        if flame
        else f"{stick}, fully"
    )
    finish = (
        f"On a clean, dry roof, {stick}; on the target in cold adhesive, off the lead."
        if flame
        else f"On a clean, dry roof: {stick}, fully."
    )
    return (
        Stage(1, "What goes through the roof", ground),
        Stage(2, "Base ply", f"Cut to fit round it: {stick}."),
        Stage(3, metal, set_metal),
        Stage(
            4,
            "Target",
            f"Strip-in ply, cut to fit: {near}. The flange now has its first cover.",
            hold=True,
        ),
        Stage(
            5,
            "Finish ply",
            "Two pieces cut to fit round it: first the downslope one, then the upslope one "
            f"over it. {finish}",
        ),
        Stage(6, "Bead", "A continuous bead of sealant round the base."),
        *last,
    )


def lead_note(metal: str, site: Site) -> str:
    """Return what a sheet says of its lead: weight, and both of its thicknesses.

    Args:
        metal: Id of a lead in the catalogue.
        site: Where the catalogue is.
    """
    material = site.catalog.materials[metal]
    sheet = lead_sheet(material.mass / POUND_PER_SQUARE_FOOT, site.catalog.tables.lead)
    whole = round(sheet.nominal / inches(1.0) * _PARTS)
    parts = _PARTS
    while whole % 2 == 0:
        whole, parts = whole // 2, parts // 2
    return (
        f"Lead of {sheet.pounds:.3g} lb per sq ft ({sheet.mass:.1f} kg per m2): "
        f"{sheet.physical / inches(1.0):.4f} in ({sheet.physical:.2f} mm) thick by its "
        f"weight, {whole}/{parts} in by its trade name."
    )
