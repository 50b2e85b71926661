"""Papers and keys of random conditions, marks at what fails: nothing touches.

A set of every second kind in turn; 100 of every kind with `--all-sets`.
"""

from random import Random

import pytest

from detailgen.conditions import CONDITIONS
from detailgen.finding import Outcome
from detailgen.lessons.fault_sheets import FaultTold, fault_key, fault_paper, fault_scales
from detailgen.sheet.clashes import clashes
from detailgen.writers._scene_gate import validate
from tests.sheet.asked import random_requests

ALL = 100
KINDS = list(CONDITIONS)


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_touches_on_papers_and_keys(kind: str, pytestconfig: pytest.Config) -> None:
    every = pytestconfig.getoption("all_sets")
    count = ALL if every else KINDS.index(kind) % 2
    rng = Random(17)
    for number, request in enumerate(random_requests(kind, count, 5200)):
        failed = [f for f in request.findings if f.outcome is Outcome.FAIL]
        chosen = rng.sample(failed, min(len(failed), 1 + number % 3))
        paper = "A4" if number % 2 else "Letter"
        faults = [FaultTold(f, tuple(failed[:2]), "As drawn.", "", 2.0) for f in chosen]
        scales = fault_scales(request, paper).scales
        assert set(scales) == {"section", *(v.id for v in request.section.layouts)}
        scenes = fault_paper(request, paper, "01", max(1, len(faults)))
        key = fault_key(request, paper, "01", faults) if faults else ()
        for scene in (*scenes, *key):
            validate(scene)
            assert clashes(scene) == [], (number, kind, scene.id)
        drawn = {v.factor for s in scenes for v in s.views}
        assert drawn == set(scales.values()), "a fault is measured at the paper's scales"
