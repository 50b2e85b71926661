"""From what a person writes to a length or a slope."""

import math
import re
import unicodedata
from fractions import Fraction
from typing import Final

from detailgen.units._measures import FOOT, INCH, Mm, Slope, decimals

_METRIC: Final = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "mil": INCH / 1000,
    "in": INCH,
    "ft": FOOT,
}
_SPELLINGS: Final = {
    "mm": ("mm", "millimetre", "millimetres", "millimeter", "millimeters"),
    "cm": ("cm", "centimetre", "centimetres", "centimeter", "centimeters"),
    "m": ("m", "metre", "metres", "meter", "meters"),
    "mil": ("mil", "mils"),
    "in": ("in", "in.", "inch", "inches", '"'),
    "ft": ("ft", "ft.", "foot", "feet", "'"),
}
_UNIT_OF: Final = {word: unit for unit, words in _SPELLINGS.items() for word in words}
_UNITS_TOLD: Final = "in, ft, mm, cm, m or mil"

_LONGEST_TEXT: Final = 40
_LONGEST: Final = 10**9
"""mm; a thousand kilometres: longer is a slip of the keyboard."""
_NUMBER: Final = r"\d+[ -]\d+/\d+|\d+/\d+|\d*\.\d+|\d+"
_ONE: Final = re.compile(rf"({_NUMBER})\s*([a-z]+\.?|[\"'])", re.ASCII)
_FEET_INCHES: Final = re.compile(
    rf"(\d+)\s*(?:'|ft\.?|foot|feet)\s*-?\s*({_NUMBER})\s*(\"|in\.?|inch|inches)?",
    re.ASCII,
)
_BARE: Final = re.compile(_NUMBER, re.ASCII)
_RATIO: Final = re.compile(rf"({_NUMBER})\s*(?::|\bin\b)\s*({_NUMBER})", re.ASCII)
_PERCENT: Final = re.compile(rf"({_NUMBER})\s*(?:%|percent|per cent)", re.ASCII)
_DEGREES: Final = re.compile(rf"({_NUMBER})\s*(?:°|deg\.?|degrees?)", re.ASCII)
_RISE: Final = re.compile(r"(.+?)\s*(?:\bper\b|/)\s*(ft\.?|foot|'|m|metre|meter)", re.ASCII)
_EXPONENT: Final = re.compile(r"\d\.?e[+-]?\d", re.ASCII)
# Primes, curly quotes, dashes and slashes that people and word processors write.
_ALIKE: Final = {
    **dict.fromkeys("\u2032\u2018\u2019\u02b9\u00b4`", "'"),
    **dict.fromkeys("\u2033\u201c\u201d\u02ba", '"'),
    **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2015\u2212", "-"),
    "\u2044": "/",
    "\u2215": "/",
}


def parse_length(text: object) -> Mm:
    """Return a length that a person wrote with its unit.

    Reads `8 in`, `8"`, `1'-6 1/2"`, `2 ft 3 in`, `7'`, `200 mm`, `20 cm`, `0.2 m`,
    `70 mil`, with typographic fractions, primes, quotes and dashes too.

    Args:
        text: What the person wrote; anything but text is refused.

    Raises:
        ValueError: It is not a length with a unit; the message says what to write.

    >>> parse_length("1 ft 6 1/2 in"), parse_length("6½ in"), parse_length("70 mil")
    (469.9, 165.1, 1.778)
    """
    plain = _tidy(
        text, 'a length: write it as text with its unit, such as "8 in" or "200 mm"'
    )
    if _BARE.fullmatch(plain):
        msg = f'{plain} has no unit: write "{plain} in" or "{plain} mm"'
        raise ValueError(msg)
    return Mm(float(_within_reach(_length(plain))))


def parse_slope(text: object) -> Slope:
    """Return a slope that a person wrote, as rise per run.

    Reads `1/4 in per ft`, `1/4:12`, `1:48`, `1 in 48`, `2 %`, `20 mm per m`, `1.2 deg`.

    Args:
        text: What the person wrote; anything but text is refused.

    Raises:
        ValueError: It is not a slope; the message says what to write.

    >>> parse_slope("1/4 in per ft") == parse_slope("1:48") == 1 / 48
    True
    """
    wanted = '"1/4 in per ft", "1:48" or "2 %"'
    plain = _tidy(text, f"a slope: write it as text, such as {wanted}")
    if found := _RATIO.fullmatch(plain):
        run = _number(found[2])
        if run == 0:
            msg = f"a slope over a run of nothing is not a slope: write {wanted}"
            raise ValueError(msg)
        return Slope(float(_within_reach(_number(found[1]) / run)))
    if found := _PERCENT.fullmatch(plain):
        return Slope(float(_within_reach(_number(found[1]) / 100)))
    if found := _DEGREES.fullmatch(plain):
        return _slope_of_angle(_number(found[1]))
    if found := _RISE.fullmatch(plain):
        run = _METRIC[_UNIT_OF[found[2]]]
        return Slope(float(_within_reach(_length(found[1]) / run)))
    if _BARE.fullmatch(plain):
        msg = f'{plain} has no unit: write "{plain} in per ft" or "{plain} %"'
        raise ValueError(msg)
    msg = f"not a slope: write {wanted}"
    raise ValueError(msg)


