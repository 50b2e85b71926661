"""Which way the roof falls, told from the finish ply that is drawn."""

import pytest

from detailgen.conditions import CONDITIONS, Site
from detailgen.parameters import Roof
from detailgen.sheet.falls import told_fall
from detailgen.units import UnitSystem
from tests.checks.handmade import catalog

FALLS = {
    "wall": "Roof falls 1/4 in per ft to the left.",
    "curb": "Roof falls 1/4 in per ft to the right.",
    "stack": "Roof falls 1/4 in per ft to the left.",
    "drain": "Roof falls 1/4 in per ft to the middle from both sides.",
    "expansion-joint": "Roof falls 1/4 in per ft away on both sides.",
}


@pytest.mark.parametrize("kind", FALLS)
def test_a_fall_is_told_as_it_is_drawn(kind: str) -> None:
    condition = CONDITIONS[kind]
    parameters = condition.parameters.model_validate({"id": "D1"})
    for slope, told in ((1 / 48, FALLS[kind]), (0.0, "")):
        site = Site(Roof(slope=slope), catalog(), catalog().rule_set("common-practice"))
        found = told_fall(condition.build(parameters, site), UnitSystem.FEET_INCHES)
        assert found == told
