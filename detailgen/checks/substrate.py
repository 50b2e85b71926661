"""Rules on what the membrane lies on, and on how it may be stuck to it."""

from itertools import pairwise
from math import atan2, degrees, fsum

from detailgen.checks._case import Case
from detailgen.checks._rule import EDGE, NO_LENGTH, WALL, Idle, Measured, Verdict, rule
from detailgen.finding import Amount, Relation
from detailgen.geometry import Line, Point
from detailgen.geometry.columns import column_at
from detailgen.geometry.measures import length_beyond
from detailgen.section import ADHERED, SHEETS, WOOD, Body, Bond, Joint, Method, Role

SPANNING = WOOD | {Role.INSULATION, Role.COVER_BOARD}
"""What can bridge the flutes of a steel deck."""
FIELD = frozenset({Role.DECK, Role.INSULATION, Role.COVER_BOARD})
"""What the membrane lies on over the roof field."""
SHORT_FIELD = 10.0
"""A shorter piece of roof than this, mm, tells no slope."""
LEVELLED = WOOD | FIELD
"""What a nailer must be level with; a tapered edge strip rises from there on purpose."""


@rule("slope_least", wrong="The roof is too flat to shed water.")
def shallow_slope(case: Case) -> Verdict:
    """Guards against water that stands on the roof.

    Measured as rise per run of the top of the board or deck that lies uppermost at the
    outer end of the drawing, from there to its end or to the wood at the edge; over flutes,
    from rib to rib. Where the section is cut along the contour of the roof, the slope that
    the section states for the roof across it counts.
    """
    bodies = case.all(*FIELD)
    left = case.section.extent.bounds[0] + 1.0
    shapes = [case.rings(b) for b in bodies]
    top = max(column_at(shapes, (left, 0.0), (0.0, 1.0)), key=lambda s: s[1], default=None)
    right = 0.0 if top is None else bodies[top[2]].region.bounds[2]
    wood = [b.region.bounds[0] for b in case.all(*WOOD)]  # it may be let in, with a step
    right = min([right, *(x for x in wood if x > left)]) - 1.0
    if top is None or right - left < SHORT_FIELD:
        return Idle("no roof field is drawn")
    end = column_at([shapes[top[2]]], (right, 0.0), (0.0, 1.0))
    between = [p for p in case.corners(bodies[top[2]]) if left < p[0] < right]
    (x0, y0), (x1, y1) = _crest([(left, top[1]), *between, (right, end[-1][1])])
    drawn = abs(y1 - y0) / (x1 - x0)
    across = case.section.roof_slope if not case.section.slope else 0.0
    return Measured(max(drawn, across), (left, top[1]), (bodies[top[2]].id,))


def _crest(points: list[Point]) -> tuple[Point, Point]:
    """Return the longest straight line that lies on points from above."""
    hull: list[Point] = []
    for x, y in sorted(points):
        while len(hull) > 1:
            (x0, y0), (x1, y1) = hull[-2:]
            if (y1 - y0) * (x - x1) > (y - y1) * (x1 - x0):
                break
            hull.pop()
        if hull and hull[-1][0] >= x:  # of two above one another the upper one
            hull.pop()
        hull.append((x, y))
    return max(pairwise(hull), key=lambda line: line[1][0] - line[0][0])


@rule(
    "sheets_on_roof",
    wrong="Too few sheets lie on the roof.",
    built=(Role.FINISH_PLY,),
)
def thin_cover_on_roof(case: Case) -> Verdict:
    """Guards the roof field, from the drawing's end to the cant or to the flange.

    Counted on upright columns: the sheets that lie on one another, from the lowest one up.
    The column with the fewest is told.
    """
    zone = [(c, case.covering(c)) for c in case.field]
    found = case.fewest(zone)
    if found is None:
        return Idle("no roof field is drawn")
    (x, y), spans = found[1], next(s for c, s in zone if c.at == found[1])
    return Measured(found[0], (x, spans[0][0] if spans else y))


def _stuck(case: Case, lower: Role) -> tuple[Joint, ...]:
    """Return the joints of the base ply on bodies of a role."""
    plies = {b.id for b in case.all(Role.BASE_PLY)}
    below = {b.id for b in case.all(lower)}
    return tuple(j for j in case.section.joints if j.upper in plies and j.lower in below)


