r"""Roof edge with flanged metal, stripped in: raised edge, or flush drip edge.

                 |<-- flange -->|        _
                 |              | |      rise
    finish ______.______________|_|      -
    strip-in  |<- strip_in ->|__   |
    base ply _________________  |  |     edge.top: datum of drops
              | nailers       | |  |
    boards    |_______________|_|  | <- face, over the drop of the base ply
    deck ______________________ |  |    and over the cleat
              | wall          | \  \_ kick, hooked over the cleat

Drops are vertical from the top of the nailer. The flange runs from its outer end (out on
the roof) to the raised leg, or on a flush edge to the bend.
"""

from dataclasses import dataclass, replace
from math import fsum, hypot
from typing import Literal

from detailgen.conditions._bonds import by_material
from detailgen.conditions._condition import Condition, Impossible, Site, Thickening
from detailgen.conditions._dryness import dry_edge
from detailgen.conditions._edge_plan import EdgePlan, flange_plan
from detailgen.conditions._edge_words import stages
from detailgen.conditions._flange import Flange, FlangeSizes, top_corner, usual_nail
from detailgen.conditions._ground import DECK_THICKNESS, Plane, Roof, roof_beside
from detailgen.conditions._metalwork import FOLD, HEM, cleat_for, driven, hooked_pair, kick
from detailgen.conditions._turn_up_words import HOW
from detailgen.geometry import Line, Point, Region
from detailgen.geometry.measures import fused
from detailgen.geometry.regions import box, cut, overlap_area, polygon
from detailgen.geometry.strips import polyline, ribbon
from detailgen.geometry.surfaces import Surface
from detailgen.lumber import LumberStack, stack_to, width_for
from detailgen.parameters import Length, Placed, choice, count, length
from detailgen.section import Axis, Body, Bond, Gauge, LayeredSection, Method, Role, Stand
from detailgen.stacking import Spec, Stack, clipped, everywhere
from detailgen.units import inches

Metal = Literal[
    "galvanized-24",
    "aluminium-032",
    "aluminium-040",
    "aluminium-050",
    "stainless-025",
    "copper-16",
    "copper-20",
]


