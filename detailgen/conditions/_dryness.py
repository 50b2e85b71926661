"""What of a condition must stay dry, where that ends, and the zones it is told for."""

from dataclasses import replace

from detailgen.geometry import Point, Region
from detailgen.geometry.regions import box
from detailgen.section import Bond, LayeredSection, Role, Zone

ABSORBS = frozenset({
    Role.DECK,
    Role.INSULATION,
    Role.COVER_BOARD,
    Role.CANT,
    Role.EDGE_STRIP,
    Role.NAILER,
    Role.SHIM,
    Role.BLOCKING,
})
"""What takes up water and must not, wherever it is."""
FOOT_OF_WALL = 10.0
"""How far up the wall from the cant the zone of the cant reaches, mm: past the ends of base
ply and finish ply, behind which water would get under the cant."""
_ASIDE = 0.5
"""How far within its limit a body must be dry, mm: the limit itself belongs to neither."""
_FAR = 1e4
_ASKED = frozenset({"weak_water_path_low", "weak_water_path_high"})
"""Checks that need what is said here: where it is said they may not be idle."""


def _below(y: float) -> Region:
    return box(-_FAR, -_FAR, _FAR, y)


def _left_of(x: float) -> Region:
    return box(-_FAR, -_FAR, x, _FAR)


_EVERYWHERE = _left_of(_FAR)


def dry_point(section: LayeredSection, flange: float) -> LayeredSection:
    """Return the section of a point with a flange that says what must stay dry.

    In the hole itself one metal alone stands up round it, as one sheet alone covers a wall:
    it is told as higher up. A deck counts in its upper half, since what drips past it into
    the room wets nothing of the roof.

    Args:
        section: The section, the axis of the hole at x = 0.
        flange: From the axis to the outer end of the flange, mm.
    """
    dry = section.of_role(*ABSORBS)
    pans = section.of_role(Role.PAN)
    half = max(
        min(abs(x) for b in bodies for x, _ in b.region.exterior.coords)
        for bodies in (dry, pans)
        if bodies
    )
    decks = {b.id: _upper_half(b.region) for b in dry if b.role is Role.DECK}
    hole = half + 2.0 * _ASIDE
    return replace(
        section,
        never_idle=section.never_idle | _ASKED,
        must_stay_dry=tuple(b.id for b in dry),
        dry_within=decks,
        zones=(
            Zone("hole", box(-hole, -_FAR, hole, _FAR), low=False),
            Zone("flange", box(-flange, -_FAR, flange, _FAR), low=True),
            Zone("roof", _EVERYWHERE, low=True),
        ),
    )


def _upper_half(deck: Region) -> Region:
    """Return all that lies above the middle of a deck."""
    corners = list(deck.exterior.coords)
    ends: list[Point] = []
    for x in (min(p[0] for p in corners), max(p[0] for p in corners)):
        ys = [p[1] for p in corners if abs(p[0] - x) < _ASIDE]
        ends.append((x, (min(ys) + max(ys)) / 2.0))
    (x0, y0), (x1, y1) = ends
    return Region([(x0 - 1.0, y0), (x1 + 1.0, y1), (x1 + 1.0, _FAR), (x0 - 1.0, _FAR)])


def dry_wall(section: LayeredSection) -> LayeredSection:
    """Return a wall section that says what must stay dry.

    The wall counts below its receiver, where the counterflashing is held in or on it; under
    a coping all of it but its outer face, which is not roof.
    """
    walls = section.of_role(Role.WALL)
    held = [
        j.line.bounds[1]
        for j in section.joints
        if j.upper == "counterflashing" and j.bond is Bond.FASTENED
    ]
    outer = max(b.region.bounds[2] for b in walls)
    limit = _below(min(held) - _ASIDE) if held else _left_of(outer - _ASIDE)
    faces = [b.id for b in section.bodies if b in walls or b.id == "wall-board"]
    (toe, _), (_, top) = section.points["cant.toe"], section.points["cant.top"]
    return replace(
        section,
        never_idle=section.never_idle | _ASKED,
        must_stay_dry=(*(b.id for b in section.of_role(*ABSORBS, Role.WALL)),),
        dry_within=dict.fromkeys(faces, limit),
        zones=(
            Zone("roof", _left_of(toe), low=True),
            Zone("cant", _below(top + FOOT_OF_WALL), low=True),
            Zone("wall", _EVERYWHERE, low=False),
        ),
    )


def dry_edge(section: LayeredSection) -> LayeredSection:
    """Return the section of a roof edge that says what must stay dry.

    Boards and wood on all sides. Of a deck that is not of wood only what lies inward of its
    edge: the drop of the base ply need not cover that.
    """
    dry = section.of_role(*ABSORBS)
    stone = [b.id for b in dry if b.role is Role.DECK and b.material != "deck-wood"]
    corner = max(y for b in dry for x, y in b.region.exterior.coords if x > -_ASIDE)
    return replace(
        section,
        never_idle=section.never_idle | _ASKED,
        must_stay_dry=tuple(b.id for b in dry),
        dry_within=dict.fromkeys(stone, _left_of(-2.0 * _ASIDE)),
        zones=(
            Zone("face", box(-_ASIDE, -_FAR, _FAR, corner - _ASIDE), low=False),
            Zone("roof", _left_of(section.points["flange.outer"][0]), low=True),
            Zone("flange", _EVERYWHERE, low=True),
        ),
    )


def dry_curb(section: LayeredSection) -> LayeredSection:
    """Return a section of a curb that says what must stay dry: all but its inner face."""
    dry = section.of_role(*ABSORBS, Role.WALL)
    upright = [b.id for b in dry if b.id in {"curb", "curb-board", "blocking"}]
    inner = section.points["curb.inner"][0]
    (toe, _), (_, top) = section.points["cant.toe"], section.points["cant.top"]
    return replace(
        section,
        never_idle=section.never_idle | _ASKED,
        must_stay_dry=tuple(b.id for b in dry),
        dry_within=dict.fromkeys(upright, _left_of(inner - _ASIDE)),
        zones=(
            Zone("roof", _left_of(toe), low=True),
            Zone("cant", _below(top + FOOT_OF_WALL), low=True),
            Zone("curb", _EVERYWHERE, low=False),
        ),
    )


def dry_joint(section: LayeredSection) -> LayeredSection:
    """Return a section of two curbs that says what must stay dry: all, and the gap."""
    (toe, _), (_, top) = section.points["cant.toe"], section.points["cant.top"]
    right = box(-toe, -_FAR, _FAR, _FAR)
    return replace(
        section,
        never_idle=section.never_idle | _ASKED,
        must_stay_dry=tuple(
            b.id
            for b in section.of_role(*ABSORBS, Role.WALL, Role.FILLER)
            if b.id != "bearing-pad"  # it lies on the metal
        ),
        zones=(
            Zone("roof", _left_of(toe), low=True),
            Zone("roof, right", right, low=True),
            Zone("cants", _below(top + FOOT_OF_WALL), low=True),
            Zone("curbs", _EVERYWHERE, low=False),
        ),
    )
