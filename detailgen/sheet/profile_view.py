"""The view of a bent metal: its legs with their lengths, its bends, its holes.

The metal is drawn thicker than it is, with its legs at their true outside lengths, so that
hems can be told from single metal. Every length and angle stands beside what it is of, with
a leader where there is no room next to it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import atan2, cos, dist, fsum, hypot, inf, pi, radians, sin, tan
from typing import Final

from detailgen.catalog import Scale
from detailgen.geometry import Point
from detailgen.lettering import ASCENT, DESCENT, text_width
from detailgen.profile import Bend, HoleRow, Make, Profile, Turn
from detailgen.scene import Leader, Path, Terminator, Text
from detailgen.sheet.figure import Figure
from detailgen.sheet.flow import TEXT
from detailgen.sheet.plane import Box, Segment, apart, around, cross, distance, grow, hull
from detailgen.units import UnitSystem, show_angle, show_length

_DRAWN: Final = 0.8
"""About how thick the metal is drawn, mm on paper."""
_SLIT: Final = 0.5
"""Between the plies of a closed hem there is so much of the drawn thickness, to be seen."""
_REACHES: Final = (1.0, 2.5, 4.5, 7.0, 10.0, 13.5, 18.0, 23.0)
"""How far from what it names a label may stand, mm on paper."""
_NEAR: Final = 2.0
"""A label that stands further from what it names has a leader, mm."""
_CLEAR: Final = 0.9
"""Clear space about a label, mm."""
_TICK: Final = 2.2
"""Half the length of the stroke that marks a row of holes, mm on paper."""
_SEEN: Final = 60.0
"""So much trouble is seen: something runs over something else."""
_WAYS: Final = 32
"""Directions in which a label is tried."""


@dataclass(frozen=True, slots=True)
class _Name:
    """A label that looks for a place: what it says, and what it is of, on paper."""

    text: str
    at: Point
    out: Point
    """The direction in which it would rather stand."""


@dataclass(frozen=True, slots=True)
class _Label:
    """A label in its place."""

    text: str
    box: Box
    leader: Segment | None
    trouble: float
    """What it runs into, as a cost; 0 where it is clear."""


@dataclass(slots=True)
class _Ink:
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


def thickness_times(profile: Profile, factor: float) -> float:
    """Return how many times thicker than it is a metal is drawn at a scale."""
    wanted = _DRAWN * factor / profile.thickness
    return max(1.0, round(wanted * 2.0) / 2.0)


def profile_figure(
    profile: Profile, number: int, scale: Scale, units: UnitSystem, width: float
) -> Figure:
    """Return the view of a profile at a scale.

    Args:
        profile: What is drawn.
        number: Its number on the sheets of its condition.
        scale: At which scale.
        units: In which lengths are printed.
        width: That it should keep to, labels and all, mm on paper.
    """
    factor = scale.factor
    times = thickness_times(profile, factor)
    thick = profile.thickness * times
    line = drawn_line(profile, thick)
    paper = [(x / factor, y / factor) for x, y in line.points]
    body = grow(around(paper), thick / 2.0 / factor)
    title = f"PROFILE {number}: {profile.name.partition(',')[0].upper()}"
    figure = Figure(f"profile-{number}", title, scale, body, body)
    figure.items.append(_outline(line.points, thick))
    middle = (body[0] + body[2]) / 2.0
    ink = _Ink(
        list(pairwise(paper)),
        thick / 2.0 / factor,
        (middle - width / 2, middle + width / 2),
    )
    for row in profile.holes:
        tick = _tick(profile, line, row, factor)
        figure.items.append(Path(tick, "fastener"))
        (x0, y0), (x1, y1) = tick
        ink.ticks.append(((x0 / factor, y0 / factor), (x1 / factor, y1 / factor)))
    face = _face_mark(profile, line, max(1.4 * thick, 1.3 * factor))
    figure.items.append(Path(face, "dims"))
    (x0, y0), (x1, y1) = face
    ink.ticks.append(((x0 / factor, y0 / factor), (x1 / factor, y1 / factor)))
    for one in _placed(list(_names(profile, line, units, factor)), ink):
        figure.box = hull([figure.box, one.box])
        at = (one.box[0] + _CLEAR, one.box[1] + _CLEAR + DESCENT * TEXT)
        figure.items.append(Text(figure.model(at), one.text, TEXT, "dims"))
        if one.leader is not None:
            ends = (figure.model(one.leader[0]), figure.model(one.leader[1]))
            figure.items.append(Leader(ends, "leaders", Terminator.DOT, one.text))
    stated = "at true thickness" if times <= 1.0 else f"{times:g} times thicker than true"
    figure.notes = [f"Drawn {stated}. The stroke beside it marks the {profile.face}."]
    return figure


@dataclass(frozen=True, slots=True)
class Drawn:
    """The middle line of a profile as it is drawn, model mm."""

    points: tuple[Point, ...]
    legs: tuple[Segment, ...]
    """Of each leg the stretch between its corners."""


def drawn_line(profile: Profile, thick: float) -> Drawn:
    """Return the middle line with which legs drawn thick keep their outside lengths."""
    (x0, y0), (x1, y1) = profile.course[0], profile.course[1]
    heading = atan2(y1 - y0, x1 - x0)
    at = (0.0, 0.0)
    points: list[Point] = [at]
    legs: list[Segment] = []
    before = 0.0
    for number, leg in enumerate(profile.legs):
        bend = profile.bends[number] if number < len(profile.bends) else None
        after = _taken(bend, thick) if bend else 0.0
        long = max(leg.length - before - after, 0.3 * thick)
        start, at = at, _on(at, heading, long)
        points.append(at)
        legs.append((start, at))
        before = after
        if bend is None:
            break
        side = 1.0 if (bend.turn is Turn.UP) == profile.face_left else -1.0
        if bend.make is Make.BEND:
            heading += side * radians(bend.angle)
        else:
            web = thick + max(bend.gap, _SLIT * thick)
            heading += side * pi / 2.0
            at = _on(at, heading, web)
            points.append(at)
            heading += side * pi / 2.0
    return Drawn(tuple(points), tuple(legs))


def _taken(bend: Bend, thick: float) -> float:
    """Return how far the outer apex, or a fold's edge, lies beyond the middle line."""
    if bend.make is Make.BEND:
        return thick / 2.0 * tan(radians(bend.angle) / 2.0)
    return thick / 2.0


