"""The command line: what it prints, what it writes, and its exit codes."""

import json
import signal
import statistics
import subprocess
import sys
import time
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from detailgen import pipeline
from detailgen.checks import REGISTRY
from detailgen.cli import app
from detailgen.conditions import CONDITIONS

ROOT = Path(__file__).parent.parent
JOB = """
[project]
name = "Trial"
[[condition]]
id = "W1"
kind = "wall"
title = "Parapet, north"
length = "120 ft"
"""
LOW = JOB + 'flashing_height = "7 in"\n'
"""Breaks a required rule."""
BAD = JOB.replace("wall", "wal") + "count = true\n"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    for name, text in {"job": JOB, "low": LOW, "bad": BAD}.items():
        (tmp_path / f"{name}.toml").write_text(text, encoding="utf-8")
    return tmp_path


def run(*arguments: str) -> Result:
    result = CliRunner().invoke(app, arguments, catch_exceptions=False)
    assert "Traceback" not in result.output
    return result


def names(folder: Path) -> list[str]:
    return sorted(str(p.relative_to(folder)) for p in folder.rglob("*") if p.is_file())


# --- draw ---------------------------------------------------------------------


def test_draw_writes_every_format_and_the_bound_set(folder: Path) -> None:
    result = run("draw", "job.toml", "--out", "out")
    assert result.exit_code == 0
    written = names(folder / "out")
    sheets = {Path(name).stem for name in written if name != "set.pdf"}
    assert "set.pdf" in written
    assert sheets
    assert all(stem.startswith("W1-") for stem in sheets)
    for kind in ("dxf", "svg", "pdf"):
        assert {f"{kind}/{stem}.{kind}" for stem in sheets} <= set(written)
    assert f"{len(sheets)} sheets in {len(written)} files written to out" in result.stdout


def test_draw_writes_only_what_is_asked(folder: Path) -> None:
    assert run("draw", "job.toml", "--format", "svg").exit_code == 0
    assert {Path(name).suffix for name in names(folder / "sheets" / "job")} == {".svg"}


def test_the_same_input_gives_the_same_bytes(folder: Path) -> None:
    run("draw", "job.toml", "--out", "one")
    run("draw", "job.toml", "--out", "two")
    one = {name: (folder / "one" / name).read_bytes() for name in names(folder / "one")}
    two = {name: (folder / "two" / name).read_bytes() for name in names(folder / "two")}
    assert one == two


def test_draw_says_what_fails_and_draws_all_the_same(folder: Path) -> None:
    result = run("draw", "low.toml", "--format", "svg")
    assert result.exit_code == 0
    assert "W1 FAILS: Base flashing height" in result.stdout
    assert 'Asked at least 8", found 7"' in result.stdout
    assert "Required rules fail in 1 of 1 conditions." in result.stdout
    assert names(folder / "sheets" / "low")


def test_a_mistake_leaves_the_output_folder_as_it_was(folder: Path) -> None:
    run("draw", "job.toml", "--out", "out", "--format", "svg")
    before = {name: (folder / "out" / name).read_bytes() for name in names(folder / "out")}
    result = run("draw", "bad.toml", "--out", "out", "--format", "svg")
    assert result.exit_code == 2
    assert before == {
        name: (folder / "out" / name).read_bytes() for name in names(folder / "out")
    }
    assert run("draw", "bad.toml", "--out", "other").exit_code == 2
    assert not (folder / "other").exists()


def test_output_that_cannot_be_written(folder: Path) -> None:
    result = run("draw", "job.toml", "--out", "low.toml")
    assert result.exit_code == 2
    assert "something else has this name" in result.stderr
    assert (folder / "low.toml").read_text(encoding="utf-8") == LOW


# --- check --------------------------------------------------------------------


def test_check_exits_with_one_when_a_required_rule_fails(folder: Path) -> None:
    result = run("check", "low.toml")
    assert result.exit_code == 1
    assert "FAILS" in result.stdout
    assert "rules do not apply" in result.stdout


def test_check_lists_idle_rules_with_their_reason_when_asked(folder: Path) -> None:
    usual, everything = (run("check", "low.toml", *more).stdout for more in ([], ["--all"]))
    assert "there is no roof edge" not in usual
    assert "there is no roof edge" in everything
    assert "rules do not apply" not in everything


