"""Find-the-fault papers: the checks find what was planted, and no paper gives it away.

22 papers, one of each condition of the job that uses every kind; 300 with `--all-sets`.
"""

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pypdfium2 as pdfium
import pytest
from typer.testing import CliRunner

from detailgen.checks import REGISTRY, check
from detailgen.cli import app
from detailgen.fault_papers import (
    KEYS,
    MOST_FAULTS,
    PAPERS,
    RECIPE,
    Paper,
    Wanted,
    bench_of,
    make_papers,
    papers_of,
    span_of,
    steps_to_make,
)
from detailgen.faults import LEAST, SECTION, Change, Sort, failing, told
from detailgen.faults._ways import ways_of
from detailgen.lessons.fault_sheets import fault_paper, fault_scales
from detailgen.loader import load_job
from detailgen.pipeline import check_job, request_for
from detailgen.scene import Dimension, Scene, Text, TitleBlock
from detailgen.sheet.clashes import clashes
from detailgen.sheet.thickening import thickened
from detailgen.writers import WRITERS
from detailgen.writers._scene_gate import validate
from tests.faults.raster import seen_size
from tests.lessons.test_exercise import _readable

SAMPLES = Path(__file__).parents[1] / "samples"
EVERY_KIND = SAMPLES / "glassworks.toml"
TWO = SAMPLES / "harbour-archive.toml"
ONE_EACH, ALL = 22, 300
LENGTH = re.compile(r"""[\d'"/ ]+$|[\d.]+ mm$""")


def texts(scene: Scene) -> Iterator[str]:
    """Yield all words of a sheet but its dimensions."""
    for item in (*scene.items, *(i for v in scene.views for i in v.items)):
        if isinstance(item, Text):
            yield item.content
        elif isinstance(item, TitleBlock):
            yield from (cell.value for cell in item.cells)


def test_checks_find_just_what_is_planted_and_it_is_seen(
    pytestconfig: pytest.Config,
) -> None:
    """From the key's recipe each detail is built anew, checked, and painted in pixels."""
    every = pytestconfig.getoption("all_sets")
    job = load_job(EVERY_KIND)
    wanted = Wanted(papers=ALL if every else ONE_EACH, seed=7)
    papers, left_out = papers_of(job, wanted)
    assert [p.number for p in papers] == list(range(1, wanted.papers + 1))
    assert not left_out
    checked = {c.placed.id: c for c in check_job(job)}
    assert {p.recipe["condition"] for p in papers} == set(checked)
    seen: set[str] = set()
    sorts: set[Sort] = set()
    for paper in papers:
        recipe = paper.recipe
        one = checked[recipe["condition"]]
        changes = [Change.from_data(f["change"]) for f in recipe["faults"]]
        seen.add(json.dumps([recipe["condition"], [f["change"] for f in recipe["faults"]]]))
        sorts |= {c.sort for c in changes}
        assert 1 <= len(changes) <= MOST_FAULTS
        # built by a bench of its own, and asked of every rule
        broken = bench_of(job, one).broken(changes)
        assert broken is not None
        found = failing(check(broken.section, job.rules, job.catalog))
        planted = [{f["rule"], *f["along"]} for f in recipe["faults"]]
        assert found == set().union(*planted), (paper.number, recipe)
        assert len(found) == sum(map(len, planted)), "each rule belongs to one fault"
        if every or paper.number % 3 == 0:
            _is_seen_in_pixels(job, one, changes, paper)
        _says_nothing(paper)
        for scene in (*paper.scenes, *paper.key):
            validate(scene)
            assert clashes(scene) == [], (paper.number, scene.id)
    assert len(seen) == len(papers), "no two papers are the same"
    assert len(sorts) > 4


def _is_seen_in_pixels(job, one, changes, paper: Paper) -> None:
    """Each fault by itself changes a patch of at least 1.5 mm on its own paper."""
    bench = bench_of(job, one)
    base = request_for(job, one)
    whole = bench.broken(changes)
    drawing = fault_scales(
        replace(base, section=whole.section, rebuild=whole.rebuild, findings=()), ""
    )
    thick = thickened(base, drawing.scales[SECTION])
    sound = bench.sound.rebuild(thick)
    for change, fault in zip(changes, paper.recipe["faults"], strict=True):
        alone = bench.broken((change,)).rebuild(thick)
        sizes = [seen_size(sound, alone, v, f) for v, f in drawing.scales.items()]
        assert max(sizes) >= LEAST - 0.2, (paper.number, fault, sizes)
        assert fault["size_on_paper_mm"] >= LEAST


GIVEN_AWAY = re.compile(
    r"fail|omitted|missing|left out|wrong[^,]|too |short|broken|laid after|min\.|max\.",
    re.IGNORECASE,
)


def _says_nothing(paper: Paper) -> None:
    words = " ".join(w for s in paper.scenes for w in texts(s)).lower()
    assert not GIVEN_AWAY.search(words.replace("what is wrong, and where?", "")), words
    for fault in paper.recipe["faults"]:
        assert fault["rule"] not in words
        assert fault["told"].lower() not in words
    key = " ".join(w for s in paper.key for w in texts(s))
    for fault in paper.recipe["faults"]:
        assert fault["rule"] in key
        for rule in fault["along"]:
            assert f"({rule})" in key
    for scene in paper.scenes:
        items = [i for v in scene.views for i in v.items]
        dims = [i for i in items if isinstance(i, Dimension)]
        assert not any(d.suffix for d in dims), "no dimension says that it is the least"


