"""Pages of text of random jobs: nothing touches, whatever details, paper and names.

2 jobs of four details on papers in turn; 60 with `--all-sets`.
"""

from dataclasses import replace
from random import Random

import pytest

from detailgen.bill import Prices
from detailgen.book import text_pages
from detailgen.conditions import CONDITIONS, Site
from detailgen.loader import Job, PlacedCondition
from detailgen.package import parts_of, told_job
from detailgen.parameters import Project
from detailgen.pipeline import check_job, request_for
from detailgen.sheet.clashes import clashes
from detailgen.writers._scene_gate import validate
from tests.sampling import draw, draw_roof
from tests.sheet.asked import catalog

JOBS, ALL = 2, 60
PAPERS = "ANSI A", "ISO A4", "ANSI B", "ISO A1", "ANSI C", "ISO A3", "ANSI D", "ISO A2"
TITLES = (
    "",
    "Wall",
    "W" * 60,
    "Überlauf beside the Éléphant, (unbalanced \\ %s {\\P} </text>",
    "a-very-long-word-with-hyphens-that-no-column-can-hold-at-all",
)


def random_job(seed: int) -> Job:
    """Return a job of four random details on one roof."""
    rng = Random(seed)
    rules = catalog().rule_set("common-practice")
    roof = draw_roof(rng)
    site = Site(roof, catalog(), rules)
    kinds = [kind for kind, one in CONDITIONS.items() if not one.example]
    placed: list[PlacedCondition] = []
    while len(placed) < 4:
        condition = CONDITIONS[rng.choice(kinds)]
        given = draw(condition.parameters, rng)
        # What is left out is an assumption.
        kept = {key: value for key, value in given.items() if rng.random() < 0.6}
        parameters = condition.parameters(
            id=f"{condition.kind[:8]}-{len(placed)}",
            title=rng.choice(TITLES),
            length=rng.choice((None, 5000.0, 9.9e6)),
            count=rng.choice((None, 1, 9999)),
            **kept,
        )
        if not condition.impossible(parameters, site):
            placed.append(PlacedCondition(condition, parameters, 1))
    units = rng.choice(("feet-inches", "millimetres"))
    project = Project(name=rng.choice(TITLES) or "x", units=units)
    return Job("job.toml", project, roof, tuple(placed), catalog(), rules)


def test_nothing_touches_on_the_pages_of_a_package(pytestconfig: pytest.Config) -> None:
    count = ALL if pytestconfig.getoption("all_sets") else JOBS
    for seed in range(count):
        job = random_job(6100 + seed)
        checked = check_job(job)
        told = told_job(job, Prices(), [(one, ()) for one in checked])
        request = request_for(job, checked[0])
        parts = parts_of(told)
        papers = PAPERS if seed < JOBS else PAPERS[seed % len(PAPERS) :][:1]
        for paper in papers:
            asked = replace(request, paper=paper)
            made = text_pages(asked, parts, "Bid package", [("Sheets", "1-9", "sheet 1")])
            begun = [part.key for page in made for part in page.begins]
            assert begun == [p.key for p in parts if p.key in begun]
            for page in made:
                validate(page.scene)
                assert clashes(page.scene) == [], (seed, paper, page.scene.id)
