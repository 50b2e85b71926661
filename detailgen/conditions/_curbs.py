"""Curbs: an upright of finite height on the deck, with the sheets carried over its top.

A curb stands with its roof face at x = 0 and its nailer flat or ripped to a slope on top.
An equipment curb, each half of an expansion joint and a free-standing nailer are one.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import fsum

from detailgen.conditions._condition import Site
from detailgen.conditions._ground import WALL_BOARD, Plane, roof_beside
from detailgen.conditions._terminations import Ends, rows_above_roof
from detailgen.conditions._turn_up import TurnUp, TurnUpSizes
from detailgen.conditions._wall_pieces import Run
from detailgen.geometry import Point
from detailgen.geometry.regions import polygon
from detailgen.geometry.surfaces import Surface
from detailgen.section import Axis, Body, Gauge, Method, Role
from detailgen.stacking import Stack
from detailgen.units import inches

NAILER = inches(1.5)
"""Depth of the nailer on a curb: 2x lumber laid flat."""
BELOW = inches(1.5)
"""How far the drawing goes on below the deck."""
FIELD = inches(5)
"""How much of the roof is drawn beyond the sheets of the turn-up."""

_CURBS = {
    "wood": ("curb-wood", "Wood curb, treated, on the deck"),
    "nailer": ("curb-wood", "Free-standing nailer, upright wood, fixed to the deck alone"),
    "metal": ("curb-metal", "Prefabricated metal curb, insulated, on the deck"),
    "concrete": ("curb-concrete", "Concrete curb, cast on the deck"),
}
WOODEN = frozenset({"wood", "nailer"})
THICKNESS: Mapping[str, float] = {
    "wood": inches(3),
    "nailer": inches(3.5),
    "metal": inches(2.5),
    "concrete": inches(6),
}
"""Default thickness of each kind of curb. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class CurbSizes:
    """What a curb is, mm."""

    kind: str
    """`wood`, `metal`, `concrete`, or `nailer` for one that stands before a wall."""
    thickness: float
    height: float
    """Of the nailer's top at the roof face above the finish ply at the toe."""
    top_slope: float
    """Rise per run of the nailer's top, away from the roof face."""
    cant_height: float
    cant_run: float
    cant_material: str
    strip_out: float
    strip_up: float
    band: float
    reach: float
    foil: bool

    @property
    def left(self) -> float:
        """Where the drawing ends on the roof."""
        return -self.cant_run - max(self.reach, self.strip_out, self.band) - FIELD


