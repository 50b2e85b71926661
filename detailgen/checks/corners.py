"""Rules on corners: pieces that are cut to a pattern and folded round where walls meet."""

from itertools import combinations
from math import dist

from detailgen.checks._case import Case
from detailgen.checks._corner import PLAN, CornerCase, Lying, left_of, middles
from detailgen.checks._rule import (
    INSIDE_CORNER,
    OUTSIDE_CORNER,
    Idle,
    Measured,
    Verdict,
    rule,
)
from detailgen.finding import Relation
from detailgen.folding import Face, Vector
from detailgen.geometry import Region
from detailgen.geometry.measures import inner_point
from detailgen.geometry.regions import clip, disc, polygon
from detailgen.section import Role

_ANY = (INSIDE_CORNER, OUTSIDE_CORNER)
_NO_PIECES = Idle("no piece is cut for the corner")


@rule(
    "corner_sheets_least",
    kinds=_ANY,
    wrong="The corner has a place with fewer sheets than the straight run.",
    built=(Role.FLASHING,),
)
def bare_corner(case: Case) -> Verdict:
    """Guards the wedges that relief cuts leave open.

    Measured on the pieces folded up, patch included: sheets that lie over a point, against
    the sheets that the straight run has as far out from the toe or as far up the wall, in
    the worst place of walls, cants and roof.
    """
    corner = CornerCase(case)
    if not corner.there:
        return _NO_PIECES
    places = [m for sheet in corner.sheets for m in middles(corner.open_in(sheet))]
    if not places:  # all is covered: tell it where the straight run has fewest
        zones = [
            (corner.faces[face], region)
            for sheet in corner.sheets
            for face, region in corner.zones[sheet].items()
        ]
        places = middles(zones)
    found = [(*corner.count(face, at), corner.plan(face, at)) for face, at in places]
    here, asked, where = min(found, key=lambda f: (f[0] - f[1], f[1]))
    return Measured(float(here), where, required=float(asked), view=PLAN)


@rule(
    "corner_lap_least",
    kinds=_ANY,
    wrong="Beside the arris the wall is covered twice on too narrow a strip.",
    built=(Role.FLASHING,),
)
def short_corner_lap(case: Case) -> Verdict:
    """Guards the fold at the arris, where a sheet on a wall cracks first.

    Measured on the pieces folded up, for every sheet that goes up the wall: the width of
    the strip beside the arris over which two of its pieces lie all the way up, on the wall
    where it is wider; of all sheets the narrowest.
    """
    corner = CornerCase(case)
    if not corner.there:
        return _NO_PIECES
    found = [
        (max(_doubled(corner, sheet, face) for face in ("wall-1", "wall-2")), sheet)
        for sheet in corner.sheets
        if corner.reach_up(sheet) > 0.0
    ]
    if not found:
        return Idle("no sheet goes up the wall")
    width, sheet = min(found)
    x, y, _ = corner.vertex
    return Measured(width, (x, y), (sheet,), view=PLAN)


def _doubled(corner: CornerCase, sheet: str, face: str) -> float:
    """Return how wide a strip of a wall beside the arris has two pieces of a sheet."""
    lying = corner.on(face, sheet)
    pairs = [
        part
        for one, other in combinations(lying, 2)
        if one.piece.id != other.piece.id
        for part in clip(one.region, other.region)
    ]
    zone = corner.zones[sheet][face]
    arris = corner.faces[face].flat(corner.vertex)[0]
    left = left_of(zone, pairs)
    sides = [abs(x - arris) for r in left for x in (r.bounds[0], r.bounds[2])]
    whole = [abs(x - arris) for x in (zone.bounds[0], zone.bounds[2])]
    return min(sides) if sides else max(whole)


