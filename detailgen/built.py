"""The sections of a job, each told what the job says stands near it."""

from collections.abc import Collection
from dataclasses import replace

from detailgen.loader import Job
from detailgen.neighbours import neighbour_of
from detailgen.section import LayeredSection, Neighbour


def built_of(job: Job, marks: Collection[str] | None = None) -> dict[str, LayeredSection]:
    """Return the section of every condition by its id, each told what stands near it.

    Args:
        job: The job.
        marks: Ids of the conditions that are wanted; None for all.
    """
    wanted = {p.id for p in job.conditions} if marks is None else {*marks}
    near: dict[str, list[tuple[str, float]]] = {}
    for distance in job.distances:
        near.setdefault(distance.of, []).append((distance.to, distance.clear))
        near.setdefault(distance.to, []).append((distance.of, distance.clear))
    others = {other for mark in wanted for other, _ in near.get(mark, ())}
    alone = {
        p.id: p.condition.build(p.parameters, job.site)
        for p in job.conditions
        if p.id in wanted | others
    }

    def beside(mark: str) -> tuple[Neighbour, ...]:
        told = (neighbour_of(alone[n], n, clear) for n, clear in near.get(mark, ()))
        return tuple(neighbour for neighbour in told if neighbour)

    return {
        mark: replace(section, neighbours=beside(mark)) if mark in near else section
        for mark, section in alone.items()
        if mark in wanted
    }
