"""Roof edge with flanged metal: drawn as the parameters say, in every variant."""

from functools import cache
from itertools import pairwise, product
from math import cos, dist, hypot, radians, sin

import pytest
from shapely import LineString, Point
from shapely import box as sbox

from detailgen.conditions import CONDITIONS
from detailgen.section import ADHERED, METALS, WOOD, Bond, Method, Role
from tests.conditions.building import (
    CATALOG,
    body,
    build,
    corners,
    joined,
    mm,
    on_outline,
    parameters,
    pockets,
    rule,
    site,
    upright,
)

FALLS = ("inward", "outward", "along")
NAILERS = [("concrete", "stacked"), ("concrete", "let-in"), ("steel", "stacked"),
           ("wood", "stacked"), ("wood", "none")]  # fmt: skip
VARIANTS = list(product(("raised", "flush"), (True, False), (False, True), NAILERS))
GIVEN = {
    "flange": mm("4 1/2 in"),
    "rise": mm("1 1/2 in"),
    "kick": mm("1 1/4 in"),
    "strip_in": mm("5 in"),
    "finish_gap": mm("1/2 in"),
    "edge_strip_length": mm("14 in"),
    "edge_strip_height": mm("3/4 in"),
    "cleat_hook": mm("5/8 in"),
    "nailer_width": mm("7 1/4 in"),
}
near = pytest.approx


def _id(v):
    edge, cleat, strip, (deck, nailer) = v
    return f"{edge}{'-cleat' * cleat}{'-strip' * strip}-{deck}-{nailer}"


@pytest.fixture(params=VARIANTS, ids=[_id(v) for v in VARIANTS])
def variant(request):
    return request.param


@pytest.fixture
def sections(variant):
    """One variant falling every way."""
    return every_fall(*variant)


@cache
def every_fall(edge, cleat, strip, ground):
    deck, nailer = ground
    bare = nailer in {"none", "let-in"}
    roof = {
        "deck": deck,
        "insulation": () if bare else ("1 1/2 in", "1 1/2 in"),
        "cover_board": None if bare else "1/2 in",
        "slope": "1/2 in per ft",
    }
    return [
        build("roof-edge", site(**roof), edge=edge, cleat=cleat, edge_strip=strip,
              nailer=nailer, fall=fall, **GIVEN)
        for fall in FALLS
    ]  # fmt: skip


def wood(section):
    return list(section.of_role(*WOOD))


# --- datums, measured on the polygons ---


def test_drops_count_from_the_top_of_the_wood(sections):
    for section in sections:
        top = section.points["edge.top"]
        assert top[0] == 0.0
        if wood(section):
            highest = max(
                y for b in wood(section) for x, y in corners(section, b.id) if x > -1
            )
            assert top[1] == near(highest)
        else:
            assert top[1] == 0.0
        end = section.points["drop.end"]
        over = [y for x, y in corners(section, "base-ply") if x > -1e-6]
        assert min(over) == near(end[1])
        assert on_outline(section, "base-ply", end) < 1e-6


def test_by_default_the_base_ply_ends_below_the_wood_and_the_face_below_that(sections):
    for section in sections:
        top, end = section.points["edge.top"][1], section.points["drop.end"][1]
        assert top - end >= rule("base_ply_drop_least") - 1e-6
        parts = wood(section) + [
            b for b in section.of_role(Role.DECK) if b.material == "deck-wood"
        ]
        lowest = [min(y for x, y in corners(section, b.id) if x > -1e-6) for b in parts]
        if lowest:
            assert end < min(lowest) - mm("1/4 in")
            assert section.points["wood.bottom"][1] == near(min(lowest))
        face = section.points["face.bottom"]
        assert end - face[1] == near(mm("1/2 in"))
        metal = body(section, "edge-metal")
        drop = body(section, "base-ply").region
        # at every height of the drop the face stands before it
        for y in (end + 1.0, (end + top) / 2.0, top - 5.0):
            ray = LineString([(0.1, y), (200.0, y)])
            assert metal.region.intersects(ray)
            assert (
                metal.region.intersection(ray).bounds[0]
                >= drop.intersection(ray).bounds[2] - 1e-6
            )


