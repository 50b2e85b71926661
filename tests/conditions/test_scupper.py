"""The scupper: its floor and head, flanges and what strips them in, and its opening."""

from itertools import pairwise, product

import pytest

from detailgen.conditions import CONDITIONS
from detailgen.geometry.regions import overlap_area
from detailgen.section import Axis, Bond, Method, Role
from tests.conditions.building import (
    DRAWN_THICK,
    body,
    build,
    joined,
    mm,
    on_outline,
    parameters,
    pockets,
    rule,
    site,
    upright,
)

KIND = "scupper"
ROOFS = (
    {},
    {"cover_board": 12.7},
    {"insulation": ()},
    {"insulation": (), "deck": "steel"},
    {"slope": 0.0},
    {"slope": 0.25, "adhesion": Method.COLD_ADHESIVE},
)
USES = ("primary", "overflow")


@pytest.mark.parametrize(
    ("use", "roof", "thick"), list(product(USES, ROOFS, (False, True))), ids=str
)
def test_it_holds_together(use, roof, thick):
    where = site(DRAWN_THICK, **roof) if thick else site(**roof)
    section = build(KIND, where, use=use)
    solids = [b for b in section.bodies if b.role is not Role.FASTENER]
    for i, one in enumerate(solids):
        assert one.region.is_valid
        for two in solids[i + 1 :]:
            assert overlap_area(one.region, two.region) < 1e-4, (one.id, two.id)
    assert pockets(section) == []


@pytest.mark.parametrize("use", USES)
@pytest.mark.parametrize("height", ["4 in", "6 in"])
def test_the_opening_is_clear_all_the_way_through(use, height):
    section = build(KIND, use=use, opening_height=mm(height))
    for x in (1.0, mm("3 in"), mm("7 in")):
        floor, head = upright(section, "liner", x)[1], upright(section, "liner-head", x)[0]
        assert head - floor == pytest.approx(mm(height), abs=0.02)
        below, above = upright(section, "wall-below", x)[1], upright(section, "wall", x)[0]
        assert below < floor < head < above


def test_an_overflow_stands_so_high_above_the_roof_before_it():
    for rise in ("1 in", "2 in", "6 in"):
        section = build(KIND, use="overflow", rise=mm(rise))
        x = section.points["metal.bend"][0] - 15.0
        roof = upright(section, "finish-ply", x)[1]
        floor = upright(section, "liner", mm("4 in"))[1]
        assert floor - roof == pytest.approx(
            mm(rise), abs=0.5
        )  # the roof falls to the wall
        (x0, y0), (x1, y1) = section.points["roof.low"], section.points["sill.top"]
        assert y1 - y0 == pytest.approx(mm(rise))
        assert x0 < x1


def test_the_floor_of_a_scupper_lies_below_the_roof_about_it():
    section = build(KIND)
    edge, floor = section.points["sump.edge"], section.points["sill.top"]
    assert edge[1] - floor[1] > rule("scupper_below_roof_least") - mm("1/4 in")
    assert section.points["sump.edge"][1] - section.points["sump.low"][1] == (
        pytest.approx(mm("24 in") * site().roof.slope + mm("3/4 in"))
    )
    assert body(section, "sump-board").region.bounds[0] == pytest.approx(-mm("24 in"))


def test_without_insulation_there_is_no_sump():
    section = build(KIND, site(insulation=()))
    assert section.body("sump-board") is None
    assert any(n.startswith("No sump") for n in section.notes)
    assert "sump" not in {g.id for g in section.gauges}
    assert section.body("sump-board") is None
    assert build(KIND, use="overflow").body("sump-board") is None


@pytest.mark.parametrize("use", USES)
def test_one_sheet_lies_under_the_roof_flange_and_two_over_it(use):
    section = build(KIND, use=use)
    x = section.points["metal.bend"][0] - mm("1 in")
    order = ["base-ply", "flange-cement", "liner", "target", "finish-ply"]
    levels = [upright(section, b, x) for b in order]
    for (_, top), (low, _) in pairwise(levels):
        assert low == pytest.approx(top, abs=1e-6)
    outer, strip = section.points["flange.outer"], section.points["strip.outer"]
    assert section.points["metal.bend"][0] - outer[0] == pytest.approx(
        rule("scupper_flange_least")
    )
    assert outer[0] - strip[0] == pytest.approx(rule("flange_strip_in_least"))
    assert on_outline(section, "liner", outer) < 0.02
    assert on_outline(section, "target", strip) < 0.02


