"""The settings of an office: on sheets of every format, and what in them cannot be."""

import io
import json
import re
import tomllib
from pathlib import Path

import ezdxf.recover
import jsonschema
import pypdf
import pytest
from typer.testing import CliRunner

from detailgen.catalog import load_catalog
from detailgen.cli import app
from detailgen.errors import UserError
from detailgen.loader import Job, load_job
from detailgen.loader.office_files import office_schema
from detailgen.office import NO_OFFICE
from detailgen.pipeline import draw_job
from detailgen.scene import Path as Outline
from detailgen.sheet import compose
from detailgen.sheet.clashes import clashes

JOB = """[project]
name = "Shed"
office = "office.toml"
sheet = "{sheet}"
[[condition]]
id = "S1"
kind = "stack"
"""
OFFICE = """[office]
name = "Quay <b>& Co</b> %%u"
lines = ["1 Rope Walk", "{{\\\\fArial;x}}", "=1+1"]
logo = "logo.svg"
[[note]]
title = "Ask:"
text = "Ask before you cut."
[[note]]
title = "Flame:"
text = "Only with a flame."
when = ["torch"]
[[note]]
title = "Kettle:"
text = "Only with a kettle."
when = ["hot asphalt"]
[layers]
sheet = "OFF-SHEET"
"""
LOGO = """<svg xmlns="http://www.w3.org/2000/svg">
<path fill="#1b4f8f" d="M0 0 h40 v20 h-40 z M10 5 h20 v10 h-20 z"/>
<circle fill="#c03020" cx="20" cy="10" r="4"/></svg>"""


def job(root: Path, office: str = OFFICE, logo: str = LOGO, sheet: str = "ANSI B") -> Job:
    (root / "job.toml").write_text(JOB.format(sheet=sheet), encoding="utf-8")
    (root / "office.toml").write_text(office, encoding="utf-8")
    (root / "logo.svg").write_text(logo, encoding="utf-8")
    return load_job(root / "job.toml")


def test_every_format_says_whose_sheet_it_is(tmp_path: Path) -> None:
    files = draw_job(job(tmp_path), ("dxf", "svg", "pdf")).files
    text = pypdf.PdfReader(io.BytesIO(files["pdf/S1-1.pdf"])).pages[0].extract_text()
    for line in ("1 Rope Walk", "=1+1", "<b>& Co</b>"):
        assert line in " ".join(text.split())
    assert b"<b>" not in files["svg/S1-1.svg"]
    assert b"1 Rope Walk" in files["svg/S1-1.svg"]
    drawing, audit = ezdxf.recover.read(io.BytesIO(files["dxf/S1-1.dxf"]))
    assert not audit.has_errors
    layers = {layer.dxf.name for layer in drawing.layers}
    assert "OFF-SHEET" in layers
    assert "A-DETL-FLSH" not in layers
    values = {
        a.dxf.text
        for layout in drawing.layouts
        for insert in layout.query("INSERT")
        for a in insert.attribs
    }
    assert "1 Rope Walk" in values


def test_the_logo_is_areas_with_holes_in_its_cell(tmp_path: Path) -> None:
    office = job(tmp_path).office
    assert office.logo is not None
    assert office.logo.width == pytest.approx(2.0)
    frame, dot = office.logo.shapes
    assert len(frame.holes) == 1
    assert dot.colour == (192, 48, 32)
    assert all(0.0 <= y <= 1.0 for _, y in dot.outline)


def test_notes_are_printed_where_they_concern_something(tmp_path: Path) -> None:
    text = "".join(
        page.extract_text()
        for page in pypdf.PdfReader(
            io.BytesIO(draw_job(job(tmp_path), ("pdf",)).files["set.pdf"])
        ).pages
    )
    assert "Ask before you cut." in text
    assert "Only with a flame." in text
    assert "Only with a kettle." not in text


@pytest.mark.parametrize("sheet", ["ANSI A", "ANSI B", "ANSI D", "ISO A4", "ISO A1"])
@pytest.mark.parametrize("size", [(400, 20), (20, 400)])
def test_nothing_clashes_with_a_wide_or_a_tall_logo(
    tmp_path: Path, sheet: str, size: tuple[int, int]
) -> None:
    from detailgen.pipeline import check_job, request_for  # noqa: PLC0415

    wide, high = size
    logo = LOGO.replace("h40 v20 h-40", f"h{wide} v{high} h-{wide}")
    long = OFFICE.replace("1 Rope Walk", "W" * 60)
    whole = job(tmp_path, long, logo, sheet)
    (checked,) = check_job(whole)
    for scene in compose(request_for(whole, checked)):
        assert clashes(scene) == []
        marks = [
            i for i in scene.items if isinstance(i, Outline) and i.fill == (27, 79, 143)
        ]
        assert marks
        xs = [x for m in marks for x, _ in m.points]
        assert max(xs) - min(xs) <= 0.45 * scene.paper.width


