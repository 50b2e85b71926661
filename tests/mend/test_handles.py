"""What may be changed: values on the grid of steps, within the declared ranges."""

from fractions import Fraction

import pytest

from detailgen.catalog import load_catalog
from detailgen.conditions import CONDITIONS, Site
from detailgen.mend._handles import Handle, Sort, Tier, handles
from detailgen.mend._written import written
from detailgen.parameters import FROM_FILE, Placed, Roof
from detailgen.units import UnitSystem, inches, parse_length

CATALOG = load_catalog()
INCH, METRIC = UnitSystem.FEET_INCHES, UnitSystem.MILLIMETRES


def by_key(kind: str, system: UnitSystem = INCH, roof: Roof | None = None, **values):
    condition = CONDITIONS[kind]
    site = Site(roof or Roof(), CATALOG, CATALOG.rule_set("common-practice"))
    parameters = condition.parameters(id="X1", **values)
    return {(h.key, h.layer): h for h in handles(condition, parameters, site, system)}


def one(key: str, system: UnitSystem = INCH, kind: str = "wall", **values) -> Handle:
    return by_key(kind, system, **values)[key, None]


def test_a_given_length_on_the_grid_moves_by_whole_steps():
    handle = one("flashing_height", flashing_height=inches(8))
    assert [r.value for r in handle.up[:2]] == [204.7875, 206.375]
    assert [r.steps for r in handle.up[:2]] == [1, 2]
    assert handle.down[0].value == parse_length("7 15/16 in")
    assert handle.up[-1].value == parse_length("60 in")
    assert handle.down[-1].value == parse_length("3 in")


def test_a_length_off_the_grid_has_a_shorter_first_step():
    handle = one("flashing_height", METRIC, flashing_height=200.3)
    assert [(r.value, r.steps) for r in handle.up[:2]] == [(201.0, 1), (202.0, 2)]
    assert [(r.value, r.steps) for r in handle.down[:2]] == [(200.0, 1), (199.0, 2)]


def test_one_left_to_its_default_can_be_held_to_it():
    handle = one("flashing_height")
    assert not handle.given
    assert handle.now == inches(8)
    assert (handle.up[0].value, handle.up[0].steps) == (inches(8), 0)
    assert handle.up[1].steps == 1


@pytest.mark.parametrize("system", [INCH, METRIC])
@pytest.mark.parametrize("kind", CONDITIONS)
def test_every_value_is_one_that_a_file_may_hold(kind: str, system: UnitSystem):
    condition = CONDITIONS[kind]
    for (key, layer), handle in by_key(kind, system).items():
        for value in (*handle.up[:1], *handle.up[-1:], *handle.down[-1:]):
            text = written(value.value, handle.sort, system)
            if handle.tier in {Tier.OWN_NUMBER, Tier.OWN_KIND}:
                model, values = condition.parameters, {"id": "X1", key: text}
            else:
                listed = [text] if layer is not None else text
                model, values = Roof, {key: listed}
            read = getattr(model.model_validate(values, context={FROM_FILE: True}), key)
            assert (read[0] if layer is not None else read) == value.value


@pytest.mark.parametrize("kind", CONDITIONS)
def test_every_parameter_of_a_kind_can_be_changed(kind: str):
    fields = CONDITIONS[kind].parameters.model_fields
    settled = {
        name
        for name, info in fields.items()
        if info.default == () or "settled" in (info.json_schema_extra or ())
    }
    own = set(fields) - set(Placed.model_fields) - settled
    found = {key for key, _ in by_key(kind) if key in own}
    given = {"corner_angle"}  # the building's own: no mend turns a wall
    assert found == own - given


def test_kinds_offer_their_other_choices_and_materials_of_their_family():
    handle = one("cant_material")
    assert handle.others == ("wood-fibre", "wood")
    roof = by_key("wall")["base_ply", None]
    assert roof.tier is Tier.ROOF_KIND
    assert "base-ply-glass-smooth" not in roof.others
    assert roof.others
    assert by_key("roof-edge")["cleat", None].others == (False,)


def test_layers_are_changed_one_by_one_and_one_can_be_added():
    found = by_key("wall", roof=Roof(insulation=(25.4, 50.8)))
    assert [found["insulation", n].now for n in range(3)] == [25.4, 50.8, 0.0]
    assert found["insulation", 2].up[0].value == parse_length("1/2 in")
    assert found["insulation", 2].up[0].steps == 8
    full = by_key("wall", roof=Roof(insulation=(25.4, 25.4, 25.4)))
    assert ("insulation", 3) not in full


def test_what_is_kept_is_no_handle():
    condition = CONDITIONS["wall"]
    site = Site(Roof(), CATALOG, CATALOG.rule_set("common-practice"))
    kept = frozenset({"flashing_height", "roof.slope"})
    found = handles(condition, condition.parameters(id="X1"), site, INCH, kept)
    assert not {"flashing_height", "slope"} & {h.key for h in found}
    assert not any(
        h.tier in {Tier.ROOF_NUMBER, Tier.ROOF_KIND}
        for h in handles(
            condition, condition.parameters(id="X1"), site, INCH, frozenset({"roof"})
        )
    )
    assert [h.number for h in found] == list(range(len(found)))


def test_other_steps_can_be_asked():
    condition = CONDITIONS["wall"]
    site = Site(Roof(), CATALOG, CATALOG.rule_set("common-practice"))
    coarse = {Sort.LENGTH: Fraction(254, 10)}
    found = handles(condition, condition.parameters(id="X1"), site, INCH, steps=coarse)
    lap = next(h for h in found if h.key == "flashing_reach")
    assert [r.value for r in lap.up] == [parse_length(f"{n} in") for n in range(4, 17)]
