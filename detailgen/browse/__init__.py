"""A page to look through: one HTML file for a job, which needs no network."""

from detailgen.browse._page import Detail, page

__all__ = ["Detail", "page"]