def _on(at: Point, heading: float, by: float) -> Point:
    return (at[0] + by * cos(heading), at[1] + by * sin(heading))


def _normal(segment: Segment) -> Point:
    (x0, y0), (x1, y1) = segment
    span = dist(*segment)
    return (-(y1 - y0) / span, (x1 - x0) / span)


def _outline(points: Sequence[Point], thick: float) -> Path:
    """Return the metal as a filled outline along its middle line: mitred, ends square."""
    sides: list[list[Point]] = [[], []]
    straights = list(pairwise(points))
    normals = [_normal(s) for s in straights]
    joints = [normals[0], *normals], [*normals, normals[-1]]
    for p, n, m in zip(points, *joints, strict=True):
        scale = max(1.0 + n[0] * m[0] + n[1] * m[1], 0.05)
        off = (
            thick / 2.0 * (n[0] + m[0]) / scale,
            thick / 2.0 * (n[1] + m[1]) / scale,
        )
        sides[0].append((p[0] + off[0], p[1] + off[1]))
        sides[1].append((p[0] - off[0], p[1] - off[1]))
    ring = (*sides[0], *reversed(sides[1]))
    return Path(ring, "metal", closed=True, fill=(205, 205, 205))


def _tick(
    profile: Profile, line: Drawn, row: HoleRow, factor: float
) -> tuple[Point, Point]:
    """Return the stroke across the metal where a row of holes is."""
    at, n = _hole(profile, line, row)
    half = _TICK * factor
    return (
        (at[0] - n[0] * half, at[1] - n[1] * half),
        (at[0] + n[0] * half, at[1] + n[1] * half),
    )


def _hole(profile: Profile, line: Drawn, row: HoleRow) -> tuple[Point, Point]:
    """Return where a row of holes is on the drawn line, and square to it there."""
    number = max(
        i for i, leg in enumerate(profile.legs) if not i or leg.start <= row.across
    )
    leg, (a, b) = profile.legs[number], line.legs[number]
    share = min(max((row.across - leg.start) / max(leg.flat, 1e-6), 0.02), 0.98)
    return (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share), _normal((a, b))


def _face_mark(profile: Profile, line: Drawn, away: float) -> tuple[Point, Point]:
    """Return a short stroke along the longest leg, on the side of the stated face."""
    (x0, y0), (x1, y1) = max(line.legs, key=lambda s: dist(*s))
    n = _normal(((x0, y0), (x1, y1)))
    off = away if profile.face_left else -away
    start, end = (
        (x0 + (x1 - x0) * t + n[0] * off, y0 + (y1 - y0) * t + n[1] * off)
        for t in (0.08, 0.26)
    )
    return start, end


