"""The typeface in a PDF file: the part of it that the file's pages need, embedded.

Fonts are composite ones (ISO 32000-1:2008, 9.7) whose codes are the characters' own
numbers, so that a page's content does not depend on the file that it stands in.
"""

# The library has no types.
# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false

import struct
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any, Final, cast

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.pdfdoc import (
    PDFArray,
    PDFDictionary,
    PDFDocument,
    PDFName,
    PDFStream,
    PDFString,
    PDFZCompress,
)
from reportlab.pdfbase.ttfonts import TTFont

from detailgen.lettering import font_path

FONTS: Final = {False: "FR", True: "FB"}
"""Name of the font in the resources of a page, by boldness."""
_TWO_BYTES: Final = 0x10000
_PRIVATE: Final = 0xE000
"""From here on stand codes that no character has that can be lettered."""
_MOST: Final = 100
"""So many lines may stand in a block of a character map (ISO 32000-1, 9.10.3)."""


@cache
def known_as(*, bold: bool = False) -> str:
    """Return the name under which the library knows the typeface, after telling it."""
    name = f"Lettering-{FONTS[bold]}"
    pdfmetrics.registerFont(TTFont(name, str(font_path(bold=bold))))
    return name


def _face(*, bold: bool) -> Any:  # noqa: ANN401
    return cast("Any", pdfmetrics.getFont(known_as(bold=bold))).face


@cache
def _beyond() -> dict[int, int]:
    """Return the codes of characters whose numbers need more than two bytes."""
    known = {code for bold in FONTS for code in _face(bold=bold).charToGlyph}
    high = sorted(code for code in known if code >= _TWO_BYTES)
    return {code: _PRIVATE + n for n, code in enumerate(high)}


@cache
def code_of(char: str) -> int:
    """Return the code of a character in content: two bytes."""
    number = ord(char)
    return number if number < _TWO_BYTES else _beyond().get(number, 0)


def embed(document: PDFDocument, lettered: Mapping[bool, Iterable[str]]) -> PDFDictionary:
    """Add what is needed of the typeface to a file; return the fonts of its pages.

    Args:
        document: The file.
        lettered: Characters by boldness; a weight without any is left out.
    """
    fonts: dict[str, Any] = {}
    for bold, chars in lettered.items():
        if used := sorted(set(chars), key=code_of):
            fonts[FONTS[bold]] = _font(document, used, bold=bold)
    return PDFDictionary(fonts)


def _font(document: PDFDocument, used: list[str], *, bold: bool) -> Any:  # noqa: ANN401
    face = _face(bold=bold)
    base = f"{'SHEETB' if bold else 'SHEETR'}+{face.name.decode('ascii')}"
    codes = [code_of(char) for char in used]
    numbers = [
        0,
        *(ord(char) for char in used),
    ]  # the first glyph stands for what is missing
    glyphs = bytearray(2 * (codes[-1] + 1))
    for place, code in enumerate(codes, 1):
        struct.pack_into(">H", glyphs, 2 * code, place)
    widths: list[Any] = []
    for char, code in zip(used, codes, strict=True):
        widths += [code, PDFArray([face.getCharWidth(ord(char))])]
    descendant = PDFDictionary({
        "Type": PDFName("Font"),
        "Subtype": PDFName("CIDFontType2"),
        "BaseFont": PDFName(base),
        "CIDSystemInfo": PDFDictionary({
            "Registry": PDFString("Adobe"),
            "Ordering": PDFString("Identity"),
            "Supplement": 0,
        }),
        "FontDescriptor": face.addSubsetObjects(document, base, numbers),
        "DW": face.defaultWidth,
        "W": PDFArray(widths),
        "CIDToGIDMap": document.Reference(_stream(bytes(glyphs)), f"glyphs:{base}"),
    })
    return document.Reference(
        PDFDictionary({
            "Type": PDFName("Font"),
            "Subtype": PDFName("Type0"),
            "BaseFont": PDFName(base),
            "Encoding": PDFName("Identity-H"),
            "DescendantFonts": PDFArray([document.Reference(descendant, f"cid:{base}")]),
            "ToUnicode": document.Reference(_stream(_told(base, used)), f"text:{base}"),
        }),
        f"font:{base}",
    )


def _stream(content: bytes) -> PDFStream:
    return PDFStream(content=content, filters=[PDFZCompress])


def _told(name: str, used: list[str]) -> bytes:
    """Return the map from codes to text, for who searches or reads a sheet aloud."""
    rows = [
        f"<{code_of(char):04X}> <{char.encode('utf-16-be').hex().upper()}>" for char in used
    ]
    blocks: list[str] = []
    for start in range(0, len(rows), _MOST):
        some = rows[start : start + _MOST]
        blocks += [f"{len(some)} beginbfchar", *some, "endbfchar"]
    head = (
        "/CIDInit /ProcSet findresource begin 12 dict begin begincmap",
        "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def",
        f"/CMapName /{name} def /CMapType 2 def",
        "1 begincodespacerange <0000> <FFFF> endcodespacerange",
    )
    foot = ("endcmap CMapName currentdict /CMap defineresource pop end end",)
    return "\n".join([*head, *blocks, *foot]).encode("ascii")
