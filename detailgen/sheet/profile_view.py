"""The view of a bent metal: its legs with their lengths, its bends, its holes.

The metal is drawn thicker than it is, with its legs at their true outside lengths, so that
hems can be told from single metal. Every length and angle stands beside what it is of, with
a leader where there is no room next to it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, cos, dist, hypot, pi, radians, sin, tan
from typing import Final

from detailgen.catalog import Scale
from detailgen.geometry import Point
from detailgen.lettering import DESCENT
from detailgen.profile import Bend, HoleRow, Make, Profile, Turn
from detailgen.scene import Leader, Path, Terminator, Text
from detailgen.sheet.figure import Figure
from detailgen.sheet.flow import PITCH, TEXT
from detailgen.sheet.plane import Segment, around, grow, hull
from detailgen.sheet.profile_labels import CLEAR, Ink, Name, joined, placed
from detailgen.units import UnitSystem, show_angle, show_length

_DRAWN: Final = 0.8
"""About how thick the metal is drawn, mm on paper."""
_SLIT: Final = 0.5
"""Between the plies of a closed hem there is so much of the drawn thickness, to be seen."""
_TICK: Final = 2.2
"""Half the length of the stroke that marks a row of holes, mm on paper."""


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
    ink = Ink(
        list(pairwise(paper)),
        thick / 2.0 / factor,
        (middle - width / 2, middle + width / 2),
    )
    for row in profile.holes:
        tick = _tick(profile, line, row, factor)
        figure.items.append(Path(tick, "fastener"))
        ink.ticks.append(_on_paper(tick, factor))
    face = _face_mark(profile, line, max(1.4 * thick, 1.3 * factor))
    figure.items.append(Path(face, "dims"))
    ink.ticks.append(_on_paper(face, factor))
    figure.box = hull([body, *map(around, ink.ticks)])
    for one in placed(joined(list(_names(profile, line, units, factor))), ink):
        figure.box = hull([figure.box, one.box])
        x, y = one.box[0] + CLEAR, one.box[1] + CLEAR + DESCENT * TEXT
        for place, text in enumerate(reversed(one.text.split("\n"))):
            at = figure.model((x, y + place * PITCH))
            figure.items.append(Text(at, text, TEXT, "dims"))
        if one.leader is not None:
            ends = (figure.model(one.leader[0]), figure.model(one.leader[1]))
            named = one.text.replace("\n", ", ")
            figure.items.append(Leader(ends, "leaders", Terminator.DOT, named))
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
) -> Iterator[Name]:
    """Yield all labels: long legs first, then holes and bends, then short legs."""

    def paper(p: Point) -> Point:
        return (p[0] / factor, p[1] / factor)

    legs: list[tuple[float, Name]] = []
    pairs = zip(profile.legs, line.legs, strict=True)
    for number, (leg, segment) in enumerate(pairs):
        text = show_length(leg.length, units)
        (x0, y0), (x1, y1) = segment
        n = _normal(segment)
        side = 1.0 if profile.face_left else -1.0
        middle = ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
        out = n[0] * side, n[1] * side
        legs.append((leg.length, Name(text, paper(middle), out, 2 * number)))
    legs.sort(key=lambda found: -found[0])
    cut = max(1, len(legs) // 2)
    yield from (name for _, name in legs[:cut])
    for number, row in enumerate(profile.holes, 1):
        at, n = _hole(profile, line, row)
        yield Name(f"holes {number}", paper(at), n)
    for number, bend in enumerate(profile.bends):
        after = line.legs[number + 1][0]
        at = line.legs[number][1]
        at = ((at[0] + after[0]) / 2.0, (at[1] + after[1]) / 2.0)
        before, beyond = line.legs[number], line.legs[number + 1]
        back = _towards(at, before[0])
        ahead = _towards(at, beyond[1])
        out = (-back[0] - ahead[0], -back[1] - ahead[1])
        out = _unit(out, _normal(before))
        yield Name(_bend_text(bend), paper(at), out, 2 * number + 1)
    yield from (name for _, name in legs[cut:])


def _towards(a: Point, b: Point) -> Point:
    span = dist(a, b) or 1.0
    return ((b[0] - a[0]) / span, (b[1] - a[1]) / span)


def _unit(v: Point, otherwise: Point) -> Point:
    span = hypot(*v)
    return (v[0] / span, v[1] / span) if span > 1e-3 else otherwise


def _on_paper(line: Segment, factor: float) -> Segment:
    (x0, y0), (x1, y1) = line
    return (x0 / factor, y0 / factor), (x1 / factor, y1 / factor)


def _bend_text(bend: Bend) -> str:
    turn = bend.turn.value.upper()
    if bend.make is Make.BEND:
        return f"{show_angle(bend.angle)} {turn}"
    make = "CLOSED" if bend.make is Make.CLOSED_FOLD else "OPEN"
    return f"{make} FOLD {turn}"