class RoofEdge(Placed, frozen=True):
    """Parameters of a roof edge."""

    edge: Literal["raised", "flush"] = choice(
        "Raised edge with an upstanding leg, or flush drip edge.", default="raised"
    )
    fall: Literal["inward", "outward", "along"] = choice(
        "Which way the roof falls, seen from the edge.", default="inward"
    )
    wall: Literal["masonry", "concrete", "stud"] = choice(
        "What stands below the edge.", default="masonry"
    )
    wall_thickness: Length = length(
        "Thickness of the wall below.", default="7 5/8 in", least="4 in", most="24 in"
    )
    nailer: Literal["stacked", "let-in", "none"] | None = choice(
        "Wood under the flange: stacked on the deck to the level of the boards, let into a "
        "concrete deck, or none on a nailable deck. Without it: what the build-up asks.",
        default=None,
    )
    nailer_width: Length | None = length(
        "Width of the nailer. Without it: the nominal width that carries the flange, at "
        "least 5 1/2 in.",
        default=None,
        least="2 in",
        most="11 1/4 in",
    )
    edge_strip: bool = choice("Tapered edge strip under the base ply.", default=False)
    edge_strip_length: Length = length(
        "Length of the tapered edge strip.", default="12 in", least="9 in", most="24 in"
    )
    edge_strip_height: Length = length(
        "Height of the tapered edge strip at the edge.",
        default="1 in",
        least="1/2 in",
        most="2 in",
    )
    base_ply_drop: Length | None = length(
        "Drop of the base ply below the top of the nailer. Without it: the rule's least, "
        "or 1/2 in below the underside of the wood where that is more.",
        default=None,
        least="1 in",
        most="36 in",
    )
    metal: Metal = choice("Metal of the edge.", default="galvanized-24")
    flange: Length | None = length(
        "Width of the flange, to the raised leg or to the bend.",
        default=None,
        least="2 in",
        most="6 in",
        by_rule="flange_width_least",
    )
    rise: Length = length(
        "Height of the raised leg above the flange.",
        default="1 in",
        least="3/4 in",
        most="6 in",
    )
    face: Length | None = length(
        "Height of the face below the top of the nailer, to its kick. Without it: 1/2 in "
        "below the end of the base ply.",
        default=None,
        least="1 in",
        most="40 in",
    )
    kick: Length = length(
        "Length of the kick.", default="1 in", least="7/8 in", most="2 in"
    )
    kick_angle: int = count(
        "Degrees that the kick is bent out from plumb.", default=30, least=10, most=60
    )
    cleat: bool = choice("Continuous cleat behind the face.", default=True)
    cleat_hook: Length | None = length(
        "How far the face hooks over the cleat.",
        default=None,
        least="1/4 in",
        most="3/4 in",
        by_rule="cleat_hook_least",
    )
    cleat_nail_spacing: Length | None = length(
        "Spacing of the cleat's nails.",
        default=None,
        least="2 in",
        most="16 in",
        by_rule="cleat_nail_spacing_most",
    )
    nail_spacing: Length | None = length(
        "Spacing of the nails in each row.",
        default=None,
        least="1 1/2 in",
        most="12 in",
        by_rule="nail_spacing_most",
    )
    nail_rows: int = count("Rows of nails through the flange.", default=2, least=1, most=3)
    nail_length: Length | None = length(
        "Length of the flange nails. Without it: 1 1/2 in, or what the bite asks.",
        default=None,
        least="3/4 in",
        most="6 in",
    )
    strip_in: Length | None = length(
        "How far the strip-in ply runs past the flange's outer end.",
        default=None,
        least="1/2 in",
        most="12 in",
        by_rule="flange_strip_in_least",
    )
    finish_gap: Length = length(
        "On a flush edge, how far short of the bend the finish ply ends.",
        default="3/8 in",
        least="1/4 in",
        most="2 in",
    )
    bead: Length | None = length(
        "Leg of the sealant bead. Without it: 3/8 in, or what a flush edge has room for.",
        default=None,
        least="1/8 in",
        most="1/2 in",
    )


@dataclass(frozen=True, slots=True)
class _Sizes:
    """The parameters with every default filled in, mm."""

    stack: LumberStack
    let_in: float
    nailer_width: float
    drop: float
    flange: float
    face: float
    hook: float
    cleat_spacing: float
    nail_spacing: float
    strip_in: float
    bead: float
    wood_depth: float
    """From the top of the wood to its underside."""


_LET_IN = inches(1.5)
"""Depth of a nailer let into a concrete deck: one 2x (common practice, no source)."""
_DOWNHILL = {"inward": (0.0, -1.0), "outward": (0.0, 1.0), "along": (1.0, 0.0)}
"""Which way water runs in a plan that has the roof at its foot and the edge at its top."""


def _nailer(p: RoofEdge, site: Site) -> str:
    if p.nailer:
        return p.nailer
    build_up = fsum(site.roof.insulation) + (site.roof.cover_board or 0.0)
    if build_up >= _LET_IN - 1.0:
        return "stacked"
    if site.roof.deck == "concrete":
        return "let-in"
    return "stacked" if build_up > 0.0 else "none"


