"""Mutations for the rules on walls."""

from collections.abc import Iterator
from math import radians, tan

from detailgen.section import Bond
from tests.checks.mutating import (
    AIR,
    At,
    Mutation,
    added,
    bonded,
    coat_cut,
    coats,
    cut,
    dropped,
    edge_of,
    gone,
    grown,
    level,
    limit,
    longer,
    made_of,
    point,
    pulled,
    rebuilt,
    shifted,
    slit,
    slit_square,
    stretched,
)
from tests.checks.rows import HIGH, LOW, Row, caught, far, harmless
from tests.checks.variants import Base

ELEVATION = "wall-elevation"
JUST = 0.05
"""Just within a limit, or just past it, mm."""
FLASHING = ("flashing", "flashing-cement?")
FOOT = cut(FLASHING, {"left": edge_of("flashing", "left", 20)})
"""The foot of the flashing sheet a little shorter: nothing that most rules look at."""
UPPER = ("upper-flashing", "upper-cement?")


def cemented(base: Base) -> bool:
    """Tell whether flashing sheets lie in cement here."""
    return "granule" in str(base.parameters.get("flashing", ""))


def torched(base: Base) -> bool:
    """Tell whether sheets are torched here."""
    return "adhesion" not in base.roof and base.code not in {"W2", "W4", "W6", "W8"}


def _over(base: Base) -> str:
    return "flashing-cement" if cemented(base) else "flashing"


# --- cant ---------------------------------------------------------------------------------


def cant_rows() -> Iterator[Row]:
    """Cant: angle, height, material, the ply that lies loose on it."""

    def run(angle: float) -> At:
        def of(base: Base, section: object) -> float:
            del base
            cant = section.body("cant").region.bounds  # type: ignore[attr-defined]
            low = section.points["cant.foot"][1]  # type: ignore[attr-defined]
            return cant[2] - (cant[3] - low) / tan(radians(angle))

        return At(f"where its angle becomes {angle:g} deg", of)

    yield caught("steep_cant", cut("cant", {"left": run(45.1)}, "base-ply"))
    yield caught("steep_cant", cut("cant", {"left": run(60)}, "base-ply"))
    yield caught("steep_cant", cut("cant", {"left": run(80)}, "base-ply"))
    yield harmless("steep_cant", cut("cant", {"left": run(44.9)}, "base-ply"))
    yield harmless(
        "steep_cant", cut("cant", {"above": point("cant.top", "y", -6)}, "base-ply")
    )

    def top(by: float) -> At:
        return limit("cant.foot", "y", "cant_height_least", by)

    yield caught("low_cant", cut("cant", {"above": top(-JUST)}, "base-ply"))
    yield caught("low_cant", cut("cant", {"above": top(-40)}, "base-ply"))
    yield caught(
        "low_cant", gone("cant"), "steep_cant", "base_ply_stuck_over_cant", "closed_pocket"
    )
    yield harmless("low_cant", cut("cant", {"above": top(JUST)}, "base-ply"))
    yield harmless("low_cant", cut("cant", {"left": point("cant.toe", "x", 5)}, "base-ply"))

    for material in ("cant-wood", "cant-wood-fibre", "lumber-2x"):
        yield caught("combustible_cant", made_of("cant", material))
    for material in ("insulation-board", "wall-masonry"):
        yield harmless("combustible_cant", made_of("cant", material))

    for bond in (Bond.TORCHED, Bond.HOT_ASPHALT):
        yield caught("base_ply_stuck_over_cant", bonded("base-ply", ["cant"], bond))
    yield caught("base_ply_stuck_over_cant", bonded("base-ply", ["cant"], Bond.CEMENT, 0.1))
    yield harmless("base_ply_stuck_over_cant", bonded("base-ply", ["cant"], Bond.FASTENED))
    yield harmless(
        "base_ply_stuck_over_cant", bonded("strip-in", ["base-ply"], Bond.CEMENT)
    )


# --- sheets -------------------------------------------------------------------------------


