"""Mutations for curbs, joints, walls beside moving decks, and supports.

The rows of walls serve what turns up a curb, those of vent sleeves the sleeve of a post; on
sections with two sides they are made on the right side as well. Rules of these kinds alone
have their own rows.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import cache
from math import hypot, sqrt

from detailgen.section import Bond, Carried, LayeredSection, Role
from tests.checks import rows_both, rows_points, rows_wall
from tests.checks.along_curbs import ALONG
from tests.checks.mutating import (
    AIR,
    At,
    Mutation,
    _all,
    bonded,
    cut,
    edge_of,
    gone,
    grown,
    limit,
    made_of,
    moved,
    patched,
    point,
    pulled,
    slit,
    stretched,
)
from tests.checks.rows import HIGH, Row, Where, caught, harmless
from tests.checks.rows_wall import FLASHING, FOOT
from tests.checks.turning import known_as, on_right
from tests.checks.variants import BASES, Base
from tests.checks.variants_curbs import IN, ROOMY_CURBS

JUST = 0.05
KINDS = frozenset(ROOMY_CURBS)
TURN_UPS = KINDS - {"equipment-support"}
TWO_SIDED = frozenset({"expansion-joint", "equipment-sleeper", "equipment-support"})
ALIAS = {"curb": "wall", "curb-board": "wall-board"}
"""Bodies of a curb by the names of what they are on a wall."""
SAME_ON_BOTH = frozenset({
    "shallow_slope",
    "thin_base_ply",
    "thin_granule_sheet",
    "thin_metal",
    "thin_bed",
    "thick_bed",
    "unspanned_flutes",
    "short_side_lap",
    "backwater_side_lap",
    "sparse_top_fasteners",
    "missing_intermediate_row",
    "short_counterflashing_end_lap",
    "solids_overlap",
    "closed_pocket",
    "tall_flashing",
})
"""Rules whose rows build both sides anew, or look at an elevation or at the whole."""


def of(*kinds: str) -> Where:
    """Return what tells whether a section is of one of some kinds."""
    return lambda base: base.kind in kinds


def coded(*codes: str) -> Where:
    """Return what tells whether a section has one of some codes."""
    return lambda base: base.code in codes


def both(one: Where, other: Where) -> Where:
    """Return what tells whether both hold."""
    return lambda base: one(base) and other(base)


def catch(rule: str, change: Mutation, where: Where) -> Row:
    """Return a change that a rule must catch, with what is known to fail along."""
    return caught(rule, change, *ALONG.get(rule, {}).get(change.what, ()), where=where)


def leave(rule: str, change: Mutation, where: Where) -> Row:
    """Return a change that a rule must not catch, with what is known to fail along."""
    return harmless(rule, change, *ALONG.get(rule, {}).get(change.what, ()), where=where)


# --- rows of walls and sleeves ------------------------------------------------------------


@cache
def _as(base: Base, kind: str, code: str) -> Base:
    """Return a section under the name of another, to ask rows whether they are for it."""
    return replace(base, kind=kind, code=code)


def _fits(change: Mutation) -> Where:
    """Return what tells whether a section has what a change of a wall names."""

    @cache
    def there(base: Base) -> bool:
        try:
            change(base, base.section)
        except (AssertionError, KeyError, StopIteration, TypeError):
            return False
        return True

    return there


_SECTIONS = tuple(b for b in BASES.values() if b.kind in KINDS)


def _lent(row: Row, kinds: frozenset[str], as_kind: str, code: str) -> Iterator[Row]:
    """Yield a row for sections of other kinds: as it is, and on the right side."""
    sides: list[tuple[Mutation, frozenset[str]]] = [(known_as(row.change, ALIAS), kinds)]
    if row.rule not in SAME_ON_BOTH:
        sides.append((on_right(known_as(row.change, ALIAS)), kinds & TWO_SIDED))
    for change, some in sides:
        if not some:
            continue
        fits = _fits(change)

        def where(base: Base, some: frozenset[str] = some, fits: Where = fits) -> bool:
            lender = _as(base, as_kind, code)
            if base.kind not in some or base.code in _unfit(row):
                return False
            return row.where(lender) and fits(base)

        if any(where(b) and b.applies(row.rule) for b in _SECTIONS):
            yield (catch if row.caught else leave)(row.rule, change, where)


ALL = tuple(f"{letter}{n}" for letter in "CJIKQ" for n in range(1, 9))
LEVEL = ("C1", "K1", "K2")
"""Sections in which no water runs along the roof: level across, or on a cricket."""
UNFIT: Mapping[tuple[str, str], tuple[str, ...]] = {
    # a sheet that goes over a nailer ends higher than the nailer: rows of their own
    ("tall_flashing", "all above"): ALL,
    ("low_reglet", "all above"): ALL,
    # what the deck may sink counts off: rows of their own
    ("short_counterflashing_lap", "counterflashing cut away below 0.05 mm beyond"): (
        "I1",
        "I2",
    ),
    # the patch would lie in a flute
    ("backwater_lap", "patch of flashing sheet right 30 mm"): ("C3",),
    ("backwater_lap", "patch of coping right 30 mm"): ("C3",),
    ("backwater_lap", "patch of base ply above 15 mm"): LEVEL,
    # the top of the sheet lies on the nailer, where no water climbs
    (HIGH, "counterflashing cut away below 20 mm"): ALL,
    (HIGH, "flashing, flashing-cement cut away above 3 mm"): ALL,
}
"""Rows of walls that do not fit sections here, by rule and how the change begins."""


def _unfit(row: Row) -> tuple[str, ...]:
    """Return the codes of the sections that a row of a wall does not fit."""
    for (rule, start), codes in UNFIT.items():
        if row.rule == rule and row.change.what.startswith(start):
            return codes
    return ()


FLAME, FLUTES, SLEEVE = "flame_on_wood", "unspanned_flutes", ("vent-sleeve", "P3")


def lent_rows() -> Iterator[Row]:
    """Yield what the rows of walls and of vent sleeves say of these kinds."""
    for row in (*rows_wall.rows(), *rows_both.rows()):
        # like a stud wall, curbs of wood are boarded under a torch
        yield from _lent(row, TURN_UPS, "wall", "W9" if row.rule == FLAME else "W1")
    for row in rows_points.rows():
        lender = ("penetration-pocket", "P6") if row.rule == FLUTES else SLEEVE
        yield from _lent(row, frozenset({"equipment-support"}), *lender)


# --- height -------------------------------------------------------------------------------


def _raised(datum: str, row: str, by: float) -> Mutation:
    """Raise all above the strip-in, so that the curb is as high as a row asks and more."""

    def needed(base: Base, s: LayeredSection) -> float:
        high = s.points["curb.top"][1] - s.points[datum][1]
        return base.limit(row) + by - high

    words = f"until the curb is {abs(by):g} mm {'over' if by > 0 else 'under'} {row}"
    if datum == "roof.datum":
        words += ", from the roof beside it"
    return stretched(point("cover.hem", "y", 8), At(words, needed))


def height_rows() -> Iterator[Row]:
    """How high curbs stand."""
    rule, row = "low_curb", "curb_height_least"
    for kind, datum in (("curb", "upslope.datum"), ("equipment-sleeper", "roof.datum")):
        for by in (-JUST, -3, -10):
            yield catch(rule, _raised(datum, row, by), of(kind))
        for by in (JUST, 30):
            yield leave(rule, _raised(datum, row, by), of(kind))
    rule, row = "low_curb_over_cricket", "curb_above_cricket_least"
    for by in (-JUST, -3, -10):
        yield catch(rule, _raised("cricket.datum", row, by), coded("C1"))
    for by in (JUST, 30):
        yield leave(rule, _raised("cricket.datum", row, by), coded("C1"))
    rule, row = "low_joint_curb", "joint_curb_height_least"
    where = of("expansion-joint")
    for by in (-JUST, -3, -10):
        yield catch(rule, _raised("roof.datum", row, by), where)
    for by in (JUST, 30):
        yield leave(rule, _raised("roof.datum", row, by), where)
    low = cut("blocking", {"above": limit("roof.datum", "y", row, -20)}, AIR)
    yield catch(rule, on_right(low), where)
    rule, row = "tall_joint_curb", "joint_curb_height_most"
    for by in (JUST, 10, 60):
        yield catch(rule, _raised("roof.datum", row, by), coded("J3"))
    for by in (-JUST, -20):
        yield leave(rule, _raised("roof.datum", row, by), coded("J3"))


def _sheet_at(by: float) -> Mutation:
    """Raise all above the hem until the flashing sheet is as tall as usual, and more."""

    def needed(base: Base, s: LayeredSection) -> float:
        top = max(b.region.bounds[3] for b in s.of_role(Role.FLASHING))
        high = top - s.points["roof.datum"][1]
        return base.limit("flashing_height_usual_most") + by - high

    way = "over" if by > 0 else "under"
    words = f"to {abs(by):g} mm {way} flashing_height_usual_most"
    return stretched(point("strip.inner", "y", 8), At(words, needed))


def turn_up_rows() -> Iterator[Row]:
    """What is otherwise on a curb than on a wall."""
    turn_up = of(*TURN_UPS)
    for by in (JUST, 60, 300):
        yield catch("tall_flashing", _sheet_at(by), turn_up)
    for by in (-JUST, -50):
        yield leave("tall_flashing", _sheet_at(by), turn_up)

    def hem(by: float) -> At:
        way = "more" if by > 0 else "less"
        sunk = f"{abs(by):g} mm {way} than the lap and the movement"

        def level(base: Base, s: LayeredSection) -> float:
            down = s.moving.rises if s.moving else 0.0
            lap = base.limit("counterflashing_lap_least") + down
            return s.points["curb.top"][1] - lap - by

        return At(sunk, level)

    rule, where = "short_counterflashing_lap", coded("I1", "I2")
    for by in (-JUST, -10):
        yield catch(rule, cut("counterflashing", {"below": hem(by)}), where)
    yield leave(rule, cut("counterflashing", {"below": hem(JUST)}), where)

    rule = "low_reglet"

    def lowered(by: float) -> Mutation:
        def needed(base: Base, s: LayeredSection) -> float:
            high = s.points["reglet.mouth"][1] - s.points["roof.datum"][1]
            return base.limit("reglet_height_least") + by - high

        words = f"to {abs(by):g} mm {'over' if by > 0 else 'under'} reglet_height_least"
        return stretched(point("flashing.over", "y", 1), At(words, needed))

    for by in (-JUST, -3, -8):
        yield catch(rule, lowered(by), coded("I6"))
    for by in (JUST, 20):
        yield leave(rule, lowered(by), coded("I6"))

    rule, where, strip = "missing_bead", coded("C1", "C3"), "sealing-strip"
    yield catch(rule, gone(strip), where)
    yield catch(rule, moved(strip, 0.0, 60.0), where)
    yield catch(rule, cut(strip, {"right": edge_of(strip, "left", 6.3)}, AIR), where)
    yield leave(rule, cut(strip, {"right": edge_of(strip, "left", 6.4)}, AIR), where)
    yield leave(rule, FOOT, where)

    loose = bonded("strip-in", ["curb", "curb-board?"], Bond.DRY)
    yield catch("leaky_hold_point", loose, of("independent-wall"))

    burns = made_of("curb-board", "plywood-1-2")
    yield catch("flame_on_wood", burns, coded("I1"))

    in_cement = bonded("finish-ply", ["strip-in"], Bond.CEMENT)
    up = {
        "above": point("strip.inner", "y", -30),
        "below": point("strip.inner", "y", -8),
        "right": point("cant.top", "x", -40),
        "left": point("cant.top", "x", 0),
    }
    yield catch("backwater_lap", patched(up, Role.COPING, Bond.CEMENT), of("curb"))
    yield leave("backwater_lap", in_cement, of("curb"))
    above = point("strip.inner", "y", 10)
    yield catch(HIGH, slit(FLASHING, "y", above, 5), turn_up)
    yield leave(HIGH, in_cement, turn_up)

    rule, where, board = "unspanned_flutes", coded("Q2"), "cover-board"
    out = At("20 mm from the outer end", lambda _, s: s.extent.bounds[0] + 20.0)
    yield catch(rule, gone(board), where)
    yield catch(rule, slit(board, "x", out, 3), where)
    yield catch(rule, on_right(slit(board, "x", out, 30)), where)
    yield leave(rule, made_of(board, "insulation-board"), where)
    yield leave(rule, slit("finish-ply", "x", out, 3), where)


# --- what moves ---------------------------------------------------------------------------

MOVING = coded("J1", "I1", "I2")


def _narrowed(by: float) -> Mutation:
    """Press the gap together until it is so wide as must be left, and more."""

    def change(base: Base, s: LayeredSection) -> LayeredSection:
        left, right = s.points["gap.left"], s.points["gap.right"]
        assert s.moving is not None
        want = base.limit("joint_closed_least") + by + s.moving.closes
        share = want / (right[0] - left[0])
        dx = want - (right[0] - left[0])

        def to(x: float, y: float) -> tuple[float, float]:
            if x <= left[0]:
                return x, y
            return (x + dx, y) if x >= right[0] else (left[0] + share * (x - left[0]), y)

        return _all(s, to)

    way = "over" if by > 0 else "under"
    return Mutation(
        f"the gap narrowed to {abs(by):g} mm {way} joint_closed_least and the movement",
        change,
    )


def _loop_raised(by: float) -> Mutation:
    """Raise the bottom of the barrier's loop until its slack is as asked, and more."""

    def rise(base: Base, s: LayeredSection) -> float:
        left, right, low = (s.points[n] for n in ("gap.left", "gap.right", "loop.low"))
        assert s.moving is not None
        apart = hypot(right[0] - left[0] + s.moving.opens, s.moving.rises)
        half = (right[0] - left[0]) / 2.0
        slant = (apart + base.limit("joint_slack_least") + by) / 2.0 - 0.35 * half
        return left[1] - sqrt(slant**2 - (0.65 * half) ** 2) - low[1]

    window = {
        "right": point("gap.left", "x", 2),
        "left": point("gap.right", "x", -2),
        "below": point("gap.left", "y", -8),
    }
    words = f"to {abs(by):g} mm {'over' if by > 0 else 'under'} joint_slack_least"
    return pulled(["joint-barrier"], window, (0.0, At(words, rise)), hollow=True)


