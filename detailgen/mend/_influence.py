"""Which numbers a reason depends on, and which way each of them helps: found by trying.

Every number is moved one step up and one step down, and the margin of the reason is looked
at. What then seems to have no influence is moved as far as it goes, all of it at once; only
where that changes the margin is each looked at alone. Where a reason is stuck in spite of
all that helps it, the same is done there (`look_at`), since what was hidden behind another
limit may show now.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import inf
from typing import Final

from detailgen.finding import Unit
from detailgen.mend._bench import Bench, Point, Reason, point_of
from detailgen.mend._handles import Handle, Rung, Tier, Value

UP: Final = 1
DOWN: Final = -1
DIRECTIONS: Final = (UP, DOWN)

_SAME: Final = {Unit.SLOPE: 1e-6}
"""Margins that differ by less are the same; in other units than these, `_ALIKE`."""
_ALIKE: Final = 0.005
_PART: Final = 1e-3
"""A part of a step that does not count."""


def moved(point: Point, handle: Handle, value: Value) -> Point:
    """Return a point with one more thing changed."""
    return point_of({**dict(point), handle.number: value})


def outward(point: Point, handle: Handle, direction: int) -> tuple[Rung, ...]:
    """Return the values of a handle beyond the one that it has at a point."""
    at = dict(point).get(handle.number)
    if at is None:
        rungs = handle.rungs(direction)
        return rungs[1:] if rungs and not rungs[0].steps else rungs
    every = (*reversed(handle.down), *handle.up)
    ordered = every if direction > 0 else tuple(reversed(every))
    here = _number(at)
    return tuple(r for r in ordered if (_number(r.value) - here) * direction > 0.0)


def _number(value: Value) -> float:
    assert isinstance(value, float | int)
    return float(value)


@dataclass(frozen=True, slots=True)
class Influence:
    """How a reason takes to a handle, seen from one point."""

    helpful: frozenset[int] = frozenset()
    """Directions in which it helps."""
    matters: bool = False


_NONE: Final = Influence()


class Influences:
    """What helps and what hurts each reason, seen from a base point."""

    def __init__(self, bench: Bench, base: Point) -> None:
        """Start at a base; nothing is tried before it is asked for."""
        self.bench, self.base = bench, base
        self._centres: dict[Reason, list[Point]] = {}
        self._seen: dict[tuple[Reason, Point, int], Influence] = {}
        self._far: dict[tuple[Reason, Point, Tier], Mapping[int, Influence]] = {}
        self._room: dict[tuple[Point, int, Value], Point | None] = {}

    def helps(self, reason: Reason, handle: Handle, direction: int) -> bool:
        """Return whether moving a handle this way helps a reason."""
        return any(
            direction in self._of(reason, centre, handle).helpful
            for centre in self._looked_from(reason)
        )

    def matters(self, reason: Reason, handle: Handle) -> bool:
        """Return whether a handle has any influence on a reason."""
        return any(
            self._of(reason, centre, handle).matters for centre in self._looked_from(reason)
        )

    def look_at(self, reason: Reason, centre: Point) -> bool:
        """Look from one more point; return whether it is a new one."""
        centres = self._centres.setdefault(reason, [])
        if centre in centres or centre == self.base:
            return False
        centres.append(centre)
        return True

    def alike(self, point: Point, reason: Reason, one: float, other: float) -> bool:
        """Return whether two margins of a reason differ by no more than noise."""
        if inf in {one, other} or not reason.rule:
            return one == other
        unit = self.bench.finding(point, reason.name).required.amount.unit
        return abs(one - other) <= _SAME.get(unit, _ALIKE)

    def reduced(self, reason: Reason, point: Point) -> Point:
        """Return a point without the numbers that have no influence on a reason.

        What it finds is the same there, and many points share such a one. Where nothing can
        be built without them, they stay.
        """
        bare = tuple(
            (n, v)
            for n, v in point
            if not (h := self.bench.handles[n]).is_number or self.matters(reason, h)
        )
        return point if reason.rule and self.bench.impossible(bare) else bare

    def _looked_from(self, reason: Reason) -> Iterable[Point]:
        return (self.base, *self._centres.get(reason, ()))

    def _of(self, reason: Reason, centre: Point, handle: Handle) -> Influence:
        if not reason.rule:
            return self._near(reason, centre, handle)
        if self.bench.impossible(centre):
            return _NONE
        near = self._near(reason, centre, handle)
        return near if near.matters else self._looked_far(reason, centre, handle)

    def _near(self, reason: Reason, centre: Point, handle: Handle) -> Influence:
        """Move it one step each way; for what cannot be built, along its whole range."""
        key = (reason, centre, handle.number)
        if key not in self._seen:
            tried = {d: outward(centre, handle, d) for d in DIRECTIONS}
            if reason.rule and self.is_smooth(reason, centre):
                at = _number(dict(centre).get(handle.number, handle.now))
                steps = self._steps_felt(reason, centre)
                tried = {d: _step_out(rungs, at, steps) for d, rungs in tried.items()}
            else:
                tried = {d: spread(rungs) for d, rungs in tried.items()}
            self._seen[key] = self._compared(reason, centre, handle, tried)
        return self._seen[key]

    def _steps_felt(self, reason: Reason, centre: Point) -> int:
        """Return how many steps a margin shows: a count in hundredths may hide one."""
        unit = self.bench.finding(centre, reason.name).actual.unit
        return 2 if unit is Unit.COUNT else 1

    def is_smooth(self, reason: Reason, centre: Point) -> bool:
        """Return whether a step tells what many do: not for what layers leave or share."""
        return self.bench.finding(centre, reason.name).actual.unit is not Unit.AREA

    def _compared(
        self,
        reason: Reason,
        centre: Point,
        handle: Handle,
        tried: Mapping[int, tuple[Rung, ...]],
    ) -> Influence:
        bench = self.bench
        helpful: set[int] = set()
        matters = False
        for direction, rungs in tried.items():
            for rung in rungs:
                here_at = self._room_for(centre, handle, rung.value, reason)
                if here_at is None:
                    continue
                point = moved(here_at, handle, rung.value)
                here, there = bench.margin(here_at, reason), bench.margin(point, reason)
                if not self.alike(point, reason, here, there):
                    matters = True
                    if there > here:
                        helpful.add(direction)
        return Influence(frozenset(helpful), matters)

    def _room_for(
        self, centre: Point, handle: Handle, value: Value, reason: Reason
    ) -> Point | None:
        """Return the centre, or a point near it where there is room to move a handle.

        A flashing right under its reglet can only go up where the reglet does.
        """
        if not reason.rule:
            return centre
        key = (centre, handle.number, value)
        if key not in self._room:
            own = [h for h in self.bench.handles if h.tier is Tier.OWN_NUMBER]
            self._room[key] = possible_both(self.bench, own, centre, handle, value)
        return self._room[key]

    def _looked_far(self, reason: Reason, centre: Point, handle: Handle) -> Influence:
        """Return the influence of a handle that shows only far away."""
        key = (reason, centre, handle.tier)
        if key not in self._far:
            self._far[key] = self._far_ones(reason, centre, handle.tier)
        return self._far[key].get(handle.number, _NONE)

    def _far_ones(
        self, reason: Reason, centre: Point, tier: Tier
    ) -> Mapping[int, Influence]:
        handles = (h for h in self.bench.handles if h.is_number and h.tier is tier)
        still = [h for h in handles if not self._near(reason, centre, h).matters]
        found: dict[int, Influence] = {}
        for direction in DIRECTIONS:
            for handle in self._moving(reason, centre, still, direction):
                tried = {direction: spread(outward(centre, handle, direction))[1:]}
                alone = self._compared(reason, centre, handle, tried)
                known = found.get(handle.number, _NONE)
                found[handle.number] = Influence(known.helpful | alone.helpful, True)
        return found

    def _moving(
        self, reason: Reason, centre: Point, handles: list[Handle], direction: int
    ) -> list[Handle]:
        """Return which of some handles change a margin when they go far, by halving."""
        if not handles:
            return []
        far = self._all_far(centre, handles, direction)
        margins = (self.bench.margin(p, reason) for p in (centre, far))
        if self.alike(far, reason, *margins):
            return []
        if len(handles) == 1:
            return handles
        half = len(handles) // 2
        parts = (handles[:half], handles[half:])
        found = [h for p in parts for h in self._moving(reason, centre, p, direction)]
        return found or handles  # only together do they change it

    def _all_far(self, centre: Point, handles: Iterable[Handle], direction: int) -> Point:
        """Move handles as far as they go together and the section can still be built."""
        point = centre
        for handle in handles:
            for rung in reversed(spread(outward(centre, handle, direction))):
                further = moved(point, handle, rung.value)
                if not self.bench.impossible(further):
                    point = further
                    break
        return point


def _step_out(rungs: tuple[Rung, ...], at: float, steps: int) -> tuple[Rung, ...]:
    """Return the first value that lies so many whole steps from where a handle is."""
    if len(rungs) < 2:
        return rungs
    step = abs(_number(rungs[1].value) - _number(rungs[0].value))
    far = (r for r in rungs if abs(_number(r.value) - at) > (steps - _PART) * step)
    return (next(far, rungs[-1]),)


def spread(rungs: tuple[Rung, ...]) -> tuple[Rung, ...]:
    """Return the first, second, fourth, eighth ... and last of some values."""
    return tuple(dict.fromkeys(_spread(rungs)))


def _spread(rungs: tuple[Rung, ...]) -> Iterator[Rung]:
    at = 1
    while at < len(rungs):
        yield rungs[at - 1]
        at *= 2
    if rungs:
        yield rungs[-1]


def possible_both(
    bench: Bench, handles: Iterable[Handle], point: Point, handle: Handle, value: Value
) -> Point | None:
    """Return a point like another that can be built with a handle as it is and moved.

    Other numbers are moved as far as it takes, the nearest first.
    """

    def wrong(p: Point) -> int:
        return len(bench.impossible(p)) + len(bench.impossible(moved(p, handle, value)))

    count = wrong(point)
    for other in handles:
        if not count:
            break
        if not other.is_number or other.number == handle.number:
            continue
        for direction in DIRECTIONS:
            for rung in spread(outward(point, other, direction)):
                further = moved(point, other, rung.value)
                if (fewer := wrong(further)) < count:
                    point, count = further, fewer
    return None if count else point
