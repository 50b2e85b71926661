"""Rule sets: what they hold, how two combine, where they clash, how a job names them."""

import json
from collections.abc import Mapping
from dataclasses import replace
from itertools import combinations, combinations_with_replacement
from pathlib import Path
from shutil import copytree

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from detailgen.catalog import (
    COMMON_PRACTICE,
    DEFAULT_RULES,
    Fit,
    Rule,
    RuleSet,
    Verdict,
    combined,
    load_catalog,
    strained,
    tried,
    with_rule_overrides,
)
from detailgen.catalog.combining import stricter, strictest
from detailgen.checks import REGISTRY, check
from detailgen.cli import app
from detailgen.conditions import CONDITIONS, Site
from detailgen.errors import UserError
from detailgen.finding import Outcome, Relation, Severity
from detailgen.loader import load_job
from detailgen.loader.schema import job_schema
from detailgen.loader.starter import starter
from detailgen.parameters import Project, Roof, RuleOverride
from detailgen.pipeline import check_job, told_source

CATALOG = load_catalog()
SETS = CATALOG.rule_sets
BASE = CATALOG.rule_set(DEFAULT_RULES)
PAIRS = list(combinations(SETS, 2))
EVERY_PAIR = list(combinations_with_replacement(SETS, 2))
HANDBOOK, GUIDE = "sheet-metal-handbook", "us-government-guide"
FLASHING = "counterflashing_below_flashing_top"


def own(rules: RuleSet) -> dict[str, Rule]:
    """Return the rows that stand in a set's own file."""
    return {
        i: r for i, r in rules.rows.items() if any(o.set_id == rules.id for o in r.origins)
    }


# --- what the sets hold -------------------------------------------------------------------


def test_these_are_the_sets() -> None:
    assert set(SETS) == {
        "common-practice", "sheet-metal-handbook", "us-government-guide", "navy-guides",
        "copper-handbook", "british-standard", "canadian-manual",
    }  # fmt: skip


@pytest.mark.parametrize("name", SETS)
def test_a_set_has_every_row_and_says_where_each_stands(name: str) -> None:
    rules = SETS[name]
    assert rules.rows.keys() == BASE.rows.keys()
    assert rules.about
    assert own(rules)
    for row in rules.rows.values():
        (origin,) = row.origins
        assert origin.set_id in SETS
        assert (origin.source, origin.known) == (row.source, row.known)
        assert row.asks == BASE.row(row.id).asks
        assert row.unit == BASE.row(row.id).unit


@pytest.mark.parametrize("name", set(SETS) - {DEFAULT_RULES})
def test_a_set_of_documents_rests_on_documents_alone(name: str) -> None:
    for row in own(SETS[name]).values():
        assert row.source != COMMON_PRACTICE
        assert row.known in {"read", "restated"}
    for one in SETS[name].unbuilt:
        assert one.source != COMMON_PRACTICE
        assert one.text.endswith(".")
    assert SETS[name].unbuilt


def test_which_way_is_stricter_agrees_with_the_checks() -> None:
    """A switch is stricter when it is on; a row of an upper limit when it is lower."""
    seen: set[str] = set()
    for one in REGISTRY.values():
        rows = dict.fromkeys(one.rows, one.relation)
        if one.asked is not None:
            rows = dict.fromkeys(one.rows, Relation.AT_LEAST)
        elif one.relation is Relation.BETWEEN:
            rows = {one.rows[0]: Relation.AT_LEAST, one.high_row: Relation.AT_MOST}
        for row, relation in rows.items():
            assert BASE.row(row).asks is relation, row
        seen |= set(rows)
    # quantities alone read the one, builders the other
    assert set(BASE.rows) - seen == {"end_lap_least", "drain_sheet_of_copper"}
    assert BASE.row("end_lap_least").asks is Relation.AT_LEAST


