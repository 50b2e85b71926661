"""A coped wall: an upper sheet carried over the wall's top, under a coping."""

from math import hypot

from detailgen.conditions._bonds import by_material
from detailgen.conditions._condition import Site
from detailgen.conditions._metalwork import cleat_for, driven, hooked_pair, kick
from detailgen.conditions._terminations import (
    BLOCKING,
    KICK,
    SHANK,
    Ends,
    Terminated,
    hollows,
    on_wall,
    sheet_fasteners,
    through,
)
from detailgen.geometry import Point
from detailgen.geometry.strips import polyline, ribbon
from detailgen.section import Body, Bond, Role
from detailgen.stacking import Spec, Stack, everywhere
from detailgen.units import inches

HOOKED = inches(0.75)
"""Hook over a cleat (UFGS 07600 (five-digit edition) 3.1.15.1 - read)."""


def coping(
    stack: Stack,
    site: Site,
    ends: Ends,
    sizes: tuple[float, float],
    metal_id: str,
    foil: bool,
) -> Terminated:
    """Carry an upper sheet over the wall's top and cap it with a coping.

    Args:
        stack: What is built so far.
        site: Roof, catalogue, rules.
        ends: Levels of the wall.
        sizes: Lap over the lower sheet, and reach of the coping's outer face below the
            joint between blocking and wall, mm.
        metal_id: Metal of the coping.
        foil: The sheets are foil-faced; else granule-surfaced, in cement.
    """
    lap, outer_reach = sizes
    low_out = ends.blocking_top - BLOCKING - outer_reach
    sheet_fasteners(stack, site, ends, not foil)
    bottom, inner = _upper_sheet(stack, site, ends, (lap, low_out), foil)
    for fastener in [b for b in stack.bodies if b.role is Role.FASTENER]:
        stack.pierce(fastener.id, through(stack, fastener))  # its cap is in what covers it
    metal = site.catalog.materials[metal_id]
    t = metal.thickness * site.thickening.metal
    on = stack.surface
    top = _top_of_sheet(stack)
    drop = BLOCKING + inches(1.0)
    low_in = ends.blocking_top - drop
    span, _ = on.between(on_wall(stack, ends, low_in - KICK), on.station_of(top[0]))
    x_in = min(p[0] for p in span)
    out_span, _ = on.between(on.station_of(top[1]), on.length)
    x_out = max(p[0] for p in out_span)
    cleat_t = site.catalog.materials[cleat_for(metal_id)].thickness * site.thickening.metal
    joint = ends.blocking_top - BLOCKING
    rise = (top[1][1] - top[0][1]) / max(top[1][0] - top[0][0], 1.0)
    lift = t / 2.0 * hypot(1.0, rise) + 5e-5  # clear of rounding, still touching
    cleat_end, face_end = hooked_pair(x_out, low_out, cleat_t, t, 30.0, inches(0.9), HOOKED)
    x_face = face_end[0][0]
    inner_foot = (x_in - t / 2.0, low_in)

    def over(x: float) -> Point:
        return (x, top[0][1] + rise * (x - top[0][0]) + lift)

    centre = [
        kick(inner_foot, KICK, 45.0, -1.0),
        inner_foot,
        over(inner_foot[0]),
        over(x_face),
        *face_end,
    ]
    body = Body(
        "coping",
        Role.COPING,
        metal.id,
        ribbon(centre, t),
        9,
        "Coping, " + metal.name.lower(),
        thickness=t,
        course=polyline(centre),
        sticks="hooked over a cleat outside, screwed through slotted holes inside",
    )
    cleat_line = [(cleat_end[0][0], ends.outer_top() - inches(0.25)), *cleat_end]
    _coping_cleat(stack, site, metal_id, cleat_line, cleat_t)
    stack.add(body)
    stack.joints += stack.touching(body, Bond.DRY, "upper-flashing")
    _coping_screw(stack, inner_foot, t, ends)
    low = min(y for x, y in body.region.exterior.coords if x > ends.thickness)
    return Terminated(
        {
            "upper.bottom": bottom,
            "coping.face": (x_face + t / 2.0, low_out),
            "coping.low": (x_face, low),
            "wall.joint": (ends.thickness, joint),
            "coping.inner": inner_foot,
            "blocking.top": (0.0, ends.blocking_top),
            "upper.lap": (inner, ends.flashing_top),
        },
        hollows(stack, "coping", "coping-cleat"),
    )


