"""Wall base flashing on a cant.

                              |#| wall
          reglet_height  ---- |=|~~ counterflashing, its hem counterflashing_lap below
        flashing_height  ---- || |    the top of the flashing sheet
                              || |
       strip_in_up  --------- ||/|  <- top of the cant
                             //  |
    field ________________.//____|  <- cant_height, cant_run
          |<- flashing_reach ->|
            |<- strip_in_out ->|  toe of the cant

Heights of the flashing are vertical from the top of the finish ply at the toe; reaches are
horizontal from the toe of the bare cant; the strip-in's rise is from the top of the bare
cant.
"""

from dataclasses import dataclass
from typing import Literal

from detailgen.conditions._condition import Condition, Impossible, Site
from detailgen.conditions._coping import coping
from detailgen.conditions._dryness import dry_wall
from detailgen.conditions._ground import (
    DECK_THICKNESS,
    Plane,
    finish_surface,
    roof_beside,
    wall_faces,
)
from detailgen.conditions._terminations import (
    Ends,
    reglet,
    rows_above_roof,
    surface_mounted,
)
from detailgen.conditions._turn_up import TurnUp, TurnUpSizes
from detailgen.conditions._turn_up_words import stages
from detailgen.conditions._wall_heights import height_for_lap, hem_floor, rise_behind_hem
from detailgen.conditions._wall_pieces import Run, elevation
from detailgen.geometry import Line, Point
from detailgen.geometry.regions import box
from detailgen.parameters import Length, Placed, Rise, choice, length, slope
from detailgen.section import Axis, Gauge, LayeredSection, Method, Role, Stand
from detailgen.stacking import Stack, clipped
from detailgen.units import Mm, inches

Metal = Literal[
    "galvanized-24", "aluminium-032", "aluminium-040", "stainless-018", "copper-16"
]


