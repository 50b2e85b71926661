"""Sheets: net area by developed width or by plan, and what laps add to it."""

from dataclasses import replace
from itertools import pairwise
from math import ceil, fsum
from typing import Final

from detailgen.quantity import Cut, Measure, Quantity
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
    cut = _cut(job, halves, net.amount)
    return job.quantity(
        (first.id, common_name(halves), first.material),
        Measure.AREA,
        net.amount,
        f"{net.told}; {cut.told}",
        bodies=ids(halves),
        cut=cut,
    )


def _cut(job: Measured, halves: Halves, net: float) -> Cut:
    """Return how a sheet is cut, with what is ordered of it in words."""
    first, blanks = halves[0], job.ways.blanks(halves)
    if first.role is Role.BARRIER:
        return Cut(along=job.ways.widths(halves), told="without laps")
    if blanks and first.role not in FIELD:
        return _blanked(job, blanks, net)
    cut = _lapped(job, halves)
    if not net:  # all of it lies in the field
        return cut
    twice = job.ways.lapped(halves)
    more = f"{twice:.3f} m2 where its pieces lap, " if twice else ""
    told = f"{more}{cut.told}: order {(net + twice) * cut.laps:.3f} m2"
    return replace(cut, laps=cut.laps * (net + twice) / net, told=told)


def _blanked(job: Measured, blanks: Blanks, net: float) -> Cut:
    """Return how a sheet is cut for one piece.

    Each piece is cut from a rectangle. One that is wider than a roll both ways takes as
    many strips of the roll as cover it with their laps; and none is less than its net
    area, since a slope makes it longer than its plan.
    """
    lap = job.rules.value("side_lap_least")
    order, seams, along = 0.0, 0, list[float]()
    for wide, deep in blanks:
        across, length = sorted((wide, deep))
        strips = max(ceil((across - lap) / (ROLL_WIDTH - lap) - 1e-9), 1)
        seams += strips - 1
        along += [(across + lap * (strips - 1)) / strips] * strips
        order += length * (across + lap * (strips - 1)) / 1e6
    cut = " + ".join(f"{w / 1000.0:.3f} x {d / 1000.0:.3f}" for w, d in blanks)
    told = f"cut from {cut} m"
    if len(blanks) > 1:
        told += ", their lapped seam in it"
    if seams:
        told += f", {seams} seam{'s' if seams > 1 else ''} of {metres(lap)} past a roll"
    order = max(order, net)
    return Cut(laps=order / net, along=tuple(along), told=f"{told}: order {order:.3f} m2")


def _lapped(job: Measured, halves: Halves) -> Cut:
    """Return what laps multiply the net area by, and what they add at the ends of a run.

    Sheets that hang on a wall are pieces across the roll, one beside the other: the wall
    elevation shows how wide they are and how far apart they start. Strips run along the
    condition and lap at the ends of rolls only. Base and finish ply are laid with the
    field and have its side laps too, and their offcuts go into it.
    """
    role, widths = halves[0].role, job.ways.widths(halves)
    width = fsum(widths) / 1e6
    pieces = _pieces(job, role)
    if pieces is not None:
        wide, apart = pieces
        told = f"pieces {metres(wide)} wide set {metres(apart)} apart"
        lap = wide - apart
        return Cut(
            wide / apart, width * lap, across=widths, piece=wide, overlap=lap, told=told
        )
    end = job.rules.value("end_lap_least")
    side = job.rules.value("side_lap_least") if role in FIELD else 0.0
    told = f"side laps of {metres(side)}, " if side else ""
    size = f"{ROLL_WIDTH / 1000.0:g} x {ROLL_LENGTH / 1000.0:g} m"
    told += f"end laps of {metres(end)} in rolls of {size}"
    strips = () if role in FIELD else widths
    return Cut(lap_factor(side, end), width * end, strips, overlap=end, told=told)


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
