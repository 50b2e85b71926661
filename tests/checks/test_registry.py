"""The registry against the rule sets; what findings say; how rules deal with nothing."""

from dataclasses import replace

import pytest

from detailgen.catalog import with_rule_overrides
from detailgen.checks import REGISTRY, check
from detailgen.checks._case import Case
from detailgen.checks._rule import meets
from detailgen.conditions import CONDITIONS
from detailgen.finding import Amount, Outcome, Relation, Requirement, Severity, Unit
from detailgen.geometry import Line
from detailgen.geometry.regions import box
from detailgen.parameters import RuleOverride
from detailgen.section import Bond, Coat, LayeredSection, Method, Role
from tests.checks.handmade import body, catalog, edge, find, joint, layout, part, rect, wall

FOR_QUANTITIES = {"end_lap_least"}
"""Rows that no drawn layout shows: roof sheets are counted with them, not drawn."""
FOR_BUILDERS = {"drain_sheet_of_copper"}
"""Switches that say what is taken where the job says nothing; either is right to see."""


NARROW = box(-90.0, -300.0, 250.0, 900.0)
NO_FIELD = wall(rect(Role.DECK, -90, -50, 0, 0), extent=NARROW)
NO_FIELD_ON_FLUTES = wall(
    rect(Role.DECK, -90, -50, 0, 0, material="deck-steel"), extent=NARROW
)
_BED, _SHEET = rect(Role.CEMENT, -2, 90, 0, 300), rect(Role.FLASHING, -6, 90, -2, 300)
IN_CEMENT = wall(
    _BED, _SHEET, joints=[joint(_SHEET, _BED, Bond.CEMENT, (-2, 90), (-2, 300))]
)
CLEAT_WITHOUT_NAILS = edge(
    layout=layout("flange-plan", [part(Role.CLEAT, 0, 200, 600, 212)])
)


@pytest.mark.parametrize("name", catalog().rule_sets)
def test_rules_read_rows_that_exist_and_leave_none_unread(name: str) -> None:
    read = {row for c in REGISTRY.values() for row in (*c.rows, c.high_row) if row}
    rows = set(catalog().rule_set(name).rows)
    assert read <= rows
    assert rows - read == FOR_QUANTITIES | FOR_BUILDERS


@pytest.mark.parametrize("rule", REGISTRY)
def test_a_rule_explains_itself(rule: str) -> None:
    found = REGISTRY[rule]
    assert found.id == rule
    guards, _, measured = found.page.partition("\n\n")
    assert guards.startswith(("Guards", "Keeps", "Warns"))
    assert measured
    assert found.wrong.endswith(".")


def test_every_rule_reports_once_in_the_order_of_the_registry() -> None:
    data = catalog()
    for made in (wall(), edge()):
        found = check(made, data.rule_set("common-practice"), data)
        assert [f.rule for f in found] == list(REGISTRY)
        for finding in found:
            assert finding.title
            assert finding.source
            assert (finding.where is None) == (finding.outcome is Outcome.NOT_APPLICABLE)
            assert bool(finding.reason) == (finding.outcome is not Outcome.PASS)


def test_a_rule_of_the_other_kind_is_idle_with_a_reason() -> None:
    assert (
        find("thin_flange_cover", wall()).reason == "there is no roof edge in this section"
    )
    assert find("low_flashing", edge()).reason == "there is no wall in this section"


