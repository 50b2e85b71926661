"""Hardware by count, and what stands there already or is set by others."""

from dataclasses import replace
from typing import Final

from detailgen.quantity import Measure, Per, Quantity
from detailgen.section import Role
from detailgen.takeoff._found import common_name, ids
from detailgen.takeoff._measured import Measured

_HARDWARE: Final = (Role.DRAIN_BOWL, Role.CLAMPING_RING, Role.STRAINER)
_OTHERS: Final = (Role.PIPE, Role.POST, Role.EQUIPMENT)
_RING_BOLT: Final = "ring-bolt"


def hardware(job: Measured) -> list[Quantity]:
    """Return bowls, clamping rings with their bolts, and strainers, by count."""
    found: list[Quantity] = []
    for halves in job.things(*_HARDWARE):
        first = halves[0]
        bodies, told = ids(halves), "1"
        if first.role is Role.CLAMPING_RING:
            bolts = [b for b in job.section.bodies if b.id.startswith(_RING_BOLT)]
            bodies += ids(tuple(bolts))
            told = "1, with its bolts"
        named = (first.id, common_name(halves), first.material)
        found.append(job.quantity(named, _measure(job), 1.0, told, bodies=bodies))
    return found


def others(job: Measured) -> list[Quantity]:
    """Return pipes, posts, equipment and what comes with them: nothing is bought."""
    told = "stands there already, or is set by others; not part of these quantities"
    return [
        replace(
            job.quantity(
                (halves[0].id, common_name(halves), halves[0].material),
                _measure(job),
                1.0,
                told,
                bodies=ids(halves),
            ),
            supplied=False,
        )
        for halves in job.others(*_OTHERS)
    ]


def _measure(job: Measured) -> Measure:
    """Return how they are counted: one, or all along a run."""
    return Measure.COUNT if job.ways.per is Per.PIECE else Measure.LENGTH
