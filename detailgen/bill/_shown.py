"""Units that a bill is shown in: those of the job."""

from dataclasses import dataclass
from typing import Final

from detailgen.bill._nouns import Counted
from detailgen.quantity import Measure, Per
from detailgen.units import UnitSystem, show_run

UNITS: Final = {
    Measure.LENGTH: "m",
    Measure.AREA: "m2",
    Measure.VOLUME: "L",
    Measure.TIMBER: "m3",
    Measure.MASS: "kg",
    Measure.COUNT: "each",
}
_FOOT: Final = 0.3048
_POUND: Final = 0.45359237
_CUSTOMARY: Final = {
    Measure.LENGTH: ("ft", 1.0 / _FOOT),
    Measure.AREA: ("sq ft", 1.0 / _FOOT**2),
    Measure.VOLUME: ("gal", 1.0 / 3.785411784),
    Measure.TIMBER: ("cu ft", 1.0 / _FOOT**3),
    Measure.MASS: ("lb", 1.0 / _POUND),
    Measure.COUNT: ("each", 1.0),
}


@dataclass(frozen=True, slots=True)
class Shown:
    """The units of a job."""

    system: UnitSystem

    def unit(self, measure: Measure) -> str:
        """Return the unit that a measure is shown in."""
        if self.system is UnitSystem.MILLIMETRES:
            return UNITS[measure]
        return _CUSTOMARY[measure][0]

    def factor(self, measure: Measure) -> float:
        """Return what multiplies an amount in SI."""
        if self.system is UnitSystem.MILLIMETRES:
            return 1.0
        return _CUSTOMARY[measure][1]

    def run(self, per: Per) -> str:
        """Return for how much of a condition an amount is: `ft`, `m` or `piece`."""
        return "piece" if per is Per.PIECE else self.unit(Measure.LENGTH)

    def per_run(self, per: Per) -> float:
        """Return what multiplies metres, or pieces."""
        return 1.0 if per is Per.PIECE else self.factor(Measure.LENGTH)

    @property
    def weight(self) -> tuple[str, float]:
        """Return the unit of weights, and how many a kilogram has."""
        return self.unit(Measure.MASS), self.factor(Measure.MASS)


def how_much(one: Counted, shown: Shown) -> str:
    """Return how much there is of a condition, in words; nothing where nobody says."""
    if not one.lines:
        return ""
    places, told = one.places or 1, list[str]()
    if one.has(Per.METRE):
        told.append(show_run(one.length or 0.0, shown.system))
        told += [f"{places} places"] if places > 1 and not one.has(Per.PIECE) else []
    if one.has(Per.PIECE):
        told.append(f"{places} {'piece' if places == 1 else 'pieces'}")
    return " in ".join(told)
