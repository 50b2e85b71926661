"""Rules that the default set does not ask: limits, changes they catch, changes they let be.

Their sections are held against the set that asks them.
"""

from collections.abc import Callable
from functools import cache

import pytest
from shapely.affinity import translate

from detailgen.checks import check
from detailgen.conditions import CONDITIONS, Site
from detailgen.finding import Finding, Outcome, Severity
from detailgen.geometry import Region
from detailgen.geometry.regions import box, cut, polygon
from detailgen.parameters import Roof
from detailgen.section import LayeredSection, Role
from tests.checks.handmade import body, catalog, edge, find, rect, ribbon, wall

IN = 25.4
FAR = 5000.0
RULES = {
    "wide_flange": "copper-handbook",
    "tall_parapet": "navy-guides",
    "surface_mounted_counterflashing": "navy-guides",
    "flange_below_finish_ply": "us-government-guide",
}
"""The rules, each with a set that asks it."""


@pytest.mark.parametrize("rule", RULES)
@pytest.mark.parametrize("kind", CONDITIONS)
def test_the_default_set_does_not_ask_them(rule: str, kind: str) -> None:
    found = find(rule, wall() if kind == "wall" else edge())
    assert found.outcome is Outcome.NOT_APPLICABLE
    assert found.reason


# --- at the limit and just past it --------------------------------------------------------


def flange_of(width: float) -> LayeredSection:
    metal = ribbon([(4, -140), (4, 5), (-width, 5)], 1.0)
    return edge(body(Role.EDGE_METAL, metal, thickness=1.0))


def test_a_flange_at_its_most_and_wider() -> None:
    """A flange is cut and laid to 1/64 in: what is within that of the most is the most."""
    for width, told in ((4 * IN, 4 * IN), (4 * IN + 0.39, 4 * IN), (80.0, 80.0)):
        held = find("wide_flange", flange_of(width), "copper-handbook")
        assert held.outcome is Outcome.PASS
        assert held.actual.value == pytest.approx(told, abs=2e-3)
    broken = find("wide_flange", flange_of(4 * IN + 0.41), "copper-handbook")
    assert broken.outcome is Outcome.FAIL
    assert broken.severity is Severity.REQUIRED
    assert broken.actual.value == pytest.approx(4 * IN + 0.41, abs=2e-3)
    none = find("wide_flange", edge(), "copper-handbook")
    assert none.outcome is Outcome.NOT_APPLICABLE


def parapet(height: float) -> LayeredSection:
    return wall(
        rect(Role.WALL, 0, -100, 200, 10 + height - 40),
        rect(Role.BLOCKING, 0, 10 + height - 40, 200, 10 + height, material="lumber-2x"),
        points={"wall.joint": (200, 10 + height - 40)},
    )


def test_a_parapet_at_its_most_and_taller() -> None:
    held = find("tall_parapet", parapet(18 * IN), "navy-guides")
    assert (held.outcome, held.severity) == (Outcome.PASS, Severity.ADVICE)
    assert held.actual.value == pytest.approx(18 * IN)
    broken = find("tall_parapet", parapet(18 * IN + 0.1), "navy-guides")
    assert broken.outcome is Outcome.FAIL
    for made in (wall(), wall(points={"wall.joint": (200, 300)})):
        assert find("tall_parapet", made, "navy-guides").outcome is Outcome.NOT_APPLICABLE


@pytest.mark.parametrize(("x", "outcome"), [(30, Outcome.PASS), (0, Outcome.FAIL)])
def test_a_counterflashing_in_the_wall_or_on_it(x: float, outcome: Outcome) -> None:
    metal = ribbon([(x, 250), (-5, 250), (-5, 120)], 1.0)
    made = wall(
        body(Role.COUNTERFLASHING, metal),
        points={"cf.hem": (-5, 120), "cf.top": (-5, 250)},
    )
    found = find("surface_mounted_counterflashing", made, "navy-guides")
    assert (found.outcome, found.severity) == (outcome, Severity.ADVICE)


def layers(*order: Role, flange: float = 102.0) -> LayeredSection:
    """Return sheets and a flange, each on the one before; the flange is short."""
    bodies = []
    for i, role in enumerate(order):
        left = -flange if role is Role.EDGE_METAL else -400.0
        bodies.append(rect(role, left, 2 * i, 0, 2 * i + 2, id=f"{role}-{i}"))
    return edge(*bodies)


GUIDE_ORDER = (
    Role.BASE_PLY,
    Role.FINISH_PLY,
    Role.EDGE_METAL,
    Role.STRIP_IN,
    Role.STRIP_IN,
)
OUR_ORDER = (Role.BASE_PLY, Role.EDGE_METAL, Role.STRIP_IN, Role.FINISH_PLY)


