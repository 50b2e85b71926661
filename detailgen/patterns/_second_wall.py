"""The pieces on the second wall of a corner: the next piece, and outside the patch."""

from math import degrees

from detailgen.flat import TrueAngle, TrueLength
from detailgen.patterns._assembly import Draft, Hinge
from detailgen.patterns._bench import Bench
from detailgen.patterns._plane import right_of, x_from, x_to, y_from


def next_piece(on: Bench) -> Draft:
    """Return the first piece of wall 2; its flat coordinates are strip 2's."""
    c, s = on.corner, on.sheet
    end = -on.run
    start, square = x_from(end), x_to(0.0)
    toe, outer = on.roof_mitre()
    foot = toe if on.inside else (0.0, 0.0)
    wall = on.leaf("wall", "wall-2", [start, square, *on.on_wall])
    hinge = Hinge("cant-top", "wall", (end, c.slant), c.vertex, c.top_turn)
    cant = on.leaf(
        "cant",
        "cant-2",
        [start, c.beside_mitre2 if on.inside else square, *on.on_cant],
        hinge=hinge if wall else None,
    )
    roof = on.leaf(
        "roof",
        "roof",
        [start, right_of(toe, outer) if on.inside else square, *on.on_roof],
        hinge=Hinge("toe", "cant", (end, 0.0), foot, c.toe_turn),
    )
    lengths = [
        TrueLength("run", (end, on.top), (0.0, on.top), "RUN"),
        TrueLength("roof", (end, -s.reach_out), (end, 0.0), "ROOF"),
        TrueLength("cant", (end, 0.0), (end, c.slant), "CANT"),
    ]
    if wall:
        lengths.append(TrueLength("wall", (end, c.slant), (end, on.top), "WALL"))
    angles: list[TrueAngle] = []
    points = {
        "vertex": c.vertex,
        "end.outer": (end, -s.reach_out),
        "end.toe": (end, 0.0),
        "end.cant.top": (end, c.slant),
        "end.top": (end, on.top),
        "arris.top": (0.0, on.top),
    }
    if on.inside:
        points |= {"toe.corner": toe, "roof.mitre": outer}
        lengths += [
            TrueLength("mitre", toe, c.vertex, "MITRE"),
            TrueLength("roof-mitre", outer, toe, "ROOF MITRE"),
        ]
        angles = [
            TrueAngle("mitre-at-vertex", c.vertex, (end, c.slant), toe, "MITRE"),
            TrueAngle("mitre-at-toe", toe, (end, 0.0), c.vertex, "MITRE"),
            TrueAngle("roof-mitre", toe, (end, 0.0), outer, "HALF CORNER"),
        ]
    return Draft(
        f"{s.id}-next",
        s.id,
        f"{s.name}, next piece",
        s.primed,
        (*wall, *cant, *roof),
        {},
        points,
        tuple(lengths),
        tuple(angles),
        notes=("Ends square at the arris.",) if wall else (),
    )


def patch(on: Bench) -> Draft:
    """Return what closes an outside corner; its flat coordinates are strip 2's."""
    c, s = on.corner, on.sheet
    into = c.strip2_in_roof.inverse()
    v, t, edge = c.vertex, c.toe2, (-s.lap, 0.0)
    past = x_from(-s.lap)  # under the square end of the next piece
    over = y_from(-s.lap).moved(into)  # over the cut on the line of the first toe
    cant = on.leaf("cant", "cant-2", [past, c.beside_mitre2, *on.on_cant])
    roof = on.leaf(
        "roof",
        "roof",
        [past, over, *on.on_roof],
        hinge=Hinge("toe", "cant", edge, t, c.toe_turn),
    )
    lap = on.leaf(
        "cant-lap",
        "cant-1",
        [c.beside_mitre2.other(), c.beside_mitre2.pushed(s.lap)],
        on.on_cant,
        c.cant2_beside_cant1.inverse(),
        Hinge("mitre", "cant", t, v, c.mitre_turn),
    )
    # a blunt corner's patch ends on the roof before the sheet does
    low = min((y for x, y in roof[0].flat if x < edge[0] + 1e-6), default=-s.reach_out)
    open_cant = 2.0 * abs(degrees(c.lean))
    open_roof = 180.0 - c.angle - open_cant
    first_toe = into((c.toe1[0] - 1.0, 0.0))
    told = (
        f"Closes {open_cant:.1f} deg open on the cant and {open_roof:.1f} deg on the roof; "
        "a touch of sealant where each starts."
    )
    return Draft(
        f"{s.id}-patch",
        s.id,
        f"{s.name}, patch",
        s.primed,
        (*cant, *roof, *lap),
        {"lower": t},
        {"vertex": v, "toe.corner": t, "edge.toe": edge, "edge.top": (-s.lap, c.slant)},
        (
            TrueLength("mitre", t, v, "MITRE"),
            TrueLength("lap", edge, (0.0, 0.0), "LAP"),
            TrueLength("toe-offset", (0.0, 0.0), t, "TOE CORNER"),
            TrueLength("cant", edge, (-s.lap, c.slant), "CANT"),
            TrueLength("roof", (-s.lap, low), edge, "ROOF"),
        ),
        (
            TrueAngle("mitre-at-vertex", v, (-s.lap, c.slant), t, "MITRE"),
            TrueAngle("mitre-at-toe", t, edge, v, "MITRE"),
            TrueAngle("first-toe", t, edge, first_toe, "FIRST TOE"),
        ),
        dabs=(v, t),
        notes=(told,),
    )
