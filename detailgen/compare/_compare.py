"""Two versions of a job, held against each other."""

from detailgen.compare._counts import finding_changes, quantity_changes, total_changes
from detailgen.compare._match import matched
from detailgen.compare._nouns import Comparison, DetailChange, Side, Version
from detailgen.compare._section import dimension_changes, other_changes, part_changes
from detailgen.compare._shared import asked_changes, shared_changes
from detailgen.compare._values import condition_keys, value_changes


def compared(old: Version, new: Version) -> Comparison:
    """Return all that differs between two versions of a job.

    What shared changes reach is not told yet: that takes jobs in which one of them is made.
    """
    return Comparison(
        old,
        new,
        shared_changes(old.job, new.job),
        tuple(_detail(was, now) for was, now in matched(old.sides, new.sides)),
        total_changes(old.totals, new.totals),
        asked_changes(old.job, new.job),
    )


def _detail(old: Side | None, new: Side | None) -> DetailChange:
    if old is None or new is None:
        found = finding_changes(*(side.findings if side else () for side in (old, new)))
        failing = tuple(f for f in found if f.appeared or f.went)
        counted = quantity_changes(old, new)
        return DetailChange(old, new, findings=failing, quantities=counted)
    return DetailChange(
        old,
        new,
        value_changes(condition_keys(old.placed), condition_keys(new.placed)),
        dimension_changes(old.section, new.section),
        part_changes(old.section, new.section),
        other_changes(old.section, new.section),
        finding_changes(old.findings, new.findings),
        quantity_changes(old, new),
    )


def moved(old: Side, new: Side) -> bool:
    """Return whether anything of what is built, found or counted is not the same."""
    return bool(
        dimension_changes(old.section, new.section)
        or part_changes(old.section, new.section)
        or other_changes(old.section, new.section)
        or finding_changes(old.findings, new.findings)
        or quantity_changes(old, new)
    )
