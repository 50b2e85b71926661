"""Clear distances between conditions: how they are told, measured and held to the rules."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

import pytest

from detailgen.catalog import RuleSet, load_catalog
from detailgen.checks import REGISTRY, examine
from detailgen.conditions import CONDITIONS, Site
from detailgen.errors import UserError
from detailgen.finding import Finding, Outcome
from detailgen.loader import load_job
from detailgen.neighbours import face, neighbour_of, reach
from detailgen.parameters import Roof
from detailgen.pipeline import check_job
from detailgen.section import LayeredSection, Neighbour, Stand
from detailgen.units import MM_PER_INCH as IN

CATALOG = load_catalog()
RULES = CATALOG.rule_set("common-practice")
JOB = """
[project]
name = "Ferry hall"

[[condition]]
id = "S1"
kind = "stack"

[[condition]]
id = "D1"
kind = "drain"

[[condition]]
id = "W1"
kind = "wall"
"""


def section_of(kind: str, **values: object) -> LayeredSection:
    parameters = CONDITIONS[kind].parameters.model_validate({"id": "D1", **values})
    return CONDITIONS[kind].build(parameters, Site(Roof.model_validate({}), CATALOG, RULES))


def found(
    rule: str,
    kind: str,
    near: Neighbour,
    rules: RuleSet = RULES,
    values: Mapping[str, object] = MappingProxyType({}),
) -> Finding:
    section = replace(section_of(kind, **values), neighbours=(near,))
    return examine(section, rules, CATALOG)(rule)


def at(stand: Stand, clear: float, *, hot: bool = False, reach: float = 0.0) -> Neighbour:
    return Neighbour("N1", stand, hot, clear * IN, reach * IN)


PAIRS = [
    # MRCA magazine, December 2025 (read): 12 in between penetrations, to walls and edges
    ("stack", {}, Stand.PIPE, False, 12.0),
    ("stack", {}, Stand.WALL, False, 12.0),
    ("stack", {}, Stand.CURB, False, 12.0),
    ("roof-edge", {}, Stand.PIPE, False, 12.0),
    # the same: drains 24 in clear of walls, roof edges and hot stacks
    ("drain", {}, Stand.WALL, False, 24.0),
    ("drain", {}, Stand.EDGE, False, 24.0),
    ("drain", {}, Stand.PIPE, True, 24.0),
    ("vent-sleeve", {"hot": True}, Stand.DRAIN, False, 24.0),
    ("drain", {}, Stand.PIPE, False, 12.0),
    # guideline of a roofing manual (memory)
    ("curb", {}, Stand.CURB, False, 24.0),
    ("wall", {}, Stand.CURB, False, 24.0),
]


@pytest.mark.parametrize(("kind", "values", "stand", "hot", "asked"), PAIRS)
def test_each_pair_is_held_to_its_own_row(
    kind: str, values: dict[str, object], stand: Stand, hot: bool, asked: float
) -> None:
    for clear, outcome in ((asked, Outcome.PASS), (asked - 1 / 16, Outcome.FAIL)):
        finding = found(
            "crowded_neighbours", kind, at(stand, clear, hot=hot), values=values
        )
        assert finding.outcome is outcome
        assert finding.required.amount.value == pytest.approx(asked * IN)


def test_navy_guides_ask_more_of_pipes() -> None:
    # NAVFAC guides (read): at least 18 in apart and 18 in from walls or other verticals
    navy = CATALOG.rule_set("navy-guides")
    for stand in (Stand.PIPE, Stand.WALL):
        near = at(stand, 17.0)
        assert found("crowded_neighbours", "stack", near, navy).outcome is Outcome.FAIL
        near = at(stand, 18.0)
        assert found("crowded_neighbours", "stack", near, navy).outcome is Outcome.PASS


@pytest.mark.parametrize(
    ("kind", "stand"), [("roof-edge", Stand.WALL), ("wall", Stand.WALL)]
)
def test_pairs_of_which_no_rule_speaks_are_left_to_the_sheets(
    kind: str, stand: Stand
) -> None:
    near = at(stand, 1.0)
    assert found("crowded_neighbours", kind, near).outcome is Outcome.NOT_APPLICABLE
    assert found("meeting_sheets", kind, near).outcome is Outcome.FAIL


def test_flanges_of_pipes_18_in_apart_leave_too_little_for_two_strip_ins() -> None:
    # 4 1/2 in pipes at 18 in centres are 13 1/2 in clear; flanges of 4 in leave 5 1/2 in,
    # and two strip-ins of 4 in need 8 in (computed)
    flange_and_strip = 4.0 + 4.0
    section = section_of("stack", pipe_diameter="4.5 in")
    assert reach(section) == pytest.approx(flange_and_strip * IN, abs=0.5 * IN)
    near = at(Stand.PIPE, 13.5, reach=flange_and_strip)
    finding = found("meeting_sheets", "stack", near, values={"pipe_diameter": "4.5 in"})
    assert finding.outcome is Outcome.FAIL
    assert finding.actual.value == pytest.approx((5.5 - 8.0) * IN, abs=0.5 * IN)


def test_a_free_section_does_not_say_what_it_is_to_its_neighbours() -> None:
    assert neighbour_of(section_of("free-section"), "F1", 100.0) is None


@pytest.mark.parametrize("kind", sorted({*CONDITIONS} - {"free-section"}))
def test_every_kind_has_a_face_and_sheets_that_come_out_from_it(kind: str) -> None:
    section = section_of(kind)
    assert section.stand is not None
    assert section.extent.bounds[0] < face(section) < section.extent.bounds[2]
    assert 0 < reach(section) < face(section) - section.extent.bounds[0]


def test_sheets_that_come_out_further_meet_sooner() -> None:
    narrow, wide = section_of("wall"), section_of("wall", flashing_reach="9 in")
    assert reach(wide) > reach(narrow) + IN
    both = neighbour_of(narrow, "W1", 100.0), neighbour_of(wide, "W2", 100.0)
    assert [n.reach for n in both if n] == [reach(narrow), reach(wide)]


def test_sheets_may_come_as_near_as_to_touch() -> None:
    own = reach(section_of("wall"))
    for clear, outcome in ((own, Outcome.PASS), (own - 0.5, Outcome.FAIL)):
        near = at(Stand.WALL, clear / IN)
        assert found("meeting_sheets", "wall", near).outcome is outcome


def test_the_nearest_is_told() -> None:
    near = (at(Stand.PIPE, 30.0), replace(at(Stand.WALL, 9.0), mark="W7"))
    section = replace(section_of("stack"), neighbours=near)
    finding = examine(section, RULES, CATALOG)("crowded_neighbours")
    assert "W7" in finding.reason
    assert finding.actual.value == pytest.approx(9.0 * IN)


def test_without_distances_neither_rule_applies() -> None:
    examined = examine(section_of("stack"), RULES, CATALOG)
    for rule in ("crowded_neighbours", "meeting_sheets"):
        assert rule in REGISTRY
        assert examined(rule).outcome is Outcome.NOT_APPLICABLE


def test_a_distance_is_asked_of_both_conditions(tmp_path: Path) -> None:
    file = tmp_path / "job.toml"
    file.write_text(JOB + '[[distance]]\nof = "S1"\nto = "D1"\nclear = "10 in"\n')
    checked = {c.placed.id: c for c in check_job(load_job(file))}
    for mark, other in (("S1", "D1"), ("D1", "S1")):
        failing = {f.rule: f for f in checked[mark].failures}
        assert other in failing["crowded_neighbours"].reason
    assert not checked["W1"].section.neighbours


MISTAKES = [
    ('of = "S9"\nto = "D1"\nclear = "1 ft"', "no condition has this id"),
    ('of = "S1"\nto = "S1"\nclear = "1 ft"', "no distance to itself"),
    ('of = "S1"\nto = "D1"\nclear = "-1 in"', "clear"),
    ('of = "S1"\nto = "D1"', "clear"),
    ('of = "S1"\nto = "D1"\nclear = 12', "clear"),
    ('of = "S1"\nto = 5\nclear = "1 ft"', "to"),
]


@pytest.mark.parametrize(("table", "told"), MISTAKES)
def test_mistakes_in_a_distance_are_told(tmp_path: Path, table: str, told: str) -> None:
    file = tmp_path / "job.toml"
    file.write_text(f"{JOB}\n[[distance]]\n{table}\n")
    with pytest.raises(UserError) as caught:
        load_job(file)
    assert any(told in f"{p.key} {p.message}" for p in caught.value.problems)


def test_a_pair_is_told_once(tmp_path: Path) -> None:
    one = '[[distance]]\nof = "S1"\nto = "D1"\nclear = "3 ft"\n'
    other = '[[distance]]\nof = "D1"\nto = "S1"\nclear = "4 ft"\n'
    file = tmp_path / "job.toml"
    file.write_text(JOB + one + other)
    with pytest.raises(UserError, match="told twice"):
        load_job(file)
