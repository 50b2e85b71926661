"""Two versions of a job: hand-made pairs, each with what must be told and nothing else."""

import json

import pytest
from typer.testing import CliRunner

from detailgen.cli import app
from detailgen.compare import Fate, State, dimension_words, sentences
from detailgen.compare_pages import only_printing, signed
from detailgen.units import UnitSystem, inches
from tests.compare.jobs import BASE, detail, differ, put

FEET = UnitSystem.FEET_INCHES
HUNDRED_FEET = 30.48
"""m"""


def told(found):
    return [(d.id, d.state) for d in found.changed]


# --- what is no change ------------------------------------------------------------------


def test_a_job_is_the_same_as_itself():
    found = differ(BASE, BASE)
    assert found.same
    assert not found.worse
    assert {d.state for d in found.details} == {State.SAME}


def test_order_comments_and_layout_are_no_change():
    head, *conditions = BASE.split("[[condition]]")
    turned = head + "".join(f"[[condition]]{c}" for c in reversed(conditions))
    again = "# of the office\n" + turned.replace('"8 in"', '"8 in" # as agreed')
    again = again.replace('insulation = ["2 in"]', 'insulation = [\n  "2 in",\n]')
    assert differ(BASE, again).same


def test_a_default_that_is_written_out_is_no_change():
    assert differ(BASE, put(BASE, ('kind = "drain"', 'kind = "drain"\ntitle = ""'))).same
    plain = put(BASE, ('slope = "1/4 in per ft"\n', 'adhesion = "torch"\n'))
    assert differ(BASE, plain).same  # the rule set asks this slope


def test_other_units_of_the_same_lengths_are_units_only():
    metric = put(
        BASE,
        ('"8 in"', '"203.2 mm"'),
        ('"12 in"', '"304.8 mm"'),
        ('"2 in"', '"50.8 mm"'),
        ('"100 ft"', '"30.48 m"'),
        ('"1/4 in per ft"', '"1:48"'),
        ('revision = "A"', 'revision = "A"\nunits = "millimetres"'),
    )
    found = differ(BASE, metric)
    assert [(s.home, s.value.key) for s in found.shared] == [("project", "units")]
    assert found.shared[0].reaches == ("W1", "E1", "D1")
    assert not found.changed
    assert not found.totals
    assert only_printing(found)


# --- conditions that come, go and change their mark -------------------------------------


def test_a_condition_under_another_mark_is_renamed():
    found = differ(BASE, put(BASE, ('"E1"', '"E9"')))
    (one,) = found.changed
    assert (one.id, one.old and one.old.id, one.renamed) == ("E9", "E1", True)
    assert not one.values
    assert not one.drawn_anew
    assert not one.quantities
    assert not found.totals
    assert sentences(one, FEET) == ["Was E1"]


def test_another_mark_and_title_is_renamed_too_and_the_title_told():
    titled = put(BASE, ('id = "E1"', 'id = "E9"\ntitle = "Dock edge"'))
    (one,) = differ(BASE, titled).changed
    assert one.renamed
    assert [(v.key, v.new) for v in one.values] == [("title", "Dock edge")]


def test_another_mark_and_content_is_one_gone_and_one_come():
    found = differ(BASE, put(BASE, ('id = "E1"', 'id = "E9"\nedge = "flush"')))
    assert told(found) == [("E9", State.ADDED), ("E1", State.REMOVED)]
    gone = {q.id: q for q in detail(found, "E1").quantities}
    assert gone["edge-metal"].new is None
    assert gone["edge-metal"].old.net > 0.0


def test_of_two_alike_each_is_renamed_once():
    twice = BASE + '\n[[condition]]\nid = "E2"\nkind = "roof-edge"\nlength = "60 ft"\n'
    found = differ(twice, put(twice, ('"E1"', '"A1"'), ('"E2"', '"A2"')))
    assert [(d.old.id, d.id) for d in found.changed] == [("E1", "A1"), ("E2", "A2")]


# --- dimensions, parts and amounts ------------------------------------------------------


