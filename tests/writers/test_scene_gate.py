"""The gate: each fault that formats take in silence is refused, with its place."""

import math
from dataclasses import replace

import pytest

from detailgen.scene import (
    Cell,
    Circle,
    Dimension,
    Hatch,
    HatchFamily,
    Leader,
    Path,
    Pattern,
    Terminator,
    Text,
)
from detailgen.writers import WRITERS
from detailgen.writers._scene_gate import SceneError, validate
from tests.writers.sample import BOARD, LAYERS, box, rich_scene, title_block

SQUARE = box(20, 20, 40, 40)
NAN = math.nan


def with_item(item):
    scene = rich_scene()
    return replace(scene, items=(*scene.items, item))


def dim(**changes):
    good = Dimension(
        (50.0, 50.0),
        (70.0, 50.0),
        (50.0, 60.0),
        0.0,
        "20",
        "",
        "",
        (60.0, 61.0),
        2.5,
        "dims",
        20.0,
    )
    return replace(good, **changes)


def block(**changes):
    made = title_block(431.8)
    cell = replace(made.cells[0], **changes)
    return replace(made, cells=(cell, *made.cells[1:]))


def pattern(*families, name="DG_OTHER"):
    return Hatch(SQUARE, "hatch", Pattern(name, families))


ITEMS = {
    "nan vertex": (Path(((20, 20), (NAN, 30)), "cut"), "not finite"),
    "infinite vertex": (Path(((20, 20), (math.inf, 30)), "cut"), "not finite"),
    "one vertex": (Path(((20, 20),), "cut"), "1 points"),
    "no vertex": (Path((), "cut"), "0 points"),
    "closed with two": (Path(((20, 20), (30, 30)), "cut", closed=True), "2 points"),
    "vertex twice": (Path(((20, 20), (20, 20), (30, 30)), "cut"), "stands twice"),
    "first repeated": (Path((*SQUARE, SQUARE[0]), "cut", closed=True), "stands twice"),
    "bad hole": (
        Path(SQUARE, "cut", closed=True, holes=(((22, 22), (23, 23)),)),
        "2 points",
    ),
    "open fill": (Path(SQUARE, "cut", fill=(1, 2, 3)), "open path"),
    "draws nothing": (Path(SQUARE, "cut", closed=True, stroke=False), "neither"),
    "unknown layer": (Path(SQUARE, "nowhere"), "unknown layer 'nowhere'"),
    "off the sheet": (Path(((20, 20), (440, 30)), "cut"), "outside"),
    "radius": (Circle((50, 50), 0.0, "cut"), "radius"),
    "circle off the sheet": (Circle((3, 50), 4.0, "cut"), "outside"),
    "nan centre": (Circle((50, NAN), 4.0, "cut"), "centre"),
    "hatch outline": (Hatch(SQUARE[:2], "hatch", BOARD), "2 points"),
    "no family": (pattern(), "draws nothing"),
    "zero spacing": (pattern(HatchFamily(45.0, 0.0)), "DG_OTHER"),
    "nan angle": (pattern(HatchFamily(NAN, 2.0)), "DG_OTHER"),
    "endless dashes": (pattern(HatchFamily(0.0, 2.0, dashes=(0.0, -0.0))), "DG_OTHER"),
    "two patterns of a name": (
        pattern(HatchFamily(1.0, 2.0), name="DG_BOARD"),
        "two patterns",
    ),
    "pattern name": (pattern(HatchFamily(1.0, 2.0), name="a b"), "pattern name"),
    "small text": (Text((50, 50), "small", 2.4, "notes"), "less than 2.5"),
    "no height": (Text((50, 50), "small", 0.0, "notes"), "less than 2.5"),
    "nan height": (Text((50, 50), "small", NAN, "notes"), "less than 2.5"),
    "blank text": (Text((50, 50), "  ", 2.5, "notes"), "blank"),
    "text off the sheet": (
        Text((400, 50), "far too long for here", 2.5, "notes"),
        "outside",
    ),
    "text turn": (Text((50, 50), "a", 2.5, "notes", rotation=NAN), "not finite"),
    "long text": (Text((50, 50), "i" * 251, 2.5, "notes"), "more than 250"),
    "untrue": (dim(true=20.001), "true length"),
    "no length": (dim(end=(50.0, 50.0), true=0.0), "true length"),
    "nan length": (dim(true=NAN), "not finite"),
    "text without its suffix": (dim(suffix=" MIN."), "is not"),
    "small dimension": (dim(height=2.0), "less than 2.5"),
    "leader of a point": (Leader(((50, 50),), "notes", Terminator.DOT, ""), "1 points"),
    "leader label": (
        Leader(((50, 50), (60, 60)), "notes", Terminator.DOT, "a\nb"),
        "control",
    ),
    "cell too narrow": (block(value="W" * 40), "wide in a cell"),
    "cell too low": (block(height=8.0), "its text needs"),
    "cell outside": (block(x=100.0), "outside"),
    "cell tag": (block(tag="two words"), "not a name"),
    "cell twice": (block(tag="SCALE"), "more than once"),
    "cell text": (block(size=1.0), "less than 2.5"),
    "text layer": (replace(title_block(431.8), text_layer="x"), "unknown layer 'x'"),
    "nan title block": (replace(title_block(431.8), width=NAN), "not finite"),
    "nan cell": (block(x=NAN), "not finite"),
}


