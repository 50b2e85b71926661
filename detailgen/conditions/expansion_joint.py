"""Expansion joint on two curbs, or area divider: both sides flashed as a curb.

                    ______cover______          cover_slope
           lap - | |=|__        __|=| |  <- metal of each curb, hooked for the cover
                 | |nailer|v v|nailer| |  <- flexible barrier, loop_depth deep
                 | | curb | v | curb | |  <- compressible filler
                / |       |gap|      |  .
    field _____/__|_______|   |______|___.____ field
                  curb_thickness

The joint's movement comes from `run` (the length of the structure that moves toward it),
what the structure is of, and the range of temperatures. The gap leaves room when the joint
is closed furthest; the barrier has slack and the cover holds when it is open widest. An
area divider is one curb in two halves, without gap, filler, barrier and movement.
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
    Slip,
    barrier_on,
    dam_at,
    hooked_metal,
    leg_of_cap,
    level_of,
    moved_half,
    strip_over,
)
from detailgen.conditions._joint_middle import (
    cap,
    filler,
    loop_between,
    loop_length,
    looped,
    slip_cover,
    touching,
)
from detailgen.conditions._mirror import both
from detailgen.conditions._terminations import closed_by
from detailgen.conditions._turn_up_words import stages
from detailgen.conditions._wall_heights import height_for_lap, hem_floor
from detailgen.conditions._wall_pieces import elevation
from detailgen.geometry import Line, Point
from detailgen.geometry.regions import box, mirrored, shifted
from detailgen.movement import laid_out, movement
from detailgen.parameters import Length, Rise, choice, length, slope
from detailgen.section import (
    RIGHT,
    Axis,
    Body,
    Bond,
    Gauge,
    LayeredSection,
    Moving,
    Stage,
    Stand,
)
from detailgen.stacking import clipped
from detailgen.units import inches

Metal = Literal[
    "galvanized-24", "aluminium-032", "aluminium-040", "stainless-018", "copper-16"
]


class ExpansionJoint(CurbSheets, frozen=True):
    """Parameters of an expansion joint on curbs, or of an area divider."""

    joint: Literal["expansion", "area-divider"] = choice(
        "An expansion joint, which moves; or an area divider, which does not.",
        default="expansion",
    )
    curb: Literal["wood", "metal", "concrete"] = choice(
        "What the curbs are built of: lumber on edge, prefabricated metal, concrete.",
        default="wood",
    )
    curb_thickness: Length | None = length(
        "Thickness of each curb; an area divider is two of them thick. Without it: what "
        "barrier, hooks and movement need, at least 4 in; for a divider 1 1/2 in.",
        default=None,
        least="1 1/2 in",
        most="12 in",
    )
    curb_height: Length | None = length(
        "Height of the nailer's outer edge above the finish ply at the toe of the cant. "
        "Without it: the rule's least, more where cant and lap need it.",
        default=None,
        least="3 in",
        most="36 in",
    )
    top_slope: Rise = slope(
        "Slope of the tops of the curbs of an expansion joint, away from the joint.",
        default="1 in per ft",
        least="0 %",
        most="3 in per ft",
    )
    fall: Literal["away", "along"] = choice(
        "Which way the roof falls: away from the joint on both sides, or along it.",
        default="away",
    )
    run: Length = length(
        "Length of the structure whose movement comes to this joint.",
        default="150 ft",
        least="10 ft",
        most="400 ft",
    )
    structure: Literal["concrete", "steel"] | None = choice(
        "What the structure is of, for its movement. Without it: concrete under a "
        "concrete deck, else steel.",
        default=None,
    )
    temperatures: Literal["mild", "roof-measured"] = choice(
        "Between which temperatures it moves: a row of the table of temperatures.",
        default="mild",
    )
    built_at: Literal["middle", "unknown"] = choice(
        "How warm it is when it is built: in the middle of the range, or not known, so "
        "that the joint takes the whole movement either way.",
        default="middle",
    )
    gap: Length | None = length(
        "Width of the gap between the curbs as built. Without it: the closing movement "
        "and what the rule leaves open, at least 1 in.",
        default=None,
        least="1/2 in",
        most="8 in",
    )
    loop_depth: Length | None = length(
        "How far the barrier hangs into the gap below the nailers' inner edges. Without "
        "it: what the slack at the widest opening needs, at least 1 1/2 in.",
        default=None,
        least="1/2 in",
        most="6 in",
    )
    metal: Metal = choice("Metal of the curbs and of the cover.", default="galvanized-24")
    cover_slope: Rise = slope(
        "Slope of the cover or the cap, from the middle to both sides.",
        default="1 in per ft",
        least="0 %",
        most="3 in per ft",
    )


_KINDS = {"concrete": "concrete", "steel": "galvanized"}
"""Row of the table of expansion for what a structure is of."""
_LEAST_THICK = inches(4)
_LEAST_PLAY = inches(1 / 16)
_LEAST_GAP = inches(1)
_LEAST_LOOP = inches(1.5)
_STEP = inches(0.25)


def _moves(p: ExpansionJoint) -> bool:
    return p.joint == "expansion"


def _moving(p: ExpansionJoint, site: Site) -> Moving:
    """Return by how much the joint closes and opens, with its arithmetic."""
    of = p.structure or ("concrete" if site.roof.deck == "concrete" else "steel")
    row = site.catalog.tables.expansion[_KINDS[of]]
    range_ = site.catalog.tables.temperatures[p.temperatures]
    whole = movement(p.run, row.coefficient, range_.span)
    way = whole if p.built_at == "unknown" else whole / 2.0
    told = (
        f"Movement of {p.run / 304.8:.0f} ft ({p.run / 1000.0:.1f} m) of {of} structure: "
        f"{row.coefficient / 1.8e-6:.1f} per million per F x {range_.span * 1.8:.0f} F = "
        f"{whole / 25.4:.2f} in ({whole:.0f} mm) in all; the joint takes "
        f"{way / 25.4:.2f} in ({way:.0f} mm) either way."
    )
    return Moving(way, way, told)


def _slip(p: ExpansionJoint, site: Site) -> Slip:
    """Return how the cover is hooked.

    Both plays together take the opening. When the joint has closed by all it can, with the
    cover pushed to one side, the fold on the other still holds by what the rule asks.
    """
    moving = _moving(p, site)
    play = max(moving.opens / 2.0, _LEAST_PLAY)
    return Slip(play, play + moving.closes + site.rules.value("joint_cover_hold_least"))


def _thickness(p: ExpansionJoint, site: Site) -> float:
    if p.curb_thickness is not None:
        return p.curb_thickness
    if not _moves(p):
        return inches(1.5)
    return max(_LEAST_THICK, _step_up(_needed_top(p, site)))


def _step_up(value: float) -> float:
    return -(-(value - 1e-6) // _STEP) * _STEP


def _needed_top(p: ExpansionJoint, site: Site) -> float:
    """Return how thick a curb must be for barrier, dam, hook and play, mm."""
    slip = _slip(p, site)
    metal = site.catalog.materials[p.metal].thickness
    return slip.hook(metal) + slip.play + metal - dam_at(0.0, metal)


def _gap(p: ExpansionJoint, site: Site) -> float:
    if not _moves(p):
        return 0.0
    if p.gap is not None:
        return p.gap
    closed = site.rules.value("joint_closed_least")
    return max(_LEAST_GAP, laid_out(_moving(p, site).closes + closed))


def _slack_needed(p: ExpansionJoint, site: Site) -> float:
    """Return how long the barrier must be between the nailers, mm."""
    least = site.rules.value("joint_slack_least")
    return _gap(p, site) + _moving(p, site).opens + least


def _loop(p: ExpansionJoint, site: Site) -> float:
    if p.loop_depth is not None:
        return p.loop_depth
    depth, half = _LEAST_LOOP, _gap(p, site) / 2.0
    while loop_length(half, depth) < _slack_needed(p, site):
        depth += _STEP
    return depth


def _drop(p: ExpansionJoint, site: Site) -> float:
    return _tilt(p, site) * cant_of(p, site)[1]


def _tilt(p: ExpansionJoint, site: Site) -> float:
    return site.roof.slope if p.fall == "away" else 0.0


def _height(p: ExpansionJoint, site: Site) -> float:
    if p.curb_height is not None:
        return p.curb_height
    rules = site.rules
    lap = p.counterflashing_lap or rules.value("counterflashing_lap_least")
    floor = hem_floor(site, cant_of(p, site)[0], _drop(p, site))
    return max(
        rules.value("joint_curb_height_least"),
        rules.value("flashing_height_least"),
        height_for_lap(floor, lap, coped=False),
    )


def _lap(p: ExpansionJoint, site: Site) -> float:
    if p.counterflashing_lap is not None:
        return p.counterflashing_lap
    room = _height(p, site) - hem_floor(site, cant_of(p, site)[0], _drop(p, site))
    return min(site.rules.value("counterflashing_lap_least"), room)


def _sizes(p: ExpansionJoint, site: Site) -> CurbSizes:
    stands = Stands(
        kind=p.curb,
        thickness=_thickness(p, site),
        height=_height(p, site),
        top_slope=p.top_slope if _moves(p) else 0.0,
        drop=_drop(p, site),
        lap=_lap(p, site),
    )
    return sizes_of(p, site, stands)


def taken(p: ExpansionJoint, site: Site) -> dict[str, float | str]:
    """Return what is taken for each parameter whose default comes from elsewhere."""
    s = _sizes(p, site)
    deck = site.roof.deck
    return {
        **sheets_taken(p, s, site),
        "curb_thickness": s.thickness,
        "curb_height": s.height,
        "counterflashing_lap": _lap(p, site),
        "structure": p.structure or ("concrete" if deck == "concrete" else "steel"),
        "gap": _gap(p, site),
        "loop_depth": _loop(p, site) if _moves(p) else 0.0,
        "deck_thickness": DECK_THICKNESS[deck],
    }


def impossible(p: ExpansionJoint, site: Site) -> list[Impossible]:
    """Return what cannot be built with these parameters."""
    s = _sizes(p, site)
    found = sheets_impossible(s, _drop(p, site), _lap(p, site), site)
    if not _moves(p):
        return found
    if s.thickness < _needed_top(p, site) - 1e-6:
        found.append(
            Impossible(
                ("curb_thickness", "run"),
                "The top of the curb is too narrow for hooks that let the cover move so.",
                f"at least {_needed_top(p, site) / 25.4:.2f} in for this movement",
                "Thicken the curbs, or shorten the run with another joint.",
            )
        )
    if s.height + p.top_slope * s.thickness < _loop(p, site) + inches(0.5):
        found.append(
            Impossible(
                ("loop_depth", "curb_height"),
                "The barrier hangs as deep as the curbs are high.",
                "a loop at least 1/2 in less deep than the curbs are high",
                "Raise the curbs or lessen the loop.",
            )
        )
    return found


def build(p: ExpansionJoint, site: Site) -> LayeredSection:
    """Build the section of a joint on curbs, or of an area divider."""
    return _Work(p, site).section()


class _Work:
    """One section in the making, in the order in which it is built."""

    def __init__(self, p: ExpansionJoint, site: Site) -> None:
        self.p, self.site, self.s = p, site, _sizes(p, site)
        self.plane = Plane(_tilt(p, site))
        self.half_gap = _gap(p, site) / 2.0
        self.dx = -(self.s.thickness + self.half_gap)
        self.moves = _moves(p)
        metal = site.catalog.materials[p.metal]
        self.metal = metal.thickness * site.thickening.metal
        self.curb = Curb(site, self.s, self.plane, deck_to=self.s.thickness, cricket=False)
        self.curb.prime()
        if self.moves:
            barrier_on(self.curb)
        self.curb.sheets()
        points = self.curb.points
        lap = _lap(p, site)
        leg: list[Point] = []
        if self.moves:
            points |= hooked_metal(self.curb, _slip(p, site), lap, p.metal)
        else:
            strip_over(self.curb)
            leg = [(x + self.dx, y) for x, y in leg_of_cap(self.curb, lap, self.metal)]
        points |= {"flashing.top": points["curb.top"]}
        over = level_of(self.curb)
        self.over = Level(over.x + self.dx, over.y, over.rise)
        left = moved_half(self.curb, points, self.dx)
        whole = both(left, left, apart=("flashing", "flashing-cement"))
        self.bodies, self.joints = list(whole.bodies), list(whole.joints)
        self.coats, self.points = whole.coats, dict(whole.points)
        if self.moves:
            self._span()
        else:
            self._cap(leg)

    def _add(self, body: Body, bond: Bond, *others: str) -> None:
        self.joints += touching(body, self.bodies, bond, *others)
        self.bodies.append(body)

    def _span(self) -> None:
        """Filler, barrier and cover over the gap."""
        p, site = self.p, self.site
        depth = _loop(p, site)
        self._loop(depth)
        x, y = self.points["curb.inner"]
        bottom = y - depth
        deck = self.plane.at(self.s.thickness, -self.curb.roof.depth)[1]
        fill = filler(site, -self.half_gap, self.half_gap, deck, bottom)
        self._add(fill, Bond.DRY, "curb", "curb-right", "blocking", "blocking-right")
        hook = (self.points["hook.tip"], self.points["hook.dam"])
        cover, named = slip_cover(site, _slip(p, site), hook, p.metal, p.cover_slope)
        self._add(cover, Bond.DRY)
        self.points |= named
        self.points |= {name + RIGHT: (-px, py) for name, (px, py) in named.items()}
        self.points |= {
            "gap.left": (x, y),
            "gap.right": (-x, y),
            "loop.low": (0.0, bottom),
            "loop.edge": (0.0, y),
        }

    def _loop(self, depth: float) -> None:
        """Make one of what lies of the barrier on both curbs, with a loop between."""
        there = {b.id: b for b in self.bodies}
        own, other = "joint-barrier", "joint-barrier-right"
        x, y = self.points["curb.inner"]
        lower = loop_between((x, y), (-x, y), depth)
        whole = looped(there[own], lower, there[other])

        def name(body_id: str) -> str:
            return own if body_id == other else body_id

        self.bodies = [
            whole if b.id == own else replace(b, pierces=tuple(map(name, b.pierces)))
            for b in self.bodies
            if b.id != other
        ]
        self.joints = [
            replace(j, upper=name(j.upper), lower=name(j.lower)) for j in self.joints
        ]

    def _cap(self, leg: list[Point]) -> None:
        """The cap of a divider."""
        p = self.p
        body = cap(self.site, leg, self.over, p.metal, p.cover_slope, self.metal)
        self._add(body, Bond.DRY, "flashing", "flashing-right", "upper-flashing")
        low = min(y for _, y in body.region.exterior.coords)
        x = min(x for x, y in body.region.exterior.coords if y < low + 1e-6)
        self.points |= {"cover.hem": (x, low), "cover.hem-right": (-x, low)}

    def section(self) -> LayeredSection:
        """Gather everything into the section."""
        p, s, site = self.p, self.s, self.site
        left = s.left + self.dx
        top = max(b.region.bounds[3] for b in self.bodies) + inches(1.5)
        extent = box(left, self.curb.low, -left, top)
        x0, y0, x1, y1 = extent.bounds
        flutes = [shifted(h, self.dx, 0.0) for h in self.curb.roof.hollows]
        closed = closed_by(
            self.bodies,
            *("joint-barrier", "joint-cover", "counterflashing", "counterflashing-right"),
        )
        moving = _moving(p, site) if self.moves else None
        hem = self.points["cover.hem"][1] - self.curb.datum[1]
        run = curb_run(s, site, hem, spacing_of(p, site))
        t = site.thickening
        section = LayeredSection(
            kind="expansion-joint",
            variant=p.joint + (", foil" if s.foil else ", granules in cement"),
            bodies=clipped(sorted(self.bodies, key=lambda b: b.stage), extent),
            joints=tuple(self.joints),
            coats=tuple(self.coats),
            points=self.points,
            gauges=_gauges(p, s, site),
            stages=_stages(p, s, site),
            method=site.roof.adhesion,
            slope=self.plane.tilt,
            extent=extent,
            breaks=(Line([(x0, y0), (x0, y1)]), Line([(x1, y0), (x1, y1)])),
            hollows=(*flutes, *(mirrored(h) for h in flutes), *closed),
            layouts=(elevation(run, site),),
            never_idle=never_idle(s, site),
            side_of_air="top",
            notes=_notes(p, moving),
            roof_slope=site.roof.slope,
            sheet_factor=t.sheet,
            metal_factor=t.metal,
            bed_factor=t.bed,
            stand=Stand.CURB,
            families=frozenset({"wall"}),
            moving=moving,
        )
        return dry_joint(section)


def _gauges(p: ExpansionJoint, s: CurbSizes, site: Site) -> tuple[Gauge, ...]:
    """Return the dimensions that the sheet shows, inner ones first."""
    v, h = Axis.VERTICAL, Axis.HORIZONTAL
    lap = site.marked(_lap(p, site), "counterflashing_lap_least")
    high = site.marked(s.height, "joint_curb_height_least")
    gauges = [
        *turn_up_gauges(s, site),
        Gauge("counterflashing-lap", "cover.hem", "curb.top", v, lap, "", 2),
        Gauge("curb-height", "roof.datum", "curb.top", v, high, "", 3),
    ]
    if not _moves(p):
        gauges.append(Gauge("divider-width", "curb.top", "curb.top-right", h, "", "", 1))
    else:
        gauges += [
            Gauge("curb-thickness", "curb.top", "curb.inner", h, "", "", 1),
            Gauge("gap", "gap.left", "gap.right", h, "", "GAP", 1),
            Gauge("loop-depth", "loop.low", "loop.edge", v, "", "", 1),
        ]
    return tuple(gauges)


def _stages(p: ExpansionJoint, s: CurbSizes, site: Site) -> tuple[Stage, ...]:
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
        "Curbs and nailers stand fastened on the deck before boards are laid. Prime both "
        "from the top of the cant up and over the nailer; let it dry.",
    )
    if _moves(p):
        first = Stage(
            1,
            "Prime, fill, bridge",
            first.text + " Press the filler into the gap. Stick the barrier to both curbs, "
            "with a loop between them, so that the gap is closed from the start.",
        )
    sheets = usual[6]
    if _moves(p):
        over = " Carry it over each nailer to its inner edge, never across the gap."
        last = [
            Stage(
                8,
                "Metal of the curbs",
                "Nail it to each nailer; leg down over the sheet, dam and hook inside.",
            ),
            Stage(9, "Cover", "Slide it over both hooks, with equal play on both sides."),
        ]
    else:
        over = " Carry it over the nailer; the sheets of both sides meet in the middle."
        last = [
            Stage(8, "Strip over the top", "Stick it over the joint of the two sheets."),
            Stage(9, "Cap", "Set the cap with a leg down each side; screw the legs."),
        ]
    body = replace(sheets, text=sheets.text + over)
    return (first, *usual[1:6], body, *last)


def _notes(p: ExpansionJoint, moving: Moving | None) -> tuple[str, ...]:
    """Return what the builder decided and the reader must know."""
    if moving is None:
        return (
            "An area divider takes no movement and is not set across the way of water.",
        )
    told = [moving.told]
    if p.fall == "along":
        told.append("Water runs along the joint: it must not be dammed up by it.")
    return tuple(told)


CONDITION = Condition(
    kind="expansion-joint",
    title="Expansion joint on curbs",
    about="Two flashed curbs with a gap that moves under a cover; or an area divider",
    parameters=ExpansionJoint,
    build=build,
    impossible=impossible,
    taken=taken,
    families=frozenset({"wall"}),
)
