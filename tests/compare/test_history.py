"""The history of a job in its file: what it may say, and what is told where it cannot."""

import json

import pytest

from detailgen.catalog import load_catalog
from detailgen.errors import UserError
from detailgen.loader import job_of
from detailgen.loader.schema import job_schema
from tests.compare.jobs import BASE

HISTORY = """
[[revision]]
mark = "A"
date = "2026-03-01"
by = "I. Marsh"
text = "For tender"

[[revision]]
mark = "B"
text = "Cleat of the edge left out"
details = ["E1"]
"""


def test_a_job_carries_its_history_in_the_order_of_the_file():
    job = job_of(BASE + HISTORY, "job.toml")
    told = [(r.mark, r.date, r.by, r.text, r.details) for r in job.revisions]
    assert told == [
        ("A", "2026-03-01", "I. Marsh", "For tender", None),
        ("B", "", "", "Cleat of the edge left out", ("E1",)),
    ]
    assert [r.concerns("W1") for r in job.revisions] == [True, False]
    assert [r.concerns("E1") for r in job.revisions] == [True, True]


@pytest.mark.parametrize(
    ("table", "key", "told"),
    [
        ('text = "x"', "mark", "is missing"),
        ('mark = "A"', "text", "is missing"),
        ('mark = "ABCDE"\ntext = "x"', "mark", "too long"),
        (f'mark = "A"\ntext = "{"x" * 161}"', "text", "too long"),
        ('mark = "A"\ntext = "x"\ndetails = ["W7"]', "details", "no condition has this id"),
        ('mark = "A"\ntext = "x"\ndetails = "W1"', "details", "list of texts is needed"),
        ('mark = "A"\ntext = "x"\ndate = 2026-03-01', "date", "text in quotes is needed"),
        ('mark = "A"\ntext = "x"\nsign = "y"', "sign", "there is no key sign"),
        ('mark = "A"\ntext = "two\\nlines"', "text", "which no sheet can print"),
        ('mark = "A"\ntext = "\\u202Eevil"', "text", "which no sheet can print"),
    ],
)
def test_what_cannot_be_printed_or_found_is_told_with_its_line(table, key, told):
    with pytest.raises(UserError) as error:
        job_of(f"{BASE}\n[[revision]]\n{table}\n", "job.toml")
    (problem,) = error.value.problems
    assert problem.key == key
    assert told in problem.message
    assert problem.line > BASE.count("\n")


def test_more_revisions_than_sheets_can_list_are_refused():
    one = '\n[[revision]]\nmark = "A"\ntext = "x"\n'
    assert len(job_of(BASE + 40 * one, "job.toml").revisions) == 40
    with pytest.raises(UserError, match="the job tells 41 revisions"):
        job_of(BASE + 41 * one, "job.toml")


def test_the_schema_knows_both_tables():
    tables = job_schema(load_catalog())["properties"]
    assert {"alternate", "revision"} <= set(tables)
    kinds = tables["alternate"]["items"]["properties"]["kind"]["properties"]
    assert "edge" in kinds["roof-edge"]["properties"]
    assert not kinds["roof-edge"]["required"]
    json.dumps(tables)
