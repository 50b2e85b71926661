"""Planting faults: looks for changes after which the rules find just what was planted."""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from random import Random  # noqa: TID251 (a choice that a seed makes again)
from typing import Final

from detailgen.checks import REGISTRY
from detailgen.conditions import Thickening
from detailgen.faults._bench import Bench, Broken, UnbuildableError
from detailgen.faults._change import Change, Sort
from detailgen.faults._seen import LEAST, SECTION, size_on_paper
from detailgen.faults._ways import Way, ways_of
from detailgen.finding import Finding, Outcome, Unit
from detailgen.section import LayeredSection
from detailgen.units import NOISE, UnitSystem

_BROKEN: Final = frozenset({"solids_overlap", "closed_pocket"})
"""Rules that hold of every drawing: what breaks them is no fault of the work shown."""
_ELSEWHERE: Final = frozenset({"crowded_neighbours", "meeting_sheets"})
"""Rules on what stands near, which no paper shows."""
_FOLLOWS: Final = frozenset({
    "weak_water_path_low",
    "weak_water_path_high",
    "leaky_hold_point",
})
"""Rules on what comes of other faults; they speak for one only where nothing else does."""
_OF_ORDER: Final = frozenset({
    *_FOLLOWS,
    "backwater_lap",
    "flange_below_finish_ply",
    "narrow_prepared_band",
})
"""What a sheet that is laid too late may break, and nothing else."""
_SHOWN_BY_ORDER: Final = frozenset({"backwater_lap", "leaky_hold_point"})
"""One of these it breaks at least."""
_MEASURED: Final = frozenset({Sort.PARAMETER, Sort.STARTS_LATE, Sort.ENDS_EARLY})
"""Measures that are wrong: what only comes of them is not to be read from a drawing."""
_MOST: Final = 3
"""So many rules at most may fail for one fault."""
_MOST_ABSENT: Final = 5
"""The same for what is left out: several rules ask for its ends."""
_ROUNDS: Final = 12
"""So often others are looked for where some cannot be seen together."""
_TRIES: Final = 4
"""So many amounts of one way are tried."""

Scales = Mapping[str, float]
"""Model mm for each mm on paper, by view."""
ScalesOf = Callable[[Broken], Scales]
"""Returns at which scales a paper draws a broken detail."""
ThickeningAt = Callable[[Broken, float], Thickening]
"""Returns how much thicker than true a view at a scale draws it."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong, as the rules find it."""

    change: Change
    finding: Finding
    """Of the rule that it breaks."""
    along: tuple[Finding, ...]
    """Of rules that fail with it, since they measure the same thing or what comes of it."""
    size: float
    """How large it is on paper, mm."""

    @property
    def rules(self) -> frozenset[str]:
        """Ids of all rules that fail for it."""
        return frozenset({self.finding.rule, *(f.rule for f in self.along)})


@dataclass(frozen=True, slots=True)
class Planted:
    """A detail with its faults."""

    broken: Broken
    faults: tuple[Fault, ...]


class NoPaperError(Exception):
    """No paper can be made of a condition as it is asked; the message says why."""


