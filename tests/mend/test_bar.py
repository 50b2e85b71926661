"""Random failing jobs: each mend holds, is tight, and is held against every other.

A few jobs here; `python -m tests.mend.bar` runs the whole bar and writes RESULTS.md.
"""

from collections import Counter

import pytest

from tests.mend.bar import faults
from tests.mend.jobs import random_jobs

FEW = 8


@pytest.mark.parametrize("kind", ["wall", "roof-edge"])
def test_mends_of_random_jobs_are_the_smallest(kind: str):
    tally: Counter[str] = Counter()
    wrong = {
        job.number: bad for job in random_jobs(kind, FEW, 7) if (bad := faults(job, tally))
    }
    assert wrong == {}
    assert tally["can be mended"] == FEW
    assert tally["tried one by one"] > 0