@pytest.mark.parametrize(
    ("rule", "made", "reason"),
    [
        ("short_upper_lap", wall(), "no upper sheet"),
        ("thin_cover_on_roof", NO_FIELD, "no roof field"),
        ("unspanned_flutes", NO_FIELD_ON_FLUTES, "no roof field"),
        ("thin_cover_on_cant", wall(points={"cant.top": (-90, 0)}), "no face"),
        ("sparse_top_fasteners", IN_CEMENT, "no elevation"),
        (
            "short_counterflashing_end_lap",
            wall(points={"cf.hem": (0, 120)}),
            "no elevation",
        ),
        (
            "thin_metal",
            edge(rect(Role.COPING, 0, 0, 1, 1, material="cover-board")),
            "this kind of metal",
        ),
        ("short_counterflashing_lap", wall(), "coping"),
        ("short_counterflashing_end_lap", wall(), "coping"),
        ("low_hem", wall(), "coping"),
        ("low_hem", wall(points={"cf.hem": (0, 120)}), "no counterflashing"),
        ("shallow_reglet", wall(), "not held in a reglet"),
        ("low_reglet", wall(), "not held in a reglet"),
        ("low_reglet", wall(points={"reglet.mouth": (0, 250)}), "asks no height"),
        ("short_coping_face", wall(), "no coping"),
        ("tall_flashing", wall(), "no flashing sheet"),
        ("high_strip_in_on_wall", wall(), "no strip-in"),
        ("base_ply_stuck_over_cant", wall(), "no base ply"),
        ("base_ply_stuck_over_edge", edge(), "no base ply"),
        ("bare_drop", edge(), "no base ply"),
        ("combustible_cant", wall(), "no cant"),
        ("combustible_cant", wall(method=Method.HOT_ASPHALT), "no flame is used"),
        ("flame_on_wood", wall(), "no sheet lies"),
        ("flame_on_wood", wall(method=Method.COLD_ADHESIVE), "no flame is used"),
        ("unspanned_flutes", wall(), "no flutes"),
        ("shallow_slope", wall(), "no roof field"),
        ("nailer_out_of_level", edge(), "one piece"),
        ("steep_kick", edge(), "no metal"),
        ("shallow_cleat_hook", edge(), "no continuous cleat"),
        ("thin_metal", edge(), "no sheet metal"),
        ("light_cleat", edge(), "no continuous cleat"),
        ("thin_granule_sheet", wall(), "granule"),
        ("thick_bed", wall(), "no bed"),
        ("thin_bed", wall(), "set in cement"),
        ("missing_bead", wall(), "coping"),
        ("backwater_lap", wall(), "no two layers"),
        ("wrong_finish_gap", edge(points={"leg.top": (0, 30)}), "raised"),
        ("finish_ply_off_leg", edge(), "flush"),
        ("sparse_nails", edge(), "no plan"),
        ("single_nail_row", edge(layout=layout("flange-plan", [])), "no metal"),
        ("unstaggered_nails", edge(), "no plan"),
        ("tight_joint_gap", edge(), "no joint"),
        ("narrow_backing_plate", edge(), "no joint"),
        ("sparse_cleat_nails", edge(), "no continuous cleat"),
        ("sparse_top_fasteners", wall(), "other means"),
        ("missing_intermediate_row", wall(), "no elevation"),
        ("sparse_bar_fasteners", wall(), "no bar"),
        ("sparse_bar_fasteners", wall(points={"bar.top": (0, 280)}), "no elevation"),
        ("short_side_lap", wall(), "no elevation"),
        ("backwater_side_lap", wall(), "no elevation"),
        (
            "backwater_side_lap",
            wall(layout=layout("wall-elevation", [])),
            "along this wall",
        ),
        ("short_side_lap", wall(layout=layout("wall-elevation", [])), "single piece"),
        (
            "missing_intermediate_row",
            wall(layout=layout("wall-elevation", [])),
            "no flashing",
        ),
    ],
)
def test_nothing_to_measure_is_told_in_words(
    rule: str, made: LayeredSection, reason: str
) -> None:
    found = find(rule, made)
    assert found.outcome is Outcome.NOT_APPLICABLE
    assert reason in found.reason
    forbidden = find(rule, replace(made, never_idle=frozenset({rule})))
    assert forbidden.outcome is Outcome.FAIL
    assert forbidden.actual.words == "nothing to measure"
    assert forbidden.where is not None
    assert forbidden.reason == found.reason


@pytest.mark.parametrize(
    ("rule", "made"),
    [
        ("low_flashing", wall()),
        ("short_flashing_reach", wall()),
        ("short_strip_in_at_toe", wall()),
        ("low_strip_in_on_wall", wall()),
        ("narrow_prepared_band", wall()),
        ("low_cant", wall()),
        ("low_reglet", wall(points={"reglet.mouth": (0, 250)})),
        ("thin_base_ply", wall(rect(Role.BASE_PLY, 300, 0, 400, 3))),
        ("thin_flange_cover", edge(rect(Role.EDGE_METAL, 5, -100, 6, 0, thickness=1.0))),
        ("sparse_cleat_nails", CLEAT_WITHOUT_NAILS),
        ("steep_cant", wall()),
        ("thin_cover_on_cant", wall()),
        ("bare_wall", wall()),
        ("thin_base_ply", wall()),
        ("short_upper_lap", wall(points={"upper.bottom": (-4, 150)})),
        ("short_counterflashing_lap", wall(points={"cf.hem": (-4, 120)})),
        ("shallow_reglet", wall(points={"reglet.mouth": (0, 250)})),
        ("short_coping_face", wall(points={"wall.joint": (200, 400)})),
        ("missing_bead", wall(points={"cf.hem": (0, 120), "cf.top": (0, 300)})),
        ("thin_bed", wall(rect(Role.FLASHING, -4, 90, 0, 300))),
        ("thin_flange_cover", edge()),
        ("bare_flange_underside", edge()),
        ("short_flange_strip_in", edge()),
        ("narrow_flange", edge()),
        ("flange_off_nailer", edge()),
        ("nothing_to_bite", edge()),
        ("short_nail_bite", edge()),
        ("short_base_ply_drop", edge()),
        ("base_ply_short_of_wood", edge()),
        ("wrong_finish_gap", edge()),
        ("finish_ply_off_leg", edge(points={"leg.top": (0, 30)})),
        ("missing_bead", edge()),
        ("thin_bed", edge()),
        ("thin_cover_on_roof", edge(rect(Role.DECK, -400, -100, 0, 0))),
    ],
)
def test_what_must_be_there_and_is_not_fails(rule: str, made: LayeredSection) -> None:
    rules = "sheet-metal-handbook" if rule == "low_reglet" else "common-practice"
    found = find(rule, made, rules)
    assert found.outcome is Outcome.FAIL
    assert found.where is not None
    assert found.reason


