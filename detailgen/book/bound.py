"""The bound set: the index and all sheets in one PDF, with bookmarks and page labels."""

from collections.abc import Sequence

from detailgen.book.index import BookInfo, SheetRow, index_pages
from detailgen.lettering import letterable
from detailgen.scene import Scene
from detailgen.writers.pdf import Link, Page, PageContent, pages


def bound_set(
    info: BookInfo, rows: Sequence[SheetRow], sheets: Sequence[Scene | PageContent]
) -> bytes:
    """Return the set as one PDF file: the index, then each sheet on its own paper.

    Args:
        info: What the cover says.
        rows: A line of the index for each sheet, in the order of the sheets.
        sheets: The sheets, or what stands on them where that has been made before; the
            index is on paper like that of the first.

    Raises:
        ValueError: There is no sheet, or not one row for each.
    """
    if not sheets or len(rows) != len(sheets):
        message = f"{len(rows)} rows of the index for {len(sheets)} sheets"
        raise ValueError(message)
    index = index_pages(info, rows, sheets[0].paper)
    first = len(index)
    book = [
        Page(
            page.scene,
            bookmark="Index of sheets" if count == 0 else "",
            label="Index" if count == 0 else f"Index {count + 1}",
            links=tuple(
                Link(box, first + number, letterable(f"Sheet {rows[number].number}"))
                for number, box in page.boxes
            ),
        )
        for count, page in enumerate(index)
    ]
    book.extend(
        Page(sheet, letterable(f"{row.number}  {row.title}"), label=letterable(row.number))
        for row, sheet in zip(rows, sheets, strict=True)
    )
    return pages(book, info.title, subject="Index and sheets", author=info.author)
