"""Metals: area by girth or by plan, and mass by material."""

from typing import Final

from detailgen.quantity import Measure, Per, Quantity
from detailgen.section import METALS, Role
from detailgen.takeoff._found import Found, Halves, common_name, ids
from detailgen.takeoff._measured import Measured

_BY_COUNT: Final = frozenset({Role.HOOD, Role.COLLAR})
"""Shop-made rounds, which are counted; their metal is in the mass."""


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
    )


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
        area = sum(f.amount for _, f in pieces)
        found.append(
            job.quantity(
                (f"{material_id}-mass", f"{material.name}, mass", material_id),
                Measure.MASS,
                area * material.mass,
                f"{area:.3f} m2 x {material.mass:.2f} kg/m2",
                source=material.source,
                bodies=tuple(i for halves, _ in pieces for i in ids(halves)),
            )
        )
    return found
