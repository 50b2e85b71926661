r"""Flanged vent sleeve with a hood or a storm collar, drawn along the fall of the roof.

                      |   |                 pipe goes on
                     \|   |/   - kicked top with sealant, draw band
                     /|   |\
                    / |   | \  - cone
            sleeve | ||   || | - height of the sleeve above the finished roof,
           lap ..  | ||   || |   on the upslope side
                     ||   ||
    finish ply ______/|   |\_____________ upslope
    strip-in  |<strip_in>||   |__________
    flange          |<flange>|
    base ply ___________|     |__________ opening: clear of the pipe by the air gap
    boards, deck _______|     |__________

The sleeve is a metal of its own that never touches the pipe: `air_gap` lies between them,
from the room below to the collar.
"""

from dataclasses import dataclass
from math import hypot
from typing import Literal

from detailgen.conditions._collared_sleeve import (
    Collar,
    collar,
    collar_top,
    opening,
    sleeve,
)
from detailgen.conditions._condition import Condition, Impossible, Site, Thickening
from detailgen.conditions._flanged_point import (
    MARGIN,
    FlangedPoint,
    PointSizes,
    cut_lines,
    roof_depth,
)
from detailgen.conditions._ground import Plane, roof_beside
from detailgen.conditions._mirror import Half, both, half_of
from detailgen.conditions._point_parameters import (
    bead_round_base,
    cover_over_sleeve,
    flange_gauges,
    flange_width,
    lap_of_halves,
    point_sizes,
    sleeve_height,
    target_past_flange,
)
from detailgen.conditions._point_plan import PointPlan, Upright, point_plan, ring
from detailgen.conditions._point_section import PointSection, point_section
from detailgen.conditions._point_words import DATUMS, FINISH, stages
from detailgen.geometry.regions import box, disc
from detailgen.parameters import Length, Placed, choice, length
from detailgen.section import RIGHT, Axis, Body, Gauge, LayeredSection, Layout, Role, Stage
from detailgen.units import inches

Metal = Literal["galvanized-24", "aluminium-040", "stainless-025", "copper-16", "copper-20"]
_GAP = inches(0.25)
"""Clearance round a cold pipe, mm (common practice, no source)."""
_OFF = {"collar": inches(0.25), "hood": inches(1.0)}
"""How far a collar and a hood stand off the sleeve, mm (common practice, no source)."""
_ON = inches(3.0)
"""How much of the pipe is drawn above the collar, mm."""


class VentSleeve(Placed, frozen=True):
    """Parameters of a flanged vent sleeve."""

    pipe: Literal["cast-iron", "plastic", "steel"] = choice(
        "What the pipe is made of.", default="steel"
    )
    pipe_diameter: Length = length(
        "Outside diameter of the pipe.",
        default="6 5/8 in",
        least="1 1/4 in",
        most="24 in",
    )
    pipe_wall: Length = length(
        "Thickness of the pipe's wall.", default="1/4 in", least="1/16 in", most="1/2 in"
    )
    hot: bool = choice(
        "Hot stack: its surface gets hotter than 150 F (66 C).", default=False
    )
    air_gap: Length | None = length(
        "Gap between pipe and sleeve. Without it: 1/4 in, or round a hot stack the rule's "
        "least.",
        default=None,
        least="1/8 in",
        most="4 in",
    )
    height: Length | None = sleeve_height()
    metal: Metal = choice("Metal of sleeve and collar.", default="stainless-025")
    flange: Length | None = flange_width()
    strip_in: Length | None = target_past_flange()
    lap: Length | None = lap_of_halves()
    cover: Literal["collar", "hood"] | None = choice(
        "What covers the top of the sleeve: a storm collar close to it, or a hood that "
        "lets air out. Without it: a collar, over a hot stack a hood.",
        default=None,
    )
    cover_lap: Length | None = cover_over_sleeve("collar or hood")
    bead: Length = bead_round_base()


@dataclass(frozen=True, slots=True)
class _Sizes:
    """The parameters with every default filled in, mm."""

    point: PointSizes
    height: float
    radius: float
    gap: float
    collar: Collar

    @property
    def inner(self) -> float:
        """From the axis to the inner face of the sleeve."""
        return self.radius + self.gap


def _cover(p: VentSleeve) -> Literal["collar", "hood"]:
    return p.cover or ("hood" if p.hot else "collar")


def _sizes(p: VentSleeve, site: Site) -> _Sizes:
    hot = site.rules.value("hot_stack_gap_least")
    cover = _cover(p)
    return _Sizes(
        point_sizes(p, site, p.metal),
        height=site.ruled(p.height, "sleeve_height_least"),
        radius=p.pipe_diameter / 2.0,
        gap=(max(hot, _GAP) if p.hot else _GAP) if p.air_gap is None else p.air_gap,
        collar=Collar(
            p.pipe_diameter / 2.0,
            "pipe",
            site.ruled(p.cover_lap, "collar_lap_least"),
            _OFF[cover],
            cover == "hood",
        ),
    )


