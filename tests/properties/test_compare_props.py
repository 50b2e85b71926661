"""Random conditions in two versions: nothing changes silently, and what is told is so.

Whether a section changed is judged by its plain data, laid out by a reader that shares
nothing with the comparison but the nouns.
"""

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from enum import Enum
from random import Random

import pytest
import shapely

from detailgen.bids import bill_of
from detailgen.bill import Prices
from detailgen.compare import Comparison, compared
from detailgen.comparing import version_of
from detailgen.conditions import CONDITIONS
from detailgen.loader import Job, PlacedCondition
from detailgen.parameters import Placed, Project
from detailgen.section import LayeredSection
from tests.sampling import SKIP, _value, samples
from tests.sheet.asked import catalog

KINDS = tuple(kind for kind in CONDITIONS if kind != "free-section")
FAR = 0.05
"""mm: who moves farther must be told of."""


def job_with(condition, parameters, site) -> Job:
    placed = PlacedCondition(condition, parameters, 1)
    project = Project(name="Random")
    return Job("random.toml", project, site.roof, (placed,), site.catalog, site.rules)


def side_by_side(one: Job, two: Job) -> Comparison:
    return compared(*(version_of(job, bill_of(job, Prices())) for job in (one, two)))


def changes(count: int, seed: int) -> Iterator[tuple[str, Job, Job]]:
    """Yield random jobs of one condition, and the same with one parameter changed."""
    rules = catalog().rule_set("common-practice")
    for kind in KINDS:
        rng = Random(f"{kind} {seed}")
        left = count
        for condition, parameters, site in samples(
            kind, 10 * count, seed, catalog(), rules
        ):
            sized = parameters.model_copy(update={"length": 10_000.0, "count": 3})
            own = [k for k in type(sized).model_fields if k not in {*Placed.model_fields}]
            key = rng.choice([k for k in own if k not in SKIP])
            value = _value(type(sized).model_fields[key], rng)
            given = {**sized.model_dump(), key: value}
            other = condition.parameters(**given)
            if getattr(other, key) == getattr(sized, key):
                continue
            if condition.impossible(other, site):
                continue
            left -= 1
            yield key, job_with(condition, sized, site), job_with(condition, other, site)
            if not left:
                break


def flat(value: object) -> Iterator[float | str]:
    """Yield all numbers and words of a section in one order."""
    if isinstance(value, shapely.Geometry):
        yield value.geom_type
        for x, y in shapely.get_coordinates(shapely.normalize(value)):
            yield from (float(x), float(y))
    elif isinstance(value, float | int) and not isinstance(value, bool | Enum):
        yield float(value)
    elif is_dataclass(value):
        yield from flat({one.name: getattr(value, one.name) for one in fields(value)})
    elif isinstance(value, Mapping):
        for key in sorted(value, key=str):
            yield str(key)
            yield from flat(value[key])
    elif isinstance(value, tuple | frozenset):
        yield f"{len(value)} items"
        for one in sorted(value) if isinstance(value, frozenset) else value:
            yield from flat(one)
    else:
        yield str(value)


def apart(one: LayeredSection, two: LayeredSection) -> float:
    """Return how far two sections differ at most; without end where words do."""
    first, second = list(flat(one)), list(flat(two))
    if [type(v) for v in first] != [type(v) for v in second]:
        return float("inf")
    pairs = zip(first, second, strict=True)
    far = 0.0
    for a, b in pairs:
        if isinstance(a, str):
            if a != b:
                return float("inf")
        else:
            far = max(far, abs(a - b))
    return far


TURNED = {"added": "removed", "removed": "added", "changed": "changed"}


