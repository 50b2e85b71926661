"""Which label goes to which slot: a cheapest assignment, by shortest augmenting paths.

Straight leaders whose total length is the least that any assignment has never cross: two
that crossed could swap their slots and be shorter (triangle inequality).
"""

from collections.abc import Sequence

_FAR = float("inf")


def cheapest(cost: Sequence[Sequence[float]]) -> list[int]:
    """Return for each row the column that it takes, so that the sum of costs is least.

    Args:
        cost: One row for each label, one column for each slot; no more rows than columns.

    >>> cheapest([[1.0, 2.0, 3.0], [1.0, 5.0, 9.0]])
    [1, 0]
    """
    rows = len(cost)
    columns = len(cost[0]) if rows else 0
    assert rows <= columns, "more labels than slots"
    row_price = [0.0] * (rows + 1)
    column_price = [0.0] * (columns + 1)
    taken_by = [0] * (columns + 1)
    for row in range(1, rows + 1):
        came_from = _free_column(cost, row, row_price, column_price, taken_by)
        column = came_from.pop()
        while column:
            before = came_from[column]
            taken_by[column] = taken_by[before]
            column = before
    answer = [0] * rows
    for column in range(1, columns + 1):
        if taken_by[column]:
            answer[taken_by[column] - 1] = column - 1
    return answer


def _free_column(
    cost: Sequence[Sequence[float]],
    row: int,
    row_price: list[float],
    column_price: list[float],
    taken_by: list[int],
) -> list[int]:
    """Find the cheapest path from `row` to a free column; prices are kept up.

    The last number returned is that column; before it, for each column, the one before it
    on its path.
    """
    columns = len(column_price) - 1
    taken_by[0] = row
    slack = [_FAR] * (columns + 1)
    came_from = [0] * (columns + 1)
    done = [False] * (columns + 1)
    here = 0
    while taken_by[here]:
        done[here] = True
        line = cost[taken_by[here] - 1]
        price = row_price[taken_by[here]]
        step, nearest = _FAR, 0
        for column in range(1, columns + 1):
            if done[column]:
                continue
            now = line[column - 1] - price - column_price[column]
            if now < slack[column]:
                slack[column], came_from[column] = now, here
            if slack[column] < step:
                step, nearest = slack[column], column
        for column in range(columns + 1):
            if done[column]:
                row_price[taken_by[column]] += step
                column_price[column] -= step
            else:
                slack[column] -= step
        here = nearest
    return [*came_from, here]
