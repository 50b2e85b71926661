"""Rule sets: what is asked of a detail, each value with its text and its source."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from types import MappingProxyType
from typing import Final, Protocol

from detailgen.catalog._tables import (
    Row,
    Table,
    data_files,
    parse_amount,
    read_rows,
    source_of,
    twice,
    unknown,
)
from detailgen.errors import Problem, UserError, printable
from detailgen.finding import Relation, Severity, Unit
from detailgen.units import parse_length, parse_slope

DEFAULT_RULES: Final = "common-practice"
"""Id of the rule set that holds every row; other sets extend it."""
RELATIONS: Final = "relations"
"""Stem of the file beside the sets that tells what rows have to do with one another."""
NOTHING: Final = "none"
"""Value of a row that asks nothing in its set."""
_HEAD: Final = "set"
_AT_LEAST: Final = str(Relation.AT_LEAST)
_ASKS: Final = {_AT_LEAST: Relation.AT_LEAST, str(Relation.AT_MOST): Relation.AT_MOST}
_OF: Final = {
    "length": Unit.LENGTH,
    "count": Unit.COUNT,
    "angle": Unit.ANGLE,
    "slope": Unit.SLOPE,
    "area": Unit.AREA,
}
_MOST: Final = {
    Unit.LENGTH: 10_000.0,
    Unit.COUNT: 100.0,
    Unit.ANGLE: 90.0,
    Unit.SLOPE: 1.0,
    Unit.AREA: 1e6,
}
FAR: Final = 10
"""A job's own length for a rule is so many times the rule's own at the most: what is asked
is built, too, where a job says nothing else."""
_ALLOWED: Final = {
    Unit.LENGTH: "0 to 10 m, with its unit: 8 in, 1 1/2 in, 200 mm",
    Unit.COUNT: "a whole number from 0 to 100",
    Unit.ANGLE: "0 to 90 deg, with its unit: 45 deg",
    Unit.SLOPE: "0 to 1:1, as 1/4 in per ft, 2 %, 1:48",
    Unit.AREA: "0 to 1000000 mm2, with its unit: 1 mm2",
}


@dataclass(frozen=True, slots=True, order=True)
class Origin:
    """Where a row's value stands, and what it rests on there."""

    set_id: str
    source: str
    known: str


@dataclass(frozen=True, slots=True)
class Rule:
    """One row of a rule set: a value, what it is of, and where it comes from."""

    id: str
    value: float
    """mm, count, degrees or rise per run, as `unit` says."""
    unit: Unit
    severity: Severity
    text: str
    """What a sheet prints: `Base flashing height above the finished roof`."""
    source: str
    """`UFGS 07550 (five-digit edition), item f, file page 23 - read`; or the mark."""
    override: str = ""
    """The job's reason for another value; printed."""
    guards: str = ""
    """What it guards against, one sentence."""
    known: str = ""
    """How the value is known: `read`, `restated`, `memory`, `computed` or the mark."""
    written: str = ""
    """The value as the data file or the job writes it: `8 in`."""
    asks: Relation = Relation.AT_LEAST
    """Which way is stricter: more for `at least`, less for `at most`."""
    origins: tuple[Origin, ...] = ()
    """The sets that the value is from; several where combined sets ask the same, and none
    where a job gives its own."""
    least: str = ""
    """The least value that can be built, as the data file writes it; empty for none."""

    @property
    def allowed(self) -> str:
        """Return in words what the value may be."""
        return _allowed(self.unit, self.least)

    @property
    def demanded(self) -> bool:
        """Return whether the row asks anything."""
        return self.written != NOTHING


@dataclass(frozen=True, slots=True)
class Unbuilt:
    """Something that a set's documents ask and no section can show."""

    text: str
    source: str


@dataclass(frozen=True, slots=True)
class RuleSet:
    """A named set of rule values."""

    id: str
    name: str
    rows: Mapping[str, Rule]
    about: str = ""
    extends: str = ""
    """Id of the set that this one takes its other rows from."""
    unbuilt: tuple[Unbuilt, ...] = ()
    parts: tuple["RuleSet", ...] = ()
    """The sets that this one combines."""

    @property
    def set_ids(self) -> tuple[str, ...]:
        """Return the ids of the sets that it is made of: its own, or those combined."""
        return tuple(part.id for part in self.parts) or (self.id,)

    def row(self, rule_id: str) -> Rule:
        """Return the row; UserError when somebody took it out of the file."""
        return self.rows[rule_id]

    def value(self, rule_id: str) -> float:
        """Return the row's value in its own unit."""
        return self.row(rule_id).value


