"""How far what was found lies within what is asked."""

from detailgen.finding import Finding, Outcome, Relation, Unit


def slack(finding: Finding) -> float | None:
    """Return by how much a rule holds (negative: fails), in the unit of what it measures.

    None where nothing was measured, or where it was told in words.
    """
    asked, found = finding.required, finding.actual
    if finding.outcome is Outcome.NOT_APPLICABLE:
        return None
    if Unit.WORDS in {asked.amount.unit, found.unit}:
        return None
    low, value = asked.amount.value, found.value
    if asked.relation is Relation.AT_MOST:
        return low - value
    if asked.relation is Relation.EXACTLY:
        return -abs(value - low)
    if asked.relation is Relation.BETWEEN and asked.high is not None:
        return min(value - low, asked.high.value - value)
    return value - low
