"""The easiest way into a zone, as steps to tell and as a line to draw."""

from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise
from math import floor

from detailgen.geometry import Point
from detailgen.section import Role, Zone
from detailgen.waterpath._line import line_of
from detailgen.waterpath._model import Model, Passage
from detailgen.waterpath._net import NOTHING, Net, Touch


class How(StrEnum):
    """What water does on a step that costs something."""

    THROUGH = "through"
    ALONG = "along the lap under"
    UP = "up behind"
    RECEIVER = "along the receiver of"


@dataclass(frozen=True, slots=True)
class Step:
    """A step of a way that costs something."""

    how: How
    body: str
    """Id of the sheet or metal that is passed; nothing where air alone is climbed."""
    amount: float
    """Length or rise, mm; 0 through a sheet."""
    cost: float


@dataclass(frozen=True, slots=True)
class Way:
    """The easiest way of water into a zone."""

    zone: str
    low: bool
    """On roof, cant or flange, where more is asked than higher up."""
    figure: float
    """What water must overcome on it, counted in sheets."""
    at: Point
    """Where it reaches what must stay dry: the weakest spot of the zone."""
    body: str
    """Id of the body that it reaches."""
    steps: tuple[Step, ...]
    line: tuple[Point, ...]
    """From the weather to the weakest spot, mm."""

    @property
    def told(self) -> float:
        """The figure in hundredths, never more than it is but for rounding."""
        return floor(self.figure * 100.0 + 0.1) / 100.0


_COVERS = (Role.COUNTERFLASHING, Role.EDGE_METAL)
"""What air is climbed behind, first found first."""


def way_to(net: Net, zone: Zone, touch: Touch) -> Way:
    """Return the way that ends at a touch."""
    goal = net.touches[touch]
    nodes = [goal, net.before[goal]]
    while net.costs[nodes[-1]] > NOTHING:
        nodes.append(net.before[nodes[-1]])
    nodes.reverse()
    line = line_of(net, nodes, touch)
    return Way(
        zone=zone.name,
        low=zone.low,
        figure=round(net.costs[goal], 6),
        at=line[-1],
        body=net.model.bodies[touch.body].id,
        steps=_steps(net, nodes),
        line=line,
    )


def _steps(net: Net, nodes: list[int]) -> tuple[Step, ...]:
    """Return the steps that cost something; those of one kind in a row are one."""
    out: list[Step] = []
    for a, b in pairwise(nodes):
        cost = net.costs[b] - net.costs[a]
        if cost <= NOTHING:
            continue
        step = _step(net, a, b, cost)
        last = out[-1] if out else None
        if last and step.amount and (last.how, last.body) == (step.how, step.body):
            out.pop()
            step = replace(
                step, amount=last.amount + step.amount, cost=last.cost + step.cost
            )
        out.append(step)
    return tuple(out)


def _step(net: Net, a: int, b: int, cost: float) -> Step:
    """Return what the step from one node to another is."""
    piece = net.piece_at(b)
    if piece is not None:
        return Step(How.THROUGH, piece.owner, 0.0, cost)
    found = net.passings.get((a, b))
    if found is None or found.passage is Passage.DRY:
        return Step(How.UP, _cover(net.model), cost * net.model.climb, cost)
    how = How.ALONG if found.passage is Passage.STUCK else How.RECEIVER
    return Step(how, found.upper, cost * found.lap, cost)


def _cover(model: Model) -> str:
    """Return the id of what air is climbed behind."""
    for role in _COVERS:
        for body in model.bodies:
            if body.role is role:
                return body.id
    return ""
