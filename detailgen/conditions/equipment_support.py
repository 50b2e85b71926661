r"""Equipment support: a post in a flanged sleeve, drawn along the fall of the roof.

         ______________________________
        | unit, or the frame under it  |      - unit.bottom: clear height above the
        |______________________________|        finished roof, on its upslope side
                 =============  cap plate
                    |     |
                   \|     |/   - kicked top with sealant, draw band
                   /|     |\
           sleeve | |     | |  - height of the sleeve above the finished roof
                  | |     | |
    finish ply ___/ |     | \_____________ upslope
    strip-in |<strip_in>| | |   __________
    flange        |<flange>|
    base ply _______|     |_______________ up to the post
    boards, deck ___|     |_______________

The clear height follows from the width of the unit, by a table; where the table can be read
in two ways the larger height is drawn and the sheet says so.
"""

from dataclasses import dataclass
from math import hypot
from typing import Literal

from detailgen.conditions._collared_sleeve import Collar, collar, collar_top, sleeve
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
from detailgen.conditions._support_words import height_note
from detailgen.equipment import ClearHeight, clear_height
from detailgen.geometry import Line, Region
from detailgen.geometry.regions import box, disc
from detailgen.parameters import Length, Placed, choice, length
from detailgen.section import (
    RIGHT,
    Axis,
    Body,
    Bond,
    Carried,
    Gauge,
    LayeredSection,
    Layout,
    Role,
    Stage,
)
from detailgen.units import inches

Metal = Literal["galvanized-24", "aluminium-040", "stainless-025", "copper-16", "copper-20"]
Table = Literal["older-manuals", "florida", "florida-hurricane-zone", "model-code"]
_OFF = inches(0.25)
"""How far the collar stands off the sleeve, mm (common practice, no source)."""
_PLATE = inches(0.375)
"""Thickness of the cap plate, mm (common practice, no source)."""
_PAST = inches(1.0)
"""How far it stands out past the post, mm (common practice, no source)."""
_FRAME = inches(4.0)
"""How much of the unit is drawn above the plate, mm."""
_FREE = inches(1.0)
"""Least distance of the collar from the cap plate, to get at its band, mm."""
_DECK_GAP = inches(0.5)
"""Gap between the post and the hole in the deck, mm (common practice, no source)."""


class EquipmentSupport(Placed, frozen=True):
    """Parameters of an equipment support."""

    post: Literal["pipe", "tube"] = choice(
        "Post of round steel pipe, or of square steel tube.", default="pipe"
    )
    post_width: Length = length(
        "Outside diameter or width of the post.",
        default="4 1/2 in",
        least="1 1/2 in",
        most="12 in",
    )
    post_wall: Length = length(
        "Thickness of the post's wall.", default="1/4 in", least="1/8 in", most="5/8 in"
    )
    unit_width: Length = length(
        "Width of the unit that stands on the posts.",
        default="40 in",
        least="6 in",
        most="240 in",
    )
    table: Table = choice(
        "Table that gives the clear height: the guideline of older manuals, the Florida "
        "code, the same in its hurricane zone, or the model code, which has none.",
        default="older-manuals",
    )
    clear_height: Length | None = length(
        "Clear height under the unit, above the finished roof on the post's upslope side. "
        "Without it: what the table asks for the unit's width; without a table 14 in.",
        default=None,
        least="8 in",
        most="72 in",
    )
    height: Length | None = sleeve_height()
    gap: Length = length(
        "Gap between post and sleeve.", default="1/4 in", least="1/8 in", most="1 in"
    )
    metal: Metal = choice("Metal of sleeve and collar.", default="stainless-025")
    flange: Length | None = flange_width()
    strip_in: Length | None = target_past_flange()
    lap: Length | None = lap_of_halves()
    cover_lap: Length | None = cover_over_sleeve("collar")
    bead: Length = bead_round_base()


_NO_TABLE = inches(14.0)
"""Clear height where no table asks one, mm: the lowest of the tables."""


@dataclass(frozen=True, slots=True)
class _Sizes:
    """The parameters with every default filled in, mm."""

    point: PointSizes
    asked: ClearHeight
    clear: float
    height: float
    half: float
    """From the axis to the face of the post."""
    inner: float
    """From the axis to the inner face of the sleeve."""
    deck: float
    """From the axis to the edge of the deck."""
    collar: Collar


def _sizes(p: EquipmentSupport, site: Site) -> _Sizes:
    asked = clear_height(p.unit_width, site.catalog.tables.heights[p.table])
    half = p.post_width / 2.0
    return _Sizes(
        point_sizes(p, site, p.metal),
        asked=asked,
        clear=p.clear_height or asked.height or _NO_TABLE,
        height=site.ruled(p.height, "sleeve_height_least"),
        half=half,
        inner=half + p.gap,
        deck=half + _DECK_GAP if has_boards(site) else half,
        collar=Collar(
            half, "post", site.ruled(p.cover_lap, "collar_lap_least"), _OFF, hood=False
        ),
    )