def laid_out(found: Comparison, *, turned: bool) -> list[tuple]:
    """Return all that a comparison tells, with old and new in each other's place if so."""

    def pair(one) -> tuple:
        return (one.new, one.old) if turned else (one.old, one.new)

    rows: list[tuple] = [("total", t.item, *pair(t)) for t in found.totals]
    rows += [("shared", s.home, s.value.key, *pair(s.value)) for s in found.shared]
    for d in found.details:
        mark = tuple(side and side.id for side in pair(d))
        rows += [(mark, "value", v.key, *pair(v)) for v in d.values]
        rows += [(mark, x.view, x.gauge, *pair(x)) for x in d.dimensions]
        rows += [(mark, "finding", f.rule, *pair(f)) for f in d.findings]
        rows += [(mark, "amount", q.id, q.per, *pair(q)) for q in d.quantities]
        rows += [(mark, "other", o.what) for o in d.others]
        for p in d.parts:
            fate = TURNED[p.fate] if turned else str(p.fate)
            words = [(w, *((b, a) if turned else (a, b))) for w, a, b in p.told]
            rows.append((mark, p.view, p.id, fate, round(p.apart, 3), words))
    return sorted(rows, key=repr)


@pytest.fixture(scope="module")
def pairs(pytestconfig: pytest.Config) -> list[tuple[str, Job, Job, Comparison]]:
    count = 60 if pytestconfig.getoption("all_sets") else 3
    made = list(changes(count, 41))
    assert len(made) >= 0.9 * count * len(KINDS)
    return [(key, one, two, side_by_side(one, two)) for key, one, two in made]


def test_a_job_differs_in_nothing_from_itself(pairs) -> None:
    for _, one, _, _ in pairs[:: max(1, len(pairs) // 20)]:
        again = replace(one, file="again.toml")
        assert side_by_side(one, again).same


def test_seen_from_the_other_side_it_is_the_same_with_signs_flipped(pairs) -> None:
    for _, one, two, found in pairs[::3]:
        back = side_by_side(two, one)
        assert laid_out(back, turned=True) == laid_out(found, turned=False)


def test_nothing_changes_silently_and_what_is_told_is_so(pairs, told) -> None:
    drawn = 0
    for key, one, two, found in pairs:
        (detail,) = found.details
        assert [v.key for v in detail.values] == [key]
        old, new = detail.old.section, detail.new.section
        far = apart(old, new)
        if far > FAR:
            assert detail.drawn_anew, (one.conditions[0].parameters, key)
            drawn += 1
        if far == 0.0:
            assert not detail.drawn_anew
        _what_is_told_is_so(detail)
        says = [f.rule for f in _findings_apart(detail)]
        assert set(says) <= {f.rule for f in detail.findings}
        assert one.conditions[0].condition is two.conditions[0].condition
    assert drawn > len(pairs) // 3
    told(f"compared: {len(pairs)} changes of one parameter, {drawn} of them drawn")


def _findings_apart(detail) -> list:
    """Return findings of which a rule's outcome, or what it measured, is not the same."""
    after = {f.rule: f for f in detail.new.findings}
    return [
        f
        for f in detail.old.findings
        if f.outcome is not after[f.rule].outcome
        or abs(f.actual.value - after[f.rule].actual.value) > FAR
        or f.accepted != after[f.rule].accepted
    ]


def _what_is_told_is_so(detail) -> None:
    old, new = detail.old.section, detail.new.section
    for one in detail.dimensions:
        assert one.old is None or one.new is None or abs(one.old - one.new) > 0.009
    for part in detail.parts:
        if part.view != "section" or part.fate != "changed" or not part.apart:
            continue
        was, now = old.body(part.id), new.body(part.id)
        if was and now:
            outside = was.region.buffer(1e-4).symmetric_difference(now.region).area
            assert outside > 0.0
            assert not was.region.equals(now.region)
    for one in detail.findings:
        assert one.old is not None
        assert (one.old.outcome, one.old.actual, one.old.required, one.old.severity) != (
            one.new.outcome,
            one.new.actual,
            one.new.required,
            one.new.severity,
        )
    for one in detail.quantities:
        assert one.old != one.new
