"""Wall base flashing: what is drawn is what the parameters say, in every variant."""

from functools import cache
from itertools import pairwise, product
from math import dist, hypot

import pytest
from shapely import LineString, Point

from detailgen.conditions import CONDITIONS
from detailgen.section import ADHERED, METALS, SHEETS, Bond, Method, Role
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

FALLS = ("away", "toward", "along")
DECKS = ("concrete", "steel", "wood")
VARIANTS = [
    (termination, flashing, wall)
    for termination, flashing, wall in product(
        ("reglet", "surface", "coping"),
        ("foil", "granule-in-cement"),
        ("masonry", "concrete", "stud"),
    )
    if (termination, wall) != ("reglet", "stud")
]
GIVEN = {
    "cant_height": mm("4 in"),
    "cant_run": mm("5 in"),
    "strip_in_out": mm("3 1/2 in"),
    "strip_in_up": mm("2 1/2 in"),
    "flashing_reach": mm("6 in"),
    "flashing_height": mm("12 in"),
    "prepared_band": mm("7 in"),
    "counterflashing_lap": mm("3 1/2 in"),
    "reglet_height": mm("14 in"),
    "reglet_depth": mm("1 1/2 in"),
    "wall_height": mm("22 in"),
    "upper_lap": mm("4 1/2 in"),
    "coping_face": mm("1 1/2 in"),
}
near = pytest.approx


@pytest.fixture(params=VARIANTS, ids=["-".join(v) for v in VARIANTS])
def variant(request):
    return request.param


@pytest.fixture
def sections(variant):
    """One variant on every deck, and falling every way."""
    return every_roof(*variant)


@cache
def every_roof(termination, flashing, wall):
    roof = {"slope": "1/2 in per ft", "insulation": ("2 in",), "cover_board": "1/2 in"}
    choices = {"termination": termination, "flashing": flashing, "wall": wall}
    turn = VARIANTS.index((termination, flashing, wall)) % 3  # so that all nine come up
    return [
        build("wall", site(deck=deck, **roof), fall=fall, **choices, **GIVEN)
        for deck, fall in zip(DECKS, FALLS[turn:] + FALLS[:turn], strict=True)
    ]


# --- datums, measured on the polygons ---


def test_heights_count_from_the_finish_ply_at_the_toe(sections):
    for section in sections:
        toe, datum = section.points["cant.toe"], section.points["roof.datum"]
        assert datum[0] == toe[0]
        # on the flat beside the toe: three sheets lie there, base, strip-in and finish
        beside = toe[0] - 20.0
        _, top = upright(section, "finish-ply", beside)
        assert top + section.slope * 20.0 == near(datum[1])
        assert body(section, "flashing").region.bounds[3] - datum[1] == near(mm("12 in"))
        assert section.points["flashing.top"][1] - datum[1] == near(mm("12 in"))


def test_reaches_count_from_the_toe_of_the_bare_cant(sections):
    for section in sections:
        toe = section.points["cant.toe"]
        assert toe == near((-mm("5 in"), -mm("5 in") * section.slope))
        assert min(dist(toe, q) for q in corners(section, "cant")) < 1e-6
        for body_id, point, reach in (
            ("strip-in", "strip.outer", "3 1/2 in"),
            ("flashing", "flashing.outer", "6 in"),
        ):
            outer = section.points[point]
            assert toe[0] - outer[0] == near(mm(reach), abs=1e-6)
            assert on_outline(section, body_id, outer) < 1e-6
            left = body(section, body_id).region.bounds[0]
            lean = body(section, body_id).thickness * max(section.slope, 0.0)
            assert outer[0] - lean - 1e-6 <= left <= outer[0] + 1e-6
        band = [c for c in section.coats if c.id == "prepared-band"]
        assert min(c.line.bounds[0] for c in band) == near(toe[0] - mm("7 in"), abs=1e-6)
        assert {c.body for c in band} == {"finish-ply"}


