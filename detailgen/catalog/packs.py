"""Packs: in what units materials are bought, and what is added for waste."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Final

from detailgen.catalog._tables import Row, Table, parse_amount, read_rows, source_of
from detailgen.catalog.materials import Material
from detailgen.errors import Problem
from detailgen.units import parse_length

FILE: Final = "packs.toml"
_LITRES: Final = {"L": 1.0, "gal": 3.785411784, "fl oz": 3.785411784 / 128.0}
_FACTORS: Final[Mapping[str, dict[str, float]]] = {
    "m2": {"m2": 1.0, "sq ft": 0.3048**2},
    "m": {"m": 1.0, "ft": 0.3048},  # any length is read, these are told
    "L": _LITRES | {"cu ft": 0.3048**3 * 1000.0},
    "kg": {"kg": 1.0, "lb": 0.45359237},
}
_MOST: Final = 1e6
_MOST_WASTE: Final = 1.0


@dataclass(frozen=True, slots=True)
class Pack:
    """One row of `catalog/packs.toml`."""

    id: str
    name: str
    """What one is called: `roll`, `box`."""
    of: tuple[str, ...]
    """Families, kinds or materials that are bought so."""
    unit: str
    """`m2`, `m`, `L`, `kg` or `each`."""
    holds: float
    """How much one holds, in `unit`."""
    width: float
    """mm; 0 where nothing is cut from it."""
    length: float
    waste: float
    """Share that is added to what is needed."""
    source: str
    """Source with how it is known, or the common-practice mark."""


ONE: Final = Pack("one", "piece", (), "each", 1.0, 0.0, 0.0, 0.0, "")
"""How a thing is bought of which one needs so many, each for itself."""


def pack_of(packs: Mapping[str, Pack], material: Material) -> Pack:
    """Return how a material is bought: by its id, else by its kind, else by its family."""
    names = (material.id, f"{material.family}: {material.kind}", material.family)
    for name in names:
        for pack in packs.values():
            if name in pack.of:
                return pack
    return packs[material.family]  # which tells that there is none


def read_packs(
    root: Path, materials: Mapping[str, Material], problems: list[Problem]
) -> Mapping[str, Pack]:
    """Return the packs of a catalogue; none where it has no such file."""
    file = root / FILE
    rows = read_rows(file, problems) if file.exists() else []
    known = {m.id for m in materials.values()} | {m.family for m in materials.values()}
    known |= {f"{m.family}: {m.kind}" for m in materials.values()}
    taken: set[str] = set()
    packs: dict[str, Pack] = {}
    for row in rows:
        packs[row.id] = pack = _pack(row, known)
        if again := sorted(taken & set(pack.of)):
            row.complain("of", f"{', '.join(again)} is bought in two ways")
        taken |= set(pack.of)
        row.done()
    return MappingProxyType(Table("pack for", "catalogue", packs))


def _pack(row: Row, known: set[str]) -> Pack:
    source, _ = source_of(row)
    if "of" not in row.data:
        row.complain("", "of is missing", mend="Say what is bought so.")
    unit = row.one_of("unit", (*_FACTORS, "each"))
    width, length = row.length("width", ""), row.length("length", "")
    holds = width * length / 1e6
    if unit != "m2" or not holds:
        holds = row.read("holds", _reader(unit), None, _written(unit))
    if "holds" in row.data and not 0.0 < holds <= _MOST:
        row.complain("holds", "a pack holds something", allowed=f"up to {_MOST:g}")
    return Pack(
        id=row.id,
        name=row.text("name", row.id),
        of=row.texts("of", sorted(known)),
        unit=unit,
        holds=holds,
        width=width,
        length=length,
        waste=row.number("waste", least=0.0, most=_MOST_WASTE),
        source=source,
    )


def _reader(unit: str) -> Callable[[str], float]:
    """Return what reads how much a pack holds."""

    def read(text: str) -> float:
        if unit == "m":
            return float(parse_length(text)) / 1000.0
        if unit not in _FACTORS:
            return float(int(text))
        return parse_amount(text, _FACTORS[unit])

    return read


def _written(unit: str) -> str:
    if unit not in _FACTORS:
        return "a whole number between quotes"
    return " | ".join(f"<number> {name}" for name in _FACTORS[unit])
