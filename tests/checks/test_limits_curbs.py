"""The rules of curbs, joints, moving walls and supports at their limits and just past them.

On sections of a few rectangles, held against the default rule set, or one that asks.
"""

from collections.abc import Sequence
from dataclasses import replace

import pytest

from detailgen.catalog import with_rule_overrides
from detailgen.checks import REGISTRY
from detailgen.checks._case import Case
from detailgen.finding import Finding, Outcome
from detailgen.geometry import Point
from detailgen.parameters import RuleOverride
from detailgen.section import Body, Carried, LayeredSection, Moving, Role
from tests.checks.handmade import body, catalog, polygon, rect, ribbon, section

IN = 25.4
MOVES = Moving(10.0, 10.0, "It moves.")
KIND: dict[str, Point] = {
    "cant.toe": (-190.0, 0.0),
    "cant.top": (-100.0, 90.0),
    "roof.datum": (-190.0, 10.0),
    "gap.left": (-25.0, 200.0),
    "gap.right": (25.0, 200.0),
}


def made(kind: str, *bodies: Body, **more: object) -> LayeredSection:
    points = {**KIND, **more.pop("points", {})}  # type: ignore[dict-item]
    found = section("wall", *bodies, points=points, **more)  # type: ignore[arg-type]
    return replace(found, kind=kind, families=frozenset({"wall"}))


def told(rule: str, found: LayeredSection, rules: str = "common-practice") -> Finding:
    data = catalog()
    return REGISTRY[rule].find(Case(found, data.rule_set(rules), data))


def curb(height: float, kind: str = "curb", **points: Point) -> LayeredSection:
    named = {name.replace("_", "."): p for name, p in points.items()}
    return made(
        kind,
        rect(Role.WALL, -100, -100, -25, height - 28),
        rect(Role.BLOCKING, -100, height - 28, -25, 10 + height, material="lumber-2x"),
        points=named,
    )


@pytest.mark.parametrize(
    ("rule", "kind", "least", "rules"),
    [
        ("low_curb", "curb", 8 * IN, "common-practice"),
        ("low_curb", "equipment-sleeper", 8 * IN, "common-practice"),
        ("low_curb", "curb", 203.2, "canadian-manual"),
        ("low_joint_curb", "expansion-joint", 8 * IN, "common-practice"),
        ("low_joint_curb", "expansion-joint", 10 * IN, "copper-handbook"),
    ],
)
def test_a_curb_at_its_least_height_and_lower(
    rule: str, kind: str, least: float, rules: str
) -> None:
    if rules == "canadian-manual":
        least = 200.0
    held = told(rule, curb(least, kind), rules)
    assert held.outcome is Outcome.PASS
    assert held.actual.value == pytest.approx(least)
    broken = told(rule, curb(least - 0.02, kind), rules)
    assert broken.outcome is Outcome.FAIL
    assert broken.reason.endswith("too low.")


def test_a_curb_counts_at_its_upslope_face_and_over_its_cricket() -> None:
    upslope = curb(10 * IN, upslope_datum=(-190.0, 10.0 + 2.05 * IN))
    assert told("low_curb", upslope).outcome is Outcome.FAIL
    assert told("low_curb_over_cricket", upslope).outcome is Outcome.NOT_APPLICABLE
    for high, outcome in ((4 * IN, Outcome.PASS), (4 * IN + 0.02, Outcome.FAIL)):
        over = curb(10 * IN, cricket_datum=(-190.0, 10.0 + high))
        assert told("low_curb_over_cricket", over).outcome is outcome


def test_what_is_built_on_a_curb_later_adds_nothing_to_its_height() -> None:
    low = curb(7 * IN)
    wood = rect(Role.BLOCKING, -100, 10 + 7 * IN, -25, 10 + 9 * IN, material="lumber-2x")
    capped = replace(low, bodies=(*low.bodies, replace(wood, id="cap-deck", stage=8)))
    assert told("low_curb", capped).outcome is Outcome.FAIL
    nothing = made("curb")
    assert told("low_curb", nothing).reason == "There is no curb."