class Wall(Placed, frozen=True):
    """Parameters of a wall base flashing."""

    wall: Literal["masonry", "concrete", "stud"] = choice(
        "What the wall is built of.", default="masonry"
    )
    wall_thickness: Length | None = length(
        "Thickness of the wall. Without it: masonry 7 5/8 in, concrete 8 in, stud 6 in.",
        default=None,
        least="4 in",
        most="24 in",
    )
    termination: Literal["reglet", "surface", "coping"] | None = choice(
        "What covers the top of the flashing: a counterflashing in a reglet, a "
        "surface-mounted one, or an upper sheet over the wall under a coping. Without it: "
        "reglet; on a stud wall surface.",
        default=None,
    )
    flashing: Literal["foil", "granule-in-cement"] | None = choice(
        "Flashing sheet: foil-faced, stuck as the roof is; or granule-surfaced, in "
        "flashing cement with its top edge fastened. Without it: foil under a torch, else "
        "granules.",
        default=None,
    )
    fall: Literal["away", "toward", "along"] = choice(
        "Which way the roof falls, seen from the wall.", default="away"
    )
    cant_height: Length | None = length(
        "Vertical leg of the cant.",
        default=None,
        least="1 1/2 in",
        most="6 in",
        by_rule="cant_height_least",
    )
    cant_run: Length | None = length(
        "Horizontal leg of the cant. Without it: as its height (45 deg).",
        default=None,
        least="1 1/2 in",
        most="8 in",
    )
    cant_material: Literal["perlite", "wood-fibre", "wood"] = choice(
        "What the cant is made of; under a torch it must not burn.", default="perlite"
    )
    strip_in_out: Length | None = length(
        "Reach of the strip-in ply from the toe of the bare cant out on the roof.",
        default=None,
        least="1/2 in",
        most="12 in",
        by_rule="strip_in_toe_least",
    )
    strip_in_up: Length | None = length(
        "Rise of the strip-in ply up the wall from the top of the bare cant. Without it: "
        "the rule's least, or behind the counterflashing where two sheets are asked.",
        default=None,
        least="1/2 in",
        most="6 in",
        by_rule="strip_in_wall_least",
    )
    prepared_band: Length | None = length(
        "Width of the prepared band from the toe out on the finish ply. Without it: the "
        "rule's least, or the flashing's reach where that is more.",
        default=None,
        least="1 in",
        most="18 in",
    )
    flashing_reach: Length | None = length(
        "Reach of the flashing sheet from the toe of the bare cant out on the roof.",
        default=None,
        least="1 in",
        most="16 in",
        by_rule="flashing_reach_least",
    )
    flashing_height: Length | None = length(
        "Height of the top of the flashing sheet above the finish ply at the toe. Without "
        "it: the rule's least, more where cant and lap need it, or what the reglet or the "
        "wall leaves room for.",
        default=None,
        least="3 in",
        most="60 in",
        by_rule="flashing_height_least",
    )
    reglet_height: Length | None = length(
        "Height of the reglet's mouth, or of the bar of a surface-mounted "
        "counterflashing, above the finish ply at the toe. Without it: 1 in above the "
        "flashing, more where the rule asks it; bar 1 1/2 in.",
        default=None,
        least="4 in",
        most="72 in",
    )
    reglet_depth: Length | None = length(
        "Depth of the reglet.",
        default=None,
        least="1/2 in",
        most="3 in",
        by_rule="reglet_depth_least",
    )
    counterflashing_lap: Length | None = length(
        "How far the counterflashing covers the flashing sheet. Without it: the rule's "
        "least, or what the cant leaves room for.",
        default=None,
        least="1/2 in",
        most="24 in",
        by_rule="counterflashing_lap_least",
    )
    counterflashing_metal: Metal = choice(
        "Metal of the counterflashing.", default="galvanized-24"
    )
    top_fastener_spacing: Length | None = length(
        "Spacing of the fasteners along the top edge of a cement-set flashing sheet.",
        default=None,
        least="2 in",
        most="24 in",
        by_rule="top_fastener_spacing_most",
    )
    bar_fastener_spacing: Length = length(
        "Spacing of the fasteners of a surface-mounted counterflashing's bar.",
        default="8 in",
        least="2 in",
        most="24 in",
    )
    wall_height: Length | None = length(
        "Height of a coped wall to the top of its blocking on the roof side, above the "
        "finish ply at the toe. Without it: 10 in above the flashing.",
        default=None,
        least="6 in",
        most="84 in",
    )
    upper_lap: Length | None = length(
        "How far the upper sheet of a coped wall laps over the lower one.",
        default=None,
        least="1 in",
        most="12 in",
        by_rule="upper_lap_least",
    )
    coping_metal: Metal = choice("Metal of the coping.", default="galvanized-24")
    coping_face: Length | None = length(
        "How far the coping's outer face reaches below the joint of blocking and wall.",
        default=None,
        least="1/4 in",
        most="8 in",
        by_rule="coping_face_least",
    )
    coping_slope: Rise = slope(
        "Slope of the coping's top toward the roof.",
        default="1 in per ft",
        least="0 %",
        most="3 in per ft",
    )


@dataclass(frozen=True, slots=True)
class _Sizes:
    """The parameters with every default filled in, mm."""

    termination: str
    foil: bool
    wall_thickness: float
    cant_height: float
    cant_run: float
    strip_out: float
    strip_up: float
    band: float
    reach: float
    height: float
    reglet_height: float
    reglet_depth: float
    lap: float
    wall_height: float
    upper_lap: float
    coping_face: float
    fastener_spacing: float


_WALL_THICKNESS = {"masonry": inches(7.625), "concrete": inches(8), "stud": inches(6)}
_ROOM = {"reglet": inches(1), "surface": inches(1.5)}
"""Least room between the top of the flashing and the reglet or the bar."""
_UNDER_BLOCKING = inches(2)
"""Least height of the coped wall above the lower sheet."""


