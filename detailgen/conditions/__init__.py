"""Kinds of condition: one kind, one file, which ends in its `CONDITION`.

Every module here whose name does not start with `_` is a kind; there is no list to keep.
Modules that start with `_` serve several kinds.
"""

from collections.abc import Iterator, Mapping
from importlib import import_module
from pkgutil import iter_modules
from types import MappingProxyType

from detailgen.conditions._condition import Condition, Impossible, Site, Thickening


def _kinds() -> Iterator[Condition]:
    """Yield what each file of a kind describes, in the order of their names."""
    names = sorted(module.name for module in iter_modules(__path__))
    for name in names:
        if not name.startswith("_"):
            condition: Condition = import_module(f"{__name__}.{name}").CONDITION
            yield condition


CONDITIONS: Mapping[str, Condition] = MappingProxyType({c.kind: c for c in _kinds()})
"""Every kind of condition by the name that a parameter file uses."""

__all__ = ["CONDITIONS", "Condition", "Impossible", "Site", "Thickening"]
