"""The drain in a clad sump: where the clad sheet ends, what is lapped on it, its seams."""

from itertools import pairwise, product

import pytest

from detailgen.conditions import CONDITIONS
from detailgen.conditions._clad_sheet import seams, strips
from detailgen.geometry.regions import overlap_area, union
from detailgen.section import Bond, Method, Role
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

KIND = "deep-drain"
BONDS = [("aluminium", "torched"), ("aluminium", "in-cement"), ("stainless", "torched")]


@pytest.mark.parametrize(
    ("clad", "roof", "thick"),
    list(product(BONDS, ({}, {"cover_board": 12.7}, {"insulation": ()}), (False, True))),
    ids=str,
)
def test_it_holds_together(clad, roof, thick):
    where = site(DRAWN_THICK, **roof) if thick else site(**roof)
    section = build(KIND, where, clad=clad[0], clad_bond=clad[1])
    solids = [b for b in section.bodies if b.role is not Role.FASTENER]
    for i, one in enumerate(solids):
        for two in solids[i + 1 :]:
            assert overlap_area(one.region, two.region) < 1e-4, (one.id, two.id)
    assert pockets(section) == []


@pytest.mark.parametrize(("clad", "bond"), BONDS)
def test_the_clad_sheet_lies_from_the_ring_to_past_the_target(clad, bond):
    section = build(KIND, clad=clad, clad_bond=bond)
    sheet = body(section, "clad-sheet").region.bounds
    target = body(section, "target").region.bounds
    ring = body(section, "clamping-ring").region.bounds
    past = rule("clad_past_target_least")
    assert section.points["strip.outer"][0] - section.points["clad.outer"][0] == (
        pytest.approx(past)
    )
    assert target[0] - sheet[0] == pytest.approx(past, abs=1.0)  # square ends lean
    assert ring[0] < sheet[2] < ring[2]
    assert body(section, "clad-sheet").material == f"clad-{clad}"


def test_the_finish_ply_ends_on_the_primed_border_of_the_clad_sheet():
    section = build(KIND)
    finish = body(section, "finish-ply").region.bounds
    border = [c for c in section.coats if c.id == "clad-border" and c.body == "clad-sheet"]
    x0 = min(c.line.bounds[0] for c in border)
    x1 = max(c.line.bounds[2] for c in border)
    assert section.points["clad.outer"][0] == pytest.approx(x0, abs=1.0)
    assert x1 - section.points["clad.outer"][0] == pytest.approx(rule("clad_border_least"))
    assert finish[2] == pytest.approx(x1, abs=1.0)
    low, high = upright(section, "finish-ply", x1 - 5.0)
    assert upright(section, "clad-sheet", x1 - 5.0)[1] == pytest.approx(low)
    assert high > low
    stuck = joined(section, "finish-ply", "clad-sheet")
    assert list(stuck) == ["torched"]
    assert stuck["torched"] >= rule("clad_border_least")


def test_inside_the_border_nothing_lies_over_the_clad_sheet():
    section = build(KIND)
    x = section.points["finish.end"][0] + 20.0
    top = upright(section, "clad-sheet", x)[1]
    for other in section.bodies:
        if other.id != "clad-sheet" and other.region.bounds[0] < x < other.region.bounds[2]:
            if other.role is Role.STRAINER:
                continue
            assert upright(section, other.id, x)[1] <= top + 1e-6, other.id


@pytest.mark.parametrize("method", list(Method))
@pytest.mark.parametrize("clad", ["aluminium", "stainless"])
def test_how_the_clad_sheet_is_stuck_where_the_job_does_not_say(method, clad):
    section = build(KIND, site(adhesion=method), clad=clad)
    bonds = {j.bond for j in section.joints if j.upper == "clad-sheet"}
    torched = method is Method.TORCH or clad == "stainless"
    assert bonds == {Bond.TORCHED if torched else Bond.CEMENT}
    assert (section.body("clad-cement") is None) is torched
    told = any("is torched, though" in n for n in section.notes)
    assert told is (torched and method is not Method.TORCH)


