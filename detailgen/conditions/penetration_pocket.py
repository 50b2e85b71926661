r"""Penetration pocket for an odd shape, drawn along the fall of the roof.

                        |  |            the shape goes on
                       /|  |\           - crown: sealant slopes out to the rim
              hem  _ /  |  |  \ _
                  || ~~~|  |~~~ ||      - height of the pan above the finished roof,
                  || :::|  |::: ||        on the upslope side; the grout fills half of it
    finish ply _____||:::|  |:::||___________ upslope
    strip-in |<strip_in>||  |  |   __________
    flange         |<flange>|  |
    base ply ________________  |  ___________ up to the shape
                     |<->| clearance

A pan is for shapes that no sleeve can be made for: pipes, posts and bundles that can be
parted get sleeves. The section is cut through the web of the shape.
"""

from dataclasses import dataclass
from math import hypot
from typing import Literal

from detailgen.conditions._condition import Condition, Impossible, Site, Thickening
from detailgen.conditions._flanged_point import (
    MARGIN,
    Core,
    FlangedPoint,
    PointSizes,
    cut_lines,
    has_boards,
    roof_depth,
)
from detailgen.conditions._ground import Plane
from detailgen.conditions._metalwork import FOLD, HEM
from detailgen.conditions._mirror import Half, both, half_of
from detailgen.conditions._point_parameters import (
    bead_round_base,
    flange_gauges,
    flange_width,
    lap_of_halves,
    point_sizes,
    target_past_flange,
)
from detailgen.conditions._point_plan import PointPlan, Upright, point_plan, ring
from detailgen.conditions._point_section import PointSection, point_section
from detailgen.conditions._point_words import DATUMS, FINISH, stages
from detailgen.geometry import Region
from detailgen.geometry.regions import box, polygon, vertices
from detailgen.geometry.strips import ribbon
from detailgen.parameters import Length, Placed, choice, length
from detailgen.section import (
    RIGHT,
    Axis,
    Body,
    Bond,
    Gauge,
    LayeredSection,
    Layout,
    Role,
    Stage,
)
from detailgen.stacking import Spec, everywhere
from detailgen.units import inches

Metal = Literal["galvanized-24", "stainless-025", "copper-16", "copper-20"]
_PREFERRED = (
    "A sleeve is preferred. A pocket is for odd shapes only, for which no sleeve can be "
    "made: its sealant is looked at and topped up every year."
)
_ON = inches(3.0)
"""How much of the shape is drawn above the sealant, mm."""
_DECK_GAP = inches(0.5)
"""Gap between the shape and the hole in the deck, mm (common practice, no source)."""


class PenetrationPocket(Placed, frozen=True):
    """Parameters of a penetration pocket."""

    shape: Literal["wide-flange", "tee", "bar"] = choice(
        "What goes through: a wide-flange shape, a tee, or a solid bar.",
        default="wide-flange",
    )
    shape_width: Length = length(
        "Width of the shape along the fall.", default="4 in", least="1 in", most="14 in"
    )
    shape_depth: Length = length(
        "Depth of the shape across the fall.", default="4 in", least="1 in", most="24 in"
    )
    shape_thickness: Length = length(
        "Thickness of its web and flanges.", default="3/8 in", least="3/16 in", most="1 in"
    )
    clearance: Length = length(
        "Clear distance between the shape and the pan, all round.",
        default="1 in",
        least="1/2 in",
        most="6 in",
    )
    height: Length | None = length(
        "Height of the pan above the finished roof, on its upslope side.",
        default=None,
        least="2 in",
        most="12 in",
        by_rule="pocket_height_least",
    )
    metal: Metal = choice("Metal of the pan.", default="galvanized-24")
    flange: Length | None = flange_width("the wall of the pan")
    strip_in: Length | None = target_past_flange()
    lap: Length | None = lap_of_halves()
    crown: Length = length(
        "How much higher the sealant stands at the shape than at the rim of the pan.",
        default="1/2 in",
        least="1/16 in",
        most="1 1/2 in",
    )
    bead: Length = bead_round_base()


