"""Random jobs through all that is made of a job, as the commands make it.

One condition of every kind a job, on every paper in turn, in either unit, of any length and
number, with a revision and with water; 20 of every kind with `--all-sets`. Nothing raises,
every scene is one that all writers take, and nothing on it touches what it must not.
"""

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from itertools import chain
from random import Random

import pytest

from detailgen import classroom, fault_papers, piecework, pipeline
from detailgen.bids import prices_of
from detailgen.conditions import CONDITIONS
from detailgen.errors import UserError
from detailgen.loader import Job, PlacedCondition, job_of
from detailgen.package import package_job
from detailgen.scene import Scene
from detailgen.sheet.clashes import clashes
from detailgen.units import UnitSystem
from detailgen.writers._scene_gate import validate
from tests.sampling import samples

BASE = """[project]
name = "Salt Quay Depot, re-roof"
revision = "B"
[[condition]]
id = "W1"
kind = "wall"
[[revision]]
mark = "B"
date = "2026-01-01"
by = "I. Marsh"
text = "All of it"
"""
LENGTHS = (None, 3000.0, 36_576.0, 500_000.0)
FORMATS = ("dxf", "svg", "pdf")


def jobs(kind: str, count: int, seed: int) -> Iterator[Job]:
    """Yield jobs of one random condition."""
    base, rng = job_of(BASE, "job.toml"), Random(f"{kind} {seed}")
    papers = list(base.catalog.drafting.papers)
    rng.shuffle(papers)
    found = samples(kind, count, rng.randrange(2**32), base.catalog, base.rules)
    for number, (condition, parameters, site) in enumerate(found):
        amount = {"length": rng.choice(LENGTHS), "count": rng.choice([None, 1, 7])}
        printed = {
            "sheet": papers[number % len(papers)],
            "units": rng.choice(list(UnitSystem)),
            "show_both_units": rng.random() < 0.3,
        }
        placed = PlacedCondition(condition, parameters.model_copy(update=amount), 1)
        yield replace(
            base,
            project=base.project.model_copy(update=printed),
            roof=site.roof,
            conditions=(placed,),
        )


def sheets_of(job: Job) -> Iterator[Scene]:
    """Yield every sheet that the commands make of a job."""
    (checked,) = pipeline.check_job(job)
    yield from pipeline._composed(job, checked, water=True)
    yield from chain(*classroom.class_scenes(job, checked, classroom.EVERYTHING))
    for layout in piecework.layouts_of(job):
        yield from piecework.layout_scenes(layout)


def nothing_is_wrong(scenes: Iterator[Scene], job: Job) -> int:
    """Hold sheets to what writers take and to what must not touch; return how many."""
    looked = list(scenes)
    for scene in looked:
        validate(scene)
        assert clashes(scene) == [], (scene.id, job.project.sheet, job.project.units)
    return len(looked)


@pytest.mark.parametrize("kind", CONDITIONS)
def test_nothing_is_wrong_with_what_is_made_of_a_job(
    kind: str, pytestconfig: pytest.Config
) -> None:
    for job in jobs(kind, 20 if pytestconfig.getoption("all_sets") else 1, seed=1):
        assert nothing_is_wrong(sheets_of(job), job) > 3
        drawn = pipeline.draw_job(job, FORMATS)
        assert len(drawn.files) == len(FORMATS) * drawn.sheets + 1
        made = package_job(job, prices_of(job, None), ("svg",))
        assert made.sheets >= drawn.sheets
        # not every condition gives a fault that can be seen
        with suppress(UserError):
            papers = fault_papers.make_papers(job, ("svg",), fault_papers.Wanted(seed=3))
            assert papers.papers == 1
