"""What comes of it: changes with their causes, or a conflict with its figures."""

from dataclasses import dataclass
from enum import StrEnum

from detailgen.finding import Amount, Finding
from detailgen.mend._handles import Sort, Value
from detailgen.parameters import Placed, Roof

ROOF = "roof"
"""Where a figure stands that all conditions share."""


class Verdict(StrEnum):
    """Whether a condition can be mended."""

    HOLDS = "holds"
    MENDED = "can be mended"
    CONFLICT = "cannot be mended"
    UNSETTLED = "not settled"


@dataclass(frozen=True, slots=True)
class Cause:
    """Why a change is needed: what fails when it alone is left out."""

    finding: Finding | None
    """A rule that fails then."""
    message: str = ""
    """Or what cannot be built then."""


@dataclass(frozen=True, slots=True)
class Change:
    """One parameter, as it is and as it is needed."""

    home: str
    """Id of the condition, or `ROOF`: then it moves all conditions."""
    key: str
    layer: int | None
    """Which item of a list, counted from 0."""
    sort: Sort
    now: Value
    needed: Value
    default: bool
    """Whether the job leaves it to its default so far."""
    steps: int
    causes: tuple[Cause, ...]
    whole: tuple[Value, ...] = ()
    """The list that it is an item of, as it is."""

    @property
    def adds(self) -> bool:
        """Return whether it puts something where there is nothing."""
        return self.sort is Sort.LENGTH and self.now == 0.0

    @property
    def name(self) -> str:
        """Return the parameter as a reader of the file finds it.

        >>> Change("roof", "insulation", 1, Sort.LENGTH, 25.4, 50.8, False, 16, ()).name
        'insulation, layer 2'
        """
        return self.key if self.layer is None else f"{self.key}, layer {self.layer + 1}"


@dataclass(frozen=True, slots=True)
class Short:
    """A rule that cannot hold beside the others of a conflict, and by how much."""

    finding: Finding
    """What it finds as things are."""
    best: Amount | None
    """The most that it can have while the others hold; None where that is not a figure."""


@dataclass(frozen=True, slots=True)
class Conflict:
    """Rules that cannot hold together, whatever the parameters within their ranges."""

    shorts: tuple[Short, ...]
    """Each told as short while the others hold; one alone is against the ranges."""
    limits: tuple[str, ...]
    """What cannot be built, where the search met it."""
    kept: tuple[str, ...]
    """What was to be kept."""


@dataclass(frozen=True, slots=True)
class Mended:
    """What becomes of a job: the roof first, which moves all conditions."""

    roof: tuple[Change, ...]
    conditions: "tuple[Mend, ...]"
    """In the order of the job; their own changes are for the roof so changed."""


@dataclass(frozen=True, slots=True)
class Mend:
    """What becomes of one condition."""

    id: str
    verdict: Verdict
    parameters: Placed
    roof: Roof
    """As they are needed; as they are, where nothing can be done."""
    failing: tuple[Finding, ...] = ()
    """The rules that fail as things are and are to hold."""
    accepted: tuple[Finding, ...] = ()
    """Rules that fail and are accepted: they stay as they are."""
    changes: tuple[Change, ...] = ()
    advice: tuple[Finding, ...] = ()
    """Advice that is not met after the changes: it is not asked for."""
    last_resort: tuple[Finding, ...] = ()
    """Rules for which numbers of the condition's own were not enough."""
    conflict: Conflict | None = None
    builds: int = 0
    """How many sections were built to find out."""
