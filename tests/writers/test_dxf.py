"""DXF, read back by two readers and by a strict scan of its tags."""

import io
import math
from collections import Counter

import pytest
import shapely
from ezdxf import recover
from ezdxf.lldxf.const import VALID_DXF_LINEWEIGHTS

from detailgen.scene import Circle, Dimension, Hatch, Leader, Path, Text, TitleBlock
from detailgen.writers import WRITERS
from detailgen.writers._dxf_space import STEP_MM, model_offsets, offsets
from detailgen.writers._dxf_styles import exact_index, lineweight, nearest_index
from detailgen.writers.dxf import NO_PLOT_LAYER
from tests.writers.readers import gdal, sections, tags
from tests.writers.sample import IN, rich_scene

PER = {True: IN, False: 1.0}
"""Millimetres in a drawing unit."""


@pytest.fixture(scope="module", params=[True, False], ids=["inches", "mm"])
def sheet(request, tmp_path_factory):
    """The scene, its bytes, the document and what GDAL sees."""
    scene = rich_scene(inches=request.param)
    data = WRITERS["dxf"](scene)
    path = tmp_path_factory.mktemp("dxf") / "sheet.dxf"
    path.write_bytes(data)
    doc, auditor = recover.read(io.BytesIO(data))
    assert not auditor.errors
    assert not auditor.fixes
    return scene, data, doc, gdal(path)


def of(scene, kind):
    """Return all items of a kind with their view, or None."""
    spaces = [(view, view.items) for view in scene.views] + [(None, scene.items)]
    return [
        (view, item) for view, items in spaces for item in items if isinstance(item, kind)
    ]


def solid(item):
    fill = getattr(item, "fill", None)
    return fill is not None and fill != (255, 255, 255)


def test_the_tags_are_clean_and_the_handles_unique(sheet):
    _, data, _, _ = sheet
    found = tags(data)
    handles = [value for code, value in found if code == 5]
    # A dimension style's own code 5 is a block's name.
    assert len({h for h in handles if h}) == len([h for h in handles if h])
    assert b"nan" not in data.lower().replace(b"annotation", b"").replace(b"financ", b"")


def test_every_item_is_an_entity_and_nothing_else_is(sheet):
    scene, data, _, _ = sheet
    count = Counter(entity[0][1] for entity in sections(data)["ENTITIES"])
    labels = {leader.label for _, leader in of(scene, Leader)}
    texts = [text for _, text in of(scene, Text)]
    notes = sum(text.content in labels for text in texts)
    paths, circles = of(scene, Path), of(scene, Circle)
    assert count == {
        "LWPOLYLINE": sum(1 + len(path.holes) for _, path in paths),
        "HATCH": len(of(scene, Hatch)) + sum(solid(item) for _, item in paths + circles),
        "CIRCLE": len(circles),
        "TEXT": len(texts) - notes,
        "MTEXT": notes,
        "LEADER": len(of(scene, Leader)),
        "DIMENSION": len(of(scene, Dimension)),
        "INSERT": 1,
        "ATTRIB": sum(len(block.cells) for _, block in of(scene, TitleBlock)),
        "SEQEND": 1,
        "VIEWPORT": 1 + sum(view.plotted for view in scene.views),
    }
    assert "SPLINE" not in count


def test_layers_are_the_scenes_with_their_pens(sheet):
    scene, _, doc, rows = sheet
    known = {layer.name for layer in scene.layers}
    assert {layer.dxf.name for layer in doc.layers} == known | {
        "0",
        "Defpoints",
        NO_PLOT_LAYER,
    }
    for layer in scene.layers:
        entry = doc.layers.get(layer.name)
        assert entry.dxf.lineweight == pytest.approx(layer.pen * 100)
        assert entry.dxf.lineweight in VALID_DXF_LINEWEIGHTS
        assert bool(entry.dxf.plot) is layer.plots
        assert entry.description == layer.about
        assert entry.rgb == layer.colour or entry.dxf.color == 7
        assert (entry.dxf.linetype != "Continuous") is bool(layer.dash)
    assert not doc.layers.get(NO_PLOT_LAYER).dxf.plot
    used = {e.dxf.layer for space in doc.layouts for e in space}
    assert used <= known | {NO_PLOT_LAYER}
    assert {row["Layer"] for row in rows} <= known | {"Defpoints"}


