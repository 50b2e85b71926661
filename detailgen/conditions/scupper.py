r"""Through-wall scupper with a soldered liner: it drains the roof, or stands as overflow.

                                       |======  reglet, counterflashing
                       flashing sheet || wall
                        wall_strip   |||
                                     |||_  _   wall_flange, then strip_in past it
                     head            ||___ _
                                      ____________|  outer flange
                   opening_height                 |
    |<- strip_in ->|<- roof_flange ->|            |
    finish ply ______________________.____________|___  |<- spout ->|
    target   ........________________              \  \_ drip
    roof flange, floor ____________________________________\
    base ply ____________________________| wall below  |
    boards  \____ sump, sump_drop   _____|             |
                                         |<-thickness->|

An overflow stands `rise` above the finished roof before it: its floor is bent up from the
roof flange. Widths of openings follow from the drain that the scupper stands for.
"""

from collections.abc import Mapping
from dataclasses import replace
from math import ceil, pi
from typing import Literal

from detailgen.conditions._condition import Condition, Impossible, Site
from detailgen.conditions._ground import DECK_THICKNESS
from detailgen.conditions._metalwork import usual_copper
from detailgen.conditions._scupper_frame import Frame, ScupperSizes
from detailgen.conditions._scupper_roof import RoofSide
from detailgen.conditions._scupper_views import unfolded
from detailgen.conditions._scupper_wall import WallSide
from detailgen.conditions._scupper_words import stages
from detailgen.conditions._sump import room_for_sump
from detailgen.conditions._terminations import Terminated
from detailgen.geometry import Line
from detailgen.geometry.regions import box
from detailgen.parameters import Length, Placed, choice, length
from detailgen.section import Axis, Gauge, LayeredSection, Method, Role, Serves, Stand, Zone
from detailgen.stacking import clipped
from detailgen.units import inches

Metal = Literal["copper-16", "copper-20", "stainless-018", "stainless-025", "galvanized-24"]
Reading = Literal["circumference", "three-diameters", "three-areas"]


class Scupper(Placed, frozen=True):
    """Parameters of a through-wall scupper."""

    use: Literal["primary", "overflow"] = choice(
        "What it is for: it drains the roof, or it is the overflow of a roof with drains.",
        default="primary",
    )
    drain: Length = length(
        "Diameter of the roof drain that it stands for.",
        default="4 in",
        least="2 in",
        most="8 in",
    )
    reading: Reading | None = choice(
        "How the code's size is read: as wide as the drain's circumference, as three of "
        "its diameters, or an opening of three of its areas. Without it: the "
        "circumference; for an overflow three diameters.",
        default=None,
    )
    width: Length | None = length(
        "Clear width of the opening. Without it: what the reading asks.",
        default=None,
        least="4 in",
        most="36 in",
        example="14 in",
    )
    opening_height: Length | None = length(
        "Clear height of the opening.",
        default=None,
        least="2 in",
        most="16 in",
        by_rule="scupper_height_least",
    )
    rise: Length | None = length(
        "Inlet of an overflow above the finished roof before it.",
        default=None,
        least="1 in",
        most="6 in",
        by_rule="overflow_rise",
    )
    sump: Length = length(
        "How far out the boards are tapered to a scupper that drains the roof.",
        default="24 in",
        least="15 in",
        most="48 in",
    )
    sump_drop: Length | None = length(
        "How far that taper sinks the roof at the wall. Without it: 3/4 in, or what the "
        "insulation leaves room for.",
        default=None,
        least="0 in",
        most="2 in",
        example="1 in",
    )
    wall: Literal["masonry", "concrete"] = choice(
        "What the wall is made of.", default="masonry"
    )
    wall_thickness: Length | None = length(
        "Thickness of the wall. Without it: masonry 7 5/8 in, concrete 8 in.",
        default=None,
        least="4 in",
        most="24 in",
        example="8 in",
    )
    metal: Metal | None = choice(
        "Metal of the liner; it must take solder. Without it: copper of 16 oz, or thicker "
        "where the rule set asks it.",
        default=None,
    )
    roof_flange: Length | None = length(
        "Flange of the liner on the roof.",
        default=None,
        least="2 in",
        most="8 in",
        by_rule="scupper_flange_least",
    )
    wall_flange: Length | None = length(
        "Flange of the liner on the wall.",
        default=None,
        least="2 in",
        most="8 in",
        by_rule="scupper_flange_least",
    )
    strip_in: Length | None = length(
        "How far target and strip-in ply run past the flanges.",
        default=None,
        least="1 in",
        most="12 in",
        by_rule="flange_strip_in_least",
    )
    spout: Length | None = length(
        "Outlet past the outer face of the wall.",
        default=None,
        least="1 in",
        most="8 in",
        by_rule="spout_past_wall_least",
    )
    flashing_height: Length | None = length(
        "Height of the wall's flashing above the finished roof. Without it: as high as the "
        "strip-in over the flange needs, at least the rule's.",
        default=None,
        least="8 in",
        most="48 in",
        example="14 in",
    )
    flashing: Literal["foil", "granule-in-cement"] | None = choice(
        "Flashing sheet: foil-faced, or granule-surfaced in cement. Without it: foil where "
        "the job torches.",
        default=None,
    )
    counterflashing_lap: Length | None = length(
        "Counterflashing over the flashing's top.",
        default=None,
        least="1 in",
        most="8 in",
        by_rule="counterflashing_lap_least",
    )
    counterflashing_metal: Metal = choice(
        "Metal of the counterflashing.", default="galvanized-24"
    )
    bead: Length = length(
        "Leg of the sealant beads.", default="3/8 in", least="1/4 in", most="1/2 in"
    )


