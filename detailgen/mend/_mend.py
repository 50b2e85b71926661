"""Mends one condition, or all conditions of a roof."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from detailgen.conditions import Condition, Site
from detailgen.finding import Finding, Outcome, Severity
from detailgen.mend._bench import Bench, ExhaustedError, Point, point_of
from detailgen.mend._conflict import conflict_in
from detailgen.mend._handles import Handle, Tier, handles
from detailgen.mend._result import ROOF, Cause, Change, Mend, Mended, Verdict
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
            return _changed(bench, plain, found)
        conflict = conflict_in(bench, found, system, broken.kept)
        return replace(plain, verdict=Verdict.CONFLICT, conflict=conflict)
    except ExhaustedError:
        return replace(plain, verdict=Verdict.UNSETTLED, builds=bench.builds)


def mend_all(
    items: Sequence[Broken],
    site: Site,
    system: UnitSystem,
    progress: Callable[[str], None] = lambda _: None,
) -> Mended:
    """Return what becomes of all conditions on one roof.

    Where one of them needs another roof, that moves all of them: then each is mended anew
    on the roof so changed, those that held before included.

    Args:
        items: The conditions.
        site: Roof, catalogue and rules.
        system: The job's unit system.
        progress: Told what has just been looked at, once a condition.
    """
    mends = _each(items, site, system, progress)
    changes = [c for m in mends for c in m.changes if c.home == ROOF]
    if not changes:
        return Mended((), mends)
    roof = _merged(changes)
    fixed = replace(site, roof=_changed_roof(site.roof, roof))
    held = [replace(item, kept=item.kept | {ROOF}) for item in items]
    again = _each(held, fixed, system, lambda _: None)
    if all(one.verdict in {Verdict.HOLDS, Verdict.MENDED} for one in again):
        roof = _needed(items, again, site, roof)
        new_roof = _changed_roof(site.roof, roof)
        again = tuple(replace(one, roof=new_roof) for one in again)
    return Mended(roof, tuple(map(_carried, mends, again)))


def _needed(
    items: Sequence[Broken],
    mends: Sequence[Mend],
    site: Site,
    changes: tuple[Change, ...],
) -> tuple[Change, ...]:
    """Return the changes of the roof without those that others make needless."""
    for change in sorted(changes, key=lambda c: c.steps):
        fewer = tuple(c for c in changes if c is not change)
        there = replace(site, roof=_changed_roof(site.roof, fewer))
        benches = (
            Bench(item.condition, one.parameters, there, (), item.accepted)
            for item, one in zip(items, mends, strict=True)
        )
        if fewer and not any(bench.failing(()) for bench in benches):
            return _needed(items, mends, site, fewer)
    return changes


def _carried(old: Mend, new: Mend) -> Mend:
    """Return a mend on the changed roof, with what failed on the roof as it is."""
    helped = new.verdict is Verdict.HOLDS and bool(old.failing)
    return replace(
        new,
        verdict=Verdict.MENDED if helped else new.verdict,
        failing=old.failing or new.failing,
        last_resort=old.last_resort or new.last_resort,
        builds=old.builds + new.builds,
    )


def _each(
    items: Sequence[Broken],
    site: Site,
    system: UnitSystem,
    progress: Callable[[str], None],
) -> tuple[Mend, ...]:
    """Mend each condition; what is the same but for its name is looked at once."""
    done: dict[object, Mend] = {}
    found: list[Mend] = []
    for item in items:
        own = {k: v for k, v in item.parameters if k not in Placed.model_fields}
        key = (item.condition.kind, tuple(own.items()), item.accepted, item.kept)
        if key not in done:
            done[key] = mend(item, site, system)
        found.append(_renamed(done[key], item.parameters))
        progress(f"{item.parameters.id} is looked at")
    return tuple(found)


def _renamed(found: Mend, parameters: Placed) -> Mend:
    """Return a mend for another condition that is the same but for its name."""
    if found.id == parameters.id:
        return found
    own = {k: v for k, v in found.parameters if k not in Placed.model_fields}
    changes = (
        c if c.home == ROOF else replace(c, home=parameters.id) for c in found.changes
    )
    return replace(
        found,
        id=parameters.id,
        parameters=parameters.model_copy(update=own),
        changes=tuple(changes),
    )


def _merged(changes: Iterable[Change]) -> tuple[Change, ...]:
    """Return one change for each figure of the roof: of several, the one of most steps."""
    found: dict[tuple[str, int | None], Change] = {}
    for change in changes:
        known = found.get((change.key, change.layer))
        if known is None or change.steps > known.steps:
            found[change.key, change.layer] = change
    return tuple(found.values())


def _changed_roof(roof: Roof, changes: Iterable[Change]) -> Roof:
    """Return the roof with changes."""
    update: dict[str, Any] = {}
    for change in changes:
        if change.layer is None:
            update[change.key] = change.needed
        else:
            layers = list(update.get(change.key, getattr(roof, change.key)))
            layers[change.layer : change.layer + 1] = [change.needed]
            update[change.key] = tuple(layers)
    return roof.model_copy(update=update)


def _failing(bench: Bench, point: Point, severity: Severity) -> tuple[Finding, ...]:
    found = (bench.finding(point, rule) for rule in bench.rules)
    return tuple(f for f in found if f.outcome is Outcome.FAIL and f.severity is severity)


def _changed(bench: Bench, plain: Mend, found: Found) -> Mend:
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
                whole=() if handle.layer is None else getattr(bench.site.roof, handle.key),
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
