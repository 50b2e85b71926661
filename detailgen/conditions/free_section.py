"""A free section: one that the parameter file alone describes.

    surface: 1 ------- 2        from its left end, the air on the left hand;
                       |        each stretch says which body it lies on
         body: deck,   |
         boards, wall  3 ---- 4

    layer 1   start = "start",     end = { point = "cant.top", corner = "4 in" }
    layer 2   start = { point = "cant.toe", across = "-3 in" },  end = ...
    layer 3   a metal along a line of points, a bead, a coat, a fastener

Bodies are closed outlines of points. Layers follow in the order of building, each on what
is exposed when its turn comes. Points have names, so that layers, dimensions and rules can
refer to them; every sheet, bed and fill adds its own corners: `base-ply.start`,
`base-ply.end.top`. Coordinates are sums: `roof - 3 in` is below the roof plane there,
`cant.top + 2 in` above a point, `0.5 t` half the thickness of the metal in question.
"""

from dataclasses import replace
from functools import cache

from detailgen.conditions._condition import Condition, Impossible, Site
from detailgen.conditions._dryness import ABSORBS
from detailgen.conditions._free_example import EXAMPLE, example_tables
from detailgen.conditions._free_faults import faults
from detailgen.conditions._free_layers import Layers, ground_bodies, ground_surface
from detailgen.conditions._free_parameters import DryModel, FreeSection, ZoneModel
from detailgen.conditions._free_places import Fault, Names
from detailgen.conditions._free_views import companion
from detailgen.conditions._ground import Plane
from detailgen.conditions._terminations import closed_by
from detailgen.geometry import Line, Point, Region
from detailgen.geometry.regions import box, overlap_area
from detailgen.parameters import FROM_FILE
from detailgen.section import (
    TRUE_SIZE,
    Body,
    Gauge,
    LayeredSection,
    Role,
    Stage,
    Thickening,
    Zone,
)
from detailgen.stacking import Stack, clipped

_FAR = 1e4
_MARGIN = 38.0
"""What is drawn beyond the bodies, mm."""
_CROWDED = 0.5
"""Bodies that share more than this, mm2, were drawn too thick."""
_NEVER_IDLE = frozenset({"closed_pocket", "solids_overlap"})
_FALL = {"left": 1.0, "right": -1.0, "along": 0.0}


@cache
def _example() -> FreeSection:
    tables = {"id": "example", **example_tables()}
    return FreeSection.model_validate(tables, context={FROM_FILE: True})


def _shape(p: FreeSection) -> FreeSection:
    """Return what is built: the example, where the file says nothing of the shape."""
    return p if p.body or p.surface or p.layer or p.point else _example()


def impossible(p: FreeSection, site: Site) -> list[Impossible]:
    """Return what cannot be built of these tables."""
    shape = _shape(p)
    found = faults(shape, site.catalog)
    if not found:
        try:
            _Work(shape, replace(site, thickening=TRUE_SIZE)).section()
        except Fault as fault:
            where = fault.where or ("layer",)
            key = (str(where[0]),)
            found.append(
                Impossible(key, fault.message, fault.allowed, fault.mend, at=where)
            )
    return found


def build(p: FreeSection, site: Site) -> LayeredSection:
    """Build the section, as thick as it can be drawn without things running together."""
    shape = _shape(p)
    wanted = site.thickening
    if wanted == TRUE_SIZE:
        return _Work(shape, site).section()
    for share in (1.0, 0.5, 0.25):
        thick = Thickening(
            *(
                1.0 + (factor - 1.0) * share
                for factor in (wanted.sheet, wanted.metal, wanted.bed)
            )
        )
        for tried in (thick, Thickening(thick.sheet, 1.0, thick.bed)):
            try:
                section = _Work(shape, replace(site, thickening=tried)).section()
            except Fault:
                continue
            if not _crowded(section):
                return section
    return _Work(shape, replace(site, thickening=TRUE_SIZE)).section()


def _crowded(section: LayeredSection) -> bool:
    solid = [b.region for b in section.bodies if b.role is not Role.FASTENER]
    return any(
        overlap_area(a, b) > _CROWDED for i, a in enumerate(solid) for b in solid[:i]
    )


