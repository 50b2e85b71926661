"""Rows of pieces: worked by hand, and what holds of every row."""

from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from detailgen.pieces import Asked, Gave, PieceRow, Seam, along, lay

NEAR = 1e-3


def widths(pieces: tuple[tuple[float, float], ...]) -> list[float]:
    return [b - a for a, b in pieces]


def seams(pieces: tuple[tuple[float, float], ...]) -> list[float]:
    """Return where each piece but the last ends."""
    return [end for _, end in pieces[:-1]]


def below(clear: float, *at: float) -> tuple[Seam, ...]:
    return tuple(Seam(one, clear) for one in at)


def gave(row: PieceRow) -> tuple[Gave, ...]:
    return tuple(lost.gave for lost in row.lost)


def test_a_run_worked_by_hand() -> None:
    """A wall of 10 m, pieces of 1 m that lap 76.2 mm, none under 300 mm.

    The first piece covers 1000; each further one 1000 - 76.2 = 923.8 more. Nine further
    ones reach 1000 + 9 x 923.8 = 9314.2, so a tenth is needed: 11 pieces. What is left for
    the last one is 10000 - 9314.2 = 685.8, with its lap 762 mm wide, which is no sliver.
    """
    row = lay(Asked(10_000.0, 1000.0, 76.2, 300.0))
    assert widths(row) == pytest.approx([1000.0] * 10 + [762.0])
    assert row[1] == pytest.approx((923.8, 1923.8))


def test_a_sliver_is_spread_over_the_piece_before() -> None:
    """A wall of 1950 mm: 1000 + 923.8 = 1923.8 leave 26.2, with the lap 102.4: a sliver.

    So the second piece ends 300 - 76.2 = 223.8 before the end, at 1726.2: 802.4 wide.
    """
    row = lay(Asked(1950.0, 1000.0, 76.2, 300.0))
    assert widths(row) == pytest.approx([1000.0, 802.4, 300.0])


def test_seams_keep_off_corners_and_off_seams_below_worked_by_hand() -> None:
    """A run of 2600 with a corner at its end, seams below at 1000 and 2000.

    300 off these, seams may fall up to 700, from 1300 to 1700 and from 2300 on; 305 off the
    corner is 2295, so that the last of these is none. The last seam lies no more than
    1000 - 76.2 = 923.8 before the end, from 1676.2 to 1700. The one before it lies within
    923.8 of it, at 752.4 at the least, so that it cannot be one up to 700: it lies from
    1300 on, and a piece of 300 covers 223.8 more, so at 1476.2 at the most. Three seams
    then, each as far on as may be: 700, 1476.2 and 1700.
    """
    asked = Asked(2600.0, 1000.0, 76.2, 300.0, 0.0, 305.0, below(300.0, 1000.0, 2000.0))
    row = lay(asked)
    assert seams(row) == pytest.approx((700.0, 1476.2, 1700.0))


def test_metal_leaves_gaps() -> None:
    """Three lengths of 10 ft with 1/4 in between: 3 x 3048 + 2 x 6.35 = 9156.7 mm."""
    row = lay(Asked(9156.7, 3048.0, -6.35, 600.0))
    assert widths(row) == pytest.approx([3048.0] * 3)
    assert row[1][0] - row[0][1] == pytest.approx(6.35)


def test_what_cannot_be_kept_is_told_with_what_there_is() -> None:
    """A run of 1100 needs a seam, and 600 off both ends there is no place for one.

    Asked half as much, 300, a lap of 76.2 may start from 300 on and end at 800: the widest
    first piece ends there, and its lap starts at 723.8.
    """
    short = along(Asked(1100.0, 1000.0, 76.2, 300.0, 600.0, 600.0), 0.0)
    assert gave(short) == (Gave.CORNER,)
    assert short.pieces[0] == pytest.approx((0.0, 800.0))
    assert short.lost[0].count == 1
    assert short.lost[0].least == pytest.approx(300.0)
    narrow = along(Asked(1050.0, 1000.0, 76.2, 900.0), 0.0)
    assert gave(narrow) == (Gave.SLIVER,)


def test_only_seams_in_the_way_are_kept_less_clear_of() -> None:
    """Two seams below at 3000 and 3343 cannot both be kept clear of by 305.

    From 2695 to 3648 no seam may fall, which is 953, and pieces cover 923.8 at the most. So
    these two are asked less; along the rest of the run nothing is given up.
    """
    near = (1000.0, 2000.0, 3000.0, 3343.0, 4300.0, 5300.0, 6300.0)
    row = along(Asked(7000.0, 1000.0, 76.2, 300.0, below=below(305.0, *near)), 0.0)
    assert gave(row) == (Gave.BELOW,)
    (lost,) = row.lost
    assert lost.count == 1
    assert lost.least >= 305.0 / 2.0 - NEAR
    far = [s for s in row.seams if all(abs(s - n) > 305.0 - NEAR for n in near)]
    assert len(far) == len(row.seams) - 1


