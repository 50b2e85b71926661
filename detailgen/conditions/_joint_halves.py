"""The two curbs of a joint: the left one is built, moved off the axis and mirrored."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import hypot

from detailgen.conditions._bonds import by_material
from detailgen.conditions._curb_tops import curb_fasteners
from detailgen.conditions._curbs import Curb
from detailgen.conditions._mirror import Half, half_of
from detailgen.conditions._terminations import hanging_leg
from detailgen.geometry import Line, Point
from detailgen.geometry.regions import shifted, vertices
from detailgen.geometry.strips import polyline, ribbon
from detailgen.section import Body, Bond, Role
from detailgen.stacking import Spec, everywhere
from detailgen.units import inches

UPSTAND = inches(1.0)
"""Height of the dam that the curb's metal turns up under the cover (common practice, no
source)."""
ASIDE = inches(0.25)
"""Room between the dam and the inner edge of the nailer, mm."""
BARRIER_LAP = inches(6.0)
"""How far the barrier is stuck to each curb, over its top and down its face, where there is
room: the end lap of a sheet."""
CLEAR_OF_STRIP = inches(0.25)
"""How far the barrier stays above the top of the strip-in ply, mm."""
RIM = inches(0.25)
"""How far the strip over a divider stays from the edges of its top, mm."""


@dataclass(frozen=True, slots=True)
class Slip:
    """How a cover is hooked so that it slides, mm; the same on both of its sides."""

    play: float
    """Room for the joint to open: before the fold of the cover, and before the dam."""
    hold: float
    """How far the cover's fold reaches under the hook as it is set."""

    def hook(self, t: float) -> float:
        """Return the width of the hook of metal so thick, from the middle of its dam."""
        return self.hold + self.play + t / 2.0


@dataclass(frozen=True, slots=True)
class Level:
    """The upper face of what lies on a nailer, by one point and its rise per run."""

    x: float
    y: float
    rise: float

    def at(self, x: float) -> float:
        """Return its height at an x."""
        return self.y + self.rise * (x - self.x)


def level_of(curb: Curb) -> Level:
    """Return the upper face of what lies on a curb's nailer."""
    x, y = curb.over_top()
    return Level(x, y, curb.s.top_slope)


def dam_at(thickness: float, t: float) -> float:
    """Return where the curb's metal turns up, from the roof face to its middle, mm."""
    return thickness - ASIDE - t / 2.0


def hooked_metal(curb: Curb, slip: Slip, lap: float, metal_id: str) -> dict[str, Point]:
    """Lay metal over the outer part of a nailer: leg outside, dam and hook inside.

    Returns:
        Named points of it.
    """
    stack, site = curb.stack, curb.site
    heads = curb_fasteners(curb)
    metal = site.catalog.materials[metal_id]
    t = metal.thickness * site.thickening.metal
    leg = hanging_leg(stack, curb.ends, curb.top - lap, heads, t)
    over = level_of(curb)
    lift = t / 2.0 * hypot(1.0, over.rise) + 5e-5  # clear of rounding, still touching
    dam = dam_at(curb.s.thickness, metal.thickness)
    high = over.at(dam) + UPSTAND
    tip = dam - slip.hook(metal.thickness)
    line = [
        (tip, high),
        (dam, high),
        (dam, over.at(dam) + lift),
        (leg[0][0], over.at(leg[0][0]) + lift),
        *leg[1:],
    ]
    body = Body(
        "counterflashing",
        Role.COUNTERFLASHING,
        metal.id,
        ribbon(line, t),
        8,
        "Metal of the curb, " + metal.name.lower(),
        thickness=t,
        course=polyline(line),
        sticks="nailed to the nailer; turned up and hooked for the cover",
    )
    stack.add(body)
    stack.joints += stack.touching(body, Bond.DRY, "flashing")
    low = min(p[1] for p in body.region.exterior.coords)
    return {
        "cover.hem": (leg[-1][0], low),
        "hook.tip": (tip, high),
        "hook.dam": (dam, high),
    }


def barrier_on(curb: Curb) -> None:
    """Stick the barrier to the curb: up its face and over its nailer, under the sheets."""
    stack, site, s = curb.stack, curb.site, curb.s
    material = site.catalog.materials["joint-barrier"]
    room = curb.top - s.cant_height - s.strip_up - CLEAR_OF_STRIP
    down = max(min(BARRIER_LAP - s.thickness, room), inches(0.25))
    on = stack.surface
    low = on.at_y(curb.top - down, after=on.station_of((0.0, s.cant_height)))
    stack.lay(
        Spec(
            "joint-barrier",
            Role.BARRIER,
            material.id,
            material.name,
            1,
            material.thickness * site.thickening.sheet,
            "in cement over each curb, hung loose in the gap",
        ),
        low,
        on.station_of(curb.points["curb.inner"]),
        everywhere(Bond.CEMENT),
    )


def strip_over(curb: Curb) -> None:
    """Lay a strip over the top of a divider, where the sheets of both sides meet."""
    stack, site, foil = curb.stack, curb.site, curb.s.foil
    material = site.catalog.materials["flashing-foil" if foil else "flashing-granule"]
    on = stack.surface
    end = on.station_of(curb.over_top())
    stack.lay(
        Spec(
            "upper-flashing",
            Role.UPPER_FLASHING,
            material.id,
            "Strip over the top, as the flashing sheet",
            8,
            material.thickness * site.thickening.sheet,
            "fully stuck over the joint of the two sheets",
        ),
        end - curb.s.thickness + RIM,
        end,
        by_material(site, stack.bodies) if foil else everywhere(Bond.CEMENT),
    )


def leg_of_cap(curb: Curb, lap: float, t: float) -> list[Point]:
    """Return the centre line of a cap's leg on the left side, from the top down."""
    heads = curb_fasteners(curb)
    return hanging_leg(curb.stack, curb.ends, curb.top - lap, heads, t)


def moved_half(curb: Curb, points: dict[str, Point], dx: float) -> Half:
    """Return what a curb holds, moved sideways."""
    half = half_of(curb.stack, points)
    return Half(
        tuple(
            replace(
                b,
                region=shifted(b.region, dx, 0.0),
                course=None if b.course is None else moved_line(b.course, dx),
            )
            for b in half.bodies
        ),
        tuple(replace(j, line=moved_line(j.line, dx)) for j in half.joints),
        tuple(replace(c, line=moved_line(c.line, dx)) for c in half.coats),
        {name: (x + dx, y) for name, (x, y) in half.points.items()},
    )


def moved_line(line: Line, dx: float) -> Line:
    """Return a polyline moved sideways."""
    return polyline([(x + dx, y) for x, y in vertices(line)])


def both_ways(left: Sequence[Point]) -> list[Point]:
    """Return a line and its image in the axis as one, from left to right.

    A last point on the axis belongs to both and stands once.
    """
    image = [(-x, y) for x, y in reversed(left)]
    return [*left, *(image[1:] if abs(left[-1][0]) < 1e-9 else image)]