@rule(
    "base_ply_loose_over_cant",
    kinds=(WALL,),
    relation=Relation.AT_MOST,
    asked=NO_LENGTH,
    wrong="The base ply is stuck down on the cant.",
    built=(
        Role.CANT,
        Role.BASE_PLY,
    ),
)
def base_ply_stuck_over_cant(case: Case) -> Verdict:
    """Keeps the base ply free to move over the corner between roof and wall.

    Measured as the length of the joint between base ply and cant along which the ply is
    stuck in any way; none is asked.
    """
    joints = _stuck(case, Role.CANT)
    if not joints:
        return Idle("no base ply lies over a cant")
    stuck = [j for j in joints if j.bond in ADHERED]
    toe = case.at("cant.toe")
    where = _middle(stuck[0].line) if stuck else toe
    bodies = tuple(sorted({n for j in joints for n in (j.upper, j.lower)}))
    return Measured(fsum(j.line.length for j in stuck), where, bodies)


@rule(
    "base_ply_loose_over_edge",
    kinds=(EDGE,),
    relation=Relation.AT_MOST,
    asked=NO_LENGTH,
    wrong="The base ply is stuck down over the edge.",
    built=(Role.BASE_PLY,),
)
def base_ply_stuck_over_edge(case: Case) -> Verdict:
    """Keeps the base ply free to move over the outer face of the edge.

    Measured as the length of the base ply's joints beyond the top outer corner of the wood
    along which it is stuck in any way; none is asked.
    """
    edge = case.at("edge.top")
    plies = {b.id for b in case.all(Role.BASE_PLY)}
    drops = [
        (j, beyond)
        for j in case.section.joints
        if j.upper in plies
        and j.line.bounds[2] >= edge[0] - 0.05
        and (beyond := length_beyond(j.line, edge[0] - 0.05)) > 0.1
    ]
    if not drops:
        return Idle("no base ply comes down over the edge")
    stuck = [(j, b) for j, b in drops if j.bond in ADHERED]
    where = (edge[0], stuck[0][0].line.bounds[1]) if stuck else edge
    return Measured(
        fsum(b for _, b in stuck), where, tuple(sorted({j.upper for j, _ in drops}))
    )


def _middle(line: Line) -> Point:
    x0, y0, x1, y1 = line.bounds
    return ((x0 + x1) / 2.0, (y0 + y1) / 2.0)


@rule(
    "wood_torch",
    relation=Relation.AT_MOST,
    whole=True,
    asked=NO_LENGTH,
    wrong="A flame is turned on something that burns.",
    built=(Role.BASE_PLY,),
)
def flame_on_wood(case: Case) -> Verdict:
    """Guards against fire: no sheet is torched onto wood or anything else that burns.

    Measured as the length of torched joints between a sheet and a combustible body that is
    not itself a sheet; none is asked.
    """
    roles = {b.id: b.role for b in case.section.bodies}
    laid = [
        j
        for j in case.section.joints
        if roles.get(j.upper) in SHEETS and roles.get(j.lower) not in SHEETS
    ]
    torched = any(j.bond is Bond.TORCHED for j in case.section.joints)
    if not torched and case.section.method is not Method.TORCH:
        return Idle(f"no flame is used: sheets are stuck with {case.section.method}")
    if not laid:
        return Idle("no sheet lies on anything but sheets")
    burning = [j for j in laid if j.bond is Bond.TORCHED and _burns(case, j.lower)]
    where = _middle((burning or laid)[0].line)
    bodies = tuple(dict.fromkeys(j.lower for j in burning))
    return Measured(fsum(j.line.length for j in burning), where, bodies)


def _burns(case: Case, body_id: str) -> bool:
    body = case.section.body(body_id)
    return body is not None and case.material(body).combustible


@rule(
    "cant_under_torch",
    kinds=(WALL,),
    relation=Relation.EXACTLY,
    asked=Amount(words="noncombustible"),
    wrong="The cant burns, and sheets over it are torched.",
    built=(Role.CANT,),
)
def combustible_cant(case: Case) -> Verdict:
    """Guards against fire: under a torch the cant is of a material that does not burn.

    Read from what the cant is made of, where any sheet of the section is torched.
    """
    torched = any(j.bond is Bond.TORCHED for j in case.section.joints)
    if not torched and case.section.method is not Method.TORCH:
        return Idle(f"no flame is used: sheets are stuck with {case.section.method}")
    cant = case.first(Role.CANT)
    if cant is None:
        return Idle("there is no cant that could burn")
    burns = case.material(cant).combustible
    words = "combustible" if burns else "noncombustible"
    return Measured(words, _middle(Line(case.corners(cant))), (cant.id,))


