"""Flanged vent sleeve: clear of its pipe, covered at its top, stripped in at its foot."""

from itertools import product

import pytest
from shapely import LineString

from detailgen.conditions import CONDITIONS
from detailgen.section import ADHERED, Bond, Role
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
NAMES = (
    "strip.outer",
    "flange.outer",
    "metal.leaves",
    "sleeve.top",
    "sleeve.inner",
    "collar.end",
    "pipe.face",
)
CASES = list(product(("collar", "hood"), (False, True), ("1/4 in per ft", "3 in per ft")))


@pytest.fixture(
    params=CASES, ids=[f"{c}-{'hot' if h else 'cold'}-{s}" for c, h, s in CASES]
)
def section(request):
    cover, hot, slope = request.param
    return build(
        "vent-sleeve",
        site(slope=slope, deck="steel"),
        cover=cover,
        hot=hot,
        air_gap=mm("1 1/4 in"),
        height=mm("10 in"),
        flange=mm("4 1/2 in"),
        strip_in=mm("5 in"),
        cover_lap=mm("4 1/2 in"),
    )


def test_widths_and_heights_are_as_asked(section):
    for side in SIDES:
        p = {n: section.points[n + side] for n in NAMES}
        assert abs(p["strip.outer"][0] - p["flange.outer"][0]) == near(mm("5 in"))
        assert abs(p["flange.outer"][0] - p["metal.leaves"][0]) == near(mm("4 1/2 in"))
        assert abs(p["sleeve.inner"][0] - p["pipe.face"][0]) == near(mm("1 1/4 in"))
        assert p["sleeve.top"][1] - p["collar.end"][1] == near(mm("4 1/2 in"))
        for name in ("flange.outer", "metal.leaves", "sleeve.top"):
            assert on_outline(section, "sleeve" + side, p[name]) < 1e-6
        assert on_outline(section, "collar" + side, p["collar.end"]) < 1e-6
    datum = section.points["roof.datum-right"]
    assert section.points["sleeve.top-right"][1] - datum[1] == near(mm("10 in"))
    assert on_outline(section, "finish-ply-right", datum) < 1e-6


def test_nothing_but_the_collar_touches_the_pipe(section):
    for side in SIDES:
        pipe = body(section, "pipe" + side).region
        touching = {b.id for b in section.bodies if b.region.distance(pipe) < 1e-4}
        assert touching == {"pipe" + side, "collar" + side, "collar-bead" + side}
        others = [
            b.region.distance(pipe)
            for b in section.bodies
            if b.role in {Role.SLEEVE, Role.BASE_PLY, Role.DECK, Role.INSULATION}
            and b.id.endswith("-right") == (side == "-right")
        ]
        assert min(others) >= mm("1 1/4 in") - 1.0  # a square end leans with the roof
        held = joined(section, "collar" + side, "pipe" + side)
        assert held == {"fastened": near(mm("1 in"), abs=1.0)}


def test_the_collar_covers_the_sleeve_and_does_not_touch_it(section):
    for side in SIDES:
        sleeve, collar = (body(section, n + side).region for n in ("sleeve", "collar"))
        off = mm("1 in") if section.variant.startswith("hood") else mm("1/4 in")
        assert sleeve.distance(collar) == near(off)
        x = section.points["sleeve.top" + side][0]
        above = collar.intersection(LineString([(x, 0.0), (x, 2e3)]))
        assert above.bounds[1] > sleeve.bounds[3] + off
        role = body(section, "collar" + side).role
        assert role is (Role.HOOD if section.variant.startswith("hood") else Role.COLLAR)


def test_sealant_fills_the_kicked_top(section):
    for side in SIDES:
        bead = body(section, "collar-bead" + side)
        joints = {j.lower: j for j in section.joints if j.upper == bead.id}
        assert set(joints) == {"collar" + side, "pipe" + side}
        assert all(j.bond is Bond.SEALED for j in joints.values())
        assert all(j.line.length > mm("1/4 in") for j in joints.values())
        assert bead.region.bounds[1] >= body(section, "draw-band" + side).region.bounds[3]


def test_under_one_over_two_all_over_the_flange(section):
    for side in SIDES:
        outer = abs(section.points["flange.outer" + side][0])
        foot = abs(section.points["metal.leaves" + side][0])
        sign = -1.0 if side == "" else 1.0
        for share in (0.02, 0.5, 0.98):
            x = sign * (outer + (foot - outer) * share)
            metal = upright(section, "sleeve" + side, x)
            assert upright(section, "base-ply" + side, x)[1] < metal[0]
            assert upright(section, "strip-in" + side, x)[0] == near(metal[1], abs=1e-3)
            ply = upright(section, "finish-ply" + side, x)
            assert ply[0] >= upright(section, "strip-in" + side, x)[1] - 1e-6
    stuck = [j.bond for j in section.joints if j.upper.startswith(("strip", "finish"))]
    assert stuck
    assert set(stuck) <= ADHERED


def test_no_pockets(section):
    assert pockets(section) == []


@pytest.mark.parametrize("deck", ["concrete", "steel", "wood"])
@pytest.mark.parametrize("boards", [(), ("1 in", "2 in")])
def test_the_opening_goes_through_deck_and_boards(deck, boards):
    section = build("vent-sleeve", site(deck=deck, insulation=boards))
    assert pockets(section) == []
    edge = section.points["edge.top"][0]
    for part in section.of_role(Role.DECK, Role.INSULATION):
        if not part.id.endswith("-right"):
            assert part.region.bounds[2] == near(edge)


def test_a_hot_stack_takes_a_gap_and_a_hood():
    condition = CONDITIONS["vent-sleeve"]
    cold = condition.taken(parameters("vent-sleeve"), site())
    hot = condition.taken(parameters("vent-sleeve", hot=True), site())
    assert (cold["cover"], hot["cover"]) == ("collar", "hood")
    assert cold["air_gap"] == mm("1/4 in")
    assert hot["air_gap"] == rule("hot_stack_gap_least")
    assert cold["height"] == rule("sleeve_height_least")
    assert cold["cover_lap"] == rule("collar_lap_least")
    notes = build("vent-sleeve", hot=True).notes
    assert any("never touches the stack" in note for note in notes)
    assert not any("Hot stack" in note for note in build("vent-sleeve").notes)


def test_plan_shows_what_the_section_cuts(section):
    plan = section.layout("plan")
    for name in ("strip.outer", "flange.outer"):
        assert plan.points[name][0] == near(section.points[name][0], abs=1e-6)
    (cover,) = plan.of_role(Role.COLLAR, Role.HOOD)
    assert cover.region.bounds[0] == near(section.points["collar.outer"][0])
    assert plan.points["upright.left"][0] == near(section.points["sleeve.top"][0])


def test_what_cannot_be_built_is_told():
    condition = CONDITIONS["vent-sleeve"]
    low = parameters("vent-sleeve", height=mm("5 in"), cover_lap=mm("6 in"))
    (problem,) = condition.impossible(low, site())
    assert problem.keys[0] == "cover_lap"
    solid = parameters("vent-sleeve", pipe_diameter=mm("1 1/4 in"), pipe_wall=mm("1/2 in"))
    (problem,) = condition.impossible(solid, site())
    assert problem.keys[0] == "pipe_wall"
    fits = parameters("vent-sleeve", height=mm("5 in"), cover_lap=mm("4 in"))
    assert condition.impossible(fits, site()) == []
