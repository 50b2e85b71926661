r"""Equipment sleeper: a wood curb under a metal cap that carries a unit, cut across it.

             __________________________________
            | unit, or the frame under it      |
            |__________________________________|  unit.bottom
                        ==== bearing pad
                 _______________________ cap, a leg down each side
    lap ........ |  nailer             |
                 |_____________________|
                 |   wood sleeper      |   curb_height: from the top of the finish ply at
               //|   of width          |\\\\  the toe of the cant to the top of the nailer
    field ___.// |_____________________| \\\\.___ field
             |<-cant_run->|

A sleeper runs down the fall of the roof, so that water passes it: across it the roof is
level, and both sides are alike.
"""

from dataclasses import replace
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
from detailgen.conditions._curbs import (
    Curb,
    CurbSizes,
    curb_run,
    never_idle,
    turn_up_gauges,
)
from detailgen.conditions._dryness import dry_joint
from detailgen.conditions._ground import DECK_THICKNESS, Plane, finish_surface
from detailgen.conditions._joint_halves import (
    Level,
    leg_of_cap,
    level_of,
    moved_half,
    strip_over,
)
from detailgen.conditions._joint_middle import cap, touching
from detailgen.conditions._mirror import both
from detailgen.conditions._support_words import sleeper_note
from detailgen.conditions._terminations import closed_by
from detailgen.conditions._turn_up_words import stages
from detailgen.conditions._wall_heights import height_for_lap, hem_floor
from detailgen.conditions._wall_pieces import elevation
from detailgen.geometry import Line
from detailgen.geometry.regions import box, mirrored, shifted
from detailgen.parameters import Length, choice, length
from detailgen.section import (
    Axis,
    Body,
    Bond,
    Carried,
    Gauge,
    LayeredSection,
    Role,
    Stage,
    Stand,
)
from detailgen.stacking import clipped
from detailgen.units import inches

Metal = Literal[
    "galvanized-24", "aluminium-032", "aluminium-040", "stainless-018", "copper-16"
]
Table = Literal["older-manuals", "florida", "florida-hurricane-zone", "model-code"]
_PAD = inches(0.25)
"""Thickness of the bearing pad, mm (common practice, no source)."""
_FRAME = inches(4.0)
"""How much of the unit is drawn above the pad, mm."""
_PAST = inches(5.0)
"""How far the unit is drawn past the sleeper, mm."""


class EquipmentSleeper(CurbSheets, frozen=True):
    """Parameters of an equipment sleeper."""

    width: Length = length(
        "Width of the wood sleeper.", default="5 1/2 in", least="3 in", most="16 in"
    )
    curb_height: Length | None = length(
        "Height of the nailer's top above the finish ply at the toe of the cant. Without "
        "it: the rule's least, more where cant and lap need it.",
        default=None,
        least="4 in",
        most="48 in",
    )
    unit_width: Length = length(
        "Width of the unit that stands on the sleepers.",
        default="40 in",
        least="6 in",
        most="240 in",
    )
    table: Table = choice(
        "Table of heights in force, which says whether sleepers may carry a unit: the "
        "guideline of older manuals, the Florida code, the same in its hurricane zone, or "
        "the model code.",
        default="older-manuals",
    )
    metal: Metal = choice("Metal of the cap.", default="galvanized-24")


def _height(p: EquipmentSleeper, site: Site) -> float:
    """Return the height of the nailer's top above the finished roof, mm."""
    if p.curb_height is not None:
        return p.curb_height
    rules = site.rules
    lap = p.counterflashing_lap or rules.value("counterflashing_lap_least")
    return max(
        rules.value("curb_height_least"),
        rules.value("flashing_height_least"),
        height_for_lap(hem_floor(site, cant_of(p, site)[0], 0.0), lap, coped=False),
    )


def _lap(p: EquipmentSleeper, site: Site) -> float:
    """Return how far the cap's legs come down from the nailer's top, mm."""
    if p.counterflashing_lap is not None:
        return p.counterflashing_lap
    room = _height(p, site) - hem_floor(site, cant_of(p, site)[0], 0.0)
    return min(site.rules.value("counterflashing_lap_least"), room)


