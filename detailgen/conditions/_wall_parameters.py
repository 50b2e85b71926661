"""Parameters of a wall's flashing, for every condition that turns up a wall."""

from typing import Literal

from detailgen.conditions import _turn_up_parameters as turned
from detailgen.parameters import Length, Placed, Rise, choice, length, slope

Metal = Literal[
    "galvanized-24", "aluminium-032", "aluminium-040", "stainless-018", "copper-16"
]


class WallSheets(Placed, frozen=True):
    """Parameters of sheets that turn up a wall, and of what covers their top."""

    wall: Literal["masonry", "concrete", "stud"] = choice(
        "What the wall is built of.", default="masonry"
    )
    wall_thickness: Length | None = length(
        "Thickness of the wall. Without it: masonry 7 5/8 in, concrete 8 in, stud 6 in.",
        default=None,
        least="4 in",
        most="24 in",
    )
    termination: Literal["reglet", "surface", "coping"] | None = choice(
        "What covers the top of the flashing: a counterflashing in a reglet, a "
        "surface-mounted one, or an upper sheet over the wall under a coping. Without it: "
        "reglet; on a stud wall surface.",
        default=None,
    )
    flashing: turned.FlashingSheet | None = turned.flashing_sheet()
    fall: Literal["away", "toward", "along"] = choice(
        "Which way the roof falls, seen from the wall.", default="away"
    )
    cant_height: Length | None = turned.cant_rise()
    cant_run: Length | None = turned.cant_out()
    cant_material: turned.CantMaterial = turned.cant_made_of()
    strip_in_out: Length | None = turned.strip_in_on_roof()
    strip_in_up: Length | None = turned.strip_in_up("wall", "the counterflashing")
    prepared_band: Length | None = turned.band_on_finish_ply()
    flashing_reach: Length | None = turned.flashing_on_roof()
    flashing_height: Length | None = length(
        "Height of the top of the flashing sheet above the finish ply at the toe. Without "
        "it: the rule's least, more where cant and lap need it, or what the reglet or the "
        "wall leaves room for.",
        default=None,
        least="3 in",
        most="60 in",
        by_rule="flashing_height_least",
    )
    reglet_height: Length | None = length(
        "Height of the reglet's mouth, or of the bar of a surface-mounted "
        "counterflashing, above the finish ply at the toe. Without it: 1 in above the "
        "flashing, more where the rule asks it; bar 1 1/2 in.",
        default=None,
        least="4 in",
        most="72 in",
    )
    reglet_depth: Length | None = length(
        "Depth of the reglet.",
        default=None,
        least="1/2 in",
        most="3 in",
        by_rule="reglet_depth_least",
    )
    counterflashing_lap: Length | None = length(
        "How far the counterflashing covers the flashing sheet. Without it: the rule's "
        "least, or what the cant leaves room for.",
        default=None,
        least="1/2 in",
        most="24 in",
        by_rule="counterflashing_lap_least",
    )
    counterflashing_metal: Metal = choice(
        "Metal of the counterflashing.", default="galvanized-24"
    )
    top_fastener_spacing: Length | None = turned.spacing_at_top()
    bar_fastener_spacing: Length = length(
        "Spacing of the fasteners of a surface-mounted counterflashing's bar.",
        default="8 in",
        least="2 in",
        most="24 in",
    )
    wall_height: Length | None = length(
        "Height of a coped wall to the top of its blocking on the roof side, above the "
        "finish ply at the toe. Without it: 10 in above the flashing.",
        default=None,
        least="6 in",
        most="84 in",
    )
    upper_lap: Length | None = length(
        "How far the upper sheet of a coped wall laps over the lower one.",
        default=None,
        least="1 in",
        most="12 in",
        by_rule="upper_lap_least",
    )
    coping_metal: Metal = choice("Metal of the coping.", default="galvanized-24")
    coping_face: Length | None = length(
        "How far the coping's outer face reaches below the joint of blocking and wall.",
        default=None,
        least="1/4 in",
        most="8 in",
        by_rule="coping_face_least",
    )
    coping_slope: Rise = slope(
        "Slope of the coping's top toward the roof.",
        default="1 in per ft",
        least="0 %",
        most="3 in per ft",
    )
