"""The least steps along given parameters in given directions, or why no steps will do.

Levels count the values of a parameter outward. A box says how far each of them has to go
at least, and how far it may go at most. At the lower corner of a box some reason fails. If
one parameter of the box alone helps it, that parameter has to go on until the reason holds
(the others can only hurt it), so the lower corner rises there. If several help it, the box
is cut in two: the first of them stays where it is, or goes on at least a step. The box with
the least steps at its lower corner is looked at first, and no point of a box has less, so
the first lower corner at which nothing fails has the least steps of all.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from math import ceil, inf
from typing import Final

from detailgen.mend._bench import Bench, Point, Reason, point_of
from detailgen.mend._handles import Handle, Rung, Tier
from detailgen.mend._influence import DIRECTIONS, Influences, moved, outward, spread

Signed = tuple[int, int]
"""A handle's number and the direction in which it is moved."""
_SURE: Final = 2
"""So many values before the first that holds are looked at: they must fail."""


@dataclass(frozen=True, slots=True)
class Climbed:
    """The least steps that do, as a point."""

    point: Point
    steps: int


Grounds = tuple[tuple[Reason, Point], ...]
"""Reasons, each with the point at which it fails and nothing helps: any one is enough."""


@dataclass(frozen=True, slots=True)
class Stuck:
    """No steps do; each box was given up on its own grounds."""

    because: tuple[Grounds, ...]


@dataclass(frozen=True, slots=True)
class _Box:
    low: tuple[int, ...]
    high: tuple[int, ...]


