"""Each kind of clash is made on purpose and must be found; what is clear must pass."""

from dataclasses import replace

import pytest

from detailgen.scene import (
    Align,
    Circle,
    Dimension,
    Hatch,
    HatchFamily,
    Item,
    Layer,
    Leader,
    Paper,
    Path,
    Pattern,
    Scene,
    Terminator,
    Text,
    View,
)
from detailgen.sheet.clashes import clashes

ROUND = Pattern("lines", (HatchFamily(45, 2.0),))
SQUARE = ((40.0, 40.0), (80.0, 40.0), (80.0, 80.0), (40.0, 80.0))
HELLO = Text((50.0, 60.0), "HELLO", 2.5, "text")


def scene(*items: Item, view: tuple[Item, ...] = ()) -> Scene:
    views = ()
    if view:
        frame = (12.0, 12.0, 190.0, 140.0)
        views = (View("v", "V", 2.0, "1:2", (0.0, 0.0), frame, view),)
    layers = (Layer("text", "A-TEXT", 0.25, (0, 0, 0)),)
    return Scene("s", "S", Paper("P", 200, 150), layers, items, views, inches=False)


def kinds(found: Scene) -> set[str]:
    return {c.kind for c in clashes(found)}


LEADER = Leader(((60.0, 60.5), (120.0, 60.5)), "text", Terminator.DOT, "1")
DIMENSION = Dimension(
    (20.0, 20.0), (20.0, 90.0), (55.0, 20.0), 90.0, "70 mm", "", "", (54.0, 55.0), 2.5,
    "text", 70.0,
)  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "items"),
    [
        ("text on text", (HELLO, replace(HELLO, at=(52.0, 61.0), content="WORLD"))),
        ("text on line", (HELLO, Path(((30.0, 61.0), (90.0, 61.0)), "text"))),
        ("text on outline", (HELLO, Path(((30, 61), (90, 61)), "text", tag="deck"))),
        ("text on area", (HELLO, Hatch(SQUARE, "text", ROUND))),
        (
            "text on area",
            (HELLO, Path(SQUARE, "text", closed=True, fill=(9, 9, 9), tag="deck")),
        ),
        ("text on leader", (HELLO, LEADER)),
        ("text on dimension line", (HELLO, DIMENSION)),
        ("text on circle", (HELLO, Circle((52.0, 61.0), 3.0, "text"))),
        (
            "leader on leader",
            (LEADER, replace(LEADER, points=((90.0, 20.0), (90.0, 90.0)), label="2")),
        ),
        ("leader on label", (LEADER, Circle((90.0, 61.0), 3.3, "text"))),
        ("outside frame", (replace(HELLO, at=(195.0, 60.0)),)),
        ("outside frame", (Path(((5.0, 20.0), (60.0, 20.0)), "text"),)),
    ],
)
def test_a_clash_is_found(kind: str, items: tuple[Item, ...]) -> None:
    assert kind in kinds(scene(*items))


def test_turned_text_is_boxed_as_it_stands() -> None:
    upright = replace(HELLO, rotation=90.0, align=Align.CENTRE)
    beside = Path(((51.5, 20.0), (51.5, 90.0)), "text")
    across = Path(((30.0, 58.0), (90.0, 58.0)), "text")
    assert kinds(scene(upright, beside)) == set()
    assert kinds(scene(upright, across)) == {"text on line"}


def test_text_inside_its_circle_and_in_a_hole_is_clear() -> None:
    circle = Circle((60.0, 61.0), 9.0, "text")
    hole = ((45.0, 55.0), (75.0, 55.0), (75.0, 68.0), (45.0, 68.0))
    wide = ((10.0, 10.0), (150.0, 10.0), (150.0, 120.0), (10.0, 120.0))
    text = replace(HELLO, at=(60.0, 60.0), align=Align.CENTRE)
    assert kinds(scene(text, circle, Hatch(wide, "text", ROUND, holes=(hole,)))) == set()


def test_a_view_is_looked_at_on_paper() -> None:
    # In a view at 1:2, model (120, 122) lies under the text at (60, 61).
    line = Path(((100.0, 122.0), (140.0, 122.0)), "text")
    assert kinds(scene(HELLO, view=(line,))) == {"text on line"}
    assert kinds(
        scene(HELLO, view=(replace(line, points=((2.0, 30.0), (9.0, 30.0))),))
    ) == {"outside frame"}


def test_views_do_not_lie_on_each_other() -> None:
    one = scene(view=(LEADER,))
    twice = replace(one, views=(one.views[0], replace(one.views[0], id="w")))
    assert "view on view" in kinds(twice)