class Planter:
    """Plants faults in one condition, other ones each time."""

    def __init__(
        self,
        bench: Bench,
        system: UnitSystem,
        scales_of: ScalesOf,
        thickening_at: ThickeningAt,
        factors: Sequence[float],
    ) -> None:
        """Take what is to be broken.

        Args:
            bench: The condition.
            system: The job's units: amounts are round in them.
            scales_of: At which scales a paper draws it.
            thickening_at: How thick its views draw thin things.
            factors: Scales that a paper may try, in model mm for each mm on paper.

        Raises:
            NoPaperError: The detail breaks a rule as it is.
        """
        self._bench, self._scales_of = bench, scales_of
        self._thickening_at, self._factors = thickening_at, tuple(factors)
        if failed := bench.sound.failing:
            told = ", ".join(r for r in REGISTRY if r in failed)
            message = f"it breaks rules as it is: {told}"
            raise NoPaperError(message)
        self._ways = ways_of(bench, system)
        self._scales = scales_of(bench.sound)
        self._drawn: dict[Thickening, LayeredSection] = {}
        self._single: dict[Change, Fault | None] = {}
        self._uses: dict[Way, int] = {}
        self._done: set[frozenset[Change]] = set()

    def plant(self, count: int, rng: Random) -> Planted:
        """Return the detail with so many faults, which no earlier paper had together.

        Raises:
            NoPaperError: There are no more.
        """
        most = 0
        for _ in range(_ROUNDS):
            chosen = self._chosen(count, rng)
            most = max(most, len(chosen))
            if len(chosen) < count:
                continue
            self._done.add(frozenset(chosen))
            for way in self._ways:
                if set(way.changes()) & set(chosen):
                    self._uses[way] = self._uses.get(way, 0) + 1
            if planted := self._planted(chosen):
                return planted  # else one of them is not seen beside the others
        few = f"no more than {most} can be planted together" if 0 < most < count else ""
        raise NoPaperError(few or "all that can be seen on paper has been used")

    def all_single(self) -> Iterator[Fault]:
        """Yield every fault that can be planted alone, way by way."""
        for way in self._ways:
            for change in way.changes():
                fault = self._alone(change)
                if fault:
                    yield fault

    def _chosen(self, count: int, rng: Random) -> list[Change]:
        """Return changes that break rules of their own each, the least used first."""
        drawn = [(self._uses.get(w, 0), rng.random(), w) for w in self._ways]
        chosen: list[Fault] = []
        for _, _, way in sorted(drawn, key=lambda d: d[:2]):
            for change in _shuffled(way.changes(), rng)[:_TRIES]:
                fault = self._alone(change)
                if fault and self._goes_with(fault, chosen, count):
                    chosen.append(fault)
                    break
            if len(chosen) == count:
                break
        return [f.change for f in chosen]

    def _goes_with(self, fault: Fault, chosen: Sequence[Fault], count: int) -> bool:
        """Return whether a fault can stand beside others, each failing its own rules."""
        changes = [*(f.change for f in chosen), fault.change]
        if len(changes) == count and frozenset(changes) in self._done:
            return False
        if not chosen:
            return True
        if any(f.rules & fault.rules or _same_thing(f, fault) for f in chosen):
            return False
        both = self._bench.broken(changes)
        return both is not None and both.failing == fault.rules.union(
            *(f.rules for f in chosen)
        )

    def _alone(self, change: Change) -> Fault | None:
        """Return the fault that a change makes by itself; None for one that will not do."""
        if change not in self._single:
            broken = self._bench.broken((change,))
            found = broken and self._fault(change, broken, self._scales)
            if broken and found and not self._is_drawn(broken):
                found = None
            self._single[change] = found or None
        return self._single[change]

    def _is_drawn(self, broken: Broken) -> bool:
        """Return whether a paper can draw a detail at every scale that it tries."""
        every = dict.fromkeys(self._thickening_at(broken, f) for f in self._factors)
        try:
            for thick in every:
                broken.rebuild(thick)
        except UnbuildableError:
            return False
        return True

    def _planted(self, changes: Collection[Change]) -> Planted | None:
        """Return the detail with changes, if all of them are seen on its own paper."""
        broken = self._bench.broken(changes)
        if broken is None:
            return None
        try:
            scales = self._scales_of(broken)
        except UnbuildableError:
            return None
        faults: list[Fault] = []
        for change in sorted(changes):
            alone = self._alone(change)
            mine = alone and self._fault(change, broken, scales, alone.rules)
            if not mine:
                return None
            faults.append(mine)
        if broken.failing != frozenset().union(*(f.rules for f in faults)):
            return None
        order = {rule: n for n, rule in enumerate(REGISTRY)}
        faults.sort(key=lambda f: order[f.finding.rule])
        return Planted(broken, tuple(faults))

    def _fault(
        self,
        change: Change,
        broken: Broken,
        scales: Scales,
        mine: frozenset[str] | None = None,
    ) -> Fault | None:
        """Return the fault of a change; None where it is not seen or is none.

        Args:
            change: The change.
            broken: The detail with it, and with others perhaps.
            scales: At which it is drawn.
            mine: Rules that fail for it, where others fail too.
        """
        rules = broken.failing if mine is None else mine
        failed = [f for f in broken.findings if f.rule in rules]
        if not failed or any(f.outcome is not Outcome.FAIL for f in failed):
            return None
        absent = change.sort is Sort.LEFT_OUT
        if rules & (_BROKEN | _ELSEWHERE) or len(rules) > (
            _MOST_ABSENT if absent else _MOST
        ):
            return None
        finding = _speaking(failed, change)
        if finding is None:
            return None
        others = tuple(f for f in failed if f is not finding)
        size = self._size(finding, broken, change, scales)
        return Fault(change, finding, others, size) if size >= LEAST else None

    def _size(
        self, finding: Finding, broken: Broken, change: Change, scales: Scales
    ) -> float:
        """Return how large a change is on paper, as the views draw it by itself."""
        before = next(f for f in self._bench.sound.findings if f.rule == finding.rule)
        alone = self._bench.broken((change,))
        assert alone, "what is built with others is built by itself"
        thick = self._thickening_at(broken, scales[SECTION])
        try:
            drawn = alone.rebuild(thick)
        except UnbuildableError:
            return 0.0
        return size_on_paper((before, finding), self._sound_drawn(thick), drawn, scales)

    def _sound_drawn(self, thick: Thickening) -> LayeredSection:
        if thick not in self._drawn:
            self._drawn[thick] = self._bench.sound.rebuild(thick)
        return self._drawn[thick]


