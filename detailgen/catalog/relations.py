"""What rows of a rule set have to do with one another, and where they cannot all hold.

A relation says that what some rows need fits into the room that others leave. It is held
against the values themselves: a detail that is drawn with every row at its limit.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import fsum
from pathlib import Path
from typing import Final

from detailgen.catalog._tables import Row, Table, read_rows, source_of
from detailgen.catalog.materials import Material
from detailgen.catalog.rules import RELATIONS, Rule, RuleSet
from detailgen.errors import Problem
from detailgen.finding import Relation, Unit
from detailgen.units import to_inches

SLACK: Final = 0.01
"""Shortages below this, mm, are rounding."""
_MOST_TIMES: Final = 100.0

Term = tuple[str, float]
"""A row's id, and how often it is taken."""


@dataclass(frozen=True, slots=True)
class Fit:
    """One relation: what is needed, and the room for it."""

    id: str
    text: str
    """What must hold, one sentence without its point."""
    needs: tuple[Term, ...]
    room: tuple[Term, ...]
    adds: tuple[str, ...]
    """Materials whose thicknesses are room as well."""
    adds_text: str
    source: str

    @property
    def rows(self) -> tuple[str, ...]:
        """Return the ids of the rows that it ties together."""
        return tuple(row for row, _ in (*self.needs, *self.room))


class Verdict(StrEnum):
    """What becomes of a relation when every row is at its limit."""

    FITS = "fits"
    EXACTLY = "only one value fits"
    MORE_ROOM = "does not fit at the least values"
    NEVER = "cannot both hold"


@dataclass(frozen=True, slots=True)
class Tried:
    """A relation, tried on the rows of a set, or on rows of two."""

    fit: Fit
    needs: tuple[tuple[Rule, float], ...]
    room: tuple[tuple[Rule, float], ...]
    adds: float
    """mm."""

    @property
    def spare(self) -> float:
        """Return what is left of the room, mm; below 0 what is short."""
        return _sum(self.room) + self.adds - _sum(self.needs)

    @property
    def verdict(self) -> Verdict:
        """Return whether it fits, and whether anything would mend it."""
        bounded = all(rule.asks is Relation.AT_MOST for rule, _ in self.room)
        if self.spare < -SLACK:
            return Verdict.NEVER if bounded else Verdict.MORE_ROOM
        one_way = all(rule.asks is Relation.AT_LEAST for rule, _ in self.needs)
        if bounded and one_way and self.spare <= SLACK:
            return Verdict.EXACTLY
        return Verdict.FITS

    @property
    def arithmetic(self) -> str:
        """Return the sum in figures: `8 in - (3 1/2 in + 1 in) = 3 1/2 in, 4 in asked`.

        What the materials add is told by `added`; the published sums leave it out.
        """
        show = _shower([rule for rule, _ in (*self.room, *self.needs)])
        room = " + ".join(_term(t, show) for t in self.room)
        *others, last = self.needs
        asked = _term(last, show)
        if not others:
            more = _sum(self.needs) > _sum(self.room) + SLACK
            sign = ">" if more else "=" if abs(self.spare - self.adds) <= SLACK else "<"
            return f"{asked} {sign} {room}"
        taken = " + ".join(_term(t, show) for t in others)
        taken = f"({taken})" if len(others) > 1 else taken
        left = _sum(self.room) - _sum(others)
        sign = "<" if left < _sum((last,)) - SLACK else ">="
        return f"{room} - {taken} = {show(left)} {sign} {asked}"

    @property
    def added(self) -> str:
        """Return what the materials add and what that leaves; empty when they add none."""
        if not self.adds:
            return ""
        rules = [rule for rule, _ in (*self.room, *self.needs)]
        show = _shower(rules, places=2)
        left = _sum(self.room) + self.adds - _sum(self.needs[:-1])
        sign = "<" if self.spare < -SLACK else ">="
        asked = _term(self.needs[-1], _shower(rules))
        more = f"{show(self.adds)} more, since {self.fit.adds_text}"
        return f"{more}: {show(left)} {sign} {asked}"

    @property
    def needed(self) -> str:
        """Return how much the first row of the room must be instead, as written."""
        (rule, times), *_ = self.room
        show = _shower([r for r, _ in (*self.room, *self.needs)], places=2)
        return show(rule.value - self.spare / times)


def tried(fit: Fit, rules: RuleSet, materials: Mapping[str, Material]) -> Tried:
    """Return a relation, tried on the rows of one set."""
    return _tried(fit, rules, rules, materials)


def _tried(
    fit: Fit, needing: RuleSet, giving: RuleSet, materials: Mapping[str, Material]
) -> Tried:
    return Tried(
        fit,
        tuple((needing.row(row), times) for row, times in fit.needs),
        tuple((giving.row(row), times) for row, times in fit.room),
        fsum(materials[m].thickness for m in fit.adds),
    )