_WALL = {"masonry": inches(7.625), "concrete": inches(8)}
_USUAL_DROP = inches(0.75)
"""How far the sill lies below the roof: 1/2 to 1 in is usual (common practice, memory)."""
_STEP = inches(0.25)
"""A width that is not the job's own is taken in steps of this (common practice)."""
_SHALLOWEST = inches(0.125)
"""A sump that is less deep is none."""
_OVER_STRIP = inches(1)
"""Flashing sheet above the strip-in that it covers (common practice, no source)."""
_MOST_WIDE = inches(36)


_ROWS: Mapping[Reading, str] = {
    "circumference": "scupper_circumferences_least",
    "three-diameters": "overflow_diameters_least",
    "three-areas": "overflow_areas_least",
}
"""Row of the rule set for each way in which the codes are read."""


def _reading(p: Scupper) -> Reading:
    return p.reading or ("three-diameters" if p.use == "overflow" else "circumference")


def asked_width(drain: float, reading: Reading, height: float, site: Site) -> float:
    """Return the width of an opening that a reading of the codes asks, mm.

    Args:
        drain: Diameter of the drain that the scupper stands for.
        reading: How the size is read.
        height: Clear height of the opening.
        site: Roof, catalogue, rules.
    """
    rules = site.rules
    if reading == "circumference":
        return rules.value("scupper_circumferences_least") * pi * drain
    if reading == "three-diameters":
        return rules.value("overflow_diameters_least") * drain
    return rules.value("overflow_areas_least") * pi * drain**2 / 4.0 / height


def _sizes(p: Scupper, site: Site) -> ScupperSizes:
    height = site.ruled(p.opening_height, "scupper_height_least")
    asked = max(asked_width(p.drain, _reading(p), height, site), inches(4))
    width = p.width or ceil(asked / _STEP - 1e-6) * _STEP
    overflow = p.use == "overflow"
    drop = p.sump_drop
    if drop is None:
        drop = min(_USUAL_DROP, room_for_sump(site))
    drop = 0.0 if overflow or drop < _SHALLOWEST else drop
    wall_flange = site.ruled(p.wall_flange, "scupper_flange_least")
    strip_in = site.ruled(p.strip_in, "flange_strip_in_least")
    rise = site.ruled(p.rise, "overflow_rise") if overflow else 0.0
    need = rise + height + wall_flange + strip_in + _OVER_STRIP
    flashing = p.flashing_height or max(site.rules.value("flashing_height_least"), need)
    foil = p.flashing == "foil" if p.flashing else site.roof.adhesion is Method.TORCH
    return ScupperSizes(
        overflow=overflow,
        metal=p.metal or usual_copper(site),
        width=min(width, _MOST_WIDE),
        height=height,
        rise=rise,
        sump=p.sump,
        sump_drop=drop,
        roof_flange=site.ruled(p.roof_flange, "scupper_flange_least"),
        wall_flange=wall_flange,
        strip_in=strip_in,
        spout=site.ruled(p.spout, "spout_past_wall_least"),
        wall=p.wall,
        thickness=p.wall_thickness or _WALL[p.wall],
        flashing=flashing,
        reglet_depth=site.rules.value("reglet_depth_least"),
        lap=site.ruled(p.counterflashing_lap, "counterflashing_lap_least"),
        foil=foil,
        cf_metal=p.counterflashing_metal,
        bead=p.bead,
    )


