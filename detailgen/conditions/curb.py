"""Equipment curb: a turn-up on its roof side, the sheet over the nailer at its top.

                          ________________ equipment, cap or counterflashing
    counterflashing_lap - |~|=====|  nailer, curb_thickness wide
                          | |     |
      strip_in_up  ------ | |curb |  <- top of the cant
                         // |     |
    field _____________.//__|     |  <- cant_height, cant_run
        |<- flashing_reach->|_____|
          |<-strip_in_out->|  toe of the cant

A curb stands lowest out of the roof at its upslope face, so that `curb_height` counts
there: from the top of the finish ply at the toe of the cant to the top of the nailer. A
section through another face (`fall`) is drawn as high as the fall under `curb_run` makes
it. A cricket raises the roof before the upslope face by its height.
"""

from typing import Literal

from detailgen.conditions._condition import Condition, Impossible, Site
from detailgen.conditions._curb_parameters import (
    CurbSheets,
    Stands,
    cant_of,
    sheets_impossible,
    sheets_taken,
    sizes_of,
    spacing_of,
)
from detailgen.conditions._curb_tops import cover_curb, top_of_cover
from detailgen.conditions._curbs import (
    THICKNESS,
    UNDER_METAL,
    Curb,
    CurbSizes,
    curb_run,
    never_idle,
    turn_up_gauges,
)
from detailgen.conditions._dryness import dry_curb
from detailgen.conditions._ground import DECK_THICKNESS, Plane, finish_surface
from detailgen.conditions._turn_up_words import stages
from detailgen.conditions._wall_heights import height_for_lap, hem_floor
from detailgen.conditions._wall_pieces import elevation
from detailgen.geometry import Line
from detailgen.geometry.regions import box
from detailgen.parameters import Length, Rise, choice, length, slope
from detailgen.section import Axis, Gauge, LayeredSection, Stage, Stand
from detailgen.stacking import clipped
from detailgen.units import inches

Metal = Literal[
    "galvanized-24", "aluminium-032", "aluminium-040", "stainless-018", "copper-16"
]


class EquipmentCurb(CurbSheets, frozen=True):
    """Parameters of an equipment curb."""

    curb: Literal["wood", "metal", "concrete"] = choice(
        "What the curb is built of: lumber on edge, a prefabricated metal curb, concrete.",
        default="wood",
    )
    curb_thickness: Length | None = length(
        "Thickness of the curb and width of its nailer. Without it: wood 3 in, metal "
        "2 1/2 in, concrete 6 in.",
        default=None,
        least="1 1/2 in",
        most="12 in",
    )
    top: Literal["unit", "counterflashing", "cap"] = choice(
        "What covers the curb: the unit's own flange, a counterflashing under the unit, or "
        "a metal cap over a closed opening.",
        default="counterflashing",
    )
    fall: Literal["toward", "away", "along"] = choice(
        "Which way the roof falls, seen from the face that is drawn: toward it (upslope "
        "face), away from it (downslope face), or along it (side, at its upslope end).",
        default="toward",
    )
    curb_run: Length = length(
        "Length of the curb along the fall of the roof.",
        default="4 ft",
        least="8 in",
        most="40 ft",
    )
    curb_height: Length | None = length(
        "Height of the nailer's top above the finish ply at the toe of the cant of the "
        "upslope face, without a cricket. Without it: the rule's least, more where cant, "
        "lap or a cricket need it.",
        default=None,
        least="3 in",
        most="48 in",
    )
    cricket: Length = length(
        "Height of a cricket's ridge above the roof at the upslope face; 0 for none.",
        default="0 in",
        least="0 in",
        most="6 in",
    )
    metal: Metal = choice(
        "Metal of the unit's flange, the counterflashing or the cap.",
        default="galvanized-24",
    )
    cap_slope: Rise = slope(
        "Slope of a cap's top, toward the roof.",
        default="1 in per ft",
        least="0 %",
        most="3 in per ft",
    )


def _tilt(p: EquipmentCurb, site: Site) -> float:
    """Return the rise of the roof toward the curb in the section that is drawn."""
    return site.roof.slope * {"away": 1.0, "toward": -1.0, "along": 0.0}[p.fall]


def _drop(p: EquipmentCurb, site: Site) -> float:
    """Return how far the toe lies below the foot of the curb, mm."""
    return 0.0 if _on_cricket(p) else _tilt(p, site) * cant_of(p, site)[1]


