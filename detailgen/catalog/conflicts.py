"""Conflicts of rule sets in words, with the arithmetic that shows them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from detailgen.catalog.materials import Material
from detailgen.catalog.relations import Crossing, Fit, Tried, Verdict, crossings, strained
from detailgen.catalog.rules import Rule, RuleSet


@dataclass(frozen=True, slots=True)
class Conflict:
    """Values that cannot all hold, or only just, and why."""

    relation: str
    """Id of the relation that they break."""
    verdict: Verdict
    headline: str
    arithmetic: tuple[str, ...]
    mend: str
    rows: tuple[Rule, ...]
    """The values that meet, each with its sets and its source."""
    sets: tuple[str, ...]
    """Ids of the sets concerned."""


def conflicts(
    rules: RuleSet, fits: Iterable[Fit], materials: Mapping[str, Material]
) -> tuple[Conflict, ...]:
    """Return the conflicts within a rule set; for a combined one, those between its parts.

    Values that leave room for one figure only are told as well. What the parts disagree on
    is not told again where the combined values themselves do not fit.
    """
    known = tuple(fits)
    found = [_within(t, rules) for t in strained(known, rules, materials)]
    told = {conflict.relation for conflict in found}
    if rules.parts:
        one, other = rules.parts
        crossed = crossings(known, one, other, materials)
        found += [_between(c, rules) for c in crossed if c.tried.fit.id not in told]
    return tuple(found)


def _within(tried: Tried, rules: RuleSet) -> Conflict:
    heads = {
        Verdict.EXACTLY: "Only one value fits both the least and the most",
        Verdict.MORE_ROOM: "Conflict while every value is at its least",
        Verdict.NEVER: "Conflict, cannot both hold",
    }
    return Conflict(
        tried.fit.id,
        tried.verdict,
        f"{heads[tried.verdict]}: {_lowered(tried.fit.text)}",
        _sums(tried),
        _mend(tried),
        _rows(tried),
        rules.set_ids,
    )


def _between(crossing: Crossing, rules: RuleSet) -> Conflict:
    needing, giving, tried = crossing.needing, crossing.giving, crossing.tried
    first = tried.room[0][0]
    asked = rules.row(first.id)
    home = crossing.at_home
    drawn = "least" if tried.verdict is Verdict.MORE_ROOM else "most"
    mend = (
        f"By itself {needing.id} asks {home.room[0][0].written} there: {home.arithmetic}. "
        f"Combined, the stricter value is asked: {asked.written}."
        if asked.written != first.written
        else _mend(tried)
    )
    return Conflict(
        tried.fit.id,
        tried.verdict,
        f"Conflict: what {needing.id} asks does not fit a detail drawn to the {drawn} of "
        f"{giving.id} ({first.written}): {_lowered(tried.fit.text)}",
        _sums(tried),
        mend,
        _rows(tried),
        (giving.id, needing.id),
    )


def _sums(tried: Tried) -> tuple[str, ...]:
    return tuple(line for line in (tried.arithmetic, tried.added) if line)


def _mend(tried: Tried) -> str:
    room = tried.room[0][0]
    if tried.verdict is Verdict.EXACTLY:
        return f"Taken: {room.written}."
    if tried.verdict is Verdict.MORE_ROOM:
        return f"{room.text} {tried.needed}: then it fits."
    ids = ", ".join(rule.id for rule in _rows(tried))
    return f"One of {ids} must be given another value, with the reason."


def _rows(tried: Tried) -> tuple[Rule, ...]:
    return tuple(rule for rule, _ in (*tried.room, *tried.needs))


def _lowered(text: str) -> str:
    return f"{text[:1].lower()}{text[1:]}"
