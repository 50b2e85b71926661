"""What covers the top of a wall flashing: reglet, surface-mounted bar, or coping."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, sqrt

from detailgen.conditions._condition import Site
from detailgen.conditions._metalwork import driven, kick
from detailgen.geometry import Point, Region
from detailgen.geometry.measures import fused
from detailgen.geometry.regions import box, cut, overlap_area, polygon
from detailgen.geometry.strips import polyline, ribbon
from detailgen.geometry.surfaces import Surface
from detailgen.section import Body, Bond, Role
from detailgen.stacking import Stack
from detailgen.units import inches

SLOT = inches(0.375)
"""Height of a raked mortar joint, mm (a 3/8 in joint: NCMA TEK 2-1A - read)."""
HOOK = inches(0.25)
"""Turn-up at the concealed edge (UFGS 07600 (five-digit edition) 3.1.12 - read)."""
KICK = inches(0.375)
BAR = (inches(0.125), inches(1.0))
"""Termination bar, thickness and height (common practice - from memory)."""
SHANK = inches(1.25)
"""At least 1 in into masonry (UFGS 07550 (older five-digit edition) 2.9.1 - read)."""
CAP = inches(1.0)
"""Cap of a sheet fastener (UFGS 07550 (five-digit edition) 2.9 - read)."""
CAP_DEPTH = 1.0
BLOCKING = inches(1.5)


@dataclass(frozen=True, slots=True)
class Ends:
    """Levels at which the wall's parts end, mm."""

    flashing_top: float
    reglet: float
    blocking_top: float
    low: float
    datum: float
    """Top of the finish ply at the toe of the cant."""
    thickness: float
    depth: float
    coping_slope: float

    def top(self, termination: str) -> float:
        """Return the top of the drawing."""
        if termination == "reglet":
            return self.reglet + inches(4)
        if termination == "surface":
            return self.reglet + inches(5)
        return self.outer_top() + inches(1.5)

    def outer_top(self) -> float:
        """Return the height of the blocking's outer corner."""
        return self.blocking_top + self.coping_slope * self.thickness

    def roof_side_of_blocking(self) -> Point:
        """Return the blocking's corner on the roof side."""
        return (0.0, self.blocking_top)

    def surface(
        self,
        termination: str,
        roof: Sequence[Point],
        owners: Sequence[str],
        face: str,
        frame: tuple[float, float, float],
    ) -> tuple[Surface, list[Point]]:
        """Return the exposed surface of roof and wall, and what closes it.

        Args:
            termination: Which one.
            roof: Points of the roof's surface, from the field to the foot of the wall.
            owners: Bodies of its segments.
            face: Body that forms the wall's face.
            frame: Left, right and top of the drawing.
        """
        left, right, top = frame
        if termination == "coping":
            outer = (self.thickness, self.outer_top())
            joint = self.blocking_top - BLOCKING
            points = [
                *roof,
                (0.0, joint),
                (0.0, self.blocking_top),
                outer,
                (self.thickness, joint),
                (self.thickness, self.low),
            ]
            names = [*owners, face, "blocking", "blocking", "blocking", "wall"]
            return Surface(tuple(points), tuple(names)), [(left, self.low)]
        if termination == "surface":
            points, names = [*roof, (0.0, top)], [*owners, face]
        else:
            points = [
                *roof,
                (0.0, self.reglet),
                (self.depth, self.reglet),
                (self.depth, self.reglet + SLOT),
                (0.0, self.reglet + SLOT),
                (0.0, top),
            ]
            names = [*owners, face, "wall", "wall", "wall", face]
        closing = [(right, top), (right, self.low), (left, self.low)]
        return Surface(tuple(points), tuple(names)), closing


@dataclass(frozen=True, slots=True)
class Terminated:
    """What a termination adds to the section besides its bodies."""

    points: Mapping[str, Point]
    hollows: tuple[Region, ...]
    notes: tuple[str, ...] = ()


def rows_above_roof(height: float, spacing: float) -> list[float]:
    """Return the levels of the intermediate rows of fasteners that a tall sheet needs, mm.

    Args:
        height: Height of the sheet.
        spacing: Tallest stretch without a row (common practice - from memory).
    """
    count = max(ceil((height - 1e-6) / spacing) - 1, 0)
    return [height * (i + 1) / (count + 1) for i in range(count)]