def _leg_cut(by: float) -> Mutation:
    """Cut the fold of a cover short by so much."""
    high = edge_of("joint-cover", "bottom", 1.2)
    window = {"right": point("cover.end", "x", -by), "left": At("the axis", _axis)}
    return cut("joint-cover", {**window, "below": high})


def _axis(_: Base, __: LayeredSection) -> float:
    return 0.0


def moving_rows() -> Iterator[Row]:
    """Gap, barrier, cover, and metal that must not be touched."""
    rule = "tight_joint"
    for by in (-JUST, -4, -10):
        yield catch(rule, _narrowed(by), MOVING)
    middle = At("the middle of the gap", lambda _, s: s.points["loop.low"][0])
    past = At("10 mm past it", lambda b, s: middle.of(b, s) + 10.0)
    low = point("gap.left", "y", -20)
    high = point("gap.left", "y", -2)
    inner = point("gap.left", "x", -1)
    grows = grown("blocking", (inner, low), (past, high), less=["joint-barrier"])
    yield catch(rule, grows, MOVING)
    for change in (_narrowed(JUST), _narrowed(15), FOOT):
        yield leave(rule, change, MOVING)

    rule = "tight_barrier"
    for by in (-JUST, -4):
        yield catch(rule, _loop_raised(by), MOVING)
    yield catch(rule, gone("joint-barrier"), MOVING)
    yield catch(rule, slit("joint-barrier", "x", middle, 2), MOVING)
    for change in (_loop_raised(JUST), _loop_raised(4), FOOT):
        yield leave(rule, change, MOVING)

    rule, where = "loose_joint_cover", coded("J1")
    for by in (JUST, 3, 15):
        yield catch(rule, _leg_cut(by), where)
        yield catch(rule, on_right(_leg_cut(by)), where)
    yield catch(rule, gone("joint-cover"), where)
    aside = {
        "right": point("hook.tip", "x", -60),
        "left": point("hook.tip", "x", -0.5),
        "above": point("hook.tip", "y", -20),
    }
    yield catch(rule, pulled(["joint-cover"], aside, (1.0, 0.0)), where)
    ridge = {"right": At("", lambda _, s: -1.0), "left": At("the middle", lambda _, s: 1.0)}
    yield leave(rule, pulled(["joint-cover"], ridge, (0.0, 3.0), hollow=True), where)
    yield leave(rule, FOOT, where)
    yield leave(rule, _leg_cut(0.005), where)

    rule, where = "touched_counterflashing", coded("I1", "I2")
    leg = {"left": point("curb.top", "x", 0.5)}
    over = {"left": point("gap.right", "x", -6), "below": point("cf.over", "y", 45)}

    def nearer(by: float) -> At:
        def spare(base: Base, _: LayeredSection) -> float:
            found = base.findings[rule]
            return found.actual.value - found.required.amount.value + by

        return At(f"{by:g} mm more than there is to spare", spare)

    for by in (JUST, 3, 8):
        pushed = pulled(["counterflashing"], leg, (nearer(by), 0.0), hollow=True)
        yield catch(rule, pushed, where)
    for by in (-7, -10):
        yield catch(rule, pulled(["counterflashing"], over, (0.0, by), hollow=True), where)
    yield leave(rule, pulled(["counterflashing"], leg, (-4.0, 0.0), hollow=True), where)
    yield leave(rule, pulled(["counterflashing"], over, (0.0, 4.0), hollow=True), where)
    yield leave(rule, FOOT, where)


