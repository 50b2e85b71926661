"""The stacks, sleeves, pockets, drains and scuppers that mutations are made on.

Rows of (code, about, kind, parameters, roof, and what else `Base` takes); `variants` makes
the sections of them.
"""

from collections.abc import Mapping

from detailgen.section import Method

IN = 25.4
HOT, COLD = {"adhesion": Method.HOT_ASPHALT}, {"adhesion": Method.COLD_ADHESIVE}

ROUND = {"flange": 4.5 * IN, "strip_in": 5 * IN, "lap": 4 * IN}
DRAIN = {
    "sheet": 32 * IN,
    "target": 5 * IN,
    "base_cement": 7 * IN,
    "target_cement": 7 * IN,
    "sump": 52 * IN,
    "strainer_height": 5 * IN,
}
ROOMY_POINTS: Mapping[str, Mapping[str, object]] = {
    "stack": {**ROUND, "height": 8 * IN, "turned_in": 2.5 * IN},
    "vent-sleeve": {**ROUND, "height": 10 * IN, "cover_lap": 5 * IN},
    "penetration-pocket": {**ROUND, "height": 5 * IN, "crown": 0.5 * IN},
    "drain": DRAIN,
    "deep-drain": {**DRAIN, "clad_past": 4 * IN, "clad_border": 5 * IN},
    "scupper": {
        "metal": "copper-16",
        "opening_height": 5 * IN,
        "roof_flange": 5 * IN,
        "wall_flange": 5 * IN,
        "strip_in": 5 * IN,
        "spout": 4 * IN,
        "width": 14 * IN,
        "sump_drop": 1 * IN,
    },
}

Row = tuple[str, str, str, Mapping[str, object], Mapping[str, object], Mapping[str, object]]
BOARDS = {"insulation": (1.5 * IN, 1.5 * IN)}
NONE: Mapping[str, object] = {}
OVERFLOW = {"use": "overflow", "roof_flange": 5 * IN}

POINTS: tuple[Row, ...] = (
    ("P1", "lead jack, torched roof", "stack", NONE, NONE, NONE),
    (
        "P2",
        "copper jack, hot asphalt",
        "stack",
        {"metal": "copper-16"},
        HOT,
        {"rule_set": "canadian-manual"},
    ),
    ("P3", "storm collar", "vent-sleeve", NONE, NONE, NONE),
    (
        "P4",
        "hood over a hot stack",
        "vent-sleeve",
        {"hot": True, "air_gap": 1.25 * IN},
        COLD,
        NONE,
    ),
    ("P5", "wide-flange shape", "penetration-pocket", NONE, NONE, NONE),
    (
        "P6",
        "steel deck, cover board",
        "penetration-pocket",
        {"shape": "bar"},
        {**HOT, "deck": "steel", "cover_board": IN / 2},
        {"only": frozenset({"unspanned_flutes"})},
    ),
    ("D1", "lead, dome, sump", "drain", NONE, BOARDS, NONE),
    (
        "D2",
        "copper, flat strainer, no sump",
        "drain",
        {"metal": "copper-16", "strainer": "flat"},
        {**COLD, "insulation": ()},
        NONE,
    ),
    ("D3", "clad sheet torched", "deep-drain", NONE, BOARDS, NONE),
    (
        "D4",
        "clad sheet in cement",
        "deep-drain",
        NONE,
        {**BOARDS, **HOT},
        NONE,
    ),
    ("S1", "drains the roof, foil torched", "scupper", NONE, BOARDS, NONE),
    ("S2", "overflow, granules in cement", "scupper", OVERFLOW, {**BOARDS, **HOT}, NONE),
    (
        "S3",
        "overflow, by area",
        "scupper",
        {**OVERFLOW, "reading": "three-areas"},
        BOARDS,
        {"only": frozenset({"small_scupper"})},
    ),
)
