"""From quantities to lines and totals."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from math import fsum
from typing import Final

from detailgen.bill._nouns import NO_PRICES, Bill, Counted, Line, Price, Prices, Total
from detailgen.bill._shown import UNITS, Shown
from detailgen.bill._stock import Stock, stock_of
from detailgen.catalog import Catalog
from detailgen.quantity import Measure, Per, Quantity

_ENDS: Final = 2
"""A run has two ends, and laps over a neighbour, a corner or an upstand at each."""
_KEYS: Final = {Per.METRE: "length", Per.PIECE: "count"}
PLATES: Final = "-plates"
"""What the plates of a metal are called after."""
_PARTS: Final = {Per.METRE: "straight run", Per.PIECE: "pieces of corners"}


@dataclass(frozen=True, slots=True)
class Given:
    """One condition as a job gives it, with the quantities of its section."""

    id: str
    title: str
    kind: str
    length: float | None
    """mm, all places together."""
    places: int | None
    quantities: tuple[Quantity, ...]
    """For a metre, or for a piece, as each of them says."""

    def times(self, per: Per) -> float:
        """Return how many metres or pieces there are; 0 where the job does not say."""
        if per is Per.PIECE:
            return float(self.places or 0)
        return (self.length or 0.0) / 1000.0

    def ends(self, per: Per) -> int:
        """Return how many ends its runs have."""
        return 0 if per is Per.PIECE else _ENDS * (self.places or 1)

    @property
    def missing(self) -> str:
        """Return what cannot be counted, and what the job must say for that."""
        pers = {q.per for q in self.quantities if q.supplied}
        lost = [per for per in Per if per in pers and not self.times(per)]
        if not lost:
            return ""
        keys = " and no ".join(_KEYS[per] for per in lost)
        what = "" if len(lost) == len(pers) else f"{_PARTS[lost[0]]} "
        return f"{what}not counted: the job gives no {keys}"


def count(
    bill: Bill, given: Sequence[Given], catalog: Catalog, shown: Shown, prices: Prices
) -> Bill:
    """Return a bill with all that the conditions take.

    Args:
        bill: What it says of the job.
        given: The conditions.
        catalog: Which says how things are bought.
        shown: Units of the job, in which a price list tells its packs.
        prices: What a user gives; nothing is priced without.
    """
    stocks: dict[str, Stock] = {}
    counted = tuple(_counted(one, catalog, prices, stocks) for one in given)
    lines = [line for one in counted for line in one.lines if line.bought]
    totals = tuple(
        _total(item, stock, [x for x in lines if x.item == item], shown, prices)
        for item, stock in sorted(stocks.items(), key=_in_order(catalog))
        if any(x.item == item for x in lines)
    )
    used = {p.item for t in totals if (p := t.price) is not None}
    unused = tuple(sorted(set(prices.rows) - used))
    return replace(bill, conditions=counted, totals=totals, prices=prices, unused=unused)


def empty_bill(project: str, number: str, revision: str, date: str, file: str) -> Bill:
    """Return what a bill says of its job, before anything is counted."""
    return Bill(project, number, revision, date, file, (), (), NO_PRICES, ())


def _in_order(catalog: Catalog) -> Callable[[tuple[str, Stock]], tuple[str, int, str]]:
    """Return what sorts items as the catalogue does: sheets by sheets, metals by metals."""
    places = {name: number for number, name in enumerate(catalog.materials)}

    def key(item: tuple[str, Stock]) -> tuple[str, int, str]:
        material = item[1].material
        if material is None:
            return "~", 0, item[0]
        return material.family, places[material.id], item[0]

    return key


def _counted(
    given: Given, catalog: Catalog, prices: Prices, stocks: dict[str, Stock]
) -> Counted:
    lines: list[Line] = []
    for quantity in given.quantities:
        if quantity.supplied and given.times(quantity.per):
            lines += _lines(given, quantity, catalog, prices, stocks)
    others = tuple(q.label for q in given.quantities if not q.supplied)
    return Counted(
        given.id,
        given.title,
        given.kind,
        given.length,
        given.places,
        tuple(lines),
        others,
        given.missing,
        tuple(
            dict.fromkeys(
                q.material for q in given.quantities if q.supplied and q.cut.bought
            )
        ),
    )


def _lines(
    given: Given,
    quantity: Quantity,
    catalog: Catalog,
    prices: Prices,
    stocks: dict[str, Stock],
) -> Iterable[Line]:
    """Return the line of a quantity, and that of the plates behind its joints."""
    if not quantity.cut.bought:
        yield _told_only(given, quantity)
        return
    stock = stock_of(quantity, catalog)
    stocks.setdefault(stock.item, stock)
    cut, price = quantity.cut, prices.of(stock.item, quantity.material)
    cover = stock.length - cut.lap
    laps = stock.length / cover if cut.lap and stock.length else cut.laps
    waste = stock.pack.waste if price is None or price.waste is None else price.waste
    at_end = cut.end * stock.factor
    told = ["" if cut.told in quantity.formula else cut.told, stock.told]
    if at_end and given.ends(quantity.per):
        told.append(f"each end of a run adds {at_end:.4g} {UNITS[stock.measure]}")
    line = Line(
        id=quantity.id,
        label=quantity.label,
        item=stock.item,
        material=quantity.material,
        measure=stock.measure,
        per=quantity.per,
        rate=quantity.amount * stock.factor,
        times=given.times(quantity.per),
        laps=laps,
        ends=given.ends(quantity.per),
        at_end=at_end,
        offcuts=stock.offcuts,
        waste=waste,
        strips=stock.strips,
        stock=cover / 1000.0 if stock.length else 0.0,
        bought=True,
        formula=quantity.formula,
        source=quantity.source,
        told="; ".join(t for t in told if t),
        bodies=quantity.bodies,
    )
    yield line
    if cut.plate and stock.length:
        yield _plates(line, quantity, stock)


def _plates(line: Line, quantity: Quantity, stock: Stock) -> Line:
    """Return the plates of a metal: one for every stock length, at its joint or its end."""
    plate, girth = quantity.cut.plate, fsum(quantity.cut.along)
    return replace(
        line,
        id=f"{line.id}{PLATES}",
        label=f"{line.label}, plates at joints",
        rate=plate * girth / stock.length / 1000.0,
        laps=1.0,
        ends=0,
        at_end=0.0,
        formula=(
            f"{plate / 1000.0:.3f} m x {girth / 1000.0:.3f} m every "
            f"{stock.length / 1000.0:.3f} m"
        ),
        told="one plate for every stock length, as the section has its metal",
    )


def _told_only(given: Given, quantity: Quantity) -> Line:
    """Return what tells another line again: the mass of metals, the volume of wood."""
    return Line(
        id=quantity.id,
        label=quantity.label,
        item="",
        material=quantity.material,
        measure=quantity.measure,
        per=quantity.per,
        rate=quantity.amount,
        times=given.times(quantity.per),
        laps=1.0,
        ends=0,
        at_end=0.0,
        offcuts=1.0,
        waste=0.0,
        strips=0,
        stock=0.0,
        bought=False,
        formula=quantity.formula,
        source=quantity.source,
        told="tells the lines above again; nothing more is bought",
    )


def _total(
    item: str, stock: Stock, lines: Sequence[Line], shown: Shown, prices: Prices
) -> Total:
    material, measure = stock.material, stock.measure
    price = prices.of(item, lines[0].material)
    holds = stock.pack.holds
    if price is not None and price.holds is not None:
        holds = price.holds / shown.factor(measure)
    return Total(
        item=item,
        name=_name(item, stock, lines),
        standard=material.standard if material else "",
        measure=measure,
        net=fsum(line.net for line in lines),
        gross=fsum(line.gross for line in lines),
        pack=stock.pack.name,
        holds=holds,
        mass=_mass(stock),
        board_feet=stock.board_feet,
        source=stock.pack.source,
        waste=lines[0].waste,
        price=price,
        by_unit=_by_unit(price, measure, shown),
    )


def _by_unit(price: Price | None, measure: Measure, shown: Shown) -> float:
    """Return how many units of a price one of the measure has; 0 for a price of packs."""
    if price is not None and price.per == shown.unit(measure):
        return shown.factor(measure)
    return 0.0


def _name(item: str, stock: Stock, lines: Sequence[Line]) -> str:
    if stock.material is None or stock.pack.id == "one":
        return lines[0].label
    size = item.removeprefix(stock.material.id)
    return f"{stock.material.name},{size}" if size else stock.material.name


def _mass(stock: Stock) -> float:
    if stock.measure is Measure.MASS:
        return 1.0
    if stock.material is None or stock.measure is not Measure.AREA:
        return 0.0
    return stock.material.mass
