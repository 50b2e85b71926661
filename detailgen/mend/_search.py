"""The smallest change that makes every reason hold, or that none does.

A *way* names what is changed: numbers, each with a direction, and kinds, each with another
value. Ways are looked at in the order of what they cost: fewest kinds of the roof, then
fewest of its figures, then fewest kinds of the condition's own, then fewest of its own
numbers, then the least sum of steps. A way that will not do is stuck for known reasons; a
longer way that does must change something else that one of those reasons depends on, so
only such ways follow it. That leads to every way that does and has no part which does too,
and so the first one found is the smallest.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush
from typing import cast

from detailgen.mend._bench import Bench, Point, Reason, point_of
from detailgen.mend._climb import Climb, Climbed, Grounds, Signed, first, holds
from detailgen.mend._handles import Handle, Tier, Value
from detailgen.mend._influence import DIRECTIONS, Influences, moved, outward, possible_both

Kinds = tuple[tuple[int, Value], ...]
Cost = tuple[int, int, int, int, int, int]
"""Kinds and figures of the roof, kinds of its own, those of them that change what there is
and not only what it is made of, numbers of its own, steps."""
_PLACE = {Tier.ROOF_KIND: 0, Tier.ROOF_NUMBER: 1, Tier.OWN_KIND: 2, Tier.OWN_NUMBER: 4}


@dataclass(frozen=True, slots=True)
class Way:
    """What is changed: numbers with their directions, kinds with their values."""

    numbers: tuple[Signed, ...] = ()
    kinds: Kinds = ()

    def more(self, number: int, direction: int) -> "Way":
        """Return the way with one more number."""
        return Way(tuple(sorted((*self.numbers, (number, direction)))), self.kinds)

    def other(self, number: int, value: Value) -> "Way":
        """Return the way with one more kind."""
        return Way(self.numbers, point_of({**dict(self.kinds), number: value}))

    def touches(self, number: int) -> bool:
        """Return whether a handle is changed already."""
        return any(number == n for n, _ in (*self.numbers, *self.kinds))


@dataclass(frozen=True, slots=True)
class Found:
    """The smallest change."""

    point: Point
    cost: Cost


@dataclass(frozen=True, slots=True)
class Nothing:
    """No change does; these reasons stood in the way."""

    reasons: frozenset[Reason]


@dataclass(slots=True)
class _Base:
    """A choice of kinds, with nothing else changed."""

    point: Point
    failing: tuple[Reason, ...]
    influences: Influences
    levels: dict[tuple[Reason, int, int], int | None] = field(
        default_factory=dict[tuple[Reason, int, int], "int | None"]
    )
    hopeless: dict[Reason, Point | None] = field(
        default_factory=dict[Reason, "Point | None"]
    )


@dataclass(frozen=True, slots=True)
class _Later:
    """Ways that follow one that is stuck, by changing something of a dearer sort."""

    way: Way
    stuck: tuple[tuple[Reason, Point], ...]
    """One reason for each box that was given up: a longer way has to help them all."""
    tier: Tier


class Search:
    """One search for the smallest change."""

    def __init__(self, bench: Bench, tiers: Sequence[Tier] = tuple(Tier)) -> None:
        """Take a bench, and what sorts of things may be changed."""
        self.bench = bench
        self.handles = [h for h in bench.handles if h.tier in tiers]
        self._bases: dict[Kinds, _Base] = {}
        self._queue: list[tuple[Cost, int, int, Way | _Later | Climbed]] = []
        self._known: set[object] = set()
        self._blocked: set[Reason] = set()
        self._made = 0

    def run(self) -> Found | Nothing:
        """Return the smallest change, or the reasons why there is none."""
        self._add(Way())
        while self._queue:
            cost, _, _, item = heappop(self._queue)
            if isinstance(item, Climbed):
                return Found(item.point, cost)
            if isinstance(item, _Later):
                for way in self._following(item):
                    self._add(way)
            else:
                self._look_at(item, cost)
        return Nothing(frozenset(self._blocked))

    # --- the queue -------------------------------------------------------------------

    def _cost(self, way: Way, steps: int, more: Tier | None = None) -> Cost:
        counts = [0, 0, 0, 0, 0]
        for number, _ in (*way.numbers, *way.kinds):
            counts[_PLACE[self.bench.handles[number].tier]] += 1
        counts[3] = sum(self._reshapes(number, value) for number, value in way.kinds)
        if more is not None:
            counts[_PLACE[more]] += 1
        roof_kinds, roof_numbers, kinds, reshaped, numbers = counts
        return (roof_kinds, roof_numbers, kinds, reshaped, numbers, steps)

    def _reshapes(self, number: int, value: Value) -> bool:
        """Return whether another kind changes what there is, and not only its material."""
        handle = self.bench.handles[number]
        if handle.tier is not Tier.OWN_KIND:
            return False
        there = moved((), handle, value)
        if self.bench.impossible(there):
            return True
        return self.bench.form(there) != self.bench.form(())

    def _add(self, way: Way, more: int = 0) -> None:
        """Queue a way that needs so many more numbers at least."""
        if way not in self._known:
            self._known.add(way)
            cost = list(self._cost(way, self._at_least(way)))
            cost[4] += more
            self._push(cast("Cost", tuple(cost)), 1, way)

    def _push(self, cost: Cost, rank: int, item: Way | _Later | Climbed) -> None:
        self._made += 1
        heappush(self._queue, (cost, rank, self._made, item))

    # --- one way ---------------------------------------------------------------------

    def _base(self, kinds: Kinds) -> _Base:
        if kinds not in self._bases:
            failing = self.bench.failing(kinds)
            self._bases[kinds] = _Base(kinds, failing, Influences(self.bench, kinds))
        return self._bases[kinds]

    def _look_at(self, way: Way, cost: Cost) -> None:
        """Find the least steps along a way, or what must be changed besides."""
        base = self._base(way.kinds)
        if not base.failing:
            if not way.numbers:
                self._push(cost, 0, Climbed(base.point, 0))
            return
        stuck = self._untouched(way, base)
        if not stuck:
            climbed = Climb(base.influences, way.numbers, self._ahead(way, base)).run()
            if isinstance(climbed, Climbed):
                self._push(self._cost(way, climbed.steps), 0, climbed)
                return
            stuck = climbed.because
        self._blocked |= {reason for grounds in stuck for reason, _ in grounds}
        chosen = self._add_longer(way, base, stuck)
        for tier in (Tier.OWN_KIND, Tier.ROOF_NUMBER, Tier.ROOF_KIND):
            if any(h.tier is tier for h in self.handles):
                self._push(self._cost(way, 0, tier), 1, _Later(way, chosen, tier))

    def _add_longer(
        self, way: Way, base: _Base, stuck: tuple[Grounds, ...]
    ) -> tuple[tuple[Reason, Point], ...]:
        """Queue the ways that follow one that is stuck, with one more number.

        Of the grounds for giving up a box one is enough: that with the fewest ways on.
        """
        chosen: list[tuple[Reason, Point]] = []
        for grounds in stuck:
            options = [
                frozenset(self._options(way, base, one, Tier.OWN_NUMBER)) for one in grounds
            ]
            fewest = min(range(len(options)), key=lambda i: len(options[i]))
            chosen.append(grounds[fewest])
            for signed in sorted(options[fewest]):
                left = [o for o in options if signed not in o]
                self._add(way.more(*signed), apart(left))
        return tuple(chosen)

    def _untouched(self, way: Way, base: _Base) -> tuple[Grounds, ...]:
        """Return the reasons that fail at the base and that nothing on the way helps."""
        found: list[tuple[Reason, Point]] = []
        for reason in base.failing:
            stuck_at = self._hopeless(base, reason)
            own = all(self._tier(signed) is Tier.OWN_NUMBER for signed in way.numbers)
            if stuck_at is not None and own:
                return (((reason, stuck_at),),)
            if not self._helped(way, base, reason):
                found.append((reason, base.point))
        if not found:
            return ()
        return ((*found, *self._appearing(way, base)),)

    def _appearing(self, way: Way, base: _Base) -> list[tuple[Reason, Point]]:
        """Return what fails only once the roof is another one, and nothing helps then."""
        on_roof = [s for s in way.numbers if self._tier(s) is not Tier.OWN_NUMBER]
        rungs = [(n, self.bench.handles[n].rungs(d)) for n, d in on_roof]
        corner = point_of({**dict(base.point), **{n: r[0].value for n, r in rungs if r}})
        if not on_roof or self.bench.impossible(corner):
            return []
        found: list[tuple[Reason, Point]] = []
        for reason in self.bench.failing(corner):
            if reason in base.failing:
                continue
            base.influences.look_at(reason, corner)
            if not self._helped(way, base, reason):
                found.append((reason, corner))
        return found

    def _tier(self, signed: Signed) -> Tier:
        return self.bench.handles[signed[0]].tier

    def _helped(self, way: Way, base: _Base, reason: Reason) -> bool:
        """Return whether any number of a way helps a reason."""
        return any(
            base.influences.helps(reason, self.bench.handles[n], d) for n, d in way.numbers
        )

    def _hopeless(self, base: _Base, reason: Reason) -> Point | None:
        """Return the most that own numbers can do for a reason, if that is not enough."""
        if reason not in base.hopeless:
            base.hopeless[reason] = self._best(base, reason)
        return base.hopeless[reason]

    def _best(self, base: _Base, reason: Reason) -> Point | None:
        if not reason.rule:
            return None
        while True:
            corner = base.point
            for handle in self.handles:
                if handle.tier is not Tier.OWN_NUMBER:
                    continue
                ways = [d for d in DIRECTIONS if base.influences.helps(reason, handle, d)]
                if len(ways) > 1:
                    return None
                for direction in ways:
                    if rungs := outward(base.point, handle, direction):
                        corner = moved(corner, handle, rungs[-1].value)
            if holds(base.influences, corner, reason) is not False:
                return None
            if self.bench.impossible(corner) or not base.influences.look_at(reason, corner):
                return None if self.bench.impossible(corner) else corner

    def _ahead(self, way: Way, base: _Base) -> dict[int, int]:
        """Return levels that numbers must reach, each for a reason that it alone helps."""
        ahead: dict[int, int] = {}
        for reason in base.failing:
            helping = [
                (n, d)
                for n, d in way.numbers
                if base.influences.helps(reason, self.bench.handles[n], d)
            ]
            if len(helping) == 1:
                number, direction = helping[0]
                level = self._level(base, reason, number, direction)
                ahead[number] = max(ahead.get(number, 0), level or 0)
        return ahead

    def _level(
        self, base: _Base, reason: Reason, number: int, direction: int
    ) -> int | None:
        """Return the first level of a number at which a reason holds by it alone."""
        key = (reason, number, direction)
        if key not in base.levels:
            handle = self.bench.handles[number]
            rungs = handle.rungs(direction)
            base.levels[key] = first(base.influences, base.point, reason, handle, rungs)
        return base.levels[key]

    def _at_least(self, way: Way) -> int:
        """Return how many steps a way takes at the least."""
        base = self._base(way.kinds)
        ahead = self._ahead(way, base)
        rungs = [(n, self.bench.handles[n].rungs(d)) for n, d in way.numbers]
        return sum(r[ahead.get(n, 0)].steps for n, r in rungs if r)

    # --- what follows ----------------------------------------------------------------

    def _options(
        self,
        way: Way,
        base: _Base,
        stuck: tuple[Reason, Point],
        tier: Tier,
    ) -> list[Signed]:
        """Return the numbers that help a reason for which a way is stuck."""
        reason, point = stuck
        if tier is Tier.OWN_NUMBER and self._hopeless(base, reason) == point != base.point:
            return []
        concerned = self.bench.keys_of(reason)
        return [
            (handle.number, direction)
            for handle in self.handles
            if handle.tier is tier and not way.touches(handle.number)
            for direction in DIRECTIONS
            if handle.rungs(direction)
            and (
                base.influences.helps(reason, handle, direction) or handle.key in concerned
            )
        ]

    def _following(self, later: _Later) -> Iterator[Way]:
        """Yield the ways that follow one that is stuck."""
        way, base = later.way, self._base(later.way.kinds)
        if later.tier is Tier.ROOF_NUMBER:
            for one in later.stuck:
                for signed in self._options(way, base, one, later.tier):
                    yield way.more(*signed)
            return
        for handle in self.handles:
            if handle.tier is not later.tier or way.touches(handle.number):
                continue
            for value in handle.others:
                if any(self._eased(base, one, handle, value) for one in later.stuck):
                    yield way.other(handle.number, value)

    def _eased(
        self, base: _Base, stuck: tuple[Reason, Point], handle: Handle, value: Value
    ) -> bool:
        """Return whether another kind helps a reason, at the base or where it is stuck."""
        reason, corner = stuck
        bench = self.bench
        if not reason.rule:
            return reason not in bench.impossible(moved(corner, handle, value))
        known = False
        for point in dict.fromkeys((corner, base.point)):
            here = possible_both(bench, self.handles, point, handle, value)
            if here is None:
                continue
            known = True
            there = moved(here, handle, value)
            margins = bench.margin(here, reason), bench.margin(there, reason)
            if margins[1] > margins[0] and not base.influences.alike(
                there, reason, *margins
            ):
                return True
        return not known


def apart(options: Sequence[frozenset[Signed]]) -> int:
    """Return a number of changes that several choices need at least.

    >>> apart([frozenset({(1, 1)}), frozenset({(1, 1), (2, 1)}), frozenset({(3, -1)})])
    2
    """
    taken: set[Signed] = set()
    count = 0
    for option in sorted(options, key=len):
        if not taken & option:
            taken |= option
            count += 1
    return count