def test_a_row_that_asks_nothing_is_not_measured() -> None:
    assert not BASE.row("flange_width_most").demanded
    site = Site(Roof(), CATALOG, BASE)
    edge = CONDITIONS["roof-edge"]
    section = edge.build(edge.parameters(id="E1"), site)
    found = {f.rule: f for f in check(section, BASE, CATALOG)}["wide_flange"]
    assert found.outcome is Outcome.NOT_APPLICABLE
    assert found.reason == "the rule set does not ask this"
    assert found.required.amount.words == "nothing"


# --- combining ----------------------------------------------------------------------------


@pytest.mark.parametrize(("one", "other"), EVERY_PAIR)
def test_two_sets_combine_in_any_order_and_ask_what_the_stricter_asks(
    one: str, other: str
) -> None:
    first, second = SETS[one], SETS[other]
    both = combined(first, second)
    assert both == combined(second, first)
    assert both.rows.keys() == BASE.rows.keys()
    for row in both.rows.values():
        parts = [first.row(row.id), second.row(row.id)]
        assert row.value in {p.value for p in parts}
        assert not any(stricter(part, row) for part in parts)
        winners = [p for p in parts if p.value == row.value and p.demanded == row.demanded]
        assert {o for p in winners for o in p.origins} == set(row.origins)


@pytest.mark.parametrize("name", SETS)
def test_a_set_combined_with_itself_is_that_set(name: str) -> None:
    assert combined(SETS[name], SETS[name]) == SETS[name]


@pytest.mark.parametrize(("one", "other"), PAIRS)
def test_combining_again_changes_no_row(one: str, other: str) -> None:
    both = combined(SETS[one], SETS[other])
    assert dict(combined(both, SETS[one]).rows) == dict(both.rows)
    assert dict(combined(both, SETS[other]).rows) == dict(both.rows)


@st.composite
def rows(draw: st.DrawFn, asks: Relation) -> Rule:
    """Return some version of a row: value, severity, source and set are drawn."""
    row = BASE.row(
        "flange_width_least" if asks is Relation.AT_LEAST else "nail_spacing_most"
    )
    value = draw(st.sampled_from([0.0, 10.0, 25.4, 101.6]))
    none = draw(st.booleans()) and draw(st.booleans())
    known = draw(st.sampled_from(["read", "restated", COMMON_PRACTICE]))
    text = COMMON_PRACTICE if known == COMMON_PRACTICE else f"Document {value:g} - {known}"
    (origin,) = row.origins
    set_id = draw(st.sampled_from(["one", "two", "three"]))
    neutral = float("inf") if asks is Relation.AT_MOST else 0.0
    return replace(
        row,
        value=neutral if none else value,
        written="none" if none else f"{value:g} mm",
        severity=draw(st.sampled_from(Severity)),
        source=text,
        known=known,
        origins=(replace(origin, set_id=set_id, source=text, known=known),),
    )


@settings(max_examples=300)
@given(data=st.data(), asks=st.sampled_from([Relation.AT_LEAST, Relation.AT_MOST]))
def test_the_stricter_row_wins_whatever_the_rows(
    data: st.DataObject, asks: Relation
) -> None:
    a, b, c = (data.draw(rows(asks)) for _ in range(3))
    both = strictest(a, b)
    assert both == strictest(b, a)
    assert strictest(a, a) == a
    assert strictest(both, a).value == both.value
    three, other = strictest(both, c), strictest(a, strictest(b, c))
    assert (three.value, three.demanded, three.origins, three.source) == (
        other.value, other.demanded, other.origins, other.source,
    )  # fmt: skip
    assert not stricter(a, both)
    assert not stricter(b, both)
    demanding = [r for r in (a, b) if r.demanded]
    required = any(r.severity is Severity.REQUIRED for r in demanding)
    if demanding:
        assert (both.severity is Severity.REQUIRED) == required


def test_equal_values_are_told_with_both_sources_the_better_known_first() -> None:
    both = CATALOG.rules_of([HANDBOOK, DEFAULT_RULES]).row("counterflashing_lap_least")
    assert [o.set_id for o in both.origins] == [DEFAULT_RULES, HANDBOOK]
    copper, _, manual = both.source.partition("; ")
    assert copper.endswith("- read")
    assert manual.endswith("- restated")
    assert both.known == "read"


