"""The bill as CSV and JSON, read back."""

import csv
import io
import json

import pytest

from detailgen.bids import bill_files, bill_of
from detailgen.bill import Price, Prices
from detailgen.bill.tables import harmless
from tests.bill.job import HEAD, condition, job, total

JOB = (
    condition("roof-edge", 'length = "40 ft"', "E1"),
    condition("drain", "count = 3", "D1"),
    condition("wall", "", "W9"),
)


def _files(prices=None, head=HEAD):
    given = job(*JOB, head=head)
    bill = bill_of(given, prices or Prices())
    return bill, bill_files(given, bill)


def _rows(content):
    return list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"), newline="")))


def test_csv_holds_every_line_and_every_material():
    bill, files = _files()
    lines, materials = _rows(files["conditions.csv"]), _rows(files["materials.csv"])
    assert len(lines) == len(bill.lines) + 1
    assert [m["item"] for m in materials] == [t.item for t in bill.totals]
    nails = next(r for r in lines if r["item"] == "flange-nail")
    # 2 rows of 40 ft 3 in apart: 320, and 2 more, x 1.05
    assert (float(nails["net"]), float(nails["gross"])) == (320.0, pytest.approx(338.1))
    lost = next(r for r in lines if r["condition"] == "W9")
    assert lost["quantity"] == "not counted: the job gives no length"
    lead = next(m for m in materials if m["item"] == "lead-4")
    assert (lead["unit"], float(lead["net"])) == ("sq ft", pytest.approx(18.75))
    assert lead["weight unit"] == "lb"


def test_a_metric_job_is_told_in_metric_units():
    _, files = _files(head=HEAD.replace("feet-inches", "millimetres"))
    lead = next(m for m in _rows(files["materials.csv"]) if m["item"] == "lead-4")
    assert (lead["unit"], float(lead["net"])) == ("m2", pytest.approx(3 * 0.762**2))
    assert lead["weight unit"] == "kg"


def test_json_holds_si_and_the_units_of_the_job():
    _, files = _files()
    told = json.loads(files["takeoff.json"])
    assert [c["counted"] for c in told["conditions"]] == [True, True, False]
    assert told["conditions"][2]["missing"] == "not counted: the job gives no length"
    assert told["cost"] is None
    lead = next(m for m in told["materials"] if m["item"] == "lead-4")
    assert lead["net"] == pytest.approx(3 * 0.762**2, abs=1e-6)
    assert lead["shown"]["net"] == pytest.approx(18.75)
    lines = told["conditions"][0]["lines"]
    assert all(x["formula"] and x["source"] for x in lines)
    assert {x["bought"] for x in lines} == {True, False}


def test_json_holds_prices_and_what_has_none():
    rows = {"lead-4": Price("lead-4", 6.0, "sq ft", 0.1), "zinc": Price("zinc", 1.0)}
    bill, files = _files(Prices(rows, "EUR"))
    told = json.loads(files["takeoff.json"])
    lead = next(m for m in told["materials"] if m["item"] == "lead-4")
    # 18.75 sq ft x 1.6 x 1.05 = 31.5 sq ft, at 6.00
    assert lead["price_for"] == "sq ft"
    assert lead["cost"] == told["cost"] == pytest.approx(189.0)
    assert lead["hours"] == pytest.approx(3.15)
    assert told["prices_not_used"] == ["zinc"]
    assert "primer" in told["without_price"]
    assert total(bill, "lead-4").cost == pytest.approx(189.0)


@pytest.mark.parametrize("text", ["=1", "+1", "-1", "@x", "\tx", "\rx", " =1", "\uff0b1"])
def test_text_that_a_spreadsheet_would_compute_is_quoted(text):
    assert harmless(text) == f"'{text}"


def test_other_text_stays_as_it_is():
    assert harmless("1 + 1 = 2") == "1 + 1 = 2"
    assert not harmless("")