@pytest.mark.parametrize("bad", [(0.0, 1000.0, 76.2), (1000.0, 50.0, 76.2)])
def test_what_covers_nothing_is_refused(bad: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="can cover"):
        lay(Asked(*bad))


LENGTHS = st.floats(10.0, 40_000.0)


@st.composite
def runs(draw: st.DrawFn) -> tuple[Asked, float]:
    # odd figures: where two ways are alike but for rounding, either may be taken
    run = draw(LENGTHS) + 0.377
    lap = draw(st.sampled_from([76.2, 152.4, 0.0, -6.35]))
    clear = draw(st.sampled_from([0.0, 150.0, 305.0]))
    low = draw(st.floats(0.0, 1.0)) * run
    under: tuple[float, ...] = ()
    if draw(st.booleans()):
        under = along(Asked(run, draw(st.floats(600.0, 10_000.0)), 76.2), low).seams
    asked = Asked(
        run,
        draw(st.floats(500.0, 10_000.0)) + 0.219,
        lap,
        draw(st.sampled_from([0.0, 300.0])),
        draw(st.sampled_from([0.0, 305.0])),
        draw(st.sampled_from([0.0, 305.0])),
        below(clear, *under),
    )
    return asked, low


@given(runs())
def test_every_run_is_covered_by_pieces_that_keep_what_is_asked(
    run: tuple[Asked, float],
) -> None:
    asked, low = run
    placed = along(asked, low)
    row = sorted(placed.pieces)
    assert row[0][0] == pytest.approx(0.0, abs=NEAR)
    assert row[-1][1] == pytest.approx(asked.run, abs=NEAR)
    for (_, end), (start, _) in pairwise(row):
        assert end - start == pytest.approx(asked.lap, abs=NEAR)
    kept = {*Gave} - {*gave(placed)}
    for a, b in row:
        assert b - a <= asked.stock + NEAR
        assert Gave.SLIVER not in kept or b - a >= min(asked.least, asked.run) - 0.1
    for (_, end), (start, _) in pairwise(row):
        left, right = min(start, end), max(start, end)
        if Gave.CORNER in kept:
            assert left >= asked.low_corner - 0.1
            assert right <= asked.run - asked.high_corner + 0.1
        if Gave.BELOW in kept:
            middle = (left + right) / 2.0
            assert all(abs(middle - s.at) >= s.clear - 0.1 for s in asked.below)


@given(runs())
def test_no_lap_faces_the_water(run: tuple[Asked, float]) -> None:
    """Water runs to the low point: of two that lap, the one farther up lies on top."""
    asked, low = run
    order = list(along(asked, low).pieces)
    for left, right in pairwise(sorted(order)):
        middle = (left[1] + right[0]) / 2.0
        upper = order.index(right) > order.index(left)
        if middle > low + NEAR:
            assert upper
        elif middle < low - NEAR:
            assert not upper


@given(runs())
def test_a_mirrored_run_has_mirrored_pieces(run: tuple[Asked, float]) -> None:
    asked, low = run
    assume(abs(low - asked.run / 2.0) > 1.0)  # in the very middle it may go either way
    mirrored = Asked(
        asked.run,
        asked.stock,
        asked.lap,
        asked.least,
        asked.high_corner,
        asked.low_corner,
        tuple(Seam(asked.run - s.at, s.clear) for s in reversed(asked.below)),
    )
    one, other = along(asked, low), along(mirrored, asked.run - low)
    turned = sorted((asked.run - b, asked.run - a) for a, b in other.pieces)
    flat = [v for piece in sorted(one.pieces) for v in piece]
    assert [v for piece in turned for v in piece] == pytest.approx(flat, abs=NEAR)
    assert gave(one) == gave(other)


@given(st.floats(1000.0, 40_000.0))
def test_a_row_has_the_fewest_pieces_that_will_do(run: float) -> None:
    free = lay(Asked(run, 1000.0, 76.2))
    assert 1000.0 + (len(free) - 2) * 923.8 < run + NEAR or len(free) == 1
    assert len(lay(Asked(run, 1000.0, 76.2, 300.0))) == len(free)
