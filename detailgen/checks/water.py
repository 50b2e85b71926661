"""Rules on the way of water: laps shed it, and sealant closes what must be closed."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import dist

from detailgen.checks._case import FLANGED, NEAR, Case
from detailgen.checks._rule import (
    EDGE,
    FLANGE,
    NONE_AT_ALL,
    WALL,
    Idle,
    Measured,
    Verdict,
    rule,
)
from detailgen.finding import Relation
from detailgen.geometry import Point
from detailgen.geometry.columns import Column, Span, columns, outlines, stacked
from detailgen.section import ADHERED, METALS, SHEETS, Body, Role

SHEDDING = SHEETS | {*FLANGED, Role.CLEAT, Role.COUNTERFLASHING, Role.COPING}
"""What water runs down on."""
BEDS = frozenset({Role.CEMENT})
"""What lies between layers and holds them together."""
HANGS = 25.0
"""Metal that hangs before a wall or an edge stands off it by less than this, mm."""
LEANS = 5.0
"""An end that is cut square to a sloping roof leans over by less than this, mm."""
SEALS = 0.5
"""A bead that covers less of a ply's end than this, mm, does not seal it."""


@dataclass(frozen=True, slots=True)
class Run:
    """A way that water takes: columns across the layers, in its order."""

    columns: Sequence[tuple[Column, list[Span]]]
    """Each with what lies on what there, inner layer first."""
    steep: bool
    """It runs fast: a lap must shed it, however it is stuck."""


class Weather:
    """The ways of water over one section, or over one stage of it."""

    def __init__(self, case: Case) -> None:
        """Take what is to be examined."""
        self.case = case
        self.bodies = case.all(*SHEDDING, *BEDS)
        self._shapes = outlines([case.rings(b) for b in self.bodies])

    def _cut(
        self, start: Point, end: Point, gap: float, level: float = 0.0
    ) -> list[tuple[Column, list[Span]]]:
        """Return the columns over a line, each with what lies on what from a level up."""
        return [
            (c, stacked(c.spans, level, upward=True, gap=gap))
            for c in columns(self._shapes, start, end)
        ]

    def _over(self, start: float, end: float) -> list[tuple[Column, list[Span]]]:
        """Return the upright columns over a stretch of roof, each from its lowest layer."""
        found: list[tuple[Column, list[Span]]] = []
        for column in columns(self._shapes, (start, 0.0), (end, 0.0)):
            low = min((s[0] for s in column.spans), default=0.0)
            found.append((column, stacked(column.spans, low, upward=True, gap=NEAR)))
        return found

    def runs(self) -> Iterator[Run]:
        """Yield every way that water takes over the section."""
        yield from self._wall() if self.case.is_a(WALL) else self._edge()

    def _wall(self) -> Iterator[Run]:
        case = self.case
        toe, top = case.at("cant.toe"), case.at("cant.top")
        x0, y0, _, y1 = case.section.extent.bounds
        down = self._cut(top, (top[0], y1), HANGS)[::-1] + self._cut(toe, top, NEAR)[::-1]
        roof = self._over(x0, toe[0])
        if case.section.slope > 0.0:
            # the last steep column stays, so that a lap at the toe is seen
            yield Run(down[-1:] + roof[::-1], steep=False)
        elif case.section.slope < 0.0:
            yield Run(roof, steep=False)
        yield Run(down, steep=True)
        if case.has("wall.joint"):  # the outer face of a coped wall
            x = case.at("wall.joint")[0]
            yield Run(self._cut((x, y1), (x, y0), HANGS), steep=True)

    def _edge(self) -> Iterator[Run]:
        case = self.case
        edge, leaves = case.at("edge.top"), case.at("metal.leaves")
        x0, y0, _, _ = case.section.extent.bounds
        roof = self._over(x0, leaves[0])
        if case.section.slope > 0.0:
            yield Run(roof[::-1], steep=False)
        elif case.section.slope < 0.0:
            yield Run(roof, steep=False)
        if case.is_a(EDGE):
            yield Run(self._cut(edge, (edge[0], y0), HANGS), steep=True)

    def laps(self) -> Iterator[tuple[Body, Body, Point, bool]]:
        """Yield each lap: inner and outer body, where, whether it sheds water.

        Laps that no weather reaches are told once for each column and count as shedding.
        """
        for run in self.runs():
            above: Body | None = None
            passed: set[str] = set()
            for i, (column, spans) in enumerate(run.columns):
                layers = [b for s in spans if (b := self.bodies[s[2]]).role in SHEDDING]
                for inner, outer in pairwise(layers):
                    yield inner, outer, column.at, True
                if above is not None and layers and layers[-1] is not above:
                    before, outer = above, layers[-1]
                    if before in layers and outer.id not in passed:
                        sheds = not run.steep and self._closed(run, i, before, outer)
                        yield before, outer, column.at, sheds
                    passed.add(before.id)
                above = layers[-1] if layers else None

    def _closed(self, run: Run, start: int, inner: Body, outer: Body) -> bool:
        """Tell whether a sheet is stuck down, through all between, where a lap begins."""
        if outer.role not in SHEETS:
            return False
        first = run.columns[start][0]
        return any(
            self._stuck(column, spans, inner, outer)
            for column, spans in run.columns[start:]
            if dist(column.at, first.at) < LEANS
        )

    def _stuck(
        self, column: Column, spans: Sequence[Span], inner: Body, outer: Body
    ) -> bool:
        """Tell whether all that one column meets from one layer to another is stuck."""
        ids = [self.bodies[s[2]].id for s in spans]
        if not {inner.id, outer.id} <= set(ids):
            return False
        low, high = ids.index(inner.id), len(ids) - 1 - ids[::-1].index(outer.id)
        stuck = {
            frozenset((j.upper, j.lower))
            for j in self.case.section.joints
            if j.bond in ADHERED and _reaches(j.line.bounds, column.at[0])
        }
        return all(frozenset(pair) in stuck for pair in pairwise(ids[low : high + 1]))


