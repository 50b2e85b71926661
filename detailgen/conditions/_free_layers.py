"""Lays the layers of a free section, one after another, on the stacking engine."""

from collections.abc import Sequence
from itertools import pairwise

from detailgen.conditions._bonds import by_material
from detailgen.conditions._condition import Site
from detailgen.conditions._free_parameters import GroundBody, Layer, Stretch, SurfacePoint
from detailgen.conditions._free_places import Fault, Names
from detailgen.conditions._free_words import Spot
from detailgen.conditions._metalwork import driven
from detailgen.conditions._terminations import through
from detailgen.geometry import Line, Point, Region
from detailgen.geometry.regions import cut, overlap_area, polygon
from detailgen.geometry.strips import parallel, polyline, ribbon
from detailgen.geometry.surfaces import SAME, Surface
from detailgen.section import Body, Bond, Coat, Role
from detailgen.stacking import BondRule, Spec, Stack, everywhere

_USUAL = {"bed": Bond.CEMENT, "fill": Bond.DRY, "metal": Bond.DRY, "solid": Bond.DRY}
"""How a layer is stuck where the file does not say."""


def ground_bodies(given: Sequence[GroundBody], names: Names, site: Site) -> list[Body]:
    """Return the solids that are there before roofing starts.

    Raises:
        Fault: The corners of one do not enclose an area.
    """
    bodies: list[Body] = []
    for number, one in enumerate(given):
        region = _region(one.points, names, ("body", number))
        bodies.append(
            Body(
                one.id,
                one.role,
                one.material,
                region,
                one.stage,
                one.name or site.catalog.materials[one.material].name,
                thickness=one.thickness or 0.0,
                sticks=one.sticks,
            )
        )
    return bodies


def ground_surface(
    given: Sequence[SurfacePoint], names: Names, bodies: Sequence[Body]
) -> tuple[Surface, list[Point]]:
    """Return the surface that lies open before roofing starts, and what closes it.

    Raises:
        Fault: It has a stretch of no length, or crosses itself.
    """
    points = [_spot(one.at, names, ("surface", i, "at")) for i, one in enumerate(given)]
    for i, (a, b) in enumerate(pairwise(points), 1):
        if abs(a[0] - b[0]) + abs(a[1] - b[1]) < 1e-3:
            msg = "this corner lies on the one before it"
            raise Fault(msg, mend="Take one of the two out.").at("surface", i, "at")
    corners = [p for b in bodies for p in b.region.exterior.coords] + points
    low, right = min(p[1] for p in corners), max(p[0] for p in corners)
    left, end = points[0][0], points[-1]
    closing = [(right, end[1]), (right, low), (left, low)]
    kept: list[Point] = []
    for p in closing:
        last = kept[-1] if kept else end
        if abs(p[0] - last[0]) + abs(p[1] - last[1]) > SAME:
            kept.append(p)
    whole = polygon([*points, *kept])
    if not whole.is_valid or whole.area < 1.0:
        msg = "the surface crosses itself, or has nothing under it"
        mend = "Give its corners from the left end on, with the air on the left hand."
        raise Fault(msg, mend=mend).at("surface")
    return Surface(tuple(points), tuple(one.on for one in given[1:])), kept


