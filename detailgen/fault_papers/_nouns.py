"""What a trainer asks for, and what papers are."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from detailgen.errors import Problem, UserError, printable
from detailgen.scene import Scene

FORMATS: Final = ("pdf",)
"""What is written when nothing else is asked: two files to print."""
PAPERS: Final = "papers.pdf"
KEYS: Final = "keys.pdf"
RECIPE: Final = "keys.json"
"""What was planted, from which each paper can be made again."""
MOST_FAULTS: Final = 3


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a trainer asks for."""

    papers: int = 1
    seed: int = 1
    least: int = 1
    """Fewest faults on a paper."""
    most: int = MOST_FAULTS
    paper: str = ""
    """Name of a class paper; by default the job's units tell."""
    conditions: tuple[str, ...] = ()
    """Ids of the conditions that papers are made of; by default all."""


@dataclass(frozen=True, slots=True)
class Paper:
    """One paper, its key, and what was planted."""

    number: int
    scenes: tuple[Scene, ...]
    key: tuple[Scene, ...]
    recipe: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Given:
    """The papers of one condition."""

    papers: tuple[Paper, ...]
    ended: str = ""
    """Why it gives no more, where it gives fewer than were asked."""


def span_of(text: str) -> tuple[int, int]:
    """Return the fewest and the most faults of a paper: `2`, or `1..3`.

    Raises:
        UserError: It says neither.
    """
    low, dots, high = text.partition("..")
    ends = (low, high if dots else low)
    counts = [int(e) for e in ends if e in {"1", "2", "3"}]
    if len(counts) == len(ends) and counts[0] <= counts[1]:
        return counts[0], counts[1]
    raise UserError([
        Problem(
            "so many faults cannot be planted",
            key="--faults",
            value=printable(text),
            allowed="1, 2, 3, or the fewest and the most, as 1..3",
        )
    ])
