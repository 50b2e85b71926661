"""What the build order of a drain says, by the way sheets are stuck."""

from detailgen.section import Method, Stage

_STICK = {
    Method.TORCH: "torch it down, rolling for full contact; no flame toward the opening",
    Method.HOT_ASPHALT: "set it in hot asphalt, in full contact; no asphalt into the bowl",
    Method.COLD_ADHESIVE: "set it in cold adhesive within its open time, rolled",
}
_PAST = {
    Method.TORCH: "the rest in cold adhesive, since no flame is turned on or beside it",
    Method.HOT_ASPHALT: "the rest in hot asphalt",
    Method.COLD_ADHESIVE: "the rest in cold adhesive",
}


def first_stages(method: Method, *, lead: bool, plug: bool, sump: bool) -> list[Stage]:
    """Return the order of building as far as the target."""
    stick = _STICK[method]
    shut = " Plug the outlet: debris could fall in." if plug else ""
    tapered = "boards tapered to it" if sump else "boards up to its flange"
    tool = "Dress it with a mallet" if lead else "Form it"
    return [
        Stage(
            1,
            "Drain and sump",
            f"Blocking anchored, bowl clamped to the deck, {tapered}, evenly on all "
            f"sides.{shut}",
        ),
        Stage(
            2,
            "Base ply",
            "Over the drain: next to the opening in plastic cement, elsewhere "
            f"{stick}. Cut it at the opening and turn it down into the bowl.",
        ),
        Stage(
            3,
            "Metal",
            "Prime both sides, dry; set the square in plastic cement, centred. "
            f"{tool} into the bowl, uncut and without creases under the ring.",
        ),
        Stage(
            4,
            "Target",
            "Its innermost part in plastic cement, "
            f"{_PAST[method]}; inner end under the ring. The drain now has its first "
            "cover.",
            hold=True,
        ),
    ]


def stages(method: Method, *, lead: bool, plug: bool, sump: bool) -> tuple[Stage, ...]:
    """Return the order of building of a drain."""
    return (
        *first_stages(method, lead=lead, plug=plug, sump=sump),
        Stage(
            5,
            "Finish ply",
            f"On a clean, dry roof, its inner end under the ring: {_STICK[method]}.",
        ),
        *last_stages(6, plug=plug),
    )


def clad_stages(
    method: Method, *, lead: bool, plug: bool, sump: bool, cement: bool
) -> tuple[Stage, ...]:
    """Return the order of building of a drain in a clad sump."""
    stick = (
        "in solvent-free flashing cement on both faces, rolled"
        if cement
        else "torched, rolled for full contact, no flame toward the opening"
    )
    return (
        *first_stages(method, lead=lead, plug=plug, sump=sump),
        Stage(
            5,
            "Clad sheet",
            f"In the whole sump, past the target: {stick}; inner end under the ring. "
            "Prime its face under every seam.",
        ),
        Stage(
            6,
            "Finish ply",
            "On a clean, dry roof. Prime the border of the clad sheet's own face, dry; "
            f"lap the finish ply on it: {_STICK[method]}.",
        ),
        *last_stages(7, plug=plug),
    )


def last_stages(number: int, *, plug: bool) -> tuple[Stage, Stage]:
    """Return the last two steps: the ring, and what opens the drain."""
    opened = "Take out the plug and all debris. " if plug else "Clear the bowl. "
    return (
        Stage(number, "Clamping ring", "Set the ring; tighten its bolts evenly, last."),
        Stage(
            number + 1, "Strainer", f"{opened}Set the strainer. Let water run as a test."
        ),
    )