@dataclass(frozen=True, slots=True)
class _Sizes:
    """The parameters with every default filled in, mm."""

    point: PointSizes
    height: float
    core: float
    """From the axis to the face of what is cut: the web, or the bar."""
    inner: float
    """From the axis to the inner face of the pan."""
    side: float
    """The same across the fall."""
    deck: float
    """From the axis to the edge of the deck."""


def _sizes(p: PenetrationPocket, site: Site) -> _Sizes:
    half = p.shape_width / 2.0
    core = half if p.shape == "bar" else min(p.shape_thickness / 2.0, half)
    return _Sizes(
        point_sizes(p, site, p.metal),
        height=site.ruled(p.height, "pocket_height_least"),
        core=core,
        inner=half + p.clearance,
        side=p.shape_depth / 2.0 + p.clearance,
        deck=half + _DECK_GAP if has_boards(site) else core,
    )


def taken(p: PenetrationPocket, site: Site) -> dict[str, float | str]:
    """Return what is taken for each parameter whose default comes from elsewhere."""
    s = _sizes(p, site)
    return {
        "height": s.height,
        "flange": s.point.flange,
        "strip_in": s.point.strip_in,
        "lap": s.point.lap,
    }


def impossible(p: PenetrationPocket, _site: Site) -> list[Impossible]:
    """Return what cannot be built with these parameters."""
    least = min(p.shape_width, p.shape_depth)
    if p.shape == "bar" or 2.0 * p.shape_thickness <= least:
        return []
    return [
        Impossible(
            ("shape_thickness", "shape_width", "shape_depth"),
            "Web and flanges are thicker than the shape has room for.",
            f"at most {least / 50.8:.4g} in ({least / 2.0:.1f} mm)",
            "Give a thinner web, or the shape as a bar.",
        )
    ]


def build(p: PenetrationPocket, site: Site) -> LayeredSection:
    """Build the section and the plan of a penetration pocket."""
    work = _Work(p, _sizes(p, site), site)
    return work.section(both(work.half(1.0), work.half(-1.0)))


