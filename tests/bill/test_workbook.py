"""The workbook, recalculated by an engine and read by a library that are not ours."""

import csv
import io
import re
import warnings
from contextlib import redirect_stderr, redirect_stdout

import formulas
import openpyxl
import pytest

from detailgen.bids import bill_files, bill_of, prices_of
from detailgen.bill import Price, Prices, Shown, workbook
from detailgen.units import UnitSystem
from tests.bill.job import HEAD, condition, job

JOB = (
    condition("roof-edge", 'length = "40 ft"', "E1"),
    condition("drain", "count = 3", "D1"),
    condition("wall", "", "W9"),
    condition("stack", "count = 2", "S1"),
)
PRICES = Prices(
    {
        "base-ply-glass-smooth": Price("base-ply-glass-smooth", 92.0, "roll", 0.9, 0.08),
        "lumber-2x": Price("lumber-2x", 0.9, "ft", 0.02),
        "lead-4": Price("lead-4", 6.1, "sq ft"),
        "sealant": Price("sealant", None, "", 0.1, None, 0.1),
    },
    currency="EUR",
    rate=60.0,
    file="prices.toml",
)
FEET = Shown(UnitSystem.FEET_INCHES)


@pytest.fixture(scope="module")
def counted():
    return bill_of(job(*JOB), PRICES)


@pytest.fixture(scope="module")
def content(counted):
    return workbook(counted, FEET)


def _recalculated(content, tmp_path):
    """Return every cell as the engine computes it, by sheet and cell."""
    file = tmp_path / "t.xlsx"
    file.write_bytes(content)
    with (
        warnings.catch_warnings(),
        redirect_stdout(io.StringIO()),
        redirect_stderr(io.StringIO()),
    ):
        warnings.simplefilter("ignore")
        solution = formulas.ExcelModel().loads(str(file)).finish().calculate()
    found = {}
    for name, value in solution.items():
        sheet, _, cell = str(name).partition("]")[2].partition("'!")
        if cell and ":" not in cell:
            found[sheet, cell] = value.value[0, 0]
    return found


def _sheets(content, *, values=False):
    return openpyxl.load_workbook(io.BytesIO(content), data_only=values)


def _cells(book):
    return [(sheet, c) for sheet in book for row in sheet.iter_rows() for c in row]


def _column(sheet, head, name):
    return next(c.column for c in sheet[head] if str(c.value).startswith(name))


def _material_row(sheet, item):
    return next(row for row in range(4, 60) if sheet.cell(row, 1).value == item)


def test_an_independent_engine_comes_to_our_figures(content, tmp_path):
    engine = _recalculated(content, tmp_path)
    ours = _sheets(content, values=True)
    compared = 0
    for sheet, cell in _cells(_sheets(content)):
        if cell.data_type != "f":
            continue
        want = ours[sheet.title][cell.coordinate].value
        got = engine[sheet.title.upper(), cell.coordinate]
        if want in {None, ""}:
            assert not str(got), (sheet.title, cell.coordinate)
        else:
            where = (sheet.title, cell.coordinate, cell.value)
            assert float(got) == pytest.approx(want, rel=1e-9), where
        compared += 1
    assert compared > 150


def test_the_figures_are_those_of_the_bill(counted, content, tmp_path):
    engine = _recalculated(content, tmp_path)
    sheet = _sheets(content)["Materials"]
    for t in counted.totals:
        row = _material_row(sheet, t.item)
        factor = FEET.factor(t.measure)
        told = [engine["MATERIALS", f"{c}{row}"] for c in "EGJ"]
        assert told == pytest.approx([t.net * factor, t.gross * factor, t.packs], rel=1e-9)
    end = 4 + len(counted.totals)
    assert float(engine["MATERIALS", f"O{end}"]) == pytest.approx(counted.cost)
    assert float(engine["MATERIALS", f"Q{end}"]) == pytest.approx(counted.hours)
    assert counted.cost > 0.0
    summary = _sheets(content)["Summary"]
    (row,) = [r for r in range(1, 30) if summary.cell(r, 1).value == "Sum, EUR"]
    total = counted.cost + 60.0 * counted.hours
    assert float(engine["SUMMARY", f"B{row}"]) == pytest.approx(total)


def test_a_waste_or_a_price_that_is_changed_moves_the_total(counted, tmp_path):
    item = "base-ply-glass-smooth"
    book = _sheets(workbook(counted, FEET))
    sheet = book["Materials"]
    row = _material_row(sheet, item)
    sheet.cell(row, 6).value, sheet.cell(row, 14).value = 0.5, 100.0
    changed = io.BytesIO()
    book.save(changed)
    engine = _recalculated(changed.getvalue(), tmp_path)
    rows = dict(PRICES.rows) | {item: Price(item, 100.0, "roll", 0.9, 0.5)}
    again = bill_of(job(*JOB), Prices(rows, "EUR", 60.0))
    end = 4 + len(again.totals)
    assert float(engine["MATERIALS", f"O{end}"]) == pytest.approx(again.cost)
    assert again.cost > counted.cost


