"""Numbered labels at the side of a view, each with a straight leader to what it names.

Labels stand in slots along one or two sides of the view. Who gets which slot is a matching
of least total length, so that leaders do not cross; then tips are moved along their bodies
where a leader passes too near another's tip, and all is matched again.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, product
from math import fsum, hypot
from typing import Final

from detailgen.geometry import Point
from detailgen.sheet.matching import cheapest
from detailgen.sheet.plane import Box, Segment, cross, distance

RADIUS: Final = 3.3
"""Radius of a label's circle, mm."""
PITCH: Final = 8.4
"""Least distance of neighbouring labels, mm."""
CLOSE: Final = 7.2
"""Least distance where there are more labels than fit at the usual one, mm."""
_BETWEEN: Final = 2.8
"""Between the circles of two columns, mm: a fault's mark is wider than a circle."""
OFF: Final = 9.0
"""From the view to the labels' near side, mm."""
_NEAR: Final = 1.6
"""A leader shall pass other tips no nearer than this, mm."""
_SPREAD: Final = 6.0
"""Tips nearer to each other than this are crowded, mm."""
_OVER: Final = 6.0
"""What it costs a leader to run over one body."""
_FAIR: Final = 8.0
"""A leader that is no worse than this beside the cost of its length stays as it is."""
_ROUNDS: Final = 4


@dataclass(frozen=True, slots=True)
class Aim:
    """A possible tip of a leader on paper."""

    at: Point
    lie: Point | None = None
    """Direction of a thin thing there, which a leader should meet squarely."""
    over: int = 0
    """How many bodies a leader from the labels runs over to get there."""

    def poor(self, port: Point) -> float:
        """Return how poorly a leader from `port` reads: 0 met squarely, 1 run along."""
        if self.lie is None:
            return 0.0
        dx, dy = self.at[0] - port[0], self.at[1] - port[1]
        length = max(hypot(dx, dy), 1e-9)
        return 1.0 - abs(dx * self.lie[1] - dy * self.lie[0]) / length


@dataclass(frozen=True, slots=True)
class Tag:
    """A label to be placed, with the spots that its leader may point at."""

    text: str
    fault: bool
    """Whether it marks a failing rule."""
    aims: tuple[Aim, ...]


@dataclass(frozen=True, slots=True)
class Slot:
    """A place for a label: where its leader starts, and the middle of its circle.

    In a second column the leader runs level from the circle to its port, between the
    circles of the first, and slants from there.
    """

    port: Point
    centre: Point

    @property
    def shoulder(self) -> tuple[Point, ...]:
        """What comes behind the port: the end at the circle, if it is not the port."""
        end = (self.centre[0] + RADIUS, self.centre[1])
        level = abs(self.port[1] - self.centre[1]) < 1e-9
        return (end,) if level and self.port[0] - end[0] > 1e-6 else ()


@dataclass(frozen=True, slots=True)
class Placed:
    """A label in its slot, pointing at one of its spots."""

    tag: Tag
    slot: Slot
    tip: Point

    @property
    def leader(self) -> Segment:
        """The leader, from the label to the tip."""
        return self.slot.port, self.tip


def slots(box: Box, side: str, count: int) -> list[Slot]:
    """Return the slots along the sides of a view: more than `count` where there is room.

    Args:
        box: The view without its annotations, on paper.
        side: `left`, with the top where the left does not do; `top`, with the left; or
            `column`: at the left alone.
        count: Number of labels.
    """
    left, top = _row(box[1], box[3], PITCH), _row(box[0], box[2], PITCH)
    if count > len(left) + len(top):
        left, top = _row(box[1], box[3], CLOSE), _row(box[0], box[2], CLOSE)
    if side == "column" or count > len(left) + len(top):
        return _two_columns(box, count)
    if side == "left" and count <= 0.8 * len(left):
        top = []
    beside = [Slot((box[0] - OFF, y), (box[0] - OFF - RADIUS, y)) for y in left]
    above = [Slot((x, box[3] + OFF), (x, box[3] + OFF + RADIUS)) for x in top]
    return [*beside, *above]


