"""The catalogue: what its data must hold, and what is told of data that is wrong."""

import re
import shutil
from dataclasses import dataclass
from math import cos, radians, sin
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from detailgen.catalog import (
    CIRCUMSTANCES,
    COMMON_PRACTICE,
    DEFAULT_RULES,
    FAMILIES,
    Catalog,
    load_catalog,
    parse_value,
    with_material_overrides,
    with_rule_overrides,
)
from detailgen.errors import Problem, UserError
from detailgen.finding import Unit
from detailgen.section import Method, Role
from detailgen.sheet.pattern_view import PRIMED
from detailgen.units import UnitSystem

DATA = Path(__file__).parents[1] / "catalog"
CATALOG = load_catalog()
RULES = CATALOG.rule_set(DEFAULT_RULES)
HANDBOOK = CATALOG.rule_set("sheet-metal-handbook")
EVERY_RULE = [rule for s in CATALOG.rule_sets.values() for rule in s.rows.values()]
PRINTED = (*CATALOG.drafting.cautions, *CATALOG.drafting.notes)
CLASS = "drafting/class-papers.toml"
# Line widths that a DXF file can name, in hundredths of a millimetre.
LEGAL_PENS = {
    *(0, 5, 9, 13, 15, 18, 20, 25, 30, 35, 40, 50),
    *(53, 60, 70, 80, 90, 100, 106, 120, 140, 158, 200, 211),
}


# --- the data that we ship ---


def test_the_same_data_every_time():
    assert load_catalog() == CATALOG == load_catalog(DATA)


@pytest.mark.parametrize("rule", EVERY_RULE, ids=lambda r: r.id)
def test_every_rule_row_says_what_it_asks_guards_and_rests_on(rule):
    assert rule.text
    assert not rule.text.endswith(".")
    assert len(rule.text) <= 80
    assert rule.guards.endswith(".")
    assert rule.guards.count(".") == 1
    assert rule.written
    assert rule.source == COMMON_PRACTICE or rule.source.endswith(f" - {rule.known}")
    assert rule.override == ""


def _every_source() -> list[str]:
    materials = [m.source for m in CATALOG.materials.values()]
    return [r.source for r in EVERY_RULE] + materials + [p.source for p in PRINTED]


def test_a_source_is_a_document_or_the_mark():
    for source in _every_source():
        if source != COMMON_PRACTICE:
            assert re.search(r" - (read|restated|memory|computed)$", source), source
            assert COMMON_PRACTICE not in source


def test_guide_specifications_are_named_as_the_older_editions():
    named = [s for s in _every_source() if "UFGS" in s]
    assert named
    for source in named:
        assert re.search(r"UFGS 07\d{3} \(older five-digit edition\)", source), source
        assert "UFC 3-110-03" not in source or "2006" in source


def test_no_row_of_our_own_planning_papers_is_cited():
    for source in _every_source():
        assert not re.search(r"\b(SL|BF|CA|CF|ME|MB|MT|SM|LU|CO|NA)-\d\d\b", source)
        assert not re.search(r"\bS\d\d?[a-k]?\b", source)


def test_an_extending_set_changes_its_rows_only():
    changed = {i for i, rule in HANDBOOK.rows.items() if rule != RULES.rows[i]}
    assert HANDBOOK.extends == RULES.id
    assert HANDBOOK.rows.keys() == RULES.rows.keys()
    assert changed == {
        "flashing_height_least",
        "hem_above_cant_least",
        "counterflashing_lap_least",
        "reglet_height_least",
        "counterflashing_end_lap_least",
    }
    for row in changed:
        assert HANDBOOK.row(row).text == RULES.row(row).text
        assert HANDBOOK.row(row).known == "restated"


def test_a_value_that_is_asked_between_two_rows_leaves_room():
    for low, high in (
        ("strip_in_wall_least", "strip_in_wall_usual_most"),
        ("finish_gap_flush_least", "finish_gap_flush_most"),
        ("flashing_height_least", "flashing_height_usual_most"),
        ("cement_bed_least", "cement_bed_most"),
    ):
        assert RULES.value(low) < RULES.value(high)


