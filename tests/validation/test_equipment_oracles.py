"""Clear heights under equipment against the published tables, inches."""

import pytest

from detailgen.catalog import load_catalog
from detailgen.equipment import clear_height
from detailgen.units import inches, to_inches

HEIGHTS = load_catalog().tables.heights
FLORIDA = HEIGHTS["florida"]
HURRICANE = HEIGHTS["florida-hurricane-zone"]


def _asked(width: float, table) -> tuple[list[float], float]:
    found = clear_height(inches(width), table)
    return [round(to_inches(h), 9) for h in found.heights], round(
        to_inches(found.height), 9
    )


@pytest.mark.parametrize(
    ("width", "height"),
    [
        (10, 14), (23.99, 14), (24, 18), (35.99, 18), (36, 24), (47.99, 24), (48, 30),
        (59.99, 30), (60.01, 48), (61, 48), (120, 48),
    ],
)  # fmt: skip
def test_the_table_outside_the_hurricane_zone(width, height):
    """Florida Building Code 1510.10, 2020 (7th edition), restated by an engineering
    firm: under 24: 14; 24 to under 36: 18; 36 to under 48: 24; 48 to under 60: 30;
    over 60: 48."""
    assert _asked(width, FLORIDA) == ([height], height)


def test_exactly_60_in_falls_between_two_printed_rows():
    """Same table: `48 to under 60` and `over 60` leave 60 in out."""
    found = clear_height(inches(60), FLORIDA)
    assert found.ambiguous
    assert [to_inches(h) for h in found.heights] == pytest.approx([30, 48])
    assert to_inches(found.height) == pytest.approx(48)
    assert "'48 in to under 60 in'" in found.reason
    assert "'over 60 in'" in found.reason


@pytest.mark.parametrize(
    ("width", "height"),
    [(23.99, 14), (25, 18), (35.99, 18), (37, 24), (49, 30), (59.99, 30), (61, 48)],
)
def test_the_table_in_the_hurricane_zone(width, height):
    """Florida Building Code 1522.3, 2020 (7th edition), restated by the same firm: under
    24, from 25, 37 and 49, and 61 and wider; no sleepers."""
    assert _asked(width, HURRICANE) == ([height], height)
    assert not clear_height(inches(width), HURRICANE).sleepers


@pytest.mark.parametrize(
    ("width", "heights"),
    [
        (24, [14, 18]), (24.5, [14, 18]), (24.99, [14, 18]), (36, [18, 24]),
        (36.5, [18, 24]), (48, [24, 30]), (48.5, [24, 30]), (60, [30, 48]),
        (60.99, [30, 48]),
    ],
)  # fmt: skip
def test_the_gaps_of_the_hurricane_zone_are_told(width, heights):
    assert _asked(width, HURRICANE) == (heights, heights[-1])


def test_the_model_code_has_no_table():
    """International Building Code 2015 and 2018, restated by the same firm."""
    found = clear_height(inches(36), HEIGHTS["model-code"])
    assert (found.height, found.heights, found.ambiguous) == (None, (), False)
    assert found.reason


def test_older_manuals_ask_the_same_heights():
    """Guideline for all legs, 14, 18, 24, 30 and 48 in; memory. To which band a width on a
    limit belongs is not remembered, so it is told as ambiguous."""
    table = HEIGHTS["older-manuals"]
    assert [to_inches(b.height) for b in table.bands] == pytest.approx([14, 18, 24, 30, 48])
    assert _asked(30, table) == ([18], 18)
    assert _asked(36, table) == ([18, 24], 24)
