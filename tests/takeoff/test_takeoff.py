"""Takeoff of a small section that can be worked out by hand; arithmetic stands beside."""

from dataclasses import replace

import pytest

from detailgen.catalog import Catalog, load_catalog
from detailgen.errors import UserError
from detailgen.geometry import Line, Region
from detailgen.geometry.regions import box
from detailgen.quantity import Measure, Quantity
from detailgen.section import (
    TOOLS,
    Body,
    Bond,
    Coat,
    Joint,
    LayeredSection,
    Layout,
    Mark,
    Method,
    Part,
    Role,
)
from detailgen.takeoff import COUNTERS, take_off
from detailgen.takeoff._found import GEOMETRY

CATALOG = load_catalog()
RULES = CATALOG.rule_set("common-practice")
MATERIALS = {
    "primer": replace(CATALOG.material("primer"), rate=0.4, rate_unit="L", source="oracle"),
    "hot-asphalt": replace(CATALOG.material("hot-asphalt"), rate=1.2, rate_unit="kg"),
    "cold-adhesive": replace(CATALOG.material("cold-adhesive"), rate=0.8, rate_unit="L"),
    "plastic-cement": replace(CATALOG.material("plastic-cement"), rate=0.0, thickness=2.0),
    "galvanized-24": replace(CATALOG.material("galvanized-24"), mass=5.0),
    "lumber-2x": CATALOG.material("lumber-2x"),
}
DATA = replace(CATALOG, materials=MATERIALS)


def _body(body_id: str, role: Role, region: Region, material: str = "m", **rest) -> Body:
    return Body(body_id, role, material, region, 1, body_id, **rest)


def _section(*bodies: Body, **rest) -> LayeredSection:
    """Return a section drawn from x = -1000 to 100, y = -100 to 400."""
    known = {
        "kind": "wall",
        "variant": "",
        "joints": (),
        "coats": (),
        "points": {},
        "gauges": (),
        "stages": (),
        "method": Method.TORCH,
        "slope": 0.02,
        "extent": box(-1000, -100, 100, 400),
    }
    return LayeredSection(bodies=bodies, **{**known, **rest})


def _line(*points: tuple[float, float]) -> Line:
    return Line(points)


def _find(section: LayeredSection, quantity_id: str, catalog: Catalog = DATA) -> Quantity:
    found = [q for q in take_off(section, catalog, RULES) if q.id == quantity_id]
    assert len(found) == 1, [q.id for q in found]
    return found[0]


BASE = _body(
    "base-ply",
    Role.BASE_PLY,
    box(-1000, 0, 0, 2),
    thickness=2.0,
    course=_line((-1000, 0), (0, 0)),
)
STRIP = _body(
    "strip-in",
    Role.STRIP_IN,
    box(-300, 2, 0, 4),
    thickness=2.0,
    course=_line((-300, 2), (0, 2)),
)


def test_a_strip_is_counted_over_its_whole_course():
    found = _find(_section(BASE, STRIP), "strip-in")
    assert found.measure is Measure.AREA
    assert found.amount == pytest.approx(0.3)  # 300 mm x 1 m
    assert found.source == GEOMETRY
    assert found.bodies == ("strip-in",)


def test_a_field_ply_is_counted_from_where_the_condition_starts():
    # The strip starts at x = -300: 300 of the ply's 1000 mm belong to the condition.
    assert _find(_section(BASE, STRIP), "base-ply").amount == pytest.approx(0.3)
    # A prepared band that reaches further out moves the start.
    band = Coat("band", "Primer on the band", "base-ply", _line((-420, 2), (-300, 2)), 1)
    section = _section(BASE, STRIP, coats=(band,))
    assert _find(section, "base-ply").amount == pytest.approx(0.42)


def test_a_field_ply_alone_is_counted_as_drawn():
    assert _find(_section(BASE), "base-ply").amount == pytest.approx(1.0)


def test_how_much_field_is_drawn_does_not_matter():
    short = replace(BASE, region=box(-600, 0, 0, 2), course=_line((-600, 0), (0, 0)))
    long, less = (
        _section(BASE, STRIP),
        _section(short, STRIP, extent=box(-600, -100, 100, 400)),
    )
    assert _find(long, "base-ply").amount == _find(less, "base-ply").amount


