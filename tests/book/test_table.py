"""Tables of a book: widths, rows in parts, links."""

import pytest

from detailgen.book.columns import Col, Heading, Line, Note, chosen, fits, widths_of
from detailgen.book.table import Linked, readable, table, texts
from detailgen.lettering import text_width
from detailgen.scene import Align, Path, Text
from detailgen.sheet.blocks import paragraph
from detailgen.sheet.flow import TEXT, Block

WORDS = "flashing sheet over the cant and up the wall as far as the counterflashing lets it"
COLUMNS = (Col("Mark"), Col("What it is"), Col("Net", number=True), Col("Remark"))
LINES = [
    Line((f"W{n}", WORDS[: 10 + 7 * n], f"{n * 111.5:,.2f}", WORDS * (n % 3)))
    for n in range(1, 9)
]


def boxes(row):
    """Return left, right, top and bottom of each text of a row."""
    found = []
    for item in row.items:
        if isinstance(item, Text):
            wide = text_width(item.content, item.height, bold=item.bold)
            left = item.at[0] - (wide if item.align is Align.RIGHT else 0.0)
            found.append((left, left + wide, item.at[1] + item.height, item.at[1]))
    return found


@pytest.mark.parametrize("width", [60.0, 90.0, 150.0, 300.0, 700.0])
def test_columns_fill_their_width_and_nothing_leaves_its_own(width):
    widths = widths_of(COLUMNS, LINES, width)
    assert sum(widths) <= width + 1e-6
    assert min(widths) > 0.0
    block = table("T", COLUMNS, LINES)
    for row in (*block.head(width), *block.rows(width)):
        found = boxes(row)
        for left, right, top, bottom in found:
            assert left > -1e-6
            assert right < width + 1e-6
            assert -row.height < bottom < top < 0.0
        for n, a in enumerate(found):
            for b in found[:n]:
                apart = a[0] >= b[1] or b[0] >= a[1] or a[3] >= b[2] or b[3] >= a[2]
                assert apart


def test_a_wider_column_is_given_where_it_saves_lines():
    lines = [Line(("a", WORDS)), *[Line((WORDS, "b"))] * 9]
    wide = text_width(WORDS, TEXT, bold=True) + 4.0
    first, second = widths_of((Col("A"), Col("B")), lines, wide + 60.0)
    assert first > wide - 4.0  # nine rows of one line, and one of several
    assert second < 65.0


def test_a_cell_that_is_too_high_goes_on_in_further_rows():
    marks = ", ".join(f"mark-{n}" for n in range(500))
    block = table("T", (Col("A"), Col("B")), [Line(("x", marks))])
    rows = block.rows(80.0)
    assert len(rows) > 5
    assert max(row.height for row in rows) < 60.0
    said = " ".join(i.content for r in rows for i in r.items if isinstance(i, Text))
    assert said.removeprefix("x ") == marks


def test_a_paragraph_that_is_too_high_goes_on_in_further_rows():
    long = ", ".join(f"W{n}" for n in range(3000))
    rows = texts("T", [("All:", long)]).rows(90.0)
    assert len(rows) > 3
    assert max(row.height for row in rows) < 60.0
    said = " ".join(i.content for r in rows for i in r.items if isinstance(i, Text))
    assert said == f"All: {long}"


def test_links_lie_on_their_cells():
    lines = [Line(("W1", "Wall", "1", "x"), targets={0: "mark W1", 3: "sheet 4"})]
    (row,) = table("T", COLUMNS, lines).rows(120.0)
    assert isinstance(row, Linked)
    texts_ = {i.content: i for i in row.items if isinstance(i, Text)}
    for link, word in zip(row.links, ("W1", "x"), strict=True):
        x0, y0, x1, y1 = link.box
        at = texts_[word].at
        assert x0 <= at[0] <= x1
        assert y0 <= at[1] <= y1 <= 0.0
    assert [link.target for link in row.links] == ["mark W1", "sheet 4"]


def test_headings_stay_with_what_follows():
    rows = table("T", COLUMNS, [Heading("W1", "mark W1"), LINES[0], Note("Told.")]).rows(99)
    assert [r.with_next for r in rows] == [True, False, False]


def test_columns_in_blank_are_ruled_and_high_enough():
    columns = (Col("A"), Col("To fill in", blank=30.0), Col("", blank=10.0))
    rows = table("T", columns, [Line(("a", "", ""))], least=9.0, ruled=True).rows(150.0)
    assert rows[0].height == pytest.approx(9.0)
    upright = [i for i in rows[0].items if isinstance(i, Path) and i.points[0][0] > 0.0]
    assert len(upright) == 2
    assert sum(widths_of(columns, [Line(("a", "", ""))], 150.0)) == pytest.approx(150.0)


def test_a_table_without_room_takes_its_narrow_form():
    few = COLUMNS[:2], [Line(("W1", "Wall"))]
    block = table("T", COLUMNS, LINES, narrow=few)
    assert fits(COLUMNS, LINES, 200.0)
    assert not fits(COLUMNS, LINES, 50.0)
    assert len(block.rows(200.0)) == len(LINES)
    assert len(block.rows(50.0)) == 1
    assert "Remark" not in [i.content for r in block.head(50.0) for i in r.items
                            if isinstance(i, Text)]  # fmt: skip


def test_words_over_a_wide_sheet_keep_lines_that_can_be_read():
    block = readable(Block("T", lambda width: [paragraph(WORDS * 9, width)]))
    widest = max(b[1] for row in block.rows(700.0) for b in boxes(row))
    assert widest <= 220.0
    assert TEXT == 2.5


def test_text_that_cannot_be_lettered_is_replaced():
    (row,) = table("T", (Col("A"),), [Line(("中文\u202e",))]).rows(90.0)
    (text,) = [i.content for i in row.items if isinstance(i, Text)]
    assert text == "???"


def test_chosen_columns_keep_their_cells_and_where_they_lead():
    lines = [Line(("W1", "Wall", "1", "x"), strong=frozenset({3}), targets={3: "sheet 4"})]
    columns, made = chosen(COLUMNS, lines, (0, 3))
    assert [c.head for c in columns] == ["Mark", "Remark"]
    assert made == [Line(("W1", "x"), strong=frozenset({1}), targets={1: "sheet 4"})]