def _sizes(p: RoofEdge, site: Site) -> _Sizes:
    roof = site.roof
    build_up = fsum(roof.insulation) + (roof.cover_board or 0.0)
    how = _nailer(p, site)
    let_in = _LET_IN if how == "let-in" else 0.0
    stack = (
        LumberStack((), 0.0) if how == "none" else stack_to(build_up + let_in, site.catalog)
    )
    flange = site.ruled(p.flange, "flange_width_least")
    room = flange + site.rules.value("nailer_beyond_flange_least")
    width = p.nailer_width or width_for(max(room, inches(5.5)), site.catalog).actual
    top = fsum(layer.thickness for layer in stack.layers)
    wood = top
    if roof.deck == "wood":
        over = top if stack.layers else build_up
        wood = over + (roof.deck_thickness or DECK_THICKNESS["wood"])
    drop = p.base_ply_drop or max(
        site.rules.value("base_ply_drop_least"),
        wood + site.rules.value("base_ply_below_wood_least") + inches(0.5) if wood else 0.0,
    )
    hook = site.ruled(p.cleat_hook, "cleat_hook_least")
    bead = p.bead or inches(0.375)
    if p.edge == "flush":
        bead = min(bead, p.finish_gap - 1.0)
    return _Sizes(
        stack=stack,
        let_in=let_in,
        nailer_width=width,
        drop=drop,
        flange=flange,
        face=p.face or drop + inches(0.5),
        hook=min(hook, p.kick - inches(0.125)),
        cleat_spacing=site.ruled(p.cleat_nail_spacing, "cleat_nail_spacing_most"),
        nail_spacing=site.ruled(p.nail_spacing, "nail_spacing_most"),
        strip_in=site.ruled(p.strip_in, "flange_strip_in_least"),
        bead=bead,
        wood_depth=wood,
    )


def taken(p: RoofEdge, site: Site) -> dict[str, float | str]:
    """Return what is taken for each parameter whose default comes from elsewhere."""
    s = _sizes(p, site)
    return {
        "nailer": _nailer(p, site),
        "nailer_width": s.nailer_width,
        "base_ply_drop": s.drop,
        "flange": s.flange,
        "face": s.face,
        "cleat_hook": s.hook,
        "cleat_nail_spacing": s.cleat_spacing,
        "nail_spacing": s.nail_spacing,
        "nail_length": usual_nail(site, _flange_sizes(p, s)),
        "strip_in": s.strip_in,
        "bead": s.bead,
        "deck_thickness": DECK_THICKNESS[site.roof.deck],
    }


def _flange_sizes(p: RoofEdge, s: _Sizes) -> FlangeSizes:
    return FlangeSizes(
        flush=p.edge == "flush",
        metal=p.metal,
        width=s.flange,
        rise=p.rise,
        strip_in=s.strip_in,
        finish_gap=p.finish_gap,
        bead=s.bead,
        rows=p.nail_rows,
        nail_length=p.nail_length,
        taper=(p.edge_strip_height, p.edge_strip_length) if p.edge_strip else None,
    )


def impossible(p: RoofEdge, site: Site) -> list[Impossible]:
    """Return what cannot be built with these parameters."""
    s = _sizes(p, site)
    found: list[Impossible] = []

    def add(keys: tuple[str, ...], message: str, allowed: str, mend: str) -> None:
        found.append(Impossible(keys, message, allowed, mend))

    how = _nailer(p, site)
    # a sheet that drapes off higher boards takes up some of the nailer's width
    room = s.nailer_width - (inches(0.5) if s.stack.residual < -1e-6 else 0.0)
    if how != "none" and s.flange > room + 1e-6:
        add(
            ("flange", "nailer_width"),
            "The flange is wider than the nailer under it.",
            f"at most {room / 25.4:.4g} in ({room:.0f} mm)",
            "Take a wider nailer or a narrower flange.",
        )
    if how == "let-in" and site.roof.deck != "concrete":
        add(
            ("nailer",),
            "Only a concrete deck can take a nailer let into it.",
            "stacked, or none on a wood deck",
            "Use a stacked nailer.",
        )
    if how == "let-in" and (
        site.roof.deck_thickness or DECK_THICKNESS["concrete"]
    ) < inches(3):
        add(
            ("nailer",),
            "The deck is too thin to let a nailer into it.",
            "a deck of at least 3 in",
            "Use a stacked nailer.",
        )
    if p.face is not None and p.face <= inches(0.75) + (
        p.edge_strip_height if p.edge_strip else 0
    ):
        add(
            ("face",),
            "The face ends above the edge that it must cover.",
            "more than 3/4 in below the top of the nailer",
            "Make the face taller.",
        )
    if p.edge == "flush" and p.finish_gap > s.flange / 2.0:
        add(
            ("finish_gap", "flange"),
            "The finish ply would leave half of the flange bare.",
            "at most half of the flange",
            "Bring the finish ply nearer the bend.",
        )
    if p.edge_strip and p.edge_strip_length < s.flange + inches(1):
        add(
            ("edge_strip_length", "flange"),
            "The tapered edge strip ends under the flange.",
            "at least 1 in longer than the flange",
            "Use a longer strip.",
        )
    return found