def test_the_flange_is_as_wide_as_asked(sections):
    for section in sections:
        outer, bend = section.points["flange.outer"], section.points["metal.bend"]
        assert bend[0] - outer[0] == near(mm("4 1/2 in"), abs=1e-3)
        assert on_outline(section, "edge-metal", outer) < 1e-6
        assert on_outline(section, "edge-metal", bend) < 2e-3
        left = body(section, "edge-metal").region.bounds[0]
        lean = hypot(*[a - b for a, b in zip(outer, bend, strict=True)]) and 0.12
        assert outer[0] - lean <= left <= outer[0] + 1e-6


def test_the_strip_in_reaches_past_the_flange_and_covers_it(sections, variant):
    for section in sections:
        outer, strip = section.points["flange.outer"], section.points["strip.outer"]
        assert outer[0] - strip[0] == near(mm("5 in"), abs=1e-6)
        assert on_outline(section, "strip-in", strip) < 1e-6
        leaves = section.points["metal.leaves"][0]
        metal = body(section, "edge-metal").region
        for x in (outer[0] + 2.0, outer[0] + 50.0, leaves - 2.0):
            ray = LineString([(x, -20.0), (x, 60.0)])
            top = metal.intersection(ray).bounds[3]
            low, high = upright(section, "strip-in", x)
            assert low == near(top, abs=1e-4)
            assert upright(section, "finish-ply", x)[0] == near(high, abs=1e-4)
            bed = upright(section, "flange-cement", x)
            assert upright(section, "base-ply", x)[1] == near(bed[0], abs=1e-4)
            assert bed[1] == near(metal.intersection(ray).bounds[1], abs=1e-4)


def test_a_raised_leg_is_a_closed_fold_of_its_height(sections, variant):
    if variant[0] != "raised":
        return
    for section in sections:
        metal, bend = body(section, "edge-metal"), section.points["metal.bend"]
        high = metal.region.bounds[3]
        assert high - bend[1] == near(mm("1 1/2 in"), abs=0.05)
        assert section.points["leg.top"] == near((bend[0], bend[1] + mm("1 1/2 in")))
        y = high - 8.0
        leg = metal.region.intersection(LineString([(bend[0] - 20, y), (bend[0] + 20, y)]))
        assert leg.length == near(2.0 * metal.thickness, abs=1e-3)
        for body_id in ("strip-in", "finish-ply"):
            assert body(section, body_id).region.distance(metal.region) < 1e-6
            assert body(section, body_id).region.bounds[2] == near(bend[0], abs=1e-3)
        assert section.points["metal.leaves"] == near(bend)
        bead = body(section, "edge-bead").region
        assert bead.bounds[2] == near(bend[0], abs=1e-3)
        assert bead.bounds[3] < high
        assert bead.bounds[2] - bead.bounds[0] == near(mm("3/8 in"), abs=0.2)


def test_on_a_flush_edge_the_plies_end_short_of_the_bend(sections, variant):
    if variant[0] != "flush":
        return
    for section in sections:
        bend, end = section.points["metal.bend"], section.points["finish.end"]
        assert bend[0] - end[0] == near(mm("1/2 in"))
        for body_id in ("strip-in", "finish-ply"):
            short = bend[0] - body(section, body_id).region.bounds[2]
            assert short == near(mm("1/2 in"), abs=0.8)  # square cuts lean with the slope
        assert "leg.top" not in section.points
        metal = body(section, "edge-metal").region
        assert metal.bounds[3] == near(
            max(bend[1], section.points["flange.outer"][1] + 0.8), abs=3.6
        )
        bead = body(section, "edge-bead").region
        assert bead.distance(body(section, "finish-ply").region) < 1e-6
        assert bead.distance(metal) < 1e-6
        assert bead.bounds[2] < bend[0]


