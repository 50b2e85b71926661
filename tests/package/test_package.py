"""The package of a bid, read back with readers that are not ours."""

import io
import re
import subprocess
from dataclasses import replace
from hashlib import sha256

import pikepdf
import pypdf
import pytest

from detailgen.bill import Prices
from detailgen.output import write_all
from detailgen.package import composed, package_job, told_job
from detailgen.pipeline import request_for
from detailgen.scene import TitleBlock
from detailgen.sheet import compose
from tests.package.making import JOB, job, packaged, told


@pytest.fixture(scope="module")
def reader() -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(packaged().files["package.pdf"]))


def flat(text: str) -> str:
    return re.sub(r"\s+", "", text)


def test_the_package_has_all_its_files():
    files = packaged().files
    names = {f"dxf/{s.id}.dxf" for sheets in told().sheets.values() for s in sheets.scenes}
    assert set(files) - names == {
        "package.pdf", "takeoff.xlsx", "takeoff.json", "conditions.csv", "materials.csv",
        "manifest.txt",
    }  # fmt: skip
    assert names < set(files)
    assert len(names) == packaged().sheets


def test_the_manifest_lists_every_file_with_its_hash_and_size():
    files = packaged().files
    text = files["manifest.txt"].decode()
    listed = dict(
        reversed(line.split("  ", 1))
        for line in text.splitlines()
        if line[:1] not in {"", "#"}
    )
    assert listed == {
        name: sha256(content).hexdigest()
        for name, content in files.items()
        if name != "manifest.txt"
    }
    sizes = re.findall(r"^# (\d+) bytes: .+\n[0-9a-f]{64}  (.+)$", text, re.MULTILINE)
    assert {name: int(size) for size, name in sizes} == {
        name: len(content) for name, content in files.items() if name != "manifest.txt"
    }
    assert f"# Made from depot.toml, SHA-256: {sha256(JOB.encode()).hexdigest()}" in text


def test_the_manifest_is_checked_by_the_usual_program(tmp_path):
    write_all(tmp_path, packaged().files)
    try:
        ran = subprocess.run(
            ["sha256sum", "--strict", "-c", "manifest.txt"],
            cwd=tmp_path, capture_output=True, text=True, check=False,
        )  # fmt: skip
    except FileNotFoundError:
        pytest.skip("no sha256sum here")
    assert ran.returncode == 0, ran.stderr
    assert ran.stderr == ""
    (tmp_path / "takeoff.json").write_text("{}")
    ran = subprocess.run(
        ["sha256sum", "-c", "manifest.txt"], cwd=tmp_path, capture_output=True, check=False
    )
    assert ran.returncode == 1


def test_the_same_job_gives_the_same_bytes():
    again = package_job(job(), Prices(), inputs={"depot.toml": JOB.encode()})
    assert again.files == packaged().files


def test_pages_have_their_numbers_and_bookmarks(reader):
    made, count = packaged(), len(reader.pages)
    index = count - made.pages - made.sheets
    assert index >= 1
    heads = ["Index", *(f"Index {n}" for n in range(2, index + 1))]
    texts = [f"B{n}" for n in range(1, made.pages + 1)]
    sheets = [str(n) for n in range(1, made.sheets + 1)]
    assert reader.page_labels == [*heads, *texts, *sheets]
    for number, label in enumerate(texts, index):
        assert f"{label} OF {made.pages}" in reader.pages[number].extract_text()
    top = [entry for entry in reader.outline if not isinstance(entry, list)]
    assert [e.title for e in top[-4:]] == [
        "W1  North wall </text> (unbalanced \\",
        "E1  Roof edge with flanged metal",
        "D1  Roof drain in a sump",
        "C1  Equipment curb",
    ]
    firsts = {one.id: told().sheets[one.id].first for one in job().conditions}
    for entry in top[-4:]:
        at = reader.get_destination_page_number(entry)
        assert at == index + made.pages + firsts[entry.title.split()[0]] - 1
    parts = {part for e in top[1:-4] for part in e.title.split(", ")}
    assert "Rule summary" in parts
    assert "Exclusions and cautions" in parts
    # the sheets of a detail are folded away under its first
    assert [e["/Count"] < 0 for e in top[-4:]] == [True] * 4
    under = [e for some in reader.outline if isinstance(some, list) for e in some]
    assert len(under) == made.sheets - 4