@pytest.mark.parametrize("material", CATALOG.materials.values(), ids=lambda m: m.id)
def test_every_material_is_named_and_sourced(material):
    assert material.family in FAMILIES
    assert material.name
    assert material.source
    assert (material.rate > 0) == (material.rate_unit in {"L", "kg"})
    if material.family == "metal":
        assert material.id.rsplit("-", 1)[0] in {material.kind, "bar", "reglet"}
        assert material.mass > 0


def test_what_burns_holds_nails_and_has_flutes():
    def marked(flag: str) -> set[str]:
        return {m.id for m in CATALOG.materials.values() if getattr(m, flag)}

    assert marked("fluted") == {"deck-steel"}
    wooden = {"curb-wood", "deck-wood", "wall-stud", "cant-wood", "lumber-1x", "lumber-2x"}
    panels = {"plywood-1-2", "plywood-5-8", "plywood-3-4"}
    assert marked("nailable") == wooden | panels
    assert marked("combustible") >= wooden | panels | {"cant-wood-fibre"}
    assert not marked("combustible") & {"cant-perlite", "deck-concrete", "wall-masonry"}


def test_materials_that_meet_in_a_section_are_hatched_differently():
    def pattern(material: str) -> str:
        return CATALOG.material(material).pattern

    for one, other in (
        ("deck-concrete", "insulation-board"),
        ("insulation-board", "cover-board"),
        ("cover-board", "cant-perlite"),
        ("insulation-board", "cant-perlite"),
        ("cant-perlite", "wall-masonry"),
        ("cant-perlite", "wall-concrete"),
        ("lumber-2x", "plywood-3-4"),
        ("lumber-2x", "insulation-board"),
        ("deck-wood", "insulation-board"),
    ):
        assert pattern(one) != pattern(other)


def test_fills_are_light_under_a_hatch():
    for material in CATALOG.materials.values():
        if material.pattern:
            assert material.fill is not None
            assert min(material.fill) >= 225


def test_layers_are_named_once_with_pens_that_a_drawing_can_hold():
    layers = CATALOG.drafting.layers
    assert len({layer.role for layer in layers}) == len(layers)
    assert len({layer.name for layer in layers}) == len(layers)
    for layer in layers:
        assert round(layer.pen * 100) in LEGAL_PENS
        assert round(layer.pen * 100) == pytest.approx(layer.pen * 100)
        assert re.fullmatch(r"A(-[A-Z]{4}){2,3}", layer.name), layer.name
        assert layer.about
    needed = "cut sheet metal wood cement bead fastener beyond break hatch dims leaders "
    needed += "keynotes text title frame table finding legend coat true viewport"
    assert set(needed.split()) <= {layer.role for layer in layers}
    assert {layer.role for layer in layers if not layer.plots} == {"true", "viewport"}
    assert CATALOG.drafting.layer("cut").pen == 0.5


def _lines_through(pattern, angle: float) -> list[tuple[float, float]]:
    """Return offset and spacing of the full lines of a pattern that run at an angle."""
    turn = radians(angle)
    return [
        (-f.origin[0] * sin(turn) + f.origin[1] * cos(turn), f.spacing)
        for f in pattern.families
        if f.angle == angle and not f.dashes
    ]


@pytest.mark.parametrize(
    "pattern", CATALOG.drafting.patterns.values(), ids=lambda p: p.name
)
def test_hatch_lines_stay_apart_on_paper(pattern):
    clear = 1.5
    for angle in {f.angle for f in pattern.families}:
        lines = _lines_through(pattern, angle)
        offsets = sorted(offset % lines[0][1] for offset, _ in lines)
        assert len({spacing for _, spacing in lines}) <= 1
        following = [*offsets[1:], *(o + lines[0][1] for o in offsets[:1])]
        for low, high in zip(offsets, following, strict=True):
            assert high - low >= clear - 0.001
    for family in pattern.families:
        assert family.spacing >= clear
        assert all(-part >= 1.0 for part in family.dashes if part < 0)


def test_hatch_patterns_differ_and_all_are_used():
    patterns = CATALOG.drafting.patterns
    assert len({p.families for p in patterns.values()}) == len(patterns)
    used = {m.pattern for m in CATALOG.materials.values()} - {""} | {PRIMED}
    assert used == set(patterns)


