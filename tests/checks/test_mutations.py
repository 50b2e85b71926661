"""What a rule guards is taken out or cut down in a real section: that rule fails, no other.

The sections are the conditions' own; only their geometry is changed: bodies, joints, coats
and the parts and marks of layouts. A rule that has to fail along with the one under test
stands beside it with the reason.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path

import pytest
from shapely.affinity import translate

from detailgen.checks import REGISTRY, check
from detailgen.conditions import CONDITIONS, Site
from detailgen.finding import Outcome
from detailgen.geometry import Region
from detailgen.geometry.regions import box, cut, pieces, polygon
from detailgen.parameters import Roof
from detailgen.section import Bond, Joint, LayeredSection, Mark, Method, Part, Role
from detailgen.units import inches
from tests.checks.handmade import catalog

IN = 25.4
FAR = 5000.0
TABLE = Path(__file__).with_name("MUTATIONS.md")

VOID = "what is taken out leaves a void"
SAME_SHEET = "the same sheet is measured by both"
SAME_NAILS = "the same nails are counted by both"
SAME_METAL = "the same piece of metal is measured by both"

SECTIONS: Mapping[str, tuple[str, dict[str, object], dict[str, object]]] = {
    "reglet": ("wall", {}, {}),
    "bar": (
        "wall",
        {"termination": "surface", "flashing": "granule-in-cement"},
        {"adhesion": Method.HOT_ASPHALT},
    ),
    "tall": (
        "wall",
        {
            "termination": "surface",
            "flashing": "granule-in-cement",
            "flashing_height": inches(30),
        },
        {"adhesion": Method.COLD_ADHESIVE},
    ),
    "coping": ("wall", {"termination": "coping"}, {}),
    "handbook": ("wall", {}, {}),
    "flutes": ("wall", {}, {"deck": "steel", "insulation": (), "cover_board": inches(0.5)}),
    "raised": ("roof-edge", {}, {}),
    "flush": ("roof-edge", {"edge": "flush", "cleat": False, "edge_strip": True}, {}),
    "wood deck": ("roof-edge", {}, {"deck": "wood", "insulation": ()}),
}
SETS = {"handbook": "sheet-metal-handbook"}
"""Rule set of a section, where it is not the default one."""


@cache
def built(name: str) -> LayeredSection:
    kind, parameters, roof = SECTIONS[name]
    rules = catalog().rule_set(SETS.get(name, "common-practice"))
    site = Site(Roof(**roof), catalog(), rules)  # type: ignore[arg-type]
    condition = CONDITIONS[kind]
    given = condition.parameters(id="M1", **parameters)  # type: ignore[arg-type]
    assert not condition.impossible(given, site)
    return condition.build(given, site)


def failing(section: LayeredSection, rules: str = "common-practice") -> set[str]:
    found = check(section, catalog().rule_set(rules), catalog())
    return {f.rule for f in found if f.outcome is Outcome.FAIL}


# --- ways to change a section -------------------------------------------------------------


@dataclass(frozen=True)
class Mutation:
    """A change to a section, and what it does in words."""

    what: str
    apply: Callable[[LayeredSection], LayeredSection]

    def __call__(self, section: LayeredSection) -> LayeredSection:
        changed = self.apply(section)
        assert changed != section, self.what
        return changed


@dataclass(frozen=True)
class Told:
    """A change to something smaller, and what it does in words."""

    what: str
    apply: Callable[..., object]


def gone(*ids: str) -> Mutation:
    """Take bodies out."""

    def change(section: LayeredSection) -> LayeredSection:
        for body_id in ids:
            assert section.body(body_id), body_id
            section = section.without(body_id)
        return section

    return Mutation(f"{', '.join(ids)}: taken out", change)


def shaved(body_id: str, x0: float, y0: float, x1: float, y1: float) -> Mutation:
    """Cut away what of a body lies inside a rectangle."""

    def change(section: LayeredSection) -> LayeredSection:
        body = section.body(body_id)
        assert body is not None, body_id
        left = cut(body.region, [box(x0, y0, x1, y1)])[0]
        assert left.area < body.region.area - 0.01, "the cut misses"
        return section.with_region(body_id, left)

    sides = zip(("right of", "above", "left of", "below"), (x0, y0, x1, y1), strict=True)
    told = [f"{word} {value:g} mm" for word, value in sides if abs(value) < FAR]
    return Mutation(f"{body_id}: cut away where {', '.join(told)}", change)


def from_point(
    body_id: str,
    point: str,
    *,
    left: float = 0,
    right: float = 0,
    up: float = 0,
    down: float = 0,
) -> Mutation:
    """Cut a body from so far beyond a named point on to one side."""

    def change(section: LayeredSection) -> LayeredSection:
        x, y = section.points[point]
        if left:
            window = (-FAR, -FAR, x - left, FAR)
        elif right:
            window = (x + right, -FAR, FAR, FAR)
        elif up:
            window = (-FAR, y + up, FAR, FAR)
        else:
            window = (-FAR, -FAR, FAR, y - down)
        return shaved(body_id, *window)(section)

    side, by = next(
        (name, value)
        for name, value in (("left", left), ("right", right), ("up", up), ("down", down))
        if value
    )
    return Mutation(f"{body_id}: cut away from {by:g} mm {side} of {point}", change)


def bonded(upper: str, lower: str, bond: Bond) -> Mutation:
    """Stick a body in another way to what lies under it."""

    def change(section: LayeredSection) -> LayeredSection:
        joints = tuple(
            replace(j, bond=bond) if (j.upper, j.lower) == (upper, lower) else j
            for j in section.joints
        )
        assert joints != section.joints, (upper, lower)
        return replace(section, joints=joints)

    return Mutation(f"{upper} on {lower}: {bond}", change)


def stuck_below_edge(section: LayeredSection) -> LayeredSection:
    """Stick the base ply to whatever it hangs over at the edge."""
    edge = section.points["edge.top"][0]

    def changed(joint: Joint) -> Joint:
        drop = joint.upper == "base-ply" and joint.line.bounds[0] >= edge - 1.0
        return replace(joint, bond=Bond.HOT_ASPHALT) if drop else joint

    return replace(section, joints=tuple(changed(j) for j in section.joints))


def made_of(body_id: str, material: str) -> Mutation:
    """Make a body of something else."""

    def change(section: LayeredSection) -> LayeredSection:
        bodies = tuple(
            replace(b, material=material) if b.id == body_id else b for b in section.bodies
        )
        return replace(section, bodies=bodies)

    return Mutation(f"{body_id}: made of {material}", change)


def reshaped(body_id: str, *points: tuple[float, float]) -> Mutation:
    """Give a body another outline."""
    return Mutation(
        f"{body_id}: another outline", lambda s: s.with_region(body_id, polygon(points))
    )


def grown(body_id: str, *points: tuple[float, float]) -> Mutation:
    """Add an area to a body."""

    def change(section: LayeredSection) -> LayeredSection:
        body = section.body(body_id)
        assert body is not None
        whole = body.region.union(polygon(points))
        assert isinstance(whole, Region), "what is added must touch the body"
        return section.with_region(body_id, whole)

    return Mutation(f"{body_id}: a piece added", change)


def moved(body_id: str, dx: float, dy: float) -> Mutation:
    """Move a body."""

    def change(section: LayeredSection) -> LayeredSection:
        body = section.body(body_id)
        assert body is not None
        return section.with_region(body_id, translate(body.region, dx, dy))

    return Mutation(f"{body_id}: moved by {dx:g}, {dy:g} mm", change)


def thinner(body_id: str, by: float) -> Mutation:
    """Take so much off the upper faces of a body."""

    def change(section: LayeredSection) -> LayeredSection:
        body = section.body(body_id)
        assert body is not None
        left = body.region.intersection(translate(body.region, 0.0, -by))
        return section.with_region(body_id, max(pieces(left), key=lambda g: g.area))

    return Mutation(f"{body_id}: {by:g} mm taken off its upper faces", change)


def filed(body_id: str, by: float) -> Mutation:
    """Take so much off all faces of a body."""

    def change(section: LayeredSection) -> LayeredSection:
        body = section.body(body_id)
        assert body is not None
        left = body.region.buffer(-by, join_style="mitre")
        return section.with_region(body_id, max(pieces(left), key=lambda g: g.area))

    return Mutation(f"{body_id}: {by:g} mm taken off all its faces", change)


def both(*changes: Mutation) -> Mutation:
    """Make several changes."""

    def change(section: LayeredSection) -> LayeredSection:
        for one in changes:
            section = one(section)
        return section

    return Mutation("; ".join(c.what for c in changes), change)


def without_coats(body_id: str) -> Mutation:
    """Leave a body unprepared."""
    return Mutation(
        f"{body_id}: nothing brushed on it",
        lambda s: replace(s, coats=tuple(c for c in s.coats if c.body != body_id)),
    )


def parts(layout_id: str, change: Told) -> Mutation:
    """Change or drop (None) the parts of a layout."""

    def apply(section: LayeredSection) -> LayeredSection:
        layout = section.layout(layout_id)
        assert layout is not None
        changed = tuple(q for p in layout.parts if (q := change.apply(p)) is not None)
        assert changed != layout.parts
        other = tuple(v for v in section.layouts if v.id != layout_id)
        return replace(section, layouts=(*other, replace(layout, parts=changed)))

    return Mutation(f"{layout_id}: {change.what}", apply)


def marks(layout_id: str, keep: Told) -> Mutation:
    """Change or drop the marks of a layout; the number counts within a row."""

    def apply(section: LayeredSection) -> LayeredSection:
        layout = section.layout(layout_id)
        assert layout is not None
        seen: dict[int, int] = {}
        changed: list[Mark] = []
        for mark in layout.marks:
            number = seen[mark.row] = seen.get(mark.row, -1) + 1
            new = keep.apply(mark, number)
            if new is not None:
                changed.append(new)
        assert tuple(changed) != layout.marks
        other = tuple(v for v in section.layouts if v.id != layout_id)
        return replace(section, layouts=(*other, replace(layout, marks=tuple(changed))))

    return Mutation(f"{layout_id}: {keep.what}", apply)


def shorter(part_id: str, by: float) -> Told:
    """Cut so much from the right end of a part."""

    def change(part: Part) -> Part:
        x0, y0, x1, y1 = part.region.bounds
        cut_down = replace(part, region=box(x0, y0, x1 - by, y1))
        return cut_down if part.id == part_id else part

    return Told(f"{part_id} {by:g} mm shorter", change)


def raised_to(part_id: str, level: int) -> Told:
    """Lay a part over or under the others."""
    return Told(
        f"{part_id} laid under its neighbours",
        lambda part: replace(part, level=level) if part.id == part_id else part,
    )


def no_part(role: Role) -> Told:
    """Drop the parts of a role."""
    return Told(f"no {role}", lambda part: None if part.role is role else part)


def second_missing(row: int) -> Told:
    """Drop every second fastener of a row."""
    return Told(
        f"every second fastener of row {row} taken out",
        lambda mark, number: None if mark.row == row and number % 2 else mark,
    )


def no_row(row: int) -> Told:
    """Drop a row of fasteners."""
    return Told(f"row {row} taken out", lambda mark, _: None if mark.row == row else mark)


def in_line(row: int, by: float) -> Told:
    """Move a row of fasteners along."""
    return Told(
        f"row {row} moved along by {by:g} mm",
        lambda m, _: replace(m, at=(m.at[0] + by, m.at[1])) if m.row == row else m,
    )


# --- the table ----------------------------------------------------------------------------


@dataclass(frozen=True)
class Case:
    rule: str
    base: str
    change: Mutation
    with_it: Mapping[str, str] = field(default_factory=dict)
    """Rules that fail along, each with the reason."""
    rules: str = "common-practice"


PLAN, ELEVATION = "flange-plan", "wall-elevation"

CASES = [
    # what the membrane lies on
    Case(
        "shallow_slope",
        "reglet",
        reshaped("insulation-2", (-317.5, -44.7), (0, -38.1), (0, -6.7), (-317.5, -6.7)),
    ),
    Case("unspanned_flutes", "flutes", gone("cover-board")),
    Case("flame_on_wood", "coping", bonded("upper-flashing", "blocking", Bond.TORCHED)),
    Case("combustible_cant", "reglet", made_of("cant", "cant-wood")),
    Case(
        "steep_cant",
        "reglet",
        shaved("cant", -FAR, -FAR, -60, FAR),
        {"closed_pocket": VOID},
    ),
    Case(
        "low_cant",
        "reglet",
        shaved("cant", -FAR, 70, FAR, FAR),
        {"closed_pocket": VOID},
    ),
    Case(
        "low_cant",
        "reglet",
        gone("cant"),
        {
            "steep_cant": "there is no cant to soften the turn",
            "base_ply_stuck_over_cant": "there is no cant to be loose on",
            "closed_pocket": VOID,
        },
    ),
    Case(
        "nailer_out_of_level",
        "raised",
        shaved("nailer-2", -FAR, -8, FAR, FAR),
        {"closed_pocket": VOID},
    ),
    Case(
        "nailer_out_of_level",
        "raised",
        gone("nailer-2"),
        {"short_nail_bite": "the nails have lost their wood", "closed_pocket": VOID},
    ),
    # sheets on roof and wall
    Case("thin_cover_on_roof", "reglet", shaved("finish-ply", -FAR, -FAR, -250, FAR)),
    Case(
        "thin_cover_on_cant",
        "reglet",
        both(
            *(
                shaved(b, -60, -FAR, FAR, FAR)
                for b in ("base-ply", "strip-in", "finish-ply")
            )
        ),
        {"low_strip_in_on_wall": SAME_SHEET, "closed_pocket": VOID},
    ),
    Case("bare_wall", "coping", from_point("upper-flashing", "upper.bottom", up=200)),
    Case("base_ply_stuck_over_cant", "reglet", bonded("base-ply", "cant", Bond.TORCHED)),
    Case(
        "short_strip_in_at_toe",
        "reglet",
        from_point("strip-in", "cant.toe", left=60),
        {"closed_pocket": VOID},
    ),
    Case(
        "short_strip_in_at_toe",
        "reglet",
        gone("strip-in"),
        {
            "low_strip_in_on_wall": SAME_SHEET,
            "high_strip_in_on_wall": SAME_SHEET,
            "closed_pocket": VOID,
        },
    ),
    Case(
        "low_strip_in_on_wall",
        "reglet",
        from_point("strip-in", "cant.top", up=30),
        {"closed_pocket": VOID},
    ),
    Case(
        "high_strip_in_on_wall",
        "reglet",
        grown("strip-in", (-2.6, 130), (0, 130), (0, 170), (-2.6, 170)),
        {"solids_overlap": "the added piece lies where the flashing sheet is"},
    ),
    Case(
        "low_flashing",
        "reglet",
        from_point("flashing", "roof.datum", up=180),
        {"short_counterflashing_lap": SAME_SHEET, "closed_pocket": VOID},
    ),
    Case(
        "low_flashing",
        "reglet",
        gone("flashing"),
        {
            "short_counterflashing_lap": SAME_SHEET,
            "short_flashing_reach": SAME_SHEET,
            "tall_flashing": SAME_SHEET,
            "backwater_lap": "no lap is left",
        },
    ),
    Case(
        "tall_flashing",
        "reglet",
        grown("flashing", (-4, 200), (0, 200), (0, 700), (-4, 700)),
        {
            "solids_overlap": "the added piece runs through reglet and metal",
            "backwater_lap": "the sheet now reaches above the metal that covers it",
        },
    ),
    Case("short_flashing_reach", "reglet", from_point("flashing", "cant.toe", left=80)),
    Case("narrow_prepared_band", "reglet", without_coats("finish-ply")),
    Case(
        "short_upper_lap", "coping", from_point("upper-flashing", "upper.bottom", down=-40)
    ),
    Case("short_side_lap", "reglet", parts(ELEVATION, shorter("flashing-piece-1", 30))),
    Case(
        "short_side_lap", "coping", parts(ELEVATION, shorter("upper-flashing-piece-2", 9))
    ),
    Case(
        "backwater_side_lap", "reglet", parts(ELEVATION, raised_to("flashing-piece-2", -1))
    ),
    Case("sparse_top_fasteners", "bar", marks(ELEVATION, second_missing(1))),
    Case(
        "missing_intermediate_row",
        "tall",
        marks(ELEVATION, no_row(2)),
    ),
    Case("thin_base_ply", "reglet", thinner("base-ply", 1.0)),
    Case(
        "thin_granule_sheet", "reglet", thinner("finish-ply", 1.0), {"closed_pocket": VOID}
    ),
    # what covers the top of a flashing
    Case(
        "short_counterflashing_lap",
        "reglet",
        from_point("counterflashing", "cf.hem", down=-40),
    ),
    Case(
        "short_counterflashing_lap",
        "reglet",
        gone("counterflashing"),
        dict.fromkeys(
            ("low_hem", "shallow_reglet", "thin_metal", "missing_bead"), SAME_METAL
        ),
    ),
    Case(
        "low_hem",
        "reglet",
        grown("counterflashing", (-14, 80), (-13, 80), (-13, 112), (-14, 112)),
        {
            "solids_overlap": "the lowered hem runs into the sheets on the cant",
            "backwater_lap": "the lowered hem runs under the flashing sheet",
            "closed_pocket": VOID,
        },
    ),
    Case(
        "shallow_reglet",
        "reglet",
        grown("wall", (20, 225), (100, 225), (100, 255), (20, 255)),
        {"solids_overlap": "the metal is still as deep"},
    ),
    Case(
        "low_reglet",
        "handbook",
        moved("counterflashing", 0, -40),
        {
            "solids_overlap": "the metal is outside its slot",
            "missing_bead": SAME_METAL,
            "backwater_lap": "the lowered hem runs under the flashing sheet",
        },
        "sheet-metal-handbook",
    ),
    Case(
        "short_counterflashing_end_lap",
        "reglet",
        parts(ELEVATION, shorter("counterflashing-piece-1", 30)),
    ),
    Case("sparse_bar_fasteners", "bar", marks(ELEVATION, second_missing(3))),
    Case(
        "short_coping_face",
        "coping",
        shaved("coping", 195, -FAR, FAR, 416),
        {"shallow_cleat_hook": SAME_METAL},
    ),
    # the flange
    Case(
        "bare_flange_underside",
        "raised",
        shaved("base-ply", -60, -FAR, FAR, FAR),
        dict.fromkeys(
            (
                "short_base_ply_drop",
                "base_ply_short_of_wood",
                "bare_drop",
                "base_ply_stuck_over_edge",
            ),
            SAME_SHEET,
        ),
    ),
    Case(
        "thin_flange_cover",
        "raised",
        from_point("strip-in", "metal.leaves", right=-20),
        {"closed_pocket": VOID},
    ),
    Case(
        "thin_flange_cover",
        "flush",
        shaved("finish-ply", -40, -FAR, FAR, FAR),
        {"wrong_finish_gap": SAME_SHEET, "missing_bead": "the bead has lost the ply's end"},
    ),
    Case(
        "short_flange_strip_in",
        "raised",
        from_point("strip-in", "flange.outer", left=80),
        {"closed_pocket": VOID},
    ),
    Case(
        "short_flange_strip_in",
        "raised",
        gone("strip-in"),
        {"thin_flange_cover": SAME_SHEET, "closed_pocket": VOID},
    ),
    Case(
        "narrow_flange",
        "raised",
        from_point("edge-metal", "flange.outer", left=-20),
        {"closed_pocket": VOID},
    ),
    Case(
        "flange_off_nailer",
        "raised",
        shaved("nailer-2", -FAR, -FAR, -100, FAR),
        {
            "nailer_out_of_level": "the wood is missing beside the boards",
            "closed_pocket": VOID,
        },
    ),
    Case(
        "nothing_to_bite",
        "wood deck",
        made_of("deck", "deck-concrete"),
        {
            "short_nail_bite": "nails have nothing to bite",
            "flange_off_nailer": "no wood at all",
        },
    ),
    Case("short_nail_bite", "raised", from_point("nail-1", "edge.top", down=15)),
    Case("short_nail_bite", "raised", gone("nail-1", "nail-2", "cleat-nail-1")),
    Case("sparse_nails", "raised", marks(PLAN, second_missing(1))),
    Case(
        "single_nail_row",
        "raised",
        marks(PLAN, no_row(2)),
        {"unstaggered_nails": SAME_NAILS},
    ),
    Case("unstaggered_nails", "raised", marks(PLAN, in_line(2, -1.5 * IN))),
    Case(
        "wrong_finish_gap",
        "flush",
        from_point("finish-ply", "metal.bend", right=-30),
        {
            "thin_flange_cover": SAME_SHEET,
            "missing_bead": "the bead has lost the ply's end",
        },
    ),
    Case(
        "finish_ply_off_leg",
        "raised",
        from_point("finish-ply", "metal.leaves", right=-10),
        {
            "thin_flange_cover": SAME_SHEET,
            "missing_bead": "the bead has lost the ply's end",
        },
    ),
    # the edge
    Case(
        "base_ply_stuck_over_edge",
        "raised",
        Mutation("base-ply: stuck to all it hangs over", stuck_below_edge),
    ),
    Case("short_base_ply_drop", "wood deck", from_point("base-ply", "drop.end", down=-22)),
    Case(
        "base_ply_short_of_wood",
        "raised",
        from_point("base-ply", "drop.end", down=-35),
        {"short_base_ply_drop": SAME_SHEET},
    ),
    Case("bare_drop", "flush", shaved("edge-metal", 0, -FAR, FAR, -90)),
    Case(
        "steep_kick",
        "flush",
        both(
            shaved("edge-metal", 0, -FAR, FAR, -112),
            grown("edge-metal", (2.6, -112), (20, -122), (20.4, -121.4), (3.2, -111)),
        ),
    ),
    Case("shallow_cleat_hook", "raised", gone("cleat")),
    Case(
        "shallow_cleat_hook",
        "raised",
        from_point("cleat", "face.bottom", down=10),
        {"closed_pocket": VOID},
    ),
    Case("sparse_cleat_nails", "raised", marks(PLAN, second_missing(9))),
    Case("tight_joint_gap", "raised", parts(PLAN, shorter("edge-metal-1", -5))),
    Case("narrow_backing_plate", "raised", parts(PLAN, shorter("backing-plate", 60))),
    Case(
        "narrow_backing_plate",
        "raised",
        parts(PLAN, no_part(Role.BACKING_PLATE)),
    ),
    # metal, cement and sealant
    Case(
        "thin_metal",
        "coping",
        filed("coping", 0.08),
        {"shallow_cleat_hook": "filing shortens the hook too"},
    ),
    Case(
        "light_cleat",
        "coping",
        filed("coping-cleat", 0.1),
        {"shallow_cleat_hook": "filing shortens the cleat too"},
    ),
    Case("thin_bed", "raised", thinner("flange-cement", 0.8), {"closed_pocket": VOID}),
    Case(
        "thin_bed",
        "raised",
        gone("flange-cement"),
        {"closed_pocket": VOID, "thick_bed": "no bed is left"},
    ),
    Case("thin_bed", "bar", gone("flashing-cement")),
    Case(
        "thick_bed",
        "raised",
        grown("flange-cement", (-98, 2), (0, 4), (0, 6.2), (-98, 4.2)),
        {"solids_overlap": "the added cement lies where the metal is"},
    ),
    Case("missing_bead", "raised", gone("edge-bead")),
    Case("missing_bead", "flush", gone("edge-bead")),
    Case("missing_bead", "reglet", gone("reglet-sealant")),
    Case("missing_bead", "bar", gone("bar-sealant")),
    Case(
        "backwater_lap",
        "coping",
        reshaped("upper-flashing", (-3, 100), (0, 100), (0, 410), (-3, 410)),
        {"solids_overlap": "the upper sheet lies where the lower one is"},
    ),
    # the whole
    Case(
        "solids_overlap",
        "reglet",
        grown("cant", (-30, 0), (-20, 0), (-20, -10), (-30, -10)),
    ),
    Case("closed_pocket", "reglet", shaved("cant", -30, 10, -20, 20)),
]


@pytest.mark.parametrize("case", CASES, ids=lambda c: f"{c.rule}-{c.base}")
def test_what_is_taken_out_fails_its_rule_and_no_other(case: Case) -> None:
    section = built(case.base)
    before = failing(section, case.rules)
    assert case.rule not in before
    after = failing(case.change(section), case.rules)
    assert case.rule in after
    assert after - before - {case.rule} == set(case.with_it)


def test_every_rule_has_a_mutation() -> None:
    assert {case.rule for case in CASES} == set(REGISTRY)


@pytest.mark.parametrize("name", SECTIONS)
def test_the_sections_themselves_break_no_rule(name: str) -> None:
    rules = SETS.get(name, "common-practice")
    assert failing(built(name), rules) <= {"tall_flashing"}


def table() -> str:
    """Return the table of mutations as the file beside this one holds it."""
    lines = [
        "# What each rule catches",
        "",
        "Written by `python -m tests.checks.test_mutations`; a test holds it to the table",
        "there. One change is made to the geometry of a real section: the rule fails that",
        "guards what was changed, and no rule but those in the last column, with reasons.",
        "",
        "| rule | section | change | fails along |",
        "|---|---|---|---|",
    ]
    for case in sorted(CASES, key=lambda c: list(REGISTRY).index(c.rule)):
        along = "; ".join(f"`{rule}`: {why}" for rule, why in case.with_it.items())
        lines.append(f"| `{case.rule}` | {case.base} | {case.change.what} | {along} |")
    return "\n".join(lines) + "\n"


def test_the_table_beside_is_current() -> None:
    assert TABLE.read_text(encoding="utf-8") == table()


if __name__ == "__main__":
    TABLE.write_text(table(), encoding="utf-8")
