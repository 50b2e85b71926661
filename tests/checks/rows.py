"""What a row of the table of mutations is."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from tests.checks.mutating import Mutation
from tests.checks.variants import Base

Where = Callable[[Base], bool]


def everywhere(_: Base) -> bool:
    """Tell that a change fits every section."""
    return True


@dataclass(frozen=True)
class Row:
    """One change, and whether one rule must catch it."""

    rule: str
    change: Mutation
    caught: bool
    where: Where
    along: tuple[str, ...]
    """Rules that fail along in some of the sections; `WHY` tells the reasons."""


def caught(rule: str, change: Mutation, *along: str, where: Where = everywhere) -> Row:
    """Return a change that a rule must catch wherever it applies."""
    return Row(rule, change, True, where, along)


def harmless(rule: str, change: Mutation, *along: str, where: Where = everywhere) -> Row:
    """Return a change that a rule must not catch, wherever it applies."""
    return Row(rule, change, False, where, along)


LOW, HIGH = "weak_water_path_low", "weak_water_path_high"
"""What counts water's easiest way in: it tells of most that is wrong with a detail."""


def far(by: float, *rules: str) -> tuple[str, ...]:
    """Return rules that fail along only where a change goes far past the limit."""
    return rules if abs(by) > 1.0 else ()


_SHEET = "the same sheet is measured by both"
_METAL = "the same metal is measured by both"

WHY: Mapping[str, str] = {
    "backwater_lap": "a lap or an edge there now faces the water, or no lap is left",
    "bare_drop": "no base ply comes down over the edge",
    "bare_flange_underside": _SHEET,
    "bare_wall": "what covered the wall there is gone",
    "base_ply_short_of_wood": "both measure the end of the base ply",
    "base_ply_stuck_over_cant": "what must lie loose is stuck, or nothing lies there",
    "base_ply_stuck_over_edge": "the drop is stuck by it as well",
    "closed_pocket": "what is taken out leaves a void",
    "bare_corner": "the pieces leave a part of the corner open",
    "combustible_cant": "it is the cant that burns",
    "dry_base_ply": "the ply has lost its cement with what lay there",
    "dry_target": "the target has lost its cement with what lay there",
    "finish_ply_off_leg": _SHEET,
    "flame_on_lead": "what takes the room is torched as the ply was, beside lead",
    "flange_off_nailer": "no wood is left under the flange",
    "high_strip_in_on_wall": _SHEET,
    "leaky_hold_point": "the first sheet is open there while work waits",
    "light_cleat": _METAL,
    "loose_under_ring": "a layer is gone from under the ring",
    "loose_joint_cover": "the hook that it is held by is pushed aside or gone",
    "low_curb": "both measure the top of the curb",
    "low_curb_over_cricket": "both measure the top of the curb",
    "low_flashing": _SHEET,
    "low_hem": _METAL,
    "low_reglet": _METAL,
    "low_strainer": "there is no strainer that could stand high enough",
    "low_strip_in_on_wall": _SHEET,
    "meeting_sheets": "what stands nearer has its sheets nearer, too",
    "missing_bead": "the bead has lost what it seals, or its room",
    "missing_foot_bead": "the bead has lost what it seals",
    "nailer_out_of_level": "what lay beside the wood is gone",
    "narrow_backing_plate": "the plate has to reach over a wider gap",
    "narrow_clad_border": _SHEET,
    "narrow_flange": _METAL,
    "narrow_scupper_flange": _METAL,
    "narrow_sump": "both look at the edge of the sump",
    "shallow_cleat_hook": _METAL,
    "shallow_reglet": _METAL,
    "short_base_ply_drop": "both measure the end of the base ply",
    "short_clad_sheet": _SHEET,
    "short_collar_lap": _METAL,
    "short_corner_lap": "both look at how far the pieces reach",
    "short_corner_patch": "both look at how far the pieces reach",
    "short_counterflashing_lap": "both measure the top of the flashing sheet",
    "short_drain_target": _SHEET,
    "short_flange_strip_in": _SHEET,
    "short_flashing_reach": _SHEET,
    "short_nail_bite": "the nails have lost their wood",
    "short_strip_in_at_toe": _SHEET,
    "short_target_in_plan": _SHEET,
    "short_turn_in": _METAL,
    "short_upper_lap": "both measure the top of the lower sheet",
    "small_drain_sheet": _METAL,
    "solids_overlap": "what is added or moved takes the room of another",
    "sparse_nails": "the same nails are counted by both",
    "steep_cant": "there is no cant to soften the turn",
    "surface_mounted_counterflashing": _METAL,
    "tall_flashing": _SHEET,
    "tight_barrier": "the barrier has lost its room, or is cut",
    "touched_counterflashing": "the metal has come nearer to what moves",
    "thin_cover_on_cant": "the sheets over the cant are pushed aside",
    "thin_bed": "the bed under the sheet is gone with it",
    "thin_cover_on_roof": _SHEET,
    "thin_flange_cover": _SHEET,
    "thin_metal": _METAL,
    "unstaggered_nails": "the same nails are counted by both",
    HIGH: "water has an easier way in there",
    LOW: "water has an easier way in there",
}
"""Why a rule fails along with the one under test."""
