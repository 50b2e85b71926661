"""Solids: cants, tapered edge strips and wood, by running length and volume."""

from detailgen.geometry.measures import size
from detailgen.quantity import Measure, Quantity
from detailgen.section import WOOD, Body, Role
from detailgen.takeoff._measured import GEOMETRY, Measured
from detailgen.takeoff.purchase import LITRES_PER_BOARD_FOOT

_RUNS = frozenset({Role.CANT, Role.EDGE_STRIP})


def runs(job: Measured) -> list[Quantity]:
    """Return cants and tapered edge strips: a metre of each for a metre of condition."""
    return [
        Quantity(
            id=body.id,
            label=body.name,
            material=body.material,
            measure=Measure.LENGTH,
            per_metre=1.0,
            formula=f"one run, section {_size(body)} of {_area(body)}",
            source=GEOMETRY,
            bodies=(body.id,),
        )
        for body in job.section.of_role(*_RUNS)
    ]


def wood(job: Measured) -> list[Quantity]:
    """Return nailers, blocking and shims: running length, and volume by material."""
    return _lengths(job) + _volumes(job)


def _lengths(job: Measured) -> list[Quantity]:
    """Return running lengths; pieces alike in role, material and section share a line."""
    alike: dict[tuple[Role, str, str], list[Body]] = {}
    for body in job.section.of_role(*WOOD):
        alike.setdefault((body.role, body.material, _lumber(body)), []).append(body)
    return [
        Quantity(
            id=bodies[0].id,
            label=bodies[0].name,
            material=material,
            measure=Measure.LENGTH,
            per_metre=float(len(bodies)),
            formula=f"{len(bodies)} x 1 m, section {section}",
            source=GEOMETRY,
            bodies=tuple(b.id for b in bodies),
        )
        for (_, material, section), bodies in alike.items()
    ]


def _volumes(job: Measured) -> list[Quantity]:
    by_material: dict[str, list[Body]] = {}
    for body in job.section.of_role(*WOOD):
        by_material.setdefault(body.material, []).append(body)
    found: list[Quantity] = []
    for material, bodies in by_material.items():
        litres = sum(b.region.area for b in bodies) / 1000.0
        feet = litres / LITRES_PER_BOARD_FOOT
        areas = " + ".join(_area(b) for b in bodies)
        found.append(
            Quantity(
                id=f"{material}-volume",
                label=f"{job.material(material).name}, volume",
                material=material,
                measure=Measure.TIMBER,
                per_metre=litres / 1000.0,
                formula=f"({areas}) x 1 m; {feet:.2f} board feet of actual size",
                source=GEOMETRY,
                bodies=tuple(b.id for b in bodies),
            )
        )
    return found


def _size(body: Body) -> str:
    width, height = size(body.region)
    return f"{width:.1f} x {height:.1f} mm"


def _lumber(body: Body) -> str:
    """Return width and thickness of wood, which may lean with the roof or be ripped."""
    width, _ = size(body.region)
    return f"{width:.1f} x {body.region.area / width:.1f} mm"


def _area(body: Body) -> str:
    return f"{body.region.area / 100.0:.1f} cm2"
