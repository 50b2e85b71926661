"""Takeoff of what the conditions build: nothing is forgotten, nothing is counted twice."""

import math

import pytest

from detailgen.catalog import load_catalog
from detailgen.conditions import CONDITIONS, Site
from detailgen.parameters import Roof
from detailgen.quantity import Measure, Per, Quantity
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
    ("curb", {"top": "unit"}),
    ("curb", {"top": "cap"}),
    ("expansion-joint", {}),
    ("expansion-joint", {"joint": "area-divider"}),
    ("independent-wall", {}),
    ("equipment-sleeper", {}),
    ("stack", {}),
    ("stack", {"pipe": "plastic"}),
    ("vent-sleeve", {}),
    ("vent-sleeve", {"hot": True}),
    ("penetration-pocket", {}),
    ("equipment-support", {}),
    ("drain", {}),
    ("drain", {"strainer": "flat"}),
    ("deep-drain", {}),
    ("deep-drain", {"clad_bond": "in-cement"}),
    ("scupper", {}),
    ("scupper", {"use": "overflow", "flashing": "granule-in-cement"}),
]
ALONG = {
    "wall",
    "roof-edge",
    "curb",
    "expansion-joint",
    "independent-wall",
    "equipment-sleeper",
}
"""Kinds that are the same all along; all others stand by themselves."""
NO_FLAME = {"drain", "deep-drain", "stack"}
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


@pytest.mark.parametrize(("kind", "extra", "method"), [c for c in CASES if c[0] in ALONG])
def test_a_sheet_takes_what_its_section_holds(kind, extra, method):
    """Volume by volume: per metre, width x thickness is the area of the section."""
    section, found = _taken(kind, extra, method)
    by_body = {i: q for q in found if q.measure is Measure.AREA for i in q.bodies}
    for body in section.of_role(*SHEETS, *METALS):
        if body.role in {Role.BASE_PLY, Role.FINISH_PLY} or body.by_others:
            continue  # they go on into the field, or are not bought
        line = by_body[body.id]
        area = sum(b.region.area for b in section.bodies if b.id in line.bodies)
        assert line.amount * 1000 * body.thickness == pytest.approx(area, rel=0.05)


@pytest.mark.parametrize(("kind", "extra", "method"), CASES)
def test_the_method_decides_what_is_spread(kind, extra, method):
    """Under a torch, cold adhesive is spread where no flame may come: beside a drain."""
    _, found = _taken(kind, extra, method)
    spread = {q.id for q in found if q.id in {"spread-bitumen", "spread-adhesive"}}
    asked = {
        Method.TORCH: set(),
        Method.HOT_ASPHALT: {"spread-bitumen"},
        Method.COLD_ADHESIVE: {"spread-adhesive"},
    }
    if method is Method.TORCH and kind in NO_FLAME:
        assert spread == {"spread-adhesive"}
    else:
        assert spread == asked[method]


@pytest.mark.parametrize(("kind", "extra", "method"), CASES)
def test_what_stands_by_itself_is_counted_by_the_piece(kind, extra, method):
    section, found = _taken(kind, extra, method)
    assert section.by_the_piece is (kind not in ALONG)
    assert {q.per for q in found} == {Per.METRE if kind in ALONG else Per.PIECE}
