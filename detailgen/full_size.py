"""Patterns of a job at full size: tiles in one PDF, and the whole sheet in DXF and SVG."""

from detailgen.built import built_of
from detailgen.errors import Problem, UserError, printable
from detailgen.lessons.cut_pieces import cut_pieces
from detailgen.lessons.tiles import tiles, whole
from detailgen.loader import Job
from detailgen.writers import WRITERS
from detailgen.writers.pdf import Page, pages

USUAL_PAPER = "ANSI A"
"""The paper of tiles when nothing else is asked."""


def patterns_job(
    job: Job, detail: str, piece: str = "", paper: str = ""
) -> dict[str, bytes]:
    """Return the files of one detail's patterns by their names.

    Args:
        job: The job.
        detail: Id of the condition.
        piece: Id of the one piece that is wanted; all of them when empty.
        paper: Name of a paper in the catalogue.

    Raises:
        UserError: There is no such detail, piece or paper.
    """
    drafting = job.catalog.drafting
    paper = paper or USUAL_PAPER
    _known("detail", detail, [p.id for p in job.conditions])
    _known("paper", paper, list(drafting.papers))
    pieces = cut_pieces(built_of(job, [detail])[detail])
    if not pieces:
        raise UserError([
            Problem("this detail has no patterns", key="detail", value=detail)
        ])
    names = [p.id for p in pieces]
    if piece:
        _known("piece", piece, names)
    files: dict[str, bytes] = {}
    for one in pieces:
        if piece and one.id != piece:
            continue
        sheets = tiles(detail, one, drafting.paper(paper), drafting)
        book = [Page(s, s.title) for s in sheets]
        files[f"{detail}-{one.id}.pdf"] = pages(book, sheets[0].title)
        full = whole(detail, one, drafting)
        for name in ("dxf", "svg"):
            files[f"{full.id}.{name}"] = WRITERS[name](full)
    return files


def _known(what: str, given: str, names: list[str]) -> None:
    """Refuse a name that is not there."""
    if given not in names:
        told = Problem(
            f"there is no such {what}",
            key=f"--{what}",
            value=printable(given),
            allowed=", ".join(names),
        )
        raise UserError([told])
