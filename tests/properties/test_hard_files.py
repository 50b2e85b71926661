"""Spoilt and extreme inputs through the command line: a result, or one clear message.

A few here; 20,000 with `--all-sets`, in parts that several processes may share. Never a
traceback, a hang, a flood of memory, or a file half-written.
"""

import random
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.hard.found import FOUND
from tests.hard.given import Given
from tests.hard.inputs import INPUTS, random_input
from tests.hard.runs import TooSlowError, peak, run

FEW, ALL, PARTS = 30, 20_000, 40


def tried(given: Given, folder: Path, monkeypatch: pytest.MonkeyPatch) -> int:
    """Run an input and return its exit code; what fails tells how to try it again."""
    try:
        return run(given, folder, monkeypatch).code
    except (Exception, TooSlowError) as error:
        message = f"{type(error).__name__}: {error}\n{given.shown()}"
        raise AssertionError(message) from error


@pytest.mark.parametrize("name", FOUND)
def test_what_once_went_wrong(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    given, codes = FOUND[name]
    assert tried(given, tmp_path / "here", monkeypatch) in codes


@pytest.mark.parametrize("part", range(PARTS))
def test_anything_is_a_result_or_one_clear_message(
    part: int,
    tmp_path: Path,
    pytestconfig: pytest.Config,
    monkeypatch: pytest.MonkeyPatch,
    told: Callable[[str], None],
) -> None:
    every = pytestconfig.getoption("all_sets")
    if part and not every:
        pytest.skip("only with --all-sets")
    codes, slowest, failed = Counter[int](), (0.0, ""), list[str]()
    for number in range(ALL // PARTS if every else FEW):
        given = random_input(random.Random(f"hard {part} {number}"))
        start = time.perf_counter()
        try:
            codes[tried(given, tmp_path / "here", monkeypatch)] += 1
        except AssertionError as error:
            failed.append(f"{part} {number}: {error}")
        slowest = max(slowest, (time.perf_counter() - start, " ".join(given.words)[:80]))
    if every:
        worst = f"{slowest[0]:.0f} s for {slowest[1]}, {peak():.0f} MB"
        told(f"part {part}: {dict(codes)}, {worst}")
    assert not failed, "\n\n".join(failed)
    assert min(codes[0], codes[2]) > 0


@pytest.mark.parametrize("make", [make for _, make in INPUTS], ids=lambda m: m.__name__)
def test_every_sort_of_input_is_sometimes_taken_and_sometimes_not(
    make: Callable[[random.Random], Given], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    codes = Counter[int]()
    for number in range(200):
        given = make(random.Random(f"sorts {number}"))
        if given.words[0] in {"check", "takeoff", "rules", "kinds", "sweep"}:
            codes[tried(given, tmp_path / "here", monkeypatch)] += 1
        if codes[2] and codes[0] + codes[1]:
            return
    pytest.fail(str(codes))
