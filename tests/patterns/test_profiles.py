"""Profiles of bent metals: legs against the drawn solid, bends, holes, the flat piece."""

from dataclasses import replace
from itertools import pairwise
from math import atan2, cos, degrees, dist, pi, radians, sin, tan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from detailgen.catalog import load_catalog
from detailgen.catalog.lookups import Bending, Figure
from detailgen.conditions import CONDITIONS, Site
from detailgen.parameters import Roof
from detailgen.patterns._unfolding import tidy, unfold
from detailgen.patterns.profiles import AS_USUAL, profile, profiles
from detailgen.profile import End, HoleRow, Make, Profile, Shop, Turn
from detailgen.section import METALS, LayeredSection, Role, Thickening
from detailgen.units import inches, to_inches
from tests.sampling import samples

CATALOG = load_catalog()
RULES = CATALOG.rule_set("common-practice")
METALS_OF_AN_EDGE = [
    "galvanized-24", "aluminium-032", "aluminium-040", "aluminium-050", "stainless-025",
    "copper-16", "copper-20",
]  # fmt: skip
VARIANTS = [
    ("wall", {"termination": "reglet"}),
    ("wall", {"termination": "surface"}),
    ("wall", {"termination": "coping"}),
    ("roof-edge", {"edge": "raised"}),
    ("roof-edge", {"edge": "raised", "cleat": False}),
    ("roof-edge", {"edge": "raised", "edge_strip": True}),
    ("roof-edge", {"edge": "flush"}),
    ("roof-edge", {"edge": "flush", "cleat": False, "fall": "outward"}),
    *(("roof-edge", {"metal": metal}) for metal in METALS_OF_AN_EDGE),
]


def _built(kind: str, extra: dict, thickening: Thickening | None = None) -> LayeredSection:
    condition = CONDITIONS[kind]
    site = Site(Roof(), CATALOG, RULES)
    if thickening is not None:
        site = replace(site, thickening=thickening)
    return condition.build(condition.parameters(id="X1", **extra), site)


def _random() -> list[LayeredSection]:
    return [
        condition.build(parameters, site)
        for kind in ("wall", "roof-edge")
        for condition, parameters, site in samples(kind, 30, 8, CATALOG, RULES)
    ]


SECTIONS = [_built(kind, extra) for kind, extra in VARIANTS] + _random()
ALL = [(s, p) for s in SECTIONS for p in profiles(s, CATALOG)]


def _made(kind: str, extra: dict, body: str) -> Profile:
    return profile(_built(kind, extra), body, CATALOG)


# --- what every profile holds ---


def test_every_bent_metal_of_a_section_has_its_profile():
    for section in SECTIONS:
        wanted = [b.id for b in section.of_role(*METALS) if b.course is not None]
        assert [p.id for p in profiles(section, CATALOG)] == wanted
        assert wanted
    assert {p.id for _, p in ALL} == {
        "cleat", "counterflashing", "coping", "coping-cleat", "edge-metal",
    }  # fmt: skip