def test_end_laps_are_added_to_what_is_ordered():
    assert RULES.value("end_lap_least") == pytest.approx(152.4)  # 6 in
    # 0.3 m2 x 10 000 / (10 000 - 152.4) = 0.3046 m2
    formula = _find(_section(STRIP), "strip-in").formula
    assert "order 0.305 m2" in formula
    assert "side laps" not in formula


def test_a_field_ply_has_side_laps_too():
    assert RULES.value("side_lap_least") == pytest.approx(76.2)  # 3 in
    # 0.3 m2 x 10 / (0.9238 x 9.8476) = 0.3 x 10 / 9.0972 = 0.3298 m2
    formula = _find(_section(BASE, STRIP), "base-ply").formula
    assert "order 0.330 m2" in formula
    assert "side laps of 0.076 m" in formula


def test_a_sheet_over_a_corner_is_as_wide_as_its_course():
    # 100 mm on the roof and 50 mm up, a 3-4-5 slope between: 100 + 50 + 50 = 200 mm.
    course = _line((-140, 0), (-40, 0), (0, 30), (0, 80))
    region = course.buffer(2.0, cap_style="flat", join_style="mitre", single_sided=True)
    sheet = _body("flashing", Role.FLASHING, region, thickness=2.0, course=course)
    assert _find(_section(sheet), "flashing").amount == pytest.approx(0.2)


def test_a_sheet_that_was_cut_after_laying_is_counted_by_its_area():
    cut = replace(STRIP, region=box(-300, 2, -180, 4))  # 120 mm are left
    found = _find(_section(cut), "strip-in")
    assert found.amount == pytest.approx(0.12)
    assert "section area" in found.formula


def test_a_sheet_without_a_course_is_counted_by_its_area():
    bare = replace(STRIP, course=None)
    assert _find(_section(bare), "strip-in").amount == pytest.approx(0.3)


def _elevation(*spans: tuple[float, float], role: Role = Role.FLASHING) -> Layout:
    parts = tuple(
        Part(f"piece-{i}", role, "piece", box(a, 0, b, 200), i)
        for i, (a, b) in enumerate(spans)
    )
    return Layout("wall-elevation", "Wall", parts)


def _flashing() -> Body:
    return replace(STRIP, id="flashing", role=Role.FLASHING)


def test_wall_pieces_take_their_side_laps_from_the_elevation():
    # Pieces 1000 mm wide that start 920 mm apart: 0.3 m2 x 1000 / 920 = 0.326 m2
    section = _section(
        _flashing(), layouts=(_elevation((0, 1000), (920, 1920), (1840, 2840)),)
    )
    found = _find(section, "flashing")
    assert found.amount == pytest.approx(0.3)
    assert "order 0.326 m2" in found.formula


@pytest.mark.parametrize(
    "layout", [_elevation((0, 1000)), _elevation((0, 900), (800, 1700), role=Role.BASE_PLY)]
)
def test_a_wall_sheet_whose_laps_are_not_shown_has_end_laps(layout):
    assert "end laps" in _find(_section(_flashing(), layouts=(layout,)), "flashing").formula


def test_a_cant_is_a_metre_for_each_metre():
    cant = _body("cant", Role.CANT, Region([(-90, 0), (0, 0), (0, 90)]))
    found = _find(_section(cant), "cant")
    assert (found.measure, found.amount) == (Measure.LENGTH, 1.0)
    assert "40.5 cm2" in found.formula  # 90 x 90 / 2 = 4050 mm2


def test_equal_nailers_share_a_line_and_a_shim_has_its_own():
    first = _body("nailer-1", Role.NAILER, box(-140, -38, 0, 0), "lumber-2x")
    second = _body("nailer-2", Role.NAILER, box(-140, -76, 0, -38), "lumber-2x")
    shim = _body("shim-1", Role.SHIM, box(-140, -88, 0, -76), "lumber-2x")
    section = _section(first, second, shim)
    nailers, shims = _find(section, "nailer-1"), _find(section, "shim-1")
    assert (nailers.measure, nailers.amount) == (Measure.LENGTH, 2.0)
    assert nailers.bodies == ("nailer-1", "nailer-2")
    assert shims.amount == 1.0
    volume = _find(section, "lumber-2x-volume")
    # 140 x (38 + 38 + 12) = 12 320 mm2, x 1 m = 12.32 L; / 2.3597 = 5.22 board feet
    assert volume.amount == pytest.approx((12.32) / 1000)
    assert "5.22 board feet" in volume.formula


