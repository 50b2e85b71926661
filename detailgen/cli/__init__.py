"""The command line: arguments, progress, printing and exit codes.

0: done. 1: `check` or `water` found what fails and is not accepted, or `mend` a condition
that cannot be mended, or `compare` what fails anew. 2: the user's mistake, told on standard
error. 3: a fault of the program.

Everything heavy is imported inside the commands, so that help is instant.
"""

from detailgen.cli import bids, jobs, lookups, sweeping, teaching, versions
from detailgen.cli._app import app
from detailgen.cli.jobs import Format

__all__ = [
    "Format",
    "app",
    "bids",
    "jobs",
    "lookups",
    "sweeping",
    "teaching",
    "versions",
]
