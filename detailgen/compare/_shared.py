"""What two versions differ in that conditions share: project, roof, rules, materials."""

from dataclasses import fields
from typing import Final

from detailgen.catalog import Rule
from detailgen.compare._nouns import SharedChange, ValueChange
from detailgen.compare._values import Keyed, keyed_values, value_changes
from detailgen.finding import Unit
from detailgen.loader import Job, Kind

PROJECT, ROOF, RULE, MATERIAL, DISTANCE = (
    "project",
    "roof",
    "rule",
    "material",
    "distance",
)
_FIGURES: Final = ("name", "thickness", "mass")
"""What a job may say of a material."""
_KINDS: Final = {Unit.LENGTH: Kind.LENGTH, Unit.SLOPE: Kind.SLOPE}
PRINTING: Final = frozenset({"units", "show_both_units", "sheet"})
"""Keys of a project that only say how sheets are printed."""


def shared_changes(old: Job, new: Job) -> tuple[SharedChange, ...]:
    """Return what conditions share and is no longer what it was."""
    found: list[SharedChange] = []
    for home, read in (
        (PROJECT, _project),
        (ROOF, _roof),
        (RULE, _rules),
        (MATERIAL, _materials),
        (DISTANCE, _distances),
    ):
        changes = value_changes(read(old), read(new))
        found += [SharedChange(home, change) for change in changes]
    return tuple(found)


def _project(job: Job) -> Keyed:
    return keyed_values(job.project)


def _roof(job: Job) -> Keyed:
    return keyed_values(job.roof)


def _rules(job: Job) -> Keyed:
    """Return the job's own values for rules, each with its reason."""
    keyed: dict[str, tuple[Kind, object]] = {}
    for row in job.rules.rows.values():
        if row.override:
            keyed[f"{row.id}.value"] = _asked(row)
            keyed[f"{row.id}.reason"] = Kind.TEXT, row.override
    return keyed


def _asked(row: Rule) -> tuple[Kind, object]:
    kind = _KINDS.get(row.unit, Kind.NUMBER)
    return kind, row.value if row.demanded else "nothing"


def asked_changes(old: Job, new: Job) -> tuple[ValueChange, ...]:
    """Return the rows of the rule sets that ask something else, whatever the cause."""
    return value_changes(_rows(old), _rows(new))


def _rows(job: Job) -> Keyed:
    keyed: dict[str, tuple[Kind, object]] = {}
    for row in job.rules.rows.values():
        keyed[row.id] = _asked(row)
        keyed[f"{row.id}.severity"] = Kind.TEXT, str(row.severity)
    return keyed


def _materials(job: Job) -> Keyed:
    keyed: dict[str, tuple[Kind, object]] = {}
    for one in job.catalog.materials.values():
        names = {f.name for f in fields(one)}
        for figure in _FIGURES:
            if figure in names:
                kind = Kind.LENGTH if figure == "thickness" else Kind.NUMBER
                keyed[f"{one.id}.{figure}"] = kind, getattr(one, figure)
    return keyed


def _distances(job: Job) -> Keyed:
    return {
        f"{' to '.join(sorted((d.of, d.to)))}.clear": (Kind.LENGTH, d.clear)
        for d in job.distances
    }


def is_printing(change: SharedChange) -> bool:
    """Return whether a change only says how sheets are printed."""
    return change.home == PROJECT and change.value.key in PRINTING
