"""Rules on stacks, sleeves, pockets, drains and scuppers at their limits, and just past.

Sections are built with what the rule measures given as a parameter: what is measured must
be what was given, and the finding must turn between the limit and just past it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import pytest

from detailgen.checks import REGISTRY
from detailgen.checks._case import Case
from detailgen.conditions import CONDITIONS, Site
from detailgen.finding import Finding, Outcome
from detailgen.geometry.regions import box
from detailgen.parameters import Roof
from detailgen.section import Bond, LayeredSection, Layout, Method, Role
from tests.checks.handmade import catalog

IN = 25.4
STACK, SLEEVE, POCKET = "stack", "vent-sleeve", "penetration-pocket"
DRAIN, DEEP, SCUPPER = "drain", "deep-drain", "scupper"
BOARDS = {"insulation": (1.5 * IN, 1.5 * IN)}
NOTHING: Mapping[str, object] = {}


def built(
    kind: str,
    parameters: Mapping[str, object] = NOTHING,
    roof: Mapping[str, object] = NOTHING,
    rules: str = "common-practice",
) -> LayeredSection:
    """Return a section with parameters, the others at their defaults."""
    data = catalog()
    site = Site(Roof(**{**BOARDS, **roof}), data, data.rule_set(rules))
    condition = CONDITIONS[kind]
    given = condition.parameters(id="L1", **parameters)  # type: ignore[arg-type]
    assert not condition.impossible(given, site)
    return condition.build(given, site)


def found(rule: str, section: LayeredSection, rules: str = "common-practice") -> Finding:
    """Return what one rule finds."""
    data = catalog()
    return REGISTRY[rule].find(Case(section, data.rule_set(rules), data))


@dataclass(frozen=True)
class Limit:
    """A rule whose measure is a parameter of a kind."""

    rule: str
    kind: str
    parameter: str
    limit: float
    past: float
    more: Mapping[str, object] = field(default_factory=dict)
    times: float = 1.0
    """What is measured, for each mm of the parameter."""


OVERFLOW = {"use": "overflow"}
LIMITS = (
    Limit("low_stack", STACK, "height", 6 * IN, 6 * IN - 0.1),
    Limit("short_turn_in", STACK, "turned_in", 2 * IN, 2 * IN - 0.1),
    Limit("narrow_flange_in_plan", STACK, "flange", 4 * IN, 4 * IN - 0.1),
    Limit("short_target_in_plan", POCKET, "strip_in", 4 * IN, 4 * IN - 0.1),
    Limit("short_target_in_plan", SCUPPER, "strip_in", 4 * IN, 4 * IN - 0.1),
    Limit("short_finish_lap", SLEEVE, "lap", 3 * IN, 3 * IN - 0.1),
    Limit("missing_foot_bead", STACK, "bead", IN / 4, IN / 4 - 0.1),
    Limit("missing_foot_bead", POCKET, "bead", IN / 4, IN / 4 - 0.1),
    Limit("low_sleeve", SLEEVE, "height", 8 * IN, 8 * IN - 0.1),
    Limit("short_collar_lap", SLEEVE, "cover_lap", 4 * IN, 4 * IN - 0.1),
    Limit("tight_hot_stack", SLEEVE, "air_gap", IN, IN - 0.1, {"hot": True}),
    Limit("low_pan", POCKET, "height", 4 * IN, 4 * IN - 0.1),
    Limit("flat_sealant", POCKET, "crown", IN / 8, IN / 8 - 0.1),
    Limit("small_drain_sheet", DRAIN, "sheet", 30 * IN, 30 * IN - 0.1),
    Limit("short_drain_target", DRAIN, "target", 4 * IN, 4 * IN - 0.1),
    Limit("dry_base_ply", DRAIN, "base_cement", 6 * IN, 6 * IN - 0.1),
    Limit("dry_target", DEEP, "target_cement", 6 * IN, 6 * IN - 0.1),
    Limit("narrow_sump", DRAIN, "sump", 48 * IN, 48 * IN - 0.2),
    Limit("low_strainer", DRAIN, "strainer_height", 4 * IN, 4 * IN - 0.1),
    Limit("short_clad_sheet", DEEP, "clad_past", 3 * IN, 3 * IN - 0.1),
    Limit("narrow_clad_border", DEEP, "clad_border", 4 * IN, 4 * IN - 0.1),
    Limit("low_scupper", SCUPPER, "opening_height", 4 * IN, 4 * IN - 0.1),
    Limit("narrow_scupper_flange", SCUPPER, "roof_flange", 4 * IN, 4 * IN - 0.1),
    Limit("narrow_scupper_flange", SCUPPER, "wall_flange", 4 * IN, 4 * IN - 0.1),
    Limit(
        "small_scupper",
        SCUPPER,
        "width",
        12 * IN,
        11.9 * IN,
        {**OVERFLOW, "drain": 4 * IN},
        1.0 / (4 * IN),
    ),
    Limit(
        "wrong_overflow_rise", SCUPPER, "rise", 2 * IN, 2 * IN - 0.1, {"use": "overflow"}
    ),
    Limit(
        "wrong_overflow_rise", SCUPPER, "rise", 2 * IN, 2 * IN + 0.1, {"use": "overflow"}
    ),
)


BY_HAND = frozenset({
    "backwater_finish_lap",
    "bare_wall_flange",
    "closed_strainer",
    "flame_on_lead",
    "high_sill",
    "lead_sleeve",
    "loose_under_ring",
    "shallow_grout",
    "short_clad_seam",
    "short_spout",
    "target_on_sump_edge",
})
"""Rules that have tests of their own below."""


@pytest.mark.parametrize("case", LIMITS, ids=lambda c: f"{c.rule}-{c.kind}-{c.parameter}")
def test_at_the_limit_it_passes_and_just_past_it_fails(case: Limit) -> None:
    for value, outcome in ((case.limit, Outcome.PASS), (case.past, Outcome.FAIL)):
        section = built(case.kind, {**case.more, case.parameter: value})
        told = found(case.rule, section)
        assert told.outcome is outcome, told
        assert told.actual.value == pytest.approx(value * case.times, abs=3e-3)
        assert told.where is not None
        assert bool(told.reason) == (outcome is Outcome.FAIL)


@pytest.mark.parametrize(("drop", "outcome"), [(0.5, Outcome.PASS), (0.1, Outcome.FAIL)])
def test_a_sill_lies_below_the_roof_beside_its_sump(drop: float, outcome: Outcome) -> None:
    thin, boards = {"sump_drop": max(drop, 0.125) * IN}, {"slope": 0.25 / 12}
    told = found("high_sill", built(SCUPPER, thin, boards))
    # flange, bed and metal lift the sill over the boards; two sheets lift the roof more
    over = (2.6 + 3.6) - (2.6 + IN / 16 + 0.0216 * IN)
    assert told.actual.value == pytest.approx(thin["sump_drop"] + over, abs=0.03)
    assert told.outcome is outcome


def test_the_spout_is_as_long_as_its_tip_is_past_the_wall() -> None:
    for more, outcome in ((0.0, Outcome.PASS), (-0.5, Outcome.FAIL)):
        told = found("short_spout", built(SCUPPER, {"spout": 3 * IN + more}))
        assert told.outcome is outcome
        # the tip is cut square to the drip: half of the metal's thickness, leaning, more
        assert told.actual.value == pytest.approx(3 * IN + more, abs=0.3)


@pytest.mark.parametrize(("gone", "count"), [("", 4), ("target", 3), ("finish-ply", 3)])
def test_what_lies_under_the_ring_is_counted_on_both_sides(gone: str, count: int) -> None:
    for side in ("", "-right"):
        section = built(DRAIN)
        if gone:
            section = section.without(gone + side)
        told = found("loose_under_ring", section)
        assert told.actual.value == pytest.approx(count)
        assert told.outcome is (Outcome.FAIL if gone else Outcome.PASS)


@pytest.mark.parametrize(("strainer", "halves"), [("dome", 3), ("flat", 4)])
def test_the_slots_of_a_strainer_are_measured_against_its_outlet(
    strainer: str, halves: int
) -> None:
    section = built(DRAIN, {"strainer": strainer})
    told = found("closed_strainer", section)
    assert told.outcome is Outcome.PASS
    assert told.required.amount.value == halves
    fewer = _without_part(section, "slot-1")
    less = found("closed_strainer", fewer)
    assert less.actual.value < told.actual.value
    bare = fewer
    for i in range(1, 60):
        bare = _without_part(bare, f"slot-{i}")
    none = found("closed_strainer", bare)
    assert none.outcome is Outcome.FAIL
    assert none.actual.value == 0.0


def _without_part(section: LayeredSection, part_id: str) -> LayeredSection:
    def left(layout: Layout) -> Layout:
        return replace(layout, parts=tuple(p for p in layout.parts if p.id != part_id))

    return replace(section, layouts=tuple(map(left, section.layouts)))


@pytest.mark.parametrize(
    ("reading", "width", "figure"),
    [("circumference", 12.57, 1.0), ("three-diameters", 12, 3), ("three-areas", 9.43, 3)],
)
def test_a_scupper_is_read_in_three_ways(reading: str, width: float, figure: float) -> None:
    """Widths by hand for a 4 in drain: pi x 4; 3 x 4; 3 x pi x 2^2 / 4 in high."""
    given = {"reading": reading, "drain": 4 * IN, "width": width * IN}
    told = found("small_scupper", built(SCUPPER, given))
    assert told.outcome is Outcome.PASS
    assert told.actual.value == pytest.approx(figure, rel=1e-3)
    narrow = found("small_scupper", built(SCUPPER, {**given, "width": width * IN - 2.0}))
    assert narrow.outcome is Outcome.FAIL


def test_grout_fills_half_of_the_pan() -> None:
    section = built(POCKET)
    assert found("shallow_grout", section).actual.value == pytest.approx(1.0)
    low = section.points["fill.bottom"][1]
    for name in ("grout", "grout-right"):
        body = section.body(name)
        assert body is not None
        x0, y0, x1, y1 = body.region.bounds
        section = section.with_region(name, box(x0, y0, x1, y1 - 1.0))
    told = found("shallow_grout", section)
    assert told.outcome is Outcome.FAIL
    assert told.where == (0.0, pytest.approx(y1 - 1.0))
    assert y1 - 1.0 > low


@pytest.mark.parametrize("kind", [STACK, SLEEVE])
def test_lead_is_told_where_the_set_takes_none(kind: str) -> None:
    lead = {"metal": "lead-3"} if kind == STACK else {}
    told = found("lead_sleeve", built(kind, lead), "canadian-manual")
    assert told.outcome is (Outcome.FAIL if lead else Outcome.PASS)
    assert found("lead_sleeve", built(kind, lead)).outcome is Outcome.NOT_APPLICABLE


@pytest.mark.parametrize("kind", [STACK, DRAIN, DEEP])
def test_no_flame_comes_to_lead(kind: str) -> None:
    torched = built(kind, {}, {"adhesion": Method.TORCH})
    told = found("flame_on_lead", torched)
    assert told.outcome is Outcome.PASS
    assert told.actual.value == 0.0
    lead = {b.id for b in torched.of_role(Role.SLEEVE, Role.DRAIN_LEAD)}
    joints = tuple(
        replace(j, bond=Bond.TORCHED)
        if j.lower in lead and j.upper in {"strip-in", "target"}
        else j
        for j in torched.joints
    )
    burnt = found("flame_on_lead", replace(torched, joints=joints))
    assert burnt.outcome is Outcome.FAIL
    assert burnt.actual.value > 50.0


def test_a_torched_finish_ply_stays_off_lead_by_the_targets_width() -> None:
    narrow = built(STACK, {"strip_in": 1.5 * IN}, {"adhesion": Method.TORCH})
    told = found("flame_on_lead", narrow)
    assert told.outcome is Outcome.FAIL
    assert told.actual.value == pytest.approx(2 * (50.0 - 1.5 * IN) / 2, abs=1.0)


def test_the_upslope_piece_lies_over_the_downslope_one() -> None:
    section = built(STACK)
    assert found("backwater_finish_lap", section).actual.value == 0

    def turned(layout: Layout) -> Layout:
        levels = {"finish-downslope": 4, "finish-upslope": 3}
        parts = tuple(replace(p, level=levels.get(p.id, p.level)) for p in layout.parts)
        return replace(layout, parts=parts)

    wrong = replace(section, layouts=tuple(map(turned, section.layouts)))
    assert found("backwater_finish_lap", wrong).actual.value == 1


def test_the_target_ends_off_the_edge_of_the_sump() -> None:
    """A 36 in sheet with a 6 in target is 48 in wide: it ends on the edge of the sump."""
    on = {"sheet": 36 * IN, "target": 6 * IN, "sump": 48 * IN}
    told = found("target_on_sump_edge", built(DRAIN, on))
    assert told.outcome is Outcome.FAIL
    assert told.actual.value == pytest.approx(0.0, abs=0.02)
    for target, outcome in ((5.0, Outcome.PASS), (5.1, Outcome.FAIL)):
        told = found("target_on_sump_edge", built(DRAIN, {**on, "target": target * IN}))
        assert told.outcome is outcome
        assert told.actual.value == pytest.approx((6.0 - target) * IN, abs=0.02)


def test_the_seam_of_a_clad_sheet_is_a_side_lap() -> None:
    told = found("short_clad_seam", built(DEEP))
    assert told.outcome is Outcome.PASS
    assert told.actual.value == pytest.approx(3 * IN)
    small = {"sheet": 24 * IN, "clad_past": 2 * IN}
    wide = found("short_clad_seam", built(DEEP, small, {"roll_width": 1100.0}))
    assert wide.outcome is Outcome.NOT_APPLICABLE


def test_sheets_of_the_wall_cover_the_flange_on_it() -> None:
    section = built(SCUPPER)
    assert found("bare_wall_flange", section).actual.value == 2
    one = section.without("flashing")
    assert found("bare_wall_flange", one).actual.value == 1
    bare = one.without("wall-strip")
    assert found("bare_wall_flange", bare).outcome is Outcome.FAIL


@pytest.mark.parametrize(
    ("rule", "kind", "gone"),
    [
        ("low_stack", STACK, "pipe"),
        ("short_turn_in", STACK, "sleeve-right"),
        ("low_sleeve", SLEEVE, "sleeve"),
        ("short_collar_lap", SLEEVE, "collar-right"),
        ("low_pan", POCKET, "pan-right"),
        ("flat_sealant", POCKET, "poured-sealant"),
        ("missing_foot_bead", POCKET, "foot-bead-right"),
        ("small_drain_sheet", DRAIN, "drain-metal-right"),
        ("short_drain_target", DRAIN, "target"),
        ("dry_base_ply", DRAIN, "base-ply-right"),
        ("dry_target", DRAIN, "target-right"),
        ("loose_under_ring", DRAIN, "clamping-ring"),
        ("low_strainer", DRAIN, "strainer"),
        ("closed_strainer", DRAIN, "strainer"),
        ("short_clad_sheet", DEEP, "clad-sheet"),
        ("narrow_clad_border", DEEP, "clad-sheet-right"),
        ("bare_wall_flange", SCUPPER, "liner-head"),
        ("low_scupper", SCUPPER, "liner"),
        ("high_sill", SCUPPER, "liner-head"),
    ],
)
def test_what_must_be_there_and_is_not_fails_on_either_side(
    rule: str, kind: str, gone: str
) -> None:
    told = found(rule, built(kind).without(gone))
    assert told.outcome is Outcome.FAIL
    assert told.where is not None
    assert told.reason
    if gone.endswith("-right") and told.view == "section":
        assert told.where[0] >= 0.0