def test_wood_that_leans_with_the_roof_is_as_thick_as_it_is():
    # 140 mm wide, 38 mm thick, its right end 3 mm higher: the box is 41 mm high.
    leaning = Region([(-140, -38), (0, -35), (0, 3), (-140, 0)])
    found = _find(
        _section(_body("nailer-1", Role.NAILER, leaning, "lumber-2x")), "nailer-1"
    )
    assert "section 140.0 x 38.0 mm" in found.formula


def test_metal_by_girth_and_its_mass_by_material():
    face = _body(
        "edge-metal",
        Role.EDGE_METAL,
        box(-100, 0, 100, 0.7),
        "galvanized-24",
        thickness=0.7,
        course=_line((-100, 0.35), (100, 0.35)),
    )
    cleat = replace(
        face,
        id="cleat",
        role=Role.CLEAT,
        region=box(0, 0, 80, 0.7),
        course=_line((0, 0), (80, 0)),
    )
    section = _section(face, cleat)
    assert _find(section, "edge-metal").amount == pytest.approx(0.2)
    assert _find(section, "cleat").amount == pytest.approx(0.08)
    mass = _find(section, "galvanized-24-mass")
    # (0.200 + 0.080) m2 x 5 kg/m2
    assert (mass.measure, mass.amount) == (Measure.MASS, pytest.approx(1.4))
    assert mass.source == DATA.material("galvanized-24").source
    assert mass.bodies == ("edge-metal", "cleat")


def test_no_mass_is_told_where_the_catalogue_knows_none():
    light = replace(DATA.material("galvanized-24"), mass=0.0)
    data = replace(DATA, materials={**MATERIALS, "galvanized-24": light})
    face = _body(
        "edge-metal", Role.EDGE_METAL, box(0, 0, 90, 1), "galvanized-24", thickness=1.0
    )
    assert {q.id for q in take_off(_section(face), data, RULES)} == {"edge-metal"}


def test_a_coat_over_two_bodies_is_one_line():
    coats = (
        Coat("band", "Primer on the band", "base-ply", _line((-250, 2), (-100, 2)), 1),
        Coat("band", "Primer on the band", "strip-in", _line((-100, 4), (0, 4)), 1),
    )
    found = _find(_section(BASE, STRIP, coats=coats), "band")
    # (150 + 100) mm x 1 m x 0.4 L/m2 = 0.1 L
    assert (found.measure, found.amount) == (Measure.VOLUME, pytest.approx(0.1))
    assert found.source == "oracle"
    assert found.label == "Primer on the band"
    assert found.bodies == ("base-ply", "strip-in")
    assert "0.4 L/m2" in found.formula


def test_a_coat_on_both_faces_is_named_once():
    coats = (
        Coat("flange", "Primer on the flange, top", "metal", _line((-100, 4), (0, 4)), 1),
        Coat(
            "flange",
            "Primer on the flange, underside",
            "metal",
            _line((-100, 3), (0, 3)),
            1,
        ),
    )
    found = _find(_section(BASE, STRIP, coats=coats), "flange")
    # (100 + 100) mm x 1 m x 0.4 L/m2 = 0.08 L
    assert (found.label, found.amount) == ("Primer on the flange", pytest.approx(0.08))


def test_a_coat_that_does_not_say_so_is_called_primer():
    name = "Prepared band: granules primed, or warmed and pressed in"
    coats = (Coat("band", name, "base-ply", _line((-250, 2), (0, 2)), 1),)
    found = _find(_section(BASE, STRIP, coats=coats), "band")
    assert found.label == "Prepared band, primer"