def taken(p: VentSleeve, site: Site) -> dict[str, float | str]:
    """Return what is taken for each parameter whose default comes from elsewhere."""
    s = _sizes(p, site)
    return {
        "air_gap": s.gap,
        "height": s.height,
        "flange": s.point.flange,
        "strip_in": s.point.strip_in,
        "lap": s.point.lap,
        "cover": _cover(p),
        "cover_lap": s.collar.lap,
    }


def impossible(p: VentSleeve, site: Site) -> list[Impossible]:
    """Return what cannot be built with these parameters."""
    s = _sizes(p, site)
    found: list[Impossible] = []
    most = s.height - p.bead - inches(0.5)
    if s.collar.lap > most:
        found.append(
            Impossible(
                ("cover_lap", "height"),
                "The collar comes down as far as the bead round the base.",
                f"at most {most / 25.4:.4g} in ({most:.0f} mm)",
                "Give a taller sleeve or a shorter lap.",
            )
        )
    if p.pipe_wall > 0.35 * p.pipe_diameter:
        found.append(
            Impossible(
                ("pipe_wall", "pipe_diameter"),
                "The pipe's wall leaves no bore.",
                f"at most {0.35 * p.pipe_diameter / 25.4:.4g} in "
                f"({0.35 * p.pipe_diameter:.1f} mm)",
                "Give a wider pipe or a thinner wall.",
            )
        )
    return found


def build(p: VentSleeve, site: Site) -> LayeredSection:
    """Build the section and the plan of a vent sleeve."""
    work = _Work(p, _sizes(p, site), site)
    return work.section(both(work.half(1.0), work.half(-1.0)))