def _sizes(p: Wall, site: Site) -> _Sizes:
    def ruled(given: Mm | None, row: str) -> float:
        return site.rules.value(row) if given is None else given

    termination = p.termination or ("surface" if p.wall == "stud" else "reglet")
    foil = p.flashing == "foil" if p.flashing else site.roof.adhesion is Method.TORCH
    cant_height = ruled(p.cant_height, "cant_height_least")
    drop = _tilt(p, site) * (p.cant_run or cant_height)
    floor = hem_floor(site, cant_height, drop)
    height = ruled(p.flashing_height, "flashing_height_least")
    if p.flashing_height is None:  # as high as what covers its top needs, or leaves room
        coped = termination == "coping"
        laps = (p.upper_lap, "upper_lap_least")
        if not coped:
            laps = (p.counterflashing_lap, "counterflashing_lap_least")
        height = max(height, height_for_lap(floor, ruled(*laps), coped=coped))
        if termination == "coping" and p.wall_height is not None:
            height = min(height, p.wall_height - _UNDER_BLOCKING)
        elif termination != "coping" and p.reglet_height is not None:
            height = min(height, p.reglet_height - _ROOM[termination])
    reach = ruled(p.flashing_reach, "flashing_reach_least")
    band = max(site.rules.value("prepared_band_least"), reach)
    lap = ruled(p.counterflashing_lap, "counterflashing_lap_least")
    if p.counterflashing_lap is None:
        lap = min(lap, height - floor)
    strip_up = ruled(p.strip_in_up, "strip_in_wall_least")
    two_sheets = site.rules.value("sheets_on_wall") > 1.0 and termination != "coping"
    if p.strip_in_up is None and two_sheets:  # the strip-in is the second one
        strip_up = max(strip_up, rise_behind_hem(site, height - cant_height - drop, lap))
    room = _ROOM.get(termination, inches(1))
    cut = termination == "reglet"
    least_reglet = site.rules.value("reglet_height_least") if cut else 0.0
    return _Sizes(
        termination=termination,
        foil=foil,
        wall_thickness=p.wall_thickness or _WALL_THICKNESS[p.wall],
        cant_height=cant_height,
        cant_run=p.cant_run or cant_height,
        strip_out=ruled(p.strip_in_out, "strip_in_toe_least"),
        strip_up=strip_up,
        band=p.prepared_band or band,
        reach=reach,
        height=height,
        reglet_height=p.reglet_height or max(height + room, least_reglet),
        reglet_depth=ruled(p.reglet_depth, "reglet_depth_least"),
        lap=lap,
        wall_height=p.wall_height or height + inches(10),
        upper_lap=ruled(p.upper_lap, "upper_lap_least"),
        coping_face=ruled(p.coping_face, "coping_face_least"),
        fastener_spacing=ruled(p.top_fastener_spacing, "top_fastener_spacing_most"),
    )


def _tilt(p: Wall, site: Site) -> float:
    return site.roof.slope * {"away": 1.0, "toward": -1.0, "along": 0.0}[p.fall]


def taken(p: Wall, site: Site) -> dict[str, float | str]:
    """Return what is taken for each parameter whose default comes from elsewhere."""
    s = _sizes(p, site)
    return {
        "wall_thickness": s.wall_thickness,
        "termination": s.termination,
        "flashing": "foil" if s.foil else "granule-in-cement",
        "cant_height": s.cant_height,
        "cant_run": s.cant_run,
        "strip_in_out": s.strip_out,
        "strip_in_up": s.strip_up,
        "prepared_band": s.band,
        "flashing_reach": s.reach,
        "flashing_height": s.height,
        "reglet_height": s.reglet_height,
        "reglet_depth": s.reglet_depth,
        "counterflashing_lap": s.lap,
        "top_fastener_spacing": s.fastener_spacing,
        "wall_height": s.wall_height,
        "upper_lap": s.upper_lap,
        "coping_face": s.coping_face,
        "deck_thickness": DECK_THICKNESS[site.roof.deck],
    }


