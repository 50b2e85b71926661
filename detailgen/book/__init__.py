"""Book: many sheets as one set, with an index that leads to each of them."""

from detailgen.book.bound import bound_set
from detailgen.book.cover import Listed, cover_blocks
from detailgen.book.index import BookInfo, SheetRow

__all__ = ["BookInfo", "Listed", "SheetRow", "bound_set", "cover_blocks"]
