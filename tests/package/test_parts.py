"""The parts of a package: what their tables say, and that nothing touches on any paper."""

from dataclasses import replace

import pytest

from detailgen.bids import bill_of, prices_of
from detailgen.book import Part, text_pages
from detailgen.book.columns import Col
from detailgen.book.table import table, texts
from detailgen.loader import job_of, load_job
from detailgen.package import parts_of
from detailgen.package._metal import shop_list
from detailgen.package._takeoff import takeoff
from detailgen.package._told import ToldJob
from detailgen.pipeline import request_for
from detailgen.scene import Align, Text
from detailgen.sheet.clashes import clashes
from detailgen.writers._scene_gate import validate
from tests.package.making import SAMPLES, metalwork, sample, told, told_of

PAPERS = "ANSI A", "ANSI B", "ANSI D", "ISO A4", "ISO A3", "ISO A1"


def pages_of(given: ToldJob, parts: tuple[Part, ...], paper: str = "ANSI B"):
    request = replace(request_for(given.job, given.checked[0]), paper=paper)
    return text_pages(request, parts, "Bid package", [("Sheets", "1-9", "sheet 1")])


def rows_of(given: ToldJob, part: Part, block: str) -> list[list[str]]:
    """Return the texts of each row of a block, from left to right."""
    (found,) = [b for b in part.blocks if b.title == block]
    rows: list[list[str]] = []
    for row in found.rows(300.0):
        lines: dict[float, list[tuple[float, str]]] = {}
        for item in row.items:
            if isinstance(item, Text):
                lines.setdefault(0.0, []).append((item.at[0], item.content))
        rows.append([text for _, text in sorted(lines.get(0.0, []), key=lambda t: t[0])])
    return rows


@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_touches_on_any_paper(paper):
    metric = sample("mill-annexe-mm.toml")
    for given in (told(), metric) if paper in {"ANSI A", "ISO A1"} else (told(),):
        for page in pages_of(given, parts_of(given), paper):
            validate(page.scene)
            assert clashes(page.scene) == [], (paper, page.scene.id)


def test_parts_stand_in_order_and_lead_to_one_another():
    parts = parts_of(told())
    made = pages_of(told(), parts)
    begun = [part.title for page in made for part in page.begins]
    assert begun == [part.title for part in parts]
    keys = {part.key for part in parts} | {"sheet 1"}
    for page in made:
        assert {target for _, target in page.links} >= keys


def test_the_shop_list_by_hand():
    """96 ft of a raised edge, 29.2608 m: 10 pieces of 10 ft of each metal.

    The edge metal is 0.3324 m round, 29.2608 x 0.3324 = 9.726 m2, of 24 gauge: x 5.645
    kg/m2 = 54.91 kg, 121.0 lb. Its plates, 8 1/4 in long, one for each piece: 0.6687 m2,
    3.775 kg, 8.32 lb.
    """
    given = metalwork()
    rows = {r[0]: r for r in rows_of(given, shop_list(given), "METAL SHOP LIST")}
    edge, plates, cleat = (" ".join(rows[m]) for m in ("E1/2", "E1/A", "E1/1"))
    assert "Edge metal" in edge
    assert '10\'-0" 10 3/16" 121.0 lb 8' in edge
    assert '8 1/4" 10 - 8.32 lb' in plates
    assert "Galvanized steel, 22 gauge" in cleat
    # 148 ft in pieces of 10 ft that lap 3 in: 148 / 9.75 = 15.2
    assert '10\'-0" 16 lap 3"' in " ".join(rows["W1/1"])
    # lead of 4 lb, six squares of 30 in: 6 x 6.25 x 4 = 150 lb
    assert rows["D1/A"][-4:] == ["6", "-", "150.0 lb", "13-15"]
    # both sides of a pan are one piece
    assert "2 - " in " ".join(rows["K1/1"])
    assert "in K1/1" in rows["K1/2"]
    # without a length nothing is counted
    assert "not told" in rows["C1/1"]


def test_a_detail_that_is_not_counted_has_its_pieces_listed():
    text = '[project]\nname = "x"\n[roof]\n[[condition]]\nid = "S1"\nkind = "stack"\n'
    given = told_of(job_of(text, "j"))
    rows = rows_of(given, shop_list(given), "METAL SHOP LIST")
    assert [(r[0], "not told" in r) for r in rows] == [("S1/A", True)]
    made = pages_of(given, parts_of(given))
    begun = [part.key for page in made for part in page.begins]
    assert "materials" in begun


def test_a_part_without_anything_in_it_is_left_out():
    empty = Part(
        "none", "Nothing", (table("T", (Col("A"),), []),), (texts("N", [("a", "b")]),)
    )
    made = pages_of(told(), (empty, parts_of(told())[1]))
    assert [part.key for page in made for part in page.begins] == ["details"]