def test_files_of_a_paper_hold_nothing_but_what_is_printed() -> None:
    """A paper of a broken detail has no word that one of the sound detail has not."""
    job = load_job(TWO)
    (paper, *_), _ = papers_of(job, Wanted(papers=1, seed=5, least=2, most=2))
    checked = check_job(job)[0]
    bench = bench_of(job, checked)
    request = replace(
        request_for(job, checked),
        section=bench.sound.section,
        rebuild=bench.sound.rebuild,
        findings=(),
    )
    sound = fault_paper(request, "", "1", 2)
    bare = {w for s in sound for w in texts(s)}
    for scene in paper.scenes:
        assert scene.title == next(iter(sound)).title
        assert scene.subject == sound[0].subject
        assert all(view.plotted and not view.title for view in scene.views)
        for word in texts(scene):
            assert word in bare or LENGTH.match(word) or word.isdigit(), word
        shown = " ".join(texts(scene)).lower()
        secrets = {b.id for b in checked.section.bodies} | set(REGISTRY)
        secrets |= {f["told"].lower() for f in paper.recipe["faults"]}
        for form in ("dxf", "svg", "pdf"):
            file = _readable(WRITERS[form](scene))
            for secret in secrets:
                if len(secret) > 4 and secret not in shown:
                    assert not re.search(rf"\b{re.escape(secret)}\b", file), secret


def test_a_seed_makes_the_same_bytes_and_another_one_other_papers() -> None:
    job, said = load_job(TWO), []
    wanted = Wanted(papers=2, seed=2)
    first = make_papers(job, ("pdf", "svg"), wanted, said.append)
    assert len(said) == steps_to_make(job, wanted)
    assert make_papers(job, ("pdf", "svg"), wanted) == first
    assert {PAPERS, KEYS, RECIPE} <= set(first.files)
    assert all(n in {KEYS, RECIPE, PAPERS} or "svg/" in n for n in first.files)
    keys = [n for n in first.files if n.startswith("keys/")]
    assert keys
    assert all("-key-" in n for n in keys)
    assert not any("-key-" in n for n in set(first.files) - set(keys))
    other = make_papers(job, ("pdf",), Wanted(papers=2, seed=3))
    assert other.files[PAPERS] != first.files[PAPERS]
    marks = [b.get_title() for b in pdfium.PdfDocument(first.files[PAPERS]).get_toc()]
    assert marks == [f"Paper {n}" for n in (1, 2)]


def test_a_smaller_set_begins_a_larger_one() -> None:
    job = load_job(TWO)
    (few, _), (more, _) = (papers_of(job, Wanted(papers=n, seed=9)) for n in (1, 3))
    assert [p.recipe for p in more[:1]] == [p.recipe for p in few]


@pytest.mark.parametrize("sample", ["free-wall.toml", "mill-annexe-mm.toml"])
def test_every_change_is_told_and_made_again_from_its_data(sample: str) -> None:
    job = load_job(SAMPLES / sample)
    sorts: set[Sort] = set()
    for checked in check_job(job):
        bench = bench_of(job, checked)
        for way in ways_of(bench, job.project.units):
            for change in way.changes():
                sorts.add(change.sort)
                again = Change.from_data(json.loads(json.dumps(change.as_data())))
                assert again == change
                said = told(change, bench, job.project.units)
                assert said.endswith(".")
                assert said[0].isupper()
    some = {Sort.LEFT_OUT, Sort.ENDS_EARLY, Sort.LAID_LATE, Sort.LOOSE, Sort.STUCK}
    assert sorts >= some


def test_the_command_writes_papers_and_keys(tmp_path: Path) -> None:
    asked = ["faults", str(TWO), "--papers", "2", "--seed", "4", "--faults", "1"]
    ran = CliRunner().invoke(app, [*asked, "--out", str(tmp_path), "--paper", "A4"])
    assert ran.exit_code == 0, ran.output
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted([PAPERS, KEYS, RECIPE])
    recipe = json.loads((tmp_path / RECIPE).read_text(encoding="utf-8"))
    assert [len(p["faults"]) for p in recipe["papers"]] == [1, 1]
    width, height = pdfium.PdfDocument(tmp_path / PAPERS)[0].get_size()
    assert (round(width * 25.4 / 72), round(height * 25.4 / 72)) == (210, 297)


@pytest.mark.parametrize(
    ("sample", "given", "word"),
    [
        (TWO, ["--faults", "4"], "1..3"),
        (TWO, ["--faults", "3..1"], "1..3"),
        (TWO, ["--faults", "one"], "1..3"),
        (TWO, ["--condition", "Z9"], "W1"),
        (TWO, ["--paper", "Legal"], "Letter"),
        (TWO, ["--papers", "0"], "1"),
        (SAMPLES / "low-walls-failing.toml", [], "breaks rules as it is"),
    ],
)
def test_what_cannot_be_is_told(
    tmp_path: Path, sample: Path, given: list[str], word: str
) -> None:
    out = tmp_path / "out"
    ran = CliRunner().invoke(app, ["faults", str(sample), "--out", str(out), *given])
    assert ran.exit_code == 2, ran.output
    assert word in " ".join(ran.output.split())
    assert not out.exists()


def test_spans_of_faults() -> None:
    assert span_of("2") == (2, 2)
    assert span_of("1..3") == (1, 3)