def test_a_bed_of_cement_is_counted_once_by_its_section():
    bed = _body(
        "flashing-cement", Role.CEMENT, box(-200, 0, 0, 3), "plastic-cement", thickness=3.0
    )
    flashing = replace(
        _flashing(), region=box(-200, 3, 0, 5), course=_line((-200, 3), (0, 3))
    )
    joints = (
        Joint("flashing-cement", "base-ply", _line((-200, 0), (0, 0)), Bond.CEMENT),
        Joint("flashing", "flashing-cement", _line((-200, 3), (0, 3)), Bond.CEMENT),
    )
    section = _section(BASE, bed, flashing, joints=joints)
    # 200 x 3 = 600 mm2, x 1 m = 0.6 L; its two joints add nothing
    assert _find(section, "flashing-cement").amount == pytest.approx(0.6)
    assert not [q for q in take_off(section, DATA, RULES) if q.id.startswith("spread")]


@pytest.mark.parametrize(
    ("bond", "quantity_id", "measure", "amount"),
    [
        (Bond.HOT_ASPHALT, "spread-bitumen", Measure.MASS, 0.36),  # 0.3 m2 x 1.2 kg/m2
        (Bond.COLD_ADHESIVE, "spread-adhesive", Measure.VOLUME, 0.24),  # 0.3 m2 x 0.8 L/m2
        (Bond.CEMENT, "spread-cement", Measure.VOLUME, 0.6),  # 0.3 m2 x 2 mm = 2 L/m2
    ],
)
def test_what_is_spread_between_sheets(bond, quantity_id, measure, amount):
    # The joint runs on into the field; 300 mm of it belong to the condition.
    joints = (Joint("strip-in", "base-ply", _line((-900, 2), (0, 2)), bond),)
    found = _find(_section(BASE, STRIP, joints=joints), quantity_id)
    assert (found.measure, found.amount) == (measure, pytest.approx(amount))
    assert found.bodies == ("strip-in",)


def test_a_joint_in_the_field_takes_nothing():
    joints = (Joint("strip-in", "base-ply", _line((-900, 2), (-400, 2)), Bond.HOT_ASPHALT),)
    section = _section(BASE, STRIP, joints=joints)
    assert not [q for q in take_off(section, DATA, RULES) if q.id.startswith("spread")]


@pytest.mark.parametrize("bond", [Bond.TORCHED, Bond.DRY, Bond.SELF_ADHERED, Bond.FASTENED])
def test_a_bond_that_needs_nothing_spread(bond):
    joints = (Joint("strip-in", "base-ply", _line((-300, 2), (0, 2)), bond),)
    section = _section(BASE, STRIP, joints=joints)
    assert not [q for q in take_off(section, DATA, RULES) if q.id.startswith("spread")]


def test_a_material_without_a_rate_is_passed_over():
    unrated = replace(DATA.material("primer"), id="primer-0", rate=0.0)
    data = replace(DATA, materials={"primer-0": unrated, **MATERIALS})
    coats = (Coat("band", "Primer on the band", "base-ply", _line((-250, 2), (0, 2)), 1),)
    found = _find(_section(BASE, STRIP, coats=coats), "band", data)
    assert found.material == "primer"


def test_a_rate_that_the_catalogue_lacks_is_told():
    data = replace(
        DATA, materials={k: v for k, v in MATERIALS.items() if k != "hot-asphalt"}
    )
    joints = (Joint("strip-in", "base-ply", _line((-300, 2), (0, 2)), Bond.HOT_ASPHALT),)
    with pytest.raises(UserError, match="'bitumen' has a rate"):
        take_off(_section(BASE, STRIP, joints=joints), data, RULES)


def test_a_bead_by_its_section():
    bead = _body("edge-bead", Role.BEAD, Region([(0, 0), (10, 0), (0, 10)]))
    found = _find(_section(bead), "edge-bead")
    # 10 x 10 / 2 = 50 mm2, x 1 m = 0.05 L; a cartridge of 298.7 mL runs 5.97 m = 19.6 ft
    assert (found.measure, found.amount) == (Measure.VOLUME, pytest.approx(0.05))
    assert "299 mL cartridge runs 6.0 m (19.6 ft)" in found.formula


