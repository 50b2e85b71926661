"""Mutations for the rules on roof edges."""

from collections.abc import Iterator
from dataclasses import replace

from shapely.affinity import translate

from detailgen.geometry import Line
from detailgen.section import Bond, LayeredSection, Role
from tests.checks.mutating import (
    At,
    Mutation,
    added,
    body_in,
    bonded,
    bonded_beyond,
    cut,
    dropped,
    edge_of,
    given_to,
    gone,
    limit,
    longer,
    made_of,
    marks,
    parts,
    point,
    pulled,
    rebuilt,
    roles,
    shifted,
    slit,
    split_off,
    there,
    whole,
    with_region,
)
from tests.checks.rows import LOW, Row, caught, far, harmless
from tests.checks.variants import IN, Base

PLAN = "flange-plan"
JUST = 0.05
STRIP = cut("strip-in", {"left": edge_of("strip-in", "left", 10)}, "finish-ply")
"""The strip-in a little shorter: nothing that most rules look at."""
LOWER = pulled(
    ("edge-metal", "cleat?"),
    {"below": point("edge.top", "y", -60), "right": point("edge.top", "x", -0.05)},
    (0.0, -10.0),
    hollow=True,
)
"""The face of the metal a little longer."""


def on_wood(base: Base) -> bool:
    """Tell whether a nailer lies under the flange."""
    return base.code != "E9"


def on_deck(base: Base) -> bool:
    """Tell whether the flange is nailed to the deck."""
    return base.code == "E9"


def boarded(base: Base) -> bool:
    """Tell whether boards lie beside the nailer."""
    return base.code not in {"E9", "E13"}


def cleated(base: Base) -> bool:
    """Tell whether a cleat holds the face."""
    return bool(base.parameters.get("cleat", True))


def stripped(base: Base) -> bool:
    """Tell whether a tapered edge strip lies under the base ply."""
    return bool(base.parameters.get("edge_strip", False))


def flush(base: Base) -> bool:
    """Tell whether the edge is flush."""
    return base.parameters.get("edge") == "flush"


def raised(base: Base) -> bool:
    """Tell whether the edge has a raised leg."""
    return not flush(base)


# --- wood ---------------------------------------------------------------------------------


