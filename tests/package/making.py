"""A small job with something of everything, and its package, made once."""

from functools import cache
from pathlib import Path

from detailgen.bill import Prices
from detailgen.loader import Job, job_of, load_job
from detailgen.package import Packaged, composed, package_job, told_job
from detailgen.package._told import ToldJob
from detailgen.pipeline import check_job

SAMPLES = Path(__file__).parents[2] / "samples"
JOB = """
[project]
name = "Invented depot, =1+1 & <b>) Tj ("
number = "%%EOF {\\\\P}"
units = "feet-inches"

[roof]
insulation = ["2 in"]

[[condition]]
id = "W1"
kind = "wall"
title = "North wall </text> (unbalanced \\\\"
length = "96 ft"
strip_in_out = "2 in"

[[condition.accept]]
rule = "short_strip_in_at_toe"
reason = "Sills cannot be raised"
by = "the owner's agent"

[[condition]]
id = "E1"
kind = "roof-edge"
length = "96 ft"
flange = "3 in"

[[condition]]
id = "D1"
kind = "drain"
count = 6

[[condition]]
id = "C1"
kind = "curb"

[[distance]]
of = "W1"
to = "D1"
clear = "10 ft"
"""


METAL = """
[project]
name = "Invented metalwork"
[roof]
deck_thickness = "5 in"
insulation = ["2 in", "1 1/2 in"]
cover_board = "1/2 in"
[[condition]]
id = "W1"
kind = "wall"
length = "148 ft"
[[condition]]
id = "E1"
kind = "roof-edge"
length = "96 ft"
[[condition]]
id = "K1"
kind = "penetration-pocket"
count = 2
shape = "tee"
[[condition]]
id = "D1"
kind = "drain"
count = 6
[[condition]]
id = "C1"
kind = "curb"
[[condition]]
id = "V1"
kind = "vent-sleeve"
count = 3
pipe_diameter = "8 5/8 in"
height = "10 in"
"""


@cache
def metalwork() -> ToldJob:
    return told_of(job_of(METAL, "metal.toml"))


@cache
def job() -> Job:
    return job_of(JOB, "depot.toml")


def told_of(given: Job) -> ToldJob:
    checked = check_job(given)
    made = list(zip(checked, composed(given, checked), strict=True))
    return told_job(given, Prices(), made)


@cache
def told() -> ToldJob:
    return told_of(job())


@cache
def sample(name: str) -> ToldJob:
    return told_of(load_job(SAMPLES / name))


@cache
def packaged() -> Packaged:
    return package_job(job(), Prices(), inputs={"depot.toml": JOB.encode()})
