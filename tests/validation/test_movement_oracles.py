"""Thermal movement against published figures; each check names its source.

Lengths in inches and temperatures in degrees Fahrenheit, unless a source is metric.
"""

import pytest

from detailgen.catalog import load_catalog
from detailgen.catalog.lookups import Temperatures
from detailgen.movement import (
    check_gap,
    held_stress,
    joint_gap,
    joint_spacing,
    laid_out,
    longest_piece,
    movement,
)
from detailgen.units import inches, to_inches

TABLES = load_catalog().tables
PER_F = 1.8e-6
"""One millionth per degree Fahrenheit, as growth per kelvin."""


def _span(degrees_f: float) -> Temperatures:
    return Temperatures("x", "x", 0.0, degrees_f / 1.8, "", "")


def _moves(inch: float, per_million_f: float, degrees_f: float) -> float:
    return to_inches(movement(inches(inch), per_million_f * PER_F, degrees_f / 1.8))


def test_an_inch_of_copper_in_the_copper_manual():
    """Copper Flashings, a manual, 2nd edition 1925, page 60, read: 0.0000095 per F; 1 in at
    60 F shrinks by 0.00057 to 0.99943 at 0 F and grows to 1.00057 at 120 F; held fast, with
    a modulus of 18,300,000, it is stressed by 10,431 psi; a roof's range was 170 F."""
    coefficient = TABLES.expansion["copper-1925"].coefficient
    assert coefficient == pytest.approx(0.0000095 * 1.8)
    grown = movement(1.0, coefficient, 60 / 1.8)
    assert 1 + grown == pytest.approx(1.00057, abs=1e-9)
    assert 1 + movement(1.0, coefficient, -60 / 1.8) == pytest.approx(0.99943, abs=1e-9)
    assert held_stress(18_300_000, coefficient, 60 / 1.8) == pytest.approx(10_431)
    measured = TABLES.temperatures["roof-measured"]
    assert measured.span * 1.8 == pytest.approx(170)
    assert measured.low * 1.8 + 32 == pytest.approx(-20)
    assert measured.high * 1.8 + 32 == pytest.approx(150)


def test_the_copper_coping_of_the_copper_handbook():
    """Copper in Architecture handbook 9.3 with Table 10B, read: 20 oz copper, 8 in wide,
    legs of 4 in bent 90 degrees: 24 ft 6 in, so that joints stand at most 49 ft 0 in
    apart."""
    run = TABLES.free_runs["copper-20-coping-8"]
    assert (run.material, run.angle) == ("copper-20", 90)
    assert (to_inches(run.width), to_inches(run.legs)) == pytest.approx((8, 4))
    assert to_inches(run.length) == pytest.approx(24 * 12 + 6)
    assert to_inches(joint_spacing(run)) == pytest.approx(49 * 12)


# Computed: growth of 10 ft by 100 F, of 10 ft by 170 F and of 12 ft by 150 F, inches. The
# coefficients, in millionths per F, are printed in web tables (read); lead is 28 per K.
GROWTH = [
    ("aluminium", 12.3, 0.1476, 0.2509, 0.2657),
    ("copper", 9.3, 0.1116, 0.1897, 0.2009),
    ("copper-1925", 9.5, 0.1140, 0.1938, 0.2052),
    (None, 28 / 1.8, 0.1867, 0.3173, 0.3360),
    ("zinc", 16.5, 0.1980, 0.3366, 0.3564),
    ("galvanized", 6.7, 0.0804, 0.1367, 0.1447),
    ("stainless", 9.6, 0.1152, 0.1958, 0.2074),
]


@pytest.mark.parametrize(("metal", "per_f", "mild", "hard", "long"), GROWTH)
def test_growth_of_pieces(metal, per_f, mild, hard, long):
    assert _moves(120, per_f, 100) == pytest.approx(mild, abs=0.00006)
    assert _moves(120, per_f, 170) == pytest.approx(hard, abs=0.00006)
    assert _moves(144, per_f, 150) == pytest.approx(long, abs=0.00006)
    if metal:
        assert TABLES.expansion[metal].coefficient == pytest.approx(per_f * PER_F)


def test_a_quarter_inch_gap_fails_by_nine_ten_thousandths():
    """UFGS 07600 (older five-digit edition) 3.1.15.2, read: ends 1/4 in apart. Computed:
    enough for 10 ft of aluminium over 100 F; 0.0009 in too little over 170 F; too little
    for 12 ft over 150 F."""
    aluminium = TABLES.expansion["aluminium"].coefficient
    gap, piece = inches(0.25), inches(120)
    mild = check_gap(gap, piece, aluminium, _span(100))
    assert mild.passes
    assert to_inches(mild.spare) == pytest.approx(0.1024, abs=0.00006)
    hard = check_gap(gap, piece, aluminium, TABLES.temperatures["roof-measured"])
    assert not hard.passes
    assert to_inches(hard.spare) == pytest.approx(-0.0009, abs=0.00003)
    assert not check_gap(gap, inches(144), aluminium, _span(150)).passes
    assert to_inches(laid_out(hard.needed)) == pytest.approx(5 / 16)
    # 10 ft is too long by less than half an inch
    longest = to_inches(longest_piece(gap, aluminium, _span(170)))
    assert 119.5 < longest < 119.6