def test_the_sizes_of_sheets():
    papers = CATALOG.drafting.papers
    assert set(papers) == {f"ANSI {s}" for s in "ABCD"} | {
        f"ISO A{n}" for n in (1, 2, 3, 4)
    }
    assert (papers["ISO A3"].width, papers["ISO A3"].height) == (420, 297)
    assert (papers["ANSI B"].width, papers["ANSI B"].height) == pytest.approx((
        431.8,
        279.4,
    ))


def test_the_series_of_scales():
    def factors(system: UnitSystem) -> list[float]:
        return [s.factor for s in CATALOG.drafting.scales_of(system)]

    assert factors(UnitSystem.FEET_INCHES) == [1, 2, 4, 8, 12, 16, 24, 32, 48, 96]
    assert factors(UnitSystem.MILLIMETRES) == [1, 2, 5, 10, 20, 50, 100]
    for scale in CATALOG.drafting.scales_of(UnitSystem.FEET_INCHES):
        # The label says inches to the foot; 12 over them is the factor.
        *whole, last = scale.label.split('"')[0].split()
        top, _, bottom = last.partition("/")
        said = sum(map(float, whole)) + float(top) / float(bottom or 1)
        assert 12 / said == scale.factor


@pytest.mark.parametrize("method", Method)
def test_each_method_has_its_own_cautions_and_all_share_the_first(method):
    cautions = CATALOG.drafting.cautions_for(frozenset({str(method)}))
    assert cautions[0].id == "defer"
    own = [c for c in cautions if "always" not in c.applies]
    assert own
    for other in Method:
        if other is not method:
            there = CATALOG.drafting.cautions_for(frozenset({str(other)}))
            assert [c for c in own if c not in there]


def test_every_circumstance_prints_something():
    for circumstance in CIRCUMSTANCES:
        assert any(circumstance in p.applies for p in PRINTED)
    assert any(
        "ES-1" in n.text for n in CATALOG.drafting.notes_for(frozenset({"roof-edge"}))
    )


def test_a_keynote_for_every_role():
    assert set(CATALOG.drafting.keynotes) == {str(role) for role in Role}


# --- looking up ---


@pytest.mark.parametrize(
    "ask",
    [
        lambda: CATALOG.material("cant-perlit"),
        lambda: CATALOG.materials["cant-perlit"],
        lambda: CATALOG.rule_set("common-practise"),
        lambda: RULES.row("slope_lest"),
        lambda: HANDBOOK.value("slope_lest"),
        lambda: CATALOG.drafting.layer("cutt"),
        lambda: CATALOG.drafting.pattern("pebblemix"),
        lambda: CATALOG.drafting.paper("ANSI BB"),
    ],
)
def test_what_is_not_there_is_told_with_the_nearest(ask):
    with pytest.raises(UserError) as told:
        ask()
    (problem,) = told.value.problems
    assert problem.mend.startswith("Did you mean ")
    assert problem.allowed


# --- what a job changes ---


@dataclass
class Change:
    rule: str = ""
    value: str | int | float = ""
    reason: str = "agreed with the owner"
    material: str = ""
    thickness: float | None = None
    mass: float | None = None
    name: str | None = None


def test_a_job_may_ask_another_value_and_its_reason_is_kept():
    changed = with_rule_overrides(
        RULES,
        [
            Change("flashing_height_least", "6 in", "sill height"),
            Change("sheets_on_wall", 2),
            Change("kick_most", "30 deg"),
            Change("slope_least", "2 %"),
        ],
    )
    row = changed.row("flashing_height_least")
    assert (row.value, row.override, row.written) == (152.4, "sill height", "6 in")
    assert row.source == RULES.row("flashing_height_least").source
    assert changed.value("sheets_on_wall") == 2
    assert changed.value("kick_most") == 30
    assert changed.value("slope_least") == 0.02
    assert RULES.value("flashing_height_least") == 203.2
    same = set(RULES.rows) - {
        "flashing_height_least", "sheets_on_wall", "kick_most", "slope_least",
    }  # fmt: skip
    assert all(changed.rows[i] == RULES.rows[i] for i in same)


