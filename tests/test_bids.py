"""The command `takeoff`: what it prints and writes, and its exit codes."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from detailgen.cli import app

JOB = """
[project]
name = "Invented depot"
[roof]
insulation = []
[[condition]]
id = "W1"
kind = "wall"
length = "80 ft"
[[condition]]
id = "D1"
kind = "drain"
count = 2
[[condition]]
id = "W2"
kind = "wall"
"""


@pytest.fixture
def job(tmp_path) -> Path:
    file = tmp_path / "job.toml"
    file.write_text(JOB)
    return file


def _run(*args):
    return CliRunner().invoke(app, ["takeoff", *map(str, args)])


def test_the_screen_tells_lines_materials_and_what_is_not_counted(job):
    ran = _run(job)
    assert ran.exit_code == 0, ran.output
    assert "W1  Wall" in ran.output
    assert "D1" in ran.output
    assert "2 pieces" in ran.output
    assert "Materials of the whole job" in ran.output
    assert "W2: not counted: the job gives no length." in ran.output
    assert "Nothing is priced" in ran.output
    assert "cost" not in ran.output


def test_files_are_written_with_out_alone(job, tmp_path):
    out = tmp_path / "bid"
    before = sorted(tmp_path.iterdir())
    assert _run(job).exit_code == 0
    assert sorted(tmp_path.iterdir()) == before
    ran = _run(job, "--out", out)
    assert ran.exit_code == 0, ran.output
    names = ["conditions.csv", "materials.csv", "takeoff.json", "takeoff.xlsx"]
    assert sorted(p.name for p in out.iterdir()) == names
    assert "4 files written" in ran.output


def test_prices_are_told(job, tmp_path):
    prices = tmp_path / "prices.toml"
    prices.write_text(
        'currency = "EUR"\nhour = 50\n[[price]]\nitem = "lead-4"\nprice = 7.0\nhours = 2\n'
        '[[price]]\nitem = "copper-20"\nprice = 9.0\n'
    )
    ran = _run(job, "--prices", prices)
    assert ran.exit_code == 0, ran.output
    # 2 x 6.25 sq ft x 1.6 x 1.05 = 21 sq ft: one sheet; 7.00 and 2 h at 50.00
    assert "Labour 100.00 EUR, all 107.00 EUR." in ran.output
    assert "In the price list, not in this job: copper-20." in ran.output
    assert "Without a price: " in ran.output


def test_json(job):
    ran = _run(job, "--json")
    told = json.loads(ran.stdout)
    assert [c["id"] for c in told["conditions"]] == ["W1", "D1", "W2"]


def test_mistakes_of_a_list_end_with_2_and_write_nothing(job, tmp_path):
    prices = tmp_path / "prices.csv"
    prices.write_text("item,price\nled-4,x\nprimer,\nprimer,1\n")
    ran = _run(job, "--prices", prices, "--out", tmp_path / "bid")
    assert ran.exit_code == 2
    assert "Traceback" not in ran.output
    assert "3 mistakes; nothing was written." in ran.output
    assert not (tmp_path / "bid").exists()


def test_a_folder_that_cannot_be_written_ends_with_2(job, tmp_path):
    (tmp_path / "bid").write_text("a file")
    ran = _run(job, "--out", tmp_path / "bid")
    assert ran.exit_code == 2
    assert "Traceback" not in ran.output