def cover_rows() -> Iterator[Row]:
    """Counts of sheets on cant and wall."""
    over = ("strip-in", "finish-ply", *FLASHING)
    face = ("cant.toe", "cant.top")
    rule = "thin_cover_on_cant"
    for share, width in ((0.4, 3), (0.1, 60), (0.2, 10)):
        yield caught(rule, slit_square(over, face, share, width), "backwater_lap", LOW)
    yield harmless(rule, FOOT)
    yield harmless(rule, slit_square("finish-ply", face, 0.2, 60, "strip-in"))

    rule = "bare_wall"
    above = point("strip.inner", "y", 10)
    yield caught(rule, slit(FLASHING, "y", above, 1), HIGH)
    yield caught(rule, slit(FLASHING, "y", above, 30), HIGH)
    yield caught(rule, slit(FLASHING, "y", point("strip.inner", "y", 2), 5), HIGH)
    yield harmless(rule, slit(FLASHING, "y", point("flashing.top", "y", -15), 5, AIR))
    yield harmless(rule, FOOT)


def strip_rows() -> Iterator[Row]:
    """Where the strip-in ends."""

    def out(by: float) -> At:
        return limit("cant.toe", "x", "strip_in_toe_least", by, -1)

    rule = "short_strip_in_at_toe"
    yield caught(rule, cut("strip-in", {"left": out(-JUST)}, "finish-ply"))
    yield caught(rule, cut("strip-in", {"left": out(-40)}, "finish-ply"))
    yield caught(
        rule,
        gone("strip-in"),
        "low_strip_in_on_wall",
        "high_strip_in_on_wall",
        "leaky_hold_point",
        "closed_pocket",
        LOW,
    )
    yield harmless(rule, cut("strip-in", {"left": out(JUST)}, "finish-ply"))
    yield harmless(rule, FOOT)

    def up(row: str, by: float) -> At:
        return limit("cant.top", "y", row, by)

    least, most = "strip_in_wall_least", "strip_in_wall_usual_most"
    for cement, to in ((True, "flashing-cement"), (False, "flashing")):

        def here(base: Base, cement: bool = cement) -> bool:
            return cemented(base) is cement

        for by in (-JUST, -20, -36):
            yield caught(
                "low_strip_in_on_wall",
                cut("strip-in", {"above": up(least, by)}, to),
                where=here,
            )
        yield harmless(
            "low_strip_in_on_wall",
            cut("strip-in", {"above": up(least, JUST)}, to),
            where=here,
        )
        sheet = At(
            "its face",
            lambda _, s: s.points["cant.top"][0] - s.body("strip-in").thickness,
        )
        taken = ("flashing-cement?", "flashing")
        for by in (JUST, 20, 60):
            yield caught(
                "high_strip_in_on_wall",
                cut(
                    taken,
                    {
                        "right": sheet,
                        "above": edge_of("strip-in", "top"),
                        "below": up(most, by),
                    },
                    "strip-in",
                ),
                where=here,
            )
        yield harmless(
            "high_strip_in_on_wall",
            cut(
                taken,
                {
                    "right": sheet,
                    "above": edge_of("strip-in", "top"),
                    "below": up(most, -JUST),
                },
                "strip-in",
            ),
            where=here,
        )
        yield harmless(
            "high_strip_in_on_wall",
            cut("strip-in", {"above": up(least, 5)}, to),
            where=here,
        )
    yield harmless("low_strip_in_on_wall", cut("strip-in", {"left": out(10)}, "finish-ply"))