# --- supports -----------------------------------------------------------------------------


def _unit_at(by: float) -> Mutation:
    """Lower all above the collar until the unit is as high as the table asks, and more."""

    def needed(_: Base, s: LayeredSection) -> float:
        high = s.points["unit.bottom-right"][1] - s.points["roof.datum-right"][1]
        return 24.0 * IN + by - high

    words = f"until the unit is {abs(by):g} mm {'over' if by > 0 else 'under'} 24 in clear"
    return stretched(point("collar.top", "y", 20), At(words, needed))


def _carrying(width: float, table: str) -> Mutation:
    """Let another unit stand there, under another table."""

    def change(_: Base, s: LayeredSection) -> LayeredSection:
        return replace(s, carried=Carried(width * IN, table))

    return Mutation(f"a unit {width:g} in wide, by the table {table}", change)


def support_rows() -> Iterator[Row]:
    """Clear height, and sleepers where none are taken."""
    rule, where = "low_unit", coded("Q1")
    for by in (-JUST, -20, -90):
        yield catch(rule, _unit_at(by), where)
    yield catch(rule, _carrying(72, "older-manuals"), where)
    yield catch(rule, _carrying(60, "older-manuals"), where)  # may be asked 48 in
    for change in (_unit_at(JUST), _unit_at(60), _carrying(59, "florida")):
        yield leave(rule, change, where)

    rule, where = "unit_on_sleepers", coded("K1", "K2")
    for width in (20, 40, 72):
        yield catch(rule, _carrying(width, "florida-hurricane-zone"), where)
    yield leave(rule, _carrying(40, "florida"), where)
    yield leave(rule, _carrying(72, "model-code"), where)


def rows() -> Iterator[Row]:
    """Yield every mutation for these kinds."""
    subjects: tuple[Callable[[], Iterator[Row]], ...] = (
        lent_rows,
        turn_up_rows,
        height_rows,
        moving_rows,
        support_rows,
    )
    for subject in subjects:
        yield from subject()