def test_every_line_of_the_index_leads_to_its_page(reader):
    made = packaged()
    index = len(reader.pages) - made.pages - made.sheets
    text = "\n".join(reader.pages[n].extract_text() for n in range(index))
    found = 0
    for number in range(index):
        for link in reader.pages[number].get("/Annots", ()):
            box = link.get_object()
            target = reader.get_page_number(box["/Dest"][0].get_object())
            told_number = str(box["/Contents"]).removeprefix("Sheet ").split("-")[0]
            assert reader.page_labels[target] == told_number
            found += 1
    assert found >= made.sheets + 3
    for page in (index + 1, len(reader.pages)):
        assert re.search(rf"\b{page}\b", text)


def test_links_of_tables_lead_to_what_they_name(reader):
    made = packaged()
    index = len(reader.pages) - made.pages - made.sheets
    marks: set[str] = set()
    for number in range(index, index + made.pages):
        for link in reader.pages[number].get("/Annots", ()):
            box = link.get_object()
            told_ = str(box["/Contents"])
            target = reader.get_page_number(box["/Dest"][0].get_object())
            what, _, name = told_.partition(" ")
            if what == "Mark":
                assert target == index + made.pages + told().sheets[name].first - 1
                marks.add(name)
            elif what == "Sheet":
                assert reader.page_labels[target] == name
            else:
                assert index <= target < index + made.pages
    assert marks == {"W1", "E1", "D1", "C1"}


def test_what_fails_comes_first_then_what_is_accepted(reader):
    made = packaged()
    index = len(reader.pages) - made.pages - made.sheets
    first = reader.pages[index].extract_text()
    assert "WHAT FAILS" in first
    fails, accepted = first.index("FAILS\n"), first.index("ACCEPTED")
    assert fails < accepted < first.index("DETAIL BY DETAIL")
    joined = flat(first)
    assert flat("Width of the flange on the roof") in joined
    assert flat('at least 4"') in joined
    assert flat("Sills cannot be raised (accepted by the owner's agent)") in joined
    # details: the one that fails before the one whose deviation is accepted
    rest = first[first.index("DETAIL BY DETAIL") :]
    order = re.findall(r"^(W1|E1|D1|C1)\b", rest, re.MULTILINE)
    assert order.index("E1") < order.index("W1") < order.index("D1")


def test_hostile_text_is_only_text(reader):
    data = packaged().files["package.pdf"]
    with pikepdf.open(io.BytesIO(data)) as pdf:
        assert pdf.check_pdf_syntax() == []
        assert pdf.docinfo["/Title"] == job().project.name
    text = "".join(page.extract_text() for page in reader.pages)
    assert flat("Invented depot, =1+1 & <b>) Tj (") in flat(text)
    assert "North wall </text> (unbalanced" in text
    manifest = packaged().files["manifest.txt"].decode()
    assert "# Bid package: Invented depot, =1+1 & <b>) Tj (" in manifest


def test_further_sheets_stand_behind_those_of_their_detail():
    def more(given, one):
        first, *_ = compose(request_for(given, one))
        return [replace(first, id=f"{one.placed.id}-extra")]

    drain = told().checked[2:3]
    small = replace(job(), conditions=job().conditions[2:3], distances=())
    (scenes,) = composed(small, drain, more)
    assert [s.id for s in scenes[-2:]] == ["D1-3", "D1-extra"]
    made = told_job(small, Prices(), [(*drain, scenes)])
    (block,) = [i for i in made.sheets["D1"].scenes[-1].items if isinstance(i, TitleBlock)]
    assert "4 OF 4" in {cell.value for cell in block.cells}


def test_single_sheets_are_numbered_as_in_the_bound_file():
    for sheets in told().sheets.values():
        for number, scene in enumerate(sheets.scenes, sheets.first):
            (block,) = [i for i in scene.items if isinstance(i, TitleBlock)]
            (cell,) = [c for c in block.cells if c.tag == "SHEET"]
            assert cell.value == f"{number} OF {packaged().sheets}"