def _names(
    profile: Profile, line: Drawn, units: UnitSystem, factor: float
) -> Iterator[_Name]:
    """Yield all labels: long legs first, then holes and bends, then short legs."""

    def paper(p: Point) -> Point:
        return (p[0] / factor, p[1] / factor)

    legs: list[tuple[float, _Name]] = []
    for leg, segment in zip(profile.legs, line.legs, strict=True):
        text = show_length(leg.length, units)
        (x0, y0), (x1, y1) = segment
        n = _normal(segment)
        side = 1.0 if profile.face_left else -1.0
        middle = ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
        legs.append((leg.length, _Name(text, paper(middle), (n[0] * side, n[1] * side))))
    legs.sort(key=lambda found: -found[0])
    cut = max(1, len(legs) // 2)
    yield from (name for _, name in legs[:cut])
    for number, row in enumerate(profile.holes, 1):
        at, n = _hole(profile, line, row)
        yield _Name(f"holes {number}", paper(at), n)
    for number, bend in enumerate(profile.bends):
        after = line.legs[number + 1][0]
        at = line.legs[number][1]
        at = ((at[0] + after[0]) / 2.0, (at[1] + after[1]) / 2.0)
        before, beyond = line.legs[number], line.legs[number + 1]
        back = _towards(at, before[0])
        ahead = _towards(at, beyond[1])
        out = (-back[0] - ahead[0], -back[1] - ahead[1])
        yield _Name(_bend_text(bend), paper(at), _unit(out, _normal(before)))
    yield from (name for _, name in legs[cut:])


def _towards(a: Point, b: Point) -> Point:
    span = dist(a, b) or 1.0
    return ((b[0] - a[0]) / span, (b[1] - a[1]) / span)


def _unit(v: Point, otherwise: Point) -> Point:
    span = hypot(*v)
    return (v[0] / span, v[1] / span) if span > 1e-3 else otherwise


def _bend_text(bend: Bend) -> str:
    turn = bend.turn.value.upper()
    if bend.make is Make.BEND:
        return f"{show_angle(bend.angle)} {turn}"
    make = "CLOSED" if bend.make is Make.CLOSED_FOLD else "OPEN"
    return f"{make} FOLD {turn}"


def _placed(names: Sequence[_Name], ink: _Ink) -> list[_Label]:
    """Return the labels in their places, set in the first order without trouble.

    Where none has, those of the order with the least.
    """
    found: list[tuple[float, list[_Label]]] = []
    turned = [list(names), list(reversed(names))]
    turned += [[*names[n:], *names[:n]] for n in range(1, len(names))]
    for order in turned:
        now = _Ink(ink.metal, ink.half, ink.sides, ticks=ink.ticks)
        labels = [_label(name, now) for name in order]
        trouble = fsum(one.trouble for one in labels)
        found.append((trouble, labels))
        if trouble < _SEEN:
            break
    return min(found, key=lambda one: one[0])[1]


def _label(name: _Name, ink: _Ink) -> _Label:
    """Return a label clear of all ink if it can be, near and on its own side."""
    cost, best = inf, _Label(name.text, around([name.at]), None, inf)
    for base, box, leader, settled in _places(name, ink.half):
        if settled and not best.trouble:
            break
        if base < cost:  # else nothing that it runs into matters any more
            trouble = _trouble(box, leader, ink)
            if base + trouble < cost:
                cost = base + trouble
                best = _Label(name.text, box, leader, trouble)
    ink.boxes.append(best.box)
    if best.leader is not None:
        ink.lines.append(best.leader)
    return best


def _places(name: _Name, half: float) -> Iterator[tuple[float, Box, Segment | None, bool]]:
    """Yield places for a label, with its leader: the near ones first.

    With each goes what speaks against it before anything else is looked at, and whether it
    is so far out that a clear one would have been found.
    """
    wide = text_width(name.text, TEXT) + 2.0 * _CLEAR
    high = (ASCENT + DESCENT) * TEXT + 2.0 * _CLEAR
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
    x0, y0, x1, y1 = grow(box, -_CLEAR / 2.0)
    if x0 <= at[0] <= x1:
        return (at[0], y1 if at[1] > y1 else y0)
    return (x0 if at[0] < x0 else x1, (y0 + y1) / 2.0)


def _trouble(box: Box, leader: Segment | None, ink: _Ink) -> float:
    """Return what a place costs for what it would run into; 0 where it is clear."""
    out = max(0.0, ink.sides[0] - box[0]) + max(0.0, box[2] - ink.sides[1])
    thick = grow(box, ink.half)
    cost = 40.0 * out
    cost += fsum(300.0 for segment in ink.metal if _in_box(segment, thick))
    cost += fsum(300.0 for other in ink.boxes if not apart(box, other))
    cost += fsum(200.0 for line in (*ink.ticks, *ink.lines) if _in_box(line, box))
    if leader is None:
        return cost
    tip, _ = leader
    cost += fsum(150.0 for other in ink.boxes if _in_box(leader, other))
    cost += fsum(120.0 for line in ink.lines if cross(leader, line))
    near = (min(distance(line[0], leader), distance(tip, line)) for line in ink.lines)
    cost += fsum(15.0 for away in near if away < 1.0)
    cost += fsum(
        60.0 for line in ink.ticks if distance(tip, line) > 0.05 and cross(leader, line)
    )
    cost += fsum(
        30.0
        for segment in ink.metal
        if distance(tip, segment) > 0.05 and cross(leader, segment)
    )
    return cost


def _in_box(segment: Segment, box: Box) -> bool:
    (x0, y0), (x1, y1) = segment
    if max(x0, x1) < box[0] or min(x0, x1) > box[2]:
        return False
    if max(y0, y1) < box[1] or min(y0, y1) > box[3]:
        return False
    corners = [(box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3])]
    if any(box[0] <= x <= box[2] and box[1] <= y <= box[3] for x, y in segment):
        return True
    sides = list(pairwise([*corners, corners[0]]))
    return any(cross(segment, side) for side in sides)
