"""A dimension's text stays alive where a reader would print the same number."""

import re

import pytest
from ezdxf.tools.text import plain_mtext, plain_text

from detailgen.scene import Dimension
from detailgen.writers._dxf_text import (
    ARCHITECTURAL,
    DECIMAL,
    FRACTIONAL,
    dimension_text,
    multiline,
    plain,
    shown,
)
from tests.writers.sample import HOSTILE

IN = 25.4


def dim(number, true, prefix="", suffix=""):
    text = f"{prefix}{number}{suffix}"
    return Dimension(
        (0, 0), (true, 0), (0, 0), 0, text, prefix, suffix, (0, 0), 2.5, "d", true
    )


@pytest.mark.parametrize(
    ("value", "units", "digits", "text"),
    [
        (8.0, ARCHITECTURAL, 4, '8"'),
        (9.375, ARCHITECTURAL, 4, '9 3/8"'),
        (0.5, ARCHITECTURAL, 4, '1/2"'),
        (0.0, ARCHITECTURAL, 4, '0"'),
        (12.0, ARCHITECTURAL, 4, "1'-0\""),
        (24.5, ARCHITECTURAL, 4, "2'-0 1/2\""),
        (15.96875, ARCHITECTURAL, 4, "1'-4\""),
        (18.5, FRACTIONAL, 4, "18 1/2"),
        (203.2, DECIMAL, 0, "203"),
        (203.25, DECIMAL, 1, "203.3"),
        (200.0, DECIMAL, 1, "200"),
    ],
)
def test_numbers_are_shown_as_programs_show_them(value, units, digits, text):
    assert shown(value, units, digits) == text


@pytest.mark.parametrize(
    ("item", "inches", "text", "style"),
    [
        (dim('9 3/8"', 9.375 * IN, suffix=" MIN."), True, "<> MIN.", "A4"),
        (dim("1'-6 1/2\"", 18.5 * IN, "USE "), True, "USE <>", "A4"),
        (dim('9 13/32"', 9.40625 * IN), True, "<>", "A5"),
        (dim('18 1/2"', 18.5 * IN), True, '<>"', "F4"),
        (dim('8" [203]', 8 * IN, suffix=" MIN."), True, "<> [] MIN.", "A4-D0"),
        (dim("203 mm", 203.2), False, "<> mm", "D0"),
        (dim("38.1", 38.1), False, "<>", "D1"),
        (dim('203 mm [8"]', 203.2), False, "<> mm []", "D0-A4"),
        # No number format prints these, so they are written as they stand.
        (dim("2 PLIES", 2 * IN), True, "2 PLIES", "A4"),
        (dim("2 PLIES", 2.0), False, "2 PLIES", "D4"),
        (dim('8"', 8.3 * IN), True, '8"', "A4"),
        (dim('8" [210]', 8 * IN), True, '8" [210]', "A4"),
        (dim('81"', 8 * IN), True, '81"', "A4"),
        (dim('8"', 8 * IN, suffix=" <> [] {\\P}"), True, "<> < > [ ] \\{\\\\P\\}", "A4"),
    ],
)
def test_dimension_texts(item, inches, text, style):
    found, form = dimension_text(item, inches=inches)
    assert (found, form.name) == (text, style)


@pytest.mark.parametrize("text", [*HOSTILE, "\\M+5A3B4", "%%%%d", "\\", "{", "^^"])
def test_nothing_in_a_text_acts(text):
    """A reader shows the text as it was typed, apart from marks that it has no way for."""
    same = re.sub("%(?=%)", "% ", text).replace("^", "\u02c6")
    same = same.replace("\\U+", "\\ U+").replace("\\M+", "\\ M+")
    assert "%%" not in same
    assert plain_text(plain(text)) == same
    assert plain_mtext(multiline(text)) == same