def _speaking(failed: Sequence[Finding], change: Change) -> Finding | None:
    """Return the finding that tells what is wrong; None where none does."""
    plain = [f for f in failed if f.rule not in _FOLLOWS]
    if change.sort in _MEASURED:
        plain = [f for f in plain if _is_read(f)]
        lengths = [f for f in plain if f.actual.unit is Unit.LENGTH]
        return next(iter([*lengths, *plain]), None)
    plain = plain or list(failed)
    if change.sort is Sort.LAID_LATE:
        rules = {f.rule for f in failed}
        if not rules <= _OF_ORDER or not rules & _SHOWN_BY_ORDER:
            return None
        return next((f for f in failed if f.rule == "backwater_lap"), failed[-1])
    if change.sort is Sort.LEFT_OUT:
        return next((f for f in plain if _says_none(f)), None)
    return plain[0]


def _is_read(finding: Finding) -> bool:
    """Return whether a measure is read from a drawing: shares and areas are not."""
    if finding.actual.unit is Unit.COUNT:
        values = finding.actual.value, finding.required.amount.value
        return all(abs(v - round(v)) < NOISE for v in values)
    return finding.actual.unit not in {Unit.AREA, Unit.SLOPE}


def _says_none(finding: Finding) -> bool:
    """Return whether a rule found nothing where something should be."""
    found = finding.actual
    if found.unit is Unit.LENGTH:
        return found.value <= NOISE
    return found.unit in {Unit.COUNT, Unit.WORDS}


def _same_thing(one: Fault, other: Fault) -> bool:
    """Return whether two faults are of one thing, so that they would be one to see."""
    a, b = one.change, other.change
    return bool(_names(a) & _names(b))


def _names(change: Change) -> set[str]:
    names = {change.what, *change.other.split("+")} - {""}
    return {f"{change.what}/{n}" for n in names} if change.sort is Sort.SPARSE else names


def _shuffled(changes: Iterable[Change], rng: Random) -> list[Change]:
    """Return changes in another order, by a shuffle that is the same on every Python."""
    left = list(changes)
    for last in range(len(left) - 1, 0, -1):
        other = int(rng.random() * (last + 1))
        left[last], left[other] = left[other], left[last]
    return left