class RuleChange(Protocol):
    """Another value for a rule row, as a job asks it."""

    @property
    def rule(self) -> str: ...  # noqa: D102
    @property
    def value(self) -> str | int | float: ...  # noqa: D102
    @property
    def reason(self) -> str: ...  # noqa: D102


def with_rule_overrides(rule_set: RuleSet, changes: Iterable[RuleChange]) -> RuleSet:
    """Return the rule set with a job's own values, each with the job's reason.

    Raises:
        UserError: Values that cannot be taken; each problem's key is `rule.<n>.<field>`,
            where n counts the changes from 0.
    """
    rows, problems, seen = dict(rule_set.rows), list[Problem](), set[str]()
    for number, change in enumerate(changes):
        key = f"rule.{number}.rule"
        if change.rule not in rows:
            where = f"rule set {rule_set.id!r}"
            problems.append(unknown("rule row", change.rule, rows, where, key))
            continue
        if change.rule in seen:
            problems.append(twice(key, change.rule))
        seen.add(change.rule)
        old = rule_set.rows[change.rule]
        try:
            rows[change.rule] = _changed(old, change)
        except ValueError as error:
            why = printable(str(error), 200)
            problems.append(
                Problem(
                    f"the value of {change.rule} cannot be taken: {why}",
                    key=f"rule.{number}.value",
                    value=printable(str(change.value), 120),
                    allowed=old.allowed + _up_to(old),
                    mend=f"Write it as the rule set does: {old.written}.",
                )
            )
    if problems:
        raise UserError(problems)
    return replace(rule_set, rows=rule_table(rule_set.id, rows))


def _changed(rule: Rule, change: RuleChange) -> Rule:
    value = parse_value(change.value, rule.unit, rule.least)
    if _up_to(rule) and value > rule.value * FAR:
        msg = f"{change.value} is out of range"
        raise ValueError(msg)
    return replace(
        rule, value=value, override=change.reason, written=str(change.value), origins=()
    )


def _up_to(rule: Rule) -> str:
    """Return in words how far a job's value may be from a rule's; empty for no limit."""
    if rule.unit is not Unit.LENGTH or not rule.value:
        return ""
    return f"; up to {FAR} times {rule.written}"


def _allowed(unit: Unit, least: str) -> str:
    """Return in words what a value may be."""
    span, _, form = _ALLOWED[unit].partition(", with")
    _, _, most = span.rpartition(" to ")
    return f"{least} to {most}, with{form}" if least else _ALLOWED[unit]


def parse_value(value: str | float, unit: Unit, least: str = "") -> float:
    """Return a rule's value in its own unit, from what a person writes.

    Args:
        value: What is written.
        unit: What it is of.
        least: What it is at the least, written alike; empty for nothing.

    Raises:
        ValueError: It cannot be read, or is out of range.
    """
    if unit is Unit.COUNT:
        number = _whole(value)
    elif not isinstance(value, str):
        msg = f"{value} has no unit"
        raise ValueError(msg)
    elif unit is Unit.ANGLE:
        number = parse_amount(value, {"deg": 1.0})
    elif unit is Unit.AREA:
        number = parse_amount(value, {"mm2": 1.0, "sq in": 25.4**2})
    else:
        number = float(parse_slope(value) if unit is Unit.SLOPE else parse_length(value))
    low = parse_value(least, unit) if least else 0.0
    if not low <= number <= _MOST[unit]:
        msg = f"{value} is out of range"
        raise ValueError(msg)
    return number


def _whole(value: str | float) -> float:
    if isinstance(value, str) and value.strip().isascii() and value.strip().isdigit():
        return float(value)
    if isinstance(value, int) and not isinstance(value, bool):
        return float(value)
    msg = f"{value!r} is not a whole number"
    raise ValueError(msg)


