"""Wall to a deck that moves independently: a free-standing nailer, and a gap to the wall.

                                     |#| wall
                    reglet_height -- |=|
           ______counterflashing_____| |   hangs from the wall, touches nothing
          |  |====|  nailer     gap  | |   <- flexible barrier, loop_depth deep
    lap - |~ |    |<---------------->| |   <- compressible filler
           | |    |                  | |
          // |    |                  | |
    ____//__.|____|                  | |

The nailer is fastened to the deck alone. The deck may come `moves_across` nearer to the
wall or go as far from it, and rise or sink by `moves_down`: the gap, the barrier's loop and
the room under the counterflashing take that. `flashing_height` is that of the nailer's top
above the finish ply at the toe of the cant, from which `reglet_height` counts, too.
"""

from math import fsum
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
    UNDER_METAL,
    Curb,
    CurbSizes,
    never_idle,
    turn_up_gauges,
)
from detailgen.conditions._dryness import dry_wall
from detailgen.conditions._ground import DECK_THICKNESS, Plane, finish_surface
from detailgen.conditions._independent_metal import FALL, Hanging, Hung
from detailgen.conditions._joint_halves import BARRIER_LAP, barrier_on
from detailgen.conditions._joint_middle import (
    filler,
    loop_between,
    loop_length,
    looped,
    touching,
)
from detailgen.conditions._terminations import SLOT, closed_by, rows_above_roof
from detailgen.conditions._turn_up_words import stages
from detailgen.conditions._wall_heights import STEP, height_for_lap, hem_floor
from detailgen.conditions._wall_pieces import Run, elevation
from detailgen.geometry import Line, Point
from detailgen.geometry.regions import box, cut
from detailgen.movement import laid_out
from detailgen.parameters import Length, choice, length
from detailgen.section import (
    Axis,
    Body,
    Bond,
    Gauge,
    LayeredSection,
    Moving,
    Role,
    Stage,
    Stand,
)
from detailgen.stacking import clipped
from detailgen.units import inches

Metal = Literal[
    "galvanized-24", "aluminium-032", "aluminium-040", "stainless-018", "copper-16"
]


class IndependentWall(CurbSheets, frozen=True):
    """Parameters of a wall beside a deck that moves independently of it."""

    wall: Literal["masonry", "concrete", "stud"] = choice(
        "What the wall is built of.", default="masonry"
    )
    wall_thickness: Length | None = length(
        "Thickness of the wall. Without it: masonry 7 5/8 in, concrete 8 in, stud 6 in.",
        default=None,
        least="4 in",
        most="24 in",
    )
    termination: Literal["reglet", "surface"] | None = choice(
        "What holds the counterflashing: a reglet, or a bar on the wall's face. Without "
        "it: reglet; on a stud wall surface.",
        default=None,
    )
    fall: Literal["away", "toward", "along"] = choice(
        "Which way the roof falls, seen from the wall.", default="away"
    )
    nailer_thickness: Length = length(
        "Thickness of the free-standing nailer.",
        default="3 1/2 in",
        least="1 1/2 in",
        most="6 in",
    )
    flashing_height: Length | None = length(
        "Height of the nailer's top, over which the flashing sheet goes, above the finish "
        "ply at the toe. Without it: the rule's least, more where cant, lap and movement "
        "need it.",
        default=None,
        least="4 in",
        most="36 in",
    )
    moves_across: Length = length(
        "How far the deck moves toward the wall, and from it, as it is built.",
        default="1/2 in",
        least="0 in",
        most="2 in",
    )
    moves_down: Length = length(
        "How far the deck rises or sinks against the wall.",
        default="1/2 in",
        least="0 in",
        most="1 1/2 in",
    )
    gap: Length | None = length(
        "Width of the gap between nailer and wall as built. Without it: the movement and "
        "what the rule leaves open, at least 1 in.",
        default=None,
        least="1/2 in",
        most="6 in",
    )
    loop_depth: Length | None = length(
        "How far the barrier hangs into the gap. Without it: what the slack at the widest "
        "opening needs, at least 1 1/2 in.",
        default=None,
        least="1/2 in",
        most="6 in",
    )
    reglet_height: Length | None = length(
        "Height of the reglet's mouth, or of the bar, above the finish ply at the toe. "
        "Without it: so high that the barrier has its lap on the wall below it.",
        default=None,
        least="6 in",
        most="60 in",
    )
    reglet_depth: Length | None = length(
        "Depth of the reglet.",
        default=None,
        least="1/2 in",
        most="3 in",
        by_rule="reglet_depth_least",
    )
    metal: Metal = choice("Metal of the counterflashing.", default="galvanized-24")
    bar_fastener_spacing: Length = length(
        "Spacing of the fasteners of a surface-mounted counterflashing's bar.",
        default="8 in",
        least="2 in",
        most="24 in",
    )