def test_units_and_extents(sheet):
    scene, _, doc, _ = sheet
    assert doc.header["$INSUNITS"] == (1 if scene.inches else 4)
    assert doc.header["$MEASUREMENT"] == (0 if scene.inches else 1)
    low, high = doc.header["$EXTMIN"], doc.header["$EXTMAX"]
    assert -1000 < low[0] < high[0] < 5000
    for polyline in doc.modelspace().query("LWPOLYLINE"):
        for x, y in polyline.get_points("xy"):
            assert low[0] <= x <= high[0]
            assert low[1] <= y <= high[1]
    assert doc.acad_release == "R2010"


def test_regions_have_their_exact_area_in_gdal(sheet):
    scene, _, _, rows = sheet
    per = PER[scene.inches]
    layers = {layer.role: layer.name for layer in scene.layers}
    expected = Counter()
    for view, path in of(scene, Path):
        if view is not None and path.closed:
            for ring in (path.points, *path.holes):
                area = round(shapely.Polygon(ring).area / per**2, 6)
                expected[layers[path.layer], area] += 1
    found = Counter(
        (row["Layer"], round(row["geom"].area, 6))
        for row in rows
        if row["PaperSpace"] != 1
        and row["SubClasses"] == "AcDbEntity:AcDbPolyline"
        and row["geom"].geom_type == "Polygon"
    )
    assert found == expected
    hatches = [row for row in rows if "AcDbHatch" in row["SubClasses"]]
    assert hatches
    assert all(row["geom"].is_valid for row in hatches)


def test_hatches_have_their_pattern_and_their_area(sheet):
    scene, _, doc, rows = sheet
    per = PER[scene.inches]
    expected = []
    for _, hatch in of(scene, Hatch):
        area = shapely.Polygon(hatch.outline, hatch.holes).area / per**2
        expected.append((hatch.pattern.name, round(area, 6)))
    found = [
        (row["Text"], round(row["geom"].area, 6))
        for row in rows
        if "AcDbHatch" in row["SubClasses"] and row["Text"] != "SOLID"
    ]
    assert sorted(found) == sorted(expected)
    hatches = [h for h in doc.modelspace().query("HATCH") if not h.dxf.solid_fill]
    for (view, hatch), entity in zip(of(scene, Hatch), hatches, strict=False):
        for family, line in zip(hatch.pattern.families, entity.pattern.lines, strict=True):
            step = math.hypot(line.offset.x, line.offset.y)
            size = view.factor / per
            assert step == pytest.approx(math.hypot(family.spacing, family.shift) * size)
            assert line.dash_length_items == pytest.approx([
                d * size for d in family.dashes
            ])


def test_dimensions_measure_the_true_length_and_show_the_text(sheet):
    scene, _, doc, rows = sheet
    per = PER[scene.inches]
    dims = [(view, item) for view, item in of(scene, Dimension)]
    entities = list(doc.modelspace().query("DIMENSION"))
    assert len(entities) == len(dims)
    for (view, item), entity in zip(dims, entities, strict=True):
        assert entity.dxf.actual_measurement == pytest.approx(item.true / per, abs=1e-9)
        assert entity.get_measurement() == pytest.approx(item.true / per, abs=1e-8)
        style = doc.dimstyles.get(entity.dxf.dimstyle)
        assert style.dxf.dimscale == view.factor
        assert style.dxf.dimtxt * per == pytest.approx(item.height)
        (text,) = entity.get_geometry_block().query("MTEXT")
        assert text.plain_text() == item.text.replace("%%", "% %")
        assert text.dxf.char_height * per == pytest.approx(item.height * view.factor)
    texts = [
        row["Text"]
        for row in rows
        if row["Layer"] == "A-ANNO-DIMS" and row["SubClasses"] == "AcDbEntity:AcDbMText"
    ]
    assert texts == [item.text.replace("%%", "% %") for _, item in dims]


def test_a_live_number_is_in_the_text(sheet):
    scene, _, doc, _ = sheet
    live = ["<>" in e.dxf.text for e in doc.modelspace().query("DIMENSION")]
    assert sum(live) == (6 if scene.inches else 1)


