"""Places for the labels of a bent metal: near what they name, clear of all ink."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from math import cos, dist, fsum, inf, pi, sin
from typing import Final

from detailgen.geometry import Point
from detailgen.lettering import ASCENT, DESCENT, text_width
from detailgen.sheet.flow import PITCH, TEXT
from detailgen.sheet.plane import Box, Segment, apart, around, cross, distance, grow, in_box

_REACHES: Final = (1.0, 2.5, 4.5, 7.0, 10.0, 13.5, 18.0, 23.0, 29.0, 36.0)
"""How far from what it names a label may stand, mm on paper."""
_NEAR: Final = 2.0
"""A label that stands further from what it names has a leader, mm."""
CLEAR: Final = 0.9
"""Clear space about a label, mm."""
_SEEN: Final = 60.0
"""So much trouble is seen: something runs over something else."""
_RUNS_OVER: Final = 15.0
"""From so much trouble on a label is set earlier the next time."""
_AGAIN: Final = 60
"""So often labels that ran into something are set earlier."""
_ONE_PLACE: Final = 0.8
"""What is nearer together than this, mm on paper, is one place."""
_TOUCHES: Final = 0.3
"""A leader so near to the end of another one, mm, is taken for it."""
_WAYS: Final = 32
"""Directions in which a label is tried."""


@dataclass(frozen=True, slots=True)
class Name:
    """A label that looks for a place: what it says, and what it is of, on paper."""

    text: str
    """Lines, from above."""
    at: Point
    out: Point
    """The direction in which it would rather stand."""
    turn: int = -1
    """Which it is along the metal, legs and bends counted."""


@dataclass(frozen=True, slots=True)
class Label:
    """A label in its place."""

    text: str
    box: Box
    leader: Segment | None
    trouble: float
    """What it runs into, as a cost; 0 where it is clear."""


@dataclass(slots=True)
class Ink:
    """What is on the paper already."""

    metal: list[Segment]
    half: float
    """Half of the metal's thickness as drawn."""
    sides: tuple[float, float]
    """Between these labels should stay, from left to right."""
    boxes: list[Box] = field(default_factory=list[Box])
    ticks: list[Segment] = field(default_factory=list[Segment])
    """Strokes across and beside the metal."""
    lines: list[Segment] = field(default_factory=list[Segment])
    """Leaders."""
    named: tuple[Point, ...] = ()
    """What all labels name, those too that are still to be set."""


def joined(names: Sequence[Name]) -> list[Name]:
    """Return labels of one place as one, in their order along the metal.

    A leg may be drawn so short that it and the bends at its ends cannot be told apart.
    """
    groups: list[list[Name]] = []
    for name in names:
        near = [g for g in groups if any(dist(name.at, n.at) < _ONE_PLACE for n in g)]
        groups = [g for g in groups if g not in near]
        groups.append([*(n for g in near for n in g), name])
    groups.sort(key=lambda group: len(group) == 1)  # the tall ones first
    return [_together(group) for group in groups]


