"""The commands that tell of margins and of stages."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from detailgen.cli import app

JOB = """
[project]
name = "Records Hall"

[[condition]]
kind = "wall"
id = "W1"
strip_in_out = "3 1/2 in"
"""


@pytest.fixture
def job(tmp_path: Path) -> Path:
    file = tmp_path / "job.toml"
    file.write_text(JOB, encoding="utf-8")
    return file


def ran(*words: str) -> Result:
    return CliRunner().invoke(app, list(words))


def test_margins_are_told_and_plotted(job: Path, tmp_path: Path) -> None:
    plots = tmp_path / "plots"
    done = ran("margins", str(job), "--plot", str(plots))
    assert done.exit_code == 0, done.output
    assert "at once" in done.output
    assert "Strip-in ply cut short" in done.output or "Cant set off" in done.output
    assert "1.00 x" in done.output
    assert "1 plots written" not in done.output
    assert "1 plot written" in done.output
    assert [p.name for p in plots.iterdir()] == ["W1.png"]


def test_margins_as_json(job: Path) -> None:
    done = ran("margins", str(job), "--json")
    assert done.exit_code == 0, done.output
    told = json.loads(done.output)
    (condition,) = told["conditions"]
    found = {m["rule"]: m for m in condition["margins"]}
    strip = found["short_strip_in_at_toe"]
    assert strip["slack"] == pytest.approx(12.7, abs=0.02)
    uses = {u["tolerance"]: u for u in strip["uses"]}
    assert uses["strip_in_cut_short"]["multiple"] == pytest.approx(1.0, abs=0.02)
    assert uses["strip_in_cut_short"]["value"] == "1/2 in"


def test_a_failing_rule_heads_the_margins(job: Path) -> None:
    text = JOB.replace("3 1/2 in", "2 in")
    job.write_text(text, encoding="utf-8")
    done = ran("margins", str(job))
    assert done.exit_code == 0, done.output
    rows = [line for line in done.output.splitlines() if line.startswith("│")]
    assert rows[0].startswith("│ fails")


def test_stages_are_told(job: Path) -> None:
    done = ran("check", str(job), "--stages")
    assert done.exit_code == 0, done.output
    assert "4 Strip-in ply; work may wait here" in done.output
    plain = ran("check", str(job))
    assert "stage by stage" not in plain.output


def test_stages_as_json_name_the_weak_point(job: Path) -> None:
    text = JOB.replace('strip_in_out = "3 1/2 in"', 'strip_in_up = "1/2 in"')
    job.write_text(text, encoding="utf-8")
    done = ran("check", str(job), "--stages", "--json")
    assert done.exit_code == 1
    (condition,) = json.loads(done.output)["conditions"]
    fails = {s["stage"]: [f["rule"] for f in s["fails"]] for s in condition["stages"]}
    assert fails[3] == []
    assert "low_strip_in_on_wall" in fails[4]
    assert [s["stage"] for s in condition["stages"] if s["hold"]] == [4]
    shown = ran("check", str(job), "--stages")
    assert "The strip-in does not go far enough up the wall, at x" in " ".join(
        shown.output.replace("│", " ").split()
    )
