"""Metals: area by girth or by plan, and mass by material."""

from math import fsum
from typing import Final

from detailgen.quantity import WHOLE, Cut, Measure, Per, Quantity
from detailgen.section import METALS, Role
from detailgen.takeoff._found import Found, Halves, common_name, ids, metres
from detailgen.takeoff._measured import Measured

_BY_COUNT: Final = frozenset({Role.HOOD, Role.COLLAR})
"""Shop-made rounds, which are counted; their metal is in the mass."""
_PLATED: Final = frozenset({Role.EDGE_METAL, Role.COPING, Role.JOINT_COVER})
"""Metals whose pieces leave a gap for movement over a plate."""


def metals(job: Measured) -> list[Quantity]:
    """Return the area of every metal piece, then the mass of every kind of metal."""
    things = [(halves, job.ways.sheet(halves)) for halves in job.things(*METALS)]
    lines = [_piece(job, halves, found) for halves, found in things]
    return lines + _masses(job, things)


def _piece(job: Measured, halves: Halves, found: Found) -> Quantity:
    first = halves[0]
    named = (first.id, common_name(halves), first.material)
    if first.role in _BY_COUNT and job.ways.per is Per.PIECE:
        told = f"1, {found.amount:.4f} m2 of metal: {found.told}"
        return job.quantity(named, Measure.COUNT, 1.0, told, bodies=ids(halves))
    return job.quantity(
        named,
        Measure.AREA,
        found.amount,
        f"{found.told}, without laps and seams of pieces",
        bodies=ids(halves),
        cut=_cut(job, halves),
    )


def _cut(job: Measured, halves: Halves) -> Cut:
    """Return how a metal of a run is cut: pieces that lap, or that meet over a plate."""
    widths, role = job.ways.widths(halves), halves[0].role
    if role is Role.DRAIN_LEAD:
        squares = job.ways.blanks(halves)
        return Cut(along=tuple(min(blank) for blank in squares), told="cut from squares")
    if not widths:
        return WHOLE
    if role in _PLATED:
        lap, gap = (
            job.rules.value(row) for row in ("backing_plate_lap_least", "joint_gap_least")
        )
        return Cut(along=widths, plate=2.0 * lap + gap, told="pieces meet over plates")
    if role is Role.COUNTERFLASHING:
        lap = job.rules.value("counterflashing_end_lap_least")
        told = f"pieces lap {metres(lap)}"
        end = fsum(widths) * lap / 1e6
        return Cut(along=widths, lap=lap, end=end, overlap=lap, told=told)
    return Cut(along=widths, told="pieces butt")


def _masses(job: Measured, things: list[tuple[Halves, Found]]) -> list[Quantity]:
    """Return the mass of each metal whose mass per area the catalogue knows."""
    by_material: dict[str, list[tuple[Halves, Found]]] = {}
    for thing in things:
        by_material.setdefault(thing[0][0].material, []).append(thing)
    found: list[Quantity] = []
    for material_id, pieces in by_material.items():
        material = job.material(material_id)
        if not material.mass:
            continue
        area = fsum(f.amount for _, f in pieces)
        found.append(
            job.quantity(
                (f"{material_id}-mass", f"{material.name}, mass", material_id),
                Measure.MASS,
                area * material.mass,
                f"{area:.3f} m2 x {material.mass:.2f} kg/m2",
                source=material.source,
                cut=Cut(bought=False),
                bodies=tuple(i for halves, _ in pieces for i in ids(halves)),
            )
        )
    return found