@pytest.mark.parametrize(
    ("rule", "value", "field"),
    [
        ("flashing_height_leest", "6 in", "rule"),
        ("flashing_height_least", 6, "value"),
        ("flashing_height_least", 6.5, "value"),
        ("flashing_height_least", "6", "value"),
        ("flashing_height_least", "6 deg", "value"),
        ("flashing_height_least", "11 m", "value"),
        ("flashing_height_least", "", "value"),
        ("sheets_on_wall", "1 in", "value"),
        ("sheets_on_wall", 1.5, "value"),
        ("sheets_on_wall", -1, "value"),
        ("sheets_on_wall", True, "value"),
        ("sheets_on_wall", 101, "value"),
        ("sheets_on_wall", "\u0662", "value"),
        ("kick_most", 45, "value"),
        ("kick_most", "91 deg", "value"),
        ("kick_most", "45 in", "value"),
        ("slope_least", 0.02, "value"),
        ("slope_least", "2 in", "value"),
        ("pocket_most", "1 in", "value"),
        ("pocket_most", "1 mm", "value"),
    ],
)
def test_a_value_that_cannot_be_taken(rule, value, field):
    with pytest.raises(UserError) as told:
        with_rule_overrides(RULES, [Change("end_lap_least", "7 in"), Change(rule, value)])
    (problem,) = told.value.problems
    assert problem.key == f"rule.1.{field}"
    assert problem.value == (rule if field == "rule" else str(value))
    assert problem.allowed
    assert problem.mend


def test_the_same_thing_twice_and_all_mistakes_at_once():
    with pytest.raises(UserError) as told:
        with_rule_overrides(
            RULES,
            [Change("end_lap_least", "7 in"), Change("end_lap_least", 7), Change("x", 1)],
        )
    assert [p.key for p in told.value.problems] == [
        "rule.1.rule",
        "rule.1.value",
        "rule.2.rule",
    ]
    with pytest.raises(UserError) as told:
        with_material_overrides(
            CATALOG,
            [Change(material="primer"), Change(material="primer"), Change(material="y")],
        )
    assert [p.key for p in told.value.problems] == [
        "material.1.material",
        "material.2.material",
    ]


def test_a_job_may_have_another_sheet():
    changed = with_material_overrides(
        CATALOG,
        [
            Change(material="base-ply-glass-smooth", thickness=3.0, reason="as tested"),
            Change(material="flashing-foil", mass=5.0, name="Foil sheet, site stock"),
        ],
    )
    base, old = (c.material("base-ply-glass-smooth") for c in (changed, CATALOG))
    assert (base.thickness, base.mass, base.name) == (3.0, old.mass, old.name)
    assert (base.override, old.override) == ("as tested", "")
    foil = changed.material("flashing-foil")
    assert (foil.mass, foil.name) == (5.0, "Foil sheet, site stock")
    assert foil.thickness == CATALOG.material("flashing-foil").thickness
    assert changed.rule_sets is CATALOG.rule_sets


@pytest.mark.parametrize(
    ("written", "unit", "value"),
    [
        ("8 in", Unit.LENGTH, 203.2),
        ("0 in", Unit.LENGTH, 0.0),
        ("70 mil", Unit.LENGTH, 1.778),
        ("2", Unit.COUNT, 2.0),
        (3, Unit.COUNT, 3.0),
        ("45 deg", Unit.ANGLE, 45.0),
        ("1/4 in per ft", Unit.SLOPE, 1 / 48),
        ("0.01 mm2", Unit.AREA, 0.01),
        ("1 sq in", Unit.AREA, 645.16),
    ],
)
def test_values_as_a_person_writes_them(written, unit, value):
    assert parse_value(written, unit) == pytest.approx(value, rel=1e-12)


# --- data files that somebody edited ---


@pytest.fixture
def copy(tmp_path) -> Path:
    return Path(shutil.copytree(DATA, tmp_path / "catalog"))


def _edit(folder: Path, file: str, old: str, new: str) -> Path:
    path = folder / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    return path