def taken(p: EquipmentSupport, site: Site) -> dict[str, float | str]:
    """Return what is taken for each parameter whose default comes from elsewhere."""
    s = _sizes(p, site)
    return {
        "clear_height": s.clear,
        "height": s.height,
        "flange": s.point.flange,
        "strip_in": s.point.strip_in,
        "lap": s.point.lap,
        "cover_lap": s.collar.lap,
    }


def impossible(p: EquipmentSupport, site: Site) -> list[Impossible]:
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
    metal = 5.0 * site.catalog.materials[s.point.metal].thickness
    above = collar_top(s.collar, -s.inner - metal, s.height, metal) + _PLATE + _FREE
    if s.clear < above:
        found.append(
            Impossible(
                ("clear_height", "height"),
                "Sleeve and collar do not fit under the unit.",
                f"a clear height of at least {above / 25.4:.4g} in ({above:.0f} mm)",
                "Raise the unit or give a lower sleeve.",
            )
        )
    if p.post_wall > 0.35 * p.post_width:
        found.append(
            Impossible(
                ("post_wall", "post_width"),
                "The post's wall leaves no hollow.",
                f"at most {0.35 * p.post_width / 25.4:.4g} in "
                f"({0.35 * p.post_width:.1f} mm)",
                "Give a wider post or a thinner wall.",
            )
        )
    return found


def build(p: EquipmentSupport, site: Site) -> LayeredSection:
    """Build the section and the plan of an equipment support."""
    work = _Work(p, _sizes(p, site), site)
    return work.section(both(work.half(1.0), work.half(-1.0)))