def impossible(p: Wall, site: Site) -> list[Impossible]:
    """Return what cannot be built with these parameters."""
    s = _sizes(p, site)
    drop = _tilt(p, site) * s.cant_run
    found: list[Impossible] = []

    def add(keys: tuple[str, ...], message: str, allowed: str, mend: str) -> None:
        found.append(Impossible(keys, message, allowed, mend))

    if p.wall == "stud" and s.termination == "reglet":
        add(
            ("termination", "wall"),
            "A stud wall has no joint or mass to cut a reglet into.",
            "surface or coping",
            "Use another termination.",
        )
    top = s.wall_height - _UNDER_BLOCKING if s.termination == "coping" else s.height
    if s.cant_height + drop + inches(1) > top:
        add(
            ("cant_height", "flashing_height", "wall_height"),
            "The cant is as tall as the flashing on the wall.",
            "at least 1 in less than the flashing's height",
            "Lower the cant.",
        )
    if s.strip_up + s.cant_height + drop > s.height - inches(0.25):
        add(
            ("strip_in_up", "flashing_height"),
            "The strip-in ply ends higher than the flashing sheet that must cover it.",
            "cant height and strip-in rise together less than the flashing's height",
            "Lower the strip-in ply or raise the flashing.",
        )
    if s.termination == "coping":
        if s.height > s.wall_height - _UNDER_BLOCKING + 1e-6:
            add(
                ("flashing_height", "wall_height"),
                "The lower flashing sheet is taller than the wall leaves room for.",
                "at least 2 in less than wall_height",
                "Lower the flashing or raise the wall.",
            )
        if (
            s.upper_lap
            > s.height - hem_floor(site, s.cant_height, drop) + inches(0.25) - 1e-6
        ):
            add(
                ("upper_lap", "flashing_height"),
                "The upper sheet would lap down onto the cant.",
                "a lower edge above the top of the cant",
                "Shorten the lap or raise the flashing.",
            )
    else:
        room = _ROOM[s.termination]
        if s.reglet_height < s.height + room - 1e-6:
            add(
                ("flashing_height", "reglet_height"),
                "The flashing sheet reaches above where its counterflashing starts.",
                f"reglet_height at least {room / 25.4:g} in above flashing_height",
                "Lower the flashing or raise the reglet.",
            )
        if s.lap > s.height - hem_floor(site, s.cant_height, drop) + inches(0.25) - 1e-6:
            add(
                ("counterflashing_lap", "flashing_height"),
                "The counterflashing would run down over the cant.",
                "a hem above the top of the cant",
                "Shorten the lap or raise the flashing.",
            )
    return found


def build(p: Wall, site: Site) -> LayeredSection:
    """Build the section of a wall base flashing."""
    s = _sizes(p, site)
    plane = Plane(_tilt(p, site))
    left = -s.cant_run - max(s.reach, s.strip_out, s.band) - inches(5)
    work = _Work(p, s, site, plane, left)
    work.ground()
    work.turn_up()
    work.termination()
    return work.section()


