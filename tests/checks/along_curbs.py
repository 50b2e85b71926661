"""What fails along with the changes of `rows_curbs`, by rule and change.

Seen when the changes were made, and judged: `rows.WHY` has the reasons. A test holds the
table to what fails.
"""

from collections.abc import Mapping

ALONG: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "low_cant": {
        "cant taken out": (
            "base_ply_stuck_over_cant",
            "closed_pocket",
            "steep_cant",
        ),
        "on the right side: cant taken out": (
            "base_ply_stuck_over_cant",
            "closed_pocket",
            "steep_cant",
        ),
    },
    "thin_cover_on_cant": {
        (
            "slit of 3 mm through strip-in, finish-ply, flashing, flashing-cement, "
            "square to the line from cant.toe to cant.top at 40%"
        ): (
            "backwater_lap",
            "weak_water_path_low",
        ),
        (
            "on the right side: slit of 3 mm through strip-in, finish-ply, flashing, "
            "flashing-cement, square to the line from cant.toe to cant.top at 40%"
        ): (
            "backwater_lap",
            "weak_water_path_low",
        ),
        (
            "slit of 60 mm through strip-in, finish-ply, flashing, flashing-cement, "
            "square to the line from cant.toe to cant.top at 10%"
        ): (
            "backwater_lap",
            "weak_water_path_low",
        ),
        (
            "on the right side: slit of 60 mm through strip-in, finish-ply, flashing,"
            " flashing-cement, square to the line from cant.toe to cant.top at 10%"
        ): (
            "backwater_lap",
            "weak_water_path_low",
        ),
        (
            "slit of 10 mm through strip-in, finish-ply, flashing, flashing-cement, "
            "square to the line from cant.toe to cant.top at 20%"
        ): (
            "backwater_lap",
            "weak_water_path_low",
        ),
        (
            "on the right side: slit of 10 mm through strip-in, finish-ply, flashing,"
            " flashing-cement, square to the line from cant.toe to cant.top at 20%"
        ): (
            "backwater_lap",
            "weak_water_path_low",
        ),
    },
    "bare_wall": {
        ("slit of 1 mm through flashing, flashing-cement at 10 mm above strip.inner"): (
            "weak_water_path_high",
        ),
        (
            "on the right side: slit of 1 mm through flashing, flashing-cement at 10 "
            "mm above strip.inner"
        ): ("weak_water_path_high",),
        ("slit of 30 mm through flashing, flashing-cement at 10 mm above strip.inner"): (
            "weak_water_path_high",
        ),
        (
            "on the right side: slit of 30 mm through flashing, flashing-cement at 10"
            " mm above strip.inner"
        ): ("weak_water_path_high",),
        ("slit of 5 mm through flashing, flashing-cement at 2 mm above strip.inner"): (
            "weak_water_path_high",
        ),
        (
            "on the right side: slit of 5 mm through flashing, flashing-cement at 2 "
            "mm above strip.inner"
        ): ("weak_water_path_high",),
        (
            "slit of 5 mm through flashing, flashing-cement at 15 mm below "
            "flashing.top, hollow"
        ): ("weak_water_path_high",),
        (
            "on the right side: slit of 5 mm through flashing, flashing-cement at 15 "
            "mm below flashing.top, hollow"
        ): ("weak_water_path_high",),
    },
    "short_strip_in_at_toe": {
        "strip-in taken out": (
            "closed_pocket",
            "high_strip_in_on_wall",
            "leaky_hold_point",
            "low_strip_in_on_wall",
            "weak_water_path_low",
        ),
        "on the right side: strip-in taken out": (
            "closed_pocket",
            "high_strip_in_on_wall",
            "leaky_hold_point",
            "low_strip_in_on_wall",
            "weak_water_path_low",
        ),
    },
    "low_flashing": {
        (
            "flashing, flashing-cement cut away above 0.05 mm short of "
            "flashing_height_least from roof.datum, hollow there"
        ): (
            "bare_wall",
            "missing_bead",
            "short_counterflashing_lap",
            "weak_water_path_high",
        ),
        (
            "on the right side: flashing, flashing-cement cut away above 0.05 mm "
            "short of flashing_height_least from roof.datum, hollow there"
        ): (
            "short_counterflashing_lap",
            "weak_water_path_high",
        ),
        (
            "flashing, flashing-cement cut away above 30 mm short of "
            "flashing_height_least from roof.datum, hollow there"
        ): (
            "bare_wall",
            "missing_bead",
            "short_counterflashing_lap",
            "weak_water_path_high",
        ),
        (
            "on the right side: flashing, flashing-cement cut away above 30 mm short "
            "of flashing_height_least from roof.datum, hollow there"
        ): (
            "bare_wall",
            "short_counterflashing_lap",
            "weak_water_path_high",
        ),
        "flashing, flashing-cement taken out": (
            "backwater_lap",
            "bare_wall",
            "missing_bead",
            "short_counterflashing_lap",
            "short_flashing_reach",
            "tall_flashing",
            "thin_bed",
            "weak_water_path_high",
            "weak_water_path_low",
        ),
        "on the right side: flashing, flashing-cement taken out": (
            "backwater_lap",
            "bare_wall",
            "short_counterflashing_lap",
            "short_flashing_reach",
            "tall_flashing",
            "thin_bed",
            "weak_water_path_high",
            "weak_water_path_low",
        ),
        (
            "flashing, flashing-cement cut away above 0.05 mm beyond "
            "flashing_height_least from roof.datum, hollow there"
        ): (
            "bare_wall",
            "missing_bead",
            "short_counterflashing_lap",
            "weak_water_path_high",
        ),
        (
            "on the right side: flashing, flashing-cement cut away above 0.05 mm "
            "beyond flashing_height_least from roof.datum, hollow there"
        ): (
            "short_counterflashing_lap",
            "weak_water_path_high",
        ),
        (
            "flashing, flashing-cement cut away above 10 mm below flashing.top, "
            "hollow there"
        ): (
            "missing_bead",
            "weak_water_path_high",
        ),
        (
            "on the right side: flashing, flashing-cement cut away above 10 mm below "
            "flashing.top, hollow there"
        ): ("weak_water_path_high",),
    },
    "short_flashing_reach": {
        (
            "flashing, flashing-cement cut away above 10 mm below flashing.top, "
            "hollow there"
        ): (
            "missing_bead",
            "weak_water_path_high",
        ),
        (
            "on the right side: flashing, flashing-cement cut away above 10 mm below "
            "flashing.top, hollow there"
        ): ("weak_water_path_high",),
    },
    "short_counterflashing_lap": {
        (
            "counterflashing cut away below 30 mm short of counterflashing_lap_least "
            "from flashing.top"
        ): ("weak_water_path_high",),
        "counterflashing taken out": (
            "loose_joint_cover",
            "low_hem",
            "missing_bead",
            "shallow_reglet",
            "thin_metal",
            "weak_water_path_high",
        ),
        "on the right side: counterflashing taken out": (
            "loose_joint_cover",
            "thin_metal",
            "weak_water_path_high",
        ),
    },
    "low_hem": {
        (
            "counterflashing below 10 mm below flashing.top moved by (0, so that its "
            "hem is 0.05 mm below what hem_above_cant_least asks)"
        ): (
            "solids_overlap",
            "touched_counterflashing",
            "weak_water_path_high",
            "weak_water_path_low",
        ),
        (
            "on the right side: counterflashing below 10 mm below flashing.top moved "
            "by (0, so that its hem is 0.05 mm below what hem_above_cant_least asks)"
        ): (
            "solids_overlap",
            "weak_water_path_high",
            "weak_water_path_low",
        ),
        (
            "counterflashing below 10 mm below flashing.top moved by (0, so that its "
            "hem is 5 mm below what hem_above_cant_least asks)"
        ): (
            "solids_overlap",
            "touched_counterflashing",
            "weak_water_path_high",
            "weak_water_path_low",
        ),
        (
            "on the right side: counterflashing below 10 mm below flashing.top moved "
            "by (0, so that its hem is 5 mm below what hem_above_cant_least asks)"
        ): (
            "solids_overlap",
            "weak_water_path_high",
            "weak_water_path_low",
        ),
        (
            "counterflashing below 10 mm below flashing.top moved by (0, so that its "
            "hem is 30 mm below what hem_above_cant_least asks)"
        ): (
            "backwater_lap",
            "solids_overlap",
            "thin_cover_on_cant",
            "touched_counterflashing",
            "weak_water_path_high",
            "weak_water_path_low",
        ),
        (
            "on the right side: counterflashing below 10 mm below flashing.top moved "
            "by (0, so that its hem is 30 mm below what hem_above_cant_least asks)"
        ): (
            "solids_overlap",
            "weak_water_path_high",
            "weak_water_path_low",
        ),
    },
    "shallow_reglet": {
        (
            "counterflashing, reglet-sealant cut away right 10 mm short of "
            "reglet_depth_least from reglet.mouth, hollow there; wall grown by (10 mm"
            " short of reglet_depth_least from reglet.mouth; reglet.mouth) to (38.1 "
            "mm right of reglet.mouth; 9.525 mm above reglet.mouth)"
        ): ("weak_water_path_high",),
        ("counterflashing cut away right 1 mm left of reglet.mouth, hollow there"): (
            "missing_bead",
            "weak_water_path_high",
        ),
    },
    "surface_mounted_counterflashing": {
        ("counterflashing cut away right 0.02 mm right of reglet.mouth, hollow there"): (
            "missing_bead",
            "shallow_reglet",
            "weak_water_path_high",
        ),
        "counterflashing cut away right reglet.mouth, hollow there": (
            "missing_bead",
            "shallow_reglet",
            "weak_water_path_high",
        ),
        ("counterflashing cut away right 3 mm left of reglet.mouth, hollow there"): (
            "missing_bead",
            "shallow_reglet",
            "weak_water_path_high",
        ),
    },
    "short_counterflashing_end_lap": {
        "wall-elevation: counterflashing-piece-1 30 mm shorter": ("weak_water_path_high",),
        "wall-elevation: counterflashing-piece-1 90 mm shorter": ("weak_water_path_high",),
    },
    "thin_cover_on_roof": {
        "slit of 3 mm through finish-ply at 20 mm from the outer end": (
            "weak_water_path_low",
        ),
        (
            "on the right side: slit of 3 mm through finish-ply at 20 mm from the outer end"
        ): ("weak_water_path_low",),
        "slit of 30 mm through finish-ply at 20 mm from the outer end": (
            "weak_water_path_low",
        ),
        (
            "on the right side: slit of 30 mm through finish-ply at 20 mm from the "
            "outer end"
        ): ("weak_water_path_low",),
        "finish-ply cut away left 20 mm from the outer end": ("weak_water_path_low",),
        "on the right side: finish-ply cut away left 20 mm from the outer end": (
            "weak_water_path_low",
        ),
        "slit of 30 mm through finish-ply-right at 60 mm from the right end": (
            "weak_water_path_low",
        ),
        (
            "on the right side: slit of 30 mm through finish-ply-right at 60 mm from "
            "the right end"
        ): ("weak_water_path_low",),
        "finish-ply-right cut away right 60 mm from the right end": (
            "weak_water_path_low",
        ),
        ("on the right side: finish-ply-right cut away right 60 mm from the right end"): (
            "weak_water_path_low",
        ),
    },
    "unspanned_flutes": {
        (
            "slit of 3 mm through cover-board, insulation-1, insulation-2 at 20 mm "
            "from the outer end"
        ): ("closed_pocket",),
        (
            "slit of 30 mm through cover-board, insulation-1, insulation-2 at 20 mm "
            "from the outer end"
        ): ("closed_pocket",),
        "cover-board taken out": (
            "leaky_hold_point",
            "weak_water_path_low",
        ),
        "slit of 3 mm through cover-board at 20 mm from the outer end": ("closed_pocket",),
        (
            "on the right side: slit of 30 mm through cover-board at 20 mm from the "
            "outer end"
        ): ("closed_pocket",),
        "slit of 3 mm through finish-ply at 20 mm from the outer end": (
            "thin_cover_on_roof",
            "weak_water_path_low",
        ),
    },
    "flame_on_wood": {
        "base-ply on cant: torched; cant made of cant-wood": (
            "base_ply_stuck_over_cant",
            "combustible_cant",
        ),
        "on the right side: base-ply on cant: torched; cant made of cant-wood": (
            "base_ply_stuck_over_cant",
            "combustible_cant",
        ),
        "cant made of cant-wood": ("combustible_cant",),
        "on the right side: cant made of cant-wood": ("combustible_cant",),
    },
    "leaky_hold_point": {
        ("slit of 3 mm through base-ply at 20 mm from the outer end, finish-ply in it"): (
            "thin_cover_on_roof",
            "weak_water_path_low",
        ),
        (
            "on the right side: slit of 3 mm through base-ply at 20 mm from the outer"
            " end, finish-ply in it"
        ): (
            "thin_cover_on_roof",
            "weak_water_path_low",
        ),
        "strip-in on base-ply: laid dry": (
            "backwater_lap",
            "weak_water_path_low",
        ),
        "strip-in-right on base-ply-right, flange-cement-right: laid dry": (
            "backwater_lap",
        ),
        (
            "strip-in on sleeve, sleeve-right, target-cement, target-cement-right: laid dry"
        ): ("weak_water_path_low",),
        (
            "on the right side: strip-in on sleeve, sleeve-right, target-cement, "
            "target-cement-right: laid dry"
        ): ("weak_water_path_low",),
        (
            "strip-in-right on sleeve, sleeve-right, target-cement, target-cement-"
            "right: laid dry"
        ): ("weak_water_path_low",),
        (
            "on the right side: strip-in-right on sleeve, sleeve-right, target-"
            "cement, target-cement-right: laid dry"
        ): ("weak_water_path_low",),
    },
    "weak_water_path_low": {
        "slit of 1 mm through finish-ply at 20 mm from the outer end": (
            "thin_cover_on_roof",
        ),
        (
            "on the right side: slit of 1 mm through finish-ply at 20 mm from the outer end"
        ): ("thin_cover_on_roof",),
        (
            "slit of 1 mm through finish-ply at 20 mm from the outer end; slit of 1 "
            "mm through base-ply at 20 mm from the outer end"
        ): (
            "leaky_hold_point",
            "thin_cover_on_roof",
        ),
        (
            "on the right side: slit of 1 mm through finish-ply at 20 mm from the "
            "outer end; slit of 1 mm through base-ply at 20 mm from the outer end"
        ): (
            "leaky_hold_point",
            "thin_cover_on_roof",
        ),
        "strip-in taken out": (
            "closed_pocket",
            "high_strip_in_on_wall",
            "leaky_hold_point",
            "low_strip_in_on_wall",
            "short_strip_in_at_toe",
        ),
        "on the right side: strip-in taken out": (
            "closed_pocket",
            "high_strip_in_on_wall",
            "leaky_hold_point",
            "low_strip_in_on_wall",
            "short_strip_in_at_toe",
        ),
        "slit of 20 mm through finish-ply-right at 60 mm from the right end": (
            "thin_cover_on_roof",
        ),
        (
            "on the right side: slit of 20 mm through finish-ply-right at 60 mm from "
            "the right end"
        ): ("thin_cover_on_roof",),
        "slit of 5 mm through base-ply-right at 60 mm from the right end": (
            "closed_pocket",
            "leaky_hold_point",
            "thin_cover_on_roof",
        ),
        (
            "on the right side: slit of 5 mm through base-ply-right at 60 mm from the"
            " right end"
        ): (
            "closed_pocket",
            "leaky_hold_point",
            "thin_cover_on_roof",
        ),
    },
    "weak_water_path_high": {
        ("slit of 1 mm through flashing, flashing-cement at 10 mm above strip.inner"): (
            "bare_wall",
        ),
        (
            "on the right side: slit of 1 mm through flashing, flashing-cement at 10 "
            "mm above strip.inner"
        ): ("bare_wall",),
        ("slit of 20 mm through flashing, flashing-cement at 10 mm above strip.inner"): (
            "bare_wall",
        ),
        (
            "on the right side: slit of 20 mm through flashing, flashing-cement at 10"
            " mm above strip.inner"
        ): ("bare_wall",),
        "slit of 2 mm through sleeve at 20 mm above the roof at sleeve": (
            "bare_flange_underside",
            "narrow_flange",
            "thin_cover_on_roof",
            "thin_flange_cover",
            "weak_water_path_low",
        ),
        (
            "on the right side: slit of 2 mm through sleeve at 20 mm above the roof "
            "at sleeve"
        ): (
            "bare_flange_underside",
            "narrow_flange",
            "thin_cover_on_roof",
            "thin_flange_cover",
            "weak_water_path_low",
        ),
        ("slit of 5 mm through sleeve-right at 20 mm above the roof at sleeve-right"): (
            "bare_flange_underside",
            "narrow_flange",
            "thin_cover_on_roof",
            "thin_flange_cover",
            "weak_water_path_low",
        ),
        (
            "on the right side: slit of 5 mm through sleeve-right at 20 mm above the "
            "roof at sleeve-right"
        ): (
            "bare_flange_underside",
            "narrow_flange",
            "thin_cover_on_roof",
            "thin_flange_cover",
            "weak_water_path_low",
        ),
        ("slit of 20 mm through sleeve-right at 20 mm above the roof at sleeve-right"): (
            "bare_flange_underside",
            "narrow_flange",
            "thin_cover_on_roof",
            "thin_flange_cover",
            "weak_water_path_low",
        ),
        (
            "on the right side: slit of 20 mm through sleeve-right at 20 mm above the"
            " roof at sleeve-right"
        ): (
            "bare_flange_underside",
            "narrow_flange",
            "thin_cover_on_roof",
            "thin_flange_cover",
            "weak_water_path_low",
        ),
        ("slit of 5 mm through flashing, flashing-cement at 10 mm above strip.inner"): (
            "bare_wall",
        ),
    },
    "solids_overlap": {
        "hole of 5 x 5 mm in wall": ("closed_pocket",),
    },
    "bare_flange_underside": {
        (
            "slit of 5 mm through base-ply at 20 mm right of flange.outer, flange-"
            "cement in it"
        ): (
            "leaky_hold_point",
            "weak_water_path_low",
        ),
        (
            "on the right side: slit of 5 mm through base-ply at 20 mm right of "
            "flange.outer, flange-cement in it"
        ): (
            "leaky_hold_point",
            "weak_water_path_low",
        ),
        (
            "slit of 5 mm through base-ply at 0.1 mm right of flange.outer, flange-"
            "cement in it"
        ): ("weak_water_path_low",),
        (
            "on the right side: slit of 5 mm through base-ply at 0.1 mm right of "
            "flange.outer, flange-cement in it"
        ): ("weak_water_path_low",),
        (
            "slit of 25 mm through base-ply-right at 45 mm left of flange.outer-"
            "right, flange-cement-right in it"
        ): (
            "leaky_hold_point",
            "weak_water_path_low",
        ),
        (
            "on the right side: slit of 25 mm through base-ply-right at 45 mm left of"
            " flange.outer-right, flange-cement-right in it"
        ): (
            "leaky_hold_point",
            "weak_water_path_low",
        ),
    },
    "thin_flange_cover": {
        (
            "slit of 5 mm through strip-in-right at 35 mm left of flange.outer-right,"
            " finish-ply-right in it"
        ): ("leaky_hold_point",),
        (
            "on the right side: slit of 5 mm through strip-in-right at 35 mm left of "
            "flange.outer-right, finish-ply-right in it"
        ): ("leaky_hold_point",),
    },
    "short_flange_strip_in": {
        "strip-in-right taken out": (
            "backwater_lap",
            "closed_pocket",
            "leaky_hold_point",
            "thin_flange_cover",
            "weak_water_path_low",
        ),
        "on the right side: strip-in-right taken out": (
            "closed_pocket",
            "leaky_hold_point",
            "thin_flange_cover",
            "weak_water_path_low",
        ),
    },
    "narrow_flange": {
        (
            "sleeve-right cut away right 60 mm short of flange_width_least from "
            "metal.leaves-right, strip-in-right in its place"
        ): (
            "weak_water_path_high",
            "weak_water_path_low",
        ),
        (
            "on the right side: sleeve-right cut away right 60 mm short of "
            "flange_width_least from metal.leaves-right, strip-in-right in its place"
        ): (
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
            "on the right side: sleeve cut away above 0.05 mm short of "
            "sleeve_height_least from roof.datum, hollow there"
        ): ("short_collar_lap",),
        (
            "sleeve-right cut away above 0.05 mm short of sleeve_height_least from "
            "roof.datum-right, hollow there"
        ): ("short_collar_lap",),
        (
            "on the right side: sleeve-right cut away above 0.05 mm short of "
            "sleeve_height_least from roof.datum-right, hollow there"
        ): ("short_collar_lap",),
        (
            "sleeve-right cut away above 40 mm short of sleeve_height_least from "
            "roof.datum-right, hollow there"
        ): ("short_collar_lap",),
        (
            "on the right side: sleeve-right cut away above 40 mm short of "
            "sleeve_height_least from roof.datum-right, hollow there"
        ): ("short_collar_lap",),
        (
            "sleeve cut away above 0.05 mm beyond sleeve_height_least from "
            "roof.datum, hollow there"
        ): ("short_collar_lap",),
        (
            "on the right side: sleeve cut away above 0.05 mm beyond "
            "sleeve_height_least from roof.datum, hollow there"
        ): ("short_collar_lap",),
        (
            "sleeve-right cut away above 0.05 mm beyond sleeve_height_least from "
            "roof.datum-right, hollow there"
        ): ("short_collar_lap",),
        (
            "on the right side: sleeve-right cut away above 0.05 mm beyond "
            "sleeve_height_least from roof.datum-right, hollow there"
        ): ("short_collar_lap",),
    },
    "short_collar_lap": {
        "collar-right taken out": (
            "thin_metal",
            "weak_water_path_high",
            "weak_water_path_low",
        ),
        "on the right side: collar-right taken out": (
            "thin_metal",
            "weak_water_path_high",
            "weak_water_path_low",
        ),
    },
    "low_reglet": {
        ("all above 1 mm above flashing.over raised to 3 mm under reglet_height_least"): (
            "touched_counterflashing",
        ),
        ("all above 1 mm above flashing.over raised to 8 mm under reglet_height_least"): (
            "touched_counterflashing",
        ),
    },
    "missing_bead": {
        "sealing-strip moved by (0, 60) mm": ("solids_overlap",),
    },
    "low_curb_over_cricket": {
        (
            "all above 8 mm above cover.hem raised until the curb is 0.05 mm under "
            "curb_above_cricket_least"
        ): ("low_curb",),
        (
            "all above 8 mm above cover.hem raised until the curb is 3 mm under "
            "curb_above_cricket_least"
        ): ("low_curb",),
        (
            "all above 8 mm above cover.hem raised until the curb is 10 mm under "
            "curb_above_cricket_least"
        ): ("low_curb",),
    },
    "low_curb": {
        (
            "all above 8 mm above cover.hem raised until the curb is 0.05 mm under "
            "curb_height_least"
        ): ("low_curb_over_cricket",),
        (
            "all above 8 mm above cover.hem raised until the curb is 3 mm under "
            "curb_height_least"
        ): ("low_curb_over_cricket",),
        (
            "all above 8 mm above cover.hem raised until the curb is 10 mm under "
            "curb_height_least"
        ): ("low_curb_over_cricket",),
    },
    "low_joint_curb": {
        (
            "on the right side: blocking cut away above 20 mm short of "
            "joint_curb_height_least from roof.datum, hollow there"
        ): ("short_counterflashing_lap",),
    },
    "tight_joint": {
        "the gap narrowed to 0.05 mm under joint_closed_least and the movement": (
            "thin_metal",
        ),
        "the gap narrowed to 4 mm under joint_closed_least and the movement": (
            "thin_metal",
        ),
        "the gap narrowed to 10 mm under joint_closed_least and the movement": (
            "thin_metal",
        ),
        (
            "blocking grown by (1 mm left of gap.left; 20 mm below gap.left) to (10 "
            "mm past it; 2 mm below gap.left)"
        ): (
            "tight_barrier",
            "weak_water_path_high",
        ),
        "the gap narrowed to 0.05 mm over joint_closed_least and the movement": (
            "thin_metal",
        ),
    },
    "tight_barrier": {
        "joint-barrier taken out": ("weak_water_path_high",),
        "slit of 2 mm through joint-barrier at the middle of the gap": (
            "weak_water_path_high",
        ),
    },
}
