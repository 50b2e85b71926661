"""What the command line tells of rules: sets, rows, one rule explained, and clashes."""

from collections.abc import Iterable, Mapping, Sequence
from inspect import cleandoc
from typing import Any, Final

from rich.console import Group
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from detailgen.catalog import (
    DEFAULT_RULES,
    Catalog,
    Conflict,
    Fit,
    Rule,
    RuleSet,
    Tried,
    tried,
)
from detailgen.checks import REGISTRY, Check
from detailgen.errors import Problem, UserError, printable
from detailgen.finding import Relation
from detailgen.loader import suggestion
from detailgen.parameters import MOST_SETS

NOTHING: Final = "nothing asked"
THIS_JOB: Final = "this job"
"""Where a value is from that no set has."""

Told = Text | Padding | Table | Group


def chosen(catalog: Catalog, set_ids: Sequence[str]) -> RuleSet:
    """Return the rule set that was named, or the two combined; the default without any.

    Raises:
        UserError: There is no such set, or there are too many.
    """
    ids = tuple(dict.fromkeys(set_ids))
    if len(ids) > MOST_SETS:
        problem = Problem(
            f"at most {MOST_SETS} rule sets can be combined",
            key="--set",
            value=", ".join(printable(i) for i in ids),
            mend="Name one or two.",
        )
        raise UserError([problem])
    return catalog.rules_of(ids or (DEFAULT_RULES,))


# --- lists --------------------------------------------------------------------------------


def sets_table(catalog: Catalog) -> Table:
    """Return the rule sets, each with how many rows are its own."""
    table = _table("Rule sets", ("set", "name", "rows", "about"))
    for rules in catalog.rule_sets.values():
        own = len(_own(rules))
        kept = f"{own} of {len(rules.rows)}" if rules.extends else str(own)
        table.add_row(rules.id, rules.name, kept, rules.about)
    return table


def set_page(catalog: Catalog, rules: RuleSet) -> Group:
    """Return the rows of a rule set with their sources, conflicts and what is not built."""
    table = _table(
        f"{rules.id}: {rules.name}", ("rule", "value", "what it asks", "source"), lines=True
    )
    alone = rules.set_ids == (DEFAULT_RULES,)
    for row in rules.rows.values():
        asked = f"{value(row)}\n{row.severity}"
        source = row.source if alone else f"{row.source} [{from_sets(row)}]"
        table.add_row(row.id, asked, row.text, source)
    parts: list[Told] = [table, *conflict_lines(catalog.conflicts_of(rules))]
    if rules.unbuilt:
        parts.append(Text("\nAsked there, and not built or not drawn here:", style="bold"))
        parts += [_indented(f"{one.text} ({one.source})") for one in rules.unbuilt]
    return Group(*parts)


def conflict_lines(found: Iterable[Conflict]) -> list[Told]:
    """Return conflicts in words, each with its arithmetic and the values that meet."""
    lines: list[Told] = []
    for conflict in found:
        lines.append(Text(f"\n{conflict.headline}.", style="bold"))
        lines += [_indented(line) for line in conflict.arithmetic]
        lines.append(_indented(conflict.mend))
        lines += [_indented(_grounds(row)) for row in conflict.rows]
    return lines


def _grounds(row: Rule) -> str:
    return f"{row.id}: {value(row)}, {from_sets(row)} ({row.source})"


def _own(rules: RuleSet) -> list[Rule]:
    """Return the rows that stand in the set's own file."""
    return [
        row
        for row in rules.rows.values()
        if any(origin.set_id == rules.id for origin in row.origins)
    ]


# --- one rule -----------------------------------------------------------------------------


def rule_page(catalog: Catalog, name: str, set_ids: Sequence[str]) -> Group:
    """Return all that is known of a rule row, of a check, or of a relation of rows.

    Args:
        catalog: Of all rule sets.
        name: Id of a row, of a check, or of a relation.
        set_ids: Sets whose values are told; all of them when none is named.

    Raises:
        UserError: There is no such rule.
    """
    rows = catalog.rule_set(DEFAULT_RULES).rows
    if name in REGISTRY:
        check = REGISTRY[name]
        parts: list[Told] = [Text(check.id, style="bold"), *_measured(check)]
        for row_id in rows_of(check):
            parts += [Text(""), *_row_lines(catalog, rows[row_id], set_ids)]
        return Group(*parts)
    if name in catalog.relations:
        return Group(*_relation_lines(catalog, catalog.relations[name], set_ids))
    if name not in rows:
        raise UserError([_unknown(name, (*REGISTRY, *rows, *catalog.relations))])
    parts = _row_lines(catalog, rows[name], set_ids)
    for check in _checks_of(name):
        parts += [Text(f"\nChecked by {check.id}:"), *_measured(check)]
    return Group(*parts)