def build(p: RoofEdge, site: Site) -> LayeredSection:
    """Build the section of a roof edge."""
    work = _Work(p, _sizes(p, site), site)
    work.ground()
    work.base_ply()
    work.metal()
    work.flange.drive_nails()
    work.flange.cover()
    return work.section()


class _Work:
    """One section in the making, in the order in which it is built."""

    def __init__(self, p: RoofEdge, s: _Sizes, site: Site) -> None:
        self.p, self.s, self.site = p, s, site
        self.plane = Plane(
            site.roof.slope * {"inward": 1.0, "outward": -1.0, "along": 0.0}[p.fall]
        )
        self.flush = p.edge == "flush"
        self.thick = self._thickening()
        self.points: dict[str, Point] = {}

    def _true(self, material: str) -> float:
        return self.site.catalog.materials[material].thickness

    def _thickening(self) -> Thickening:
        """Return the factors, held down so that the plies stay below the raised leg."""
        t, roof = self.site.thickening, self.site.roof
        if self.flush:
            return t
        plies = self._true(roof.base_ply) + self._true(roof.finish_ply)
        most = max(1.0, (0.95 * self.p.rise - self.s.bead) / plies)
        return Thickening(min(t.sheet, int(most * 4.0) / 4.0), t.metal, t.bed)

    def _sheet(self, material: str) -> float:
        return self._true(material) * self.thick.sheet

    def ground(self) -> None:
        """Deck, boards, nailers, wall below, edge strip."""
        p, s, site, plane = self.p, self.s, self.site, self.plane
        wood = bool(s.stack.layers)
        width = s.nailer_width if wood else 0.0
        past = max(
            s.flange + s.strip_in, width, p.edge_strip_length if p.edge_strip else 0.0
        )
        self.left = -past - inches(4)
        roof = roof_beside(site, plane, self.left, -width, 0.0)
        bottom = -roof.build_up - s.let_in
        nailers: list[Body] = []
        level = bottom
        # shims lie at the bottom, so that nails bite in lumber
        for i, layer in enumerate(sorted(s.stack.layers, key=lambda g: not g.is_shim)):
            material = site.catalog.materials[layer.material]
            shim = layer.is_shim
            nailers.append(
                Body(
                    f"{'shim' if shim else 'nailer'}-{i + 1}",
                    Role.SHIM if shim else Role.NAILER,
                    material.id,
                    plane.slab(-width, 0.0, level, level + layer.thickness),
                    1,
                    material.name,
                    thickness=layer.thickness,
                    sticks="fastened to what lies below",
                )
            )
            level += layer.thickness
        top = level if wood else 0.0
        self.low = min(
            -max(s.face + p.kick, s.drop, roof.depth) - inches(3),
            plane.at(self.left, -roof.depth)[1] - inches(1),
        )
        bodies = list(roof.bodies)
        if s.let_in:
            deck = bodies[0]
            pocket = plane.slab(-width, 0.0, bottom, -roof.build_up)
            bodies[0] = replace(deck, region=cut(deck.region, [pocket])[0])
        material = site.catalog.materials[f"wall-{p.wall}"]
        t = min(p.wall_thickness, -self.left)
        wall = polygon([
            (-t, self.low),
            (0.0, self.low),
            plane.at(0.0, -roof.depth),
            plane.at(-t, -roof.depth),
        ])
        bodies.append(Body("wall", Role.WALL, material.id, wall, 0, material.name))
        surface = self._surface(roof, nailers, (width, top))
        self.stack = Stack(
            [*bodies, *nailers], surface, [(self.left, self.low)], site.mistakes
        )
        self.roof, self.width = roof, width
        under = -roof.depth if site.roof.deck == "wood" else bottom
        self.points |= {
            "edge.top": (0.0, top),
            "wood.bottom": (0.0, under if wood or site.roof.deck == "wood" else 0.0),
        }
        self.top = top
        if p.edge_strip:
            self._edge_strip()

    def _surface(
        self, roof: Roof, nailers: list[Body], levels: tuple[float, float]
    ) -> Surface:
        width, top = levels
        roof_id = roof.top_id
        points: list[Point] = [self.plane.at(self.left)]
        owners: list[str] = []

        def to(point: Point, owner: str) -> None:
            if hypot(point[0] - points[-1][0], point[1] - points[-1][1]) > 1e-6:
                points.append(point)
                owners.append(owner)

        if nailers:
            to(self.plane.at(-width), roof_id)
            # a step down onto lower wood is the side of the boards, not of the wood
            to(self.plane.at(-width, top), nailers[-1].id if top > 0.0 else roof_id)
            to(self.plane.at(0.0, top), nailers[-1].id)
        else:
            to((0.0, 0.0), roof_id)
        for body in reversed(nailers or roof.bodies[1:]):
            low = min(y for x, y in body.region.exterior.coords if x > -1e-9)
            to((0.0, low), body.id)
        to((0.0, -roof.depth), "deck")
        to((0.0, self.low), "wall")
        return Surface(tuple(points), tuple(owners))

    def _edge_strip(self) -> None:
        p, stack = self.p, self.stack
        strip = self.site.catalog.materials["edge-strip"]
        run = p.edge_strip_length
        height = p.edge_strip_height
        if self.width < run and height * (run - self.width) / run < self.top + 0.5:
            run = self.width  # it starts on the wood, not across the step at its edge
        on = stack.surface
        start = on.at_x(-run, before=on.station_of((0.0, self.top)))
        first = on.at(start)
        stack.cover(
            Spec("edge-strip", Role.EDGE_STRIP, strip.id, strip.name, 2, sticks="fastened"),
            start,
            on.station_of((0.0, self.top)),
            [first, (0.0, self.top + height)],
            everywhere(Bond.FASTENED),
        )

    def base_ply(self) -> None:
        """The base ply, out to the edge and down over it, loose there."""
        site, stack = self.site, self.stack
        base = site.catalog.materials[site.roof.base_ply]
        stuck = by_material(site, stack.bodies)
        on = stack.surface
        end = on.at_y(self.top - self.s.drop, after=top_corner(self.stack))
        stack.lay(
            Spec(
                "base-ply",
                Role.BASE_PLY,
                base.id,
                base.name,
                2,
                self._sheet(base.id),
                f"{HOW[site.roof.adhesion]} on the roof, loose over the edge",
            ),
            0.0,
            end,
            lambda owner, q: Bond.DRY if q[0] > -1e-6 else stuck(owner, q),
        )
        self.points["drop.end"] = (0.0, self.top - self.s.drop)

    def metal(self) -> None:
        """Cleat, cement bed and edge metal."""
        p, s, site, stack = self.p, self.s, self.site, self.stack
        metal = site.catalog.materials[p.metal]
        t = metal.thickness * self.thick.metal
        back = self._sheet(site.roof.base_ply)
        foot = self.top - s.face
        self.flange = Flange(stack, site, self.thick, _flange_sizes(p, s))
        if p.cleat:
            cleat = site.catalog.materials[cleat_for(p.metal)]
            cleat_t = cleat.thickness * self.thick.metal
            low, face = hooked_pair(back, foot, cleat_t, t, p.kick_angle, p.kick, s.hook)
            high = (low[0][0], self.top - inches(0.5))
            centre = [high, *low]
            body = Body(
                "cleat",
                Role.CLEAT,
                cleat.id,
                ribbon(centre, cleat_t),
                3,
                "Continuous cleat, " + cleat.name.lower(),
                thickness=cleat_t,
                course=polyline(centre),
                sticks="nailed to the wood",
            )
            stack.add(body)
            stack.joints += stack.touching(body, Bond.FASTENED, "base-ply")
            self._cleat_nail(back + cleat_t)
        else:
            x = back + t / 2.0
            tip = kick((x, foot), p.kick, p.kick_angle)
            face = [(x, foot), *_plain_hem((x, foot), tip, t)]
        self.flange.set_metal(face, foot)

    def _cleat_nail(self, x: float) -> None:
        nail = self.site.catalog.materials["cleat-nail"]
        # below the points of the flange nails, and not below the cleat
        low = max(0.6 * self.s.wood_depth, inches(0.75))
        y = self.top - min(low, (inches(0.5) + self.s.face) / 2.0)
        body = driven(
            "cleat-nail-1",
            nail.id,
            "Cleat nail",
            3,
            (x, y),
            (x - inches(1.5), y),
            shank=3.2,
            cap=inches(0.375),
            cap_depth=-min(0.8, x / 2.0),
        )
        self.stack.add(body)
        self.stack.pierce(
            body.id,
            [
                b.id
                for b in self.stack.bodies
                if b.id != body.id and overlap_area(b.region, body.region) > 1e-6
            ],
        )

    def section(self) -> LayeredSection:
        """Gather everything into the section."""
        self.points |= self.flange.points
        p, s, site, t = self.p, self.s, self.site, self.thick
        metal = self.stack.get("edge-metal").region.bounds
        field = self.stack.surface.points[0][1]
        self.extent = box(
            self.left, self.low, metal[2] + inches(1.5), max(metal[3], field) + inches(1.5)
        )
        x0, _, _, _ = self.extent.bounds
        deck = self.stack.get("deck").region.bounds
        breaks = (
            Line([(x0, deck[1]), (x0, self.plane.at(x0)[1])]),
            Line([(-p.wall_thickness, self.low), (0.0, self.low)]),
        )
        plan = EdgePlan(
            flange=s.flange,
            strip_in=s.strip_in,
            nailer=self.width,
            rows=tuple(self.flange.row_at),
            spacing=s.nail_spacing,
            cleat_spacing=s.cleat_spacing if p.cleat else None,
            finish_end=p.finish_gap if self.flush else 0.0,
            downhill=_DOWNHILL[p.fall],
        )
        section = LayeredSection(
            kind="roof-edge",
            variant=p.edge + ", cleat" * p.cleat + ", edge strip" * p.edge_strip,
            bodies=clipped(self.stack.bodies, self.extent),
            joints=tuple(self.stack.joints),
            coats=tuple(self.stack.coats),
            points=self.points,
            gauges=_gauges(p, s, site),
            stages=stages(
                site.roof.adhesion,
                flush=self.flush,
                cleat=p.cleat,
                strip=p.edge_strip,
                wood=bool(s.stack.layers),
            ),
            method=site.roof.adhesion,
            slope=self.plane.tilt,
            extent=self.extent,
            breaks=breaks,
            hollows=(*self.roof.hollows, *self._hollows()),
            layouts=(flange_plan(plan, site),),
            never_idle=_never_idle(p, site),
            side_of_air="top",
            notes=tuple(self.flange.notes),
            roof_slope=site.roof.slope,
            sheet_factor=t.sheet,
            metal_factor=t.metal,
            bed_factor=t.bed,
            stand=Stand.EDGE,
        )
        return dry_edge(section)

    def _hollows(self) -> tuple[Region, ...]:
        """Return the spaces behind the face: dry, open to the air below."""
        metal = self.stack.get("edge-metal").region
        solid = [b.region for b in self.stack.bodies if b.role is not Role.FASTENER]
        holes = fused(solid).holes
        return tuple(h for h in holes if h.distance(metal) < 1e-3)


