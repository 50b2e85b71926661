"""Solids: cants, fillers, wood and boards of the condition's own."""

from math import fsum
from typing import Final

from detailgen.geometry.measures import size
from detailgen.quantity import Cut, Measure, Quantity
from detailgen.section import WOOD, Body, Role
from detailgen.takeoff._found import AT_SIDE, Found, Halves, common_name, ids
from detailgen.takeoff._measured import Measured
from detailgen.takeoff.purchase import LITRES_PER_BOARD_FOOT

_RUNS: Final = frozenset({Role.CANT, Role.EDGE_STRIP, Role.FILLER})


def runs(job: Measured) -> list[Quantity]:
    """Return cants, tapered edge strips and fillers by their length."""
    found: list[Quantity] = []
    for halves in job.things(*_RUNS):
        first, length = halves[0], job.ways.run(halves)
        sections = dict.fromkeys(f"{_size(b)} of {_area(b)}" for b in halves)
        found.append(
            job.quantity(
                (first.id, common_name(halves), first.material),
                Measure.LENGTH,
                length.amount,
                f"{length.told}, section {' and '.join(sections)}",
                bodies=ids(halves),
            )
        )
    return found


def boards(job: Measured) -> list[Quantity]:
    """Return boards that only the condition has: on a curb, or tapered to a drain.

    Boards that reach a side of the drawing belong to the roof field or to a whole wall.
    """
    found: list[Quantity] = []
    for halves in job.things(Role.COVER_BOARD, Role.INSULATION):
        if any(_goes_on(job, b) for b in halves):
            continue
        area = _board(job, halves)
        if area is not None:
            first = halves[0]
            named = (first.id, common_name(halves), first.material)
            found.append(
                job.quantity(
                    named, Measure.AREA, area.amount, area.told, bodies=ids(halves)
                )
            )
    return found


def _goes_on(job: Measured, body: Body) -> bool:
    """Return whether a body goes on beyond the drawing on any side."""
    left, low, right, high = job.section.extent.bounds
    x0, y0, x1, y1 = body.region.bounds
    beside = x0 <= left + AT_SIDE or x1 >= right - AT_SIDE
    return beside or y0 <= low + AT_SIDE or y1 >= high - AT_SIDE


def _board(job: Measured, halves: Halves) -> Found | None:
    """Return the area of a board: upright by its section, in a sump by its plan."""
    wide, high = size(halves[0].region)
    if high > wide:
        return job.ways.sheet(halves)
    plan = job.section.layout("plan")
    parts = plan.of_role(Role.INSULATION) if plan else ()
    if not parts:
        return None
    area = fsum(p.region.area for p in parts) / 1e6
    return Found(area, f"{len(parts)} fields of the plan, {area:.3f} m2 in all")


def wood(job: Measured) -> list[Quantity]:
    """Return nailers, blocking and shims: running length, and volume by material."""
    things = [(halves, job.ways.run(halves)) for halves in job.things(*WOOD)]
    return _lengths(job, things) + _volumes(job, things)


def _lengths(job: Measured, things: list[tuple[Halves, Found]]) -> list[Quantity]:
    """Return running lengths; pieces alike in role, material and section share a line."""
    alike: dict[tuple[Role, str, str], list[tuple[Halves, Found]]] = {}
    for halves, run in things:
        first = halves[0]
        key = (first.role, first.material, _lumber(first))
        alike.setdefault(key, []).append((halves, run))
    found: list[Quantity] = []
    for (_, material, section), same in alike.items():
        told = " + ".join(run.told for _, run in same)
        found.append(
            job.quantity(
                (same[0][0][0].id, common_name(same[0][0]), material),
                Measure.LENGTH,
                fsum(run.amount for _, run in same),
                f"{told}, section {section}",
                bodies=tuple(i for halves, _ in same for i in ids(halves)),
                cut=Cut(section=_section(same[0][0][0])),
            )
        )
    return found


def _volumes(job: Measured, things: list[tuple[Halves, Found]]) -> list[Quantity]:
    by_material: dict[str, list[tuple[Halves, Found]]] = {}
    for halves, run in things:
        by_material.setdefault(halves[0].material, []).append((halves, run))
    found: list[Quantity] = []
    for material, same in by_material.items():
        litres = fsum(_mean_area(halves) * run.amount / 1000.0 for halves, run in same)
        feet = litres / LITRES_PER_BOARD_FOOT
        terms = " + ".join(
            f"{_mean_area(halves) / 100.0:.1f} cm2 x {run.amount:.3f} m"
            for halves, run in same
        )
        found.append(
            job.quantity(
                (f"{material}-volume", f"{job.material(material).name}, volume", material),
                Measure.TIMBER,
                litres / 1000.0,
                f"{terms}; {feet:.2f} board feet of actual size",
                bodies=tuple(i for halves, _ in same for i in ids(halves)),
                cut=Cut(bought=False),
            )
        )
    return found


def _mean_area(halves: Halves) -> float:
    return fsum(b.region.area for b in halves) / len(halves)


def _size(body: Body) -> str:
    width, height = size(body.region)
    return f"{width:.1f} x {height:.1f} mm"


def _lumber(body: Body) -> str:
    """Return width and thickness of wood, which may lean with the roof or be ripped."""
    return " x ".join(f"{x:.1f}" for x in _section(body)) + " mm"


def _section(body: Body) -> tuple[float, float]:
    width, _ = size(body.region)
    return width, body.region.area / width


def _area(body: Body) -> str:
    return f"{body.region.area / 100.0:.1f} cm2"
