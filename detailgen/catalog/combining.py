"""Two rule sets as one: row by row the stricter value, with all that it rests on."""

from dataclasses import replace

from detailgen.catalog._tables import COMMON_PRACTICE, KNOWN
from detailgen.catalog.rules import Origin, Rule, RuleSet, rule_table
from detailgen.finding import Relation, Severity


def combined(one: RuleSet, other: RuleSet) -> RuleSet:
    """Return the set that asks of every row the stricter of two values.

    The order of the two makes no difference, and a set combined with itself is that set.
    """
    if one.id == other.id:
        return one
    first, second = sorted((one, other), key=lambda s: s.id)
    ids = dict.fromkeys((*first.rows, *second.rows))
    set_id = f"{first.id} + {second.id}"
    rows = {i: _row(first.rows.get(i), second.rows.get(i)) for i in ids}
    return RuleSet(
        set_id,
        f"{first.name} + {second.name}",
        rule_table(set_id, {i: row for i, row in rows.items() if row is not None}),
        "Of every row the stricter value of the two sets.",
        unbuilt=tuple(dict.fromkeys((*first.unbuilt, *second.unbuilt))),
        parts=(first, second),
    )


def _row(first: Rule | None, second: Rule | None) -> Rule | None:
    return strictest(first, second) if first and second else first or second


def strictest(one: Rule, other: Rule) -> Rule:
    """Return the stricter of two rows of one id; where they ask the same, both at once.

    A row that asks nothing yields to any other. The value decides, and a rule that either
    set requires is required: the stricter severity goes with the stricter value.
    """
    first, second = sorted((one, other), key=lambda r: r.origins)
    if first.demanded != second.demanded:
        return first if first.demanded else second
    severity = _harder(first.severity, second.severity)
    if stricter(first, second):
        return replace(first, severity=severity)
    if stricter(second, first):
        return replace(second, severity=severity)
    origins = tuple(sorted({*first.origins, *second.origins}))
    source, known = _grounds(origins)
    return replace(first, severity=severity, origins=origins, source=source, known=known)


def stricter(one: Rule, other: Rule) -> bool:
    """Tell whether a row asks more than another of the same id does."""
    if not one.demanded or not other.demanded:
        return one.demanded and not other.demanded
    if one.asks is Relation.AT_MOST:
        return one.value < other.value
    return one.value > other.value


def _harder(one: Severity, other: Severity) -> Severity:
    return Severity.REQUIRED if Severity.REQUIRED in {one, other} else one


def _grounds(origins: tuple[Origin, ...]) -> tuple[str, str]:
    """Return the sources of equal values as printed, best known first, and how known."""
    known = min((o.known for o in origins), key=KNOWN.index)
    named = sorted(origins, key=lambda o: (KNOWN.index(o.known), o.source))
    sources = dict.fromkeys(o.source for o in named if o.source != COMMON_PRACTICE)
    return "; ".join(sources) or COMMON_PRACTICE, known
