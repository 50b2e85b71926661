"""Random jobs that fail, for the tests of mends.

Each is a random set of parameters of one kind on a random roof (see `tests.sampling`), of
which a random share is left to its default, as a person does.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from random import Random

from detailgen.catalog import load_catalog
from detailgen.checks import check
from detailgen.conditions import CONDITIONS, Condition, Site
from detailgen.finding import Outcome, Severity
from detailgen.parameters import Placed, Roof
from detailgen.units import UnitSystem
from tests.sampling import draw

SYSTEMS = (UnitSystem.FEET_INCHES, UnitSystem.MILLIMETRES)


@dataclass(frozen=True)
class RandomJob:
    """One condition that fails, on its roof."""

    number: int
    condition: Condition
    parameters: Placed
    site: Site
    system: UnitSystem


def failing(parameters: Placed, condition: Condition, site: Site) -> list[str]:
    """Return the required rules that fail, found without anything of `mend`."""
    section = condition.build(parameters, site)
    found = check(section, site.rules, site.catalog)
    return [
        f.rule
        for f in found
        if f.outcome is Outcome.FAIL and f.severity is Severity.REQUIRED
    ]


def random_jobs(kind: str, count: int, seed: int) -> Iterator[RandomJob]:
    """Yield as many failing jobs of a kind as asked; the same ones for the same seed."""
    rng = Random(seed)
    condition = CONDITIONS[kind]
    catalog = load_catalog()
    rules = catalog.rule_set("common-practice")
    number = 0
    while number < count:
        site = Site(_some(Roof, Roof(), rng), catalog, rules)
        plain = condition.parameters(id="X1")
        parameters = _some(condition.parameters, plain, rng)
        if condition.impossible(parameters, site):
            continue
        if failing(parameters, condition, site):
            number += 1
            yield RandomJob(number, condition, parameters, site, SYSTEMS[number % 2])


def _some(model: type, plain, rng: Random):
    """Return a model with a random share of random values."""
    share = rng.random()
    values = {k: v for k, v in draw(model, rng).items() if rng.random() < share}
    return plain.model_copy(update=values)
