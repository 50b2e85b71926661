"""Sheets: net area by developed width or by plan, and what laps add to it."""

from itertools import pairwise
from math import ceil
from typing import Final

from detailgen.quantity import Measure, Quantity
from detailgen.section import SHEETS, Layout, Part, Role
from detailgen.takeoff._found import FIELD, Blanks, Halves, common_name, ids, metres
from detailgen.takeoff._measured import Measured
from detailgen.takeoff.purchase import ROLL_LENGTH, ROLL_WIDTH, lap_factor

_MEMBRANES: Final = SHEETS | {Role.BARRIER}


def sheets(job: Measured) -> list[Quantity]:
    """Return the net area of every sheet, with what is ordered in its formula."""
    return [_sheet(job, halves) for halves in job.things(*_MEMBRANES)]


def _sheet(job: Measured, halves: Halves) -> Quantity:
    first = halves[0]
    net = job.ways.sheet(halves)
    blanks = job.ways.blanks(halves)
    if first.role is Role.BARRIER:
        order = "without laps"
    elif blanks and first.role not in FIELD:
        order = _cut(job, blanks, net.amount)
    else:
        factor, laps = _laps(job, first.role)
        twice = job.ways.lapped(halves)
        if twice:
            laps = f"{twice:.3f} m2 where its pieces lap, {laps}"
        order = f"{laps}: order {(net.amount + twice) * factor:.3f} m2"
    return job.quantity(
        (first.id, common_name(halves), first.material),
        Measure.AREA,
        net.amount,
        f"{net.told}; {order}",
        bodies=ids(halves),
    )


def _cut(job: Measured, blanks: Blanks, net: float) -> str:
    """Return what is ordered of a sheet cut for one piece, in words.

    Each piece is cut from a rectangle. One that is wider than a roll both ways takes as
    many strips of the roll as cover it with their laps; and none is less than its net
    area, since a slope makes it longer than its plan.
    """
    lap = job.rules.value("side_lap_least")
    order, seams = 0.0, 0
    for wide, deep in blanks:
        across, along = sorted((wide, deep))
        strips = max(ceil((across - lap) / (ROLL_WIDTH - lap) - 1e-9), 1)
        seams += strips - 1
        order += along * (across + lap * (strips - 1)) / 1e6
    cut = " + ".join(f"{w / 1000.0:.3f} x {d / 1000.0:.3f}" for w, d in blanks)
    told = f"cut from {cut} m"
    if len(blanks) > 1:
        told += ", their lapped seam in it"
    if seams:
        told += f", {seams} seam{'s' if seams > 1 else ''} of {metres(lap)} past a roll"
    return f"{told}: order {max(order, net):.3f} m2"


def _laps(job: Measured, role: Role) -> tuple[float, str]:
    """Return what laps multiply the net area by, and why.

    Sheets that hang on a wall are pieces across the roll, one beside the other: the wall
    elevation shows how wide they are and how far apart they start. Strips run along the
    condition and lap at the ends of rolls only. Base and finish ply are laid with the
    field and have its side laps too.
    """
    pieces = _pieces(job, role)
    if pieces is not None:
        wide, apart = pieces
        return wide / apart, f"pieces {metres(wide)} wide set {metres(apart)} apart"
    end = job.rules.value("end_lap_least")
    side = job.rules.value("side_lap_least") if role in FIELD else 0.0
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
