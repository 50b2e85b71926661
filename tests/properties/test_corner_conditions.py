"""200 random corners of each kind: what is built keeps the rules of corners."""

from functools import cache

import pytest

from detailgen.catalog import load_catalog
from detailgen.checks import check
from detailgen.finding import Finding, Outcome
from detailgen.parameters import Placed
from detailgen.section import LayeredSection
from tests.sampling import Tally, samples

COUNT = 200
ALWAYS = {
    "bare_corner",
    "closed_pocket",
    "off_relief_cut",
    "open_pinhole",
    "panel_off_face",
    "solids_overlap",
    "unprepared_corner",
}
CATALOG = load_catalog()
RULES = CATALOG.rule_set("common-practice")
LAP = RULES.value("corner_lap_least")

Drawn = tuple[Placed, LayeredSection, dict[str, Finding]]


@cache
def drawn(kind: str) -> tuple[Drawn, ...]:
    tally, found = Tally(), []
    for condition, p, site in samples(kind, COUNT, 77, CATALOG, RULES, tally):
        section = condition.build(p, site)
        found.append((p, section, {f.rule: f for f in check(section, RULES, CATALOG)}))
    assert 0 < tally.rate < 0.7
    return tuple(found)


KINDS = pytest.mark.parametrize("kind", ["inside-corner", "outside-corner"])


@KINDS
def test_the_corner_is_covered_prepared_and_sealed(kind: str) -> None:
    for p, _, found in drawn(kind):
        for rule in ALWAYS:
            assert found[rule].outcome is Outcome.PASS, (rule, p)


@KINDS
def test_laps_are_short_only_where_the_job_makes_them_so(kind: str) -> None:
    rules = ["short_corner_lap"]
    if kind == "outside-corner":
        rules.append("short_corner_patch")
    seen = set()
    for p, _, found in drawn(kind):
        short = p.corner_lap is not None and p.corner_lap < LAP - 0.01
        seen.add(short)
        for rule in rules:
            assert (found[rule].outcome is Outcome.FAIL) == short, (rule, p)
    assert seen == {True, False}


@KINDS
def test_a_piece_wider_than_the_roll_is_told(kind: str) -> None:
    for p, section, found in drawn(kind):
        wide = max(min(piece.size) - piece.roll for piece in section.pieces)
        told = found["wide_corner_piece"].outcome is Outcome.FAIL
        assert told == (wide > 0.01), p


@KINDS
def test_every_angle_and_both_hands_come_up(kind: str) -> None:
    angles = [p.corner_angle for p, _, _ in drawn(kind)]
    assert min(angles) < 65.0
    assert max(angles) > 145.0
    assert {p.first_wall for p, _, _ in drawn(kind)} == {"left", "right"}