class Climb:
    """One search along given parameters."""

    def __init__(
        self, influences: Influences, signed: Sequence[Signed], ahead: dict[int, int]
    ) -> None:
        """Take the way.

        Args:
            influences: What helps what, with the base from which steps are counted.
            signed: Parameters to move, each in its direction.
            ahead: Levels that single parameters must reach at least, by handle number.
        """
        self.influences, self.bench = influences, influences.bench
        self.signed = tuple(signed)
        self.handles = [self.bench.handles[n] for n, _ in self.signed]
        self.rungs = [h.rungs(d) for h, (_, d) in zip(self.handles, signed, strict=True)]
        self._first = tuple(ahead.get(n, 0) for n, _ in self.signed)
        self._stuck: dict[Grounds, None] = {}

    def run(self, limit: float = inf) -> Climbed | Stuck:
        """Return the least steps, or why none below the limit do."""
        if any(not rungs for rungs in self.rungs):
            return Stuck(())
        first = _Box(self._first, tuple(len(rungs) - 1 for rungs in self.rungs))
        boxes: list[tuple[int, int, _Box]] = [(self._steps(first), 0, first)]
        made = 0
        while boxes:
            _, _, box = heappop(boxes)
            found = self._looked_into(box)
            if isinstance(found, Climbed):
                return found
            for part in found:
                if self._steps(part) < limit:
                    made += 1
                    heappush(boxes, (self._steps(part), made, part))
        return Stuck(tuple(self._stuck))

    def _steps(self, box: _Box) -> int:
        return sum(r[n].steps for r, n in zip(self.rungs, box.low, strict=True))

    def _point(self, levels: Sequence[int]) -> Point:
        changed = {
            h.number: r[n].value
            for h, r, n in zip(self.handles, self.rungs, levels, strict=True)
        }
        return point_of({**dict(self.influences.base), **changed})

    def _looked_into(self, box: _Box) -> Climbed | tuple[_Box, ...]:
        """Return what a box holds: the answer, smaller boxes, or nothing."""
        point = self._point(box.low)
        failing = self.bench.failing(point)
        if not failing:
            return Climbed(point, self._steps(box))
        helpers = {reason: self._helpers(reason, box) for reason in failing}
        # what only one thing helps comes first: it makes the box smaller for nothing
        reason = min(failing, key=lambda r: (len(helpers[r]) != 1, len(helpers[r])))
        helping = helpers[reason]
        if not helping and self._looks_anew(reason, point):
            return (box,)
        helping = helping or self._helping_far(reason, box)
        if not helping:
            more = [r for r in failing if r != reason and not helpers[r]]
            return self._given_up(reason, point, *self._as_stuck(more, box, point))
        if len(helping) == 1:
            return self._raised(box, reason, helping[0])
        return self._cut(box, reason, helping)

    def _helpers(self, reason: Reason, box: _Box) -> list[int]:
        """Return which of the parameters can still help a reason in a box."""
        return [
            i
            for i, (handle, (_, direction)) in enumerate(
                zip(self.handles, self.signed, strict=True)
            )
            if box.low[i] < box.high[i] and self.influences.helps(reason, handle, direction)
        ]

    def _helping_far(self, reason: Reason, box: _Box) -> list[int]:
        """Return which of the parameters help a reason, though not at the first step.

        Of what cannot be built and nothing helps alone, those that it is said to concern.
        """
        free = [i for i in range(len(self.handles)) if box.low[i] < box.high[i]]
        found = [
            i
            for i in free
            if any(
                holds(self.influences, self._point(_with(box.low, i, level)), reason)
                for level in levels(box.low[i], box.high[i])
            )
        ]
        keys = self.bench.keys_of(reason)
        return found or [i for i in free if self.handles[i].key in keys]

    def _looks_anew(self, reason: Reason, point: Point) -> bool:
        """Look from a point at which a reason is stuck; return whether that is new."""
        possible = _possible(self.influences, point, reason)
        return possible is not None and self.influences.look_at(reason, possible)

    def _as_stuck(
        self, reasons: Sequence[Reason], box: _Box, point: Point
    ) -> list[tuple[Reason, Point]]:
        """Return the other reasons that fail at a point and that nothing in a box helps."""
        found: list[tuple[Reason, Point]] = []
        for reason in reasons:
            if reason.rule and self.influences.is_smooth(reason, point):
                self._looks_anew(reason, point)
                if not self._helpers(reason, box):
                    found.append((reason, point))
        return found

    def _given_up(
        self, reason: Reason, point: Point, *more: tuple[Reason, Point]
    ) -> tuple[_Box, ...]:
        self._stuck[(reason, point), *more] = None
        return ()

    def _raised(self, box: _Box, reason: Reason, i: int) -> tuple[_Box, ...]:
        """Raise the lower corner of a box until a reason holds that only one helps."""
        level = self._first_level(box.low, box.high[i], reason, i)
        if level is not None:
            return (_Box(_with(box.low, i, level), box.high),)
        corner = self._point(_with(box.low, i, box.high[i]))
        if self._looks_anew(reason, corner):
            return (box,)
        return self._given_up(reason, corner)

    def _cut(self, box: _Box, reason: Reason, helping: list[int]) -> tuple[_Box, ...]:
        """Cut a box in two, or give it up where even all help is not enough."""
        most = box.low
        for i in helping:
            most = _with(most, i, box.high[i])
        corner = self._point(most)
        held = holds(self.influences, corner, reason)
        if held is False:
            if self._looks_anew(reason, corner):
                return (box,)
            return self._given_up(reason, corner)
        for i in helping if held else ():
            # with all the help of the others, this one has to go at least so far
            least = _with(most, i, box.low[i])
            if holds(self.influences, self._point(least), reason) is False:
                level = self._first_level(least, box.high[i], reason, i)
                if level is not None:
                    return (_Box(_with(box.low, i, level), box.high),)
        i = helping[0]
        stays = _Box(box.low, _with(box.high, i, box.low[i]))
        return (stays, _Box(_with(box.low, i, box.low[i] + 1), box.high))

    def _first_level(
        self, levels: Sequence[int], high: int, reason: Reason, i: int
    ) -> int | None:
        """Return the first level of one parameter at which a reason holds."""
        rungs = self.rungs[i][levels[i] + 1 : high + 1]
        found = first(self.influences, self._point(levels), reason, self.handles[i], rungs)
        return None if found is None else levels[i] + 1 + found


def _with(levels: Sequence[int], i: int, level: int) -> tuple[int, ...]:
    return (*levels[:i], level, *levels[i + 1 :])


