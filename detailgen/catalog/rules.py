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
from detailgen.errors import Problem, UserError
from detailgen.finding import Severity, Unit
from detailgen.units import parse_length, parse_slope

DEFAULT_RULES: Final = "common-practice"
"""Id of the rule set that holds every row; other sets extend it."""
_HEAD: Final = "set"
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
_ALLOWED: Final = {
    Unit.LENGTH: "0 to 10 m, with its unit: 8 in, 1 1/2 in, 200 mm",
    Unit.COUNT: "a whole number from 0 to 100",
    Unit.ANGLE: "0 to 90 deg, with its unit: 45 deg",
    Unit.SLOPE: "0 to 1:1, as 1/4 in per ft, 2 %, 1:48",
    Unit.AREA: "0 to 1000000 mm2, with its unit: 1 mm2",
}


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


@dataclass(frozen=True, slots=True)
class RuleSet:
    """A named set of rule values."""

    id: str
    name: str
    rows: Mapping[str, Rule]
    about: str = ""
    extends: str = ""
    """Id of the set that this one takes its other rows from."""

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
        try:
            rows[change.rule] = _changed(rows[change.rule], change)
        except ValueError as error:
            old = rows[change.rule]
            problems.append(
                Problem(
                    f"the value of {change.rule} cannot be taken: {error}",
                    key=f"rule.{number}.value",
                    value=str(change.value),
                    allowed=_ALLOWED[old.unit],
                    mend=f"Write it as the rule set does: {old.written}.",
                )
            )
    if problems:
        raise UserError(problems)
    return replace(rule_set, rows=_table(rule_set.id, rows))


def _changed(rule: Rule, change: RuleChange) -> Rule:
    return replace(
        rule,
        value=parse_value(change.value, rule.unit),
        override=change.reason,
        written=str(change.value),
    )


def parse_value(value: str | float, unit: Unit) -> float:
    """Return a rule's value in its own unit, from what a person writes.

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
    if not 0.0 <= number <= _MOST[unit]:
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
    files = {file.stem: read_rows(file, problems) for file in data_files(folder, problems)}
    if files and DEFAULT_RULES not in files:
        problems.append(
            Problem(f"there is no {DEFAULT_RULES}.toml in {folder}", file=str(folder))
        )
    sets: dict[str, RuleSet] = {}
    for stem in files:
        _resolve(stem, files, sets, problems, ())
    return MappingProxyType(Table("rule set", "catalogue", dict(sorted(sets.items()))))


def _table(set_id: str, rows: Mapping[str, Rule]) -> Mapping[str, Rule]:
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
    head.done()
    if extends and (extends not in files or extends in (*waiting, stem)):
        head.complain("extends", "it extends no other rule set", allowed=", ".join(files))
        return
    if extends:
        _resolve(extends, files, sets, problems, (*waiting, stem))
    base: Mapping[str, Rule] = sets[extends].rows if extends in sets else {}
    own = {row.id: _rule(row, base.get(row.id)) for row in rows[1:]}
    sets[stem] = RuleSet(stem, name, _table(stem, {**base, **own}), about, extends)


def _rule(row: Row, base: Rule | None) -> Rule:
    """Read one row; what it does not say of itself is as in the set that is extended."""
    unit = base.unit if base else _OF.get(row.one_of("of", _OF), Unit.LENGTH)
    severity = row.one_of(
        "severity", [str(s) for s in Severity], base and str(base.severity)
    )
    written = row.text("value")
    value = 0.0
    try:
        value = parse_value(written, unit) if written else 0.0
    except ValueError as error:
        row.complain("value", f"value cannot be read: {error}", allowed=_ALLOWED[unit])
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
    )
    row.done()
    return rule
