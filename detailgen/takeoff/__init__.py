"""Takeoff: how much material a condition takes, measured on its section and its plan.

A condition that is the same all along is counted for one metre, one that stands by itself
for one piece. Every quantity says how it was computed and where its rate comes from. The
roof field (deck, insulation, cover board, and the sheets beyond where the condition starts)
is not counted: it is measured by its plan area. See `_along` and `_plan.Plan.footprint` for
where a condition starts.
"""

from detailgen.catalog import Catalog, RuleSet
from detailgen.quantity import Quantity
from detailgen.section import LayeredSection
from detailgen.takeoff._flat import flat_pieces
from detailgen.takeoff._measured import measured
from detailgen.takeoff.fasteners import fasteners
from detailgen.takeoff.hardware import hardware, others
from detailgen.takeoff.liquids import cement, fills, primer, sealant, spread
from detailgen.takeoff.metals import metals
from detailgen.takeoff.sheets import sheets
from detailgen.takeoff.solids import boards, runs, wood

COUNTERS = (
    sheets,
    runs,
    wood,
    boards,
    metals,
    hardware,
    primer,
    cement,
    spread,
    sealant,
    fills,
    fasteners,
    others,
)
"""What is counted, in the order in which a sheet lists it."""

__all__ = ["COUNTERS", "flat_pieces", "take_off"]


def take_off(
    section: LayeredSection, catalog: Catalog, rules: RuleSet
) -> tuple[Quantity, ...]:
    """Return the quantities of one metre or of one piece of a condition."""
    job = measured(section, catalog, rules)
    return tuple(quantity for counter in COUNTERS for quantity in counter(job))
