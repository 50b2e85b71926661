"""The net that water moves in: corners of outlines, spans of air, and pieces of sheets."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from heapq import heappop, heappush
from math import hypot, inf
from typing import NamedTuple

from detailgen.geometry import Line, Region
from detailgen.geometry.arrangement import (
    AIR,
    BEYOND,
    Arrangement,
    Edge,
    Side,
    arrange,
    inside,
)
from detailgen.section import LayeredSection
from detailgen.waterpath._air import LEVEL, SAME, Air, Border, air
from detailgen.waterpath._model import Model, Passage, Passing

NOTHING = 1e-9
"""A cost below this is none."""


class Piece(NamedTuple):
    """The part of a sheet or metal, with its bed, that lies in one zone."""

    owner: str
    zone: int


class Touch(NamedTuple):
    """A body that must stay dry, in one zone: here a way ends."""

    body: int
    zone: int


@dataclass
class Net:
    """Nodes are numbers: corners first, then two for each span of air, then pieces."""

    model: Model
    drawing: Arrangement
    air: Air
    pieces: dict[tuple[str, int], int] = field(default_factory=dict[tuple[str, int], int])
    by_node: dict[int, Piece] = field(default_factory=dict[int, Piece])
    links: list[list[tuple[int, float]]] = field(
        default_factory=list[list[tuple[int, float]]]
    )
    passings: dict[tuple[int, int], Passing] = field(
        default_factory=dict[tuple[int, int], Passing]
    )
    touches: dict[Touch, int] = field(default_factory=dict[Touch, int])
    wet: set[int] = field(default_factory=set[int])
    """Corners at which ways end."""
    costs: list[float] = field(default_factory=list[float])
    """What it costs water to get to each node; infinite where it cannot."""
    before: list[int] = field(default_factory=list[int])
    """The node before each on the easiest way; -1 for none."""

    def ceiling(self, span: int) -> int:
        """Return the node of water level with the upper end of a span."""
        return len(self.drawing.points) + 2 * span

    def floor(self, span: int) -> int:
        """Return the node of water on the floor of a span."""
        return self.ceiling(span) + 1

    def span(self, node: int) -> tuple[int, bool] | None:
        """Return the span of a node, and whether it is its floor; None for another."""
        number, on_floor = divmod(node - len(self.drawing.points), 2)
        return (number, bool(on_floor)) if 0 <= number < len(self.air.spans) else None

    def link(self, start: int, end: int, cost: float = 0.0) -> None:
        """Let water pass from one node to another."""
        self.links[start].append((end, cost))

    def piece(self, body: int, zone: int) -> int:
        """Return the node of a body's piece in a zone."""
        key = self.model.owners[body], zone
        node = self.pieces.get(key)
        if node is None:
            node = self.pieces[key] = len(self.links)
            self.by_node[node] = Piece(*key)
            self.links.append([])
        return node

    def piece_at(self, node: int) -> Piece | None:
        """Return the piece of a node; None for another."""
        return self.by_node.get(node)

    def touch(self, body: int, zone: int) -> int:
        """Return the node at which a way ends."""
        key = Touch(body, zone)
        if key not in self.touches:
            self.touches[key] = len(self.links)
            self.links.append([])
        return self.touches[key]

    @cached_property
    def around(self) -> dict[int, list[tuple[Edge, Side]]]:
        """Of the node of each piece its edges, with what lies on their other side."""
        out: dict[int, list[tuple[Edge, Side]]] = {node: [] for node in self.by_node}
        for edge in self.drawing.edges:
            for side, other in ((edge.left, edge.right), (edge.right, edge.left)):
                node = self.node_of(side)
                if node is not None:
                    out[node].append((edge, other))
        return out

    def node_of(self, side: Side) -> int | None:
        """Return the node of the piece on one side of an edge; None for anything else."""
        if side.region < 0:
            return None
        return self.pieces.get((self.model.owners[side.region], side.part))

    def easiest(self, zone: int) -> Touch | None:
        """Return where water gets most easily to what must stay dry in a zone."""
        reached = [
            (round(self.costs[node], 6), touch)
            for touch, node in self.touches.items()
            if touch.zone == zone and self.costs[node] < inf
        ]
        return min(reached)[1] if reached else None


def drawing_of(section: LayeredSection, model: Model) -> Arrangement:
    """Return the outlines of a section, cut at one another and at the ends of joints."""
    regions = [b.region for b in model.bodies]
    lines = [j.line for found in model.joints.values() for j in found]
    lines += [Line(r.exterior.coords) for r in section.dry_within.values()]
    zones = [z.region for z in section.zones]
    return arrange(regions, section.extent, zones, lines)


def net_of(section: LayeredSection, model: Model, drawing: Arrangement) -> Net:
    """Return the net of a section, flooded from the sky."""
    ways = [e for e in drawing.edges if _carries(model, e)]
    borders = [
        Border(e.start, e.end, e.left.region == AIR)
        for e in ways
        if AIR in {e.left.region, e.right.region}
    ]
    net = Net(model, drawing, air(drawing.points, borders))
    net.links = [[] for _ in range(len(drawing.points) + 2 * len(net.air.spans))]
    _fill_air(net)
    _end(net, ways, _dry_sides(section, model, ways))
    for edge in ways:
        _pass_along(net, edge)
        _enter(net, edge)
    _flood(net, section.extent)
    return net