def test_a_higher_flashing_is_told_by_its_dimension_and_its_area():
    found = differ(BASE, put(BASE, ('"8 in"', '"10 in"')))
    assert told(found) == [("W1", State.CHANGED)]
    one = detail(found, "W1")
    assert [(v.key, v.old, v.new) for v in one.values] == [
        ("flashing_height", inches(8), inches(10))
    ]
    moved = {(d.view, d.gauge): d for d in one.dimensions}
    height = moved["section", "flashing-height"]
    assert (height.old, height.new) == pytest.approx((inches(8), inches(10)))
    assert dimension_words(height, FEET) == ('8"', '10"')
    assert sentences(one, FEET)[0] == 'flashing height 8" -> 10"'
    # 2 in more of one sheet over 100 ft, and nothing else of it: 0.0508 x 30.48 m2
    flashing = next(q for q in one.quantities if q.id == "flashing")
    assert flashing.new.net - flashing.old.net == pytest.approx(0.0508 * HUNDRED_FEET)
    assert flashing.new.rate - flashing.old.rate == pytest.approx(0.0508)
    parts = {p.id: p for p in one.parts if p.view == "section"}
    assert parts["flashing"].fate is Fate.CHANGED
    # the sheet is 2 in longer, and as thick as it is
    thick = one.new.section.body("flashing").thickness
    assert parts["flashing"].apart == pytest.approx(inches(2) * thick, rel=1e-6)
    assert "base-ply" not in parts


def test_a_longer_wall_moves_amounts_and_no_drawing():
    found = differ(BASE, put(BASE, ('"100 ft"', '"200 ft"')))
    one = detail(found, "W1")
    assert [v.key for v in one.values] == ["length"]
    assert not one.drawn_anew
    assert not one.findings
    assert one.quantities
    for q in one.quantities:
        assert q.new.net == pytest.approx(2.0 * q.old.net, rel=1e-12)
    (rows,) = [t for t in found.totals if t.item == "flashing-foil"]
    assert rows.new.net == pytest.approx(2.0 * rows.old.net)


def test_without_lengths_amounts_for_a_metre_are_compared():
    bare = put(BASE, ('length = "100 ft"\n', ""))
    one = detail(differ(bare, put(bare, ('"8 in"', '"10 in"'))), "W1")
    flashing = next(q for q in one.quantities if q.id == "flashing")
    assert flashing.old.net is None
    assert flashing.new.rate - flashing.old.rate == pytest.approx(0.0508)


def test_a_part_that_is_left_out_is_told():
    cleat = put(BASE, ('kind = "roof-edge"', 'kind = "roof-edge"\ncleat = false'))
    one = detail(differ(BASE, cleat), "E1")
    fates = {p.id: p.fate for p in one.parts if p.view == "section"}
    assert fates["cleat"] is Fate.REMOVED
    assert [(v.key, v.old, v.new) for v in one.values] == [("cleat", True, False)]


# --- what conditions share --------------------------------------------------------------


def test_a_rule_of_the_job_reaches_whom_it_is_asked_of_and_is_worse():
    rule = '\n[[rule]]\nrule = "flashing_height_least"\nvalue = "9 in"\nreason = "Snow"\n'
    found = differ(BASE, BASE + rule)
    homes = {(s.home, s.value.key): s.reaches for s in found.shared}
    assert homes == {
        ("rule", "flashing_height_least.value"): ("W1",),
        ("rule", "flashing_height_least.reason"): ("W1",),
    }
    (change,) = [f for f in detail(found, "W1").findings if f.rule == "low_flashing"]
    assert change.appeared
    assert found.worse
    back = differ(BASE + rule, BASE)
    (change,) = [f for f in detail(back, "W1").findings if f.rule == "low_flashing"]
    assert change.went
    assert not back.worse


def test_an_accepted_failure_is_not_worse_until_nobody_accepts_it():
    low = put(BASE, ('"8 in"', '"7 in"'))
    rules = ("low_flashing", "short_counterflashing_lap", "weak_water_path_high")
    head = "[[condition.accept]]\nrule = "
    accept = "".join(f'{head}"{r}"\nreason = "Sills"\nby = "The owner"\n' for r in rules)
    before, wall, rest = low.partition('reglet_height = "12 in"\n')
    accepted = before + wall + accept + rest
    assert not differ(BASE, accepted).worse
    assert differ(accepted, low).worse
    one = detail(differ(accepted, low), "W1")
    assert {(v.key, v.new) for v in one.values} == {(f"accept.{r}", None) for r in rules}


def test_each_of_several_shared_changes_reaches_what_it_alone_moves():
    several = put(BASE, ('"1/4 in per ft"', '"1/2 in per ft"\nroll_width = "36 in"'))
    material = (
        '\n[[material]]\nmaterial = "lead-4"\nthickness = "2 mm"\nreason = "On hand"\n'
    )
    found = differ(BASE, several + material)
    reached = {s.value.key: s.reaches for s in found.shared}
    assert reached["slope"] == ("W1", "E1", "D1")
    assert reached["lead-4.thickness"] == ("D1",)
    assert all(s.certain for s in found.shared)
    assert "D1" not in reached["roll_width"] or detail(found, "D1").quantities