def test_stricter_goes_by_the_row() -> None:
    both = CATALOG.rules_of(["british-standard", "navy-guides"])
    assert both.value("slope_least") == pytest.approx(1 / 24)
    assert both.value("flashing_height_least") == pytest.approx(203.2)
    less = CATALOG.rules_of(["canadian-manual", "common-practice"])
    assert less.value("bar_fastener_spacing_most") == pytest.approx(300)
    assert less.value("top_fastener_spacing_most") == pytest.approx(203.2)


# --- relations and conflicts --------------------------------------------------------------


def test_relations_name_rows_that_exist() -> None:
    for fit in CATALOG.relations.values():
        assert set(fit.rows) <= set(BASE.rows)
        assert fit.text
        assert set(fit.adds) <= set(CATALOG.materials)


def test_every_least_with_a_most_has_its_relation() -> None:
    tied = {fit.rows for fit in CATALOG.relations.values()}
    for least in BASE.rows:
        stem = least.removesuffix("_least")
        for most in (f"{stem}_most", f"{stem}_usual_most"):
            if least != stem and most in BASE.rows:
                assert (least, most) in tied


def strains(name: str) -> Mapping[str, Verdict]:
    found = strained(CATALOG.relations.values(), SETS[name], CATALOG.materials)
    return {t.fit.id: t.verdict for t in found}


def test_which_sets_strain_which_relations_by_themselves() -> None:
    """The British 150 mm leave no room for the default's lap of 4 in; copper wants 4 in."""
    told = {name: strains(name) for name in SETS}
    assert {name: found for name, found in told.items() if found} == {
        "british-standard": {
            FLASHING: Verdict.MORE_ROOM,
            "upper_lap_above_cant": Verdict.MORE_ROOM,
        },
        "copper-handbook": {"flange_width_from_to": Verdict.EXACTLY},
    }


def test_a_least_over_a_most_can_never_hold_and_is_explained() -> None:
    change = RuleOverride(rule="flange_width_least", value="5 in", reason="wide nailer")
    rules = with_rule_overrides(SETS["copper-handbook"], [change])
    (conflict,) = CATALOG.conflicts_of(rules)
    assert conflict.verdict is Verdict.NEVER
    assert conflict.arithmetic == ("5 in > 4 in",)
    assert "flange_width_most, flange_width_least must be given another" in conflict.mend


def test_at_least_against_at_most_the_same_leaves_one_value() -> None:
    (conflict,) = CATALOG.conflicts_of(CATALOG.rules_of([DEFAULT_RULES, "copper-handbook"]))
    assert conflict.verdict is Verdict.EXACTLY
    assert conflict.arithmetic == ("4 in = 4 in",)
    assert [row.id for row in conflict.rows] == ["flange_width_most", "flange_width_least"]


@settings(max_examples=200)
@given(
    cant=st.floats(10, 200), hem=st.floats(0, 100), lap=st.floats(0, 200),
    height=st.floats(50, 600),
)  # fmt: skip
def test_a_relation_is_the_sum_that_it_says(
    cant: float, hem: float, lap: float, height: float
) -> None:
    values = {
        "cant_height_least": cant,
        "hem_above_cant_least": hem,
        "counterflashing_lap_least": lap,
        "flashing_height_least": height,
    }
    rows_ = {
        i: replace(r, value=values[i], written=f"{values[i]} mm") if i in values else r
        for i, r in BASE.rows.items()
    }
    found = tried(CATALOG.relations[FLASHING], replace(BASE, rows=rows_), CATALOG.materials)
    spare = height + 2 * 2.6 + 3.6 - (cant + hem + lap)
    assert found.spare == pytest.approx(spare)
    assert (found.verdict is Verdict.MORE_ROOM) == (spare < -0.01)
    assert float(found.needed.split()[0]) == pytest.approx(height - spare, abs=0.06)


