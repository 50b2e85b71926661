"""The sheets that a new version changes: which they are, and what they say."""

from pathlib import Path

import pytest
from typer.testing import CliRunner

from detailgen.cli import app
from detailgen.compare import State
from detailgen.revising import SIGN, revised_scenes
from detailgen.scene import Dimension, Scene
from detailgen.sheet.clashes import clashes
from tests.compare.jobs import BASE, differ, put

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


def dimensions(scenes: list[Scene]) -> list[Dimension]:
    views = [view for scene in scenes for view in scene.views if view.plotted]
    return [i for view in views for i in view.items if isinstance(i, Dimension)]


def test_a_dimension_that_moved_has_the_sign_of_the_revision_and_no_other() -> None:
    found = differ(BASE, put(BASE, ('"8 in"', '"9 in"'), ('"A"', '"B"')))
    (scenes,) = revised_scenes(found).values()
    signed = [d for d in dimensions(scenes) if SIGN in d.text]
    assert [d.text for d in signed] == [f'9" {SIGN}B'] * 2  # in section and elevation
    (change,) = found.changed
    assert len(change.dimensions) == 2
    assert len(dimensions(scenes)) > 4


def test_a_new_detail_has_no_signs_and_says_that_it_is_new() -> None:
    found = differ(BASE, BASE + '\n[[condition]]\nid = "S1"\nkind = "stack"\n')
    assert [d.state for d in found.changed] == [State.ADDED]
    (scenes,) = revised_scenes(found).values()
    assert not [d for d in dimensions(scenes) if SIGN in d.text]


def test_other_units_change_every_sheet() -> None:
    found = differ(BASE, put(BASE, ('"A"', '"B"\nunits = "millimetres"')))
    assert list(revised_scenes(found)) == ["W1", "E1", "D1"]


LONG = "The sill was found lower than the drawings of the survey have it, and so "
ROWS = "".join(f'\n[[revision]]\nmark = "{m}"\ntext = "{2 * LONG}"\n' for m in "CDEFGH")


@pytest.mark.parametrize("paper", ["ANSI A", "ISO A4", "ANSI B", "ISO A1"])
def test_nothing_touches_on_marked_sheets_of_any_size(paper: str) -> None:
    old = put(BASE, ('"A"', f'"A"\nsheet = "{paper}"\nshow_both_units = true'))
    new = put(
        old,
        ('"8 in"', '"9 in"'),
        ('kind = "roof-edge"', 'kind = "roof-edge"\nedge = "flush"'),
        ('slope = "1/4 in per ft"', 'slope = "1/2 in per ft"'),
    )
    found = differ(old, new + ROWS)
    scenes = revised_scenes(found)
    assert set(scenes) == {"W1", "E1", "D1"}
    for sheets in scenes.values():
        for scene in sheets:
            assert clashes(scene) == [], scene.id
