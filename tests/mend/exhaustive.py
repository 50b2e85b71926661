"""A second opinion on mends: every change of up to two parameters, tried one by one.

Nothing is assumed of how a rule's measure runs between two values. The one thing that
spares work is `DEPENDS`: on which parameters a rule can depend at all, told by hand from
what the rule measures; `test_exhaustive.py` holds that table against random sections. A
pair of parameters that cannot touch a rule that fails is no mend, whatever its values.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from detailgen.checks import REGISTRY, examine
from detailgen.finding import Finding, Outcome, Severity
from detailgen.mend._handles import Handle, Rung, Tier, handles
from tests.mend.jobs import RandomJob

ALL = None
"""May depend on anything."""
_HEIGHTS = frozenset({
    "flashing_height", "reglet_height", "wall_height", "cant_height", "cant_run",
    "counterflashing_lap", "upper_lap", "strip_in_up",
})  # fmt: skip
DEPENDS: dict[str, dict[str, frozenset[str]]] = {
    "wall": {
        "low_cant": frozenset({"cant_height"}),
        "steep_cant": frozenset({"cant_height", "cant_run"}),
        "short_strip_in_at_toe": frozenset({"strip_in_out"}),
        "low_strip_in_on_wall": _HEIGHTS,
        "narrow_prepared_band": frozenset({"prepared_band", "flashing_reach"}),
        "short_flashing_reach": frozenset({"flashing_reach"}),
        "low_flashing": _HEIGHTS,
        "short_counterflashing_lap": _HEIGHTS,
        "short_upper_lap": _HEIGHTS,
        "shallow_reglet": frozenset({"reglet_depth"}),
        "sparse_top_fasteners": frozenset({"top_fastener_spacing"}),
        "sparse_bar_fasteners": frozenset({"bar_fastener_spacing"}),
        "short_coping_face": frozenset({"coping_face", "coping_slope"}),
        "thin_metal": frozenset(),
        "combustible_cant": frozenset(),
        "shallow_slope": frozenset(),
        "unspanned_flutes": frozenset(),
    },
    "roof-edge": {
        "narrow_flange": frozenset({"flange"}),
        "short_flange_strip_in": frozenset({"strip_in"}),
        "sparse_nails": frozenset({"nail_spacing"}),
        "single_nail_row": frozenset({"nail_rows"}),
        "unstaggered_nails": frozenset({"nail_rows", "nail_spacing"}),
        "sparse_cleat_nails": frozenset({"cleat_nail_spacing"}),
        "steep_kick": frozenset({"kick_angle", "kick", "cleat_hook"}),
        "shallow_cleat_hook": frozenset({"kick_angle", "kick", "cleat_hook"}),
        "wrong_finish_gap": frozenset({"finish_gap"}),
        "missing_bead": frozenset({"bead", "finish_gap"}),
        "flange_off_nailer": frozenset({"flange", "nailer_width"}),
        "bare_drop": frozenset({
            "face", "base_ply_drop", "kick", "kick_angle", "cleat_hook", "nailer_width",
        }),
        "short_base_ply_drop": frozenset({"base_ply_drop"}),
        "base_ply_short_of_wood": frozenset({"base_ply_drop", "nailer_width"}),
        "nothing_to_bite": frozenset({"flange", "nailer_width"}),
        "short_nail_bite": frozenset({
            "nail_length", "nail_rows", "nailer_width", "flange", "edge_strip_height",
            "edge_strip_length", "base_ply_drop",
        }),
        "thin_metal": frozenset(),
        "shallow_slope": frozenset(),
        "unspanned_flutes": frozenset(),
    },
}  # fmt: skip
"""On which of the condition's own numbers a rule can depend; any, for those not here."""

Changes = dict[str, object]


@dataclass
class Trial:
    """Builds a job's condition with other numbers; stops at the first rule that fails."""

    job: RandomJob
    tried: int = 0

    def __post_init__(self) -> None:
        self._order = list(REGISTRY)

    def possible(self, changes: Changes) -> bool:
        """Return whether it can be built."""
        job = self.job
        parameters = job.parameters.model_copy(update=changes)
        return not job.condition.impossible(parameters, job.site)

    def holds(self, changes: Changes, rules: Sequence[str] = ()) -> bool:
        """Return whether all required rules hold, or those that are named."""
        job = self.job
        self.tried += 1
        section = job.condition.build(job.parameters.model_copy(update=changes), job.site)
        find = examine(section, job.site.rules, job.site.catalog)
        for rule in rules or list(self._order):
            if fails(find(rule)):
                if not rules:  # what has failed fails again, so it is asked first
                    self._order.remove(rule)
                    self._order.insert(0, rule)
                return False
        return True


def fails(found: Finding) -> bool:
    """Return whether a finding is one that must not be."""
    return found.outcome is Outcome.FAIL and found.severity is Severity.REQUIRED


class Exhaustive:
    """Every change of one or two of the condition's own numbers."""

    def __init__(self, job: RandomJob, failing: Sequence[str]) -> None:
        self.job, self.failing = job, list(failing)
        self.trial = Trial(job)
        every = handles(job.condition, job.parameters, job.site, job.system)
        self.numbers = [h for h in every if h.tier is Tier.OWN_NUMBER and (h.up or h.down)]
        self._alone: dict[tuple[str, tuple[str, ...]], list[Rung]] = {}

    def smaller(self, count: int, steps: int) -> Changes | None:
        """Return a change of up to two numbers that does and is smaller, or None.

        Args:
            count: How many numbers the change has that it is held against.
            steps: Their sum of steps.
        """
        for found in self._singles(steps if count == 1 else None):
            return found
        if count < 2:
            return None
        for found in self._pairs(steps if count == 2 else None):
            return found
        return None

    def _singles(self, below: int | None) -> Iterator[Changes]:
        for handle in self.numbers:
            if not self._can_touch_all({handle.key}):
                continue
            for rung in self._rungs(handle):
                if below is not None and rung.steps >= below:
                    continue
                changes: Changes = {handle.key: rung.value}
                if self.trial.possible(changes) and self.trial.holds(changes):
                    yield changes

    def _pairs(self, below: int | None) -> Iterator[Changes]:
        for one, other in combinations(self.numbers, 2):
            keys = {one.key, other.key}
            if not self._can_touch_all(keys):
                continue
            for a in self._left(one, keys):
                for b in self._left(other, keys):
                    if below is not None and a.steps + b.steps >= below:
                        continue
                    changes: Changes = {one.key: a.value, other.key: b.value}
                    if self.trial.possible(changes) and self.trial.holds(changes):
                        yield changes

    def _left(self, handle: Handle, keys: set[str]) -> list[Rung]:
        """Return the values that the rules allow which only this one of a pair touches."""
        mine = tuple(r for r in self.failing if self._touching(r, keys) == {handle.key})
        key = (handle.key, mine)
        if key not in self._alone:
            self._alone[key] = [
                rung
                for rung in self._rungs(handle)
                if not mine
                or not self.trial.possible({handle.key: rung.value})
                or self.trial.holds({handle.key: rung.value}, mine)
            ]
        return self._alone[key]

    def _touching(self, rule: str, keys: set[str]) -> set[str]:
        depends = DEPENDS[self.job.condition.kind].get(rule, ALL)
        return keys if depends is ALL else keys & depends

    def _can_touch_all(self, keys: set[str]) -> bool:
        return all(self._touching(rule, keys) for rule in self.failing)

    @staticmethod
    def _rungs(handle: Handle) -> list[Rung]:
        found = {r.value: r for r in (*handle.down, *handle.up)}
        return sorted(found.values(), key=lambda r: r.steps)
