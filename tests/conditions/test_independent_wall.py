"""Wall to a deck that moves: nothing goes from one to the other but what gives way."""

from itertools import pairwise, product
from math import dist, hypot

import pytest
from shapely import unary_union
from shapely.affinity import translate

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

KIND = "independent-wall"
VARIANTS = [
    v
    for v in product(
        ("masonry", "concrete", "stud"),
        ("reglet", "surface"),
        ("foil", "granule-in-cement"),
        ("away", "toward", "along"),
    )
    if v[:2] != ("stud", "reglet")
]
FIXED = {
    *("wall", "counterflashing", "termination-bar", "bar-fastener-1"),
    *("reglet-sealant", "bar-sealant"),
}
"""What belongs to the wall."""
GIVES = {"filler", "joint-barrier"}
"""What gives way between wall and deck."""
near = pytest.approx


@pytest.fixture(params=VARIANTS, ids=["-".join(v) for v in VARIANTS])
def variant(request):
    names = ("wall", "termination", "flashing", "fall")
    return dict(zip(names, request.param, strict=True))


def test_solids_are_sound_and_enclose_nothing(variant):
    for where in (site(), site(DRAWN_THICK), site(deck="steel", insulation=())):
        section = build(KIND, where, **variant)
        solids = [b for b in section.bodies if b.role is not Role.FASTENER]
        assert all(b.region.is_valid for b in section.bodies)
        for i, one in enumerate(solids):
            for two in solids[i + 1 :]:
                assert one.region.intersection(two.region).area < 1e-4, (one.id, two.id)
        assert pockets(section) == []


def test_nothing_ties_the_deck_to_the_wall(variant):
    section = build(KIND, **variant)
    for j in section.joints:
        ids = {j.upper, j.lower}
        if ids & GIVES:
            assert "filler" not in ids or j.bond is Bond.DRY
        else:
            assert ids <= FIXED or not ids & FIXED, j
    for fastener in section.of_role(Role.FASTENER):
        through = set(fastener.pierces) - GIVES
        assert through <= FIXED or not through & FIXED, fastener.id


@pytest.mark.parametrize(
    "given", [{}, {"moves_across": mm("1 1/2 in")}, {"moves_down": 0.0}]
)
def test_the_deck_can_move_as_far_as_it_says(variant, given):
    """Deck, nailer and sheets are pushed each way; they meet nothing of the wall."""
    section = build(KIND, **variant, **given)
    moving = section.moving
    assert moving is not None
    fixed = unary_union([b.region for b in section.bodies if b.id in FIXED])
    own = [b for b in section.bodies if b.id not in FIXED | GIVES]
    loose = unary_union([b.region for b in own])
    for dx in (-moving.opens, 0.0, moving.closes):
        for dy in (-moving.rises, 0.0, moving.rises):
            assert translate(loose, dx, dy).distance(fixed) > mm("1/8 in") - 0.3, (dx, dy)


def test_lap_and_gap_are_left_after_the_movement():
    section = build(KIND)
    moving, at = section.moving, section.points
    assert moving is not None
    lap = body(section, "flashing").region.bounds[3] - at["cf.hem"][1]
    assert lap - moving.rises >= rule("counterflashing_lap_least") - 0.01
    gap = at["gap.right"][0] - at["gap.left"][0]
    assert gap - moving.closes >= rule("joint_closed_least") - 1e-6
    course = list(body(section, "joint-barrier").course.coords)
    inner = [
        p for p in course if at["gap.left"][0] - 1e-6 <= p[0] and p[1] <= at["gap.left"][1]
    ]
    length = sum(dist(a, b) for a, b in pairwise(inner))
    reach = hypot(gap + moving.opens, moving.rises)
    assert length >= reach + rule("joint_slack_least") - 1e-6


def test_the_sheet_ends_on_the_nailer(variant):
    section = build(KIND, **variant)
    inner = section.points["curb.inner"][0]
    for sheet in section.of_role(*SHEETS):
        assert sheet.region.bounds[2] <= inner + 1e-6, sheet.id
    assert body(section, "flashing").region.bounds[2] == near(inner)
    assert body(section, "deck").region.bounds[2] == near(inner)


def test_the_barrier_closes_the_gap(variant):
    section = build(KIND, **variant)
    for other in ("wall", "blocking"):
        assert set(joined(section, "joint-barrier", other)) == {Bond.CEMENT.value}
    assert sum(joined(section, "joint-barrier", "wall").values()) == near(
        mm("6 in"), abs=0.1
    )


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
        ({"wall": "stud", "termination": "reglet"}, "A stud wall has no joint"),
        ({"reglet_height": mm("10 in")}, "The metal has no room to fall"),
        ({"loop_depth": mm("6 in"), "flashing_height": mm("6 in")}, "The barrier hangs"),
        ({"flashing_height": mm("4 in")}, "The cant is as tall as the nailer"),
    ],
)
def test_what_cannot_stand_together_is_told(given, told):
    found = CONDITIONS[KIND].impossible(parameters(KIND, **given), site())
    assert any(one.message.startswith(told) for one in found)
    keys = set(CONDITIONS[KIND].parameters.model_fields)
    assert all(set(one.keys) <= keys for one in found)
