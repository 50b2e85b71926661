"""What the build order of a turn-up says, by the way sheets are stuck."""

from detailgen.section import Method, Stage

HOW = {
    Method.TORCH: "torched",
    Method.HOT_ASPHALT: "in hot asphalt",
    Method.COLD_ADHESIVE: "in cold adhesive",
}
"""How a sheet is stuck, as a callout says it."""
BAND = {
    "foil": "Prepared band: foil primed, dry before the flashing",
    "granules": "Prepared band: granules primed, or warmed and pressed in",
    "smooth": "Prepared band: primed, dry before the flashing",
}
"""What is done to the finish ply where the flashing sheet will lie."""

_STICK = {
    Method.TORCH: "torch it down, rolling for full contact",
    Method.HOT_ASPHALT: "set it in hot asphalt, in full contact",
    Method.COLD_ADHESIVE: "set it in cold adhesive within its open time, rolled",
}


def stages(
    method: Method, *, foil: bool, termination: str, surface: str, sheathed: bool
) -> tuple[Stage, ...]:
    """Return the order of building of a wall flashing on a cant."""
    stick = _STICK[method]
    wall = "the board over the sheathing" if sheathed else "the wall"
    steps = [
        Stage(1, "Prime", f"Prime {wall} from the top of the cant upward; let it dry."),
        Stage(2, "Cant", "Lay the cant loose in the corner."),
        Stage(
            3,
            "Base ply",
            f"Field sheet over the cant to its top: {stick} as far as the toe; "
            "leave it loose over the cant.",
        ),
        Stage(
            4,
            "Strip-in ply",
            f"Over the transition: {stick}, fully. Laps closed, top edge "
            "sealed for the time being.",
            hold=True,
        ),
        Stage(
            5,
            "Finish ply",
            "On a clean, dry roof, when other trades are done: over the cant "
            f"to its top; {stick}, fully.",
        ),
        Stage(6, "Prepare", BAND[surface] + "."),
    ]
    if foil:
        steps.append(
            Stage(
                7,
                "Flashing sheet",
                "Pieces cut across the roll, hung upright from "
                f"the low point; upper part first, then the lower: {stick}. "
                "Prime foil wherever another sheet lands.",
            )
        )
    else:
        steps.append(
            Stage(
                7,
                "Flashing sheet",
                "Pieces cut ahead and laid out; a thin coat of "
                "flashing cement on the wall and on the sheet's back; roll for full "
                "contact; fasten the top edge.",
            )
        )
    if termination == "coping":
        steps += [
            Stage(
                8, "Upper sheet", "Lap over the lower sheet, up the wall and over its top."
            ),
            Stage(
                9,
                "Coping",
                "Cleat outside, coping hooked over it, screwed on the roof side.",
            ),
        ]
    elif termination == "reglet":
        steps.append(
            Stage(
                8,
                "Counterflashing",
                "Turn up in the reglet, wedge, seal; it springs "
                "against the sheet and stays clear of the cant.",
            )
        )
    else:
        steps.append(
            Stage(
                8,
                "Counterflashing",
                "Bar and fasteners through the metal into the "
                "wall; sealant along the kicked top edge.",
            )
        )
    return tuple(steps)
