"""Cut sheets: what is cut is what the section and its plan show, and nothing clashes."""

from math import pi

import pytest

from detailgen.conditions import CONDITIONS
from detailgen.flat import FlatPiece
from detailgen.full_size import patterns_job
from detailgen.lessons import cut_sheets
from detailgen.lessons.cut_pieces import STRETCH, cut_pieces
from detailgen.loader import Job, job_of
from detailgen.pipeline import check_job, request_for
from detailgen.sheet.clashes import clashes


def job(kind: str, units: str = "feet-inches") -> Job:
    text = (
        f'[project]\nname = "Class"\nunits = "{units}"\n'
        f'[[condition]]\nid = "X1"\nkind = "{kind}"\n'
    )
    return job_of(text, "job.toml")


def pieces(kind: str) -> dict[str, FlatPiece]:
    (checked,) = check_job(job(kind))
    return {piece.id: piece for piece in cut_pieces(checked.section)}


@pytest.mark.parametrize("kind", CONDITIONS)
def test_every_kind_has_cut_sheets_on_which_nothing_clashes(kind: str) -> None:
    whole = job(kind, "millimetres" if len(kind) % 2 else "feet-inches")
    (checked,) = check_job(whole)
    scenes = cut_sheets(request_for(whole, checked))
    assert scenes
    for scene in scenes:
        assert clashes(scene) == []


def test_a_strip_is_as_wide_as_it_is_developed_and_folds_where_it_turns() -> None:
    """A flashing on a cant turns out of the roof and up the wall, by about 90 degrees.

    Less what its upper part leans over the edge of the strip-in ply.
    """
    (checked,) = check_job(job("wall"))
    flashing = pieces("wall")["flashing"]
    body = checked.section.body("flashing")
    assert body is not None
    assert body.course is not None
    assert flashing.size == pytest.approx((STRETCH, body.course.length))
    assert len(flashing.folds) == 2
    assert sum(fold.turn for fold in flashing.folds) == pytest.approx(90.0, abs=5.0)
    assert all(fold.turn > 0.0 for fold in flashing.folds)
    low, high = (fold.start[1] for fold in flashing.folds)
    assert 0.0 < low < high < body.course.length


def test_a_target_has_its_hole_and_the_finish_ply_is_in_two_pieces() -> None:
    found = pieces("stack")
    (hole,) = found["strip-in"].holes
    wide = max(x for x, _ in hole) - min(x for x, _ in hole)
    whole = found["strip-in"].size[0] * found["strip-in"].size[1]
    # a polygon of a circle has less than its area, and no less than 99 % of it
    assert whole - found["strip-in"].area == pytest.approx(pi * wide**2 / 4.0, rel=0.01)
    assert {"finish-downslope", "finish-upslope"} <= set(found)


def test_any_piece_can_be_printed_at_full_size() -> None:
    files = patterns_job(job("stack"), "X1", "strip-in")
    assert "X1-strip-in.pdf" in files
    assert any(name.endswith(".dxf") for name in files)
    strip = patterns_job(job("wall"), "X1", "flashing")
    assert "X1-flashing.pdf" in strip