def flashing_rows() -> Iterator[Row]:
    """Where the flashing sheets end, and the band under them."""

    def to(row: str, by: float) -> At:
        words = f"to {abs(by):g} mm {'over' if by > 0 else 'under'} {row}"
        return At(
            words,
            lambda b, s: (
                b.limit(row)
                + by
                - (s.points["flashing.top"][1] - s.points["roof.datum"][1])
            ),
        )

    def level_of(by: float) -> At:
        return limit("roof.datum", "y", "flashing_height_least", by)

    rule = "low_flashing"
    laps = ("short_counterflashing_lap", "short_upper_lap", "bare_wall", HIGH)
    for by in (-JUST, -30):
        yield caught(rule, cut(FLASHING, {"above": level_of(by)}, AIR), *laps)
    yield caught(
        rule,
        gone(*FLASHING),
        *laps,
        "short_flashing_reach",
        "tall_flashing",
        "backwater_lap",
        "thin_bed",
        LOW,
    )
    yield harmless(rule, cut(FLASHING, {"above": level_of(JUST)}, AIR), *laps)
    yield harmless(rule, cut(FLASHING, {"above": point("flashing.top", "y", -10)}, AIR))
    yield harmless(rule, FOOT)

    rule = "tall_flashing"
    mid = point("strip.inner", "y", 8)
    for by in (JUST, 60, 300):
        yield caught(rule, stretched(mid, to("flashing_height_usual_most", by)))
    for by in (-JUST, -50):
        yield harmless(rule, stretched(mid, to("flashing_height_usual_most", by)))

    def out(by: float) -> At:
        return limit("cant.toe", "x", "flashing_reach_least", by, -1)

    rule = "short_flashing_reach"
    for by in (-JUST, -30, -90):
        yield caught(rule, cut(FLASHING, {"left": out(by)}))
    yield harmless(rule, cut(FLASHING, {"left": out(JUST)}))
    yield harmless(rule, cut(FLASHING, {"above": point("flashing.top", "y", -10)}, AIR))

    rule = "narrow_prepared_band"
    reach = At("the end of the flashing sheet", lambda _, s: s.points["flashing.outer"][0])

    def beside(by: float) -> At:
        return At(f"{by:g} mm right of {reach.words}", lambda b, s: reach.of(b, s) + by)

    yield caught(rule, coat_cut("finish-ply", beside(JUST)))
    yield caught(rule, coat_cut("finish-ply", beside(60)))
    yield caught(rule, coat_cut("finish-ply", beside(30), beside(36)))
    yield caught(rule, coats("finish-ply", lambda _b, _s, _l: [], "finish-ply unprepared"))
    yield harmless(rule, coat_cut("finish-ply", beside(-JUST)))
    yield harmless(rule, coat_cut("finish-ply", beside(-12), beside(-6)))

    def bottom(by: float) -> At:
        return limit("flashing.top", "y", "upper_lap_least", by, -1)

    rule = "short_upper_lap"
    for by in (-JUST, -30, -95):
        yield caught(rule, cut(UPPER, {"below": bottom(by)}), *far(by, HIGH))
    yield harmless(rule, cut(UPPER, {"below": bottom(JUST)}))
    yield harmless(rule, FOOT)


def gauge_rows() -> Iterator[Row]:
    """Thickness of the sheets."""

    def thick(material: str, row: str, by: float) -> Mutation:
        words = f"{material} {abs(by):g} mm {'under' if by < 0 else 'over'} {row}"
        return rebuilt(words, materials={material: lambda b: b.limit(row) + by})

    base, row = "base-ply-glass-smooth", "base_ply_thickness_least"
    for by in (-0.02, -0.4, -1.2):
        yield caught("thin_base_ply", thick(base, row, by))
    yield harmless("thin_base_ply", thick(base, row, 0.02))
    yield harmless(
        "thin_base_ply",
        thick("finish-ply-glass-granule", "granule_sheet_thickness_least", 0.3),
    )
    finish, row = "finish-ply-glass-granule", "granule_sheet_thickness_least"
    for by in (-0.02, -0.4, -1.2):
        yield caught("thin_granule_sheet", thick(finish, row, by))
    yield caught(
        "thin_granule_sheet", thick("flashing-granule", row, -0.02), where=cemented
    )
    yield harmless("thin_granule_sheet", thick(finish, row, 0.02))
    yield harmless("thin_granule_sheet", thick(base, "base_ply_thickness_least", 0.02))


# --- what covers the top ------------------------------------------------------------------


