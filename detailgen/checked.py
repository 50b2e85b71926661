"""A condition of a job, checked: what holds, what fails, what is accepted."""

from dataclasses import dataclass, field

from detailgen.finding import Finding, Outcome, Severity
from detailgen.loader import PlacedCondition
from detailgen.parameters import Acceptance
from detailgen.section import LayeredSection


@dataclass(frozen=True, slots=True)
class Verdict:
    """What the rules say of one condition."""

    placed: PlacedCondition
    findings: tuple[Finding, ...]
    besides: int = field(default=0, kw_only=True)
    """How many rules hold that have no finding here, where only those of note are kept."""

    @property
    def failures(self) -> tuple[Finding, ...]:
        """Return the findings that fail, required ones first."""
        failing = [f for f in self.findings if f.outcome is Outcome.FAIL]
        return tuple(sorted(failing, key=lambda f: f.severity is not Severity.REQUIRED))

    @property
    def holds(self) -> bool:
        """Return whether no required rule fails."""
        return all(f.severity is not Severity.REQUIRED for f in self.failures)

    @property
    def accepted(self) -> tuple[Finding, ...]:
        """Return the failures that are accepted as deviations; they fail all the same."""
        return tuple(f for f in self.failures if f.accepted)

    @property
    def settled(self) -> bool:
        """Return whether every required rule that fails is accepted as a deviation."""
        required = (f for f in self.failures if f.severity is Severity.REQUIRED)
        return all(f.accepted for f in required)

    @property
    def needless(self) -> tuple[Acceptance, ...]:
        """Return the accepted deviations from rules that do not fail."""
        failing = {f.rule for f in self.failures}
        return tuple(a for a in self.placed.accepted if a.rule not in failing)

    @property
    def summary(self) -> str:
        """Return in words how many rules hold and how many fail."""
        open_ones = [f for f in self.failures if not f.accepted]
        required = sum(f.severity is Severity.REQUIRED for f in open_ones)
        accepted = len(self.accepted)
        counts = {
            "hold": sum(f.outcome is Outcome.PASS for f in self.findings) + self.besides,
            "fail": required,
            f"accepted deviation{'' if accepted == 1 else 's'}": accepted,
            "advice not met": len(open_ones) - required,
        }
        told = (f"{n} {what}" for what, n in counts.items() if n or what == "hold")
        return ", ".join(told)


@dataclass(frozen=True, slots=True)
class Checked(Verdict):
    """One condition, built and checked."""

    section: LayeredSection
