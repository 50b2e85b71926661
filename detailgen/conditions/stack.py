r"""Plumbing stack with a lead jack, drawn along the fall of the roof.

                              ___  ___   - pipe.rim: height above the finished roof,
            turned_in  .. |  | |  | |      on the upslope side
                          |  | |  | |
                  bead -> | /| |  |\|
    finish ply ___________|/ | |  | \|____________ upslope
    target         |<strip_in>|| |   _____________
    lead                 |<flange>|
    base ply _________________ | |  ______________
    boards, deck ____________| | |  |_____________
                       deck_gap
                            pipe

The sleeve of the jack is as long as the pipe and `turned_in` more, folded over the rim and
down into it. Flange, target and finish ply lie round the pipe; the finish ply is of two
pieces, the upslope one over the downslope one by `lap`.
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
from detailgen.conditions._metalwork import usual_copper
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
from detailgen.conditions._point_words import DATUMS, FINISH, lead_note, stages
from detailgen.geometry.regions import box, disc
from detailgen.parameters import Length, Placed, choice, length
from detailgen.section import RIGHT, Axis, Body, Bond, Gauge, LayeredSection, Layout, Role
from detailgen.stacking import Spec
from detailgen.units import inches

Metal = Literal["lead-2half", "lead-3", "lead-4", "copper-16", "copper-20"]
_BORE = inches(0.75)
"""Least bore of a pipe that a sleeve can be turned down into, mm."""


class Stack(Placed, frozen=True):
    """Parameters of a plumbing stack."""

    pipe: Literal["cast-iron", "plastic", "steel"] = choice(
        "What the pipe is made of.", default="cast-iron"
    )
    pipe_diameter: Length = length(
        "Outside diameter of the pipe.",
        default="4 1/2 in",
        least="1 1/4 in",
        most="12 in",
    )
    pipe_wall: Length = length(
        "Thickness of the pipe's wall.", default="1/4 in", least="1/8 in", most="1/2 in"
    )
    height: Length | None = length(
        "Height of the pipe's rim above the finished roof, on its upslope side. A taller "
        "pipe takes a vent sleeve with a collar.",
        default=None,
        least="3 in",
        most="24 in",
        by_rule="stack_height_least",
    )
    metal: Metal | None = choice(
        "Metal of the jack. Without it: lead of 2 1/2 lb, or copper where the rule set "
        "takes no lead.",
        default=None,
    )
    flange: Length | None = flange_width()
    turned_in: Length | None = length(
        "How far the sleeve is turned down into the pipe, from the rim.",
        default=None,
        least="1/2 in",
        most="4 in",
        by_rule="sleeve_turned_in_least",
    )
    strip_in: Length | None = target_past_flange()
    lap: Length | None = lap_of_halves()
    bead: Length = bead_round_base()
    deck_gap: Length = length(
        "Gap between the pipe and the hole in the deck, where boards close it over.",
        default="1/2 in",
        least="1/8 in",
        most="2 in",
    )


@dataclass(frozen=True, slots=True)
class _Sizes:
    """The parameters with every default filled in, mm."""

    point: PointSizes
    height: float
    turned_in: float
    radius: float
    wall: float
    gap: float


def _sizes(p: Stack, site: Site) -> _Sizes:
    return _Sizes(
        point_sizes(p, site, _metal(p, site)),
        height=site.ruled(p.height, "stack_height_least"),
        turned_in=site.ruled(p.turned_in, "sleeve_turned_in_least"),
        radius=p.pipe_diameter / 2.0,
        wall=p.pipe_wall,
        gap=p.deck_gap if has_boards(site) else 0.0,
    )


def _metal(p: Stack, site: Site) -> str:
    if p.metal is not None:
        return p.metal
    return usual_copper(site) if site.rules.value("sleeve_not_of_lead") else "lead-2half"


def taken(p: Stack, site: Site) -> dict[str, float | str]:
    """Return what is taken for each parameter whose default comes from elsewhere."""
    s = _sizes(p, site)
    return {
        "height": s.height,
        "metal": s.point.metal,
        "flange": s.point.flange,
        "turned_in": s.turned_in,
        "strip_in": s.point.strip_in,
        "lap": s.point.lap,
    }


def impossible(p: Stack, _site: Site) -> list[Impossible]:
    """Return what cannot be built with these parameters."""
    found: list[Impossible] = []
    if p.pipe_diameter - 2.0 * p.pipe_wall < _BORE:
        most = (p.pipe_diameter - _BORE) / 2.0
        found.append(
            Impossible(
                ("pipe_wall", "pipe_diameter"),
                "The pipe's bore is too narrow to turn the sleeve down into.",
                f"a wall of at most {most / 25.4:.4g} in ({most:.1f} mm)",
                "Give a wider pipe or a thinner wall.",
            )
        )
    return found


def build(p: Stack, site: Site) -> LayeredSection:
    """Build the section and the plan of a plumbing stack."""
    work = _Work(p, _sizes(p, site), site)
    return work.section(both(work.half(1.0), work.half(-1.0)))


class _Work:
    """One section in the making."""

    def __init__(self, p: Stack, s: _Sizes, site: Site) -> None:
        self.p, self.s, self.site = p, s, site
        t = site.thickening
        self.true_metal = site.catalog.materials[s.point.metal].thickness
        # drawn thick, the sleeve must still go down into the bore on both sides
        most = 0.6 * (s.radius - s.wall) / self.true_metal
        self.thick = Thickening(t.sheet, max(1.0, min(t.metal, most)), t.bed)
        self.reach = s.radius + s.point.flange + s.point.strip_in + MARGIN + inches(0.25)
        self.slope = site.roof.slope
        self.low = -roof_depth(site) - self.slope * self.reach - inches(3)
        self.behind = cut_lines(s.point, s.radius)[1]

    def rim(self) -> float:
        """Return the level of the pipe's rim: its height over the roof's upslope side."""
        s, roof = self.s, self.site.roof
        materials, t = self.site.catalog.materials, self.thick
        metal = self.true_metal * t.metal
        sheets = 2.0 * materials[roof.base_ply].thickness
        pieces = 2.0 if self._comes_round else 1.0
        sheets += pieces * materials[roof.finish_ply].thickness
        thick = sheets * t.sheet + materials["plastic-cement"].thickness * t.bed + metal
        foot = self.slope * (s.radius + metal)
        return foot + thick * hypot(1.0, self.slope) + s.height

    @property
    def _comes_round(self) -> bool:
        """Whether the downslope piece of the finish ply comes out behind the pipe."""
        return self.behind > self.s.radius

    def half(self, side: float) -> Half:
        """Build one half to the left of the axis: 1 downslope, -1 upslope."""
        s, site = self.s, self.site
        plane = Plane(side * self.slope)
        point = FlangedPoint(site, self.thick, plane, s.point, (-self.reach, self.low))
        face, bore, rim = -s.radius, -s.radius + s.wall, self.rim()
        material = site.catalog.materials[f"pipe-{self.p.pipe}"]
        pipe = Body(
            "pipe",
            Role.PIPE,
            material.id,
            box(face, self.low, bore, rim),
            1,
            material.name,
            thickness=s.wall,
        )
        tail = (
            ((face, rim), "pipe"),
            ((bore, rim), "pipe"),
            ((bore, self.low), "pipe"),
        )
        roof = point.ground(Core((pipe,), face, face - s.gap, tail))
        point.base_ply()
        point.lay_bed(face - point.metal)
        self._sleeve(point, bore, rim)
        point.target("sleeve")
        upslope = side < 0.0
        point.finish(
            FINISH["up" if upslope else "down"],
            behind=-self.behind if upslope and self._comes_round else None,
        )
        point.bead()
        point.points |= {
            "edge.top": plane.at(face),
            "roof.datum": point.points["finish.end"],
            "pipe.rim": (face, rim),
            "sleeve.end": (bore, rim - s.turned_in),
            "leg.top": (face - point.metal, rim + point.metal),
        }
        return half_of(point.stack, point.points, roof.hollows)

    def _sleeve(self, point: FlangedPoint, bore: float, rim: float) -> None:
        """The jack: flange on the bed, up the pipe, over its rim and down into it."""
        stack, metal = point.stack, self.site.catalog.materials[self.s.point.metal]
        start = stack.outer_top("flange-cement")
        on = stack.surface
        body = stack.lay(
            Spec(
                "sleeve",
                Role.SLEEVE,
                metal.id,
                "Jack, " + metal.name.lower(),
                3,
                point.metal,
                "soldered; flange primed both sides, in plastic cement; dressed to roof "
                "and pipe, turned down into it",
            ),
            start,
            on.at_y(rim - self.s.turned_in, after=on.station_of((bore, rim))),
            lambda owner, _: Bond.CEMENT if owner == "flange-cement" else Bond.DRY,
        )
        point.leave(body)

    def section(self, whole: Half) -> LayeredSection:
        """Gather everything into the section."""
        s, site = self.s, self.site
        top = self.rim() + self.true_metal * self.thick.metal + inches(1.5)
        plan = self._plan()
        return point_section(
            whole,
            site,
            PointSection(
                kind="stack",
                variant=s.point.metal.partition("-")[0],
                extent=box(-self.reach, self.low, self.reach, top),
                through=((-s.radius, s.radius),),
                hollows=whole.hollows,
                gauges=_gauges(s, site),
                stages=stages(
                    site.roof.adhesion,
                    metal="Lead jack" if self._lead else "Copper jack",
                    set_metal="Slip the jack over the pipe; prime its flange on both "
                    "sides, dry; set it in plastic cement; dress it to roof and pipe; fold "
                    "the end over the rim and down into the pipe.",
                    cold=self._lead,
                    ground="Pipe plumb and fixed; boards fitted closely to it.",
                ),
                layouts=(plan,),
                thick=self.thick,
                notes=self._notes(),
                low_zone=s.radius + s.point.flange,
            ),
        )

    @property
    def _lead(self) -> bool:
        return self.site.catalog.materials[self.s.point.metal].kind == "lead"

    def _notes(self) -> tuple[str, ...]:
        notes = [DATUMS]
        if self._lead:
            notes.append(lead_note(self.s.point.metal, self.site))
        notes.append(
            "One piece from roof to rim leaves no room for the pipe to move: where it "
            "does, take a vent sleeve with a hood or collar of its own."
        )
        return tuple(notes)

    def _plan(self) -> Layout:
        s, t = self.s, self.true_metal
        outer, bore = s.radius + t, s.radius - s.wall
        return point_plan(
            PointPlan(
                sizes=s.point,
                face=outer,
                side=outer,
                core=s.radius,
                round=True,
                metal_role=Role.SLEEVE,
                flange_name="Sleeve: flange of the jack",
                uprights=(
                    Upright(
                        "sleeve",
                        Role.SLEEVE,
                        "Sleeve over the rim of the pipe",
                        ring(disc(0.0, 0.0, outer), disc(0.0, 0.0, bore - t)),
                    ),
                    Upright(
                        "pipe",
                        Role.PIPE,
                        "Pipe, inside the sleeve",
                        ring(disc(0.0, 0.0, s.radius), disc(0.0, 0.0, bore)),
                        hidden=True,
                    ),
                ),
                gauge_label="SLEEVE",
            )
        )


def _gauges(s: _Sizes, site: Site) -> tuple[Gauge, ...]:
    """Return the dimensions that the sheet shows."""
    v, h = Axis.VERTICAL, Axis.HORIZONTAL
    return (
        *flange_gauges(s.point, site),
        Gauge("pipe", "pipe.rim", "pipe.rim" + RIGHT, h, label="PIPE"),
        Gauge(
            "turned-in",
            "sleeve.end" + RIGHT,
            "pipe.rim" + RIGHT,
            v,
            site.marked(s.turned_in, "sleeve_turned_in_least"),
        ),
        Gauge(
            "stack-height",
            "roof.datum" + RIGHT,
            "pipe.rim" + RIGHT,
            v,
            site.marked(s.height, "stack_height_least"),
            rank=2,
        ),
    )


CONDITION = Condition(
    kind="stack",
    title="Plumbing stack with jack",
    about="Pipe through the roof in a flanged jack of lead that is turned down into it",
    parameters=Stack,
    build=build,
    impossible=impossible,
    taken=taken,
    families=frozenset({"flange"}),
)
