"""Plumbing stack with a jack: drawn as the parameters say, on both sides of the pipe."""

from itertools import product
from math import hypot

import pytest
from shapely import LineString, Point

from detailgen.conditions import CONDITIONS, Site
from detailgen.conditions._flanged_point import PointSizes, cut_lines
from detailgen.parameters import Roof
from detailgen.section import ADHERED, Bond, Method, Role
from tests.conditions.building import (
    CATALOG,
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

near = pytest.approx
SIDES = ("", "-right")
METALS = ("lead-2half", "lead-3", "lead-4", "copper-16")
CASES = list(product(METALS, ("2 3/8 in", "4 1/2 in"), ("1/4 in per ft", "3 in per ft")))


@pytest.fixture(params=CASES, ids=["-".join(c) for c in CASES])
def section(request):
    metal, diameter, slope = request.param
    return build(
        "stack",
        site(slope=slope, insulation=("2 in",)),
        metal=metal,
        pipe_diameter=mm(diameter),
        pipe_wall=mm("3/16 in"),
        height=mm("9 in"),
        flange=mm("4 1/2 in"),
        strip_in=mm("5 in"),
        turned_in=mm("2 1/4 in"),
    )


def test_widths_are_level_and_as_asked_on_both_sides(section):
    for side in SIDES:
        strip, outer, leaves = (
            section.points[name + side]
            for name in ("strip.outer", "flange.outer", "metal.leaves")
        )
        assert abs(strip[0] - outer[0]) == near(mm("5 in"))
        assert abs(outer[0] - leaves[0]) == near(mm("4 1/2 in"))
        for name, point in (("strip-in", strip), ("sleeve", outer), ("sleeve", leaves)):
            assert on_outline(section, name + side, point) < 1e-6


def test_the_rim_stands_as_high_over_the_finished_roof_on_the_upslope_side(section):
    rim, datum = section.points["pipe.rim-right"], section.points["roof.datum-right"]
    assert rim[1] - datum[1] == near(mm("9 in"))
    assert on_outline(section, "finish-ply-right", datum) < 1e-6
    assert on_outline(section, "sleeve-right", datum) < 1e-6
    assert section.points["pipe.rim"][1] == rim[1]
    assert rim[1] - section.points["roof.datum"][1] > mm("9 in")


def test_the_roof_falls_to_the_left_through_both_sides(section):
    boards = [body(section, "insulation-1" + side).region.bounds for side in SIDES]
    (left, right), reach = boards, boards[1][2]
    assert right[3] == near(section.slope * reach)
    low = upright(section, "insulation-1", left[0] + 1e-6)[1]
    assert low == near(-section.slope * reach, abs=1e-4)


def test_the_sleeve_lies_on_the_pipe_and_is_turned_down_into_it(section):
    for side in SIDES:
        sleeve, pipe = body(section, "sleeve" + side), body(section, "pipe" + side)
        rim, end = section.points["pipe.rim" + side], section.points["sleeve.end" + side]
        assert rim[1] - end[1] == near(mm("2 1/4 in"))
        touching = sleeve.region.boundary.intersection(pipe.region.buffer(1e-4)).length
        foot = section.points["metal.leaves" + side][1]
        wall = mm("3/16 in")
        assert touching > (rim[1] - foot) + wall + mm("2 1/4 in") - 2.0
        assert sleeve.region.bounds[3] == near(rim[1] + sleeve.thickness)
        # from the flange's end to the pipe, up it, over the rim, and what is turned in
        outer = section.points["flange.outer" + side]
        run = abs(outer[0]) - abs(rim[0])
        toward = section.slope if side == "" else -section.slope
        up = rim[1] - (outer[1] + toward * run)
        assert sleeve.course.length == near(
            run * hypot(1.0, section.slope) + up + wall + mm("2 1/4 in")
        )


def test_under_one_over_two_all_over_the_flange(section):
    for side in SIDES:
        outer = abs(section.points["flange.outer" + side][0])
        foot = abs(section.points["metal.leaves" + side][0])
        sign = -1.0 if side == "" else 1.0
        for share in (0.02, 0.5, 0.98):
            x = sign * (outer + (foot - outer) * share)
            metal = upright(section, "sleeve" + side, x)
            probe = LineString([(x, -1e3), (x, metal[0] + 20.0)])
            over = [
                b.id
                for b in section.of_role(Role.STRIP_IN, Role.FINISH_PLY)
                if b.region.intersects(probe)
            ]
            assert len(over) >= 2
            assert upright(section, "base-ply" + side, x)[1] < metal[0]
            assert upright(section, "flange-cement" + side, x)[1] == near(metal[0])


def test_sheets_end_at_the_sleeve_and_the_bead_seals_them(section):
    for side in SIDES:
        sleeve = body(section, "sleeve" + side).region
        for name in ("strip-in", "finish-ply", "foot-bead"):
            assert body(section, name + side).region.distance(sleeve) < 1e-6
        bead = body(section, "foot-bead" + side)
        sealed = {j.lower for j in section.joints if j.upper == bead.id}
        assert {"sleeve" + side, "finish-ply" + side} <= sealed
        assert body(section, "base-ply" + side).region.distance(
            body(section, "pipe" + side).region
        ) == near(0.0, abs=1e-6)


def test_nothing_is_torched_on_lead_or_on_what_lies_on_it(section):
    lead = body(section, "sleeve").material.startswith("lead")
    found = {
        j.bond
        for j in section.joints
        if j.lower.startswith(("sleeve", "strip-in", "finish-ply-lap"))
        and j.upper.startswith(("strip-in", "finish-ply"))
    }
    assert found == {Bond.COLD_ADHESIVE if lead else Bond.TORCHED}
    assert set(joined(section, "finish-ply", "base-ply")) == {"torched"}


@pytest.mark.parametrize("method", list(Method))
def test_every_sheet_over_the_flange_is_stuck(method):
    section = build("stack", site(adhesion=method))
    for j in section.joints:
        if j.upper.startswith(("strip-in", "finish-ply")):
            assert j.bond in ADHERED


def test_the_flange_is_primed_on_both_sides(section):
    for side in SIDES:
        coats = [c for c in section.coats if c.body == "sleeve" + side]
        assert {c.name for c in coats} == {
            "Primer on the flange, top",
            "Primer on the flange, underside",
        }
        for coat in coats:
            assert coat.line.length == near(mm("4 1/2 in"), rel=0.04)


def test_no_pockets(section):
    assert pockets(section) == []


@pytest.mark.parametrize("deck", ["concrete", "steel", "wood"])
@pytest.mark.parametrize("boards", [(), ("1 1/2 in",), ("2 in", "2 in", "1 in")])
def test_on_every_deck_the_hole_is_closed_over(deck, boards):
    section = build("stack", site(deck=deck, insulation=boards))
    assert pockets(section) == []
    gap = body(section, "pipe").region.distance(body(section, "deck").region)
    assert gap == near(mm("1/2 in") if boards else 0.0, abs=1e-4)


# --- the two pieces of the finish ply ---


def test_the_upslope_piece_laps_over_the_downslope_one():
    section = build("stack")
    plan = section.layout("plan")
    down, up = plan.of_role(Role.FINISH_PLY)
    assert (down.name, up.name) == (
        "Finish ply, piece 1, downslope",
        "Finish ply, piece 2, upslope, over piece 1",
    )
    assert up.level > down.level
    assert plan.downhill == (-1.0, 0.0)
    shared = down.region.intersection(up.region)
    assert shared.bounds[2] - shared.bounds[0] == near(rule("side_lap_least"))
    whole = down.region.union(up.region)
    assert whole.intersection(Point(0.0, 0.0).buffer(mm("2 1/4 in"))).area < 1e-6
    assert whole.area == near(plan.parts[0].region.area)


@pytest.mark.parametrize("face", [16.0, 24.0, 40.0, 57.0, 150.0])
@pytest.mark.parametrize("lap", [26.0, 76.2, 152.4])
def test_cut_lines_keep_the_lap_and_the_bead_clear(face, lap):
    sizes = PointSizes("lead-3", 100.0, 100.0, 9.5, lap)
    up, down = cut_lines(sizes, face)
    assert up + down >= lap - 1e-9
    assert 0.0 < up < face
    assert down < face or down >= face + 9.5 + 25.0


def test_round_a_thin_pipe_the_downslope_piece_shows_behind_it():
    section = build("stack", pipe_diameter=mm("2 3/8 in"), pipe_wall=mm("1/8 in"))
    lap = body(section, "finish-ply-lap-right")
    plan = section.layout("plan")
    assert lap.region.bounds[2] == near(plan.points["finish.downslope"][0], abs=0.2)
    over = joined(section, "finish-ply-right", "finish-ply-lap-right")
    assert sum(over.values()) > lap.course.length - 0.1
    assert section.body("finish-ply-lap") is None
    assert build("stack").body("finish-ply-lap-right") is None


# --- plan and section say the same ---


def test_plan_and_section_have_the_same_widths(section):
    plan = section.layout("plan")
    for name in ("strip.outer", "flange.outer"):
        assert plan.points[name][0] == near(section.points[name][0], abs=1e-6)
    leaves = section.points["metal.leaves"]
    assert plan.points["upright.left"][0] == near(leaves[0])
    hidden = {p.id for p in plan.parts if p.hidden}
    assert {"flange", "strip-in"} <= hidden


# --- rules and defaults ---


def test_defaults_come_from_the_rule_set():
    taken = CONDITIONS["stack"].taken(parameters("stack"), site())
    assert taken["height"] == rule("stack_height_least")
    assert taken["flange"] == rule("flange_width_least")
    assert taken["turned_in"] == rule("sleeve_turned_in_least")
    assert taken["metal"] == "lead-2half"


def test_where_lead_is_not_taken_the_jack_is_of_copper():
    where = Site(Roof(), CATALOG, CATALOG.rule_set("canadian-manual"))
    section = build("stack", where)
    assert body(section, "sleeve").material == "copper-16"
    assert not any("Lead" in note for note in section.notes)


def test_lead_tells_both_of_its_thicknesses():
    note = next(n for n in build("stack", metal="lead-4").notes if n.startswith("Lead"))
    assert "4 lb per sq ft" in note
    assert "0.0678 in" in note
    assert "1/16 in by its trade name" in note


def test_a_bore_too_narrow_is_told():
    p = parameters("stack", pipe_diameter=mm("1 1/4 in"), pipe_wall=mm("1/2 in"))
    (problem,) = CONDITIONS["stack"].impossible(p, site())
    assert problem.keys == ("pipe_wall", "pipe_diameter")
    assert "1/4" in problem.allowed or "0.25" in problem.allowed
