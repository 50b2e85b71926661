"""Lettering: the one typeface of every sheet, and how wide its words are.

The typeface is DejaVu Sans, taken by path from the matplotlib wheel (matplotlib itself is
not imported) and never from the machine, so that a sheet is the same everywhere. Heights
are heights of a capital on paper; widths are plain sums of the font's advances, without
kerning, which every writer reproduces.
"""

import re
import unicodedata
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.util import find_spec
from itertools import pairwise
from math import fsum
from pathlib import Path
from typing import Any, Final, NewType, cast

from fontTools.ttLib import TTFont  # pyright: ignore[reportMissingTypeStubs]

FAMILY: Final = "DejaVu Sans"
FILES: Final = {False: "DejaVuSans.ttf", True: "DejaVuSans-Bold.ttf"}
"""File by boldness."""
CAP: Final = 1493 / 2048
"""Height of a capital as a part of the em, regular and bold."""
ASCENT: Final = 1.1
"""Top of the tallest plain letter, bracket or fraction, in heights of a capital."""
ACCENT: Final = 1.3
"""Top of an accented capital, in heights of a capital."""
DESCENT: Final = 0.33
"""How far letters and brackets hang below the base line, in heights of a capital."""
LINE_PITCH: Final = 1.6
"""From one base line to the next, in heights of a capital."""

LONGEST: Final = 250
"""Characters that one text may have: every reader of DXF takes so many."""

REPLACEMENTS: Final = {
    "\u00ad": "",
    "\u200b": "",
    "\u200c": "",
    "\u200d": "",
    "\ufeff": "",
    "\u2011": "-",
    "\u3000": " ",
}
"""What stands in for a character that cannot be lettered; any other becomes `?`."""

_SHAPED: Final = frozenset({"R", "AL", "AN", "NSM", "BN"})
"""Bidirectional classes that readers set each in its own way."""
_ODD: Final = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp", "Mn", "Me", "Mc"})
"""Unicode categories that no writer letters alike."""
_KEEP: Final = re.compile(r"(?<=\d)\s(?=\d+/\d|in\b|ft\b|mm\b|m\b|mil\b|lb\b|ga\b)")
"""A number is not parted from its fraction or its unit."""
_GLUE: Final = "\u00a0"

_LOW: Final = frozenset(
    "àáâãäçèéêëìíîïñòóôõöùúûüýÿßæøœ°²³µ½¼¾±·«»“”…≤≥\u00a0\u00d7\u2013\u2014\u2018\u2019\u2212"
)
"""Characters beyond ASCII that are no taller than plain ones (read in the font)."""

_Em = NewType("_Em", float)


@dataclass(frozen=True, slots=True)
class _Face:
    """Advances of one font file, as parts of the em, by character."""

    advance: dict[str, _Em]
    widest: _Em


def font_path(*, bold: bool = False) -> Path:
    """Return the font file inside the matplotlib wheel.

    Raises:
        FileNotFoundError: matplotlib, or its font folder, is not installed.
    """
    spec = find_spec("matplotlib")
    for root in (spec.submodule_search_locations if spec else None) or ():
        path = Path(root, "mpl-data", "fonts", "ttf", FILES[bold])
        if path.is_file():
            return path
    message = f"{FILES[bold]} not found: it comes with the matplotlib package"
    raise FileNotFoundError(message)


@cache
def _face(*, bold: bool) -> _Face:
    """Read the advances of one font, and nothing else of it."""
    font = cast("Any", TTFont(font_path(bold=bold), lazy=True))
    with font:
        # Numbers for glyph names: reading the real names takes as long as all the rest.
        font.setGlyphOrder([str(i) for i in range(font["maxp"].numGlyphs)])
        em: int = font["head"].unitsPerEm
        metrics: dict[str, tuple[int, int]] = font["hmtx"].metrics
        names: dict[int, str] = font.getBestCmap()
    advance = {chr(code): _Em(metrics[name][0] / em) for code, name in names.items()}
    return _Face(advance, max(advance.values()))


def _can_letter(char: str) -> bool:
    """Return whether both weights have the character and every reader sets it alike."""
    if " " <= char <= "~":
        return True
    return (
        unicodedata.category(char) not in _ODD
        and unicodedata.bidirectional(char) not in _SHAPED
        and char in _face(bold=False).advance
        and char in _face(bold=True).advance
    )


def has_glyphs(text: str) -> bool:
    """Return whether every character can be lettered, in both weights."""
    return all(map(_can_letter, text))


@lru_cache(maxsize=4096)
def letterable(text: str) -> str:
    """Return the text with what cannot be lettered replaced, and accents composed."""
    text = unicodedata.normalize("NFC", text)
    if has_glyphs(text):
        return text
    return "".join(c if _can_letter(c) else REPLACEMENTS.get(c, "?") for c in text)


def top_of(text: str) -> float:
    """Return the top of a line in heights of a capital: an accent makes it higher.

    >>> top_of("1/2 m²"), top_of("ÉTABLISSEMENT")
    (1.1, 1.3)
    """
    plain = text.isascii() or all(c.isascii() or c in _LOW for c in text)
    return ASCENT if plain else ACCENT


@lru_cache(maxsize=4096)
def _ems(text: str, *, bold: bool) -> float:
    face = _face(bold=bold)
    # A character without a glyph counts as the widest one: its box is never too small.
    return fsum(face.advance.get(char, face.widest) for char in text)


def text_width(text: str, height: float, *, bold: bool = False) -> float:
    """Return the width on paper, mm, of one line at a given height of a capital, mm."""
    return _ems(text, bold=bold) * height / CAP


def wrap(text: str, width: float, height: float, *, bold: bool = False) -> list[str]:
    """Break a text into lines no wider than `width` mm.

    No line has more characters than a text may have. Lines break at spaces; a word wider
    than the line breaks after a hyphen or a slash, and failing that anywhere. A number
    stays with its fraction and its unit while they fit on a line. Blank text gives no
    lines.
    """
    lines: list[str] = []
    line = ""
    for word in _KEEP.sub(_GLUE, text).split(" "):
        if not word:
            continue
        trial = f"{line} {word}" if line else word
        if len(trial) <= LONGEST and text_width(trial, height, bold=bold) <= width:
            line = trial
            continue
        if line:
            lines.append(line)
        *full, line = _break_word(word, width, height, bold=bold)
        lines.extend(full)
    if line:
        lines.append(line)
    return [one.replace(_GLUE, " ") for one in lines]


def _break_word(word: str, width: float, height: float, *, bold: bool) -> list[str]:
    """Cut a word into pieces that fit the width, one character at the least."""
    pieces: list[str] = []
    while len(word) > 1 and (
        len(word) > LONGEST or text_width(word, height, bold=bold) > width
    ):
        fits = 1
        while (
            fits < min(LONGEST, len(word))
            and text_width(word[: fits + 1], height, bold=bold) <= width
        ):
            fits += 1
        good = [
            i + 1 for i, (a, b) in enumerate(pairwise(word)) if a in "-/" and b.isalpha()
        ]
        good += [i for i, c in enumerate(word) if c == _GLUE]
        cut = max((i for i in good if 0 < i <= fits), default=fits)
        pieces.append(word[:cut])
        word = word[cut:].lstrip(_GLUE)
    return [*pieces, word]
