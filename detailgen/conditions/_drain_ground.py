"""The ground of a drain: deck with its opening, boards with their sump, blocking, bowl."""

from dataclasses import dataclass, replace
from math import fsum, hypot

from detailgen.conditions._condition import Site
from detailgen.conditions._drain_parameters import WALL, DrainSizes
from detailgen.conditions._ground import Plane, roof_beside
from detailgen.conditions._sump import Sump, sunken
from detailgen.geometry import Point, Region
from detailgen.geometry.regions import cut, polygon
from detailgen.geometry.surfaces import Surface, merged
from detailgen.section import Body, Role
from detailgen.units import inches

CLEAR = inches(0.5)
"""Opening of the deck, clear of the bowl (common practice, no source)."""
BLOCKING = inches(5.5)
"""Width of the blocking about the bowl: the width of a nominal 2 x 6."""
THINNEST = 3.0
"""Thinner blocking than this, mm, is none: the flange lies in the deck's opening."""
NECK = inches(3)
"""Outlet below the bowl that is drawn."""
FIELD = inches(5)
"""Roof that is drawn past sump and target."""


@dataclass(frozen=True, slots=True)
class DrainGround:
    """What stands before roofing starts: the half to the left of the axis."""

    bodies: tuple[Body, ...]
    surface: Surface
    closing: tuple[Point, ...]
    hollows: tuple[Region, ...]
    left: float
    low: float
    rim_level: float
    """Level of the bowl's flange, where the sump is lowest."""
    field_level: float
    """Level of the roof at the edge of the sump."""
    slope: float
    """Rise per run of the sump's surface, outward."""


def drain_ground(s: DrainSizes, site: Site, reach: float) -> DrainGround:
    """Return deck, boards, blocking and bowl, and the surface that they leave exposed.

    Args:
        s: Sizes of the drain.
        site: Roof, catalogue, rules.
        reach: How far from the axis the widest sheet reaches, mm.
    """
    return _Ground(s, site, reach).built()