def test_a_failure_without_a_place_is_told_at_one_that_always_exists() -> None:
    made = wall(without=["cant.toe"], never_idle=frozenset({"thick_bed"}))
    assert find("thick_bed", made).where == (-75.0, 300.0)


def test_bare_metal_and_a_missing_drop_are_told_apart() -> None:
    drop = body(Role.BASE_PLY, box(0, -110, 3, 0))
    assert find("bare_drop", edge(drop)).reason == "There is no edge metal."


def test_an_override_is_passed_on() -> None:
    data = catalog()
    change = RuleOverride(rule="flashing_height_least", value="6 in", reason="Low sill.")
    rules = with_rule_overrides(data.rule_set("common-practice"), [change])
    made = wall(rect(Role.FLASHING, -4, 90, 0, 180))
    found = REGISTRY["low_flashing"].find(Case(made, rules, data))
    assert found.outcome is Outcome.PASS
    assert found.override == "Low sill."
    assert found.required.amount.value == pytest.approx(6 * 25.4)


def test_a_prohibition_can_be_lifted_by_the_rule_set() -> None:
    data = catalog()
    change = RuleOverride(rule="wood_torch", value=0, reason="No torch on this job.")
    rules = with_rule_overrides(data.rule_set("common-practice"), [change])
    found = REGISTRY["flame_on_wood"].find(Case(wall(), rules, data))
    assert found.outcome is Outcome.NOT_APPLICABLE
    assert found.reason == "the rule set does not ask this"


def test_side_laps_are_held_against_the_longer_of_two_rows() -> None:
    data = catalog()
    pieces = [
        part(Role.FLASHING, 0, 0, 1000, 200, 0, "a"),
        part(Role.FLASHING, 915, 0, 2000, 200, 1, "b"),
    ]
    made = wall(layout=layout("wall-elevation", pieces))
    assert find("short_side_lap", made).outcome is Outcome.PASS
    change = RuleOverride(rule="side_lap_least", value="4 in", reason="Maker's wish.")
    rules = with_rule_overrides(data.rule_set("common-practice"), [change])
    found = REGISTRY["short_side_lap"].find(Case(made, rules, data))
    assert found.outcome is Outcome.FAIL
    assert found.override == "Maker's wish."


def test_advice_stays_advice() -> None:
    tall = wall(rect(Role.FLASHING, -4, 90, 0, 800))
    assert find("tall_flashing", tall).severity is Severity.ADVICE
    assert find("low_flashing", tall).severity is Severity.REQUIRED


def test_a_bare_spot_under_the_flashing_sheet_ends_the_band() -> None:
    ply = rect(Role.FINISH_PLY, -400, 6, 0, 10)
    sheet = rect(Role.FLASHING, -200, 10, 0, 14, thickness=4.0)
    lap = joint(sheet, ply, Bond.TORCHED, (-200, 10), (0, 10))
    coats = [
        Coat("a", "band", ply.id, Line([(-220, 10), (-150, 10)]), 1),
        Coat("b", "band", ply.id, Line([(-140, 10), (0, 10)]), 1),
    ]
    found = find("narrow_prepared_band", wall(ply, sheet, joints=[lap], coats=coats))
    assert found.outcome is Outcome.FAIL
    assert found.actual.value == pytest.approx(50.0, abs=0.1)
    assert found.required.amount.value == pytest.approx(110.0)


def test_the_band_must_reach_under_all_of_a_flashing_sheet_in_cement() -> None:
    ply = rect(Role.FINISH_PLY, -400, 6, 0, 10)
    bed = rect(Role.CEMENT, -200, 10, 0, 12)
    sheet = rect(Role.FLASHING, -200, 12, 0, 16, thickness=4.0)
    joints = [
        joint(bed, ply, Bond.CEMENT, (-200, 10), (0, 10)),
        joint(sheet, bed, Bond.CEMENT, (-200, 12), (0, 12)),
    ]
    band = [Coat("a", "band", ply.id, Line([(-190, 10), (0, 10)]), 1)]
    found = find("narrow_prepared_band", wall(ply, bed, sheet, joints=joints, coats=band))
    assert found.outcome is Outcome.FAIL
    assert found.actual.value == pytest.approx(100.0, abs=0.1)