def test_a_shared_change_that_moves_nothing_reaches_nothing():
    found = differ(BASE, put(BASE, ('name = "Invented depot"', 'name = "Salt depot"')))
    (one,) = found.shared
    assert (one.value.key, one.reaches) == ("name", ())
    assert not found.changed


def test_another_rule_set_tells_the_rows_that_ask_something_else():
    sets = put(BASE, ('revision = "A"', 'revision = "A"\nrules = "navy-guides"'))
    found = differ(BASE, sets)
    rows = {v.key: (v.old, v.new) for v in found.asked}
    assert rows["slope_least"] == pytest.approx((1 / 48, 1 / 24))
    assert [s.value.key for s in found.shared] == ["rules"]


def test_a_distance_that_is_told_anew_reaches_both():
    near = '\n[[distance]]\nof = "D1"\nto = "W1"\nclear = "{}"\n'
    found = differ(BASE + near.format("40 in"), BASE + near.format("30 in"))
    assert [(s.home, s.value.old, s.value.new) for s in found.shared] == [
        ("distance", inches(40), inches(30))
    ]
    assert set(found.shared[0].reaches) == {"W1", "D1"}


def test_prices_tell_what_the_difference_costs(tmp_path):
    prices = tmp_path / "prices.csv"
    prices.write_text("item,price,per\nflashing-foil,2.00,sq ft\n")
    found = differ(BASE, put(BASE, ('"8 in"', '"10 in"')), prices)
    (row,) = [t for t in found.totals if t.item == "flashing-foil"]
    feet = (row.new.gross - row.old.gross) / 0.3048**2
    assert row.new.cost - row.old.cost == pytest.approx(2.0 * feet)
    assert feet > 100.0 * 2.0 / 12.0  # laps and waste come on top of 2 in over 100 ft


# --- the command ------------------------------------------------------------------------


@pytest.fixture
def files(tmp_path):
    def write(old, new):
        paths = tmp_path / "old.toml", tmp_path / "new.toml"
        for path, text in zip(paths, (old, new), strict=True):
            path.write_text(text, encoding="utf-8")
        return [str(p) for p in paths]

    return write


def run(*args):
    return CliRunner().invoke(app, ["compare", *args])


def test_the_screen_tells_what_moved_and_by_how_much(files):
    ran = run(*files(BASE, put(BASE, ('"8 in"', '"10 in"'), ('"E1"', '"E2"'))))
    assert ran.exit_code == 0, ran.output
    assert "flashing height" in ran.output
    assert '+2"' in ran.output
    assert "E2  Roof edge with flanged metal: was E1" in ran.output
    assert "moved along; --all lists them" in ran.output
    assert "Conditions: 2 changed, 1 the same (1 renamed)." in ran.output
    assert "+16.67" in ran.output  # 2 in of 100 ft, sq ft


def test_the_same_job_is_told_as_such(files):
    ran = run(*files(BASE, f"# again\n{BASE}"))
    assert ran.exit_code == 0
    assert ran.output.strip() == "The two files describe the same job."


def test_what_fails_anew_is_exit_code_1(files):
    ran = run(*files(BASE, put(BASE, ('"8 in"', '"7 in"'))))
    assert ran.exit_code == 1
    assert "fail now and did not" in " ".join(ran.output.split())


def test_json_has_true_millimetres_and_the_same_keys_for_both_sides(files):
    ran = run("--json", *files(BASE, put(BASE, ('"8 in"', '"10 in"'))))
    content = json.loads(ran.output)
    one = next(c for c in content["conditions"] if c["id"] == "W1")
    height = next(d for d in one["dimensions"] if d["id"] == "flashing-height")
    assert (height["old_mm"], height["new_mm"]) == pytest.approx((203.2, 254.0))
    assert one["state"] == "changed"
    assert content["same"] is False
    flashing = next(q for q in one["quantities"] if q["id"] == "flashing")
    assert flashing["old"].keys() == flashing["new"].keys() == {"rate", "net", "gross"}


def test_a_mistake_in_either_file_is_told_and_nothing_else(files):
    paths = files(BASE, put(BASE, ('"8 in"', "8")))
    ran = run(*paths)
    assert ran.exit_code == 2
    assert "new.toml" in ran.stderr
    assert not ran.stdout


def test_differences_have_their_sign():
    assert [signed(v) for v in (0.004, -0.004, 0.0)] == ["+0", "-0", "-"]
