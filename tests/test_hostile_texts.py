"""Every free text of a job and its office tries to break out of every file.

All commands that write run once, under `python -O`, so that nothing rests on an assert; the
files are read back with readers that are not ours. With `--all-sets` they run as usual,
too, and draw, plot and plant more.
"""

import csv
import io
import json
import os
import re
import subprocess
import sys
import zipfile
from collections import defaultdict
from pathlib import Path

import ezdxf.filemanagement
import lxml.html
import openpyxl
import pikepdf
import pypdfium2
import pytest
from lxml import etree

from detailgen.conditions import _free_parameters as free
from detailgen.errors import UserError
from detailgen.loader import load_job
from detailgen.loader._alternates import AlternateHead
from detailgen.loader._office import NoteTable, OfficeTable
from detailgen.loader._revisions import Revision
from detailgen.parameters import Acceptance, MaterialOverride, Placed, Project, RuleOverride
from tests import hostile
from tests.writers import readers

ROOT = Path(__file__).parent.parent
FEW = {
    "draw": ["job.toml", "--format", "dxf", "--format", "svg", "--format", "pdf"],
    "teach": ["job.toml", "--part", "handout", "--part", "page"],
    "faults": ["job.toml", "--condition", "E1", "--faults", "1", "--seed", "3"],
    "pieces": ["job.toml"],
    "package": ["job.toml", "--prices", "prices.csv"],
    "compare": ["old.toml", "job.toml", "--format", "dxf"],
    "alternates": ["job.toml"],
    "sweep": [
        "job.toml",
        "--detail",
        "W1",
        "--over",
        "flashing_height: 8 in to 9 in by 1 in",
    ],
    "patterns": ["job.toml", "--detail", "E1"],
    "takeoff": ["job.toml", "--prices", "prices.csv"],
}
MORE = {
    "draw": [
        "job.toml",
        *(w for f in ("dxf", "svg", "pdf", "png") for w in ("--format", f)),
    ],
    "teach": ["job.toml"],
}
RUNNER = """
import json, sys
from typer.testing import CliRunner
from detailgen.cli import app
for name, words in json.loads(sys.argv[1]).items():
    done = CliRunner().invoke(app, [name, *words, "--out", f"out/{name}"])
    assert_ = done.exit_code in (0, 1)
    if not assert_:
        sys.exit(f"{name}: {done.exit_code} {done.output} {done.exception!r}")
"""
MODELS = {
    Project: {"office", "rules", "sheet", "show_both_units", "units"},
    RuleOverride: {"rule", "value"},
    MaterialOverride: {"material", "thickness", "mass"},
    Acceptance: {"rule"},
    Placed: {"id", "length", "count"},
    Revision: {"details"},
    AlternateHead: {"rules", "without"},
    OfficeTable: {"logo", "own_notes_only"},
    NoteTable: {"when"},
    free.StageModel: {"stage", "hold"},
}
"""Every model with free texts, and those of its fields that are none."""
FORMULAS = {"SUM", "SUMIF", "ROUNDUP", "MAX", "IF", "ISNUMBER"}


