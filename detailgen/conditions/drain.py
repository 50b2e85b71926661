r"""Roof drain in a sump, with a square of metal clamped under its ring.

          |<------------------------ sump / 2 ------------------------->| axis
          |          |<- target ->|<---------- sheet / 2 -------------->|
    finish ply _______________________________________________          :   strainer_height
    target   ........____________________________________ |   ring      :   above the roof
    metal    ......................_______________________|_[###]__     :   next to it
    base ply ______________________________________________________|    :
    boards  \_____  sump_taper                |<-base_cement->|    |    : dressed
    deck          \______________________ blocking | bowl_flange | bowl : base_into_bowl
    _____________________________________|         |_____        |      :
                                                         \_ outlet \    :

The sump is a square whose boards are tapered to the bowl's flange. Widths count from the
axis, level; the rim of the bowl is its flange.
"""

from dataclasses import replace

from detailgen.conditions._both_sides import both_sides
from detailgen.conditions._condition import Condition, Site
from detailgen.conditions._drain_ground import drain_ground
from detailgen.conditions._drain_parameters import (
    DrainParameters,
    impossible,
    sizes,
    strainer_sizes,
    taken,
)
from detailgen.conditions._drain_plan import drain_plan
from detailgen.conditions._drain_plug import plug_of
from detailgen.conditions._drain_section import NEVER_IDLE, drain_gauges, drain_section
from detailgen.conditions._drain_sheets import DrainSheets
from detailgen.conditions._drain_words import stages
from detailgen.conditions._strainer import slot_note
from detailgen.section import LayeredSection


class Drain(DrainParameters, frozen=True):
    """Parameters of a drain: all are those that every drain has."""


def build(p: Drain, site: Site) -> LayeredSection:
    """Build the section of a drain."""
    s = sizes(p, site)
    ground = drain_ground(s, site, s.half + s.target)
    sheets = DrainSheets(s, site, ground)
    sheets.base_ply()
    sheets.metal()
    sheets.target()
    sheets.finish_ply()
    sheets.ring("finish-ply", 6)
    half = drain_section("drain", s, sheets)
    strainer = strainer_sizes(p, s, site)
    lead = s.metal.startswith("lead")
    order = stages(site.roof.adhesion, lead=lead, plug=p.plug, sump=bool(s.taper))
    return replace(
        both_sides(half),
        gauges=drain_gauges(s, site),
        stages=order,
        passing=plug_of(s, site, ground.rim_level, order) if p.plug else (),
        layouts=(drain_plan(s, strainer),),
        notes=(*half.notes, slot_note(strainer)),
        never_idle=NEVER_IDLE,
    )


CONDITION = Condition(
    kind="drain",
    title="Roof drain in a sump",
    about="Roof drain with a square of lead or copper clamped under its ring, in a sump",
    parameters=Drain,
    build=build,
    impossible=impossible,
    taken=taken,
    families=frozenset({"flange"}),
)