class _Ground:
    def __init__(self, s: DrainSizes, site: Site, reach: float) -> None:
        self.s, self.site = s, site
        self.plane = Plane(-site.roof.slope)
        self.left = -max(s.sump, reach) - FIELD
        self.slope = site.roof.slope + s.taper
        self.field_level = self.plane.at(-s.sump)[1]
        self.rim = self.field_level - self.slope * (s.sump - s.rim)
        self.build_up = fsum(site.roof.insulation) + (site.roof.cover_board or 0.0)
        # boards over the deck where the bowl's flange lies, and what the flange leaves
        self.under = self.rim - (self.plane.at(-s.rim)[1] - self.build_up) - WALL

    def built(self) -> DrainGround:
        s = self.s
        blocked = self.under >= THINNEST
        hole = s.bowl + WALL + CLEAR if blocked else s.rim
        inner = s.bowl + WALL + BLOCKING if blocked and self.site.roof.insulation else s.rim
        beside = roof_beside(self.site, self.plane, self.left, -inner, -hole)
        boards = [b for b in beside.bodies if b.role in {Role.INSULATION, Role.COVER_BOARD}]
        deck = next(b for b in beside.bodies if b.role is Role.DECK)
        bowl, low = self._bowl(deck)
        bodies = [deck, *self._boards(boards, inner)]
        if blocked:
            cover = [b for b in bodies if b.id == "sump-cover"]
            bodies.append(self._blocking(inner, [bowl, *cover]))
        bodies.append(bowl)
        surface = self._surface(bodies, inner, (-s.outlet, low))
        return DrainGround(
            tuple(bodies),
            surface,
            ((self.left, low),),
            beside.hollows,
            self.left,
            low,
            self.rim,
            self.field_level,
            self.slope,
        )

    def _upright(self) -> float:
        """Return how far down the walls of the bowl stand upright."""
        return self.s.depth - inches(0.375)

    def _bowl(self, deck: Body) -> tuple[Body, float]:
        """Return bowl and outlet in one, and the level at which the drawing ends."""
        s, y, w = self.s, self.rim, WALL
        low = min(y - s.depth - w - NECK, deck.region.bounds[1] - inches(1.5))
        region = polygon([
            (-s.bowl, y),
            (-s.rim, y),
            (-s.rim, y - w),
            (-s.bowl - w, y - w),
            (-s.bowl - w, y - self._upright() - w),
            (-s.outlet - w, y - s.depth - w),
            (-s.outlet - w, low),
            (-s.outlet, low),
            (-s.outlet, y - s.depth),
            (-s.bowl, y - self._upright()),
        ])
        iron = self.site.catalog.materials["drain-cast-iron"]
        name = "Drain: bowl with flange and outlet"
        return (
            Body(
                "bowl",
                Role.DRAIN_BOWL,
                iron.id,
                region,
                1,
                name,
                sticks="clamped to the deck; its leader joined so that both can move",
            ),
            low,
        )

    def _beneath(self, x0: float, x1: float, top: float, bottom: float) -> Region:
        """Return what lies so far below the sump's surface, from x0 to x1 outward."""
        s = self.s

        def level(x: float) -> float:
            return self.rim + self.slope * max(x - s.rim, 0.0)

        xs = [x1, x0] if not x0 < s.rim < x1 else [x1, s.rim, x0]
        upper = [(-x, level(x) - top) for x in xs]
        return polygon([*upper, *((x, y - bottom + top) for x, y in reversed(upper))])

    def _boards(self, boards: list[Body], inner: float) -> list[Body]:
        """Return the boards, tapered to the drain where there is a sump."""
        s = self.s
        if not s.taper:
            return boards if inner <= s.rim else self._cover_to_rim(boards)
        sump = Sump(
            s.sump, self.field_level, self.slope, inner, s.rim, "tapered to the drain"
        )
        return sunken(self.site, self.plane, boards, sump)

    def _cover_to_rim(self, boards: list[Body]) -> list[Body]:
        """Return boards of which the cover board goes on over the blocking."""
        s = self.s
        out: list[Body] = []
        for body in boards:
            region = body.region
            if body.role is Role.COVER_BOARD:
                region = self.plane.slab(self.left, -s.rim, -body.thickness, 0.0)
            out.append(replace(body, region=region))
        return out

    def _blocking(self, inner: float, over: list[Body]) -> Body:
        """Return the wood under the bowl's flange, ripped to what the boards leave."""
        s = self.s
        x0, x1 = -inner, -s.bowl - WALL
        deck = -self.build_up
        region = polygon([
            self.plane.at(x0, deck),
            self.plane.at(x1, deck),
            (x1, self.rim),
            (-s.rim, self.rim),
            (x0, self.rim + self.slope * (inner - s.rim)),
        ])
        tools = [b.region for b in over]
        if self.site.roof.cover_board and not s.taper and inner > s.rim:
            tools.append(self._beneath(s.rim, inner, 0.0, self.site.roof.cover_board))
        wood = self.site.catalog.materials["lumber-2x"]
        return Body(
            "blocking",
            Role.BLOCKING,
            wood.id,
            cut(region, tools)[0],
            1,
            "Wood blocking about the drain",
            sticks="anchored to the deck before the boards are laid, ripped to the sump",
        )

    def _surface(self, bodies: list[Body], inner: float, end: Point) -> Surface:
        """Return what is exposed, from the field down into the outlet."""
        s = self.s
        ids = [b.id for b in bodies]
        boards = [i for i in ids if i.startswith("insulation-") or i == "cover-board"]
        field = boards[-1] if boards else "deck"
        sump = next((i for i in ("sump-cover", "sump-board") if i in ids), field)
        covered = self.site.roof.cover_board is not None
        wood = sump if covered or "blocking" not in ids else "blocking"
        points: list[Point] = [self.plane.at(self.left)]
        owners: list[str] = []
        for point, owner in (
            ((-s.sump, self.field_level), field),
            ((-inner, self.rim + self.slope * (inner - s.rim)), sump),
            ((-s.rim, self.rim), wood),
            ((-s.bowl, self.rim), "bowl"),
            ((-s.bowl, self.rim - self._upright()), "bowl"),
            ((-s.outlet, self.rim - s.depth), "bowl"),
            (end, "bowl"),
        ):
            points.append(point)
            owners.append(owner)
        return merged(points, owners)


def lean(slope: float, height: float) -> float:
    """Return how far a square end of this height leans over on a slope, mm."""
    return height * slope / hypot(1.0, slope)
