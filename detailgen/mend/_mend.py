"""Mends one condition, or all conditions of a roof."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from detailgen.conditions import Condition, Site
from detailgen.finding import Finding, Outcome, Severity
from detailgen.mend._bench import Bench, Exhausted, Point, point_of
from detailgen.mend._conflict import conflict_in
from detailgen.mend._handles import Handle, Tier, handles
from detailgen.mend._result import ROOF, Cause, Change, Mend, Verdict
from detailgen.mend._search import Found, Search
from detailgen.parameters import Placed, Roof
from detailgen.units import UnitSystem

_ON_ROOF = frozenset({Tier.ROOF_NUMBER, Tier.ROOF_KIND})


@dataclass(frozen=True, slots=True)
class Broken:
    """One condition to be mended."""

    condition: Condition
    parameters: Placed
    accepted: frozenset[str] = frozenset()
    """Ids of the rules whose failure is accepted."""
    kept: frozenset[str] = frozenset()
    """Parameters that must stay: `reglet_height`, `roof.slope`, `roof`."""


def mend(broken: Broken, site: Site, system: UnitSystem) -> Mend:
    """Return the smallest change that makes every required rule of a condition hold."""
    every = handles(broken.condition, broken.parameters, site, system, broken.kept)
    bench = Bench(broken.condition, broken.parameters, site, every, broken.accepted)
    failing = _failing(bench, (), Severity.REQUIRED)
    plain = Mend(
        broken.parameters.id,
        Verdict.HOLDS,
        broken.parameters,
        site.roof,
        failing=failing,
        accepted=tuple(
            f
            for rule in sorted(broken.accepted)
            if (f := bench.finding((), rule)).outcome is Outcome.FAIL
        ),
    )
    if not failing:
        return replace(plain, advice=_failing(bench, (), Severity.ADVICE))
    try:
        found = Search(bench).run()
        if isinstance(found, Found):
            return _mended(bench, plain, found)
        conflict = conflict_in(bench, found, system, broken.kept)
        return replace(plain, verdict=Verdict.CONFLICT, conflict=conflict)
    except Exhausted:
        return replace(plain, verdict=Verdict.UNSETTLED, builds=bench.builds)


def mend_all(
    items: Sequence[Broken], site: Site, system: UnitSystem
) -> tuple[Mend, ...]:
    """Return what becomes of all conditions on one roof.

    Where one of them needs another roof, that moves all of them: then each is mended anew
    on the roof so changed, those that held before included.
    """
    mends = tuple(mend(item, site, system) for item in items)
    changes = [c for m in mends for c in m.changes if c.home == ROOF]
    if not changes:
        return mends
    roof = _changed_roof(site.roof, changes)
    fixed = replace(site, roof=roof)
    held = [replace(item, kept=item.kept | {ROOF}) for item in items]
    again = [mend(item, fixed, system) for item in held]
    return tuple(
        replace(
            new,
            changes=(*(c for c in old.changes if c.home == ROOF), *new.changes),
            verdict=Verdict.MENDED if new.verdict is Verdict.HOLDS and old.failing else new.verdict,
            failing=old.failing or new.failing,
            last_resort=old.last_resort or new.last_resort,
            builds=old.builds + new.builds,
        )
        for old, new in zip(mends, again, strict=True)
    )


def _changed_roof(roof: Roof, changes: Iterable[Change]) -> Roof:
    """Return the roof with all changes; of several to one figure, the one of most steps."""
    update: dict[str, Any] = {}
    for change in sorted(changes, key=lambda c: c.steps):
        if change.layer is None:
            update[change.key] = change.needed
        else:
            layers = list(update.get(change.key, getattr(roof, change.key)))
            layers[change.layer] = change.needed
            update[change.key] = tuple(layers)
    return roof.model_copy(update=update)


def _failing(bench: Bench, point: Point, severity: Severity) -> tuple[Finding, ...]:
    found = (bench.finding(point, rule) for rule in bench.rules)
    return tuple(
        f for f in found if f.outcome is Outcome.FAIL and f.severity is severity
    )


def _mended(bench: Bench, plain: Mend, found: Found) -> Mend:
    point = _pared(bench, found.point)
    parameters, site = bench.made(point)
    changed = [(bench.handles[number], value) for number, value in point]
    dear = any(h.tier is not Tier.OWN_NUMBER for h, _ in changed)
    return replace(
        plain,
        verdict=Verdict.MENDED,
        parameters=parameters,
        roof=site.roof,
        changes=tuple(
            Change(
                home=ROOF if handle.tier in _ON_ROOF else plain.id,
                key=handle.key,
                layer=handle.layer,
                sort=handle.sort,
                now=handle.now,
                needed=value,
                default=_is_default(bench, handle),
                steps=_steps(handle, value),
                causes=_causes(bench, point, handle),
            )
            for handle, value in changed
        ),
        advice=_failing(bench, point, Severity.ADVICE),
        last_resort=_beyond_numbers(bench) if dear else (),
        builds=bench.builds,
    )


def _is_default(bench: Bench, handle: Handle) -> bool:
    """Return whether the job says nothing of a parameter."""
    model = bench.site.roof if handle.tier in _ON_ROOF else bench.parameters
    return handle.key not in model.model_fields_set


def _steps(handle: Handle, value: object) -> int:
    rungs = (r for r in (*handle.up, *handle.down) if r.value == value)
    return next((r.steps for r in rungs), 0)


def _pared(bench: Bench, point: Point) -> Point:
    """Return the point with nothing left that can be taken back, a step or all of it."""
    for handle in (bench.handles[number] for number, _ in point):
        for less in _less(handle, point):
            if not bench.failing(less):
                return _pared(bench, less)
    return point


def _less(handle: Handle, point: Point) -> list[Point]:
    """Return the point without a change, and with one step less of it."""
    values = dict(point)
    value = values.pop(handle.number)
    found = [point_of(values)]
    for rungs in (handle.up, handle.down):
        at = next((i for i, r in enumerate(rungs) if r.value == value), 0)
        if at:
            found.append(point_of({**values, handle.number: rungs[at - 1].value}))
    return found


def _causes(bench: Bench, point: Point, handle: Handle) -> tuple[Cause, ...]:
    """Return what fails when one change is left out and the others are made."""
    without = tuple(pair for pair in point if pair[0] != handle.number)
    if found := bench.impossible(without):
        return tuple(Cause(None, reason.name) for reason in found)
    return tuple(Cause(f) for f in _failing(bench, without, Severity.REQUIRED))


def _beyond_numbers(bench: Bench) -> tuple[Finding, ...]:
    """Return the rules that fail whatever numbers of its own the condition has."""
    found: list[Finding] = []
    for finding in _failing(bench, (), Severity.REQUIRED):
        alone = bench.asking((finding.rule,))
        if not isinstance(Search(alone, (Tier.OWN_NUMBER,)).run(), Found):
            found.append(finding)
    return tuple(found)
