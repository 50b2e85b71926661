"""Clear height under equipment: a band, a limit, a gap between bands, and no table."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from detailgen.catalog import load_catalog
from detailgen.catalog.lookups import Band, HeightTable
from detailgen.equipment import clear_height

HEIGHTS = load_catalog().tables.heights
NO_LIMIT = float("inf")


def _table(*bands: Band) -> HeightTable:
    return HeightTable("x", "Invented table", bands, True, "invented", "memory")


NARROW = Band(0.0, False, 500.0, False, 300.0, "under 500 mm")
MIDDLE = Band(500.0, True, 900.0, True, 400.0, "500 mm to most 900 mm")
WIDE = Band(1000.0, False, NO_LIMIT, False, 700.0, "over 1000 mm")
GAPPED = _table(NARROW, MIDDLE, WIDE)


@pytest.mark.parametrize(
    ("width", "heights"),
    [
        (1.0, (300.0,)),
        (499.999, (300.0,)),
        (500.0, (400.0,)),
        (900.0, (400.0,)),
        (900.001, (400.0, 700.0)),
        (1000.0, (400.0, 700.0)),
        (1000.001, (700.0,)),
        (9e6, (700.0,)),
    ],
)
def test_what_a_width_asks(width, heights):
    found = clear_height(width, GAPPED)
    assert found.heights == heights
    assert found.height == max(heights)
    assert found.ambiguous is (len(heights) == 2)
    assert bool(found.reason) is found.ambiguous
    assert (found.width, found.source, found.sleepers) == (width, "invented", True)


def test_a_width_below_or_above_all_bands_takes_the_nearest_and_says_so():
    table = _table(MIDDLE)
    for width in (400.0, 950.0):
        found = clear_height(width, table)
        assert found.heights == (400.0,)
        assert "500 mm to most 900 mm" in found.reason
        assert not found.ambiguous


def test_rounding_of_a_length_does_not_move_it_over_a_limit():
    assert clear_height(499.9999999, GAPPED).heights == (400.0,)
    assert clear_height(900.0000001, GAPPED).heights == (400.0,)


def test_without_bands_there_is_no_height():
    found = clear_height(500.0, _table())
    assert (found.height, found.heights, found.ambiguous) == (None, (), False)
    assert found.reason == "Invented table."


@pytest.mark.parametrize("width", [0.0, -1.0, float("nan")])
def test_no_width_is_refused(width):
    with pytest.raises(ValueError, match="has a width"):
        clear_height(width, GAPPED)


@given(st.floats(1.0, 5000.0), st.floats(0.0, 2000.0), st.sampled_from(sorted(HEIGHTS)))
def test_a_wider_unit_never_stands_lower(width, more, table):
    low, high = (clear_height(w, HEIGHTS[table]) for w in (width, width + more))
    if low.height is None or high.height is None:
        assert not HEIGHTS[table].bands
    else:
        assert high.height >= low.height
        assert high.heights[0] >= low.heights[0]