class _Work:
    """One section in the making, in the order in which it is built."""

    def __init__(self, p: Wall, s: _Sizes, site: Site, plane: Plane, left: float) -> None:
        self.p, self.s, self.site, self.plane, self.left = p, s, site, plane, left
        self.toe: Point = plane.at(-s.cant_run)
        self.cant_top: Point = (0.0, s.cant_height)
        sheets = [
            self._sheet(m)
            for m in (site.roof.base_ply, site.roof.base_ply, site.roof.finish_ply)
        ]
        flat = (1.0 + plane.tilt**2) ** 0.5
        self.datum: Point = (self.toe[0], self.toe[1] + sum(sheets) * flat)
        self.points: dict[str, Point] = {
            "cant.toe": self.toe,
            "cant.top": self.cant_top,
            "cant.foot": (0.0, 0.0),
            "roof.datum": self.datum,
        }

    def _sheet(self, material: str) -> float:
        return self.site.catalog.materials[material].thickness * self.site.thickening.sheet

    def ground(self) -> None:
        """Deck, boards and wall, and the surface that they leave exposed."""
        s, site = self.s, self.site
        roof = roof_beside(site, self.plane, self.left, 0.0, 0.0)
        low = min(self.plane.at(self.left)[1], 0.0) - roof.depth - inches(1.5)
        self.ends = Ends(
            self.datum[1] + s.height,
            self.datum[1] + s.reglet_height,
            self.datum[1] + s.wall_height,
            low,
            self.datum[1],
            s.wall_thickness,
            s.reglet_depth,
            self.p.coping_slope,
        )
        top = self.ends.top(s.termination)
        right = s.wall_thickness + (inches(2.5) if s.termination == "coping" else 0.0)
        self.extent = box(self.left, low, right, top)
        walls, face = wall_faces(site, self.p.wall, self.ends, s.termination)
        surface, closing = self.ends.surface(
            s.termination,
            [self.plane.at(self.left), (0.0, 0.0)],
            [roof.top_id],
            face,
            (self.left, right, top),
        )
        self.roof, self.face = roof, face
        self.stack = Stack([*roof.bodies, *walls], surface, closing)
        on = self.stack.surface
        above = (
            self.datum[1] + s.height if s.termination != "coping" else on.at(on.length)[1]
        )
        low_mark = on.at_y(s.cant_height, after=on.station_of((0.0, 0.0)))
        high = (
            on.at_y(above, after=low_mark)
            if s.termination != "coping"
            else (on.station_of(self.ends.roof_side_of_blocking()))
        )
        self.stack.coat(
            "wall-primer",
            "Primer on the wall, dry before anything is stuck to it",
            1,
            low_mark,
            high,
        )

    def turn_up(self) -> None:
        """Cant and sheets, from the field to the top of the flashing."""
        s = self.s
        sheets = TurnUp(
            self.stack,
            self.site,
            TurnUpSizes(
                toe=self.toe,
                cant_height=s.cant_height,
                cant_material=self.p.cant_material,
                strip_out=s.strip_out,
                strip_up=s.strip_up,
                band=s.band,
                reach=s.reach,
                flashing_top=self.datum[1] + s.height,
                foil=s.foil,
            ),
        )
        sheets.roof_sheets()
        sheets.flashing_sheet()
        self.points |= sheets.points

    def termination(self) -> None:
        """What covers the top of the flashing."""
        s, p = self.s, self.p
        fasten = not s.foil
        if s.termination == "reglet":
            done = reglet(
                self.stack,
                self.site,
                self.ends,
                s.lap,
                p.counterflashing_metal,
                fasten,
            )
        elif s.termination == "surface":
            done = surface_mounted(
                self.stack,
                self.site,
                self.ends,
                s.lap,
                p.counterflashing_metal,
                self.face,
                fasten,
            )
        else:
            done = coping(
                self.stack,
                self.site,
                self.ends,
                (s.upper_lap, s.coping_face),
                p.coping_metal,
                s.foil,
            )
        self.points |= done.points
        self.done = done

    def section(self) -> LayeredSection:
        """Gather everything into the section."""
        s, site = self.s, self.site
        self.points |= {
            "band.outer": self.plane.at(self.toe[0] - s.band, self.datum[1] - self.toe[1]),
            "base.end": self.cant_top,
            "finish.end": self.cant_top,
            "wall.top": (0.0, self.extent.bounds[3]),
        }
        x0, y0, x1, y1 = self.extent.bounds
        breaks = [Line([(x0, y0), (x0, y1)]), Line([(0.0, y0), (s.wall_thickness, y0)])]
        if s.termination != "coping":
            breaks.append(Line([(0.0, y1), (x1, y1)]))
        t = site.thickening
        section = LayeredSection(
            kind="wall",
            variant=s.termination + (", foil" if s.foil else ", granules in cement"),
            bodies=clipped(self.stack.bodies, self.extent),
            joints=tuple(self.stack.joints),
            coats=tuple(self.stack.coats),
            points=self.points,
            gauges=_gauges(s, site),
            stages=stages(
                site.roof.adhesion,
                foil=s.foil,
                termination=s.termination,
                surface=finish_surface(site),
                sheathed=self.p.wall == "stud",
            ),
            method=site.roof.adhesion,
            slope=self.plane.tilt,
            extent=self.extent,
            breaks=tuple(breaks),
            hollows=(*self.roof.hollows, *self.done.hollows),
            layouts=(elevation(self._run(), site),),
            never_idle=_never_idle(s, site),
            side_of_air="left",
            notes=self.done.notes,
            roof_slope=site.roof.slope,
            sheet_factor=t.sheet,
            metal_factor=t.metal,
            bed_factor=t.bed,
            stand=Stand.WALL,
        )
        return dry_wall(section)

    def _run(self) -> Run:
        s = self.s
        base = self.datum[1]
        coped = s.termination == "coping"
        return Run(
            flashing_top=s.height,
            hem=None if coped else self.points["cf.hem"][1] - base,
            metal_top=s.reglet_height
            + (inches(1.25) if s.termination == "surface" else 0.0),
            top_fasteners=None if s.foil else s.fastener_spacing,
            middle=tuple(
                rows_above_roof(s.height, self.site.rules.value("intermediate_row_above"))
            ),
            middle_spacing=s.fastener_spacing,
            bar_fasteners=self.p.bar_fastener_spacing
            if s.termination == "surface"
            else None,
            bar_level=s.reglet_height + inches(0.5),
            upper=(s.height - s.upper_lap, s.wall_height) if coped else None,
            metal_role=Role.COUNTERFLASHING,
            piece_width=self.site.roof.roll_width,
        )