def wood_rows() -> Iterator[Row]:
    """The nailer, and what the nails find in it."""
    rule = "nailer_out_of_level"

    yield caught(rule, _lowered("wood", 0.3))
    yield caught(rule, _lowered("wood", 6.0))
    yield caught(
        rule, _lowered("boards", 6.0), where=lambda b: boarded(b) and not stripped(b)
    )
    yield caught(rule, _lowered("wood", 3.0), where=lambda b: not boarded(b) or stripped(b))
    yield harmless(rule, _lowered("wood", -0.3))
    yield harmless(rule, _lowered("wood", -2.0))

    rule = "flange_off_nailer"

    def inward(by: float) -> At:
        return limit("flange.outer", "x", "nailer_beyond_flange_least", by, -1)

    for by in (-JUST, -20, -30):
        change = cut("wood", {"left": inward(by)}, "boards")
        yield caught(rule, change, where=boarded)
        yield caught(
            rule, split_off("deck", "left", inward(by), "deck-concrete"), where=on_deck
        )
        yield caught(
            rule, cut("wood", {"left": inward(by)}, "deck"), where=lambda b: b.code == "E13"
        )
    yield harmless(rule, cut("wood", {"left": inward(JUST)}, "boards"), where=boarded)
    yield harmless(
        rule, split_off("deck", "left", inward(JUST), "deck-concrete"), where=on_deck
    )
    yield harmless(
        rule, cut("wood", {"left": inward(JUST)}, "deck"), where=lambda b: b.code == "E13"
    )
    yield harmless(rule, STRIP)

    rule = "nothing_to_bite"
    wood = ("nailer-1?", "nailer-2?", "shim-1?", "shim-2?", "shim-3?", "nailer-3?")
    along = ("short_nail_bite", "flange_off_nailer")
    for material in ("deck-concrete", "insulation-board"):
        stuff = roles_and_stuff(wood, material)
        yield caught(rule, stuff, *along, where=on_wood)
        yield caught(rule, made_of("deck", material), *along, where=on_deck)
    yield caught(rule, roles_and_stuff(wood, "wall-masonry"), *along, where=on_wood)
    yield caught(rule, made_of("deck", "wall-masonry"), *along, where=on_deck)
    yield harmless(rule, made_of(wood, "plywood-1-2"), where=on_wood)
    yield harmless(rule, made_of("deck", "lumber-2x"), where=on_deck)
    yield harmless(rule, gone("nail-1"))

    rule = "short_nail_bite"

    def bite(nail: str, by: float) -> Mutation:
        side = "less" if by < 0 else "more"
        words = f"{nail} cut to {abs(by):g} mm {side} than nail_bite_least"

        def foot(base: Base, section: LayeredSection) -> float:
            body = section.body(nail)
            assert body is not None
            x0, y0, x1, y1 = body.region.bounds
            middle = Line([((x0 + x1) / 2, y0 - 1), ((x0 + x1) / 2, y1 + 1)])
            holding = [
                b.region
                for b in section.bodies
                if b.role in {Role.NAILER, Role.SHIM}
                or (b.role is Role.DECK and b.material == "deck-wood")
            ]
            top = max(
                middle.intersection(r).bounds[3] for r in holding if middle.intersects(r)
            )
            return top - base.limit("nail_bite_least") - by

        return Mutation(words, cut(nail, {"below": At("", foot)}).apply)

    yield caught(rule, bite("nail-1", -JUST))
    yield caught(rule, bite("nail-2", -15))
    yield caught(rule, gone("nail-1", "nail-2", "cleat-nail-1?"))
    yield harmless(rule, bite("nail-1", JUST))
    yield harmless(rule, gone("nail-2"))


def _lowered(name: str, by: float) -> Mutation:
    """Lower the top of wood or boards by the tolerance and so much; the ply fills it."""
    side = "more" if by > 0 else "less"
    words = (
        f"top of {name} {abs(by):g} mm {side} below the others than "
        "nailer_level_tolerance allows, base-ply in its place"
    )

    def apply(base: Base, section: LayeredSection) -> LayeredSection:

        (body_id,) = there(section, (name,))
        region = body_in(section, body_id).region
        drop = base.limit("nailer_level_tolerance") + by
        left = whole(region.intersection(translate(region, 0.0, -drop)))
        taken = whole(region.difference(left))
        changed = with_region(section, body_id, left)
        return given_to(section, changed, body_id, [taken], heir(section))

    def heir(section: LayeredSection) -> str:
        return "edge-strip" if name == "wood" and section.body("edge-strip") else "base-ply"

    return Mutation(words, apply)


def roles_and_stuff(names: tuple[str, ...], material: str) -> Mutation:
    """Make wood of something that holds no nail."""

    def apply(base: Base, section: LayeredSection) -> LayeredSection:
        ids = {n.rstrip("?") for n in names}
        bodies = tuple(
            replace(b, material=material, role=Role.INSULATION) if b.id in ids else b
            for b in section.bodies
        )
        return replace(section, bodies=bodies)

    return Mutation(f"the wood replaced by {material}", apply)


# --- flange -------------------------------------------------------------------------------


