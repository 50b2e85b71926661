"""Flat pieces: what they measure about themselves."""

from dataclasses import fields

import pytest

from detailgen.flat import (
    Cut,
    FlatPiece,
    Fold,
    Overlap,
    Panel,
    TrueAngle,
    TrueLength,
    Zone,
    angle_at,
    ring_area,
)

SQUARE = ((0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0))
LEFT = ((0.0, 0.0), (10.0, 0.0), (10.0, 30.0), (0.0, 30.0))
HOLE = ((20.0, 10.0), (30.0, 10.0), (30.0, 20.0))
PIECE = FlatPiece(
    "s-corner",
    "s",
    "Sheet, corner piece",
    SQUARE,
    (Panel("left", "wall-2", LEFT),),
    (Fold("arris", (10.0, 0.0), (10.0, 30.0), ("right", "left"), -90.0),),
    (Cut("upper", (10.0, 10.0), ((0.0, 10.0), (0.0, 20.0))),),
    (HOLE,),
    (Zone("left", LEFT),),
    (Overlap("s-next", True, "left", LEFT),),
    {"vertex": (10.0, 10.0)},
    (TrueLength("width", (0.0, 0.0), (40.0, 30.0), "WIDTH"),),
    (TrueAngle("tip", (0.0, 0.0), (40.0, 0.0), (0.0, 30.0), "TIP"),),
    ((10.0, 10.0),),
    ("A note.",),
)


def test_a_piece_measures_itself():
    assert PIECE.size == (40.0, 30.0)
    assert PIECE.area == 40.0 * 30.0 - 50.0
    assert PIECE.edges()[-1] == ((0.0, 30.0), (0.0, 0.0))
    assert PIECE.lengths[0].value == 50.0
    assert PIECE.angles[0].value == pytest.approx(90.0)
    assert PIECE.folds[0].length == 30.0
    assert PIECE.cuts[0].opening == pytest.approx(45.0)
    assert PIECE.cuts[0].length == pytest.approx(200.0**0.5)
    assert PIECE.panel("left").face == "wall-2"
    assert PIECE.panel("none") is None


def test_the_mirrored_piece_is_the_other_hand_of_everything():
    other = PIECE.mirrored()
    assert other.outline == ((-0.0, 30.0), (-40.0, 30.0), (-40.0, 0.0), (-0.0, 0.0))
    assert ring_area(other.outline) == ring_area(PIECE.outline) > 0.0
    assert other.area == PIECE.area
    assert other.folds[0].turn == -90.0
    assert other.lengths[0].value == PIECE.lengths[0].value
    assert other.angles[0].value == pytest.approx(PIECE.angles[0].value)
    assert other.cuts[0].opening == pytest.approx(PIECE.cuts[0].opening)
    assert other.points["vertex"] == other.dabs[0] == other.cuts[0].tip == (-10.0, 10.0)
    changed = {
        f.name for f in fields(PIECE) if getattr(other, f.name) != getattr(PIECE, f.name)
    }
    assert changed == {f.name for f in fields(PIECE)} - {
        "id",
        "sheet",
        "name",
        "notes",
        "roll",
        "set_out",
    }
    assert other.mirrored() == PIECE


def test_angles_are_told_from_0_to_180():
    assert angle_at((0.0, 0.0), (1.0, 0.0), (2.0, 0.0)) == 0.0
    assert angle_at((0.0, 0.0), (1.0, 0.0), (-3.0, 0.0)) == pytest.approx(180.0)
