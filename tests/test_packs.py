"""Packs: what is told of a data file that is wrong."""

import shutil
from pathlib import Path

import pytest

from detailgen.catalog import COMMON_PRACTICE, KNOWN, load_catalog
from detailgen.errors import UserError

DATA = Path(__file__).parents[1] / "catalog"


@pytest.mark.parametrize(
    ("old", "new", "key", "told"),
    [
        ('of = ["sheet"]', 'of = ["sheets"]', "roll.of", "must be a list of texts"),
        ('of = ["panel"]', 'of = ["sheet"]', "panel.of", "sheet is bought in two ways"),
        ('of = ["cant"]', "", "cant", "of is missing"),
        ('holds = "16 ft"', 'holds = "16 gal"', "lumber.holds", "cannot be read"),
        ('holds = "5 gal"', 'holds = "5 ft"', "pail.holds", "cannot be read"),
        ('holds = "1000"', 'holds = "many"', "nail-box.holds", "cannot be read"),
        ('holds = "100"', 'holds = "0"', "screw-box.holds", "a pack holds something"),
        ('unit = "kg"', 'unit = "stone"', "carton.unit", "is not known"),
        ("waste = 0.0\n", "waste = 7\n", "thing.waste", "must be a number in its range"),
        ('width = "36 in"', "", "barrier-roll", "holds is missing"),
        ("waste = 0.05", "wast = 0.05", "roll.wast", "unknown key"),
    ],
)
def test_a_mistake_is_told_where_it_is(tmp_path, old, new, key, told):
    folder = Path(shutil.copytree(DATA, tmp_path / "catalog"))
    file = folder / "packs.toml"
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(UserError) as caught:
        load_catalog(folder)
    found = [p for p in caught.value.problems if p.key == key]
    assert found, caught.value.problems
    assert any(told in p.message for p in found)
    assert all(p.file.endswith("packs.toml") and p.line for p in found)


def test_every_pack_has_a_source_or_the_mark():
    for pack in load_catalog().packs.values():
        known = pack.source.rpartition(" - ")[2]
        assert pack.source == COMMON_PRACTICE or known in KNOWN