class _Work:
    """One section in the making."""

    def __init__(self, p: FreeSection, site: Site) -> None:
        self.p, self.site = p, site
        self.plane = Plane(site.roof.slope * _FALL[p.fall])
        self.names = Names(self.plane, {one.name: one.at for one in p.point})
        bodies = ground_bodies(p.body, self.names, site)
        surface, closing = ground_surface(p.surface, self.names, bodies)
        self.stack = Stack(bodies, surface, closing, site.mistakes)
        layers = Layers(self.stack, self.names, site)
        for number, layer in enumerate(p.layer):
            layers.lay(number, layer)
        self.points = {one.name: self.names.point(one.name) for one in p.point}
        heads = {
            one.id: self.names.spot(one.line[0]) for one in p.layer if one.lay == "fastener"
        }
        by_id = {b.id: b for b in self.stack.bodies}
        self.layouts = companion(p, site, self.points, by_id, heads)

    def section(self) -> LayeredSection:
        """Gather everything into the section."""
        p, site, t = self.p, self.site, self.site.thickening
        extent = self._extent()
        bodies = clipped(self.stack.bodies, extent)
        return LayeredSection(
            kind="free-section",
            variant=", ".join(p.families) or "free",
            bodies=bodies,
            joints=tuple(self.stack.joints),
            coats=tuple(self.stack.coats),
            points=self.points | self._corners(),
            gauges=tuple(
                Gauge(
                    f"gauge-{i}",
                    one.start,
                    one.end,
                    one.axis,
                    one.suffix,
                    one.label,
                    one.rank,
                )
                for i, one in enumerate(p.gauge, 1)
            ),
            stages=self._stages(),
            method=site.roof.adhesion,
            slope=self.plane.tilt,
            extent=extent,
            breaks=tuple(
                Line([self.names.spot(one.start), self.names.spot(one.end)])
                for one in p.edge
            ),
            hollows=closed_by(self.stack.bodies, *p.hollows) if p.hollows else (),
            layouts=self.layouts,
            never_idle=_NEVER_IDLE,
            side_of_air=self._side_of_air(),
            notes=p.notes,
            roof_slope=site.roof.slope,
            sheet_factor=t.sheet,
            metal_factor=t.metal,
            bed_factor=t.bed,
            must_stay_dry=self._dry(bodies),
            dry_within={one.body: self._within(one) for one in p.dry if _limited(one)},
            zones=self._zones(),
            families=frozenset(p.families),
        )

    def _corners(self) -> dict[str, Point]:
        """Return the corners of layers that a dimension refers to."""
        told = {name for one in self.p.gauge for name in (one.start, one.end)}
        return {name: self.names.point(name) for name in told - set(self.points)}

    def _extent(self) -> Region:
        if len(self.p.drawn) == 2:
            (x0, y0), (x1, y1) = map(self.names.spot, self.p.drawn)
            x0, x1, y0, y1 = min(x0, x1), max(x0, x1), min(y0, y1), max(y0, y1)
            if x1 - x0 < 1.0 or y1 - y0 < 1.0:
                msg = "the two corners enclose nothing"
                raise Fault(msg, mend="Give two opposite corners.").at("drawn")
            return box(x0, y0, x1, y1)
        bounds = [b.region.bounds for b in self.stack.bodies]
        points = self.stack.surface.points
        left = points[0][0]
        return box(
            left,
            min([b[1] for b in bounds] + [p[1] for p in points]),
            max([b[2] for b in bounds] + [p[0] for p in points]) + _MARGIN,
            max([b[3] for b in bounds] + [p[1] for p in points]) + _MARGIN,
        )

    def _side_of_air(self) -> str:
        """Return where callouts come from: over the section, or from the left of a wall."""
        (x0, y0), (x1, y1) = self.stack.surface.points[0], self.stack.surface.points[-1]
        return "left" if y1 - y0 > 0.5 * abs(x1 - x0) else "top"

    def _stages(self) -> tuple[Stage, ...]:
        if self.p.stage:
            return tuple(
                Stage(i, one.name, one.text, one.hold)
                for i, one in enumerate(self.p.stage, 1)
            )
        named: dict[int, list[str]] = {}
        for body in self.stack.bodies:
            if body.stage:
                named.setdefault(body.stage, []).append(body.name)
        for coat in self.stack.coats:
            if coat.stage:
                named.setdefault(coat.stage, []).append(coat.name)
        return tuple(
            Stage(number, f"Step {number}", f"{'; '.join(dict.fromkeys(named[number]))}.")
            for number in sorted(named)
        )

    def _dry(self, bodies: tuple[Body, ...]) -> tuple[str, ...]:
        if self.p.dry:
            kept = {b.id for b in bodies}
            return tuple(dict.fromkeys(d.body for d in self.p.dry if d.body in kept))
        return tuple(b.id for b in bodies if b.role in ABSORBS)

    def _zones(self) -> tuple[Zone, ...]:
        given = self.p.zone or (ZoneModel(name="roof", low=True),)
        return tuple(
            Zone(one.name or f"zone {i}", self._within(one), low=one.low)
            for i, one in enumerate(given, 1)
        )

    def _within(self, limits: ZoneModel | DryModel) -> Region:
        def at(key: str, axis: int, usual: float) -> float:
            written = getattr(limits, key)
            return usual if written is None else self.names.value(written, axis)

        x0, x1 = at("left", 0, -_FAR), at("right", 0, _FAR)
        y0, y1 = at("above", 1, -_FAR), at("below", 1, _FAR)
        if x1 <= x0 or y1 <= y0:
            msg = "its limits leave nothing between them"
            mend = "Exchange them, or leave one out."
            raise Fault(msg, mend=mend).at("zone" if self.p.zone else "dry")
        return box(x0, y0, x1, y1)


def _limited(one: DryModel) -> bool:
    return any(getattr(one, key) is not None for key in ("left", "right", "below", "above"))


CONDITION = Condition(
    kind="free-section",
    title="Free section",
    about="A section that no list foresees: ground by points, layers by where they lie",
    parameters=FreeSection,
    build=build,
    impossible=impossible,
    families=frozenset({"wall", "roof-edge", "flange"}),
    example=EXAMPLE,
)