def test_in_cement_it_lies_in_a_solvent_free_bed_all_over():
    section = build(KIND, clad_bond="in-cement")
    bed, sheet = body(section, "clad-cement"), body(section, "clad-sheet")
    assert bed.material == "clad-cement"
    assert bed.region.bounds[0] == pytest.approx(sheet.region.bounds[0], abs=2.0)
    assert bed.region.bounds[2] == pytest.approx(sheet.region.bounds[2], abs=1e-6)
    assert not any(
        j.bond is Bond.TORCHED for j in section.joints if "clad-sheet" == j.upper
    )


def test_stainless_in_cement_is_refused():
    p = parameters(KIND, clad="stainless", clad_bond="in-cement")
    (problem,) = CONDITIONS[KIND].impossible(p, site())
    assert problem.keys == ("clad_bond", "clad")


# --- seams ---


@pytest.mark.parametrize("roll", [457.0, 600.0, 914.4, 1000.0, 1100.0, 1200.0])
@pytest.mark.parametrize("width", [800.0, 1117.6, 1500.0])
def test_pieces_cover_the_sheet_with_laps_and_none_is_wider_than_a_roll(roll, width):
    pieces = sorted(strips(width, roll, 76.2, 184.0), key=lambda p: p.low)
    assert pieces[0].low == pytest.approx(-width / 2)
    assert pieces[-1].high == pytest.approx(width / 2)
    assert all(p.high - p.low <= roll + 1e-9 for p in pieces)
    assert all(a.high - b.low == pytest.approx(76.2) for a, b in pairwise(pieces))
    assert (len(pieces) == 1) == (width <= roll)


def test_no_seam_comes_near_the_ring_in_a_usual_sump():
    for roll in (914.4, 1000.0, 1100.0):
        for low, high in seams(strips(1117.6, roll, 76.2, 184.0)):
            assert min(abs(low), abs(high)) > 184.0 + 25.4


def test_a_sheet_wider_than_a_roll_has_a_seam_drawn_told_and_measured():
    section = build(KIND)
    plan = section.layout("plan")
    assert plan is not None
    pieces = [p for p in plan.parts if p.id.startswith("clad-sheet-")]
    (seam,) = [p for p in plan.parts if p.id.startswith("seam-")]
    assert len(pieces) == 2
    assert overlap_area(pieces[0].region, pieces[1].region) == pytest.approx(
        seam.region.area
    )
    (whole,) = union([p.region for p in pieces])
    half = mm("22 in")
    assert whole.bounds == pytest.approx((-half, -half, half, half))
    assert (seam.region.bounds[3] - seam.region.bounds[1]) == pytest.approx(mm("3 in"))
    assert pieces[1].level > pieces[0].level
    assert pieces[1].region.bounds[3] > pieces[0].region.bounds[3]  # the outer one on top
    (note,) = [n for n in section.notes if "wider than a roll" in n]
    assert "one lapped seam of 3 in" in note
    assert "3.7 ft" in note
    assert "plan-seam" in {g.id for g in plan.gauges}


def test_a_roll_as_wide_as_the_sump_needs_no_seam():
    section = build(KIND, site(roll_width=mm("1.2 m")))
    plan = section.layout("plan")
    assert plan is not None
    assert not [p for p in plan.parts if p.id.startswith("seam-")]
    assert not any("wider than a roll" in n for n in section.notes)


def test_a_lap_past_the_primer_is_told():
    section = build(KIND, finish_lap=mm("6 in"))
    assert any("further than the clad" in n for n in section.notes)
    assert not any("further than the clad" in n for n in build(KIND).notes)


def test_the_order_of_building_has_the_clad_sheet_before_the_finish_ply():
    section = build(KIND)
    names = [s.name for s in section.stages]
    assert names.index("Clad sheet") < names.index("Finish ply")
    assert names[-2:] == ["Clamping ring", "Strainer"]
    clad, finish = body(section, "clad-sheet"), body(section, "finish-ply")
    assert clad.stage < finish.stage < body(section, "clamping-ring").stage
