"""Runs: each names a condition that goes on along a line, and none is told of twice."""

from collections.abc import Collection, Mapping
from enum import StrEnum

from pydantic import Field

from detailgen.loader._complaints import Complaints, suggestion
from detailgen.parameters import Length, Model, length


class End(StrEnum):
    """What is at an end of a run."""

    STOP = "stop"
    INSIDE_CORNER = "inside corner"
    OUTSIDE_CORNER = "outside corner"

    @property
    def words(self) -> str:
        """Return what corner there is, with its article; empty for none."""
        return "" if self is End.STOP else f"an {self.value}"


class Run(Model, frozen=True):
    """What is to be known of the run of a condition to lay out its pieces."""

    of: str = Field(max_length=24, description="Id of the condition.", examples=["W1"])
    left: End = Field(End.STOP, description="What is at its left end, seen from the roof.")
    right: End = Field(
        End.STOP, description="What is at its right end, seen from the roof."
    )
    low: Length | None = length(
        "Where the roof is lowest along the run, from the left end: pieces start there. "
        "Without it: at the left end.",
        default=None,
        least="0 in",
        most="10000 m",
    )


def told_runs(
    found: Mapping[int, Run],
    ids: Collection[str],
    lengths: Mapping[str, float | None],
    complaints: Complaints,
) -> tuple[Run, ...]:
    """Return the runs, after noting what is wrong with them."""
    seen: set[str] = set()
    for number, run in found.items():
        path = ("run", number)
        if run.of not in ids:
            complaints.add(
                (*path, "of"),
                "no condition has this id",
                allowed="the id of a [[condition]] of this file",
                mend=suggestion(run.of, ids),
            )
        if run.of in seen:
            complaints.add(
                (*path, "of"),
                "the run of this condition is told twice",
                mend="Take one of the two tables out.",
            )
        seen.add(run.of)
        whole = lengths.get(run.of)
        if run.low is not None and whole is not None and run.low > whole:
            complaints.add(
                (*path, "low"),
                "the low point lies beyond the end of the run",
                allowed="up to the condition's length",
                mend="Measure it from the left end.",
            )
    return tuple(found.values())
