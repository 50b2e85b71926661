"""Roofing details from a parameter file: built, checked, counted, dimensioned, written.

Nouns are files, steps are folders, and one file (`pipeline.py`) knows the order::

    parameter file
        | loader        every mistake told at once, with its line
        v
    conditions --------> LayeredSection     true polygons, joints, points; millimetres
                            |        |
                            |        +----> checks  ----> findings    |
                            |        +----> takeoff ----> quantities  |
                            v                                         v
                          sheet <--------------------------------------
                            |
                            v
                          Scene             a handful of primitives on one sheet of paper
                            | writers
                            v
                          bytes: DXF, SVG, PDF ----> book    the bound set

Each step sees the nouns and the ground below it (`catalog`, `geometry`, `units`,
`errors`) and no other step. Public names are imported when they are first asked for, so
that `import detailgen` costs nothing.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from detailgen.catalog import Catalog as Catalog
    from detailgen.catalog import Material as Material
    from detailgen.catalog import Rule as Rule
    from detailgen.catalog import RuleSet as RuleSet
    from detailgen.conditions import CONDITIONS as CONDITIONS
    from detailgen.conditions import Condition as Condition
    from detailgen.errors import Problem as Problem
    from detailgen.errors import UserError as UserError
    from detailgen.finding import Finding as Finding
    from detailgen.quantity import Quantity as Quantity
    from detailgen.scene import Scene as Scene
    from detailgen.section import LayeredSection as LayeredSection
    from detailgen.takeoff import take_off as take_off

_HOMES = {
    "CONDITIONS": "conditions",
    "Catalog": "catalog",
    "Condition": "conditions",
    "Finding": "finding",
    "LayeredSection": "section",
    "Material": "catalog",
    "Problem": "errors",
    "Quantity": "quantity",
    "Rule": "catalog",
    "RuleSet": "catalog",
    "Scene": "scene",
    "UserError": "errors",
    "take_off": "takeoff",
}


def __getattr__(name: str) -> object:
    """Import a public name from its home when it is first asked for."""
    home = _HOMES.get(name)
    if home is None:
        msg = f"module {__name__!r} has no attribute {name!r}"
        raise AttributeError(msg)
    return getattr(import_module(f"{__name__}.{home}"), name)


def __dir__() -> list[str]:
    """Return the public names."""
    return sorted(_HOMES)
