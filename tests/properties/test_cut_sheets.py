"""Cut sheets of random conditions: nothing touches, every piece is drawn in its frame.

A set of every kind, on every paper and in both unit systems in turn; 100 of every kind
with `--all-sets`. One in ten is looked at as pixels.
"""

import pytest

from detailgen.conditions import CONDITIONS
from detailgen.lessons import cut_sheets
from detailgen.lessons.cut_pieces import cut_pieces
from detailgen.scene import MIN_TEXT, Dimension, Scene, Text
from detailgen.sheet import SheetRequest
from detailgen.sheet.clashes import clashes
from detailgen.sheet.pattern_view import FOLDED
from detailgen.writers._scene_gate import validate
from detailgen.writers.pdf import write
from tests.properties.test_random_sheets import (
    _boxes_of_words,
    _nothing_outside,
    _nothing_under_words,
    _pixels,
    _without_words,
)
from tests.sheet.asked import random_requests

SETS, ALL = 1, 100
INKED = 10
"""Of so many sets one is looked at as pixels."""


@pytest.mark.parametrize("kind", CONDITIONS)
def test_nothing_is_wrong_on_cut_sheets(kind: str, pytestconfig: pytest.Config) -> None:
    count = ALL if pytestconfig.getoption("all_sets") else SETS
    # a seed for each kind, so that one set of each is not always on the same paper
    seed = 6300 + list(CONDITIONS).index(kind)
    requests = random_requests(kind, count, seed)
    assert len(requests) == count
    for number, request in enumerate(requests):
        pieces = cut_pieces(request.section)
        scenes = cut_sheets(request)
        assert bool(scenes) == bool(pieces)
        told = (number, kind, request.paper)
        _every_piece_is_drawn(request, scenes)
        for scene in scenes:
            validate(scene)
            assert clashes(scene) == [], (*told, scene.id)
            _scales_and_letters_are_right(request, scene)
            if number % INKED == 0:
                data = write(scene)
                bare = _pixels(_without_words(data))
                _nothing_under_words(bare, _boxes_of_words(data), told)
                _nothing_outside(_pixels(data), scene, told)


def _every_piece_is_drawn(request: SheetRequest, scenes: tuple[Scene, ...]) -> None:
    """Each piece has one view that is flat, and its area stands on the first sheet."""
    pieces = cut_pieces(request.section)
    views = [v.id for s in scenes for v in s.views if not v.id.startswith(FOLDED)]
    assert len(views) == len(set(views)) == len(pieces)
    texts = [i.content for s in scenes for i in s.items if isinstance(i, Text)]
    for piece in pieces:
        first = piece.name.upper().split()[0].rstrip(",")
        assert any(first in text.upper() for text in texts), piece.name


def _scales_and_letters_are_right(request: SheetRequest, scene: Scene) -> None:
    series = {s.factor for s in request.catalog.drafting.scales_of(request.units)}
    assert {v.factor for v in scene.views} <= series
    items = [*scene.items, *(i for v in scene.views for i in v.items)]
    heights = [i.height for i in items if isinstance(i, Text | Dimension)]
    assert min(heights) >= MIN_TEXT