def _problems(folder: Path) -> tuple[Problem, ...]:
    with pytest.raises(UserError) as told:
        load_catalog(folder)
    return told.value.problems


SHEETS, METALS, WOOD = (f"materials/{n}.toml" for n in ("sheets", "metals", "wood"))
COMMON, MANUAL = "rules/common-practice.toml", "rules/sheet-metal-handbook.toml"
BASE = "base-ply-glass-smooth"


@pytest.mark.parametrize(
    ("file", "old", "new", "key"),
    [
        (SHEETS, 'thickness = "2.6 mm"', 'thickness = "2.6"', f"{BASE}.thickness"),
        (SHEETS, 'thickness = "2.6 mm"', "thickness = 2.6", f"{BASE}.thickness"),
        (SHEETS, 'thickness = "2.6 mm"', 'thickness = "2 m"', f"{BASE}.thickness"),
        (SHEETS, 'thickness = "2.6 mm"', 'thickness = "0 mm"', f"{BASE}.thickness"),
        (SHEETS, 'thickness = "2.6 mm"', "", BASE),
        (SHEETS, 'mass = "3.1 kg per m2"', 'mass = "3.1 kg"', f"{BASE}.mass"),
        (SHEETS, 'mass = "3.1 kg per m2"', 'mass = "300 kg per m2"', f"{BASE}.mass"),
        (SHEETS, 'surface = "smooth"', 'surface = "smoth"', f"{BASE}.surface"),
        (SHEETS, 'family = "sheet"', 'family = "sheets"', f"{BASE}.family"),
        (SHEETS, 'name = "Base', 'nam = "Base', BASE),
        (SHEETS, 'name = "Base', 'colour = "x"\nname = "Base', f"{BASE}.colour"),
        (SHEETS, "fill = [198, 198, 198]", "fill = [198, 198]", f"{BASE}.fill"),
        (SHEETS, "fill = [198, 198, 198]", "fill = [198, 198, 256]", f"{BASE}.fill"),
        (SHEETS, "fill = [198, 198, 198]", 'fill = [1, 2, "x"]', f"{BASE}.fill"),
        (SHEETS, "fill = [198, 198, 198]", 'fill = "grey"', f"{BASE}.fill"),
        (SHEETS, f'known = "{COMMON_PRACTICE}"', 'known = "guessed"', f"{BASE}.known"),
        (SHEETS, f'known = "{COMMON_PRACTICE}"', 'known = "read"', f"{BASE}.known"),
        (SHEETS, "[flashing-foil]", '["flashing,foil"]', "flashing,foil"),
        (SHEETS, "[flashing-foil]", "[lumber-2x]", "lumber-2x"),
        (METALS, 'kind = "galvanized"', "", "galvanized-24"),
        (METALS, 'thickness = "0.0276 in"', 'thickness = ""', "galvanized-24.thickness"),
        (WOOD, 'pattern = "end-grain"', 'pattern = "endgrain"', "lumber-2x.pattern"),
        (WOOD, "combustible = true", 'combustible = "yes"', "lumber-2x.combustible"),
        (WOOD, '"2x6" = "5 1/2 in"', '"2x6" = "5 1/2"', "lumber-2x.2x6"),
        (WOOD, '"2x6" = "5 1/2 in"', '"2x6" = "2 1/2 in"', "lumber-2x.widths"),
        (WOOD, "widths = {", 'widths = "x" #', "lumber-2x.widths"),
        (COMMON, 'value = "8 in"', 'value = "8"', "flashing_height_least.value"),
        (COMMON, 'value = "8 in"', "value = 8", "flashing_height_least.value"),
        (COMMON, 'value = "8 in"', 'value = "-8 in"', "flashing_height_least.value"),
        (COMMON, 'of = "slope"', 'of = "slop"', "slope_least.of"),
        (COMMON, 'severity = "advice"', 'severity = "hint"', None),
        (COMMON, 'text = "Slope of', 'txt = "Slope of', "slope_least.txt"),
        (COMMON, "[set]", "[head]", "head"),
        (COMMON, "[set]\n", '[set]\nextends = "sheet-metal-handbook"\n', "set.extends"),
        (MANUAL, 'extends = "common-practice"', 'extends = "common"', "set.extends"),
        (MANUAL, 'extends = "common-practice"', "", "flashing_height_least"),
        (MANUAL, 'value = "10 in"', 'value = "10 deg"', "flashing_height_least.value"),
        ("drafting/layers.toml", "pen = 0.5", "pen = 0.45", "cut.pen"),
        ("drafting/layers.toml", "pen = 0.5", "pen = true", "cut.pen"),
        ("drafting/layers.toml", "pen = 0.5", "pen = nan", "cut.pen"),
        ("drafting/layers.toml", 'name = "A-DETL-FLSH"', 'name = "A-DETL-MCUT"', None),
        ("drafting/layers.toml", "dash = [2.0, 1.0]", "dash = [2.0]", "coat.dash"),
        ("drafting/layers.toml", "dash = [2.0, 1.0]", "dash = [2.0, 0]", "coat.dash"),
        ("drafting/patterns.toml", "spacing = 6.062", "spacing = 0", "pebble-mix.spacing"),
        (
            "drafting/patterns.toml",
            "[block-course]",
            "[x]\nabout = 'x'\n[block-course]",
            "x",
        ),
        (
            COMMON,
            f'known = "{COMMON_PRACTICE}"',
            f'source = "A"\nknown = "{COMMON_PRACTICE}"',
            "flashing_reach_least.source",
        ),
        (SHEETS, "fill = [198, 198, 198]", f"fill = [{'9' * 400}, 1, 1]", f"{BASE}.fill"),
        ("drafting/patterns.toml", "lines = [\n", "lines = [\n  3,\n", "pebble-mix.lines"),
        (
            "drafting/patterns.toml",
            "dashes = [1.3, -5.7]",
            "dashes = [0]",
            "pebble-mix.dashes",
        ),
        ("drafting/papers.toml", 'width = "11 in"', 'width = "8 in"', "ANSI A"),
        ("drafting/papers.toml", 'margin = "3/8 in"', 'margin = "9 in"', "ANSI A"),
        ("drafting/scales.toml", "factor = 1\n", "factor = 0\n", "feet-inches-1.factor"),
        ("drafting/scales.toml", '"feet-inches"', '"feet"', "feet-inches-1.units"),
        ("drafting/keynotes.toml", "text =", "txt =", None),
        ("drafting/reasons.toml", 'role = "deck"', "role = 1", "deck.role"),
        ("drafting/reasons.toml", '["wood sheathing"]', "[]", "sheathing.named"),
        ("drafting/reasons.toml", 'name = "Deck"', 'called = "Deck"', "deck.called"),
        ("drafting/asks.toml", '["low_cant"]', "[]", "cant-height.rules"),
        ("drafting/asks.toml", '["low_cant"]', '"low_cant"', "cant-height.rules"),
        (CLASS, 'width = "8 1/2 in"', 'width = "12 in"', "Letter"),
        (CLASS, 'units = "millimetres"', 'units = "feet-inches"', "Letter.units"),
        (CLASS, 'units = "millimetres"', 'units = "metres"', "A4.units"),
        ("drafting/cautions.toml", '["always"]', '["sometimes"]', "defer.applies"),
        ("drafting/cautions.toml", '["always"]', "[]", "defer.applies"),
        ("drafting/notes.toml", 'title = "Datums"', "title = 1", "datum.title"),
        ("drafting/notes.toml", "[datum]\n", "x = 1\n[datum]\n", "x"),
    ],
)
def test_one_mistake_is_told_with_file_line_and_key(copy, file, old, new, key):
    path = _edit(copy, file, old, new)
    problems = _problems(copy)
    told = [p for p in problems if key is None or p.key == key]
    assert told, [(p.key, p.message) for p in problems]
    where = Path(told[0].file)
    # What clashes with another file may be told of the other one.
    assert where in {path, path.parent} or where.parent == path.parent
    if where == path:
        assert told[0].line is not None
        assert 1 <= told[0].line <= len(path.read_text(encoding="utf-8").splitlines())
    assert told[0].message
    assert told[0].mend


