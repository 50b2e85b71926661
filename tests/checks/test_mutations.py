"""Every rule catches what it guards against, in every section where it applies.

For each rule there are geometric changes that it must catch (just past its limit, far past
it, the thing taken away) and changes that it must not (just within its limit, something
else changed). They are made on every variant of every kind (`variants`). A rule that fails
along with the one under test is named beside the change, with the reason.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cache
from itertools import chain
from pathlib import Path

import pytest

from detailgen.checks import REGISTRY
from detailgen.conditions import CONDITIONS
from tests.checks import (
    rows_both,
    rows_corners,
    rows_curbs,
    rows_drains,
    rows_edge,
    rows_near,
    rows_points,
    rows_wall,
)
from tests.checks.mutating import Mutation
from tests.checks.rows import WHY, Row
from tests.checks.variants import BASES, Base, failing

TABLE = Path(__file__).with_name("MUTATIONS.md")
MUST_CATCH, MUST_LEAVE = 3, 2
WITH_VARIANTS = {"wall", "roof-edge", *rows_corners.KINDS}
WITH_VARIANTS |= rows_points.KINDS | rows_curbs.KINDS
"""Kinds that have their variants among the sections."""


def on_walls_and_edges(rows: Iterable[Row]) -> Iterator[Row]:
    """Yield rows that name bodies as walls and roof edges have them, for those alone."""
    for row in rows:
        yield replace(
            row, where=lambda b, row=row: b.kind in {"wall", "roof-edge"} and row.where(b)
        )


ROWS: tuple[Row, ...] = tuple(
    sorted(
        chain(
            on_walls_and_edges(rows_wall.rows()),
            on_walls_and_edges(rows_edge.rows()),
            on_walls_and_edges(rows_both.rows()),
            rows_near.rows(),
            rows_points.rows(),
            rows_drains.rows(),
            rows_curbs.rows(),
            rows_corners.rows(),
        ),
        key=lambda row: (list(REGISTRY).index(row.rule), not row.caught),
    )
)


def used(row: Row) -> Iterator[Base]:
    """Yield the sections that a change is made on: where its rule has something to do."""
    for base in BASES.values():
        if row.where(base) and base.applies(row.rule):
            yield base


@cache
def failing_after(change: Mutation, base: Base) -> frozenset[str]:
    """Return what fails after a change; many rules are shown the same harmless one."""
    return frozenset(failing(base.find(change(base, base.section))))


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"{r.rule}: {r.change.what}"[:120])
def test_a_rule_catches_what_it_must_and_nothing_else(row: Row) -> None:
    along: set[str] = set()
    sections = list(used(row))
    assert sections, "no section has this to change"
    for base in sections:
        before = failing(base.findings)
        assert row.rule not in before, base.code
        after = failing_after(row.change, base)
        assert (row.rule in after) is row.caught, base.code
        others = after - before - {row.rule}
        assert others <= set(row.along), (base.code, others)
        along |= others
    assert along == set(row.along), "a rule is named that never fails along"


@cache
def counted() -> Mapping[tuple[str, str], tuple[set[str], set[str]]]:
    """Return the changes that must be caught and must not, by rule and section."""
    found: dict[tuple[str, str], tuple[set[str], set[str]]] = defaultdict(
        lambda: (set(), set())
    )
    for row in ROWS:
        for base in used(row):
            found[row.rule, base.code][not row.caught].add(row.change.what)
    return found


@pytest.mark.parametrize("rule", REGISTRY)
def test_every_rule_has_its_changes_wherever_it_applies(rule: str) -> None:
    where = [base for base in BASES.values() if base.applies(rule)]
    assert where, "no section has anything for this rule to measure"
    short = {}
    for base in where:
        caught, left = counted().get((rule, base.code), (set(), set()))
        if len(caught) < MUST_CATCH or len(left) < MUST_LEAVE:
            short[base.code] = (len(caught), len(left))
    assert not short


def test_every_kind_has_its_variants_among_the_sections() -> None:
    assert {base.kind for base in BASES.values()} == WITH_VARIANTS
    assert set(CONDITIONS) >= WITH_VARIANTS


@pytest.mark.parametrize("code", BASES)
def test_the_sections_themselves_break_no_rule(code: str) -> None:
    base = BASES[code]
    if not base.only:
        assert failing(base.findings) <= {"tall_flashing"}


def table() -> str:
    """Return the table of mutations as the file beside this one holds it."""
    caught = sum(len(c) for c, _ in counted().values())
    left = sum(len(found) for _, found in counted().values())
    lines = [
        "# What each rule catches, and what it leaves alone",
        "",
        "Written by `python -m tests.checks.test_mutations`; a test holds it to the rows",
        "in `rows_wall.py`, `rows_edge.py` and `rows_both.py`. Each change is made to the",
        "geometry of every section in which its rule has something to measure. The rule",
        f"must catch at least {MUST_CATCH} of them in each section and leave at least",
        f"{MUST_LEAVE} alone. Rules in the last column fail along in some of the sections.",
        "",
        f"{len(REGISTRY)} rules, {len(BASES)} sections, {len(ROWS)} changes: {caught}",
        f"times a change must be caught, {left} times it must not.",
        "",
        "| section | what it is | rule set |",
        "|---|---|---|",
        *(f"| {b.code} | {b.kind}: {b.about} | {b.rule_set} |" for b in BASES.values()),
        "",
        "| rule | must it | change | sections | fails along |",
        "|---|---|---|---|---|",
    ]
    for row in ROWS:
        along = "; ".join(f"`{rule}`: {WHY[rule]}" for rule in row.along)
        verdict = "catch" if row.caught else "leave"
        where = _codes([b.code for b in used(row)])
        lines.append(
            f"| `{row.rule}` | {verdict} | {row.change.what} | {where} | {along} |"
        )
    return "\n".join(lines) + "\n"


def _codes(codes: list[str]) -> str:
    """Return codes with runs shortened: `W1-W10, E1`."""
    order = list(BASES)
    runs: list[list[str]] = []
    for code in codes:
        if runs and order.index(code) == order.index(runs[-1][-1]) + 1:
            runs[-1].append(code)
        else:
            runs.append([code])
    return ", ".join(r[0] if len(r) == 1 else f"{r[0]}-{r[-1]}" for r in runs)


def test_the_table_beside_is_current() -> None:
    assert TABLE.read_text(encoding="utf-8") == table()


if __name__ == "__main__":
    TABLE.write_text(table(), encoding="utf-8")
