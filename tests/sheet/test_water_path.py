"""Arrows of the water path: there when they are asked for, and saying what they count."""

from dataclasses import replace

import pytest

from detailgen.conditions import CONDITIONS
from detailgen.scene import Path, Text
from detailgen.sheet import compose
from detailgen.sheet.clashes import clashes
from detailgen.sheet.water_path import LAYER, _lengthened
from detailgen.waterpath import ways
from detailgen.writers._scene_gate import validate
from tests.sheet.asked import random_requests, typical, with_shop


def _arrows(scene) -> list[Path]:
    items = [i for v in scene.views for i in v.items if isinstance(i, Path)]
    return [i for i in items if i.layer == LAYER and not i.closed]


@pytest.mark.parametrize("kind", CONDITIONS)
def test_each_zone_has_an_arrow_where_it_is_asked_for(kind: str) -> None:
    request = typical(kind)
    assert not any(_arrows(scene) for scene in compose(request))
    first, *_ = compose(replace(request, water=True))
    found = ways(request.section, request.rules)
    assert len(_arrows(first)) == len(found) > 0
    texts = " ".join(i.content for i in first.items if isinstance(i, Text))
    assert "it does not predict leaks" in texts
    for way in found:
        assert f"{way.zone} {way.told:g} (asked " in texts


def test_an_arrow_ends_at_what_gets_wet() -> None:
    request = replace(typical("wall"), water=True)
    first, *_ = compose(request)
    view = next(v for v in first.views if v.id == "section")
    dry = [
        b.region for b in request.section.bodies if b.id in request.section.must_stay_dry
    ]
    x0 = min(r.bounds[0] for r in dry)
    x1 = max(r.bounds[2] for r in dry)
    for arrow in _arrows(first):
        assert x0 - 10.0 <= arrow.points[-1][0] <= x1 + 10.0
        assert len(arrow.points) >= 2
    assert view.factor > 0


@pytest.mark.parametrize("kind", CONDITIONS)
def test_arrows_are_kept_clear_of_by_marks_on_any_paper(
    kind: str, pytestconfig: pytest.Config
) -> None:
    """8 random sets of every kind, one on each paper; 40 with `--all-sets`."""
    count, arrows = 40 if pytestconfig.getoption("all_sets") else 8, 0
    for number, request in enumerate(random_requests(kind, count, seed=31)):
        scenes = compose(with_shop(replace(request, water=True)))
        for scene in scenes:
            validate(scene)
            assert clashes(scene) == [], (number, request.paper)
        arrows += len(_arrows(scenes[0]))
    assert arrows


def test_what_lies_open_to_the_weather_is_reached_from_above() -> None:
    points = _lengthened([(3.0, 5.0)], 4.0)
    assert points == [(3.0, 5.0 + 4.0 * 7.0), (3.0, 5.0)]
    assert _lengthened([(0.0, 0.0), (100.0, 0.0)], 4.0) == [(0.0, 0.0), (100.0, 0.0)]
    assert _lengthened([(0.0, 0.0), (10.0, 0.0)], 4.0)[0] == (-18.0, 0.0)