def sheet_fasteners(stack: Stack, site: Site, ends: Ends, cement: bool) -> list[float]:
    """Fasten the top edge of a cement-set sheet, and the middle of a tall one.

    Returns:
        Levels of the heads, mm, highest first.
    """
    height = ends.flashing_top - ends.datum
    rows = [
        ends.datum + y
        for y in rows_above_roof(height, site.rules.value("intermediate_row_above"))
    ]
    levels = ([ends.flashing_top - inches(1.0)] if cement else []) + rows[::-1]
    for i, y in enumerate(levels):
        x = stack.surface.at(on_wall(stack, ends, y))[0]
        top = cement and not i
        body = driven(
            "top-fastener-1" if top else f"middle-fastener-{i if cement else i + 1}",
            "masonry-fastener",
            "Fastener with 1 in cap, top edge"
            if top
            else "Fastener with 1 in cap, middle row",
            7,
            (x, y),
            (SHANK, y),
            shank=4.8,
            cap=CAP,
            cap_depth=CAP_DEPTH,
        )
        stack.add(body)
        stack.pierce(body.id, through(stack, body))
    return levels


def on_wall(stack: Stack, ends: Ends, y: float) -> float:
    """Return the station at this height on the roof side of the wall."""
    on = stack.surface
    coped = on.points[-1][0] > ends.thickness - 1.0 and on.points[-1][1] < ends.flashing_top
    before = on.station_of((0.0, ends.blocking_top)) if coped else None
    return on.at_y_back(y, before=before)


def hanging_leg(
    stack: Stack, ends: Ends, hem: float, heads: list[float], metal: float
) -> list[Point]:
    """Return the centre line of a leg that hangs over the flashing, from its top down.

    It springs against the sheet at its hem, stands clear of fastener heads, and its hem is
    raised where it would touch the sheets on the cant.
    """
    on = stack.surface
    drop = KICK / sqrt(2.0)
    low = hem
    near: list[float] = []
    off = foot = tip = (0.0, 0.0)
    for _ in range(8):
        points, _owners = on.between(
            on_wall(stack, ends, low), on_wall(stack, ends, ends.flashing_top)
        )
        near = [y - CAP / 2.0 for y in heads if y + CAP / 2.0 > low]
        clear = 0.2 if near else 0.0  # a leaning leg turns a little about its foot
        outermost = min(p[0] for p in points)
        foot = (outermost - clear - metal / 2.0, low + drop + metal / 2.0 / sqrt(2.0))
        off = (foot[0] - CAP_DEPTH, min(near, default=0.0) - inches(0.25))
        if near and off[1] < foot[1] + CAP:  # no room to lean: it stands off all the way
            foot = (off[0], foot[1])
            near = []
        tip = kick(foot, KICK, 45.0, -1.0)
        under = max(on.at(on.at_x(tip[0] + dx))[1] for dx in (-metal, 0.0, metal))
        short = under + inches(1.0 / 16.0) - low
        if short <= 0.0:
            break
        low += short + 0.01
    if near:
        return [(off[0], ends.flashing_top), off, foot, tip]
    return [(foot[0], ends.flashing_top), foot, tip]


def hollows(stack: Stack, *metals: str) -> tuple[Region, ...]:
    """Return the closed spaces behind metals: dry, and meant to be there."""
    return closed_by(stack.bodies, *metals)


def closed_by(bodies: Sequence[Body], *ids: str) -> tuple[Region, ...]:
    """Return the closed spaces between bodies that touch one of those named."""
    holes = fused([b.region for b in bodies if b.role is not Role.FASTENER]).holes
    regions = [b.region for b in bodies if b.id in ids]
    return tuple(h for h in holes if any(h.distance(r) < 1e-3 for r in regions))


def reglet(
    stack: Stack, site: Site, ends: Ends, lap: float, metal_id: str, cement: bool
) -> Terminated:
    """Hang a counterflashing from a reglet in the wall."""
    metal = site.catalog.materials[metal_id]
    t = min(metal.thickness * site.thickening.metal, SLOT / 3.0)
    heads = sheet_fasteners(stack, site, ends, cement)
    leg = hanging_leg(stack, ends, ends.flashing_top - lap, heads, t)
    y = ends.reglet + t / 2.0
    back = ends.depth - t / 2.0
    centre = [
        (back, min(y + HOOK, ends.reglet + SLOT - t / 2.0)),
        (back, y),
        (leg[0][0], y),
        *leg,
    ]
    region = ribbon(centre, t)
    body = Body(
        "counterflashing",
        Role.COUNTERFLASHING,
        metal.id,
        region,
        8,
        "Counterflashing, " + metal.name.lower(),
        thickness=t,
        course=polyline(centre),
        sticks="turned up in the reglet, wedged and sealed; springs against the sheet",
    )
    stack.add(body)
    stack.joints += stack.touching(body, Bond.FASTENED, "wall")
    stack.joints += stack.touching(body, Bond.DRY, "flashing")
    sealant = site.catalog.materials["sealant"]
    fill = cut(
        polygon([
            (-HOOK, ends.reglet + t),
            (0.0, ends.reglet + SLOT),
            (HOOK * 2.0, ends.reglet + SLOT),
            (HOOK * 2.0, ends.reglet + t),
        ]),
        [body.region],
    )[0]
    bead = Body(
        "reglet-sealant",
        Role.BEAD,
        sealant.id,
        fill,
        8,
        "Sealant in the reglet",
        sticks="over lead wedges",
    )
    stack.add(body=bead)
    stack.joints += stack.touching(bead, Bond.SEALED, "wall", "counterflashing")
    low = min(p[1] for p in region.exterior.coords)
    return Terminated(
        {
            "reglet.mouth": (0.0, ends.reglet),
            "cf.hem": (leg[-1][0], low),
            "cf.top": (leg[0][0] - t / 2.0, ends.reglet + t),
        },
        hollows(stack, "counterflashing"),
    )