def test_a_relation_may_take_a_row_several_times() -> None:
    fit = CATALOG.relations["nails_staggered_within_spacing"]
    found = tried(fit, BASE, CATALOG.materials)
    assert found.spare == pytest.approx(3 * 25.4 - 2 * 0.75 * 25.4)
    assert found.arithmetic == "2 x 3/4 in < 3 in"


BAD_RELATIONS = {
    '[x]\ntext = "T"\nneeds = ["nothing_least"]\nroom = ["flange_width_most"]\n'
    'source = "s"\nknown = "computed"\n': "x.needs",
    '[x]\ntext = "T"\nroom = ["flange_width_most"]\n'
    'source = "s"\nknown = "computed"\n': "x",
    '[x]\ntext = "T"\nneeds = ["flange_width_least"]\nroom = ["slope_least"]\n'
    'source = "s"\nknown = "computed"\n': "x.room",
    '[x]\ntext = "T"\nneeds = ["flange_width_least"]\nroom = ["flange_width_most"]\n'
    'times = { kick_most = 2 }\nsource = "s"\nknown = "computed"\n': "x.times",
    '[x]\ntext = "T"\nneeds = ["flange_width_least"]\nroom = ["flange_width_most"]\n'
    'adds = ["primer"]\nsource = "s"\nknown = "computed"\n': "x.adds",
    '[x]\ntext = "T"\nneeds = ["flange_width_least"]\nroom = ["flange_width_most"]\n'
    'ads = ["primer"]\nsource = "s"\nknown = "computed"\n': "x.ads",
}


@pytest.mark.parametrize("content", BAD_RELATIONS)
def test_a_relation_that_is_wrong_is_told(content: str, tmp_path: Path) -> None:
    folder = Path(copytree(Path(__file__).parents[1] / "catalog", tmp_path / "catalog"))
    (folder / "rules/relations.toml").write_text(content, encoding="utf-8")
    with pytest.raises(UserError) as told:
        load_catalog(folder)
    (problem,) = told.value.problems
    assert problem.key == BAD_RELATIONS[content]
    assert problem.file.endswith("relations.toml")


def test_a_folder_without_relations_has_none(tmp_path: Path) -> None:
    folder = Path(copytree(Path(__file__).parents[1] / "catalog", tmp_path / "catalog"))
    (folder / "rules/relations.toml").unlink()
    assert not load_catalog(folder).relations


# --- what the conditions draw by default --------------------------------------------------

VARIANTS: Mapping[str, tuple[dict[str, object], ...]] = {
    "wall": (
        {},
        {"termination": "surface"},
        {"termination": "coping"},
        {"flashing": "granule-in-cement"},
        {"wall": "concrete", "fall": "toward"},
    ),
    "roof-edge": ({}, {"edge": "flush"}, {"edge_strip": True}, {"cleat": False}),
    "curb": ({}, {"top": "cap"}, {"top": "unit", "fall": "along"}, {"cricket": 101.6}),
    "expansion-joint": ({}, {"joint": "area-divider"}, {"built_at": "unknown"}),
    "independent-wall": ({}, {"wall": "stud", "termination": "surface"}),
    "equipment-support": ({}, {"post": "tube"}),
    "equipment-sleeper": ({}, {"flashing": "granule-in-cement"}),
}
NOT_TO_BE_GIVEN = {
    # UFGS 07511 asks two plies of a base flashing; a coped wall's upper sheet is one.
    (GUIDE, "termination = coping"): {"bare_wall"},
    ("navy-guides", "termination = coping"): {"bare_wall"},
}
"""Required rules that no parameter can meet."""
ADVICE = {
    # UFGS 07600 lays the flange on the finished field: an order that is not built.
    GUIDE: {"flange_below_finish_ply"},
    "navy-guides": {"flange_below_finish_ply", "surface_mounted_counterflashing"},
    "canadian-manual": {"surface_mounted_counterflashing"},
}
"""Advice that defaults do not follow."""