def taken(p: Scupper, site: Site) -> dict[str, float | str]:
    """Return what is taken for each parameter whose default comes from elsewhere."""
    s = _sizes(p, site)
    return {
        "reading": _reading(p),
        "metal": s.metal,
        "width": s.width,
        "opening_height": s.height,
        "rise": s.rise or site.rules.value("overflow_rise"),
        "sump_drop": s.sump_drop,
        "wall_thickness": s.thickness,
        "roof_flange": s.roof_flange,
        "wall_flange": s.wall_flange,
        "strip_in": s.strip_in,
        "spout": s.spout,
        "flashing_height": s.flashing,
        "flashing": "foil" if s.foil else "granule-in-cement",
        "counterflashing_lap": s.lap,
        "deck_thickness": DECK_THICKNESS[site.roof.deck],
    }


def impossible(p: Scupper, site: Site) -> list[Impossible]:
    """Return what cannot be built with these parameters."""
    s = _sizes(p, site)
    found: list[Impossible] = []
    need = s.rise + s.height + s.wall_flange + s.strip_in + inches(0.5)
    if s.flashing < need - 1e-6:
        found.append(
            Impossible(
                ("flashing_height", "opening_height", "wall_flange", "strip_in"),
                "The flashing ends below the strip-in ply that it must cover.",
                f"flashing_height at least {need / 25.4:.4g} in ({need:.0f} mm)",
                "Raise the flashing.",
            )
        )
    if s.sump_drop and s.sump_drop > room_for_sump(site) + 1e-6:
        room = room_for_sump(site)
        found.append(
            Impossible(
                ("sump_drop",),
                "The sump is deeper than the insulation has room for.",
                f"at most {room / 25.4:.4g} in ({room:.0f} mm): 1 in of insulation stays",
                "Sink it less or use thicker insulation.",
            )
        )
    if s.lap > s.flashing - s.rise - s.height - inches(2) + 1e-6:
        found.append(
            Impossible(
                ("counterflashing_lap", "flashing_height"),
                "The counterflashing would hang before the opening.",
                "a hem at least 2 in above the opening",
                "Shorten the lap or raise the flashing.",
            )
        )
    return found


def build(p: Scupper, site: Site) -> LayeredSection:
    """Build the section of a through-wall scupper."""
    s = _sizes(p, site)
    frame = Frame(s, site)
    roof, wall = RoofSide(frame), WallSide(frame)
    roof.base_ply()
    roof.liner()
    wall.wall_flange()
    roof.roof_sheets()
    done = wall.wall_sheets()
    return _section(p, frame, roof, wall, done)


def _section(
    p: Scupper, frame: Frame, roof: RoofSide, wall: WallSide, done: Terminated
) -> LayeredSection:
    """Gather everything into the section."""
    s, site = frame.s, frame.site
    extent = box(
        frame.left, roof.low, s.thickness + s.spout + inches(1.5), frame.ends.top("reglet")
    )
    bodies = sorted(
        clipped([*roof.stack.bodies, *wall.stack.bodies], extent), key=lambda b: b.stage
    )
    x0, y0, _, y1 = extent.bounds
    breaks = (
        Line([(x0, y0), (x0, y1)]),
        Line([(0.0, y0), (s.thickness, y0)]),
        Line([(0.0, y1), (s.thickness, y1)]),
    )
    t = site.thickening
    section = LayeredSection(
        kind="scupper",
        variant=f"{p.use}, {_reading(p)}" + (", sump" if s.sump_drop else ""),
        bodies=tuple(bodies),
        joints=(*roof.stack.joints, *wall.stack.joints),
        coats=(*wall.stack.coats, *roof.stack.coats),
        points=roof.points | wall.points,
        gauges=_gauges(s, site),
        stages=stages(
            site.roof.adhesion,
            overflow=s.overflow,
            sump=bool(s.sump_drop),
            foil=s.foil,
        ),
        method=site.roof.adhesion,
        slope=frame.plane.tilt,
        extent=extent,
        breaks=breaks,
        hollows=(*roof.hollows, *done.hollows),
        layouts=(unfolded(s),),
        never_idle=_NEVER_IDLE,
        side_of_air="left",
        notes=_notes(p, s, site),
        roof_slope=site.roof.slope,
        sheet_factor=t.sheet,
        metal_factor=t.metal,
        bed_factor=t.bed,
        families=frozenset({"flange", *({"overflow"} if s.overflow else ())}),
        serves=Serves(p.drain, _ROWS[_reading(p)]),
        stand=Stand.WALL,
        by_the_piece=True,
    )
    dry = [b.id for b in bodies if b.role in _ABSORBS]
    head = max(b.region.bounds[3] for b in bodies if b.role is Role.LINER)
    return replace(
        section,
        must_stay_dry=tuple(dry),
        dry_within={  # their face to the roof; above the opening from the liner's flange on
            "wall": box(-_FAR, head + 0.5, 0.5, frame.ends.reglet - 0.5),
            "wall-below": box(-_FAR, -_FAR, 0.5, frame.ends.reglet - 0.5),
        },
        zones=(
            Zone("roof", box(-_FAR, -_FAR, 0.0, frame.datum + inches(2)), low=True),
            Zone("wall", box(-_FAR, -_FAR, _FAR, _FAR), low=False),
        ),
    )