def read_rule_sets(folder: Path, problems: list[Problem]) -> Mapping[str, RuleSet]:
    """Return the rule sets of a folder, one a file; mistakes are added to `problems`."""
    files = {
        file.stem: read_rows(file, problems)
        for file in data_files(folder, problems)
        if file.stem != RELATIONS
    }
    if files and DEFAULT_RULES not in files:
        problems.append(
            Problem(f"there is no {DEFAULT_RULES}.toml in {folder}", file=str(folder))
        )
    sets: dict[str, RuleSet] = {}
    for stem in files:
        _resolve(stem, files, sets, problems, ())
    return MappingProxyType(Table("rule set", "catalogue", dict(sorted(sets.items()))))


def rule_table(set_id: str, rows: Mapping[str, Rule]) -> Mapping[str, Rule]:
    """Return rows of which a missing one is told to whoever edited the data."""
    return MappingProxyType(Table("rule row", f"rule set {set_id!r}", rows))


def _resolve(
    stem: str,
    files: Mapping[str, list[Row]],
    sets: dict[str, RuleSet],
    problems: list[Problem],
    waiting: tuple[str, ...],
) -> None:
    """Read one set after the set that it extends."""
    if stem in sets:
        return
    rows = files[stem]
    if not rows or rows[0].id != _HEAD:
        if rows:
            rows[0].complain("", f"a rule set begins with [{_HEAD}]: name, about, extends")
        return
    head = rows[0]
    extends = head.text("extends", "")
    name, about = head.text("name"), head.text("about")
    unbuilt = tuple(_unbuilt(part) for part in head.tables("unbuilt"))
    head.done()
    if extends and (extends not in files or extends in (*waiting, stem)):
        head.complain("extends", "it extends no other rule set", allowed=", ".join(files))
        return
    if extends:
        _resolve(extends, files, sets, problems, (*waiting, stem))
    base: Mapping[str, Rule] = sets[extends].rows if extends in sets else {}
    own = {row.id: _rule(row, base.get(row.id), stem) for row in rows[1:]}
    table = rule_table(stem, {**base, **own})
    sets[stem] = RuleSet(stem, name, table, about, extends, unbuilt)


def _unbuilt(row: Row) -> Unbuilt:
    text, (source, _) = row.text("text"), source_of(row)
    row.done()
    return Unbuilt(text, source)


def _rule(row: Row, base: Rule | None, set_id: str) -> Rule:
    """Read one row; what it does not say of itself is as in the set that is extended."""
    unit = base.unit if base else _OF.get(row.one_of("of", _OF), Unit.LENGTH)
    severity = row.one_of(
        "severity", [str(s) for s in Severity], base and str(base.severity)
    )
    written = row.text("value")
    told = row.one_of("asks", _ASKS, str(base.asks) if base else _AT_LEAST)
    asks = _ASKS.get(told, Relation.AT_LEAST)
    least = _least(row, unit, base)
    nothing = NOTHING if asks is Relation.AT_MOST or not least else ""
    value = _neutral(asks) if written == nothing else 0.0
    try:
        value = parse_value(written, unit, least) if written not in {"", nothing} else value
    except ValueError as error:
        allowed = f"{_allowed(unit, least)}{f'; or {nothing}' if nothing else ''}"
        row.complain("value", f"value cannot be read: {error}", allowed=allowed)
    source, known = source_of(row)
    rule = Rule(
        id=row.id,
        value=value,
        unit=unit,
        severity=Severity(severity) if severity in set(Severity) else Severity.REQUIRED,
        text=row.text("text", base and base.text),
        source=source,
        guards=row.text("guards", base and base.guards),
        known=known,
        written=written,
        asks=asks,
        origins=(Origin(set_id, source, known),),
        least=least,
    )
    row.done()
    return rule


def _least(row: Row, unit: Unit, base: Rule | None) -> str:
    """Return what a value is at the least; empty for nothing."""
    written = row.text("least", base.least if base else "")
    try:
        if written:
            parse_value(written, unit)
    except ValueError as error:
        row.complain("least", f"least cannot be read: {error}", allowed=_ALLOWED[unit])
        return ""
    return written


def _neutral(asks: Relation) -> float:
    """Return the value that everything meets."""
    return float("inf") if asks is Relation.AT_MOST else 0.0
