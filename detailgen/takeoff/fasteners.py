"""Fasteners: by the spacing of their rows, or by the marks of a plan."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, fsum
from statistics import median
from typing import Final

from detailgen.quantity import Cut, Measure, Per, Quantity
from detailgen.section import RIGHT, Body, LayeredSection, Layout, Mark, Role
from detailgen.takeoff._found import ids
from detailgen.takeoff._measured import Measured

_TOP_ROW: Final = "top-fastener"


@dataclass(frozen=True, slots=True)
class _Row:
    """One row of fasteners of a layout."""

    spacing: float
    body: Body | None
    """What it is seen as in the section."""
    layout: str
    sides: int = 1
    """How many faces have it: an elevation shows one side of what has two alike."""


def fasteners(job: Measured) -> list[Quantity]:
    """Return how many fasteners of each kind a metre or a piece takes.

    A layout shows a stretch of what is the same all along, so a row is counted by its
    spacing, not by how many marks happen to fall into the stretch. The plan of a piece
    shows all its marks.
    """
    if job.ways.per is Per.PIECE:
        return _marked(job) + _top_row(job)
    kinds: dict[tuple[str, str, str], list[_Row]] = {}
    for layout in job.section.layouts:
        for row in _rows(job.section, layout):
            body = row.body
            key = ("", "", layout.id) if body is None else (_stem(body), body.material, "")
            kinds.setdefault(key, []).append(row)
    return [_count(job, rows) for rows in kinds.values()]


def _stem(body: Body) -> str:
    """Return the id of a fastener without its number: rows of a kind share it."""
    return body.id.removesuffix(RIGHT).rstrip("0123456789").rstrip("-")


def _count(job: Measured, rows: list[_Row]) -> Quantity:
    first = rows[0].body
    terms = " + ".join(
        f"{f'{row.sides} x ' if row.sides > 1 else ''}1 m / {row.spacing:.1f} mm"
        for row in rows
    )
    count = sum(row.sides for row in rows)
    return job.quantity(
        (
            f"{_stem(first) if first else rows[0].layout}-count",
            first.name if first else "Fasteners",
            first.material if first else "",
        ),
        Measure.COUNT,
        fsum(row.sides * 1000.0 / row.spacing for row in rows),
        f"{count} row{'s' if count > 1 else ''}: {terms}",
        bodies=tuple(dict.fromkeys(row.body.id for row in rows if row.body)),
        cut=Cut(end=count / 2.0, told="one more in each row of a run"),
    )


def _marked(job: Measured) -> list[Quantity]:
    """Return the fasteners that the plan of a piece marks, each of them once."""
    plan = job.section.layout("plan")
    kinds: dict[str, list[Mark]] = {}
    for mark in plan.marks if plan else ():
        body = job.section.body(mark.body)
        kinds.setdefault(_stem(body) if body else "", []).append(mark)
    found: list[Quantity] = []
    for name, marks in kinds.items():
        bodies = [b for m in marks if (b := job.section.body(m.body)) is not None]
        first = bodies[0] if bodies else None
        found.append(
            job.quantity(
                (
                    f"{name or 'plan'}-count",
                    first.name if first else "Fasteners",
                    first.material if first else "",
                ),
                Measure.COUNT,
                float(len(marks)),
                f"{len(marks)} marked in the plan",
                bodies=tuple(dict.fromkeys(b.id for b in bodies)),
            )
        )
    return found


def _top_row(job: Measured) -> list[Quantity]:
    """Return the top fasteners of the wall's sheet by the rule's spacing."""
    seen = {m.body for layout in job.section.layouts for m in layout.marks}
    top = tuple(
        b
        for b in job.section.of_role(Role.FASTENER)
        if b.id.startswith(_TOP_ROW) and b.id not in seen
    )
    if not top:
        return []
    row = job.rules.row("top_fastener_spacing_most")
    spacing = job.rules.value(row.id)
    width = job.ways.run(top[:1])
    count = ceil(width.amount * 1000.0 / spacing - 1e-9) + 1
    named = (f"{_TOP_ROW}-count", top[0].name, top[0].material)
    told = f"{width.told} / {spacing:.1f} mm at most, and one more"
    return [
        job.quantity(
            named, Measure.COUNT, float(count), told, source=row.source, bodies=ids(top)
        )
    ]


def _rows(section: LayeredSection, layout: Layout) -> list[_Row]:
    """Return the rows of a layout that have a spacing."""
    levels: dict[tuple[int, float], list[Mark]] = {}
    for mark in layout.marks:
        levels.setdefault((mark.row, round(mark.at[1], 1)), []).append(mark)
    found: list[_Row] = []
    for marks in levels.values():
        spacing = _spacing(marks)
        if spacing is not None:
            body = section.body(marks[0].body)
            sides = 2 if body and section.body(body.id + RIGHT) else 1
            found.append(_Row(spacing, body, layout.id, sides))
    return found


def _spacing(marks: Sequence[Mark]) -> float | None:
    """Return the usual distance between neighbours of a row; None for a single fastener.

    The last fastener of a stretch may stand closer to its neighbour.
    """
    xs = sorted(m.at[0] for m in marks)
    gaps = [b - a for a, b in pairwise(xs) if b > a]
    return median(gaps) if gaps else None
