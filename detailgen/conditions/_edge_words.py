"""What the build order of a roof edge says, by the way sheets are stuck."""

from detailgen.section import Method, Stage

_STICK = {
    Method.TORCH: "torch it down, rolling for full contact; no flame onto wood",
    Method.HOT_ASPHALT: "set it in hot asphalt, in full contact",
    Method.COLD_ADHESIVE: "set it in cold adhesive within its open time, rolled",
}


def stages(
    method: Method, *, flush: bool, cleat: bool, strip: bool, wood: bool
) -> tuple[Stage, ...]:
    """Return the order of building of a roof edge with flanged metal."""
    stick = _STICK[method]
    ground = (
        "Nailers level with the boards beside them, fastened."
        if wood
        else (
            "Deck edge straight, clean, sound: the flange is fastened to the deck itself."
        )
    )
    over = " Tapered edge strip first." if strip else ""
    first = "Cleat over the drop of the base ply, nailed. " if cleat else ""
    end = "to just short of the bend" if flush else "to the foot of the raised leg"
    bead = (
        "along the ply's end on the metal" if flush else "between the ply's end and the leg"
    )
    metal = (
        "Prime the flange on both sides, dry; set in plastic cement; "
        + ("hook over the cleat; " if cleat else "")
        + "nail in staggered rows; leave joints open over their backing plates."
    )
    return (
        Stage(1, "Nailers" if wood else "Deck edge", ground),
        Stage(
            2,
            "Base ply",
            f"Out to the edge and down over it, loose there.{over} In the field: {stick}.",
        ),
        Stage(
            3,
            "Cleat" if cleat else "Check the drop",
            first or "The drop hangs free, straight and uncut.",
        ),
        Stage(4, "Edge metal", metal),
        Stage(
            5,
            "Strip-in ply",
            f"Over flange and nails: {stick}. The edge now has its first cover.",
            hold=True,
        ),
        Stage(6, "Finish ply", f"On a clean, dry roof, {end}: {stick}."),
        Stage(7, "Bead", f"A continuous bead of sealant {bead}."),
    )
