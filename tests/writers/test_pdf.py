"""PDF: syntax, size, fonts, text, and the scale measured from the page's content."""

import io
import math
import re

import pikepdf
import pypdf
import pytest

from detailgen.scene import Dimension
from detailgen.writers import WRITERS
from detailgen.writers._lowering import lower
from detailgen.writers._marks import Kind
from detailgen.writers.pdf import Link, Page, pages
from tests.writers import rendering
from tests.writers.sample import HOSTILE, LAYERS, rich_scene

MM = 72 / 25.4


@pytest.fixture(scope="module", params=[True, False], ids=["inches", "mm"])
def sheet(request):
    scene = rich_scene(inches=request.param)
    return scene, WRITERS["pdf"](scene)


def product(a, b):
    return (
        a[0] * b[0] + a[1] * b[2],
        a[0] * b[1] + a[1] * b[3],
        a[2] * b[0] + a[3] * b[2],
        a[2] * b[1] + a[3] * b[3],
        a[4] * b[0] + a[5] * b[2] + b[4],
        a[4] * b[1] + a[5] * b[3] + b[5],
    )


def lines(data):
    """Return each drawn polyline in points, with pen in points and colour."""
    with pikepdf.open(io.BytesIO(data)) as pdf:
        matrix, pen, colour = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0), 1.0, (0.0, 0.0, 0.0)
        stack, found, path = [], [], []
        for operands, operator in pikepdf.parse_content_stream(pdf.pages[0]):
            name = str(operator)
            values = (
                [float(v) for v in operands] if name in {"cm", "w", "RG", "m", "l"} else []
            )
            if name == "q":
                stack.append((matrix, pen, colour))
            elif name == "Q":
                matrix, pen, colour = stack.pop()
            elif name == "cm":
                matrix = product(tuple(values), matrix)
            elif name == "w":
                pen = values[0] * math.sqrt(
                    abs(matrix[0] * matrix[3] - matrix[1] * matrix[2])
                )
            elif name == "RG":
                colour = tuple(values)
            elif name in {"m", "l"}:
                x, y = values
                point = (
                    x * matrix[0] + y * matrix[2] + matrix[4],
                    x * matrix[1] + y * matrix[3] + matrix[5],
                )
                path = [[point], *path] if name == "m" else [[*path[0], point], *path[1:]]
            elif name in {"S", "f*", "n", "b", "B"}:
                found += [(line, pen, colour, name) for line in path]
                path = []
        return found


def test_the_file_is_sound(sheet):
    scene, data = sheet
    with pikepdf.open(io.BytesIO(data)) as pdf:
        assert pdf.check_pdf_syntax() == []
        assert not pdf.is_encrypted
        (page,) = pdf.pages
        box = [float(v) for v in page.mediabox]
        assert box == pytest.approx(
            [0, 0, scene.paper.width * MM, scene.paper.height * MM], abs=0.01
        )
        info = pdf.docinfo
        assert info["/Title"] == scene.title
        assert info["/Author"] == scene.author
        assert info["/Subject"] == scene.subject
        assert info["/Creator"] == "detailgen"
        assert "/JavaScript" not in pdf.Root
        assert "/OpenAction" not in pdf.Root


def test_fonts_are_embedded_parts_of_the_package_font(sheet):
    with pikepdf.open(io.BytesIO(sheet[1])) as pdf:
        fonts = pdf.pages[0].Resources.Font
        names = {str(font.BaseFont).split("+")[-1] for font in fonts.values()}
        assert names == {"DejaVuSans", "DejaVuSans-Bold"}
        for font in fonts.values():
            assert re.fullmatch(r"/[A-Z]{6}\+DejaVuSans(-Bold)?", str(font.BaseFont))
            assert font.Subtype == "/Type0"
            (part,) = font.DescendantFonts
            assert part.Subtype == "/CIDFontType2"
            assert len(part.FontDescriptor.FontFile2.read_bytes()) < 60_000
            assert "/ToUnicode" in font