class _Work:
    """One section in the making."""

    def __init__(self, p: VentSleeve, s: _Sizes, site: Site) -> None:
        self.p, self.s, self.site = p, s, site
        self.thick: Thickening = site.thickening
        self.true_metal = site.catalog.materials[s.point.metal].thickness
        self.metal = self.true_metal * self.thick.metal
        self.reach = s.inner + s.point.flange + s.point.strip_in + MARGIN + inches(0.25)
        self.slope = site.roof.slope
        self.low = -roof_depth(site) - self.slope * self.reach - inches(2)
        self.behind = cut_lines(s.point, s.inner)[1]
        self.top = self._top()
        self.high = collar_top(s.collar, -s.inner - self.metal, self.top, self.metal) + _ON

    @property
    def _comes_round(self) -> bool:
        """Whether the downslope piece of the finish ply comes out behind the sleeve."""
        return self.behind > self.s.inner

    def _top(self) -> float:
        """Return the level of the sleeve's top: its height over the upslope side."""
        s, roof = self.s, self.site.roof
        materials, t = self.site.catalog.materials, self.thick
        sheets = 2.0 * materials[roof.base_ply].thickness
        pieces = 2.0 if self._comes_round else 1.0
        sheets += pieces * materials[roof.finish_ply].thickness
        thick = sheets * t.sheet + materials["plastic-cement"].thickness * t.bed
        foot = self.slope * (s.inner + self.metal)
        return foot + (thick + self.metal) * hypot(1.0, self.slope) + s.height

    def half(self, side: float) -> Half:
        """Build one half to the left of the axis: 1 downslope, -1 upslope."""
        s, site, top = self.s, self.site, self.top
        plane = Plane(side * self.slope)
        point = FlangedPoint(site, self.thick, plane, s.point, (-self.reach, self.low))
        edge, face = -s.inner, -s.inner - self.metal
        roof = roof_beside(site, plane, -self.reach, edge, edge)
        point.ground(opening(edge, self.low, plane, roof))
        material = site.catalog.materials[f"pipe-{self.p.pipe}"]
        wall = self.p.pipe_wall
        point.stack.add(
            Body(
                "pipe",
                Role.PIPE,
                material.id,
                box(-s.radius, self.low, -s.radius + wall, self.high),
                1,
                material.name,
                thickness=wall,
            )
        )
        point.base_ply(butt=False)
        point.lay_bed(face, edge)
        sleeve(point, face, top)
        point.target("sleeve")
        upslope = side < 0.0
        point.finish(
            FINISH["up" if upslope else "down"],
            behind=-self.behind if upslope and self._comes_round else None,
        )
        point.bead()
        collar(point, s.collar, face, top)
        point.points |= {
            "edge.top": plane.at(edge),
            "roof.datum": point.points["finish.end"],
            "sleeve.inner": (edge, top - s.collar.lap),
            "pipe.face": (-s.radius, top - s.collar.lap),
        }
        return half_of(point.stack, point.points, roof.hollows)

    def section(self, whole: Half) -> LayeredSection:
        """Gather everything into the section."""
        s, site = self.s, self.site
        name = s.collar.name.lower()
        last = Stage(
            7,
            s.collar.name,
            f"Set the {name} over the top of the sleeve, draw its band tight on the pipe, "
            "seal its kicked top.",
        )
        ground = (
            "Pipe plumb and fixed; the opening in deck and boards clear of it all round."
        )
        return point_section(
            whole,
            site,
            PointSection(
                kind="vent-sleeve",
                variant=f"{_cover(self.p)}{', hot stack' if self.p.hot else ''}",
                extent=box(-self.reach, self.low, self.reach, self.high),
                through=((-s.radius, s.radius),),
                upper_breaks=((-s.radius, s.radius),),
                hollows=whole.hollows,
                gauges=_gauges(s, site, hot=self.p.hot),
                stages=stages(
                    site.roof.adhesion,
                    metal="Sleeve",
                    set_metal="Prime the flange on both sides, dry; set it in plastic "
                    "cement over the opening, the sleeve clear of the pipe all round.",
                    cold=False,
                    ground=ground,
                    last=(last,),
                ),
                layouts=(self._plan(),),
                hot=self.p.hot,
                thick=self.thick,
                notes=self._notes(),
                low_zone=s.inner + s.point.flange,
            ),
        )

    def _notes(self) -> tuple[str, ...]:
        notes = [DATUMS]
        if self.p.hot:
            notes.append(
                "Hot stack (surface over 150 F, 66 C): the sleeve is a metal of its own, "
                "air lies between, and the membrane never touches the stack. Clearances "
                "of the stack's own listing come first."
            )
        notes.append(f"The {self.s.collar.name.lower()} moves with the pipe, the sleeve "
                     "with the roof: neither holds the other.")  # fmt: skip
        return tuple(notes)

    def _plan(self) -> Layout:
        s, t = self.s, self.true_metal
        outer = s.inner + t
        skirt = outer + s.collar.off + t
        return point_plan(
            PointPlan(
                sizes=s.point,
                face=outer,
                side=outer,
                core=s.inner,
                round=True,
                metal_role=Role.SLEEVE,
                flange_name="Sleeve: its flange",
                uprights=(
                    Upright(
                        "sleeve",
                        Role.SLEEVE,
                        "Sleeve, its upright",
                        ring(disc(0.0, 0.0, outer), disc(0.0, 0.0, s.inner)),
                        hidden=True,
                    ),
                    Upright(
                        "collar",
                        Role.HOOD if s.collar.hood else Role.COLLAR,
                        s.collar.name,
                        ring(disc(0.0, 0.0, skirt), disc(0.0, 0.0, s.radius)),
                    ),
                    Upright(
                        "pipe",
                        Role.PIPE,
                        "Pipe",
                        ring(
                            disc(0.0, 0.0, s.radius),
                            disc(0.0, 0.0, s.radius - self.p.pipe_wall),
                        ),
                    ),
                ),
                gauge_label="SLEEVE",
            )
        )


def _gauges(s: _Sizes, site: Site, *, hot: bool) -> tuple[Gauge, ...]:
    """Return the dimensions that the sheet shows."""
    v, h = Axis.VERTICAL, Axis.HORIZONTAL
    return (
        *flange_gauges(s.point, site),
        Gauge("pipe", "pipe.face", "pipe.face" + RIGHT, h, label="PIPE"),
        Gauge(
            "air-gap",
            "pipe.face" + RIGHT,
            "sleeve.inner" + RIGHT,
            h,
            site.marked(s.gap, "hot_stack_gap_least") if hot else "",
            "GAP",
        ),
        Gauge(
            "collar-lap",
            "collar.end" + RIGHT,
            "sleeve.top" + RIGHT,
            v,
            site.marked(s.collar.lap, "collar_lap_least"),
            "LAP",
        ),
        Gauge(
            "sleeve-height",
            "roof.datum" + RIGHT,
            "sleeve.top" + RIGHT,
            v,
            site.marked(s.height, "sleeve_height_least"),
            rank=2,
        ),
    )


CONDITION = Condition(
    kind="vent-sleeve",
    title="Flanged vent sleeve",
    about="Pipe or hot stack through a flanged sleeve under a storm collar or a hood",
    parameters=VentSleeve,
    build=build,
    impossible=impossible,
    taken=taken,
    families=frozenset({"flange"}),
)
