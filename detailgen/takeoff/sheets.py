"""Sheets: net area by developed width, and what laps add to it."""

from itertools import pairwise

from detailgen.quantity import Measure, Quantity
from detailgen.section import SHEETS, Body, Layout, Part, Role
from detailgen.takeoff._measured import GEOMETRY, Measured, metres
from detailgen.takeoff.purchase import ROLL_LENGTH, ROLL_WIDTH, lap_factor

_FIELD = frozenset({Role.BASE_PLY, Role.FINISH_PLY})


def sheets(job: Measured) -> list[Quantity]:
    """Return the net area of every sheet for one metre of the condition."""
    return [_sheet(job, b) for b in job.section.bodies if b.role in SHEETS]


def _sheet(job: Measured, body: Body) -> Quantity:
    width, how = job.width(body)
    area = width / 1000.0
    factor, laps = _laps(job, body)
    return Quantity(
        id=body.id,
        label=body.name,
        material=body.material,
        measure=Measure.AREA,
        per_metre=area,
        formula=f"{metres(width)} wide ({how}) x 1 m; {laps}: order {area * factor:.3f} m2",
        source=GEOMETRY,
        bodies=(body.id,),
    )


def _laps(job: Measured, body: Body) -> tuple[float, str]:
    """Return what laps multiply the net area by, and why.

    Sheets that hang on a wall are pieces across the roll, one beside the other: the wall
    elevation shows how wide they are and how far apart they start. Strips run along the
    condition and lap at the ends of rolls only. Base and finish ply are laid with the
    field and have its side laps too.
    """
    pieces = _pieces(job, body.role)
    if pieces is not None:
        wide, apart = pieces
        return wide / apart, f"pieces {metres(wide)} wide set {metres(apart)} apart"
    end = job.rules.value("end_lap_least")
    side = job.rules.value("side_lap_least") if body.role in _FIELD else 0.0
    told = f"side laps of {metres(side)}, " if side else ""
    size = f"{ROLL_WIDTH / 1000.0:g} x {ROLL_LENGTH / 1000.0:g} m"
    return lap_factor(side, end), f"{told}end laps of {metres(end)} in rolls of {size}"


def _pieces(job: Measured, role: Role) -> tuple[float, float] | None:
    """Return the width of the pieces of a wall sheet and the distance of their starts."""
    if role not in {Role.FLASHING, Role.UPPER_FLASHING}:
        return None
    for layout in job.section.layouts:
        starts = sorted(_left(p) for p in layout.of_role(role))
        gaps = [b - a for a, b in pairwise(starts) if b - a > 1.0]
        if gaps:
            return _widest(layout, role), max(gaps)
    return None


def _left(part: Part) -> float:
    return float(part.region.bounds[0])


def _widest(layout: Layout, role: Role) -> float:
    spans = [p.region.bounds for p in layout.of_role(role)]
    return max(float(b[2] - b[0]) for b in spans)
