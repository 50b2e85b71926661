"""What a kind says it takes for a parameter left out is what it draws."""

import pytest

from detailgen.catalog import load_catalog
from detailgen.checks import check
from detailgen.conditions import CONDITIONS, Site
from detailgen.finding import Outcome
from detailgen.parameters import Placed, Roof

CATALOG = load_catalog()
RULES = CATALOG.rule_set("common-practice")
VARIANTS = {
    "wall": [{}, {"termination": "coping"}, {"wall": "stud", "fall": "along"}],
    "roof-edge": [{}, {"edge": "flush"}, {"edge_strip": True}],
}


def found(condition, parameters, site):
    section = condition.build(parameters, site)
    return [
        (f.rule, f.outcome, round(f.actual.value, 3))
        for f in check(section, RULES, CATALOG)
        if f.outcome is not Outcome.NOT_APPLICABLE
    ]


@pytest.mark.parametrize("kind", CONDITIONS)
def test_holding_a_parameter_to_what_is_taken_changes_nothing(kind: str):
    condition = CONDITIONS[kind]
    site = Site(Roof(), CATALOG, RULES)
    for values in VARIANTS.get(kind, [{}]):
        plain = condition.parameters(id="X1", **values)
        taken = condition.taken(plain, site)
        before = found(condition, plain, site)
        for key, value in taken.items():
            if key in Placed.model_fields or key not in condition.parameters.model_fields:
                continue
            held = condition.parameters(id="X1", **{**values, key: value})
            assert condition.impossible(held, site) == [], key
            assert found(condition, held, site) == before, key


@pytest.mark.parametrize("kind", CONDITIONS)
def test_every_parameter_without_a_default_is_told(kind: str):
    condition = CONDITIONS[kind]
    plain = condition.parameters(id="X1")
    taken = condition.taken(plain, Site(Roof(), CATALOG, RULES))
    own = set(condition.parameters.model_fields) - set(Placed.model_fields)
    assert {k for k in own if getattr(plain, k) is None} <= set(taken)