class Curb:
    """A curb in the making; the steps are called in the order of building."""

    def __init__(
        self, site: Site, s: CurbSizes, plane: Plane, *, deck_to: float, cricket: bool
    ) -> None:
        """Stand the curb on the deck, with boards up to it.

        Args:
            site: Roof, catalogue, rules.
            s: What the curb is.
            plane: The roof, with its surface at y = 0 at the curb; below it by the height
                of a cricket.
            deck_to: x at which the deck ends.
            cricket: Tapered boards bring the roof up level before the curb.
        """
        self.site, self.s, self.plane = site, s, plane
        self.roof = roof_beside(site, plane, s.left, 0.0, deck_to)
        self.low = (
            min(
                plane.at(s.left)[1],
                plane.at(max(deck_to, s.thickness))[1],
                plane.at(0.0)[1],
            )
            - self.roof.depth
            - BELOW
        )
        over = _cricket(site, plane, s.left) if cricket else None
        roof_points = over[0] if over else [plane.at(s.left), (0.0, 0.0)]
        self.toe: Point = (-s.cant_run, 0.0 if over else plane.at(-s.cant_run)[1])
        self.datum: Point = (self.toe[0], self.toe[1] + self._sheets(flat=over is not None))
        self.top = self.datum[1] + s.height
        owners = [self.roof.top_id, "cricket"] if over else [self.roof.top_id]
        bodies = [*self.roof.bodies, *(over[1] if over else ()), *self._upright()]
        face = "curb-board" if self._boarded else "curb"
        inner = self.top + s.top_slope * s.thickness
        points = [
            *roof_points,
            (0.0, self.top - NAILER),
            (0.0, self.top),
            (s.thickness, inner),
            (s.thickness, self.top - NAILER),
            (s.thickness, self.low),
        ]
        names = [*owners[-(len(roof_points) - 1) :], face, *["blocking"] * 3, "curb"]
        surface = Surface(tuple(points), tuple(names))
        self.stack = Stack(bodies, surface, [(s.left, self.low)], site.mistakes)
        self.ends = Ends(
            flashing_top=self.top,
            reglet=self.top,
            blocking_top=self.top,
            low=self.low,
            datum=self.datum[1],
            thickness=s.thickness,
            depth=0.0,
            coping_slope=s.top_slope,
        )
        self.points: dict[str, Point] = {
            "cant.toe": self.toe,
            "cant.top": (0.0, s.cant_height),
            "cant.foot": (0.0, 0.0),
            "roof.datum": self.datum,
            "curb.top": (0.0, self.top),
            "curb.inner": (s.thickness, inner),
            "base.end": (0.0, s.cant_height),
            "finish.end": (0.0, s.cant_height),
        }

    @property
    def _boarded(self) -> bool:
        return self.s.kind in WOODEN and self.site.roof.adhesion is Method.TORCH

    def _sheets(self, *, flat: bool) -> float:
        """Return how far the sheets at the toe raise the roof, upright."""
        roof = self.site.roof
        plies = (roof.base_ply, roof.base_ply, roof.finish_ply)
        thick = fsum(self.site.catalog.materials[m].thickness for m in plies)
        tilt = 0.0 if flat else self.plane.tilt
        return thick * self.site.thickening.sheet * (1.0 + tilt**2) ** 0.5

    def _upright(self) -> list[Body]:
        """Return the curb on the deck, its board under a torch, and its nailer."""
        s, materials = self.s, self.site.catalog.materials
        deck = -self.roof.build_up
        joint = self.top - NAILER

        def standing(x0: float, x1: float) -> list[Point]:
            return [
                self.plane.at(x0, deck),
                self.plane.at(x1, deck),
                (x1, joint),
                (x0, joint),
            ]

        bodies: list[Body] = []
        x = 0.0
        if self._boarded:
            board = materials["cover-board"]
            x = min(WALL_BOARD, s.thickness / 3.0)
            bodies.append(
                Body(
                    "curb-board",
                    Role.COVER_BOARD,
                    board.id,
                    polygon(standing(0.0, x)),
                    0,
                    board.name + ", on the curb",
                    thickness=x,
                    sticks="screwed to the wood: no flame meets it",
                )
            )
        material, name = _CURBS[s.kind]
        bodies.append(
            Body("curb", Role.WALL, material, polygon(standing(x, s.thickness)), 0, name)
        )
        ripped = ", ripped to a slope" if s.top_slope else ""
        bodies.append(
            Body(
                "blocking",
                Role.BLOCKING,
                "lumber-2x",
                polygon([
                    (0.0, joint),
                    (s.thickness, joint),
                    (s.thickness, self.top + s.top_slope * s.thickness),
                    (0.0, self.top),
                ]),
                0,
                "Nailer on the curb, 2x treated" + ripped,
                sticks="fastened to the curb",
            )
        )
        return bodies

    def prime(self) -> None:
        """Prime the curb from the top of the cant up and over its top."""
        on = self.stack.surface
        self.stack.coat(
            "wall-primer",
            "Primer on the curb, dry before anything is stuck to it",
            1,
            on.at_y(self.s.cant_height, after=on.station_of((0.0, 0.0))),
            on.station_of(self.points["curb.inner"]),
        )

    def sheets(self) -> None:
        """Cant and sheets, from the field over the curb's top."""
        s = self.s
        sheets = TurnUp(
            self.stack,
            self.site,
            TurnUpSizes(
                toe=self.toe,
                cant_height=s.cant_height,
                cant_material=s.cant_material,
                strip_out=s.strip_out,
                strip_up=s.strip_up,
                band=s.band,
                reach=s.reach,
                flashing_top=self.top,
                foil=s.foil,
                over=self.points["curb.inner"],
            ),
        )
        sheets.roof_sheets()
        sheets.flashing_sheet()
        tilt = 0.0 if self.toe[1] == 0.0 else self.plane.tilt
        self.points |= sheets.points
        self.points["band.outer"] = (
            self.toe[0] - s.band,
            self.datum[1] - tilt * s.band,
        )

    def over_top(self) -> Point:
        """Return the inner upper corner of what lies on the nailer."""
        x, y = self.points["curb.inner"]
        on = self.stack.surface
        return on.at(on.station_of((x, y + 1000.0)))


