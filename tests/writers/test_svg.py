"""SVG: parsed by another library, drawn by another, and inside its sheet."""

import re
from pathlib import Path

import pytest
from lxml import etree

from detailgen.lettering import CAP
from detailgen.scene import Text, TitleBlock
from detailgen.writers import WRITERS
from detailgen.writers._lowering import lower
from detailgen.writers._marks import Fill, Kind, Stroke
from tests.writers import rendering
from tests.writers.sample import HOSTILE, rich_scene

NS = {"s": "http://www.w3.org/2000/svg"}
DTD = Path("/usr/share/xml/w3c-sgml-lib/schema/dtd/REC-SVG11-20110816/svg11.dtd")
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
PATH = re.compile(r"(?:M-?[\d.]+ -?[\d.]+(?:L-?[\d.]+ -?[\d.]+)+Z?)+")


@pytest.fixture(scope="module", params=[True, False], ids=["inches", "mm"])
def sheet(request):
    scene = rich_scene(inches=request.param)
    data = WRITERS["svg"](scene)
    return scene, data, etree.fromstring(data)


def texts(root):
    return ["".join(t.itertext()) for t in root.iterfind(".//s:text", NS)]


def test_the_size_is_the_papers_in_millimetres(sheet):
    scene, _, root = sheet
    width, height = scene.paper.width, scene.paper.height
    assert (root.get("width"), root.get("height")) == (f"{width:g}mm", f"{height:g}mm")
    assert root.get("viewBox") == f"0 0 {width:g} {height:g}"


def test_every_text_is_there_as_it_was_typed(sheet):
    scene, _, root = sheet
    found = texts(root)
    assert sorted(found) == sorted(run.content for run in lower(scene).texts)
    for text in HOSTILE:
        assert text in found
    blocks = [item for item in scene.items if isinstance(item, TitleBlock)]
    assert {c.value for block in blocks for c in block.cells if c.value} <= set(found)
    assert root.find("s:title", NS).text == scene.title
    assert root.find("s:desc", NS).text == scene.subject


def test_nothing_but_drawing_is_in_the_file(sheet):
    _, _, root = sheet
    names = {etree.QName(e).localname for e in root.iter() if isinstance(e.tag, str)}
    assert names <= {"svg", "title", "desc", "style", "rect", "g", "path", "circle", "text"}
    assert not any(isinstance(e, etree._Comment) for e in root.iter())


def test_each_mark_is_an_element_on_its_layer(sheet):
    scene, _, root = sheet
    layers = {layer.role: layer.name for layer in scene.layers}
    marks = lower(scene).marks
    for layer in scene.layers:
        groups = root.findall(f"./s:g[@class='{layer.name}']", NS)
        drawn = [
            e
            for g in groups
            for e in g
            if etree.QName(e).localname not in {"title", "desc"}
        ]
        assert len(drawn) == sum(layers[m.source.layer] == layer.name for m in marks)
        assert {g.get("id") for g in groups} <= {
            layer.name, *(f"{layer.name}-{i}" for i in range(2, 9))
        }  # fmt: skip
    ids = [e.get("id") for e in root.iter() if e.get("id")]
    assert len(ids) == len(set(ids))
    assert len(ids) < 14


def test_paths_are_well_formed_and_inside_the_sheet(sheet):
    scene, _, root = sheet
    width, height = scene.paper.width, scene.paper.height
    found = root.findall(".//s:path", NS)
    lowered = lower(scene)
    assert len(found) == len(lowered.strokes) + len(lowered.fills)
    for path in found:
        assert PATH.fullmatch(path.get("d"))
        numbers = [float(n) for n in NUMBER.findall(path.get("d"))]
        assert all(0 <= x <= width for x in numbers[::2])
        assert all(0 <= y <= height for y in numbers[1::2])


