from hypothesis import given
from hypothesis import strategies as st

from detailgen.sheet.dimension_lines import SIDE_GAP, Span, stack

ENDS = st.lists(st.integers(0, 240), min_size=2, max_size=2, unique=True)
SPANS = st.lists(
    st.builds(
        lambda ends, text, rank: Span(min(ends) / 2, max(ends) / 2, text, rank),
        ENDS,
        st.floats(6, 40),
        st.integers(1, 4),
    ),
    min_size=1,
    max_size=9,
)


@given(SPANS)
def test_no_text_meets_an_extension_line_or_another_text(spans: list[Span]) -> None:
    berths = stack(spans)
    for i, (span, berth) in enumerate(zip(spans, berths, strict=True)):
        low, high = berth.middle - span.text / 2, berth.middle + span.text / 2
        for j, (other, its) in enumerate(zip(spans, berths, strict=True)):
            if i == j:
                continue
            if its.line >= berth.line:
                # The other's extension lines pass this text, or end beside it.
                assert not any(
                    low - SIDE_GAP + 0.05 < end < high + SIDE_GAP - 0.05
                    for end in (other.low, other.high)
                )
            if its.line == berth.line:
                a, b = its.middle - other.text / 2, its.middle + other.text / 2
                assert high <= a or b <= low
                assert min(span.high, other.high) - max(span.low, other.low) < 0.05


@given(SPANS)
def test_a_closed_end_is_kept_clear_of_text(spans: list[Span]) -> None:
    floor = min(s.low for s in spans)
    for span, berth in zip(spans, stack(spans, floor=floor), strict=True):
        assert berth.middle - span.text / 2 >= floor


def test_a_chain_shares_one_line() -> None:
    chain = [Span(0, 30, 10), Span(30, 70, 10), Span(70, 120, 10)]
    assert [b.line for b in stack(chain)] == [0, 0, 0]
    assert [b.middle for b in stack(chain)] == [15, 50, 95]


def test_a_short_one_has_its_text_outside() -> None:
    berth = stack([Span(10, 14, 20)])[0]
    assert not 10 < berth.middle < 14


def test_the_larger_rank_lies_further_out() -> None:
    inner, outer = stack([Span(0, 60, 10, rank=1), Span(0, 90, 10, rank=2)])
    assert inner.line < outer.line