def test_check_prints_json(folder: Path) -> None:
    result = run("check", "low.toml", "--json")
    assert result.exit_code == 1
    told = json.loads(result.stdout)
    assert (told["format"], told["holds"], told["file"]) == (1, False, "low.toml")
    [condition] = told["conditions"]
    assert (condition["id"], condition["kind"], condition["line"]) == ("W1", "wall", 4)
    findings = {f["rule"]: f for f in condition["findings"]}
    assert list(findings) == list(REGISTRY)
    low = findings["low_flashing"]
    assert (low["outcome"], low["severity"]) == ("fail", "required")
    assert low["required"]["value"] == pytest.approx(203.2)
    assert low["actual"]["value"] == pytest.approx(177.8, abs=0.01)
    assert low["actual"]["unit"] == "mm"
    assert len(low["where"]) == 2
    assert low["source"]
    idle = [f for f in findings.values() if f["outcome"] == "not applicable"]
    assert idle
    assert all(f["reason"] for f in idle)


def test_json_stays_json_when_the_file_is_wrong(folder: Path) -> None:
    result = run("check", "bad.toml", "--json")
    assert result.exit_code == 2
    problems = json.loads(result.stdout)["problems"]
    assert [p["key"] for p in problems] == ["kind", "count"]
    assert problems[0]["line"] == 6
    assert problems[0]["mend"] == "Did you mean wall?"


def test_mistakes_are_told_on_standard_error_all_at_once(folder: Path) -> None:
    result = run("check", "bad.toml")
    assert result.exit_code == 2
    assert result.stdout == ""
    for part in (
        "bad.toml, line 6: kind",
        "Allowed: curb",
        "Did you mean wall?",
        "count = true",
        "2 mistakes; nothing was written.",
    ):
        assert part in result.stderr


def test_markup_in_a_file_is_only_text(folder: Path) -> None:
    text = JOB.replace("Parapet, north", "[bold]x[/] :smile: [link=a]b")
    (folder / "odd.toml").write_text(text, encoding="utf-8")
    assert "[bold]x[/] :smile: [link=a]b" in run("check", "odd.toml").stdout
    (folder / "odd.toml").write_text(text + "[red]\n", encoding="utf-8")
    assert "red" in run("check", "odd.toml").stderr


# --- kinds, start, schema, rules ----------------------------------------------


def test_kinds_lists_kinds_and_their_parameters() -> None:
    listed = run("kinds").stdout
    assert all(kind in listed for kind in CONDITIONS)
    for kind, condition in CONDITIONS.items():
        shown = run("kinds", kind).stdout
        assert all(key in shown for key in condition.parameters.model_fields)


def test_unknown_kinds_and_rules_get_the_nearest_name() -> None:
    for arguments, close in {
        ("kinds", "roof_edge"): "roof-edge",
        ("start", "walls"): "wall",
        ("rules", "flashing_hight_least"): "flashing_height_least",
        ("rules", "--set", "common-practise"): "common-practice",
    }.items():
        result = run(*arguments)
        assert result.exit_code == 2, arguments
        assert close in result.stderr


@pytest.mark.parametrize("kind", CONDITIONS)
def test_start_writes_a_file_that_draws_and_its_schema(folder: Path, kind: str) -> None:
    result = run("start", kind, "new.toml")
    assert result.exit_code == 0
    first = (folder / "new.toml").read_text(encoding="utf-8").splitlines()[0]
    assert (folder / first.removeprefix("#:schema ")).is_file()
    assert run("draw", "new.toml", "--format", "svg").exit_code == 0


def test_start_never_replaces_a_file(folder: Path) -> None:
    result = run("start", "wall", "job.toml")
    assert result.exit_code == 2
    assert "already a file" in result.stderr
    assert (folder / "job.toml").read_text(encoding="utf-8") == JOB
    assert run("start", "wall").exit_code == 0
    assert run("start", "wall").exit_code == 2
    assert run("start", "wall", "other.toml").exit_code == 0  # the schema is there already


def test_start_leaves_a_file_that_only_has_the_name_of_the_schema(folder: Path) -> None:
    (folder / "detailgen.schema.json").write_text("{}", encoding="utf-8")
    result = run("start", "wall", "new.toml")
    assert result.exit_code == 2
    assert (folder / "detailgen.schema.json").read_text(encoding="utf-8") == "{}"
    assert not (folder / "new.toml").exists()


