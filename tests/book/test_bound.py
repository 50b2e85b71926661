"""The bound set: an index that leads to every sheet."""

import io
import re
from dataclasses import replace

import pikepdf
import pypdf
import pytest

from detailgen.book import BookInfo, SheetRow, bound_set
from detailgen.book.index import index_pages
from detailgen.scene import Paper, Path, Text
from detailgen.writers._lowering import lower
from detailgen.writers._scene_gate import validate
from tests.writers.sample import rich_scene

INFO = BookInfo(
    "Depot & Yard <7>",
    (("Number", "2031-04"), ("Location", "Nowhere, on the hill"), ("Drawn by", "")),
    "J. Doe",
    "Bold lines have a rule that fails.",
)
PAPERS = [
    Paper("ANSI B", 431.8, 279.4),
    Paper("ANSI A", 279.4, 215.9),
    Paper("ISO A4", 210.0, 297.0),
    Paper("ISO A3", 420.0, 297.0),
]


def rows(count):
    return [
        SheetRow(
            f"A-{501 + i}",
            f"wall-base-{i}" if i % 3 else f"a-very-long-mark-for-a-condition-{i}",
            "Roof edge"
            if i % 4
            else "Wall base flashing with a counterflashing in a reglet " * 3,
            '3" = 1\'-0"  (1:4)',
            "13 pass, 1 fail, 2 not applicable" if i % 5 == 0 else "14 pass",
            i % 5 == 0,
        )
        for i in range(count)
    ]


def book(count):
    sheet = rich_scene()
    sheets = [replace(sheet, id=row.number) for row in rows(count)]
    return bound_set(INFO, rows(count), sheets)


def test_every_sheet_has_its_page_bookmark_label_and_link():
    data = book(3)
    reader = pypdf.PdfReader(io.BytesIO(data))
    assert len(reader.pages) == 4
    assert reader.page_labels == ["Index", "A-501", "A-502", "A-503"]
    titles = [entry.title for entry in reader.outline]
    assert titles[0] == "Index of sheets"
    assert titles[2] == "A-502  Roof edge"
    pages = [reader.get_destination_page_number(entry) for entry in reader.outline]
    assert pages == [0, 1, 2, 3]
    with pikepdf.open(io.BytesIO(data)) as pdf:
        assert pdf.check_pdf_syntax() == []
        targets = [link.Dest[0].objgen for link in pdf.pages[0].Annots]
        assert targets == [page.obj.objgen for page in pdf.pages][1:]
        assert pdf.docinfo["/Title"] == INFO.title
        assert pdf.docinfo["/Author"] == "J. Doe"


def test_the_index_tells_about_every_sheet():
    text = pypdf.PdfReader(io.BytesIO(book(3))).pages[0].extract_text()
    flat = re.sub(r"\s+", "", text)
    for row in rows(3):
        for cell in (row.number, row.mark, row.title, row.scale, row.findings):
            for word in cell.split():
                assert word in flat
    assert "Depot & Yard <7>" in text
    assert "Nowhere, on the hill" in text
    assert "Drawn by" not in text
    assert "Bold lines" in text


def test_links_lie_on_their_lines():
    (page,) = index_pages(INFO, rows(4), PAPERS[0])
    for number, (x0, y0, x1, y1) in page.boxes:
        inside = [
            item.content
            for item in page.scene.items
            if isinstance(item, Text) and x0 <= item.at[0] <= x1 and y0 <= item.at[1] <= y1
        ]
        assert rows(4)[number].number in inside


@pytest.mark.parametrize("paper", PAPERS, ids=lambda p: p.name)
@pytest.mark.parametrize("count", [1, 30, 90])
def test_the_index_keeps_clear_and_breaks_over_pages(paper, count):
    made = index_pages(INFO, rows(count), paper)
    assert [n for page in made for n, _ in page.boxes] == list(range(count))
    assert len(made) == 1 if count == 1 else len(made) > count // 90
    for page in made:
        validate(page.scene)
        boxes = [run.box() for run in lower(page.scene).texts]
        edge = paper.margin
        lines = [i.points for i in page.scene.items if isinstance(i, Path) and not i.closed]
        for box in boxes:
            assert box[0][0] > edge
            assert box[0][1] > edge
            assert box[2][0] < paper.width - edge
            assert box[2][1] < paper.height - edge
            for (_, y), _ in lines:
                assert not box[0][1] <= y <= box[2][1]
        for i, a in enumerate(boxes):
            for b in boxes[:i]:
                assert (
                    a[0][0] >= b[2][0] or b[0][0] >= a[2][0]
                    or a[0][1] >= b[2][1] or b[0][1] >= a[2][1]
                )  # fmt: skip


def test_many_sheets_make_more_index_pages():
    data = book(60)
    reader = pypdf.PdfReader(io.BytesIO(data))
    index = len(reader.pages) - 60
    assert index >= 2
    heads = ["Index", *(f"Index {i}" for i in range(2, index + 1))]
    assert reader.page_labels[: index + 1] == [*heads, "A-501"]
    assert "CONTINUED" in reader.pages[1].extract_text()
    with pikepdf.open(io.BytesIO(data)) as pdf:
        targets = [link.Dest[0].objgen for p in pdf.pages[:index] for link in p.Annots]
        assert targets == [page.obj.objgen for page in pdf.pages[index:]]


def test_lines_with_failing_rules_are_bold():
    (page,) = index_pages(INFO, rows(6), PAPERS[0])
    bold = {i.content for i in page.scene.items if isinstance(i, Text) and i.bold}
    assert {"A-501", "A-506"} <= bold
    assert "A-502" not in bold


def test_the_same_set_has_the_same_bytes():
    assert book(2) == book(2)


def test_a_set_without_sheets_or_with_other_rows_is_refused():
    with pytest.raises(ValueError, match="0 rows of the index for 0 sheets"):
        bound_set(INFO, [], [])
    with pytest.raises(ValueError, match="2 rows of the index for 1 sheets"):
        bound_set(INFO, rows(2), [rich_scene()])


def test_hostile_text_is_only_text():
    info = replace(
        INFO, title="(unbalanced \\) << /JS (x) >> ]", facts=(("A%%d", "\u202f{\\P}"),)
    )
    row = replace(rows(1)[0], title=") Tj (evil", number="A(1", mark="中文")
    data = bound_set(info, [row], [rich_scene()])
    reader = pypdf.PdfReader(io.BytesIO(data))
    assert reader.metadata.title == info.title
    assert reader.outline[1].title == "A(1  ) Tj (evil"
    assert reader.page_labels == ["Index", "A(1"]
    assert "??" in reader.pages[0].extract_text()
    with pikepdf.open(io.BytesIO(data)) as pdf:
        assert pdf.check_pdf_syntax() == []


def test_a_note_without_room_starts_a_page():
    info = replace(INFO, note="Bold lines have a rule that fails. " * 30)
    full = next(n for n in range(1, 60) if len(index_pages(info, rows(n), PAPERS[0])) == 2)
    first, second = index_pages(info, rows(full), PAPERS[0])
    assert [n for n, _ in first.boxes] == list(range(full))
    assert second.boxes == ()
    notes = " ".join(i.content for i in second.scene.items if isinstance(i, Text))
    assert notes.count("that fails.") == 30