def test_the_strip_in_rises_from_the_top_of_the_bare_cant(sections):
    for section in sections:
        top = section.points["cant.top"]
        assert top == (0.0, near(mm("4 in")))
        assert on_outline(section, "cant", top) < 1e-9
        assert body(section, "strip-in").region.bounds[3] - top[1] == near(mm("2 1/2 in"))
        # the base ply ends at the top of the cant, against the wall
        assert on_outline(section, "base-ply", top) < 1e-6
        low, high = upright(section, "base-ply", -0.01)
        assert low == near(top[1], abs=0.02)
        assert body(section, "base-ply").region.bounds[3] == near(high, abs=0.02)


def test_every_sheet_has_its_thickness_over_the_field_and_on_the_wall(sections):
    for section in sections:
        left = section.extent.bounds[0] + 5.0
        for body_id in ("base-ply", "finish-ply"):
            low, high = upright(section, body_id, left)
            level = hypot(1.0, section.slope)
            assert high - low == near(
                CATALOG.material(body(section, body_id).material).thickness * level
            )
        flashing = body(section, "flashing")
        y = section.points["flashing.top"][1] - 30.0
        across = flashing.region.intersection(LineString([(-90.0, y), (50.0, y)]))
        assert across.length == near(flashing.thickness)


def test_the_flashing_sheet_lies_on_the_wall_through_all_its_height(sections):
    for section in sections:
        stays = joined(section, "flashing", _face(section))
        stays |= joined(section, "flashing", "flashing-cement")
        held = sum(v for k, v in stays.items() if Bond(k) in ADHERED)
        on_wall = mm("12 in") - mm("4 in") - mm("2 1/2 in") - 20.0
        assert held > on_wall


def _face(section):
    return next(
        b.id for b in section.bodies if b.id in {"wall-board", "wall-sheathing", "wall"}
    )


# --- terminations ---


def test_the_counterflashing_laps_the_sheet_and_springs_against_it(sections, variant):
    if variant[0] == "coping":
        return
    for section in sections:
        metal, top = body(section, "counterflashing"), section.points["flashing.top"][1]
        hem = section.points["cf.hem"][1]
        assert metal.region.bounds[1] == near(hem)
        assert top - hem == near(mm("3 1/2 in"))
        flashing = body(section, "flashing")
        gap = metal.region.distance(flashing.region)
        assert gap < (1e-6 if variant[1] == "foil" else 0.25)
        # it stands out over the sheet's top edge all the way down
        y = (top + hem) / 2.0
        probe = LineString([(-200.0, y), (0.0, y)])
        assert metal.region.intersection(probe).bounds[2] <= (
            flashing.region.intersection(probe).bounds[0] + 1e-6
        )


def test_the_reglet_is_as_high_and_deep_as_asked(sections, variant):
    if variant[0] != "reglet":
        return
    for section in sections:
        datum = section.points["roof.datum"][1]
        mouth = section.points["reglet.mouth"]
        assert mouth == (0.0, near(datum + mm("14 in")))
        assert on_outline(section, "wall", mouth) < 1e-6
        assert not body(section, "wall").region.contains(Point(20.0, mouth[1] + 4.0))
        metal = body(section, "counterflashing")
        assert metal.region.bounds[2] == near(mm("1 1/2 in"))
        assert metal.region.bounds[3] <= mouth[1] + mm("3/8 in") + 1e-6
        bead = body(section, "reglet-sealant")
        assert (
            bead.region.touches(metal.region) or bead.region.distance(metal.region) < 1e-6
        )
        assert {j.lower for j in section.joints if j.upper == bead.id} == {
            "wall", "counterflashing",
        }  # fmt: skip