def strained(
    fits: Iterable[Fit], rules: RuleSet, materials: Mapping[str, Material]
) -> tuple[Tried, ...]:
    """Return the relations that do not simply fit within a set, be it a combined one."""
    found = (tried(fit, rules, materials) for fit in fits)
    return tuple(t for t in found if t.verdict is not Verdict.FITS)


@dataclass(frozen=True, slots=True)
class Crossing:
    """A relation that a detail breaks when it is drawn to one set and asked by another."""

    needing: RuleSet
    giving: RuleSet
    tried: Tried
    """With the needs of one set and the room of the other."""
    at_home: Tried
    """Within the set that needs."""


def crossings(
    fits: Iterable[Fit], one: RuleSet, other: RuleSet, materials: Mapping[str, Material]
) -> tuple[Crossing, ...]:
    """Return where what one set asks does not fit into what the other leaves.

    Only conflicts that neither set has by itself, or has less: those are told of that set
    alone.
    """
    found: list[Crossing] = []
    first, second = sorted((one, other), key=lambda s: s.id)
    for fit in fits:
        for needing, giving in ((first, second), (second, first)):
            mixed = _tried(fit, needing, giving, materials)
            home = tried(fit, needing, materials)
            there = tried(fit, giving, materials)
            worse = there.verdict not in _BROKEN or mixed.spare < there.spare - SLACK
            if mixed.verdict in _BROKEN and home.verdict not in _BROKEN and worse:
                found.append(Crossing(needing, giving, mixed, home))
    return tuple(found)


_BROKEN: Final = frozenset({Verdict.MORE_ROOM, Verdict.NEVER})


# --- figures ------------------------------------------------------------------------------


def _sum(terms: Iterable[tuple[Rule, float]]) -> float:
    return fsum(rule.value * times for rule, times in terms)


def _shower(rules: Iterable[Rule], places: int = 0) -> Callable[[float], str]:
    """Return how lengths of a sum are told: in inches when all of its rows are."""
    metric = any(rule.demanded and _metric(rule.written) for rule in rules)

    def show(mm: float) -> str:
        if metric:
            return f"{round(mm, 1):g} mm"
        if places:
            return f"{round(to_inches(mm), places):g} in"
        return f"{_mixed(to_inches(mm))} in"

    return show


def _metric(written: str) -> bool:
    return written.rstrip().lower().endswith(("mm", "cm", "m"))


def _mixed(number: float) -> str:
    """Return inches as a mixed number to the nearest 64th, or else as a decimal."""
    exact = Fraction(round(abs(number) * 64), 64)
    if abs(float(exact) - abs(number)) > 1e-6:
        return f"{number:.3f}".rstrip("0").rstrip(".")
    whole, part = divmod(exact, 1)
    told = f"{whole} {part}" if whole and part else str(part or whole)
    return f"-{told}" if number < 0 else told


def _term(term: tuple[Rule, float], show: Callable[[float], str]) -> str:
    rule, times = term
    told = show(rule.value) if rule.demanded else rule.written
    return told if times == 1.0 else f"{times:g} x {told}"


# --- reading ------------------------------------------------------------------------------


def read_relations(
    folder: Path,
    rows: Mapping[str, Rule],
    materials: Mapping[str, Material],
    problems: list[Problem],
) -> Mapping[str, Fit]:
    """Return the relations of a folder's rule sets; mistakes are added to `problems`.

    Args:
        folder: Of the rule sets. A folder without the file has no relations.
        rows: Of the default set, which has every row.
        materials: Of the catalogue.
        problems: Takes the mistakes.
    """
    file = folder / f"{RELATIONS}.toml"
    read = read_rows(file, problems) if file.exists() else []
    fits = {row.id: _fit(row, rows, materials) for row in read}
    return Table("relation", "rule sets", fits)


def _fit(row: Row, rows: Mapping[str, Rule], materials: Mapping[str, Material]) -> Fit:
    lengths = [i for i, rule in rows.items() if rule.unit is Unit.LENGTH]
    needs, room = row.texts("needs", lengths), row.texts("room", lengths)
    for key, found in (("needs", needs), ("room", room)):
        if not found and key not in row.data:
            row.complain("", f"{key} is missing", mend=f"Add {key} to the row.")
    written = row.part(row.table("times"))
    times = {n: written.number(n, least=0.01, most=_MOST_TIMES) for n in written.data}
    for name in times:
        if name not in {*needs, *room}:
            row.complain("times", f"times names {name!r}, which is no row of the relation")
    adds = row.texts("adds", materials)
    text, adds_text = row.text("text"), row.text("adds_text", "")
    source, _ = source_of(row)
    if adds and not adds_text:
        row.complain("adds", "adds needs adds_text, which says why")
    row.done()
    return Fit(
        row.id,
        text,
        tuple((r, times.get(r, 1.0)) for r in needs),
        tuple((r, times.get(r, 1.0)) for r in room),
        adds,
        adds_text,
        source,
    )
