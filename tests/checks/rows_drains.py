"""Mutations for the rules on drains, clad sumps and scuppers."""

from collections.abc import Callable, Iterator
from dataclasses import replace

from detailgen.geometry.regions import box
from detailgen.section import Bond, Part, Role
from tests.checks.mutating import (
    AIR,
    At,
    Mutation,
    bonded,
    coat_cut,
    cut,
    gone,
    limit,
    made_of,
    moved,
    parts,
    point,
    rebuilt,
    slit,
)
from tests.checks.rows import Row
from tests.checks.rows_points import (
    CLAD,
    IN_CEMENT,
    JUST,
    LEFT,
    PLAN,
    RIGHT,
    SCUPPERS,
    SIDES,
    SUMPS,
    asked,
    beyond,
    catch,
    coded,
    leave,
    merged,
    of,
    off,
    outward,
    trimmed,
    unrelated,
)
from tests.checks.variants import IN, Base

DRAINED = of("drain", "deep-drain")
DEEP = of("deep-drain")
DOMED = coded("D1", "D3", "D4")


# --- drains -------------------------------------------------------------------------------


def sheet_rows() -> Iterator[Row]:
    """The square of metal, the ring over it, and what is in cement."""
    rule = "small_drain_sheet"

    def half(by: float) -> At:
        return At(
            f"{abs(by):g} mm {'short of' if by < 0 else 'past'} half of drain_sheet_least",
            lambda b, s: b.limit("drain_sheet_least") / 2.0 + by,
        )

    for g in SUMPS:
        for side, by in ((LEFT, -JUST), (RIGHT, -JUST), (RIGHT, -60)):
            yield catch(rule, metal_cut(side, half(by), g.strip), g)
        for side in (LEFT, RIGHT):
            yield leave(rule, metal_cut(side, half(JUST), g.strip), g)
    for end in ("top", "right"):
        yield catch(rule, trimmed("drain-metal", end, 1.1 * IN), DRAINED)
        yield leave(rule, trimmed("drain-metal", end, 0.9 * IN), DRAINED)

    for rule, bed, row, start in (
        ("dry_base_ply", "base-cement", "drain_base_cement_least", "bowl.lip"),
        ("dry_target", "target-cement", "drain_target_cement_least", "sheets.inner"),
    ):
        for side, by in ((LEFT, -JUST), (RIGHT, -30)):
            at = asked(start, side, row, by)
            yield catch(rule, cut(bed + side, beyond(side, at), AIR), DRAINED)
            at = asked(start, side, row, JUST)
            yield leave(rule, cut(bed + side, beyond(side, at), AIR), DRAINED)
        gap = off(start, RIGHT, 40)
        yield catch(rule, slit(bed + RIGHT, "x", gap, 5, AIR), DRAINED)
        yield catch(rule, trimmed(bed, "top", 1.1 * IN), DRAINED)
        yield catch(rule, trimmed(bed, "left", 1.1 * IN), DRAINED)

    rule = "loose_under_ring"
    for side in (LEFT, RIGHT):
        for name in ("base-ply", "drain-metal", "target"):
            middle = off("roof.datum", side, -5)
            yield catch(rule, slit(name + side, "x", middle, 2), DRAINED)
    yield catch(rule, gone("clamping-ring-right"), DRAINED)
    yield from unrelated(rule, SUMPS)


def metal_cut(side: str, half: At, strip: str) -> Mutation:
    """Cut the square of metal off, so far from the axis."""
    at = At(half.words, lambda b, s: outward(side) * half.of(b, s))
    return cut("drain-metal" + side, beyond(side, at), strip + side)


def sump_rows() -> Iterator[Row]:
    """The sump, and where the target ends in it."""
    rule = "narrow_sump"

    def sump(by: float) -> Mutation:
        words = f"sump {abs(by):g} mm {'under' if by < 0 else 'over'} sump_width_least"
        width: Callable[[Base], float] = lambda b: b.limit("sump_width_least") + by  # noqa: E731
        return rebuilt(words, parameters={"sump": width})

    for by in (-0.1, -30):
        yield catch(rule, sump(by), DOMED)
    yield leave(rule, sump(0.1), DOMED)
    yield catch(rule, sump_in_plan("left", 2.1 * IN), DOMED)
    yield catch(rule, sump_in_plan("top", 2.1 * IN), DOMED)
    yield leave(rule, sump_in_plan("top", 1.9 * IN), DOMED)
    yield leave(rule, made_of("deck", "deck-wood"), DOMED)

    rule = "target_on_sump_edge"

    def target(by: float) -> Mutation:
        words = f"target {abs(by):g} mm {'short of' if by < 0 else 'past'} the sump's edge"

        def length(b: Base) -> float:
            return b.section.points["sump.edge" + RIGHT][0] - 16 * IN + by

        return rebuilt(words, parameters={"target": length})

    near = 0.9 * IN
    for by in (-near, 0.0, near):
        yield catch(rule, target(by), DOMED)
    yield catch(rule, sump_in_plan("left", 4.6 * IN), DOMED)
    for by in (-1.1 * IN, 1.1 * IN):
        yield leave(rule, target(by), DOMED)


