"""Equipment support: a post in a flanged sleeve, the unit at the height of the table."""

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
    upright,
)

near = pytest.approx
KIND = "equipment-support"
SIDES = ("", "-right")
CASES = list(product(("pipe", "tube"), ("1/4 in per ft", "3 in per ft")))


@pytest.fixture(params=CASES, ids=["-".join(c) for c in CASES])
def section(request):
    post, slope = request.param
    return build(
        KIND,
        site(slope=slope),
        post=post,
        clear_height=mm("26 in"),
        height=mm("10 in"),
        flange=mm("4 1/2 in"),
        strip_in=mm("5 in"),
        gap=mm("1/2 in"),
    )


def test_widths_and_heights_are_as_asked(section):
    for side in SIDES:
        strip, outer, leaves = (
            section.points[name + side]
            for name in ("strip.outer", "flange.outer", "metal.leaves")
        )
        assert abs(strip[0] - outer[0]) == near(mm("5 in"))
        assert abs(outer[0] - leaves[0]) == near(mm("4 1/2 in"))
        assert on_outline(section, "sleeve" + side, leaves) < 1e-6
    datum = section.points["roof.datum-right"][1]
    assert section.points["sleeve.top-right"][1] - datum == near(mm("10 in"))
    assert section.points["unit.bottom-right"][1] - datum == near(mm("26 in"))
    assert body(section, "unit").region.bounds[1] - datum == near(mm("26 in"))
    assert (
        on_outline(section, "finish-ply-right", section.points["roof.datum-right"]) < 1e-6
    )


def test_the_post_carries_the_unit_and_the_roof_does_not(section):
    assert joined(section, "cap-plate", "post")["fastened"] == near(mm("1/4 in"), abs=1e-3)
    carried = joined(section, "unit", "cap-plate")["fastened"]
    assert carried == near(mm("6 1/2 in"), abs=1e-3)
    posts = [body(section, "post" + side).region for side in SIDES]
    assert posts[0].bounds[1] == section.extent.bounds[1]
    for b in section.bodies:
        if b.role in {Role.DECK, Role.SLEEVE}:
            assert min(b.region.distance(post) for post in posts) >= mm("1/2 in") - 1e-6


def test_the_sleeve_stands_off_the_post_under_its_collar(section):
    for side in SIDES:
        sleeve, collar = (body(section, n + side).region for n in ("sleeve", "collar"))
        assert sleeve.distance(body(section, "post" + side).region) == near(mm("1/2 in"))
        assert sleeve.distance(collar) == near(mm("1/4 in"))
        assert collar.distance(body(section, "post" + side).region) < 1e-6
        lap = sleeve.bounds[3] - section.points["collar.end" + side][1]
        assert lap == near(rule("collar_lap_least"))
        assert collar.bounds[3] < body(section, "cap-plate").region.bounds[1]


def test_the_base_ply_runs_on_to_the_post_and_all_over_it_is_stuck(section):
    for side in SIDES:
        post = body(section, "post" + side).region
        assert body(section, "base-ply" + side).region.distance(post) < 1e-6
        for share in (0.02, 0.5, 0.98):
            outer, foot = (
                section.points[n + side][0] for n in ("flange.outer", "metal.leaves")
            )
            x = outer + (foot - outer) * share
            strip, ply = (upright(section, n + side, x) for n in ("strip-in", "finish-ply"))
            assert strip[0] == near(upright(section, "sleeve" + side, x)[1], abs=1e-3)
            assert ply[0] >= strip[1] - 1e-6
    stuck = [j.bond for j in section.joints if j.upper.startswith(("strip", "finish"))]
    assert set(stuck) <= ADHERED


@pytest.mark.parametrize("deck", ["concrete", "steel", "wood"])
@pytest.mark.parametrize("boards", [(), ("2 in",)])
def test_no_pockets(section, deck, boards):
    assert pockets(section) == []
    assert pockets(build(KIND, site(deck=deck, insulation=boards))) == []


# --- the clear height ---


@pytest.mark.parametrize(
    ("width", "height"),
    [("20 in", 14), ("23.99 in", 14), ("30 in", 18), ("40 in", 24), ("50 in", 30),
     ("61 in", 48)],
)  # fmt: skip
def test_the_clear_height_follows_from_the_width(width, height):
    section = build(KIND, unit_width=mm(width), table="florida")
    clear = section.points["unit.bottom-right"][1] - section.points["roof.datum-right"][1]
    assert clear == near(height * 25.4)
    (note,) = [n for n in section.notes if n.startswith("Unit")]
    assert f"asks {height} in" in note
    assert section.carried == Carried(mm(width), "florida")
    gauge = next(g for g in section.gauges if g.id == "clear-height")
    assert gauge.suffix == "MIN."


@pytest.mark.parametrize("table", ["florida", "older-manuals"])
def test_a_width_between_two_bands_is_told_and_the_larger_height_drawn(table):
    section = build(KIND, unit_width=mm("60 in"), table=table)
    (note,) = [n for n in section.notes if n.startswith("Unit")]
    assert "not plain" in note
    assert "30 in (762 mm) or 48 in (1219 mm)" in note
    assert "The larger is drawn" in note
    assert CONDITIONS[KIND].taken(parameters(KIND, unit_width=mm("60 in")), site())[
        "clear_height"
    ] == near(mm("48 in"))


def test_a_lower_unit_is_drawn_and_told():
    section = build(KIND, unit_width=mm("50 in"), clear_height=mm("20 in"), table="florida")
    (note,) = [n for n in section.notes if n.startswith("Unit")]
    assert "Only 20 in (508 mm) is drawn" in note
    gauge = next(g for g in section.gauges if g.id == "clear-height")
    assert gauge.suffix == ""


def test_without_a_table_it_says_so():
    section = build(KIND, table="model-code")
    (note,) = [n for n in section.notes if n.startswith("Unit")]
    assert "no table of heights" in note
    assert "14 in (356 mm) clear is drawn" in note


def test_what_cannot_be_built_is_told():
    condition = CONDITIONS[KIND]

    def first(**given):
        return [p.keys[0] for p in condition.impossible(parameters(KIND, **given), site())]

    assert first() == []
    assert first(clear_height=mm("9 in")) == ["clear_height"]
    assert first(height=mm("5 in"), cover_lap=mm("6 in")) == ["cover_lap"]
    assert first(post_width=mm("1 1/2 in"), post_wall=mm("1/2 in")) == []
    assert first(post_width=mm("1 1/2 in"), post_wall=mm("0.53 in")) == ["post_wall"]


def test_plan_and_section_have_the_same_widths(section):
    plan = section.layout("plan")
    for name in ("strip.outer", "flange.outer"):
        assert plan.points[name][0] == near(section.points[name][0], abs=1e-6)
    (post,) = plan.of_role(Role.POST)
    assert post.region.bounds[0] == near(section.points["post.face"][0])
    corners = len(post.region.exterior.coords) - 1
    assert corners == (4 if section.variant == "post of tube" else 96)
