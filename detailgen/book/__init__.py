"""Book: many sheets as one set, with an index that leads to each of them."""

from detailgen.book.bound import bound_set
from detailgen.book.cover import Listed, cover_blocks
from detailgen.book.index import BookInfo, SheetRow
from detailgen.book.package import Bound, bound_package
from detailgen.book.text_pages import Part, TextPage, text_pages

__all__ = [
    "BookInfo",
    "Bound",
    "Listed",
    "Part",
    "SheetRow",
    "TextPage",
    "bound_package",
    "bound_set",
    "cover_blocks",
    "text_pages",
]
