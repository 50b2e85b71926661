"""The same rules at each stage of building; at the hold point one sheet keeps water out."""

from dataclasses import replace
from itertools import pairwise

import pytest

from detailgen.checks import REGISTRY, check, check_stages
from detailgen.finding import Outcome
from detailgen.section import Bond, LayeredSection, Role
from detailgen.waterpath import ways
from tests.checks.handmade import catalog, find, wall
from tests.checks.mutating import At, bonded, cut, edge_of, gone, moved, slit_square
from tests.checks.rows_both import STRIP
from tests.checks.variants import BASES, Base, failing

WHOLE = [code for code, base in BASES.items() if not base.only]


def at_stages(base: Base, section: LayeredSection) -> dict[int, set[str]]:
    """Return the rules that fail at each stage."""
    found = check_stages(section, base.rules, catalog())
    return {n: failing({f.rule: f for f in these}) for n, these in found.items()}


# --- the section as built so far ----------------------------------------------------------


@pytest.mark.parametrize("code", ["W2", "W5", "E1", "E7"])
def test_a_section_grows_stage_by_stage(code: str) -> None:
    section = BASES[code].section
    before: set[str] = set()
    for stage in section.stages:
        built = section.at_stage(stage.number)
        ids = {b.id for b in built.bodies}
        assert before <= ids
        assert {b.stage for b in built.bodies} <= set(range(stage.number + 1))
        assert all({j.upper, j.lower} <= ids for j in built.joints)
        assert all(c.body in ids and c.stage <= stage.number for c in built.coats)
        assert built.stages[-1] == stage
        assert built.points == section.points
        before = ids
    assert before == {b.id for b in section.bodies}
    last = section.at_stage(section.stages[-1].number)
    assert (last.joints, last.coats, last.layouts) == (
        section.joints,
        section.coats,
        section.layouts,
    )


def test_a_layout_shows_what_is_built() -> None:
    section = BASES["E1"].section
    plan = section.at_stage(2).layout("flange-plan")
    assert plan is not None
    assert {p.role for p in plan.parts} == {Role.NAILER, Role.BASE_PLY}
    assert not plan.marks
    cleat = section.at_stage(3).layout("flange-plan")
    assert cleat is not None
    assert {m.role for m in cleat.marks} == {Role.CLEAT}
    metal = section.at_stage(4).layout("flange-plan")
    assert metal is not None
    assert len(metal.of_role(Role.EDGE_METAL)) == 2
    assert metal.of_role(Role.BACKING_PLATE)
    assert not metal.of_role(Role.STRIP_IN)


# --- rules at stages ----------------------------------------------------------------------


@pytest.mark.parametrize("code", WHOLE)
def test_no_stage_of_a_sound_section_breaks_a_rule(code: str) -> None:
    base = BASES[code]
    broken = at_stages(base, base.section)
    assert list(broken) == [s.number for s in base.section.stages]
    assert set().union(*broken.values()) <= {"tall_flashing"}


@pytest.mark.parametrize("code", ["W1", "W6", "E1", "E8", "E9"])
def test_each_rule_is_asked_from_the_stage_on_at_which_it_can_be(code: str) -> None:
    base = BASES[code]
    found = check_stages(base.section, base.rules, catalog())
    always = {rule for rule, made in REGISTRY.items() if not made.at_rest}
    asked = {n: {f.rule for f in these} for n, these in found.items()}
    assert all(a & always <= b for a, b in pairwise(asked.values()))
    assert asked[max(asked)] == set(REGISTRY)
    hold = {s.number for s in base.section.stages if s.hold}
    watched = {n for n, rules in asked.items() if "backwater_lap" in rules}
    assert watched == hold | {max(asked)}
    for number, these in found.items():
        assert {f.stage for f in these} == {number}
        idle = [f for f in these if f.outcome is not Outcome.NOT_APPLICABLE]
        assert not [f for f in idle if f.actual.words == "nothing to measure"]


def test_the_last_stage_finds_what_the_finished_section_does() -> None:
    base = BASES["W4"]
    found = check_stages(base.section, base.rules, catalog())
    last = [replace(f, stage=0) for f in found[max(found)]]
    assert last == list(check(base.section, base.rules, catalog()))


def test_a_fault_is_found_at_the_stage_at_which_it_is_built() -> None:
    base = BASES["W1"]
    broken = at_stages(base, moved("cant", 0.0, -1.0)(base, base.section))
    assert "solids_overlap" not in broken[1]
    assert "solids_overlap" in broken[2]
    base = BASES["E1"]
    broken = at_stages(base, gone("nail-1", "nail-2", "cleat-nail-1")(base, base.section))
    assert "short_nail_bite" not in broken[3]
    assert "short_nail_bite" in broken[4]


