"""The command `teach`: what it writes, and that it is the same every time."""

from pathlib import Path

import pypdfium2 as pdfium
import pytest
from typer.testing import CliRunner

from detailgen.classroom import (
    BOUND,
    FORMATS,
    PAGE_FILE,
    Part,
    Wanted,
    steps_to_teach,
    teach_job,
)
from detailgen.cli import app
from detailgen.loader import load_job

SAMPLE = Path(__file__).parents[2] / "samples" / "low-walls-failing.toml"


def test_it_writes_sheets_in_every_format_and_the_page(tmp_path: Path) -> None:
    ran = CliRunner().invoke(app, ["teach", str(SAMPLE), "--out", str(tmp_path)])
    assert ran.exit_code == 0, ran.output
    names = {p.relative_to(tmp_path).as_posix() for p in tmp_path.rglob("*") if p.is_file()}
    assert {PAGE_FILE, BOUND} <= names
    pages = len(pdfium.PdfDocument(tmp_path / BOUND))
    assert pages > sum(n.startswith("pdf/") for n in names)  # the index comes first
    sheets = {n.partition("/")[2].rpartition(".")[0] for n in names if "/" in n}
    for folder in ("dxf", "svg", "pdf"):
        assert {f"{folder}/{s}.{folder}" for s in sheets} <= names
    for mark in ("L1", "L2", "L3"):
        assert {f"{mark}-stages-1", f"{mark}-checklist-1"} <= sheets


def test_the_page_alone_draws_no_sheets(tmp_path: Path) -> None:
    asked = ["teach", str(SAMPLE), "--out", str(tmp_path), "--format", "html"]
    ran = CliRunner().invoke(app, asked)
    assert ran.exit_code == 0
    assert [p.name for p in tmp_path.iterdir()] == [PAGE_FILE]


def test_the_same_job_gives_the_same_bytes_and_tells_its_progress() -> None:
    job, told = load_job(SAMPLE), []
    first = teach_job(job, FORMATS, told.append)
    assert len(told) == steps_to_teach(job, FORMATS)
    again = teach_job(job, FORMATS)
    assert first == again
    assert first.sheets == sum(n.startswith("pdf/") for n in first.files)


def test_a_mistake_is_told_and_nothing_written(tmp_path: Path) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text('[project]\nname = "x"\n[[condition]]\nid = "W1"\nkind = "roof"\n')
    out = tmp_path / "out"
    ran = CliRunner().invoke(app, ["teach", str(bad), "--out", str(out)])
    assert ran.exit_code == 2
    assert not out.exists()


def test_parts_are_chosen_and_keys_come_last(tmp_path: Path) -> None:
    asked = ["teach", str(SAMPLE), "--out", str(tmp_path), "--format", "pdf"]
    parts = ["--part", "handout", "--part", "exercise", "--paper", "A4", "--seed", "3"]
    ran = CliRunner().invoke(app, [*asked, *parts])
    assert ran.exit_code == 0, ran.output
    names = sorted(p.stem for p in (tmp_path / "pdf").iterdir())
    kinds = {n.split("-", 1)[1].rsplit("-", 1)[0] for n in names}
    assert kinds == {"handout", "names", "names-key", "numbers", "numbers-key"}
    pdf = pdfium.PdfDocument(tmp_path / BOUND)
    index = len(pdf) - len(names)
    told = [pdf[n].get_textpage().get_text_bounded() for n in range(index, len(pdf))]
    keys = ["For the trainer" in t or "Key: " in t for t in told]
    assert keys == sorted(keys)
    assert any(keys)
    assert not all(keys)
    width, height = pdf[index].get_size()
    assert (round(width * 25.4 / 72), round(height * 25.4 / 72)) == (210, 297)


def test_another_seed_changes_exercises_and_nothing_else() -> None:
    job = load_job(SAMPLE)
    parts = frozenset({Part.HANDOUT, Part.EXERCISE})
    one = teach_job(job, ["svg"], wanted=Wanted(parts, seed=1)).files
    two = teach_job(job, ["svg"], wanted=Wanted(parts, seed=2)).files
    changed = {n for n in one if one[n] != two.get(n)}
    assert changed
    assert all("-names-" in n for n in changed)


@pytest.mark.parametrize(
    ("given", "told"),
    [
        (["--paper", "Legal"], "A4, Letter"),
        (["--part", "page", "--format", "pdf"], "html"),
        (["--part", "handout", "--format", "html"], "dxf, svg, pdf, png"),
        (["--seed", "-1"], "0"),
        (["--part", "quiz"], "exercise"),
    ],
)
def test_what_cannot_be_meant_is_told(tmp_path: Path, given: list[str], told: str) -> None:
    out = tmp_path / "out"
    ran = CliRunner().invoke(app, ["teach", str(SAMPLE), "--out", str(out), *given])
    assert ran.exit_code == 2
    assert told in ran.output
    assert not out.exists()
