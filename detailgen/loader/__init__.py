"""Parameter files: reading them into a `Job`, and what they may say.

Units are converted here and nowhere else, and every mistake is told with its line.
"""

from detailgen.loader._complaints import suggestion
from detailgen.loader._file import read_text
from detailgen.loader._runs import Run
from detailgen.loader.fields import Kind, Told, told
from detailgen.loader.job import Job, PlacedCondition, condition_of, job_of, load_job

__all__ = [
    "Job",
    "Kind",
    "PlacedCondition",
    "Run",
    "Told",
    "condition_of",
    "job_of",
    "load_job",
    "read_text",
    "suggestion",
    "told",
]