def _upper_sheet(
    stack: Stack, site: Site, ends: Ends, sizes: tuple[float, float], foil: bool
) -> tuple[Point, float]:
    """Lay the upper sheet: from its lap on the lower one over the wall and down outside.

    There it goes as far down as the coping's face: the joints of a coping let water by, so
    that the sheet alone keeps the blocking dry.

    Args:
        stack: What is built so far.
        site: Roof, catalogue, rules.
        ends: Levels of the wall.
        sizes: Lap over the lower sheet, and level of its end on the outer face, mm.
        foil: Foil-faced; else granule-surfaced, in cement.
    """
    lap, outer_end = sizes
    y = ends.flashing_top - lap
    on = stack.surface
    material = site.catalog.materials["flashing-foil" if foil else "flashing-granule"]
    sheet = material.thickness * site.thickening.sheet

    def reach() -> tuple[float, float]:
        on = stack.surface
        corner = max(range(len(on.points)), key=lambda i: on.points[i][1])
        after = on.stations()[corner]
        return on_wall(stack, ends, y), on.at_y(outer_end, after=after)

    low = reach()[0]
    bottom = on.at(low)
    bonds = everywhere(Bond.CEMENT)
    if foil:
        bonds = by_material(site, stack.bodies)
    else:
        cement = site.catalog.materials["flashing-cement"]
        stack.lay(
            Spec(
                "upper-cement",
                Role.CEMENT,
                cement.id,
                cement.name,
                8,
                cement.thickness * site.thickening.bed,
                "thin coat on both faces",
            ),
            *reach(),
            bonds,
        )
        low = stack.outer_top("upper-cement")
    stack.lay(
        Spec(
            "upper-flashing",
            Role.UPPER_FLASHING,
            material.id,
            "Upper flashing sheet, as the lower one",
            8,
            sheet,
            "laps the lower sheet, over the wall's top",
        ),
        low,
        reach()[1],
        bonds,
    )
    return bottom, bottom[0]


def _top_of_sheet(stack: Stack) -> tuple[Point, Point]:
    """Return the two upper corners of what lies on the blocking."""
    on = stack.surface
    high = max(on.points, key=lambda p: (p[1], p[0]))
    i = on.points.index(high)
    before, after = on.points[i - 1], on.points[i]
    return (before, after)


def _coping_cleat(
    stack: Stack, site: Site, metal_id: str, centre: list[Point], t: float
) -> None:
    material = site.catalog.materials[cleat_for(metal_id)]
    cleat = Body(
        "coping-cleat",
        Role.CLEAT,
        material.id,
        ribbon(centre, t),
        9,
        "Continuous cleat, " + material.name.lower(),
        thickness=t,
        course=polyline(centre),
        sticks="nailed to the blocking",
    )
    stack.add(cleat)
    stack.joints += stack.touching(cleat, Bond.FASTENED, "upper-flashing", "blocking")


def _coping_screw(stack: Stack, inner_foot: Point, t: float, ends: Ends) -> None:
    y = ends.blocking_top - BLOCKING / 2.0
    screw = driven(
        "coping-screw-1",
        "coping-screw",
        "Screw with washer in a slotted hole",
        9,
        (inner_foot[0] - t / 2.0, y),
        (SHANK, y),
        shank=4.8,
        cap=inches(0.5),
        cap_depth=2.0,
    )
    stack.add(screw)
    stack.pierce(screw.id, through(stack, screw))