def test_a_three_sixteenths_gap():
    """Sheet metal manual, Fig. 2-9 and 2-10, as the trade press prints them (restated):
    3/16 in between heavy sections. Computed: enough for 10 ft of aluminium over 100
    F, too little for zinc."""
    gap, piece = inches(3 / 16), inches(120)

    def passes(metal: str) -> bool:
        return check_gap(gap, piece, TABLES.expansion[metal].coefficient, _span(100)).passes

    assert passes("aluminium")
    assert passes("galvanized")
    assert not passes("zinc")


def test_a_sheet_maker_s_table_of_movement():
    """Steel and stainless sheets, mm by metres and degrees C, a maker's page, read. Two
    cells do not follow from the others (75 m by 30 C: 24.00; 100 m by 50 C: 80.00):
    no oracles."""
    steel = {10: (1.2, 3.6, 6.0), 20: (2.4, 7.2, 12.0), 30: (3.6, 10.8, 18.0)}
    steel |= {50: (6.0, 18.0, 30.0)}
    for metres, row in steel.items():
        for degrees, printed in zip((10, 30, 50), row, strict=True):
            assert movement(metres * 1000, 12e-6, degrees) == pytest.approx(printed)
            assert movement(metres * 1000, 17e-6, degrees) == pytest.approx(
                printed * 17 / 12
            )
    assert movement(10_000, 17e-6, 30) == pytest.approx(5.10)  # stainless, printed
    assert movement(75_000, 12e-6, 30) == pytest.approx(27.0)  # not 24.00
    assert movement(100_000, 12e-6, 50) == pytest.approx(60.0)  # not 80.00


def test_other_pages_worked_examples():
    """A machine maker's page, read: a 10 ft zinc panel grows 0.209 in from 40 to 140 F
    (which is 17.4 per million: computed). A panel maker's page, read: 100 ft of steel
    at 6.5 per million grows 0.78 in over 100 F; its aluminium figure, 1.56, does not
    follow from its own 12.8 (1.536)."""
    assert _moves(120, 17.4, 100) == pytest.approx(0.209, abs=0.0005)
    assert _moves(1200, 6.5, 100) == pytest.approx(0.78)
    assert _moves(1200, 12.8, 100) == pytest.approx(1.536)


@pytest.mark.parametrize(
    ("metal", "low", "high"),
    [
        ("lead", 14.4, 16.3),
        ("zinc", 10.8, 19.3),
        ("aluminium", 11.7, 13.7),
        ("stainless", 9, 10.2),
        ("copper", 7.7, 9.8),
        ("copper-1925", 7.7, 9.8),
    ],
)
def test_our_figures_lie_in_the_published_ranges(metal, low, high):
    """Web table of the ranges of alloys, millionths per F, read."""
    row = TABLES.expansion[metal]
    assert low <= row.coefficient / PER_F <= high
    assert (row.low / PER_F, row.high / PER_F) == pytest.approx((low, high))


def test_steel_by_a_second_table():
    """Web table in metric units, read: carbon steel 12 per million per K."""
    assert TABLES.expansion["galvanized"].coefficient == pytest.approx(12e-6, rel=0.01)


def test_the_lead_entry_that_contradicts_itself_is_no_oracle():
    """One web table prints lead as 15.1 per million per F beside 28.0 per K, read.
    Neither can be rounded into the other, so we take neither: 29 per K is from
    another table, read."""
    per_f, per_k = (15.05, 15.15), (27.95, 28.05)  # what the printed digits can stand for
    assert per_f[1] * 1.8 < per_k[0]
    ours = TABLES.expansion["lead"].coefficient
    assert ours == pytest.approx(29e-6)
    assert not per_f[0] <= ours / PER_F <= per_f[1]
    assert not per_k[0] <= ours * 1e6 <= per_k[1]


def test_a_gap_set_warm_takes_less():
    """Computed: set at 60 F, 10 ft of aluminium must close by 90 F worth of growth."""
    measured = TABLES.temperatures["roof-measured"]
    gap = joint_gap(inches(120), 12.3 * PER_F, measured, set_at=(60 - 32) / 1.8)
    assert to_inches(gap) == pytest.approx(120 * 12.3e-6 * 90)