def test_a_joint_curb_is_tall_where_a_set_says_so() -> None:
    rules = "us-government-guide"
    high = 12 * IN
    assert told("tall_joint_curb", curb(high, "expansion-joint"), rules).outcome is (
        Outcome.PASS
    )
    taller = curb(high + 0.02, "expansion-joint")
    assert told("tall_joint_curb", taller, rules).outcome is Outcome.FAIL
    assert told("tall_joint_curb", taller).outcome is Outcome.NOT_APPLICABLE


def gap(width: float) -> LayeredSection:
    return made(
        "expansion-joint",
        rect(Role.WALL, -100, 0, -25, 200, id="curb"),
        rect(Role.WALL, -25 + width, 0, 100, 200, id="curb-right"),
        moving=MOVES,
    )


def test_a_gap_that_closes_too_far() -> None:
    held = told("tight_joint", gap(10.0 + IN / 2))
    assert held.outcome is Outcome.PASS
    assert held.actual.value == pytest.approx(IN / 2)
    assert told("tight_joint", gap(10.0 + IN / 2 - 0.02)).outcome is Outcome.FAIL
    still = replace(gap(5.0), moving=None)
    assert told("tight_joint", still).outcome is Outcome.NOT_APPLICABLE
    one = replace(gap(30.0), bodies=gap(30.0).bodies[:1])
    assert told("tight_joint", one).reason == "One side of the gap is missing."


def barrier(corners: Sequence[Point]) -> LayeredSection:
    strip = body(Role.BARRIER, ribbon(corners, 1.0), material="joint-barrier")
    return made("expansion-joint", strip, moving=MOVES)


def test_a_barrier_that_is_pulled_tight() -> None:
    """A square loop so deep that two sides and its bottom are the gap, open, and 1/4 in."""
    for deep, outcome in (
        ((10.0 + IN / 4) / 2, Outcome.PASS),
        ((10.0 + IN / 4) / 2 - 0.02, Outcome.FAIL),
    ):
        down = 200.0 - deep
        loop = [(-60, 200), (-25, 200), (-25, down), (25, down), (25, 200), (60, 200)]
        found = told("tight_barrier", barrier(loop))
        assert found.outcome is outcome, found
        assert found.actual.value == pytest.approx(2 * deep - 10.0, abs=1e-2)
    torn = told("tight_barrier", barrier([(-60, 200), (-10, 190)]))
    assert torn.reason == "The barrier does not reach across the gap."
    none = told("tight_barrier", made("expansion-joint", moving=MOVES))
    assert none.reason == "There is no barrier across the gap."


def hooked(hold: float, play: float = 5.0) -> LayeredSection:
    """Hooks whose tips are 60 mm from the axis, with a cover over them."""
    sides = (-1.0, 1.0)
    hooks = [
        body(
            Role.COUNTERFLASHING,
            ribbon([(s * 60, 230), (s * (60 - hold - play), 230)][:: int(-s)], 1.0),
            id="counterflashing" + ("" if s < 0 else "-right"),
        )
        for s in sides
    ]
    x = 60.0 + play
    outline = [
        (-60 + hold, 226), (-x - 1, 226), (-x - 1, 236), (x + 1, 236), (x + 1, 226),
        (60 - hold, 226), (60 - hold, 227), (x, 227), (x, 235), (-x, 235), (-x, 227),
        (-60 + hold, 227),
    ]  # fmt: skip
    cover = polygon(Role.JOINT_COVER, *outline, material="galvanized-24")
    points = {"cant.toe-right": (190.0, 0.0), "cant.top-right": (100.0, 90.0)}
    return made("expansion-joint", *hooks, cover, moving=MOVES, points={**KIND, **points})


