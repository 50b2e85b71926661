"""A flanged sleeve that stands off what it goes round, under a collar or a hood."""

from dataclasses import dataclass
from math import radians, sqrt, tan

from detailgen.conditions._flanged_point import Core, FlangedPoint
from detailgen.conditions._ground import Plane, Roof
from detailgen.geometry import Point
from detailgen.geometry.regions import box, polygon, vertices
from detailgen.geometry.strips import polyline, ribbon
from detailgen.section import Body, Bond, Joint, Role
from detailgen.units import inches

CLAMP = inches(1.0)
"""Height of the leg by which a collar holds on, mm (common practice, no source)."""
KICK = inches(0.375)
"""How far the top of that leg is bent out to hold the sealant, mm (the same)."""
BAND = inches(0.5)
"""Height of a draw band, mm (the same)."""
ANGLE = 45.0
"""Degrees by which the cone falls (the same)."""


@dataclass(frozen=True, slots=True)
class Collar:
    """What covers the top of a sleeve, mm."""

    core: float
    """From the axis to the face that it is drawn tight on."""
    core_id: str
    lap: float
    """How far its skirt comes down over the sleeve."""
    off: float
    """Clear distance of the skirt from the sleeve, and of the cone from its top."""
    hood: bool

    @property
    def name(self) -> str:
        """What a callout calls it."""
        return "Hood" if self.hood else "Storm collar"


def opening(x: float, low: float, plane: Plane, roof: Roof) -> Core:
    """Return an opening through boards and deck, open down to the room below.

    Args:
        x: Its edge.
        low: Where the drawing ends.
        plane: The roof.
        roof: Deck and boards beside it.
    """
    tail: list[tuple[Point, str]] = []
    for body in reversed(roof.bodies):
        level = min(
            (y for px, y in body.region.exterior.coords if px > x - 1e-6),
            default=plane.at(x, -roof.depth)[1],
        )
        if body.id == "deck":
            level = plane.at(x, -roof.depth)[1]
        tail.append(((x, level), body.id))
    tail.append(((x, low), "deck"))
    return Core((), x, x, tuple(tail))


def sleeve(point: FlangedPoint, face: float, top: float, stage: int = 3) -> None:
    """Set a straight sleeve with its flange on the bed.

    Args:
        point: The half, with its bed laid.
        face: x of the sleeve's outer face.
        top: Where it ends.
        stage: Stage in which it is set.
    """
    material = point.site.catalog.materials[point.s.metal]
    t = point.metal
    centre, _ = point.bent([(face + t / 2.0, top)])
    point.set_metal(
        Body(
            "sleeve",
            Role.SLEEVE,
            material.id,
            ribbon(vertices(centre), t),
            stage,
            "Sleeve, " + material.name.lower(),
            thickness=t,
            course=centre,
            sticks="soldered or welded; flange primed both sides, in plastic cement",
        )
    )
    point.points |= {"sleeve.top": (face, top), "leg.top": (face, top)}


def collar_top(c: Collar, face: float, top: float, t: float) -> float:
    """Return the level of the collar's top: the outer end of its kick."""
    skirt, held = _uprights(c, face, t)
    cone = top + c.off + t + (held - skirt) * tan(radians(ANGLE))
    return cone + CLAMP + KICK + t / (2.0 * sqrt(2.0))


def _uprights(c: Collar, face: float, t: float) -> tuple[float, float]:
    """Return x of the centre lines of skirt and leg."""
    return face - c.off - t / 2.0, -c.core - t / 2.0


def collar(point: FlangedPoint, c: Collar, face: float, top: float, stage: int = 7) -> None:
    """Set the collar: skirt, cone and leg in one, a draw band, sealant in the kicked top.

    Args:
        point: The half, with its sleeve set.
        c: What the collar is like.
        face: x of the sleeve's outer face.
        top: Where the sleeve ends.
        stage: Stage in which it is set.
    """
    stack, t = point.stack, point.metal
    material = point.site.catalog.materials[point.s.metal]
    skirt, held = _uprights(c, face, t)
    shoulder = top + c.off + t
    cone = shoulder + (held - skirt) * tan(radians(ANGLE))
    bend = cone + CLAMP
    centre = [
        (skirt, top - c.lap),
        (skirt, shoulder),
        (held, cone),
        (held, bend),
        (held - KICK, bend + KICK),
    ]
    body = Body(
        "collar",
        Role.HOOD if c.hood else Role.COLLAR,
        material.id,
        ribbon(centre, t),
        stage,
        f"{c.name}, {material.name.lower()}",
        thickness=t,
        course=polyline(centre),
        sticks="drawn tight by a band, sealed along its kicked top",
    )
    stack.add(body)
    stack.joints += stack.touching(body, Bond.FASTENED, c.core_id)
    steel = point.site.catalog.materials["stainless-018"]
    thin = steel.thickness * point.thick.metal
    middle = cone + CLAMP / 2.0
    band = Body(
        "draw-band",
        Role.COLLAR,
        steel.id,
        box(
            held - t / 2.0 - thin,
            middle - BAND / 2.0,
            held - t / 2.0,
            middle + BAND / 2.0,
        ),
        stage,
        "Draw band, stainless steel",
        thickness=thin,
        sticks="with a screw, over the leg of the collar",
    )
    stack.add(band, [])
    stack.joints += stack.touching(band, Bond.FASTENED, "collar")
    # sealant fills the trough that the kick makes with the face
    foot = (-c.core, bend + t / 2.0 * tan(radians(ANGLE / 2.0)))
    end = (
        held - KICK + t / (2.0 * sqrt(2.0)),
        bend + KICK + t / (2.0 * sqrt(2.0)),
    )
    sealant = point.site.catalog.materials["sealant"]
    back = (-c.core, end[1])
    bead = Body(
        "collar-bead",
        Role.BEAD,
        sealant.id,
        polygon([foot, end, back]),
        stage,
        f"Sealant along the top of the {c.name.lower()}",
    )
    stack.add(
        bead,
        [
            Joint("collar-bead", "collar", polyline([foot, end]), Bond.SEALED),
            Joint("collar-bead", c.core_id, polyline([foot, back]), Bond.SEALED),
        ],
    )
    point.points |= {
        "collar.end": (skirt + t / 2.0, top - c.lap),
        "collar.top": end,
        "collar.outer": (skirt - t / 2.0, shoulder),
    }


__all__ = ["Collar", "collar", "collar_top", "opening", "sleeve"]
