"""Stage sheets and checklists of random conditions: nothing touches, one scale, one frame.

8 sets of every kind on every paper in turn; 100 with `--all-sets`.
"""

import pytest

from detailgen.catalog import Tolerance
from detailgen.conditions import CONDITIONS
from detailgen.finding import Outcome
from detailgen.lessons import checklist, stage_sheets, steps_of
from detailgen.scene import MIN_TEXT, Dimension, Scene, Text
from detailgen.sheet import SheetRequest
from detailgen.sheet.clashes import clashes
from detailgen.writers._scene_gate import validate
from tests.sheet.asked import catalog, random_requests

SETS, ALL = 8, 100


@pytest.mark.parametrize("kind", CONDITIONS)
def test_nothing_is_wrong_on_class_sheets(kind: str, pytestconfig: pytest.Config) -> None:
    count = ALL if pytestconfig.getoption("all_sets") else SETS
    requests = random_requests(kind, count, 4100)
    assert len(requests) == count
    for number, request in enumerate(requests):
        scenes = stage_sheets(request)
        _panels_are_alike(request, scenes)
        lists = checklist(request, _strays(request))
        _every_rule_is_listed(request, lists)
        for scene in (*scenes, *lists):
            validate(scene)
            assert clashes(scene) == [], (number, kind, request.paper, scene.id)
            items = [*scene.items, *(i for v in scene.views for i in v.items)]
            heights = [i.height for i in items if isinstance(i, Text | Dimension)]
            assert min(heights) >= MIN_TEXT


def _strays(request: SheetRequest) -> dict[int, tuple[Tolerance, ...]]:
    """Return all tolerances of a kind, at stages that need not be theirs."""
    numbers = [0, *(s.number for s in request.section.stages)]
    found: dict[int, tuple[Tolerance, ...]] = {}
    every = [t for t in catalog().tolerances.values() if request.kind in t.kinds]
    for index, tolerance in enumerate(every):
        number = numbers[index % len(numbers)]
        found[number] = (*found.get(number, ()), tolerance)
    return found


def _panels_are_alike(request: SheetRequest, scenes: tuple[Scene, ...]) -> None:
    """A panel for each stage, in order; all at one scale and in one frame."""
    views = [v for scene in scenes for v in scene.views]
    assert [v.id for v in views] == [f"stage-{s.number}" for s in request.section.stages]
    assert len({v.factor for v in views}) == 1
    for size in (
        [v.frame[2] - v.frame[0] for v in views],
        [v.frame[3] - v.frame[1] for v in views],
    ):
        assert max(size) - min(size) < 1e-6
    at = [(v.origin[0] - v.frame[0], v.origin[1] - v.frame[1]) for v in views]
    assert all(abs(a - at[0][0]) + abs(b - at[0][1]) < 1e-6 for a, b in at)


def _every_rule_is_listed(request: SheetRequest, scenes: tuple[Scene, ...]) -> None:
    """Every rule that a stage serves has its row, with room to write."""
    steps = steps_of(request.section, request.findings, request.catalog)
    served = [f for step in steps for f in step.rules]
    applied = [f for f in request.findings if f.outcome is not Outcome.NOT_APPLICABLE]
    assert 0 < len(served) <= len(applied)
    told = " ".join(
        i.content for scene in scenes for i in scene.items if isinstance(i, Text)
    )
    for finding in served:
        first = finding.title.split()[0].rstrip(",")
        assert first in told, finding.rule
