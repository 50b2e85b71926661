"""Findings: what a rule says of a section, as plain values."""

from dataclasses import dataclass
from enum import StrEnum

from detailgen.geometry import Point


class Outcome(StrEnum):
    """What a check found."""

    PASS = "pass"
    FAIL = "fail"
    NOT_APPLICABLE = "not applicable"


class Severity(StrEnum):
    """How much a failing rule matters."""

    REQUIRED = "required"
    ADVICE = "advice"


class Unit(StrEnum):
    """What a number in a finding or in a rule counts."""

    LENGTH = "mm"
    COUNT = "count"
    ANGLE = "deg"
    SLOPE = "rise per run"
    AREA = "mm2"
    WORDS = "words"


class Relation(StrEnum):
    """How the actual amount is compared with the required one."""

    AT_LEAST = "at least"
    AT_MOST = "at most"
    EXACTLY = "exactly"
    BETWEEN = "between"


@dataclass(frozen=True, slots=True)
class Amount:
    """A number with its unit; or, for `Unit.WORDS`, a phrase."""

    value: float = 0.0
    unit: Unit = Unit.WORDS
    words: str = ""


@dataclass(frozen=True, slots=True)
class Requirement:
    """What a rule asks: a relation, an amount, and a second amount for BETWEEN."""

    relation: Relation
    amount: Amount
    high: Amount | None = None
    strict: bool = False
    """Whether the amount itself is not enough: more than it is asked."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One rule's verdict on one section."""

    rule: str
    """Id of the check, named for what is wrong: `low_flashing`."""
    title: str
    """What the rule asks, as a sheet prints it."""
    outcome: Outcome
    severity: Severity
    required: Requirement
    actual: Amount
    where: Point | None
    """A point on the drawing, mm; None when the rule is not applicable."""
    source: str
    """Document, clause and edition with how it is known, or the common-practice mark."""
    reason: str = ""
    """Why it is not applicable, or in a sentence what is wrong."""
    view: str = "section"
    """`section`, or the id of the layout on which `where` lies."""
    bodies: tuple[str, ...] = ()
    override: str = ""
    """The job's reason for asking another value than the rule set does; printed."""
    origins: tuple[str, ...] = ()
    """Ids of the rule sets that the asked value stands in; none when it is the job's."""
    stage: int = 0
    """Number of the stage of building at which it was found; 0 for the finished work."""
    accepted: str = ""
    """Why and by whom its failure is accepted as a deviation; it fails all the same."""
    elsewhere: bool = False
    """Whether it is not applicable because it is a rule for other kinds of condition."""