def _tidy(text: object, wanted: str) -> str:
    """Return the text in lower case with plain signs, or refuse what cannot be read."""
    if isinstance(text, bool) or not isinstance(text, str | int | float):
        msg = f"not {wanted}"
        raise ValueError(msg)  # noqa: TRY004  (one kind of exception for all of it)
    if not isinstance(text, str):
        text = _bare_number(text, wanted)
    if len(text) > _LONGEST_TEXT:
        msg = f"too long for {wanted}"
        raise ValueError(msg)
    plain = "".join(_plain_sign(sign) for sign in text)
    plain = re.sub(r"\s+", " ", plain.replace("''", '"')).strip().lower()
    plain = re.sub(r" ?- ?", "-", plain)
    if plain.startswith("-"):
        msg = "less than nothing: write it without the minus sign"
        raise ValueError(msg)
    if _EXPONENT.search(plain):
        msg = f"written with an exponent, so not {wanted}"
        raise ValueError(msg)
    if re.search(r"\d,\d", plain):
        msg = (
            "written with a comma: write decimals with a point, and no thousands separator"
        )
        raise ValueError(msg)
    return plain


def _bare_number(value: float, wanted: str) -> str:
    """Return a TOML number as a person would have written it, or refuse it."""
    if isinstance(value, float) and not math.isfinite(value):
        msg = f"not {wanted}"
        raise ValueError(msg)
    if abs(value) >= _LONGEST:
        msg = f"too large for {wanted}"
        raise ValueError(msg)
    return str(value) if isinstance(value, int) else decimals(value, 6)


def _plain_sign(sign: str) -> str:
    """Return what a typographic sign stands for: `½` for ` 1/2`."""
    if sign in _ALIKE:
        return _ALIKE[sign]
    meant = unicodedata.decomposition(sign)
    if meant.startswith("<fraction>"):
        return " " + unicodedata.normalize("NFKC", sign).replace("\u2044", "/")
    return " " if meant.startswith("<noBreak> 0020") or sign.isspace() else sign


def _length(plain: str) -> Fraction:
    """Return a tidy length in exact millimetres."""
    if found := _FEET_INCHES.fullmatch(plain):
        if not found[3]:
            msg = f"the inches have no unit: write {found[1]}'-{found[2]}\""
            raise ValueError(msg)
        rest = _number(found[2])
        if rest >= 12:
            msg = "the inches after the feet must be less than 12"
            raise ValueError(msg)
        return _number(found[1]) * FOOT + rest * INCH
    found = _ONE.fullmatch(plain)
    if not found:
        msg = 'not a length: write a number and its unit, such as "8 in" or "200 mm"'
        raise ValueError(msg)
    unit = _UNIT_OF.get(found[2])
    if unit is None:
        msg = f"there is no unit of length {found[2]} here: use {_UNITS_TOLD}"
        raise ValueError(msg)
    return _number(found[1]) * _METRIC[unit]


def _number(text: str) -> Fraction:
    """Return `6 1/2`, `6-1/2`, `1/2`, `6.5` or `6` as an exact fraction."""
    whole, _, part = re.sub(r"[ -]", " ", text).rpartition(" ")
    if "/" not in part:
        return Fraction(part)
    top, bottom = (int(n) for n in part.split("/"))
    if bottom == 0 or (whole and top >= bottom):
        msg = f"{part} is not a fraction that can follow: check the numbers"
        raise ValueError(msg)
    return int(whole or 0) + Fraction(top, bottom)


def _within_reach(value: Fraction) -> Fraction:
    """Return the value, or refuse one that only a slip of the keyboard makes."""
    if value > _LONGEST:
        msg = "too large: check the number and its unit"
        raise ValueError(msg)
    return value


def _slope_of_angle(degrees: Fraction) -> Slope:
    """Return the slope of an angle below upright."""
    if degrees >= 90:
        msg = "a slope in degrees must be less than 90"
        raise ValueError(msg)
    return Slope(math.tan(math.radians(float(degrees))))