class _Work:
    """One section in the making."""

    def __init__(self, p: PenetrationPocket, s: _Sizes, site: Site) -> None:
        self.p, self.s, self.site = p, s, site
        self.thick: Thickening = site.thickening
        self.true_metal = site.catalog.materials[s.point.metal].thickness
        self.metal = self.true_metal * self.thick.metal
        self.reach = s.inner + s.point.flange + s.point.strip_in + MARGIN + inches(0.25)
        self.slope = site.roof.slope
        self.low = -roof_depth(site) - self.slope * self.reach - inches(2)
        self.behind = cut_lines(s.point, s.inner)[1]
        self.top, self.floor = self._levels()
        self.high = self.top + p.crown + _ON

    @property
    def _comes_round(self) -> bool:
        """Whether the downslope piece of the finish ply comes out behind the pan."""
        return self.behind > self.s.inner

    def _levels(self) -> tuple[float, float]:
        """Return the levels of the pan's rim, and of its floor in the middle."""
        s, roof = self.s, self.site.roof
        materials, t = self.site.catalog.materials, self.thick
        steep = hypot(1.0, self.slope)
        base = materials[roof.base_ply].thickness * t.sheet
        pieces = 2.0 if self._comes_round else 1.0
        finish = pieces * materials[roof.finish_ply].thickness * t.sheet
        bed = materials["plastic-cement"].thickness * t.bed
        foot = self.slope * (s.inner + self.metal)
        thick = 2.0 * base + finish + bed + self.metal
        return foot + thick * steep + s.height, base * steep

    def half(self, side: float) -> Half:
        """Build one half to the left of the axis: 1 downslope, -1 upslope."""
        s, site = self.s, self.site
        plane = Plane(side * self.slope)
        point = FlangedPoint(site, self.thick, plane, s.point, (-self.reach, self.low))
        steel = site.catalog.materials["steel-shape"]
        face = -s.core
        shape = Body(
            "shape",
            Role.POST,
            steel.id,
            box(face, self.low, 0.0, self.high),
            1,
            {"bar": "Steel bar", "tee": "Tee, cut through its web"}.get(
                self.p.shape, "Wide-flange shape, cut through its web"
            ),
        )
        tail = (((face, self.high), "shape"), ((0.0, self.high), "shape"))
        roof = point.ground(Core((shape,), face, -s.deck, tail))
        point.base_ply()
        outer = -s.inner - self.metal
        point.lay_bed(outer, -s.inner)
        self._pan(point, outer)
        point.target("pan")
        upslope = side < 0.0
        point.finish(
            FINISH["up" if upslope else "down"],
            behind=-self.behind if upslope and self._comes_round else None,
        )
        point.bead()
        self._fill(point)
        point.points |= {
            "edge.top": plane.at(-s.inner),
            "roof.datum": point.points["finish.end"],
            "pan.top": (-s.inner, self.top),
            "fill.bottom": (0.0, self.floor),
            "fill.top": (face, self._grout),
            "sealant.rim": (-s.inner, self.top),
            "sealant.top": (face, self.top + self.p.crown),
        }
        return half_of(point.stack, point.points, roof.hollows)

    @property
    def _grout(self) -> float:
        """Level of the top of the grout: half of the depth of the pan."""
        return (self.floor + self.top) / 2.0

    def _pan(self, point: FlangedPoint, outer: float) -> None:
        """The pan: flange on the bed, wall, and its top hemmed outward."""
        t = self.metal
        material = self.site.catalog.materials[self.s.point.metal]
        x, rim = outer + t / 2.0, self.top - t / 2.0
        folded = x - t + FOLD
        hem = min(HEM, self.s.height / 4.0)
        centre, _ = point.bent([(x, rim), (folded, rim), (folded, self.top - hem)])
        point.set_metal(
            Body(
                "pan",
                Role.PAN,
                material.id,
                ribbon(vertices(centre), t),
                3,
                "Pan, " + material.name.lower(),
                thickness=t,
                course=centre,
                sticks="corners soldered, top hemmed; flange primed both sides, in plastic "
                "cement",
            )
        )
        point.points["leg.top"] = (outer - t, self.top)

    def _fill(self, point: FlangedPoint) -> None:
        """Grout to half of the depth, sealant over it, sloped out to the rim."""
        s, stack, materials = self.s, point.stack, self.site.catalog.materials
        grout, sealant = materials["grout"], materials["sealant-pourable"]
        wall, face, level = -s.inner, -s.core, self._grout
        on = stack.surface
        stack.cover(
            Spec("grout", Role.FILL, grout.id, grout.name, 7, sticks="half of the pan"),
            on.at_y(level, after=on.station_of((wall, self.top))),
            on.station_of((face, level)),
            [(wall, level), (face, level)],
            everywhere(Bond.DRY),
        )
        on = stack.surface
        high = self.top + self.p.crown
        stack.cover(
            Spec("poured-sealant", Role.POURED_SEALANT, sealant.id, sealant.name, 8),
            on.station_of((wall, self.top)),
            on.station_of((face, high)),
            [(wall, self.top), (face, high)],
            everywhere(Bond.SEALED),
        )

    def section(self, whole: Half) -> LayeredSection:
        """Gather everything into the section."""
        s, site = self.s, self.site
        last = (
            Stage(
                7,
                "Grout",
                "Clean and prime shape and pan inside; fill half of the pan with "
                "non-shrink grout; let it set.",
            ),
            Stage(
                8,
                "Sealant",
                "Pour the sealant to the rim and slope it up to the shape, so that no "
                "water stands on it.",
            ),
        )
        return point_section(
            whole,
            site,
            PointSection(
                kind="penetration-pocket",
                variant=self.p.shape,
                extent=box(-self.reach, self.low, self.reach, self.high),
                through=((-s.core, s.core),),
                upper_breaks=((-s.core, s.core),),
                hollows=whole.hollows,
                gauges=_gauges(s, site),
                stages=stages(
                    site.roof.adhesion,
                    metal="Pan",
                    set_metal="Prime the flange on both sides, dry; set the pan in plastic "
                    "cement round the shape; corners soldered.",
                    cold=False,
                    ground="Shape fixed to the structure; boards fitted closely to it.",
                    last=last,
                ),
                layouts=(self._plan(),),
                thick=self.thick,
                notes=(DATUMS, _PREFERRED),
                low_zone=s.inner + s.point.flange,
            ),
        )

    def _plan(self) -> Layout:
        p, s, t = self.p, self.s, self.true_metal
        x, y = s.inner + t, s.side + t
        shape = _shape(p)
        inside = box(-s.inner, -s.side, s.inner, s.side)
        half = p.shape_width / 2.0
        return point_plan(
            PointPlan(
                sizes=s.point,
                face=x,
                side=y,
                core=s.inner,
                round=False,
                metal_role=Role.PAN,
                flange_name="Pan: its flange",
                uprights=(
                    Upright(
                        "poured-sealant",
                        Role.POURED_SEALANT,
                        "Pourable sealant",
                        ring(inside, shape),
                    ),
                    Upright(
                        "pan",
                        Role.PAN,
                        "Pan: its hemmed wall",
                        ring(box(-x - t, -y - t, x + t, y + t), inside),
                    ),
                    Upright("shape", Role.POST, "Shape", shape),
                ),
                gauge_label="PAN",
                points={
                    "pan.inner": (-s.inner, s.side),
                    "shape.side": (-half, p.shape_depth / 2.0),
                },
                gauges=(
                    Gauge(
                        "clearance",
                        "pan.inner",
                        "shape.side",
                        Axis.HORIZONTAL,
                        label="CLEAR",
                        view="plan",
                    ),
                ),
            )
        )


