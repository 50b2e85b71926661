"""Properties of the loader: places in any TOML text, and no traceback for any input."""

import tomllib
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st
from tomlkit.items import Array

from detailgen.errors import Problem, UserError
from detailgen.loader import load_job
from detailgen.loader._places import DEEPEST, find_places

# --- places -------------------------------------------------------------------

KEYS = st.text("abc-_ .\"'\\#=[]é\n", min_size=1, max_size=5)
TEXTS = st.text("ab \"'\\#=[]{},\né\t", max_size=12)
SCALARS = TEXTS | st.integers(-99, 99) | st.booleans() | st.dates() | st.floats(-9, 9)
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=3),
    max_leaves=8,
)
TABLES = st.dictionaries(KEYS, VALUES, max_size=4)
FILES = st.dictionaries(
    KEYS, SCALARS | TABLES | st.lists(TABLES, min_size=1, max_size=3), max_size=4
)


def paths(value: object, at: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """Return the path of everything in a value."""
    found = [at] if at else []
    if isinstance(value, dict):
        found += [p for key, item in value.items() for p in paths(item, (*at, key))]
    elif isinstance(value, list):
        found += [p for i, item in enumerate(value) for p in paths(item, (*at, i))]
    return found


def value_at(values: object, path: tuple[str | int, ...]) -> object:
    for part in path:
        values = values[part]  # type: ignore[index]
    return values


def multiline(values: dict[str, Any]) -> str:
    """Write a file with its lists broken over lines."""
    document = tomlkit.item(values)
    for item in document.values():
        if isinstance(item, Array):
            item.multiline(multiline=True)
    return tomlkit.dumps(document)


@given(FILES, st.booleans(), st.booleans())
def test_every_value_has_its_place(
    values: dict[str, Any], broken: bool, crlf: bool
) -> None:
    text = multiline(values) if broken else tomlkit.dumps(values)
    text = "# a remark = [\n\n" + text
    if crlf:
        text = text.replace("\n", "\r\n")
    read = tomllib.loads(text)
    places = find_places(text)
    lines = text.replace("\r\n", "\n").split("\n")
    for path in places:
        place = places[path]
        assert 3 <= place.line <= len(lines)
        if place.written:
            assert tomllib.loads(f"v = {place.written}")["v"] == value_at(read, path)
            assert place.written.split("\n")[0] in lines[place.line - 1]
    assert set(places) == {path for path in paths(read) if len(path) <= DEEPEST}


@pytest.mark.parametrize(
    ("text", "path", "line"),
    [
        ("a.b.c = 1", ("a", "b", "c"), 1),
        ('"a.b".c = 1', ("a.b", "c"), 1),
        ("[a]\n[[a.b]]\nc = 1\n[[a.b]]\nc = 2", ("a", "b", 1, "c"), 5),
        (
            "[[a]]\n[[a.b]]\nc = 1\n[[a]]\n[[a.b]]\n[a.b.d]\ne = 2",
            ("a", 1, "b", 0, "d", "e"),
            7,
        ),
        ("a = [\n 1, # one\n\n 2,\n]", ("a", 1), 4),
        ('a = """\nb = 1\n"""\nb = 2', ("b",), 4),
        ('a = """x\\""""\nb = 2', ("b",), 2),
        ("a = '''it''s'''''\nb = 2", ("b",), 2),
        ('a = "x \\" # y"\nb = 2', ("b",), 2),
        ("a = 'x \\'\nb = 2", ("b",), 2),
        ("a = { b = 1, c = [{ d = 2 }] }", ("a", "c", 0, "d"), 1),
        ("a = 1979-05-27 07:32:00\nb = 2", ("b",), 2),
        ("[ a . 'b' ]\nc = 1", ("a", "b", "c"), 2),
    ],
)
def test_finds_the_line_in_odd_but_valid_files(
    text: str, path: tuple[str | int, ...], line: int
) -> None:
    assert find_places(text)[path].line == line


# --- no traceback, whatever the file ------------------------------------------

WORDS = st.sampled_from([
    "wall", "roof-edge", "8 in", "8", "W1", "con", "", "200 mm", "2 %", "masonry", "coping",
    "steel", "common-practice", "flashing_height_least", "base-ply-glass-smooth", "\u202e",
    "99999 m", "nan", "x" * 200,
])  # fmt: skip
ANYTHING = (
    WORDS | st.integers() | st.booleans() | st.floats() | st.dates() | st.text(max_size=8)
)
NEAR_KEYS = st.sampled_from([
    "name", "units", "rules", "sheet", "deck", "insulation", "slope", "adhesion",
    "kind", "id", "title", "length", "count", "flashing_height", "cant_height",
    "termination", "wall",
    "wall_height", "strip_in_up", "rule", "value", "reason", "material", "thickness",
    "mass", "bogus", "flange", "variant", "finish_ply",
])  # fmt: skip
NEAR_VALUES = ANYTHING | st.lists(ANYTHING, max_size=4) | st.dictionaries(NEAR_KEYS, WORDS)
NEAR_TABLES = st.dictionaries(NEAR_KEYS, NEAR_VALUES, max_size=6)
NEAR_FILES = st.dictionaries(
    st.sampled_from(["project", "roof", "rule", "material", "condition", "bogus"]),
    NEAR_TABLES | st.lists(NEAR_TABLES, max_size=4) | ANYTHING,
    max_size=6,
)


@given(values=NEAR_FILES)
@settings(max_examples=150)
def test_any_values_give_a_job_or_clear_problems(
    values: dict[str, Any], tmp_path_factory: pytest.TempPathFactory
) -> None:
    try:
        text = tomlkit.dumps(values)
        tomllib.loads(text)
    except (tomllib.TOMLDecodeError, ValueError):
        return  # tomlkit writes some control signs that TOML forbids
    file = tmp_path_factory.mktemp("any") / "job.toml"
    file.write_bytes(text.encode())
    problems: tuple[Problem, ...] = ()
    conditions = 0
    try:
        conditions = len(load_job(file).conditions)
    except UserError as error:
        problems = error.problems
    assert bool(problems) != bool(conditions)
    for problem in problems:
        assert problem.message.isprintable()
        assert problem.value.isprintable()
        assert problem.key.isprintable()
        assert problem.file == str(file)
        assert problem.line is None or 1 <= problem.line <= text.count("\n") + 1


@given(content=st.binary(max_size=200) | st.text(max_size=200).map(str.encode))
def test_any_bytes_give_clear_problems(
    content: bytes, tmp_path_factory: pytest.TempPathFactory
) -> None:
    file: Path = tmp_path_factory.mktemp("any") / "job.toml"
    file.write_bytes(content)
    with pytest.raises(UserError) as caught:
        load_job(file)
    assert all(p.message.isprintable() for p in caught.value.problems)