def test_the_bar_lies_over_the_metal_and_its_fastener_reaches_the_wall(sections, variant):
    if variant[0] != "surface":
        return
    for section in sections:
        datum = section.points["roof.datum"][1]
        bar = body(section, "termination-bar")
        x0, y0, x1, y1 = bar.region.bounds
        assert (x1 - x0, y1 - y0) == (near(mm("1/8 in")), near(mm("1 in")))
        assert y0 == near(datum + mm("14 in"))
        assert y1 == near(section.points["bar.top"][1])
        screw = body(section, "bar-fastener-1")
        assert {"termination-bar", "counterflashing", _face(section)} <= set(screw.pierces)
        assert screw.region.bounds[2] > mm("1 in")
        assert {j.lower for j in section.joints if j.upper == "bar-sealant"} == {
            _face(section), "counterflashing",
        }  # fmt: skip


def test_the_upper_sheet_laps_the_lower_and_goes_over_the_wall(sections, variant):
    if variant[0] != "coping":
        return
    for section in sections:
        datum, top = section.points["roof.datum"][1], section.points["flashing.top"][1]
        upper = body(section, "upper-flashing")
        roof_side = upper.region.intersection(
            LineString([(-30.0, -1e3), (-1.0, 1e4)]).envelope
        )
        assert top - roof_side.bounds[1] == near(mm("4 1/2 in"))
        assert section.points["upper.bottom"][1] == near(top - mm("4 1/2 in"))
        blocking = body(section, "blocking")
        assert (0.0, near(datum + mm("22 in"))) in corners(section, "blocking")
        assert section.points["blocking.top"] == (0.0, near(datum + mm("22 in")))
        # outside it covers the joint of blocking and wall, as far down as the coping's face
        wall = body(section, "wall").region.bounds[2]
        beyond = [y for x, y in corners(section, "upper-flashing") if x > wall - 1e-6]
        assert min(beyond) < blocking.region.bounds[1] - mm("1/4 in")
        assert min(beyond) == near(section.points["coping.face"][1], abs=1e-6)
        assert body(section, "coping").region.bounds[1] < min(beyond)
        lower = "flashing" if variant[1] == "foil" else "upper-cement"
        assert joined(section, "upper-flashing", lower)


def test_the_coping_covers_the_top_and_falls_to_the_roof(sections, variant):
    if variant[0] != "coping":
        return
    for section in sections:
        coping, cleat = body(section, "coping"), body(section, "coping-cleat")
        wall = body(section, "wall").region.bounds
        joint = section.points["wall.joint"]
        assert joint == near((wall[2], wall[3]))
        face = section.points["coping.face"]
        assert joint[1] - face[1] >= mm("1 1/2 in") - 1e-6
        assert on_outline(section, "coping", (face[0], face[1])) < 1.0
        # hooked over the cleat, clear of the wall
        assert coping.region.bounds[1] < cleat.region.bounds[1]
        assert coping.region.bounds[2] > cleat.region.bounds[2]
        assert coping.region.intersection(body(section, "wall").region).is_empty
        high = [
            x for x, y in corners(section, "coping") if y > coping.region.bounds[3] - 0.5
        ]
        assert min(high) > wall[2]  # highest on the outside: it falls toward the roof
        screw = body(section, "coping-screw-1")
        assert {"coping", "upper-flashing", "blocking"} <= set(screw.pierces)


# --- order of building, joints, materials ---


def test_bodies_stand_in_the_order_of_building(sections):
    for section in sections:
        stages = [b.stage for b in section.bodies if b.role is not Role.FASTENER]
        assert stages == sorted(stages)
        numbers = [s.number for s in section.stages]
        assert numbers == sorted(set(numbers))
        assert {b.stage for b in section.bodies} - {0} <= set(numbers)
        assert {c.stage for c in section.coats} <= set(numbers)
        built = {b.id: b.stage for b in section.bodies}
        assert all(built[j.upper] >= built[j.lower] for j in section.joints)
        sheets = [b.role for b in section.of_role(*SHEETS)]
        order = [Role.BASE_PLY, Role.STRIP_IN, Role.FINISH_PLY, Role.FLASHING]
        assert sheets[:4] == order
        assert sum(s.hold for s in section.stages) == 1
        hold = next(s.number for s in section.stages if s.hold)
        assert body(section, "strip-in").stage == hold < body(section, "finish-ply").stage


