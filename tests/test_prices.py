"""Price lists: what they may say, and that every mistake in one is told at once."""

import re
from pathlib import Path

import pytest

from detailgen.bill import Price, Shown
from detailgen.catalog import load_catalog
from detailgen.errors import UserError
from detailgen.loader.prices import load_prices
from detailgen.units import UnitSystem

CATALOG = load_catalog()
FEET, METRIC = Shown(UnitSystem.FEET_INCHES), Shown(UnitSystem.MILLIMETRES)
SAMPLE = Path(__file__).parents[1] / "samples" / "glassworks-prices.csv"


def _read(tmp_path, text, name="p.toml", shown=FEET):
    file = tmp_path / name
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    return load_prices(file, CATALOG, shown)


def _told(tmp_path, text, name="p.toml", shown=FEET):
    with pytest.raises(UserError) as caught:
        _read(tmp_path, text, name, shown)
    return caught.value.problems


GOOD = """
currency = "EUR"
hour = 62.5

[[price]]
item = "base-ply-glass-smooth"
price = 92
per = "roll"
hours = 0.9

[[price]]
item = "lumber-2x 2x6"
waste = 0.12
holds = 12
"""


def test_toml(tmp_path):
    prices = _read(tmp_path, GOOD)
    assert (prices.currency, prices.rate, prices.file) == ("EUR", 62.5, "p.toml")
    assert prices.rows == {
        "base-ply-glass-smooth": Price("base-ply-glass-smooth", 92.0, "roll", 0.9),
        "lumber-2x 2x6": Price("lumber-2x 2x6", waste=0.12, holds=12.0),
    }


@pytest.mark.parametrize("between", [",", ";"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_csv(tmp_path, between, end):
    lines = ["item,price,per,hours", "", '"lead-4",6.10,sq ft,', "primer,71,,0.5"]
    text = end.join(lines).replace(",", between)
    prices = _read(tmp_path, "\ufeff" + text, "p.CSV")
    assert prices.rows == {
        "lead-4": Price("lead-4", 6.1, "sq ft"),
        "primer": Price("primer", 71.0, "", 0.5),
    }
    assert prices.rate is None


def test_the_sample_is_a_list():
    assert len(load_prices(SAMPLE, CATALOG, FEET).rows) == 13


def test_the_example_of_the_readme_is_a_list(tmp_path):
    readme = SAMPLE.parents[1].joinpath("README.md").read_text(encoding="utf-8")
    (example,) = re.findall(r"```csv\n(.*?)```", readme, re.DOTALL)
    prices = _read(tmp_path, example, "p.csv")
    assert prices.rows.items() <= load_prices(SAMPLE, CATALOG, FEET).rows.items()
    assert len(prices.rows) == 3


def test_units_are_those_of_the_job(tmp_path):
    text = '[[price]]\nitem = "lead-4"\nprice = 6\nper = "m2"\n'
    assert _read(tmp_path, text, shown=METRIC).rows["lead-4"].per == "m2"
    (problem,) = _told(tmp_path, text)
    assert problem.allowed == "sheet or sq ft"


WRONG = """
curency = "EUR"
hour = -1

[[price]]
item = "base-ply-glas-smooth"
price = "92"

[[price]]
item = "lead-4"
price = "six"
prize = 3
waste = 5
per = "roll"

[[price]]
price = 4

[[price]]
item = "lead-4"

[[price]]
item = "lumber-2x 2x7"
"""


def test_every_mistake_of_toml_is_told_with_its_line(tmp_path):
    told = _told(tmp_path, WRONG)
    assert [(p.line, p.key, p.value) for p in told] == [
        (2, "curency", ""),
        (3, "hour", "-1"),
        (6, "item", "base-ply-glas-smooth"),
        (7, "price", "92"),
        (11, "price", "six"),
        (12, "prize", "3"),
        (13, "waste", "5"),
        (14, "per", "roll"),
        (16, "item", ""),
        (20, "item", "lead-4"),
        (23, "item", "lumber-2x 2x7"),
    ]
    assert all(p.allowed for p in told)
    assert "currency" in told[0].mend
    assert "base-ply-glass-smooth" in told[2].mend
    assert told[6].mend == "Write the share: 0.05 for 5 percent."
    assert "lumber-2x 2x6" in told[10].allowed


def test_every_mistake_of_csv_is_told_with_its_line(tmp_path):
    text = (
        "item,price,colour\n"
        "lead-4,6.1x,\n"
        "primer,1_0,red\n"
        "primer,2,\n"
        "sealant,1,2,3\n"
        "sealant,nan,\n"
    )
    told = _told(tmp_path, text, "p.csv")
    assert [(p.line, p.key) for p in told] == [
        (2, "price"),
        (3, "colour"),
        (3, "price"),
        (4, "item"),
        (5, ""),
        (6, "price"),
    ]


def test_csv_without_items_or_with_a_column_twice(tmp_path):
    told = _told(tmp_path, "price,price\n1,2\n", "p.csv")
    assert {(p.line, p.key) for p in told} == {(1, "item"), (1, "price"), (2, "item")}


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("p.toml", ""),
        ("p.csv", ""),
        ("p.csv", "item,price\n"),
        ("p.toml", 'currency = "EUR"\n'),
        ("p.toml", "price = 3\n"),
        ("p.toml", "price = [3]\n"),
        ("p.toml", "[[price]\n"),
        ("p.toml", b"\xff\xfe"),
        ("p.csv", b"a\0b"),
        ("p.csv", 'item,price\n"lead-4,1\n'),
        ("p.csv", 'item,price\n"lead-4"x,1\n'),
        ("p.toml", "[[price]]\nitem = 3\nprice = 1" + "0" * 400),
        ("p.toml", '[[price]]\nitem = "lead-4"\nprice = true'),
        ("p.toml", '[[price]]\nitem = "lead-4"\nper = ["x"]'),
        ("p.toml", 'currency = "\\u202e"\n[[price]]\nitem = "lead-4"'),
        ("p.toml", 'currency = 3\n[[price]]\nitem = "lead-4"'),
    ],
)
def test_what_is_no_list_is_told(tmp_path, name, text):
    told = _told(tmp_path, text, name)
    assert all(p.file and p.message for p in told)


def test_a_list_that_is_not_there(tmp_path):
    with pytest.raises(UserError, match="cannot be read"):
        load_prices(tmp_path / "none.csv", CATALOG, FEET)
