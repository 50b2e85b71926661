"""Nailers: stacks of nominal lumber and plywood shims that come up to a given height."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations_with_replacement
from math import fsum
from typing import Final

from detailgen.catalog import Catalog, Material

PER_MM: Final = 1_000_000
"""Heights are compared in whole nanometres: 1/32 in is 793 750 of them, exactly."""
MOST_SHIMS: Final = 2
"""Carpenters level a stack with a shim or two; more would be a stack of plywood."""
TALLEST: Final = 1000.0
"""A stack taller than this, mm, is a wall: it is stacked no higher."""


@dataclass(frozen=True, slots=True)
class Layer:
    """One piece of a stack."""

    material: str
    """Id of the material."""
    thickness: float
    """mm."""
    is_shim: bool


@dataclass(frozen=True, slots=True)
class LumberStack:
    """The pieces of a nailer from the bottom up, and how far off the height they end."""

    layers: tuple[Layer, ...]
    residual: float
    """Height of the stack less the height asked, mm: positive when it stands too high."""

    @property
    def height(self) -> float:
        """Height of the stack, mm."""
        return fsum(layer.thickness for layer in self.layers)


@dataclass(frozen=True, slots=True)
class Width:
    """A nominal size of lumber and its actual width."""

    nominal: str
    """`2x6`."""
    actual: float
    """mm."""


def stack_to(
    height: float, catalog: Catalog, *, most_shims: int = MOST_SHIMS
) -> LumberStack:
    """Return the stack whose height is nearest to the one asked.

    Of stacks that come equally near, the one with the fewest pieces is taken; then the one
    with the fewest shims; then the lower one, as a high edge holds water back; then the one
    with the thickest pieces. Lumber lies below, thickest first, and shims on top.

    Args:
        height: Height to reach, mm; 0 and less give an empty stack.
        catalog: Where lumber and plywood come from.
        most_shims: How many shims a stack may have.
    """
    wood, panels = catalog.of_family("wood"), catalog.of_family("panel")
    wanted = round(min(max(height, 0.0), TALLEST) * PER_MM)
    lumber = _thicknesses(wood)
    shims = _thicknesses(panels)
    below, above = _nearest(wanted, lumber, shims, most_shims)
    names = {thickness: m for m in reversed(wood) for thickness in _thicknesses([m])}
    shim_names = {thickness: m for m in reversed(panels) for thickness in _thicknesses([m])}
    layers = (
        *(Layer(names[t].id, names[t].thickness, is_shim=False) for t in below),
        *(Layer(shim_names[t].id, shim_names[t].thickness, is_shim=True) for t in above),
    )
    residual = fsum(layer.thickness for layer in layers) - max(height, 0.0)
    return LumberStack(layers, round(residual, 6))


def width_for(least: float, catalog: Catalog) -> Width:
    """Return the narrowest 2x lumber that is at least so wide, mm.

    The widest there is when none is wide enough: the checks on the nailer then say so.
    """
    lumber = catalog.material("lumber-2x")
    sizes = [Width(nominal, actual) for nominal, actual in lumber.widths]
    enough = [s for s in sizes if round(s.actual * PER_MM) >= round(least * PER_MM)]
    return enough[0] if enough else sizes[-1]


def _thicknesses(materials: Sequence[Material]) -> tuple[int, ...]:
    """Return the different thicknesses, in nanometres, thickest first."""
    found = {round(m.thickness * PER_MM) for m in materials}
    return tuple(sorted(found - {0}, reverse=True))


@lru_cache(maxsize=256)
def _nearest(
    wanted: int, lumber: tuple[int, ...], shims: tuple[int, ...], most_shims: int
) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Return lumber and shims of the best stack, thickest first."""

    def badness(stack: tuple[tuple[int, ...], tuple[int, ...]]) -> tuple[object, ...]:
        below, above = stack
        total = sum(below) + sum(above)
        pieces = len(below) + len(above)
        thick_first = tuple(-t for t in (*below, *above))
        return (abs(total - wanted), pieces, len(above), total, thick_first)

    return min(
        (
            (below, above)
            for count in range(most_shims + 1)
            for above in combinations_with_replacement(shims, count)
            for below in _about(wanted - sum(above), lumber)
        ),
        key=badness,
    )


def _about(wanted: int, lumber: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
    """Yield the stacks of lumber that may come nearest to a height.

    Every count of the thicker pieces is tried; of the thinnest, only the two counts just
    below and just above, as any other ends further off.
    """
    if not lumber:
        yield ()
        return
    thick, *rest = lumber
    fits = max(wanted, 0) // thick
    for count in range(fits if not rest else 0, fits + 2):
        for more in _about(wanted - count * thick, tuple(rest)):
            yield (thick,) * count + more