@pytest.mark.parametrize(("item", "told"), ITEMS.values(), ids=ITEMS.keys())
def test_an_item_is_refused(item, told):
    with pytest.raises(SceneError, match=r"paper, item") as caught:
        validate(with_item(item))
    assert len(caught.value.faults) == 1
    assert told in caught.value.faults[0]


HOSTILE = ["\n", "\r", "\0", "\x1b", "\x85", "\u2028", "\u202e", "\ud800", "\x7f", "\ufffe"]


@pytest.mark.parametrize("bad", HOSTILE, ids=ascii)
@pytest.mark.parametrize("extension", WRITERS)
def test_every_writer_refuses_control_characters(extension, bad):
    text = f"A{bad}  0\nCIRCLE"
    for scene in (
        with_item(Text((50.0, 50.0), text, 2.5, "notes")),
        with_item(dim(text=f"20{text}", suffix=text)),
        with_item(block(value=text)),
        replace(rich_scene(), title=text),
        replace(rich_scene(), author=text),
        replace(rich_scene(), subject=text),
        replace(rich_scene(), layers=(replace(LAYERS[0], about=text), *LAYERS[1:])),
    ):
        with pytest.raises(SceneError, match="control character"):
            WRITERS[extension](scene)


SCENES = {
    "id": ({"id": "../x"}, "file name"),
    "model": ({"id": "Model"}, "file name"),
    "title": ({"title": ""}, "title is blank"),
    "layer twice": ({"layers": (*LAYERS, LAYERS[0])}, "more than once"),
    "layer name": ({"layers": (*LAYERS, replace(LAYERS[0], role="x", name="a|b"))}, "a|b"),
    "pen": ({"layers": (*LAYERS[:-1], replace(LAYERS[-1], pen=0.0))}, "pen of 0.0"),
    "colour": ({"layers": (*LAYERS[:-1], replace(LAYERS[-1], colour=(0, 0, 256)))}, "256"),
    "dash": (
        {"layers": (*LAYERS[:-1], replace(LAYERS[-1], dash=(1.0,)))},
        "without its gap",
    ),
    "no dash": ({"layers": (*LAYERS[:-1], replace(LAYERS[-1], dash=(0.0, 1.0)))}, "dashes"),
}


@pytest.mark.parametrize(("changes", "told"), SCENES.values(), ids=SCENES.keys())
def test_a_scene_is_refused(changes, told):
    with pytest.raises(SceneError) as caught:
        validate(replace(rich_scene(), **changes))
    assert any(told in fault for fault in caught.value.faults)


def test_paper_without_size_is_refused():
    scene = rich_scene()
    with pytest.raises(SceneError, match="paper of"):
        validate(replace(scene, paper=replace(scene.paper, width=NAN)))


VIEWS = {
    "factor": ({"factor": 0.0}, "factor 0"),
    "origin": ({"origin": (NAN, 0.0)}, "not finite"),
    "frame": ({"frame": (50.0, 50.0, 40.0, 60.0)}, "empty frame"),
    "frame off the sheet": ({"frame": (-5.0, 50.0, 400.0, 260.0)}, "outside"),
    "ink outside its frame": ({"frame": (12.0, 40.0, 150.0, 200.0)}, "outside"),
    "id": ({"id": "a b"}, "not a name"),
    "id twice": ({"id": "true"}, "more than once"),
    "title block": ({"items": (title_block(200.0),)}, "title block in a view"),
}


@pytest.mark.parametrize(("changes", "told"), VIEWS.values(), ids=VIEWS.keys())
def test_a_view_is_refused(changes, told):
    scene = rich_scene()
    views = (replace(scene.views[0], **changes), *scene.views[1:])
    with pytest.raises(SceneError) as caught:
        validate(replace(scene, views=views))
    assert any(told in fault for fault in caught.value.faults)


def test_all_faults_are_told_at_once():
    scene = with_item(Path(((20, 20),), "nowhere"))
    scene = replace(scene, title="", items=(*scene.items, Circle((50, 50), -1.0, "cut")))
    with pytest.raises(SceneError) as caught:
        validate(scene)
    assert len(caught.value.faults) == 4


def test_the_sample_passes():
    validate(rich_scene())
    validate(rich_scene(inches=False))
    assert Cell("A", "", "", 0, 0, 10, 10, 2.5).least_height < 10