def test_every_text_can_be_found(sheet):
    scene, data = sheet
    text = pypdf.PdfReader(io.BytesIO(data)).pages[0].extract_text()
    flat = re.sub(r"\s+", "", text)
    for run in lower(scene).texts:
        assert re.sub(r"\s+", "", run.content) in flat
    for line in HOSTILE[:2]:
        assert line in text


def test_dimension_lines_have_their_length_at_scale(sheet):
    scene, data = sheet
    drawn = [
        (line, pen) for line, pen, _, op in lines(data) if op == "S" and len(line) == 2
    ]
    for view in scene.views:
        if not view.plotted:
            continue
        for item in view.items:
            if not isinstance(item, Dimension) or '1/2"' in item.text:
                continue
            points = item.true / view.factor * MM
            best = min(drawn, key=lambda d: abs(math.dist(*d[0]) - points))
            assert math.dist(*best[0]) == pytest.approx(points, abs=1e-3)


def test_pens_are_the_layers(sheet):
    scene, data = sheet
    ticks = {layer.pen * 2 for layer in LAYERS if layer.role == "dims"}
    pens = {round(pen / MM, 4) for _, pen, _, op in lines(data) if op == "S"}
    used = {m.pen for m in lower(scene).strokes} | {
        d.pen for d in lower(scene).discs if d.pen
    }
    assert pens <= {round(p, 4) for p in used}
    assert {round(t, 4) for t in ticks} <= pens
    assert {0.5, 0.13, 0.18, 0.7} <= pens


def test_all_lines_are_inside_the_page(sheet):
    scene, data = sheet
    for line, _, _, _ in lines(data):
        for x, y in line:
            assert 0 <= x <= scene.paper.width * MM
            assert 0 <= y <= scene.paper.height * MM


def test_the_content_has_every_line(sheet):
    scene, data = sheet
    expected = sum(len(m.lines) for m in lower(scene).strokes)
    assert sum(op == "S" for *_, op in lines(data)) >= expected
    hatch = [m for m in lower(scene).strokes if m.source.kind is Kind.HATCH]
    assert sum(len(m.lines) for m in hatch) > 500


def test_it_draws(sheet):
    scene, data = sheet
    height = scene.paper.height
    picture = rendering.pdfium(data)
    for run in lower(scene).texts:
        xs, ys = zip(*run.box(), strict=True)
        box = (min(xs), min(ys), max(xs), max(ys))
        assert rendering.ink(picture, box, height) > 4 * len(run.content.strip())
    assert rendering.ink(picture, (0, 0, 7, height), height) == 0


def test_a_set_has_bookmarks_labels_and_links():
    one, two = rich_scene(), rich_scene(inches=False)
    data = pages(
        [
            Page(one, "First", label="A-1", links=(Link((10, 10, 50, 20), 1, "to two"),)),
            Page(two, "Second (of 2)", level=1, label="A-2"),
        ],
        "Set",
        subject="Two",
        author="J. Doe",
    )
    reader = pypdf.PdfReader(io.BytesIO(data))
    first, (second,) = reader.outline
    assert (first.title, second.title) == ("First", "Second (of 2)")
    assert reader.get_destination_page_number(second) == 1
    assert reader.page_labels == ["A-1", "A-2"]
    assert float(reader.pages[1].mediabox.width) == pytest.approx(420 * MM, abs=0.01)
    with pikepdf.open(io.BytesIO(data)) as pdf:
        assert pdf.check_pdf_syntax() == []
        assert pdf.Root.PageMode == "/UseOutlines"
        (link,) = pdf.pages[0].Annots
        assert link.Subtype == "/Link"
        assert [float(v) for v in link.Rect] == pytest.approx(
            [10 * MM, 10 * MM, 50 * MM, 20 * MM], abs=0.01
        )
        assert link.Dest[0].objgen == pdf.pages[1].obj.objgen
