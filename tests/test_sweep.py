"""A sweep: what stands at each place is what a check of that very job says."""

import csv
import io
import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from detailgen import workers
from detailgen.cli import app
from detailgen.errors import UserError
from detailgen.finding import Outcome
from detailgen.loader import Job, job_of
from detailgen.loader.sweeps import axes_of
from detailgen.pipeline import check_job
from detailgen.sweep import Field, State, sweep
from detailgen.sweep.plotting import plot
from detailgen.sweep_pages import sweep_csv, ticks_of

TEXT = """[project]
name = "Shed"
[[condition]]
id = "W1"
kind = "wall"
"""
HEIGHT = "flashing_height: 7 in to 11 in by 2 in"
CANT = "cant_height: 3 in, 4 in"


def job(more: str = "") -> Job:
    return job_of(TEXT + more, "job.toml")


def swept(*over: str, more: str = "") -> Field:
    placed, axes = axes_of(job(more), "W1", over)
    return sweep(placed.condition, placed.parameters, job(more).site, axes)


def test_every_place_is_what_a_check_says() -> None:
    found = swept(HEIGHT, CANT)
    assert [len(axis.values) for axis in found.axes] == [3, 2]
    places = iter(found.places)
    for height in (7, 9, 11):
        for cant in (3, 4):
            text = f'flashing_height = "{height} in"\ncant_height = "{cant} in"\n'
            (checked,) = check_job(job(text))
            place = next(places)
            outcomes = {f.rule: f.outcome for f in checked.findings}
            assert dict(zip(found.rules, place.outcomes, strict=True)) == {
                rule: outcomes[rule] for rule in found.rules
            }
            assert (place.state is State.HOLDS) == checked.holds
            idle = {f.rule for f in checked.findings} - set(found.rules)
            assert {outcomes[rule] for rule in idle} <= {Outcome.NOT_APPLICABLE}
    assert {"low_flashing", "low_cant"} <= set(found.moving)


def test_what_cannot_be_built_says_why() -> None:
    found = swept("flashing_height: 4 in, 12 in", "cant_height: 5 in, 6 in")
    assert [p.state for p in found.places[:2]] == [State.IMPOSSIBLE] * 2
    assert all(p.reason for p in found.places[:2])
    assert found.places[2].state is State.HOLDS


def test_the_roof_and_words_may_run_too() -> None:
    found = swept("roof.slope: 0.5 % to 2.5 % by 1 %", "termination: reglet, coping")
    low = [p.outcomes[found.rules.index("shallow_slope")] for p in found.places]
    assert low == [Outcome.FAIL] * 4 + [Outcome.PASS] * 2
    assert found.axes[1].unit == "word"


def test_several_processes_find_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    over = "flashing_height: 6 in to 12 in by 1/16 in", "cant_height: 3 in, 4 in"
    monkeypatch.setattr(workers, "_cores", lambda: 2)
    several = swept(*over)
    monkeypatch.setattr(workers, "_cores", lambda: 1)
    assert swept(*over) == several
    assert len(several.places) == 2 * 97


def test_a_range_has_its_end_and_its_steps() -> None:
    _, (axis,) = axes_of(job(), "W1", ["cant_height: 3 in to 4 in by 1/4 in"])
    assert axis.values == pytest.approx([76.2, 82.55, 88.9, 95.25, 101.6])
    _, (axis,) = axes_of(job(), "W1", ["cant_height: 3 in to 3 1/8 in by 1/4 in"])
    assert axis.values == pytest.approx([76.2])


@pytest.mark.parametrize(
    ("over", "told"),
    [
        ([], "one or two are needed"),
        ([HEIGHT, CANT, "wall: stud"], "one or two are needed"),
        ([HEIGHT, HEIGHT], "named twice"),
        (["flashing_height"], "does not say what runs over what"),
        (["flashing_hight: 6 in"], "no parameter of this name"),
        (["id: W2"], "no parameter of this name"),
        (["roof.deck_hight: 6 in"], "the roof has no such figure"),
        (["roof.insulation: 6 in"], "a list, which nothing runs over|is no value of"),
        (["flashing_height: 6"], "6 is no value of flashing_height"),
        (["flashing_height: 6 in to 900 ft by 1 in"], "900 ft is no value of"),
        (["flashing_height: 8 in to 6 in by 1 in"], "does not go up"),
        (["flashing_height: 6 in to 8 in by 0 in"], "does not go up|is no step of"),
        (["flashing_height: 6 in to 8 in by one"], "one is no step of"),
        (["flashing_height: 6 in, 6 in"], "a value stands there twice"),
        (["flashing_height: 6 in to 60 in by 0.00001 in"], "too many values"),
        (["wall: brick"], "brick is no value of wall"),
    ],
)
def test_what_is_no_axis_is_told(over: list[str], told: str) -> None:
    with pytest.raises(UserError, match=told):
        axes_of(job(), "W1", over)


def test_too_many_places_are_told() -> None:
    fine = (
        "flashing_height: 6 in to 20 in by 0.01 in",
        "cant_height: 2 in to 6 in by 0.01 in",
    )
    with pytest.raises(UserError, match="too many"):
        axes_of(job(), "W1", fine)


def test_the_csv_says_the_same_as_the_field() -> None:
    found = swept(HEIGHT, CANT)
    rows = list(csv.reader(io.StringIO(sweep_csv(found, job().project.units))))
    assert rows[0][:4] == ["flashing_height", "cant_height", "result", "reason"]
    assert rows[0][4:] == list(found.rules)
    assert [row[2] for row in rows[1:]] == [p.state.value for p in found.places]
    assert rows[1][:2] == ['7"', '3"']


def test_the_plot_is_the_same_twice_and_follows_the_field() -> None:
    one, other = swept(HEIGHT, CANT), swept(HEIGHT)
    units = job().project.units
    first = plot("W1 $\\frac{ $x", one, ticks_of(one, units))  # no formula
    assert first == plot("W1 $\\frac{ $x", one, ticks_of(one, units))
    assert first[:8] == b"\x89PNG\r\n\x1a\n"
    assert plot("W1", other, ticks_of(other, units)) != first


def test_the_command_writes_and_tells(tmp_path: Path) -> None:
    file = tmp_path / "job.toml"
    file.write_text(TEXT, encoding="utf-8")
    base = ["sweep", str(file), "--detail", "W1", "--over", HEIGHT, "--over", CANT]
    result = CliRunner().invoke(app, [*base, "--out", str(tmp_path / "out")])
    assert result.exit_code == 0, result.output
    assert "6 places" in result.output
    assert {p.name for p in (tmp_path / "out").iterdir()} == {
        "W1-sweep.png",
        "W1-sweep.csv",
    }
    result = CliRunner().invoke(app, [*base, "--json"])
    told = json.loads(result.stdout)
    assert [p["result"] for p in told["places"]].count("holds") >= 1
    assert told["axes"][0]["values"] == pytest.approx([177.8, 228.6, 279.4])
    result = CliRunner().invoke(app, [*base[:2], "--detail", "W9", "--over", HEIGHT])
    assert result.exit_code == 2
    assert "W1" in result.output
