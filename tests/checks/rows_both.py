"""Mutations for the rules that hold for every kind of condition."""

from collections.abc import Iterator

from detailgen.section import Bond, Role
from tests.checks.mutating import (
    AIR,
    At,
    Mutation,
    bonded,
    cut,
    edge_of,
    face_of,
    gone,
    grown,
    holed,
    made_of,
    moved,
    parts,
    patched,
    point,
    rebuilt,
    slit,
    slit_square,
)
from tests.checks.rows import HIGH, LOW, Row, caught, harmless
from tests.checks.rows_edge import LOWER, STRIP, cleated
from tests.checks.rows_wall import FLASHING, FOOT, UPPER, cemented
from tests.checks.variants import IN, Base


def wall(base: Base) -> bool:
    """Tell whether the section is of a wall."""
    return base.kind == "wall"


def edge(base: Base) -> bool:
    """Tell whether the section is of a roof edge."""
    return base.kind == "roof-edge"


def coped(base: Base) -> bool:
    """Tell whether a coping covers the wall."""
    return base.parameters.get("termination") == "coping"


def reglet(base: Base) -> bool:
    """Tell whether a reglet holds the counterflashing."""
    return base.parameters.get("termination") == "reglet"


def surface(base: Base) -> bool:
    """Tell whether the counterflashing is mounted on the wall's face."""
    return base.parameters.get("termination") == "surface"


def covered(base: Base) -> bool:
    """Tell whether a counterflashing covers the wall."""
    return wall(base) and not coped(base)


OPEN_JOINT = parts(
    "flange-plan",
    "no backing plate",
    lambda _, p: None if p.role is Role.BACKING_PLATE else p,
)
GONE = (
    "closed_pocket",
    "leaky_hold_point",
    "high_strip_in_on_wall",
    "low_strip_in_on_wall",
    "short_strip_in_at_toe",
    "short_flange_strip_in",
    "thin_flange_cover",
    "thin_cover_on_roof",
    "backwater_lap",
)
"""What fails along where the strip-in is taken out."""
NO_BASE_PLY = (
    "bare_drop",
    "bare_flange_underside",
    "base_ply_short_of_wood",
    "base_ply_stuck_over_edge",
    "leaky_hold_point",
    "short_base_ply_drop",
    "thin_cover_on_roof",
)
"""What fails along where the base ply is taken out at an edge."""


def unrelated(rule: str) -> Iterator[Row]:
    """Yield a small change elsewhere that a rule must not catch."""
    yield harmless(rule, FOOT, where=wall)
    yield harmless(rule, STRIP, where=edge)


# --- roof ---------------------------------------------------------------------------------