def test_a_length_that_is_changed_moves_its_sheet(counted, tmp_path):
    book = _sheets(workbook(counted, FEET))
    book["E1"]["B4"].value = 80.0
    changed = io.BytesIO()
    book.save(changed)
    engine = _recalculated(changed.getvalue(), tmp_path)
    longer = condition("roof-edge", 'length = "80 ft"', "E1")
    again = bill_of(job(longer, *JOB[1:]), PRICES)
    for number, x in enumerate(again.conditions[0].lines, 9):
        if x.bought:
            got = float(engine["E1", f"J{number}"])
            assert got == pytest.approx(x.gross * FEET.factor(x.measure))


def test_the_same_job_gives_the_same_bytes(counted, content):
    assert workbook(counted, FEET) == content
    one, two = (bill_files(job(*JOB), counted) for _ in "12")
    assert one == two
    assert set(one) == {"takeoff.xlsx", "takeoff.json", "conditions.csv", "materials.csv"}


def test_every_sheet_is_frozen_set_up_for_print_and_wide_enough(content):
    book = _sheets(content)
    assert book.sheetnames == ["Summary", "Materials", "Lines", "E1", "D1", "W9", "S1"]
    for sheet in book:
        assert sheet.freeze_panes, sheet.title
        assert sheet.page_setup.orientation == "landscape"
        assert sheet.page_setup.fitToWidth in {None, 1}
        assert sheet.page_setup.fitToHeight == 0
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert sheet.print_title_rows
        assert "&P" in sheet.oddFooter.center.text
        for row in sheet.iter_rows():
            for cell in row:
                if isinstance(cell.value, int | float):
                    letter = cell.column_letter
                    assert sheet.column_dimensions[letter].width >= 8


def test_headers_name_units_and_numbers_have_formats(content):
    book = _sheets(content)
    heads = [c.value for c in book["E1"][8]]
    assert "Net per ft" in heads
    assert "Weight, lb" in [c.value for c in book["Materials"][3]]
    assert "Cost, EUR" in [c.value for c in book["Materials"][3]]
    assert book["D1"]["A6"].value == "Count"
    assert book["E1"]["A4"].value == "Length, ft"
    for _, cell in _cells(book):
        if cell.data_type in {"n", "f"} and cell.value is not None:
            assert cell.number_format != "General", cell.coordinate


def test_lines_and_packs_tell_where_they_are_from(content):
    book = _sheets(content)
    for row in range(9, 30):
        cells = [c.value for c in book["E1"][row]]
        if cells[1]:
            assert cells[11], cells
            assert cells[13], cells
    materials = book["Materials"]
    rows = [r for r in range(4, 40) if materials.cell(r, 10).value]
    sources = {
        materials.cell(r, 18).value for r in rows if materials.cell(r, 9).value != "piece"
    }
    assert None not in sources
    assert "common practice, no source" in sources
    assert "once a material over the whole job" in materials["A2"].value


def test_what_others_set_is_noted(content):
    told = [c.value for c in _sheets(content)["S1"]["A"]]
    assert "There already, or set by others: Cast-iron pipe" in told


def test_what_is_not_counted_says_so_on_its_sheet_and_in_the_summary(content):
    book = _sheets(content)
    told = "not counted: the job gives no length"
    assert book["W9"]["A3"].value == told
    assert told in [c.value for _, c in _cells(book) if c.parent.title == "Summary"]


@pytest.mark.parametrize("sign", ["=", "+", "-", "@"])
def test_no_text_of_a_user_is_a_formula(sign):
    evil = sign + "SUM(1,2)"
    head = HEAD.replace("Invented depot", f"{evil} &B&G")
    text = condition("wall", f'length = "9 ft"\ntitle = "{evil}"', "W1")
    hostile = job(text, head=head)
    bill = bill_of(hostile, Prices({}, currency=evil[:12]))
    files = bill_files(hostile, bill)
    book = _sheets(files["takeoff.xlsx"])
    shown = [c for _, c in _cells(book) if evil in str(c.value)]
    assert len(shown) >= 3
    assert all(c.data_type == "s" for c in shown)
    assert all(c.quotePrefix for c in shown if str(c.value).startswith(sign))
    for name in ("conditions.csv", "materials.csv"):
        for row in _rows(files[name]):
            assert not [v for v in row if v[:1] in set("=+-@\t\r")], row
    assert f"'{evil}" in [v for row in _rows(files["conditions.csv"]) for v in row]


def _rows(content):
    return list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline="")))


def test_formulas_come_from_us_alone(content):
    known = {"SUM", "SUMIF", "ROUNDUP", "MAX", "IF", "ISNUMBER"}
    for _, cell in _cells(_sheets(content)):
        if cell.data_type == "f":
            assert set(re.findall(r"[A-Z]+(?=\()", str(cell.value))) <= known, cell.value


def test_a_condition_named_like_a_sheet_gets_a_sheet(tmp_path):
    bill = bill_of(job(condition("wall", 'length = "9 ft"', "materials")), Prices())
    content = workbook(bill, FEET)
    names = _sheets(content).sheetnames
    assert names == ["Summary", "Materials", "Lines", "materials detail"]
    engine = _recalculated(content, tmp_path)
    assert float(engine["MATERIALS", "E4"]) > 0.0


def test_without_a_list_nothing_is_priced():
    given = job(*JOB)
    bill = bill_of(given, prices_of(given, None))
    assert bill.cost == bill.hours == 0
    book = _sheets(workbook(bill, FEET), values=True)
    sheet = book["Materials"]
    prices = [sheet.cell(r, 14).value for r in range(4, 4 + len(bill.totals))]
    assert set(prices) == {None}