def flange_rows() -> Iterator[Row]:
    """What lies under and over the flange, and where it ends."""
    rule = "bare_flange_underside"
    under = ("base-ply",)
    start = point("flange.outer", "x", 20)
    for at, wide in ((start, 5), (start, 40), (point("flange.outer", "x", 0.1), 5)):
        yield caught(rule, slit(under, "x", at, wide, "flange-cement"), LOW)
    yield harmless(rule, STRIP)
    yield harmless(rule, LOWER)

    rule = "thin_flange_cover"
    yield caught(rule, slit("finish-ply", "x", start, 1))
    yield caught(rule, slit("finish-ply", "x", start, 40))
    yield caught(rule, slit("strip-in", "x", start, 5, "finish-ply"), "leaky_hold_point")
    yield harmless(rule, LOWER)
    yield harmless(rule, slit("flange-cement", "x", start, 5, "base-ply"))

    rule = "short_flange_strip_in"

    def out(by: float) -> At:
        return limit("flange.outer", "x", "flange_strip_in_least", by, -1)

    for by in (-JUST, -50):
        yield caught(rule, cut("strip-in", {"left": out(by)}, "finish-ply"))
    yield caught(
        rule,
        gone("strip-in"),
        "thin_flange_cover",
        "leaky_hold_point",
        "closed_pocket",
        "thin_cover_on_roof",
        "backwater_lap",
        LOW,
    )
    yield harmless(rule, cut("strip-in", {"left": out(JUST)}, "finish-ply"))
    yield harmless(rule, LOWER)

    end = At(
        "where the flange turns",
        lambda _, s: s.points["metal.leaves" if "leg.top" in s.points else "metal.bend"][0],
    )

    def width(row: str, by: float) -> At:
        words = f"{abs(by):g} mm {'under' if by < 0 else 'over'} {row}"
        return At(words, lambda b, s: end.of(b, s) - b.limit(row) - by)

    rule = "narrow_flange"
    for by in (-JUST, -4, -7):
        yield caught(
            rule, cut("edge-metal", {"left": width("flange_width_least", by)}, "strip-in")
        )
    yield harmless(
        rule,
        cut("edge-metal", {"left": width("flange_width_least", JUST)}, "strip-in"),
        where=lambda b: b.code != "E14",
    )
    yield harmless(
        rule,
        cut("edge-metal", {"left": width("flange_width_least", -0.005)}, "strip-in"),
        where=lambda b: b.code == "E14",
    )
    yield harmless(rule, cut("strip-in", {"left": out(10)}, "finish-ply"))

    rule = "wide_flange"
    for more in (IN / 64 + JUST, IN / 4, IN):
        yield caught(
            rule,
            rebuilt(
                f"flange {more:.3g} mm wider than 4 in",
                parameters={"flange": 4 * IN + more},
            ),
        )
    yield harmless(
        rule,
        rebuilt(
            "flange 1/128 in wider than 4 in", parameters={"flange": 4 * IN + IN / 128}
        ),
    )
    yield harmless(rule, cut("strip-in", {"left": out(10)}, "finish-ply"))

    rule = "flange_below_finish_ply"
    plies = {"base-ply": Role.BASE_PLY, "finish-ply": Role.FINISH_PLY}
    yield caught(rule, roles(plies))
    yield caught(rule, roles({"strip-in": Role.FINISH_PLY}), "short_flange_strip_in")
    yield caught(
        rule,
        gone("base-ply"),
        "finish_ply_off_leg",
        "leaky_hold_point",
        "bare_flange_underside",
        "thin_cover_on_roof",
        LOW,
    )
    yield harmless(rule, LOWER)
    yield harmless(rule, cut("strip-in", {"left": out(10)}, "finish-ply"))


# --- the plan -----------------------------------------------------------------------------