def test_the_line_is_that_of_the_value(copy):
    path = _edit(copy, SHEETS, 'thickness = "3.6 mm"', 'thickness = "3.6 m"')
    (problem,) = _problems(copy)
    lines = path.read_text(encoding="utf-8").splitlines()
    assert lines[problem.line - 1] == 'thickness = "3.6 m"'
    assert problem.value == "3.6 m"


def test_all_mistakes_are_told_together(copy):
    _edit(copy, SHEETS, 'thickness = "2.6 mm"', 'thickness = "2.6"')
    _edit(copy, SHEETS, 'surface = "foil"', 'surface = "shiny"')
    _edit(copy, COMMON, 'value = "8 in"', 'value = "8"')
    _edit(copy, "drafting/papers.toml", "[", "[[")
    assert {Path(p.file).name for p in _problems(copy)} == {
        "sheets.toml", "common-practice.toml", "papers.toml",
    }  # fmt: skip
    assert len(_problems(copy)) == 4


def test_files_that_cannot_be_read(copy, tmp_path):
    (copy / SHEETS).write_bytes(b"\xff\xfe[a]\n")
    (copy / "drafting/notes.toml").unlink()
    (copy / COMMON).unlink()
    (copy / METALS).write_text("a = " + "[" * 9999, encoding="utf-8")
    messages = {Path(p.file).name: p.message for p in _problems(copy)}
    assert messages["sheets.toml"] == "is not UTF-8 text"
    assert messages["metals.toml"].startswith("is not valid TOML")
    assert messages["notes.toml"].startswith("cannot be read")
    assert "there is no common-practice.toml" in messages["rules"]
    assert len(_problems(tmp_path / "nowhere")) >= 3


