"""The table of revisions above the title block, and the mark beside the title."""

import io
from dataclasses import replace

import pytest
from ezdxf import recover
from ezdxf.entities.insert import Insert

from detailgen.office import Office
from detailgen.scene import Path, Scene, Text, TitleBlock
from detailgen.sheet import RevisionRow, SheetRequest, compose
from detailgen.sheet.clashes import clashes
from detailgen.sheet.revisions import revision_mark
from detailgen.writers import WRITERS
from tests.sheet.asked import typical

ROWS = (
    RevisionRow("A", "2031-04-02", "I.M.", "For approval"),
    RevisionRow(
        "B2",
        "2031-05-12",
        "I. Marsh",
        "Height of the reglet 8 1/2 in instead of 8 in; strip-in 4 in wider at all corners "
        "of the north wall and of the walls that meet it, as the owner has asked",
    ),
)


def revised(*rows: RevisionRow, paper: str = "ANSI B") -> SheetRequest:
    return replace(typical("wall"), revisions=rows, paper=paper)


def block_of(scene: Scene) -> TitleBlock:
    (block,) = (i for i in scene.items if isinstance(i, TitleBlock))
    return block


@pytest.mark.parametrize("paper", ["ANSI B", "ISO A4", "ISO A1"])
def test_every_sheet_has_the_table_and_the_mark_of_the_last(paper):
    for scene in compose(revised(*ROWS, paper=paper)):
        block = block_of(scene)
        values = {c.tag: c.value for c in block.cells}
        assert (values["CHG1MARK"], values["CHG2MARK"]) == ("A", "B2")
        assert values["CHG2DATE"] == "2031-05-12"
        assert values["REV"] == "B2"
        newest = next(c for c in block.cells if c.tag == "CHG2MARK")
        oldest = next(c for c in block.cells if c.tag == "CHG1MARK")
        assert newest.y > oldest.y
        (mark,) = (
            i for i in scene.items if isinstance(i, Text) and i.content == "B2" and i.bold
        )
        title = next(c for c in block.cells if c.tag == "TITLE")
        assert title.y < mark.at[1] - block.at[1] < title.y + title.height
        assert not list(clashes(scene))


def test_a_sheet_without_revisions_has_neither():
    plain = compose(typical("wall"))
    assert plain == compose(revised())
    assert not [c for c in block_of(plain[0]).cells if c.tag.startswith("CHG")]


def test_of_many_the_oldest_are_counted():
    rows = [RevisionRow(str(n), "2031-01-01", "IM", f"Change {n}") for n in range(1, 10)]
    values = {c.tag: c.value for c in block_of(compose(revised(*rows))[0]).cells}
    listed = [n for n in range(1, 10) if values.get(f"CHG{n}MARK") == str(n)]
    assert listed == [5, 6, 7, 8, 9]
    assert values["CHG4TEXT"].startswith("4 earlier revisions")


def test_long_texts_are_cut_and_hostile_ones_written_as_text():
    bad = "</text><script>x</script>\n  0\nCIRCLE %<c>& " + "W" * 200
    scene = compose(revised(RevisionRow(bad[:30], bad, bad, bad), paper="ISO A4"))[0]
    assert b"<script" not in WRITERS["svg"](scene)
    assert all("\n" not in c.value and len(c.value) < 60 for c in block_of(scene).cells)
    found = recover.read(io.BytesIO(WRITERS["dxf"](scene)))[0]
    (insert,) = found.paperspace().query("INSERT").entities
    assert isinstance(insert, Insert)
    assert str(insert.get_attrib_text("CHG1TEXT")).startswith("</")
    assert not found.paperspace().query("CIRCLE[layer=='0']")


def test_a_mark_grows_with_its_letters():
    narrow, wide = (revision_mark(m, (0.0, 0.0))[0] for m in ("A", "A14"))
    assert isinstance(narrow, Path)
    assert isinstance(wide, Path)
    assert max(p[0] for p in narrow.points) < max(p[0] for p in wide.points)


@pytest.mark.parametrize("paper", ["ISO A4", "ANSI A", "ANSI B"])
def test_a_long_history_leaves_room_for_the_sheet(paper):
    rows = tuple(replace(ROWS[1], mark=f"R{n}") for n in range(6))
    asked = revised(*rows, paper=paper)
    office = Office("Quay", ("1 Rope Walk", "Port", "Office", "x@y.invalid"))
    for scene in compose(replace(asked, office=office)):
        block = block_of(scene)
        assert block.height <= 0.65 * scene.paper.height
        values = {c.tag: c.value for c in block.cells}
        assert "R5" in values.values()
        assert not list(clashes(scene))
