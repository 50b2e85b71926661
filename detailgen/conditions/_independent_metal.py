"""A counterflashing that hangs from a wall over a nailer and touches nothing."""

from dataclasses import dataclass, replace
from math import sqrt

from detailgen.conditions._condition import Site
from detailgen.conditions._curb_tops import curb_fasteners
from detailgen.conditions._curbs import Curb
from detailgen.conditions._joint_middle import touching
from detailgen.conditions._metalwork import driven, kick
from detailgen.conditions._terminations import BAR, HOOK, KICK, SHANK, SLOT
from detailgen.geometry import Point
from detailgen.geometry.regions import box, cut, overlap_area, polygon
from detailgen.geometry.strips import polyline, ribbon
from detailgen.section import Body, Bond, Joint, Role
from detailgen.units import inches

FALL = 0.25
"""Slope of the metal over the gap, toward the roof: 3 in per ft."""
OFF_BARRIER = 2.0
"""How far the metal stays off what is stuck to the wall below its receiver, mm."""
FLAT = inches(1.5)
"""Height of the flat of surface-mounted metal on the wall, mm."""
LIP = inches(0.375)
BEND = inches(0.75)
"""Least room between the metal's upper bend and its receiver, mm."""


@dataclass(frozen=True, slots=True)
class Hung:
    """Where the metal hangs, mm."""

    wall: float
    """x of the wall's face."""
    reglet: float
    """Level of the reglet's mouth, or of the bar."""
    depth: float
    """Of the reglet."""
    hem: float
    clear: float
    """Beside the sheet on the nailer."""
    over: float
    """Above the sheet on the nailer."""
    barrier: float
    """Thickness of what is stuck to the wall."""
    in_reglet: bool


def hang(curb: Curb, h: Hung, metal_id: str) -> tuple[list[Point], float, dict[str, Point]]:
    """Return the centre line of the metal below its receiver, from the top down.

    It runs down before the wall, falls over the gap and the nailer, and comes down before
    the flashing sheet; its hem is raised where it would come too near the sheets on the
    cant.

    Returns:
        The line, the metal's thickness, and named points.
    """
    site = curb.site
    heads = curb_fasteners(curb)
    t = site.catalog.materials[metal_id].thickness * site.thickening.metal
    if h.in_reglet:
        t = min(t, SLOT / 3.0)
    on = curb.stack.surface
    top = curb.over_top()
    drop = KICK / sqrt(2.0)
    low = h.hem
    foot = tip = (0.0, 0.0)
    outermost = 0.0
    for _ in range(8):
        end = on.station_of(top)
        face, _owners = on.between(on.at_y_back(low, before=end), end)
        outermost = min(x for x, _ in face) - (1.0 if heads else 0.0)
        foot = (outermost - h.clear - t / 2.0, low + drop + t / 2.0 / sqrt(2.0))
        tip = kick(foot, KICK, 45.0, -1.0)
        under = max(on.at(on.at_x(tip[0] + dx))[1] for dx in (-t, 0.0, t))
        short = under + min(h.over, inches(0.25)) - low
        if short <= 0.0:
            break
        low += short + 0.01
    corner = (foot[0], top[1] + h.over + t / 2.0)
    back = h.wall - h.barrier - OFF_BARRIER - t / 2.0
    # drawn thick, the sheets leave less room below the receiver
    bend = (back, min(corner[1] + FALL * (back - corner[0]), h.reglet - BEND))
    points: dict[str, Point] = {
        "cf.leg": (foot[0] + t / 2.0, foot[1] + inches(1)),
        "flashing.face": (foot[0] + t / 2.0 + h.clear, foot[1] + inches(1)),
        "cf.over": (corner[0], top[1] + h.over),
        "flashing.over": (corner[0], top[1]),
    }
    return [bend, corner, foot, tip], t, points


