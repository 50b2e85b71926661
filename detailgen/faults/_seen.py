"""How large a fault is on paper: what a student can see of it."""

from collections.abc import Iterator, Mapping, Sequence
from math import dist, inf
from typing import Final

from detailgen.finding import Finding, Relation, Unit
from detailgen.geometry import Line, Region
from detailgen.geometry.changes import changed_length, changed_size
from detailgen.geometry.regions import box
from detailgen.section import SHEETS, Bond, LayeredSection, Layout

SECTION: Final = "section"
LEAST: Final = 1.5
"""A fault is at least so large on paper, mm."""
_LINE: Final = 6.0
"""What is told by a line style alone has at least this length, mm on paper."""
_DEGREES: Final = 5.0
"""An angle is seen to be wrong by so much."""
_HIDES: Final = 1.0
"""What lies nearer to a film of primer than this is not told from it, mm on paper."""
_THIN: Final = 0.3
"""What is thinner than this on paper is not seen, mm."""


def size_on_paper(
    found: tuple[Finding, Finding],
    sound: LayeredSection,
    broken: LayeredSection,
    scales: Mapping[str, float],
) -> float:
    """Return how large a fault is on paper, mm; 0 where it is not seen.

    Two things must be large: what is drawn otherwise than in the sound detail, and, where
    the rule measures a length, what is missing to what it asks. The smaller one counts.

    Args:
        found: What the rule finds on the sound detail and on the broken one.
        sound: The sound detail as a view draws it.
        broken: The broken one as a view draws it.
        scales: Model mm for each mm on paper, by view.
    """
    lacking = _lacking(*found)
    angle = found[1].actual.unit is Unit.ANGLE
    sizes = [0.0]
    for view, factor in scales.items():
        change = (
            _in_section(sound, broken, factor, LEAST if angle else _THIN)
            if view == SECTION
            else _in_view(sound.layout(view), broken.layout(view), factor)
        )
        sizes.append(min(change, lacking / factor))
    return max(sizes)


def _lacking(sound: Finding, broken: Finding) -> float:
    """Return by how much a length misses what is asked, mm; endless for other measures.

    What is asked must be what was asked before: a rule that asks more because something
    else has changed is not seen where it fails.
    """
    asked, actual = broken.required.amount, broken.actual
    if actual.unit is asked.unit is Unit.ANGLE:
        return inf if abs(actual.value - asked.value) >= _DEGREES - 1e-6 else 0.0
    if asked.unit is not Unit.LENGTH or actual.unit is not Unit.LENGTH:
        return inf
    if broken.required != sound.required:
        return 0.0
    moved = inf
    if sound.actual.unit is Unit.LENGTH:
        moved = abs(actual.value - sound.actual.value)
    high = broken.required.high
    away = abs(actual.value - asked.value)
    if broken.required.relation is Relation.BETWEEN and high is not None:
        away = min(away, abs(actual.value - high.value))
    return min(away, moved)


def _in_section(
    sound: LayeredSection, broken: LayeredSection, factor: float, thin: float
) -> float:
    """Return how large what is drawn otherwise is, mm on paper.

    What is thinner than `thin` does not count.
    """
    window = _shared(sound, broken)
    before = {b.id: b.region for b in sound.bodies}
    after = {b.id: b.region for b in broken.bodies}
    sizes = [
        changed_size(before.get(i), after.get(i), window, thin * factor)
        for i in sorted({*before, *after})
    ]
    coats = [[c.line for c in s.coats] for s in (sound, broken)]
    near = _THIN * factor
    bare = changed_length(coats[0], coats[1], window, near)
    # Where a film of primer is drawn beside it, nobody can tell a loose joint.
    loose = changed_length(
        _dry(sound),
        _dry(broken),
        window,
        near,
        over=[*coats[0], *coats[1]],
        hides=_HIDES * factor,
    )
    long = max(bare, loose) / factor
    return max(max(sizes, default=0.0) / factor, long if long >= _LINE else 0.0)


def _shared(one: LayeredSection, other: LayeredSection) -> Region:
    """Return the window that two sections have in common, a little within."""
    x0, y0, x1, y1 = zip(one.extent.bounds, other.extent.bounds, strict=True)
    return box(max(x0) + 1.0, max(y0) + 1.0, min(x1) - 1.0, min(y1) - 1.0)


def _dry(section: LayeredSection) -> list[Line]:
    """Return the lines along which sheets are drawn loose."""
    sheets = {b.id for b in section.bodies if b.role in SHEETS}
    dry = (j for j in section.joints if j.bond is Bond.DRY and j.upper in sheets)
    return [j.line for j in dry]


def _in_view(sound: Layout | None, broken: Layout | None, factor: float) -> float:
    if sound is None or broken is None:
        return 0.0
    return max(_of_parts(sound, broken, factor), _of_marks(sound, broken)) / factor


def _of_parts(sound: Layout, broken: Layout, factor: float) -> float:
    after = {p.id: p for p in broken.parts}
    sizes = [0.0]
    for part in sound.parts:
        other = after.get(part.id)
        x0, y0, x1, y1 = part.region.bounds
        window = box(x0 - 1e4, y0 - 1e4, x1 + 1e4, y1 + 1e4)
        region = other.region if other else None
        sizes.append(changed_size(part.region, region, window, _THIN * factor))
        if other and other.level != part.level:
            sizes += _laps(part.id, sound, broken)
    return max(sizes)


def _laps(part_id: str, sound: Layout, broken: Layout) -> Iterator[float]:
    """Yield how large the laps are that a part has the other way round now."""
    parts = {p.id: p for p in sound.parts}
    levels = {p.id: p.level for p in broken.parts}
    one = parts[part_id]
    for other in sound.parts:
        if other.id == part_id or other.id not in levels:
            continue
        turned = (one.level - other.level) * (levels[part_id] - levels[other.id]) < 0
        shared = one.region.intersection(other.region)
        if turned and shared.area > 1.0:
            x0, y0, x1, y1 = shared.bounds
            yield min(x1 - x0, y1 - y0)


def _of_marks(sound: Layout, broken: Layout) -> float:
    """Return how far what is gone of a row, or has moved, is from what is there, mm."""
    after = [(m.row, m.at) for m in broken.marks]
    sizes = [0.0]
    for mark in sound.marks:
        near: Sequence[float] = [dist(mark.at, at) for row, at in after if row == mark.row]
        sizes.append(min(near, default=1e3))
    return max(sizes)