def _together(group: Sequence[Name]) -> Name:
    if len(group) == 1:
        return group[0]
    along = sorted(group, key=lambda name: name.turn)
    middle = along[len(along) // 2]
    return Name("\n".join(n.text for n in along), middle.at, middle.out, middle.turn)


def placed(names: Sequence[Name], ink: Ink) -> list[Label]:
    """Return the labels in their places, set in the first order without trouble.

    Where none of the plain orders has, those that ran into something are set before the
    others, again and again; in the end those of the order with the least trouble are taken.
    """
    best: tuple[float, list[Label]] = inf, []
    turned = [list(names), list(reversed(names))]
    turned += [[*names[n:], *names[:n]] for n in range(1, len(names))]
    order = turned[0]
    for attempt in range(len(turned) + _AGAIN):
        if attempt < len(turned):
            order = turned[attempt]
        elif all(one.trouble < _SEEN for one in best[1]):
            break
        now = replace(ink, boxes=[], lines=[], named=tuple(n.at for n in names))
        labels = [_label(name, now) for name in order]
        trouble = fsum(one.trouble for one in labels)
        if trouble < best[0]:
            best = trouble, labels
        if trouble < _SEEN:
            break
        pairs = list(zip(order, labels, strict=True))
        calm = [n for n, one in pairs if one.trouble < _RUNS_OVER]
        turn = attempt % max(1, len(calm))
        calm = calm[turn:] + calm[:turn]
        order = [n for n, one in pairs if one.trouble >= _RUNS_OVER] + calm
    return best[1]


def _label(name: Name, ink: Ink) -> Label:
    """Return a label clear of all ink if it can be, near and on its own side."""
    cost, best = inf, Label(name.text, around([name.at]), None, inf)
    for base, box, leader, settled in _places(name, ink.half):
        if settled and not best.trouble:
            break
        if base < cost:  # else nothing that it runs into matters any more
            trouble = _trouble(box, leader, ink, cost - base)
            if base + trouble < cost:
                cost = base + trouble
                best = Label(name.text, box, leader, trouble)
    ink.boxes.append(best.box)
    if best.leader is not None:
        ink.lines.append(best.leader)
    return best


def _places(name: Name, half: float) -> Iterator[tuple[float, Box, Segment | None, bool]]:
    """Yield places for a label, with its leader: the near ones first.

    With each goes what speaks against it before anything else is looked at, and whether it
    is so far out that a clear one would have been found.
    """
    lines = name.text.split("\n")
    wide = max(text_width(one, TEXT) for one in lines) + 2.0 * CLEAR
    high = (ASCENT + DESCENT) * TEXT + (len(lines) - 1) * PITCH + 2.0 * CLEAR
    for reach in _REACHES:
        for way in range(_WAYS):
            angle = 2.0 * pi * way / _WAYS
            d = (cos(angle), sin(angle))
            # the box just touches the circle of this reach
            off = half + reach
            cx = name.at[0] + d[0] * off + _sign(d[0]) * wide / 2.0
            cy = name.at[1] + d[1] * off + _sign(d[1]) * high / 2.0
            box = (cx - wide / 2, cy - high / 2, cx + wide / 2, cy + high / 2)
            port = _port(box, name.at)
            leader = (name.at, port) if dist(*(name.at, port)) > half + _NEAR else None
            aside = 1.0 - (d[0] * name.out[0] + d[1] * name.out[1])
            yield 1.2 * reach + 3.0 * aside, box, leader, reach > _REACHES[3]


def _sign(value: float) -> float:
    """Return to which side a label grows from its anchor; to neither when it is level."""
    return 0.0 if abs(value) < 0.3 else 1.0 if value > 0.0 else -1.0


def _port(box: Box, at: Point) -> Point:
    """Return the point of a label's box at which its leader ends."""
    x0, y0, x1, y1 = grow(box, -CLEAR / 2.0)
    if x0 <= at[0] <= x1:
        return (at[0], y1 if at[1] > y1 else y0)
    return (x0 if at[0] < x0 else x1, (y0 + y1) / 2.0)


def _trouble(box: Box, leader: Segment | None, ink: Ink, most: float) -> float:
    """Return what a place costs for what it would run into; 0 where it is clear.

    What is far more than `most` is not worked out to its end.
    """
    cost = 0.0
    for part in _troubles(box, leader, ink):
        cost += part
        if cost > most + 1.0:
            break
    return cost


def _troubles(box: Box, leader: Segment | None, ink: Ink) -> Iterator[float]:
    yield 40.0 * (max(0.0, ink.sides[0] - box[0]) + max(0.0, box[2] - ink.sides[1]))
    thick = grow(box, ink.half)
    yield 300.0 * sum(in_box(segment, thick) for segment in ink.metal)
    yield 300.0 * sum(not apart(box, other) for other in ink.boxes)
    yield 200.0 * sum(in_box(line, box) for line in (*ink.ticks, *ink.lines))
    if leader is None:
        return
    tip, _ = leader
    yield 150.0 * sum(in_box(leader, other) for other in ink.boxes)
    yield 120.0 * sum(cross(leader, line) for line in ink.lines)
    others = (at for at in ink.named if at != tip)
    yield 40.0 * sum(distance(at, leader) < _TOUCHES for at in others)
    near = [min(distance(line[0], leader), distance(tip, line)) for line in ink.lines]
    yield 120.0 * sum(away < _TOUCHES for away in near)
    yield 15.0 * sum(_TOUCHES <= away < 1.0 for away in near)
    for each, lines in ((60.0, ink.ticks), (30.0, ink.metal)):
        yield each * sum(
            cross(leader, line) and distance(tip, line) > 0.05 for line in lines
        )