def test_the_face_ends_in_a_kick_that_hooks_over_the_cleat_or_in_a_hem(sections, variant):
    for section in sections:
        metal = body(section, "edge-metal")
        foot = section.points["face.bottom"]
        assert on_outline(section, "edge-metal", foot) < 0.2
        course = list(metal.course.coords)
        a = radians(30.0)
        down = (sin(a), -cos(a))
        along = [x * down[0] + y * down[1] for x, y in course]
        if variant[1]:
            cleat = list(body(section, "cleat").course.coords)
            end = cleat[-1][0] * down[0] + cleat[-1][1] * down[1]
            assert end - along[-1] == near(mm("5/8 in"), abs=1e-6)  # the hook
            assert max(along) > end
            kick = dist(cleat[-1], cleat[-2])
            assert kick == near(mm("1 1/4 in"))
            assert body(section, "cleat").region.distance(metal.region) < 1e-6
        else:
            assert section.body("cleat") is None
            assert max(along) - along[-1] >= mm("3/8 in")  # the hem
        # the kick leads outward and the folded edge stays off what stands behind it
        assert max(x for x, _ in course) > foot[0] + 5.0
        assert course[-1][0] > body(section, "base-ply").region.bounds[2] - 1e-6


def test_nails_bite_an_inch_into_wood(sections):
    for section in sections:
        nailable = [
            b for b in section.bodies if b.role in WOOD or b.material == "deck-wood"
        ]
        nails = [b for b in section.bodies if b.id.startswith("nail-")]
        assert len(nails) == rule("nail_rows_least")
        for nail in nails:
            inside = sum(nail.region.intersection(b.region).area for b in nailable)
            assert inside / nail.thickness >= rule("nail_bite_least") - 1e-6
            assert {"edge-metal", "flange-cement", "base-ply"} <= set(nail.pierces)
            x0, _, x1, _ = nail.region.bounds
            outer, bend = section.points["flange.outer"][0], section.points["metal.bend"][0]
            assert outer < x0 < x1 < bend
            for body_id in ("strip-in", "finish-ply"):  # the heads are covered, not pierced
                assert nail.region.intersection(body(section, body_id).region).area < 1e-6


def test_nailers_stand_level_with_the_boards(sections, variant):
    how = variant[3][1]
    for section in sections:
        parts = wood(section)
        assert bool(parts) == (how != "none")
        if not parts:
            continue
        width = -min(x for b in parts for x, _ in corners(section, b.id))
        assert width == near(mm("7 1/4 in"))
        for one, two in pairwise(sorted(parts, key=lambda b: b.region.bounds[3])):
            assert one.region.distance(two.region) == 0.0
            assert one.region.intersection(two.region).area < 1e-9
        assert abs(section.points["edge.top"][1]) <= rule("nailer_level_tolerance") + 1e-9
        deck = body(section, "deck").region
        lowest = min(parts, key=lambda b: b.region.bounds[1])
        assert lowest.region.distance(deck) < 1e-6
        if how == "let-in":
            assert sum(b.thickness for b in parts) == near(mm("1 1/2 in"))
            assert deck.bounds[3] > lowest.region.bounds[1]


def test_a_tapered_strip_lies_under_the_base_ply(sections, variant):
    for section in sections:
        strip = section.body("edge-strip")
        assert (strip is not None) == variant[2]
        if strip is None:
            continue
        high = [y for x, y in corners(section, "edge-strip") if x > -1e-6]
        assert max(high) - section.points["edge.top"][1] == near(mm("3/4 in"))
        assert strip.region.bounds[0] == near(-mm("14 in"), abs=mm("7 in"))
        assert joined(section, "base-ply", "edge-strip")
        assert strip.region.distance(body(section, "flange-cement").region) > 1.0
        # it starts on one level, at nothing
        assert (
            strip.region.intersection(
                LineString([
                    (strip.region.bounds[0] + 0.5, -99),
                    (strip.region.bounds[0] + 0.5, 99),
                ])
            ).length
            < 1.0
        )


