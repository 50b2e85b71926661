"""Equipment curb: its height counts at the upslope face; the sheet goes over its top."""

from itertools import product

import pytest
from shapely import Point

from detailgen.conditions import CONDITIONS
from detailgen.section import SHEETS, Axis, Bond, Role
from tests.conditions.building import (
    DRAWN_THICK,
    body,
    build,
    joined,
    mm,
    parameters,
    pockets,
    rule,
    site,
    upright,
)

TOPS = ("unit", "counterflashing", "cap")
FALLS = ("toward", "away", "along")
VARIANTS = list(
    product(TOPS, ("wood", "metal", "concrete"), ("foil", "granule-in-cement"), FALLS)
)
near = pytest.approx


@pytest.fixture(params=VARIANTS, ids=["-".join(v) for v in VARIANTS])
def variant(request):
    return dict(zip(("top", "curb", "flashing", "fall"), request.param, strict=True))


def test_solids_are_sound_and_enclose_nothing(variant):
    for where in (site(), site(DRAWN_THICK), site(deck="steel", insulation=())):
        section = build("curb", where, **variant)
        solids = [b for b in section.bodies if b.role is not Role.FASTENER]
        assert all(b.region.is_valid for b in section.bodies)
        for i, one in enumerate(solids):
            for two in solids[i + 1 :]:
                assert one.region.intersection(two.region).area < 1e-4, (one.id, two.id)
        assert pockets(section) == []


def test_the_sheet_goes_over_the_nailer_to_its_inner_edge(variant):
    section = build("curb", **variant)
    sheet = body(section, "flashing").region
    inner = section.points["curb.inner"]
    assert sheet.bounds[2] == near(inner[0])
    assert sheet.distance(Point(inner)) < 2.0  # a bed of cement may lie between
    outer = section.points["curb.top"]
    assert sheet.bounds[3] > outer[1]
    assert sheet.bounds[0] == near(section.points["flashing.outer"][0], abs=0.2)


def test_no_flame_meets_the_wood(variant):
    section = build("curb", site(adhesion="torch"), **variant)
    burns = {b.id for b in section.bodies if b.role is Role.BLOCKING}
    if variant["curb"] == "wood":
        burns.add("curb")
        assert body(section, "curb-board").role is Role.COVER_BOARD
    sheets = {b.id for b in section.bodies if b.role in SHEETS}
    met = [j for j in section.joints if j.upper in sheets and j.lower in burns]
    assert all(j.bond is not Bond.TORCHED for j in met)


def test_dimensions_keep_their_length_when_drawn_thick(variant):
    true, thick = build("curb", **variant), build("curb", site(DRAWN_THICK), **variant)
    assert set(true.points) == set(thick.points)
    assert [b.id for b in true.bodies] == [b.id for b in thick.bodies]
    assert true.notes == thick.notes
    for gauge in true.gauges:
        if gauge.id == "counterflashing-lap":
            continue  # thick sheets on the cant raise the hem
        axis = 0 if gauge.axis is Axis.HORIZONTAL else 1
        one, two = (
            abs(s.points[gauge.end][axis] - s.points[gauge.start][axis])
            for s in (true, thick)
        )
        assert one == near(two, abs=1e-6), gauge.id
        assert one > 1.0


def above(section, datum: str) -> float:
    return section.points["curb.top"][1] - section.points[datum][1]


@pytest.mark.parametrize("fall", FALLS)
def test_the_height_counts_at_the_upslope_face(fall):
    section = build("curb", fall=fall, curb_height=mm("11 in"))
    assert above(section, "upslope.datum") == near(mm("11 in"))
    sheets = sum(
        b.thickness
        for b in section.bodies
        if b.id in {"base-ply", "strip-in", "finish-ply"}
    )
    toe = section.points["cant.toe"]
    assert section.points["roof.datum"][1] - toe[1] == near(sheets, rel=1e-3)


