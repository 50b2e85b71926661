"""Equipment curb: a turn-up on its roof side, the sheet over the nailer at its top.

                          ________________ equipment, cap or counterflashing
    counterflashing_lap - |~|=====|  nailer, curb_thickness wide
                          | |     |
      strip_in_up  ------ | |curb |  <- top of the cant
                         // |     |
    field _____________.//__|     |  <- cant_height, cant_run
        |<- flashing_reach->|_____|
          |<-strip_in_out->|  toe of the cant

A curb stands lowest out of the roof at its upslope face, so that `curb_height` counts there:
from the top of the finish ply at the toe of the cant to the top of the nailer. A section
through another face (`fall`) is drawn as high as the fall under `curb_run` makes it. A
cricket raises the roof before the upslope face by its height.
"""

from typing import Literal

from detailgen.conditions._condition import Condition, Impossible, Site
from detailgen.conditions._curb_tops import cover_curb, top_of_cover
from detailgen.conditions._curbs import THICKNESS, Curb, CurbSizes, marked, turn_up_gauges
from detailgen.conditions._dryness import dry_curb
from detailgen.conditions._ground import DECK_THICKNESS, Plane, finish_surface
from detailgen.conditions._terminations import rows_above_roof
from detailgen.conditions._turn_up_words import stages
from detailgen.conditions._wall_heights import height_for_lap, hem_floor, rise_behind_hem
from detailgen.conditions._wall_pieces import Run, elevation
from detailgen.geometry import Line
from detailgen.geometry.regions import box
from detailgen.parameters import Length, Placed, Rise, choice, length, slope
from detailgen.section import Axis, Gauge, LayeredSection, Method, Role, Stage
from detailgen.stacking import clipped
from detailgen.units import Mm, inches

Metal = Literal[
    "galvanized-24", "aluminium-032", "aluminium-040", "stainless-018", "copper-16"
]