def failing(rules: RuleSet, kind: str, given: dict[str, object]) -> dict[str, Severity]:
    site = Site(Roof(slope=rules.value("slope_least")), CATALOG, rules)  # type: ignore[arg-type]
    condition = CONDITIONS[kind]
    parameters = condition.parameters(id="D1", **given)  # type: ignore[arg-type]
    assert not condition.impossible(parameters, site)
    found = check(condition.build(parameters, site), rules, CATALOG)
    return {f.rule: f.severity for f in found if f.outcome is Outcome.FAIL}


@pytest.mark.parametrize("name", SETS)
@pytest.mark.parametrize(
    ("kind", "given"), [(k, g) for k, several in VARIANTS.items() for g in several], ids=str
)
def test_defaults_hold_in_every_set_where_a_parameter_can_make_them(
    name: str, kind: str, given: dict[str, object]
) -> None:
    broken = failing(SETS[name], kind, given)
    required = {r for r, s in broken.items() if s is Severity.REQUIRED}
    key = (name, ", ".join(f"{k} = {v}" for k, v in given.items()))
    assert required == NOT_TO_BE_GIVEN.get(key, set())
    assert set(broken) - required <= ADVICE.get(name, set())


@pytest.mark.parametrize(("one", "other"), PAIRS)
def test_defaults_hold_in_every_combination_too(one: str, other: str) -> None:
    rules = combined(SETS[one], SETS[other])
    for kind in CONDITIONS:
        broken = failing(rules, kind, {})
        assert not [r for r, s in broken.items() if s is Severity.REQUIRED], kind


def test_a_taller_cant_raises_the_flashing_until_cant_and_lap_fit() -> None:
    broken = failing(BASE, "wall", {"cant_height": 152.4})
    assert not broken
    broken = failing(BASE, "wall", {"cant_height": 152.4, "termination": "coping"})
    assert not broken


# --- a job --------------------------------------------------------------------------------

WALL = '[[condition]]\nid = "W1"\nkind = "wall"\n'


def written(folder: Path, rules: str, more: str = "") -> Path:
    file = folder / "job.toml"
    file.write_text(
        f'[project]\nname = "T"\nrules = {rules}\n{more}{WALL}', encoding="utf-8"
    )
    return file


def test_a_job_names_one_set_or_two(tmp_path: Path) -> None:
    one = load_job(written(tmp_path, '"navy-guides"'))
    assert (one.rules, one.project.rules) == (SETS["navy-guides"], ("navy-guides",))
    listed = load_job(written(tmp_path, '["navy-guides"]'))
    assert listed.rules == SETS["navy-guides"]
    two = load_job(written(tmp_path, f'["{HANDBOOK}", "{GUIDE}"]'))
    assert two.rules == combined(SETS[GUIDE], SETS[HANDBOOK])
    assert two.rules.set_ids == (HANDBOOK, GUIDE)
    assert Project(name="T").rules == (DEFAULT_RULES,)


@pytest.mark.parametrize(
    ("named", "fits"),
    [
        (GUIDE, True),
        ([GUIDE], True),
        ([GUIDE, HANDBOOK], True),
        ([], False),
        ([GUIDE, GUIDE], False),
        ([GUIDE, HANDBOOK, "navy-guides"], False),
        ("navy-guide", False),
    ],
)
def test_the_schema_takes_what_the_loader_takes(named: object, fits: bool) -> None:
    job = {
        "project": {"name": "T", "rules": named},
        "condition": [{"id": "W1", "kind": "wall"}],
    }
    assert jsonschema.Draft7Validator(job_schema(CATALOG)).is_valid(job) is fits


def test_a_starter_file_says_how_sets_are_named() -> None:
    text = starter(CONDITIONS["wall"], CATALOG)
    assert '# rules = "common-practice"' in text
    assert "a list of two" in " ".join(text.replace("# ", "").split())
    assert '# slope = "1/4 in per ft"' in text


def test_the_slope_is_what_the_set_asks_unless_the_job_says(tmp_path: Path) -> None:
    job = load_job(written(tmp_path, '"navy-guides"'))
    assert job.roof.slope == pytest.approx(1 / 24)
    given_ = load_job(written(tmp_path, '"navy-guides"', '[roof]\nslope = "2 %"\n'))
    assert given_.roof.slope == pytest.approx(0.02)
    (checked,) = check_job(given_)
    assert [f.rule for f in checked.failures] == ["shallow_slope"]
    steep = '[[rule]]\nrule = "slope_least"\nvalue = "1:1"\nreason = "none"\n'
    assert load_job(written(tmp_path, '"navy-guides"', steep)).roof.slope == 0.25


