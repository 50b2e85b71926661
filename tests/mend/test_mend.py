"""Mends of jobs whose answer can be told by hand, and conflicts with their arithmetic."""

from dataclasses import replace

import pytest

from detailgen.catalog import load_catalog
from detailgen.conditions import CONDITIONS, Site
from detailgen.finding import Outcome, Severity
from detailgen.mend import ROOF, Broken, Mend, Verdict, mend, mend_all
from detailgen.mend import _bench as bench_module
from detailgen.mend._bench import Bench
from detailgen.mend._handles import handles
from detailgen.parameters import Roof
from detailgen.section import Method
from detailgen.units import UnitSystem, inches, parse_length, parse_slope

CATALOG = load_catalog()
INCH, METRIC = UnitSystem.FEET_INCHES, UnitSystem.MILLIMETRES


def site_of(roof: Roof | None = None, rules: str = "common-practice") -> Site:
    return Site(roof or Roof(), CATALOG, CATALOG.rule_set(rules))


def broken(kind: str, *, accepted=(), kept=(), **values) -> Broken:
    parameters = CONDITIONS[kind].parameters(id="X1", **values)
    return Broken(CONDITIONS[kind], parameters, frozenset(accepted), frozenset(kept))


def mended(kind: str, site: Site | None = None, system=INCH, **values) -> Mend:
    return mend(broken(kind, **values), site or site_of(), system)


def changes(found: Mend) -> dict[str, object]:
    return {c.key: c.needed for c in found.changes}


def causes(found: Mend) -> dict[str, set[str]]:
    return {
        c.key: {why.finding.rule if why.finding else why.message for why in c.causes}
        for c in found.changes
    }


# --- what a person would change -------------------------------------------------------


def test_a_condition_that_holds_is_left_alone():
    found = mended("wall")
    assert found.verdict is Verdict.HOLDS
    assert (found.changes, found.failing) == ((), ())


def test_a_low_flashing_is_raised_just_enough():
    found = mended("wall", flashing_height=inches(7))
    assert found.verdict is Verdict.MENDED
    assert changes(found) == {"flashing_height": inches(8)}
    assert found.changes[0].steps == 16
    assert not found.changes[0].default
    assert "low_flashing" in causes(found)["flashing_height"]
    assert found.parameters.model_dump()["flashing_height"] == inches(8)


def test_in_millimetres_the_next_whole_one_is_taken():
    found = mended("wall", system=METRIC, flashing_height=190.0)
    assert changes(found) == {"flashing_height": 204.0}  # 8 in is 203.2 mm
    assert found.changes[0].steps == 14


def test_a_flashing_that_needs_room_moves_the_reglet_too():
    found = mended("wall", flashing_height=inches(7), reglet_height=inches(8))
    assert changes(found) == {
        "flashing_height": inches(8),
        "reglet_height": inches(9),
    }
    assert "The flashing sheet reaches above where its counterflashing starts." in (
        causes(found)["flashing_height"] | causes(found)["reglet_height"]
    )


def test_of_two_ways_the_shorter_one_is_taken():
    # 45 deg: the run 10 steps out, or the height 10 steps down, which is then too low
    found = mended("wall", cant_height=inches(3.5), cant_run=inches(3.5) - 15.875)
    assert changes(found) == {"cant_run": parse_length("3 1/2 in")}
    # of a taller cant the height may come down: a step less than the run has to go out
    found = mended("wall", cant_height=inches(5), cant_run=inches(4.5))
    assert sum(c.steps for c in found.changes) == 8
    assert len(found.changes) == 1


def test_a_count_goes_up_by_ones():
    found = mended("roof-edge", nail_rows=1)
    assert changes(found) == {"nail_rows": 2}
    assert found.changes[0].steps == 1


def test_one_left_to_its_default_can_be_changed():
    site = site_of(Roof(), "sheet-metal-handbook")
    found = mended("wall", site, reglet_height=inches(10.5), counterflashing_lap=inches(2))
    assert found.verdict is Verdict.MENDED
    assert all(c.default == (c.key not in {"reglet_height", "counterflashing_lap"})
               for c in found.changes)  # fmt: skip
    bench = Bench(
        CONDITIONS["wall"],
        found.parameters,
        site,
        handles(CONDITIONS["wall"], found.parameters, site, INCH),
    )
    assert bench.failing(()) == ()


def test_advice_is_told_and_not_mended():
    found = mended("wall", flashing_height=inches(30), strip_in_out=inches(2))
    assert "tall_flashing" in [f.rule for f in found.advice]
    assert changes(found) == {"strip_in_out": parse_length("3 in")}
    assert all(f.severity is Severity.REQUIRED for f in found.failing)


# --- the last resorts -----------------------------------------------------------------


def test_a_kind_is_changed_only_where_numbers_do_not_help():
    found = mended("wall", cant_material="wood", strip_in_out=inches(2))
    assert changes(found) == {
        "cant_material": "perlite",
        "strip_in_out": parse_length("3 in"),
    }
    assert {f.rule for f in found.last_resort} >= {"combustible_cant"}


def test_a_kind_that_is_only_made_of_something_else_comes_first():
    # under a coping there would be no thin counterflashing either
    found = mended("wall", counterflashing_metal="stainless-018")
    assert list(changes(found)) == ["counterflashing_metal"]


def test_the_roof_is_changed_last_and_named_as_such():
    site = site_of(Roof(slope=parse_slope("1/8 in per ft")))
    found = mended("wall", site)
    assert [(c.home, c.key, c.steps) for c in found.changes] == [(ROOF, "slope", 2)]
    assert found.changes[0].needed == parse_slope("1/4 in per ft")
    assert found.roof.slope == parse_slope("1/4 in per ft")
    assert [f.rule for f in found.last_resort] == ["shallow_slope"]


