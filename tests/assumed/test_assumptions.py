"""Assumptions: every value that a job leaves out is told once, and no other."""

from functools import cache

import pytest

from detailgen.assumed import ROOF, SEVERAL, Assumption, assumptions
from detailgen.assumed._heeded import heeded_by
from detailgen.conditions import CONDITIONS
from detailgen.loader import Job, job_of, load_job
from detailgen.parameters import Project, Roof
from tests.package.making import SAMPLES

NO_MATTER = {"id", "title", "length", "count"}


@cache
def glassworks() -> Job:
    return load_job(SAMPLES / "glassworks.toml")


@cache
def found() -> tuple[Assumption, ...]:
    return assumptions(glassworks())


def of(text: str) -> Job:
    return job_of(f'[project]\nname = "x"\n{text}', "job.toml")


def one(kind: str, rest: str = "") -> Job:
    return of(f'[roof]\n[[condition]]\nid = "X1"\nkind = "{kind}"\n{rest}')


def told(job: Job) -> dict[str, Assumption]:
    return {a.key: a for a in assumptions(job) if a.marks}


def test_every_value_that_is_left_out_is_told_once_and_no_other():
    job = glassworks()
    for placed in job.conditions:
        given = placed.parameters
        listed = [a.key for a in found() if placed.id in a.marks]
        left_out = set(type(given).model_fields) - given.model_fields_set - NO_MATTER
        assert sorted(listed) == sorted(left_out), placed.id
    assert {p.condition.kind for p in job.conditions} == set(CONDITIONS)


def test_so_are_those_of_project_and_roof():
    for model, group in ((Project, "project"), (Roof, ROOF)):
        listed = [a.key for a in found() if a.group == group]
        given = getattr(glassworks(), group).model_fields_set
        assert sorted(listed) == sorted(set(model.model_fields) - given)


def test_alike_ones_are_told_together_and_no_row_comes_twice():
    rows = [(a.group, a.key, a.about, a.value, a.basis, a.used) for a in found()]
    assert len(set(rows)) == len(rows)
    (cant,) = [a for a in found() if a.key == "cant_height"]
    assert cant.group == SEVERAL
    assert {"W1", "J1", "C1", "K3"} <= set(cant.marks)
    assert cant.value == '3 1/2"'
    assert cant.basis == "the least that a rule asks"


@pytest.mark.parametrize("kind", [k for k in CONDITIONS if k != "free-section"])
def test_a_value_that_is_given_is_no_assumption(kind):
    before = told(one(kind))
    numbers = [a for a in before.values() if a.value.endswith('"') and a.used]
    for a in numbers[:2]:
        feet = a.value.replace('"', " in") if "'" not in a.value else a.value
        quoted = f"'''{feet}'''"
        after = told(one(kind, f"{a.key} = {quoted}"))
        assert a.key not in after
        assert set(before) - set(after) == {a.key}


def test_the_slope_of_the_roof_follows_the_rules_where_nobody_gives_it():
    def slopes(text: str) -> list[Assumption]:
        rest = '[[condition]]\nid = "X1"\nkind = "stack"\n'
        job = of(f"{text}\n{rest}")
        return [a for a in assumptions(job) if a.key == "slope" and a.group == ROOF]

    assert slopes('[roof]\nslope = "2 %"') == []
    (a,) = slopes("[roof]")
    assert (a.value, a.basis) == ("1/4 in per ft", "the least that a rule asks")


@pytest.mark.parametrize(
    ("kind", "rest", "heeded", "idle"),
    [
        ("roof-edge", "", "rise", "finish_gap"),
        ("roof-edge", 'edge = "flush"', "finish_gap", "rise"),
        ("roof-edge", "", "nail_spacing", "edge_strip_length"),
        ("roof-edge", "edge_strip = true", "edge_strip_length", ""),
        ("wall", "", "reglet_depth", "coping_face"),
        ("wall", 'termination = "coping"', "coping_face", "reglet_depth"),
        ("wall", 'termination = "surface"', "bar_fastener_spacing", "upper_lap"),
        ("expansion-joint", "", "gap", ""),
        ("expansion-joint", 'joint = "area-divider"', "curb_height", "gap"),
    ],
)
def test_what_has_no_effect_is_told_apart(kind, rest, heeded, idle):
    rows = told(one(kind, rest))
    assert rows[heeded].used
    if idle:
        assert not rows[idle].used


def test_what_is_heeded_is_never_what_was_given():
    job = one("wall", 'cant_height = "4 in"')
    heeded = heeded_by(job, job.conditions[0])
    assert "cant_run" in heeded
    assert "cant_height" not in heeded


def test_values_are_told_in_the_units_of_the_job():
    text = '[[condition]]\nid = "X1"\nkind = "roof-edge"\n'
    metric = job_of(f'[project]\nname = "x"\nunits = "millimetres"\n[roof]\n{text}', "j")
    rows = told(metric)
    assert rows["nail_spacing"].value == "76.2 mm"
    assert rows["kick_angle"].value == "30°"
    assert rows["metal"].value.startswith("Galvanized steel, 24 gauge")
    assert rows["cleat"].value == "yes"
