"""What covers the top of an equipment curb: the unit's flange, a counterflashing, a cap."""

from dataclasses import replace
from math import hypot

from detailgen.conditions._condition import Site
from detailgen.conditions._curbs import WOODEN, Curb
from detailgen.conditions._terminations import (
    Terminated,
    hanging_leg,
    hollows,
    sheet_fasteners,
)
from detailgen.geometry import Point
from detailgen.geometry.regions import box, polygon
from detailgen.geometry.strips import polyline, ribbon
from detailgen.section import Body, Bond, Role
from detailgen.stacking import Stack
from detailgen.units import inches

STRIP = (inches(1.0), inches(0.25))
"""Compressible sealing strip, width and thickness in place (common practice, no source)."""
UNIT = inches(4.0)
"""How much of the unit is drawn above the curb, mm."""
OVERHANG = inches(0.5)
"""How far a unit that stands on a counterflashing reaches out past it, mm."""
PANEL = inches(0.75)
"""Thinnest part of the wood under a cap, mm."""


def cover_curb(
    curb: Curb, kind: str, lap: float, metal_id: str, cap_slope: float, right: float
) -> Terminated:
    """Cover the top of a curb.

    Args:
        curb: What is built so far.
        kind: `unit`, `counterflashing` or `cap`.
        lap: How far the metal's leg comes down, from the nailer's top.
        metal_id: Its metal.
        cap_slope: Rise per run of a cap, away from the roof face.
        right: x at which the drawing ends.
    """
    stack, site = curb.stack, curb.site
    heads = curb_fasteners(curb)
    metal = site.catalog.materials[metal_id]
    t = metal.thickness * site.thickening.metal
    leg = hanging_leg(stack, curb.ends, curb.top - lap, heads, t)
    level = curb.over_top()[1]
    if kind == "unit":
        _strip(stack, site, curb, level)
        line = _across(level + STRIP[1], 0.0, t, right, leg)
        name = "Flange of the unit, turned down over the flashing"
        sticks = "part of the unit; not fastened through the flashing's face"
    elif kind == "counterflashing":
        line = _across(level, 0.0, t, curb.s.thickness, leg)
        name = "Counterflashing, " + metal.name.lower()
        sticks = "over the nailer, fastened on its top; springs against the sheet"
    else:
        _panel(stack, level, cap_slope, right)
        line = _across(level + PANEL, cap_slope, t, right, leg)
        name = "Cap, " + metal.name.lower()
        sticks = "legs screwed near the hem, with sealing washers"
    body = Body(
        "counterflashing",
        Role.COUNTERFLASHING,
        metal.id,
        ribbon(line, t),
        8,
        name,
        thickness=t,
        course=polyline(line),
        sticks=sticks,
        by_others=kind == "unit",
    )
    stack.add(body)
    stack.joints += stack.touching(body, Bond.DRY, "flashing", "cap-deck")
    stack.joints += stack.touching(body, Bond.SEALED, "sealing-strip")
    if kind == "counterflashing":
        _strip(stack, site, curb, line[1][1] + t / 2.0)
    if kind != "cap":
        _unit(stack, site, line, (kind, t, right))
    low = min(p[1] for p in body.region.exterior.coords)
    hem = (leg[-1][0], low)
    points: dict[str, Point] = {"cover.hem": hem}
    if kind != "cap":  # a cap has no upper edge that a sealant closes
        points |= {"cf.hem": hem, "cf.top": (line[1][0] - t / 2.0, line[1][1])}
    return Terminated(points, hollows(stack, "counterflashing"))


def curb_fasteners(curb: Curb) -> list[float]:
    """Fasten the top edge of a cement-set sheet to the nailer, and a tall one between.

    Returns:
        Levels of the heads, mm, highest first.
    """
    stack = curb.stack
    heads = sheet_fasteners(stack, curb.site, curb.ends, not curb.s.foil)
    for i, body in enumerate(stack.bodies):
        into_wood = body.id == "top-fastener-1" or curb.s.kind in WOODEN
        if body.role is Role.FASTENER and into_wood:
            place = "top edge" if body.id == "top-fastener-1" else "middle row"
            stack.bodies[i] = replace(
                body, material="cap-nail", name=f"Nail with 1 in cap, {place}"
            )
    return heads


def _across(
    level: float, rise: float, t: float, inner: float, leg: list[Point]
) -> list[Point]:
    """Return the centre line of metal that lies over a curb's top and hangs down its face.

    Args:
        level: Of what it lies on, at the roof face (x = 0).
        rise: Per run, of what it lies on.
        t: Thickness of the metal.
        inner: x of its inner end.
        leg: Centre line of its leg, from the top down.
    """
    lift = level + t / 2.0 * hypot(1.0, rise) + 5e-5  # clear of rounding, still touching
    x = leg[0][0]
    return [(inner, lift + rise * inner), (x, lift + rise * x), *leg[1:]]


def _strip(stack: Stack, site: Site, curb: Curb, level: float) -> None:
    """Lay the sealing strip that the unit's weight presses together."""
    room = curb.s.thickness
    width = min(STRIP[0], room - inches(0.5))
    x = (room - width) / 2.0
    material = site.catalog.materials["sealing-strip"]
    body = Body(
        "sealing-strip",
        Role.BEAD,
        material.id,
        box(x, level, x + width, level + STRIP[1]),
        8,
        material.name,
        sticks="all round, pressed together by the unit",
    )
    stack.add(body)
    stack.joints += stack.touching(body, Bond.SEALED, "flashing", "counterflashing")


def _panel(stack: Stack, level: float, slope: float, right: float) -> None:
    """Close the opening with wood, ripped to the cap's slope."""
    body = Body(
        "cap-deck",
        Role.BLOCKING,
        "plywood-3-4",
        polygon([
            (0.0, level),
            (right, level),
            (right, level + PANEL + slope * right),
            (0.0, level + PANEL),
        ]),
        8,
        "Plywood on wood ripped to the cap's slope, over the opening",
        sticks="screwed to the nailer through the sheet",
    )
    stack.add(body)
    stack.joints += stack.touching(body, Bond.FASTENED, "flashing")


def _unit(
    stack: Stack, site: Site, line: list[Point], how: tuple[str, float, float]
) -> None:
    """Set the unit on its flange, or on a sealing strip over the counterflashing."""
    kind, t, right = how
    x = line[1][0] - t / 2.0
    low = line[1][1] + t / 2.0
    if kind == "counterflashing":
        x, low = x - OVERHANG, low + STRIP[1]
    material = site.catalog.materials["equipment"]
    body = Body(
        "unit",
        Role.EQUIPMENT,
        material.id,
        box(x, low, right, low + UNIT),
        9,
        material.name,
        sticks="fastened by its maker's directions",
    )
    stack.add(body)
    stack.joints += stack.touching(body, Bond.DRY, "counterflashing")
    stack.joints += stack.touching(body, Bond.SEALED, "sealing-strip")


def top_of_cover(stack: Stack, kind: str) -> float:
    """Return the top of the drawing over a covered curb."""
    if kind == "cap":
        high = max(y for _, y in stack.get("counterflashing").region.exterior.coords)
        return high + inches(1.5)
    return float(stack.get("unit").region.bounds[3])