def _unknown(name: str, known: Iterable[str]) -> Problem:
    return Problem(
        f"there is no rule {printable(name)!r}",
        key="RULE",
        value=printable(name),
        allowed="the id of a row or of a check that `detailgen rules` and `detailgen check "
        "--json` tell",
        mend=suggestion(name, known) or "List them with: detailgen rules",
    )


def rows_of(check: Check) -> tuple[str, ...]:
    """Return the ids of the rows that a check reads."""
    return tuple(dict.fromkeys(r for r in (*check.rows, check.high_row) if r))


def _checks_of(row_id: str) -> list[Check]:
    return [check for check in REGISTRY.values() if row_id in rows_of(check)]


def _measured(check: Check) -> list[Told]:
    """Return what a check guards and how it measures: its own page."""
    return [_indented(cleandoc(check.page)), _indented(f"When it fails: {check.wrong}")]


def _row_lines(catalog: Catalog, row: Rule, set_ids: Sequence[str]) -> list[Told]:
    stricter = "less" if row.asks is Relation.AT_MOST else "more"
    lines: list[Told] = [
        Text(row.id, style="bold"),
        Text(row.text),
        Text(f"Guards against: {row.guards}"),
        Text(f"Stricter is: {stricter}"),
    ]
    if set_ids:
        now = chosen(catalog, set_ids).row(row.id)
        lines += [
            Text(f"Value: {value(now)} ({now.severity}, {from_sets(now)})"),
            Text(f"Source: {now.source}"),
        ]
    else:
        lines.append(_values(catalog, row.id))
    for fit in catalog.relations.values():
        if row.id in fit.rows:
            lines.append(Text(f"Goes together with {fit.id}: {fit.text}."))
    return lines


def _values(catalog: Catalog, row_id: str) -> Table:
    """Return the row's values in each set that says something of it."""
    table = _table("", ("set", "value", "severity", "source"))
    same: dict[str, list[str]] = {}
    for rules in catalog.rule_sets.values():
        row = rules.row(row_id)
        if any(origin.set_id == rules.id for origin in row.origins):
            table.add_row(rules.id, value(row), str(row.severity), row.source)
        else:
            same.setdefault(from_sets(row), []).append(rules.id)
    if same:
        told = (f"as {source}: {', '.join(ids)}" for source, ids in same.items())
        table.caption = "; ".join(told)
        table.caption_justify = "left"
    return table


def _relation_lines(catalog: Catalog, fit: Fit, set_ids: Sequence[str]) -> list[Told]:
    table = _table("", ("set", "verdict", "arithmetic"), lines=True)
    named = [chosen(catalog, set_ids)] if set_ids else list(catalog.rule_sets.values())
    for rules in named:
        found = _tried(catalog, fit, rules)
        lines = "\n".join(line for line in (found.arithmetic, found.added) if line)
        table.add_row(rules.id, str(found.verdict), lines)
    needs, room = (", ".join(row for row, _ in terms) for terms in (fit.needs, fit.room))
    return [
        Text(fit.id, style="bold"),
        Text(f"{fit.text}."),
        Text(f"Needed: {needs}. Room: {room}."),
        Text(f"Source: {fit.source}"),
        table,
    ]


def _tried(catalog: Catalog, fit: Fit, rules: RuleSet) -> Tried:
    return tried(fit, rules, catalog.materials)


# --- as data ------------------------------------------------------------------------------