def levels(low: int, high: int) -> list[int]:
    """Return the levels 1, 2, 4, 8 ... above the low one, and the high one.

    >>> levels(3, 9)
    [4, 5, 7, 9]
    """
    found = [low + (1 << k) for k in range((high - low).bit_length())]
    return [*(n for n in found if n < high), high]


def holds(influences: Influences, point: Point, reason: Reason) -> bool | None:
    """Return whether a reason holds at a point; None when that cannot be found out.

    A rule has nothing to measure where nothing can be built. What has no influence on it is
    then moved out of the way.
    """
    possible = _possible(influences, point, reason)
    return None if possible is None else influences.bench.passes(possible, reason)


def _possible(influences: Influences, point: Point, reason: Reason) -> Point | None:
    """Return a point at which a reason is as it is at another, and can be looked at."""
    bench = influences.bench
    if not reason.rule:
        return point
    point = influences.reduced(reason, point)
    return _out_of_the_way(influences, point, reason) if bench.impossible(point) else point


def _out_of_the_way(influences: Influences, point: Point, reason: Reason) -> Point | None:
    """Return a point that can be built and at which a rule finds the same."""
    bench = influences.bench
    found = len(bench.impossible(point))
    for handle in bench.handles:
        if not handle.is_number or handle.tier is not Tier.OWN_NUMBER:
            continue
        ends = [r for d in DIRECTIONS for r in spread(outward(point, handle, d))[-1:]]
        better = [
            p
            for r in ends
            if len(bench.impossible(p := moved(point, handle, r.value))) < found
        ]
        if better and not influences.matters(reason, handle):
            point, found = better[0], len(bench.impossible(better[0]))
        if not found:
            return point
    return None


def first(
    influences: Influences,
    point: Point,
    reason: Reason,
    handle: Handle,
    rungs: Sequence[Rung],
) -> int | None:
    """Return the number of the first value at which a reason holds, or None.

    Found by extending the line of the margins, then by halving; a reason whose margins do
    not rise all the way is looked at value by value. Where nothing can be found out, it may
    hold.
    """
    return _Line(influences, point, reason, handle, rungs).first()


class _Line:
    """A reason along the values of one parameter."""

    def __init__(
        self,
        influences: Influences,
        point: Point,
        reason: Reason,
        handle: Handle,
        rungs: Sequence[Rung],
    ) -> None:
        self._influences, self._reason = influences, reason
        self._points = [moved(point, handle, r.value) for r in rungs]
        self._bench: Bench = influences.bench
        self._start = point
        self._rising = True

    def first(self) -> int | None:
        """Return the first number that holds, or None."""
        if not self._points:
            return None
        end = self._some()
        if end is None:
            return None if self._rising else self._scanned(len(self._points))
        fails, at = -1, end - 1  # the guess is often the first already
        while end - fails > 1:
            if self._ok(at):
                end = at
            else:
                fails = at
            at = (fails + end) // 2
        sample = {end * k // (_SURE + 1) for k in range(1, _SURE + 1)} - {end}
        if not self._rising or any(self._ok(k) for k in sample):
            return self._scanned(end + 1)
        return end

    def _ok(self, at: int) -> bool:
        """Return whether the reason may hold at a value."""
        found = holds(self._influences, self._points[at], self._reason)
        return found is not False

    def _some(self) -> int | None:
        """Return some number that holds: near the first one where margins are a line."""
        before, last = -1, self._margin(-1)
        at, stride, end = 0, 1, len(self._points) - 1
        while not self._ok(at):
            here = self._margin(at)
            self._rising = self._rising and here > last - _FALL
            if at == end:
                return None
            rise = (here - last) / (at - before)
            stride = ceil(-here / rise - 1e-9) if 0.0 < rise < inf else 2 * stride
            before, last = at, here
            at = min(at + max(stride, 1), end)
        return at

    def _margin(self, at: int) -> float:
        point = self._start if at < 0 else self._points[at]
        possible = _possible(self._influences, point, self._reason)
        return 0.0 if possible is None else self._bench.margin(possible, self._reason)

    def _scanned(self, end: int) -> int | None:
        return next((at for at in range(end) if self._ok(at)), None)


_FALL: Final = 0.01
"""A margin that falls by more than this does not rise all the way."""
