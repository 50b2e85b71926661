"""Profiles of bent metals: from the section's courses to what a shop cuts and bends.

The stated face is the one that is free when the piece is set: on edge metal, copings and
counterflashings the weather face, on a cleat the face that the next metal hooks over. It
lies up on the brake, and a leg that is bent toward it turns up.
"""

from detailgen.catalog import Catalog
from detailgen.geometry import Point
from detailgen.geometry.rays import open_length
from detailgen.movement import PIECE, joint_gap, laid_out
from detailgen.patterns._holes import drawn_joint, hole_rows
from detailgen.patterns._unfolding import Unfolded, tidy, unfold
from detailgen.profile import Profile, Shop
from detailgen.section import METALS, Body, LayeredSection, Role

FACE = {
    Role.EDGE_METAL: "weather face",
    Role.COPING: "weather face",
    Role.COUNTERFLASHING: "weather face",
    Role.CLEAT: "face that the next metal hooks over",
}
OTHER_FACE = "face that is free when the piece is set"
AS_USUAL = Shop(PIECE, "roof-measured")
"""Pieces of 10 ft that move over the range measured on a roof."""


def profiles(
    section: LayeredSection, catalog: Catalog, shop: Shop = AS_USUAL
) -> tuple[Profile, ...]:
    """Return the profiles of all bent metals of a section, in the order of building."""
    return tuple(
        profile(section, body.id, catalog, shop)
        for body in section.bodies
        if body.role in METALS and body.course is not None
    )


def profile(
    section: LayeredSection, body_id: str, catalog: Catalog, shop: Shop = AS_USUAL
) -> Profile:
    """Return the profile of one bent metal.

    Args:
        section: A section at true size.
        body_id: Id of the metal's body.
        catalog: Where the figures of its metal come from.
        shop: How pieces are made, and how warm and cold they get.

    Raises:
        ValueError: The section is drawn thick, or the body is no bent metal.
        UserError: The catalogue has no figures for the kind of metal.
    """
    body = section.body(body_id)
    if section.metal_factor != 1.0:
        msg = "a profile is read from a section at true size"
        raise ValueError(msg)
    if body is None or body.role not in METALS or body.course is None:
        msg = f"{body_id} is no bent metal of this section"
        raise ValueError(msg)
    metal = catalog.material(body.material)
    bending = catalog.tables.bending(metal.kind, body.thickness)
    course = tidy((float(x), float(y)) for x, y, *_ in body.course.coords)
    face_left = _face_left(section, body, course)
    flat = unfold(course, body.thickness, bending, face_left=face_left)
    growth = catalog.tables.expansion[metal.kind]
    temperatures = catalog.tables.temperatures[shop.temperatures]
    moves = joint_gap(shop.piece, growth.coefficient, temperatures)
    joint = drawn_joint(section, body)
    return Profile(
        id=body.id,
        name=body.name,
        material=metal.id,
        metal=metal.name,
        thickness=body.thickness,
        face=FACE.get(body.role, OTHER_FACE),
        face_left=face_left,
        course=tuple(course),
        legs=flat.legs,
        bends=flat.bends,
        developed=flat.width,
        k=bending.k.value,
        bend_sources=(bending.k.source, bending.radius.source),
        piece=shop.piece,
        movement=moves,
        gap_needed=laid_out(moves),
        gap_drawn=joint.gap,
        lap_drawn=joint.lap,
        movement_sources=(growth.source, temperatures.source),
        holes=hole_rows(section, body, flat, joint),
        notes=_notes(flat),
    )


def _face_left(section: LayeredSection, body: Body, course: list[Point]) -> bool:
    """Return whether the face that is free when the piece is set is left of the course."""
    ids = [b.id for b in section.bodies]
    before = section.bodies[: ids.index(body.id)]
    x0, y0, x1, y1 = section.extent.bounds
    left, right = open_length(
        course,
        body.thickness / 2.0,
        [body.region, *(b.region for b in before if b.role is not Role.FASTENER)],
        x1 - x0 + y1 - y0,
    )
    return left >= right


def _notes(flat: Unfolded) -> tuple[str, ...]:
    """Return what the shop must know of legs that no brake can make as drawn."""
    return tuple(
        f"Leg {number} is shorter than its bends take: bend it sharper, or make it longer."
        for number, leg in enumerate(flat.legs, 1)
        if leg.flat < 0.0
    )
