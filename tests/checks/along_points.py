"""What fails along with the changes of `rows_points` and `rows_drains`, by rule and change.

Seen when the changes were made, and judged: `rows.WHY` has the reasons. A test holds the
table to what fails.
"""

from collections.abc import Mapping

ALONG: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "thin_cover_on_roof": {
        "slit of 3 mm through finish-ply at 20 mm from the outer end": (
            "weak_water_path_low",
        ),
        "slit of 30 mm through finish-ply-right at 60 mm from the right end": (
            "weak_water_path_low",
        ),
        "finish-ply-right cut away right 60 mm from the right end": (
            "weak_water_path_low",
        ),
        "slit of 30 mm through finish-ply at 20 mm from the outer end": (
            "weak_water_path_low",
        ),
        "finish-ply cut away left 20 mm from the outer end": ("weak_water_path_low",),
    },
    "unspanned_flutes": {
        "cover-board, insulation-1, insulation-2 taken out": (
            "leaky_hold_point",
            "weak_water_path_low",
        ),
        (
            "slit of 3 mm through cover-board, insulation-1, insulation-2 at "
            "20 mm from the outer end"
        ): ("closed_pocket",),
        (
            "slit of 30 mm through cover-board-right, insulation-1-right, "
            "insulation-2-right at 60 mm from the right end"
        ): ("closed_pocket",),
    },
    "bare_flange_underside": {
        (
            "slit of 5 mm through base-ply at 20 mm right of flange.outer, "
            "flange-cement in it"
        ): (
            "flame_on_lead",
            "leaky_hold_point",
            "weak_water_path_low",
        ),
        (
            "slit of 5 mm through base-ply at 0.1 mm right of flange.outer, "
            "flange-cement in it"
        ): (
            "flame_on_lead",
            "weak_water_path_low",
        ),
        (
            "slit of 25 mm through base-ply-right at 45 mm left of "
            "flange.outer-right, flange-cement-right in it"
        ): (
            "flame_on_lead",
            "leaky_hold_point",
            "weak_water_path_low",
        ),
        (
            "slit of 25 mm through base-ply at 45 mm right of flange.outer, "
            "flange-cement in it"
        ): ("weak_water_path_low",),
    },
    "thin_flange_cover": {
        (
            "slit of 5 mm through strip-in-right at 35 mm left of "
            "flange.outer-right, finish-ply-right in it"
        ): ("leaky_hold_point",),
        (
            "slit of 5 mm through target-right at 35 mm left of "
            "flange.outer-right, finish-ply-right in it"
        ): ("leaky_hold_point",),
        (
            "slit of 5 mm through target-right at 35 mm left of "
            "flange.outer-right, clad-sheet-right in it"
        ): ("leaky_hold_point",),
        (
            "slit of 5 mm through target-right at 35 mm left of "
            "flange.outer-right, clad-cement-right in it"
        ): ("leaky_hold_point",),
        "slit of 5 mm through target at 35 mm right of flange.outer, finish-ply in it": (
            "leaky_hold_point",
        ),
    },
    "short_flange_strip_in": {
        "strip-in-right taken out": (
            "backwater_lap",
            "closed_pocket",
            "leaky_hold_point",
            "thin_flange_cover",
            "weak_water_path_low",
        ),
        (
            "target cut away left 0.05 mm short of flange_strip_in_least from "
            "flange.outer, finish-ply in its place"
        ): ("short_drain_target",),
        (
            "target-right cut away right 50 mm short of flange_strip_in_least "
            "from flange.outer-right, finish-ply-right in its place"
        ): ("short_drain_target",),
        "target-right taken out": (
            "backwater_lap",
            "dry_target",
            "leaky_hold_point",
            "loose_under_ring",
            "short_clad_sheet",
            "short_drain_target",
            "thin_flange_cover",
            "weak_water_path_low",
        ),
        (
            "target cut away left 0.05 mm short of flange_strip_in_least from "
            "flange.outer, clad-sheet in its place"
        ): ("short_drain_target",),
        (
            "target-right cut away right 50 mm short of flange_strip_in_least "
            "from flange.outer-right, clad-sheet-right in its place"
        ): ("short_drain_target",),
        (
            "target cut away left 0.05 mm short of flange_strip_in_least from "
            "flange.outer, clad-cement in its place"
        ): ("short_drain_target",),
        (
            "target-right cut away right 50 mm short of flange_strip_in_least "
            "from flange.outer-right, clad-cement-right in its place"
        ): ("short_drain_target",),
        "target taken out": (
            "backwater_lap",
            "closed_pocket",
            "leaky_hold_point",
            "thin_flange_cover",
            "weak_water_path_low",
        ),
    },
    "short_drain_target": {
        (
            "target cut away left 0.05 mm short of drain_target_least from "
            "flange.outer, finish-ply in its place"
        ): ("short_flange_strip_in",),
        (
            "target-right cut away right 50 mm short of drain_target_least "
            "from flange.outer-right, finish-ply-right in its place"
        ): ("short_flange_strip_in",),
        "target-right taken out": (
            "backwater_lap",
            "dry_target",
            "leaky_hold_point",
            "loose_under_ring",
            "short_clad_sheet",
            "short_flange_strip_in",
            "thin_flange_cover",
            "weak_water_path_low",
        ),
        (
            "target cut away left 0.05 mm short of drain_target_least from "
            "flange.outer, clad-sheet in its place"
        ): ("short_flange_strip_in",),
        (
            "target-right cut away right 50 mm short of drain_target_least "
            "from flange.outer-right, clad-sheet-right in its place"
        ): ("short_flange_strip_in",),
        (
            "target cut away left 0.05 mm short of drain_target_least from "
            "flange.outer, clad-cement in its place"
        ): ("short_flange_strip_in",),
        (
            "target-right cut away right 50 mm short of drain_target_least "
            "from flange.outer-right, clad-cement-right in its place"
        ): ("short_flange_strip_in",),
        "plan: target 27.94 mm shorter on its left": ("short_target_in_plan",),
        "plan: target 27.94 mm shorter on its right": ("short_target_in_plan",),
        "plan: target 27.94 mm shorter on its top": ("short_target_in_plan",),
        "plan: target 27.94 mm shorter on its bottom": ("short_target_in_plan",),
    },
    "short_target_in_plan": {
        "plan: target 27.94 mm shorter on its left": ("short_drain_target",),
        "plan: target 27.94 mm shorter on its right": ("short_drain_target",),
        "plan: target 27.94 mm shorter on its top": ("short_drain_target",),
        "plan: target 27.94 mm shorter on its bottom": ("short_drain_target",),
    },
    "narrow_flange": {
        (
            "sleeve-right cut away right 60 mm short of flange_width_least "
            "from metal.leaves-right, strip-in-right in its place"
        ): (
            "weak_water_path_high",
            "weak_water_path_low",
        ),
        (
            "pan-right cut away right 60 mm short of flange_width_least from "
            "metal.leaves-right, strip-in-right in its place"
        ): (
            "weak_water_path_high",
            "weak_water_path_low",
        ),
        (
            "drain-metal cut away left 0.05 mm short of flange_width_least "
            "from metal.bend, target in its place"
        ): (
            "leaky_hold_point",
            "small_drain_sheet",
        ),
        (
            "drain-metal-right cut away right 7 mm short of flange_width_least "
            "from metal.bend-right, target-right in its place"
        ): (
            "leaky_hold_point",
            "small_drain_sheet",
        ),
        (
            "drain-metal-right cut away right 60 mm short of "
            "flange_width_least from metal.bend-right, target-right in its "
            "place"
        ): (
            "bare_flange_underside",
            "leaky_hold_point",
            "loose_under_ring",
            "small_drain_sheet",
            "thin_flange_cover",
        ),
        (
            "drain-metal cut away left 0.05 mm beyond flange_width_least from "
            "metal.bend, target in its place"
        ): (
            "leaky_hold_point",
            "small_drain_sheet",
        ),
        (
            "drain-metal-right cut away right 0.1 mm beyond flange_width_least "
            "from metal.bend-right, target-right in its place"
        ): (
            "leaky_hold_point",
            "small_drain_sheet",
        ),
        (
            "liner cut away left 0.05 mm short of flange_width_least from "
            "metal.bend, target in its place"
        ): ("narrow_scupper_flange",),
        (
            "liner cut away left 7 mm short of flange_width_least from "
            "metal.bend, target in its place"
        ): ("narrow_scupper_flange",),
        (
            "liner cut away left 60 mm short of flange_width_least from "
            "metal.bend, target in its place"
        ): ("narrow_scupper_flange",),
    },
    "leaky_hold_point": {
        "slit of 3 mm through base-ply at 20 mm from the outer end, finish-ply in it": (
            "thin_cover_on_roof",
            "weak_water_path_low",
        ),
        "strip-in-right on base-ply-right, flange-cement-right: laid dry": (
            "backwater_lap",
        ),
        "strip-in on sleeve, sleeve-right, target-cement, target-cement-right: laid dry": (
            "weak_water_path_low",
        ),
        (
            "strip-in-right on sleeve, sleeve-right, target-cement, "
            "target-cement-right: laid dry"
        ): ("weak_water_path_low",),
        "strip-in on pan, pan-right, target-cement, target-cement-right: laid dry": (
            "weak_water_path_low",
        ),
        "strip-in-right on pan, pan-right, target-cement, target-cement-right: laid dry": (
            "weak_water_path_low",
        ),
        "target-right on base-ply-right, flange-cement-right: laid dry": ("backwater_lap",),
        (
            "target on drain-metal, drain-metal-right, target-cement, "
            "target-cement-right: laid dry"
        ): (
            "dry_target",
            "weak_water_path_low",
        ),
        (
            "target-right on drain-metal, drain-metal-right, target-cement, "
            "target-cement-right: laid dry"
        ): (
            "dry_target",
            "weak_water_path_low",
        ),
        "target on base-ply, flange-cement: laid dry": ("backwater_lap",),
        "target on liner, liner-right, target-cement, target-cement-right: laid dry": (
            "weak_water_path_low",
        ),
    },
    "weak_water_path_low": {
        "slit of 1 mm through finish-ply at 20 mm from the outer end": (
            "thin_cover_on_roof",
        ),
        "slit of 20 mm through finish-ply-right at 60 mm from the right end": (
            "thin_cover_on_roof",
        ),
        "slit of 5 mm through base-ply-right at 60 mm from the right end": (
            "closed_pocket",
            "leaky_hold_point",
            "thin_cover_on_roof",
        ),
        "slit of 20 mm through finish-ply at 20 mm from the outer end": (
            "thin_cover_on_roof",
        ),
        "slit of 5 mm through base-ply at 20 mm from the outer end": (
            "closed_pocket",
            "leaky_hold_point",
            "thin_cover_on_roof",
        ),
    },
    "weak_water_path_high": {
        "slit of 2 mm through sleeve at 20 mm above the roof at sleeve": (
            "bare_flange_underside",
            "narrow_flange",
            "thin_cover_on_roof",
            "thin_flange_cover",
            "weak_water_path_low",
        ),
        "slit of 5 mm through sleeve-right at 20 mm above the roof at sleeve-right": (
            "bare_flange_underside",
            "narrow_flange",
            "thin_cover_on_roof",
            "thin_flange_cover",
            "weak_water_path_low",
        ),
        "slit of 20 mm through sleeve-right at 20 mm above the roof at sleeve-right": (
            "bare_flange_underside",
            "narrow_flange",
            "thin_cover_on_roof",
            "thin_flange_cover",
            "weak_water_path_low",
        ),
        "slit of 2 mm through pan at 20 mm above the roof at pan": ("weak_water_path_low",),
        "slit of 5 mm through pan-right at 20 mm above the roof at pan-right": (
            "weak_water_path_low",
        ),
        "slit of 20 mm through pan-right at 20 mm above the roof at pan-right": (
            "weak_water_path_low",
        ),
    },
    "solids_overlap": {
        (
            "base-ply grown by (20 mm from the outer end; -1 mm from top of "
            "base-ply) to (30 mm further; +3.2 mm from top of base-ply)"
        ): (
            "thin_cover_on_roof",
            "weak_water_path_low",
        ),
    },
    "low_stack": {
        (
            "pipe cut away above 0.05 mm short of stack_height_least from "
            "roof.datum, hollow there"
        ): (
            "short_turn_in",
            "weak_water_path_high",
            "weak_water_path_low",
        ),
        (
            "pipe-right cut away above 0.05 mm short of stack_height_least "
            "from roof.datum-right, hollow there"
        ): (
            "short_turn_in",
            "weak_water_path_high",
            "weak_water_path_low",
        ),
        (
            "pipe-right cut away above 40 mm short of stack_height_least from "
            "roof.datum-right, hollow there"
        ): (
            "short_turn_in",
            "weak_water_path_high",
            "weak_water_path_low",
        ),
        (
            "pipe cut away above 0.05 mm beyond stack_height_least from "
            "roof.datum, hollow there"
        ): (
            "short_turn_in",
            "weak_water_path_high",
            "weak_water_path_low",
        ),
        (
            "pipe-right cut away above 0.05 mm beyond stack_height_least from "
            "roof.datum-right, hollow there"
        ): (
            "short_turn_in",
            "weak_water_path_high",
            "weak_water_path_low",
        ),
    },
    "low_sleeve": {
        (
            "sleeve cut away above 0.05 mm short of sleeve_height_least from "
            "roof.datum, hollow there"
        ): ("short_collar_lap",),
        (
            "sleeve-right cut away above 0.05 mm short of sleeve_height_least "
            "from roof.datum-right, hollow there"
        ): ("short_collar_lap",),
        (
            "sleeve-right cut away above 40 mm short of sleeve_height_least "
            "from roof.datum-right, hollow there"
        ): ("short_collar_lap",),
        (
            "sleeve cut away above 0.05 mm beyond sleeve_height_least from "
            "roof.datum, hollow there"
        ): ("short_collar_lap",),
        (
            "sleeve-right cut away above 0.05 mm beyond sleeve_height_least "
            "from roof.datum-right, hollow there"
        ): ("short_collar_lap",),
    },
    "short_turn_in": {
        (
            "sleeve-right cut away below 30 mm short of sleeve_turned_in_least "
            "from pipe.rim-right, left 0.01 mm right of sleeve.end-right, "
            "hollow there"
        ): (
            "weak_water_path_high",
            "weak_water_path_low",
        ),
    },
    "short_collar_lap": {
        "collar-right taken out": (
            "thin_metal",
            "weak_water_path_high",
            "weak_water_path_low",
        ),
    },
    "shallow_grout": {
        "grout, grout-right taken out": ("closed_pocket",),
    },
    "lead_sleeve": {
        "sleeve made of lead-2half": ("thin_metal",),
        "sleeve-right made of lead-3": ("thin_metal",),
        "sleeve, sleeve-right made of lead-4": ("thin_metal",),
        "sleeve-right made of stainless-025": ("thin_metal",),
    },
    "small_drain_sheet": {
        (
            "drain-metal-right cut away right 60 mm short of half of "
            "drain_sheet_least, target-right in its place"
        ): ("leaky_hold_point",),
    },
    "loose_under_ring": {
        "slit of 2 mm through base-ply at 5 mm right of roof.datum": (
            "closed_pocket",
            "dry_base_ply",
        ),
        "slit of 2 mm through drain-metal at 5 mm right of roof.datum": ("closed_pocket",),
        "slit of 2 mm through target at 5 mm right of roof.datum": (
            "closed_pocket",
            "dry_target",
        ),
        "slit of 2 mm through base-ply-right at 5 mm left of roof.datum-right": (
            "closed_pocket",
            "dry_base_ply",
        ),
        "slit of 2 mm through drain-metal-right at 5 mm left of roof.datum-right": (
            "closed_pocket",
        ),
        "slit of 2 mm through target-right at 5 mm left of roof.datum-right": (
            "closed_pocket",
            "dry_target",
        ),
    },
    "target_on_sump_edge": {
        "plan: sump 116.8 mm shorter on its left": ("narrow_sump",),
    },
    "closed_strainer": {
        "strainer taken out": ("low_strainer",),
    },
    "short_clad_sheet": {
        (
            "clad-sheet cut away left 0.05 mm short of clad_past_target_least "
            "from strip.outer, hollow there"
        ): ("narrow_clad_border",),
        (
            "clad-sheet-right cut away right 40 mm short of "
            "clad_past_target_least from strip.outer-right, hollow there"
        ): (
            "narrow_clad_border",
            "weak_water_path_low",
        ),
        (
            "clad-sheet, clad-cement cut away left 0.05 mm short of "
            "clad_past_target_least from strip.outer, hollow there"
        ): ("narrow_clad_border",),
        (
            "clad-sheet-right, clad-cement-right cut away right 40 mm short of "
            "clad_past_target_least from strip.outer-right, hollow there"
        ): (
            "narrow_clad_border",
            "weak_water_path_low",
        ),
    },
    "narrow_clad_border": {
        "finish-ply-right on clad-sheet-right: laid dry": ("weak_water_path_low",),
    },
    "small_scupper": {
        "plan: opening 1.2 as wide as is asked": ("narrow_scupper_flange",),
    },
    "wrong_overflow_rise": {
        "liner moved by -0.05 mm": (
            "closed_pocket",
            "leaky_hold_point",
            "solids_overlap",
            "weak_water_path_low",
        ),
        "liner moved by 0.05 mm": (
            "closed_pocket",
            "leaky_hold_point",
            "solids_overlap",
            "weak_water_path_low",
        ),
        "liner moved by 20 mm": (
            "bare_flange_underside",
            "leaky_hold_point",
            "missing_foot_bead",
            "solids_overlap",
            "thin_flange_cover",
            "weak_water_path_low",
        ),
        "liner, liner-head moved by (0, 0.005) mm": (
            "leaky_hold_point",
            "solids_overlap",
            "weak_water_path_low",
        ),
    },
    "narrow_scupper_flange": {
        (
            "liner cut away left 0.05 mm short of scupper_flange_least from "
            "metal.bend, target in its place"
        ): ("narrow_flange",),
        (
            "liner cut away left 20 mm short of scupper_flange_least from "
            "metal.bend, target in its place"
        ): ("narrow_flange",),
    },
    "bare_wall_flange": {
        (
            "slit of 1 mm through flashing, wall-strip, flashing-cement at 40 "
            "mm below wall-flange.top"
        ): ("weak_water_path_high",),
        (
            "slit of 20 mm through flashing, wall-strip, flashing-cement at 40 "
            "mm below wall-flange.top"
        ): ("weak_water_path_high",),
        "flashing, wall-strip, flashing-cement taken out": ("weak_water_path_high",),
    },
    "high_sill": {
        "liner, liner-head moved by (0, 20) mm": (
            "bare_flange_underside",
            "leaky_hold_point",
            "missing_foot_bead",
            "solids_overlap",
            "thin_flange_cover",
            "weak_water_path_high",
            "weak_water_path_low",
        ),
    },
}
