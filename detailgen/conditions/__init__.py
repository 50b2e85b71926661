"""Kinds of condition: one kind, one file, which ends in its `CONDITION`.

Every module here whose name does not start with `_` is a kind, `roof_edge` that of
`roof-edge`; there is no list to keep. Modules that start with `_` serve several kinds. A
kind is imported when it is first asked for: most jobs use a few of them.
"""

# `typing.override` comes with Python 3.12.
# pyright: reportImplicitOverride=false

from collections.abc import Iterator, Mapping
from importlib import import_module
from pkgutil import iter_modules
from typing import Final

from detailgen.conditions._condition import Condition, Impossible, Site, Thickening


class _Kinds(Mapping[str, Condition]):
    """What the files of the kinds describe, by kind, in the order of their names."""

    def __init__(self) -> None:
        names = sorted(module.name for module in iter_modules(__path__))
        self._modules = {n.replace("_", "-"): n for n in names if not n.startswith("_")}
        self._known: dict[str, Condition] = {}

    def __getitem__(self, key: str) -> Condition:
        """Return a kind; KeyError where there is none of that name."""
        if key not in self._known:
            module = import_module(f"{__name__}.{self._modules[key]}")
            self._known[key] = module.CONDITION
        return self._known[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._modules)

    def __contains__(self, key: object) -> bool:
        return key in self._modules

    def __len__(self) -> int:
        return len(self._modules)


CONDITIONS: Final[Mapping[str, Condition]] = _Kinds()
"""Every kind of condition by the name that a parameter file uses."""

__all__ = ["CONDITIONS", "Condition", "Impossible", "Site", "Thickening"]
