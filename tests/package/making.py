"""A small job with something of everything, and its package, made once."""

from functools import cache
from pathlib import Path

from detailgen.bids import prices_of
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
flashing_height = "6 in"

[[condition.accept]]
rule = "low_flashing"
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


@cache
def job() -> Job:
    return job_of(JOB, "depot.toml")


def told_of(given: Job, prices: Prices | None = None) -> ToldJob:
    checked = check_job(given)
    made = list(zip(checked, composed(given, checked), strict=True))
    return told_job(given, prices or Prices(), made)


@cache
def told() -> ToldJob:
    return told_of(job())


@cache
def sample(name: str, prices: str = "") -> ToldJob:
    given = load_job(SAMPLES / name)
    return told_of(given, prices_of(given, SAMPLES / prices) if prices else None)


@cache
def packaged() -> Packaged:
    return package_job(job(), Prices(), inputs={"depot.toml": JOB.encode()})
