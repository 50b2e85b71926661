"""Accepted deviations: rules that the owner leaves failing, with reason and name."""

from typing import Any, cast

from detailgen.checks import REGISTRY
from detailgen.conditions import Condition
from detailgen.loader._complaints import Complaints, suggestion
from detailgen.loader._places import Path
from detailgen.loader._validate import validated
from detailgen.parameters import Acceptance

KEY = "accept"
"""Name of the tables inside a condition."""


def acceptances(
    table: dict[str, Any], path: Path, condition: Condition, complaints: Complaints
) -> tuple[Acceptance, ...]:
    """Return the accepted deviations of a condition, after noting what is wrong."""
    listed = table.get(KEY, [])
    if not isinstance(listed, list):
        complaints.add(
            (*path, KEY),
            "there may be several of accept, so it is a list of tables",
            allowed="[[condition.accept]]",
            mend="Write [[condition.accept]], with two brackets, below its condition.",
        )
        return ()
    found: dict[str, Acceptance] = {}
    for number, item in enumerate(cast("list[object]", listed)):
        at = (*path, KEY, number)
        acceptance = validated(Acceptance, item, at, complaints)
        if acceptance is None or not _is_rule(acceptance, at, condition, complaints):
            continue
        if acceptance.rule in found:
            complaints.add(
                (*at, "rule"),
                "this deviation is accepted twice",
                mend="Take one of the two tables out.",
            )
        found.setdefault(acceptance.rule, acceptance)
    return tuple(found.values())


def _is_rule(
    acceptance: Acceptance, path: Path, condition: Condition, complaints: Complaints
) -> bool:
    """Return whether there is such a rule for this kind, after noting that not."""
    rule = REGISTRY.get(acceptance.rule)
    own = {condition.kind, *condition.families}
    mine = [r.id for r in REGISTRY.values() if not r.kinds or not own.isdisjoint(r.kinds)]
    if rule is not None and rule.id in mine:
        return True
    reading = [
        r for r in mine if acceptance.rule in (*REGISTRY[r].rows, REGISTRY[r].high_row)
    ]
    if rule is not None:
        message = f"this rule does not apply to a {condition.kind}"
        mend = "Take the table out."
    elif reading:
        message = "this is a row of the rule set; a deviation is from a rule that reads it"
        mend = f"Write {' or '.join(reading)}."
    else:
        message = "there is no such rule"
        mend = suggestion(acceptance.rule, mine)
    complaints.add(
        (*path, "rule"), message, allowed="the id of a rule that `check` tells", mend=mend
    )
    return False
