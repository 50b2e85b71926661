"""Takeoff of what the conditions build: nothing is forgotten, nothing is counted twice."""

import math

import pytest

from detailgen.catalog import load_catalog
from detailgen.conditions import CONDITIONS, Site
from detailgen.parameters import Roof
from detailgen.quantity import Measure, Quantity
from detailgen.section import METALS, SHEETS, LayeredSection, Method, Role
from detailgen.takeoff import take_off

CATALOG = load_catalog()
RULES = CATALOG.rule_set("common-practice")
FIELD = {Role.DECK, Role.WALL, Role.INSULATION, Role.COVER_BOARD}
BUILT = [
    ("wall", {"termination": "reglet"}),
    ("wall", {"termination": "surface"}),
    ("wall", {"termination": "coping"}),
    ("roof-edge", {"edge": "raised"}),
    ("roof-edge", {"edge": "flush"}),
    ("roof-edge", {"edge_strip": True}),
]
CASES = [(kind, extra, method) for kind, extra in BUILT for method in Method]


def _taken(kind: str, extra: dict, method: Method) -> tuple[LayeredSection, list[Quantity]]:
    condition = CONDITIONS[kind]
    parameters = condition.parameters(id="X1", **extra)
    section = condition.build(parameters, Site(Roof(adhesion=method), CATALOG, RULES))
    return section, list(take_off(section, CATALOG, RULES))


@pytest.mark.parametrize(("kind", "extra", "method"), CASES)
def test_every_line_of_a_takeoff_can_be_used(kind, extra, method):
    _, found = _taken(kind, extra, method)
    ids = [q.id for q in found]
    assert len(ids) == len(set(ids))
    for quantity in found:
        assert math.isfinite(quantity.amount)
        assert quantity.amount > 0
        assert quantity.material in CATALOG.materials
        assert quantity.label
        assert quantity.formula
        assert quantity.source


@pytest.mark.parametrize(("kind", "extra", "method"), CASES)
def test_every_body_that_is_bought_is_counted(kind, extra, method):
    section, found = _taken(kind, extra, method)
    counted = {body for q in found for body in q.bodies}
    bought = {b.id for b in section.bodies if b.role not in FIELD | {Role.FASTENER}}
    assert bought <= counted
    fasteners = {b.id for b in section.of_role(Role.FASTENER)}
    shown = {m.body for layout in section.layouts for m in layout.marks}
    assert fasteners & shown <= counted


@pytest.mark.parametrize(("kind", "extra", "method"), CASES)
def test_a_sheet_takes_what_its_section_holds(kind, extra, method):
    """Volume by volume: per metre, width x thickness is the area of the section."""
    section, found = _taken(kind, extra, method)
    widths = {q.id: q.amount * 1000 for q in found if q.measure is Measure.AREA}
    for body in section.of_role(*SHEETS, *METALS):
        if body.role in {Role.BASE_PLY, Role.FINISH_PLY}:
            continue  # they go on into the field
        assert widths[body.id] * body.thickness == pytest.approx(body.region.area, rel=0.05)


@pytest.mark.parametrize(("kind", "extra", "method"), CASES)
def test_the_method_decides_what_is_spread(kind, extra, method):
    _, found = _taken(kind, extra, method)
    spread = {q.id for q in found if q.id in {"spread-bitumen", "spread-adhesive"}}
    asked = {
        Method.TORCH: set(),
        Method.HOT_ASPHALT: {"spread-bitumen"},
        Method.COLD_ADHESIVE: {"spread-adhesive"},
    }
    assert spread == asked[method]
