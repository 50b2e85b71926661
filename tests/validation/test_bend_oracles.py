"""Bend allowance against published formulas and worked examples, inches throughout.

Each check names its source and how it is known. Rows marked computed are worked out here
a second time in another way: by the arc itself, and by where the outer faces meet.
"""

import re
from dataclasses import replace
from itertools import pairwise
from math import cos, dist, pi, radians, sin

import pytest

from detailgen.catalog import load_catalog
from detailgen.catalog.lookups import Bending, Figure
from detailgen.patterns._unfolding import unfold
from detailgen.patterns.bending import allowance, deduction, setback
from detailgen.patterns.shopwork import shopwork
from detailgen.profile import Shopwork
from detailgen.scene import Text
from detailgen.sheet.board import board_of
from detailgen.sheet.profile_pages import profile_pages
from detailgen.units import inches, to_inches
from tests.sheet.asked import typical

TABLES = load_catalog().tables

# Thickness, radius, K, angle: allowance, setback, deduction, flat width of legs 2 and 4 in.
# Computed from the formulas of an engineering page on bend allowance (the formulas: read):
# BA = (pi / 180) A (R + K T), OSSB = (R + T) tan(A / 2), BD = 2 OSSB - BA.
COMPUTED = [
    (0.0276, 0.030, 0.44, 90, 0.0662, 0.0576, 0.0490),
    (0.0320, 0.060, 0.394, 90, 0.1141, 0.0920, 0.0699),
    (0.0400, 0.0625, 0.40, 90, 0.1233, 0.1025, 0.0817),
    (0.0500, 0.0625, 0.40, 90, 0.1296, 0.1125, 0.0954),
    (0.0276, 0.030, 0.44, 45, 0.0331, 0.0239, 0.0146),
    (0.0276, 0.030, 0.44, 135, 0.0993, 0.1391, 0.1788),
]


@pytest.mark.parametrize(("t", "r", "k", "a", "ba", "ossb", "bd"), COMPUTED)
def test_the_computed_rows(t, r, k, a, ba, ossb, bd):
    assert allowance(a, r, t, k) == pytest.approx(ba, abs=0.00006)
    assert setback(a, r, t) == pytest.approx(ossb, abs=0.00006)
    assert deduction(a, r, t, k) == pytest.approx(bd, abs=0.00011)


def _by_hand(t: float, r: float, k: float, a: float) -> tuple[float, float]:
    """Return the neutral arc as a polygon's length, and the setback by meeting faces."""
    steps = 20_000
    ring = [
        (
            (r + k * t) * cos(radians(a * i / steps)),
            (r + k * t) * sin(radians(a * i / steps)),
        )
        for i in range(steps + 1)
    ]
    arc = sum(dist(p, q) for p, q in pairwise(ring))
    # outer faces: tangents to the circle of radius r + t at 0 and at the angle bent through
    out, turn = r + t, radians(a)
    start, end = (out, 0.0), (out * cos(turn), out * sin(turn))
    # start + u (0, 1) meets end - v (-sin, cos); the two tangents are as long as each other
    u = end[1] - start[1] + (end[0] - start[0]) * cos(turn) / sin(turn)
    apex = (out, u)
    assert dist(apex, end) == pytest.approx(dist(apex, start))
    return arc, dist(apex, start)


@pytest.mark.parametrize(("t", "r", "k", "a", "ba", "ossb", "bd"), COMPUTED)
def test_the_computed_rows_again_from_arcs_and_tangents(t, r, k, a, ba, ossb, bd):
    arc, tangent = _by_hand(t, r, k, a)
    assert allowance(a, r, t, k) == pytest.approx(arc, rel=1e-6)
    assert setback(a, r, t) == pytest.approx(tangent, rel=1e-9)
    assert deduction(a, r, t, k) == pytest.approx(2 * tangent - arc, abs=1e-7)


def _shape(legs: list[float], turns: list[float], t: float) -> list[tuple[float, float]]:
    """Return the centre line, mm, of a metal with sharp bends and these outside legs."""
    x = y = heading = 0.0
    points = [(x, y)]
    beyond = [0.0, *(t / 2 * abs(_tan_half(a)) for a in turns), 0.0]
    for i, leg in enumerate(legs):
        long = inches(leg - beyond[i] - beyond[i + 1])
        x, y = x + long * cos(radians(heading)), y + long * sin(radians(heading))
        points.append((x, y))
        heading += turns[i] if i < len(turns) else 0.0
    return points