# --- order of building, joints, materials ---


def test_bodies_stand_in_the_order_of_building(sections):
    for section in sections:
        stages = [b.stage for b in section.bodies if b.role is not Role.FASTENER]
        assert stages == sorted(stages)
        numbers = [s.number for s in section.stages]
        assert numbers == sorted(set(numbers))
        assert {b.stage for b in section.bodies} - {0} <= set(numbers)
        built = {b.id: b.stage for b in section.bodies}
        assert len(built) == len(section.bodies)
        assert all(built[j.upper] >= built[j.lower] for j in section.joints)
        order = [b.id for b in section.bodies]
        under = [
            i for i in order if i in {"base-ply", "flange-cement", "edge-metal", "strip-in"}
        ]
        assert under == ["base-ply", "flange-cement", "edge-metal", "strip-in"]


def test_the_base_ply_is_loose_over_the_edge_only(sections):
    for section in sections:
        drop = section.points["edge.top"][1] - section.points["drop.end"][1]
        loose = [j for j in section.joints if j.upper == "base-ply" and j.bond is Bond.DRY]
        strip = section.body("edge-strip")
        raised = mm("3/4 in") if strip else 0.0
        assert sum(j.line.length for j in loose) == near(drop + raised, abs=1e-4)
        assert all(x > -1e-6 for j in loose for x, _ in j.line.coords)
        for j in section.joints:
            if j.upper == "base-ply" and j.bond is not Bond.DRY:
                assert j.bond in ADHERED | {Bond.FASTENED}
                assert j.line.bounds[2] < 1e-6
        for j in section.joints:
            if j.upper in {"strip-in", "finish-ply"}:
                assert j.bond in ADHERED
            if j.upper == "flange-cement":
                assert (j.lower, j.bond) == ("base-ply", Bond.CEMENT)
        bed = joined(section, "edge-metal", "flange-cement")
        assert bed == {
            Bond.CEMENT.value: near(body(section, "flange-cement").course.length, abs=3.0)
        }


def test_joints_and_coats_lie_on_the_bodies_they_name(sections):
    for section in sections:
        fluted = section.body("deck").material == "deck-steel"
        for j in section.joints:
            for body_id in (j.upper, j.lower):
                if body_id == "deck" and fluted:  # a sheet past open flutes bridges them
                    continue
                assert all(on_outline(section, body_id, q) < 1e-3 for q in j.line.coords), j
        for coat in section.coats:
            assert all(on_outline(section, coat.body, q) < 1e-3 for q in coat.line.coords)
        faces = [c.line.length for c in section.coats if c.id == "flange-primer"]
        assert len(faces) == 2
        assert faces == near([mm("4 1/2 in")] * 2, abs=1.5)


def test_nothing_is_torched_onto_what_burns(sections):
    for section in sections:
        assert section.method is Method.TORCH
        for j in section.joints:
            below = CATALOG.material(body(section, j.lower).material)
            assert j.bond is not Bond.TORCHED or not below.combustible, j
        for part in wood(section):
            for bond in joined(section, "base-ply", part.id):
                assert Bond(bond) in {Bond.SELF_ADHERED, Bond.DRY}


def test_no_pocket_is_closed_that_is_not_meant(sections):
    for section in sections:
        assert pockets(section) == []
        for hollow in section.hollows:
            assert all(b.region.intersection(hollow).area < 1e-3 for b in section.bodies
                       if b.role is not Role.FASTENER)  # fmt: skip


def test_metals_keep_their_thickness_in_every_leg(sections, variant):
    for section in sections:
        for metal in section.of_role(*METALS):
            # a closed fold lies on itself by a hair
            assert metal.region.area == near(
                metal.course.length * metal.thickness, rel=3e-3
            )


