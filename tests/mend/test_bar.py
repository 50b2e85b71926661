"""Random failing jobs: each mend holds, is tight, and is held against every other.

A few jobs here; `python -m tests.mend.bar` runs the whole bar and writes RESULTS.md. Other
kinds have no table of what a rule can depend on: their mends are held to hold and be tight.
"""

from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest

from detailgen.catalog import load_catalog
from detailgen.conditions import CONDITIONS, Site
from detailgen.loader import load_job
from detailgen.mend import Broken, Verdict, mend
from detailgen.parameters import Roof
from detailgen.pipeline import mend_job
from detailgen.units import UnitSystem, inches, parse_length
from tests.mend.bar import faults, holds_and_is_tight
from tests.mend.exhaustive import DEPENDS
from tests.mend.jobs import RandomJob, random_jobs

FEW = {"wall": 4, "roof-edge": 3}
SLOW = {"expansion-joint", "deep-drain"}
"""Kinds whose sections take long to build."""
CORNERS = ("inside-corner", "outside-corner")
FREE = "free-section"
"""Lists of bodies, for which no random ones are drawn: there are no figures to change."""


@pytest.mark.parametrize("kind", DEPENDS)
def test_mends_of_random_jobs_are_the_smallest(kind: str):
    tally: Counter[str] = Counter()
    wrong = {
        job.number: bad
        for job in random_jobs(kind, FEW[kind], 7)
        if (bad := faults(job, tally))
    }
    assert wrong == {}
    assert tally["can be mended"] == FEW[kind]
    assert tally["tried one by one"] > 0


@pytest.mark.parametrize(
    "kind", [k for k in CONDITIONS if k not in {*DEPENDS, *CORNERS, FREE}]
)
def test_mends_of_other_kinds_hold_and_are_tight(kind: str):
    for job in random_jobs(kind, 1 if kind in SLOW else 2, 6):
        found = mend(Broken(job.condition, job.parameters), job.site, job.system)
        assert found.verdict is Verdict.MENDED, (job.number, found.conflict)
        assert holds_and_is_tight(job, found) == []


@pytest.mark.parametrize("kind", CORNERS)
def test_a_short_strip_in_of_a_corner_is_made_longer(kind: str):
    catalog = load_catalog()
    site = Site(Roof(), catalog, catalog.rule_set("common-practice"))
    parameters = CONDITIONS[kind].parameters(id="X1", strip_in_out=inches(2))
    job = RandomJob(1, CONDITIONS[kind], parameters, site, UnitSystem.FEET_INCHES)
    found = mend(Broken(job.condition, parameters), site, job.system)
    assert {c.key: c.needed for c in found.changes} == {
        "strip_in_out": parse_length("3 in")
    }
    assert holds_and_is_tight(job, found) == []


def test_of_a_free_section_only_the_roof_is_changed():
    root = Path(__file__).parents[2]
    job = load_job(root / "samples" / "free-wall.toml")
    flat = replace(job, roof=job.roof.model_copy(update={"slope": 0.0}))
    done = mend_job(flat)
    assert {c.home for c in done.roof} <= {"roof"}
    assert all(not one.changes for one in done.conditions)