def test_a_nail_may_pass_through_what_it_pierces_only() -> None:
    wood, metal = rect(Role.NAILER, 0, 0, 100, 40), rect(Role.EDGE_METAL, 0, 40, 100, 41)
    through = rect(Role.FASTENER, 48, 10, 52, 42, pierces=("edge-metal", "nailer"))
    assert find("solids_overlap", edge(wood, metal, through)).outcome is Outcome.PASS
    astray = rect(Role.FASTENER, 48, 10, 52, 42, pierces=("edge-metal",))
    found = find("solids_overlap", edge(wood, metal, astray))
    assert found.outcome is Outcome.FAIL
    assert set(found.bodies) == {"nailer", "fastener"}
    assert found.actual.value == pytest.approx(120.0)


def test_a_pocket_that_is_meant_or_filled_by_a_nail_is_none() -> None:
    holed = box(0, 0, 20, 20).difference(box(5, 5, 8, 8))
    ring = body(Role.DECK, holed)  # type: ignore[arg-type]
    assert find("closed_pocket", wall(ring)).outcome is Outcome.FAIL
    assert (
        find("closed_pocket", wall(ring, hollows=(box(5, 5, 8, 8),))).outcome
        is Outcome.PASS
    )
    nail = rect(Role.FASTENER, 5, 5, 8, 8)
    assert find("closed_pocket", wall(ring, nail)).outcome is Outcome.PASS


def test_lapped_pieces_of_one_level_do_not_count_as_backwater() -> None:
    pieces = [
        part(Role.COUNTERFLASHING, 0, 100, 1000, 250, 0, "a"),
        part(Role.COUNTERFLASHING, 900, 100, 2000, 250, 1, "b"),
    ]
    made = wall(layout=layout("wall-elevation", pieces, downhill=(-1.0, 0.0)))
    assert find("backwater_side_lap", made).outcome is Outcome.PASS
    uphill = wall(layout=layout("wall-elevation", pieces, downhill=(1.0, 0.0)))
    assert find("backwater_side_lap", uphill).outcome is Outcome.FAIL
    none = wall(layout=layout("wall-elevation", pieces[:1], downhill=(1.0, 0.0)))
    assert find("backwater_side_lap", none).outcome is Outcome.NOT_APPLICABLE


@pytest.mark.parametrize(
    ("relation", "high", "value", "holds"),
    [
        (Relation.AT_LEAST, None, 99.991, True),
        (Relation.AT_LEAST, None, 99.989, False),
        (Relation.AT_MOST, None, 100.009, True),
        (Relation.AT_MOST, None, 100.011, False),
        (Relation.EXACTLY, None, 100.009, True),
        (Relation.EXACTLY, None, 99.98, False),
        (Relation.BETWEEN, 110.0, 110.009, True),
        (Relation.BETWEEN, 110.0, 110.02, False),
        (Relation.BETWEEN, 110.0, 99.98, False),
    ],
)
def test_lengths_are_compared_to_a_hundredth_of_a_millimetre(
    relation: Relation, high: float | None, value: float, *, holds: bool
) -> None:
    top = None if high is None else Amount(high, Unit.LENGTH)
    asked = Requirement(relation, Amount(100.0, Unit.LENGTH), top)
    assert meets(asked, Amount(value, Unit.LENGTH)) is holds


def test_counts_and_strict_limits_have_no_slack() -> None:
    two = Requirement(Relation.AT_LEAST, Amount(2, Unit.COUNT))
    assert not meets(two, Amount(1.999, Unit.COUNT))
    nothing = Requirement(Relation.AT_LEAST, Amount(0.0, Unit.LENGTH))
    assert meets(nothing, Amount(0.0, Unit.LENGTH))
    assert not meets(nothing, Amount(0.005, Unit.LENGTH), strict=True)
    assert meets(nothing, Amount(0.02, Unit.LENGTH), strict=True)


def test_no_two_rules_of_a_kind_are_printed_alike() -> None:
    rules = catalog().rule_set("common-practice")
    for condition in CONDITIONS.values():
        own = {condition.kind, *condition.families}
        titles = [
            check.title or rules.row(check.rows[0]).text
            for check in REGISTRY.values()
            if not check.kinds or not own.isdisjoint(check.kinds)
        ]
        # a bead at a foot and one elsewhere never stand in one section
        twice = {t for t in titles if titles.count(t) > 1 and "bead" not in t}
        assert not twice, condition.kind
