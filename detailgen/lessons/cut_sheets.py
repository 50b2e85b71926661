"""Sheets with the pieces of a condition as they are cut, for a class that practises."""

from dataclasses import replace

from detailgen.lessons.cut_pieces import cut_pieces
from detailgen.scene import Scene
from detailgen.sheet.board import board_of
from detailgen.sheet.pages import lettered
from detailgen.sheet.pattern_pages import pattern_pages
from detailgen.sheet.request import SheetRequest


def cut_sheets(request: SheetRequest) -> tuple[Scene, ...]:
    """Return the cut sheets of one condition; none where nothing is cut for it."""
    pieces = cut_pieces(request.section)
    if not pieces:
        return ()
    faces = request.section.faces if request.section.pieces else ()
    section = replace(request.section, pieces=pieces, faces=faces)
    board = board_of(lettered(replace(request, section=section)))
    pages = pattern_pages(board)
    return board.scenes(pages, "cuts", "Cut sheet")
