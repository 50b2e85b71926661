from itertools import combinations, permutations
from math import hypot
from random import Random

import pytest

from detailgen.sheet.matching import cheapest
from detailgen.sheet.plane import cross


@pytest.mark.parametrize("seed", range(40))
def test_no_other_assignment_is_cheaper(seed: int) -> None:
    rng = Random(seed)
    rows = rng.randint(1, 5)
    columns = rng.randint(rows, 6)
    cost = [[rng.random() for _ in range(columns)] for _ in range(rows)]
    taken = cheapest(cost)
    assert len(set(taken)) == rows
    best = min(
        sum(cost[i][p[i]] for i in range(rows)) for p in permutations(range(columns), rows)
    )
    assert sum(cost[i][c] for i, c in enumerate(taken)) == pytest.approx(best)


def test_leaders_of_least_total_length_do_not_cross() -> None:
    rng = Random(5)
    for _ in range(30):
        ports = [(0.0, 8.0 * i) for i in range(18)]
        tips = [(rng.uniform(10, 120), rng.uniform(0, 140)) for _ in range(14)]
        cost = [[hypot(x - u, y - v) for u, v in ports] for x, y in tips]
        leaders = [(ports[c], tip) for c, tip in zip(cheapest(cost), tips, strict=True)]
        assert not any(cross(a, b) for a, b in combinations(leaders, 2))


def test_nothing_to_match() -> None:
    assert cheapest([]) == []


def test_more_labels_than_slots_is_a_mistake() -> None:
    with pytest.raises(AssertionError, match="slots"):
        cheapest([[1.0], [2.0]])