@pytest.mark.parametrize("use", USES)
def test_the_wall_flange_is_set_in_cement_and_covered_by_the_walls_sheets(use):
    section = build(KIND, use=use)
    low, top = section.points["wall-flange.low"], section.points["wall-flange.top"]
    assert top[1] - low[1] == pytest.approx(rule("scupper_flange_least"))
    assert joined(section, "liner-head", "wall-flange-cement") == {
        "in cement": pytest.approx(rule("scupper_flange_least"), abs=3.0)
    }
    strip, flashing = body(section, "wall-strip").region, body(section, "flashing").region
    assert strip.bounds[3] - top[1] == pytest.approx(rule("flange_strip_in_least"))
    assert flashing.bounds[3] > strip.bounds[3]
    for sheet in (strip, flashing):
        assert low[1] < sheet.bounds[1] < low[1] + mm("1/2 in")
        assert sheet.bounds[2] <= 0.0
    hem = section.points["cf.hem"][1]
    assert flashing.bounds[3] - hem == pytest.approx(rule("counterflashing_lap_least"))


@pytest.mark.parametrize("spout", ["1 in", "3 in", "8 in"])
def test_the_outlet_drips_clear_of_the_wall(spout):
    section = build(KIND, spout=mm(spout))
    liner = body(section, "liner").region
    face = mm("7 5/8 in")
    assert liner.bounds[2] - face == pytest.approx(mm(spout), abs=0.5)
    drip = section.points["spout.end"]
    assert drip[1] < section.points["opening.low"][1] - mm("1/4 in")
    low = [p for p in liner.exterior.coords if p[1] < section.points["wall.outer"][1] - 1]
    assert all(x > face + mm("1/8 in") for x, _ in low)


@pytest.mark.parametrize("use", USES)
def test_flanges_are_primed_on_both_sides(use):
    section = build(KIND, use=use)
    primed = {(c.body, c.name) for c in section.coats if c.id == "flange-primer"}
    assert primed == {
        (b, f"Primer on the flange, {side}")
        for b in ("liner", "liner-head")
        for side in ("top", "underside")
    }
    for coat in section.coats:
        if coat.id == "flange-primer":
            assert body(section, coat.body).region.boundary.distance(coat.line) < 0.01
            assert coat.line.length == pytest.approx(rule("scupper_flange_least"), abs=3.0)


@pytest.mark.parametrize("use", USES)
def test_the_bead_closes_the_end_of_the_finish_ply(use):
    section = build(KIND, use=use)
    sealed = {j.lower for j in section.joints if j.upper == "throat-bead"}
    assert {"finish-ply", "liner"} <= sealed
    assert all(j.bond is Bond.SEALED for j in section.joints if j.upper == "throat-bead")


@pytest.mark.parametrize("use", USES)
def test_the_unfolded_view_agrees_with_the_section(use):
    section = build(KIND, use=use, width=mm("14 in"), roof_flange=mm("5 in"))
    view = section.layout("plan")
    assert view is not None
    parts = {p.id: p.region.bounds for p in view.parts}
    x0, y0, x1, y1 = parts["opening"]
    assert (x1 - x0, y1 - y0) == (pytest.approx(mm("14 in")), pytest.approx(mm("4 in")))
    assert y0 == pytest.approx(mm("2 in") if use == "overflow" else 0.0)
    assert ("leg" in parts) is (use == "overflow")
    assert parts["liner-flange"][1] == pytest.approx(-mm("5 in"))
    assert parts["liner-flange"][2] - x1 == pytest.approx(mm("5 in"))
    assert parts["liner-flange"][3] - y1 == pytest.approx(mm("4 in"))
    assert parts["wall-strip"][2] - x1 == pytest.approx(mm("8 in"))
    assert parts["target"][1] == pytest.approx(-mm("9 in"))
    for gauge in view.gauges:
        a, b = view.points[gauge.start], view.points[gauge.end]
        along = 1 if gauge.axis is Axis.VERTICAL else 0
        assert abs(a[along] - b[along]) > 1.0, gauge.id


def test_what_is_narrower_than_its_reading_says_so():
    wide, narrow = build(KIND), build(KIND, width=mm("10 in"))
    assert not any("narrower" in n for n in wide.notes)
    assert any("narrower" in n for n in narrow.notes)


@pytest.mark.parametrize(
    ("given", "key"),
    [
        ({"flashing_height": "8 in"}, "flashing_height"),
        (
            {"counterflashing_lap": "8 in", "flashing_height": "13 in"},
            "counterflashing_lap",
        ),
    ],
)
def test_what_cannot_be_built_says_why(given, key):
    p = parameters(KIND, **{k: mm(v) for k, v in given.items()})
    assert key in {i.keys[0] for i in CONDITIONS[KIND].impossible(p, site())}


def test_a_sump_deeper_than_the_insulation_is_refused():
    p = parameters(KIND, sump_drop=mm("1 in"))
    (problem,) = CONDITIONS[KIND].impossible(p, site(insulation=(mm("1 1/2 in"),)))
    assert problem.keys == ("sump_drop",)
    assert "0.5 in" in problem.allowed


def test_the_scupper_has_its_first_cover_at_the_hold_point():
    section = build(KIND)
    (hold,) = [s for s in section.stages if s.hold]
    standing = {b.id for b in section.at_stage(hold.number).bodies}
    assert {"base-ply", "liner", "target", "wall-strip"} <= standing
    assert not {"finish-ply", "flashing"} & standing
    assert "soldered" in section.stages[2].text
