"""What the conditions' own sections give, and how changes to them tell."""

from collections.abc import Mapping
from dataclasses import replace
from functools import cache

import pytest

from detailgen.catalog import load_catalog
from detailgen.conditions import CONDITIONS, Site
from detailgen.geometry.regions import box
from detailgen.parameters import Roof
from detailgen.section import Bond, LayeredSection, Method, Role
from detailgen.units import inches
from detailgen.waterpath import Waters, ways
from tests.waterpath.mutating import holed

CATALOG = load_catalog()
RULES = CATALOG.rule_set("common-practice")
WALLS = [
    {"termination": t, "flashing": f, "wall": w}
    for t in ("reglet", "surface", "coping")
    for f in ("foil", "granule-in-cement")
    for w in ("masonry", "stud")
]
EDGES = [
    {"edge": e, "cleat": c, "edge_strip": s, "fall": f}
    for e in ("raised", "flush")
    for c, s in ((True, False), (False, True))
    for f in ("inward", "outward")
]
ASKED = {True: 2.0, False: 1.0}


@cache
def _built(
    kind: str, given: tuple[tuple[str, object], ...], roof: Roof
) -> LayeredSection | None:
    site = Site(roof, CATALOG, RULES)
    condition = CONDITIONS[kind]
    parameters = condition.parameters(id="X1", **dict(given))
    return (
        None
        if condition.impossible(parameters, site)
        else condition.build(parameters, site)
    )


def built(kind: str, roof: Roof = Roof(), **given: object) -> LayeredSection:  # noqa: B008
    section = _built(kind, tuple(sorted(given.items())), roof)
    assert section is not None
    return section


def figures(section: LayeredSection) -> Mapping[str, float]:
    return {way.zone: way.told for way in ways(section, RULES)}


@pytest.mark.parametrize("deck", ["concrete", "steel", "wood"])
@pytest.mark.parametrize("method", Method)
def test_the_defaults_of_every_kind_and_variant_hold(deck: str, method: Method) -> None:
    cover = inches(0.5) if deck == "steel" else None
    roof = Roof(deck=deck, adhesion=method, cover_board=cover)  # type: ignore[arg-type]
    variants: dict[str, list[dict[str, object]]] = {"wall": WALLS, "roof-edge": EDGES}  # type: ignore[dict-item]
    tried = 0
    for kind in CONDITIONS:
        for given in variants.get(kind, [{}]):
            section = _built(kind, tuple(sorted(given.items())), roof)
            if section is None:  # a reglet in a stud wall
                assert given.get("wall") == "stud"
                continue
            found = ways(section, RULES)
            assert found, kind
            for way in found:
                assert way.told >= ASKED[way.low], (kind, given, way)
            tried += 1
    assert tried >= len(CONDITIONS) + len(EDGES)


def test_the_figures_of_the_defaults() -> None:
    assert figures(built("wall")) == {"roof": 2.0, "cant": 2.0, "wall": 1.0}
    assert figures(built("wall", termination="coping")) == {
        "roof": 2.0,
        "cant": 2.0,
        "wall": 1.0,
    }
    assert figures(built("roof-edge")) == {"face": 2.0, "roof": 2.0, "flange": 2.0}
    assert figures(built("roof-edge", edge="flush")) == {
        "face": 2.0,
        "roof": 2.0,
        "flange": 2.0,
    }


@pytest.mark.parametrize(
    ("kind", "given", "gone", "zone", "figure"),
    [
        ("wall", {}, "strip-in", "cant", 1.0),
        ("wall", {}, "finish-ply", "roof", 1.0),
        ("wall", {}, "base-ply", "roof", 1.0),
        ("wall", {}, "flashing", "wall", 0.3),  # climbed from the hem to the strip-in's top
        ("wall", {}, "counterflashing", "wall", 0.0),
        ("wall", {"termination": "coping"}, "upper-flashing", "wall", 0.0),
        ("roof-edge", {}, "finish-ply", "roof", 1.0),
        ("roof-edge", {}, "base-ply", "flange", 1.0),
        ("roof-edge", {}, "edge-metal", "flange", 1.0),
        ("roof-edge", {"edge": "flush"}, "base-ply", "face", 1.0),
    ],
)
def test_a_sheet_left_out_lowers_the_figure_of_its_zone(
    kind: str, given: dict[str, object], gone: str, zone: str, figure: float
) -> None:
    section = built(kind, **given)
    assert figures(section)[zone] > figure
    assert figures(section.without(gone))[zone] == figure


@pytest.mark.parametrize(
    ("kind", "given", "zone", "figure"),
    [
        ("wall", {"counterflashing_lap": inches(2)}, "wall", 0.5),
        ("wall", {"reglet_depth": inches(0.5)}, "wall", 0.6),
        ("wall", {"termination": "coping", "upper_lap": inches(2)}, "wall", 0.53),
        ("wall", {"termination": "coping", "coping_face": inches(0.5)}, "wall", 0.5),
        ("roof-edge", {"flange": inches(3)}, "flange", 1.86),
        ("roof-edge", {"edge": "flush", "flange": inches(2)}, "flange", 1.48),
        ("roof-edge", {"base_ply_drop": inches(2), "cleat": False}, "face", 0.4),
    ],
)
def test_a_short_lap_lowers_the_figure_by_its_share(
    kind: str, given: dict[str, object], zone: str, figure: float
) -> None:
    assert figures(built(kind, **given))[zone] == pytest.approx(figure, abs=0.02)


