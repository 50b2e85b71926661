"""The second opinion itself: on what a rule can depend, and raw brute force."""

from dataclasses import replace
from fractions import Fraction
from itertools import combinations, product
from random import Random

import pytest

from detailgen.finding import Outcome
from detailgen.mend._bench import Bench, point_of
from detailgen.mend._handles import Sort, Tier, handles
from detailgen.mend._search import Found, Search
from tests.mend.exhaustive import DEPENDS, Trial, fails
from tests.mend.jobs import random_jobs

COARSE = {
    Sort.LENGTH: Fraction(1524, 10),
    Sort.SLOPE: Fraction(1, 12),
    Sort.WHOLE: Fraction(1),
}
"""Steps so long (6 in) that all pairs of values can be tried."""


@pytest.mark.parametrize("kind", DEPENDS)
def test_a_rule_depends_on_nothing_but_what_the_table_says(kind: str):
    rng = Random(3)
    compared = 0
    for job in random_jobs(kind, 12, 3):
        every = handles(job.condition, job.parameters, job.site, job.system)
        numbers = [h for h in every if h.tier is Tier.OWN_NUMBER and (h.up or h.down)]
        bench = Bench(job.condition, job.parameters, job.site, every)
        for _ in range(12):
            some = rng.sample(numbers, 2)
            values = {h.number: rng.choice((*h.up, *h.down)).value for h in some}
            point = point_of(values)
            if bench.impossible(point):
                continue
            for rule, depends in DEPENDS[kind].items():
                if depends & {h.key for h in some}:
                    continue
                one, other = bench.finding((), rule), bench.finding(point, rule)
                if one.outcome is Outcome.NOT_APPLICABLE:
                    continue
                compared += 1
                assert fails(one) == fails(other), (rule, [h.key for h in some])
    assert compared > 300


@pytest.mark.parametrize(("kind", "seed"), [("wall", 21), ("roof-edge", 4)])
def test_raw_brute_force_over_long_steps_agrees(kind: str, seed: int):
    """Every single value and every pair of values, with nothing assumed at all."""
    for job in random_jobs(kind, 2, seed):
        coarse = handles(job.condition, job.parameters, job.site, job.system, steps=COARSE)
        own = (h for h in coarse if h.tier is Tier.OWN_NUMBER)
        every = [replace(h, number=number) for number, h in enumerate(own)]
        bench = Bench(job.condition, job.parameters, job.site, tuple(every))
        found = Search(bench).run()
        least = _brute(job, every)
        if isinstance(found, Found) and found.cost[-2] <= 2:
            assert (found.cost[-2], found.cost[-1]) == least
        else:
            assert least is None


def _brute(job, every) -> tuple[int, int] | None:
    trial = Trial(job)
    for count in (1, 2):
        sums = [
            sum(r.steps for r in rungs)
            for some in combinations(every, count)
            for rungs in product(*([*h.down, *h.up] for h in some))
            if trial.possible(
                new := {h.key: r.value for h, r in zip(some, rungs, strict=True)}
            )
            and trial.holds(new)
        ]
        if sums:
            return count, min(sums)
    return None