def sump_in_plan(end: str, by: float) -> Mutation:
    """Let the sump come less far out in the plan, on one of its sides."""
    i = ("left", "bottom", "right", "top").index(end)

    def change(base: Base, part: Part) -> Part | None:
        del base
        if part.role is not Role.INSULATION:
            return part
        bounds = [-2000.0, -2000.0, 2000.0, 2000.0]
        x0, _, x1, _ = part.region.bounds
        out = max(-x0, x1) - by
        bounds[i] = -out if i < 2 else out
        left = part.region.intersection(box(*bounds))
        return replace(part, region=left) if left.area > 1.0 else None

    return parts(PLAN, f"sump {by:.4g} mm shorter on its {end}", change)


def strainer_rows() -> Iterator[Row]:
    """How high a strainer stands, and how open it is."""
    rule = "low_strainer"
    for by in (-JUST, -20, -60):
        at = limit("roof.datum", "y", "strainer_height_least", by)
        yield catch(rule, cut("strainer", {"above": at}, AIR), DOMED)
    at = limit("roof.datum", "y", "strainer_height_least", JUST)
    yield leave(rule, cut("strainer", {"above": at}, AIR), DOMED)
    yield from unrelated(rule, SUMPS)

    rule = "closed_strainer"

    def slots(count: int, words: str) -> Mutation:
        def change(_: Base, part: Part) -> Part | None:
            number = part.id.removeprefix("slot-")
            gone_ = part.id.startswith("slot-") and int(number) <= count
            return None if gone_ else part

        return parts(PLAN, words, change)

    yield catch(rule, slots(4, "four slots closed"), DRAINED)
    yield catch(rule, slots(999, "all slots closed"), DRAINED)
    yield catch(rule, gone("strainer"), DRAINED)
    wider = parts(
        PLAN,
        "outlet 1 in wider",
        lambda _, p: (
            replace(p, region=p.region.buffer(0.5 * IN)) if p.id == "outlet" else p
        ),
    )
    yield catch(rule, wider, DRAINED)
    yield from unrelated(rule, SUMPS)


def clad_rows() -> Iterator[Row]:
    """The clad sheet of a sump."""
    rule, row = "short_clad_sheet", "clad_past_target_least"
    for g, bed in ((CLAD, ()), (IN_CEMENT, ("clad-cement",))):
        for side, by in ((LEFT, -JUST), (RIGHT, -40)):
            names = ["clad-sheet" + side, *(b + side for b in bed)]
            at = asked("strip.outer", side, row, by)
            yield catch(rule, cut(names, beyond(side, at), AIR), g)
            at = asked("strip.outer", side, row, JUST)
            yield leave(rule, cut(names, beyond(side, at), AIR), g)
    for end in SIDES:
        yield catch(rule, all_trimmed(Role.CLAD_SHEET, end, 1.1 * IN), DEEP)
    yield leave(rule, all_trimmed(Role.CLAD_SHEET, "top", 0.9 * IN), DEEP)

    rule, row = "narrow_clad_border", "clad_border_least"
    for side, by in ((LEFT, -JUST), (RIGHT, -JUST), (RIGHT, -40)):
        yield catch(rule, primed(side, by), DEEP)
    bare = coat_cut(
        "clad-sheet", off("clad.outer", LEFT, -60), off("clad.outer", LEFT, -40)
    )
    yield catch(rule, bare, DEEP)
    loose = bonded("finish-ply-right", ["clad-sheet-right"], Bond.DRY)
    yield catch(rule, loose, DEEP)
    for side in (LEFT, RIGHT):
        yield leave(rule, lap_cut(side, JUST), DEEP)
    for side in (LEFT, RIGHT):
        yield catch(rule, lap_cut(side, -JUST), DEEP)

    rule = "short_clad_seam"
    last = "clad-sheet-2"
    for by in (0.05, 10, 60):
        yield catch(rule, trimmed(last, "bottom", by), DEEP)
    yield leave(rule, trimmed(last, "bottom", 0.005), DEEP)
    yield leave(rule, made_of("deck", "deck-wood"), DEEP)


def all_trimmed(role: Role, end: str, by: float) -> Mutation:
    """Cut all parts of a role in the plan at one side of their common box."""
    i = ("left", "bottom", "right", "top").index(end)

    def change(base: Base, part: Part) -> Part:
        if part.role is not role or part.hidden:
            return part
        layout = base.section.layout(PLAN)
        assert layout is not None
        seen = [p.region.bounds for p in layout.of_role(role)]
        bounds = [min(b[0] for b in seen), min(b[1] for b in seen)]
        bounds += [max(b[2] for b in seen), max(b[3] for b in seen)]
        bounds[i] += by if i < 2 else -by
        return replace(part, region=part.region.intersection(box(*bounds)))

    return parts(PLAN, f"{role} {by:.4g} mm shorter on the {end}", change)