def test_the_base_ply_is_loose_over_the_cant_and_all_else_is_stuck(sections):
    for section in sections:
        face = LineString([section.points["cant.toe"], section.points["cant.top"]]).length
        assert joined(section, "base-ply", "cant") == {Bond.DRY.value: near(face)}
        assert set(joined(section, "cant", "cover-board")) == {Bond.DRY.value}
        for j in section.joints:
            if j.upper in {"strip-in", "finish-ply", "flashing", "upper-flashing"}:
                assert j.bond in ADHERED, j
        course = body(section, "strip-in").course.length
        told = sum(j.line.length for j in section.joints if j.upper == "strip-in")
        assert told == near(course, abs=1e-4)
        assert body(section, "flashing").course.length > 0


def test_joints_and_coats_lie_on_the_bodies_they_name(sections):
    for section in sections:
        for j in section.joints:
            for body_id in (j.upper, j.lower):
                assert all(on_outline(section, body_id, q) < 1e-3 for q in j.line.coords), j
        for coat in section.coats:
            assert all(on_outline(section, coat.body, q) < 1e-3 for q in coat.line.coords)


def test_the_wall_is_primed_from_the_cant_up(sections, variant):
    for section in sections:
        coats = [c for c in section.coats if c.id == "wall-primer"]
        low = min(c.line.bounds[1] for c in coats)
        high = max(c.line.bounds[3] for c in coats)
        assert low == near(section.points["cant.top"][1])
        top = section.points["flashing.top"][1]
        assert high == near(
            section.points["blocking.top"][1] if variant[0] == "coping" else top
        )
        assert {c.stage for c in coats} == {1}


def test_nothing_is_torched_onto_what_burns(sections):
    for section in sections:
        for j in section.joints:
            below = CATALOG.material(body(section, j.lower).material)
            assert j.bond is not Bond.TORCHED or not below.combustible


def test_no_pocket_is_closed_that_is_not_meant(sections):
    for section in sections:
        assert pockets(section) == []
        for hollow in section.hollows:
            assert hollow.is_valid
            assert all(
                b.region.intersection(hollow).area < 1e-3 or b.role is Role.FASTENER
                for b in section.bodies
            )


def test_metals_keep_their_thickness_in_every_leg(sections):
    for section in sections:
        for metal in section.of_role(*METALS):
            if metal.course is None:
                continue
            assert metal.region.area == near(
                metal.course.length * metal.thickness, rel=2e-3
            ), metal.id


# --- defaults and special cases ---


@pytest.mark.parametrize("adhesion", list(Method))
@pytest.mark.parametrize("deck", DECKS)
def test_the_first_sheet_sticks_as_the_deck_allows(adhesion, deck):
    section = build("wall", site(deck=deck, insulation=(), adhesion=adhesion))
    bonds = set(joined(section, "base-ply", "deck"))
    usual = {
        Method.TORCH: Bond.TORCHED,
        Method.HOT_ASPHALT: Bond.HOT_ASPHALT,
        Method.COLD_ADHESIVE: Bond.COLD_ADHESIVE,
    }[adhesion]
    nailed = adhesion is Method.TORCH and deck == "wood"
    assert bonds == {(Bond.FASTENED if nailed else usual).value}
    assert section.method is adhesion


def test_a_stud_wall_has_a_board_under_a_torch_only():
    torched = build("wall", site(adhesion="torch"), wall="stud", termination="surface")
    board = body(torched, "wall-board")
    assert not CATALOG.material(board.material).combustible
    assert board.region.bounds[0] == 0.0
    assert board.region.bounds[2] == body(torched, "wall-sheathing").region.bounds[0]
    assert set(joined(torched, "flashing", "wall-board")) == {Bond.TORCHED.value}
    asphalt = build("wall", site(adhesion="hot asphalt"), wall="stud")
    assert asphalt.body("wall-board") is None
    assert body(asphalt, "wall-sheathing").region.bounds[0] == 0.0
    assert "surface" in asphalt.variant


