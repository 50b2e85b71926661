"""Starter files: a parameter file for one kind, every key shown with what it may be."""

from collections.abc import Iterable
from itertools import chain
from textwrap import wrap
from typing import Final

from detailgen.catalog import DEFAULT_RULES, Catalog
from detailgen.checks import REGISTRY
from detailgen.conditions import Condition
from detailgen.loader.fields import Kind, Told, quoted, told
from detailgen.loader.schema import FILE_NAME
from detailgen.parameters import Project, Roof

_WIDTH: Final = 92


def starter(condition: Condition, catalog: Catalog) -> str:
    """Return a parameter file that draws the typical detail of a kind.

    Every key that may be set stands there as a comment, with its default.
    """
    own = [
        field for field in told(condition.parameters) if field.key not in {"id", "title"}
    ]
    lines = [
        f"#:schema ./{FILE_NAME}",
        "",
        *comment(
            f"A job with one condition: {condition.title.lower()}. It draws as it stands. "
            "Take the # from a line to set its key. Lengths are text with their unit: "
            '"8 in", "1 ft 6 1/2 in", "200 mm".'
        ),
        "",
        "[project]",
        'name = "New job"',
        *shown_keys(told(Project)[1:], catalog),
        "",
        "[roof]",
        *shown_keys(told(Roof), catalog),
        "",
        *comment(
            "Another value for a rule, or for a material, with the reason that is printed "
            "(`detailgen rules` lists the rules):"
        ),
        "# [[rule]]",
        '# rule = "flashing_height_least"',
        '# value = "9 in"',
        '# reason = "Asked by the owner"',
        "",
        *comment(
            "A rule that is left failing on purpose stays visible as an accepted "
            "deviation; the table stands below its condition:"
        ),
        "# [[condition.accept]]",
        f'# rule = "{_own_rule(condition)}"',
        '# reason = "Cannot be changed on this building"',
        '# by = "the owner"',
        "",
        "[[condition]]",
        'id = "D1"',
        f'kind = "{condition.kind}"',
        f"title = {quoted(condition.title)}",
        *shown_keys(own, catalog),
        *(["", *condition.example.strip().splitlines()] if condition.example else []),
    ]
    return "\n".join(lines) + "\n"


def _own_rule(condition: Condition) -> str:
    """Return a rule that a section of this kind can break, its own if it has any."""
    rules = REGISTRY.values()
    own = (r.id for r in rules if condition.kind in r.kinds)
    family = (r.id for r in rules if not condition.families.isdisjoint(r.kinds))
    return next(chain(own, family, (r.id for r in rules if not r.kinds)))


def shown_keys(fields: Iterable[Told], catalog: Catalog) -> list[str]:
    """Return each key as a comment: what it is for, what it may be, its default."""
    lines: list[str] = []
    rows = catalog.rule_sets[DEFAULT_RULES].rows
    for field in fields:
        default = field.written
        remark = ""
        if field.by_rule in rows and not default:
            default = quoted(rows[field.by_rule].written)
            remark = f" Without it: what the rule {field.by_rule} asks."
        about = f"{field.about} Allowed: {field.allowed}.{remark}"
        if field.of:
            keys = ", ".join(one.key for one in told(field.of))
            lines += ["", *comment(f"[[condition.{field.key}]] {about} Keys: {keys}.")]
            continue
        value = default or _sample(field)
        lines += ["", *comment(about), f"# {field.key} = {value}"]
    return lines


def _sample(field: Told) -> str:
    """Return a valid value for a key that has no default of its own."""
    if field.kind in {Kind.WHOLE, Kind.NUMBER}:
        return str(field.least)
    return quoted(field.choices[0] if field.choices else field.example)


def comment(text: str) -> list[str]:
    """Return the lines of a comment."""
    return [f"# {line}" for line in wrap(text, _WIDTH - 2, break_long_words=False)]