def metal_rows() -> Iterator[Row]:
    """Counterflashing, reglet and coping."""

    def hem(by: float) -> At:
        return limit("flashing.top", "y", "counterflashing_lap_least", by, -1)

    metal = "counterflashing"
    rule = "short_counterflashing_lap"
    for by in (-JUST, -30):
        yield caught(rule, cut(metal, {"below": hem(by)}), *far(by, HIGH))
    yield caught(rule, gone(metal), "low_hem", "shallow_reglet", *BARE_TOP)
    yield harmless(rule, cut(metal, {"below": hem(JUST)}))
    yield harmless(rule, FOOT)

    rule = "low_hem"

    def lowered(by: float) -> Mutation:
        drop = At(
            f"so that its hem is {abs(by):g} mm {'below' if by < 0 else 'above'} what "
            "hem_above_cant_least asks",
            lambda b, s: (
                s.points["cant.top"][1]
                + b.limit("hem_above_cant_least")
                + by
                - s.body(metal).region.bounds[1]
            ),
        )
        kink = point("flashing.top", "y", -10)
        return pulled([metal], {"below": kink}, (0.0, drop), hollow=True)

    for by in (-JUST, -5):
        yield caught(rule, lowered(by), "solids_overlap", LOW, HIGH)
    yield caught(rule, lowered(-30), "solids_overlap", LOW)
    yield harmless(rule, lowered(70))
    yield harmless(rule, cut(metal, {"below": edge_of(metal, "bottom", 2)}))

    def slot(by: float) -> Mutation:
        back = limit("reglet.mouth", "x", "reglet_depth_least", by)
        return cut((metal, "reglet-sealant?"), {"right": back}, AIR) & _filled(back)

    rule = "shallow_reglet"
    for by in (-JUST, -10):
        yield caught(rule, slot(by), *far(by, HIGH))
    in_wall = cut(metal, {"right": point("reglet.mouth", "x", -1)}, AIR)
    yield caught(rule, in_wall, "missing_bead", "surface_mounted_counterflashing", HIGH)
    yield harmless(rule, slot(JUST))
    yield harmless(rule, stretched(point("reglet.mouth", "y", 5), 4.0))

    rule = "low_reglet"
    between = point("flashing.top", "y", 3)

    def lower(by: float) -> Mutation:
        drop = At(
            f"to {abs(by):g} mm {'under' if by < 0 else 'over'} reglet_height_least",
            lambda b, s: (
                s.points["roof.datum"][1]
                + b.limit("reglet_height_least")
                + by
                - s.points["reglet.mouth"][1]
            ),
        )
        return stretched(between, drop)

    for by in (-JUST, -5, -10):
        yield caught(rule, lower(by))
    yield harmless(rule, lower(JUST))
    yield harmless(rule, stretched(between, 30.0))

    rule = "surface_mounted_counterflashing"
    for plus in (0.02, 0.0, -3.0):
        away = cut(metal, {"right": point("reglet.mouth", "x", plus)}, AIR)
        yield caught(rule, away, "shallow_reglet", "missing_bead", HIGH)
    yield harmless(rule, cut(metal, {"right": point("reglet.mouth", "x", 33.0)}, AIR))
    yield harmless(rule, FOOT)

    rule = "tall_parapet"
    above_all = point("upper.bottom", "y", 60)

    def parapet(by: float) -> Mutation:
        rise = At(
            f"to {abs(by):g} mm {'over' if by > 0 else 'under'} parapet_height_usual_most",
            lambda b, s: (
                s.points["roof.datum"][1]
                + b.limit("parapet_height_usual_most")
                + by
                - s.points["blocking.top"][1]
            ),
        )
        return stretched(above_all, rise)

    for by in (JUST, 30, 200):
        yield caught(rule, parapet(by))
    yield harmless(rule, parapet(-JUST))
    yield harmless(rule, parapet(-10))

    rule = "short_coping_face"
    outside = {
        "right": point("wall.joint", "x"),
        "below": point("wall.joint", "y", 15),
    }

    def face(by: float) -> Mutation:
        rise = At(
            f"so that the face reaches {abs(by):g} mm {'less' if by < 0 else 'more'} than "
            "coping_face_least",
            lambda b, s: (
                s.points["wall.joint"][1]
                - b.limit("coping_face_least")
                - by
                - b.findings[rule].where[1]
            ),  # type: ignore[index]
        )
        return pulled(("coping", "coping-cleat"), outside, (0.0, rise))

    for by in (-0.1, -6, -12):
        yield caught(rule, face(by))
    yield harmless(rule, face(0.1))
    yield harmless(rule, face(40))


