"""Ways of breaking a detail: all that could be changed of a section, whatever its kind.

Nothing here knows a kind of condition. Which of the ways break a rule, and which rule, the
checks say.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from typing import Final

from detailgen.faults._bench import Bench
from detailgen.faults._change import Change, Sort
from detailgen.faults._edits import one_side
from detailgen.geometry.regions import outline
from detailgen.mend import Handle, Tier, handles
from detailgen.mend import Sort as Counted
from detailgen.section import ADHERED, SHEETS, Bond, LayeredSection, Layout, Part, Role
from detailgen.units import MM_PER_INCH, UnitSystem

_INCHES: Final = tuple(MM_PER_INCH * n / 8 for n in (3, 4, 6, 8, 10, 12, 16, 20, 24))
_METRIC: Final = (10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0)
"""By how much lengths are made wrong, mm."""
_WHOLE: Final = (1, 2, 3, 5, 8, 12, 17, 24)
"""By how much counts and angles are made wrong."""
_SPARSE: Final = (2, 3)
"""Of so many fasteners one is left."""
_SHARES: Final = (0.4, 0.55, 0.7)
"""By how much of themselves laps of pieces are made shorter."""
_PUT_IN: Final = frozenset({
    Role.CANT,
    Role.STRIP_IN,
    Role.FINISH_PLY,
    Role.FLASHING,
    Role.UPPER_FLASHING,
    Role.CEMENT,
    Role.CLEAT,
    Role.COUNTERFLASHING,
    Role.TERMINATION_BAR,
    Role.CLAD_SHEET,
    Role.CLAMPING_RING,
    Role.STRAINER,
    Role.FASTENER,
    Role.BEAD,
    Role.HOOD,
    Role.COLLAR,
    Role.FILL,
    Role.POURED_SEALANT,
    Role.FILLER,
    Role.JOINT_COVER,
})
"""What somebody can forget to put in."""


@dataclass(frozen=True, slots=True)
class Way:
    """One thing that can be made wrong, by one of several amounts."""

    sort: Sort
    what: str
    other: str = ""
    values: tuple[float, ...] = (0.0,)

    def changes(self) -> tuple[Change, ...]:
        """Return the changes, one for each amount."""
        return tuple(Change(self.sort, self.what, self.other, v) for v in self.values)


def ways_of(bench: Bench, system: UnitSystem) -> tuple[Way, ...]:
    """Return all ways of breaking a condition, in an order of their own."""
    section = bench.sound.section
    amounts = _INCHES if system is UnitSystem.FEET_INCHES else _METRIC
    step = amounts[0] / 3.0
    return (
        *_of_parameters(bench, system, amounts),
        *_of_bodies(section, amounts),
        *_of_joints(section),
        *(Way(Sort.BARE, i) for i in dict.fromkeys(c.id for c in section.coats)),
        *(way for view in section.layouts for way in _of_view(view, step)),
    )


def _of_parameters(
    bench: Bench, system: UnitSystem, amounts: Sequence[float]
) -> Iterator[Way]:
    """Yield the condition's own measures: those of the roof would move its neighbours."""
    for handle in handles(bench.condition, bench.parameters, bench.site, system):
        if handle.tier is Tier.OWN_NUMBER and handle.layer is None:
            values = tuple(_values(handle, amounts))
            if values:
                yield Way(Sort.PARAMETER, handle.key, values=values)


def _values(handle: Handle, amounts: Sequence[float]) -> Iterator[float]:
    assert isinstance(handle.now, float | int)
    now = float(handle.now)
    if handle.sort is Counted.SLOPE:
        return
    steps = amounts if handle.sort is Counted.LENGTH else _WHOLE
    for direction in (-1, 1):
        there = [float(r.value) for r in handle.rungs(direction) if r.steps]  # type: ignore[arg-type]
        low, high = (min(there), max(there)) if there else (now, now)
        for step in steps:
            value = now + direction * step
            if low - 1e-6 <= value <= high + 1e-6:
                yield value


def _of_bodies(section: LayeredSection, amounts: Sequence[float]) -> Iterator[Way]:
    """Yield what can be left out, and sheets that can be cut short or laid too late.

    A sheet that a plan or an elevation shows too is not cut: that view would not follow.
    """
    own = [b for b in section.bodies if one_side(b.id) == b.id]
    for body in own:
        if body.role in _PUT_IN and body.stage and not body.by_others:
            yield Way(Sort.LEFT_OUT, body.id, body.role.value)
    shown = {p.role for v in section.layouts for p in v.parts}
    sheets = [b for b in own if b.role in SHEETS]
    for sheet in sheets:
        if sheet.role not in shown:
            yield Way(Sort.STARTS_LATE, sheet.id, values=tuple(amounts))
            yield Way(Sort.ENDS_EARLY, sheet.id, values=tuple(amounts))
    touching = {(one_side(j.upper), one_side(j.lower)) for j in section.joints}
    for one, other in combinations(sheets, 2):
        if (other.id, one.id) in touching and not {one.role, other.role} & shown:
            yield Way(Sort.LAID_LATE, one.id, other.id)


def _of_joints(section: LayeredSection) -> Iterator[Way]:
    sheets = {b.id for b in section.bodies if b.role in SHEETS}
    beds = {b.id for b in section.bodies if b.role is Role.CEMENT}
    seen: set[tuple[str, str]] = set()
    for joint in section.joints:
        pair = one_side(joint.upper), one_side(joint.lower)
        if joint.upper not in sheets or joint.lower in beds or pair in seen:
            continue  # nothing lies loose on wet cement
        seen.add(pair)
        if joint.bond in ADHERED:
            yield Way(Sort.LOOSE, *pair)
        elif joint.bond is Bond.DRY:
            yield Way(Sort.STUCK, *pair)


def _of_view(view: Layout, step: float) -> Iterator[Way]:
    """Yield what can be wrong with rows and laps; laps are changed in round steps, mm."""
    for row in sorted({m.row for m in view.marks}):
        yield Way(Sort.SPARSE, view.id, str(row), tuple(map(float, _SPARSE)))
    for one, other in pairwise(_pieces(view)):
        width = _lap(one, other)
        if one.role is not other.role or width <= 0.0:
            continue
        if one.level != other.level:
            yield Way(Sort.REVERSED, view.id, f"{one.id}+{other.id}")
        short = {round(share * width / step) * step for share in _SHARES}
        yield Way(Sort.SHORT_LAP, view.id, one.id, tuple(sorted(short)))


def _pieces(view: Layout) -> list[Part]:
    """Return the parts that are upright rectangles, from left to right by their role."""
    square = [p for p in view.parts if len(outline(p.region)) == 4 and not p.hidden]
    return sorted(square, key=lambda p: (str(p.role), p.region.bounds[0]))


def _lap(one: Part, other: Part) -> float:
    """Return how wide two pieces lie on one another."""
    if one.region.intersection(other.region).area < 1.0:
        return 0.0
    return one.region.bounds[2] - other.region.bounds[0]
