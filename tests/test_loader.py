"""Parameter files: what a job becomes, and what each mistake is told as."""

import json
import os
import tomllib
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from detailgen.catalog import load_catalog
from detailgen.conditions import CONDITIONS
from detailgen.errors import Problem, UserError
from detailgen.loader import Kind, load_job, told
from detailgen.loader.schema import LENGTH, SLOPE, is_schema, job_schema, schema_text
from detailgen.loader.starter import starter
from detailgen.parameters import FROM_FILE, Project, Roof
from detailgen.section import Method
from detailgen.units import parse_length, parse_slope
from tests.test_units import LENGTHS, SLOPES

HEAD = '[project]\nname = "Trial"\n'
WALL = '[[condition]]\nid = "W1"\nkind = "wall"\n'
SAMPLES = sorted(Path(__file__).parent.parent.joinpath("samples").glob("*.toml"))


def file_of(folder: Path, text: str | bytes) -> Path:
    file = folder / "job.toml"
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    return file


def problems_of(folder: Path, text: str | bytes) -> tuple[Problem, ...]:
    with pytest.raises(UserError) as caught:
        load_job(file_of(folder, text))
    return caught.value.problems


def only_problem(folder: Path, text: str | bytes) -> Problem:
    problems = problems_of(folder, text)
    assert len(problems) == 1, [p.message for p in problems]
    return problems[0]


# --- what a job becomes -------------------------------------------------------


@pytest.mark.parametrize("kind", CONDITIONS)
def test_a_condition_needs_no_more_than_its_id_and_kind(tmp_path: Path, kind: str) -> None:
    job = load_job(file_of(tmp_path, f'{HEAD}[[condition]]\nid = "D1"\nkind = "{kind}"\n'))
    assert job.conditions[0].condition is CONDITIONS[kind]
    assert job.conditions[0].title == CONDITIONS[kind].title
    assert job.conditions[0].line == 3
    assert job.roof == Roof()
    assert job.rules.id == "common-practice"


def test_units_are_converted_and_words_read(tmp_path: Path) -> None:
    job = load_job(
        file_of(
            tmp_path,
            '[project]\nname = " Trial "\nunits = "millimetres"\nsheet = "ISO A3"\n'
            'rules = "sheet-metal-handbook"\n'
            '[roof]\nadhesion = "cold adhesive"\ninsulation = ["50 mm", "2 in"]\n'
            'slope = "2 %"\n' + WALL + 'flashing_height = "1 ft"\nlength = "120 ft"\n',
        )
    )
    assert job.project.name == "Trial"
    assert job.roof.adhesion is Method.COLD_ADHESIVE
    assert job.roof.insulation == (50.0, 50.8)
    assert job.roof.slope == 0.02
    assert job.rules.id == "sheet-metal-handbook"
    parameters = job.conditions[0].parameters
    assert parameters.length == 36576.0
    assert parameters.model_dump()["flashing_height"] == 304.8
    assert job.site.rules is job.rules


def test_all_mistakes_of_an_override_are_told_at_once(tmp_path: Path) -> None:
    rows = (
        '[[rule]]\nrule = "flashing_height_lest"\nvalue = "6 in"\nreason = ""\n'
        '[[rule]]\nrule = "flashing_height_least"\nvalue = "6"\nreason = ""\nx = 3\n'
        '[[material]]\nmaterial = "base-ply"\nthickness = "3"\nreason = ""\n'
        '[[rule]]\nrule = 3\nvalue = true\nreason = "As agreed"\n'
    )
    path = tmp_path / "job.toml"
    path.write_text(HEAD + rows + WALL, encoding="utf-8")
    with pytest.raises(UserError) as caught:
        load_job(path)
    told = [(p.line, p.key) for p in caught.value.problems]
    first = [(4, "rule"), (6, "reason")]
    second = [(9, "value"), (10, "reason"), (11, "x")]
    third = [(13, "material"), (14, "thickness"), (15, "reason")]
    assert told == [*first, *second, *third, (17, "rule"), (18, "value")]