class EquipmentCurb(Placed, frozen=True):
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
    flashing: Literal["foil", "granule-in-cement"] | None = choice(
        "Flashing sheet: foil-faced, stuck as the roof is; or granule-surfaced, in "
        "flashing cement with its top edge fastened. Without it: foil under a torch, else "
        "granules.",
        default=None,
    )
    cant_height: Length | None = length(
        "Vertical leg of the cant.",
        default=None,
        least="1 1/2 in",
        most="6 in",
        by_rule="cant_height_least",
    )
    cant_run: Length | None = length(
        "Horizontal leg of the cant. Without it: as its height (45 deg).",
        default=None,
        least="1 1/2 in",
        most="8 in",
    )
    cant_material: Literal["perlite", "wood-fibre", "wood"] = choice(
        "What the cant is made of; under a torch it must not burn.", default="perlite"
    )
    strip_in_out: Length | None = length(
        "Reach of the strip-in ply from the toe of the bare cant out on the roof.",
        default=None,
        least="1/2 in",
        most="12 in",
        by_rule="strip_in_toe_least",
    )
    strip_in_up: Length | None = length(
        "Rise of the strip-in ply up the curb from the top of the bare cant. Without it: "
        "the rule's least, or behind the metal's leg where two sheets are asked.",
        default=None,
        least="1/2 in",
        most="6 in",
        by_rule="strip_in_wall_least",
    )
    prepared_band: Length | None = length(
        "Width of the prepared band from the toe out on the finish ply. Without it: the "
        "rule's least, or the flashing's reach where that is more.",
        default=None,
        least="1 in",
        most="18 in",
    )
    flashing_reach: Length | None = length(
        "Reach of the flashing sheet from the toe of the bare cant out on the roof.",
        default=None,
        least="1 in",
        most="16 in",
        by_rule="flashing_reach_least",
    )
    counterflashing_lap: Length | None = length(
        "How far the leg of the metal covers the flashing sheet, from the nailer's top. "
        "Without it: the rule's least, or what the cant leaves room for.",
        default=None,
        least="1/2 in",
        most="24 in",
        by_rule="counterflashing_lap_least",
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
    top_fastener_spacing: Length | None = length(
        "Spacing of the fasteners along the top edge of a cement-set flashing sheet.",
        default=None,
        least="2 in",
        most="24 in",
        by_rule="top_fastener_spacing_most",
    )


_RIGHT = inches(4)
"""How far the drawing goes on past the curb, over the opening."""


def _tilt(p: EquipmentCurb, site: Site) -> float:
    """Return the rise of the roof toward the curb in the section that is drawn."""
    return site.roof.slope * {"away": 1.0, "toward": -1.0, "along": 0.0}[p.fall]


def _cant(p: EquipmentCurb, site: Site) -> tuple[float, float]:
    height = p.cant_height or site.rules.value("cant_height_least")
    return height, p.cant_run or height


def _drop(p: EquipmentCurb, site: Site) -> float:
    """Return how far the toe lies below the foot of the curb, mm."""
    return 0.0 if _on_cricket(p) else _tilt(p, site) * _cant(p, site)[1]


def _on_cricket(p: EquipmentCurb) -> bool:
    return p.fall == "toward" and p.cricket > 0.0


def _less(p: EquipmentCurb, site: Site) -> float:
    """Return by how much the curb stands lower at the upslope face than where drawn, mm.

    Below 0 where a cricket makes it lower in the drawing.
    """
    if p.fall == "away":
        return site.roof.slope * (p.curb_run + 2.0 * _cant(p, site)[1])
    return -p.cricket if _on_cricket(p) else 0.0


def _height(p: EquipmentCurb, site: Site) -> float:
    """Return the height of the curb at its upslope face, without a cricket, mm."""
    if p.curb_height is not None:
        return p.curb_height
    rules = site.rules
    lap = p.counterflashing_lap or rules.value("counterflashing_lap_least")
    floor = hem_floor(site, _cant(p, site)[0], _drop(p, site))
    least = max(rules.value("curb_height_least"), rules.value("flashing_height_least"))
    over_cricket = p.cricket + rules.value("curb_above_cricket_least") if p.cricket else 0.0
    drawn = height_for_lap(floor, lap, coped=False)
    return max(least, over_cricket, drawn - _less(p, site))


def _lap(p: EquipmentCurb, site: Site) -> float:
    """Return how far the metal's leg comes down from the nailer's top, mm."""
    if p.counterflashing_lap is not None:
        return p.counterflashing_lap
    drawn = _height(p, site) + _less(p, site)
    room = drawn - hem_floor(site, _cant(p, site)[0], _drop(p, site))
    return min(site.rules.value("counterflashing_lap_least"), room)


def _sizes(p: EquipmentCurb, site: Site) -> CurbSizes:
    def ruled(given: Mm | None, row: str) -> float:
        return site.rules.value(row) if given is None else given

    cant_height, cant_run = _cant(p, site)
    height = _height(p, site) + _less(p, site)
    reach = ruled(p.flashing_reach, "flashing_reach_least")
    strip_up = ruled(p.strip_in_up, "strip_in_wall_least")
    if p.strip_in_up is None and site.rules.value("sheets_on_wall") > 1.0:
        over_cant = height - cant_height - _drop(p, site)
        strip_up = max(strip_up, rise_behind_hem(site, over_cant, _lap(p, site)))
    return CurbSizes(
        kind=p.curb,
        thickness=p.curb_thickness or THICKNESS[p.curb],
        height=height,
        top_slope=0.0,
        cant_height=cant_height,
        cant_run=cant_run,
        cant_material=p.cant_material,
        strip_out=ruled(p.strip_in_out, "strip_in_toe_least"),
        strip_up=strip_up,
        band=p.prepared_band or max(site.rules.value("prepared_band_least"), reach),
        reach=reach,
        foil=p.flashing == "foil" if p.flashing else site.roof.adhesion is Method.TORCH,
    )


def _spacing(p: EquipmentCurb, site: Site) -> float:
    return p.top_fastener_spacing or site.rules.value("top_fastener_spacing_most")


def taken(p: EquipmentCurb, site: Site) -> dict[str, float | str]:
    """Return what is taken for each parameter whose default comes from elsewhere."""
    s = _sizes(p, site)
    return {
        "curb_thickness": s.thickness,
        "curb_height": _height(p, site),
        "flashing": "foil" if s.foil else "granule-in-cement",
        "cant_height": s.cant_height,
        "cant_run": s.cant_run,
        "strip_in_out": s.strip_out,
        "strip_in_up": s.strip_up,
        "prepared_band": s.band,
        "flashing_reach": s.reach,
        "counterflashing_lap": _lap(p, site),
        "top_fastener_spacing": _spacing(p, site),
        "deck_thickness": DECK_THICKNESS[site.roof.deck],
    }


def impossible(p: EquipmentCurb, site: Site) -> list[Impossible]:
    """Return what cannot be built with these parameters."""
    s = _sizes(p, site)
    drop = _drop(p, site)
    found: list[Impossible] = []

    def add(keys: tuple[str, ...], message: str, allowed: str, mend: str) -> None:
        found.append(Impossible(keys, message, allowed, mend))

    if s.cant_height + drop + inches(1) > s.height:
        add(
            ("cant_height", "curb_height", "cricket"),
            "The cant is as tall as the curb stands out of the roof.",
            "at least 1 in less than the curb's height where it is drawn",
            "Lower the cant or raise the curb.",
        )
    if s.strip_up + s.cant_height + drop > s.height - inches(0.25):
        add(
            ("strip_in_up", "curb_height"),
            "The strip-in ply ends higher than the face of the curb that it is stuck to.",
            "cant height and strip-in rise together less than the curb's height",
            "Lower the strip-in ply or raise the curb.",
        )
    floor = hem_floor(site, s.cant_height, drop)
    if _lap(p, site) > s.height - floor + inches(0.25) - 1e-6:
        add(
            ("counterflashing_lap", "curb_height"),
            "The leg of the metal would run down over the cant.",
            "a hem above the top of the cant",
            "Shorten the lap or raise the curb.",
        )
    if _on_cricket(p) and site.roof.slope * (s.cant_run + inches(1)) > p.cricket:
        add(
            ("cricket", "cant_run"),
            "The cricket runs out into the roof before the toe of the cant.",
            "a cricket higher than the roof's fall over the cant and 1 in more",
            "Raise the cricket, or leave it out.",
        )
    return found


def build(p: EquipmentCurb, site: Site) -> LayeredSection:
    """Build the section through one face of an equipment curb."""
    s = _sizes(p, site)
    plane = Plane(_tilt(p, site), p.cricket if _on_cricket(p) else 0.0)
    curb = Curb(site, s, plane, deck_to=s.thickness, cricket=_on_cricket(p))
    curb.prime()
    curb.sheets()
    right = s.thickness + _RIGHT
    done = cover_curb(curb, p.top, _lap(p, site), p.metal, p.cap_slope, right)
    high = curb.top - _height(p, site) + (p.cricket if p.cricket else 0.0)
    points = {**curb.points, **done.points}
    points |= {"upslope.datum": (curb.toe[0], high), "flashing.top": points["curb.top"]}
    extent = box(s.left, curb.low, right, top_of_cover(curb.stack, p.top))
    x0, y0, x1, y1 = extent.bounds
    sides = [Line([(x0, y0), (x0, y1)]), Line([(x1, curb.top), (x1, y1)])]
    if p.top != "cap":
        sides.append(Line([(0.0, y1), (x1, y1)]))
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
        layouts=(elevation(_run(p, s, site, points["cf.hem"][1] - curb.datum[1]), site),),
        never_idle=_never_idle(site),
        side_of_air="left",
        notes=_notes(p),
        roof_slope=site.roof.slope,
        sheet_factor=t.sheet,
        metal_factor=t.metal,
        bed_factor=t.bed,
        families=frozenset({"wall"}),
    )
    return dry_curb(section)