def _plain_hem(foot: Point, tip: Point, t: float) -> list[Point]:
    """Return a kick that ends in a closed hem, folded under."""
    span = hypot(tip[0] - foot[0], tip[1] - foot[1])
    d = ((tip[0] - foot[0]) / span, (tip[1] - foot[1]) / span)
    t -= FOLD
    back = (tip[0] + t * d[1], tip[1] - t * d[0])  # one thickness to the inner side
    # the folded edge stays clear of what the face stands against
    nearest = (1.5 * t * -d[1] - 0.5 * t) / max(d[0], 0.01)
    hem = min(HEM, 0.6 * span, span - max(nearest, 0.0) - 0.2)
    if hem < t:  # drawn thick, a short kick has no room for its hem
        return [tip]
    return [tip, back, (back[0] - hem * d[0], back[1] - hem * d[1])]


def _gauges(p: RoofEdge, s: _Sizes, site: Site) -> tuple[Gauge, ...]:
    """Return the dimensions that the sheet shows, inner ones first."""
    v, h = Axis.VERTICAL, Axis.HORIZONTAL
    gauges = [
        Gauge(
            "base-ply-drop",
            "edge.top",
            "drop.end",
            v,
            site.marked(s.drop, "base_ply_drop_least"),
            "",
            2,
        ),
        Gauge("face", "edge.top", "face.bottom", v, "", "", 3),
        Gauge(
            "flange",
            "flange.outer",
            "metal.bend",
            h,
            site.marked(s.flange, "flange_width_least"),
            "",
            1,
        ),
        Gauge(
            "strip-in",
            "strip.outer",
            "flange.outer",
            h,
            site.marked(s.strip_in, "flange_strip_in_least"),
            "",
            1,
        ),
    ]
    if p.edge == "raised":
        gauges.append(Gauge("rise", "metal.bend", "leg.top", v, "", "", 1))
    else:
        gauges.append(Gauge("finish-gap", "finish.end", "metal.bend", h, "", "", 2))
    if s.wood_depth:
        gauges.append(Gauge("wood-depth", "edge.top", "wood.bottom", v, "", "", 1))
    return tuple(gauges)


