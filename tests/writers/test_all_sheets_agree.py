"""Sheets of every command, in every format, agree in readers that share nothing.

Normally a few sheets of one sample; with `--all-sets` every sheet of every sample that a
command writes. DXF is read by GDAL and from its plain tags, SVG is painted by resvg,
librsvg and (one in ten) Chromium, PDF by PDFium and poppler. Areas and lengths are compared
layer by layer, letters as a count, ink by the share of stray pixels.
"""

import math
from collections import Counter, defaultdict
from itertools import pairwise
from pathlib import Path

import pypdfium2
import pytest
from lxml import etree
from typer.testing import CliRunner

from detailgen.cli import app
from detailgen.loader import load_job
from tests.writers import readers, rendering

SAMPLES = sorted((Path(__file__).parents[2] / "samples").glob("*.toml"))
FORMATS = [word for name in ("dxf", "svg", "pdf") for word in ("--format", name)]
COMMANDS = {
    "draw": [*FORMATS, "--fresh"],
    "teach": FORMATS,
    "pieces": [],
    "faults": [*FORMATS, "--papers", "1", "--seed", "7"],
    "package": FORMATS,
    "patterns": [],
}
USUAL = ("free-edge", "draw")
FEW = 1
"""Sheets that are looked at in a normal run."""
MOST = 0.01
"""Share of dark pixels without a dark one within 0.4 mm in the other picture."""
KERNED = 0.02
"""The same for librsvg, which sets pairs of letters (`LY`, `FO`) closer though told not to:
a sheet of large titles comes to 0.0104."""
OFF = 1e-9
"""Relative difference of areas and of lengths between two readers."""


def written(path, command, folder):
    """Run a command; return what it wrote by the name of the sheet and the format."""
    more = list(COMMANDS[command])
    if command == "patterns":
        corners = [p for p in load_job(path).conditions if "corner" in p.condition.kind]
        more += ["--detail", (corners or load_job(path).conditions)[0].id]
    done = CliRunner().invoke(app, [command, str(path), "--out", str(folder), *more])
    if done.exit_code == 2 or "0 sheets in 0 files" in done.output:
        pytest.skip(f"{command} has nothing to make of {path.stem}")
    assert done.exit_code == 0, done.output
    found = defaultdict(dict)
    for file in sorted(folder.rglob("*")):
        if file.suffix in {".dxf", ".svg", ".pdf"}:
            found[file.stem][file.suffix[1:]] = file
    return {name: kinds for name, kinds in found.items() if len(kinds) > 1}


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_every_reader_sees_the_same(path, command, tmp_path, pytestconfig, told):
    whole = pytestconfig.getoption("all_sets")
    if not whole and (path.stem, command) != USUAL:
        pytest.skip("with --all-sets")
    sheets = list(written(path, command, tmp_path / "out").items())
    assert sheets
    most = Counter()
    for number, (name, kinds) in enumerate(sheets if whole else sheets[:FEW]):
        letters = {}
        if "dxf" in kinds:
            _compare_readers(kinds["dxf"], name, most)
        if "svg" in kinds:
            letters["svg"] = _letters_of_svg(kinds["svg"])
        if "pdf" in kinds and "svg" in kinds and _pages(kinds["pdf"]) == 1:
            letters["pdf"] = _letters_of_pdf(kinds["pdf"])
            assert letters["pdf"] == letters["svg"], (name, _apart(letters))
            _compare_ink(kinds, name, most, tmp_path, slow=whole and number % 10 == 0)
    figures = ", ".join(f"{key} {value:.2g}" for key, value in sorted(most.items()))
    told(f"{path.stem} {command}: {len(sheets)} sheets; most that differs: {figures}")


def _pages(path):
    with pypdfium2.PdfDocument(path) as document:
        return len(document)


def _letters_of_svg(path):
    root = etree.fromstring(path.read_bytes())
    texts = (t for node in root.iter("{*}text") for t in node.itertext())
    return Counter("".join("".join(texts).split()))