def _gauges(p: EquipmentCurb, s: CurbSizes, site: Site) -> tuple[Gauge, ...]:
    """Return the dimensions that the sheet shows, inner ones first."""
    v = Axis.VERTICAL
    least = marked(site, s.height, "curb_height_least") if p.fall == "toward" else ""
    lap = marked(site, _lap(p, site), "counterflashing_lap_least")
    return (
        *turn_up_gauges(s, site),
        Gauge("counterflashing-lap", "cf.hem", "curb.top", v, lap, "", 2),
        Gauge("curb-height", "roof.datum", "curb.top", v, least, "", 3),
        Gauge("curb-thickness", "curb.top", "curb.inner", Axis.HORIZONTAL, "", "", 1),
    )


_LAST = {
    "unit": Stage(
        8,
        "Sealing strip",
        "Lay the sealing strip on the flashing over the nailer, all round, its ends butted.",
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


def _run(p: EquipmentCurb, s: CurbSizes, site: Site, hem: float) -> Run:
    return Run(
        flashing_top=s.height,
        hem=hem,
        metal_top=s.height + inches(0.25),
        top_fasteners=None if s.foil else _spacing(p, site),
        middle=tuple(
            rows_above_roof(s.height, site.rules.value("intermediate_row_above"))
        ),
        middle_spacing=_spacing(p, site),
        bar_fasteners=None,
        bar_level=0.0,
        upper=None,
        metal_role=Role.COUNTERFLASHING,
        piece_width=site.roof.roll_width,
    )


def _never_idle(site: Site) -> frozenset[str]:
    """Return the checks that must have something to look at in this section."""
    ids = {
        "closed_pocket",
        "shallow_slope",
        "solids_overlap",
        "thin_cover_on_roof",
        "thin_metal",
    }
    if site.roof.adhesion is Method.TORCH:
        ids |= {"flame_on_wood"}
    if site.roof.deck == "steel":
        ids |= {"unspanned_flutes"}
    return frozenset(ids)


CONDITION = Condition(
    kind="curb",
    title="Equipment curb",
    about="Membrane turned up a curb and over its nailer, under a unit, a flashing or a cap",
    parameters=EquipmentCurb,
    build=build,
    impossible=impossible,
    taken=taken,
)