def test_a_cover_that_slides_off_its_hooks() -> None:
    """Of the hold, the play of the other side and the closing are lost."""
    held = told("loose_joint_cover", hooked(15.0 + IN / 4))
    assert held.outcome is Outcome.PASS, held
    assert held.actual.value == pytest.approx(IN / 4, abs=1e-6)
    assert told("loose_joint_cover", hooked(15.0 + IN / 4 - 0.02)).outcome is Outcome.FAIL
    binds = told("loose_joint_cover", hooked(40.0, play=4.9))
    assert binds.outcome is Outcome.FAIL
    assert "binds" in binds.reason
    bare = hooked(30.0)
    bare = replace(bare, bodies=bare.bodies[:2])
    assert "one side at most" in told("loose_joint_cover", bare).reason


def hung(beside: float, over: float) -> LayeredSection:
    """A nailer of which the sheet's face is at -105, its top at 205."""
    x, y = -105 - beside, 205 + over
    metal = polygon(
        Role.COUNTERFLASHING,
        *((20, y), (x, y), (x, 120), (x - 1, 120), (x - 1, y + 1), (20, y + 1)),
    )
    return made(
        "independent-wall",
        rect(Role.WALL, -100, 0, -25, 200, id="curb"),
        rect(Role.FLASHING, -105, 90, -100, 205),
        rect(Role.FLASHING, -100, 200, -25, 205, id="flashing-over"),
        metal,
        moving=replace(MOVES, rises=6.0),
        points={"curb.top": (-100, 200), "curb.inner": (-25, 200)},
    )


def test_metal_that_is_touched_by_what_moves_under_it() -> None:
    least = IN / 8
    held = told("touched_counterflashing", hung(10.0 + least, 30.0))
    assert held.outcome is Outcome.PASS, held
    assert held.actual.value == pytest.approx(least)
    beside = told("touched_counterflashing", hung(10.0 + least - 0.02, 30.0))
    assert beside.outcome is Outcome.FAIL
    above = told("touched_counterflashing", hung(30.0, 6.0 + least))
    assert above.outcome is Outcome.PASS, above
    assert above.actual.value == pytest.approx(least)
    risen = told("touched_counterflashing", hung(30.0, 6.0 + least - 0.02))
    assert risen.outcome is Outcome.FAIL


def unit(clear: float, width: float, table: str = "older-manuals") -> LayeredSection:
    load = rect(Role.EQUIPMENT, -200, 10 + clear, 0, 300 + clear, material="equipment")
    return made("equipment-support", load, carried=Carried(width * IN, table))


@pytest.mark.parametrize(
    ("width", "table", "asked"),
    [(20, "older-manuals", 14), (40, "older-manuals", 24), (48, "florida", 30),
     (60, "older-manuals", 48), (60, "florida", 48), (72, "florida", 48)],
)  # fmt: skip
def test_a_unit_stands_as_high_as_the_table_asks(
    width: float, table: str, asked: float
) -> None:
    held = told("low_unit", unit(asked * IN, width, table))
    assert held.outcome is Outcome.PASS
    assert held.required.amount.value == pytest.approx(asked * IN)
    broken = told("low_unit", unit(asked * IN - 0.02, width, table))
    assert broken.outcome is Outcome.FAIL
    ambiguous = width == 60
    assert ("can be read to ask 30 in or 48 in" in broken.reason) is ambiguous


def test_a_code_without_a_table_asks_no_height() -> None:
    found = told("low_unit", unit(100.0, 40, "model-code"))
    assert found.outcome is Outcome.NOT_APPLICABLE
    assert "no table" in found.reason


def test_sleepers_only_where_the_table_takes_them() -> None:
    for table, outcome in (
        ("florida", Outcome.PASS),
        ("florida-hurricane-zone", Outcome.FAIL),
    ):
        found = replace(unit(200.0, 40, table), kind="equipment-sleeper")
        assert told("unit_on_sleepers", found).outcome is outcome


def test_a_rule_can_be_changed_by_the_job() -> None:
    data = catalog()
    change = RuleOverride(rule="curb_height_least", value="12 in", reason="A shelter.")
    rules = with_rule_overrides(data.rule_set("common-practice"), [change])
    found = REGISTRY["low_curb"].find(Case(curb(10 * IN), rules, data))
    assert found.outcome is Outcome.FAIL
    assert found.override == "A shelter."
