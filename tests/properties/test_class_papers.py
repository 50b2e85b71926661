"""Handouts, exercises and keys of random conditions: nothing touches, nothing is small.

2 sets of every kind, on both papers and in both unit systems in turn; 100 with
`--all-sets`. One in ten is looked at as pixels.
"""

import pytest

from detailgen.conditions import CONDITIONS
from detailgen.lessons import handout, names_exercise, numbers_exercise
from detailgen.lessons.class_text import BODY
from detailgen.lessons.numbers import numbers_of
from detailgen.lessons.parts import parts_of
from detailgen.scene import Circle, Dimension, Leader, Path, Scene, Text, View
from detailgen.sheet import SheetRequest
from detailgen.sheet.clashes import clashes
from detailgen.writers._scene_gate import validate
from detailgen.writers.pdf import write
from tests.properties.test_random_sheets import (
    _boxes_of_words,
    _nothing_outside,
    _nothing_under_words,
    _pixels,
    _without_words,
)
from tests.sheet.asked import catalog, random_requests

SETS, ALL = 2, 100
INKED = 10
PAPERS = ("Letter", "A4", "")
FULL = 0.6
"""Least part of a page's height that is used."""


@pytest.mark.parametrize("kind", CONDITIONS)
def test_nothing_is_wrong_on_class_papers(kind: str, pytestconfig: pytest.Config) -> None:
    count = ALL if pytestconfig.getoption("all_sets") else SETS
    requests = random_requests(kind, count, 5200)
    assert len(requests) == count
    for number, request in enumerate(requests):
        paper = PAPERS[number % len(PAPERS)]
        given = handout(request, paper)
        names, names_key = names_exercise(
            request, paper, seed=number, bank=bool(number % 3)
        )
        numbers, numbers_key = numbers_exercise(request, paper)
        _every_part_has_a_number(request, (given, names, names_key))
        _every_letter_is_asked(request, numbers, numbers_key)
        every = (*given, *names, *names_key, *numbers, *numbers_key)
        assert len({s.id for s in every}) == len(every)
        for index, scene in enumerate(every):
            told = (number, kind, paper, scene.id)
            validate(scene)
            assert clashes(scene) == [], told
            _letters_are_large(scene)
            _the_page_is_used(scene, told)
            if number % INKED == 0 and index % 3 == 0:
                data = write(scene)
                bare = _pixels(_without_words(data))
                _nothing_under_words(bare, _boxes_of_words(data), told)
                _nothing_outside(_pixels(data), scene, told)


def _items(scene: Scene) -> list:
    return [*scene.items, *(i for v in scene.views for i in v.items)]


def _letters_are_large(scene: Scene) -> None:
    for item in _items(scene):
        if isinstance(item, Text | Dimension):
            assert item.height >= BODY


def _the_page_is_used(scene: Scene, told: object) -> None:
    """From the frame's foot up, what is drawn begins before half a page is empty."""
    low = [v.frame[1] for v in scene.views]
    low += [i.at[1] for i in scene.items if isinstance(i, Text)]
    low += [i.points[0][1] for i in scene.items if isinstance(i, Path) and not i.closed]
    free = min(low) - scene.paper.margin
    assert free <= (1.0 - FULL) * scene.paper.height, told


def _every_part_has_a_number(
    request: SheetRequest, sheets: tuple[tuple[Scene, ...], ...]
) -> None:
    """A circle with a leader for each part, on the handout, the exercise and its key."""
    parts = parts_of(request.section, catalog())
    films = sum(bool(p.coats) and not p.bodies for p in parts)
    views = [v for scenes in sheets for s in scenes for v in s.views]
    assert len(views) == len(sheets)
    for view in views:
        assert _circles(view) == _leaders(view)
        # A film too short to be seen at a small scale has no number.
        assert len(parts) - films <= _circles(view) <= len(parts)
    assert _circles(views[1]) == _circles(views[2])


def _circles(view: View) -> int:
    return sum(isinstance(i, Circle) and i.radius > 3 for i in view.items)


def _leaders(view: View) -> int:
    return sum(isinstance(i, Leader) for i in view.items)


def _every_letter_is_asked(
    request: SheetRequest, numbers: tuple[Scene, ...], key: tuple[Scene, ...]
) -> None:
    shown = [n for n in numbers_of(request) if n.measured]
    for scenes in (numbers, key):
        (view,) = (v for s in scenes for v in s.views)
        letters = [i.content for i in view.items if isinstance(i, Text)]
        assert len(letters) == len(set(letters)) == len(shown)
        rows = [i.content for s in scenes for i in s.items if isinstance(i, Text)]
        assert set(letters) <= set(rows)