def test_viewports_show_their_view_at_exact_scale(sheet):
    scene, _, doc, _ = sheet
    per = PER[scene.inches]
    layout = doc.layout(scene.id)
    shown = [view for view in scene.views if view.plotted]
    ports = [port for port in layout.query("VIEWPORT") if port.dxf.id > 1]
    moves = model_offsets(scene)
    assert len(ports) == len(shown)
    for view, port in zip(shown, ports, strict=True):
        assert port.dxf.height / port.dxf.view_height == pytest.approx(
            1 / view.factor, rel=1e-9
        )
        x0, y0, x1, y1 = (v / per for v in view.frame)
        assert port.dxf.center.x == pytest.approx((x0 + x1) / 2)
        assert port.dxf.center.y == pytest.approx((y0 + y1) / 2)
        assert port.dxf.width == pytest.approx(x1 - x0)
        # The model's origin lands where the scene says.
        move = moves[view.id]
        at = [
            port.dxf.center[i]
            + (move[i] / per - port.dxf.view_center_point[i]) / view.factor
            for i in (0, 1)
        ]
        assert at == pytest.approx([v / per for v in view.origin])
        assert port.dxf.flags & 0x4000


def test_the_layout_has_the_papers_size(sheet):
    scene, _, doc, _ = sheet
    layout = doc.layout(scene.id)
    assert layout.dxf.paper_width == pytest.approx(scene.paper.width)
    assert layout.dxf.paper_height == pytest.approx(scene.paper.height)
    assert doc.layouts.names() == ["Model", scene.id]


def test_views_stand_apart_in_model_space(sheet):
    scene, _, doc, _ = sheet
    moves = model_offsets(scene)
    assert moves[scene.views[0].id] == (0.0, 0.0)
    step = 304.8 if scene.inches else STEP_MM
    for move, _ in moves.values():
        assert math.remainder(move, step) == pytest.approx(0.0, abs=1e-6)
    rings = [
        shapely.Polygon(e.get_points("xy"))
        for e in doc.modelspace().query("LWPOLYLINE")
        if e.closed
    ]
    assert shapely.union_all(rings).geom_type == "MultiPolygon"


def test_offsets_leave_a_step_between_boxes():
    boxes = {
        "a": (-5.0, 0, 930.0, 1),
        "b": (400.0, 0, 500.0, 1),
        "c": (5000.0, 0, 5010.0, 1),
    }
    moves = offsets(boxes, inches=False)
    assert moves == {"a": (0.0, 0.0), "b": (700.0, 0.0), "c": (-3700.0, 0.0)}


def test_leaders_point_at_their_text(sheet):
    scene, _, doc, _ = sheet
    leaders = doc.layout(scene.id).query("LEADER")
    for (_, item), leader in zip(of(scene, Leader), leaders, strict=True):
        tip = leader.vertices[0]
        assert tip[:2] == pytest.approx([v / PER[scene.inches] for v in item.points[0]])
        if item.label == "not a text":
            assert leader.dxf.annotation_type == 3
            assert not leader.dxf.has_arrowhead
        else:
            note = doc.entitydb[leader.dxf.annotation_handle]
            assert note.plain_text() == item.label
            assert leader.dxf.has_arrowhead


def test_the_title_block_carries_its_values(sheet):
    scene, _, doc, rows = sheet
    (insert,) = doc.layout(scene.id).query("INSERT")
    ((_, block),) = of(scene, TitleBlock)
    values = {cell.tag: cell.value.replace("%%", "% %") for cell in block.cells}
    assert {a.dxf.tag: a.dxf.text for a in insert.attribs} == values
    assert {a.dxf.tag for a in insert.block().query("ATTDEF")} == set(values)
    found = [
        row["Text"]
        for row in rows
        if row["PaperSpace"] == 1 and "AcDbAttribute" in row["SubClasses"]
    ]
    assert found == list(values.values())


def test_texts_read_as_they_were_typed(sheet):
    scene, _, _, rows = sheet
    found = {row["Text"] for row in rows if row["PaperSpace"] == 1}
    for _, text in of(scene, Text):
        same = (
            text.content
            .replace("%%", "% %")
            .replace("^", "\u02c6")
            .replace("\\U+", "\\ U+")
        )
        assert same in found


def test_letters_have_the_height_of_a_capital(sheet):
    scene, _, doc, _ = sheet
    per = PER[scene.inches]
    for entity in doc.layout(scene.id).query("TEXT"):
        assert entity.dxf.height * per >= 2.5 - 1e-6
        assert doc.styles.get(entity.dxf.style).dxf.font.startswith("DejaVuSans")


def test_pens_and_colours():
    assert [lineweight(pen) for pen in (0.13, 0.18, 0.25, 0.35, 0.5, 0.7)] == [
        13, 18, 25, 35, 50, 70,
    ]  # fmt: skip
    assert exact_index((0, 0, 0)) == 7
    assert exact_index((255, 0, 0)) == 1
    assert exact_index((150, 30, 20)) is None
    assert nearest_index((250, 5, 5)) == 1