def primed(side: str, by: float) -> Mutation:
    """Prime the border of the clad sheet's face less far, or further, than is asked."""
    end = limit("clad.outer" + side, "x", "clad_border_least", by, -outward(side))
    axis = point("drain.axis", "x")
    edges = (end, axis) if side == LEFT else (axis, end)
    return coat_cut("clad-sheet" + side, *edges)


def lap_cut(side: str, by: float) -> Mutation:
    """Let the finish ply lap the clad sheet by what is asked, and a little more."""
    way = outward(side)
    at = limit("clad.outer" + side, "x", "clad_border_least", by, -way)
    window = {"right" if side == LEFT else "left": at}
    return cut("finish-ply" + side, window, AIR)


# --- scuppers -----------------------------------------------------------------------------


def scupper_rows() -> Iterator[Row]:
    """The opening, its flanges and its outlet."""
    where = SCUPPERS
    rule = "low_scupper"
    for by in (-JUST, -30):
        yield catch(rule, opening_of(by), where)
    for by in (1.1, 2.0):
        yield catch(rule, trimmed("opening", "top", by * IN), where)
    yield leave(rule, opening_of(JUST), where)
    yield leave(rule, trimmed("opening", "top", 0.9 * IN), where)

    rule = "small_scupper"
    for part in (0.999, 0.6, 0.3):
        yield catch(rule, width_of(part), where)
    for part in (1.001, 1.2):
        yield leave(rule, width_of(part), where)

    rule = "wrong_overflow_rise"
    over = coded("S2")
    for by in (-0.05, 0.05, 20.0):
        words = f"liner moved by {by:g} mm"
        names = ("liner", "liner-head")
        yield catch(rule, Mutation(words, moved(names, 0.0, by).apply), over)
    yield leave(rule, moved(("liner", "liner-head"), 0.0, 0.005), over)
    yield leave(rule, made_of("deck", "deck-wood"), over)

    rule, row = "narrow_scupper_flange", "scupper_flange_least"
    for by in (-JUST, -20):
        at = limit("metal.bend", "x", row, by, -1)
        yield catch(rule, cut("liner", {"left": at}, "target"), where)
    at = limit("wall-flange.low", "y", row, -JUST)
    on_wall = {"above": at, "left": point("wall-flange.low", "x", 50)}
    yield catch(rule, cut("liner-head", on_wall, "wall-strip"), where)
    for end in ("left", "right", "top"):
        yield catch(rule, trimmed("liner-flange", end, 1.1 * IN), where)
        yield leave(rule, trimmed("liner-flange", end, 0.9 * IN), where)

    rule = "bare_wall_flange"
    at = point("wall-flange.top", "y", -40)
    names = ("flashing", "wall-strip", "flashing-cement?")
    for wide in (1, 20):
        yield catch(rule, slit(names, "y", at, wide), where)
    yield catch(rule, gone(*names), where)
    yield leave(rule, slit("flashing", "y", at, 20), where)
    yield from unrelated(rule, (SCUPPERS,))

    rule = "short_spout"
    for by in (-JUST, -30, -70):
        at = limit("wall.outer", "x", "spout_past_wall_least", by)
        yield catch(rule, cut("liner", {"right": at}), where)
    at = limit("wall.outer", "x", "spout_past_wall_least", JUST)
    yield leave(rule, cut("liner", {"right": at}), where)
    yield from unrelated(rule, (SCUPPERS,))

    rule = "high_sill"
    primary = coded("S1")
    for drop in (0.15 * IN, 0.25 * IN):
        words = f"sump {drop:.3g} mm deep"
        yield catch(rule, rebuilt(words, parameters={"sump_drop": drop}), primary)
    yield catch(rule, moved(("liner", "liner-head"), 0.0, 20.0), primary)
    for drop in (0.75 * IN, 1.5 * IN):
        yield leave(
            rule,
            rebuilt(f"sump {drop:.4g} mm deep", parameters={"sump_drop": drop}),
            primary,
        )


def opening_of(by: float) -> Mutation:
    """Build the scupper with an opening of what is asked, and a little more."""
    words = f"opening {abs(by):g} mm {'under' if by < 0 else 'over'} scupper_height_least"
    height: Callable[[Base], float] = lambda b: b.limit("scupper_height_least") + by  # noqa: E731
    return rebuilt(words, parameters={"opening_height": height})


def width_of(part: float) -> Mutation:
    """Make the opening in the plan as wide as a part of what is asked."""

    def change(base: Base, opening: Part) -> Part:
        if opening.id != "opening":
            return opening
        serves = base.section.serves
        assert serves is not None
        figure = base.findings["small_scupper"].actual.value
        x0, y0, x1, y1 = opening.region.bounds
        width = (x1 - x0) * part * base.limit(serves.row) / figure
        return replace(opening, region=box(x0, y0, x0 + width, y1))

    return parts(PLAN, f"opening {part:g} as wide as is asked", change)


def rows() -> Iterator[Row]:
    """Yield every mutation for the rules on drains and scuppers."""
    subjects = (sheet_rows, sump_rows, strainer_rows, clad_rows, scupper_rows)
    yield from merged(row for subject in subjects for row in subject())
