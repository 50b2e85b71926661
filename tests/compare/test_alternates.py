"""Alternates: named in the file or asked for by hand, loaded as every job is."""

import csv
import io
import json
import re

import openpyxl
import pytest
from typer.testing import CliRunner

from detailgen.bids import bill_of
from detailgen.bill import Price, Prices
from detailgen.cli import app
from detailgen.compare import beside_files
from detailgen.comparing import asked_alternates, beside
from detailgen.errors import UserError
from detailgen.loader import job_of
from tests.bill.test_workbook import _recalculated
from tests.compare.jobs import BASE, put, read

COLD = """
[[alternate]]
name = "Cold, flush edge"
about = "If no flame is allowed"
roof.adhesion = "cold adhesive"
kind.roof-edge.edge = "flush"
condition.W1.flashing_height = "10 in"
"""
PRICES = Prices(
    {
        "base-ply-glass-smooth": Price("base-ply-glass-smooth", 92.0, "roll", 0.9),
        "galvanized-24": Price("galvanized-24", 1.5, "sq ft"),
        "cold-adhesive": Price("cold-adhesive", 60.0, "pail", 0.5),
    },
    currency="EUR",
)


def made(text, *texts, prices=PRICES):
    base = read(text)
    return beside(base, asked_alternates(base, texts), prices)


def refused(text, *texts):
    with pytest.raises(UserError) as error:
        asked_alternates(read(text), texts)
    return error.value.problems


def test_an_alternate_is_the_job_that_the_file_would_have_been():
    """Its bill and its findings are those of a file that says so by itself."""
    found = made(BASE + COLD)
    (one,) = found.others
    plain = put(
        BASE,
        ('insulation = ["2 in"]', 'insulation = ["2 in"]\nadhesion = "cold adhesive"'),
        ('kind = "roof-edge"', 'kind = "roof-edge"\nedge = "flush"'),
        ('"8 in"', '"10 in"'),
    )
    assert one.version.totals == bill_of(job_of(plain, "plain.toml"), PRICES).totals
    assert one.changes == (
        "roof.adhesion = cold adhesive",
        "roof-edge.edge = flush",
        "W1.flashing_height = 10 in",
    )
    row = next(r for r in found.materials if r.item == "cold-adhesive")
    assert row.totals[1].gross > row.totals[0].gross
    assert row.moves


def test_findings_that_differ_are_told_of_each_detail():
    found = made(BASE, "rules=navy-guides", "E1.edge=flush")
    rows = {(r.mark, r.rule): r.findings for r in found.findings}
    base, navy, _ = rows["W1", "shallow_slope"]
    assert navy.required.amount.value == pytest.approx(2.0 * base.required.amount.value)
    marks = {mark for mark, _ in rows}
    assert marks == {"W1", "E1", "D1"}
    # the second alternate changes the edge alone
    for (mark, _), (first, _, second) in rows.items():
        if mark != "E1":
            assert (first.outcome, first.actual) == (second.outcome, second.actual)


@pytest.mark.parametrize(
    ("asked", "same"),
    [
        ("adhesion=cold", 'roof.adhesion = "cold adhesive"'),
        ("roof.slope=1/2 in per ft", 'roof.slope = "1/2 in per ft"'),
        ("roof-edge.cleat=false", "kind.roof-edge.cleat = false"),
        ("edge=flush", 'kind.roof-edge.edge = "flush"'),
        ("W1.flashing_height=10 in", 'condition.W1.flashing_height = "10 in"'),
        ('insulation=["2 in", "1 in"]', 'roof.insulation = ["2 in", "1 in"]'),
        ("rules=navy-guides+copper-handbook", 'rules = ["navy-guides", "copper-handbook"]'),
        ("without=E1+D1", 'without = ["E1", "D1"]'),
        (
            "adhesion=hot asphalt, E1.edge=flush",
            'roof.adhesion = "hot asphalt"\ncondition.E1.edge = "flush"',
        ),
    ],
)
def test_the_command_line_says_what_the_file_can(asked, same):
    by_hand = asked_alternates(read(BASE), [asked])
    by_file = asked_alternates(read(f'{BASE}\n[[alternate]]\nname = "X"\n{same}\n'), [])
    (_, one), (_, two) = *by_hand, *by_file
    assert one.conditions == two.conditions
    assert (one.roof, one.rules, one.distances) == (two.roof, two.rules, two.distances)