@pytest.fixture(scope="module", params=["-O", ""])
def made(request, tmp_path_factory):
    """Return the folder in which all commands have run, and the texts given to them."""
    whole = request.config.getoption("all_sets")
    if not request.param and not whole:
        pytest.skip("as usual, without -O, with --all-sets")
    folder = tmp_path_factory.mktemp("hostile")
    texts = hostile.written(folder)
    command = [sys.executable, *request.param.split(), "-c", RUNNER]
    subprocess.run(
        [*command, json.dumps(FEW | (MORE if whole else {}))],
        cwd=folder,
        env={"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT), "DETAILGEN_CACHE": ""},
        check=True,
    )
    return folder / "out", texts


@pytest.fixture(scope="module")
def files(made):
    """Return the files of all commands by what they are."""
    found = defaultdict(dict)
    for path in sorted(made[0].rglob("*")):
        if path.is_file():
            name = path.relative_to(made[0]).as_posix()
            found[path.suffix[1:]][name] = path.read_bytes()
    return found


def flat(text):
    """Return a text as marks are looked for: without what a page does to it."""
    return re.sub(r"\s+", "", text).replace("\u02c6", "^")


def test_every_free_text_of_the_models_is_among_the_hostile():
    texts = hostile.Texts()
    assert hostile.job(texts)
    assert hostile.office(texts)
    for model, others in MODELS.items():
        asked = set(model.model_fields) - others
        assert asked <= set(texts.keys), (model, asked - set(texts.keys))


def test_nothing_is_written_beside_the_folders(made):
    out, _ = made
    assert {p.name for p in out.iterdir()} == set(FEW)
    usual = {"job.toml", "old.toml", "office.toml", "logo.svg", "prices.csv", "out"}
    assert {p.name for p in out.parent.iterdir()} == usual
    for path in out.rglob("*"):
        assert not path.is_symlink()
        assert re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9._-]*", path.name), path


def test_svg_files_hold_shapes_and_letters_alone(files):
    kinds, text = set(), ""
    strict = etree.XMLParser(resolve_entities=False, no_network=True)
    for name, content in files["svg"].items():
        root = etree.fromstring(content, strict)
        for node in root.iter():
            assert isinstance(node.tag, str), name  # no comment, no instruction
            kinds.add(etree.QName(node).localname)
            assert not [k for k in node.attrib if k.startswith("on") or "href" in k], name
        text += "".join(root.itertext())
        styles = "".join(node.text for node in root.iter("{*}style"))
        assert not re.search(r"Q\d\dZ|hit\(|<", styles), name
    assert kinds <= {"svg", "g", "path", "circle", "rect", "text", "title", "desc", "style"}
    assert flat("=1+1</text><script>hit(1)</script> Q00Z") in flat(text)


def test_the_page_runs_nothing_but_its_own_script(files):
    (content,) = files["html"].values()
    root = lxml.html.fromstring(content)
    assert len(root.findall(".//script")) == len(root.findall(".//style")) == 1
    for node in root.iter():
        if isinstance(node.tag, str):
            assert node.tag not in {"img", "iframe", "object", "embed", "link", "base"}
            assert not [k for k in node.attrib if k.startswith("on")]
            assert "javascript:" not in node.get("href", "")
    assert "hit(" not in root.find(".//script").text
    assert flat("=1+1</text><script>hit(1)</script> Q00Z") in flat(root.text_content())


def test_dxf_files_hold_what_was_drawn_and_text_that_is_only_text(files, tmp_path):
    seen = set()
    for number, (name, content) in enumerate(files["dxf"].items()):
        readers.tags(content)
        found = readers.sections(content)
        kinds = {e[0][1] for e in (*found["ENTITIES"], *found["BLOCKS"])}
        assert kinds <= {
            "ATTDEF", "ATTRIB", "BLOCK", "CIRCLE", "DIMENSION", "ENDBLK", "HATCH", "INSERT",
            "LEADER", "LINE", "LWPOLYLINE", "MTEXT", "POINT", "SEQEND", "SOLID", "TEXT",
            "VIEWPORT", "ARC",
        }, name  # fmt: skip
        if number % 3:  # the strict tags above are the cheap half
            continue
        document = ezdxf.filemanagement.read(io.StringIO(content.decode("utf-8")))
        assert not document.audit().errors, name
        for layout in document.layouts:
            for one in layout:
                if one.dxftype() in {"TEXT", "MTEXT"}:
                    seen.add(flat(one.plain_text()))
                if one.dxftype() == "INSERT":
                    seen |= {flat(a.plain_text()) for a in one.attribs}
        if number % 9 == 0:
            path = tmp_path / "one.dxf"
            path.write_bytes(content)
            rows = readers.gdal(path)
            assert len(rows) > 10, name
            assert all(r["geom"] is None or not r["geom"].is_empty for r in rows)
    shown = "".join(sorted(seen))
    assert "hit(1)" in shown
    assert flat("{\\fArial|b1;c}") in shown


