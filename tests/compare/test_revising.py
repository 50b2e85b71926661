"""The sheets that a new version changes: which they are, and what they say."""

from pathlib import Path

from typer.testing import CliRunner

from detailgen.cli import app
from tests.compare.jobs import BASE, put

HISTORY = """
[[revision]]
mark = "B"
date = "2026-12-01"
by = "I. M."
text = "Wall raised"
details = ["W1"]
"""


def drawn(root: Path, old: str, new: str) -> dict[str, str]:
    """Return the changed sheets by their names, as SVG."""
    for name, text in (("old", old), ("new", new)):
        (root / f"{name}.toml").write_text(text, encoding="utf-8")
    files = [str(root / "old.toml"), str(root / "new.toml")]
    options = ["--out", str(root / "out"), "--format", "svg"]
    result = CliRunner().invoke(app, ["compare", *files, *options])
    assert result.exit_code in {0, 1}, result.output
    found = (root / "out" / "svg").glob("*.svg")
    return {p.stem: p.read_text(encoding="utf-8") for p in found}


def test_only_changed_sheets_are_drawn_with_the_words_of_what_changed(
    tmp_path: Path,
) -> None:
    sheets = drawn(tmp_path, BASE, put(BASE, ('"8 in"', '"9 in"')))
    assert {name.partition("-")[0] for name in sheets} == {"W1"}
    assert all(
        "lashing height 8&quot;" in s or 'lashing height 8"' in s for s in sheets.values()
    )


def test_a_revision_of_the_history_gives_its_mark(tmp_path: Path) -> None:
    sheets = drawn(tmp_path, BASE, put(BASE, ('"8 in"', '"9 in"')) + HISTORY)
    assert all("2026-12-01" in s and "Wall raised" in s for s in sheets.values())


def test_the_history_stands_on_the_sheets_that_it_concerns(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text(BASE + HISTORY, encoding="utf-8")
    run = ["draw", str(tmp_path / "job.toml"), "--out", str(tmp_path), "--format", "svg"]
    assert CliRunner().invoke(app, run).exit_code == 0
    told = {p.stem: "Wall raised" in p.read_text("utf-8") for p in tmp_path.glob("svg/*")}
    assert {name.partition("-")[0] for name, has in told.items() if has} == {"W1"}
