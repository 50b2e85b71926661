"""Takeoff: how much material one metre of a condition takes, measured on its section.

Every quantity says how it was computed and where its rate comes from. The roof field (deck,
insulation, cover board, and the sheets left of where the condition starts) is not counted:
it is measured by its plan area. See `_measured.measured` for where a condition starts.
"""

from detailgen.catalog import Catalog, RuleSet
from detailgen.quantity import Quantity
from detailgen.section import LayeredSection
from detailgen.takeoff._measured import measured
from detailgen.takeoff.fasteners import fasteners
from detailgen.takeoff.liquids import cement, primer, sealant, spread
from detailgen.takeoff.metals import metals
from detailgen.takeoff.sheets import sheets
from detailgen.takeoff.solids import runs, wood

COUNTERS = (sheets, runs, wood, metals, primer, cement, spread, sealant, fasteners)
"""What is counted, in the order in which a sheet lists it."""

__all__ = ["COUNTERS", "take_off"]


def take_off(
    section: LayeredSection, catalog: Catalog, rules: RuleSet
) -> tuple[Quantity, ...]:
    """Return the quantities of one metre of a condition."""
    job = measured(section, catalog, rules)
    return tuple(quantity for counter in COUNTERS for quantity in counter(job))
