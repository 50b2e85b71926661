"""Every sample is drawn: what the repository shows is what the program does."""

from collections import Counter
from functools import cache
from pathlib import Path

import pytest

from detailgen.conditions import CONDITIONS
from detailgen.formats import USUAL_FORMATS
from detailgen.loader import Job, load_job
from detailgen.pipeline import BOUND, Drawn, draw_job
from detailgen.units import UnitSystem

ROOT = Path(__file__).parents[2]
SAMPLES = sorted((ROOT / "samples").glob("*.toml"))


@cache
def _job(path: Path) -> Job:
    return load_job(path)


@cache
def _drawn(path: Path) -> Drawn:
    return draw_job(_job(path))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_a_sample_draws_in_every_format(path):
    drawn = _drawn(path)
    assert len(drawn.checked) == len(_job(path).conditions)
    assert drawn.sheets >= len(drawn.checked)
    assert BOUND in drawn.files
    counted = Counter(name.partition("/")[0] for name in drawn.files if name != BOUND)
    assert counted == dict.fromkeys(USUAL_FORMATS, drawn.sheets)
    assert all(drawn.files.values())


def test_the_samples_show_what_they_should():
    jobs = {path.stem: _job(path) for path in SAMPLES}
    systems = {job.project.units for job in jobs.values()}
    assert systems == set(UnitSystem)
    shown = {placed.condition.kind for job in jobs.values() for placed in job.conditions}
    assert shown == set(CONDITIONS)
    large = [
        job
        for job in jobs.values()
        if len(job.conditions) >= 6 and job.project.units is UnitSystem.FEET_INCHES
    ]
    assert large


def test_one_sample_breaks_rules_and_the_others_break_none():
    broken = {p.stem for p in SAMPLES if not all(c.holds for c in _drawn(p).checked)}
    assert len(broken) == 1