@rule(
    "spanning_board",
    wrong="The membrane lies on open flutes.",
    built=(
        Role.INSULATION,
        Role.COVER_BOARD,
        Role.NAILER,
        Role.SHIM,
    ),
)
def unspanned_flutes(case: Case) -> Verdict:
    """Guards the membrane over the hollows of a fluted deck.

    Counted on upright columns over the roof field: the boards or layers of wood between the
    deck's lowest point and the membrane. The column with the fewest is told.
    """
    deck = case.first(Role.DECK)
    if deck is None or not case.material(deck).fluted:
        return Idle("the deck has no flutes")
    counts = [
        (sum(case.body_of(s).role in SPANNING for s in c.spans), c.at) for c in case.field
    ]
    if not counts:
        return Idle("no roof field is drawn")
    count, (x, _) = min(counts, key=lambda found: found[0])
    return Measured(count, (x, deck.region.bounds[3]), (deck.id,))


def _legs(case: Case, cant: Body) -> tuple[float, float, float]:
    """Return a cant's level leg, its upright leg against the wall, and where that ends."""
    left, _, right, _ = cant.region.bounds
    heights = [y for x, y in case.corners(cant) if x > right - 0.05]
    return right - left, max(heights) - min(heights), max(heights)


@rule(
    "cant_angle_most",
    kinds=(WALL,),
    relation=Relation.AT_MOST,
    wrong="The cant turns the membrane too sharply.",
    built=(Role.CANT,),
)
def steep_cant(case: Case) -> Verdict:
    """Guards the sheets against cracking at the toe of the cant.

    Measured on the bare cant, as the angle that its face makes with its level leg. The fall
    of the roof, which adds to the turn or takes from it, is no matter of the cant. Without
    a cant the membrane turns by the whole right angle.
    """
    toe = case.at("cant.toe")
    cant = case.first(Role.CANT)
    if cant is None:
        return Measured(90.0, toe, reason="There is no cant in the corner.")
    run, rise, _ = _legs(case, cant)
    return Measured(degrees(atan2(rise, run)), toe, (cant.id,))


@rule(
    "cant_height_least",
    kinds=(WALL,),
    wrong="The cant is too low.",
    built=(Role.CANT,),
)
def low_cant(case: Case) -> Verdict:
    """Guards the bends of the membrane, which a small cant makes too close to one another.

    Measured upright, along the leg of the bare cant against the wall.
    """
    cant = case.first(Role.CANT)
    if cant is None:
        return Measured(0.0, case.at("cant.toe"), reason="There is no cant in the corner.")
    _, rise, top = _legs(case, cant)
    return Measured(rise, (cant.region.bounds[2], top), (cant.id,))


@rule(
    "nailer_level_tolerance",
    kinds=(EDGE,),
    relation=Relation.AT_MOST,
    wrong="The wood is not level with the surface beside it.",
    built=(
        Role.NAILER,
        Role.SHIM,
    ),
)
def nailer_out_of_level(case: Case) -> Verdict:
    """Guards the membrane against a step between the boards and the wood at the edge.

    Measured upright, as the largest step in the surface that the membrane lies on between
    roof field and edge, beyond the roof's own slope. Tapered edge strips are left out.
    """
    bodies = case.all(*LEVELLED)
    edge = case.at("edge.top")
    sides = sorted({x for b in bodies for x in (b.region.bounds[0], b.region.bounds[2])})
    left = case.section.extent.bounds[0]
    sides = [x for x in sides if left + 1.0 < x < edge[0] - 1.0]
    if not sides:
        return Idle("what the membrane lies on runs to the edge in one piece")
    worst, where = -1.0, edge
    for x in sides:
        before, after = _top(case, bodies, x - 0.5), _top(case, bodies, x + 0.5)
        step = abs(after - before - case.section.slope)
        if step > worst:
            worst, where = step, (x, max(before, after))
    return Measured(worst, where, tuple(b.id for b in bodies if b.role in WOOD))


def _top(case: Case, bodies: tuple[Body, ...], x: float) -> float:
    """Return the highest point of bodies at an x; the deck's bottom where none is."""
    spans = column_at([case.rings(b) for b in bodies], (x, 0.0), (0.0, 1.0))
    return max((s[1] for s in spans), default=case.section.extent.bounds[1])