BARE_TOP = ("thin_metal", "missing_bead", "bare_wall", HIGH)


def _filled(x: At) -> Mutation:
    """Fill the slot of a reglet from an x back."""
    mouth = point("reglet.mouth", "y")
    high = point("reglet.mouth", "y", 0.375 * 25.4)
    deep = point("reglet.mouth", "x", 1.5 * 25.4)
    return grown("wall", (x, mouth), (deep, high))


# --- elevation ----------------------------------------------------------------------------


def elevation_rows() -> Iterator[Row]:
    """What only the elevation shows."""
    rule = "short_side_lap"
    for by in (-JUST, -30, -90):
        yield caught(rule, longer(ELEVATION, "flashing-piece-1", by))
    yield caught(rule, longer(ELEVATION, "upper-flashing-piece-2", -9), where=_coped)
    yield harmless(rule, longer(ELEVATION, "flashing-piece-1", -0.005))
    yield harmless(rule, longer(ELEVATION, "flashing-piece-2", 30))

    rule = "backwater_side_lap"
    yield caught(rule, level(ELEVATION, "flashing-piece-2", -1))
    yield caught(rule, level(ELEVATION, "flashing-piece-3", -1))
    yield caught(rule, level(ELEVATION, "flashing-piece-1", 50))
    yield harmless(rule, level(ELEVATION, "flashing-piece-3", 50))
    yield harmless(rule, longer(ELEVATION, "flashing-piece-1", 30))

    rule = "sparse_top_fasteners"
    yield caught(rule, dropped(ELEVATION, 1, lambda n: n % 2 == 1, "every second fastener"))
    yield caught(rule, dropped(ELEVATION, 1, lambda n: n == 3, "one fastener"))
    yield caught(rule, dropped(ELEVATION, 1, lambda n: n < 2, "the first two"))
    yield harmless(rule, shifted(ELEVATION, 1, 40.0, only=3))
    yield harmless(rule, added(ELEVATION, 1, 70.0))

    rule = "missing_intermediate_row"
    yield caught(rule, dropped(ELEVATION, 2, lambda _: True, "all"))
    yield caught(rule, shifted(ELEVATION, 2, 0.0, 260.0))
    yield caught(rule, shifted(ELEVATION, 2, 0.0, -260.0))
    yield harmless(rule, shifted(ELEVATION, 2, 0.0, 200.0))
    yield harmless(rule, dropped(ELEVATION, 2, lambda n: n % 2 == 1, "every second"))

    rule = "sparse_bar_fasteners"
    yield caught(rule, dropped(ELEVATION, 3, lambda n: n % 4 != 0, "three of four"))
    yield caught(
        rule, dropped(ELEVATION, 3, lambda n: n in {4, 5}, "two beside one another")
    )
    yield caught(rule, dropped(ELEVATION, 3, lambda _: True, "all"))
    yield harmless(rule, dropped(ELEVATION, 3, lambda n: n == 4, "one fastener"))
    yield harmless(rule, shifted(ELEVATION, 3, 60.0, only=4))

    rule = "short_counterflashing_end_lap"
    for by in (-JUST, -30, -90):
        shorter = longer(ELEVATION, "counterflashing-piece-1", by)
        yield caught(rule, shorter, *far(by, HIGH))
    yield harmless(rule, longer(ELEVATION, "counterflashing-piece-1", -0.005))
    yield harmless(rule, longer(ELEVATION, "counterflashing-piece-1", 30))


def _coped(base: Base) -> bool:
    return base.parameters.get("termination") == "coping"


def rows() -> Iterator[Row]:
    """Yield every mutation for the rules on walls."""
    yield from cant_rows()
    yield from cover_rows()
    yield from strip_rows()
    yield from flashing_rows()
    yield from gauge_rows()
    yield from metal_rows()
    yield from elevation_rows()