def _reaches(bounds: tuple[float, float, float, float], x: float) -> bool:
    """Tell whether a joint reaches an upright column."""
    return bounds[0] - 1.0 <= x <= bounds[2] + 1.0


def _exposed(case: Case) -> Iterator[Case]:
    """Yield the section as finished, and as it waits at each hold point."""
    yield case
    section = case.section
    last = max((b.stage for b in section.bodies), default=0)
    for stage in section.stages:
        if stage.hold and stage.number < last:
            yield Case(section.at_stage(stage.number), case.rules, case.catalog)


@rule(
    "laps_shed_water",
    kinds=(WALL, EDGE, FLANGE),
    relation=Relation.AT_MOST,
    asked=NONE_AT_ALL,
    wrong="A lap faces the water.",
    title="Laps that face the water, none",
    built=(Role.STRIP_IN,),
    at_rest=True,
)
def backwater_lap(case: Case) -> Verdict:
    """Guards every lap against water that runs into it, on the way that water takes there.

    Followed downhill over what is exposed: down the wall and the cant, over the roof as it
    falls, over the flange, down the face at an edge and down the outside of a coped wall.
    Wherever another layer becomes the outermost, it must come out from under the one
    before; a layer that begins on top of it faces the water. On the roof itself a sheet
    that is stuck down all through its lap may begin so, since every strip-in and flashing
    does on one of its sides; on steep faces, and for metal and loose sheets, nothing
    excuses it. Counted as pairs of layers, on the finished section and as it waits at its
    hold point. Water that runs along a wall or an edge meets no lap of the section.
    """
    seen: set[tuple[str, str]] = set()
    wrong: dict[tuple[str, str], tuple[Point, str]] = {}
    for exposed in _exposed(case):
        for inner, outer, where, sheds in Weather(exposed).laps():
            seen.add((inner.id, outer.id))
            if not sheds:
                reason = f"{outer.id} begins on top of {inner.id} and faces the water."
                wrong.setdefault((inner.id, outer.id), (where, reason))
    if not seen:
        return Idle("no two layers lap that water runs down on")
    if not wrong:
        return Measured(0, case.anchor())
    pair, (where, reason) = next(iter(wrong.items()))
    return Measured(len(wrong), where, pair, reason=reason)


@rule(
    "bead_leg_least",
    kinds=(EDGE, WALL),
    wrong="The bead of sealant is missing or too small.",
    built=(Role.BEAD, Role.EQUIPMENT),  # a strip under a unit seals once the unit stands
)
def missing_bead(case: Case) -> Verdict:
    """Guards the end of the finish ply at the metal, or the top of a counterflashing.

    Measured along the faces that the bead seals: the metal's, and on a wall the
    wall's, at a raised edge the top of the finish ply; the shorter one is told. At a flush
    edge the end of the finish ply is only as high as the ply, so there the metal's alone
    counts. A bead that misses one of its two sides seals nothing.
    """
    edge = not case.is_a(WALL)
    if not edge and not case.has("cf.top"):
        return Idle("a coping or a cap needs no bead of sealant")
    where = case.at("metal.leaves" if edge else "cf.top")
    beads = [(_leg(case, b), b) for b in case.all(Role.BEAD)]
    if not beads:
        return Measured(0.0, where, reason="There is no bead of sealant.")
    leg, bead = min(beads, key=lambda found: found[0])
    x0, y0, x1, y1 = bead.region.bounds
    return Measured(leg, ((x0 + x1) / 2.0, (y0 + y1) / 2.0), (bead.id,))


def _leg(case: Case, bead: Body) -> float:
    """Return the shorter of the faces along which a bead seals; 0 when it misses one."""
    roles = {b.id: b.role for b in case.section.bodies}
    sealed = None if case.is_a(WALL) else Role.FINISH_PLY
    metal = other = 0.0
    for joint in case.section.joints_of(bead.id):
        role = roles.get(joint.lower if joint.upper == bead.id else joint.upper)
        if role in METALS:
            metal += joint.line.length
        elif role is sealed or (sealed is None and role is not None):
            other += joint.line.length
    flush = not case.is_a(WALL) and not case.has("leg.top")
    if flush:
        return metal if other > SEALS else 0.0
    return min(metal, other)
