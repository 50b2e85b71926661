"""Fasteners: counted from the spacing of their rows in the layouts."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from detailgen.quantity import Measure, Quantity
from detailgen.section import Body, LayeredSection, Layout, Mark
from detailgen.takeoff._measured import GEOMETRY, Measured


@dataclass(frozen=True, slots=True)
class _Row:
    """One row of fasteners of a layout."""

    spacing: float
    body: Body | None
    """What it is seen as in the section."""
    layout: str


def fasteners(job: Measured) -> list[Quantity]:
    """Return how many fasteners of each kind a metre of condition takes.

    A layout shows a stretch of the condition, so a row is counted by its spacing, not by
    how many marks happen to fall into the stretch.
    """
    kinds: dict[tuple[str, str, str], list[_Row]] = {}
    for layout in job.section.layouts:
        for row in _rows(job.section, layout):
            body = row.body
            key = ("", "", layout.id) if body is None else (_stem(body), body.material, "")
            kinds.setdefault(key, []).append(row)
    return [_count(rows) for rows in kinds.values()]


def _stem(body: Body) -> str:
    """Return the id of a fastener without its number: rows of a kind share it."""
    return body.id.rstrip("0123456789").rstrip("-")


def _count(rows: list[_Row]) -> Quantity:
    first = rows[0].body
    terms = " + ".join(f"1 m / {row.spacing:.1f} mm" for row in rows)
    return Quantity(
        id=f"{_stem(first) if first else rows[0].layout}-count",
        label=first.name if first else "Fasteners",
        material=first.material if first else "",
        measure=Measure.COUNT,
        per_metre=sum(1000.0 / row.spacing for row in rows),
        formula=f"{len(rows)} row{'s' if len(rows) > 1 else ''}: {terms}",
        source=GEOMETRY,
        bodies=tuple(dict.fromkeys(row.body.id for row in rows if row.body)),
    )


def _rows(section: LayeredSection, layout: Layout) -> list[_Row]:
    """Return the rows of a layout that have a spacing."""
    levels: dict[tuple[int, float], list[Mark]] = {}
    for mark in layout.marks:
        levels.setdefault((mark.row, round(mark.at[1], 1)), []).append(mark)
    found: list[_Row] = []
    for marks in levels.values():
        spacing = _spacing(marks)
        if spacing is not None:
            found.append(_Row(spacing, section.body(marks[0].body), layout.id))
    return found


def _spacing(marks: Sequence[Mark]) -> float | None:
    """Return the usual distance between neighbours of a row; None for a single fastener.

    The last fastener of a stretch may stand closer to its neighbour.
    """
    xs = sorted(m.at[0] for m in marks)
    gaps = [b - a for a, b in pairwise(xs) if b > a]
    return median(gaps) if gaps else None
