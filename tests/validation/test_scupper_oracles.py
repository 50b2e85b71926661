"""Openings of scuppers against the codes' words, each reading by itself."""

import pytest

from detailgen.conditions.scupper import asked_width
from tests.conditions.building import build, mm, site


@pytest.mark.parametrize(("drain", "wide"), [(3, 9.42), (4, 12.57), (6, 18.85)])
def test_width_from_the_circumference_of_the_drain(drain, wide):
    """CPC 1101.11.2.1 (2010), restated: as wide as the circumference; computed."""
    found = asked_width(drain * 25.4, "circumference", 101.6, site())
    assert found / 25.4 == pytest.approx(wide, abs=0.005)


def test_three_times_a_two_inch_pipe_by_both_readings():
    """WAC 51-51-0903, read: three times the size of the drain. As an area a 2 in pipe asks
    9.4 sq in; as diameters an opening 6 in wide (computed)."""
    pipe = 2 * 25.4
    assert asked_width(pipe, "three-diameters", 101.6, site()) == pytest.approx(6 * 25.4)
    wide = asked_width(pipe, "three-areas", 101.6, site())
    assert wide * 101.6 / 25.4**2 == pytest.approx(9.4, abs=0.05)


@pytest.mark.parametrize("drain", ["2 in", "3 in", "4 in", "6 in"])
@pytest.mark.parametrize("reading", ["circumference", "three-diameters", "three-areas"])
def test_what_is_drawn_is_at_least_what_the_reading_asks(drain, reading):
    section = build("scupper", use="overflow", drain=mm(drain), reading=reading)
    view = section.layout("plan")
    assert view is not None
    x0, y0, x1, y1 = next(p for p in view.parts if p.id == "opening").region.bounds
    high, wide = (y1 - y0) / 25.4, (x1 - x0) / 25.4
    inch = mm(drain) / 25.4
    least = {
        "circumference": 3.14159 * inch,
        "three-diameters": 3 * inch,
        "three-areas": 3 * 3.14159 * inch**2 / 4 / high,
    }[reading]
    assert high >= 4 - 1e-9  # WAC 51-51-0903: at least 4 in high
    assert max(least, 4) - 1e-4 <= wide < max(least, 4) + 0.25
    assert y0 / 25.4 == pytest.approx(2)  # and its inlet 2 in above the low point


def test_the_sheet_says_which_reading_is_used():
    words = {
        "circumference": "circumference",
        "three-diameters": "read as three diameters",
        "three-areas": "read as three of its areas",
    }
    for reading, told in words.items():
        notes = build("scupper", reading=reading).notes
        assert [n for n in notes if told in n and "Codes differ" in n]
