"""Expansion joint: both sides flashed, and gap, barrier and cover take the movement."""

from itertools import pairwise, product
from math import dist

import pytest

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
)

KIND = "expansion-joint"
VARIANTS = list(
    product(
        ("expansion", "area-divider"),
        ("wood", "metal", "concrete"),
        ("foil", "granule-in-cement"),
        ("away", "along"),
    )
)
near = pytest.approx


@pytest.fixture(params=VARIANTS, ids=["-".join(v) for v in VARIANTS])
def variant(request):
    return dict(zip(("joint", "curb", "flashing", "fall"), request.param, strict=True))


def test_solids_are_sound_and_enclose_nothing(variant):
    for where in (site(), site(DRAWN_THICK), site(deck="steel", insulation=())):
        section = build(KIND, where, **variant)
        solids = [b for b in section.bodies if b.role is not Role.FASTENER]
        assert all(b.region.is_valid for b in section.bodies)
        assert len({b.id for b in section.bodies}) == len(section.bodies)
        for i, one in enumerate(solids):
            for two in solids[i + 1 :]:
                assert one.region.intersection(two.region).area < 1e-4, (one.id, two.id)
        assert pockets(section) == []


def test_both_sides_are_alike(variant):
    section = build(KIND, **variant)
    for one in section.bodies:
        other = section.body(one.id + "-right")
        if one.id.endswith("-right"):
            continue
        x0, y0, x1, y1 = one.region.bounds
        if other is None:  # one body across the axis
            assert (x0, x1) == near((-x1, x0 * -1.0), abs=1e-6), one.id
        else:
            assert other.region.bounds == near((-x1, y0, -x0, y1), abs=1e-6), one.id
            assert other.region.area == near(one.region.area)


def test_no_sheet_crosses_an_expansion_joint(variant):
    section = build(KIND, **variant)
    across = {
        b.id
        for b in section.bodies
        if b.role in SHEETS and b.region.bounds[0] < -1.0 and b.region.bounds[2] > 1.0
    }
    divider = variant["joint"] == "area-divider"
    assert across == ({"upper-flashing"} if divider else set())
    assert (section.moving is None) == divider
    gone = {"filler", "joint-barrier", "joint-cover"}
    assert {b.id for b in section.bodies} & gone == (set() if divider else gone)


def test_nothing_holds_the_two_sides_together(variant):
    if variant["joint"] == "area-divider":
        return
    section = build(KIND, **variant)
    for j in section.joints:
        sides = [
            0 if b.region.bounds[2] <= 0.0 else 1 if b.region.bounds[0] >= 0.0 else 2
            for b in (body(section, j.upper), body(section, j.lower))
        ]
        assert set(sides) != {0, 1}, j
        if "filler" in {j.upper, j.lower}:
            assert j.bond is Bond.DRY


def test_movement_by_hand():
    """150 ft of concrete at 8.0 per million per F over 100 F: 1.44 in, half of it a way."""
    section = build(KIND)
    assert section.moving is not None
    whole = 150 * 12 * 8.0e-6 * 100 * 25.4
    assert section.moving.closes == near(whole / 2.0)
    assert section.moving.opens == near(whole / 2.0)
    assert "1.44 in" in section.moving.told
    unknown = build(KIND, built_at="unknown").moving
    assert unknown is not None
    assert unknown.closes == near(whole)


@pytest.mark.parametrize(
    "given",
    [
        {},
        {"run": mm("300 ft")},
        {"built_at": "unknown", "temperatures": "roof-measured"},
        {"structure": "steel", "run": mm("20 ft")},
        {"gap": mm("3 in")},
    ],
)
def test_gap_barrier_and_cover_take_the_movement(given):
    section = build(KIND, **given)
    moving, at = section.moving, section.points
    assert moving is not None
    gap = at["gap.right"][0] - at["gap.left"][0]
    assert gap - moving.closes >= rule("joint_closed_least") - 1e-6
    # the barrier between the two edges is longer than the joint at its widest
    course = list(body(section, "joint-barrier").course.coords)
    inner = [p for p in course if abs(p[0]) <= gap / 2.0 + 1e-6]
    length = sum(dist(a, b) for a, b in pairwise(inner))
    assert length >= gap + moving.opens + rule("joint_slack_least") - 1e-6
    # the cover has play on both sides together for the opening
    play = at["hook.tip"][0] - at["cover.fold"][0]
    assert 2.0 * play >= moving.opens - 1e-6
    dam = body(section, "counterflashing").thickness / 2.0
    assert at["hook.dam"][0] - dam - at["cover.end"][0] == near(play)
    # closed, with the cover pushed to one side, it holds on the other
    hold = at["cover.end"][0] - at["hook.tip"][0]
    assert hold - play - moving.closes >= rule("joint_cover_hold_least") - 1e-6


def test_the_cover_touches_nothing_so_that_it_slides():
    section = build(KIND)
    cover = body(section, "joint-cover").region
    for other in section.bodies:
        if other.id != "joint-cover":
            assert cover.distance(other.region) > 0.1, other.id


def test_the_barrier_lies_under_the_sheets_on_both_curbs(variant):
    if variant["joint"] == "area-divider":
        return
    section = build(KIND, **variant)
    for side in ("", "-right"):
        under = "flashing-cement" if variant["flashing"] != "foil" else "flashing"
        assert joined(section, under + side, "joint-barrier")
        stuck = joined(section, "joint-barrier", "blocking" + side)
        assert set(stuck) == {Bond.CEMENT.value}
        assert stuck[Bond.CEMENT.value] > mm("4 in")


def test_tops_of_the_curbs_fall_away_from_the_joint():
    section = build(KIND, top_slope=1 / 4)
    inner, outer = section.points["curb.inner"], section.points["curb.top"]
    assert inner[1] - outer[1] == near((inner[0] - outer[0]) / 4.0)


def test_dimensions_keep_their_length_when_drawn_thick(variant):
    true, thick = build(KIND, **variant), build(KIND, site(DRAWN_THICK), **variant)
    assert set(true.points) == set(thick.points)
    assert [b.id for b in true.bodies] == [b.id for b in thick.bodies]
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


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ({"curb_thickness": mm("1 1/2 in")}, "The top of the curb is too narrow"),
        ({"loop_depth": mm("6 in"), "curb_height": mm("6 in")}, "The barrier hangs"),
        ({"curb_height": mm("4 in")}, "The cant is as tall"),
    ],
)
def test_what_cannot_stand_together_is_told(given, told):
    found = CONDITIONS[KIND].impossible(parameters(KIND, **given), site())
    assert any(one.message.startswith(told) for one in found)


def test_a_divider_asks_nothing_of_a_joint():
    p = parameters(KIND, joint="area-divider", run=mm("400 ft"), loop_depth=mm("6 in"))
    assert CONDITIONS[KIND].impossible(p, site()) == []
    section = CONDITIONS[KIND].build(p, site())
    assert (
        body(section, "curb").region.bounds[0]
        < 0.0
        < body(section, "curb").region.bounds[2]
    )
    assert "takes no movement" in section.notes[0]