def roof_rows() -> Iterator[Row]:
    """Slope, cover, boards, flames."""
    rule = "shallow_slope"
    for share in (0.995, 0.6, 0.0):
        yield caught(rule, sloping(share))
    for share in (1.0001, 2.0):
        yield harmless(rule, sloping(share))

    rule = "thin_cover_on_roof"
    out = At("the outer end of the roof", lambda _, s: s.extent.bounds[0])
    third = At("20 mm from the outer end", lambda b, s: out.of(b, s) + 20.0)
    yield caught(rule, slit("finish-ply", "x", third, 3), LOW)
    yield caught(rule, slit("finish-ply", "x", third, 30), LOW)
    yield caught(rule, cut("finish-ply", {"left": third}), LOW)
    yield harmless(
        rule,
        slit_square("finish-ply", ("cant.toe", "cant.top"), 0.5, 5, "strip-in"),
        where=wall,
    )
    yield harmless(rule, LOWER, where=edge)
    yield from unrelated(rule)

    rule = "unspanned_flutes"
    boards = ("cover-board?", "insulation-1?", "insulation-2?")
    along = ("nailer_out_of_level", "closed_pocket")
    yield caught(rule, gone(*boards), along[0])
    yield caught(rule, slit(boards, "x", third, 3), *along)
    yield caught(rule, slit(boards, "x", third, 30), *along)
    yield harmless(
        rule, rebuilt("boards half as thick", roof={"cover_board": IN / 4}), where=wall
    )
    yield harmless(rule, gone("insulation-1"), where=edge)
    yield from unrelated(rule)

    rule = "flame_on_wood"
    yield caught(rule, made_of("boards", "plywood-1-2"), where=lambda b: b.code != "E9")
    yield caught(
        rule, made_of("wall", "plywood-1-2"), where=lambda b: wall(b) and b.code != "W9"
    )
    yield caught(rule, made_of("wall-board", "plywood-1-2"), where=lambda b: b.code == "W9")
    yield caught(
        rule,
        bonded("base-ply", ["cant"], Bond.TORCHED) & made_of("cant", "cant-wood"),
        "base_ply_stuck_over_cant",
        "combustible_cant",
        where=wall,
    )
    free = "base_ply_stuck_over_edge"
    for share in (1.0, 0.1):
        torch = bonded("base-ply", ["wood"], Bond.TORCHED, share)
        yield caught(rule, torch, free, where=lambda b: edge(b) and b.code != "E9")
    for share in (1.0, 0.5, 0.1):
        torch = bonded("base-ply", ["deck"], Bond.TORCHED, share)
        yield caught(rule, torch, free, where=lambda b: b.code == "E9")
    yield harmless(rule, made_of("cant", "cant-wood"), "combustible_cant", where=wall)
    yield harmless(rule, made_of("wall", "plywood-1-2"), where=edge)
    yield from unrelated(rule)


def sloping(share: float) -> Mutation:
    """Build the roof at a share of the slope that is asked."""
    return rebuilt(
        f"roof at {share:.2%} of slope_least",
        roof={"slope": lambda b: share * b.limit("slope_least")},
    )


# --- metal, beds, beads -------------------------------------------------------------------


def metal_rows() -> Iterator[Row]:
    """Gauges, beds, hooks and beads."""

    def thick(material: str, row: str, by: float, **more: float) -> Mutation:
        words = f"{material} {abs(by):g} mm {'under' if by < 0 else 'over'} {row}"
        return rebuilt(words, materials={material: lambda b: b.limit(row) + by, **more})

    rule, row = "thin_metal", "metal_least_galvanized"
    for by in (-0.015, -0.1, -0.3):
        yield caught(rule, thick("galvanized-24", row, by))
    for by in (0.0, 0.2):
        yield harmless(rule, thick("galvanized-24", row, by))

    rule, row = "light_cleat", "cleat_least_galvanized"
    for by in (-0.015, -0.1, -0.3):
        yield caught(rule, thick("galvanized-22", row, by))
    for by in (0.0, 0.2):
        yield harmless(rule, thick("galvanized-22", row, by))

    for where, bed in ((edge, "plastic-cement"), (cemented, "flashing-cement")):
        for by in (-0.02, -0.5, -1.0):
            yield caught("thin_bed", thick(bed, "cement_bed_least", by), where=where)
        for by in (0.02, 0.5):
            yield harmless("thin_bed", thick(bed, "cement_bed_least", by), where=where)
        for by in (0.02, 1.0, 2.0):
            yield caught("thick_bed", thick(bed, "cement_bed_most", by), where=where)
        for by in (-0.02, -0.5):
            yield harmless("thick_bed", thick(bed, "cement_bed_most", by), where=where)

    yield from hook_rows()
    yield from bead_rows()


def hook_rows() -> Iterator[Row]:
    """How far metal is hooked over its cleat."""
    rule = "shallow_cleat_hook"
    cleats = {"coping-cleat": coped, "cleat": lambda b: edge(b) and cleated(b)}
    for cleat, where in cleats.items():
        low = edge_of(cleat, "bottom", 6.0)
        yield caught(
            rule, cut(cleat, {"below": edge_of(cleat, "bottom", 3.0)}, AIR), where=where
        )
        yield caught(rule, cut(cleat, {"below": low}, AIR), where=where)
        lost = ("light_cleat",) if cleat == "coping-cleat" else ()
        yield caught(rule, gone(cleat), *lost, where=where)
        yield harmless(
            rule, cut(cleat, {"above": edge_of(cleat, "top", -5.0)}, AIR), where=where
        )
    yield from unrelated(rule)