class _Work:
    """One section in the making."""

    def __init__(self, p: EquipmentSupport, s: _Sizes, site: Site) -> None:
        self.p, self.s, self.site = p, s, site
        t = site.thickening
        # so thick that the collar still fits under the unit, as `impossible` has it
        self.thick = Thickening(t.sheet, min(t.metal, 5.0), t.bed)
        self.true_metal = site.catalog.materials[s.point.metal].thickness
        self.metal = self.true_metal * self.thick.metal
        self.reach = s.inner + s.point.flange + s.point.strip_in + MARGIN + inches(0.25)
        self.slope = site.roof.slope
        self.low = -roof_depth(site) - self.slope * self.reach - inches(2)
        self.behind = cut_lines(s.point, s.inner)[1]
        self.datum = self._datum()

    @property
    def _comes_round(self) -> bool:
        """Whether the downslope piece of the finish ply comes out behind the sleeve."""
        return self.behind > self.s.inner

    @property
    def _unit(self) -> float:
        """Level of the unit's underside."""
        return self.datum + self.s.clear

    def _datum(self) -> float:
        """Return the level of the finished roof on the upslope side of the sleeve."""
        roof, materials, t = self.site.roof, self.site.catalog.materials, self.thick
        sheets = 2.0 * materials[roof.base_ply].thickness
        pieces = 2.0 if self._comes_round else 1.0
        sheets += pieces * materials[roof.finish_ply].thickness
        thick = sheets * t.sheet + materials["plastic-cement"].thickness * t.bed
        foot = self.slope * (self.s.inner + self.metal)
        return foot + (thick + self.metal) * hypot(1.0, self.slope)

    def half(self, side: float) -> Half:
        """Build one half to the left of the axis: 1 downslope, -1 upslope."""
        s, site = self.s, self.site
        plane = Plane(side * self.slope)
        point = FlangedPoint(site, self.thick, plane, s.point, (-self.reach, self.low))
        steel = site.catalog.materials["steel-shape"]
        face, bore, end = -s.half, -s.half + self.p.post_wall, self._unit - _PLATE
        post = Body(
            "post",
            Role.POST,
            steel.id,
            box(face, self.low, bore, end),
            1,
            "Post of round steel pipe" if self.p.post == "pipe" else "Post of steel tube",
            thickness=self.p.post_wall,
        )
        tail = (((face, end), "post"), ((bore, end), "post"), ((bore, self.low), "post"))
        roof = point.ground(Core((post,), face, -s.deck, tail))
        point.base_ply()
        outer, top = -s.inner - self.metal, self.datum + s.height
        point.lay_bed(outer, -s.inner)
        sleeve(point, outer, top)
        point.target("sleeve")
        upslope = side < 0.0
        point.finish(
            FINISH["up" if upslope else "down"],
            behind=-self.behind if upslope and self._comes_round else None,
        )
        point.bead()
        collar(point, s.collar, outer, top)
        self._load(point)
        point.points |= {
            "edge.top": plane.at(-s.inner),
            "roof.datum": point.points["finish.end"],
            "post.face": (face, top - s.collar.lap),
            "unit.bottom": (face - _PAST, self._unit),
        }
        return half_of(point.stack, point.points, roof.hollows)

    def _load(self, point: FlangedPoint) -> None:
        """The cap plate, and the unit on it."""
        stack, level, materials = point.stack, self._unit, self.site.catalog.materials
        steel, unit = materials["steel-shape"], materials["equipment"]
        plate = Body(
            "cap-plate",
            Role.POST,
            steel.id,
            box(-self.s.half - _PAST, level - _PLATE, 0.0, level),
            8,
            "Cap plate, steel",
            thickness=_PLATE,
            sticks="welded to the post",
        )
        stack.add(plate)
        stack.joints += stack.touching(plate, Bond.FASTENED, "post")
        load = Body(
            "unit",
            Role.EQUIPMENT,
            unit.id,
            box(-self.reach, level, 0.0, level + _FRAME),
            8,
            "Unit, or the frame that carries it",
            sticks="bolted to the cap plate",
        )
        stack.add(load)
        stack.joints += stack.touching(load, Bond.FASTENED, "cap-plate")

    def section(self, whole: Half) -> LayeredSection:
        """Gather everything into the section."""
        s, site = self.s, self.site
        high, base = self._unit + _FRAME, self._unit
        x = self.reach
        sides = (Line([(-x, base), (-x, high)]), Line([(x, base), (x, high)]))
        return point_section(
            whole,
            site,
            PointSection(
                kind="equipment-support",
                variant=f"post of {self.p.post}",
                extent=box(-x, self.low, x, high),
                through=((-s.half, s.half),),
                breaks=sides,
                hollows=whole.hollows,
                gauges=_gauges(s, site),
                stages=stages(
                    site.roof.adhesion,
                    metal="Sleeve",
                    set_metal="Slip the sleeve over the post; prime its flange on both "
                    "sides, dry; set it in plastic cement, clear of the post all round.",
                    cold=False,
                    ground="Post fixed to the structure; boards fitted closely to it.",
                    last=_LAST,
                ),
                layouts=(self._plan(),),
                carried=Carried(self.p.unit_width, self.p.table),
                thick=self.thick,
                notes=(DATUMS, height_note(s.asked, s.clear)),
                low_zone=s.inner + s.point.flange,
            ),
        )

    def _plan(self) -> Layout:
        s, t = self.s, self.true_metal
        outer = s.inner + t
        skirt = outer + s.collar.off + t
        bore = s.half - self.p.post_wall
        return point_plan(
            PointPlan(
                sizes=s.point,
                face=outer,
                side=outer,
                core=s.inner,
                round=self.p.post == "pipe",
                metal_role=Role.SLEEVE,
                flange_name="Sleeve: its flange",
                uprights=(
                    Upright(
                        "sleeve",
                        Role.SLEEVE,
                        "Sleeve, its upright",
                        ring(self._outline(outer), self._outline(s.inner)),
                        hidden=True,
                    ),
                    Upright(
                        "collar",
                        Role.COLLAR,
                        "Storm collar",
                        ring(self._outline(skirt), self._outline(s.half)),
                    ),
                    Upright(
                        "post",
                        Role.POST,
                        "Post",
                        ring(self._outline(s.half), self._outline(bore)),
                    ),
                ),
                gauge_label="SLEEVE",
            )
        )

    def _outline(self, half: float) -> Region:
        if self.p.post == "pipe":
            return disc(0.0, 0.0, half)
        return box(-half, -half, half, half)


_LAST = (
    Stage(
        7,
        "Storm collar",
        "Set the collar over the top of the sleeve, draw its band tight on the post, seal "
        "its kicked top.",
    ),
    Stage(8, "Unit", "Cap plate and unit, bolted; nothing rests on the roof."),
)


def _gauges(s: _Sizes, site: Site) -> tuple[Gauge, ...]:
    """Return the dimensions that the sheet shows."""
    v, h = Axis.VERTICAL, Axis.HORIZONTAL
    least = s.asked.height is not None and abs(s.clear - s.asked.height) < 0.01
    return (
        *flange_gauges(s.point, site),
        Gauge("post", "post.face", "post.face" + RIGHT, h, label="POST"),
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
        Gauge(
            "clear-height",
            "roof.datum" + RIGHT,
            "unit.bottom" + RIGHT,
            v,
            "MIN." if least else "",
            "CLEAR",
            rank=3,
        ),
    )


CONDITION = Condition(
    kind="equipment-support",
    title="Equipment support on a post",
    about="Post in a flanged sleeve with a storm collar, the unit at a clear height",
    parameters=EquipmentSupport,
    build=build,
    impossible=impossible,
    taken=taken,
    families=frozenset({"flange"}),
)