def test_what_is_left_out_takes_its_distances_along():
    near = '\n[[distance]]\nof = "D1"\nto = "W1"\nclear = "40 in"\n'
    ((_, job),) = asked_alternates(read(BASE + near), ["without=D1"])
    assert [p.id for p in job.conditions] == ["W1", "E1"]
    assert job.distances == ()
    found = made(BASE + near, "without=D1")
    assert {r.kept for r in found.findings if r.mark == "D1"} <= {(True, False)}


def test_an_alternate_that_changes_nothing_is_told():
    (one,) = made(BASE, "adhesion=torch").others
    assert one.nothing


# --- what cannot be ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        ("adhesion=glue", "not one of the choices"),
        ("W1.flashing_height=8", "has no unit"),
        ("W1.flashing_height=200 in", "out of range"),
        ("rules=folklore", "there is no such rule set"),
        ("roof-edge.colour=red", "there is no key colour here"),
        ("W1.title=\u202eevil", "which no sheet can print"),
    ],
)
def test_the_loader_holds_an_alternate_to_what_a_file_may_say(asked, told):
    (problem,) = refused(BASE, asked)
    assert problem.message.startswith("in the alternate ")
    assert told in problem.message


def test_parameters_that_cannot_stand_together_name_the_alternate():
    (problem,) = refused(
        BASE + '\n[[alternate]]\nname = "Tall"\ncondition.W1.flashing_height = "30 in"\n'
    )
    assert 'in the alternate "Tall": ' in problem.message
    assert problem.file == "job.toml"
    assert problem.line
    assert problem.mend or problem.allowed


def test_a_mistake_in_an_alternate_is_at_its_line():
    text = f'{BASE}\n[[alternate]]\nname = "A"\nroof.adhesion = "glue"\n'
    (problem,) = refused(text)
    line = text.splitlines().index('roof.adhesion = "glue"') + 1
    assert (problem.line, problem.key, problem.value) == (line, "adhesion", '"glue"')


@pytest.mark.parametrize(
    "asked", ["nonsense", "=", "bla=1", "X9.edge=flush", "without=X9", "without=W1+E1+D1"]
)
def test_words_that_mean_nothing_are_told_with_what_is_allowed(asked):
    (problem, *_) = refused(BASE, asked)
    assert problem.key == "--with"
    assert problem.message


@pytest.mark.parametrize(
    ("table", "told"),
    [
        ('name = "A"', "changes nothing"),
        ('name = "A"\ncolour = "red"', "no key of this name"),
        ('name = "A"\nadhesion = "torch"', "no key of this name"),
        ('name = "A"\nroof = 3', "by its keys"),
        ('name = "A"\nkind.shed.x = 1', "no such kind"),
        ('name = "A"\ncondition.X9.x = 1', "no such condition"),
        ('name = "A"\ncondition.W1.id = "W2"', "cannot change the id"),
        ('name = "A"\nwithout = ["X9"]', "no condition has this id"),
        ('name = "A"\nwithout = ["W1", "E1", "D1"]', "leaves no condition"),
        ('roof.adhesion = "torch"', "the key name is missing"),
    ],
)
def test_the_form_of_alternates_is_looked_at_with_every_job(table, told):
    with pytest.raises(UserError) as error:
        job_of(f"{BASE}\n[[alternate]]\n{table}\n", "job.toml")
    assert any(told in p.message for p in error.value.problems)
    assert all(p.line for p in error.value.problems)


def test_two_alternates_of_one_name_are_refused():
    with pytest.raises(UserError, match="of this name already"):
        job_of(BASE + COLD + COLD.replace("Cold,", "COLD,"), "job.toml")