@pytest.mark.parametrize(
    ("rules", "message", "mend"),
    [
        ("[]", "a list of two ids", ""),
        ("3", "a list of two ids", ""),
        ('["common-practice", 3]', "texts in quotes", ""),
        ('["common-practice", "navy-guides", "british-standard"]', "at most 2", ""),
        ('["common-practice", "common-practice"]', "stands twice", ""),
        ('["common-practice", "navy-guide"]', "no such rule set", "navy-guides"),
        ('"navy-guide"', "no such rule set", "navy-guides"),
    ],
)
def test_sets_that_cannot_be_named(
    rules: str, message: str, mend: str, tmp_path: Path
) -> None:
    with pytest.raises(UserError) as told:
        load_job(written(tmp_path, rules))
    problems = [p for p in told.value.problems if message in p.message]
    assert problems, told.value.problems
    assert problems[0].line == 3
    assert mend in problems[0].mend


def test_a_job_with_two_sets_changes_single_values(tmp_path: Path) -> None:
    change = '[[rule]]\nrule = "flashing_height_least"\nvalue = "8 in"\nreason = "Sill"\n'
    job = load_job(written(tmp_path, f'["{HANDBOOK}", "{GUIDE}"]', change))
    row = job.rules.row("flashing_height_least")
    assert (row.value, row.override) == (pytest.approx(203.2), "Sill")
    (conflict,) = job.catalog.conflicts_of(job.rules)
    assert conflict.relation == FLASHING
    assert conflict.arithmetic[0] == "8 in - (3 1/2 in + 1 in) = 3 1/2 in < 4 in"
    assert "8.15 in" in conflict.mend
    (checked,) = check_job(job)
    assert not checked.failures  # the default is drawn as high as cant, hem and lap need


def test_findings_and_sheets_say_which_set_each_value_is_from(tmp_path: Path) -> None:
    job = load_job(written(tmp_path, f'["{HANDBOOK}", "{GUIDE}"]'))
    (checked,) = check_job(job)
    found = {f.rule: f for f in checked.findings}
    assert found["low_flashing"].origins == (HANDBOOK,)
    assert found["low_cant"].origins == (DEFAULT_RULES, GUIDE)
    assert found["short_flashing_reach"].origins == (DEFAULT_RULES,)
    assert told_source(job, found["low_flashing"]).endswith(f"- restated [{HANDBOOK}]")
    change = '[[rule]]\nrule = "flashing_height_least"\nvalue = "9 in"\nreason = "Sill"\n'
    own_ = load_job(written(tmp_path, f'["{HANDBOOK}", "{GUIDE}"]', change))
    of_job = {f.rule: f for f in check_job(own_)[0].findings}["low_flashing"]
    assert of_job.origins == ()
    assert told_source(own_, of_job).endswith("[another value in this job]")
    plain = load_job(written(tmp_path, f'"{DEFAULT_RULES}"'))
    assert told_source(plain, found["low_flashing"]) == found["low_flashing"].source


# --- the command --------------------------------------------------------------------------


def run(*arguments: str, code: int = 0) -> str:
    result = CliRunner().invoke(app, ["rules", *arguments])
    assert result.exit_code == code, result.output
    return result.output


def joined(text: str) -> str:
    return " ".join(text.replace("│", " ").replace("┃", " ").split())


def test_rules_lists_the_sets_and_the_rows() -> None:
    told = joined(run())
    for rules in SETS.values():
        assert rules.name in told
    assert all(row in told for row in BASE.rows)
    guide = joined(run("--set", GUIDE))
    assert "not built or not drawn here" in guide
    assert "the flange is built between base ply and finish ply" in guide


