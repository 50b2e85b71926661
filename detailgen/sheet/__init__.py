"""Sheets: one condition becomes one or more scenes, ready for the writers."""

from detailgen.sheet.pages import compose
from detailgen.sheet.request import Job, RevisionRow, SheetRequest

__all__ = ["Job", "RevisionRow", "SheetRequest", "compose"]