def _on_cricket(p: EquipmentCurb) -> bool:
    return p.fall == "toward" and p.cricket > 0.0


def _less(p: EquipmentCurb, site: Site) -> float:
    """Return by how much the curb stands lower at the upslope face than where drawn, mm.

    Below 0 where a cricket makes it lower in the drawing.
    """
    if p.fall == "away":
        return site.roof.slope * (p.curb_run + 2.0 * cant_of(p, site)[1])
    return -p.cricket if _on_cricket(p) else 0.0


def _height(p: EquipmentCurb, site: Site) -> float:
    """Return the height of the curb at its upslope face, without a cricket, mm."""
    if p.curb_height is not None:
        return p.curb_height
    rules = site.rules
    lap = p.counterflashing_lap or rules.value("counterflashing_lap_least")
    floor = hem_floor(site, cant_of(p, site)[0], _drop(p, site))
    over_cricket = p.cricket + rules.value("curb_above_cricket_least") if p.cricket else 0.0
    drawn = max(
        height_for_lap(floor, lap, coped=False), rules.value("flashing_height_least")
    )
    return max(rules.value("curb_height_least"), over_cricket, drawn - _less(p, site))


def _lap(p: EquipmentCurb, site: Site) -> float:
    """Return how far the metal's leg comes down from the nailer's top, mm."""
    if p.counterflashing_lap is not None:
        return p.counterflashing_lap
    drawn = _height(p, site) + _less(p, site)
    room = drawn - hem_floor(site, cant_of(p, site)[0], _drop(p, site))
    return min(site.rules.value("counterflashing_lap_least"), room)


def _sizes(p: EquipmentCurb, site: Site) -> CurbSizes:
    stands = Stands(
        kind=p.curb,
        thickness=p.curb_thickness or THICKNESS[p.curb],
        height=_height(p, site) + _less(p, site),
        top_slope=0.0,
        drop=_drop(p, site),
        lap=_lap(p, site),
    )
    return sizes_of(p, site, stands)


def taken(p: EquipmentCurb, site: Site) -> dict[str, float | str]:
    """Return what is taken for each parameter whose default comes from elsewhere."""
    s = _sizes(p, site)
    return {
        **sheets_taken(p, s, site),
        "curb_thickness": s.thickness,
        "curb_height": _height(p, site),
        "counterflashing_lap": _lap(p, site),
        "deck_thickness": DECK_THICKNESS[site.roof.deck],
    }


def impossible(p: EquipmentCurb, site: Site) -> list[Impossible]:
    """Return what cannot be built with these parameters."""
    s = _sizes(p, site)
    found = sheets_impossible(s, _drop(p, site), _lap(p, site), site)
    if _on_cricket(p) and site.roof.slope * (s.cant_run + inches(1)) > p.cricket:
        found.append(
            Impossible(
                ("cricket", "cant_run"),
                "The cricket runs out into the roof before the toe of the cant.",
                "a cricket higher than the roof's fall over the cant and 1 in more",
                "Raise the cricket, or leave it out.",
            )
        )
    return found


def build(p: EquipmentCurb, site: Site) -> LayeredSection:
    """Build the section through one face of an equipment curb."""
    s = _sizes(p, site)
    plane = Plane(_tilt(p, site), p.cricket if _on_cricket(p) else 0.0)
    curb = Curb(site, s, plane, deck_to=s.thickness, cricket=_on_cricket(p))
    curb.prime()
    curb.sheets()
    right = s.thickness  # what lies inside the curb is no roof, and is not drawn
    done = cover_curb(curb, p.top, _lap(p, site), p.metal, p.cap_slope, right)
    high = curb.top - _height(p, site)
    points = {**curb.points, **done.points}
    points |= {"upslope.datum": (curb.toe[0], high), "flashing.top": points["curb.top"]}
    if p.cricket:
        points["cricket.datum"] = (curb.toe[0], high + p.cricket)
    extent = box(s.left, curb.low, right, top_of_cover(curb.stack, p.top))
    x0, y0, x1, y1 = extent.bounds
    sides = [Line([(x0, y0), (x0, y1)]), Line([(x1, curb.top), (x1, y1)])]
    if p.top != "cap":
        sides.append(Line([(0.0, y1), (x1, y1)]))
    hem = points["cover.hem"][1] - curb.datum[1]
    run = curb_run(s, site, hem, spacing_of(p, site))
    t = site.thickening
    section = LayeredSection(
        kind="curb",
        variant=p.top + (", foil" if s.foil else ", granules in cement"),
        bodies=clipped(curb.stack.bodies, extent),
        joints=tuple(curb.stack.joints),
        coats=tuple(curb.stack.coats),
        points=points,
        gauges=_gauges(p, s, site),
        stages=_stages(p, s, site),
        method=site.roof.adhesion,
        slope=0.0 if _on_cricket(p) else plane.tilt,
        extent=extent,
        breaks=tuple(sides),
        hollows=(*curb.roof.hollows, *done.hollows),
        layouts=(elevation(run, site),),
        never_idle=_never_idle(p, s, site),
        side_of_air="left",
        notes=_notes(p),
        roof_slope=site.roof.slope,
        sheet_factor=t.sheet,
        metal_factor=t.metal,
        bed_factor=t.bed,
        stand=Stand.CURB,
        families=frozenset({"wall"}),
    )
    return dry_curb(section)