def test_schema_is_printed_or_written(folder: Path) -> None:
    printed = json.loads(run("schema").stdout)
    assert printed["properties"]["condition"]
    assert run("schema", "--write", "s.json").exit_code == 0
    assert json.loads((folder / "s.json").read_text(encoding="utf-8")) == printed
    assert run("schema", "--write", "s.json").exit_code == 0
    assert run("schema", "--write", "job.toml").exit_code == 2
    assert (folder / "job.toml").read_text(encoding="utf-8") == JOB


def test_rules_are_listed_and_explained() -> None:
    listed = run("rules").stdout
    assert "flashing_height_least" in listed
    row = run("rules", "flashing_height_least", "--set", "common-practice").stdout
    assert "Value: 8 in" in row
    assert "Source: UFGS 07550 (older five-digit edition)" in row
    assert "Checked by low_flashing" in row
    assert "8 in" in run("rules", "low_flashing").stdout
    assert (
        "Value: 10 in"
        in run("rules", "low_flashing", "--set", "sheet-metal-handbook").stdout
    )


# --- the program as a process -------------------------------------------------


def process(*arguments: str, cwd: Path = ROOT) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "detailgen", *arguments],
        cwd=cwd,
        env={"PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )


def test_runs_as_a_module(folder: Path) -> None:
    done = process("check", "bad.toml", cwd=folder)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert process("--version").stdout.startswith("detailgen")


@pytest.mark.parametrize(
    "arguments", [["draw"], ["nonsense"], ["draw", "job.toml", "--format", "doc"]], ids=str
)
def test_wrong_arguments_exit_with_two(folder: Path, arguments: list[str]) -> None:
    assert run(*arguments).exit_code == 2


def test_stopping_is_clean(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(pipeline, "check_job", stop)
    result = run("check", "job.toml")
    assert result.exit_code == 128 + signal.SIGINT
    assert result.stderr.startswith("Stopped")


def test_stopping_is_clean_even_where_a_library_hides_it(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(*_: object) -> None:
        try:
            signal.raise_signal(signal.SIGINT)
        except KeyboardInterrupt:
            message = "could not be loaded"
        raise ImportError(message)

    monkeypatch.setattr(pipeline, "check_job", stop)
    result = run("check", "job.toml")
    assert result.exit_code == 128 + signal.SIGINT
    assert result.stderr.startswith("Stopped")


def test_a_fault_of_the_program_is_not_mistaken_for_a_failing_rule(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def break_down(*_: object) -> None:
        message = "broken"
        raise RuntimeError(message)

    monkeypatch.setattr(pipeline, "check_job", break_down)
    result = CliRunner().invoke(app, ["check", "job.toml"])
    assert result.exit_code == 3
    assert "a fault of detailgen" in result.stderr


# typer itself loads pydantic to show the help of a command.
HEAVY = {"shapely", "numpy", "ezdxf", "rich", "reportlab", "matplotlib", "fontTools"}


def test_help_imports_nothing_heavy() -> None:
    code = (
        "import sys; from typer.testing import CliRunner; from detailgen.cli import app;"
        "assert CliRunner().invoke(app, ['draw', '--help']).exit_code == 0;"
        "print({m.split('.')[0] for m in sys.modules})"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    loaded = set(done.stdout.strip("{}\n").replace("'", "").split(", "))
    assert "typer" in loaded
    assert not loaded & HEAVY


BARE = """
import typer
app = typer.Typer()
@app.command()
def one(name: str) -> None: ...
@app.command()
def two(name: str) -> None: ...
app()
"""


def test_help_is_as_quick_as_a_bare_program(tmp_path: Path) -> None:
    bare = tmp_path / "bare.py"
    bare.write_text(BARE, encoding="utf-8")
    commands = {"bare": [str(bare), "--help"], "own": ["-m", "detailgen", "--help"]}
    times: dict[str, list[float]] = {name: [] for name in commands}
    for _ in range(5):
        for name, command in commands.items():
            start = time.perf_counter()
            subprocess.run(
                [sys.executable, *command], cwd=ROOT, capture_output=True, check=True
            )
            times[name].append(time.perf_counter() - start)
    assert statistics.median(times["own"]) < 1.5 * statistics.median(times["bare"])
