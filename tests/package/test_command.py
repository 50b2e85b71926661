"""The command `package`: what it writes, and its exit codes."""

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
id = "D1"
kind = "stack"
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
    return CliRunner().invoke(app, ["package", *map(str, args)])


def test_one_command_writes_all_of_it(job, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    ran = _run(job, "--format", "svg")
    assert ran.exit_code == 0, ran.output
    out = tmp_path / "package" / "job"
    names = {p.name for p in out.iterdir()}
    assert names == {
        "package.pdf", "takeoff.xlsx", "takeoff.json", "conditions.csv", "materials.csv",
        "manifest.txt", "svg",
    }  # fmt: skip
    assert "W2: not counted: the job gives no length." in ran.output
    assert f"written to {Path('package', 'job')}" in ran.output
    assert "Made from job.toml" in (out / "manifest.txt").read_text()


def test_mistakes_of_a_list_end_with_2_and_write_nothing(job, tmp_path):
    prices = tmp_path / "prices.csv"
    prices.write_text("item,price\nled-4,x\n")
    ran = _run(job, "--prices", prices, "--out", tmp_path / "bid")
    assert ran.exit_code == 2
    assert "Traceback" not in ran.output
    assert "nothing was written" in ran.output
    assert not (tmp_path / "bid").exists()


def test_a_job_with_mistakes_ends_with_2_and_writes_nothing(job, tmp_path):
    job.write_text(JOB.replace('"stack"', '"stork"'))
    ran = _run(job, "--out", tmp_path / "bid")
    assert ran.exit_code == 2
    assert "there is no such kind" in ran.output.lower()
    assert not (tmp_path / "bid").exists()


def test_a_folder_that_cannot_be_written_ends_with_2(job, tmp_path):
    (tmp_path / "bid").write_text("a file")
    ran = _run(job, "--out", tmp_path / "bid")
    assert ran.exit_code == 2
    assert "Traceback" not in ran.output


def test_a_file_in_the_way_leaves_nothing_half_written(job, tmp_path):
    out = tmp_path / "bid"
    (out / "manifest.txt").mkdir(parents=True)
    ran = _run(job, "--out", out, "--format", "svg")
    assert ran.exit_code == 2
    assert "Traceback" not in ran.output
    assert [p.name for p in out.iterdir()] == ["manifest.txt"]