@pytest.mark.parametrize(
    ("made", "outcome"),
    [
        (layers(*GUIDE_ORDER), Outcome.PASS),
        (layers(*GUIDE_ORDER, flange=60.0), Outcome.PASS),
        (layers(*GUIDE_ORDER[:3]), Outcome.PASS),
        (layers(*OUR_ORDER), Outcome.FAIL),
        (layers(*OUR_ORDER, flange=60.0), Outcome.FAIL),
        (layers(*GUIDE_ORDER, Role.FINISH_PLY), Outcome.FAIL),
        (layers(Role.BASE_PLY, Role.EDGE_METAL, Role.STRIP_IN), Outcome.FAIL),
        (edge(), Outcome.NOT_APPLICABLE),
    ],
)
def test_which_order_a_flange_has_among_the_field_sheets(
    made: LayeredSection, outcome: Outcome
) -> None:
    found = find("flange_below_finish_ply", made, "us-government-guide")
    assert (found.outcome, found.severity) == (outcome, Severity.ADVICE)


# --- changes to real sections -------------------------------------------------------------


@cache
def built(rule: str) -> LayeredSection:
    kind, given = {
        "wide_flange": ("roof-edge", {}),
        "tall_parapet": ("wall", {"termination": "coping"}),
        "surface_mounted_counterflashing": ("wall", {}),
    }[rule]
    rules = catalog().rule_set(RULES[rule])
    site = Site(Roof(slope=rules.value("slope_least")), catalog(), rules)  # type: ignore[arg-type]
    condition = CONDITIONS[kind]
    return condition.build(condition.parameters(id="M1", **given), site)


def found_in(rule: str, section: LayeredSection) -> Finding:
    rules = catalog().rule_set(RULES[rule])
    return {f.rule: f for f in check(section, rules, catalog())}[rule]


Change = Callable[[LayeredSection], LayeredSection]


def moved(body_id: str, dx: float, dy: float) -> Change:
    def change(section: LayeredSection) -> LayeredSection:
        region = section.body(body_id).region  # type: ignore[union-attr]
        return section.with_region(body_id, translate(region, dx, dy))

    return change


def grown(body_id: str, *points: tuple[float, float]) -> Change:
    def change(section: LayeredSection) -> LayeredSection:
        whole = section.body(body_id).region.union(polygon(points))  # type: ignore[union-attr]
        assert isinstance(whole, Region)
        return section.with_region(body_id, whole)

    return change


def shaved(body_id: str, x0: float, y0: float, x1: float, y1: float) -> Change:
    def change(section: LayeredSection) -> LayeredSection:
        region = section.body(body_id).region  # type: ignore[union-attr]
        return section.with_region(body_id, cut(region, [box(x0, y0, x1, y1)])[0])

    return change


METAL, FACE = "edge-metal", "counterflashing"
CAUGHT: list[tuple[str, Change]] = [
    ("wide_flange", grown(METAL, (-98.8, 2.1), (-98.9, 2.9), (-130, 2.2), (-130, 1.4))),
    ("wide_flange", grown(METAL, (-98.8, 2.1), (-98.9, 2.9), (-100, 2.9), (-100, 2.0))),
    ("wide_flange", moved(METAL, -1.0, 0.0)),
    ("tall_parapet", moved("blocking", 0.0, 0.5)),
    ("tall_parapet", grown("blocking", (0, 440), (0, 480), (40, 480), (40, 440))),
    ("tall_parapet", grown("wall", (0, 400), (0, 470), (10, 470), (10, 400))),
    ("surface_mounted_counterflashing", shaved(FACE, 0.01, -FAR, FAR, FAR)),
    ("surface_mounted_counterflashing", moved(FACE, -32.0, 0.0)),
    ("surface_mounted_counterflashing", shaved(FACE, -6.5, 200.0, FAR, FAR)),
]
LET_BE: list[tuple[str, Change]] = [
    ("wide_flange", shaved(METAL, -FAR, -FAR, -90.0, FAR)),
    ("wide_flange", grown(METAL, (-50, 3.0), (-50, 8.0), (-45, 8.0), (-45, 3.0))),
    ("tall_parapet", moved("blocking", 0.0, -5.0)),
    ("tall_parapet", grown("blocking", (150, 440), (150, 600), (190, 600), (190, 440))),
    ("surface_mounted_counterflashing", shaved(FACE, 10.0, -FAR, FAR, FAR)),
    ("surface_mounted_counterflashing", shaved(FACE, -FAR, -FAR, FAR, 150.0)),
]


@pytest.mark.parametrize(("rule", "change"), CAUGHT)
def test_what_they_catch(rule: str, change: Change) -> None:
    section = built(rule)
    assert found_in(rule, section).outcome is Outcome.PASS
    broken = found_in(rule, change(section))
    assert broken.outcome is Outcome.FAIL
    assert broken.where is not None
    assert broken.reason.endswith(".")


@pytest.mark.parametrize(("rule", "change"), LET_BE)
def test_what_they_let_be(rule: str, change: Change) -> None:
    section = built(rule)
    changed = change(section)
    assert changed != section
    assert found_in(rule, changed).outcome is Outcome.PASS


def test_metal_that_is_gone_is_told_by_other_rules() -> None:
    for rule, gone in (("wide_flange", METAL), ("surface_mounted_counterflashing", FACE)):
        found = found_in(rule, built(rule).without(gone))
        assert found.outcome is Outcome.NOT_APPLICABLE
        assert found.reason
