"""The piece that goes round a corner: the main panel on wall 1 and its tabs."""

from math import sin

from detailgen.flat import TrueAngle, TrueLength
from detailgen.geometry import Point
from detailgen.patterns._assembly import Draft, Hinge, Leaf
from detailgen.patterns._bench import Bench
from detailgen.patterns._plane import Side, right_of, x_from, x_to, y_from, y_to


def corner_piece(on: Bench) -> Draft:
    """Return the corner piece; its flat coordinates are strip 1's."""
    c, s = on.corner, on.sheet
    end, v, t = on.run, c.vertex, c.toe1
    tips = {"upper": v, "lower": t}
    if not s.reach_up:  # the cut on the line of the cant's top falls on the edge
        del tips["upper"]
    return Draft(
        f"{s.id}-corner",
        s.id,
        f"{s.name}, corner piece",
        s.primed,
        (*_main(on), *_tabs(on)),
        tips,
        {
            "vertex": v,
            "toe.corner": t,
            "end.outer": (end, -s.reach_out),
            "end.toe": (end, 0.0),
            "end.cant.top": (end, c.slant),
            "end.top": (end, on.top),
            "arris.top": (0.0, on.top),
        },
        _lengths(on),
        _angles(on),
        dabs=(v, t),
        notes=("Main panel first, then the tabs, the lowest first.",),
    )


def _lengths(on: Bench) -> tuple[TrueLength, ...]:
    c, s, end = on.corner, on.sheet, on.run
    left, right = sorted(((0.0, 0.0), c.toe1))
    found = [
        TrueLength("run", (0.0, on.top), (end, on.top), "RUN"),
        TrueLength("roof", (end, -s.reach_out), (end, 0.0), "ROOF"),
        TrueLength("cant", (end, 0.0), (end, c.slant), "CANT"),
        TrueLength("mitre", c.toe1, c.vertex, "MITRE"),
        TrueLength("toe-offset", left, right, "TOE CORNER"),
    ]
    if s.reach_up:
        found += [
            TrueLength("wall", (end, c.slant), (end, on.top), "WALL"),
            TrueLength("lap", (-s.lap, on.top), (0.0, on.top), "LAP"),
        ]
    return tuple(found)


def _angles(on: Bench) -> tuple[TrueAngle, ...]:
    c, end = on.corner, on.run
    v, t = c.vertex, c.toe1
    found = [
        TrueAngle("mitre-at-vertex", v, (end, c.slant), t, "MITRE"),
        TrueAngle("mitre-at-toe", t, (end, 0.0), v, "MITRE"),
    ]
    if on.inside:
        along = c.strip2_in_roof(_off(c.toe2, -1.0))
        found.append(TrueAngle("second-toe", t, (end, 0.0), along, "SECOND TOE"))
    return tuple(found)


def _main(on: Bench) -> list[Leaf]:
    """Return wall, cant and roof of wall 1."""
    c, s, end = on.corner, on.sheet, x_to(on.run)
    top, far = (on.run, c.slant), (on.run, 0.0)
    wall = on.leaf("wall", "wall-1", [x_from(0.0), end, *on.on_wall])
    hinge = Hinge("cant-top", "wall", c.vertex, top, c.top_turn) if wall else None
    ends: list[Side]
    if on.inside:  # to the second toe, and no more than a lap past the mitre
        past = right_of(*on.roof_mitre()).other().pushed(s.lap)
        ends = [y_to(0.0), past]
    else:  # to where the second sheet ends, and no more than a lap past its arris
        ends = [y_from(-s.reach_out)]
        if c.angle > 90.0:  # else it ends before that anyway
            ends.append(x_from(-s.lap))
    into = c.strip2_in_roof
    roof = on.leaf(
        "roof",
        "roof",
        [end, *on.on_roof, *(side.moved(into) for side in ends)],
        place=into,
        hinge=Hinge("toe", "cant", c.toe1, far, c.toe_turn),
    )
    cant = on.leaf("cant", "cant-1", [c.beside_mitre1, end, *on.on_cant], hinge=hinge)
    return [*wall, *cant, *roof]


def _tabs(on: Bench) -> list[Leaf]:
    """Return the tabs, the lowest first, cut to the faces that they land on."""
    c, s = on.corner, on.sheet
    beside = c.cant2_beside_cant1
    # between the two relief cuts, as far as the lap goes
    band = [c.beside_mitre1.other(), c.beside_mitre1.pushed(s.lap), *on.on_cant]
    cant = on.leaf(
        "cant-tab",
        "cant-2",
        band,
        on.on_cant,
        beside,
        Hinge("mitre", "cant", c.vertex, c.toe1, c.mitre_turn),
    )
    if not on.inside:
        away = beside(_off(c.toe2, -1.0))
        turned_out = on.leaf(
            "toe-flap",
            "roof",
            band,
            on.on_roof,
            beside,
            Hinge("second-toe", "cant-tab", away, c.toe1, c.toe_turn),
        )
        return [*cant, *turned_out, *_wall_tab(on)]
    turned_up = on.leaf(
        "top-flap",
        "wall-2",
        band,
        on.on_wall,
        beside,
        Hinge(
            "second-top",
            "cant-tab",
            c.vertex,
            beside(_off(c.vertex, -1.0)),
            c.top_turn,
        ),
    )
    return [*_roof_tab(on), *cant, *turned_up, *_wall_tab(on)]


def _wall_tab(on: Bench) -> list[Leaf]:
    c = on.corner
    return on.leaf(
        "wall-tab",
        "wall-2",
        [x_from(-on.sheet.lap), x_to(0.0), *on.on_wall],
        hinge=Hinge("arris", "wall", (0.0, on.top), c.vertex, c.arris_turn),
    )


def _roof_tab(on: Bench) -> list[Leaf]:
    """Return what an inside corner turns up from the roof onto cant 2."""
    c, lap = on.corner, on.sheet.lap
    into = c.strip2_in_roof
    # the roof of the main panel ends there on the second toe
    end = c.toe2[0] - lap / sin(c.roof_angle / 2.0)
    return on.leaf(
        "roof-tab",
        "cant-2",
        on.on_roof,
        [y_from(0.0), y_to(min(lap, c.slant)), x_from(end), c.beside_mitre2],
        into,
        Hinge("second-toe", "roof", c.toe1, into(_off(c.toe2, -1.0)), c.toe_turn),
    )


def _off(point: Point, dx: float) -> Point:
    return (point[0] + dx, point[1])
