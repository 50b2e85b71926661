"""The steps in order: what a drawn job consists of."""

import re
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pypdf
import pytest

from detailgen.finding import Outcome, Severity
from detailgen.formats import USUAL_FORMATS, Format
from detailgen.loader import Job, load_job
from detailgen.pipeline import BOUND, check_job, draw_job, steps_of
from detailgen.writers import WRITERS

JOB = """
[project]
name = "Trial"
show_both_units = true
[[condition]]
id = "W1"
kind = "wall"
length = "120 ft"
[[condition]]
id = "W2"
kind = "wall"
title = "Low wall"
flashing_height = "7 in"
count = 1
[[condition]]
id = "E1"
kind = "roof-edge"
"""


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Job:
    file: Path = tmp_path_factory.mktemp("job") / "job.toml"
    file.write_text(JOB, encoding="utf-8")
    return load_job(file)


def test_every_condition_is_built_and_checked_in_the_order_of_the_file(job: Job) -> None:
    checked = check_job(job)
    assert [one.placed.id for one in checked] == ["W1", "W2", "E1"]
    assert [one.section.kind for one in checked] == ["wall", "wall", "roof-edge"]
    assert all(one.findings for one in checked)


def test_failures_are_told_with_required_ones_first(job: Job) -> None:
    low = check_job(job)[1]
    assert not low.holds
    assert "low_flashing" in {f.rule for f in low.failures}
    assert all(f.outcome is Outcome.FAIL for f in low.failures)
    required = [f.severity is Severity.REQUIRED for f in low.failures]
    assert required == sorted(required, reverse=True)
    assert re.fullmatch(r"\d+ hold, \d+ fail(, \d+ advice not met)?", low.summary)


def test_every_sheet_is_written_in_every_format(job: Job) -> None:
    done: list[str] = []
    drawn = draw_job(job, USUAL_FORMATS, done.append)
    assert len(done) == steps_of(job)
    sheets = {Path(name).stem for name in drawn.files if name != BOUND}
    assert len(sheets) == drawn.sheets
    assert {stem.rpartition("-")[0] for stem in sheets} == {"W1", "W2", "E1"}
    wanted = {f"{kind}/{stem}.{kind}" for stem in sheets for kind in USUAL_FORMATS} | {
        BOUND
    }
    assert set(drawn.files) == wanted
    assert all(drawn.files.values())


def test_a_preview_is_written_when_it_is_asked(job: Job) -> None:
    one = replace(job, conditions=job.conditions[:1])
    drawn = draw_job(one, ["png"])
    assert set(drawn.files) == {f"png/W1-{n}.png" for n in range(1, drawn.sheets + 1)}
    assert set(WRITERS) == {str(name) for name in Format}


def test_the_bound_set_has_an_index_and_every_sheet_with_its_number(job: Job) -> None:
    drawn = draw_job(job, ["pdf"])
    bound = pypdf.PdfReader(BytesIO(drawn.files[BOUND]))
    assert len(bound.pages) == drawn.sheets + 1
    assert len(bound.outline) == drawn.sheets + 1
    cover = bound.pages[0].extract_text()
    assert "Trial" in cover
    assert "Low wall" in cover
    for number, page in enumerate(bound.pages[1:], 1):
        assert f"{number} OF {drawn.sheets}" in page.extract_text()


def test_the_amount_of_a_condition_is_printed(job: Job) -> None:
    drawn = draw_job(job, ["svg"])
    text = {
        stem: b"".join(v for k, v in drawn.files.items() if stem in k)
        for stem in ("W1", "W2")
    }
    assert "120'-0\"" in text["W1"].decode().replace("&apos;", "'").replace("&quot;", '"')
    assert b"1 place" in text["W2"]
