"""What every kind of condition offers, and what it is built from."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from detailgen.catalog import Catalog, RuleSet
from detailgen.mistakes import NO_MISTAKES, Mistakes
from detailgen.parameters import Placed, Roof
from detailgen.section import TRUE_SIZE, LayeredSection, Thickening


@dataclass(frozen=True, slots=True)
class Site:
    """All that a condition is built from besides its own parameters."""

    roof: Roof
    catalog: Catalog
    rules: RuleSet
    thickening: Thickening = TRUE_SIZE
    mistakes: Mistakes = NO_MISTAKES

    def ruled(self, given: float | None, row: str) -> float:
        """Return what a parameter says; where it says nothing, what a rule's row asks."""
        return self.rules.value(row) if given is None else given

    def marked(self, actual: float, row: str, word: str = "MIN.") -> str:
        """Return what follows a dimension: the word, where it is just what a row asks."""
        return word if abs(actual - self.rules.value(row)) < 0.01 else ""


@dataclass(frozen=True, slots=True)
class Impossible:
    """Parameters that cannot stand together, so that nothing can be drawn."""

    keys: tuple[str, ...]
    """The condition's own parameters concerned, the one to change first."""
    message: str
    allowed: str
    mend: str
    at: tuple[str | int, ...] = ()
    """Keys and numbers that lead to the value, where a key alone does not."""


def nothing_taken(_: object, __: Site) -> Mapping[str, float | str]:
    """Return no values: of a kind all of whose parameters have defaults of their own."""
    return {}


@dataclass(frozen=True, slots=True)
class Condition:
    """One kind of condition: its name, its parameters and how to build it."""

    kind: str
    """What a parameter file calls it."""
    title: str
    """Default title of its sheet."""
    about: str
    """One line for lists."""
    parameters: type[Placed]
    build: Callable[[Any, Site], LayeredSection]
    """Build the section from valid parameters; never raises for valid ones."""
    impossible: Callable[[Any, Site], list[Impossible]]
    """Return what cannot be built; empty when the parameters are valid together."""
    taken: Callable[[Any, Site], Mapping[str, float | str]] = nothing_taken
    """Return what is taken for each parameter whose default comes from elsewhere."""
    families: frozenset[str] = frozenset()
    """Whose rules its sections can call up besides its own: `wall`, `flange`."""
    example: str = ""
    """Tables that a starter file shows below the keys, for a kind that needs them."""
