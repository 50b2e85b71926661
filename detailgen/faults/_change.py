"""One thing that is wrong: what was done to a detail that held, as plain values."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Self


class Sort(StrEnum):
    """What sort of thing is wrong."""

    PARAMETER = "parameter"
    """A measure that is another: `what` is its key, `value` the number."""
    LEFT_OUT = "left out"
    """A body that is not there: `what` is its id, `other` its role."""
    STARTS_LATE = "starts late"
    """A sheet that begins so much too late: `what` is its id, `value` mm."""
    ENDS_EARLY = "ends early"
    """A sheet that ends so much too early: `what` is its id, `value` mm."""
    LAID_LATE = "laid late"
    """A sheet, `what`, that is laid after a sheet that should lie on it, `other`."""
    LOOSE = "loose"
    """A sheet, `what`, that is not stuck to what it lies on, `other`."""
    STUCK = "stuck"
    """A sheet, `what`, that is stuck to what it should lie loose on, `other`."""
    BARE = "bare"
    """A coat that was forgotten: `what` is its id."""
    SPARSE = "sparse"
    """Fasteners of a view, `what`, row `other`, of which only each `value`-th is there."""
    REVERSED = "reversed"
    """Two pieces of a view, `what`, that lie the wrong way on one another: `other`, both
    ids with + between them."""
    SHORT_LAP = "short lap"
    """A piece of a view, `what`, whose lap is so much too short: `other`, `value` mm."""


@dataclass(frozen=True, slots=True, order=True)
class Change:
    """One change that makes rules fail."""

    sort: Sort
    what: str
    other: str = ""
    value: float = 0.0

    def as_data(self) -> dict[str, Any]:
        """Return the change as plain data, from which `from_data` makes it again."""
        return {
            "sort": str(self.sort),
            "what": self.what,
            "other": self.other,
            "value": self.value,
        }

    @classmethod
    def from_data(cls, data: Mapping[str, Any]) -> Self:
        """Return the change that plain data tell of.

        Raises:
            ValueError: There is no such sort of change.
        """
        return cls(Sort(data["sort"]), data["what"], data["other"], float(data["value"]))