def bead_rows() -> Iterator[Row]:
    """Beads of sealant."""
    rule = "missing_bead"
    beads = {
        "edge-bead": (edge, (0.0, 30.0), "above", "top", -0.2),
        "reglet-sealant": (reglet, (-15.0, 0.0), "right", "right", -0.5),
        "bar-sealant": (surface, (-15.0, 0.0), "above", "top", -0.2),
    }
    for bead, (where, (dx, dy), side, end, by) in beads.items():
        yield caught(rule, gone(bead), where=where)
        yield caught(rule, moved(bead, dx, dy), where=where)
        low = cut(bead, {"below": edge_of(bead, "top", -1.0)}, AIR)
        yield caught(rule, low, where=where)
        yield harmless(rule, cut(bead, {side: edge_of(bead, end, by)}, AIR), where=where)
    yield from unrelated(rule)


# --- water --------------------------------------------------------------------------------


def water_rows() -> Iterator[Row]:
    """Laps, and the hold point."""
    rule = "backwater_lap"
    sheet, metal = Role.FLASHING, Role.COPING
    roof = {
        "above": point("cant.toe", "y", -15),
        "right": point("cant.toe", "x", -250),
        "left": point("cant.toe", "x", -190),
    }
    cant = {"right": point("cant.toe", "x", 30), "left": point("cant.toe", "x", 50)}
    high = point("strip.inner", "y", -8)
    up = {
        "above": point("strip.inner", "y", -30),
        "below": high,
        "right": point("cant.top", "x", -40),
        "left": point("cant.top", "x", 0),
    }
    yield caught(rule, patched(cant, sheet, Bond.TORCHED), where=wall)
    yield caught(rule, patched(cant, metal, Bond.CEMENT), where=wall)
    yield caught(rule, patched(up, sheet, Bond.TORCHED), where=wall)
    yield caught(rule, patched(roof, Role.BASE_PLY, Bond.DRY), where=wall)
    yield harmless(rule, patched(roof, Role.BASE_PLY, Bond.TORCHED), where=wall)
    roof = {
        "above": point("edge.top", "y", -20),
        "right": point("flange.outer", "x", -60),
        "left": point("flange.outer", "x", -20),
    }
    face = {
        "right": point("edge.top", "x", 0),
        "below": point("edge.top", "y", -25),
        "above": point("edge.top", "y", -50),
    }
    yield caught(rule, patched(roof, sheet, Bond.DRY), where=edge)
    yield caught(rule, patched(roof, metal, Bond.CEMENT), where=edge)
    yield caught(rule, patched(face, sheet, Bond.TORCHED), where=edge)
    yield caught(
        rule,
        moved("cleat", 6.0, 0.0),
        "shallow_cleat_hook",
        where=lambda b: edge(b) and cleated(b),
    )
    yield harmless(rule, patched(roof, sheet, Bond.TORCHED), where=edge)
    yield from unrelated(rule)

    rule = "leaky_hold_point"
    out = At("20 mm from the outer end", lambda _, s: s.extent.bounds[0] + 20.0)
    open_roof = slit("base-ply", "x", out, 3, "finish-ply")
    yield caught(rule, open_roof, "thin_cover_on_roof", LOW)
    yield caught(rule, bonded("strip-in", ["base-ply"], Bond.DRY), "backwater_lap", LOW)
    yield caught(rule, bonded("strip-in", ["wall", "wall-board?"], Bond.DRY), where=wall)
    yield caught(rule, bonded("strip-in", ["edge-metal"], Bond.DRY), LOW, where=edge)
    yield harmless(rule, bonded("finish-ply", ["strip-in"], Bond.CEMENT))
    yield from unrelated(rule)


