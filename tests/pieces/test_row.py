"""Rows of pieces: worked by hand, and what holds of every row."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from detailgen.pieces import Asked, Gave, Placed, along, lay

NEAR = 1e-3


def widths(pieces: tuple[tuple[float, float], ...]) -> list[float]:
    return [b - a for a, b in pieces]


def test_a_run_worked_by_hand() -> None:
    """A wall of 10 m, pieces of 1 m that lap 76.2 mm, none under 300 mm.

    The first piece covers 1000; each further one 1000 - 76.2 = 923.8 more. Nine further
    ones reach 1000 + 9 x 923.8 = 9314.2, so a tenth is needed: 11 pieces. What is left for
    the last one is 10000 - 9314.2 = 685.8, with its lap 762 mm wide, which is no sliver.
    """
    row = lay(Asked(10_000.0, 1000.0, 76.2, 300.0))
    assert widths(row.pieces) == pytest.approx([1000.0] * 10 + [762.0])
    assert row.pieces[1] == pytest.approx((923.8, 1923.8))


def test_a_sliver_is_spread_over_the_piece_before() -> None:
    """A wall of 1950 mm: 1000 + 923.8 = 1923.8 leave 26.2, with the lap 102.4: a sliver.

    So the second piece ends 300 - 76.2 = 223.8 before the end, at 1726.2: 802.4 wide.
    """
    row = lay(Asked(1950.0, 1000.0, 76.2, 300.0))
    assert widths(row.pieces) == pytest.approx([1000.0, 802.4, 300.0])
    assert not row.gave


def test_seams_keep_off_corners_and_off_seams_below_worked_by_hand() -> None:
    """A run of 2600 with a corner at its end, seams below at 1000 and 2000.

    300 off these, seams may fall up to 700, from 1300 to 1700 and from 2300 on; 305 off the
    corner is 2295, so that the last of these is none. The last seam lies no more than
    1000 - 76.2 = 923.8 before the end, from 1676.2 to 1700. The one before it lies within
    923.8 of it, at 752.4 at the least, so that it cannot be one up to 700: it lies from
    1300 on, and a piece of 300 covers 223.8 more, so at 1476.2 at the most. Three seams
    then, each as far on as may be: 700, 1476.2 and 1700.
    """
    asked = Asked(2600.0, 1000.0, 76.2, 300.0, 0.0, 305.0, (1000.0, 2000.0), 300.0)
    row = lay(asked)
    assert row.gave == ()
    assert row.seams == pytest.approx((700.0, 1476.2, 1700.0))


def test_metal_leaves_gaps() -> None:
    """Three lengths of 10 ft with 1/4 in between: 3 x 3048 + 2 x 6.35 = 9156.7 mm."""
    row = lay(Asked(9156.7, 3048.0, -6.35, 600.0))
    assert widths(row.pieces) == pytest.approx([3048.0] * 3)
    assert row.pieces[1][0] - row.pieces[0][1] == pytest.approx(6.35)


def test_what_cannot_be_kept_is_told_in_its_order() -> None:
    short = Asked(1100.0, 1000.0, 76.2, 300.0, 600.0, 600.0)
    assert lay(short).gave == (Gave.CORNER,)
    crowded = Asked(
        5000.0, 1000.0, 76.2, 300.0, below=tuple(range(0, 5000, 100)), apart=90.0
    )
    assert lay(crowded).gave == (Gave.BELOW,)
    narrow = Asked(1050.0, 1000.0, 76.2, 900.0)
    assert lay(narrow).gave == (Gave.SLIVER,)


@pytest.mark.parametrize("bad", [(0.0, 1000.0, 76.2), (1000.0, 50.0, 76.2)])
def test_what_covers_nothing_is_refused(bad: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="can cover"):
        lay(Asked(*bad))


LENGTHS = st.floats(10.0, 40_000.0)


@st.composite
def runs(draw: st.DrawFn) -> tuple[Asked, float]:
    run = draw(LENGTHS)
    stock = draw(st.floats(500.0, 10_000.0))
    lap = draw(st.sampled_from([76.2, 152.4, 0.0, -6.35]))
    below: tuple[float, ...] = ()
    if draw(st.booleans()):
        low = draw(st.floats(0.0, run))
        below = along(Asked(run, draw(st.floats(600.0, 10_000.0)), 76.2), low).seams
    asked = Asked(
        run,
        stock,
        lap,
        draw(st.sampled_from([0.0, 300.0])),
        draw(st.sampled_from([0.0, 305.0])),
        draw(st.sampled_from([0.0, 305.0])),
        below,
        draw(st.sampled_from([0.0, 150.0, 305.0])),
    )
    return asked, draw(st.floats(0.0, 1.0)) * run


def kept(asked: Asked, placed: Placed) -> None:
    """Hold a row to everything that is asked and has not given way."""
    row = sorted(placed.pieces)
    assert row[0][0] == pytest.approx(0.0, abs=NEAR)
    assert row[-1][1] == pytest.approx(asked.run, abs=NEAR)
    for (_, end), (start, _) in pairwise(row):
        assert end - start == pytest.approx(asked.lap, abs=NEAR)
    for width in widths(tuple(row)):
        assert width <= asked.stock + NEAR
        if Gave.SLIVER not in placed.gave:
            assert width >= min(asked.least, asked.run) - NEAR
    for (_, end), (start, _) in pairwise(row):
        left, right = min(start, end), max(start, end)
        if Gave.CORNER not in placed.gave:
            assert left >= asked.low_corner - abs(asked.lap) - NEAR
            assert right <= asked.run - asked.high_corner + abs(asked.lap) + NEAR
        if Gave.BELOW not in placed.gave:
            middle = (left + right) / 2.0
            assert all(abs(middle - s) >= asked.apart - NEAR for s in asked.below)


@given(runs())
def test_every_run_is_covered_and_keeps_what_is_asked(run: tuple[Asked, float]) -> None:
    asked, low = run
    kept(asked, along(asked, low))


@given(runs())
def test_a_mirrored_run_has_mirrored_pieces(run: tuple[Asked, float]) -> None:
    asked, low = run
    mirrored = Asked(
        asked.run,
        asked.stock,
        asked.lap,
        asked.least,
        asked.high_corner,
        asked.low_corner,
        tuple(asked.run - s for s in asked.below),
        asked.apart,
    )
    one, other = along(asked, 0.0), along(mirrored, asked.run)
    turned = tuple((asked.run - b, asked.run - a) for a, b in other.pieces)
    assert [w for p in turned for w in p] == pytest.approx(
        [w for p in one.pieces for w in p], abs=NEAR
    )
    assert one.gave == other.gave
    assert low >= 0.0


@given(st.floats(1000.0, 40_000.0))
def test_a_row_has_the_fewest_pieces_that_will_do(run: float) -> None:
    free = lay(Asked(run, 1000.0, 76.2))
    assert 1000.0 + (len(free.pieces) - 2) * 923.8 < run + NEAR or len(free.pieces) == 1
    assert len(lay(Asked(run, 1000.0, 76.2, 300.0)).pieces) == len(free.pieces)
