"""The rules on the water path: what they tell, at the limit and just past it."""

from dataclasses import replace

import pytest

from detailgen.catalog import load_catalog, with_rule_overrides
from detailgen.checks import REGISTRY
from detailgen.checks._case import Case
from detailgen.conditions import CONDITIONS, Site
from detailgen.finding import Finding, Outcome
from detailgen.geometry.regions import box
from detailgen.parameters import Roof, RuleOverride
from detailgen.section import LayeredSection
from detailgen.units import inches
from tests.checks.handmade import wall
from tests.waterpath.mutating import holed

CATALOG = load_catalog()
RULES = CATALOG.rule_set("common-practice")
LOW, HIGH = "weak_water_path_low", "weak_water_path_high"


def built(kind: str, **given: object) -> LayeredSection:
    condition = CONDITIONS[kind]
    site = Site(Roof(), CATALOG, RULES)
    return condition.build(condition.parameters(id="X1", **given), site)


def find(rule: str, section: LayeredSection) -> Finding:
    return REGISTRY[rule].find(Case(section, RULES, CATALOG))


@pytest.mark.parametrize(("short", "holds"), [(0.0, True), (0.04, True), (0.3, False)])
def test_a_lap_counts_in_full_at_its_limit_only(short: float, holds: bool) -> None:
    section = built("wall")
    hem = section.points["cf.hem"][1]
    cut = (
        holed(section, "counterflashing", box(-50, 0, 5, hem + short)) if short else section
    )
    found = find(HIGH, cut)
    assert (found.outcome is Outcome.PASS) == holds
    assert found.actual.value == pytest.approx(1.0 if holds else 0.99, abs=0.004)


def test_a_failure_tells_the_way_and_its_end() -> None:
    found = find(HIGH, built("wall", counterflashing_lap=inches(2)))
    assert found.outcome is Outcome.FAIL
    assert found.actual.value == 0.5
    assert found.reason == "Easiest way in, wall: up behind the counterflashing (0.50)."
    assert found.bodies == ("wall", "counterflashing")
    assert found.where is not None
    assert found.where[0] == pytest.approx(0.0, abs=0.01)


def test_the_worst_zone_is_told() -> None:
    section = built("wall").without("strip-in")
    found = find(LOW, section)
    assert found.reason == "Easiest way in, cant: through the flashing sheet (1.00)."
    bare = find(LOW, section.without("finish-ply").without("base-ply").without("flashing"))
    assert bare.actual.value == 0.0
    assert bare.reason.endswith(": nothing in its way.")


def test_another_value_can_be_asked() -> None:
    change = RuleOverride(rule="water_path_low_least", value="3", reason="An archive.")
    rules = with_rule_overrides(RULES, [change])
    found = REGISTRY[LOW].find(Case(built("wall"), rules, CATALOG))
    assert found.outcome is Outcome.FAIL
    assert found.actual.value == 2.0


@pytest.mark.parametrize("rule", [LOW, HIGH])
def test_where_nothing_is_said_to_stay_dry_there_is_nothing_to_count(rule: str) -> None:
    found = find(rule, wall())
    assert found.outcome is Outcome.NOT_APPLICABLE
    assert "stay dry" in found.reason
    emptied = replace(built("wall"), must_stay_dry=())
    assert find(rule, emptied).outcome is Outcome.FAIL, "a wall may not be idle"
