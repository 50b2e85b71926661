r"""Drain in a sump that is lined with metal-clad sheet instead of the finish ply.

             |<- finish_lap ->|
    finish __________________.        strainer_height above the roof next to the drain
    ply    |  clad_border    |________________________________________   :
    clad   ........__________________________________________________ |  :
    target ................____________________________________ ring  |  :
    metal  ........................_______________________|_[###]__   |  : axis
    base ply _________________________________________________________|  :
          |        |<- clad_past ->|<- target ->|<---- sheet / 2 ---------->|

The rest is as in a drain: see there for bowl, sump and cement. The clad sheet's own face is
primed along its outer edge, and the finish ply is lapped on that border.
"""

from dataclasses import replace
from typing import Literal

from detailgen.conditions import _drain_parameters as shared
from detailgen.conditions._both_sides import both_sides
from detailgen.conditions._clad_sheet import CladSizes, clad_parts, seam_note, with_clad
from detailgen.conditions._condition import Condition, Impossible, Site
from detailgen.conditions._drain_ground import drain_ground
from detailgen.conditions._drain_parameters import DrainParameters, DrainSizes
from detailgen.conditions._drain_plan import drain_plan
from detailgen.conditions._drain_plug import plug_of
from detailgen.conditions._drain_section import NEVER_IDLE, drain_gauges, drain_section
from detailgen.conditions._drain_sheets import DrainSheets
from detailgen.conditions._drain_words import clad_stages
from detailgen.conditions._strainer import slot_note
from detailgen.parameters import Length, choice, length
from detailgen.section import Axis, Gauge, LayeredSection, Method


class DeepDrain(DrainParameters, frozen=True):
    """Parameters of a drain in a clad sump, besides those that every drain has."""

    clad: Literal["aluminium", "stainless"] = choice(
        "Face of the metal-clad sheet.", default="aluminium"
    )
    clad_bond: Literal["torched", "in-cement"] | None = choice(
        "How the clad sheet is stuck: torched, or aluminium in solvent-free flashing "
        "cement. Without it: torched where the job torches, and where the face is of "
        "stainless steel.",
        default=None,
    )
    clad_past: Length | None = length(
        "How far the clad sheet runs past the target.",
        default=None,
        least="1 in",
        most="12 in",
        by_rule="clad_past_target_least",
    )
    clad_border: Length | None = length(
        "Outermost part of the clad sheet's own face that is primed.",
        default=None,
        least="1 in",
        most="8 in",
        by_rule="clad_border_least",
    )
    finish_lap: Length | None = length(
        "How far the finish ply laps the clad sheet. Without it: the primed border.",
        default=None,
        least="1 in",
        most="8 in",
    )


def _clad(p: DeepDrain, site: Site) -> CladSizes:
    past, border = p.clad_past, p.clad_border
    if border is None:
        border = site.rules.value("clad_border_least")
    return CladSizes(
        material=f"clad-{p.clad}",
        past=site.ruled(past, "clad_past_target_least"),
        border=border,
        lap=border if p.finish_lap is None else p.finish_lap,
        cement=_bond(p, site) == "in-cement",
        roll=site.roof.roll_width,
        side_lap=site.rules.value("side_lap_least"),
    )


def _bond(p: DeepDrain, site: Site) -> str:
    if p.clad_bond:
        return p.clad_bond
    torched = site.roof.adhesion is Method.TORCH or p.clad == "stainless"
    return "torched" if torched else "in-cement"


def taken(p: DeepDrain, site: Site) -> dict[str, float | str]:
    """Return what is taken for each parameter whose default comes from elsewhere."""
    c = _clad(p, site)
    return shared.taken(p, site) | {
        "clad_bond": _bond(p, site),
        "clad_past": c.past,
        "clad_border": c.border,
        "finish_lap": c.lap,
    }


def impossible(p: DeepDrain, site: Site) -> list[Impossible]:
    """Return what cannot be built with these parameters."""
    found = shared.impossible(p, site)
    if p.clad == "stainless" and p.clad_bond == "in-cement":
        found.append(
            Impossible(
                ("clad_bond", "clad"),
                "A sheet with a face of stainless steel is not set in cement.",
                "torched; or in cement with a face of aluminium",
                "Torch it, or take aluminium.",
            )
        )
    return found


def build(p: DeepDrain, site: Site) -> LayeredSection:
    """Build the section of a drain in a clad sump."""
    s, c = shared.sizes(p, site), _clad(p, site)
    outer = s.half + s.target + c.past
    sheets = DrainSheets(s, site, drain_ground(s, site, outer), c.material)
    sheets.base_ply()
    sheets.metal()
    sheets.target()
    sheets.clad_sheet(c)
    sheets.finish_on_clad(c)
    sheets.ring("clad-sheet", 7)
    half = drain_section("deep-drain", s, sheets)
    strainer = shared.strainer_sizes(p, s, site)
    notes = [*half.notes, *_notes(s, c, site), slot_note(strainer)]
    plan = drain_plan(s, strainer, clad_parts(s, c))
    order = clad_stages(
        site.roof.adhesion,
        lead=s.metal.startswith("lead"),
        plug=p.plug,
        sump=bool(s.taper),
        cement=c.cement,
    )
    level = sheets.ground.rim_level
    return replace(
        both_sides(half),
        variant=f"{p.clad}, {_bond(p, site)}, {half.variant}",
        gauges=(*drain_gauges(s, site), *_gauges(c, site)),
        stages=order,
        passing=plug_of(s, site, level, order) if p.plug else (),
        layouts=(with_clad(plan, s, c),),
        never_idle=NEVER_IDLE,
        notes=tuple(notes),
    )


def _notes(s: DrainSizes, c: CladSizes, site: Site) -> list[str]:
    notes = [note] if (note := seam_note(s, c)) else []
    if not c.cement and site.roof.adhesion is not Method.TORCH:
        notes.append(
            f"The clad sheet is torched, though the job's sheets are set "
            f"{'in hot asphalt' if site.roof.adhesion is Method.HOT_ASPHALT else 'cold'}: "
            "the target shields the metal under it."
        )
    if c.lap > c.border + 0.01:
        notes.append("The finish ply laps further than the clad sheet's face is primed.")
    return notes


def _gauges(c: CladSizes, site: Site) -> tuple[Gauge, ...]:
    return (
        Gauge(
            "clad-past",
            "clad.outer",
            "strip.outer",
            Axis.HORIZONTAL,
            site.marked(c.past, "clad_past_target_least"),
        ),
        Gauge(
            "finish-lap",
            "finish.end-right",
            "clad.outer-right",
            Axis.HORIZONTAL,
            site.marked(c.lap, "clad_border_least"),
            "LAP ON PRIMED CLAD" if c.lap <= c.border + 0.01 else "LAP",
        ),
    )


CONDITION = Condition(
    kind="deep-drain",
    title="Roof drain in a clad sump",
    about="Roof drain whose whole sump is lined with metal-clad sheet",
    parameters=DeepDrain,
    build=build,
    impossible=impossible,
    taken=taken,
    families=frozenset({"flange"}),
)