def test_the_default_cant_does_not_burn_and_lies_at_45_degrees():
    section = build("wall")
    cant = body(section, "cant")
    assert not CATALOG.material(cant.material).combustible
    (x0, y0), (x1, y1) = section.points["cant.toe"], section.points["cant.top"]
    run, rise = x1 - x0, y1 - y0
    assert run == near(rule("cant_height_least"))
    assert y1 == near(rule("cant_height_least"))
    assert rise == near(run + section.slope * run)  # the roof falls away from the wall


@pytest.mark.parametrize("adhesion", list(Method))
def test_the_flashing_sheet_follows_the_method(adhesion):
    section = build("wall", site(adhesion=adhesion))
    foil = adhesion is Method.TORCH
    assert (body(section, "flashing").material == "flashing-foil") is foil
    assert (section.body("flashing-cement") is None) is foil
    assert (section.body("top-fastener-1") is None) is foil


def test_a_cement_set_sheet_is_in_cement_on_the_whole_and_fastened_at_its_top():
    section = build("wall", flashing="granule-in-cement")
    assert set(joined(section, "flashing", "flashing-cement")) == {Bond.CEMENT.value}
    below = [j for j in section.joints if j.upper == "flashing-cement"]
    assert {j.bond for j in below} == {Bond.CEMENT}
    lengths = body(section, "flashing").course.length, sum(j.line.length for j in below)
    assert lengths[0] == near(lengths[1], rel=0.03)
    screw = body(section, "top-fastener-1")
    assert {"flashing", "flashing-cement", "wall"} <= set(screw.pierces)
    y0, y1 = screw.region.bounds[1], screw.region.bounds[3]
    assert section.points["flashing.top"][1] - (y0 + y1) / 2.0 == near(mm("1 in"))
    assert screw.region.bounds[2] >= mm("1 in")


@pytest.mark.parametrize(
    ("height", "rows"), [("24 in", 0), ("24 1/4 in", 1), ("48 in", 1), ("49 in", 2)]
)
def test_a_tall_sheet_has_rows_of_fasteners_between(height, rows):
    """Rows where the sheet is taller than 24 in: common practice, from memory."""
    section = build("wall", flashing_height=mm(height))
    found = [b for b in section.bodies if b.id.startswith("middle-fastener")]
    assert len(found) == rows
    datum, top = section.points["roof.datum"][1], section.points["flashing.top"][1]
    levels = [
        datum,
        *sorted((b.region.bounds[1] + b.region.bounds[3]) / 2 for b in found),
        top,
    ]
    assert max(b - a for a, b in pairwise(levels)) <= mm("24 in") + 1e-6
    marks = section.layout("wall-elevation").marks
    assert len({m.at[1] for m in marks if m.row == 2}) == rows


def test_the_hem_is_raised_clear_of_the_sheets_on_the_cant():
    """With a lap that would run down over the cant, the metal stays off the sheets."""
    section = build(
        "wall", cant_height=mm("5 in"), flashing_height=mm("8 in"),
        counterflashing_lap=mm("3 in"),
    )  # fmt: skip
    metal = body(section, "counterflashing").region
    for body_id in ("flashing", "finish-ply"):
        assert metal.intersection(body(section, body_id).region).area < 1e-9
    assert section.points["flashing.top"][1] - section.points["cf.hem"][1] <= mm("3 in")