def test_a_hole_lowers_the_figure_where_it_is_and_nowhere_else() -> None:
    section = built("wall")
    toe = section.points["cant.toe"][0]
    for sheet in ("finish-ply", "base-ply"):
        hole = box(toe - 160, -20, toe - 140, 20)
        found = figures(holed(section, sheet, hole))
        assert found == {"roof": 1.0, "cant": 2.0, "wall": 1.0}
    both = holed(holed(section, "finish-ply", hole), "base-ply", hole)
    assert figures(both) == {"roof": 0.0, "cant": 2.0, "wall": 1.0}
    high = section.points["flashing.top"][1] - 10.0
    torn = holed(section, "flashing", box(-20, high - 5, 1, high + 5))
    found = figures(torn)
    assert found["roof"] == found["cant"] == 2.0
    assert found["wall"] == pytest.approx(
        (high - 5 - section.points["cf.hem"][1]) / 101.6, abs=0.02
    )


def test_a_raised_hem_lowers_the_figure_by_its_share() -> None:
    section = built("wall")
    hem = section.points["cf.hem"][1]
    cut = holed(section, "counterflashing", box(-50, 0, 5, hem + 50.8))
    assert figures(cut)["wall"] == pytest.approx(0.5, abs=0.01)


@pytest.mark.parametrize(
    ("kind", "given"),
    [
        ("wall", {}),
        ("wall", {"termination": "surface", "flashing": "granule-in-cement"}),
        ("wall", {"termination": "coping"}),
        ("roof-edge", {}),
        ("roof-edge", {"edge": "flush", "cleat": False}),
    ],
)
def test_beads_and_fasteners_change_nothing(kind: str, given: dict[str, object]) -> None:
    section = built(kind, **given)
    before = ways(section, RULES)
    for body in section.of_role(Role.BEAD, Role.FASTENER, Role.TERMINATION_BAR, Role.CLEAT):
        assert ways(section.without(body.id), RULES) == before, body.id


def test_an_unstuck_lap_counts_nothing() -> None:
    section = built("roof-edge")
    loose = [
        replace(j, bond=Bond.DRY) if j.upper == "strip-in" else j for j in section.joints
    ]
    found = figures(replace(section, joints=tuple(loose)))
    assert found["flange"] < 1.1, "water runs on the metal to the base ply alone"


def test_short_plates_under_the_joints_of_edge_metal_lower_the_flange() -> None:
    section = built("roof-edge")
    (plan,) = section.layouts
    parts = [
        replace(p, region=box(p.region.bounds[0] + 50.8, *p.region.bounds[1:]))
        if p.role is Role.BACKING_PLATE
        else p
        for p in plan.parts
    ]
    short = replace(section, layouts=(replace(plan, parts=tuple(parts)),))
    assert figures(short)["flange"] == pytest.approx(1.5, abs=0.02)
    bare = [p for p in plan.parts if p.role is not Role.BACKING_PLATE]
    none = replace(section, layouts=(replace(plan, parts=tuple(bare)),))
    assert figures(none)["flange"] == 1.0


@pytest.mark.parametrize("kind", ["wall", "roof-edge", "vent-sleeve", "drain"])
def test_a_way_is_a_line_from_weather_to_what_gets_wet(kind: str) -> None:
    section = built(kind)
    for way in ways(section, RULES):
        assert len(way.line) >= 2
        assert way.line[-1] == way.at
        body = section.body(way.body)
        assert body is not None
        assert body.id in section.must_stay_dry
        x0, y0, x1, y1 = body.region.bounds
        assert x0 - 0.01 <= way.at[0] <= x1 + 0.01
        assert y0 - 0.01 <= way.at[1] <= y1 + 0.01
        assert sum(s.cost for s in way.steps) == pytest.approx(way.figure, abs=1e-5)
        for x, y in way.line:
            x0, y0, x1, y1 = section.extent.bounds
            assert x0 - 0.01 <= x <= x1 + 0.01
            assert y0 - 0.01 <= y <= y1 + 0.01


@pytest.mark.parametrize("kind", CONDITIONS)
def test_a_stage_comes_out_as_if_it_were_looked_at_alone(kind: str) -> None:
    """What stands at a stage is cut out of what is built, and not drawn once more."""
    section = built(kind)
    waters = Waters(section, RULES)
    told: set[float] = set()
    for stage in section.stages:
        found = waters.at_stage(stage.number)
        alone = ways(section.at_stage(stage.number), RULES)
        assert [w.zone for w in found] == [w.zone for w in alone]
        for one, other in zip(found, alone, strict=True):
            assert one.figure == pytest.approx(other.figure, abs=1e-6), stage
        told |= {w.told for w in found}
    assert len(told) > 1, "stages differ"
