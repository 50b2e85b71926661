"""Kinds of condition: one kind, one file. A new kind adds its module to `_KINDS`."""

from collections.abc import Mapping
from types import MappingProxyType

from detailgen.conditions import roof_edge, wall
from detailgen.conditions._condition import Condition, Impossible, Site, Thickening

_KINDS = (wall.CONDITION, roof_edge.CONDITION)

CONDITIONS: Mapping[str, Condition] = MappingProxyType({c.kind: c for c in _KINDS})
"""Every kind of condition by the name that a parameter file uses."""

__all__ = ["CONDITIONS", "Condition", "Impossible", "Site", "Thickening"]
