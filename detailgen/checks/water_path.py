"""Rules on the water path: how much water must overcome on its easiest way in."""

from detailgen.checks._case import Case
from detailgen.checks._rule import Idle, Measured, Verdict, rule
from detailgen.section import METALS, SHEETS, LayeredSection, Role
from detailgen.waterpath import How, Step, Way

_ALL_BUILT = tuple(sorted(SHEETS | METALS | {Role.FILL, Role.POURED_SEALANT}))
"""The finished work is asked; what a hold point must hold has its own rule."""


@rule(
    "water_path_low_least",
    whole=True,
    wrong="Water meets too little on its easiest way in.",
    built=_ALL_BUILT,
)
def weak_water_path_low(case: Case) -> Verdict:
    """Guards roof, cant and flange, where water stands, against a single fault.

    Counted on the arrangement of all outlines, from the weather to what must stay dry: a
    sheet counts 1; a stuck lap its length, a climb its rise, each over the lap asked there
    and at most 1; board, wood, masonry, open metal joints and beads of sealant nothing. The
    zone with the least is told. It argues redundancy; it does not predict leaks.
    """
    return _weakest(case, low=True)


@rule(
    "water_path_high_least",
    whole=True,
    wrong="Water meets too little on its easiest way in.",
    built=_ALL_BUILT,
)
def weak_water_path_high(case: Case) -> Verdict:
    """Guards what stands higher than roof, cant and flange, where water only runs off.

    Counted as on roof, cant and flange, up to the receiver or the coping: there the
    argument ends. The zone with the least is told. It argues redundancy; it does not
    predict leaks.
    """
    return _weakest(case, low=False)


def _weakest(case: Case, *, low: bool) -> Verdict:
    ways = [way for way in case.water if way.low is low]
    if not ways:
        return Idle("water reaches nothing here that is said to stay dry")
    way = min(ways, key=lambda w: w.figure)
    bodies = (way.body, *(s.body for s in way.steps if s.body))
    return Measured(way.told, way.at, bodies, reason=_told(case.section, way))


def _told(section: LayeredSection, way: Way) -> str:
    """Return in words what water meets on a way."""
    steps = [f"{_step(section, s)} ({s.cost:.2f})" for s in way.steps]
    return f"Easiest way in, {way.zone}: {', '.join(steps) or 'nothing in its way'}."


def _step(section: LayeredSection, step: Step) -> str:
    body = section.body(step.body)
    if body is None:
        return "up in air" if step.how is How.UP else str(step.how)
    return f"{step.how} the {body.role}"
