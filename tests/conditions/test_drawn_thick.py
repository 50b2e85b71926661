"""A view with thickened sheets is the same detail: same parts, stations and lengths."""

from itertools import product

import pytest

from detailgen.conditions import CONDITIONS, Thickening
from detailgen.geometry.regions import overlap_area
from detailgen.section import SHEETS, Axis, Role
from tests.conditions.building import DRAWN_THICK, body, build, mm, parameters, site

CASES = [
    *(
        ("wall", {"termination": t, "flashing": f, "fall": fall})
        for t, f, fall in product(
            ("reglet", "surface", "coping"),
            ("foil", "granule-in-cement"),
            ("away", "toward", "along"),
        )
    ),
    *(
        ("roof-edge", {"edge": e, "cleat": c, "edge_strip": s, "fall": fall})
        for e, c, s, fall in product(
            ("raised", "flush"), (True, False), (True, False), ("inward", "outward")
        )
    ),
]


@pytest.fixture(
    params=CASES, ids=[f"{k}-{'-'.join(map(str, p.values()))}" for k, p in CASES]
)
def pair(request):
    kind, given = request.param
    return build(kind, **given), build(kind, site(DRAWN_THICK), **given)


def measured(section, gauge):
    (x0, y0), (x1, y1) = section.points[gauge.start], section.points[gauge.end]
    return abs(x1 - x0) if gauge.axis is Axis.HORIZONTAL else abs(y1 - y0)


def test_the_same_bodies_joints_and_points(pair):
    true, thick = pair
    assert [(b.id, b.role, b.stage) for b in true.bodies] == [
        (b.id, b.role, b.stage) for b in thick.bodies
    ]
    assert set(true.points) == set(thick.points)
    assert {(j.upper, j.lower, j.bond) for j in true.joints} == {
        (j.upper, j.lower, j.bond) for j in thick.joints
    }
    assert true.stages == thick.stages
    for one, two in zip(true.layouts, thick.layouts, strict=True):
        assert [p.id for p in one.parts] == [p.id for p in two.parts]
        for a, b in zip(one.parts, two.parts, strict=True):
            assert a.region.bounds == pytest.approx(b.region.bounds, abs=1e-6)
        assert [m.at for m in one.marks] == [m.at for m in two.marks]
    assert true.notes == thick.notes


def test_every_dimension_keeps_its_length(pair):
    """The drawn anchors lie as far apart as the true ones where a parameter says so."""
    true, thick = pair
    assert [g.id for g in true.gauges] == [g.id for g in thick.gauges]
    for gauge in true.gauges:
        assert measured(thick, gauge) == pytest.approx(measured(true, gauge), abs=1e-6), (
            gauge.id
        )
        assert measured(true, gauge) > 1.0


def test_thin_things_are_thicker_by_the_factor_told(pair):
    true, thick = pair
    assert (true.sheet_factor, true.metal_factor, true.bed_factor) == (1.0, 1.0, 1.0)
    assert thick.metal_factor == 5.0
    assert thick.bed_factor == 3.0
    assert 1.0 < thick.sheet_factor <= 3.0
    for one, two in zip(true.bodies, thick.bodies, strict=True):
        factor = 1.0
        if one.role in SHEETS:
            factor = thick.sheet_factor
        elif one.role is Role.CEMENT:
            factor = thick.bed_factor
        elif one.role in {Role.EDGE_METAL, Role.CLEAT}:
            factor = thick.metal_factor
        elif one.role in {Role.COPING, Role.COUNTERFLASHING}:
            continue  # held down to what a joint in masonry has room for
        assert two.thickness == pytest.approx(one.thickness * factor), one.id


def test_solids_stay_clear_of_one_another(pair):
    for section in pair:
        solids = [b for b in section.bodies if b.role is not Role.FASTENER]
        for i, one in enumerate(solids):
            for two in solids[i + 1 :]:
                assert overlap_area(one.region, two.region) < 1e-4, (one.id, two.id)


def test_nails_go_as_deep_into_the_wood_as_at_true_size():
    true, thick = build("roof-edge"), build("roof-edge", site(DRAWN_THICK))
    for nail in ("nail-1", "nail-2"):
        tips = [
            body(s, nail).region.bounds[1] - s.points["edge.top"][1] for s in (true, thick)
        ]
        assert tips[0] == pytest.approx(tips[1], abs=0.2)


@pytest.mark.parametrize("rise", ["3/4 in", "1 in", "2 in"])
def test_plies_are_held_below_a_low_leg(rise):
    section = build("roof-edge", site(Thickening(8.0, 5.0, 3.0)), rise=mm(rise))
    leg = section.points["leg.top"][1]
    assert body(section, "finish-ply").region.bounds[3] < leg
    assert body(section, "edge-bead").region.bounds[3] < leg
    assert section.sheet_factor >= 1.0


# --- what is taken where the parameters say nothing ---


@pytest.mark.parametrize("kind", list(CONDITIONS))
def test_what_is_said_to_be_taken_draws_the_same(kind):
    """Writing the defaults out in full changes nothing."""
    condition, where = CONDITIONS[kind], site()
    p = parameters(kind)
    taken = condition.taken(p, where)
    own = {k: v for k, v in taken.items() if k in condition.parameters.model_fields}
    open_ended = {
        name for name, info in condition.parameters.model_fields.items()
        if info.default is None and name not in {"length", "count"}
    }  # fmt: skip
    assert open_ended <= set(own)
    plain, full = build(kind), build(kind, **own)
    assert plain == full or [(b.id, b.region.wkt) for b in plain.bodies] == [
        (b.id, b.region.wkt) for b in full.bodies
    ]
    assert plain.points == full.points