def plan_rows() -> Iterator[Row]:
    """What only the plan of the flange shows."""
    rule = "sparse_nails"
    yield caught(rule, dropped(PLAN, 1, lambda n: n % 2 == 1, "every second nail"))
    yield caught(rule, dropped(PLAN, 2, lambda n: n == 3, "one nail"))
    yield caught(rule, dropped(PLAN, 1, lambda n: n < 2, "the first two"))
    yield harmless(rule, shifted(PLAN, 1, 8.0, only=3))
    yield harmless(rule, added(PLAN, 1, 10.0))

    rule = "single_nail_row"
    along = ("unstaggered_nails",)
    yield caught(rule, dropped(PLAN, 2, lambda _: True, "all"), *along)
    yield caught(rule, dropped(PLAN, 1, lambda _: True, "all"), *along)
    yield caught(rule, _one_row(), *along)
    yield harmless(rule, shifted(PLAN, 2, 0.0, 6.0))
    yield harmless(rule, dropped(PLAN, 1, lambda n: n == 3, "one nail"), "sparse_nails")

    rule = "unstaggered_nails"
    yield caught(rule, shifted(PLAN, 2, -1.25 * IN))
    yield caught(rule, shifted(PLAN, 2, -(1.25 - 0.75) * IN - JUST))
    yield caught(rule, shifted(PLAN, 1, 0.8 * IN, only=3), "sparse_nails")
    yield harmless(rule, shifted(PLAN, 2, -(1.25 - 0.75) * IN + JUST))
    yield harmless(rule, shifted(PLAN, 2, 0.0, 8.0))

    rule = "sparse_cleat_nails"
    yield caught(rule, dropped(PLAN, 9, lambda n: n % 2 == 1, "every second nail"))
    yield caught(rule, dropped(PLAN, 9, lambda n: n == 2, "one nail"))
    yield caught(rule, dropped(PLAN, 9, lambda _: True, "all"))
    yield harmless(rule, shifted(PLAN, 9, 15.0, only=2))
    yield harmless(rule, added(PLAN, 9, 20.0))

    rule = "tight_joint_gap"
    for by in (JUST, 5, 12):
        yield caught(rule, longer(PLAN, "edge-metal-1", by))
    yield harmless(rule, longer(PLAN, "edge-metal-1", 0.005))
    yield harmless(rule, longer(PLAN, "backing-plate", 40))

    rule = "narrow_backing_plate"
    for by in (-JUST, -60):
        yield caught(rule, longer(PLAN, "backing-plate", by), *far(by, LOW))
    yield caught(
        rule,
        parts(
            PLAN,
            "no backing plate",
            lambda _, p: None if p.role is Role.BACKING_PLATE else p,
        ),
        LOW,
    )
    yield harmless(rule, longer(PLAN, "backing-plate", -0.005))
    yield harmless(rule, longer(PLAN, "backing-plate", 40))


def _one_row() -> Mutation:
    """Move the second row into the line of the first."""

    def apply(base: Base, section: LayeredSection) -> LayeredSection:
        layout = section.layout(PLAN)
        assert layout is not None
        y = next(m.at[1] for m in layout.marks if m.row == 1)
        return marks(
            PLAN, "", lambda m, _: replace(m, at=(m.at[0], y)) if m.row == 2 else m
        ).apply(base, section)

    return Mutation(f"{PLAN}: row 2 moved into the line of row 1", apply)


# --- the edge -----------------------------------------------------------------------------


def end_rows() -> Iterator[Row]:
    """Where the finish ply ends at the metal."""
    bend = "metal.bend"
    least, most = "finish_gap_flush_least", "finish_gap_flush_most"
    rule = "wrong_finish_gap"

    def gap(row: str, by: float) -> At:
        return limit(bend, "x", row, by, -1)

    for by in (JUST, 4, 20):
        yield caught(
            rule,
            cut("finish-ply", {"right": gap(most, by)}, "edge-bead"),
            "thin_flange_cover",
        )
    near = cut("edge-bead", {"left": gap(least, -JUST)}, "finish-ply")
    yield caught(rule, near, "missing_bead")
    yield harmless(rule, cut("finish-ply", {"right": gap(most, -JUST)}, "edge-bead"))
    near = cut("edge-bead", {"left": gap(least, JUST)}, "finish-ply")
    yield harmless(rule, near, "missing_bead")
    yield harmless(rule, LOWER)

    rule = "finish_ply_off_leg"
    foot = "metal.leaves"

    def off(by: float) -> At:
        return limit(foot, "x", "finish_ply_off_leg_most", by, -1)

    for by in (JUST, 2, 4):
        yield caught(
            rule, cut("finish-ply", {"right": off(by)}, "edge-bead"), "thin_flange_cover"
        )
    yield harmless(
        rule, cut("finish-ply", {"right": off(-JUST)}, "edge-bead"), "thin_flange_cover"
    )
    yield harmless(rule, LOWER)
    yield harmless(
        rule, cut("finish-ply", {"right": point(foot, "x", -0.015)}, "edge-bead")
    )


