"""What is bought for a quantity: the item, its pack, its lumber, and what is cut off."""

from dataclasses import dataclass
from math import ceil, floor, fsum
from typing import Final

from detailgen.catalog import Catalog, Material, Pack
from detailgen.catalog.packs import ONE
from detailgen.quantity import Measure, Per, Quantity

_NEAR: Final = 1e-6
_SAWN: Final = 0.05
"""Part of a thickness by which wood may be thicker than the lumber it is ripped from."""


@dataclass(frozen=True, slots=True)
class Stock:
    """How a quantity is bought."""

    item: str
    material: Material | None
    pack: Pack
    measure: Measure
    factor: float
    """What turns the amount of the quantity into `measure`."""
    offcuts: float
    strips: int
    length: float
    """mm of a piece of stock, for what is made of such pieces; else 0."""
    told: str
    board_feet: float = 0.0


def stock_of(quantity: Quantity, catalog: Catalog) -> Stock:
    """Return how a quantity is bought.

    What is counted one by one, and fasteners of no material, are bought as pieces.
    """
    material = catalog.materials.get(quantity.material) if quantity.material else None
    if material is None or _single(quantity, material):
        item = f"{quantity.material} {quantity.id}".strip()
        return Stock(item, material, ONE, quantity.measure, 1.0, 1.0, 0, 0.0, "")
    pack = catalog.pack(material.id)
    if material.family == "wood":
        return _lumber(quantity, material, pack)
    cut, width, telling = quantity.cut, quantity.cut.section[0], ""
    offcuts = _offcuts(quantity, pack)
    if width and pack.width:
        rip = floor(pack.width / width + _NEAR) or 1
        telling = f"{width:.1f} mm strips, {rip} to a {pack.name}"
        offcuts = pack.width / (rip * width)
        measure, factor = Measure.AREA, width / 1000.0
    elif pack.unit == "m" and quantity.measure is Measure.AREA and cut.along:
        measure, factor = Measure.LENGTH, 1000.0 / (fsum(cut.along) / len(cut.along))
        offcuts = 1.0
    else:
        measure, factor = quantity.measure, 1.0
        if offcuts > 1.0 + _NEAR:
            telling = f"cut from a {pack.name} {pack.width:.0f} x {pack.length:.0f} mm"
    runs = material.family == "metal" and quantity.per is Per.METRE and bool(cut.along)
    length = (pack.length or pack.holds * 1000.0) if runs else 0.0
    strips = len(cut.along) if runs else 0
    item = material.id
    return Stock(item, material, pack, measure, factor, offcuts, strips, length, telling)


def _single(quantity: Quantity, material: Material) -> bool:
    return quantity.measure is Measure.COUNT and material.family != "fastener"


def _offcuts(quantity: Quantity, pack: Pack) -> float:
    """Return what the stock beside strips and behind pieces multiplies an amount by."""
    cut, used, taken = quantity.cut, 0.0, 0.0
    for sizes, side in ((cut.along, pack.width), (cut.across, pack.length)):
        for size in sizes if side else ():
            used += size
            taken += _share(size, side)
    return taken / used if used else 1.0


def _share(size: float, side: float) -> float:
    """Return how much of a side of the stock a piece of some size uses up."""
    if size > side:
        return ceil(size / side - _NEAR) * side
    return side / floor(side / size + _NEAR)


def _lumber(quantity: Quantity, material: Material, pack: Pack) -> Stock:
    """Return wood by nominal size: the least that holds its section, in layers."""
    width, thick = quantity.cut.section
    name = next((n for n, w in material.widths if w >= width - 0.5), None)
    beside = 1
    if name is None:
        name, widest = material.widths[-1]
        beside = ceil(width / widest - _NEAR)
    layers = ceil(thick / material.thickness - _SAWN) or 1
    each = beside * layers
    deep, wide = (float(part) for part in name.split("x"))
    runs = round(quantity.amount) if quantity.per is Per.METRE else 0
    told = f"{each} lengths of {name}" if each > 1 else f"from {name}"
    return Stock(
        f"{material.id} {name}",
        material,
        pack,
        Measure.LENGTH,
        float(each),
        1.0,
        each * runs,
        pack.holds * 1000.0 if runs else 0.0,
        told,
        board_feet=deep * wide / 12.0 / 0.3048,
    )
