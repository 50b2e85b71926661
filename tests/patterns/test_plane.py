"""Moves of the plane and convex shapes."""

import pytest

from detailgen.flat import ring_area
from detailgen.patterns._plane import (
    Motion,
    left_of,
    right_of,
    shared,
    within,
    x_from,
    x_to,
    y_from,
    y_to,
)

UNIT = (x_from(0.0), x_to(1.0), y_from(0.0), y_to(1.0))


def test_a_motion_lays_one_way_on_another():
    move = Motion.laying((1.0, 1.0), (2.0, 1.0), (5.0, 5.0), (5.0, 9.0))
    assert move((1.0, 1.0)) == pytest.approx((5.0, 5.0))
    assert move((2.0, 1.0)) == pytest.approx((5.0, 6.0))
    assert move((1.0, 2.0)) == pytest.approx((4.0, 5.0))
    assert move.inverse()(move((7.0, -3.0))) == pytest.approx((7.0, -3.0))
    twice = move.after(move)
    assert twice((1.0, 2.0)) == pytest.approx(move(move((1.0, 2.0))))


def test_limits_move_with_what_they_limit():
    move = Motion.laying((0.0, 0.0), (1.0, 0.0), (3.0, 2.0), (3.0, 7.0))
    side = left_of((0.0, 0.0), (1.0, 1.0))
    for p in ((2.0, 5.0), (5.0, 2.0), (-1.0, 0.5)):
        assert side.moved(move).beyond(move(p)) == pytest.approx(side.beyond(p))
        assert side.other().beyond(p) == pytest.approx(-side.beyond(p))
        assert side.pushed(2.0).beyond(p) == pytest.approx(side.beyond(p) - 2.0)
    assert side.beyond((0.0, 1.0)) < 0.0 < right_of((0.0, 0.0), (1.0, 1.0)).beyond((0, 1))


def test_limits_leave_a_convex_shape_or_nothing():
    assert ring_area(within(UNIT, 10.0)) == pytest.approx(1.0)
    half = within([*UNIT, left_of((0.0, 0.0), (1.0, 1.0))], 10.0)
    assert ring_area(half) == pytest.approx(0.5)
    assert within([*UNIT, x_from(1.0)], 10.0) == ()
    assert within([*UNIT, x_from(2.0)], 10.0) == ()


def test_two_shapes_share_what_lies_in_both():
    one = within(UNIT, 10.0)
    other = tuple((x + 0.25, y + 0.5) for x, y in one)
    assert ring_area(shared(one, other)) == pytest.approx(0.75 * 0.5)
    assert shared(one, tuple((x + 1.0, y) for x, y in one)) == ()
