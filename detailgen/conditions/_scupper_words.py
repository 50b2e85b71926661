"""What the build order of a scupper says, by the way sheets are stuck."""

from detailgen.section import Method, Stage

_STICK = {
    Method.TORCH: "torch it down, rolling for full contact; no flame into the opening",
    Method.HOT_ASPHALT: "set it in hot asphalt, in full contact",
    Method.COLD_ADHESIVE: "set it in cold adhesive within its open time, rolled",
}


def stages(method: Method, *, overflow: bool, sump: bool, foil: bool) -> tuple[Stage, ...]:
    """Return the order of building of a through-wall scupper."""
    stick = _STICK[method]
    ground = "Boards tapered to the opening. " if sump else ""
    to = "up to the sill of the opening" if overflow else "to the opening"
    end = "to the foot of the raised sill" if overflow else "to the throat"
    wall = stick if foil else "in flashing cement on both faces, top edge fastened"
    return (
        Stage(1, "Opening", f"{ground}Sill smooth and level; prime the wall; let it dry."),
        Stage(2, "Base ply", f"In the field and {to}: {stick}."),
        Stage(
            3,
            "Liner",
            "One piece with all joints soldered; test it with water. Prime the flanges on "
            "both sides, dry; set floor, roof flange and wall flange in plastic cement; "
            "seal the flange on the outer face.",
        ),
        Stage(4, "Target", f"Over the roof flange, on three sides past it: {stick}."),
        Stage(
            5,
            "Strip-in on the wall",
            f"Over the wall flange, past it on three sides: {stick}. The scupper now has "
            "its first cover.",
            hold=True,
        ),
        Stage(6, "Flashing sheet", f"The wall's sheet, cut round the opening: {wall}."),
        Stage(7, "Finish ply", f"On a clean, dry roof, {end}: {stick}."),
        Stage(
            8,
            "Counterflashing and beads",
            "Turn it up in the reglet, wedge, seal. Beads along the sheets' ends at the "
            "throat. Clear the opening and let water run as a test.",
        ),
    )