def test_boards_that_are_not_there_can_be_added():
    site = site_of(Roof(deck="steel", insulation=()))
    found = mended("wall", site)
    assert [(c.home, c.key, c.adds) for c in found.changes] == [(ROOF, "cover_board", True)]
    assert found.changes[0].needed == parse_length("1/4 in")


# --- what is kept, and what is accepted -----------------------------------------------


def test_what_is_kept_stays_and_the_conflict_is_told():
    kept = {"reglet_height", "termination"}
    found = mended("wall", reglet_height=inches(8), kept=kept)
    assert found.verdict is Verdict.CONFLICT
    assert found.conflict is not None
    [short] = found.conflict.shorts
    assert short.finding.rule == "low_flashing"
    assert short.best is not None
    assert short.best.value == pytest.approx(inches(7))
    assert found.conflict.kept == ("reglet_height", "termination")
    assert found.parameters == broken("wall", reglet_height=inches(8)).parameters


def test_two_rules_that_cannot_hold_together_are_named_with_their_figures():
    """The hem 1 in off a cant that is kept, the lap 4 in: the flashing must go higher.

    Its top is kept at 8 in. On a level roof the hem can hang at most at 8 in - 4 in, and
    must hang 1 in above the cant's top, which lies 3 1/2 in less the sheets' thickness
    above the finish ply.
    """
    rules = CATALOG.rule_set("sheet-metal-handbook")
    low = replace(rules.row("flashing_height_least"), value=inches(8))
    asked = replace(rules, rows={**rules.rows, "flashing_height_least": low})
    site = Site(Roof(), CATALOG, asked)
    item = broken(
        "wall",
        flashing_height=inches(8),
        cant_height=inches(3.5),
        counterflashing_lap=inches(4),
        fall="along",
        kept={"flashing_height", "cant_height", "termination", "wall", "fall", "roof"},
    )
    found = mend(item, site, INCH)
    assert found.verdict is Verdict.CONFLICT
    assert found.conflict is not None
    shorts = {s.finding.rule: s for s in found.conflict.shorts}
    assert set(shorts) == {"short_counterflashing_lap", "low_hem"}
    sheets = sum(
        CATALOG.material(m).thickness
        for m in (
            "base-ply-glass-smooth",
            "base-ply-glass-smooth",
            "finish-ply-glass-granule",
        )
    )
    hem = inches(8) - inches(4) + sheets - inches(3.5)  # above the bare cant
    best = shorts["low_hem"].best
    assert best is not None
    assert best.value == pytest.approx(hem, abs=1.6)  # within a step
    assert best.value < inches(1)


def test_an_accepted_deviation_is_left_and_the_rest_is_mended():
    found = mended(
        "wall",
        flashing_height=inches(7),
        strip_in_out=inches(2),
        accepted={"low_flashing", "weak_water_path_high", "short_counterflashing_lap"},
    )
    assert changes(found) == {"strip_in_out": parse_length("3 in")}
    assert "low_flashing" in [f.rule for f in found.accepted]
    assert "low_flashing" not in [f.rule for f in found.failing]


def test_a_search_that_is_given_up_says_so(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(bench_module, "MOST_BUILDS", 5)
    found = mended("wall", flashing_height=inches(7))
    assert found.verdict is Verdict.UNSETTLED
    assert (found.changes, found.builds) == ((), 5)


# --- a whole job ----------------------------------------------------------------------


def test_a_roof_changed_for_one_condition_moves_all():
    site = site_of(Roof(slope=parse_slope("1/8 in per ft"), adhesion=Method.HOT_ASPHALT))
    items = [
        broken("wall"),
        broken("roof-edge", nail_rows=1),
        broken("wall", accepted={"shallow_slope"}),
    ]
    told: list[str] = []
    done = mend_all(items, site, INCH, told.append)
    assert [(c.key, c.needed) for c in done.roof] == [
        ("slope", parse_slope("1/4 in per ft"))
    ]
    assert [one.verdict for one in done.conditions[:2]] == [Verdict.MENDED] * 2
    assert [changes(one) for one in done.conditions[:2]] == [{}, {"nail_rows": 2}]
    assert all(one.roof.slope == parse_slope("1/4 in per ft") for one in done.conditions)
    assert len(told) == 3
    for item, one in zip(items, done.conditions, strict=True):
        fixed = replace(site, roof=one.roof)
        bench = Bench(item.condition, one.parameters, fixed, ())
        assert bench.failing(()) == ()


def test_conditions_that_differ_in_name_alone_are_looked_at_once():
    item = broken("wall", flashing_height=inches(7))
    other = replace(item, parameters=item.parameters.model_copy(update={"id": "X2"}))
    done = mend_all([item, other], site_of(), INCH)
    assert [one.id for one in done.conditions] == ["X1", "X2"]
    assert [c.home for one in done.conditions for c in one.changes] == ["X1", "X2"]
    assert done.conditions[1].parameters.id == "X2"


@pytest.mark.parametrize("kind", CONDITIONS)
def test_a_kind_that_holds_has_nothing_to_mend(kind: str):
    assert mended(kind).verdict is Verdict.HOLDS


def test_the_outcome_is_the_same_each_time():
    item = broken("roof-edge", nail_rows=1, flange=inches(2.5), face=inches(2))
    assert mend(item, site_of(), INCH) == mend(item, site_of(), INCH)
    assert Outcome.FAIL in {f.outcome for f in mend(item, site_of(), INCH).failing}