_WALL_THICKNESS = {"masonry": inches(7.625), "concrete": inches(8), "stud": inches(6)}
_LEAST_GAP = inches(1)
_LEAST_LOOP = inches(1.5)
_BELOW = {"reglet": inches(0.25), "surface": inches(0.875)}
"""How far the barrier on the wall ends below the receiver."""
_DRAWN_OVER = inches(1.25)
"""Room between the metal's upper bend and its receiver, mm."""


def _tilt(p: IndependentWall, site: Site) -> float:
    return site.roof.slope * {"away": 1.0, "toward": -1.0, "along": 0.0}[p.fall]


def _drop(p: IndependentWall, site: Site) -> float:
    return _tilt(p, site) * cant_of(p, site)[1]


def _termination(p: IndependentWall) -> str:
    return p.termination or ("surface" if p.wall == "stud" else "reglet")


def _floor(p: IndependentWall, site: Site) -> float:
    """Return the lowest hem that stays clear of the cant when the deck has risen, mm."""
    return hem_floor(site, cant_of(p, site)[0], _drop(p, site)) + p.moves_down


def _lap_asked(p: IndependentWall, site: Site) -> float:
    """Return the lap that is left as asked when the deck has sunk, mm."""
    return site.rules.value("counterflashing_lap_least") + p.moves_down


def _height(p: IndependentWall, site: Site) -> float:
    if p.flashing_height is not None:
        return p.flashing_height
    lap = p.counterflashing_lap or _lap_asked(p, site)
    return max(
        site.rules.value("flashing_height_least"),
        height_for_lap(_floor(p, site), lap, coped=False),
    )


def _lap(p: IndependentWall, site: Site) -> float:
    if p.counterflashing_lap is not None:
        return p.counterflashing_lap
    return min(_lap_asked(p, site), _height(p, site) - _floor(p, site))


def _sizes(p: IndependentWall, site: Site) -> CurbSizes:
    stands = Stands(
        kind="nailer",
        thickness=p.nailer_thickness,
        height=_height(p, site),
        top_slope=0.0,
        drop=_drop(p, site),
        lap=_lap(p, site),
    )
    return sizes_of(p, site, stands)


def _gap(p: IndependentWall, site: Site) -> float:
    if p.gap is not None:
        return p.gap
    return max(
        _LEAST_GAP, laid_out(p.moves_across + site.rules.value("joint_closed_least"))
    )


def _slack_needed(p: IndependentWall, site: Site) -> float:
    """Return how long the barrier must be between nailer and wall, mm."""
    wide = _gap(p, site) + p.moves_across
    reach: float = (wide**2 + p.moves_down**2) ** 0.5
    return reach + site.rules.value("joint_slack_least")


def _loop(p: IndependentWall, site: Site) -> float:
    if p.loop_depth is not None:
        return p.loop_depth
    depth, half = _LEAST_LOOP, _gap(p, site) / 2.0
    while loop_length(half, depth) < _slack_needed(p, site):
        depth += STEP
    return depth


def _clear(p: IndependentWall, site: Site) -> tuple[float, float]:
    """Return the room beside and over the sheet on the nailer, mm."""
    least = site.rules.value("slip_clear_least")
    return p.moves_across + least, p.moves_down + least


def _sheet_over(p: IndependentWall, site: Site) -> float:
    """Return how much lies on the nailer: barrier, bed and sheet at their true size, mm."""
    materials = site.catalog.materials
    plies = ["joint-barrier", "flashing-foil"]
    if not _sizes(p, site).foil:
        plies = ["joint-barrier", "flashing-cement", "flashing-granule"]
    return fsum(materials[m].thickness for m in plies)


