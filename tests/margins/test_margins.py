"""How far a detail may stray: the data, the search for margins, curves and plot."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from detailgen.catalog import Move, Tolerance, load_catalog
from detailgen.catalog.tolerances import read_tolerances
from detailgen.checks import check
from detailgen.conditions import CONDITIONS, Site
from detailgen.errors import Problem, UserError
from detailgen.finding import (
    Amount,
    Finding,
    Outcome,
    Relation,
    Requirement,
    Severity,
    Unit,
)
from detailgen.margins import FURTHEST, Margin, curves, margins, slack
from detailgen.margins._astray import settled, tolerances_of
from detailgen.margins.plotting import plot
from detailgen.parameters import Roof
from detailgen.units import UnitSystem

IN = 25.4
CATALOG = load_catalog()
RULES = CATALOG.rule_set("common-practice")
SITE = Site(Roof(), CATALOG, RULES)
FINE = 0.02


@cache
def told(kind: str, **values: object) -> dict[str, Margin]:
    condition = CONDITIONS[kind]
    given = condition.parameters(id="M1", **values)  # type: ignore[arg-type]
    found = margins(condition, given, SITE, CATALOG.tolerances.values())
    return {margin.rule: margin for margin in found}


def lost(margin: Margin, tolerance: str) -> float | None:
    (use,) = (u for u in margin.uses if u.tolerance.id == tolerance)
    return use.multiple


def length(id: str, value: float, *moves: Move, **more: object) -> Tolerance:  # noqa: A002
    return Tolerance(
        id,
        ("wall",),
        value,
        Unit.LENGTH,
        "so",
        "text",
        "source",
        "",
        moves,
        **more,  # type: ignore[arg-type]
    )


# --- the data -----------------------------------------------------------------------------


def test_every_tolerance_of_the_catalogue_fits_its_kind() -> None:
    kinds = {kind for t in CATALOG.tolerances.values() for kind in t.kinds}
    assert kinds == {"any", *CONDITIONS} - {"free-section"}
    for kind in kinds - {"any"}:
        found = tolerances_of(CONDITIONS[kind], CATALOG.tolerances.values())
        own = [t for t in found if kind in t.kinds]
        given = CONDITIONS[kind].parameters.model_validate({"id": "M1"})
        drawn = settled(CONDITIONS[kind], given, SITE)
        moving = [t for t in own if drawn.strayed(t, 0.25) != drawn.with_values({})]
        assert moving, kind
    for tolerance in CATALOG.tolerances.values():
        assert tolerance.text
        assert tolerance.source


def test_a_catalogue_without_the_file_has_no_tolerances(tmp_path: Path) -> None:
    problems: list[Problem] = []
    assert not read_tolerances(tmp_path, problems)
    assert not problems


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('value = "0 in"\nmoves = [{ part = "a", along = 1.0 }]', "more than nothing"),
        ('value = "1/2 in"', "moves something"),
        ('value = "1/2 in"\nmoves = [{ times = 1.0 }]', "of a parameter, of bodies"),
        ('value = "1/2 in"\nmoves = [{ bodies = ["a"], up = 1.0 }]', "names its rules"),
        ('value = "1/2 in"\nmoves = [{ part = "a" }]', "along is missing"),
        ('value = "half"\nmoves = [{ part = "a", along = 1.0 }]', "cannot be read"),
        (
            'value = "1/2 in"\nmoves = [{ part = "a", along = 1.0 }]\neither = true',
            "unknown key 'either'",
        ),
    ],
)
def test_a_mistake_in_the_data_is_told(tmp_path: Path, text: str, message: str) -> None:
    row = f'[x]\nkind = "wall"\ntext = "x"\nknown = "common practice, no source"\n{text}\n'
    (tmp_path / "tolerances.toml").write_text(row, encoding="utf-8")
    problems: list[Problem] = []
    read_tolerances(tmp_path, problems)
    assert any(message in p.message for p in problems), problems


@pytest.mark.parametrize(
    "tolerance",
    [
        length("x", IN, Move(parameter="cant_hieght")),
        length("x", IN, Move(parameter="cant_run", over="roof.colour")),
        length("x", IN, Move(part="a"), rules=("low_flashings",)),
    ],
)
def test_a_name_that_is_not_there_is_told(tolerance: Tolerance) -> None:
    condition = CONDITIONS["wall"]
    with pytest.raises(UserError, match="is not there"):
        margins(condition, condition.parameters(id="M1"), SITE, [tolerance])  # type: ignore[call-arg]


# --- straying -----------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["wall", "roof-edge"])
def test_settled_parameters_build_the_same_section(kind: str) -> None:
    condition = CONDITIONS[kind]
    given = condition.parameters(id="M1")  # type: ignore[call-arg]
    drawn = condition.build(given, SITE)
    section = settled(condition, given, SITE).with_values({})
    assert section == drawn


def test_only_what_a_tolerance_names_moves() -> None:
    condition = CONDITIONS["wall"]
    astray = settled(condition, condition.parameters(id="M1"), SITE)  # type: ignore[call-arg]
    low = astray.strayed(CATALOG.tolerances["flashing_hung_low"], 1.0)
    drawn = astray.with_values({})
    assert low is not None
    assert drawn is not None
    moved = low.points["flashing.top"][1] - drawn.points["flashing.top"][1]
    assert moved == pytest.approx(-IN / 2)
    assert low.points["cf.hem"][1] == pytest.approx(drawn.points["cf.hem"][1])
    assert low.points["reglet.mouth"] == drawn.points["reglet.mouth"]
    out = low.points["flashing.outer"][0] - drawn.points["flashing.outer"][0]
    assert out == pytest.approx(-IN / 2)
    assert low.points["strip.outer"] == pytest.approx(drawn.points["strip.outer"])


def test_a_cant_off_the_wall_keeps_its_angle_and_the_sheets_their_places() -> None:
    condition = CONDITIONS["wall"]
    given = condition.parameters(id="M1", cant_height=3 * IN, cant_run=4 * IN)  # type: ignore[call-arg]
    astray = settled(condition, given, SITE)
    off = astray.strayed(CATALOG.tolerances["cant_set_out"], 1.0)
    drawn = astray.with_values({})
    assert off is not None
    assert drawn is not None
    assert off.points["cant.toe"][0] == pytest.approx(-4.5 * IN)
    assert off.points["cant.top"][1] == pytest.approx(3.375 * IN)
    for name in ("strip.outer", "flashing.outer", "band.outer"):
        assert off.points[name][0] == pytest.approx(drawn.points[name][0], abs=1.0)


def test_bodies_and_pieces_move_by_themselves() -> None:
    condition = CONDITIONS["roof-edge"]
    astray = settled(condition, condition.parameters(id="M1"), SITE)  # type: ignore[call-arg]
    drawn = astray.with_values({})
    assert drawn is not None
    low = astray.strayed(CATALOG.tolerances["nailer_low"], 2.0)
    assert low is not None
    for before, after in zip(drawn.bodies, low.bodies, strict=True):
        drop = before.region.bounds[1] - after.region.bounds[1]
        assert drop == pytest.approx(IN / 4 if before.id.startswith("nailer") else 0.0)
    closed = astray.strayed(CATALOG.tolerances["joint_closed"], 1.0)
    assert closed is not None
    for before, after in zip(drawn.layouts[0].parts, closed.layouts[0].parts, strict=True):
        moved = before.region.bounds[0] - after.region.bounds[0]
        assert moved == pytest.approx(IN / 8 if before.id == "edge-metal-2" else 0.0)


def test_what_cannot_be_built_is_none() -> None:
    condition = CONDITIONS["wall"]
    astray = settled(condition, condition.parameters(id="M1"), SITE)  # type: ignore[call-arg]
    assert astray.with_values({"flashing_height": 40 * IN}) is None
    assert astray.with_values({"strip_in_out": -1.0}) is None
    assert astray.now("title") is None
    assert astray.now("roof.slope") == pytest.approx(1 / 48)


# --- margins ------------------------------------------------------------------------------


def test_what_stands_at_its_limit_is_lost_at_once() -> None:
    found = told("wall")
    for rule in ("short_strip_in_at_toe", "low_flashing", "short_flashing_reach"):
        first = found[rule].first
        assert first is not None
        assert first.multiple == pytest.approx(0.0, abs=FINE)
        assert found[rule].slack == pytest.approx(0.0, abs=0.01)


def test_a_margin_is_what_is_left_over_the_tolerance() -> None:
    found = told(
        "wall", strip_in_out=3.75 * IN, flashing_height=9 * IN, reglet_height=11 * IN
    )
    strip = found["short_strip_in_at_toe"]
    assert strip.slack == pytest.approx(0.75 * IN, abs=0.02)
    assert lost(strip, "strip_in_cut_short") == pytest.approx(1.5, abs=FINE)
    assert lost(strip, "cant_set_out") == pytest.approx(1.5, abs=FINE)
    high = found["low_flashing"]
    assert lost(high, "flashing_hung_low") == pytest.approx(2.0, abs=FINE)
    assert lost(found["short_counterflashing_lap"], "flashing_hung_low") == pytest.approx(
        0.0, abs=FINE
    )


def test_the_worse_way_of_two_is_told() -> None:
    found = told("roof-edge", edge="flush", finish_gap=0.45 * IN)
    gap = found["wrong_finish_gap"]
    (use,) = gap.uses
    assert use.tolerance.id == "finish_ply_off"
    assert use.multiple == pytest.approx(0.05 / 0.125, abs=FINE)
    assert not use.other_way
    assert use.text == use.tolerance.text
    near = told("roof-edge", edge="flush", finish_gap=0.3 * IN)["wrong_finish_gap"].uses[0]
    assert near.other_way
    assert near.text == near.tolerance.back


def test_each_multiple_is_where_the_rule_fails() -> None:
    condition = CONDITIONS["roof-edge"]
    values = {"strip_in": 4.3 * IN, "nail_spacing": 2.4 * IN, "nailer_width": 7.25 * IN}
    given = condition.parameters(id="M1", **values)  # type: ignore[arg-type]
    astray = settled(condition, given, SITE)
    seen = 0
    for margin in told("roof-edge", **values).values():
        for use in margin.uses:
            if use.multiple is None:
                continue
            sign = -1.0 if use.other_way else 1.0
            for times, fails in ((use.multiple, False), (use.multiple + 0.02, True)):
                section = astray.strayed(use.tolerance, sign * times)
                assert section is not None
                found = {f.rule: f for f in check(section, RULES, CATALOG)}
                failed = found[margin.rule].outcome is Outcome.FAIL
                assert failed is fails, (margin.rule, use.tolerance.id, times)
                seen += 1
    assert seen > 20


def test_the_first_to_be_lost_stand_first() -> None:
    orders = [m.order for m in told("roof-edge").values()]
    assert orders == sorted(orders)
    for margin in told("roof-edge").values():
        uses = [u.order for u in margin.uses]
        assert uses == sorted(uses)
        assert all(0.0 < u.tried <= FURTHEST for u in margin.uses)


def test_what_fails_as_drawn_stands_at_the_head() -> None:
    found = told("wall", strip_in_out=2 * IN)
    head = next(iter(found.values()))
    assert head.rule == "short_strip_in_at_toe"
    assert head.fails
    assert not head.uses
    assert head.slack == pytest.approx(-IN, abs=0.02)


def test_no_tolerance_no_use() -> None:
    condition = CONDITIONS["wall"]
    given = condition.parameters(id="M1")  # type: ignore[call-arg]
    found = margins(condition, given, SITE, [])
    assert found
    assert not any(m.uses or m.first for m in found)


@pytest.mark.parametrize(
    ("relation", "value", "left"),
    [
        (Relation.AT_LEAST, 12.0, 2.0),
        (Relation.AT_MOST, 12.0, -2.0),
        (Relation.EXACTLY, 12.0, -2.0),
        (Relation.BETWEEN, 12.0, 2.0),
        (Relation.BETWEEN, 19.0, 1.0),
    ],
)
def test_slack_is_how_far_within(relation: Relation, value: float, left: float) -> None:
    high = Amount(20.0, Unit.LENGTH) if relation is Relation.BETWEEN else None
    finding = Finding(
        "x",
        "x",
        Outcome.PASS,
        Severity.REQUIRED,
        Requirement(relation, Amount(10.0, Unit.LENGTH), high),
        Amount(value, Unit.LENGTH),
        (0.0, 0.0),
        "",
    )
    assert slack(finding) == pytest.approx(left)
    assert slack(replace(finding, outcome=Outcome.NOT_APPLICABLE)) is None
    assert slack(replace(finding, actual=Amount(words="none"))) is None


# --- curves -------------------------------------------------------------------------------


def test_a_curve_runs_over_the_range_of_a_parameter() -> None:
    condition = CONDITIONS["wall"]
    given = condition.parameters(id="M1")  # type: ignore[call-arg]
    tolerances = [CATALOG.tolerances["strip_in_cut_short"]]
    (curve,) = curves(condition, given, SITE, tolerances)
    assert curve.parameter == "strip_in_out"
    assert curve.values[0] == pytest.approx(0.5 * IN)
    assert curve.values[-1] == pytest.approx(12 * IN)
    assert curve.now in curve.values
    assert curve.tolerance == pytest.approx(0.5 * IN)
    assert list(curve.values) == sorted(curve.values)
    assert set(curve.margins) == {"short_strip_in_at_toe"}
    line = curve.margins["short_strip_in_at_toe"]
    for value, left in zip(curve.values, line, strict=True):
        assert left == pytest.approx(value - 3 * IN, abs=0.05)


def test_a_curve_leaves_out_what_cannot_be_built() -> None:
    condition = CONDITIONS["wall"]
    given = condition.parameters(id="M1")  # type: ignore[call-arg]
    (curve,) = curves(
        condition, given, SITE, [length("x", IN, Move(parameter="counterflashing_lap"))]
    )
    line = curve.margins["short_counterflashing_lap"]
    assert line[0] is not None
    assert line[-1] is None
    assert {"low_hem"} <= set(curve.margins)


def test_a_plot_is_a_picture_and_the_same_every_time() -> None:
    condition = CONDITIONS["roof-edge"]
    given = condition.parameters(id="M1")  # type: ignore[call-arg]
    chosen = [CATALOG.tolerances[name] for name in ("edge_strip_in_cut_short", "roof_sags")]
    found = curves(condition, given, SITE, chosen)
    assert len(found) == 2
    for system in UnitSystem:
        picture = plot("M1 $\\frac{ $x", found, system)  # no formula
        assert picture.startswith(b"\x89PNG")
        assert picture == plot("M1 $\\frac{ $x", found, system)
        assert b"matplotlib" not in picture.lower()
