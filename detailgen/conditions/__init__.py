"""Kinds of condition: one kind, one file. A new kind adds its module to `_KINDS`."""

from collections.abc import Mapping
from types import MappingProxyType

from detailgen.conditions import (
    curb,
    deep_drain,
    drain,
    equipment_sleeper,
    equipment_support,
    expansion_joint,
    independent_wall,
    inside_corner,
    outside_corner,
    penetration_pocket,
    roof_edge,
    scupper,
    stack,
    vent_sleeve,
    wall,
)
from detailgen.conditions._condition import Condition, Impossible, Site, Thickening

_KINDS = (
    wall.CONDITION,
    inside_corner.CONDITION,
    outside_corner.CONDITION,
    roof_edge.CONDITION,
    curb.CONDITION,
    expansion_joint.CONDITION,
    independent_wall.CONDITION,
    stack.CONDITION,
    drain.CONDITION,
    vent_sleeve.CONDITION,
    penetration_pocket.CONDITION,
    deep_drain.CONDITION,
    equipment_support.CONDITION,
    scupper.CONDITION,
    equipment_sleeper.CONDITION,
)

CONDITIONS: Mapping[str, Condition] = MappingProxyType({c.kind: c for c in _KINDS})
"""Every kind of condition by the name that a parameter file uses."""

__all__ = ["CONDITIONS", "Condition", "Impossible", "Site", "Thickening"]