def _least_reglet(p: IndependentWall, site: Site) -> float:
    """Return the lowest receiver from which the metal falls clear of the nailer, mm."""
    beside, over = _clear(p, site)
    run = p.nailer_thickness + _gap(p, site) + beside + inches(0.75)
    return _height(p, site) + _sheet_over(p, site) + over + FALL * run + _DRAWN_OVER


def _reglet(p: IndependentWall, site: Site) -> float:
    if p.reglet_height is not None:
        return p.reglet_height
    least = site.rules.value("reglet_height_least")
    lapped = _height(p, site) + BARRIER_LAP + _BELOW[_termination(p)] + inches(0.25)
    cut_in = least if _termination(p) == "reglet" else 0.0
    high = max(lapped, _least_reglet(p, site), cut_in)
    return -(-(high - 1e-6) // STEP) * STEP


def taken(p: IndependentWall, site: Site) -> dict[str, float | str]:
    """Return what is taken for each parameter whose default comes from elsewhere."""
    s = _sizes(p, site)
    return {
        **sheets_taken(p, s, site),
        "wall_thickness": p.wall_thickness or _WALL_THICKNESS[p.wall],
        "termination": _termination(p),
        "flashing_height": s.height,
        "counterflashing_lap": _lap(p, site),
        "gap": _gap(p, site),
        "loop_depth": _loop(p, site),
        "reglet_height": _reglet(p, site),
        "reglet_depth": p.reglet_depth or site.rules.value("reglet_depth_least"),
        "deck_thickness": DECK_THICKNESS[site.roof.deck],
    }


def impossible(p: IndependentWall, site: Site) -> list[Impossible]:
    """Return what cannot be built with these parameters."""
    s = _sizes(p, site)
    found = [
        Impossible(
            tuple("flashing_height" if k == "curb_height" else k for k in one.keys),
            one.message.replace("curb", "nailer"),
            one.allowed.replace("curb", "nailer"),
            one.mend.replace("curb", "nailer"),
        )
        for one in sheets_impossible(s, _drop(p, site), _lap(p, site), site)
    ]

    def add(keys: tuple[str, ...], message: str, allowed: str, mend: str) -> None:
        found.append(Impossible(keys, message, allowed, mend))

    if p.wall == "stud" and _termination(p) == "reglet":
        add(
            ("termination", "wall"),
            "A stud wall has no joint or mass to cut a reglet into.",
            "surface",
            "Use another termination.",
        )
    if _reglet(p, site) < _least_reglet(p, site) - 1e-6:
        add(
            ("reglet_height", "flashing_height"),
            "The metal has no room to fall from its receiver over the nailer.",
            f"reglet_height at least {_least_reglet(p, site) / 25.4:.2f} in here",
            "Raise the receiver or lower the nailer.",
        )
    if _loop(p, site) + inches(0.5) > s.height:
        add(
            ("loop_depth", "flashing_height"),
            "The barrier hangs as deep as the nailer is high.",
            "a loop at least 1/2 in less deep than the nailer is high",
            "Raise the nailer or lessen the loop.",
        )
    return found


def build(p: IndependentWall, site: Site) -> LayeredSection:
    """Build the section of a wall beside a deck that moves independently of it."""
    return _Work(p, site).section()


class _Work:
    """One section in the making, in the order in which it is built."""

    def __init__(self, p: IndependentWall, site: Site) -> None:
        self.p, self.site, self.s = p, site, _sizes(p, site)
        self.plane = Plane(_tilt(p, site))
        thick = self.s.thickness
        self.curb = Curb(site, self.s, self.plane, deck_to=thick, cricket=False)
        self.face = thick + _gap(p, site)
        self.right = self.face + (p.wall_thickness or _WALL_THICKNESS[p.wall])
        self.reglet = self.curb.datum[1] + _reglet(p, site)
        self.curb.prime()
        barrier_on(self.curb)
        self.curb.sheets()
        self.hanging = self._hung()
        self.curb.points |= self.hanging.points

    def _barrier(self, on_curb: Body) -> tuple[Body, float]:
        """Return the barrier whole, and the level of the bottom of its loop."""
        edge = self.curb.points["curb.inner"]
        depth = _loop(self.p, self.site)
        below = _BELOW[_termination(self.p)]
        high = min(edge[1] + BARRIER_LAP, self.reglet - below)
        lower: list[Point] = loop_between(edge, (self.face, edge[1]), depth)
        self.curb.points |= {
            "gap.left": edge,
            "gap.right": (self.face, edge[1]),
            "loop.low": ((edge[0] + self.face) / 2.0, edge[1] - depth),
            "loop.edge": ((edge[0] + self.face) / 2.0, edge[1]),
            "barrier.top": (self.face, high),
        }
        return looped(on_curb, [*lower, (self.face, high)]), edge[1] - depth

    def _hung(self) -> Hanging:
        """Wall, filler and barrier beside the nailer, then the metal that hangs over it."""
        p, site, stack = self.p, self.site, self.curb.stack
        depth = p.reglet_depth or site.rules.value("reglet_depth_least")
        in_reglet = _termination(p) == "reglet"
        beside, over = _clear(p, site)
        hung = Hung(
            self.face,
            self.reglet,
            depth,
            self.curb.top - _lap(p, site),
            beside,
            over,
            stack.get("joint-barrier").thickness,
            in_reglet,
        )
        hanging = Hanging(self.curb, hung, p.metal, [])
        barrier, bottom = self._barrier(stack.get("joint-barrier"))
        bodies = [barrier if b.id == barrier.id else b for b in stack.bodies]
        deck = self.plane.at(self.s.thickness, -self.curb.roof.depth)[1]
        fill = filler(site, self.s.thickness, self.face, deck, bottom)
        wall = self._wall(depth if in_reglet else 0.0)
        joints = touching(barrier, [wall], Bond.CEMENT, "wall")
        bodies += [wall, fill]
        joints += touching(fill, bodies, Bond.DRY, "wall", "curb", "blocking", "deck")
        hanging.others = bodies
        hanging.joints = [*stack.joints, *joints]
        if in_reglet:
            hanging.reglet()
        else:
            hanging.surface()
        return hanging

    def _wall(self, depth: float) -> Body:
        material = self.site.catalog.materials[f"wall-{self.p.wall}"]
        region = box(self.face, self.curb.low, self.right, self.reglet + inches(4))
        if depth:
            slot = box(self.face, self.reglet, self.face + depth, self.reglet + SLOT)
            region = cut(region, [slot])[0]
        return Body("wall", Role.WALL, material.id, region, 0, material.name)

    def section(self) -> LayeredSection:
        """Gather everything into the section."""
        p, s, site, curb = self.p, self.s, self.site, self.curb
        points = {**curb.points, "flashing.top": curb.points["curb.top"]}
        points["wall.top"] = (self.face, self.reglet + inches(4))
        extent = box(s.left, curb.low, self.right, self.reglet + inches(4))
        x0, y0, x1, y1 = extent.bounds
        bodies = sorted(self.hanging.others, key=lambda b: b.stage)
        t = site.thickening
        section = LayeredSection(
            kind="independent-wall",
            variant=_termination(p) + (", foil" if s.foil else ", granules in cement"),
            bodies=clipped(bodies, extent),
            joints=tuple(self.hanging.joints),
            coats=tuple(curb.stack.coats),
            points=points,
            gauges=_gauges(s, site),
            stages=_stages(p, s, site),
            method=site.roof.adhesion,
            slope=self.plane.tilt,
            extent=extent,
            breaks=(
                Line([(x0, y0), (x0, y1)]),
                Line([(self.face, y0), (x1, y0)]),
                Line([(self.face, y1), (x1, y1)]),
            ),
            hollows=(
                *curb.roof.hollows,
                *closed_by(bodies, "joint-barrier", "counterflashing", "termination-bar"),
            ),
            layouts=(elevation(self._run(), site),),
            never_idle=_never_idle(p, s, site),
            side_of_air="left",
            notes=_notes(p),
            roof_slope=site.roof.slope,
            sheet_factor=t.sheet,
            metal_factor=t.metal,
            bed_factor=t.bed,
            stand=Stand.WALL,
            families=frozenset({"wall"}),
            moving=Moving(
                p.moves_across,
                p.moves_across,
                _told(p.moves_across, p.moves_down),
                p.moves_down,
            ),
        )
        return dry_wall(section)

    def _run(self) -> Run:
        s, site = self.s, self.site
        surface = _termination(self.p) == "surface"
        return Run(
            flashing_top=s.height,
            hem=self.hanging.points["cf.hem"][1] - self.curb.datum[1],
            metal_top=_reglet(self.p, site) + (inches(1.25) if surface else 0.0),
            top_fasteners=None if s.foil else spacing_of(self.p, site),
            middle=tuple(
                rows_above_roof(s.height, site.rules.value("intermediate_row_above"))
            ),
            middle_spacing=spacing_of(self.p, site),
            bar_fasteners=self.p.bar_fastener_spacing if surface else None,
            bar_level=_reglet(self.p, site) + inches(0.5),
            upper=None,
            metal_role=Role.COUNTERFLASHING,
            piece_width=site.roof.roll_width,
        )


def _gauges(s: CurbSizes, site: Site) -> tuple[Gauge, ...]:
    """Return the dimensions that the sheet shows, inner ones first."""
    v, h = Axis.VERTICAL, Axis.HORIZONTAL
    high = site.marked(s.height, "flashing_height_least")
    return (
        *turn_up_gauges(s, site),
        Gauge("counterflashing-lap", "cf.hem", "curb.top", v, "", "", 2),
        Gauge("flashing-height", "roof.datum", "curb.top", v, high, "", 3),
        Gauge("reglet-height", "roof.datum", "reglet.mouth", v, "", "", 4),
        Gauge("nailer-thickness", "curb.top", "curb.inner", h, "", "", 1),
        Gauge("gap", "gap.left", "gap.right", h, "", "GAP", 1),
        Gauge("clear", "cf.leg", "flashing.face", h, "", "CLEAR", 2),
    )


def _stages(p: IndependentWall, s: CurbSizes, site: Site) -> tuple[Stage, ...]:
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
        "Prime, fill, bridge",
        "The nailer stands fastened to the deck alone, with nothing from it to the wall. "
        "Prime it from the top of the cant up and over. Press the filler into the gap. "
        "Stick the barrier to nailer and wall, with a loop between them.",
    )
    sheets = usual[6]
    over = Stage(
        sheets.number,
        sheets.name,
        sheets.text + " Carry it over the nailer, never across the gap.",
    )
    held = (
        "Turn up in the reglet, wedge, seal; "
        if _termination(p) == "reglet"
        else "Bar and fasteners through the metal into the wall; sealant along its top; "
    )
    last = Stage(
        8,
        "Counterflashing",
        held + "it hangs from the wall alone and touches neither nailer nor sheet.",
    )
    return (first, *usual[1:6], over, last)


def _told(across: float, down: float) -> str:
    return (
        f"The deck moves {across / 25.4:.2f} in ({across:.0f} mm) to the wall and from it, "
        f"and {down / 25.4:.2f} in ({down:.0f} mm) up and down."
    )


def _notes(p: IndependentWall) -> tuple[str, ...]:
    """Return what the builder decided and the reader must know."""
    return (
        _told(p.moves_across, p.moves_down),
        "Nothing is fastened from the deck, the nailer or a sheet to the wall.",
    )


def _never_idle(p: IndependentWall, s: CurbSizes, site: Site) -> frozenset[str]:
    """Return the checks that must have something to look at in this section."""
    held = "shallow_reglet" if _termination(p) == "reglet" else "sparse_bar_fasteners"
    return never_idle(s, site) | UNDER_METAL | {held}


CONDITION = Condition(
    kind="independent-wall",
    title="Wall to a deck that moves independently",
    about="Free-standing nailer on the deck, a gap to the wall, metal that only laps over",
    parameters=IndependentWall,
    build=build,
    impossible=impossible,
    taken=taken,
    families=frozenset({"wall"}),
)