def path_rows() -> Iterator[Row]:
    """The easiest way of water in: through slits, along loose laps, up behind metal."""
    rule = LOW
    out = At("20 mm from the outer end", lambda _, s: s.extent.bounds[0] + 20.0)
    yield caught(rule, slit("finish-ply", "x", out, 1), "thin_cover_on_roof")
    both = slit("finish-ply", "x", out, 1) & slit("base-ply", "x", out, 1)
    yield caught(rule, both, "thin_cover_on_roof", "leaky_hold_point")
    yield caught(rule, gone("strip-in"), *GONE)
    yield harmless(rule, bonded("finish-ply", ["strip-in"], Bond.CEMENT))
    yield from unrelated(rule)

    rule = HIGH
    above = point("strip.inner", "y", 10)
    face = point("edge.top", "y", -30)
    drop = {"right": point("edge.top", "x", -0.05)}
    yield caught(rule, slit(FLASHING, "y", above, 1), "bare_wall", where=wall)
    yield caught(rule, slit(FLASHING, "y", above, 20), "bare_wall", where=wall)
    low = {"below": point("flashing.top", "y", -20)}
    hem = cut("counterflashing", low)
    yield caught(rule, hem, "short_counterflashing_lap", where=covered)
    yield caught(rule, cut(UPPER, low), "short_upper_lap", where=coped)
    # metal whose joint is open counts for nothing, so that the base ply behind it counts
    open_joint = ("narrow_backing_plate", LOW)
    for wide in (1, 20):
        behind = slit("base-ply", "y", face, wide, AIR, **drop)
        yield caught(rule, OPEN_JOINT & behind, *open_joint, where=edge)
    bare = OPEN_JOINT & gone("base-ply")
    yield caught(rule, bare, *open_joint, *NO_BASE_PLY, where=edge)
    yield harmless(rule, STRIP, where=edge)
    yield harmless(rule, LOWER, where=edge)
    yield harmless(rule, FOOT, where=wall)
    up = cut(FLASHING, {"above": point("flashing.top", "y", -3)}, AIR)
    yield harmless(rule, up, where=wall)


# --- the whole ----------------------------------------------------------------------------


def whole_rows() -> Iterator[Row]:
    """Solids that overlap, pockets that nothing fills."""
    rule = "solids_overlap"
    out = At("20 mm from the outer end", lambda _, s: s.extent.bounds[0] + 20.0)

    def bump(width: float, height: float) -> Mutation:
        end = At(f"{width:g} mm further", lambda b, s: out.of(b, s) + width)
        low = face_of("base-ply", out, top=True, plus=-1.0)
        high = face_of("base-ply", out, top=True, plus=height + 0.05)
        return grown("base-ply", (out, low), (end, high))

    for width, height in ((2.0, 0.02), (5.0, 0.5), (30.0, 2.0)):
        yield caught(rule, bump(width, height))
    yield harmless(rule, holed("wall", 5.0), "closed_pocket")
    yield from unrelated(rule)

    rule = "closed_pocket"
    yield caught(rule, holed("wall", 1.05))
    yield caught(rule, holed("finish-ply", 1.2))
    end = At("5 mm further", lambda b, s: out.of(b, s) + 5.0)
    yield caught(
        rule,
        cut(
            "base-ply",
            {
                "right": out,
                "left": end,
                "below": face_of("base-ply", out, top=False, plus=1.0),
            },
        ),
    )
    yield harmless(rule, holed("wall", 0.9))
    yield harmless(rule, holed("wall", 5.0, meant=True))
    yield from unrelated(rule)


def rows() -> Iterator[Row]:
    """Yield every mutation for the rules on every kind."""
    yield from roof_rows()
    yield from metal_rows()
    yield from water_rows()
    yield from path_rows()
    yield from whole_rows()
