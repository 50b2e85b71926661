"""What differs between two versions of a job, for JSON: amounts in SI."""

from typing import Any, Final

from detailgen.bill import Total
from detailgen.compare._nouns import Comparison, DetailChange, ValueChange
from detailgen.compare._values import show_value
from detailgen.compare._words import finding_words
from detailgen.finding import Amount, Finding, Unit
from detailgen.units import UnitSystem

_ROUNDING: Final = 6


def comparison_content(found: Comparison) -> dict[str, Any]:
    """Return all that differs between two versions, as JSON has it."""
    system = found.new.job.project.units
    return {
        "old": found.old.job.file,
        "new": found.new.job.file,
        "same": found.same,
        "worse": found.worse,
        "shared": [
            {
                "home": one.home,
                **_value(one.value, system),
                "reaches": list(one.reaches),
                "certain": one.certain,
            }
            for one in found.shared
        ],
        "rule_rows": [_value(one, system) for one in found.asked],
        "conditions": [_detail(d, system) for d in found.details],
        "materials": [
            {
                "item": t.item,
                "name": t.name,
                "old": total_json(t.old),
                "new": total_json(t.new),
            }
            for t in found.totals
        ],
    }


def _value(value: ValueChange, system: UnitSystem) -> dict[str, Any]:
    old, new = (show_value(value, v, system) for v in (value.old, value.new))
    return {"key": value.key, "old": old, "new": new}


def _detail(detail: DetailChange, system: UnitSystem) -> dict[str, Any]:
    return {
        "id": detail.id,
        "was": detail.old.id if detail.old else None,
        "state": str(detail.state),
        "renamed": detail.renamed,
        "parameters": [_value(one, system) for one in detail.values],
        "dimensions": [
            {
                "view": one.view,
                "id": one.gauge,
                "label": one.label,
                "old_mm": rounded(one.old),
                "new_mm": rounded(one.new),
            }
            for one in detail.dimensions
        ],
        "parts": [
            {
                "view": one.view,
                "id": one.id,
                "name": one.name,
                "fate": str(one.fate),
                "moved_mm2": rounded(one.apart),
                "changed": [list(told) for told in one.told],
            }
            for one in detail.parts
        ],
        "besides": [
            {"what": one.what, "old": one.old, "new": one.new} for one in detail.others
        ],
        "findings": [
            {
                "rule": one.rule,
                "appeared": one.appeared,
                "went": one.went,
                "old": finding_json(one.old, system),
                "new": finding_json(one.new, system),
            }
            for one in detail.findings
        ],
        "quantities": [
            {
                "id": one.id,
                "label": one.label,
                "item": one.item,
                "unit": str(one.measure),
                "per": str(one.per),
                **{
                    name: side
                    and {
                        "rate": rounded(side.rate),
                        "net": rounded(side.net),
                        "gross": rounded(side.gross),
                    }
                    for name, side in (("old", one.old), ("new", one.new))
                },
            }
            for one in detail.quantities
        ],
    }


def finding_json(finding: Finding | None, system: UnitSystem) -> dict[str, Any] | None:
    """Return what a rule says."""
    if finding is None:
        return None
    return {
        "outcome": str(finding.outcome),
        "severity": str(finding.severity),
        "accepted": finding.accepted,
        "required": _amount(finding.required.amount),
        "actual": _amount(finding.actual),
        "unit": str(finding.actual.unit),
        "text": finding_words(finding, system),
    }


def _amount(amount: Amount) -> float | str | None:
    return amount.words if amount.unit is Unit.WORDS else rounded(amount.value)


def total_json(total: Total | None) -> dict[str, Any] | None:
    """Return what a job takes of one item."""
    if total is None:
        return None
    return {
        "unit": str(total.measure),
        "net": rounded(total.net),
        "gross": rounded(total.gross),
        "packs": total.packs,
        "cost": rounded(total.cost),
        "hours": rounded(total.hours),
    }


def rounded(value: float | None) -> float | None:
    """Return an amount without the noise of arithmetic."""
    return None if value is None else round(value, _ROUNDING) + 0.0