@pytest.mark.parametrize(
    "layers", [(), ("2 in",), ("1 1/2 in", "2 in"), ("1 in", "1 in", "1 in")]
)
@pytest.mark.parametrize("board", [None, "1/2 in"])
def test_boards_lie_one_on_another_up_to_the_membrane(layers, board):
    section = build("wall", site(insulation=layers, cover_board=board, slope="0 %"))
    names = [f"insulation-{i + 1}" for i in range(len(layers))]
    names += ["cover-board"] if board else []
    level = -sum(mm(t) for t in (*layers, *([board] if board else [])))
    assert body(section, "deck").region.bounds[3] == near(level, abs=1e-9)
    for name, thick in zip(names, (*layers, *([board] if board else [])), strict=True):
        low, high = upright(section, name, -50.0)
        assert (low, high) == (near(level, abs=1e-9), near(level + mm(thick), abs=1e-9))
        level += mm(thick)
    assert level == near(0.0, abs=1e-9)
    lies_on = {j.lower for j in section.joints if j.upper == "base-ply"}
    assert lies_on == {names[-1] if names else "deck", "cant"}


@pytest.mark.parametrize("depth", ["1 1/2 in", "3 in"])
def test_a_fluted_deck_spans_its_depth_and_declares_its_flutes(depth):
    section = build("wall", site(deck="steel", deck_thickness=depth, slope="0 %"))
    deck = body(section, "deck")
    low, high = deck.region.bounds[1], deck.region.bounds[3]
    assert high - low == near(mm(depth))
    assert deck.region.area == near(
        sum(dist(a, b) for a, b in pairwise(deck.region.exterior.coords))
        * deck.thickness
        / 2,
        rel=0.02,
    )
    assert len(section.hollows) >= 2
    slab = (section.extent.bounds[2] and -section.extent.bounds[0]) * mm(depth)
    flutes = [h for h in section.hollows if h.bounds[3] <= high + 1e-6]
    assert sum(h.area for h in flutes) + deck.region.area == near(slab, rel=1e-6)


# --- the elevation of the pieces ---


def test_pieces_hang_from_the_low_point_and_lap():
    section = build("wall", site(roll_width="36 in"), flashing_height=mm("10 in"))
    view = section.layout("wall-elevation")
    pieces = sorted(view.of_role(Role.FLASHING), key=lambda p: p.region.bounds[0])
    assert len(pieces) == 3
    for one, two in pairwise(pieces):
        lap = one.region.bounds[2] - two.region.bounds[0]
        assert lap == near(rule("flashing_side_lap_least"))
        # water runs to the low point at the left: the piece uphill lies over the one below
        assert two.level > one.level
    assert view.downhill == (-1.0, 0.0)
    for piece in pieces:
        x0, y0, x1, y1 = piece.region.bounds
        assert (x1 - x0, y0, y1) == (near(mm("36 in")), 0.0, near(mm("10 in")))
    metal = view.of_role(Role.COUNTERFLASHING)
    assert metal[0].region.bounds[2] - metal[1].region.bounds[0] == near(
        rule("counterflashing_end_lap_least")
    )


@pytest.mark.parametrize(
    ("given", "row", "most"),
    [
        ({"flashing": "granule-in-cement", "top_fastener_spacing": mm("6 in")}, 1, "6 in"),
        ({"flashing": "granule-in-cement"}, 1, "8 in"),
        ({"termination": "surface", "bar_fastener_spacing": mm("10 in")}, 3, "10 in"),
    ],
)
def test_fasteners_along_the_wall_are_as_far_apart_as_asked(given, row, most):
    view = build("wall", **given).layout("wall-elevation")
    xs = sorted(m.at[0] for m in view.marks if m.row == row)
    gaps = [b - a for a, b in pairwise(xs)]
    assert max(gaps) == near(mm(most))
    length = max(p.region.bounds[2] for p in view.parts)
    assert xs[0] <= mm("1 in") + 1e-6
    assert length - xs[-1] <= mm("1 in") + 1e-6


def test_two_pieces_of_a_coped_wall_have_their_seams_apart():
    view = build("wall", termination="coping").layout("wall-elevation")
    below = {p.region.bounds[0] for p in view.of_role(Role.FLASHING)}
    above = {p.region.bounds[0] for p in view.of_role(Role.UPPER_FLASHING)}
    inner = [x for x in above if x > 1.0]
    assert min(abs(a - b) for a in inner for b in below) > mm("6 in")


