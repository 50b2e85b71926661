"""Rolls, cartridges and beds, by plain arithmetic."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from detailgen.takeoff.purchase import (
    CARTRIDGE,
    bead_run,
    bed_coverage,
    lap_factor,
    roll_coverage,
)


def test_a_roll_without_laps_covers_its_area():
    assert roll_coverage(1000, 10_000, 0, 0) == pytest.approx(10.0)


def test_a_roll_narrower_than_its_lap_covers_nothing():
    assert roll_coverage(50, 10_000, 75, 150) == 0.0
    assert roll_coverage(1000, 100, 75, 150) == 0.0


def test_a_litre_spread_a_millimetre_thick_covers_a_square_metre():
    assert bed_coverage(1.0) == 1.0
    assert bed_coverage(2.0) == 0.5


def test_laps_by_hand():
    # ends alone: 10 m / 9.85 m; with sides: 10 m2 / (0.924 m x 9.85 m) = 10 / 9.1014
    assert lap_factor(0, 150) == pytest.approx(10 / 9.85)
    assert lap_factor(76, 150) == pytest.approx(10 / 9.1014)


@given(st.floats(0.5, 2000), st.floats(0.05, 20))
def test_a_bead_uses_up_what_it_was_given(area, litres):
    assert bead_run(area, litres) * area == pytest.approx(litres * 1000)


def test_a_cartridge_is_about_three_tenths_of_a_litre():
    assert pytest.approx(0.2987, abs=1e-4) == CARTRIDGE
