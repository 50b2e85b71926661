"""Small jobs in two versions."""

from pathlib import Path

from detailgen.bids import bill_of
from detailgen.bill import Prices
from detailgen.compare import Comparison, DetailChange, compared
from detailgen.comparing import Read, compare_jobs, version_of
from detailgen.loader import Job, job_from
from detailgen.loader._file import document_of

BASE = """
[project]
name = "Invented depot"
revision = "A"

[roof]
insulation = ["2 in"]
slope = "1/4 in per ft"

[[condition]]
id = "W1"
kind = "wall"
length = "100 ft"
flashing_height = "8 in"
reglet_height = "12 in"

[[condition]]
id = "E1"
kind = "roof-edge"
length = "60 ft"

[[condition]]
id = "D1"
kind = "drain"
count = 2
"""


def read(text: str, file: str = "job.toml") -> Read:
    document = document_of(text, file)
    return Read(document, job_from(document))


def differ(old: str, new: str, prices: Path | None = None) -> Comparison:
    """Return what differs between two texts."""
    return compare_jobs(read(old, "old.toml"), read(new, "new.toml"), prices)


def put(text: str, *pairs: tuple[str, str]) -> str:
    """Return a text in which each first word stands once and gives way to the second."""
    for old, new in pairs:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def detail(found: Comparison, mark: str) -> DetailChange:
    (one,) = [d for d in found.details if d.id == mark]
    return one


def plainly(old: Job, new: Job) -> Comparison:
    """Return what differs between two jobs, without what shared changes reach."""
    versions = [version_of(job, bill_of(job, Prices())) for job in (old, new)]
    return compared(*versions)