def drop_rows() -> Iterator[Row]:
    """The drop of the base ply, and the metal that hides it."""
    edge = point("edge.top", "x", -0.05)
    rule = "base_ply_stuck_over_edge"
    yield caught(rule, bonded_beyond("base-ply", edge, Bond.HOT_ASPHALT))
    yield caught(rule, bonded_beyond("base-ply", edge, Bond.CEMENT, lowest=True))
    yield caught(rule, bonded_beyond("base-ply", edge, Bond.SELF_ADHERED))
    yield harmless(rule, bonded_beyond("base-ply", edge, Bond.FASTENED))
    yield harmless(rule, bonded("strip-in", ["base-ply"], Bond.CEMENT))

    over = {"right": edge}

    def end(point_name: str, row: str, by: float) -> At:
        return limit(point_name, "y", row, by, -1)

    rule = "short_base_ply_drop"
    for by in (-JUST, -15):
        shorter = {"below": end("edge.top", "base_ply_drop_least", by), **over}
        yield caught(rule, cut("base-ply", shorter))
    shorter = {"below": end("edge.top", "base_ply_drop_least", -60), **over}
    yield caught(rule, cut("base-ply", shorter), "base_ply_short_of_wood")
    yield harmless(
        rule,
        cut("base-ply", {"below": end("edge.top", "base_ply_drop_least", JUST), **over}),
    )
    yield harmless(rule, STRIP)

    rule = "base_ply_short_of_wood"
    low = "base_ply_below_wood_least"
    for by in (0.0, -5, -30):
        yield caught(
            rule,
            cut("base-ply", {"below": end("wood.bottom", low, by), **over}),
            "short_base_ply_drop",
        )
    yield harmless(
        rule,
        cut("base-ply", {"below": end("wood.bottom", low, JUST), **over}),
        "short_base_ply_drop",
    )
    yield harmless(rule, STRIP)

    rule = "bare_drop"
    face = ("edge-metal", "cleat?")
    window = {"below": point("edge.top", "y", -60), "right": edge}

    def raised_face(by: float) -> Mutation:
        rise = At(
            f"so that the metal ends {abs(by):g} mm "
            f"{'above' if by < 0 else 'below'} what face_below_drop_least asks",
            lambda b, s: (
                s.points["drop.end"][1]
                - b.limit("face_below_drop_least")
                - by
                - s.body("edge-metal").region.bounds[1]
            ),  # type: ignore[union-attr]
        )
        return pulled(face, window, (0.0, rise), hollow=True)

    for by in (-JUST, -5, -10):
        yield caught(rule, raised_face(by))
    yield harmless(rule, raised_face(JUST))
    yield harmless(rule, pulled(face, window, (0.0, -10.0), hollow=True))

    rule = "steep_kick"
    for angle in (46, 52, 60):
        yield caught(
            rule, rebuilt(f"kick bent out {angle} deg", parameters={"kick_angle": angle})
        )
    for angle in (45, 15):
        yield harmless(
            rule, rebuilt(f"kick bent out {angle} deg", parameters={"kick_angle": angle})
        )


def rows() -> Iterator[Row]:
    """Yield every mutation for the rules on roof edges."""
    yield from wood_rows()
    yield from flange_rows()
    yield from plan_rows()
    yield from end_rows()
    yield from drop_rows()
