"""Lettering: widths, breaking, and characters that cannot be set."""

import subprocess
import sys

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from detailgen.lettering import (
    ACCENT,
    ASCENT,
    CAP,
    DESCENT,
    FAMILY,
    LONGEST,
    font_path,
    has_glyphs,
    letterable,
    text_width,
    wrap,
)

PLAIN = [chr(c) for c in range(33, 127)] + list("±°Øø≥≤½¼¾⅛⅜⅝⅞″′×–—µ²·•")  # noqa: RUF001


@pytest.fixture(scope="module", params=[False, True], ids=["regular", "bold"])
def font(request):
    with TTFont(font_path(bold=request.param)) as opened:
        yield request.param, opened


def test_the_constants_are_the_fonts_own(font):
    _, opened = font
    glyphs, names = opened["glyf"], opened.getBestCmap()
    capital = glyphs["H"].yMax
    assert capital / opened["head"].unitsPerEm == CAP
    tops = [glyphs[names[ord(c)]].yMax / capital for c in PLAIN]
    feet = [-glyphs[names[ord(c)]].yMin / capital for c in PLAIN]
    assert max(tops) <= ASCENT < max(tops) + 0.05
    assert max(feet) <= DESCENT < max(feet) + 0.05
    accented = [glyphs[names[c]].yMax / capital for c in range(0xC0, 0x17F) if c in names]
    assert max(accented) <= ACCENT < max(accented) + 0.05
    assert opened["name"].getBestFamilyName() == FAMILY


def test_a_width_is_the_sum_of_the_advances_at_the_height_of_a_capital(font):
    bold, opened = font
    names, advances = opened.getBestCmap(), opened["hmtx"].metrics
    text = 'AVATAR TO 9 3/8" MIN. ½ Ø'
    units = sum(advances[names[ord(c)]][0] for c in text)
    expected = units / opened["glyf"]["H"].yMax * 2.5
    assert text_width(text, 2.5, bold=bold) == pytest.approx(expected, rel=1e-12)


def test_matplotlib_is_not_imported_for_its_fonts():
    code = (
        "import sys; from detailgen.lettering import text_width;"
        "text_width('A', 3); print('matplotlib' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "False"


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("", []),
        ("   ", []),
        ("ONE TWO", ["ONE TWO"]),
        ("FASTEN 9 3/8 in MIN.", ["FASTEN", "9 3/8 in", "MIN."]),
        ("BASE-FLASHING/CANT", ["BASE-", "FLASHING/", "CANT"]),
        ("ABCDEFGHIJKLMNOP", ["ABCDEFGH", "IJKLMNOP"]),
    ],
)
def test_wrap(text, lines):
    width = max([text_width(line, 2.5) for line in lines], default=10.0)
    assert wrap(text, width + 0.1, 2.5) == lines


@given(
    st.text(st.sampled_from('ABz 0123/"-mn in½'), max_size=60),
    st.floats(8.0, 60.0),
    st.booleans(),
)
def test_wrapped_lines_fit_and_hold_all_the_text(text, width, bold):
    lines = wrap(text, width, 2.5, bold=bold)
    assert all(text_width(line, 2.5, bold=bold) <= width for line in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())
    assert all(line.strip() for line in lines)


@pytest.mark.parametrize(
    "text", ["ab " * 300, "i" * 900, "long-words/" * 90, "1 1/2 in " * 90]
)
@pytest.mark.parametrize("width", [60.0, 500.0, 1e6])
def test_no_line_has_more_characters_than_a_text_may_have(text, width):
    lines = wrap(text, width, 2.5)
    assert all(0 < len(line) <= LONGEST for line in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())
    assert width < 1e6 or len(lines) <= len(text) // 150 + 1


def test_a_letter_wider_than_the_line_stands_alone():
    assert wrap("MM M", 0.1, 2.5) == ["M", "M", "M"]


def test_what_cannot_be_lettered_is_replaced():
    assert has_glyphs('Ø 9 3/8" ≥ ½°')
    for text in ("中", "\u05d0", "\u0e01", "a\u0301", "\u200b", "tab\t", "\U0001f680"):
        assert not has_glyphs(text)
        assert has_glyphs(letterable(text))
    assert letterable("e\u0301") == "é"
    assert letterable("a\u200bb\u3000c中") == "ab c?"
    assert letterable("\ufb01ne") == "\ufb01ne"


def test_a_box_is_never_too_small_for_a_character_without_a_glyph():
    assert text_width("中", 2.5) >= text_width("W", 2.5)


def test_a_missing_font_is_told(monkeypatch, tmp_path):
    class Spec:
        submodule_search_locations = (str(tmp_path),)

    for found in (None, Spec()):
        monkeypatch.setattr("detailgen.lettering.find_spec", lambda _, found=found: found)
        with pytest.raises(FileNotFoundError, match="comes with the matplotlib package"):
            font_path()
