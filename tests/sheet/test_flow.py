from hypothesis import given
from hypothesis import strategies as st

from detailgen.scene import Text
from detailgen.sheet.flow import Block, Column, Piece, Row, balanced, fill, line, pieces_of

HEIGHTS = st.lists(
    st.lists(st.floats(4, 24), min_size=1, max_size=14), min_size=1, max_size=6
)


def pieces(heights: list[list[float]]) -> list[Piece]:
    return [
        Piece(
            f"BLOCK {b}",
            tuple(Row(h, (line(f"{b}.{r}", 0, -3),)) for r, h in enumerate(rows)),
        )
        for b, rows in enumerate(heights)
    ]


def columns(count: int, high: float = 150.0) -> list[Column]:
    return [Column(100.0 * n, 90.0, high, 0.0) for n in range(count)]


def set_rows(filled: list[Column]) -> list[str]:
    found = [
        i.content for c in filled for i in c.items if isinstance(i, Text) and not i.bold
    ]
    assert len(found) == len(set(found))
    return found


@given(HEIGHTS, st.integers(1, 4))
def test_every_row_is_set_once_and_in_order(heights: list[list[float]], count: int) -> None:
    wanted = [f"{b}.{r}" for b, rows in enumerate(heights) for r in range(len(rows))]
    found: list[str] = []
    left = pieces(heights)
    for _ in range(60):
        if not left:
            break
        page = columns(count)
        left = fill(left, page)
        for column in page:
            assert column.top >= column.bottom - 1e-6
        found += set_rows(page)
    assert found == wanted


@given(HEIGHTS, st.integers(2, 4))
def test_balancing_loses_nothing(heights: list[list[float]], count: int) -> None:
    page = columns(count, high=400.0)
    plain = [Column(c.x, c.width, c.top, c.bottom) for c in page]
    left = fill(pieces(heights), plain)
    evened, over = balanced(pieces(heights), page)
    assert [p.title for p in over] == [p.title for p in left]
    assert set_rows(evened) == set_rows(plain)
    if not left:
        assert max(c.top for c in evened) <= 400.0
        assert min(c.top for c in evened) >= min(c.top for c in plain) - 1e-6


def test_a_block_goes_on_under_its_heading() -> None:
    page = columns(2, high=60.0)
    assert fill(pieces([[10.0] * 8]), page) == []
    heads = [i.content for c in page for i in c.items if isinstance(i, Text) and i.bold]
    assert heads == ["BLOCK 0", "BLOCK 0 (CONTINUED)"]


def test_a_sub_heading_is_not_left_alone_at_the_foot() -> None:
    rows = (Row(10.0, ()), Row(10.0, ()), Row(10.0, (), with_next=True), Row(30.0, ()))
    page = columns(2, high=56.0)
    assert fill([Piece("B", (*rows, Row(5.0, ())))], page) == []
    assert len([r for r, _ in page[0].rows if r.height == 10.0]) == 2


def test_an_empty_block_has_no_heading() -> None:
    assert pieces_of([Block("NOTHING", lambda _width: [])], 90.0) == []
