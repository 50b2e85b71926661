"""What two versions of a job differ in, as plain values: each with what was and what is."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from detailgen.bill import Counted, Total
from detailgen.finding import Finding, Outcome, Severity
from detailgen.loader import Job, Kind, PlacedCondition
from detailgen.quantity import Measure, Per, Quantity
from detailgen.section import LayeredSection


@dataclass(frozen=True, slots=True)
class Side:
    """One condition of one version, built, checked and counted."""

    placed: PlacedCondition
    section: LayeredSection
    findings: tuple[Finding, ...]
    quantities: tuple[Quantity, ...]
    """For a metre, or for a piece."""
    counted: Counted
    """For all of it, as far as the job says how much there is."""

    @property
    def id(self) -> str:
        """Return its mark."""
        return self.placed.id


@dataclass(frozen=True, slots=True)
class Version:
    """One version of a job."""

    job: Job
    sides: Mapping[str, Side]
    """By the mark of the condition, in the order of the file."""
    totals: tuple[Total, ...]
    """What the whole job takes, by what is bought."""


@dataclass(frozen=True, slots=True)
class ValueChange:
    """A key that says something else; None where it says nothing."""

    key: str
    kind: Kind
    old: object
    new: object


@dataclass(frozen=True, slots=True)
class DimensionChange:
    """A dimension of a drawing, measured on the true section, mm; None where it is not."""

    view: str
    """`section`, or the id of a layout."""
    gauge: str
    label: str
    """What it measures, in words."""
    old: float | None
    new: float | None


class Fate(StrEnum):
    """What became of a part."""

    ADDED = "added"
    REMOVED = "removed"
    CHANGED = "changed"


@dataclass(frozen=True, slots=True)
class PartChange:
    """A body of the section, or a part of a layout, that is no longer what it was."""

    view: str
    id: str
    name: str
    fate: Fate
    apart: float
    """Area that only one of the two versions covers, mm2."""
    told: tuple[tuple[str, str, str], ...] = ()
    """What else of it changed, what it was and what it is."""


@dataclass(frozen=True, slots=True)
class OtherChange:
    """Something else of the section that is no longer what it was."""

    what: str
    old: str
    new: str


@dataclass(frozen=True, slots=True)
class FindingChange:
    """What a rule says of a condition, before and after; None where it is not asked."""

    rule: str
    title: str
    old: Finding | None
    new: Finding | None

    @property
    def appeared(self) -> bool:
        """Return whether the rule fails now and did not."""
        return _fails(self.new) and not _fails(self.old)

    @property
    def went(self) -> bool:
        """Return whether the rule failed and does not now."""
        return _fails(self.old) and not _fails(self.new)

    @property
    def worse(self) -> bool:
        """Return whether a required rule fails now that was settled before."""
        return _open(self.new) and not _open(self.old)


def _fails(finding: Finding | None) -> bool:
    return finding is not None and finding.outcome is Outcome.FAIL


def _open(finding: Finding | None) -> bool:
    """Return whether a required rule fails and nobody has accepted that."""
    if finding is None or finding.outcome is not Outcome.FAIL:
        return False
    return finding.severity is Severity.REQUIRED and not finding.accepted


@dataclass(frozen=True, slots=True)
class Amounts:
    """How much of one thing: for a metre or a piece, and for all of the condition."""

    rate: float
    net: float | None
    """None where the job does not say how much of the condition there is."""
    gross: float | None


@dataclass(frozen=True, slots=True)
class QuantityChange:
    """A quantity of a condition, before and after; None where there is none."""

    id: str
    label: str
    measure: Measure
    per: Per
    old: Amounts | None
    new: Amounts | None
    item: str = ""
    """What is bought."""


@dataclass(frozen=True, slots=True)
class TotalChange:
    """What a job takes of one item, before and after; None where it takes none."""

    item: str
    name: str
    measure: Measure
    old: Total | None
    new: Total | None


class State(StrEnum):
    """What became of a condition."""

    SAME = "same"
    CHANGED = "changed"
    ADDED = "added"
    REMOVED = "removed"


@dataclass(frozen=True, slots=True)
class DetailChange:
    """One condition in two versions, and all that differs."""

    old: Side | None
    new: Side | None
    values: tuple[ValueChange, ...] = ()
    """Kind, title, amount, parameters and accepted deviations."""
    dimensions: tuple[DimensionChange, ...] = ()
    parts: tuple[PartChange, ...] = ()
    others: tuple[OtherChange, ...] = ()
    findings: tuple[FindingChange, ...] = ()
    quantities: tuple[QuantityChange, ...] = ()

    @property
    def id(self) -> str:
        """Return its mark: the new one, if it has one."""
        side = self.new or self.old
        assert side is not None  # one of the two is there
        return side.id

    @property
    def renamed(self) -> bool:
        """Return whether it has another mark now."""
        return self.old is not None and self.new is not None and self.old.id != self.new.id

    @property
    def drawn_anew(self) -> bool:
        """Return whether its drawing shows something else."""
        return bool(self.dimensions or self.parts or self.others)

    @property
    def state(self) -> State:
        """Return what became of it."""
        if self.old is None:
            return State.ADDED
        if self.new is None:
            return State.REMOVED
        told = self.values or self.findings or self.quantities or self.drawn_anew
        return State.CHANGED if told or self.renamed else State.SAME


@dataclass(frozen=True, slots=True)
class SharedChange:
    """Something that conditions share, and the marks of those that it reaches."""

    home: str
    """`project`, `roof`, `rule`, `material` or `distance`."""
    value: ValueChange
    reaches: tuple[str, ...] = ()
    """Marks of the new version, and of the old one for what is gone."""
    certain: bool = True
    """Whether it could be tried by itself; else it may reach more."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """All that differs between two versions of a job."""

    old: Version
    new: Version
    shared: tuple[SharedChange, ...]
    details: tuple[DetailChange, ...]
    """All conditions, those that are the same too: the new ones in the order of the file,
    then those that are gone."""
    totals: tuple[TotalChange, ...] = ()
    asked: tuple[ValueChange, ...] = ()
    """Rows of the rule sets that ask something else, whatever the cause."""

    @property
    def changed(self) -> tuple[DetailChange, ...]:
        """Return the conditions that are no longer what they were."""
        return tuple(d for d in self.details if d.state is not State.SAME)

    @property
    def same(self) -> bool:
        """Return whether there is nothing to tell."""
        return not (self.shared or self.changed or self.totals)

    @property
    def worse(self) -> bool:
        """Return whether a required rule fails now that was settled before."""
        return any(f.worse for d in self.details for f in d.findings)