def test_hatching_is_plain_lines(sheet):
    scene, _, root = sheet
    assert b"<pattern" not in sheet[1]
    hatch = [m for m in lower(scene).strokes if m.source.kind is Kind.HATCH]
    drawn = max(root.findall(".//s:path", NS), key=lambda p: len(p.get("d")))
    assert drawn.get("d").count("M") == max(len(m.lines) for m in hatch)


def test_texts_have_their_size_and_length(sheet):
    scene, _, root = sheet
    runs = {run.content: run for run in lower(scene).texts}
    for element in root.iterfind(".//s:text", NS):
        run = runs["".join(element.itertext())]
        assert float(element.get("font-size")) == pytest.approx(run.height / CAP, abs=1e-3)
        assert float(element.get("textLength")) == pytest.approx(run.width, abs=1e-3)
        assert float(element.get("font-size")) * CAP >= 2.5 - 1e-3


@pytest.mark.skipif(not DTD.is_file(), reason="the SVG DTD is not installed (w3c-sgml-lib)")
def test_the_file_is_valid(sheet):
    dtd = etree.DTD(str(DTD))
    assert dtd.validate(sheet[2]), dtd.error_log


def test_resvg_draws_every_text_and_nothing_outside(sheet):
    scene, data, _ = sheet
    height = scene.paper.height
    picture = rendering.resvg(data)
    assert picture.shape == (
        round(height * rendering.PER_MM),
        round(scene.paper.width * rendering.PER_MM),
    )
    for run in lower(scene).texts:
        xs, ys = zip(*run.box(), strict=True)
        box = (min(xs), min(ys), max(xs), max(ys))
        assert rendering.ink(picture, box, height) > 4 * len(run.content.strip())
    assert rendering.ink(picture, (0, 0, 7, height), height) == 0
    # The hole of the wall is white, the ply beside it is not.
    assert rendering.ink(picture, (150, 140, 170, 150), height) == 0
    assert rendering.ink(picture, (134.0, 130, 135, 160), height) > 100


def test_resvg_keeps_texts_inside_their_boxes():
    """With one text on an empty sheet, no ink lies outside the text's box."""
    for turn, align in ((0.0, "left"), (90.0, "centre"), (33.0, "right")):
        scene = rich_scene()
        note = next(i for i in scene.items if isinstance(i, Text))
        item = type(note)(
            (200.0, 120.0), 'ÉgW@|(9 3/8")', 5.0, "notes", type(note.align)(align), turn
        )
        alone = type(scene)(**{
            **{k: getattr(scene, k) for k in scene.__dataclass_fields__},
            "items": (item,), "views": (),
        })  # fmt: skip
        picture = rendering.resvg(WRITERS["svg"](alone))
        (run,) = lower(alone).texts
        xs, ys = zip(*run.box(clear=0.2), strict=True)
        box = (min(xs), min(ys), max(xs), max(ys))
        everything = rendering.ink(picture, (0, 0, 431, 279), 279.4)
        assert everything > 200
        assert rendering.ink(picture, box, 279.4) == everything


def test_a_wrong_font_would_show():
    """The bundled font is what is drawn: without it there is no text at all."""
    svg = WRITERS["svg"](rich_scene()).replace(b"DejaVu Sans", b"No Such Font")
    svg = svg.replace(b"'Bitstream Vera Sans', Verdana, sans-serif", b"'Nor This'")
    box = (249.0, 229.0, 320.0, 233.0)
    assert rendering.ink(rendering.resvg(svg), box, 279.4) == 0


def test_solid_marks_cover_what_was_drawn_before_them():
    scene = rich_scene()
    kinds = [type(m) for m in lower(scene).marks]
    assert kinds.index(Fill) < len(kinds) - 1 - kinds[::-1].index(Stroke)
    # The second leader runs on under its bubble, which is white inside.
    picture = rendering.resvg(WRITERS["svg"](scene))
    assert rendering.ink(picture, (190, 179, 195.5, 181), 279.4, 235) > 10
    assert rendering.ink(picture, (196.5, 179, 198.5, 181), 279.4, 235) == 0
