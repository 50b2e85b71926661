"""A way of water as a line: sheets are crossed straight, where they can be.

The net says which piece of which sheet is crossed, and at what cost, but not where: inside
a piece distance counts nothing. The line crosses it next to where it goes on.
"""

from collections.abc import Iterator
from math import dist

from detailgen.geometry import Point
from detailgen.geometry.arrangement import AIR, Edge, nearest_on
from detailgen.waterpath._net import NOTHING, Net, Touch


def line_of(net: Net, nodes: list[int], touch: Touch) -> tuple[Point, ...]:
    """Return the line through nodes, of which the last is that of a touch."""
    i = len(nodes) - 2
    last = _last_edges(net, nodes[i], touch)
    points = [_amid(last) if last else _place(net, nodes[i], (0.0, 0.0))]
    while i >= 0:
        if net.piece_at(nodes[i]) is not None:
            points.append(_entry(net, nodes, i, points[-1]))
            i -= 2  # past the corner at which the net enters
        else:
            points.append(_place(net, nodes[i], points[-1]))
            i -= 1
    if last:  # straight through the last sheet
        points[0] = min(
            (nearest_on(a, b, points[1]) for a, b in last),
            key=lambda p: round(dist(p, points[1]), 3),
        )
    out = [points[-1]]
    for p in reversed(points[:-1]):
        if dist(p, out[-1]) > 1e-3:
            out.append(p)
    return tuple(out)


def _last_edges(net: Net, node: int, touch: Touch) -> list[tuple[Point, Point]]:
    """Return the edges at which the last sheet is left; none where it is not a sheet."""
    if net.piece_at(node) is None:
        return []
    return [_ends(net, edge) for edge, other in net.around[node] if other[:2] == touch]


def _amid(edges: list[tuple[Point, Point]]) -> Point:
    """Return the middle of the longest edge."""
    a, b = max(edges, key=lambda ends: round(dist(*ends), 3))
    return ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)


def _entry(net: Net, nodes: list[int], i: int, goal: Point) -> Point:
    """Return where the piece at place i is entered: next to where the line goes on."""
    piece, corner = nodes[i], nodes[i - 1]
    price = net.costs[corner]
    earlier = net.piece_at(nodes[i - 2]) if i >= 2 else None
    from_air = i < 2 or net.span(nodes[i - 2]) is not None
    best = net.drawing.points[corner]
    if earlier is None and not (from_air and price <= NOTHING):
        return best
    behind = None if earlier is None else nodes[i - 2]
    for a, b in _shared(net, piece, behind, price):
        p = nearest_on(a, b, goal)
        if dist(p, goal) < dist(best, goal) - 1e-6:
            best = p
    return best


def _shared(
    net: Net, piece: int, behind: int | None, price: float
) -> Iterator[tuple[Point, Point]]:
    """Yield the edges at which a piece is entered from another, or from air, at a price."""
    for edge, other in net.around[piece]:
        fits = other.region == AIR if behind is None else net.node_of(other) == behind
        if fits and max(net.costs[edge.start], net.costs[edge.end]) <= price + NOTHING:
            yield _ends(net, edge)


def _ends(net: Net, edge: Edge) -> tuple[Point, Point]:
    return net.drawing.points[edge.start], net.drawing.points[edge.end]


def _place(net: Net, node: int, near: Point) -> Point:
    """Return where a node of corners or of air is, next to a point."""
    found = net.span(node)
    if found is None:
        return net.drawing.points[node]
    number, on_floor = found
    span = net.air.spans[number]
    x0, x1 = span.floor if on_floor else span.ceiling
    y = net.air.levels[span.slab + (0 if on_floor else 1)]
    return (min(max(near[0], x0), x1), y)
