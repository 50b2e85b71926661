"""Mutations for the rules on what goes up through the roof, and on any flange there.

Most changes are made on both sides of a section: the right side is not a mirror of what a
rule has measured on the left.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from detailgen.geometry.regions import box
from detailgen.section import Bond, LayeredSection, Part, Role
from tests.checks.along_points import ALONG
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
    limit,
    made_of,
    moved,
    parts,
    patched,
    point,
    rebuilt,
    slit,
)
from tests.checks.rows import Row, Where, caught, harmless
from tests.checks.rows_both import sloping
from tests.checks.variants import IN, Base

JUST = 0.05
PLAN = "plan"
LEFT, RIGHT = "", "-right"


@dataclass(frozen=True)
class Group:
    """Kinds of which bodies have the same names."""

    kinds: tuple[str, ...]
    strip: str
    metal: str
    top: str
    """What lies over the strip."""
    sides: tuple[str, ...] = (LEFT, RIGHT)
    part: str = ""
    """The strip in the plan."""
    heir: str = ""
    """What takes the room of the strip; `top` where nothing is said."""
    codes: tuple[str, ...] = ()
    """The only sections, where not all of the kinds."""

    def __call__(self, base: Base) -> bool:
        """Tell whether a section is of one of the kinds."""
        return base.kind in self.kinds and (not self.codes or base.code in self.codes)

    @property
    def over(self) -> str:
        """What takes the room of the strip."""
        return self.heir or self.top

    @property
    def last(self) -> str:
        """The right side, where there is one."""
        return self.sides[-1]


PIPES = Group(("stack", "vent-sleeve"), "strip-in", "sleeve", "finish-ply", part="strip-in")
POCKETS = Group(("penetration-pocket",), "strip-in", "pan", "finish-ply", part="strip-in")
DRAINS = Group(("drain",), "target", "drain-metal", "finish-ply", part="target")
CLAD = Group(
    ("deep-drain",), "target", "drain-metal", "clad-sheet", part="target", codes=("D3",)
)
IN_CEMENT = replace(CLAD, heir="clad-cement", codes=("D4",))
SCUPPERS = Group(("scupper",), "target", "liner", "finish-ply", (LEFT,), "target")
GROUPS = (PIPES, POCKETS, DRAINS, CLAD, IN_CEMENT, SCUPPERS)
SUMPS = (DRAINS, CLAD, IN_CEMENT)
KINDS = frozenset(kind for g in GROUPS for kind in g.kinds)


def of(*kinds: str) -> Where:
    """Return what tells whether a section is of one of some kinds."""
    return lambda base: base.kind in kinds


def but(where: Where, *codes: str) -> Where:
    """Return what tells the same but for some sections."""
    return lambda base: where(base) and base.code not in codes


def coded(*codes: str) -> Where:
    """Return what tells whether a section has one of some codes."""
    return lambda base: base.code in codes


def catch(rule: str, change: Mutation, where: Where) -> Row:
    """Return a change that a rule must catch, with what is known to fail along."""
    return caught(rule, change, *ALONG.get(rule, {}).get(change.what, ()), where=where)


def leave(rule: str, change: Mutation, where: Where) -> Row:
    """Return a change that a rule must not catch, with what is known to fail along."""
    return harmless(rule, change, *ALONG.get(rule, {}).get(change.what, ()), where=where)


def outward(side: str) -> int:
    """Return which way leads from the axis on a side."""
    return -1 if side == LEFT else 1


def off(name: str, side: str, by: float) -> At:
    """Return the x so far further out than a point of a side."""
    return point(name + side, "x", outward(side) * by)


def beyond(side: str, at: At) -> dict[str, At]:
    """Return the window of what lies further out than an x."""
    return {"left" if side == LEFT else "right": at}


def asked(name: str, side: str, row: str, by: float, way: int = 1) -> At:
    """Return where a row's length outward from a point ends, and a little further.

    Args:
        name: The point, without its side.
        side: Which side.
        row: Row of the rule set.
        by: How much further, mm; negative for nearer.
        way: 1 outward, -1 toward the axis.
    """
    return limit(name + side, "x", row, by, way * outward(side))


def shortened(g: Group, side: str, by: float = 5.0) -> Mutation:
    """Cut a little off the strip: nothing that most rules look at."""
    edge = "left" if side == LEFT else "right"
    at = edge_of(g.strip + side, edge, -outward(side) * by)
    return cut(g.strip + side, beyond(side, at), g.over + side)


def unrelated(rule: str, groups: Sequence[Group] = GROUPS) -> Iterator[Row]:
    """Yield small changes elsewhere that a rule must not catch."""
    for g in groups:
        yield leave(rule, shortened(g, g.last), g)
        yield leave(rule, made_of("deck", "deck-wood"), g)


# --- what holds for any roof --------------------------------------------------------------


def roof_rows() -> Iterator[Row]:
    """Slope, cover, flames, boards."""
    rule = "shallow_slope"
    for share in (0.995, 0.6, 0.0):
        yield catch(rule, sloping(share), of(*KINDS))
    for share in (1.0001, 2.0):
        yield leave(rule, sloping(share), of(*KINDS))

    rule = "thin_cover_on_roof"
    for g in GROUPS:
        for side, wide in ((LEFT, 3), (g.last, 30)):
            yield catch(rule, slit(f"finish-ply{side}", "x", roof(side), wide), g)
        yield catch(rule, cut(f"finish-ply{g.last}", beyond(g.last, roof(g.last))), g)
    yield from unrelated(rule)

    rule = "flame_on_wood"
    burning = tuple(g for g in GROUPS if g is not IN_CEMENT)
    yield catch(rule, made_of("insulation-2", "plywood-1-2"), of(*KINDS))
    yield catch(rule, made_of("insulation-2-right", "plywood-1-2"), but(of(*KINDS), "S1"))
    both = made_of(("insulation-2", "insulation-2-right?"), "cant-wood-fibre")
    yield catch(rule, both, of(*KINDS))
    for name in ("sump-board", "sump-board?"):
        yield catch(rule, made_of(name, "plywood-1-2"), coded("D3", "S1", "D1"))
    yield from unrelated(rule, burning)

    rule = "unspanned_flutes"
    where = coded("P6")
    boards = ("cover-board", "insulation-1", "insulation-2")
    yield catch(rule, gone(*boards), where)
    yield catch(rule, slit(boards, "x", roof(LEFT), 3), where)
    right = tuple(f"{b}-right" for b in boards)
    yield catch(rule, slit(right, "x", roof(RIGHT), 30), where)
    yield leave(rule, gone("insulation-1"), where)
    yield leave(rule, shortened(POCKETS, RIGHT), where)


def roof(side: str) -> At:
    """Return an x near the outer end of the roof."""
    if side == LEFT:
        return At("20 mm from the outer end", lambda _, s: s.extent.bounds[0] + 20.0)
    return At("60 mm from the right end", lambda _, s: s.extent.bounds[2] - 60.0)


def metal_rows() -> Iterator[Row]:
    """Gauges and beds."""

    def thick(material: str, row: str, by: float) -> Mutation:
        words = f"{material} {abs(by):g} mm {'under' if by < 0 else 'over'} {row}"
        return rebuilt(words, materials={material: lambda b: b.limit(row) + by})

    rule = "thin_metal"
    for material, where in (
        ("lead-2half", coded("P1")),
        ("copper-16", coded("P2", "D2", "S1", "S2")),
        ("stainless-025", coded("P3", "P4")),
        ("galvanized-24", coded("P5")),
        ("lead-4", coded("D1", "D3", "D4")),
    ):
        row = f"metal_least_{material.partition('-')[0]}"
        for by in (-0.015, -0.1, -0.3):
            yield catch(rule, thick(material, row, by), where)
        for by in (0.005, 0.2):
            yield leave(rule, thick(material, row, by), where)

    bed = "plastic-cement"
    for by in (-0.02, -0.5, -1.0):
        yield catch("thin_bed", thick(bed, "cement_bed_least", by), of(*KINDS))
    for by in (0.02, 0.5):
        yield leave("thin_bed", thick(bed, "cement_bed_least", by), of(*KINDS))
    for by in (0.02, 1.0, 2.0):
        yield catch("thick_bed", thick(bed, "cement_bed_most", by), of(*KINDS))
    for by in (-0.02, -0.5):
        yield leave("thick_bed", thick(bed, "cement_bed_most", by), of(*KINDS))


# --- flange -------------------------------------------------------------------------------


def flange_rows() -> Iterator[Row]:
    """What lies under and over a flange, and where it ends."""
    rule = "bare_flange_underside"
    for g in GROUPS:
        bed = "flange-cement"
        for side, at, wide in ((LEFT, -20, 5), (LEFT, -0.1, 5), (g.last, -45, 25)):
            start = off("flange.outer", side, at)
            yield catch(rule, slit(f"base-ply{side}", "x", start, wide, bed + side), g)
    yield from unrelated(rule)

    rule = "thin_flange_cover"
    for g in GROUPS:
        for side, wide in ((LEFT, 1), (g.last, 20)):
            start = off("flange.outer", side, -45)
            yield catch(rule, slit(g.top + side, "x", start, wide), g)
        start = off("flange.outer", g.last, -35)
        under = slit(g.strip + g.last, "x", start, 5, g.over + g.last)
        yield catch(rule, under, g)
    yield from unrelated(rule)

    yield from strip_rows()
    yield from width_rows()


def strip_rows() -> Iterator[Row]:
    """How far the strip runs past the flange, in section and plan."""
    rules = {"short_flange_strip_in": GROUPS, "short_drain_target": SUMPS}
    for rule, groups in rules.items():
        row = "flange_strip_in_least"
        if rule == "short_drain_target":
            row = "drain_target_least"
        for g in groups:
            for side, by in ((LEFT, -JUST), (g.last, -50)):
                end = asked("flange.outer", side, row, by)
                yield catch(rule, strip_cut(g, side, end), g)
            yield catch(rule, gone(g.strip + g.last), g)
            for side in dict.fromkeys((LEFT, g.last)):
                end = asked("flange.outer", side, row, JUST)
                yield leave(rule, strip_cut(g, side, end), g)
        yield from unrelated(rule, groups)

    for rule in ("short_target_in_plan", "short_drain_target"):
        for g in GROUPS if rule == "short_target_in_plan" else SUMPS:
            ends = ("left", "right", "bottom") if g is SCUPPERS else SIDES
            for end in ends:
                yield catch(rule, trimmed(g.part, end, 1.1 * IN), g)
            for end in ends[:2]:
                yield leave(rule, trimmed(g.part, end, 0.95 * IN), g)


SIDES = ("left", "right", "top", "bottom")


def strip_cut(g: Group, side: str, at: At) -> Mutation:
    """Cut the strip off at an x."""
    return cut(g.strip + side, beyond(side, at), g.over + side)


def trimmed(part_id: str, end: str, by: float) -> Mutation:
    """Cut a part of the plan shorter on one of its sides."""
    i = ("left", "bottom", "right", "top").index(end)

    def change(_: Base, part: Part) -> Part:
        if part.id != part_id:
            return part
        bounds = list(part.region.bounds)
        bounds[i] += by if i < 2 else -by
        left = part.region.intersection(box(*bounds))
        return replace(part, region=left)

    return parts(PLAN, f"{part_id} {by:.4g} mm shorter on its {end}", change)


def width_rows() -> Iterator[Row]:
    """How wide a flange is, in section and plan."""
    rule, row = "narrow_flange", "flange_width_least"
    for g in GROUPS:
        name = "metal.bend" if g in SUMPS else "metal.leaves"
        name = "metal.bend" if g is SCUPPERS else name
        for side, by in ((LEFT, -JUST), (g.last, -7), (g.last, -60)):
            at = asked(name, side, row, by)
            yield catch(rule, cut(g.metal + side, beyond(side, at), g.strip + side), g)
        for side in (LEFT, g.last):
            at = asked(name, side, row, JUST if side == LEFT else 2 * JUST)
            yield leave(rule, cut(g.metal + side, beyond(side, at), g.strip + side), g)
        yield leave(rule, shortened(g, LEFT), g)

    rule = "narrow_flange_in_plan"
    where = of(*PIPES.kinds, *POCKETS.kinds)
    for end in SIDES:
        yield catch(rule, trimmed("flange", end, 0.7 * IN), where)
    for end in ("left", "top"):
        yield leave(rule, trimmed("flange", end, 0.45 * IN), where)


# --- water --------------------------------------------------------------------------------


def water_rows() -> Iterator[Row]:
    """Laps, the hold point, and the way of water."""
    rule = "backwater_lap"
    for g in GROUPS:
        for side, role, bond in (
            (LEFT, Role.FLASHING, Bond.DRY),
            (g.last, Role.FINISH_PLY, Bond.DRY),
            (g.last, Role.EDGE_METAL, Bond.CEMENT),
        ):
            yield catch(rule, patched(patch(side), role, bond), g)
        yield leave(rule, patched(patch(g.last), Role.FLASHING, Bond.TORCHED), g)
    yield from unrelated(rule)

    rule = "leaky_hold_point"
    for g in GROUPS:
        open_roof = slit(f"base-ply{LEFT}", "x", roof(LEFT), 3, "finish-ply")
        yield catch(rule, open_roof, g)
        lap = ["base-ply" + g.last, f"flange-cement{g.last}"]
        yield catch(rule, bonded(g.strip + g.last, lap, Bond.DRY), g)
        names = [g.metal, f"{g.metal}-right?", "target-cement?", "target-cement-right?"]
        for side in dict.fromkeys((LEFT, g.last)):
            loose = bonded(g.strip + side, names, Bond.DRY)
            yield catch(rule, loose, g)
        if g is not IN_CEMENT:
            top = bonded(g.top + g.last, [g.strip + g.last], Bond.CEMENT)
            yield leave(rule, top, g)
    yield from unrelated(rule)

    rule = "weak_water_path_low"
    for g in GROUPS:
        for side, wide in ((LEFT, 1), (g.last, 20)):
            yield catch(rule, slit(f"finish-ply{side}", "x", roof(side), wide), g)
        yield catch(rule, slit(f"base-ply{g.last}", "x", roof(g.last), 5), g)
    yield from unrelated(rule)

    rule = "weak_water_path_high"
    for metal, kinds in (("sleeve", PIPES), ("pan", POCKETS)):
        for side, wide in ((LEFT, 2), (RIGHT, 5), (RIGHT, 20)):
            at = At(
                f"20 mm above the roof at {metal}{side}",
                lambda _, s, side=side: s.points["roof.datum" + side][1] + 20.0,
            )
            more = {"left" if side == LEFT else "right": off("metal.leaves", side, -2)}
            yield catch(rule, slit(metal + side, "y", at, wide, None, **more), kinds)
    flashing = point("wall-flange.top", "y", 5)
    for wide in (1, 5, 20):
        names = ("flashing", "wall-strip", "flashing-cement?")
        yield catch(rule, slit(names, "y", flashing, wide), SCUPPERS)
    yield from unrelated(rule, (PIPES, POCKETS, SCUPPERS))


def patch(side: str) -> dict[str, At]:
    """Return a place on the roof past the strip."""
    near, far = off("strip.outer", side, 20), off("strip.outer", side, 60)
    return {
        "above": At("the roof", lambda _, s: s.points["strip.outer" + side][1] - 30.0),
        "right": far if side == LEFT else near,
        "left": near if side == LEFT else far,
    }


def whole_rows() -> Iterator[Row]:
    """Solids that overlap, pockets that nothing fills."""
    rule = "solids_overlap"
    for g in GROUPS:
        for side, width, height in (
            (LEFT, 2.0, 0.02),
            (g.last, 5.0, 0.5),
            (g.last, 30.0, 2.0),
        ):
            start = roof(side)
            end = At(f"{width:g} mm further", lambda b, s, a=start, w=width: a.of(b, s) + w)
            name = "base-ply" + side
            low = face_of(name, start, top=True, plus=-1.0)
            high = face_of(name, start, top=True, plus=height + 1.2)
            yield catch(rule, grown(name, (start, low), (end, high)), g)
    yield from unrelated(rule)

    rule = "closed_pocket"
    for g in GROUPS:
        board = "insulation-1" + g.last
        yield catch(rule, holed(board, 1.05), but(g, "D2"))
        yield catch(rule, holed("finish-ply" + g.last, 1.2), g)
        yield catch(rule, holed("deck", 5.0), g)
        if g is DRAINS:
            yield catch(rule, holed("bowl-right", 1.2), coded("D2"))
        yield leave(rule, holed("deck", 0.9), g)
        yield leave(rule, holed("deck", 5.0, meant=True), g)


# --- pipes, sleeves, pockets --------------------------------------------------------------


def pipe_rows() -> Iterator[Row]:
    """Heights, what is turned in, collars and beads."""

    def top(row: str, by: float, side: str) -> At:
        return limit("roof.datum" + side, "y", row, by)

    def heights(rule: str, name: str, row: str, where: Where) -> Iterator[Row]:
        for side, by in ((LEFT, -JUST), (RIGHT, -JUST), (RIGHT, -40)):
            yield catch(rule, cut(name + side, {"above": top(row, by, side)}, AIR), where)
        for side in (LEFT, RIGHT):
            lower = cut(name + side, {"above": top(row, JUST, side)}, AIR)
            yield leave(rule, lower, where)

    yield from heights("low_stack", "pipe", "stack_height_least", of("stack"))
    yield from heights("low_sleeve", "sleeve", "sleeve_height_least", of("vent-sleeve"))
    yield from heights("low_pan", "pan", "pocket_height_least", POCKETS)

    rule = "short_turn_in"
    where = of("stack")
    for side, by in ((LEFT, JUST), (RIGHT, JUST), (RIGHT, 30)):
        yield catch(rule, turned(side, by), where)
    for side in (LEFT, RIGHT):
        yield leave(rule, turned(side, -JUST), where)

    rule = "short_collar_lap"
    where = of("vent-sleeve")
    for side, by in ((LEFT, JUST), (RIGHT, JUST), (RIGHT, 50)):
        yield catch(rule, lapped(side, by), where)
    yield catch(rule, gone("collar-right"), where)
    for side in (LEFT, RIGHT):
        yield leave(rule, lapped(side, -JUST), where)

    rule = "tight_hot_stack"
    where = coded("P4")
    for side, by in ((LEFT, 0.05), (RIGHT, 0.05), (RIGHT, 10.0)):
        yield catch(rule, nearer(side, 0.25 * IN + by), where)
    for side in (LEFT, RIGHT):
        yield leave(rule, nearer(side, 0.25 * IN - 0.05), where)

    yield from bead_rows()
    yield from pocket_rows()
    yield from piece_rows()


def turned(side: str, by: float) -> Mutation:
    """Cut the end of a sleeve inside its pipe."""
    at = limit("pipe.rim" + side, "y", "sleeve_turned_in_least", -by, -1)
    inner = point("sleeve.end" + side, "x", outward(side) * 0.01)
    window = {"below": at, "right" if side == LEFT else "left": inner}
    return cut("sleeve" + side, window, AIR)


def lapped(side: str, by: float) -> Mutation:
    """Cut a collar off from below."""
    at = limit("sleeve.top" + side, "y", "collar_lap_least", -by, -1)
    return cut("collar" + side, {"below": at}, AIR)


def nearer(side: str, by: float) -> Mutation:
    """Let the wall of a pipe be so much thicker outward, over a part of its height."""
    name = "pipe" + side
    face = edge_of(name, "left" if side == LEFT else "right")
    far = At(f"{by:.4g} mm out", lambda b, s: face.of(b, s) + outward(side) * by)
    low, high = point("roof.datum" + side, "y", 30), point("roof.datum" + side, "y", 60)
    inner = At("inside", lambda b, s: face.of(b, s) - outward(side) * 1.0)
    return grown(name, (far, low), (inner, high))


def bead_rows() -> Iterator[Row]:
    """The bead at the end of the finish ply."""
    rule = "missing_foot_bead"
    for g, bead in (
        (PIPES, "foot-bead"),
        (POCKETS, "foot-bead"),
        (SCUPPERS, "throat-bead"),
    ):
        name = bead + g.last
        yield catch(rule, gone(name), g)
        yield catch(rule, moved(bead, 0.0, 40.0), g)
        edge = edge_of(name, "left", 2.0)
        yield catch(rule, cut(name, {"right": edge}, AIR), g)
        low = cut(name, {"above": edge_of(name, "top", -1.0)}, AIR)
        yield leave(rule, low, g)
    yield from unrelated(rule, (PIPES, POCKETS, SCUPPERS))


def pocket_rows() -> Iterator[Row]:
    """Grout and sealant in a pocket."""
    rule = "shallow_grout"

    def level(by: float) -> At:
        def of_(_: Base, s: LayeredSection) -> float:
            floor, rim = s.points["fill.bottom"][1], s.points["pan.top"][1]
            return (floor + rim) / 2.0 + by

        return At(f"{abs(by):g} mm {'under' if by < 0 else 'over'} half of the pan", of_)

    grout = ("grout", "grout-right")
    for by in (-0.01, -5.0):
        yield catch(rule, grout_to(grout, level(by)), POCKETS)
    yield catch(rule, gone(*grout), POCKETS)
    yield leave(rule, shortened(POCKETS, RIGHT), POCKETS)
    yield leave(rule, made_of("deck", "deck-wood"), POCKETS)

    rule = "flat_sealant"
    for side, by in ((LEFT, -JUST), (RIGHT, -JUST), (RIGHT, -20.0)):
        yield catch(rule, crown(side, by), POCKETS)
    for side in (LEFT, RIGHT):
        yield leave(rule, crown(side, JUST), POCKETS)


def grout_to(names: Sequence[str], at: At) -> Mutation:
    """Fill grout to a level; sealant takes the room over it."""

    def apply(base: Base, section: LayeredSection) -> LayeredSection:
        for name in names:
            heir = "poured-sealant" + (RIGHT if name.endswith(RIGHT) else "")
            section = cut(name, {"above": at}, heir)(base, section)
        return section

    return Mutation(f"grout filled to {at.words}", apply)


def crown(side: str, by: float) -> Mutation:
    """Cut the sealant level, so far over what it must rise to the shape."""
    at = limit("sealant.rim" + side, "y", "pocket_crown_least", by)
    return cut("poured-sealant" + side, {"above": at}, AIR)


def piece_rows() -> Iterator[Row]:
    """The two pieces of the finish ply in the plan."""
    rule = "short_finish_lap"
    where = of(*PIPES.kinds, *POCKETS.kinds)
    for part, end, by in (
        ("finish-upslope", "left", 1.05),
        ("finish-downslope", "right", 1.05),
        ("finish-downslope", "right", 2.0),
    ):
        yield catch(rule, trimmed(part, end, by * IN), where)
    for part, end in (("finish-upslope", "left"), ("finish-downslope", "right")):
        yield leave(rule, trimmed(part, end, 0.95 * IN), where)

    rule = "backwater_finish_lap"

    def laid(part_id: str, level: int) -> Mutation:
        return parts(
            PLAN,
            f"{part_id} laid at level {level}",
            lambda _, p: replace(p, level=level) if p.id == part_id else p,
        )

    yield catch(rule, laid("finish-downslope", 5), where)
    yield catch(rule, laid("finish-upslope", 2), where)
    yield catch(rule, laid("finish-downslope", 9), where)
    yield leave(rule, laid("finish-upslope", 9), where)
    yield leave(rule, laid("finish-downslope", 1), where)


def lead_rows() -> Iterator[Row]:
    """Lead, and flames beside it."""
    rule = "lead_sleeve"
    where = coded("P2")
    for names, lead in (
        ("sleeve", "lead-2half"),
        ("sleeve-right", "lead-3"),
        (("sleeve", "sleeve-right"), "lead-4"),
    ):
        yield catch(rule, made_of(names, lead), where)
    for names, metal in (("sleeve", "copper-20"), ("sleeve-right", "stainless-025")):
        yield leave(rule, made_of(names, metal), where)

    rule = "flame_on_lead"
    for g in (PIPES, *SUMPS):
        side = g.last
        torched = bonded(g.strip + side, [g.metal + side], Bond.TORCHED)
        yield catch(rule, torched, g)
        yield catch(rule, bonded(g.strip, ["base-ply"], Bond.TORCHED), g)
        yield catch(rule, bonded(g.strip, [g.metal, "base-ply"], Bond.TORCHED, 0.3), g)
        yield leave(rule, made_of("deck", "deck-wood"), g)
        yield leave(rule, shortened(g, g.last), g)


def merged(rows: Iterable[Row]) -> Iterator[Row]:
    """Yield rows, of those that say the same one for all of their sections."""
    same: dict[tuple[str, str, bool], list[Row]] = {}
    for row in rows:
        same.setdefault((row.rule, row.change.what, row.caught), []).append(row)
    for found in same.values():
        yield replace(found[0], where=lambda b, rs=found: any(r.where(b) for r in rs))


def rows() -> Iterator[Row]:
    """Yield every mutation for flanges, and for what goes up through the roof."""
    subjects: tuple[Callable[[], Iterator[Row]], ...] = (
        roof_rows,
        metal_rows,
        flange_rows,
        water_rows,
        whole_rows,
        pipe_rows,
        lead_rows,
    )
    yield from merged(row for subject in subjects for row in subject())