@rule(
    "corner_piece_width_most",
    kinds=_ANY,
    relation=Relation.AT_MOST,
    wrong="A piece is wider than the roll that it is cut from.",
    built=(Role.FLASHING,),
)
def wide_corner_piece(case: Case) -> Verdict:
    """Guards against a piece that no roll is wide enough for.

    Measured on the pattern: the narrower side of the blank that a piece is cut from,
    against the width of the job's roll; of all pieces the one that comes nearest to it.
    """
    corner = CornerCase(case)
    if not corner.there:
        return _NO_PIECES
    known = [p for p in corner.pieces if p.roll > 0.0]
    if not known:
        return Idle("the width of the roll is not known")
    piece = max(known, key=lambda p: min(p.size) - p.roll)
    x, y, _ = corner.vertex
    told = f"{piece.name}: it is wider than the roll that it is cut from."
    width = min(piece.size)
    return Measured(
        width, (x, y), (piece.sheet,), required=piece.roll, reason=told, view=PLAN
    )


@rule(
    "relief_cut_off_most",
    kinds=_ANY,
    relation=Relation.AT_MOST,
    wrong="A relief cut does not end where its faces meet.",
    built=(Role.FLASHING,),
)
def off_relief_cut(case: Case) -> Verdict:
    """Guards against a cut that runs on beyond the corner, or stops short of it.

    Measured in space, on the pieces folded up: from the end of each cut to the vertex,
    where arris and cants meet, or to the corner of the toes, whichever is nearer.
    """
    corner = CornerCase(case)
    if not corner.there:
        return _NO_PIECES
    found = [
        (min(dist(spot, corner.vertex), dist(spot, corner.toe)), spot, piece.sheet)
        for piece in corner.pieces
        for cut_ in piece.cuts
        for spot in corner.in_space(piece, cut_.tip)
    ]
    if not found:
        return Idle("no piece has a relief cut")
    off, (x, y, _), sheet = max(found)
    return Measured(off, (x, y), (sheet,), view=PLAN)


@rule(
    "panel_off_face_most",
    kinds=_ANY,
    relation=Relation.AT_MOST,
    wrong="A piece that is folded as its pattern says does not lie on the corner.",
    built=(Role.FLASHING,),
)
def panel_off_face(case: Case) -> Verdict:
    """Guards against a fold in the wrong place, or turned too far.

    Measured in space, on the pieces folded up: how far a corner of any panel lies before or
    behind the plane of the face that it shall lie on.
    """
    corner = CornerCase(case)
    if not corner.there:
        return _NO_PIECES
    found = [
        (abs(corner.faces[panel.face].away(spot)), spot, piece.sheet)
        for piece in corner.pieces
        for panel in piece.panels
        for spot in corner.spots[piece.id, panel.id]
    ]
    off, (x, y, _), sheet = max(found)
    return Measured(off, (x, y), (sheet,), view=PLAN)


@rule(
    "corner_unprepared_most",
    kinds=_ANY,
    relation=Relation.AT_MOST,
    wrong="A later piece lands on foil without primer, or on loose granules.",
    built=(Role.FLASHING,),
)
def unprepared_corner(case: Case) -> Verdict:
    """Guards the laps of the corner's pieces on foil and on granules.

    Measured on the pieces folded up: the largest area of a panel on which a later panel
    lands, of the same sheet or of another, and which its pattern does not mark as prepared.
    Smooth sheets need none.
    """
    corner = CornerCase(case)
    if not corner.there:
        return _NO_PIECES
    worst, where, sheet = 0.0, corner.vertex[:2], ""
    looked = False
    for one in corner.lying:
        body = case.section.body(one.piece.sheet)
        if body is None or case.material(body).surface not in {"foil", "granules"}:
            continue
        looked = True
        later = [o.region for o in corner.on(one.face.id) if o.order > one.order]
        landed = [r for region in later for r in clip(one.region, region)]
        for part in landed:
            left = left_of(part, _prepared(corner, one))
            if left and left[0].area > worst:
                worst, sheet = left[0].area, one.piece.sheet
                where = corner.plan(one.face, inner_point(left[0]))
    if not looked:
        return Idle("all sheets of the corner have smooth faces")
    return Measured(worst, where, (sheet,) if sheet else (), view=PLAN)


