"""What a bill is made of: lines, counted conditions, totals and prices."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import ceil, fsum
from typing import Final

from detailgen.quantity import Measure, Per

ROUNDING: Final = 1e-9
"""A need over a whole number of packs by no more than this is arithmetic noise."""


def whole(amount: float) -> int:
    """Return the least whole number that is not less than an amount."""
    return max(ceil(amount - ROUNDING), 0)


@dataclass(frozen=True, slots=True)
class Line:
    """One quantity of one condition, for the whole of it."""

    id: str
    label: str
    item: str
    """What is bought: id of the material, and the size or the piece where it matters."""
    material: str
    measure: Measure
    per: Per
    rate: float
    """How much one metre or one piece takes."""
    times: float
    """Metres, or pieces."""
    laps: float
    """What laps multiply the net amount by."""
    ends: int
    """Ends of runs."""
    at_end: float
    """What each of them adds."""
    offcuts: float
    """What the rest of the stock, beside and behind what is cut, multiplies it by."""
    waste: float
    """Share that is added."""
    strips: int
    """How many strips of stock length lie side by side; 0 where that does not matter."""
    stock: float
    """Metres that one piece of stock length covers."""
    bought: bool
    """Else it tells another line again, in another measure."""
    formula: str
    source: str
    told: str
    """How gross comes from net, in words."""
    bodies: tuple[str, ...] = ()
    """Ids of the bodies of the section that it counts."""

    @property
    def net(self) -> float:
        """Return what is built in."""
        return self.rate * self.times

    @property
    def gross(self) -> float:
        """Return what is needed to build it."""
        laid = self.net * self.laps + self.ends * self.at_end
        return laid * self.offcuts * (1.0 + self.waste)

    @property
    def pieces(self) -> int:
        """Return how many pieces of stock length it takes, joints whole."""
        return whole(self.times / self.stock) * self.strips if self.stock else 0


@dataclass(frozen=True, slots=True)
class Counted:
    """One condition with all that it takes, as far as the job says how much there is."""

    id: str
    title: str
    kind: str
    length: float | None
    """mm."""
    places: int | None
    lines: tuple[Line, ...]
    others: tuple[str, ...]
    """What stands there already, or is set by others."""
    missing: str
    """What is not counted, and what the job must say for that; or nothing."""
    materials: tuple[str, ...] = ()
    """Ids of the materials that are bought for it, whether they can be counted or not."""

    def has(self, per: Per) -> bool:
        """Return whether anything of it is counted by the metre, or by the piece."""
        return any(line.per is per for line in self.lines)


@dataclass(frozen=True, slots=True)
class Price:
    """What a price list says of one item."""

    item: str
    price: float | None = None
    per: str = ""
    """Pack or unit that it is for; empty for a pack."""
    hours: float | None = None
    """Labour for one of the same."""
    waste: float | None = None
    holds: float | None = None
    """How much a pack holds, in the units of the takeoff; None for the catalogue's."""


@dataclass(frozen=True, slots=True)
class Prices:
    """A price list."""

    rows: Mapping[str, Price] = field(default_factory=dict[str, Price])
    currency: str = ""
    rate: float | None = None
    """Cost of an hour of labour."""
    file: str = ""

    def of(self, item: str, material: str) -> Price | None:
        """Return what is said of an item, or of its material."""
        return self.rows.get(item) or self.rows.get(material)


NO_PRICES: Final = Prices()


@dataclass(frozen=True, slots=True)
class Total:
    """All that a job takes of one item."""

    item: str
    name: str
    standard: str
    measure: Measure
    net: float
    gross: float
    pack: str
    """What one pack is called."""
    holds: float
    """How much one holds."""
    mass: float
    """kg for each unit of the measure; 0 where it is not known."""
    board_feet: float
    """Board feet for each metre; 0 for what is not lumber."""
    source: str
    """Of the size of a pack and of the waste."""
    waste: float = 0.0
    price: Price | None = None
    by_unit: float = 0.0
    """Units of the price in one of the measure; 0 for what is priced by packs."""

    @property
    def packs(self) -> int:
        """Return how many packs are bought."""
        return whole(self.gross / self.holds)

    @property
    def priced(self) -> float:
        """Return how many of what the price is for."""
        return self.gross * self.by_unit if self.by_unit else float(self.packs)

    @property
    def cost(self) -> float | None:
        """Return what it costs; None where nobody gave a price."""
        if self.price is None or self.price.price is None:
            return None
        return self.priced * self.price.price

    @property
    def hours(self) -> float | None:
        """Return the hours of labour; None where nobody gave any."""
        if self.price is None or self.price.hours is None:
            return None
        return self.priced * self.price.hours


@dataclass(frozen=True, slots=True)
class Bill:
    """What a whole job takes."""

    project: str
    number: str
    revision: str
    date: str
    file: str
    conditions: tuple[Counted, ...]
    totals: tuple[Total, ...]
    prices: Prices
    unused: tuple[str, ...]
    """Items of the price list that the job does not take."""

    @property
    def lines(self) -> list[tuple[Counted, Line]]:
        """Return every line with its condition."""
        return [(one, line) for one in self.conditions for line in one.lines]

    @property
    def uncounted(self) -> tuple[Counted, ...]:
        """Return the conditions of which the job does not say how much there is."""
        return tuple(one for one in self.conditions if one.missing)

    @property
    def cost(self) -> float:
        """Return what the priced materials cost."""
        return fsum(t.cost for t in self.totals if t.cost is not None)

    @property
    def hours(self) -> float:
        """Return the hours of labour that the price list gives."""
        return fsum(t.hours for t in self.totals if t.hours is not None)

    @property
    def unpriced(self) -> tuple[str, ...]:
        """Return the items that the price list gives no price for."""
        return tuple(t.item for t in self.totals if t.cost is None)
