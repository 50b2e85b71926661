"""At which stage it shows that work has strayed."""

import pytest

from detailgen.conditions import CONDITIONS, Site
from detailgen.margins import shown_at
from detailgen.parameters import Roof
from tests.sheet.asked import catalog


def found(kind: str):
    condition = CONDITIONS[kind]
    site = Site(Roof(), catalog(), catalog().rule_set("common-practice"))
    given = condition.parameters(id="D1")
    at = shown_at(condition, given, site, catalog().tolerances.values())
    section = condition.build(given, site)
    names = {s.number: s.name for s in section.stages}
    return {
        t.id: names.get(number, "before") for number, these in at.items() for t in these
    }


def test_a_wall_shows_each_at_its_stage() -> None:
    at = found("wall")
    assert at["roof_sags"] == "before"
    assert found("curb")["curb_low"] == "before"
    assert at["cant_small"] == "Cant"
    assert at["strip_in_cut_short"] == "Strip-in ply"
    assert at["band_snapped_short"] == "Prepare"
    assert at["flashing_cut_short"] == "Flashing sheet"
    assert at["side_lap_short"] == "Flashing sheet"  # only the elevation shows it


def test_a_roof_edge_shows_each_at_its_stage() -> None:
    at = found("roof-edge")
    assert at["nailer_low"] == at["nailer_narrow"] == "Nailers"
    assert at["drop_cut_short"] == "Base ply"
    assert at["flange_narrow"] == at["plate_off"] == "Edge metal"
    assert at["edge_strip_in_cut_short"] == "Strip-in ply"


@pytest.mark.parametrize("kind", CONDITIONS)
def test_every_kind_has_some(kind: str) -> None:
    at = found(kind)
    assert at
    meant = {t.id for t in catalog().tolerances.values() if {kind, "any"} & {*t.kinds}}
    assert set(at) <= meant