def _tan_half(a: float) -> float:
    return (1 - cos(radians(a))) / sin(radians(a))


def _stock(k: float, radius: float) -> Bending:
    """Return how a metal with this K and this inside radius, inches, bends."""
    return Bending("x", "x", 0.0, Figure(k, "", ""), Figure(inches(radius), "", ""))


def _flat(legs: list[float], turns: list[float], t: float, r: float, k: float) -> float:
    course = _shape(legs, turns, t)
    return to_inches(unfold(course, inches(t), _stock(k, r), face_left=True).width)


@pytest.mark.parametrize(("t", "r", "k", "a", "ba", "ossb", "bd"), COMPUTED)
def test_a_bracket_of_2_and_4_in_legs(t, r, k, a, ba, ossb, bd):
    assert _flat([2.0, 4.0], [a], t, r, k) == pytest.approx(6.0 - bd, abs=0.00011)


K_OF_THE_CONSTANTS = 0.0078 / 0.01743
"""Shops write the formula as (0.0078 T + 0.01743 R) A, which is a K of 0.4475."""


def test_a_shop_workbook_s_part_with_three_bends():
    """Sheet metal workbook page on 90 degree bends, read: thickness 0.050, radius 0.032,
    allowance 0.085, deduction 0.079; outside legs 0.740, 0.420, 1.050 and 1.000 lay out to
    2.973."""
    t, r, k = 0.050, 0.032, K_OF_THE_CONSTANTS
    assert allowance(90, r, t, k) == pytest.approx(0.085, abs=0.0006)
    assert deduction(90, r, t, k) == pytest.approx(0.079, abs=0.0006)
    # The directions of the bends do not matter to the width. The page rounds each of three
    # deductions to 0.001, so that its width is good to 0.0015.
    for turns in ([90, 90, -90], [90, -90, 90], [-90, 90, 90]):
        assert _flat([0.740, 0.420, 1.050, 1.000], turns, t, r, k) == pytest.approx(
            2.973, abs=0.0015
        )


def test_a_channel_of_the_airframe_handbook():
    """Aviation maintenance handbook, airframe volume, U-channel example as two pages quote
    it, read: 0.040 in sheet, radius 0.16, legs 1.00, 2.00, 1.00; setback 0.2; flats 0.8,
    1.6, 0.8."""
    t, r = 0.040, 0.16
    assert setback(90, r, t) == pytest.approx(0.2)
    course = _shape([1.0, 2.0, 1.0], [90, 90], t)
    flat = unfold(course, inches(t), _stock(0.4, r), face_left=True)
    assert [to_inches(leg.length) for leg in flat.legs] == pytest.approx([1.0, 2.0, 1.0])
    assert [to_inches(leg.flat) for leg in flat.legs] == pytest.approx([0.8, 1.6, 0.8])


def test_a_welding_page_s_walk_through():
    """Trade calculator page on bend allowance, read: 90 degrees, thickness and radius
    0.125, K 0.44: neutral radius 0.180, allowance 0.2827."""
    assert allowance(90, 0.125, 0.125, 0.44) == pytest.approx(0.2827, abs=0.00006)
    assert allowance(90, 0.125, 0.125, 0.44) == pytest.approx(pi / 2 * 0.180)


def test_our_depths_of_the_neutral_fibre_are_the_published_ones():
    """Engineering page on bend allowance, read: soft aluminium and copper 0.33, mild
    steel 0.38 to 0.42, stainless 0.45 to 0.50. Web table after Machinery's Handbook,
    26th edition, restated: thickness 0.032, radius 0.060 gives 0.394."""
    assert TABLES.bending("copper", inches(0.0216)).k.value == 0.33
    assert TABLES.bending("aluminium", inches(0.040)).k.value == 0.33
    assert 0.38 <= TABLES.bending("galvanized", inches(0.0276)).k.value <= 0.42
    assert 0.45 <= TABLES.bending("stainless", inches(0.018)).k.value <= 0.50
    thin = TABLES.bending("aluminium", inches(0.032))
    assert thin.k.value == 0.394
    assert to_inches(thin.radius.value) == pytest.approx(0.060)


