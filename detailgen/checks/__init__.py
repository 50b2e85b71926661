"""Rules checked on the geometry: one rule, one function; its docstring is its public page.

A rule is named for what is wrong and its id is never used again for another. A new rule
is a function in the module of what it looks at, and a line in `_RULES`.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType

from detailgen.catalog import Catalog, RuleSet
from detailgen.checks import (
    clad,
    corners,
    counterflashing,
    curb,
    drain,
    edge_metal,
    elevation,
    flange,
    gauges,
    joint,
    layouts,
    lead,
    neighbours,
    scupper,
    sleeves,
    solids,
    stages,
    substrate,
    support,
    turn_up,
    water,
    water_path,
)
from detailgen.checks._case import Case
from detailgen.checks._rule import Check
from detailgen.finding import Finding
from detailgen.section import LayeredSection

__all__ = ["REGISTRY", "Check", "check", "check_stages", "examine"]

_RULES = (
    # what the membrane lies on
    substrate.shallow_slope,
    substrate.unspanned_flutes,
    substrate.flame_on_wood,
    substrate.combustible_cant,
    substrate.steep_cant,
    substrate.low_cant,
    substrate.nailer_out_of_level,
    # sheets on roof and wall
    substrate.thin_cover_on_roof,
    turn_up.thin_cover_on_cant,
    turn_up.bare_wall,
    substrate.base_ply_stuck_over_cant,
    turn_up.short_strip_in_at_toe,
    turn_up.low_strip_in_on_wall,
    turn_up.high_strip_in_on_wall,
    turn_up.low_flashing,
    turn_up.tall_flashing,
    turn_up.short_flashing_reach,
    turn_up.narrow_prepared_band,
    turn_up.short_upper_lap,
    elevation.short_side_lap,
    elevation.backwater_side_lap,
    elevation.sparse_top_fasteners,
    elevation.missing_intermediate_row,
    gauges.thin_base_ply,
    gauges.thin_granule_sheet,
    # pieces round a corner
    corners.bare_corner,
    corners.short_corner_lap,
    corners.short_corner_patch,
    corners.open_pinhole,
    corners.off_relief_cut,
    corners.panel_off_face,
    corners.unprepared_corner,
    corners.wide_corner_piece,
    # what covers the top of a flashing
    counterflashing.short_counterflashing_lap,
    counterflashing.low_hem,
    counterflashing.shallow_reglet,
    counterflashing.low_reglet,
    counterflashing.surface_mounted_counterflashing,
    elevation.short_counterflashing_end_lap,
    elevation.sparse_bar_fasteners,
    counterflashing.short_coping_face,
    counterflashing.tall_parapet,
    # curbs, joints and supports
    curb.low_curb,
    curb.low_curb_over_cricket,
    curb.low_joint_curb,
    curb.tall_joint_curb,
    joint.tight_joint,
    joint.tight_barrier,
    joint.loose_joint_cover,
    joint.touched_counterflashing,
    support.low_unit,
    support.unit_on_sleepers,
    # the flange of edge metal
    flange.bare_flange_underside,
    flange.thin_flange_cover,
    flange.short_flange_strip_in,
    flange.flange_below_finish_ply,
    flange.narrow_flange,
    flange.wide_flange,
    flange.flange_off_nailer,
    flange.nothing_to_bite,
    edge_metal.short_nail_bite,
    layouts.sparse_nails,
    layouts.single_nail_row,
    layouts.unstaggered_nails,
    edge_metal.wrong_finish_gap,
    edge_metal.finish_ply_off_leg,
    # the edge itself
    substrate.base_ply_stuck_over_edge,
    edge_metal.short_base_ply_drop,
    edge_metal.base_ply_short_of_wood,
    edge_metal.bare_drop,
    edge_metal.steep_kick,
    edge_metal.shallow_cleat_hook,
    layouts.sparse_cleat_nails,
    layouts.tight_joint_gap,
    layouts.narrow_backing_plate,
    # what goes up through the roof
    sleeves.narrow_flange_in_plan,
    sleeves.short_target_in_plan,
    sleeves.short_finish_lap,
    sleeves.backwater_finish_lap,
    sleeves.missing_foot_bead,
    sleeves.low_stack,
    sleeves.short_turn_in,
    sleeves.low_sleeve,
    sleeves.short_collar_lap,
    sleeves.tight_hot_stack,
    sleeves.low_pan,
    sleeves.shallow_grout,
    sleeves.flat_sealant,
    lead.lead_sleeve,
    lead.flame_on_lead,
    # drains
    drain.small_drain_sheet,
    drain.short_drain_target,
    drain.dry_base_ply,
    drain.dry_target,
    drain.loose_under_ring,
    drain.narrow_sump,
    drain.target_on_sump_edge,
    drain.low_strainer,
    drain.closed_strainer,
    clad.short_clad_sheet,
    clad.narrow_clad_border,
    clad.short_clad_seam,
    # scuppers
    scupper.low_scupper,
    scupper.small_scupper,
    scupper.wrong_overflow_rise,
    scupper.narrow_scupper_flange,
    scupper.bare_wall_flange,
    scupper.short_spout,
    scupper.high_sill,
    # metal, cement and sealant anywhere
    gauges.thin_metal,
    gauges.light_cleat,
    flange.thin_bed,
    flange.thick_bed,
    water.missing_bead,
    water.backwater_lap,
    water_path.weak_water_path_low,
    water_path.weak_water_path_high,
    # what stands near
    neighbours.crowded_neighbours,
    neighbours.meeting_sheets,
    # while work waits
    stages.leaky_hold_point,
    # the section as a whole
    solids.solids_overlap,
    solids.closed_pocket,
)

REGISTRY: Mapping[str, Check] = MappingProxyType({c.id: c for c in _RULES})
"""Every rule by its id, in the order in which a sheet lists them."""


def check(section: LayeredSection, rules: RuleSet, catalog: Catalog) -> tuple[Finding, ...]:
    """Return what every rule finds on a section, in the order of the registry.

    Never raises for what a section is like: a rule that has nothing to measure says so,
    and fails where the section's kind does not allow that (`section.never_idle`).
    """
    case = Case(section, rules, catalog)
    return tuple(rule.find(case) for rule in _RULES)


def check_stages(
    section: LayeredSection, rules: RuleSet, catalog: Catalog
) -> Mapping[int, tuple[Finding, ...]]:
    """Return what the rules find at each stage of building, by the stage's number.

    Each rule is asked from the stage on at which all that it looks at stands (`Check.due`),
    at every later stage again; a rule on what weather does, only where work rests. Findings
    carry the stage's number.
    """
    last = max((s.number for s in section.stages), default=0)
    due = [(rule, rule.due(section)) for rule in _RULES]
    found: dict[int, tuple[Finding, ...]] = {}
    for stage in section.stages:
        case = Case(section.at_stage(stage.number), rules, catalog)
        rests = stage.hold or stage.number == last
        asked = (
            rule.find(case)
            for rule, first in due
            if first <= stage.number and (rests or not rule.at_rest)
        )
        found[stage.number] = tuple(replace(f, stage=stage.number) for f in asked)
    return MappingProxyType(found)


def due(section: LayeredSection) -> Mapping[str, int]:
    """Return the stage of a section from which on each rule is asked, by the rule's id.

    0 for what no stage in particular brings about.
    """
    return MappingProxyType({rule.id: rule.due(section) for rule in _RULES})


def examine(
    section: LayeredSection, rules: RuleSet, catalog: Catalog
) -> Callable[[str], Finding]:
    """Return what finds one rule at a time on a section, by the rule's id.

    What several rules look at is measured once, when the first of them asks.
    """
    case = Case(section, rules, catalog)
    return lambda rule_id: REGISTRY[rule_id].find(case)
