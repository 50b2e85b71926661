"""Rules on the order of building: what must already hold while work waits."""

from collections.abc import Iterator, Sequence, Set
from itertools import pairwise
from math import fsum

from detailgen.checks._case import FLANGED, Case
from detailgen.checks._rule import EDGE, FLANGE, WALL, Idle, Measured, Verdict, rule
from detailgen.geometry import Point
from detailgen.geometry.columns import Column, Span
from detailgen.section import ADHERED, SHEETS, Role, Stage

FOOT_OF_WALL = 10.0
"""Height above the cant, mm, in which the first sheet must have taken hold of the wall."""
CLOSED = 10.0
"""A lap that is stuck along less than this, mm, is not closed."""

WALLING = (Role.WALL, Role.COVER_BOARD, Role.BLOCKING)
"""What the face of a wall can be of."""

Zone = Sequence[tuple[Column, Sequence[Span]]]
"""Columns with what lies on what there, from what must stay dry outward."""


def _hold_point(case: Case) -> Stage | None:
    """Return the stage at which work first waits, or None."""
    return next((s for s in case.section.stages if s.hold), None)


@rule(
    "sheets_at_hold_point",
    kinds=(WALL, EDGE, FLANGE),
    wrong="Work cannot wait here: one sheet does not yet keep water out.",
    built=(Role.STRIP_IN,),
)
def leaky_hold_point(case: Case) -> Verdict:
    """Guards the roof while it waits, perhaps for weeks, for its second sheet.

    Looks at the section as it stands at its hold point, when the strip-in lies. Counted on
    columns from the roof field over the cant to the foot of the wall, or over the flange to
    where the metal leaves the membrane: the fewest sheets are told. Where one sheet takes
    over from another their lap must be stuck down, and the last sheet must be stuck to the
    wall or to the metal; an open lap counts as no sheet. The water path of the section as
    it stands then is followed, too: on its way into roof, cant and flange water must have
    to pass one sheet, or what is worth one.
    """
    hold = _hold_point(case)
    if hold is None:
        return Idle("nothing in its order of building waits for the finish ply")
    built = Case(case.section.at_stage(hold.number), case.rules, case.catalog)
    zone = list(_wall_zone(built) if built.is_a(WALL) else _edge_zone(built))
    found = built.fewest([(c, list(spans)) for c, spans in zone])
    if found is None:
        return Idle("no part of the roof is drawn")
    after = f"After stage {hold.number} ({hold.name.lower()})"
    count, where = found
    if not count:
        return Measured(0, where, reason=f"{after} no sheet lies here yet.")
    for pair, place in (*_open_laps(built, zone), *_open_end(built)):
        reason = f"{after} the lap of {pair[0]} and {pair[1]} is open."
        return Measured(0, place, pair, reason=reason)
    low = [way for way in case.whole.water_at_hold if way.low]
    weakest = min(low, key=lambda way: way.figure, default=None)
    if weakest is None or weakest.figure >= case.rules.value("sheets_at_hold_point"):
        return Measured(count, where)
    reason = f"{after} water has to pass only {weakest.figure:.2f} of a sheet there."
    return Measured(weakest.figure, weakest.at, (weakest.body,), reason=reason)


def _wall_zone(case: Case) -> Iterator[tuple[Column, Sequence[Span]]]:
    """Yield the columns over field, cant and foot of the wall."""
    for column in case.field:
        yield column, case.covering(column)
    x, y = case.at("cant.top")
    for column in (*case.incline, *case.cut((x, y), (x, y + FOOT_OF_WALL))):
        yield column, case.stack(column, 0.0)


def _edge_zone(case: Case) -> Iterator[tuple[Column, Sequence[Span]]]:
    """Yield the columns over the field, and over the metal's flange."""
    for column in case.field:
        yield column, case.covering(column)
    for column in case.cover:
        metal = next((s for s in column.spans if case.body_of(s) is case.flange), None)
        if metal is None:
            yield column, ()
        else:
            yield column, case.stack(column, metal[1])


def _open_laps(case: Case, zone: Zone) -> Iterator[tuple[tuple[str, str], Point]]:
    """Yield the pairs of sheets that lie on one another, or meet, without being stuck."""
    before: tuple[str, ...] = ()
    for column, spans in zone:
        here = tuple(b.id for s in spans if (b := case.body_of(s)).role in SHEETS)
        pairs = list(pairwise(here))
        if before and not set(before) & set(here):
            pairs.append((before[-1], here[-1]))
        for pair in pairs:
            if pair[0] != pair[1] and _stuck(case, {pair[0]}, {pair[1]}) < CLOSED:
                yield pair, column.at
        before = here


def _open_end(case: Case) -> Iterator[tuple[tuple[str, str], Point]]:
    """Yield the strip-in where it is not stuck to the wall or the metal that it ends on."""
    edge = not case.is_a(WALL)
    strips = case.all(Role.STRIP_IN)
    flange = case.flange
    if edge and flange is not None:  # not what lies on a flange elsewhere, as on a wall
        strips = tuple(b for b in strips if b.region.distance(flange.region) < CLOSED)
    ground = case.all(*(FLANGED if edge else WALLING))
    if strips and _stuck(case, {b.id for b in strips}, {b.id for b in ground}) < CLOSED:
        name = "the metal" if edge else "the wall"
        yield (strips[0].id, name), case.at("metal.leaves" if edge else "cant.top")


def _stuck(case: Case, these: Set[str], those: Set[str]) -> float:
    """Return along how much bodies are stuck to others, mm."""
    return fsum(
        j.line.length
        for j in case.section.joints
        if j.bond in ADHERED
        and (
            (j.upper in these and j.lower in those)
            or (j.upper in those and j.lower in these)
        )
    )