_FAR = 1e4
_ABSORBS = (Role.DECK, Role.INSULATION, Role.COVER_BOARD, Role.WALL)
_NEVER_IDLE = frozenset({
    "closed_pocket",
    "shallow_slope",
    "solids_overlap",
    "thin_bed",
})


def _notes(p: Scupper, s: ScupperSizes, site: Site) -> tuple[str, ...]:
    reading = _reading(p)
    words = {
        "circumference": "as wide as the drain's circumference",
        "three-diameters": "three times the drain's size, read as three diameters wide",
        "three-areas": "three times the drain's size, read as three of its areas",
    }[reading]
    asked = asked_width(p.drain, reading, s.height, site)
    drain = f"{p.drain / 25.4:.3g} in ({p.drain:.0f} mm)"
    high = f"{s.height / 25.4:.3g} in ({s.height:.0f} mm)"
    wide = f"{asked / 25.4:.2f} in ({asked:.0f} mm)"
    opening = (
        f"Opening sized for a drain of {drain}: {words}; at least {wide} wide where it is "
        f"{high} high. Codes differ: use the reading of the one in force."
    )
    beside = (
        "Cant and flashing of the wall beside the scupper end at its flanges: see the "
        "wall's own detail."
    )
    notes = [opening, beside]
    if s.width < asked - 0.01:
        notes.append("The opening is narrower than this reading asks.")
    if s.overflow:
        notes.append(
            "The finished roof before this scupper is taken as the low point. Where an "
            "inlet lies lower, the rise counts from there."
        )
    elif not s.sump_drop:
        notes.append("No sump: the sill stands as high as the roof about it.")
    elif s.sump_drop < site.rules.value("scupper_below_roof_least") - 0.01:
        notes.append("The sump hardly sinks the sill below the roof about it.")
    if s.metal.startswith("stainless"):
        notes.append("Stainless steel is tinned before it is soldered, and rinsed after.")
    return tuple(notes)


def _gauges(s: ScupperSizes, site: Site) -> tuple[Gauge, ...]:
    """Return the dimensions that the sheet shows, inner ones first."""
    v, h = Axis.VERTICAL, Axis.HORIZONTAL
    gauges = [
        Gauge(
            "opening-height",
            "opening.low",
            "opening.high",
            v,
            site.marked(s.height, "scupper_height_least"),
            "OPENING",
            1,
        ),
        Gauge(
            "wall-flange",
            "wall-flange.low",
            "wall-flange.top",
            v,
            site.marked(s.wall_flange, "scupper_flange_least"),
            "",
            1,
        ),
        Gauge(
            "wall-strip",
            "wall-flange.top",
            "strip.top",
            v,
            site.marked(s.strip_in, "flange_strip_in_least"),
            "",
            1,
        ),
        Gauge("flashing-height", "roof.low", "flashing.top", v, "", "", 3),
        Gauge(
            "roof-flange",
            "flange.outer",
            "metal.bend",
            h,
            site.marked(s.roof_flange, "scupper_flange_least"),
            "",
            1,
        ),
        Gauge(
            "strip-in",
            "strip.outer",
            "flange.outer",
            h,
            site.marked(s.strip_in, "flange_strip_in_least"),
            "",
            1,
        ),
        Gauge(
            "spout",
            "wall.outer",
            "spout.end",
            h,
            site.marked(s.spout, "spout_past_wall_least"),
            "",
            1,
        ),
        Gauge(
            "counterflashing-lap",
            "cf.hem",
            "flashing.top",
            v,
            site.marked(s.lap, "counterflashing_lap_least"),
            "",
            2,
        ),
    ]
    if s.overflow:
        gauges.append(Gauge("overflow-rise", "roof.low", "sill.top", v, "", "", 2))
    if s.sump_drop:
        gauges += [
            Gauge("sump", "sump.edge", "sump.low", h, "", "SUMP", 2),
            Gauge("sump-drop", "sump.low", "sump.edge", v, "", "", 2),
        ]
    return tuple(gauges)


CONDITION = Condition(
    kind="scupper",
    title="Through-wall scupper",
    about="Soldered scupper liner through a wall: it drains the roof, or is its overflow",
    parameters=Scupper,
    build=build,
    impossible=impossible,
    taken=taken,
    families=frozenset({"flange", "overflow"}),
)