@pytest.mark.parametrize("gap", [0.0, 0.0336])
def test_a_fold_is_an_arc_round_what_it_holds(gap):
    """Computed: a fold of 180 degrees round a gap is half a turn of radius gap / 2, and the
    two plies run to its outer edge, which is the thickness beyond the gap's round."""
    t, k, hem, leg = 0.0276, 0.40, 0.5, 3.0
    web = inches(gap + t)  # between the centre lines of the two plies
    leg_mm, hem_mm = inches(leg - t / 2), inches(hem - t / 2)
    course = [(0.0, 0.0), (leg_mm, 0.0), (leg_mm, web), (leg_mm - hem_mm, web)]
    flat = unfold(course, inches(t), _stock(k, 0.030), face_left=True)
    (bend,) = flat.bends
    assert [to_inches(x.length) for x in flat.legs] == pytest.approx([leg, hem])
    assert to_inches(bend.gap) == pytest.approx(gap)
    straight = (leg - gap / 2 - t) + (hem - gap / 2 - t)
    arc = pi * (gap / 2 + k * t)
    assert to_inches(flat.width) == pytest.approx(straight + arc)


def test_a_closed_hem_keeps_its_metal():
    """Computed: with the neutral fibre at half of the thickness, developed width times
    thickness is the area of metal: two plies and half a round of radius T."""
    t, leg, hem = 0.0276, 3.0, 0.5
    course = [
        (0.0, 0.0),
        (inches(leg - t / 2), 0.0),
        (inches(leg - t / 2), inches(t)),
        (inches(leg - hem), inches(t)),
    ]
    flat = unfold(course, inches(t), _stock(0.5, 0.030), face_left=True)
    area = t * (leg - t) + t * (hem - t) + pi * t**2 / 2
    assert to_inches(flat.width) * t == pytest.approx(area)


def _printed(
    legs: list[float], turns: list[float], stock: tuple[float, float, float]
) -> str:
    """Return what the shop's sheet says of a part of the given thickness, radius and K."""
    t, r, k = stock
    request = typical("roof-edge")
    (_, edge) = shopwork(request.section, request.catalog).profiles
    course = _shape(legs, turns, t)
    flat = unfold(course, inches(t), _stock(k, r), face_left=True)
    part = replace(
        edge,
        course=tuple(course),
        thickness=inches(t),
        face_left=True,
        legs=flat.legs,
        bends=flat.bends,
        developed=flat.width,
        holes=(),
    )
    pages = profile_pages(board_of(replace(request, shop=Shopwork((part,)))))
    items = [*pages[0].items, *(i for v in pages[0].views for i in v.items)]
    return " ".join(i.content for i in items if isinstance(i, Text))


@pytest.mark.parametrize("turns", [[90, 90, -90], [90, -90, 90], [-90, 90, 90]])
def test_the_sheet_prints_the_workbook_s_width(turns):
    """The part of the workbook page above, 2.973 to the 0.0015 that its roundings leave."""
    text = _printed([0.740, 0.420, 1.050, 1.000], turns, (0.050, 0.032, K_OF_THE_CONSTANTS))
    [width] = re.findall(r'Developed width: .*?\((\d\.\d{3})"\)', text)
    assert float(width) == pytest.approx(2.973, abs=0.0015)
    # each beside the metal and on the flat piece
    assert text.count("90\u00b0 UP") == 2 * sum(turn > 0 for turn in turns)
    assert text.count("90\u00b0 DOWN") == 2 * sum(turn < 0 for turn in turns)


@pytest.mark.parametrize(("t", "r", "k", "a", "ba", "ossb", "bd"), COMPUTED)
def test_the_sheet_prints_the_computed_widths(t, r, k, a, ba, ossb, bd):
    text = _printed([2.0, 4.0], [a], (t, r, k))
    [width] = re.findall(r'Developed width: .*?\((\d\.\d{3})"\)', text)
    assert float(width) == pytest.approx(6.0 - bd, abs=0.0006)
    assert 'Legs: 2", 4", outside' in text


def test_the_sheet_prints_the_airframe_handbook_s_channel():
    """Legs 1.00, 2.00 and 1.00, radius 0.16, as in the example above."""
    text = _printed([1.0, 2.0, 1.0], [90, 90], (0.040, 0.16, 0.4))
    assert 'Legs: 1", 2", 1", outside' in text
    assert '90\u00b0 up, inside radius 0.160"' in text
