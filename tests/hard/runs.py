"""A command in a folder of its own, bounded in time and memory, and what it did, judged."""

import json
import multiprocessing
import re
import resource
import shutil
import signal
from collections.abc import Generator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from detailgen import catalog
from detailgen.cli import _app, app
from detailgen.errors import Problem, UserError, unprintable
from tests.hard.given import Given, lay_out
from tests.hard.whole import refused, some_of_each, whole

LONGEST, HANGING = 90, 600
"""Seconds of work for one run, and seconds on the clock: the machine may be busy."""
MOST_MEMORY = 1500 * 2**20
"""Bytes of addresses that a run may take beyond what the tests themselves have."""
MAY_FAIL = {"check", "water", "mend", "compare"}
"""Commands that say with their exit code that a rule fails."""
WHOLE_FILE = re.compile(
    "cannot be read|is binary|larger than|this is a folder|not a regular|no such rule set"
    "|is not UTF-8|no data files|there is no .*toml|the logo|has no alternate|is missing$"
    "|a class finds|more mistakes|holds tables only"
)
"""Mistakes that are not on any line."""


class TooSlowError(BaseException):
    """A run did not end in time; no command may catch it."""


@dataclass(frozen=True)
class Done:
    """What a run came to."""

    code: int
    problems: tuple[Problem, ...]
    files: tuple[str, ...]


def run(given: Given, folder: Path, monkeypatch: pytest.MonkeyPatch) -> Done:
    """Run an input in a fresh folder and judge all that came of it.

    Raises:
        AssertionError: It was not a result, nor one clear message.
    """
    folder.mkdir()
    lay_out(given, folder)
    before = _tree(folder)
    problems: list[Problem] = []
    with monkeypatch.context() as patched:
        patched.chdir(folder)
        tell = _app._tell_mistakes

        def noted(error: UserError, *, as_json: bool) -> None:
            problems.extend(error.problems)
            tell(error, as_json=as_json)

        patched.setattr(_app, "_tell_mistakes", noted)
        if given.catalog:
            patched.setattr(catalog, "_own_folder", lambda: folder / "catalog")
        with in_bounds():
            result = CliRunner().invoke(app, given.words)
    after = _tree(folder)
    try:
        new = _judge(given, result, problems, before, after)
        for name in some_of_each(new):
            whole(name, (folder / name).read_bytes())
    finally:
        shutil.rmtree(folder)
    return Done(result.exit_code, tuple(problems), new)


def _judge(
    given: Given,
    result: Result,
    problems: Sequence[Problem],
    before: dict[str, bytes],
    after: dict[str, bytes],
) -> tuple[str, ...]:
    """Return the files that are new, after looking at all else."""
    told = result.stdout + result.stderr
    assert result.exit_code in (0, 1, 2), told[-3000:]
    assert "Traceback" not in told
    assert result.exit_code != 1 or given.words[0] in MAY_FAIL
    wrong = {sign for sign in told if sign != "\n" and unprintable(sign)}
    assert not wrong, (wrong, told[:2000])
    assert before.items() <= after.items(), "a file that was there has changed"
    new = tuple(sorted(after.keys() - before.keys()))
    assert not [name for name in new if ".detailgen-" in name]
    if result.exit_code == 2:
        assert not new, new
        if not problems:  # the words themselves were no options
            assert result.stderr.startswith("Usage: "), told
            return ()
        assert told.count("nothing was written") == ("--json" not in given.words), told
        assert "--json" not in given.words or json.loads(result.stdout)
        for problem in problems:
            _clear(problem, given)
    elif "--json" in given.words:
        json.loads(result.stdout, parse_constant=refused)
    return new


def _clear(problem: Problem, given: Given) -> None:
    """Hold a message to what a person needs to mend it."""
    assert problem.message, problem
    assert len(problem.message) < 400, problem
    assert len(problem.value) < 200, problem
    assert problem.allowed or problem.mend, problem
    elsewhere = problem.key.startswith("--") or given.spoilt == "--"
    missing = given.catalog and re.match("the .* has no ", problem.message)
    assert problem.file or elsewhere or missing, problem
    if given.spoilt != "--" and problem.file:
        name = given.spoilt if given.catalog else Path(given.spoilt).name
        others = set(given.files) | {"prices", "catalog"}
        assert name in problem.file or any(o in problem.file for o in others), problem
        if not WHOLE_FILE.search(problem.message):
            assert problem.line, problem


@contextmanager
def in_bounds() -> Generator[None]:
    """Let a run take only so much time and memory."""

    def slow(*_: object) -> None:
        for child in multiprocessing.active_children():  # else they would be waited for
            child.kill()
        raise TooSlowError

    size = int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
    old = resource.getrlimit(resource.RLIMIT_AS)
    signals = (signal.SIGPROF, signal.SIGALRM)
    before = [signal.signal(number, slow) for number in signals]
    resource.setrlimit(resource.RLIMIT_AS, (size + MOST_MEMORY, old[1]))
    signal.setitimer(signal.ITIMER_PROF, LONGEST)
    signal.alarm(HANGING)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0.0)
        signal.alarm(0)
        for number, handler in zip(signals, before, strict=True):
            signal.signal(number, handler)
        resource.setrlimit(resource.RLIMIT_AS, old)


def _tree(folder: Path) -> dict[str, bytes]:
    files = (
        p for p in folder.rglob("*") if p.is_file() or p.name.startswith(".detailgen-")
    )
    return {
        str(p.relative_to(folder)): p.read_bytes() if p.is_file() else b"" for p in files
    }


def peak() -> float:
    """Return the most memory that this process has held, in MB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