def _carries(model: Model, edge: Edge) -> bool:
    """Tell whether water can be on an edge."""
    one, other = edge.left.region, edge.right.region
    if AIR in {one, other}:
        return one != other
    if BEYOND in {one, other} or model.owners[one] == model.owners[other]:
        return False
    return model.worth[one] < inf or model.worth[other] < inf


def _fill_air(net: Net) -> None:
    """Let water fall in the air, run level, and climb at its price."""
    for span in range(len(net.air.spans)):
        net.link(net.ceiling(span), net.floor(span))
        net.link(net.floor(span), net.ceiling(span), net.air.rise(span) / net.model.climb)
    for low, high in net.air.doors:
        net.link(net.ceiling(low), net.floor(high))
        net.link(net.floor(high), net.ceiling(low))
    for corner, span in net.air.floors:
        net.link(corner, net.floor(span))
        net.link(net.floor(span), corner)
    for corner, span in net.air.ceilings:
        net.link(corner, net.ceiling(span))
        net.link(net.ceiling(span), corner)


def _pass_along(net: Net, edge: Edge) -> None:
    """Let water pass along the joint of two bodies."""
    one, other = edge.left.region, edge.right.region
    if one < 0 or other < 0:
        return
    (x0, y0), (x1, y1) = net.drawing.points[edge.start], net.drawing.points[edge.end]
    found = net.model.passing(one, other, ((x0 + x1) / 2.0, (y0 + y1) / 2.0))
    if found.passage is Passage.DRY:
        there, back = max(y1 - y0, 0.0), max(y0 - y1, 0.0)
    else:
        there = back = hypot(x1 - x0, y1 - y0)
    net.link(edge.start, edge.end, there / found.lap)
    net.link(edge.end, edge.start, back / found.lap)
    net.passings[edge.start, edge.end] = net.passings[edge.end, edge.start] = found


def _dry_sides(section: LayeredSection, model: Model, ways: Sequence[Edge]) -> set[Side]:
    """Return the sides of edges that belong to what must stay dry."""
    sides: dict[int, list[Side]] = {}
    for edge in ways:
        for side in (edge.left, edge.right):
            sides.setdefault(side.region, []).append(side)
    dry: set[Side] = set()
    for number, body in enumerate(model.bodies):
        if body.id in section.must_stay_dry and number in sides:
            found, region = sides[number], section.dry_within.get(body.id)
            if region is not None:
                where = inside(region, [s.at for s in found])
                found = [s for s, counts in zip(found, where, strict=True) if counts]
            dry.update(found)
    return dry


def _enter(net: Net, edge: Edge) -> None:
    """Let water on an edge enter the sheets on its sides, and leave them there."""
    links, worth = net.links, net.model.worth
    for side in (edge.left, edge.right):
        if side.region >= 0 and worth[side.region] < inf:
            piece = net.piece(side.region, side.part)
            for corner in (edge.start, edge.end):
                links[corner].append((piece, worth[side.region]))
                links[piece].append((corner, 0.0))


def _end(net: Net, ways: Sequence[Edge], dry: set[Side]) -> None:
    """Let ways end where they reach what must stay dry, in the zone where that is.

    A corner at which two zones meet is reached in a zone from a sheet of that zone, or from
    the air; else what is worse in one zone would be told of the next one, too.
    """
    ends: list[tuple[Edge, Side, Side]] = []
    zones: dict[int, set[int]] = {}
    for edge in ways:
        for side, other in ((edge.left, edge.right), (edge.right, edge.left)):
            if side in dry:
                ends.append((edge, side, other))
                for corner in (edge.start, edge.end):
                    zones.setdefault(corner, set()).add(side.part)
    for edge, side, other in ends:
        goal = net.touch(side.region, side.part)
        if other.region != AIR:
            net.link(net.piece(other.region, other.part), goal)
        for corner in (edge.start, edge.end):
            if other.region == AIR or len(zones[corner]) == 1:
                net.link(corner, goal)
    net.wet = set(zones)


def _sky(net: Net, frame: Region) -> list[int]:
    """Return the nodes of open air: at the upper side of the drawing.

    Where something spans all of it, the highest air at the left and the right side.
    """
    x0, _, x1, top = frame.bounds
    spans = list(enumerate(net.air.spans))
    levels = net.air.levels
    highest = {n - 1 for n, y in enumerate(levels) if abs(y - top) < 2.0 * LEVEL}
    found = [net.ceiling(i) for i, span in spans if span.slab in highest]
    if found:
        return found
    left = [i for i, s in spans if s.ceiling[0] < x0 + SAME]
    right = [i for i, s in spans if s.ceiling[1] > x1 - SAME]
    return [net.ceiling(side[-1]) for side in (left, right) if side]


def _flood(net: Net, frame: Region) -> None:
    """Find the easiest way from the sky to every node."""
    costs = net.costs = [inf] * len(net.links)
    before = net.before = [-1] * len(net.links)
    queue: list[tuple[float, int]] = []
    for node in _sky(net, frame):
        costs[node] = 0.0
        queue.append((0.0, node))
    goals = set(net.touches.values())
    links = net.links
    while queue:
        cost, node = heappop(queue)
        if cost > costs[node]:
            continue
        ends_here = node in net.wet
        for other, more in links[node]:
            if ends_here and other not in goals:
                continue
            if cost + more < costs[other]:
                costs[other] = cost + more
                before[other] = node
                heappush(queue, (cost + more, other))