def _letters_of_pdf(path):
    with pypdfium2.PdfDocument(path) as document:
        text = document[0].get_textpage().get_text_range()
    # PDFium tells a hyphen at the end of a line by a sign of its own.
    return Counter("".join(text.replace("\ufffe", "-").replace("\x02", "-").split()))


def _apart(letters):
    one, other = letters["svg"], letters["pdf"]
    return one - other, other - one


def _compare_readers(path, name, most):
    """GDAL and the plain tags agree on layers, areas and lengths of what is drawn."""
    drawn = _drawn(path)
    found = {"GDAL": _of_gdal(path, set(drawn)), "tags": _of_tags(drawn.values())}
    assert found["GDAL"].keys() == found["tags"].keys(), name
    for key, value in found["GDAL"].items():
        other = found["tags"][key]
        off = abs(value - other) / max(abs(value), 1.0)
        most[f"{key[0]} in DXF"] = max(most[f"{key[0]} in DXF"], off)
        assert off <= OFF, (name, key, value, other)


def _drawn(path):
    """Return lines and polylines by their handles, each as tags."""
    found = {}
    for entity in readers.sections(path.read_bytes())["ENTITIES"]:
        if entity[0][1] in {"LINE", "LWPOLYLINE"}:
            handle = next(value for code, value in entity if code == 5)
            assert handle not in found
            found[handle] = entity
    return found


def _of_gdal(path, handles):
    """Return areas and lengths by layer, in drawing units, as GDAL reads them.

    What it takes dimensions and leaders apart into has the handles of those.
    """
    sums = Counter()
    for row in readers.gdal(path):
        if row["EntityHandle"] not in handles:
            continue
        kind, shape = row["SubClasses"] or "", row["geom"]
        if kind == "AcDbEntity:AcDbLine":
            sums["length", row["Layer"]] += shape.length
        elif kind == "AcDbEntity:AcDbPolyline" and shape.geom_type == "Polygon":
            sums["area", row["Layer"]] += shape.area
            sums["length", row["Layer"]] += shape.exterior.length
        elif kind == "AcDbEntity:AcDbPolyline":
            sums["length", row["Layer"]] += shape.length
    return sums


def _of_tags(entities):
    """Return the same from the pairs of lines of the file, by nobody's library."""
    sums = Counter()
    for entity in entities:
        values = defaultdict(list)
        for code, value in entity:
            values[code].append(value)
        kind, layer = entity[0][1], values[8][0]
        if kind == "LINE":
            a, b = ([float(values[c + i][0]) for c in (10, 20)] for i in (0, 1))
            sums["length", layer] += math.dist(a, b)
        elif kind == "LWPOLYLINE":
            assert 42 not in values  # no arcs: GDAL would divide them in its own way
            xs, ys = ([float(v) for v in values[c]] for c in (10, 20))
            points = list(zip(xs, ys, strict=True))
            if int(values[70][0]) & 1:
                around = list(zip(points, [*points[1:], points[0]], strict=True))
                twice = math.fsum(a[0] * b[1] - b[0] * a[1] for a, b in around)
                sums["area", layer] += abs(twice) / 2.0
            else:
                around = list(pairwise(points))
            sums["length", layer] += math.fsum(math.dist(a, b) for a, b in around)
    return sums


def _compare_ink(kinds, name, most, folder, *, slow):
    """All renderers of SVG paint what both engines of PDF paint."""
    svg, pdf = kinds["svg"].read_bytes(), kinds["pdf"].read_bytes()
    page = rendering.pdfium(pdf)
    painted = {"resvg": rendering.resvg(svg)}
    if rendering.RSVG:
        painted["librsvg"] = rendering.rsvg(svg, folder)
    if rendering.PDFTOPPM:
        painted["poppler"] = rendering.poppler(pdf, folder)
    if slow and rendering.CHROMIUM:
        with pypdfium2.PdfDocument(pdf) as document:
            size = [length * 25.4 / 72.0 for length in document[0].get_size()]
        painted["chromium"] = rendering.chromium(svg, *size, folder)
    for who, picture in painted.items():
        off = rendering.stray(picture, page)
        most[f"ink of {who}"] = max(most[f"ink of {who}"], off)
        assert off < (KERNED if who == "librsvg" else MOST), (name, who, off)