def _sizes(p: EquipmentSleeper, site: Site) -> CurbSizes:
    stands = Stands(
        kind="wood",
        thickness=p.width / 2.0,
        height=_height(p, site),
        top_slope=0.0,
        drop=0.0,
        lap=_lap(p, site),
    )
    return sizes_of(p, site, stands)


def taken(p: EquipmentSleeper, site: Site) -> dict[str, float | str]:
    """Return what is taken for each parameter whose default comes from elsewhere."""
    s = _sizes(p, site)
    return {
        **sheets_taken(p, s, site),
        "curb_height": s.height,
        "counterflashing_lap": _lap(p, site),
        "deck_thickness": DECK_THICKNESS[site.roof.deck],
    }


def impossible(p: EquipmentSleeper, site: Site) -> list[Impossible]:
    """Return what cannot be built with these parameters."""
    return sheets_impossible(_sizes(p, site), 0.0, _lap(p, site), site)


def build(p: EquipmentSleeper, site: Site) -> LayeredSection:
    """Build the section across an equipment sleeper."""
    return _Work(p, site).section()


class _Work:
    """One section in the making, in the order in which it is built."""

    def __init__(self, p: EquipmentSleeper, site: Site) -> None:
        self.p, self.site, self.s = p, site, _sizes(p, site)
        s = self.s
        metal = site.catalog.materials[p.metal].thickness * site.thickening.metal
        self.curb = Curb(site, s, Plane(0.0), deck_to=s.thickness, cricket=False)
        self.curb.prime()
        self.curb.sheets()
        strip_over(self.curb)
        leg = [(x - s.thickness, y) for x, y in leg_of_cap(self.curb, _lap(p, site), metal)]
        over = level_of(self.curb)
        points = self.curb.points | {"flashing.top": self.curb.points["curb.top"]}
        left = moved_half(self.curb, points, -s.thickness)
        whole = both(left, left, apart=("flashing", "flashing-cement"))
        self.bodies, self.joints = list(whole.bodies), list(whole.joints)
        self.coats, self.points = whole.coats, dict(whole.points)
        level = Level(over.x - s.thickness, over.y, over.rise)
        cover = cap(site, leg, level, p.metal, 0.0, metal)
        self._add(cover, Bond.DRY, "flashing", "flashing-right", "upper-flashing")
        low = min(y for _, y in cover.region.exterior.coords)
        x = min(x for x, y in cover.region.exterior.coords if y < low + 1e-6)
        self.points |= {"cover.hem": (x, low), "cover.hem-right": (-x, low)}
        self._load(cover.region.bounds[3])

    def _add(self, body: Body, bond: Bond, *others: str) -> None:
        self.joints += touching(body, self.bodies, bond, *others)
        self.bodies.append(body)

    def _load(self, level: float) -> None:
        """The bearing pad on the cap, and the unit on it."""
        s, materials = self.s, self.site.catalog.materials
        pad, unit = materials["bearing-pad"], materials["equipment"]
        half = 0.8 * s.thickness
        self._add(
            Body(
                "bearing-pad",
                Role.FILLER,
                pad.id,
                box(-half, level, half, level + _PAD),
                10,
                pad.name,
                thickness=_PAD,
                sticks="under the whole foot of the unit",
            ),
            Bond.DRY,
            "counterflashing",
        )
        reach = s.thickness + _PAST
        self._add(
            Body(
                "unit",
                Role.EQUIPMENT,
                unit.id,
                box(-reach, level + _PAD, reach, level + _PAD + _FRAME),
                10,
                "Unit, or the frame that carries it",
                sticks="fastened to the sleeper at its sides, not through the cap's top",
            ),
            Bond.DRY,
            "bearing-pad",
        )
        self.unit = (reach, level + _PAD)
        self.points["unit.bottom"] = (-reach, level + _PAD)

    def section(self) -> LayeredSection:
        """Gather everything into the section."""
        p, s, site = self.p, self.s, self.site
        left = s.left - s.thickness
        reach, base = self.unit
        high = base + _FRAME
        extent = box(left, self.curb.low, -left, high)
        x0, y0, x1, _ = extent.bounds
        flutes = [shifted(h, -s.thickness, 0.0) for h in self.curb.roof.hollows]
        closed = closed_by(self.bodies, "counterflashing")
        roof = self.curb.datum[1]
        hem = self.points["cover.hem"][1] - self.curb.datum[1]
        run = curb_run(s, site, hem, spacing_of(p, site))
        t = site.thickening
        section = LayeredSection(
            kind="equipment-sleeper",
            variant="foil" if s.foil else "granules in cement",
            bodies=clipped(sorted(self.bodies, key=lambda b: b.stage), extent),
            joints=tuple(self.joints),
            coats=tuple(self.coats),
            points=self.points,
            gauges=_gauges(p, s, site),
            stages=_stages(s, site),
            method=site.roof.adhesion,
            slope=0.0,
            extent=extent,
            breaks=(
                Line([(x0, y0), (x0, roof)]),
                Line([(x1, y0), (x1, roof)]),
                Line([(-reach, base), (-reach, high)]),
                Line([(reach, base), (reach, high)]),
            ),
            hollows=(*flutes, *(mirrored(h) for h in flutes), *closed),
            layouts=(elevation(run, site),),
            never_idle=never_idle(s, site),
            side_of_air="top",
            notes=_notes(p, site),
            roof_slope=site.roof.slope,
            sheet_factor=t.sheet,
            metal_factor=t.metal,
            bed_factor=t.bed,
            stand=Stand.CURB,
            families=frozenset({"wall"}),
            carried=Carried(p.unit_width, p.table),
        )
        return dry_joint(section)