def test_a_rule_without_its_body_is_asked_of_the_finished_work() -> None:
    section = BASES["W1"].section
    rule = REGISTRY["short_strip_in_at_toe"]
    assert rule.due(section) == 4
    assert rule.due(section.without("strip-in")) == section.stages[-1].number
    assert REGISTRY["solids_overlap"].due(section) == 0
    assert REGISTRY["narrow_prepared_band"].due(section) == 6
    assert rule.due(wall()) == 0


# --- the hold point -----------------------------------------------------------------------

RULE = "leaky_hold_point"


def held(base: Base, section: LayeredSection) -> str:
    """Return why work cannot wait; nothing when it can."""
    found = base.find(section)[RULE]
    assert found.outcome is not Outcome.NOT_APPLICABLE
    return found.reason


@pytest.mark.parametrize("code", ["W1", "W4", "W5", "W9", "W10"])
def test_a_wall_waits_with_one_sheet(code: str) -> None:
    base = BASES[code]
    assert not held(base, base.section)
    face = ("cant.toe", "cant.top")
    open_cant = slit_square(("base-ply", "strip-in"), face, 0.5, 5)
    assert held(base, open_cant(base, base.section)) == (
        "After stage 4 (strip-in ply) no sheet lies here yet."
    )
    one = slit_square("base-ply", face, 0.5, 5, "strip-in")
    assert not held(base, one(base, base.section))
    wall_body = ["wall", "wall-board?", "wall-sheathing?"]
    off = bonded("strip-in", wall_body, Bond.DRY)
    assert held(base, off(base, base.section)) == (
        "After stage 4 (strip-in ply) the lap of strip-in and the wall is open."
    )


@pytest.mark.parametrize("code", ["E1", "E7", "E9", "E10"])
def test_an_edge_waits_with_one_sheet(code: str) -> None:
    base = BASES[code]
    assert not held(base, base.section)
    loose = bonded("strip-in", ["base-ply"], Bond.DRY)
    assert held(base, loose(base, base.section)) == (
        "After stage 5 (strip-in ply) the lap of base-ply and strip-in is open."
    )
    off = bonded("strip-in", ["edge-metal"], Bond.DRY)
    assert "strip-in and the metal is open" in held(base, off(base, base.section))
    assert "no sheet lies here" in held(base, gone("strip-in")(base, base.section))
    assert not held(base, STRIP(base, base.section))


def test_sheets_that_only_meet_are_no_lap() -> None:
    base = BASES["E1"]
    section = base.section
    flange = edge_of("edge-metal", "left").of(base, section)
    at = At("the end of the flange", lambda _, __: flange - 20.0)
    met = cut("base-ply", {"right": at}) & cut("strip-in", {"left": at}, "finish-ply")
    assert "open" in held(base, met(base, section))


@pytest.mark.parametrize("code", WHOLE)
def test_the_water_path_agrees_that_work_can_wait(code: str) -> None:
    base = BASES[code]
    hold = next(s for s in base.section.stages if s.hold)
    low = [w for w in ways(base.section.at_stage(hold.number), base.rules) if w.low]
    assert low
    assert min(w.figure for w in low) >= 1.0
    before = ways(base.section.at_stage(hold.number - 1), base.rules)
    if base.kind == "wall":  # without the strip-in, the end of the base ply is open
        assert min(w.figure for w in before if w.low) < 1.0


def test_a_lap_that_is_too_short_is_found_by_the_water_path() -> None:
    base = BASES["W1"]
    near = slit_square(("strip-in", "finish-ply"), ("cant.toe", "cant.top"), 0.9, 3)
    assert held(base, near(base, base.section)).startswith(
        "After stage 4 (strip-in ply) water has to pass only 0."
    )


def test_without_a_hold_point_nothing_waits() -> None:
    base = BASES["W1"]
    stages = tuple(replace(s, hold=False) for s in base.section.stages)
    made = replace(base.section, stages=stages)
    found = base.find(replace(made, never_idle=frozenset()))[RULE]
    assert found.outcome is Outcome.NOT_APPLICABLE
    assert "waits" in found.reason
    assert base.find(made)[RULE].outcome is Outcome.FAIL  # it may not be idle here
    empty = find(RULE, wall())
    assert empty.outcome is Outcome.NOT_APPLICABLE


def test_a_lap_is_watched_as_it_waits_and_as_finished() -> None:
    base = BASES["W10"]  # the roof falls to the wall
    loose = bonded("strip-in", ["base-ply"], Bond.DRY)(base, base.section)
    found = base.find(loose)["backwater_lap"]
    assert found.outcome is Outcome.FAIL
    assert found.reason == "strip-in begins on top of base-ply and faces the water."
    assert found.bodies == ("base-ply", "strip-in")