# --- the plan of the flange ---


def test_the_plan_shows_what_the_section_cannot(sections, variant):
    for section in sections:
        plan = section.layout("flange-plan")
        at = plan.points
        assert at["metal.bend"][1] - at["flange.outer"][1] == near(mm("4 1/2 in"))
        assert at["flange.outer"][1] - at["strip.outer"][1] == near(mm("5 in"))
        pieces = plan.of_role(Role.EDGE_METAL)
        assert len(pieces) == 2
        gap = pieces[1].region.bounds[0] - pieces[0].region.bounds[2]
        assert gap == near(rule("joint_gap_least"))
        (plate,) = plan.of_role(Role.BACKING_PLATE)
        for piece, side in ((pieces[0], 0), (pieces[1], 2)):
            lap = plate.region.intersection(piece.region)
            assert lap.bounds[2] - lap.bounds[0] >= rule("backing_plate_lap_least") - 1e-6
            assert plate.region.bounds[side] != piece.region.bounds[side]
        rows = {}
        for mark in plan.marks:
            if mark.role is Role.FASTENER:
                rows.setdefault(mark.row, []).append(mark.at)
        assert len(rows) == rule("nail_rows_least")
        for row in rows.values():
            xs = sorted(x for x, _ in row)
            assert max(b - a for a, b in pairwise(xs)) <= rule("nail_spacing_most") + 1e-6
            assert len({y for _, y in row}) == 1
        one, two = ([x for x, _ in rows[k]] for k in sorted(rows))
        stagger = min(abs(a - b) for a in one for b in two)
        assert stagger >= rule("nail_stagger_least") - 1e-6
        # a row of the plan is as far from the flange's outer end as its nail in the section
        for k, row in rows.items():
            nail = body(section, f"nail-{k}").region.centroid.x
            there = row[0][1] - at["flange.outer"][1]
            assert nail - section.points["flange.outer"][0] == near(there, abs=3.0)
        cleats = [m for m in plan.marks if m.role is Role.CLEAT]
        assert bool(cleats) == variant[1]


@pytest.mark.parametrize("spacing", ["2 in", "3 in", "5 in"])
def test_nail_and_cleat_spacings_are_as_asked(spacing):
    section = build("roof-edge", nail_spacing=mm(spacing), cleat_nail_spacing=mm(spacing),
                    nail_rows=3)  # fmt: skip
    plan = section.layout("flange-plan")
    for row in (1, 2, 3):
        xs = sorted(m.at[0] for m in plan.marks if m.role is Role.FASTENER and m.row == row)
        assert [b - a for a, b in pairwise(xs)] == near([mm(spacing)] * (len(xs) - 1))
    xs = sorted(m.at[0] for m in plan.marks if m.role is Role.CLEAT)
    assert max(b - a for a, b in pairwise(xs)) == near(mm(spacing))


# --- defaults and special cases ---


BUILD_UPS = [
    ("1 1/2 in",), ("1 1/2 in", "1 1/2 in"), ("2 in",), ("2 in", "2 in"),
    ("2.6 in", "2.6 in"),
    ("3 in",), ("2.2 in",), ("2 1/2 in", "2 1/2 in"), ("1 1/2 in", "2 in"), ("3 1/2 in",),
    ("2 in", "2 in", "2 in"), ("40 mm", "40 mm"), ("50 mm", "60 mm"), ("100 mm",),
]  # fmt: skip


@pytest.mark.parametrize("board", [None, "1/4 in", "1/2 in", "5/8 in"])
@pytest.mark.parametrize("layers", BUILD_UPS, ids="+".join)
def test_wood_comes_level_with_common_build_ups(layers, board):
    if board is None and len(layers) == 3:
        board = "1/2 in"
    section = build("roof-edge", site(insulation=layers, cover_board=board, slope="0 %"))
    build_up = sum(mm(t) for t in layers) + (mm(board) if board else 0.0)
    found = sum(b.thickness for b in wood(section))
    assert found - build_up == near(section.points["edge.top"][1], abs=1e-6)
    assert abs(found - build_up) <= mm("1/8 in") + 1e-9
    shims = section.of_role(Role.SHIM)
    assert len(shims) <= 2