def test_rule_sets_that_extend_one_another(copy):
    (copy / "rules/one.toml").write_text(
        '[set]\nname = "One"\nabout = "x"\nextends = "two"\n', encoding="utf-8"
    )
    (copy / "rules/two.toml").write_text(
        '[set]\nname = "Two"\nabout = "x"\nextends = "one"\n', encoding="utf-8"
    )
    assert {p.key for p in _problems(copy)} == {"set.extends"}


def test_a_set_of_ones_own(copy):
    (copy / "rules/house.toml").write_text(
        '[set]\nname = "House"\nabout = "Ours."\nextends = "sheet-metal-handbook"\n\n'
        '[flashing_height_least]\nvalue = "12 in"\nknown = "common practice, no source"\n',
        encoding="utf-8",
    )
    house = load_catalog(copy).rule_set("house")
    assert house.value("flashing_height_least") == 304.8
    assert house.row("flashing_height_least").source == COMMON_PRACTICE
    assert house.value("reglet_height_least") == 254.0
    assert house.value("side_lap_least") == pytest.approx(76.2)


def _load_or_problems(folder: Path) -> Catalog | tuple[Problem, ...]:
    try:
        return load_catalog(folder)
    except UserError as error:
        return error.problems


@pytest.fixture(scope="module")
def scratch(tmp_path_factory) -> Path:
    return Path(shutil.copytree(DATA, tmp_path_factory.mktemp("data") / "catalog"))


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(data=st.data())
def test_whatever_is_typed_into_a_file_never_ends_in_a_traceback(scratch, data):
    files = sorted(scratch.rglob("*.toml"))
    file = data.draw(st.sampled_from(files))
    whole = file.read_text(encoding="utf-8")
    lines = whole.splitlines()
    at = data.draw(st.integers(0, len(lines) - 1))
    key = lines[at].partition("=")[0]
    typed = data.draw(
        st.sampled_from(["", "=", "[x]", f"{key}= -1", f"{key}= [[]]", f'{key}= "1 in"',
                         f"{key}= {{ a = 1 }}", f"{key}= 1979-05-27", f"{key}= inf"])
        | st.text(max_size=12)
    )  # fmt: skip
    lines[at] = typed
    try:
        file.write_text("\n".join(lines), encoding="utf-8", errors="surrogatepass")
        got = _load_or_problems(scratch)
        assert isinstance(got, Catalog) or all(p.message and p.file for p in got)
        assert got != ()
    finally:
        file.write_text(whole, encoding="utf-8")
