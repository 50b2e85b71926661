"""Marks where a rule fails: a lettered triangle as near the place as there is free paper.

The letter leads to the rule table. A mark stands on no body, no text, no line; where there
is no such place near by, it takes a slot among the numbered labels.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import cos, hypot, radians, sin
from typing import Final

from detailgen.geometry import Point, Region
from detailgen.geometry.views import free_of
from detailgen.sheet.callouts import Placed, Slot, Tag
from detailgen.sheet.plane import Box, Segment, apart, cross, cuts_quad, distance, grow

HALF, BASE, APEX = 4.2, 3.65, 3.65
"""A mark's half width, and how far it reaches below and above its middle, mm."""
LETTER: Final = 2.55
"""From the middle of a mark down to the base line of its letter, mm."""
_CLEAR: Final = 0.7
"""White paper kept about a mark, mm."""
_REACHES: Final = (9.0, 12.0, 16.0, 21.0, 27.0, 34.0, 42.0)
"""Distances from the place to the middle of the mark that are tried, mm."""


_TURNS: Final = sorted(range(-70, 290, 20), key=lambda a: abs(a - 90))
"""Directions of the mark from the place that are tried, degrees: straight up first."""


@dataclass(slots=True)
class Obstacles:
    """What a mark must keep clear of, on paper about the model's origin."""

    bodies: list[Region] = field(default_factory=list[Region])
    """In model mm, as drawn."""
    boxes: list[Box] = field(default_factory=list[Box])
    segments: list[Segment] = field(default_factory=list[Segment])
    leaders: list[Segment] = field(default_factory=list[Segment])
    """Lines that the mark's own leader must not cross either."""


def mark_box(centre: Point) -> Box:
    """Return the box that a mark takes."""
    x, y = centre
    return grow((x - HALF, y - BASE, x + HALF, y + APEX), _CLEAR)


def triangle(centre: Point) -> tuple[Point, Point, Point]:
    """Return the corners of a mark, anticlockwise."""
    x, y = centre
    return (x - HALF, y - BASE), (x + HALF, y - BASE), (x, y + APEX)


def near_by(tag: Tag, factor: float, obstacles: Obstacles) -> Placed | None:
    """Return the mark set near its place and note what it takes; None without room."""
    at = tag.aims[0].at
    centres = [
        (at[0] + far * cos(radians(a)), at[1] + far * sin(radians(a)))
        for far in _REACHES
        for a in _TURNS
    ]
    model = [
        (b[0] * factor, b[1] * factor, b[2] * factor, b[3] * factor)
        for b in map(mark_box, centres)
    ]
    for centre, free in zip(centres, free_of(model, obstacles.bodies), strict=True):
        if not free:
            continue
        box = mark_box(centre)
        leader = (_edge(centre, at), at)
        if _clear(box, leader, obstacles):
            obstacles.boxes.append(box)
            obstacles.leaders.append(leader)
            obstacles.segments.append(leader)
            return Placed(tag, Slot(leader[0], centre), at)
    return None


def _edge(centre: Point, toward: Point) -> Point:
    """Return where a leader leaves a mark."""
    dx, dy = toward[0] - centre[0], toward[1] - centre[1]
    length = max(hypot(dx, dy), 1e-9)
    ux, uy = dx / length, dy / length
    base = BASE / -uy if uy < 0 else float("inf")
    across = abs(ux) * (BASE + APEX) + uy * HALF
    side = APEX * HALF / across if across > 0 else float("inf")
    far = min(base, side, length * 0.6)
    return centre[0] + ux * far, centre[1] + uy * far


def _clear(box: Box, leader: Segment, obstacles: Obstacles) -> bool:
    quad = ((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3]))
    return (
        all(apart(box, other) for other in obstacles.boxes)
        and not any(cuts_quad(s, quad) for s in obstacles.segments)
        and not any(_touch(leader, s) for s in obstacles.leaders)
        and not any(cuts_quad(leader, q) for q in map(corners, obstacles.boxes))
    )


def _touch(one: Segment, other: Segment) -> bool:
    """Return whether two leaders cross, or an end of one lies on the other."""
    near = min(
        *(distance(p, one) for p in other),
        *(distance(p, other) for p in one),
    )
    return near < _CLEAR or cross(one, other)


def corners(box: Box) -> tuple[Point, Point, Point, Point]:
    """Return the corners of a box, anticlockwise."""
    return (box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3])


def settle(
    tags: Sequence[Tag], factor: float, obstacles: Obstacles
) -> tuple[list[Placed], list[Tag]]:
    """Return the marks that found a place near by, and those that did not."""
    placed: list[Placed] = []
    homeless: list[Tag] = []
    for tag in tags:
        found = near_by(tag, factor, obstacles)
        if found is None:
            homeless.append(tag)
        else:
            placed.append(found)
    return placed, homeless
