"""Corner patterns: sizes worked out by hand, what is marked, what is refused."""

from math import sqrt

import pytest

from detailgen.patterns.corners import CornerSheet, corner_pieces, least_run

IN = 25.4
BASE = CornerSheet("base-ply", "Base ply", 12 * IN, 0.0, 3 * IN, False)
STRIP = CornerSheet("strip-in", "Strip-in ply", 3 * IN, 2 * IN, 3 * IN, False)
FINISH = CornerSheet("finish-ply", "Finish ply", 8 * IN, 0.0, 3 * IN, True)
FLASHING = CornerSheet("flashing", "Flashing sheet", 4 * IN, 5 * IN, 3 * IN, True)


def made(kind, angle=90.0, height=4.0, run=4.0, sheets=(FLASHING,)):
    pieces = corner_pieces(kind, angle, height * IN, run * IN, sheets)
    return {p.id: p for p in pieces}


def measures(piece):
    return {m.id: m.value for m in (*piece.lengths, *piece.angles)}


def turns(piece):
    return {f.id: f.turn for f in piece.folds}


# A square corner on a 4 x 4 in cant. The mitre goes 4 in down, 4 in along either wall:
# length 4 sqrt(3); the cant's face is 4 sqrt(2) wide; the mitre leans atan(4 / (4 sqrt 2))
# = 35.264 deg from the cant's line of fall. The two cants' faces have the normals
# (1, 0, 1) / sqrt(2) and (0, 1, 1) / sqrt(2), whose angle is acos(1 / 2) = 60 deg.
LEAN = 35.264390


def test_a_square_inside_corner_by_hand():
    piece = made("inside")["flashing-corner"]
    got = measures(piece)
    assert got["mitre"] == pytest.approx(4 * sqrt(3) * IN)
    assert got["cant"] == pytest.approx(4 * sqrt(2) * IN)
    assert got["toe-offset"] == pytest.approx(4 * IN)
    assert got["mitre-at-vertex"] == pytest.approx(90 - LEAN, abs=1e-6)
    assert got["mitre-at-toe"] == pytest.approx(90 + LEAN, abs=1e-6)
    assert got["second-toe"] == pytest.approx(90.0)
    # to the left of the arris the cant's tab, 3 in square to the mitre, reaches
    # 3 / sin(54.736 deg) = 3 sqrt(1.5) in along the cut
    assert piece.size[0] == pytest.approx(FLASHING_RUN_INSIDE + 3 * IN * sqrt(1.5))
    assert piece.size[1] == pytest.approx((4 + 4 * sqrt(2) + 5) * IN)
    assert turns(piece) == pytest.approx({
        "cant-top": 45.0,
        "toe": 45.0,
        "second-toe": 45.0,
        "second-top": 45.0,
        "mitre": 60.0,
        "arris": 90.0,
    })


FLASHING_RUN_INSIDE = (4 + 4 + 2 * 3) * IN
"""Past the mitre on the roof (4 in of run, 4 in of reach at 45 deg) by two laps."""


def test_a_square_outside_corner_by_hand():
    pieces = made("outside")
    corner, patch = pieces["flashing-corner"], pieces["flashing-patch"]
    assert measures(corner)["mitre-at-vertex"] == pytest.approx(90 + LEAN, abs=1e-6)
    assert turns(corner) == pytest.approx({
        "cant-top": 45.0,
        "toe": 45.0,
        "mitre": -60.0,
        "second-toe": 45.0,
        "arris": -90.0,
    })
    # the roof of the corner piece: 4 + 4 in past the arris, 6 in on the other side
    assert corner.size[0] == pytest.approx((8 + 6) * IN)
    # patch: 3 in past the arris one way, the toe corner at 4 in and 3 in past it the other
    assert patch.size[0] == pytest.approx((3 + 4 + 3) * IN)
    assert "70.5 deg" in patch.notes[0]  # 2 x 35.264
    assert "19.5 deg" in patch.notes[0]  # 180 - 90 - 70.529
    assert corner.dabs == (corner.points["vertex"], corner.points["toe.corner"])
    assert patch.dabs == (patch.points["vertex"], patch.points["toe.corner"])


def test_the_next_piece_ends_square_at_the_arris():
    outside = made("outside")["flashing-next"]
    assert len(outside.outline) == 4
    assert max(x for x, _ in outside.outline) == 0.0
    inside = made("inside")["flashing-next"]
    assert max(x for x, y in inside.outline if y > inside.points["vertex"][1]) == 0.0
    # the mitre halves the corner on the roof
    assert measures(inside)["roof-mitre"] == pytest.approx(45.0)


def test_pieces_come_in_the_order_of_laying():
    inside = list(made("inside", sheets=(BASE, FLASHING)))
    assert inside == [
        "base-ply-corner",
        "base-ply-next",
        "flashing-corner",
        "flashing-next",
    ]
    outside = list(made("outside"))
    assert outside == ["flashing-corner", "flashing-patch", "flashing-next"]


