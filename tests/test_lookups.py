"""The lookup tables: what they must hold, and what is told of data that is wrong."""

import shutil
from pathlib import Path

import pytest

from detailgen.catalog import COMMON_PRACTICE, load_catalog
from detailgen.catalog.lookups import parse_temperature
from detailgen.errors import UserError

DATA = Path(__file__).parents[1] / "catalog"
CATALOG = load_catalog()
TABLES = CATALOG.tables


# --- the data that we ship ---


def test_every_metal_grows_and_bends():
    for material in CATALOG.of_family("metal"):
        assert TABLES.expansion[material.kind].coefficient > 0
        assert TABLES.bending(material.kind, material.thickness).kind == material.kind


def test_a_row_for_a_thickness_goes_before_the_row_of_its_kind():
    assert TABLES.bending("aluminium", 0.032 * 25.4).id == "aluminium-032"
    assert TABLES.bending("aluminium", 0.033 * 25.4).id == "aluminium"


def test_every_figure_says_where_it_comes_from():
    figures = [
        *TABLES.expansion.values(),
        *TABLES.temperatures.values(),
        *TABLES.heights.values(),
        *TABLES.free_runs.values(),
        TABLES.lead.nominal,
        TABLES.lead.density,
        *(row.k for row in TABLES.bends.values()),
        *(row.radius for row in TABLES.bends.values()),
    ]
    for figure in figures:
        marked = figure.source == COMMON_PRACTICE
        assert marked or figure.source.endswith(f" - {figure.known}")
        assert figure.known
        if "UFGS" in figure.source:
            assert "(older five-digit edition)" in figure.source


def test_free_runs_are_of_metals_that_there_are():
    for run in TABLES.free_runs.values():
        assert CATALOG.material(run.material).family == "metal"


@pytest.mark.parametrize(
    "ask",
    [
        lambda: TABLES.expansion["aluminum"],
        lambda: TABLES.temperatures["roof-mesured"],
        lambda: TABLES.heights["florids"],
        lambda: TABLES.bending("galvanised", 0.7),
    ],
)
def test_what_is_not_there_is_told_with_the_nearest(ask):
    with pytest.raises(UserError) as told:
        ask()
    (problem,) = told.value.problems
    assert problem.mend.startswith("Did you mean ")


@pytest.mark.parametrize(
    ("text", "celsius"),
    [("32 F", 0.0), ("-40 F", -40.0), ("-40 C", -40.0), ("65.5 C", 65.5)],
)
def test_temperatures(text, celsius):
    assert parse_temperature(text) == pytest.approx(celsius)


@pytest.mark.parametrize("text", ["32", "32F", "F", "hot", "1000 F", "-300 C", "1e2 C"])
def test_what_is_no_temperature(text):
    with pytest.raises(ValueError, match=r"temperature|no roof"):
        parse_temperature(text)


# --- data that is wrong ---


@pytest.fixture
def folder(tmp_path):
    shutil.copytree(DATA, tmp_path / "catalog")
    return tmp_path / "catalog"


def _told(folder: Path) -> list[str]:
    with pytest.raises(UserError) as told:
        load_catalog(folder)
    for problem in told.value.problems:
        assert problem.file
        assert problem.mend
    return [f"{p.key}: {p.message}" for p in told.value.problems]


@pytest.mark.parametrize(
    ("file", "old", "new", "key", "message"),
    [
        (
            "expansion",
            '"29 per million per K"',
            '"15.1 per million per K"',
            "lead.coefficient",
            "outside its own range",
        ),
        (
            "expansion",
            '"29 per million per K"',
            '"29 per K"',
            "lead.coefficient",
            "cannot be read",
        ),
        (
            "expansion",
            '"16.5 per million per F"',
            '"0 per million per F"',
            "zinc.coefficient",
            "so small",
        ),
        (
            "expansion",
            'name = "Zinc"',
            'nam = "Zinc"',
            "zinc.nam",
            "unknown key",
        ),
        ("temperatures", '"150 F"', '"-21 F"', "roof-measured.high", "above the coldest"),
        ("temperatures", '"150 F"', '"150"', "roof-measured.high", "not a temperature"),
        ("bending", "value = 0.45,", "value = 0.6,", "stainless.value", "in its range"),
        ("bending", "k = { value = 0.50", "j = { value = 0.50", "lead", "k is missing"),
        ("bending", '"0.060 in"', '"0.060"', "aluminium-032.value", "no unit"),
        (
            "equipment-heights",
            'least = "24 in"',
            'least = "20 in"',
            "florida.bands",
            "overlap",
        ),
        (
            "equipment-heights",
            'least = "24 in", under = "36 in"',
            'least = "24 in", over = "24 in", under = "36 in"',
            "florida.bands",
            "a band needs",
        ),
        (
            "equipment-heights",
            'under = "24 in", height = "14 in"',
            'height = "14 in"',
            "florida.bands",
            "a band needs",
        ),
        ("lead", '"0.4097 lb per cu in"', '"0.4097"', "lead.value", "cannot be read"),
        ("lead", '"1/64 in"', '"1/64"', "lead.value", "no unit"),
        (
            "expansion-joints",
            'free_run = "24 ft 6 in"',
            "free_run = 24.5",
            "copper-20-coping-8.free_run",
            "text between quotes",
        ),
    ],
)  # fmt: skip
def test_a_mistake_is_told_with_its_place(folder, file, old, new, key, message):
    path = folder / "tables" / f"{file}.toml"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    told = _told(folder)
    assert any(line.startswith(f"{key}:") and message in line for line in told), told


def test_a_table_that_nobody_reads_and_one_that_is_not_there(folder):
    (folder / "tables" / "lead.toml").rename(folder / "tables" / "leed.toml")
    told = " ".join(_told(folder))
    assert "no part of the program reads leed.toml" in told
    assert "this table is missing" in told


def test_a_band_may_end_where_the_next_begins_but_not_share_the_limit(folder):
    path = folder / "tables" / "equipment-heights.toml"
    text = path.read_text(encoding="utf-8")
    both = text.replace('under = "36 in"', 'most = "36 in"', 1)
    path.write_text(both, encoding="utf-8")
    assert "overlap" in " ".join(_told(folder))
    one = both.replace('least = "36 in"', 'over = "36 in"', 1)
    path.write_text(one, encoding="utf-8")
    bands = load_catalog(folder).tables.heights["florida"].bands
    assert (bands[1].high, bands[1].high_in, bands[2].low_in) == (914.4, True, False)
    assert bands[1].written == "24 in to most 36 in"