def listed_json(catalog: Catalog, rules: RuleSet) -> dict[str, Any]:
    """Return the rule sets, and the rows and conflicts of the one that was asked."""
    return {
        "sets": [_set_data(s) for s in catalog.rule_sets.values()],
        "set": rules.id,
        "rule_sets": list(rules.set_ids),
        "rows": [_row_data(row) for row in rules.rows.values()],
        "conflicts": conflicts_json(catalog.conflicts_of(rules)),
        "unbuilt": [{"text": u.text, "source": u.source} for u in rules.unbuilt],
    }


def conflicts_json(found: Iterable[Conflict]) -> list[dict[str, Any]]:
    """Return conflicts as data."""
    return [
        {
            "relation": c.relation,
            "verdict": str(c.verdict),
            "text": c.headline,
            "arithmetic": list(c.arithmetic),
            "mend": c.mend,
            "rule_sets": list(c.sets),
            "rows": [_value_data(row) for row in c.rows],
        }
        for c in found
    ]


def rule_json(catalog: Catalog, name: str, set_ids: Sequence[str]) -> dict[str, Any]:
    """Return one rule as data: a row, a check or a relation."""
    named = [chosen(catalog, set_ids)] if set_ids else list(catalog.rule_sets.values())
    by_id = {rules.id: rules for rules in named}
    if name in REGISTRY:
        check = REGISTRY[name]
        rows = [_row_page(catalog, row, by_id) for row in rows_of(check)]
        return {"check": {**_check_data(check), "rows": rows}}
    if name in catalog.relations:
        fit = catalog.relations[name]
        sums = {i: _tried(catalog, fit, rules) for i, rules in by_id.items()}
        return {
            "relation": {
                "id": fit.id,
                "text": fit.text,
                "needs": dict(fit.needs),
                "room": dict(fit.room),
                "adds": list(fit.adds),
                "source": fit.source,
                "sets": {
                    i: {"verdict": str(t.verdict), "arithmetic": t.arithmetic}
                    for i, t in sums.items()
                },
            }
        }
    rows = catalog.rule_set(DEFAULT_RULES).rows
    if name not in rows:
        raise UserError([_unknown(name, (*REGISTRY, *rows, *catalog.relations))])
    checks = [_check_data(check) for check in _checks_of(name)]
    return {"row": {**_row_page(catalog, name, by_id), "checks": checks}}


def _set_data(rules: RuleSet) -> dict[str, Any]:
    return {
        "id": rules.id,
        "name": rules.name,
        "about": rules.about,
        "extends": rules.extends,
        "own_rows": [row.id for row in _own(rules)],
    }


def _check_data(check: Check) -> dict[str, Any]:
    return {"id": check.id, "page": cleandoc(check.page), "wrong": check.wrong}


def _row_page(catalog: Catalog, row_id: str, sets: Mapping[str, RuleSet]) -> dict[str, Any]:
    values = {i: _value_data(rules.row(row_id)) for i, rules in sets.items()}
    together = [fit.id for fit in catalog.relations.values() if row_id in fit.rows]
    row = catalog.rule_set(DEFAULT_RULES).row(row_id)
    about = {"id": row.id, "text": row.text, "guards": row.guards}
    return {**about, "asks": str(row.asks), "values": values, "relations": together}


def _row_data(row: Rule) -> dict[str, Any]:
    about = {"id": row.id, "text": row.text, "guards": row.guards}
    return {**about, "asks": str(row.asks), **_value_data(row)}


def _value_data(row: Rule) -> dict[str, Any]:
    return {
        "id": row.id,
        "value": row.value if row.demanded else None,
        "unit": str(row.unit),
        "written": row.written,
        "severity": str(row.severity),
        "source": row.source,
        "known": row.known,
        "from": [origin.set_id for origin in row.origins],
    }


# --- small parts --------------------------------------------------------------------------


def value(row: Rule) -> str:
    """Return a row's value as it was written."""
    return row.written if row.demanded else NOTHING


def from_sets(row: Rule) -> str:
    """Return the ids of the sets that a value stands in, for people."""
    return " and ".join(origin.set_id for origin in row.origins) or THIS_JOB


def _table(title: str, columns: Iterable[str], *, lines: bool = False) -> Table:
    table = Table(title=title or None, title_justify="left", show_lines=lines)
    for name in columns:
        table.add_column(name, overflow="fold")
    return table


def _indented(text: str) -> Padding:
    return Padding(Text(text), (0, 0, 0, 4), expand=False)
