"""Equipment sleeper: flashed on both sides as a curb, capped, the unit on a pad."""

from itertools import product

import pytest

from detailgen.conditions import CONDITIONS
from detailgen.section import ADHERED, Carried, Role
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
)

near = pytest.approx
KIND = "equipment-sleeper"
SIDES = ("", "-right")
NAMES = ("roof.datum", "curb.top", "cover.hem", "flashing.outer", "cant.toe")
CASES = list(product(("concrete", "steel", "wood"), ("foil", "granule-in-cement")))


@pytest.fixture(params=CASES, ids=["-".join(c) for c in CASES])
def section(request):
    deck, flashing = request.param
    return build(
        KIND,
        site(deck=deck),
        flashing=flashing,
        width=mm("7 1/4 in"),
        curb_height=mm("10 in"),
        flashing_reach=mm("5 in"),
        counterflashing_lap=mm("4 1/2 in"),
    )


def test_heights_and_widths_are_as_asked_on_both_sides(section):
    for side in SIDES:
        points = {n: section.points[n + side] for n in NAMES}
        assert points["curb.top"][1] - points["roof.datum"][1] == near(mm("10 in"))
        assert points["curb.top"][1] - points["cover.hem"][1] == near(mm("4 1/2 in"))
        reach = abs(points["flashing.outer"][0] - points["cant.toe"][0])
        assert reach == near(mm("5 in"))
        assert on_outline(section, "flashing" + side, points["flashing.outer"]) < 1e-6
    width = section.points["curb.top-right"][0] - section.points["curb.top"][0]
    assert width == near(mm("7 1/4 in"))


def test_both_sides_are_alike_and_what_meets_is_one(section):
    for part in section.bodies:
        x0, _, x1, _ = part.region.bounds
        if x0 < -1e-6 < 1e-6 < x1:
            assert not part.id.endswith("-right")
            assert x0 == near(-x1)
        elif not part.id.endswith("-right"):
            other = body(section, part.id + "-right")
            assert other.region.area == near(part.region.area)
    assert section.slope == 0.0
    assert section.roof_slope > 0.0


def test_the_top_is_closed_under_the_cap(section):
    strip, cap = body(section, "upper-flashing"), body(section, "counterflashing")
    sides = [body(section, "flashing" + side) for side in SIDES]
    assert sides[0].region.distance(sides[1].region) < 1e-4
    for side in SIDES:
        stuck = [j for j in section.joints_of("upper-flashing") if j.bond in ADHERED]
        assert any(j.lower == "flashing" + side for j in stuck)
    assert strip.region.bounds[3] < cap.region.bounds[3]
    assert cap.region.bounds[0] < min(s.region.bounds[2] for s in sides)


def test_the_unit_bears_on_a_pad_on_the_cap(section):
    pad, unit = body(section, "bearing-pad"), body(section, "unit")
    assert (pad.role, unit.role) == (Role.FILLER, Role.EQUIPMENT)
    cap = body(section, "counterflashing").region
    assert pad.region.bounds[1] == near(cap.bounds[3])
    assert unit.region.bounds[1] == near(pad.region.bounds[3])
    assert section.points["unit.bottom"][1] == near(unit.region.bounds[1])
    assert sum(joined(section, "bearing-pad", "counterflashing").values()) > mm("5 in")


def test_no_pockets(section):
    assert pockets(section) == []


def test_defaults_and_what_is_said_of_sleepers():
    taken = CONDITIONS[KIND].taken(parameters(KIND), site())
    assert taken["curb_height"] >= rule("curb_height_least")
    section = build(KIND, unit_width=mm("50 in"))
    assert section.carried == Carried(mm("50 in"), "older-manuals")
    assert any("on sleepers flashed as curbs" in n for n in section.notes)
    refused = build(KIND, table="florida-hurricane-zone")
    assert any("takes no sleepers" in n for n in refused.notes)


def test_what_cannot_be_built_is_told():
    low = parameters(KIND, curb_height=mm("5 in"), counterflashing_lap=mm("4 in"))
    found = CONDITIONS[KIND].impossible(low, site())
    assert "counterflashing_lap" in {p.keys[0] for p in found}