@pytest.mark.parametrize(
    ("deck", "layers", "expected"),
    [
        ("concrete", ("2 in",), "stacked"),
        ("concrete", (), "let-in"),
        ("steel", ("3 in",), "stacked"),
        ("wood", (), "none"),
        ("wood", ("1 1/2 in",), "stacked"),
    ],
)
def test_without_a_word_the_build_up_says_what_wood_there_is(deck, layers, expected):
    section = build("roof-edge", site(deck=deck, insulation=layers))
    same = build("roof-edge", site(deck=deck, insulation=layers), nailer=expected)
    assert [b.id for b in section.bodies] == [b.id for b in same.bodies]
    assert bool(wood(section)) == (expected != "none")
    cut = body(section, "deck").region
    assert (len(cut.exterior.coords) > 5) == (expected == "let-in" or deck == "steel")


@pytest.mark.parametrize("adhesion", list(Method))
def test_the_base_ply_sticks_to_wood_as_the_method_allows(adhesion):
    section = build("roof-edge", site(adhesion=adhesion))
    top = max(wood(section), key=lambda b: b.region.bounds[3]).id
    bonds = set(joined(section, "base-ply", top))
    expected = {
        Method.TORCH: Bond.SELF_ADHERED,
        Method.HOT_ASPHALT: Bond.HOT_ASPHALT,
        Method.COLD_ADHESIVE: Bond.COLD_ADHESIVE,
    }[adhesion]
    assert bonds == {expected.value, Bond.DRY.value}
    nailed = build("roof-edge", site(adhesion=adhesion, deck="wood", insulation=()))
    on_deck = set(joined(nailed, "base-ply", "deck"))
    first = Bond.FASTENED if adhesion is Method.TORCH else expected
    assert on_deck == {first.value, Bond.DRY.value}


def test_a_side_of_higher_boards_is_theirs_and_not_the_woods():
    """Where wood stands lower than the boards, the sheet meets the boards' side first."""
    section = build("roof-edge", site(insulation=("40 mm",), cover_board=None, slope="0 %"))
    top = section.points["edge.top"][1]
    assert top < -0.5
    wide = -min(x for b in wood(section) for x, _ in corners(section, b.id))
    sides = [
        j.lower
        for j in section.joints
        if j.upper == "base-ply"
        and any(
            abs(a[0] + wide) < 1e-6 > abs(b[0] - a[0]) for a, b in pairwise(j.line.coords)
        )
    ]
    assert sides == ["insulation-1"]


def test_without_wood_the_drop_hangs_before_the_sides_of_the_boards():
    section = build("roof-edge", site(deck="wood", slope="0 %"), nailer="none")
    drop = [j for j in section.joints if j.upper == "base-ply" and j.bond is Bond.DRY]
    sides = {j.lower: j.line.length for j in drop}
    assert sides == {
        "insulation-2": near(mm("1 1/2 in")),
        "insulation-1": near(mm("1 1/2 in")),
        "deck": near(mm("1 1/2 in")),
        "wall": near(mm("1/2 in")),  # it ends below the wood of the deck
    }


@pytest.mark.parametrize("height", ["1 in", "2 in"])
def test_long_nails_are_taken_where_a_strip_is_thick(height):
    section = build("roof-edge", edge_strip=True, edge_strip_height=mm(height))
    bites = []
    for nail in (b for b in section.bodies if b.id.startswith("nail-")):
        inside = sum(nail.region.intersection(b.region).area for b in wood(section))
        bites.append(inside / nail.thickness)
    assert min(bites) >= rule("nail_bite_least") - 1e-6
    assert any("long" in note for note in section.notes)