class Layers:
    """Lays one layer after another on a stack."""

    def __init__(self, stack: Stack, names: Names, site: Site) -> None:
        """Start on the ground."""
        self.stack, self.names, self.site = stack, names, site

    def lay(self, number: int, layer: Layer) -> None:
        """Lay one layer.

        Raises:
            Fault: It cannot be laid.
        """
        steps = {
            "sheet": self._strip,
            "bed": self._strip,
            "fill": self._fill,
            "metal": self._metal,
            "solid": self._solid,
            "coat": self._coat,
            "fastener": self._fastener,
        }
        try:
            steps[layer.lay](number, layer)
        except Fault as fault:
            raise fault.at("layer", number) from None
        except (AssertionError, ValueError, ZeroDivisionError, IndexError) as error:
            msg = "the layer cannot be laid where it is said to lie"
            mend = "Look at its start, its end and its line: it has no room there."
            raise Fault(msg, mend=mend).at("layer", number) from error

    def _spec(self, layer: Layer) -> Spec:
        assert layer.role is not None
        material = self.site.catalog.materials[layer.material]
        return Spec(
            layer.id,
            layer.role,
            layer.material,
            layer.name or material.name,
            layer.stage,
            self._thick(layer),
            layer.sticks,
        )

    def _thick(self, layer: Layer) -> float:
        """Return the thickness to draw, mm."""
        more = self.site.thickening
        times = {"sheet": more.sheet, "bed": more.bed, "metal": more.metal}
        true = self.site.catalog.materials[layer.material].thickness
        return true * times[layer.lay] if layer.lay in times else layer.thickness or 0.0

    def _stations(self, number: int, layer: Layer) -> tuple[float, float]:
        assert layer.start is not None
        assert layer.end is not None
        found: list[float] = []
        for key, place in (("start", layer.start), ("end", layer.end)):
            try:
                found.append(self.names.station(place, self.stack.surface))
            except Fault as fault:
                raise fault.at("layer", number, key) from None
        start, end = found
        if end - start < 0.5:
            msg = "the layer ends where it begins, or before"
            mend = "Exchange start and end, or draw them apart."
            raise Fault(msg, mend=mend).at("layer", number, "end")
        return start, end

    def _bond(self, number: int, layer: Layer) -> BondRule:
        """Return how a layer is stuck, and cut the surface where a stretch begins."""
        usual: BondRule = by_material(self.site, self.stack.bodies)
        if layer.bond is not None:
            usual = everywhere(layer.bond)
        elif layer.lay in _USUAL:
            usual = everywhere(_USUAL[layer.lay])
        if not layer.stretches:
            return usual
        spans = [self._stretch(number, i, s) for i, s in enumerate(layer.stretches)]
        on = self.stack.surface
        self.stack.surface = on.noded([m for low, high in spans for m in (low, high)])
        parts = list(zip(layer.stretches, spans, strict=True))

        def rule(owner: str, at: Point) -> Bond:
            here = on.station_of(at)
            for stretch, (low, high) in parts:
                if stretch.on in {"", owner} and low - SAME <= here <= high + SAME:
                    return stretch.bond
            return usual(owner, at)

        return rule

    def _stretch(self, number: int, i: int, stretch: Stretch) -> tuple[float, float]:
        on, found = self.stack.surface, [0.0, self.stack.surface.length]
        for which, (key, place) in enumerate((
            ("start", stretch.start),
            ("end", stretch.end),
        )):
            if place is not None:
                try:
                    found[which] = self.names.station(place, on)
                except Fault as fault:
                    raise fault.at("layer", number, "stretches", i, key) from None
        return found[0], found[1]

    def _strip(self, number: int, layer: Layer) -> None:
        bond = self._bond(number, layer)
        start, end = self._stations(number, layer)
        body = self.stack.lay(self._spec(layer), start, end, bond, butt=layer.fitted)
        _sound(body)
        self.names.laid(body)

    def _fill(self, number: int, layer: Layer) -> None:
        bond = self._bond(number, layer)
        start, end = self._stations(number, layer)
        on = self.stack.surface
        over = self._line(number, layer) or [on.at(start), on.at(end)]
        body = self.stack.cover(self._spec(layer), start, end, over, bond)
        _sound(body)
        self.names.laid(body)

    def _metal(self, number: int, layer: Layer) -> None:
        t = self._thick(layer)
        centre = self._line(number, layer, t)
        if layer.start is not None and layer.end is not None:
            points, _ = self.stack.surface.between(*self._stations(number, layer))
            lying = parallel(points, t / 2.0)
            if lying is None:
                msg = "the metal cannot follow the surface there"
                raise Fault(msg, mend="Let it lie on a smoother stretch.")
            centre = [*lying, *centre]
        spec = self._spec(layer)
        self._set(layer, spec, ribbon(centre, t), polyline(centre))

    def _solid(self, number: int, layer: Layer) -> None:
        whole = _region(layer.points, self.names, ("layer", number))
        others = [b.region for b in self.stack.bodies if b.role is not Role.FASTENER]
        near = [r for r in others if overlap_area(r, whole) > 0.0]
        left = cut(whole, near)
        if not left:
            msg = "the solid lies wholly inside what is there already"
            raise Fault(msg, mend="Change its corners.")
        self._set(layer, self._spec(layer), left[0], None)

    def _set(self, layer: Layer, spec: Spec, region: Region, course: Line | None) -> None:
        """Add a body of given shape with the joints that the layer names."""
        body = Body(
            spec.id,
            spec.role,
            spec.material,
            region,
            spec.stage,
            spec.name,
            thickness=spec.thickness,
            course=course,
            sticks=spec.sticks,
        )
        _sound(body)
        if layer.carries:
            self.stack.place(body)
            if spec.id not in self.stack.surface.owners:
                msg = "it does not touch what lies under it, so that nothing can lie on it"
                mend = "Let it lie on the surface: give it a start and an end."
                raise Fault(msg, mend=mend)
        else:
            self.stack.add(body)
        named = {s.on: s.bond for s in layer.stretches if s.on}
        for other, bond in named.items():
            self.stack.joints += self.stack.touching(body, bond, other)
        if layer.bond is not None:
            rest = [b.id for b in self.stack.bodies if b is not body and b.id not in named]
            self.stack.joints += self.stack.touching(body, layer.bond, *rest)

    def _coat(self, number: int, layer: Layer) -> None:
        if layer.line:
            line = self._line(number, layer)
            self.stack.coats.append(
                Coat(layer.id, layer.name, layer.body, Line(line), layer.stage)
            )
            return
        self.stack.coat(layer.id, layer.name, layer.stage, *self._stations(number, layer))

    def _fastener(self, number: int, layer: Layer) -> None:
        head, into = self._line(number, layer)
        depth = layer.cap_depth
        assert layer.shank is not None
        body = driven(
            layer.id,
            layer.material,
            layer.name or self.site.catalog.materials[layer.material].name,
            layer.stage,
            head,
            into,
            shank=layer.shank,
            cap=layer.cap or 2.0 * layer.shank,
            cap_depth=1.0 if depth is None else self.names.value(depth, 1),
        )
        self.stack.add(body)
        self.stack.pierce(body.id, through(self.stack, body))

    def _line(self, number: int, layer: Layer, thick: float = 0.0) -> list[Point]:
        return [
            _spot(at, self.names, ("layer", number, "line", i), thick)
            for i, at in enumerate(layer.line)
        ]


def _spot(
    at: Spot, names: Names, where: tuple[str | int, ...], thick: float = 0.0
) -> Point:
    try:
        return names.spot(at, thick)
    except Fault as fault:
        raise fault.at(*where) from None


def _region(spots: Sequence[Spot], names: Names, where: tuple[str | int, ...]) -> Region:
    corners = [_spot(at, names, (*where, "points", i)) for i, at in enumerate(spots)]
    region = polygon(corners)
    if not region.is_valid or region.area < 1e-3:
        msg = "the corners do not go round one area"
        mend = "Give them in order, so that no side crosses another."
        raise Fault(msg, mend=mend).at(*where, "points")
    return region


def _sound(body: Body) -> None:
    if not body.region.is_valid or body.region.area < 1e-3:
        msg = "the layer has no sound shape there"
        raise Fault(msg, mend="Look at its start, its end and its line.")
