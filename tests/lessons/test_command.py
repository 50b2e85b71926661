"""The command `teach`: what it writes, and that it is the same every time."""

from pathlib import Path

import pypdfium2 as pdfium
from typer.testing import CliRunner

from detailgen.classroom import BOUND, FORMATS, PAGE_FILE, steps_to_teach, teach_job
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
