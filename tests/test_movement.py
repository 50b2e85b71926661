"""Thermal movement and joint gaps: the arithmetic, its limits and its inverse."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from detailgen.catalog import load_catalog
from detailgen.catalog.lookups import Temperatures
from detailgen.movement import (
    PIECE,
    STEP,
    GapCheck,
    check_gap,
    joint_gap,
    laid_out,
    longest_piece,
    movement,
)
from detailgen.units import inches

TABLES = load_catalog().tables
MEASURED = TABLES.temperatures["roof-measured"]
COEFFICIENTS = st.sampled_from([row.coefficient for row in TABLES.expansion.values()])


def test_a_piece_shrinks_as_it_grows():
    assert movement(1000.0, 20e-6, 50.0) == pytest.approx(1.0)
    assert movement(1000.0, 20e-6, -50.0) == pytest.approx(-1.0)
    assert movement(1000.0, 20e-6, 0.0) == 0.0


def test_a_gap_at_its_limit_passes_and_just_less_fails():
    needed = joint_gap(PIECE, 20e-6, MEASURED)
    assert check_gap(needed, PIECE, 20e-6, MEASURED).passes
    assert check_gap(needed - 5e-5, PIECE, 20e-6, MEASURED).passes  # rounding
    assert not check_gap(needed - 2e-4, PIECE, 20e-6, MEASURED).passes
    assert GapCheck(5.0, 6.5).spare == pytest.approx(-1.5)


def test_the_warmer_it_is_set_the_less_gap_it_needs():
    cold, warm, hot = (
        joint_gap(PIECE, 20e-6, MEASURED, at) for at in (MEASURED.low, 20.0, MEASURED.high)
    )
    assert cold == joint_gap(PIECE, 20e-6, MEASURED)
    assert cold > warm > hot == 0.0


@pytest.mark.parametrize("degrees", [MEASURED.low - 0.1, MEASURED.high + 0.1, float("nan")])
def test_metal_set_outside_the_range_is_refused(degrees):
    with pytest.raises(ValueError, match="cannot be set"):
        joint_gap(PIECE, 20e-6, MEASURED, degrees)


def test_gaps_are_laid_out_in_sixteenths_and_never_less():
    assert laid_out(inches(0.25)) == pytest.approx(inches(0.25))
    assert laid_out(inches(0.25) + 5e-5) == pytest.approx(inches(0.25))
    assert laid_out(inches(0.2509)) == pytest.approx(inches(5 / 16))
    assert laid_out(0.0) == 0.0


@given(COEFFICIENTS, st.floats(1.0, 20_000.0), st.floats(5.0, 120.0))
def test_the_longest_piece_is_the_gap_s_other_side(coefficient, piece, span):
    temperatures = Temperatures("x", "x", -20.0, span - 20.0, "", "")
    gap = joint_gap(piece, coefficient, temperatures)
    assert longest_piece(gap, coefficient, temperatures) == pytest.approx(piece)
    assert check_gap(laid_out(gap), piece, coefficient, temperatures).passes
    assert laid_out(gap) - gap < STEP
