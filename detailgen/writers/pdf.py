"""PDF: vector pages at exact scale, with the typeface embedded and the text searchable."""

# The library has no types.
# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false
# pyright: reportUnknownArgumentType=false

import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final, cast

from reportlab.pdfbase.pdfdoc import PDFDictionary, PDFName, PDFStream
from reportlab.pdfgen.canvas import Canvas

from detailgen.scene import Scene
from detailgen.writers._pdf_content import POINTS_PER_MM, PageContent, content_of
from detailgen.writers._pdf_fonts import embed, known_as

__all__ = [
    "CREATOR",
    "POINTS_PER_MM",
    "Link",
    "Page",
    "PageContent",
    "content_of",
    "pages",
    "write",
]

CREATOR: Final = "detailgen"
_RESOURCES: Final = "BasicFonts"
"""Under this name the library keeps the fonts that all pages have."""


@dataclass(frozen=True, slots=True)
class Link:
    """A box on a page that leads to another page of the set."""

    box: tuple[float, float, float, float]
    """x0, y0, x1, y1 in paper mm."""
    page: int
    """Number of the page in the set, from 0."""
    about: str
    """What a reader who cannot see it is told."""


@dataclass(frozen=True, slots=True)
class Page:
    """One page of a set."""

    scene: Scene | PageContent
    """What stands on it; content that has been made before is not made again."""
    bookmark: str = ""
    """Its line in the outline, if it has one."""
    level: int = 0
    """Depth in the outline, at most one more than that of the page before."""
    label: str = ""
    """The page number that a reader's program shows, if not the plain one."""
    links: tuple[Link, ...] = ()


def write(scene: Scene) -> bytes:
    """Return the sheet as a PDF file of one page."""
    return pages([Page(scene)], scene.title, subject=scene.subject, author=scene.author)


def pages(
    sheets: Sequence[Page], title: str, *, subject: str = "", author: str = ""
) -> bytes:
    """Return a set of sheets as one PDF file, each page at the size of its paper."""
    drawn = [
        s.scene if isinstance(s.scene, PageContent) else content_of(s.scene) for s in sheets
    ]
    out = io.BytesIO()
    # Whatever could come from the machine's settings is given here.
    canvas: Any = Canvas(
        out,
        pagesize=(1.0, 1.0),
        bottomup=1,
        # Else each page would name a font that is not embedded.
        initialFontName=cast("Any", known_as()),
        pageCompression=1,
        invariant=1,
        pdfVersion=(1, 5),
        lang="en",
    )
    canvas.setTitle(title)
    canvas.setAuthor(author)
    canvas.setSubject(subject)
    canvas.setCreator(CREATOR)
    for number, (sheet, content) in enumerate(zip(sheets, drawn, strict=True)):
        _add_page(canvas, sheet, content, number)
    if any(sheet.bookmark for sheet in sheets):
        canvas.showOutline()
    lettered = {
        bold: frozenset[str]().union(*(c.bold if bold else c.regular for c in drawn))
        for bold in (False, True)
    }
    _document(canvas).idToObject[_RESOURCES] = embed(_document(canvas), lettered)
    canvas.save()
    return out.getvalue()


def _add_page(
    canvas: Any,  # noqa: ANN401
    sheet: Page,
    content: PageContent,
    number: int,
) -> None:
    paper = content.paper
    canvas.setPageSize((paper.width * POINTS_PER_MM, paper.height * POINTS_PER_MM))
    canvas.bookmarkPage(_key(number), fit="Fit")
    if sheet.bookmark:
        canvas.addOutlineEntry(sheet.bookmark, _key(number), level=sheet.level, closed=0)
    if sheet.label:
        canvas.addPageLabel(number, prefix=sheet.label)
    for link in sheet.links:
        rect = tuple(v * POINTS_PER_MM for v in link.box)
        canvas.linkAbsolute(link.about, _key(link.page), rect)
    document = _document(canvas)
    name = document.thisPageName()
    canvas.showPage()
    # The content is made already, as the library would have deflated it.
    deflated = PDFDictionary({"Filter": PDFName("FlateDecode")})
    document.idToObject[name].Contents = PDFStream(deflated, content.stream)


def _document(canvas: Any) -> Any:  # noqa: ANN401
    """Return what the library's canvas, which has no types, writes into."""
    return canvas._doc  # noqa: SLF001


def _key(number: int) -> str:
    return f"page-{number + 1}"