def test_the_downslope_face_is_higher_by_the_fall_under_the_curb():
    """A quarter inch per foot over a run of 6 ft between the toes makes 1 1/2 in."""
    section = build(
        "curb",
        site(slope=1 / 48),
        fall="away",
        curb_run=mm("65 in"),
        cant_height=mm("3 1/2 in"),
    )
    lower = above(section, "upslope.datum")
    assert lower >= rule("curb_height_least") - 1e-6
    assert above(section, "roof.datum") - lower == near(mm("1 1/2 in"))


def test_a_cricket_raises_the_roof_and_the_curb_with_it():
    section = build("curb", cricket=mm("3 in"))
    cricket = body(section, "cricket")
    assert upright(section, "cricket", -1.0)[1] == near(0.0, abs=1e-6)
    assert upright(section, "cricket", -0.001)[0] == near(-mm("3 in"), abs=0.01)
    assert cricket.region.bounds[3] == near(0.0, abs=1e-6)
    assert above(section, "roof.datum") >= rule("curb_above_cricket_least") - 1e-6
    assert section.points["cricket.datum"][1] == near(section.points["roof.datum"][1])
    bare = build("curb")
    assert above(section, "roof.datum") == near(above(bare, "roof.datum"), abs=mm("1/4 in"))


def test_a_short_cricket_ends_within_the_drawing():
    section = build("curb", site(slope=1 / 4), cricket=mm("2 in"))
    x0 = body(section, "cricket").region.bounds[0]
    assert x0 == near(-mm("8 in"))
    assert x0 > section.extent.bounds[0]


@pytest.mark.parametrize("top", TOPS)
def test_the_metal_laps_the_sheet_as_far_as_asked(top):
    asked = {"curb_height": mm("14 in"), "counterflashing_lap": mm("5 in")}
    section = build("curb", top=top, **asked)
    metal = body(section, "counterflashing").region
    assert section.points["curb.top"][1] - metal.bounds[1] == near(mm("5 in"), abs=0.2)
    assert metal.distance(body(section, "flashing").region) < 0.01
    assert joined(section, "counterflashing", "flashing").keys() == {Bond.DRY.value}


def test_what_stands_on_the_curb():
    unit = build("curb", top="unit")
    assert body(unit, "unit").region.distance(body(unit, "counterflashing").region) < 1e-3
    strip = body(unit, "sealing-strip").region
    for other in ("flashing", "counterflashing"):
        assert strip.distance(body(unit, other).region) < 1e-3
    under = build("curb", top="counterflashing")
    assert body(under, "unit").region.distance(body(under, "sealing-strip").region) < 1e-3
    cap = build("curb", top="cap")
    assert cap.body("unit") is None
    x = cap.extent.bounds[2] - 1.0
    assert upright(cap, "counterflashing", x)[1] > upright(cap, "counterflashing", 0.0)[1]


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ({"curb_height": mm("4 in")}, "The cant is as tall"),
        (
            {"curb_height": mm("8 in"), "strip_in_up": mm("5 in")},
            "The strip-in ply ends higher",
        ),
        (
            {"curb_height": mm("8 in"), "counterflashing_lap": mm("7 in")},
            "The leg of the metal would run down",
        ),
    ],
)
def test_what_cannot_stand_together_is_told(given, told):
    found = CONDITIONS["curb"].impossible(parameters("curb", **given), site())
    assert any(one.message.startswith(told) for one in found)


def test_a_cricket_too_low_for_the_fall_is_told():
    steep = site(slope=1 / 4)
    found = CONDITIONS["curb"].impossible(parameters("curb", cricket=mm("1/2 in")), steep)
    assert [one.keys[0] for one in found] == ["cricket"]


def test_what_is_taken_is_what_is_drawn():
    p = parameters("curb")
    taken = CONDITIONS["curb"].taken(p, site())
    section = build("curb")
    assert above(section, "upslope.datum") == near(taken["curb_height"])
    assert section.points["curb.inner"][0] == near(taken["curb_thickness"])
    assert set(taken) - {"deck_thickness"} <= set(type(p).model_fields)