def _prepared(corner: CornerCase, one: Lying) -> list[Region]:
    """Return the prepared zones of a panel where they come to lie on its face."""
    return [
        polygon([one.face.flat(s) for s in corner.lifted(one.piece, one.panel, z.outline)])
        for z in one.piece.prime
        if z.panel == one.panel
    ]


@rule(
    "corner_patch_lap_least",
    kinds=(OUTSIDE_CORNER,),
    wrong="The patch laps what the corner piece leaves open by too little.",
    built=(Role.FLASHING,),
)
def short_corner_patch(case: Case) -> Verdict:
    """Guards the wedges that an outside corner's piece leaves open on cant and roof.

    Measured on the faces, for each sheet: from what no other piece of the sheet covers to
    the nearest place of the sheet's zone where the patch is not; of all the shortest. About
    vertex and corner of the toes, where wedges start, the patch ends too and sealant closes
    what is left: places as near to them as the rule's lap, measured square to the fold at
    a sharp corner, do not count.
    """
    corner = CornerCase(case)
    if not corner.there:
        return _NO_PIECES
    limit = case.rules.value("corner_patch_lap_least")
    found = [
        (
            _past(corner, sheet, face, open_, limit),
            corner.plan(face, inner_point(open_)),
            sheet,
        )
        for sheet in corner.sheets
        for face, open_ in corner.open_in(sheet, but="-patch")
    ]
    if not found:
        return Idle("no piece leaves a wedge open")
    lap, where, sheet = min(found)
    return Measured(lap, where, (sheet,), view=PLAN)


def _past(
    corner: CornerCase, sheet: str, face: Face, region: Region, limit: float
) -> float:
    """Return how far a patch goes on past an open area on its face."""
    patch = [
        one.region for one in corner.on(face.id, sheet) if one.piece.id.endswith("-patch")
    ]
    tips = [face.flat(spot) for spot in (corner.vertex, corner.toe)]
    near = 1.01 * limit / corner.sharpness
    sealed = [disc(*tip, near) for tip in tips if near > 0.0]
    bare = left_of(corner.zones[sheet][face.id], [*patch, *sealed])
    whole = max(region.bounds[2] - region.bounds[0], region.bounds[3] - region.bounds[1])
    return min((float(r.distance(region)) for r in bare), default=whole)


@rule(
    "corner_pinholes_most",
    kinds=_ANY,
    relation=Relation.AT_MOST,
    wrong="A pinhole where three faces meet is not sealed.",
    built=(Role.FLASHING,),
)
def open_pinhole(case: Case) -> Verdict:
    """Guards the points that no sheet closes, where its cuts and folds run together.

    Counted, sheet by sheet, are the vertex (for a sheet that goes up the wall) and the
    corner of the toes where no piece has a dab of sealant within 1 mm.
    """
    corner = CornerCase(case)
    if not corner.there:
        return _NO_PIECES
    bare = [
        (sheet, spot)
        for sheet in corner.sheets
        for spot in (corner.vertex, corner.toe)
        if (spot is corner.toe or corner.reach_up(sheet))
        and not _sealed(corner, sheet, spot)
    ]
    x, y, _ = bare[0][1] if bare else corner.vertex
    sheets = tuple(dict.fromkeys(sheet for sheet, _ in bare))
    return Measured(float(len(bare)), (x, y), sheets, view=PLAN)


def _sealed(corner: CornerCase, sheet: str, spot: Vector) -> bool:
    return any(
        dist(place, spot) < 1.0
        for piece in corner.pieces
        if piece.sheet == sheet
        for dab in piece.dabs
        for place in corner.in_space(piece, dab)
    )