@pytest.mark.parametrize("kind", ["inside", "outside"])
@pytest.mark.parametrize("angle", [60.0, 90.0, 150.0])
def test_two_relief_cuts_run_in_on_the_lines_of_the_folds(kind, angle):
    corner = made(kind, angle)["flashing-corner"]
    upper, lower = corner.cuts
    assert (upper.id, lower.id) == ("upper", "lower")
    assert upper.tip == pytest.approx(corner.points["vertex"])
    assert lower.tip == pytest.approx(corner.points["toe.corner"], abs=1e-9)
    for cut in corner.cuts:
        assert cut.opening == pytest.approx(0.0, abs=1e-5)
        assert all(end[1] == pytest.approx(cut.tip[1], abs=1e-9) for end in cut.ends)
        assert cut.length >= FLASHING.lap


def test_a_sheet_that_ends_at_the_cants_top_needs_the_lower_cut_only():
    for kind in ("inside", "outside"):
        corner = made(kind, sheets=(BASE,))["base-ply-corner"]
        assert [c.id for c in corner.cuts] == ["lower"]
        assert {p.face for p in corner.panels} <= {"cant-1", "cant-2", "roof"}


def test_a_steep_cant_in_a_sharp_corner_takes_a_wedge_out_of_the_lower_cut():
    # lean = atan(1.5 / tan(30 deg) / hypot(6, 1.5)) = 22.79 deg. The roof tab has a half
    # turn less 60 = 120 deg, cant 2 only 90 + 22.79: 7.21 deg are waste
    lower = made("inside", 60.0, 6.0, 1.5)["flashing-corner"].cuts[1]
    assert lower.opening == pytest.approx(7.21, abs=0.01)


def test_foil_is_primed_where_another_piece_lands_and_nothing_else_is():
    pieces = made("outside", sheets=(STRIP, FLASHING))
    assert not any(p.prime for p in pieces.values() if p.sheet == "strip-in")
    corner = pieces["flashing-corner"]
    primed = {z.panel for z in corner.prime}
    assert primed == {"cant", "roof", "cant-tab", "toe-flap", "wall-tab"}
    (tab,) = [z for z in corner.prime if z.panel == "wall-tab"]
    assert set(tab.outline) == set(corner.panel("wall-tab").outline)
    (band,) = [z for z in pieces["flashing-patch"].prime if z.panel == "roof"]
    assert {round(x, 6) for x, _ in band.outline} == {round(-FLASHING.lap, 6), 0.0}
    assert pieces["flashing-next"].prime == ()


def test_a_later_sheet_counts_for_the_prime_zones_of_an_earlier_one():
    alone = made("inside", sheets=(FINISH,))["finish-ply-next"]
    assert alone.prime == ()
    below = made("inside", sheets=(FINISH, FLASHING))["finish-ply-next"]
    assert {z.panel for z in below.prime} == {"cant", "roof"}


def test_overlaps_name_the_other_pieces_of_the_same_sheet():
    pieces = made("outside", sheets=(STRIP, FLASHING))
    seen = {(o.piece, o.under, o.panel) for o in pieces["flashing-patch"].overlaps}
    assert {(p, u) for p, u, _ in seen} == {
        ("flashing-corner", False),
        ("flashing-next", True),
    }


def test_a_given_run_is_kept_and_the_least_is_enough():
    least = least_run("inside", 90.0, 4 * IN, 4 * IN, FLASHING)
    assert least == pytest.approx(FLASHING_RUN_INSIDE)
    longer = CornerSheet("s", "S", 4 * IN, 5 * IN, 3 * IN, True, run=least + 100.0)
    assert measures(made("inside", sheets=(longer,))["s-next"])["run"] == pytest.approx(
        least + 100.0
    )


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"angle": 59.0}, "the angle is not from 60 to 150"),
        ({"angle": 151.0}, "the angle is not from 60 to 150"),
        ({"height": 0.0}, "both legs of the cant"),
        ({"run": -1.0}, "both legs of the cant"),
        ({"sheets": (FLASHING, FLASHING)}, "two sheets have the same id"),
        (
            {"sheets": (CornerSheet("s", "S", 0.0, 1.0, 1.0, False),)},
            "s: reaches and laps must be more than 0",
        ),
        (
            {"sheets": (CornerSheet("s", "S", 50.0, 1.0, 75.0, False, run=100.0),)},
            "s: run must be at least 301.6 mm",  # (4 in + 50) at 45 deg, and two laps
        ),
    ],
)
def test_what_cannot_be_made_is_refused(change, told):
    with pytest.raises(ValueError, match=told):
        made("inside", **change)


def test_all_that_is_wrong_is_told_at_once():
    with pytest.raises(ValueError, match=r"the angle .*; both legs"):
        made("inside", angle=30.0, height=0.0)
