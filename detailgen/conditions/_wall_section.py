"""The section of a wall base flashing on a cant, in the order in which it is built."""

from math import fsum

from detailgen.conditions._condition import Site
from detailgen.conditions._coping import coping
from detailgen.conditions._dryness import dry_wall
from detailgen.conditions._ground import Plane, finish_surface, roof_beside, wall_faces
from detailgen.conditions._terminations import (
    Ends,
    reglet,
    rows_above_roof,
    surface_mounted,
)
from detailgen.conditions._turn_up import TurnUp, TurnUpSizes
from detailgen.conditions._turn_up_words import stages
from detailgen.conditions._wall_parameters import WallSheets
from detailgen.conditions._wall_pieces import Run, elevation
from detailgen.conditions._wall_sizes import WallSizes, wall_sizes, wall_tilt
from detailgen.geometry import Line, Point
from detailgen.geometry.regions import box
from detailgen.section import Axis, Gauge, LayeredSection, Method, Role, Stand
from detailgen.stacking import Stack, clipped
from detailgen.units import inches


def build_wall(p: WallSheets, site: Site) -> LayeredSection:
    """Build the section of a wall base flashing."""
    s = wall_sizes(p, site)
    plane = Plane(wall_tilt(p, site))
    left = -s.cant_run - max(s.reach, s.strip_out, s.band) - inches(5)
    work = _Work(p, s, site, plane, left)
    work.ground()
    work.turn_up()
    work.termination()
    return work.section()


class _Work:
    """One section in the making, in the order in which it is built."""

    def __init__(
        self, p: WallSheets, s: WallSizes, site: Site, plane: Plane, left: float
    ) -> None:
        self.p, self.s, self.site, self.plane, self.left = p, s, site, plane, left
        self.toe: Point = plane.at(-s.cant_run)
        self.cant_top: Point = (0.0, s.cant_height)
        sheets = [
            self._sheet(m)
            for m in (site.roof.base_ply, site.roof.base_ply, site.roof.finish_ply)
        ]
        flat = (1.0 + plane.tilt**2) ** 0.5
        self.datum: Point = (self.toe[0], self.toe[1] + fsum(sheets) * flat)
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
        self.stack = Stack([*roof.bodies, *walls], surface, closing, site.mistakes)
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
            gauges=wall_gauges(s, site),
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
            never_idle=never_idle_on_wall(s, site),
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


def wall_gauges(s: WallSizes, site: Site) -> tuple[Gauge, ...]:
    """Return the dimensions that the sheet shows, inner ones first."""
    v, h = Axis.VERTICAL, Axis.HORIZONTAL
    gauges = [
        Gauge(
            "cant-height",
            "cant.foot",
            "cant.top",
            v,
            site.marked(s.cant_height, "cant_height_least"),
            "",
            1,
        ),
        Gauge(
            "strip-in-up",
            "cant.top",
            "strip.inner",
            v,
            site.marked(s.strip_up, "strip_in_wall_least"),
            "",
            1,
        ),
        Gauge(
            "flashing-height",
            "roof.datum",
            "flashing.top",
            v,
            site.marked(s.height, "flashing_height_least"),
            "",
            3,
        ),
        Gauge("cant-run", "cant.toe", "cant.foot", h, "", "", 1),
        Gauge(
            "strip-in-out",
            "strip.outer",
            "cant.toe",
            h,
            site.marked(s.strip_out, "strip_in_toe_least"),
            "",
            1,
        ),
        Gauge(
            "flashing-reach",
            "flashing.outer",
            "cant.toe",
            h,
            site.marked(s.reach, "flashing_reach_least"),
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
                site.marked(s.upper_lap, "upper_lap_least"),
                "",
                2,
            ),
            Gauge("wall-height", "roof.datum", "blocking.top", v, "", "", 4),
            Gauge(
                "coping-face",
                "coping.face",
                "wall.joint",
                v,
                site.marked(s.coping_face, "coping_face_least"),
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
                site.marked(s.lap, "counterflashing_lap_least"),
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


def never_idle_on_wall(s: WallSizes, site: Site) -> frozenset[str]:
    """Return the checks that must have something to look at in this section."""
    ids = _NEVER_IDLE | _NEVER_IDLE_BY[s.termination]
    if not s.foil:
        ids |= {"thin_bed"}
    if site.roof.adhesion is Method.TORCH:
        ids |= {"flame_on_wood"}
    if site.roof.deck == "steel":
        ids |= {"unspanned_flutes"}
    return ids
