"""Parameter files: reading them into a `Job`, and what they may say.

Units are converted here and nowhere else, and every mistake is told with its line.
"""

from detailgen.loader._alternates import Alternate
from detailgen.loader._complaints import suggestion
from detailgen.loader._file import Document, read_document, read_text
from detailgen.loader._revisions import Revision
from detailgen.loader._runs import Run
from detailgen.loader.fields import Kind, Told, told
from detailgen.loader.job import (
    Job,
    PlacedCondition,
    condition_of,
    job_from,
    job_of,
    load_job,
)

__all__ = [
    "Alternate",
    "Document",
    "Job",
    "Kind",
    "PlacedCondition",
    "Revision",
    "Run",
    "Told",
    "condition_of",
    "job_from",
    "job_of",
    "load_job",
    "read_document",
    "read_text",
    "suggestion",
    "told",
]