def _gauges(s: _Sizes, site: Site) -> tuple[Gauge, ...]:
    """Return the dimensions that the sheet shows, inner ones first."""

    def mark(actual: float, row: str, word: str = "MIN.") -> str:
        return word if abs(actual - site.rules.value(row)) < 0.01 else ""

    v, h = Axis.VERTICAL, Axis.HORIZONTAL
    gauges = [
        Gauge(
            "cant-height",
            "cant.foot",
            "cant.top",
            v,
            mark(s.cant_height, "cant_height_least"),
            "",
            1,
        ),
        Gauge(
            "strip-in-up",
            "cant.top",
            "strip.inner",
            v,
            mark(s.strip_up, "strip_in_wall_least"),
            "",
            1,
        ),
        Gauge(
            "flashing-height",
            "roof.datum",
            "flashing.top",
            v,
            mark(s.height, "flashing_height_least"),
            "",
            3,
        ),
        Gauge("cant-run", "cant.toe", "cant.foot", h, "", "", 1),
        Gauge(
            "strip-in-out",
            "strip.outer",
            "cant.toe",
            h,
            mark(s.strip_out, "strip_in_toe_least"),
            "",
            1,
        ),
        Gauge(
            "flashing-reach",
            "flashing.outer",
            "cant.toe",
            h,
            mark(s.reach, "flashing_reach_least"),
            "",
            2,
        ),
        Gauge("prepared-band", "band.outer", "cant.toe", h, "", "", 3),
    ]
    if s.termination == "coping":
        gauges += [
            Gauge(
                "upper-lap",
                "upper.bottom",
                "flashing.top",
                v,
                mark(s.upper_lap, "upper_lap_least"),
                "",
                2,
            ),
            Gauge("wall-height", "roof.datum", "blocking.top", v, "", "", 4),
            Gauge(
                "coping-face",
                "coping.face",
                "wall.joint",
                v,
                mark(s.coping_face, "coping_face_least"),
                "",
                2,
            ),
        ]
    else:
        gauges += [
            Gauge(
                "counterflashing-lap",
                "cf.hem",
                "flashing.top",
                v,
                mark(s.lap, "counterflashing_lap_least"),
                "",
                2,
            ),
            Gauge("reglet-height", "roof.datum", "reglet.mouth", v, "", "", 4),
        ]
    return tuple(gauges)


_NEVER_IDLE = frozenset({
    "backwater_lap",
    "backwater_side_lap",
    "bare_wall",
    "base_ply_stuck_over_cant",
    "closed_pocket",
    "leaky_hold_point",
    "high_strip_in_on_wall",
    "low_cant",
    "low_flashing",
    "low_strip_in_on_wall",
    "narrow_prepared_band",
    "shallow_slope",
    "short_flashing_reach",
    "short_side_lap",
    "short_strip_in_at_toe",
    "solids_overlap",
    "steep_cant",
    "tall_flashing",
    "thin_base_ply",
    "thin_cover_on_cant",
    "thin_cover_on_roof",
    "thin_metal",
})
_UNDER_METAL = frozenset({
    "low_hem",
    "missing_bead",
    "short_counterflashing_end_lap",
    "short_counterflashing_lap",
})
_NEVER_IDLE_BY = {
    "reglet": _UNDER_METAL | {"shallow_reglet"},
    "surface": _UNDER_METAL | {"sparse_bar_fasteners"},
    "coping": frozenset({
        "light_cleat",
        "shallow_cleat_hook",
        "short_coping_face",
        "short_upper_lap",
    }),
}


def _never_idle(s: _Sizes, site: Site) -> frozenset[str]:
    """Return the checks that must have something to look at in this section."""
    ids = _NEVER_IDLE | _NEVER_IDLE_BY[s.termination]
    if not s.foil:
        ids |= {"thin_bed"}
    if site.roof.adhesion is Method.TORCH:
        ids |= {"flame_on_wood"}
    if site.roof.deck == "steel":
        ids |= {"unspanned_flutes"}
    return ids


CONDITION = Condition(
    kind="wall",
    title="Wall base flashing on a cant",
    about="Membrane turned up a wall over a cant, under a counterflashing or a coping",
    parameters=Wall,
    build=build,
    impossible=impossible,
    taken=taken,
)
