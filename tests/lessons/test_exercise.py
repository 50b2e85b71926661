"""Exercises and keys: what a student reads, what the files say, what a seed does."""

import re
import zlib
from collections.abc import Iterator

import pytest

from detailgen.lessons import names_exercise, numbers_exercise
from detailgen.lessons.blind import blind
from detailgen.lessons.parts import parts_of
from detailgen.scene import Dimension, TitleBlock
from detailgen.sheet import SheetRequest, compose
from detailgen.writers import WRITERS
from tests.lessons.test_handout import words
from tests.sheet.asked import catalog, typical

KINDS = ("wall", "roof-edge", "drain", "stack", "free-section")


def names_of(request: SheetRequest) -> list[str]:
    return [p.name for p in parts_of(request.section, catalog())]


@pytest.mark.parametrize("kind", KINDS)
def test_the_bank_has_every_name_once_and_the_key_all_of_them(kind: str) -> None:
    request = typical(kind)
    papers, key = names_exercise(request)
    told, answers = words(papers), words(key)
    for name in names_of(request):
        assert told.count(name) == 1
        assert name in answers
    bare = words(names_exercise(request, bank=False)[0])
    assert not set(bare) & set(names_of(request))
    numbers = {str(n) for n in range(1, len(names_of(request)) + 1)}
    assert numbers <= set(bare)


def test_a_seed_makes_the_same_papers_again_and_another_seed_others() -> None:
    request = typical("roof-edge")
    first, again = names_exercise(request, seed=7), names_exercise(request, seed=7)
    assert first == again
    assert [WRITERS["pdf"](s) for s in first[0]] == [WRITERS["pdf"](s) for s in again[0]]
    orders = set()
    for seed in range(6):
        told = words(names_exercise(request, seed=seed)[0])
        order = tuple(t for t in told if t in names_of(request))
        assert sorted(order) == sorted(names_of(request))
        orders.add(order)
    assert len(orders) == 6


def test_further_questions_are_answered_in_the_key() -> None:
    papers, key = names_exercise(typical("wall"))
    asked = re.findall(r"Why is part (\d+) there", " ".join(words(papers)))
    assert asked
    joined = " ".join(words(key))
    assert f"(ASKED: {', '.join(asked)})" in joined
    score = [
        c.value
        for i in papers[0].items
        if isinstance(i, TitleBlock)
        for c in i.cells
        if c.tag == "SCORE"
    ]
    assert score == [f"/ {len(names_of(typical('wall'))) + len(asked)}"]


def test_values_stand_in_the_key_alone_with_rule_and_source() -> None:
    papers, key = numbers_exercise(typical("wall"))
    told, answers = words(papers), words(key)
    assert "Vertical height of the cant?" in told
    assert "Vertical height of the cant." in answers
    for value in ('8"', '3 1/2"', '4"'):
        assert value in answers
        assert not any(value in t for t in told)
    joined = " ".join(answers)
    assert "low_flashing: UFGS 07550" in joined
    assert "common practice, no source" in joined
    assert "A" in told
    assert "A" in answers
    items = [i for s in papers for v in s.views for i in v.items]
    assert not any(isinstance(i, Dimension) for i in items)


def _readable(data: bytes) -> str:
    """Return all that can be read in a file, the streams of a PDF unpacked."""
    parts = [data]
    for found in re.finditer(rb"stream\r?\n(.*?)\r?\nendstream", data, re.DOTALL):
        try:
            parts.append(zlib.decompress(found[1]))
        except zlib.error:
            continue
    return b"\n".join(parts).decode("latin-1").lower()


def _secrets(request: SheetRequest) -> Iterator[str]:
    """Yield what would give an answer away: names, roles, materials, ids, rules."""
    section = request.section
    for body in section.bodies:
        yield body.id
        yield body.name
        yield body.role.value
        yield request.catalog.material(body.material).name
        yield body.material
    yield from names_of(request)
    yield from (f.rule for f in request.findings)
    # Frames of windows lie on a layer that the writer itself names.
    layers = request.catalog.drafting.layers
    yield from (layer.name for layer in layers if layer.role != "viewport")
    yield from (p.name for p in request.catalog.drafting.patterns.values())
    yield from (x.about for x in request.catalog.drafting.layers)


@pytest.mark.parametrize("kind", ["wall", "drain"])
@pytest.mark.parametrize("form", ["dxf", "svg", "pdf"])
def test_no_file_says_more_than_its_paper(kind: str, form: str) -> None:
    request = typical(kind, title="Detail to learn")
    scenes = (*names_exercise(request, bank=False)[0], *numbers_exercise(request)[0])
    for scene in scenes:
        file = _readable(WRITERS[form](scene))
        shown = " ".join(words((scene,))).lower()
        for secret in {s.lower() for s in _secrets(request) if len(s) > 3}:
            if secret in shown:  # a word of a question, as "wall" is
                continue
            assert not re.search(rf"\b{re.escape(secret)}\b", file), (scene.id, secret)


def test_what_is_not_blind_would_be_found_out() -> None:
    """The same look at an ordinary sheet finds the names: else the test above is empty."""
    request = typical("wall", title="Detail to learn")
    plain = compose(request)[0]
    told = _readable(WRITERS["dxf"](plain))
    assert "a-detl-flsh" in told
    assert "roofing sheets and flashing sheets" in told


def test_a_blind_sheet_draws_the_same_lines() -> None:
    _, key = names_exercise(typical("wall"))
    again = blind(key[0])
    assert again != key[0]
    assert WRITERS["pdf"](again) == WRITERS["pdf"](key[0])
    with pytest.raises(TypeError, match="length"):
        blind(compose(typical("wall"))[0])