def test_pdf_files_hold_no_action_and_no_script(files):
    acts = {"/JS", "/JavaScript", "/OpenAction", "/AA", "/Launch", "/URI", "/EmbeddedFile"}
    text = ""
    for name, content in files["pdf"].items():
        with pikepdf.open(io.BytesIO(content)) as pdf:
            assert pdf.check_pdf_syntax() == [], name
            for item in pdf.objects:
                if isinstance(item, pikepdf.Dictionary | pikepdf.Stream):
                    assert not acts & set(item.keys()), name
        if name.count("/") == 1:  # the bound files hold the pages of the others
            with pypdfium2.PdfDocument(content) as document:
                text += "".join(p.get_textpage().get_text_range() for p in document)
    assert flat("=1+1</text><script>hit(1)</script> Q00Z") in flat(text)


def test_workbooks_hold_no_formula_but_ours(files):
    assert len(files["xlsx"]) == 3
    marked = 0
    for name, content in files["xlsx"].items():
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            assert not [n for n in packed.namelist() if "external" in n.lower()], name
        book = openpyxl.load_workbook(io.BytesIO(content))
        for sheet in book:
            for cell in (c for row in sheet.iter_rows() for c in row):
                if cell.data_type == "f":
                    assert set(re.findall(r"[A-Z]+(?=\()", str(cell.value))) <= FORMULAS
                    assert not re.search(r"Q\d\dZ", str(cell.value))
                elif isinstance(cell.value, str) and cell.value[:1] in set("=+-@"):
                    assert cell.data_type == "s", (name, cell.value)
                    assert cell.quotePrefix, (name, cell.value)
                    marked += 1
                assert cell.hyperlink is None
    assert marked > 3


def test_tables_of_text_hold_no_formula(files):
    number = re.compile(r"-?\d[\d.,e+-]*")
    for name, content in files["csv"].items():
        for row in csv.reader(io.StringIO(content.decode("utf-8-sig"), newline="")):
            bad = [v for v in row if v[:1] in set("=+-@\t\r") and not number.fullmatch(v)]
            assert not bad, (name, row)
    for name, content in files["json"].items():
        assert json.loads(content), name


def test_a_manifest_has_a_line_for_each_file_and_no_other(files, made):
    ((name, content),) = files["txt"].items()
    folder = made[0] / Path(name).parent
    lines = content.decode().splitlines()
    told = [
        line.split(maxsplit=1)[1].lstrip("*") for line in lines if line and line[0] != "#"
    ]
    there = {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()}
    assert sorted(told) == sorted(there - {"manifest.txt"})


SPOILT = ("a\\n  0\\nCIRCLE", "a\\u202eb", "\\u0000", "\\u2028", "\\u007f")
"""What would break a line or turn it round in a file, as TOML writes it."""


@pytest.mark.parametrize("bad", SPOILT)
@pytest.mark.parametrize("file", ["job.toml", "office.toml"])
def test_what_breaks_lines_is_refused_in_every_text(tmp_path, file, bad):
    texts = hostile.written(tmp_path)
    spoilt = (tmp_path / file).read_text(encoding="utf-8")
    marks = [mark for mark in texts.given if mark in spoilt]
    lines = {n for n, line in enumerate(spoilt.split("\n"), 1) for m in marks if m in line}
    for mark in marks:
        spoilt = spoilt.replace(mark, bad)
    (tmp_path / file).write_text(spoilt, encoding="utf-8")
    with pytest.raises(UserError) as caught:
        load_job(tmp_path / "job.toml")
    assert {p.line for p in caught.value.problems} == lines
    assert len(lines) > 2