@pytest.mark.parametrize("name", [*REGISTRY, *BASE.rows])
def test_every_rule_is_explained_with_its_values_in_every_set(name: str) -> None:
    told = joined(run(name))
    assert name in told
    rows_ = (
        [BASE.row(r) for r in REGISTRY[name].rows] if name in REGISTRY else [BASE.row(name)]
    )
    for row in rows_:
        assert row.text in told
        assert f"Guards against: {row.guards}" in told
        for rules in SETS.values():
            assert rules.id in told
    if name in REGISTRY:
        assert joined(REGISTRY[name].page) in told


def test_a_rule_is_explained_for_the_sets_that_are_named() -> None:
    told = joined(run("low_flashing", "--set", GUIDE, "--set", HANDBOOK))
    assert "Value: 10 in (required, sheet-metal-handbook)" in told
    assert "Measured upright, from the top of the finish ply" in told


def test_the_conflict_of_two_sets_is_told_with_its_arithmetic() -> None:
    told = joined(run("--set", GUIDE, "--set", HANDBOOK))
    assert "8 in - (3 1/2 in + 1 in) = 3 1/2 in < 4 in" in told
    assert "10 in - (3 1/2 in + 1 in) = 5 1/2 in >= 4 in" in told
    relation = joined(run(FLASHING))
    assert "5 1/2 in >= 4 in" in relation
    one = joined(run(FLASHING, "--set", "british-standard"))
    assert "150 mm - (88.9 mm + 0 mm) = 61.1 mm < 101.6 mm" in one
    assert "10 in" not in one


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["flashing_hight_least"], "Did you mean flashing_height_least?"),
        (["low_flashin"], "Did you mean low_flashing?"),
        (["flange_width_from_too"], "Did you mean flange_width_from_to?"),
        (["--set", "navy-guide"], "Did you mean 'navy-guides'?"),
        (["--set", GUIDE, "--set", HANDBOOK, "--set", "navy-guides"], "at most 2"),
    ],
)
def test_what_there_is_not_gets_the_nearest_name(arguments: list[str], told: str) -> None:
    assert told.lower() in joined(run(*arguments, code=2)).lower()
    answer = json.loads(run(*arguments, "--json", code=2))
    assert len(answer["problems"]) == 1


def test_rules_as_data() -> None:
    listed = json.loads(run("--json"))
    assert [s["id"] for s in listed["sets"]] == list(SETS)
    assert [row["id"] for row in listed["rows"]] == list(BASE.rows)
    assert listed["conflicts"] == []
    none = next(r for r in listed["rows"] if r["id"] == "flange_width_most")
    assert (none["value"], none["written"]) == (None, "none")
    both = json.loads(run("--json", "--set", GUIDE, "--set", HANDBOOK))
    assert both["rule_sets"] == [HANDBOOK, GUIDE]
    (conflict,) = both["conflicts"]
    assert conflict["relation"] == FLASHING
    row = json.loads(run("flashing_height_least", "--json"))["row"]
    assert row["values"]["british-standard"]["value"] == 150.0
    assert row["values"]["navy-guides"]["from"] == [GUIDE]
    assert "low_flashing" in [c["id"] for c in row["checks"]]
    one = json.loads(run("wrong_finish_gap", "--json"))["check"]
    assert [r["id"] for r in one["rows"]] == [
        "finish_gap_flush_least", "finish_gap_flush_most",
    ]  # fmt: skip
    relation = json.loads(run(FLASHING, "--json", "--set", HANDBOOK))["relation"]
    assert relation["sets"][HANDBOOK]["verdict"] == "fits"


def test_a_relation_can_be_tried_by_hand() -> None:
    fit = Fit(
        id="mine",
        text="Two reaches fit into one",
        needs=(("flashing_reach_least", 2.0),),
        room=(("flange_strip_in_least", 1.0),),
        adds=(),
        adds_text="",
        source="",
    )
    found = tried(fit, BASE, CATALOG.materials)
    assert (found.verdict, found.arithmetic) == (Verdict.MORE_ROOM, "2 x 4 in > 4 in")
    assert found.added == ""
    assert found.needed == "8 in"
