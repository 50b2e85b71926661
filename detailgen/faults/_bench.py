"""A condition on the bench: built with things that are wrong, and checked."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Final

from detailgen.checks import check
from detailgen.conditions import Condition, Site, Thickening
from detailgen.faults._change import Change, Sort
from detailgen.faults._edits import edited
from detailgen.faults._gauges import told_truly
from detailgen.finding import Finding, Outcome
from detailgen.geometry import GeometryError
from detailgen.margins import settled
from detailgen.mistakes import Mistakes
from detailgen.parameters import Placed
from detailgen.section import TRUE_SIZE, LayeredSection, Neighbour

_NOT_BUILT: Final = (
    ArithmeticError,
    AssertionError,
    LookupError,
    ValueError,
    GeometryError,
)
"""What a condition may run into where something is wrong that it relies on."""
_KEPT: Final = 400
"""So many sections are kept; one has a few hundred kilobytes."""


class UnbuildableError(Exception):
    """A view cannot draw a broken section as thick as it should."""


@dataclass(frozen=True)
class Broken:
    """A detail with something wrong, and all that the rules find."""

    changes: tuple[Change, ...]
    section: LayeredSection
    """At true size."""
    findings: tuple[Finding, ...]
    rebuild: Callable[[Thickening], LayeredSection]
    """Build the same, thicker; raises `UnbuildableError` where that cannot be."""

    @cached_property
    def failing(self) -> frozenset[str]:
        """Ids of the rules that fail."""
        return failing(self.findings)


def failing(findings: Iterable[Finding]) -> frozenset[str]:
    """Return the ids of the rules that fail, advice among them."""
    return frozenset(f.rule for f in findings if f.outcome is Outcome.FAIL)


class Bench:
    """One condition, built with as many changes as asked."""

    def __init__(
        self,
        condition: Condition,
        parameters: Placed,
        site: Site,
        neighbours: Sequence[Neighbour] = (),
    ) -> None:
        """Take what is to be broken; what follows from other parameters is settled first.

        Args:
            condition: The kind.
            parameters: Its parameters.
            site: Roof, catalogue and rules.
            neighbours: What stands near it.
        """
        self.condition, self.site = condition, site
        self.parameters = settled(condition, parameters, site).parameters
        self.neighbours = tuple(neighbours)
        self._known: dict[tuple[Change, ...], Broken | None] = {}

    @cached_property
    def sound(self) -> Broken:
        """The detail as it should be."""
        found = self.broken(())
        assert found, "a valid condition can be built"
        return found

    def broken(self, changes: Iterable[Change]) -> Broken | None:
        """Return the detail with changes, checked; None where it cannot be built so."""
        these = tuple(sorted(changes))
        if these not in self._known:
            if len(self._known) > _KEPT:
                self._known.clear()
            self._known[these] = self._tried(these)
        return self._known[these]

    def _tried(self, these: tuple[Change, ...]) -> Broken | None:
        section = self._built(these, TRUE_SIZE)
        if section is None:
            return None
        findings = check(section, self.site.rules, self.site.catalog)
        edits = [c for c in these if c.sort is not Sort.PARAMETER]
        touched = {i for c in edits for i in (c.what, *c.other.split("+"))}
        if these:
            plain = [c for c in these if c.sort is Sort.PARAMETER]
            before = self._built(plain, TRUE_SIZE) if edits else section
            section = told_truly(before or section, section, touched)
        else:
            section = told_truly(section, section, ())

        def rebuild(thickening: Thickening) -> LayeredSection:
            thicker = self._built(these, thickening)
            if thicker is None:
                raise UnbuildableError
            return thicker

        return Broken(these, section, findings, rebuild)

    def _built(
        self, changes: Sequence[Change], thickening: Thickening
    ) -> LayeredSection | None:
        own: dict[str, Any] = {}
        for change in changes:
            if change.sort is Sort.PARAMETER:
                whole = isinstance(getattr(self.parameters, change.what), int)
                own[change.what] = int(change.value) if whole else change.value
        parameters = self.parameters.model_copy(update=own) if own else self.parameters
        site = replace(self.site, thickening=thickening, mistakes=_mistakes(changes))
        if own and self.condition.impossible(parameters, site):
            return None
        try:
            section = self.condition.build(parameters, site)
            for change in changes:
                section = edited(section, change)
        except _NOT_BUILT:
            if not changes:
                raise
            return None
        return replace(section, neighbours=self.neighbours)


def _mistakes(changes: Iterable[Change]) -> Mistakes:
    def those(sort: Sort) -> list[Change]:
        return [c for c in changes if c.sort is sort]

    return Mistakes(
        left_out=frozenset(c.what for c in those(Sort.LEFT_OUT)),
        from_left={c.what: c.value for c in those(Sort.STARTS_LATE)},
        from_right={c.what: c.value for c in those(Sort.ENDS_EARLY)},
        after={c.what: c.other for c in those(Sort.LAID_LATE)},
    )