_NEVER_IDLE = frozenset({
    "backwater_lap",
    "bare_drop",
    "bare_flange_underside",
    "base_ply_short_of_wood",
    "base_ply_stuck_over_edge",
    "closed_pocket",
    "leaky_hold_point",
    "flange_off_nailer",
    "missing_bead",
    "narrow_backing_plate",
    "narrow_flange",
    "nothing_to_bite",
    "shallow_slope",
    "short_base_ply_drop",
    "short_flange_strip_in",
    "short_nail_bite",
    "single_nail_row",
    "solids_overlap",
    "sparse_nails",
    "steep_kick",
    "thick_bed",
    "thin_bed",
    "thin_cover_on_roof",
    "thin_flange_cover",
    "thin_metal",
    "tight_joint_gap",
    "unstaggered_nails",
})


def _never_idle(p: RoofEdge, site: Site) -> frozenset[str]:
    """Return the checks that must have something to look at in this section."""
    ids = _NEVER_IDLE | {"wrong_finish_gap" if p.edge == "flush" else "finish_ply_off_leg"}
    if p.cleat:
        ids |= {"shallow_cleat_hook"}
    if site.roof.adhesion is Method.TORCH:
        ids |= {"flame_on_wood"}
    if site.roof.deck == "steel":
        ids |= {"unspanned_flutes"}
    return ids


CONDITION = Condition(
    kind="roof-edge",
    title="Roof edge with flanged metal",
    about="Flanged metal at the roof's edge, stripped in: raised edge or flush drip edge",
    parameters=RoofEdge,
    build=build,
    impossible=impossible,
    taken=taken,
)