def test_overrides_carry_their_reason(tmp_path: Path) -> None:
    job = load_job(
        file_of(
            tmp_path,
            HEAD + '[[rule]]\nrule = "flashing_height_least"\nvalue = "6 in"\n'
            'reason = "Low sill"\n'
            '[[material]]\nmaterial = "base-ply-glass-smooth"\nthickness = "3 mm"\n'
            'reason = "Sheet on hand"\n' + WALL,
        )
    )
    row = job.rules.row("flashing_height_least")
    assert (row.value, row.override) == (pytest.approx(152.4), "Low sill")
    assert job.catalog.material("base-ply-glass-smooth").thickness == 3.0
    assert job.catalog.material("base-ply-glass-smooth").override == "Sheet on hand"
    untouched = load_catalog()
    assert untouched.rule_set("common-practice").value("flashing_height_least") == 203.2


def test_a_byte_order_mark_and_carriage_returns_do_no_harm(tmp_path: Path) -> None:
    text = "\ufeff" + (HEAD + WALL).replace("\n", "\r\n")
    assert load_job(file_of(tmp_path, text)).conditions[0].line == 3


# --- one mistake, one clear problem -------------------------------------------

MISTAKES = {
    "unknown key": (
        HEAD + WALL + 'flashing_hight = "8 in"\n',
        (6, "flashing_hight", '"8 in"', "no key flashing_hight", "mean flashing_height?"),
    ),
    "key of another table": (
        HEAD + WALL + 'deck = "wood"\n',
        (6, "deck", '"wood"', "no key deck", "It belongs in [roof]."),
    ),
    "key of a condition in the roof": (
        HEAD + '[roof]\nflashing_height = "8 in"\n' + WALL,
        (4, "flashing_height", '"8 in"', "no key", "a [[condition]]"),
    ),
    "unknown table": (
        HEAD + WALL + "[roff]\nx = 1\n",
        (6, "roff", "", "no table or key roff", "Did you mean roof?"),
    ),
    "bare number": (
        HEAD + WALL + "flashing_height = 8\n",
        (6, "flashing_height", "8", 'write "8 in" or "8 mm"', ""),
    ),
    "bare number in text": (
        HEAD + WALL + 'flashing_height = "8"\n',
        (6, "flashing_height", '"8"', 'write "8 in" or "8 mm"', ""),
    ),
    "wrong unit": (
        HEAD + WALL + 'flashing_height = "8 kg"\n',
        (6, "flashing_height", '"8 kg"', "no unit of length kg", ""),
    ),
    "slope for a length": (
        HEAD + WALL + 'flashing_height = "2 %"\n',
        (6, "flashing_height", '"2 %"', "not a length", ""),
    ),
    "not a number": (
        HEAD + WALL + "flashing_height = nan\n",
        (6, "flashing_height", "nan", "not a length", ""),
    ),
    "out of range": (
        HEAD + WALL + 'flashing_height = "80 ft"\n',
        (6, "flashing_height", '"80 ft"', "out of range", ""),
    ),
    "out of range in a list": (
        HEAD + '[roof]\ninsulation = [\n  "1 in",\n  "9 ft",\n]\n' + WALL,
        (6, "insulation", '"9 ft"', "out of range", ""),
    ),
    "list too long": (
        HEAD + '[roof]\ninsulation = ["1 in", "1 in", "1 in", "1 in"]\n' + WALL,
        (4, "insulation", "[", "too long", ""),
    ),
    "single length for a list": (
        HEAD + '[roof]\ninsulation = "1 in"\n' + WALL,
        (4, "insulation", '"1 in"', "list of lengths", ""),
    ),
    "truth for a count": (
        HEAD + WALL + "count = true\n",
        (6, "count", "true", "no answer here", ""),
    ),
    "text for a count": (
        HEAD + WALL + 'count = "3"\n',
        (6, "count", '"3"', "without quotes", ""),
    ),
    "count of none": (HEAD + WALL + "count = 0\n", (6, "count", "0", "out of range", "")),
    "text for a switch": (
        '[project]\nname = "T"\nshow_both_units = "yes"\n' + WALL,
        (3, "show_both_units", '"yes"', "without quotes", ""),
    ),
    "number for a text": (
        '[project]\nname = "T"\nnumber = 42\n' + WALL,
        (3, "number", "42", "text in quotes", 'number = "42"'),
    ),
    "date for a text": (
        '[project]\nname = "T"\ndate = 2024-05-01\n' + WALL,
        (3, "date", "2024-05-01", "text in quotes", 'date = "2024-05-01"'),
    ),
    "unknown choice": (
        HEAD + '[roof]\ndeck = "wod"\n' + WALL,
        (4, "deck", '"wod"', "not one of the choices", "Did you mean wood?"),
    ),
    "unknown sheet size": (
        '[project]\nname = "T"\nsheet = "A3"\n' + WALL,
        (3, "sheet", '"A3"', "not one of the choices", "Did you mean ISO A3?"),
    ),
    "name too long": (
        '[project]\nname = "' + "n" * 200 + '"\n' + WALL,
        (2, "name", '"nnn', "too long", ""),
    ),
    "blank name": ('[project]\nname = "  "\n' + WALL, (2, "name", '" "', "too short", "")),
    "no name": ("[project]\n" + WALL, (1, "name", "", "name is missing", "Add a line")),
    "unknown material": (
        HEAD + '[roof]\nbase_ply = "base-ply-glas-smooth"\n' + WALL,
        (4, "base_ply", '"base', "no sheet material", "mean base-ply-glass-smooth?"),
    ),
    "material of another family": (
        HEAD + '[roof]\nbase_ply = "galvanized-24"\n' + WALL,
        (4, "base_ply", '"galv', "no sheet material", ""),
    ),
    "unknown rule set": (
        '[project]\nname = "T"\nrules = "common-practise"\n' + WALL,
        (3, "rules", '"common', "no such rule set", "Did you mean common-practice?"),
    ),
    "unknown rule": (
        HEAD + '[[rule]]\nrule = "flashing_hight"\nvalue = "6 in"\nreason = "Why"\n' + WALL,
        (4, "rule", '"flashing_hight"', "no rule row", "flashing_height"),
    ),
    "rule value of another unit": (
        HEAD + '[[rule]]\nrule = "sheets_on_wall"\nvalue = "2 in"\nreason = "Why"\n' + WALL,
        (5, "value", '"2 in"', "cannot be taken", ""),
    ),
    "rule without its unit": (
        HEAD + '[[rule]]\nrule = "flashing_height_least"\nvalue = 6\nreason="Why"\n' + WALL,
        (5, "value", "6", "no unit", "8 in"),
    ),
    "rule without a reason": (
        HEAD + '[[rule]]\nrule = "flashing_height_least"\nvalue = "6 in"\n' + WALL,
        (3, "reason", "", "reason is missing", "Add a line"),
    ),
    "rule changed twice": (
        HEAD
        + '[[rule]]\nrule = "flashing_height_least"\nvalue = "6 in"\nreason = "One"\n'
        + '[[rule]]\nrule = "flashing_height_least"\nvalue = "7 in"\nreason = "Two"\n'
        + WALL,
        (8, "rule", '"flashing_height_least"', "twice", ""),
    ),
    "unknown override of a material": (
        HEAD + '[[material]]\nmaterial = "tar"\nmass = 3.0\nreason = "Why"\n' + WALL,
        (4, "material", '"tar"', "no material", ""),
    ),
    "override that changes nothing": (
        HEAD + '[[material]]\nmaterial = "base-ply-glass-smooth"\nreason = "Why"\n' + WALL,
        (3, "material", "", "changes nothing", "Add the figure"),
    ),
    "no kind": (
        HEAD + '[[condition]]\nid = "W1"\n',
        (3, "kind", "", "kind is missing", "Add the kind"),
    ),
    "unknown kind": (
        HEAD + '[[condition]]\nid = "W1"\nkind = "roof edge"\n',
        (5, "kind", '"roof edge"', "no such kind", "Did you mean roof-edge?"),
    ),
    "no id": (HEAD + '[[condition]]\nkind = "wall"\n', (3, "id", "", "id is missing", "")),
    "id with a slash": (
        HEAD + '[[condition]]\nid = "../W1"\nkind = "wall"\n',
        (4, "id", '"../W1"', "signs that it may not", ""),
    ),
    "id of a device": (
        HEAD + '[[condition]]\nid = "Con"\nkind = "wall"\n',
        (4, "id", '"Con"', "device", "another id"),
    ),
    "ids alike but for capitals": (
        HEAD + WALL + '[[condition]]\nid = "w1"\nkind = "wall"\n',
        (7, "id", '"w1"', "already taken on line 4", "another id"),
    ),
    "no condition": (HEAD, (1, "condition", "", "nothing to draw", "Add a [[condition]]")),
    "one bracket": (
        HEAD + '[condition]\nid = "W1"\nkind = "wall"\n',
        (3, "condition", "", "list of tables", "two brackets"),
    ),
    "value for a table": (
        'project = "T"\n' + WALL,
        (1, "project", '"T"', "is a table", "[project]"),
    ),
    "values for tables": (
        "condition = [1]\n" + HEAD,
        (1, "condition", "1", "is a table", "[[condition]]"),
    ),
    "turned text": (
        HEAD + WALL + 'title = "North \u202etaprap"\n',
        (6, "title", '"North \\u202etaprap"', "right-to-left override", "anew"),
    ),
    "control sign": (
        HEAD + WALL + 'title = "North\\u0007"\n',
        (6, "title", '"North', "control", "anew"),
    ),
    "line break": (
        HEAD + WALL + 'title = """North\nwall"""\n',
        (6, "title", '"""North wall"""', "line break", "anew"),
    ),
    "zero-width sign": (
        HEAD + WALL + 'title = "No\u200brth"\n',
        (6, "title", '"No\\u200brth"', "zero width space", "anew"),
    ),
    "letters that the typeface lacks": (
        HEAD + WALL + 'title = "漢字"\n',
        (6, "title", '"漢字"', "typeface", "other letters"),
    ),
    "length without quotes": (
        HEAD + WALL + "flashing_height = 8 1/2 in # low\n",
        (6, "flashing_height", "8 1/2 in # low", "not valid TOML", '= "8 1/2 in"'),
    ),
    "inch sign without quotes": (
        HEAD + WALL + 'flashing_height = 8"\n',
        (6, "flashing_height", '8"', "not valid TOML", 'flashing_height = "8 in"'),
    ),
    "word without quotes": (
        HEAD + WALL + "title = North\n",
        (6, "title", "North", "not valid TOML", "in quotes"),
    ),
    "quotes left open": (
        HEAD + WALL + 'title = "North\n',
        (6, "title", '"North', "not valid TOML", "Close the quotes"),
    ),
    "key given twice": (
        HEAD + WALL + 'title = "N"\ntitle = "S"\n',
        (7, "title", '"S"', "not valid TOML", "take one of the two out"),
    ),
    "table given twice": (
        HEAD + WALL + '[project]\nname = "T"\n',
        (6, "", "[project]", "not valid TOML", "one header"),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", MISTAKES)
def test_a_mistake_is_told_once_with_its_place(tmp_path: Path, name: str) -> None:
    text, (line, key, value, message, mend) = MISTAKES[name]
    problem = only_problem(tmp_path, text)
    assert problem.file == str(tmp_path / "job.toml")
    assert problem.line == line
    assert problem.key == key
    assert problem.value.startswith(value)
    assert bool(problem.value) == bool(value)
    assert message in problem.message
    assert mend in problem.mend
    assert problem.allowed or problem.mend


def test_what_is_allowed_is_told(tmp_path: Path) -> None:
    assert (
        "1/2 in to 6 in"
        in only_problem(tmp_path, MISTAKES["out of range in a list"][0]).allowed
    )
    assert (
        only_problem(tmp_path, MISTAKES["unknown choice"][0]).allowed
        == "concrete, steel, wood"
    )
    assert only_problem(tmp_path, MISTAKES["count of none"][0]).allowed.endswith(
        "1 to 10000"
    )
    assert only_problem(tmp_path, MISTAKES["unknown kind"][0]).allowed == ", ".join(
        CONDITIONS
    )


COPED = 'kind = "wall"\ntermination = "coping"\n'
IMPOSSIBLE = {
    "cant taller than the wall": (
        COPED + 'cant_height = "6 in"\nwall_height = "6 in"\n',
        ("cant_height", 6),
    ),
    "strip-in higher than the wall": (
        COPED + 'wall_height = "9 in"\nstrip_in_up = "6 in"\n',
        ("strip_in_up", 7),
    ),
    "flange wider than the nailer": (
        'kind = "roof-edge"\nnailer_width = "3 1/2 in"\nflange = "6 in"\n',
        ("flange", 6),
    ),
}


@pytest.mark.parametrize("name", IMPOSSIBLE)
def test_impossible_combinations_are_told_where_they_were_written(
    tmp_path: Path, name: str
) -> None:
    keys, (key, line) = IMPOSSIBLE[name]
    problems = problems_of(tmp_path, HEAD + '[[condition]]\nid = "D1"\n' + keys)
    [problem] = [p for p in problems if p.key == key]
    assert problem.line == line + 1
    assert problem.value
    assert problem.allowed
    assert problem.mend


def test_all_mistakes_are_told_at_once_in_the_order_of_the_file(tmp_path: Path) -> None:
    text = (
        '[project]\nname = "T"\nsheet = "A4"\n[roof]\nslope = 2\ndeck = "straw"\n'
        '[[rule]]\nrule = "no_such_rule"\nvalue = "6 in"\nreason = "Sill"\n'
        '[[condition]]\nid = "W1"\nkind = "wall"\nflashing_hight = "8 in"\ncount = -1\n'
        '[[condition]]\nid = "W1"\nkind = "parapet"\ntitle = 3\n[other]\n'
    )
    problems = problems_of(tmp_path, text)
    assert [p.key for p in problems] == [
        "sheet", "slope", "deck", "rule", "flashing_hight", "count", "id", "kind", "title",
        "other",
    ]  # fmt: skip
    lines = [p.line for p in problems]
    assert lines == sorted(line for line in lines if line is not None)


def test_an_impossible_condition_does_not_hide_other_mistakes(tmp_path: Path) -> None:
    impossible, _ = IMPOSSIBLE["flange wider than the nailer"]
    text = HEAD + '[[condition]]\nid = "E1"\n' + impossible + WALL + "count = 0\n"
    assert {p.key for p in problems_of(tmp_path, text)} == {"flange", "count"}


# --- files that cannot be read ------------------------------------------------


@pytest.mark.parametrize(
    ("content", "told_as"),
    {
        b"\x00\x01": "binary",
        b"a = 1\nb = '\xff'": "not text in UTF-8",
        (HEAD + WALL).encode("utf-16"): "binary",
        b'name = "\xed\xa0\x80"': "not text in UTF-8",  # a lone surrogate
        b"a = " + b"[" * 5000: "too deep",
        b"a = " + b"9" * 5000: "too many digits",
        b"#" * 1024 * 1025: "larger than",
        b"a." * 100_000 + b"a = 1": "too many points",  # it would take all memory
    }.items(),
    ids=lambda v: str(v)[:20],
)
def test_a_file_that_is_no_parameter_file(
    tmp_path: Path, content: bytes, told_as: str
) -> None:
    problem = only_problem(tmp_path, content)
    assert told_as in problem.message


def test_a_broken_sign_is_told_with_its_line(tmp_path: Path) -> None:
    assert only_problem(tmp_path, b"a = 1\nb = '\xff'").line == 2


def test_an_empty_file_asks_for_what_it_needs(tmp_path: Path) -> None:
    assert [p.key for p in problems_of(tmp_path, "")] == ["name", "condition"]


def test_paths_that_lead_to_no_file(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    paths = [tmp_path, tmp_path / "missing.toml", Path("/dev/null"), pipe, Path("a" * 5000),
             Path("nul\0sign")]  # fmt: skip
    for path in paths:
        with pytest.raises(UserError) as caught:
            load_job(path)
        [problem] = caught.value.problems
        assert problem.message.isprintable()
        assert len(problem.file) <= 200


def test_hundreds_of_mistakes_are_listed_and_the_rest_counted(tmp_path: Path) -> None:
    text = HEAD + WALL + "".join(f"key{n} = 1\n" for n in range(700))
    problems = problems_of(tmp_path, text)
    assert len(problems) == 501
    assert problems[-1].message == "200 more mistakes are not listed"


def test_too_many_conditions(tmp_path: Path) -> None:
    text = HEAD + "".join(
        f'[[condition]]\nid = "W{n}"\nkind = "wall"\n' for n in range(501)
    )
    assert "501 conditions" in only_problem(tmp_path, text).message


# --- schema and starter files -------------------------------------------------


@pytest.fixture(scope="module")
def schema() -> jsonschema.Draft7Validator:
    made = job_schema(load_catalog())
    jsonschema.Draft7Validator.check_schema(made)
    return jsonschema.Draft7Validator(made)


def test_the_schema_is_json_and_known_again(tmp_path: Path) -> None:
    file = tmp_path / "detailgen.schema.json"
    file.write_text(schema_text(load_catalog()), encoding="utf-8")
    assert json.loads(file.read_text(encoding="utf-8")) == job_schema(load_catalog())
    assert is_schema(file)
    file.write_text("[]", encoding="utf-8")
    assert not is_schema(file)
    assert not is_schema(tmp_path / "missing")


@pytest.mark.parametrize("kind", CONDITIONS)
def test_a_starter_file_is_valid_and_draws_the_default(
    tmp_path: Path, kind: str, schema: jsonschema.Draft7Validator
) -> None:
    text = starter(CONDITIONS[kind], load_catalog())
    assert list(schema.iter_errors(tomllib.loads(text))) == []
    job = load_job(file_of(tmp_path, text))
    [placed] = job.conditions
    bare = CONDITIONS[kind].parameters(id=placed.id, title=placed.title)
    if CONDITIONS[kind].example:  # its tables stand in the file
        build = CONDITIONS[kind].build
        assert build(placed.parameters, job.site) == build(bare, job.site)
    else:
        assert placed.parameters == bare
    assert all(len(line) <= 92 for line in text.splitlines())


@pytest.mark.parametrize("kind", CONDITIONS)
def test_every_line_that_a_starter_file_offers_is_valid(kind: str) -> None:
    condition = CONDITIONS[kind]
    offered = starter(condition, load_catalog()).split("[[condition]]")[1]
    keys: set[str] = set()
    for line in offered.splitlines():
        if (
            line.startswith("# ")
            and " = " in line
            and line[2:].split(" = ")[0].isidentifier()
        ):
            values = tomllib.loads(line[2:])
            keys |= set(values)
            condition.parameters.model_validate(
                {"id": "D1", **values}, context={FROM_FILE: True}
            )
    tables = {f.key for f in told(condition.parameters) if f.of}
    assert keys == set(condition.parameters.model_fields) - {"id", "title"} - tables
    assert all(f"# [[condition.{key}]] " in offered for key in tables)


def test_the_samples_are_valid(schema: jsonschema.Draft7Validator) -> None:
    assert SAMPLES
    for file in SAMPLES:
        values = tomllib.loads(file.read_text(encoding="utf-8"))
        assert list(schema.iter_errors(values)) == [], file.name
        assert load_job(file).conditions


UNSEEN_BY_SCHEMA = {
    "out of range", "out of range in a list", "blank name", "rule changed twice",
    "override that changes nothing", "id of a device", "ids alike but for capitals",
    "turned text", "control sign", "line break", "zero-width sign",
    "letters that the typeface lacks",
}  # fmt: skip
"""What a schema cannot tell; the loader does."""
NO_TOML = {name for name, (_, wanted) in MISTAKES.items() if "TOML" in wanted[3]}


@pytest.mark.parametrize("name", sorted(set(MISTAKES) - UNSEEN_BY_SCHEMA - NO_TOML))
def test_the_schema_finds_the_mistake_too(
    name: str, schema: jsonschema.Draft7Validator
) -> None:
    assert not schema.is_valid(tomllib.loads(MISTAKES[name][0]))


def pattern(text: str) -> jsonschema.Draft7Validator:
    return jsonschema.Draft7Validator({"pattern": text})


@pytest.mark.parametrize("text", LENGTHS)
def test_the_schema_takes_every_way_of_writing_a_length(text: str) -> None:
    assert pattern(LENGTH).is_valid(text)


@pytest.mark.parametrize("text", SLOPES)
def test_the_schema_takes_every_way_of_writing_a_slope(text: str) -> None:
    assert pattern(SLOPE).is_valid(text)


@pytest.mark.parametrize(
    "text",
    ["8", "8 yd", "1'-6", "2 %", "", "in", "8 in 3", "1e3 mm", "3,5 mm", "-3 in", "٣ in",
     "8 in\u202e", "nan in", "1/4 in per ft"],
)  # fmt: skip
def test_the_schema_refuses_what_is_no_length(text: str) -> None:
    assert not pattern(LENGTH).is_valid(text)
    with pytest.raises(ValueError, match=r"."):
        parse_length(text)


@pytest.mark.parametrize("text", ["1/4", "8 in", "2", "x per ft", "", "-2 %", "2 % %"])
def test_the_schema_refuses_what_is_no_slope(text: str) -> None:
    assert not pattern(SLOPE).is_valid(text)
    with pytest.raises(ValueError, match=r"."):
        parse_slope(text)


def models() -> list[Any]:
    return [Project, Roof, *(c.parameters for c in CONDITIONS.values())]


@pytest.mark.parametrize("model", models(), ids=lambda m: m.__name__)
def test_every_parameter_has_a_description_a_range_and_a_default(model: Any) -> None:
    for field in told(model):
        assert field.about.endswith("."), field.key
        assert "\n" not in field.about
        assert field.allowed, field.key
        if field.kind in {Kind.LENGTH, Kind.LENGTHS, Kind.SLOPE}:
            assert " to " in field.allowed, field.key
            assert (
                field.default
                or field.by_rule
                or "ithout" in field.about
                or (field.key in {"length", "cover_board"})
            ), f"{field.key} does not say what it is by default"


@pytest.mark.parametrize("model", models(), ids=lambda m: m.__name__)
def test_rules_that_give_defaults_exist(model: Any) -> None:
    rows = load_catalog().rule_set("common-practice").rows
    assert {f.by_rule for f in told(model) if f.by_rule} <= set(rows)


@pytest.mark.parametrize("model", models(), ids=lambda m: m.__name__)
def test_a_default_as_it_is_told_is_the_default(model: Any) -> None:
    for field in told(model):
        if field.default:
            needed = {f.key: f.example for f in told(model) if f.required}
            values = tomllib.loads(f"v = {field.written}")
            made = model.model_validate(
                {**needed, field.key: values["v"]}, context={FROM_FILE: True}
            )
            assert getattr(made, field.key) == model.model_fields[field.key].default