def _gauges(p: EquipmentSleeper, s: CurbSizes, site: Site) -> tuple[Gauge, ...]:
    """Return the dimensions that the sheet shows, inner ones first."""
    v, h = Axis.VERTICAL, Axis.HORIZONTAL
    lap = site.marked(_lap(p, site), "counterflashing_lap_least")
    high = site.marked(s.height, "curb_height_least")
    return (
        *turn_up_gauges(s, site),
        Gauge("counterflashing-lap", "cover.hem", "curb.top", v, lap, "", 2),
        Gauge("curb-height", "roof.datum", "curb.top", v, high, "", 3),
        Gauge("sleeper-width", "curb.top", "curb.top-right", h, "", "", 1),
    )


def _stages(s: CurbSizes, site: Site) -> tuple[Stage, ...]:
    """Return the order of building."""
    usual = stages(
        site.roof.adhesion,
        foil=s.foil,
        termination="reglet",
        surface=finish_surface(site),
        sheathed=False,
    )
    first = Stage(
        1,
        "Prime",
        "The sleeper stands fastened to the structure before boards are laid. Prime it "
        "from the top of the cant up and over the nailer; let it dry.",
    )
    sheets = usual[6]
    over = " Carry it over the nailer; the sheets of both sides meet in the middle."
    return (
        first,
        *usual[1:6],
        replace(sheets, text=sheets.text + over),
        Stage(8, "Strip over the top", "Stick it over the joint of the two sheets."),
        Stage(9, "Cap", "Set the cap with a leg down each side; screw the legs."),
        Stage(10, "Unit", "Bearing pad on the cap, then the unit."),
    )


def _notes(p: EquipmentSleeper, site: Site) -> tuple[str, ...]:
    """Return what the reader must know."""
    return (
        "The sleeper runs down the fall of the roof, so that water is not dammed up by it.",
        sleeper_note(p.unit_width, site.catalog.tables.heights[p.table]),
    )


CONDITION = Condition(
    kind="equipment-sleeper",
    title="Equipment sleeper on a curb",
    about="Wood sleeper flashed as a curb on both sides, under a metal cap and a unit",
    parameters=EquipmentSleeper,
    build=build,
    impossible=impossible,
    taken=taken,
    families=frozenset({"wall"}),
)