class Hanging:
    """The metal of the wall in the making, beside the stack of the nailer."""

    def __init__(self, curb: Curb, h: Hung, metal_id: str, others: list[Body]) -> None:
        """Take the nailer with its sheets, and the bodies beside it."""
        self.curb, self.h, self.others = curb, h, others
        self.site: Site = curb.site
        self.metal = self.site.catalog.materials[metal_id]
        self.line, self.t, self.points = hang(curb, h, metal_id)
        self.joints: list[Joint] = []

    def _add(self, body: Body, bond: Bond, *others: str) -> Body:
        self.joints += touching(body, self.others, bond, *others)
        self.others.append(body)
        return body

    def _sheet(self, centre: list[Point], name: str, sticks: str) -> Body:
        body = Body(
            "counterflashing",
            Role.COUNTERFLASHING,
            self.metal.id,
            ribbon(centre, self.t),
            8,
            name + self.metal.name.lower(),
            thickness=self.t,
            course=polyline(centre),
            sticks=sticks,
        )
        low = min(y for _, y in body.region.exterior.coords)
        self.points |= {"cf.hem": (self.line[-1][0], low)}
        return self._add(body, Bond.FASTENED, "wall")

    def reglet(self) -> None:
        """Hold the metal in a reglet that is cut into the wall."""
        h, t = self.h, self.t
        y, back = h.reglet + t / 2.0, h.wall + h.depth - t / 2.0
        centre = [
            (back, min(y + HOOK, h.reglet + SLOT - t / 2.0)),
            (back, y),
            (self.line[0][0], y),
            *self.line,
        ]
        body = self._sheet(
            centre,
            "Counterflashing, ",
            "turned up in the reglet, wedged and sealed; touches nothing below",
        )
        fill = cut(
            polygon([
                (h.wall - HOOK, h.reglet + t),
                (h.wall, h.reglet + SLOT),
                (h.wall + HOOK * 2.0, h.reglet + SLOT),
                (h.wall + HOOK * 2.0, h.reglet + t),
            ]),
            [body.region],
        )[0]
        bead = Body(
            "reglet-sealant",
            Role.BEAD,
            self.site.catalog.materials["sealant"].id,
            fill,
            8,
            "Sealant in the reglet",
            sticks="over lead wedges",
        )
        self._add(bead, Bond.SEALED, "wall", "counterflashing")
        self.points |= {
            "reglet.mouth": (h.wall, h.reglet),
            "cf.top": (self.line[0][0] - t / 2.0, h.reglet + t),
        }

    def surface(self) -> None:
        """Fasten the metal to the wall's face under a bar, its top edge sealed."""
        h, t = self.h, self.t
        x = h.wall - t / 2.0
        high = h.reglet + FLAT - inches(0.25)
        lip = LIP / sqrt(2.0)
        jog = h.reglet - inches(0.25)
        centre = [
            (x - lip, high + lip),
            (x, high),
            (x, jog),
            (self.line[0][0], jog - inches(0.375)),
            *self.line,
        ]
        body = self._sheet(
            centre,
            "Surface-mounted counterflashing, ",
            "under a bar on the wall; touches nothing below",
        )
        metal = self.site.catalog.materials["bar-aluminium"]
        self._add(
            Body(
                "termination-bar",
                Role.TERMINATION_BAR,
                metal.id,
                box(h.wall - t - BAR[0], h.reglet, h.wall - t, h.reglet + BAR[1]),
                8,
                metal.name,
                thickness=BAR[0],
                sticks="fastened through the metal to the wall",
            ),
            Bond.FASTENED,
            "counterflashing",
        )
        mid = h.reglet + BAR[1] / 2.0
        screw = driven(
            "bar-fastener-1",
            "bar-fastener",
            "Bar fastener with sealing washer",
            8,
            (h.wall - t - BAR[0], mid),
            (h.wall + SHANK, mid),
            shank=6.0,
            cap=inches(0.5),
            cap_depth=2.5,
        )
        pierced = tuple(
            b.id for b in self.others if overlap_area(b.region, screw.region) > 0.0
        )
        self.others.append(replace(screw, pierces=pierced))
        fill = cut(
            polygon([
                (h.wall, high - t),
                (h.wall - LIP, high + lip),
                (h.wall, high + lip * 1.25),
            ]),
            [body.region],
        )
        bead = Body(
            "bar-sealant",
            Role.BEAD,
            self.site.catalog.materials["sealant"].id,
            fill[0],
            8,
            "Sealant at the top edge",
        )
        self._add(bead, Bond.SEALED, "wall", "counterflashing")
        self.points |= {
            "reglet.mouth": (h.wall, h.reglet),
            "bar.top": (h.wall - t, h.reglet + BAR[1]),
            "cf.top": (h.wall - t, high),
        }
