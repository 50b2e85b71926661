"""Settings that all tests share, and a way for a test to tell what it found."""

import os
from collections.abc import Callable

import pytest
from hypothesis import settings

# A deadline for each example would make a busy machine fail tests that hold.
settings.register_profile("detailgen", deadline=None)
settings.load_profile("detailgen")

# What a test draws must not be found again by the next one, nor fill the user's folder.
os.environ["DETAILGEN_CACHE"] = ""


def pytest_addoption(parser: pytest.Parser) -> None:
    """Let a run ask for the whole number of random sets."""
    about = "draw 200 random parameter sets of every kind of condition onto sheets"
    parser.addoption("--all-sets", action="store_true", help=about)


@pytest.fixture
def told(record_property: Callable[[str, object], None]) -> Callable[[str], None]:
    """Return a function whose lines are printed at the end of the run, workers' too."""

    def tell(line: str) -> None:
        record_property("told", line)

    return tell


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print what tests had to tell, such as how many random sets were rejected."""
    for report in terminalreporter.stats.get("passed", []):
        for name, value in report.user_properties:
            if name == "told":
                terminalreporter.write_line(str(value))
