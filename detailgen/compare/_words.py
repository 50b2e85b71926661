"""What changed in a condition, in words: for the table of revisions on its sheets."""

from collections.abc import Iterator
from typing import Final

from detailgen.compare._nouns import (
    DetailChange,
    DimensionChange,
    Fate,
    FindingChange,
    State,
)
from detailgen.compare._values import show_value, words_of
from detailgen.finding import Finding, Outcome
from detailgen.sheet import words
from detailgen.units import UnitSystem, show_length

_LONGEST: Final = 96
"""Signs that a row of a table of revisions holds; the notes of the sheet tell all."""


def show_dimension(value: float | None, system: UnitSystem) -> str:
    """Return how long a dimension is, as a sheet prints it; `none` where there is none."""
    return "none" if value is None else show_length(value, system)


def dimension_words(change: DimensionChange, system: UnitSystem) -> tuple[str, str]:
    """Return what a dimension was and is, on a grid on which the two do not read alike."""
    was, now = (show_dimension(v, system) for v in (change.old, change.new))
    if was == now and change.old is not None and change.new is not None:
        return tuple(  # type: ignore[return-value]
            f"{v:.2f} mm"
            if system is UnitSystem.MILLIMETRES
            else show_length(v, system, denominator=256)
            for v in (change.old, change.new)
        )
    return was, now


def by_how_much(old: float | None, new: float | None, system: UnitSystem) -> str:
    """Return by how much a length grew or shrank, with its sign; nothing if it is new."""
    if old is None or new is None:
        return ""
    sign = "+" if new > old else "-"
    return f"{sign}{show_length(abs(new - old), system)}"


def finding_words(finding: Finding | None, system: UnitSystem) -> str:
    """Return what a rule says: holds or fails, what was found and what is asked."""
    if finding is None:
        return "not asked"
    if finding.outcome is Outcome.NOT_APPLICABLE:
        return "n/a"
    told = "accepted deviation" if finding.accepted else words.verdict(finding)
    found = words.actual(finding, system)
    return f"{told}: {found}, asked {words.requirement(finding.required, system)}"


def sentences(change: DetailChange, system: UnitSystem) -> list[str]:
    """Return what changed in a condition, what matters most first."""
    if change.state is State.ADDED:
        return ["Detail added"]
    first = [f"Was {change.old.id}"] if change.renamed and change.old else []
    rest = [*_dimensions(change, system), *_values(change, system)]
    rest += [*_parts(change), *_findings(change)]
    if not rest and change.drawn_anew:
        rest = [f"{one.what} changed" for one in change.others]
    if not rest and change.quantities:
        rest = ["quantities changed"]
    return [*first, *dict.fromkeys(rest)]


def _dimensions(change: DetailChange, system: UnitSystem) -> Iterator[str]:
    for one in change.dimensions:
        was, now = dimension_words(one, system)
        yield f"{one.label} {was} -> {now}"


def _values(change: DetailChange, system: UnitSystem) -> Iterator[str]:
    """Yield keys that no dimension has told."""
    told = {d.label for d in change.dimensions} | {
        d.gauge.replace("-", " ") for d in change.dimensions
    }
    for one in change.values:
        name = words_of(one.key)
        if name not in told:
            pair = (show_value(one, v, system) for v in (one.old, one.new))
            yield f"{name} {' -> '.join(pair)}"


def _parts(change: DetailChange) -> Iterator[str]:
    for part in change.parts:
        if part.fate is not Fate.CHANGED and part.view == "section":
            yield f"{part.name} {part.fate}"
    for part in change.parts:
        for what, old, new in part.told:
            if what in {"material", "thickness", "name"} and part.view == "section":
                yield f"{what} of {part.id.replace('-', ' ')} {old} -> {new}"
    if any(p.fate is Fate.CHANGED and p.apart for p in change.parts):
        moved = [p.id.replace("-", " ") for p in change.parts if p.apart]
        yield f"moved: {', '.join(dict.fromkeys(moved))}"


def _findings(change: DetailChange) -> Iterator[str]:
    for one in change.findings:
        if told := _finding(one):
            yield f"{one.title}: {told}"


def _finding(one: FindingChange) -> str:
    if one.appeared:
        return "fails now"
    return "no longer fails" if one.went else ""


def revision_text(change: DetailChange, system: UnitSystem, before: str = "") -> str:
    """Return what changed in one row of a table of revisions.

    Args:
        change: The condition.
        system: Units of the job.
        before: What the job itself says of this revision.
    """
    parts = [*([before] if before else []), *sentences(change, system)]
    text = ""
    for number, part in enumerate(parts):
        joined = f"{text}; {part}" if text else part[:1].upper() + part[1:]
        left = len(parts) - number
        if len(joined) > _LONGEST - 14 and text:
            return f"{text}; {left} more in the notes"
        text = joined
    return text