def _two_columns(box: Box, count: int) -> list[Slot]:
    """Return staggered slots in two columns at the left, on above the view if need be."""
    least = ((count + 1) // 2 + 1) * PITCH
    inner = _row(box[1], max(box[3], box[1] + least), PITCH)
    step = (inner[1] - inner[0]) / 2 if len(inner) > 1 else PITCH / 2
    x = box[0] - OFF
    outer = x - 2 * RADIUS - _BETWEEN
    found = [Slot((x, y), (x - RADIUS, y)) for y in inner]
    return [*found, *(Slot((x, y + step), (outer - RADIUS, y + step)) for y in inner)]


def _row(low: float, high: float, least: float) -> list[float]:
    number = max(1, int((high - low) / least + 1e-9))
    pitch = (high - low) / number
    return [low + (i + 0.5) * pitch for i in range(number)]


Over = Callable[[Point, Sequence[Point]], list[int]]
"""Counts the bodies that leaders from a port to some tips run over."""


class _Ground:
    """What leaders run over: points to be avoided, and bodies, counted once for a port."""

    def __init__(self, avoid: Sequence[Point], over: Over | None) -> None:
        self.avoid = avoid
        self._over = over
        self._known: dict[tuple[int, Point], dict[Point, int]] = {}

    def over(self, one: Placed) -> int:
        """Return how many bodies a leader runs over."""
        return self._counts(one)[one.tip] if self._over else 0

    def least(self, one: Placed) -> int:
        """Return over how few bodies a leader could run from the same slot."""
        return min(self._counts(one).values()) if self._over else 0

    def _counts(self, one: Placed) -> dict[Point, int]:
        assert self._over is not None
        key = id(one.tag), one.slot.port  # like parts share a number, each with its tag
        if key not in self._known:
            tips = [a.at for a in one.tag.aims]
            counts = self._over(one.slot.port, tips)
            self._known[key] = dict(zip(tips, counts, strict=True))
        return self._known[key]


def place(
    tags: Sequence[Tag],
    places: Sequence[Slot],
    avoid: Sequence[Point] = (),
    over: Over | None = None,
) -> list[Placed]:
    """Return every label in a slot, with leaders that do not cross.

    Args:
        tags: The labels.
        places: The slots, no fewer than labels.
        avoid: Points that no leader should run over.
        over: Counts the bodies that leaders run over, which should be few.
    """
    if not tags:
        return []
    ground = _Ground(avoid, over)
    tips = _first_tips(tags, places)
    best: list[Placed] = []
    least = float("inf")
    for _ in range(_ROUNDS):
        placed = _uncrossed(_match(tags, tips, places))
        fault = fsum(_badness(i, p, placed, ground) for i, p in enumerate(placed))
        if fault < least:
            best, least = placed, fault
        tips = _better_tips(placed, ground)
        if tips == [p.tip for p in placed]:
            break
    return _repaired(best, ground)


def _repaired(placed: list[Placed], ground: _Ground) -> list[Placed]:
    """Return the labels with pairs that still touch aimed, and slotted, otherwise."""
    for i, j in combinations(range(len(placed)), 2):
        if not cross(placed[i].leader, placed[j].leader):
            continue
        one, other = placed[i], placed[j]
        least = float("inf")
        for a, b, swap in product(one.tag.aims, other.tag.aims, (False, True)):
            trial = list(placed)
            first, second = (other.slot, one.slot) if swap else (one.slot, other.slot)
            trial[i] = Placed(one.tag, first, a.at)
            trial[j] = Placed(other.tag, second, b.at)
            fault = _badness(i, trial[i], trial, ground) + _badness(
                j, trial[j], trial, ground
            )
            if fault < least:
                least, placed = fault, trial
    return placed


def _first_tips(tags: Sequence[Tag], places: Sequence[Slot]) -> list[Point]:
    """Choose a tip for each label: readable, near the labels, apart from the others."""
    x = fsum(s.port[0] for s in places) / len(places)
    y = fsum(s.port[1] for s in places) / len(places)
    chosen: dict[int, Point] = {}
    # Who has the least choice chooses first.
    for index in sorted(range(len(tags)), key=lambda i: (len(tags[i].aims), i)):

        def cost(aim: Aim) -> float:
            far = hypot(aim.at[0] - x, aim.at[1] - y)
            reads = 30 * aim.poor((x, y)) + _OVER * aim.over
            return 0.3 * far + reads + _crowding(aim.at, list(chosen.values()))

        chosen[index] = min(tags[index].aims, key=cost).at
    return [chosen[i] for i in range(len(tags))]


def _crowding(at: Point, others: Sequence[Point]) -> float:
    total = 0.0
    for other in others:
        gap = hypot(at[0] - other[0], at[1] - other[1])
        total += 60 * max(0.0, 1 - gap / _SPREAD)
    return total


def _match(
    tags: Sequence[Tag], tips: Sequence[Point], places: Sequence[Slot]
) -> list[Placed]:
    cost = [[hypot(s.port[0] - x, s.port[1] - y) for s in places] for x, y in tips]
    return [
        Placed(tag, places[column], tip)
        for tag, tip, column in zip(tags, tips, cheapest(cost), strict=True)
    ]


def _uncrossed(placed: list[Placed]) -> list[Placed]:
    """Swap slots while two leaders still touch: ties in length can leave that."""
    for _ in range(len(placed) ** 2):
        pair = next(
            (
                (i, j)
                for i, j in combinations(range(len(placed)), 2)
                if cross(placed[i].leader, placed[j].leader)
            ),
            None,
        )
        if pair is None:
            break
        i, j = pair
        placed[i], placed[j] = (
            replace(placed[i], slot=placed[j].slot),
            replace(placed[j], slot=placed[i].slot),
        )
    return placed


def _badness(index: int, one: Placed, placed: Sequence[Placed], ground: _Ground) -> float:
    """Return how badly a leader reads beside the others."""
    total = 0.0
    for i, other in enumerate(placed):
        if i == index:
            continue
        if cross(one.leader, other.leader):
            total += 1000
        near = distance(other.tip, one.leader)
        total += 80 * max(0.0, 1 - near / _NEAR)
    for point in ground.avoid:
        if point != one.tip:
            total += 200 * max(0.0, 1 - distance(point, one.leader) / _NEAR)
    aim = next(a for a in one.tag.aims if a.at == one.tip)
    others = [p.tip for i, p in enumerate(placed) if i != index]
    reads = 30 * aim.poor(one.slot.port) + _OVER * ground.over(one)
    return total + _reach(one) + reads + _crowding(one.tip, others)


def _better_tips(placed: list[Placed], ground: _Ground) -> list[Point]:
    """Move each tip that reads badly, in turn, to where it reads best with the others."""
    now = list(placed)
    for index, one in enumerate(placed):
        if len(one.tag.aims) == 1:
            continue
        plain = _OVER * ground.least(one)
        if _badness(index, one, now, ground) < _reach(one) + plain + _FAIR:
            continue
        trials = [replace(one, tip=aim.at) for aim in one.tag.aims]
        now[index] = min(trials, key=lambda p: _badness(index, p, now, ground))
    return [p.tip for p in now]


def _reach(one: Placed) -> float:
    """Return what a leader's length alone costs."""
    return 0.3 * hypot(one.slot.port[0] - one.tip[0], one.slot.port[1] - one.tip[1])
