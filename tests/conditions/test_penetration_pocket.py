"""Penetration pocket: a pan round an odd shape, half grout, sealant sloped to the rim."""

from itertools import product

import pytest
from shapely import Point

from detailgen.conditions import CONDITIONS
from detailgen.section import ADHERED, Role
from tests.conditions.building import (
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
CASES = list(product(("wide-flange", "tee", "bar"), ("1/4 in per ft", "3 in per ft")))


@pytest.fixture(params=CASES, ids=["-".join(c) for c in CASES])
def section(request):
    shape, slope = request.param
    return build(
        "penetration-pocket",
        site(slope=slope),
        shape=shape,
        height=mm("5 in"),
        flange=mm("4 1/2 in"),
        strip_in=mm("5 in"),
        clearance=mm("1 1/2 in"),
        crown=mm("3/4 in"),
    )


def test_widths_and_heights_are_as_asked(section):
    for side in SIDES:
        strip, outer, leaves = (
            section.points[name + side]
            for name in ("strip.outer", "flange.outer", "metal.leaves")
        )
        assert abs(strip[0] - outer[0]) == near(mm("5 in"))
        assert abs(outer[0] - leaves[0]) == near(mm("4 1/2 in"))
        assert on_outline(section, "pan" + side, outer) < 1e-6
        assert on_outline(section, "pan" + side, leaves) < 1e-6
    rim, datum = section.points["pan.top-right"], section.points["roof.datum-right"]
    assert rim[1] - datum[1] == near(mm("5 in"))
    assert body(section, "pan-right").region.bounds[3] == near(rim[1])
    assert rim[0] - mm("1 1/2 in") == near(mm("2 in"))  # half of the shape's width


def test_grout_fills_half_of_the_depth_and_sealant_the_rest(section):
    floor, rim = section.points["fill.bottom"][1], section.points["pan.top"][1]
    for side in SIDES:
        grout = body(section, "grout" + side).region
        sealant = body(section, "poured-sealant" + side).region
        assert grout.bounds[3] == near((floor + rim) / 2.0)
        assert sealant.bounds[1] == near(grout.bounds[3])
        assert sealant.bounds[3] == near(rim + mm("3/4 in"))
        pan = body(section, "pan" + side).region
        assert grout.distance(pan) < 1e-6
        assert sealant.distance(pan) < 1e-6
        shape = body(section, "shape").region
        assert sealant.distance(shape) < 1e-6


def test_water_runs_off_the_sealant_to_the_rim(section):
    for side in SIDES:
        sealant = "poured-sealant" + side
        rim, top = (section.points[n + side] for n in ("sealant.rim", "sealant.top"))
        assert abs(rim[0]) > abs(top[0])
        assert top[1] > rim[1]
        for share in (0.2, 0.5, 0.8):
            x = rim[0] + share * (top[0] - rim[0])
            want = rim[1] + share * (top[1] - rim[1])
            assert upright(section, sealant, x)[1] == near(want)
        sealed = joined(section, sealant, "shape") | joined(section, sealant, "pan" + side)
        assert set(sealed) == {"sealed"}


def test_the_top_of_the_pan_is_hemmed_outward(section):
    pan = body(section, "pan")
    t = pan.thickness
    wall = section.points["pan.top"][0]
    top = section.points["pan.top"][1]
    assert pan.region.contains(Point(wall - 1.5 * t, top - 3.0 * t))
    assert not pan.region.contains(Point(wall - 1.5 * t, top - mm("1 in")))
    assert section.points["leg.top"][0] == near(wall - 2.0 * t, abs=1e-3)


def test_the_base_ply_runs_on_to_the_shape_under_the_pan(section):
    shape = body(section, "shape").region
    for side in SIDES:
        assert body(section, "base-ply" + side).region.distance(shape) < 1e-6
    stuck = [j.bond for j in section.joints if j.upper.startswith(("strip", "finish"))]
    assert stuck
    assert set(stuck) <= ADHERED


def test_under_one_over_two_all_over_the_flange(section):
    for side in SIDES:
        outer = abs(section.points["flange.outer" + side][0])
        foot = abs(section.points["metal.leaves" + side][0])
        sign = -1.0 if side == "" else 1.0
        for share in (0.02, 0.5, 0.98):
            x = sign * (outer + (foot - outer) * share)
            metal = upright(section, "pan" + side, x)
            strip, ply = (upright(section, n + side, x) for n in ("strip-in", "finish-ply"))
            assert upright(section, "base-ply" + side, x)[1] < metal[0]
            assert strip[0] == near(metal[1], abs=1e-3)
            assert ply[0] >= strip[1] - 1e-6


@pytest.mark.parametrize("deck", ["concrete", "steel", "wood"])
@pytest.mark.parametrize("boards", [(), ("2 in",)])
def test_no_pockets(section, deck, boards):
    assert pockets(section) == []
    assert pockets(build("penetration-pocket", site(deck=deck, insulation=boards))) == []


def test_it_says_that_a_sleeve_is_preferred(section):
    assert any("sleeve is preferred" in note for note in section.notes)


def test_the_plan_shows_the_shape_clear_of_the_pan(section):
    plan = section.layout("plan")
    (shape,) = plan.of_role(Role.POST)
    (sealant,) = plan.of_role(Role.POURED_SEALANT)
    wall = next(p for p in plan.of_role(Role.PAN) if not p.hidden)
    assert shape.region.distance(wall.region) == near(mm("1 1/2 in"))
    assert sealant.region.intersection(shape.region).area < 1e-6
    if section.variant != "bar":
        assert shape.region.area < 0.5 * shape.region.envelope.area
    assert plan.points["upright.left"][0] == near(section.points["metal.leaves"][0])


def test_defaults_and_what_cannot_be_built():
    condition = CONDITIONS["penetration-pocket"]
    taken = condition.taken(parameters("penetration-pocket"), site())
    assert taken["height"] == rule("pocket_height_least")
    thick = {"shape_width": mm("1 in"), "shape_thickness": mm("3/4 in")}
    (problem,) = condition.impossible(parameters("penetration-pocket", **thick), site())
    assert problem.keys[0] == "shape_thickness"
    bar = parameters("penetration-pocket", shape="bar", **thick)
    assert condition.impossible(bar, site()) == []
