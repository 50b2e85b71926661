"""The drain: what lies under what at the ring, where each sheet ends, and its plan."""

import re
from dataclasses import replace
from itertools import pairwise
from math import pi

import pytest

from detailgen.conditions import CONDITIONS
from detailgen.conditions._drain_parameters import sizes, strainer_sizes
from detailgen.conditions._strainer import slots_of
from detailgen.geometry.regions import overlap_area
from detailgen.section import Bond, Method, Role
from detailgen.units import inches
from tests.conditions.building import (
    CATALOG,
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
from tests.sheet.asked import random_requests

KIND = "drain"
ROOFS = (
    {},
    {"cover_board": 12.7},
    {"insulation": ()},
    {"insulation": (), "cover_board": 12.7, "deck": "wood"},
    {"insulation": (), "deck": "steel"},
    {"insulation": (152.4,), "slope": 0.25},
    {"insulation": (12.7, 12.7, 12.7), "slope": 0.0},
)


@pytest.mark.parametrize("roof", ROOFS, ids=str)
@pytest.mark.parametrize("thick", [False, True])
def test_it_holds_together_on_every_roof(roof, thick):
    where = site(DRAWN_THICK, **roof) if thick else site(**roof)
    section = build(KIND, where)
    solids = [b for b in section.bodies if b.role is not Role.FASTENER]
    for i, one in enumerate(solids):
        assert one.region.is_valid
        for two in solids[i + 1 :]:
            assert overlap_area(one.region, two.region) < 1e-4, (one.id, two.id)
    assert pockets(section) == []


def test_the_layers_at_the_ring_lie_in_their_order():
    section = build(KIND)
    x = (section.points["roof.datum"][0] + section.points["sheets.inner"][0]) / 2.0
    stack = [
        "blocking",
        "bowl",
        "base-cement",
        "base-ply",
        "flange-cement",
        "drain-metal",
        "target-cement",
        "target",
        "finish-ply",
        "clamping-ring",
    ]
    levels = [upright(section, b, x) for b in stack]
    for (_, top), (low, _) in pairwise(levels):
        assert low == pytest.approx(top, abs=1e-6)


def test_both_sides_are_the_same():
    section = build(KIND)
    ids = {b.id for b in section.bodies}
    for one in section.bodies:
        if one.id == "strainer" or one.id.endswith("-right"):
            continue
        assert one.id + "-right" in ids
        x0, y0, x1, y1 = one.region.bounds
        image = body(section, one.id + "-right").region.bounds
        assert image == pytest.approx((-x1, y0, -x0, y1))
    assert body(section, "strainer").region.bounds[0] < 0 < section.extent.bounds[2]


def test_the_metal_has_the_size_that_is_asked_and_is_dressed_into_the_bowl():
    section = build(KIND, sheet=mm("36 in"))
    metal = body(section, "drain-metal")
    outer = section.points["flange.outer"]
    assert outer[0] == pytest.approx(-mm("18 in"))
    assert on_outline(section, "drain-metal", outer) < 0.01
    rim = section.points["bowl.lip"][1]
    assert metal.region.bounds[1] == pytest.approx(rim - mm("2 in"))
    assert body(section, "base-ply").region.bounds[1] == pytest.approx(rim - mm("1 in"))
    assert metal.thickness == CATALOG.materials["lead-4"].thickness


def test_cement_zones_are_as_wide_as_asked():
    section = build(KIND)
    base = body(section, "base-cement").region.bounds
    assert base[2] == pytest.approx(-mm("5 in"))
    assert base[2] - base[0] == pytest.approx(rule("drain_base_cement_least"), abs=0.2)
    target = body(section, "target-cement").region.bounds
    assert target[2] == pytest.approx(section.points["sheets.inner"][0])
    assert target[2] - target[0] == pytest.approx(
        rule("drain_target_cement_least"), abs=0.2
    )
    assert joined(section, "base-ply", "base-cement") == {
        "in cement": pytest.approx(rule("drain_base_cement_least"), rel=0.03)
    }


def test_target_and_finish_ply_end_under_the_ring():
    section = build(KIND)
    ring = body(section, "clamping-ring").region.bounds
    for sheet in ("target", "finish-ply"):
        inner = body(section, sheet).region.bounds[2]
        assert ring[0] < inner < ring[2]
        assert ring[2] - inner == pytest.approx(mm("1/4 in"))
    bolt = body(section, "ring-bolt-1")
    assert {"bowl", "base-ply", "drain-metal", "target", "finish-ply"} <= set(bolt.pierces)


@pytest.mark.parametrize("method", list(Method))
def test_no_flame_meets_the_lead(method):
    section = build(KIND, site(adhesion=method))
    metals = {b.id for b in section.of_role(Role.DRAIN_LEAD)}
    on_metal = {j.bond for j in section.joints if j.lower in metals or j.upper in metals}
    assert Bond.TORCHED not in on_metal
    target = {j.bond for j in section.joints if j.upper == "target"}
    assert Bond.TORCHED not in target
    assert any("No flame" in n for n in section.notes) == (method is Method.TORCH)


def test_the_metal_is_primed_on_both_sides():
    section = build(KIND)
    coats = [c for c in section.coats if c.body == "drain-metal"]
    assert {c.name for c in coats} == {
        "Primer on the metal, top",
        "Primer on the metal, underside",
    }
    for coat in coats:
        assert coat.line.length > mm("9 in")


def test_the_metal_is_the_rule_sets_where_the_job_names_none():
    copper = CATALOG.rule_set("copper-handbook")
    section = build(KIND, replace(site(), rules=copper))
    assert body(section, "drain-metal").material == "copper-16"
    assert body(build(KIND), "drain-metal").material == "lead-4"
    assert not any("lb per sq ft" in n for n in section.notes)


def test_without_insulation_there_is_no_sump():
    section = build(KIND, site(insulation=(), deck="concrete"))
    assert any(n.startswith("No sump") for n in section.notes)
    assert section.body("sump-board") is None
    assert "sump" not in {g.id for g in section.gauges}


def test_a_sump_deeper_than_the_insulation_is_refused_with_its_measure():
    where = site(insulation=(mm("1 1/2 in"),))
    p = parameters(KIND, sump_taper=1 / 24)
    (problem,) = CONDITIONS[KIND].impossible(p, where)
    assert problem.keys[0] == "sump_taper"
    assert "0.5 in" in problem.allowed


@pytest.mark.parametrize(
    ("given", "key"),
    [
        ({"sheet": "22 in", "bowl": "16 in", "bowl_flange": "4 in"}, "sheet"),
        ({"target_cement": "8 in", "sheet": "24 in"}, "target_cement"),
    ],
)
def test_what_cannot_be_built_says_why(given, key):
    p = parameters(KIND, **{k: mm(v) for k, v in given.items()})
    assert key in {i.keys[0] for i in CONDITIONS[KIND].impossible(p, site())}


@pytest.mark.parametrize("height", ["1 in", "4 in", "12 in"])
def test_the_strainer_stands_so_high_above_the_roof_next_to_it(height):
    section = build(KIND, strainer_height=mm(height))
    top = body(section, "strainer").region.bounds[3]
    roof = upright(section, "finish-ply", section.points["roof.datum"][0] - 0.01)[1]
    assert top - roof == pytest.approx(max(mm(height), 5 + 5 + mm("3/8 in")), abs=0.1)


@pytest.mark.parametrize("outlet", ["2 in", "3 in", "4 in", "6 in"])
@pytest.mark.parametrize(
    ("strainer", "row"),
    [("dome", "strainer_open_halves_least"), ("flat", "flat_strainer_open_halves_least")],
)
def test_the_strainer_is_as_open_as_asked_or_as_there_is_room(strainer, row, outlet):
    section = build(KIND, strainer=strainer, outlet=mm(outlet), bowl=mm("12 in"))
    plan = section.layout("plan")
    assert plan is not None
    slots = [p.region for p in plan.parts if p.id.startswith("slot-")]
    (whole,) = [p.region for p in plan.parts if p.id == "strainer"]
    assert all(whole.contains(s) for s in slots)
    assert sum(overlap_area(a, b) for a in slots for b in slots) == pytest.approx(
        sum(s.area for s in slots)
    )
    (note,) = [n for n in section.notes if n.startswith("Strainer:")]
    assert f" {len(slots)} slots" in note
    is_open = float(re.search(r"([\d.]+) sq in open", note).group(1))
    leader = pi * (mm(outlet) / 25.4 / 2) ** 2
    if outlet != "6 in":  # a dome 4 in high has not enough room for so large a leader
        assert is_open >= rule(row) / 2 * leader - 0.05


def test_a_domes_slots_are_as_long_as_its_side_has_room_for():
    p = parameters(KIND)
    s = strainer_sizes(p, sizes(p, site()), site())
    section = build(KIND)
    low, high = s.run
    assert high <= s.side
    assert low >= mm("1/2 in") - 1e-9
    found = slots_of(s)
    assert found.open == pytest.approx(len(found.seen) * mm("1/2 in") * (high - low))
    dome = body(section, "strainer").region.bounds
    assert dome[3] - dome[1] > s.rise
    assert len(slots_of(replace(s, slots=10)).seen) == 10
    assert len(slots_of(replace(s, slots=80, slot=mm("1 in"))).seen) < 40


def test_the_plan_shows_every_zone():
    section = build(KIND)
    plan = section.layout("plan")
    assert plan is not None
    parts = {p.id: p for p in plan.parts}
    for name, half in (("drain-metal", "15 in"), ("target", "19 in")):
        assert parts[name].region.bounds == pytest.approx((
            -mm(half),
            -mm(half),
            mm(half),
            mm(half),
        ))
        assert parts[name].hidden
    assert parts["base-cement"].region.bounds[2] == pytest.approx(mm("11 in"))
    sump = [p.region for p in plan.parts if p.id.startswith("sump-")]
    assert len(sump) == 4
    assert max(r.bounds[2] for r in sump) == pytest.approx(mm("24 in"))
    levels = [p.level for p in plan.parts if not p.hidden]
    assert levels == sorted(levels)


def test_the_order_of_building_ends_with_the_ring_and_the_plug():
    section = build(KIND)
    texts = [s.text for s in section.stages]
    assert "Plug the outlet" in texts[0]
    assert "Take out the plug" in texts[-1]
    assert section.stages[-2].name == "Clamping ring"
    assert [s.hold for s in section.stages].index(True) == 3
    bare = build(KIND, plug=False)
    assert not any("lug" in s.text for s in bare.stages)
    last = max(b.stage for b in section.bodies if b.role is Role.CLAMPING_RING)
    assert all(
        b.stage < last for b in section.bodies if b.role in {Role.STRIP_IN, Role.FINISH_PLY}
    )


@pytest.mark.parametrize("kind", ["drain", "deep-drain"])
def test_the_plug_stands_until_the_last_stage_and_is_no_part_of_the_work(kind):
    """It fills the outlet, touches nothing but the bowl, and is not finished with."""
    for request in random_requests(kind, 12, 31):
        section = request.section
        told = "Take out the plug" in section.stages[-1].text
        assert [b.id for b in section.passing] == (["plug"] if told else [])
        assert section.body("plug") is None
        drawn = section.at_stage(section.stages[-1].number)
        assert not drawn.of_role(Role.PLUG)
        taken = {b for q in request.quantities for b in q.bodies}
        found = {b for f in request.findings for b in f.bodies}
        assert "plug" not in taken | found
        for plug in section.passing:
            assert (plug.stage, plug.until) == (1, section.stages[-1].number)
            assert section.of_role(Role.STRAINER)[0].stage == plug.until
            wide = plug.region.bounds[2] - plug.region.bounds[0]
            bowl = section.body("bowl").region
            other = section.body("bowl-right")
            below = bowl.union(other.region) if other else bowl
            for one in section.bodies:
                shared = plug.region.intersection(one.region).area
                assert shared < 1e-6, one.id
            walls = plug.region.boundary.intersection(below.boundary).length
            assert walls == pytest.approx(2.0 * inches(2), abs=0.01)
            assert wide < 2.0 * inches(6) + 1e-6
    assert not build(kind, plug=False).passing