def _cricket(site: Site, plane: Plane, left: float) -> tuple[list[Point], list[Body]]:
    """Return the roof's surface over a cricket that is level at its ridge, and its boards.

    The ridge runs out level from the curb until it meets the roof, or off the drawing.
    """
    tip = left
    if plane.tilt < 0.0:
        tip = max(left, plane.drop / plane.tilt)
    board = site.catalog.materials["insulation-board"]
    foot = plane.at(0.0)
    if tip > left:
        surface = [plane.at(left), (tip, 0.0), (0.0, 0.0)]
        ring = [(tip, 0.0), foot, (0.0, 0.0)]
    else:
        surface = [(left, 0.0), (0.0, 0.0)]
        ring = [plane.at(left), foot, (0.0, 0.0), (left, 0.0)]
    body = Body(
        "cricket",
        Role.INSULATION,
        board.id,
        polygon(ring),
        0,
        "Cricket of tapered boards, at its ridge",
        sticks="as the boards below",
    )
    return surface, [body]


def turn_up_gauges(s: CurbSizes, site: Site) -> list[Gauge]:
    """Return the dimensions of the sheets that turn up a curb, inner ones first."""
    v, h = Axis.VERTICAL, Axis.HORIZONTAL

    def gauge(
        name: str, start: str, end: str, axis: Axis, actual: float, row: str, rank: int
    ) -> Gauge:
        return Gauge(name, start, end, axis, site.marked(actual, row), "", rank)

    return [
        gauge(
            "cant-height", "cant.foot", "cant.top", v, s.cant_height, "cant_height_least", 1
        ),
        gauge(
            "strip-in-up",
            "cant.top",
            "strip.inner",
            v,
            s.strip_up,
            "strip_in_wall_least",
            1,
        ),
        Gauge("cant-run", "cant.toe", "cant.foot", h, "", "", 1),
        gauge(
            "strip-in-out",
            "strip.outer",
            "cant.toe",
            h,
            s.strip_out,
            "strip_in_toe_least",
            1,
        ),
        gauge(
            "flashing-reach",
            "flashing.outer",
            "cant.toe",
            h,
            s.reach,
            "flashing_reach_least",
            2,
        ),
        Gauge("prepared-band", "band.outer", "cant.toe", h, "", "", 3),
    ]


UNDER_METAL = frozenset({
    "low_hem",
    "missing_bead",
    "short_counterflashing_end_lap",
    "short_counterflashing_lap",
})
"""Checks that may not be idle where metal with a sealed upper edge hangs over a sheet."""
_NEVER_IDLE = frozenset({
    "backwater_lap",
    "backwater_side_lap",
    "bare_wall",
    "base_ply_stuck_over_cant",
    "closed_pocket",
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


def never_idle(s: CurbSizes, site: Site) -> frozenset[str]:
    """Return the checks that must have something to look at on a flashed curb."""
    ids = set(_NEVER_IDLE)
    if not s.foil:
        ids.add("thin_bed")
    if site.roof.adhesion is Method.TORCH:
        ids.add("flame_on_wood")
    if site.roof.deck == "steel":
        ids.add("unspanned_flutes")
    return frozenset(ids)


def curb_run(s: CurbSizes, site: Site, hem: float, spacing: float) -> Run:
    """Return how the pieces hang along a curb, for its elevation.

    Args:
        s: Of the curb.
        site: The roof and the rules.
        hem: Level of the metal's hem above the finished roof, mm.
        spacing: Of the fasteners along the top edge and in an intermediate row, mm.
    """
    return Run(
        flashing_top=s.height,
        hem=hem,
        metal_top=s.height + inches(0.25),
        top_fasteners=None if s.foil else spacing,
        middle=tuple(rows_above_roof(s.height, site.rules.value("intermediate_row_above"))),
        middle_spacing=spacing,
        bar_fasteners=None,
        bar_level=0.0,
        upper=None,
        metal_role=Role.COUNTERFLASHING,
        piece_width=site.roof.roll_width,
    )