def surface_mounted(
    stack: Stack, site: Site, ends: Ends, lap: float, metal_id: str, face: str, cement: bool
) -> Terminated:
    """Fasten a counterflashing to the wall's face under a bar, its top edge sealed."""
    metal = site.catalog.materials[metal_id]
    t = metal.thickness * site.thickening.metal
    heads = sheet_fasteners(stack, site, ends, cement)
    leg = hanging_leg(stack, ends, ends.flashing_top - lap, heads, t)
    flat_low, flat_high = ends.reglet - inches(0.25), ends.reglet + inches(1.25)
    jog = ends.flashing_top + max((flat_low - ends.flashing_top) / 2.0, 0.0)
    lip = inches(0.375)
    centre = [
        (-t / 2.0 - lip / sqrt(2.0), flat_high + lip / sqrt(2.0)),
        (-t / 2.0, flat_high),
        (-t / 2.0, flat_low),
        (leg[0][0], jog),
        *leg,
    ]
    body = Body(
        "counterflashing",
        Role.COUNTERFLASHING,
        metal.id,
        ribbon(centre, t),
        8,
        "Surface-mounted counterflashing, " + metal.name.lower(),
        thickness=t,
        course=polyline(centre),
        sticks="under a bar; springs against the sheet",
    )
    stack.add(body)
    stack.joints += stack.touching(body, Bond.FASTENED, face)
    stack.joints += stack.touching(body, Bond.DRY, "flashing")
    bar_metal = site.catalog.materials["bar-aluminium"]
    y0 = ends.reglet + inches(0.0)
    bar = Body(
        "termination-bar",
        Role.TERMINATION_BAR,
        bar_metal.id,
        box(-t - BAR[0], y0, -t, y0 + BAR[1]),
        8,
        bar_metal.name,
        thickness=BAR[0],
        sticks="fastened through the metal to the wall",
    )
    stack.add(bar)
    stack.joints += stack.touching(bar, Bond.FASTENED, "counterflashing")
    mid = y0 + BAR[1] / 2.0
    screw = driven(
        "bar-fastener-1",
        "bar-fastener",
        "Bar fastener with sealing washer",
        8,
        (-t - BAR[0], mid),
        (SHANK, mid),
        shank=6.0,
        cap=inches(0.5),
        cap_depth=2.5,
    )
    stack.add(screw)
    stack.pierce(screw.id, through(stack, screw))
    sealant = site.catalog.materials["sealant"]
    high = flat_high + lip / sqrt(2.0)
    fill = cut(
        polygon([(0.0, flat_high - t), (-lip, high), (0.0, high + lip / 4.0)]),
        [body.region],
    )
    bead = Body("bar-sealant", Role.BEAD, sealant.id, fill[0], 8, "Sealant at the top edge")
    stack.add(bead)
    stack.joints += stack.touching(bead, Bond.SEALED, face, "counterflashing")
    low = min(p[1] for p in body.region.exterior.coords)
    return Terminated(
        {
            "reglet.mouth": (0.0, ends.reglet),
            "cf.hem": (leg[-1][0], low),
            "bar.top": (-t, y0 + BAR[1]),
            "cf.top": (-t, flat_high),
        },
        hollows(stack, "counterflashing", "termination-bar"),
    )


def through(stack: Stack, fastener: Body) -> list[str]:
    """Return the ids of what a fastener goes through."""
    return [
        b.id
        for b in stack.bodies
        if b.id != fastener.id and overlap_area(b.region, fastener.region) > 0.0
    ]
