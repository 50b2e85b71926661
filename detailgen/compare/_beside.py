"""A job beside its alternates: amounts, costs and findings in columns."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import fsum

from detailgen.bill import Total
from detailgen.compare._counts import total_rows
from detailgen.compare._nouns import Comparison, Version
from detailgen.finding import Finding, Outcome, Severity


@dataclass(frozen=True, slots=True)
class Beside:
    """One alternate beside the base."""

    name: str
    about: str
    changes: tuple[str, ...]
    """What it changes, in words."""
    found: Comparison
    """What differs from the base to it."""

    @property
    def version(self) -> Version:
        """Return the job as the alternate has it."""
        return self.found.new

    @property
    def nothing(self) -> bool:
        """Return whether it comes to the same as the base."""
        return self.found.same


@dataclass(frozen=True, slots=True)
class MaterialRow:
    """What the base and each alternate take of one item; None where it is nothing."""

    item: str
    one: Total
    """Of the first that takes it: its name, its measure and its pack."""
    totals: tuple[Total | None, ...]
    """The base first, then the alternates."""
    moves: bool
    """Whether an alternate takes another amount than the base."""


@dataclass(frozen=True, slots=True)
class FindingRow:
    """What a rule says of one condition in the base and in each alternate."""

    mark: str
    title: str
    rule: str
    findings: tuple[Finding | None, ...]
    """The base first, then the alternates; None where it is not asked, or where the
    condition is left out."""
    kept: tuple[bool, ...]
    """Whether each of them has the condition."""


@dataclass(frozen=True, slots=True)
class Alternates:
    """A job and its alternates."""

    base: Version
    others: tuple[Beside, ...]

    @property
    def names(self) -> list[str]:
        """Return the names of the columns."""
        return ["Base", *(one.name for one in self.others)]

    @property
    def versions(self) -> list[Version]:
        """Return the base and the alternates."""
        return [self.base, *(one.version for one in self.others)]

    @property
    def materials(self) -> list[MaterialRow]:
        """Return all that the base or an alternate takes."""
        moved = {t.item for one in self.others for t in one.found.totals}
        rows: list[MaterialRow] = []
        for row in total_rows([v.totals for v in self.versions]):
            one = next(total for total in row if total is not None)
            rows.append(MaterialRow(one.item, one, tuple(row), one.item in moved))
        return rows

    @property
    def findings(self) -> list[FindingRow]:
        """Return the rules that say something else in an alternate than in the base."""
        return list(self._finding_rows())

    def _finding_rows(self) -> Iterator[FindingRow]:
        versions = self.versions
        for mark, side in self.base.sides.items():
            told = {
                f.rule: f.title
                for one in self.others
                for d in one.found.details
                if d.old is not None and d.old.id == mark and d.new is not None
                for f in d.findings
            }
            sides = [v.sides.get(mark) for v in versions]
            for rule, title in told.items():
                found = tuple(
                    next((f for f in s.findings if f.rule == rule), None) if s else None
                    for s in sides
                )
                kept = tuple(s is not None for s in sides)
                yield FindingRow(side.id, title, rule, found, kept)

    @property
    def costs(self) -> list[float]:
        """Return what the materials of the base and of each alternate cost."""
        return [summed(v.totals) for v in self.versions]

    @property
    def hours(self) -> list[float]:
        """Return the hours of labour that a price list gives for each."""
        return [
            fsum(t.hours for t in v.totals if t.hours is not None) for v in self.versions
        ]

    @property
    def priced(self) -> bool:
        """Return whether anything has a price."""
        return any(t.cost is not None for v in self.versions for t in v.totals)


def summed(totals: Sequence[Total]) -> float:
    """Return what items cost, as far as somebody gave a price."""
    return fsum(t.cost for t in totals if t.cost is not None)


def failing(version: Version) -> tuple[int, int, int]:
    """Return how many required rules fail, how many of them are accepted, and advice."""
    failed = [
        f
        for side in version.sides.values()
        for f in side.findings
        if f.outcome is Outcome.FAIL
    ]
    required = [f for f in failed if f.severity is Severity.REQUIRED]
    accepted = sum(bool(f.accepted) for f in required)
    return len(required) - accepted, accepted, len(failed) - len(required)


def unpriced(version: Version) -> list[str]:
    """Return the items that nobody gave a price for."""
    return [t.item for t in version.totals if t.cost is None]
