"""Metals: girth (developed width), area, and mass by material."""

from detailgen.quantity import Measure, Quantity
from detailgen.section import METALS, Body
from detailgen.takeoff._measured import GEOMETRY, Measured, metres


def metals(job: Measured) -> list[Quantity]:
    """Return the area of every metal piece, then the mass of every kind of metal."""
    bodies = [b for b in job.section.bodies if b.role in METALS]
    areas = {b.id: _area(job, b) for b in bodies}
    return list(areas.values()) + _masses(job, bodies, areas)


def _area(job: Measured, body: Body) -> Quantity:
    girth, how = job.width(body)
    return Quantity(
        id=body.id,
        label=body.name,
        material=body.material,
        measure=Measure.AREA,
        per_metre=girth / 1000.0,
        formula=f"girth {metres(girth)} ({how}) x 1 m, without laps of pieces",
        source=GEOMETRY,
        bodies=(body.id,),
    )


def _masses(
    job: Measured, bodies: list[Body], areas: dict[str, Quantity]
) -> list[Quantity]:
    """Return the mass of each metal whose mass per area the catalogue knows."""
    by_material: dict[str, list[Body]] = {}
    for body in bodies:
        by_material.setdefault(body.material, []).append(body)
    found: list[Quantity] = []
    for material_id, pieces in by_material.items():
        material = job.material(material_id)
        if not material.mass:
            continue
        area = sum(areas[b.id].per_metre for b in pieces)
        found.append(
            Quantity(
                id=f"{material_id}-mass",
                label=f"{material.name}, mass",
                material=material_id,
                measure=Measure.MASS,
                per_metre=area * material.mass,
                formula=f"{area:.3f} m2 x {material.mass:.2f} kg/m2",
                source=material.source,
                bodies=tuple(b.id for b in pieces),
            )
        )
    return found
