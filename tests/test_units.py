"""Lengths and slopes: what is read, what is refused and why, what is printed."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from detailgen.units import (
    UnitSystem,
    parse_length,
    parse_slope,
    show_amount,
    show_angle,
    show_apart,
    show_length,
    show_slope,
    show_thickness,
)

FEET = UnitSystem.FEET_INCHES
MM = UnitSystem.MILLIMETRES

LENGTHS = {
    "8 in": 203.2,
    '8"': 203.2,
    "8in.": 203.2,
    "8 inches": 203.2,
    "8 IN": 203.2,
    "3 in": 76.2,  # 3 * 25.4 in floats is a neighbour of 76.2
    "1'-6 1/2\"": 469.9,
    "1' 6 1/2\"": 469.9,
    "1'6\"": 457.2,
    "1' - 6\"": 457.2,
    "2 ft 3 in": 685.8,
    "7'": 2133.6,
    "1.5 ft": 457.2,
    "1 1/2 in": 38.1,
    "1-1/2 in": 38.1,
    "1/2 in": 12.7,
    ".5 in": 12.7,
    "0 in": 0.0,
    "200 mm": 200.0,
    "20 cm": 200.0,
    "0.2 m": 200.0,
    "2 metres": 2000.0,
    "70 mil": 1.778,
    "70 mils": 1.778,
    "6½ in": 165.1,
    "6 ½″": 165.1,
    "½ in": 12.7,
    "⅜ in": 9.525,
    "1′–6½″": 469.9,  # noqa: RUF001
    "1’ 6”": 457.2,  # noqa: RUF001
    "1''": 25.4,
    "3⁄4 in": 19.05,  # noqa: RUF001
    "8\u00a0in": 203.2,
    "  8 in ": 203.2,
}


@pytest.mark.parametrize(("text", "mm"), LENGTHS.items())
def test_reads_a_length_exactly(text: str, mm: float) -> None:
    assert parse_length(text) == mm


REFUSED = {
    "8": 'write "8 in" or "8 mm"',
    "1 1/2": 'write "1 1/2 in"',
    8: 'write "8 in" or "8 mm"',
    8.5: 'write "8.5 in" or "8.5 mm"',
    -3: "minus",
    "-3 in": "minus",
    "−3 in": "minus",  # noqa: RUF001
    True: "not a length",
    None: "not a length",
    math.nan: "not a length",
    math.inf: "not a length",
    "nan mm": "not a length",
    "inf in": "not a length",
    10**400: "too large",
    "1e3 mm": "exponent",
    "9999999999 m": "too large",
    "3,5 mm": "comma",
    "1,000 mm": "comma",
    "8 yd": "no unit of length yd",
    "8 µm": "not a length",  # noqa: RUF001
    "1'-6": "inches have no unit",
    "1'-14\"": "less than 12",
    "1.5 ft 3 in": "not a length",
    "1 3/2 in": "3/2",
    "1/0 in": "1/0",
    "2 %": "not a length",
    "1/4 in per ft": "not a length",
    "": "not a length",
    "in": "not a length",
    "8 in 3": "not a length",
    "٣ in": "not a length",
    "8 in\u202e": "not a length",
    "8\x00 in": "not a length",
    "9" * 100_000 + " in": "too long",
}


@pytest.mark.parametrize(("given", "told"), REFUSED.items(), ids=lambda v: str(v)[:12])
def test_refuses_what_is_no_length_and_says_why(given: object, told: str) -> None:
    with pytest.raises(ValueError, match=r".") as caught:
        parse_length(given)
    assert told in str(caught.value)
    assert len(str(caught.value)) < 120
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    "given", [[], {}, b"8 in", object()], ids=["list", "dict", "bytes", "object"]
)
def test_refuses_what_is_not_even_text(given: object) -> None:
    with pytest.raises(ValueError, match="not a length"):
        parse_length(given)


SLOPES = {
    "1/4 in per ft": 1 / 48,
    '1/4" per foot': 1 / 48,
    '1/4"/ft': 1 / 48,
    "1/4:12": 1 / 48,
    "1:48": 1 / 48,
    "1 in 48": 1 / 48,
    "2 %": 0.02,
    "2%": 0.02,
    "2 percent": 0.02,
    "20.8 mm per m": 0.0208,
    "20 mm/m": 0.02,
    "45 deg": 1.0,
    "45°": 1.0,
    "0 %": 0.0,
}


@pytest.mark.parametrize(("text", "slope"), SLOPES.items())
def test_reads_a_slope(text: str, slope: float) -> None:
    assert parse_slope(text) == pytest.approx(slope, rel=1e-15)


@pytest.mark.parametrize(
    ("given", "told"),
    {
        "1/4": 'write "1/4 in per ft"',
        0.02: 'write "0.02 in per ft"',
        "3/12": "no unit",
        "8 in": "not a slope",
        "1:0": "run of nothing",
        "90 deg": "less than 90",
        "-2 %": "minus",
        "x per ft": "not a length",
        False: "not a slope",
        math.nan: "not a slope",
        "": "not a slope",
    }.items(),
    ids=str,
)
def test_refuses_what_is_no_slope_and_says_why(given: object, told: str) -> None:
    with pytest.raises(ValueError, match=r".") as caught:
        parse_slope(given)
    assert told in str(caught.value)


@pytest.mark.parametrize(
    ("mm", "feet", "metric"),
    [
        (0.0, '0"', "0 mm"),
        (1e-9, '0"', "0 mm"),
        (12.7, '1/2"', "12.7 mm"),
        (88.9, '3 1/2"', "88.9 mm"),
        (203.2, '8"', "203 mm"),
        (304.8, "1'-0\"", "305 mm"),
        (622.3, "2'-0 1/2\"", "622 mm"),
        (390.525, "1'-3 3/8\"", "391 mm"),
        (36576.0, "120'-0\"", "36576 mm"),
        (-12.7, '-1/2"', "-12.7 mm"),
        (304.7, "1'-0\"", "305 mm"),  # carries into the feet
        (99.96, '3 15/16"', "100 mm"),  # carries into whole millimetres
    ],
)
def test_prints_a_length(mm: float, feet: str, metric: str) -> None:
    assert show_length(mm, FEET) == feet
    assert show_length(mm, MM) == metric


def test_a_tie_goes_to_the_larger_amount() -> None:
    assert show_length(parse_length("1/32 in"), FEET) == '1/16"'
    assert show_length(parse_length("3/32 in"), FEET) == '1/8"'
    assert show_length(-parse_length("3/32 in"), FEET) == '-1/8"'
    assert show_length(0.05, MM) == "0.1 mm"
    assert show_length(112.5, MM) == "113 mm"


def test_a_small_length_never_prints_as_nothing() -> None:
    assert show_length(0.5, FEET) == '< 1/16"'
    assert show_length(-0.5, FEET) == '> -1/16"'
    assert show_length(0.01, MM) == "< 0.1 mm"


def test_prints_both_systems() -> None:
    assert show_length(203.2, FEET, both=True) == '8" [203]'
    assert show_length(203.2, MM, both=True) == '203 mm [8"]'


@given(st.integers(0, 16 * 12 * 500))
def test_what_is_printed_in_feet_reads_back_as_the_same_length(sixteenths: int) -> None:
    mm = sixteenths * 25.4 / 16
    assert parse_length(show_length(mm, FEET)) == pytest.approx(mm, abs=1e-9)


@given(st.integers(0, 10**7))
def test_what_is_printed_in_millimetres_reads_back_to_its_grid(tenths: int) -> None:
    mm = tenths / 10
    grid = 0.05 if mm < 100 else 0.5
    assert abs(parse_length(show_length(mm, MM)) - mm) <= grid + 1e-9


@given(st.floats(0, 1e6))
def test_what_is_printed_is_within_half_a_step(mm: float) -> None:
    shown = show_length(mm, FEET)
    if not shown.startswith("<"):
        assert abs(parse_length(shown) - mm) <= 25.4 / 32 + 1e-6


@given(st.text(max_size=60))
def test_any_text_is_a_length_or_a_clear_refusal(text: str) -> None:
    told = ""
    mm = 0.0
    try:
        mm = parse_length(text)
    except ValueError as error:
        told = str(error)
    assert told.isprintable()
    assert 0 <= mm <= 1e9


@pytest.mark.parametrize(
    ("actual", "system", "shown"),
    [
        (100.0, FEET, '3 15/16"'),
        (202.5, FEET, '7 31/32"'),
        (203.1, FEET, '7.996"'),
        (203.2, FEET, '8"'),
        (202.9, MM, "202.9 mm"),
        (190.0, MM, "190 mm"),
    ],
)
def test_an_amount_never_reads_like_the_limit_that_it_misses(
    actual: float, system: UnitSystem, shown: str
) -> None:
    assert show_apart(actual, 203.2, system) == shown


@given(st.floats(0, 1e4), st.floats(-1, 1), st.sampled_from(UnitSystem))
def test_amounts_apart_never_read_alike(
    limit: float, off: float, system: UnitSystem
) -> None:
    actual = limit + off
    alike = show_apart(actual, limit, system) == show_amount(limit, "mm", system)
    assert alike == (abs(actual - limit) < 1e-4)


def test_prints_other_amounts() -> None:
    assert show_thickness(parse_length("70 mil"), FEET) == '0.070"'
    assert show_thickness(parse_length("70 mil"), MM) == "1.78 mm"
    assert show_angle(45.0) == "45°"
    assert show_angle(44.96) == "45°"
    assert show_angle(30.55) == "30.6°"
    assert show_slope(1 / 48, FEET) == "1/4 in per ft"
    assert show_slope(0.0, FEET) == "0 in per ft"
    assert show_slope(0.02, FEET) == "0.24 in per ft"
    assert show_slope(1 / 48, MM) == "2.08 %"
    assert show_amount(0.7, "mm", FEET) == '0.028"'
    assert show_amount(3.175, "mm", FEET) == '1/8"'
    assert show_amount(1.5875, "mm", FEET) == '1/16"'
    assert show_amount(2.0, "count", FEET) == "2"
    assert show_amount(45.0, "deg", FEET) == "45°"
    assert show_amount(0.02, "rise per run", MM) == "2 %"
    assert show_amount(0.3, "mm2", FEET) == "0.3 mm²"
    with pytest.raises(ValueError, match="furlong"):
        show_amount(1.0, "furlong", FEET)


@given(st.integers(0, 16 * 12))
def test_what_is_printed_of_a_slope_reads_back(sixteenths: int) -> None:
    slope = sixteenths / 16 / 12
    assert parse_slope(show_slope(slope, FEET)) == pytest.approx(slope, abs=1e-12)