@pytest.mark.parametrize(
    ("office", "told"),
    [
        ("[offices]\n", "no table offices"),
        ("[office]\nlogos = 'x'\n", "no key logos"),
        ("[office]\nlogo = '../logo.svg'\n", "beside or below"),
        ("[office]\nlogo = '/etc/passwd'\n", "beside or below"),
        ("[office]\nlogo = 'none.svg'\n", "no such file"),
        ("[[note]]\ntitle = 'x'\n", "text is missing"),
        ("[layers]\nsheets = 'X'\n", "no layer sheets"),
        ("[layers]\nsheet = 'A<B'\n", "cannot name a layer"),
        ("[layers]\nsheet = '0'\n", "cannot name a layer"),
        ("[layers]\nsheet = 'defpoints'\n", "for themselves"),
        ("[layers]\nsheet = '1-CUT'\n", "cannot name a layer"),
        ("[[note]]\ntext = 'x'\nwhen = ['torhc']\n", "no note is printed"),
        ("[layers]\nsheet = 'a-detl-metl'\n", "the same name"),
        ("[layers]\nsheet = 3\n", "cannot name a layer"),
        ("office = 3\n", "a table"),
    ],
)
def test_what_cannot_be_is_told(tmp_path: Path, office: str, told: str) -> None:
    with pytest.raises(UserError, match=told):
        job(tmp_path, office)


@pytest.mark.parametrize(
    "logo",
    [
        "",
        "<svg",
        "<svg xmlns='http://www.w3.org/2000/svg'><text>x</text></svg>",
        "<!DOCTYPE svg [<!ENTITY a 'b'>]><svg>&a;</svg>",
        "<svg><path d='M0 0 L1 1 Z' fill='url(#a)'/></svg>",
        "<svg><path d='rubbish'/></svg>",
        "<svg><path d='M0 0 L1 0 L1 1 Z' fill='white'/></svg>",
        "<svg><path d='M0 0 L1 0 L1 1 Z' style='fill:#123456'/></svg>",
        "<svg><g transform='scale(2)'><path d='M0 0 L1 0 L1 1 Z'/></g></svg>",
        "<svg><defs><path d='M0 0 L1 0 L1 1 Z'/></defs></svg>",
        "<svg><path d='M0 0 L1 0 L1 1 Z' stroke='#000'/></svg>",
        "<svg><path d='" + "M0 0 L1 0 L1 1 Z " * 30_000 + "'/></svg>",
    ],
)
def test_what_is_no_logo_is_told(tmp_path: Path, logo: str) -> None:
    with pytest.raises(UserError, match="logo"):
        job(tmp_path, logo=logo)


@pytest.mark.parametrize("named", ["../office.toml", "/etc/hosts", "none.toml"])
def test_an_office_elsewhere_is_told(tmp_path: Path, named: str) -> None:
    text = JOB.format(sheet="ANSI B").replace("office.toml", named)
    (tmp_path / "job.toml").write_text(text, encoding="utf-8")
    with pytest.raises(UserError):
        load_job(tmp_path / "job.toml")


def test_a_file_to_start_with_changes_nothing_until_its_keys_are_set(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    begun = CliRunner().invoke(app, ["start", "office"])
    assert begun.exit_code == 0
    text = (tmp_path / "office.toml").read_text(encoding="utf-8")
    schema = json.loads((tmp_path / "detailgen-office.schema.json").read_bytes())
    assert schema == office_schema(load_catalog())
    jsonschema.Draft7Validator.check_schema(schema)
    base = job(tmp_path, text)
    assert (base.office, base.catalog) == (NO_OFFICE, load_catalog())
    lines = [line.removeprefix("# ") for line in text.splitlines()]
    keys = [re.fullmatch(r'(\w+ = (?:".*"|false|\[\])|\[+\w+\]+)', line) for line in lines]
    whole = "\n".join(found[0] for found in keys if found)
    full = job(tmp_path, whole)
    assert full.office.name == "Quay Roofing Details"
    assert full.office.logo is not None
    assert len(full.catalog.drafting.notes) == len(base.catalog.drafting.notes) + 1
    jsonschema.validate(tomllib.loads(whole), schema)
    for wrong in ({"layers": {"sheet": "A<B"}}, {"note": [{"title": "x"}]}, {"x": 1}):
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate(wrong, schema)
    assert CliRunner().invoke(app, ["start", "office"]).exit_code == 2
    printed = CliRunner().invoke(app, ["schema", "--office"])
    assert json.loads(printed.stdout) == schema


def test_without_an_office_nothing_changes(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    text = JOB.format(sheet="ANSI B").replace('office = "office.toml"\n', "")
    (tmp_path / "job.toml").write_text(text, encoding="utf-8")
    plain = draw_job(load_job(tmp_path / "job.toml"), ("svg",)).files
    empty = draw_job(job(tmp_path / "a", ""), ("svg",)).files
    assert plain == empty
