"""The curbs, joints, moving walls and supports that mutations are made on.

Rows of (code, about, kind, parameters, roof, and what else `Base` takes); `variants` makes
the sections of them.
"""

from collections.abc import Mapping

from detailgen.section import Method

IN = 25.4
HOT, COLD = {"adhesion": Method.HOT_ASPHALT}, {"adhesion": Method.COLD_ADHESIVE}
FLUTES = {"deck": "steel", "insulation": (), "cover_board": IN / 2}
SHEETS = {
    "cant_height": 4 * IN,
    "cant_run": 4.5 * IN,
    "strip_in_out": 4 * IN,
    "strip_in_up": 2.5 * IN,
    "prepared_band": 7 * IN,
    "flashing_reach": 6 * IN,
    "counterflashing_lap": 5 * IN,
    "top_fastener_spacing": 6 * IN,
}
ROOMY_CURBS: Mapping[str, Mapping[str, object]] = {
    "curb": {**SHEETS, "curb_height": 12.5 * IN, "curb_thickness": 3 * IN},
    "expansion-joint": {
        **SHEETS,
        "curb_height": 12 * IN,
        "gap": 2.5 * IN,
        "loop_depth": 3 * IN,
    },
    "independent-wall": {
        **SHEETS,
        "flashing_height": 14 * IN,
        "gap": 2.5 * IN,
        "loop_depth": 3 * IN,
        "reglet_depth": 1.5 * IN,
        "counterflashing_lap": 5.5 * IN,
        "bar_fastener_spacing": 6 * IN,
    },
    "equipment-sleeper": {**SHEETS, "curb_height": 12.5 * IN},
    "equipment-support": {
        "clear_height": 30 * IN,
        "height": 10 * IN,
        "flange": 4.5 * IN,
        "strip_in": 5 * IN,
        "lap": 4 * IN,
        "cover_lap": 5 * IN,
    },
}

Row = tuple[str, str, str, Mapping[str, object], Mapping[str, object], Mapping[str, object]]
NONE: Mapping[str, object] = {}
FOIL, GRANULES = {"flashing": "foil"}, {"flashing": "granule-in-cement"}
TALL = {**GRANULES, "curb_height": 30 * IN}
ROW_ALONE = {"only": frozenset({"missing_intermediate_row"})}
AT_12 = {"asks": {"curb_height_least": "12 in"}}
JOINT_AT = {"asks": {"joint_curb_height_least": "11 1/2 in"}}
ON_FLUTES = {"only": frozenset({"unspanned_flutes"})}

CURBS: tuple[Row, ...] = (
    (
        "C1",
        "counterflashing, foil torched, cricket",
        "curb",
        {**FOIL, "cricket": 3 * IN, "curb_height": 15 * IN},
        NONE,
        {
            "asks": {
                "curb_height_least": "14 1/2 in",
                "curb_above_cricket_least": "11 1/2 in",
            }
        },
    ),
    ("C2", "cap, granules in cement", "curb", {**GRANULES, "top": "cap"}, HOT, AT_12),
    (
        "C3",
        "flange of the unit, downslope face, fluted deck",
        "curb",
        {**FOIL, "top": "unit", "fall": "away"},
        FLUTES,
        AT_12,
    ),
    ("C4", "as C2, 30 in tall", "curb", {**TALL, "top": "cap"}, COLD, ROW_ALONE),
    ("J1", "expansion joint, foil torched", "expansion-joint", FOIL, NONE, JOINT_AT),
    (
        "J2",
        "area divider, granules in cement",
        "expansion-joint",
        {**GRANULES, "joint": "area-divider", "curb_thickness": 2 * IN},
        HOT,
        JOINT_AT,
    ),
    (
        "J3",
        "as J1, 11 1/2 in tall",
        "expansion-joint",
        {**FOIL, "curb_height": 11.5 * IN},
        NONE,
        {"rule_set": "us-government-guide", "only": frozenset({"tall_joint_curb"})},
    ),
    ("J4", "as J2, 30 in tall", "expansion-joint", TALL, HOT, ROW_ALONE),
    ("J5", "as J1 on a fluted deck", "expansion-joint", FOIL, FLUTES, ON_FLUTES),
    (
        "I1",
        "reglet, foil torched",
        "independent-wall",
        {**FOIL, "termination": "reglet"},
        NONE,
        NONE,
    ),
    (
        "I2",
        "bar, granules in cement",
        "independent-wall",
        {**GRANULES, "termination": "surface"},
        COLD,
        NONE,
    ),
    (
        "I3",
        "as I2, 30 in tall",
        "independent-wall",
        {**GRANULES, "termination": "surface", "flashing_height": 30 * IN},
        COLD,
        ROW_ALONE,
    ),
    (
        "I4",
        "as I1 on a fluted deck",
        "independent-wall",
        {**FOIL, "termination": "reglet"},
        FLUTES,
        ON_FLUTES,
    ),
    (
        "I5",
        "as I1",
        "independent-wall",
        {**FOIL, "termination": "reglet"},
        NONE,
        {
            "rule_set": "navy-guides",
            "only": frozenset({"surface_mounted_counterflashing"}),
        },
    ),
    (
        "I6",
        "as I1, reglet 24 in high",
        "independent-wall",
        {**FOIL, "termination": "reglet", "reglet_height": 24.1 * IN},
        NONE,
        {"asks": {"reglet_height_least": "24 in"}, "only": frozenset({"low_reglet"})},
    ),
    ("K1", "foil torched", "equipment-sleeper", FOIL, NONE, AT_12),
    ("K2", "granules in cement", "equipment-sleeper", GRANULES, COLD, AT_12),
    ("K3", "as K2, 30 in tall", "equipment-sleeper", TALL, COLD, ROW_ALONE),
    ("K4", "as K1 on a fluted deck", "equipment-sleeper", FOIL, FLUTES, ON_FLUTES),
    ("Q1", "post of pipe, torched", "equipment-support", NONE, NONE, NONE),
    (
        "Q2",
        "post of tube, on a fluted deck",
        "equipment-support",
        {"post": "tube"},
        {**FLUTES, **HOT},
        {"only": frozenset({"unspanned_flutes"})},
    ),
)
