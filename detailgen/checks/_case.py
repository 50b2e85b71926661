"""One section under examination: what several rules look at is measured once and kept."""

from collections.abc import Iterable, Sequence
from functools import cached_property
from math import hypot

from detailgen.catalog import Catalog, Material, RuleSet
from detailgen.checks._sides import sides
from detailgen.geometry import Point
from detailgen.geometry.columns import (
    Column,
    Outlines,
    Rings,
    Span,
    columns,
    outlines,
    rings,
    stacked,
)
from detailgen.geometry.measures import Fused, fused
from detailgen.section import SHEETS, Body, LayeredSection, Role
from detailgen.waterpath import Waters, Way

LOOKED_THROUGH = frozenset({Role.CEMENT})
"""What may lie between two sheets that still count as lying on one another."""
NO_LAYERS = frozenset({Role.DECK, Role.FASTENER, Role.CLEAT})
"""What no rule counts on columns: the deck lies below all, the others pass through."""
NEAR = 10.0
"""Layers closer than this, mm, lie on one another; a void between them is a pocket."""


FLANGED = (Role.EDGE_METAL, Role.SLEEVE, Role.PAN, Role.DRAIN_LEAD, Role.LINER)
"""Roles of metal that is set in the membrane by a flange."""


class Case:
    """A section with the rule set and the catalogue that it is held against."""

    def __init__(
        self,
        section: LayeredSection,
        rules: RuleSet,
        catalog: Catalog,
        whole: "Case | None" = None,
    ) -> None:
        """Take what is to be examined; nothing is measured before it is asked for.

        Args:
            section: The section, or one side of it.
            rules: What it is held against.
            catalog: What its bodies are made of.
            whole: All of the section, where `section` is one side.
        """
        self.section = section
        self.rules = rules
        self.catalog = catalog
        self._whole = whole

    @property
    def whole(self) -> "Case":
        """All of the section.

        Not kept of a case that is the whole itself: what does not refer to itself is gone
        as soon as nobody needs it.
        """
        return self if self._whole is None else self._whole

    @cached_property
    def sides(self) -> tuple["Case", ...]:
        """Both sides of a section that has two, the right one turned over; else none."""
        return tuple(
            Case(side, self.rules, self.catalog, self) for side in sides(self.section)
        )

    # --- bodies and points -----------------------------------------------------------

    def first(self, *roles: Role) -> Body | None:
        """Return the first body with one of the roles, or None."""
        return next((b for b in self.section.bodies if b.role in roles), None)

    def highest(self, *roles: Role) -> Body | None:
        """Return the body with one of the roles that reaches highest, or None."""
        return max(self.all(*roles), key=lambda b: b.region.bounds[3], default=None)

    def lowest(self, *roles: Role) -> Body | None:
        """Return the body with one of the roles that reaches lowest, or None."""
        return min(self.all(*roles), key=lambda b: b.region.bounds[1], default=None)

    def outermost(self, *roles: Role) -> Body | None:
        """Return the body with one of the roles that reaches furthest out on the roof."""
        return min(self.all(*roles), key=lambda b: b.region.bounds[0], default=None)

    def innermost(self, *roles: Role) -> Body | None:
        """Return the body with one of the roles that comes nearest to wall or edge."""
        return max(self.all(*roles), key=lambda b: b.region.bounds[2], default=None)

    def all(self, *roles: Role) -> tuple[Body, ...]:
        """Return the bodies with one of the roles."""
        return self.section.of_role(*roles)

    def is_a(self, kind: str) -> bool:
        """Tell whether the rules for a kind of condition apply to the section."""
        return kind == self.section.kind or kind in self.section.families

    def has(self, point: str) -> bool:
        """Tell whether the section has a point of this name."""
        return point in self.section.points

    def at(self, point: str) -> Point:
        """Return a named point of the section."""
        return self.section.points[point]

    def anchor(self) -> Point:
        """Return a point of the section that always exists, for what has no other place."""
        for name in ("cant.toe", "edge.top"):
            if name in self.section.points:
                return self.section.points[name]
        x0, y0, x1, y1 = self.section.extent.bounds
        return ((x0 + x1) / 2.0, (y0 + y1) / 2.0)

    def material(self, body: Body) -> Material:
        """Return what a body is made of."""
        return self.catalog.material(body.material)

    def corners(self, body: Body) -> tuple[Point, ...]:
        """Return the corners of a body's outer ring."""
        return self._rings[body.id][0]

    def rings(self, body: Body) -> Rings:
        """Return all rings of a body."""
        return self._rings[body.id]

    def outer_end(self, body: Body) -> Point:
        """Return where a sheet ends out on the roof: the lower corner of its left end.

        The end is cut square to the roof, so that its upper corner may lie further out.
        """
        ring = self.corners(body)
        left = min(ring)
        near = 1.2 * body.thickness
        ends = [p for p in ring if hypot(p[0] - left[0], p[1] - left[1]) <= near]
        return min(ends, key=lambda p: p[1], default=left)

    @cached_property
    def fused(self) -> Fused:
        """All bodies but fasteners, which lie inside others, as one."""
        solid = [b.region for b in self.section.bodies if b.role is not Role.FASTENER]
        return fused(solid)

    @cached_property
    def _waters(self) -> Waters:
        return Waters(self.section, self.rules)

    @property
    def water(self) -> tuple[Way, ...]:
        """The easiest way of water into each zone."""
        return self._waters.built

    @cached_property
    def water_at_hold(self) -> tuple[Way, ...]:
        """The same while work waits at the hold point; none where it never waits."""
        hold = next((s for s in self.section.stages if s.hold), None)
        return () if hold is None else self._waters.at_stage(hold.number)

    # --- columns ---------------------------------------------------------------------

    @cached_property
    def _rings(self) -> dict[str, Rings]:
        return {b.id: rings(b.region) for b in self.section.bodies}

    @cached_property
    def _layers(self) -> tuple[Body, ...]:
        return tuple(b for b in self.section.bodies if b.role not in NO_LAYERS)

    @cached_property
    def _outlines(self) -> Outlines:
        return outlines([self._rings[b.id] for b in self._layers])

    def cut(self, start: Point, end: Point) -> list[Column]:
        """Return the columns over a line through all layers of the section."""
        return columns(self._outlines, start, end)

    def body_of(self, span: Span) -> Body:
        """Return the body that a column's span runs through."""
        return self._layers[span[2]]

    def sheets(self, spans: Iterable[Span]) -> int:
        """Return how many different sheets come before anything else does."""
        found: set[str] = set()
        for span in spans:
            body = self.body_of(span)
            if body.role in SHEETS:
                found.add(body.id)
            elif body.role not in LOOKED_THROUGH:
                break
        return len(found)

    @cached_property
    def flange(self) -> Body | None:
        """The metal whose flange lies in the membrane, or None."""
        return self.first(*FLANGED)

    @cached_property
    def flange_start(self) -> float:
        """Outer end of the flange (x); where it should be when the metal is missing."""
        metal = self.flange
        return self.at("flange.outer")[0] if metal is None else self.outer_end(metal)[0]

    @cached_property
    def field(self) -> list[Column]:
        """Columns from the roof field to the toe of the cant, or to the flange's end.

        Where there is neither, they go through to the other side.
        """
        left, _, right, _ = self.section.extent.bounds
        stop = right  # of a section of the field alone
        if self.has("cant.toe"):
            stop = self.at("cant.toe")[0]
        elif self.first(*FLANGED) or self.has("flange.outer"):
            stop = self.flange_start
        return self.cut((left, 0.0), (stop, 0.0))

    @cached_property
    def incline(self) -> list[Column]:
        """Columns square to the face of the bare cant, from its toe to its top."""
        return self.cut(self.at("cant.toe"), self.at("cant.top"))

    @cached_property
    def upright(self) -> list[Column]:
        """Columns square to the wall, from the top of the cant to the top of the drawing.

        They reach as far out as the cant does: a roof that falls toward the wall rises into
        them further out.
        """
        foot = self.at("cant.top")
        reach = foot[0] - self.at("cant.toe")[0]
        return [
            Column(c.at, c.width, tuple(s for s in c.spans if s[0] < reach))
            for c in self.cut(foot, (foot[0], self.section.extent.bounds[3]))
        ]

    @cached_property
    def cover(self) -> list[Column]:
        """Columns over the flange, from its outer end to where metal leaves the sheets."""
        start, end = self.flange_start, self.at("metal.leaves")[0]
        return self.cut((start, 0.0), (end, 0.0)) if start < end else []

    def stack(self, column: Column, level: float, *, upward: bool = True) -> list[Span]:
        """Return what lies on what in a column, from a level on."""
        return stacked(column.spans, level, upward=upward, gap=NEAR)

    def covering(self, column: Column) -> list[Span]:
        """Return what lies on what in an upright column, from its lowest sheet up."""
        lows = [s[0] for s in column.spans if self.body_of(s).role in SHEETS]
        return self.stack(column, min(lows)) if lows else []

    def fewest(self, zone: Sequence[tuple[Column, list[Span]]]) -> tuple[int, Point] | None:
        """Return the least number of sheets in a zone, and where; None for no zone."""
        counts = [(self.sheets(spans), column.at) for column, spans in zone]
        return min(counts, key=lambda found: found[0], default=None)