def test_every_piece_with_a_profile_leads_to_the_sheet_that_shows_it():
    given = metalwork()
    part = shop_list(given)
    (block,) = [b for b in part.blocks if b.title == "METAL SHOP LIST"]
    seen = 0
    for row in block.rows(300.0):
        texts = sorted((i.at[0], i.content) for i in row.items if isinstance(i, Text))
        mark, number = texts[0][1].split("/")
        targets = {link.target for link in row.links}
        assert f"mark {mark}" in targets
        if number.isdigit():
            (sheet,) = (t.removeprefix("sheet ") for t in targets if t.startswith("sheet"))
            sheets = given.sheets[mark]
            scene = sheets.scenes[int(sheet) - sheets.first]
            assert f"profile-{number}" in {v.id for v in scene.views}
            seen += 1
    assert seen == sum(len(shop.profiles) for shop in given.shops.values())


def test_the_schedule_of_details():
    part = next(p for p in parts_of(told()) if p.key == "details")
    rows = {r[0]: " ".join(r) for r in rows_of(told(), part, "SCHEDULE OF DETAILS")}
    assert "D1 10'-0\" 96'-0\"" in rows["W1"]
    assert "6 places" in rows["D1"]
    assert "not told" in rows["C1"]
    assert "2 fail" in rows["E1"]
    assert "1 accepted deviation" in rows["W1"]


def test_the_schedule_of_materials_has_standards_or_blanks():
    part = next(p for p in parts_of(told()) if p.key == "materials")
    rows = rows_of(told(), part, "SCHEDULE OF MATERIALS")
    first = [r[0] for r in rows]
    assert first.count("ASTM D6163,") == 2
    assert "ASTM D41" in first
    # sealant has none: its row begins with its name, behind those that have one
    assert first.index("Sealant") > max(n for n, t in enumerate(first) if "ASTM" in t)
    # C1 has no length, so that nothing of it is counted: its metal is listed all the same
    assert any("C1" in " ".join(r) and "Galvanized" in " ".join(r) for r in rows)
    materials = {line.material for _, line in told().bill.lines}
    assert len([r for r in rows if r]) >= len(materials)


def test_prices_are_told_where_there_are_any():
    part = takeoff(told())
    assert [b.title for b in part.blocks][1] == "DETAIL BY DETAIL"
    given = load_job(SAMPLES / "glassworks.toml")
    prices = prices_of(given, SAMPLES / "glassworks-prices.csv")
    bill = bill_of(given, prices)
    priced = ToldJob(given, (), bill, {}, {})
    part = takeoff(priced)
    assert [b.title for b in part.blocks][1] == "WHAT IT COMES TO"
    rows = rows_of(priced, part, "MATERIALS OF THE WHOLE JOB")
    assert rows[-1] == ["Sum", f"{bill.cost:,.2f}", f"{bill.hours:,.2f}"]
    # every price is printed to the cent, and its row ends with cost and hours
    costs = [
        float(cell.replace(",", ""))
        for total, row in zip(bill.totals, rows, strict=False)
        if total.cost is not None
        for cell in row
        if cell == f"{total.cost:,.2f}"
    ]
    assert len(costs) == sum(t.cost is not None for t in bill.totals) > 5
    assert sum(costs) == pytest.approx(bill.cost, abs=0.005 * len(costs))
    said = " ".join(t for r in rows_of(priced, part, "WHAT IT COMES TO") for t in r)
    assert "Without a price, and not in the sum:" in said


def test_what_is_not_counted_is_told():
    part = next(p for p in parts_of(told()) if p.key == "takeoff")
    said = [" ".join(r) for r in rows_of(told(), part, "WHAT IS NOT COUNTED")]
    assert any(s.startswith("C1: not counted: the job gives no length") for s in said)
    assert any(s.startswith("The roof field:") for s in said)


def test_numbers_end_at_their_column():
    part = next(p for p in parts_of(told()) if p.key == "takeoff")
    (block,) = [b for b in part.blocks if b.title == "MATERIALS OF THE WHOLE JOB"]
    ends = [
        {
            round(i.at[0], 3)
            for i in row.items
            if isinstance(i, Text) and i.align is Align.RIGHT
        }
        for row in block.rows(300.0)
    ]
    assert all(e == ends[0] or e < ends[0] or ends[0] < e for e in ends)


def test_cautions_and_exclusions_are_those_of_the_job():
    part = next(p for p in parts_of(told()) if p.key == "exclusions")
    said = " ".join(
        i.content for b in part.blocks for row in b.rows(90.0) for i in row.items
        if isinstance(i, Text)
    )  # fmt: skip
    assert "The roof field" in said
    assert "Torch: fire watch" in said
    assert "Work at the edge" in said
    assert "Kettle" not in said
