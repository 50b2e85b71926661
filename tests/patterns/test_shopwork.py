"""What a shop bends: a profile for each metal bent by legs, a reason for the others."""

import pytest

from detailgen.catalog.lookups import Tables
from detailgen.conditions import CONDITIONS, Site
from detailgen.errors import Problem, UserError
from detailgen.parameters import Roof
from detailgen.patterns.shopwork import shopwork
from detailgen.section import METALS, LayeredSection
from tests.patterns.test_profiles import CATALOG, RULES, VARIANTS, _built

REASONS = {
    "stack": "lead is dressed by hand",
    "drain": "lead is dressed by hand",
    "deep-drain": "lead is dressed by hand",
    "vent-sleeve": "formed round",
    "equipment-support": "formed round",
}


def typical(kind: str) -> LayeredSection:
    condition = CONDITIONS[kind]
    return condition.build(condition.parameters(id="X1"), Site(Roof(), CATALOG, RULES))


@pytest.mark.parametrize("kind", CONDITIONS)
def test_every_metal_has_a_profile_or_a_reason(kind):
    section = typical(kind)
    work = shopwork(section, CATALOG)
    told = {p.name for p in work.profiles} | {one.name for one in work.left_out}
    assert told == {b.name for b in section.of_role(*METALS)}
    assert len({p.id for p in work.profiles}) == len(work.profiles)
    assert all(one.reason for one in work.left_out)


@pytest.mark.parametrize(("kind", "reason"), REASONS.items())
def test_what_is_not_bent_by_legs_says_why(kind, reason):
    out = shopwork(typical(kind), CATALOG).left_out
    assert any(reason in one.reason for one in out)


@pytest.mark.parametrize(("kind", "extra"), VARIANTS[:8])
def test_edges_and_walls_leave_out_nothing_but_bars(kind, extra):
    work = shopwork(_built(kind, extra), CATALOG)
    assert work.profiles
    assert {one.name for one in work.left_out} <= {"Termination bar, aluminium, 1/8 x 1 in"}


def test_two_that_are_made_alike_are_one_profile():
    section = typical("expansion-joint")
    names = [p.id for p in shopwork(section, CATALOG).profiles]
    assert names == ["counterflashing", "joint-cover"]
    assert section.body("counterflashing-right") is not None


def test_two_that_differ_by_the_slope_are_two_profiles():
    made = shopwork(typical("penetration-pocket"), CATALOG).profiles
    assert [p.id for p in made] == ["pan", "pan-right"]
    assert abs(made[0].developed - made[1].developed) > 1.0


@pytest.mark.parametrize("kind", ["penetration-pocket", "scupper"])
def test_a_pan_and_a_liner_are_made_to_fit_and_have_no_joint(kind):
    fitted = [p for p in shopwork(typical(kind), CATALOG).profiles if p.made_to_fit]
    assert fitted
    assert all(p.gap_drawn is None and p.lap_drawn is None for p in fitted)


def test_metal_without_bending_figures_is_left_out(monkeypatch):
    def none(*_):
        raise UserError([Problem("no figures")])

    monkeypatch.setattr(Tables, "bending", none)
    work = shopwork(typical("wall"), CATALOG)
    assert not work.profiles
    assert work.left_out[0].reason == "the catalogue has no figures for bending it"