def _rows(layout_id: str, *rows: tuple[str, float, list[float]]) -> Layout:
    marks = tuple(
        Mark(Role.FASTENER, (x, level), row, body)
        for row, (body, level, xs) in enumerate(rows)
        for x in xs
    )
    return Layout(layout_id, "", (), marks)


def _nail(body_id: str, x: float) -> Body:
    region = box(x - 1.5, -30, x + 1.5, 0)
    return replace(_body(body_id, Role.FASTENER, region, "flange-nail"), name="Flange nail")


def test_fasteners_by_the_spacing_of_their_rows():
    plan = _rows(
        "flange-plan",
        ("nail-1", 20, [0, 75, 150, 225]),
        ("nail-2", 70, [37.5, 112.5, 187.5]),
    )
    section = _section(_nail("nail-1", -80), _nail("nail-2", -30), layouts=(plan,))
    found = _find(section, "nail-count")
    # two rows at 75 mm: 2 x 1000 / 75 = 26.67, whatever the number of marks in the window
    assert (found.measure, found.amount) == (Measure.COUNT, pytest.approx(2000 / 75))
    assert found.formula.startswith("2 rows: 1 m / 75.0 mm + ")
    assert (found.label, found.material) == ("Flange nail", "flange-nail")
    assert found.bodies == ("nail-1", "nail-2")


def test_rows_of_different_fasteners_are_counted_apart():
    top = _body("top-fastener-1", Role.FASTENER, box(0, 198, 40, 202), "cap-nail")
    bar = _body("bar-fastener-1", Role.FASTENER, box(0, 228, 40, 232), "bar-fastener")
    # The last nail of the stretch stands closer than the rest, which changes nothing.
    wall = _rows(
        "wall-elevation",
        ("top-fastener-1", 190, [0, 200, 400, 600, 650]),
        ("bar-fastener-1", 220, [0, 300, 600]),
    )
    section = _section(top, bar, layouts=(wall,))
    assert _find(section, "top-fastener-count").amount == pytest.approx(5.0)
    assert _find(section, "bar-fastener-count").amount == pytest.approx(1000 / 300)


def test_two_rows_that_share_a_number_stay_two():
    wall = _rows("wall-elevation", ("nail-1", 190, [0, 200, 400]))
    marks = (*wall.marks, *(replace(m, at=(m.at[0], 95.0)) for m in wall.marks))
    section = _section(_nail("nail-1", -80), layouts=(replace(wall, marks=marks),))
    assert _find(section, "nail-count").amount == pytest.approx(10.0)


@pytest.mark.parametrize("body", ["", "elsewhere"])
def test_a_row_that_the_section_does_not_show_is_counted_all_the_same(body):
    plan = _rows("flange-plan", (body, 20, [0, 100, 200]))
    found = _find(_section(_nail("nail-1", -80), layouts=(plan,)), "flange-plan-count")
    assert (found.label, found.material, found.bodies) == ("Fasteners", "", ())
    assert found.amount == pytest.approx(10.0)


@pytest.mark.parametrize(
    "plan",
    [
        _rows("flange-plan", ("nail-1", 20, [40.0])),  # one mark tells no spacing
        _rows("flange-plan", ("nail-1", 20, [40.0, 40.0])),
        Layout("flange-plan", "", ()),
    ],
)
def test_marks_that_cannot_be_counted(plan):
    assert take_off(_section(_nail("nail-1", -80), layouts=(plan,)), DATA, RULES) == ()


def test_decks_walls_and_boards_belong_to_the_roof_field():
    ground = [
        _body(role.name, role, box(-1000, -50, 0, 0))
        for role in (Role.DECK, Role.WALL, Role.INSULATION, Role.COVER_BOARD)
    ]
    assert take_off(_section(*ground), DATA, RULES) == ()


def test_every_role_that_is_bought_has_a_counter():
    assert len(COUNTERS) == len(set(COUNTERS))
    ground = {Role.DECK, Role.WALL, Role.INSULATION, Role.COVER_BOARD, Role.FASTENER}
    for role in set(Role) - ground - TOOLS:
        body = _body("it", role, box(-90, 0, 0, 3), "galvanized-24", thickness=3.0)
        found = take_off(_section(body), DATA, RULES)
        assert any("it" in q.bodies for q in found), role