# --- parameters that cannot stand together ---


IMPOSSIBLE = [
    (
        {"wall": "stud", "termination": "reglet"},
        "termination", "reglet", {"termination": "surface"},
    ),
    (
        {"cant_height": mm("6 in"), "flashing_height": mm("7 in"),
         "strip_in_up": mm("1/2 in"), "counterflashing_lap": mm("1/2 in")},
        "cant_height", "cant is as tall", {"cant_height": mm("3 1/2 in")},
    ),
    (
        {"flashing_height": mm("8 in"), "strip_in_up": mm("6 in")},
        "strip_in_up", "strip-in ply ends higher", {"strip_in_up": mm("2 in")},
    ),
    (
        {"termination": "coping", "flashing_height": mm("20 in"),
         "wall_height": mm("21 in")},
        "flashing_height", "taller than the wall", {"wall_height": mm("22 in")},
    ),
    (
        {"termination": "coping", "flashing_height": mm("8 in"), "upper_lap": mm("8 in")},
        "upper_lap", "lap down onto the cant", {"flashing_height": mm("13 in")},
    ),
    (
        {"flashing_height": mm("12 in"), "reglet_height": mm("12 1/2 in")},
        "flashing_height", "reaches above", {"reglet_height": mm("13 in")},
    ),
    (
        {"termination": "surface", "flashing_height": mm("12 in"),
         "reglet_height": mm("13 in")},
        "flashing_height", "reaches above", {"reglet_height": mm("13 1/2 in")},
    ),
    (
        {"flashing_height": mm("8 in"), "counterflashing_lap": mm("6 in")},
        "counterflashing_lap", "run down over the cant",
        {"counterflashing_lap": mm("4 in")},
    ),
]  # fmt: skip


@pytest.mark.parametrize(
    ("given", "key", "words", "mend"),
    IMPOSSIBLE,
    ids=[f"{i[1]}-{n}" for n, i in enumerate(IMPOSSIBLE)],
)
def test_what_cannot_stand_together_is_told_with_its_mend(given, key, words, mend):
    condition, where = CONDITIONS["wall"], site()
    found = condition.impossible(parameters("wall", **given), where)
    assert len(found) == 1
    (problem,) = found
    assert problem.keys[0] == key
    assert words in problem.message
    assert problem.allowed
    assert problem.mend
    assert set(problem.keys) <= set(condition.parameters.model_fields)
    build("wall", where, **{**given, **mend})


def test_all_that_cannot_stand_is_told_at_once():
    p = parameters(
        "wall", wall="stud", termination="reglet", flashing_height=mm("8 in"),
        counterflashing_lap=mm("7 in"), strip_in_up=mm("6 in"), reglet_height=mm("8 in"),
    )  # fmt: skip
    messages = [f.message for f in CONDITIONS["wall"].impossible(p, site())]
    assert len(messages) == len(set(messages)) == 4


@pytest.mark.parametrize("flashing", ["foil", "granule-in-cement"])
@pytest.mark.parametrize("termination", ["reglet", "surface", "coping"])
def test_every_row_of_the_elevation_is_a_fastener_of_the_section(flashing, termination):
    section = build(
        "wall", flashing=flashing, termination=termination, flashing_height=mm("52 in")
    )
    view = section.layout("wall-elevation")
    rows = {m.row: m.body for m in view.marks}
    assert {2} <= set(rows)
    assert (1 in rows) == (flashing != "foil")
    assert (3 in rows) == (termination == "surface")
    for body_id in rows.values():
        assert body(section, body_id).role is Role.FASTENER
    # and each stands at its height
    datum = section.points["roof.datum"][1]
    levels = {round(m.at[1], 3) for m in view.marks if m.row == 2}
    drawn = [b for b in section.bodies if b.id.startswith("middle-fastener")]
    assert {
        round((b.region.bounds[1] + b.region.bounds[3]) / 2.0 - datum, 3) for b in drawn
    } == levels
