"""The ground that conditions stand on: deck, boards, and how sheets stick to them."""

from dataclasses import dataclass
from math import fsum

from detailgen.conditions._condition import Site
from detailgen.conditions._terminations import BLOCKING, SLOT, Ends
from detailgen.geometry import Point, Region
from detailgen.geometry.regions import box, cut, polygon
from detailgen.geometry.strips import ribbon
from detailgen.section import Body, Method, Role
from detailgen.units import inches

DECK_THICKNESS = {"concrete": inches(6), "steel": inches(1.5), "wood": inches(1.5)}
"""Default deck thickness; for steel the depth of the flutes. Common practice, no source."""
FLUTE_PITCH = inches(6.0)
RIB_TOP = inches(3.5)
RIB_SHOULDER = inches(0.5)
DECK_SHEET = 0.9
"""Thickness of the fluted sheet as drawn at true size, mm (20 gauge is 0.0359 in)."""


@dataclass(frozen=True, slots=True)
class Plane:
    """The roof plane: a line through the origin, or so far below it."""

    tilt: float
    """Rise per run toward +x: positive falls to the left."""
    drop: float = 0.0
    """How far below the origin it passes, mm."""

    def at(self, x: float, above: float = 0.0) -> Point:
        """Return the point with this x, so far above the plane."""
        return (x, self.tilt * x + above - self.drop)

    def slab(self, x0: float, x1: float, low: float, high: float) -> Region:
        """Return a slab that follows the plane, with upright ends."""
        return polygon([
            self.at(x0, low),
            self.at(x1, low),
            self.at(x1, high),
            self.at(x0, high),
        ])


@dataclass(frozen=True, slots=True)
class Roof:
    """Deck and boards beside a condition."""

    bodies: tuple[Body, ...]
    depth: float
    """From the top of the boards to the underside of the deck, mm."""
    build_up: float
    """Thickness of insulation and cover board together, mm."""
    top_id: str
    """Body that the membrane lies on."""
    hollows: tuple[Region, ...]


def roof_beside(site: Site, plane: Plane, x0: float, x1: float, deck_x1: float) -> Roof:
    """Return deck and boards from x0 to x1; the deck itself goes on to deck_x1."""
    roof = site.roof
    bodies: list[Body] = []
    layers = [("insulation-" + str(i + 1), t) for i, t in enumerate(roof.insulation)]
    build_up = fsum(roof.insulation) + (roof.cover_board or 0.0)
    depth = roof.deck_thickness or DECK_THICKNESS[roof.deck]
    deck, hollows = _deck(site, plane, (x0, deck_x1), (-build_up - depth, -build_up))
    bodies.append(deck)
    level = -build_up
    material = site.catalog.materials["insulation-board"]
    for i, (body_id, t) in enumerate(layers):
        bodies.append(
            Body(
                body_id,
                Role.INSULATION,
                material.id,
                plane.slab(x0, x1, level, level + t),
                0,
                f"{material.name}, layer {i + 1}",
                thickness=t,
            )
        )
        level += t
    if roof.cover_board:
        board = site.catalog.materials["cover-board"]
        bodies.append(
            Body(
                "cover-board",
                Role.COVER_BOARD,
                board.id,
                plane.slab(x0, x1, level, 0.0),
                0,
                board.name,
                thickness=roof.cover_board,
            )
        )
    return Roof(tuple(bodies), build_up + depth, build_up, bodies[-1].id, hollows)


def _deck(
    site: Site, plane: Plane, reach: tuple[float, float], levels: tuple[float, float]
) -> tuple[Body, tuple[Region, ...]]:
    kind = site.roof.deck
    material = site.catalog.materials[f"deck-{kind}"]
    slab = plane.slab(*reach, *levels)
    if kind != "steel":
        return Body("deck", Role.DECK, material.id, slab, 0, material.name), ()
    sheet = min(DECK_SHEET * site.thickening.metal, (levels[1] - levels[0]) / 4.0)
    low, high = levels[0] + sheet / 2.0, levels[1] - sheet / 2.0
    centre: list[Point] = []
    x = reach[1]
    while x > reach[0] - FLUTE_PITCH:  # ribs from the wall or edge out past the field
        for dx, level in (
            (0.0, high),
            (RIB_TOP, high),
            (RIB_TOP + RIB_SHOULDER, low),
            (FLUTE_PITCH - RIB_SHOULDER, low),
        ):
            centre.append(plane.at(x - dx, level))
        x -= FLUTE_PITCH
    metal = ribbon(centre, sheet).intersection(slab)
    parts = [g for g in getattr(metal, "geoms", [metal]) if isinstance(g, Region)]
    region = max(parts, key=lambda g: g.area)
    voids = tuple(cut(slab, [region]))
    return Body(
        "deck", Role.DECK, material.id, region, 0, material.name, thickness=sheet
    ), voids


SHEATHING = inches(0.5)
WALL_BOARD = inches(0.5)


def wall_faces(
    site: Site, kind: str, ends: Ends, termination: str
) -> tuple[list[Body], str]:
    """Return the bodies of a wall whose face is at x = 0, and the id of its face.

    A stud wall is sheathed; under a torch a noncombustible board goes over the sheathing,
    so that no flame meets wood.
    """
    materials = site.catalog.materials
    top = ends.top(termination)
    bodies: list[Body] = []
    x, face = 0.0, "wall"
    if termination == "coping":
        top = ends.blocking_top - BLOCKING
    if kind == "stud":
        if site.roof.adhesion is Method.TORCH:
            board = materials["cover-board"]
            bodies.append(
                Body(
                    "wall-board",
                    Role.COVER_BOARD,
                    board.id,
                    box(x, ends.low, x + WALL_BOARD, top),
                    0,
                    board.name + ", on the wall",
                    thickness=WALL_BOARD,
                    sticks="screwed to the sheathing",
                )
            )
            x += WALL_BOARD
        sheathing = materials["plywood-1-2"]
        bodies.append(
            Body(
                "wall-sheathing",
                Role.WALL,
                sheathing.id,
                box(x, ends.low, x + SHEATHING, top),
                0,
                "Wood sheathing",
                thickness=SHEATHING,
            )
        )
        x += SHEATHING
        face = bodies[0].id
    wall = materials[f"wall-{kind}"]
    solid = box(x, ends.low, ends.thickness, top)
    if termination == "reglet":
        solid = cut(solid, [box(0.0, ends.reglet, ends.depth, ends.reglet + SLOT)])[0]
    bodies.append(Body("wall", Role.WALL, wall.id, solid, 0, wall.name))
    if termination == "coping":
        wood = materials["lumber-2x"]
        low = ends.blocking_top - BLOCKING
        bodies.append(
            Body(
                "blocking",
                Role.BLOCKING,
                wood.id,
                polygon([
                    (0.0, low),
                    (ends.thickness, low),
                    (ends.thickness, ends.outer_top()),
                    (0.0, ends.blocking_top),
                ]),
                0,
                "Wood blocking, ripped to the coping's slope",
                sticks="anchored to the wall",
            )
        )
    return bodies, face


def finish_surface(site: Site) -> str:
    """Return what the finish ply is surfaced with: granules or foil."""
    return site.catalog.materials[site.roof.finish_ply].surface
