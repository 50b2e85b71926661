"""Layouts of random runs: nothing touches, all pieces are drawn, rows make up the run.

A run of every kind that has one; 100 of each with `--all-sets`: lengths from a corner to
400 ft, walls of all heights, low points and corners anywhere, both unit systems, every
paper.
"""

from random import Random

import pytest

from detailgen.conditions import CONDITIONS
from detailgen.patterns.shopwork import shopwork
from detailgen.pieces import Laid, Line, courses, laid
from detailgen.pieces.sheets import piece_sheets
from detailgen.scene import MIN_TEXT, Dimension, Scene, Text
from detailgen.sheet import SheetRequest
from detailgen.sheet.clashes import clashes
from detailgen.writers._scene_gate import validate
from tests.sheet.asked import random_requests

SETS, ALL = 1, 100
SHORTEST, LONGEST = 150.0, 122_000.0
CORNERS = ("", "", "an inside corner", "an outside corner")


def _run(rng: Random) -> Line:
    """Return a run, most of them as long as walls are, low somewhere or at an end."""
    run = SHORTEST * (LONGEST / SHORTEST) ** rng.random()
    low = rng.choice([0.0, run, rng.uniform(0.0, run)])
    return Line(run, low, rng.choice(CORNERS), rng.choice(CORNERS))


@pytest.mark.parametrize("kind", CONDITIONS)
def test_nothing_touches_on_the_sheets_of_random_runs(
    kind: str, pytestconfig: pytest.Config
) -> None:
    count = ALL if pytestconfig.getoption("all_sets") else SETS
    seed = 8800 + list(CONDITIONS).index(kind)
    rng = Random(seed)
    for number, request in enumerate(random_requests(kind, count, seed)):
        if request.section.by_the_piece:
            continue
        run = _run(rng)
        profiles = shopwork(request.section, request.catalog).profiles
        given = request.section, request.quantities, profiles
        found = laid(courses(*given, request.catalog, request.rules), run, request.catalog)
        scenes = piece_sheets(request, found, run, assumed=bool(number % 2))
        assert bool(scenes) == bool(found)
        told = number, kind, request.paper, run
        for scene in scenes:
            validate(scene)
            assert clashes(scene) == [], (*told, scene.id)
            items = [*scene.items, *(i for v in scene.views for i in v.items)]
            heights = [i.height for i in items if isinstance(i, Text | Dimension)]
            assert min(heights) >= MIN_TEXT
        _the_rows_are_the_run(request, scenes, found, run)


def _the_rows_are_the_run(
    request: SheetRequest, scenes: tuple[Scene, ...], found: tuple[Laid, ...], run: Line
) -> None:
    """Rows at one scale make up the run; the schedule names the pieces of every course."""
    views = [v for s in scenes for v in s.views]
    assert len({v.factor for v in views}) <= 1
    lengths = [i.true for v in views for i in v.items if isinstance(i, Dimension)]
    assert not found or sum(lengths) == pytest.approx(run.run)
    shown = [i.content for v in views for i in v.items if isinstance(i, Text)]
    texts = {i.content for s in scenes for i in s.items if isinstance(i, Text)}
    for one in found:
        numbers = [number for number, _, _ in one.numbered()]
        assert any(t.startswith(numbers[0]) for t in texts)
        for number in numbers:
            assert any(t.split()[0] == number for t in shown), (request.paper, number)