def _shape(p: PenetrationPocket) -> Region:
    """Return the shape as seen from above, its web across the fall."""
    x, y, t = p.shape_width / 2.0, p.shape_depth / 2.0, p.shape_thickness
    web = min(t / 2.0, x)
    if p.shape == "bar":
        return box(-x, -y, x, y)
    upper = [(x, y - t), (x, y), (-x, y), (-x, y - t), (-web, y - t)]
    if p.shape == "tee":
        return polygon([(-web, -y), (web, -y), (web, y - t), *upper])
    lower = [(-web, t - y), (-x, t - y), (-x, -y), (x, -y), (x, t - y), (web, t - y)]
    return polygon([*lower, (web, y - t), *upper])


def _gauges(s: _Sizes, site: Site) -> tuple[Gauge, ...]:
    """Return the dimensions that the sheet shows."""
    v, h = Axis.VERTICAL, Axis.HORIZONTAL
    return (
        *flange_gauges(s.point, site),
        Gauge("pan", "pan.top", "pan.top" + RIGHT, h, label="PAN INSIDE"),
        Gauge("crown", "sealant.rim" + RIGHT, "sealant.top" + RIGHT, v),
        Gauge(
            "pan-height",
            "roof.datum" + RIGHT,
            "pan.top" + RIGHT,
            v,
            site.marked(s.height, "pocket_height_least"),
        ),
    )


CONDITION = Condition(
    kind="penetration-pocket",
    title="Penetration pocket",
    about="Odd shape through a flanged pan with grout and a sloped sealant top",
    parameters=PenetrationPocket,
    build=build,
    impossible=impossible,
    taken=taken,
    families=frozenset({"flange"}),
)
