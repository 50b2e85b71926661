"""Arrows of the water path: there when they are asked for, and saying what they count."""

from dataclasses import replace

import pytest

from detailgen.conditions import CONDITIONS
from detailgen.scene import Path, Text
from detailgen.sheet import compose
from detailgen.sheet.water_path import LAYER
from detailgen.waterpath import ways
from tests.sheet.asked import typical


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