def _gauges(p: EquipmentCurb, s: CurbSizes, site: Site) -> tuple[Gauge, ...]:
    """Return the dimensions that the sheet shows, inner ones first."""
    v = Axis.VERTICAL
    least = site.marked(s.height, "curb_height_least") if p.fall == "toward" else ""
    lap = site.marked(_lap(p, site), "counterflashing_lap_least")
    return (
        *turn_up_gauges(s, site),
        Gauge("counterflashing-lap", "cover.hem", "curb.top", v, lap, "", 2),
        Gauge("curb-height", "roof.datum", "curb.top", v, least, "", 3),
        Gauge("curb-thickness", "curb.top", "curb.inner", Axis.HORIZONTAL, "", "", 1),
    )


_LAST = {
    "unit": Stage(
        8,
        "Sealing strip",
        "Lay the sealing strip on the flashing over the nailer, all round, ends butted.",
    ),
    "counterflashing": Stage(
        8,
        "Counterflashing",
        "Set it over the nailer so that it springs against the sheet; lap and seal the "
        "corners; sealing strip on top.",
    ),
    "cap": Stage(
        8,
        "Cap",
        "Close the opening with plywood, ripped to fall; set the cap with its legs down "
        "all round, corners soldered or sealed.",
    ),
}


def _stages(p: EquipmentCurb, s: CurbSizes, site: Site) -> tuple[Stage, ...]:
    """Return the order of building."""
    usual = stages(
        site.roof.adhesion,
        foil=s.foil,
        termination="reglet",
        surface=finish_surface(site),
        sheathed=False,
    )
    face = "the board on the curb" if p.curb == "wood" and s.foil else "the curb"
    first = Stage(
        1,
        "Prime",
        "Curb and nailer stand fastened on the deck before boards are laid. Prime "
        f"{face} from the top of the cant up and over the nailer; let it dry.",
    )
    sheets = usual[6]
    over = Stage(
        sheets.number,
        sheets.name,
        sheets.text + " Carry it over the nailer to its inner edge.",
    )
    steps = [first, *usual[1:6], over, _LAST[p.top]]
    if p.top != "cap":
        steps.append(Stage(9, "Equipment", "Set the unit when the flashing is looked at."))
    return tuple(steps)


def _notes(p: EquipmentCurb) -> tuple[str, ...]:
    """Return what the reader must know of the faces that are not drawn."""
    drawn = {
        "toward": "This is the upslope face, where the curb stands lowest out of the roof.",
        "away": "This is the downslope face; the curb stands lower at its upslope face.",
        "along": "This is a side face, cut at its upslope end.",
    }
    told = [drawn[p.fall]]
    if p.cricket:
        told.append("A cricket turns the water aside before the upslope face.")
    return tuple(told)


def _never_idle(p: EquipmentCurb, s: CurbSizes, site: Site) -> frozenset[str]:
    """Return the checks that must have something to look at in this section."""
    ids = never_idle(s, site)
    return ids if p.top == "cap" else ids | UNDER_METAL


CONDITION = Condition(
    kind="curb",
    title="Equipment curb",
    about="Membrane turned up a curb and over its nailer, under a unit, metal or a cap",
    parameters=EquipmentCurb,
    build=build,
    impossible=impossible,
    taken=taken,
    families=frozenset({"wall"}),
)