def _straights(p: Profile) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Return the ends on the centre line of every leg: a fold leaves its web out."""
    pairs = list(pairwise(p.course))
    legs, i = [], 0
    for bend in (*p.bends, None):
        legs.append(pairs[i])
        i += 2 if bend and bend.make is not Make.BEND else 1
    assert i == len(pairs)
    return legs


def test_outside_legs_are_those_of_the_drawn_solid():
    """The solid is bent sharp, so legs run from one of its outer corners to the next."""
    looked = 0
    for section, p in ALL:
        t = p.thickness
        body = section.body(p.id)
        corners = [(x, y) for x, y in body.region.exterior.coords]
        for leg, (a, b) in zip(p.legs, _straights(p), strict=True):
            span = dist(a, b)
            ux, uy = (b[0] - a[0]) / span, (b[1] - a[1]) / span
            along = [
                (x - a[0]) * ux + (y - a[1]) * uy
                for x, y in corners
                if abs((y - a[1]) * ux - (x - a[0]) * uy) < t / 2 + 1e-3
            ]
            near = [s for s in along if -2 * t < s < span + 2 * t]
            assert leg.length == pytest.approx(max(near) - min(near), abs=2e-3)
            looked += 1
    assert looked > 300


def test_the_flat_piece_is_flats_and_allowances_end_to_end():
    for section, p in ALL:
        station = 0.0
        for leg, bend in zip(p.legs, (*p.bends, None), strict=True):
            assert leg.start == pytest.approx(station)
            station += leg.flat
            if bend is not None:
                assert bend.at == pytest.approx(station + bend.allowance / 2)
                station += bend.allowance
        assert station == pytest.approx(p.developed)
        outside = sum(leg.length for leg in p.legs)
        assert p.developed == pytest.approx(outside - sum(b.deduction for b in p.bends))
        # bending takes a little from the girth of the sharp centre line, bend by bend
        girth = section.body(p.id).course.length
        less = sum(_shorter(b.angle, b.make, b.radius, p) for b in p.bends)
        assert p.developed == pytest.approx(girth - less, abs=2e-3)
        assert 0 <= girth - p.developed < 4 * p.thickness * len(p.bends)


def _shorter(angle: float, make: Make, radius: float, p: Profile) -> float:
    """Return what a bend takes, from the sharp corner of the centre line to the arc."""
    t = p.thickness
    arc = radians(angle) * (radius + p.k * t)
    if make is Make.BEND:
        return 2 * (radius + t / 2) * tan(radians(angle / 2)) - arc
    web = 2 * radius + t  # the fold: half of the web on either side of it, and its ends
    return web + 2 * (radius + t / 2) - arc


def test_bends_and_folds_fit_their_metal():
    for _, p in ALL:
        row = CATALOG.tables.bending(CATALOG.material(p.material).kind, p.thickness)
        assert p.k == row.k.value
        assert all(p.bend_sources)
        for bend in p.bends:
            assert 0 < bend.angle <= 180
            assert bend.included == pytest.approx(180 - bend.angle)
            if bend.make is Make.BEND:
                assert bend.radius == row.radius.value
                assert bend.gap == 0
            else:
                assert bend.angle == 180
                assert (bend.gap > 0) == (bend.make is Make.OPEN_FOLD)
                assert bend.radius < row.radius.value


def test_rebent_from_its_numbers_the_metal_is_where_the_section_has_it():
    for _, p in ALL:
        assert _rebent(p)[-1] == pytest.approx(p.course[-1], abs=5e-3)
        for one, other in zip(_rebent(p), p.course, strict=True):
            assert one == pytest.approx(other, abs=5e-3)


def _rebent(p: Profile) -> list[tuple[float, float]]:
    """Bend the centre line again, from legs, angles and turns alone."""
    (x, y), second = p.course[:2]
    heading = degrees(_heading((x, y), second))
    points, t, before = [(x, y)], p.thickness, 0.0
    for leg, bend in zip(p.legs, (*p.bends, None), strict=True):
        fold = bend is not None and bend.make is not Make.BEND
        after = (
            0.0 if bend is None else t / 2 * tan(radians(45 if fold else bend.angle / 2))
        )
        long = leg.length - before - after
        x, y = x + long * cos(radians(heading)), y + long * sin(radians(heading))
        points.append((x, y))
        if bend is None:
            break
        side = 1 if (bend.turn is Turn.UP) is p.face_left else -1
        if fold:
            across = heading + side * 90
            web = t + bend.gap
            x, y = x + web * cos(radians(across)), y + web * sin(radians(across))
            points.append((x, y))
        heading += side * bend.angle
        before = after
    return points


def _heading(a: tuple[float, float], b: tuple[float, float]) -> float:
    return atan2(b[1] - a[1], b[0] - a[0])


# --- the shop's words, variant by variant ---


def _words(p: Profile) -> list[tuple[str, str, int]]:
    return [(b.make.value, b.turn.value, round(b.angle)) for b in p.bends]


def test_a_raised_edge():
    p = _made("roof-edge", {}, "edge-metal")
    assert p.face == "weather face"
    assert _words(p) == [
        ("bend", "up", 89),  # the flange lies on a falling roof, the leg stands plumb
        ("closed fold", "down", 180),
        ("bend", "up", 30),
        ("open fold", "down", 180),
    ]
    assert (p.start, p.end) == (End.CUT, End.OPEN_HEM)
    cleat = CATALOG.material("galvanized-22").thickness
    assert p.bends[3].gap == pytest.approx(cleat, abs=1e-3)  # it hooks round the cleat
    assert p.metal == "Galvanized steel, 24 gauge, 0.0276 in"
    assert p.notes == ()
    flange, leg = p.legs[:2]
    assert to_inches(flange.length) == pytest.approx(4 + 0.0276, abs=0.002)
    assert to_inches(leg.length) == pytest.approx(1 + 0.0276, abs=0.002)


def test_an_edge_without_a_cleat_ends_in_a_closed_hem():
    p = _made("roof-edge", {"cleat": False}, "edge-metal")
    assert _words(p)[-1] == ("closed fold", "down", 180)
    assert p.end is End.CLOSED_HEM
    assert to_inches(p.legs[-1].length) == pytest.approx(0.5138, abs=0.0005)


def test_a_flush_edge():
    p = _made("roof-edge", {"edge": "flush"}, "edge-metal")
    assert _words(p) == [
        ("bend", "down", 91), ("bend", "up", 30), ("open fold", "down", 180),
    ]  # fmt: skip


def test_a_cleat_kicks_toward_its_stated_face():
    p = _made("roof-edge", {}, "cleat")
    assert p.face == "face that the next metal hooks over"
    assert _words(p) == [("bend", "up", 30)]
    assert (p.start, p.end) == (End.CUT, End.CUT)


def test_a_coping():
    p = _made("wall", {"termination": "coping"}, "coping")
    assert _words(p) == [
        ("bend", "up", 45),
        ("bend", "down", 85),
        ("bend", "down", 95),
        ("bend", "up", 30),
        ("open fold", "down", 180),
    ]
    assert p.bends[1].angle + p.bends[2].angle == pytest.approx(180)


def test_a_counterflashing_in_a_reglet_and_on_the_face():
    reglet = _made("wall", {"termination": "reglet"}, "counterflashing")
    assert not reglet.face_left  # its course comes out of the wall: the wall is on the left
    assert _words(reglet) == [("bend", "up", 90), ("bend", "down", 90), ("bend", "up", 45)]
    assert to_inches(reglet.legs[0].length) == pytest.approx(0.25 + 0.0276 / 2, abs=1e-6)
    surface = _made("wall", {"termination": "surface"}, "counterflashing")
    assert [w[1] for w in _words(surface)] == ["up", "up", "down", "up"]
    assert surface.bends[1].angle == pytest.approx(surface.bends[2].angle)


# --- joints and holes ---


def test_the_joint_between_pieces():
    edge = _made("roof-edge", {}, "edge-metal")
    assert to_inches(edge.piece) == 120
    assert to_inches(edge.gap_drawn) == pytest.approx(0.25)
    assert edge.lap_drawn is None
    assert to_inches(edge.movement) == pytest.approx(0.1367, abs=0.00006)
    assert to_inches(edge.gap_needed) == pytest.approx(3 / 16)
    assert not edge.gap_is_tight
    assert len(edge.movement_sources) == 2
    lapped = _made("wall", {}, "counterflashing")
    assert lapped.gap_drawn is None
    assert to_inches(lapped.lap_drawn) == pytest.approx(
        to_inches(RULES.value("counterflashing_end_lap_least"))
    )
    assert not lapped.gap_is_tight
    cleat = _made("roof-edge", {}, "cleat")
    assert (cleat.gap_drawn, cleat.lap_drawn) == (None, None)


def test_a_quarter_inch_is_tight_for_ten_feet_of_aluminium():
    section = _built("roof-edge", {"metal": "aluminium-032"})
    p = profile(section, "edge-metal", CATALOG)
    assert p.gap_is_tight
    assert to_inches(p.movement - p.gap_drawn) == pytest.approx(0.0009, abs=0.00003)
    assert to_inches(p.gap_needed) == pytest.approx(5 / 16)
    shorter = profile(
        section, "edge-metal", CATALOG, Shop(inches(96), AS_USUAL.temperatures)
    )
    milder = profile(section, "edge-metal", CATALOG, Shop(AS_USUAL.piece, "mild"))
    assert not shorter.gap_is_tight
    assert not milder.gap_is_tight


@pytest.mark.parametrize("edge", ["raised", "flush"])
@pytest.mark.parametrize(("rows", "spacing"), [(2, 3.0), (3, 2.0), (1, 4.0)])
def test_holes_follow_the_stagger_of_the_plan(edge, rows, spacing):
    section = _built(
        "roof-edge", {"edge": edge, "nail_rows": rows, "nail_spacing": inches(spacing)}
    )
    p = profile(section, "edge-metal", CATALOG)
    assert [h.body for h in p.holes] == [f"nail-{i + 1}" for i in range(rows)]
    plan = section.layout("flange-plan")
    end = max(part.region.bounds[0] for part in plan.of_role(Role.EDGE_METAL))
    outer = plan.points["flange.outer"][1]
    for i, hole in enumerate(p.holes):
        marks = [m.at for m in plan.marks if m.body == hole.body]
        assert hole.spacing == pytest.approx(inches(spacing))
        # across: as far from the flange's end as in the plan, but for the roof's slope
        assert hole.across == pytest.approx(marks[0][1] - outer, abs=0.05)
        assert hole.diameter == section.body(hole.body).thickness
        # along: the first holes of the second piece are where the plan shows them
        seen = sorted(x - end for x, _ in marks if x > end)
        assert list(hole.along(p.piece))[: len(seen)] == pytest.approx(seen)
        half = inches(spacing) / 2 if i % 2 else 0.0
        assert p.stagger(hole) == pytest.approx(half, abs=1e-6)
        along = hole.along(p.piece)
        assert 0 <= along[0] < inches(spacing)
        assert p.piece - inches(spacing) < along[-1] <= p.piece


def test_holes_of_a_bar_and_of_what_no_layout_shows():
    bar = _made("wall", {"termination": "surface"}, "counterflashing")
    (row,) = bar.holes
    assert row.body == "bar-fastener-1"
    assert row.along(bar.piece)
    (screw,) = _made("wall", {"termination": "coping"}, "coping").holes
    assert (screw.spacing, screw.first, screw.along(3048.0)) == (None, None, ())
    (nail,) = _made("roof-edge", {}, "cleat").holes
    assert to_inches(nail.spacing) == pytest.approx(6)
    assert nail.first is None  # the plan shows no end of a cleat
    for p in (_made("roof-edge", {}, "cleat"), _made("wall", {}, "counterflashing")):
        assert all(p.stagger(h) is None for h in p.holes)


def test_holes_stay_on_the_flat_of_a_leg():
    seen = 0
    for _, p in ALL:
        for hole in p.holes:
            assert any(
                leg.start <= hole.across <= leg.start + leg.flat for leg in p.legs
            ), (p.id, hole)
            seen += 1
    assert seen > 50


# --- what cannot be read ---


def test_a_section_that_is_drawn_thick_is_refused():
    thick = _built("roof-edge", {}, Thickening(2.0, 3.0, 2.0))
    with pytest.raises(ValueError, match="true size"):
        profile(thick, "edge-metal", CATALOG)


@pytest.mark.parametrize("body", ["flashing", "termination-bar", "nothing"])
def test_what_is_no_bent_metal_is_refused(body):
    with pytest.raises(ValueError, match="no bent metal"):
        profile(_built("wall", {"termination": "surface"}), body, CATALOG)


# --- unfolding, on courses of its own ---


def _stock(radius: float, k: float = 0.4) -> Bending:
    return Bending("x", "x", 0.0, Figure(k, "", ""), Figure(radius, "", ""))


def test_a_straight_strip_needs_no_bend():
    flat = unfold(tidy([(0, 0), (5, 0), (5, 0), (30, 0)]), 0.7, _stock(0.8), face_left=True)
    assert flat.bends == ()
    assert flat.width == 30
    assert flat.across(12.0) == 12.0


def test_a_channel_is_no_fold():
    wide = unfold([(0, 0), (50, 0), (50, 30), (0, 30)], 0.7, _stock(0.8), face_left=True)
    assert [b.make for b in wide.bends] == [Make.BEND, Make.BEND]
    # just wide enough for two bends of its radius, and just too narrow
    for gap, bends in ((1.601, 2), (1.599, 1)):
        web = 0.7 + gap
        flat = unfold(
            [(0, 0), (50, 0), (50, web), (0, web)], 0.7, _stock(0.8), face_left=True
        )
        assert len(flat.bends) == bends
    jog = unfold([(0, 0), (50, 0), (50, 0.7), (100, 0.7)], 0.7, _stock(0.8), face_left=True)
    assert [b.turn for b in jog.bends] == [Turn.UP, Turn.DOWN]
    assert jog.legs[1].flat < 0  # no brake makes it


def test_a_line_that_goes_straight_back_is_a_closed_hem_turned_under():
    for left in (True, False):
        flat = unfold([(0, 0), (50, 0), (40, 0)], 0.7, _stock(0.8), face_left=left)
        (bend,) = flat.bends
        assert (bend.make, bend.turn, bend.angle) == (Make.CLOSED_FOLD, Turn.DOWN, 180)
        assert [leg.length for leg in flat.legs] == [50, 10]
        assert flat.width == pytest.approx(50 + 10 - 2 * 0.7 + pi * 0.4 * 0.7)


@given(
    st.lists(
        st.tuples(
            st.floats(20.0, 200.0), st.floats(5.0, 135.0), st.sampled_from([1.0, -1.0])
        ),
        min_size=2,
        max_size=6,
    ),
    st.floats(0.3, 1.5),
)
@settings(max_examples=60, deadline=None)
def test_stations_run_across_the_flat_piece_without_a_jump(shape, thickness):
    x = y = heading = 0.0
    course = [(x, y)]
    for long, turn, side in shape:
        x, y = x + long * cos(heading), y + long * sin(heading)
        course.append((x, y))
        heading += side * radians(turn)
    flat = unfold(course, thickness, _stock(1.0), face_left=True)
    total = sum(dist(a, b) for a, b in pairwise(course))
    assert flat.across(0.0) == 0.0
    assert flat.across(total) == pytest.approx(flat.width)
    stations = [total * i / 400 for i in range(401)]
    places = [flat.across(s) for s in stations]
    assert all(b > a for a, b in pairwise(places))
    assert max(b - a for a, b in pairwise(places)) < 1.05 * total / 400


def test_positions_of_holes_end_with_the_piece():
    row = HoleRow("nail-1", "Nail", 25.4, 3.2, spacing=100.0, first=50.0)
    assert row.along(250.0) == (50.0, 150.0, 250.0)
    assert row.along(249.0) == (50.0, 150.0)