def test_the_cleat_is_nailed_where_it_is():
    for face in ("1 in", "2 in", "6 in", "12 in"):
        section = build("roof-edge", face=mm(face))
        nail = body(section, "cleat-nail-1")
        assert "cleat" in nail.pierces, face
        assert any(body(section, i).role in WOOD for i in nail.pierces) or face == "12 in"


@pytest.mark.parametrize("width", ["2 in", "5 1/2 in", "6 1/4 in", "7 1/4 in", "9 1/4 in"])
def test_a_steel_deck_is_fluted_from_the_edge_to_the_side_of_the_drawing(width):
    section = build("roof-edge", site(deck="steel", slope="0 %"), strip_in=mm(width))
    deck = body(section, "deck").region
    assert deck.bounds[0] == near(section.extent.bounds[0])
    assert deck.bounds[2] == near(0.0)
    flutes = [h for h in section.hollows if h.bounds[3] <= deck.bounds[3] + 1e-6
              and h.distance(deck) < 1e-6]  # fmt: skip
    assert len(flutes) >= 3
    assert sum(h.area for h in flutes) + deck.area == near(
        sbox(*deck.bounds).area, rel=1e-6
    )
    assert deck.area < 0.1 * sbox(*deck.bounds).area


def test_the_wall_below_is_hidden_behind_nothing():
    section = build("roof-edge", wall="concrete", wall_thickness=mm("8 in"))
    wall = body(section, "wall")
    assert wall.material == "wall-concrete"
    assert wall.region.bounds[2] == 0.0
    assert -wall.region.bounds[0] == near(mm("8 in"))
    assert wall.region.distance(body(section, "deck").region) < 1e-9
    assert section.extent.contains(Point(section.points["face.bottom"]))


# --- parameters that cannot stand together ---

IMPOSSIBLE = [
    ({"flange": mm("6 in"), "nailer_width": mm("5 1/2 in")}, {}, "flange",
     "wider than the nailer", {"nailer_width": mm("7 1/4 in")}),
    ({"nailer": "let-in"}, {"deck": "steel"}, "nailer", "Only a concrete deck",
     {"nailer": "stacked"}),
    ({"nailer": "let-in"}, {"deck_thickness": "2 1/2 in"}, "nailer", "too thin",
     {"nailer": "stacked"}),
    ({"face": mm("1 in"), "edge_strip": True}, {}, "face", "ends above the edge",
     {"face": mm("4 in")}),
    ({"edge": "flush", "finish_gap": mm("2 in"), "flange": mm("3 in")}, {}, "finish_gap",
     "half of the flange", {"finish_gap": mm("3/8 in")}),
]  # fmt: skip


@pytest.mark.parametrize(
    ("given", "roof", "key", "words", "mend"), IMPOSSIBLE, ids=[i[3] for i in IMPOSSIBLE]
)
def test_what_cannot_stand_together_is_told_with_its_mend(given, roof, key, words, mend):
    condition, where = CONDITIONS["roof-edge"], site(**roof)
    found = condition.impossible(parameters("roof-edge", **given), where)
    assert len(found) == 1
    (problem,) = found
    assert problem.keys[0] == key
    assert words in problem.message
    assert problem.allowed
    assert problem.mend
    assert set(problem.keys) <= set(condition.parameters.model_fields)
    build("roof-edge", where, **{**given, **mend})


def test_a_flange_that_just_fits_its_nailer_is_possible():
    flat = site(insulation=("1 1/2 in", "1 1/2 in"))
    build("roof-edge", flat, flange=mm("5 1/2 in"), nailer_width=mm("5 1/2 in"))
    p = parameters("roof-edge", flange=mm("5 9/16 in"), nailer_width=mm("5 1/2 in"))
    assert CONDITIONS["roof-edge"].impossible(p, flat)