def test_a_job_without_alternates_says_how_to_ask():
    (problem,) = refused(BASE)
    assert "--with" in problem.allowed


# --- files ------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def found():
    hostile = COLD.replace("Cold, flush edge", "=1+1")
    return made(BASE + hostile, "without=D1")


@pytest.fixture(scope="module")
def written(found):
    return beside_files(found, "EUR")


def test_an_independent_engine_comes_to_the_figures_of_the_workbook(written, tmp_path):
    content = written["alternates.xlsx"]
    engine = _recalculated(content, tmp_path)
    ours = openpyxl.load_workbook(io.BytesIO(content), data_only=True)
    compared = 0
    for sheet in openpyxl.load_workbook(io.BytesIO(content)):
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    want = ours[sheet.title][cell.coordinate].value
                    got = float(engine[sheet.title.upper(), cell.coordinate])
                    assert got == pytest.approx(want, rel=1e-9, abs=1e-9), cell.coordinate
                    compared += 1
    assert compared > 60


def test_the_sums_of_the_workbook_are_the_costs(found, written):
    book = openpyxl.load_workbook(io.BytesIO(written["alternates.xlsx"]), data_only=True)
    rows = {r[0].value: r for r in book["Summary"].iter_rows(min_row=5)}
    costs = [rows[name][5].value for name in ("Base", "=1+1", "without=D1")]
    assert costs == pytest.approx(found.costs)
    assert rows["=1+1"][6].value == pytest.approx(found.costs[1] - found.costs[0])


def test_no_text_of_a_job_can_be_read_as_a_formula(written):
    book = openpyxl.load_workbook(io.BytesIO(written["alternates.xlsx"]))
    cells = [c for sheet in book for row in sheet.iter_rows() for c in row]
    assert not [c.value for c in cells if c.data_type == "f" and "1+1" in str(c.value)]
    for name in ("materials.csv", "findings.csv"):
        rows = csv.reader(io.StringIO(written[name].decode("utf-8-sig")))
        cells = [cell for row in rows for cell in row]
        assert not [c for c in cells if re.match(r"[=+@]|-(?![0-9])", c)]


def test_csv_and_json_tell_the_same(found, written):
    rows = list(csv.DictReader(io.StringIO(written["materials.csv"].decode("utf-8-sig"))))
    assert len(rows) == 3 * len(found.materials)
    content = json.loads(written["alternates.json"])
    assert [a["name"] for a in content["alternates"]] == [None, "=1+1", "without=D1"]
    for row, told in zip(found.materials, content["materials"], strict=True):
        assert told["item"] == row.item
        for total, one in zip(row.totals, told["totals"], strict=True):
            assert (one is None) == (total is None)
            if total is not None:
                assert one["packs"] == total.packs


def test_the_command_writes_files_with_out_alone_and_nothing_after_a_mistake(tmp_path):
    file, out = tmp_path / "job.toml", tmp_path / "out"
    file.write_text(BASE + COLD, encoding="utf-8")
    runner = CliRunner()
    ran = runner.invoke(app, ["alternates", str(file), "--with", "edge=flush"])
    assert ran.exit_code == 0, ran.output
    assert "Cold, flush edge" in ran.output
    assert not out.exists()
    wrong = ["alternates", str(file), "--with", "edge=round", "--out", str(out)]
    ran = runner.invoke(app, wrong)
    assert ran.exit_code == 2
    assert 'In the alternate "edge=round"' in ran.stderr
    assert not out.exists()
    ran = runner.invoke(app, ["alternates", str(file), "--out", str(out)])
    assert ran.exit_code == 0, ran.output
    names = ["alternates.json", "alternates.xlsx", "findings.csv", "materials.csv"]
    assert sorted(p.name for p in out.iterdir()) == names


def test_the_same_bytes_come_of_the_same_file(written):
    hostile = COLD.replace("Cold, flush edge", "=1+1")
    assert beside_files(made(BASE + hostile, "without=D1"), "EUR") == written
