"""A package in one file: cover and index, pages of text, then the sheets of the details.

Every line of the index, every mark and every number of a sheet in a table leads to its
page. Bookmarks: the parts, then each detail with its sheets under it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from detailgen.book.index import BookInfo, IndexPage, SheetRow, index_pages
from detailgen.book.text_pages import TextPage
from detailgen.lettering import letterable
from detailgen.scene import Paper
from detailgen.writers.pdf import Link, Page, PageContent, content_of, pages


@dataclass(frozen=True, slots=True)
class Bound:
    """One detail of a package: its lines of the index, and what stands on its sheets."""

    mark: str
    title: str
    rows: tuple[SheetRow, ...]
    contents: tuple[PageContent, ...]


def mark_key(mark: str) -> str:
    """Return where links lead that lead to the first sheet of a detail."""
    return f"mark {mark}"


def sheet_key(number: int | str) -> str:
    """Return where links lead that lead to a sheet."""
    return f"sheet {number}"


def bound_package(
    info: BookInfo, texts: Sequence[TextPage], details: Sequence[Bound], subject: str
) -> bytes:
    """Return the package as one PDF file.

    Args:
        info: What the cover says.
        texts: The pages of text, numbered.
        details: The details, their sheets numbered through.
        subject: What the file says that it is.

    Raises:
        ValueError: There is no page of text, or a detail has not one row for each sheet.
    """
    if not texts:
        message = "a package has pages of text"
        raise ValueError(message)
    rows = [*_part_rows(texts), *(row for one in details for row in one.rows)]
    firsts = [n for n, page in enumerate(texts) for _ in page.begins]
    starts = [*firsts, *range(len(texts), len(texts) + len(rows) - len(firsts))]
    index = _index(info, rows, starts, texts[0].scene.paper)
    before = len(index)
    places = _places(texts, details, before)
    book = [
        Page(
            page.scene,
            bookmark="" if count else "Index",
            label="Index" if count == 0 else f"Index {count + 1}",
            links=tuple(
                Link(box, before + starts[n], letterable(f"Sheet {rows[n].number}"))
                for n, box in page.boxes
            ),
        )
        for count, page in enumerate(index)
    ]
    book += [_text_page(page, number, places) for number, page in enumerate(texts, 1)]
    book += [page for one in details for page in _sheets(one)]
    return pages(book, info.title, subject=subject, author=info.author)


def _part_rows(texts: Sequence[TextPage]) -> list[SheetRow]:
    """Return a line of the index for each part."""
    numbers: dict[str, list[int]] = {}
    for number, page in enumerate(texts, 1):
        for part in page.parts:
            numbers.setdefault(part.key, []).append(number)
    titles = {part.key: part.title for page in texts for part in page.parts}
    return [
        SheetRow(
            f"B{n[0]}" if len(n) == 1 else f"B{n[0]}-B{n[-1]}", "", titles[key], "", ""
        )
        for key, n in numbers.items()
    ]


def _index(
    info: BookInfo, rows: Sequence[SheetRow], starts: Sequence[int], paper: Paper
) -> tuple[IndexPage, ...]:
    """Return the index with the numbers of pages, which depend on how long it is."""
    count = 1
    while True:
        told = [
            replace(row, page=str(count + start + 1))
            for row, start in zip(rows, starts, strict=True)
        ]
        made = index_pages(info, told, paper)
        if len(made) == count:
            return made
        count = len(made)


def _places(
    texts: Sequence[TextPage], details: Sequence[Bound], before: int
) -> dict[str, int]:
    """Return the page of every place that links lead to."""
    found: dict[str, int] = {}
    for number, page in enumerate(texts, before):
        found |= {part.key: number for part in page.begins}
    first = before + len(texts)
    ahead = accumulate((len(one.rows) for one in details), initial=first)
    for one, start in zip(details, ahead, strict=False):
        found[mark_key(one.mark)] = start
        for number, row in enumerate(one.rows, start):
            found[sheet_key(row.number)] = number
    return found


def _text_page(page: TextPage, number: int, places: dict[str, int]) -> Page:
    return Page(
        content_of(page.scene),
        bookmark=letterable(", ".join(part.title for part in page.begins)),
        label=f"B{number}",
        links=tuple(
            Link(box, places[target], letterable(target[:1].upper() + target[1:]))
            for box, target in page.links
        ),
    )


def _sheets(one: Bound) -> list[Page]:
    """Return the sheets of a detail, the first one's bookmark over those of the others."""
    return [
        Page(
            content,
            letterable(
                f"{row.number}  {row.title}" if number else f"{one.mark}  {one.title}"
            ),
            level=1 if number else 0,
            folded=number == 0 and len(one.rows) > 1,
            label=letterable(row.number),
        )
        for number, (row, content) in enumerate(zip(one.rows, one.contents, strict=True))
    ]
