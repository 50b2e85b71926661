"""Lookup tables of `catalog/tables/`: figures of metals, temperatures, legs and lead.

Each file has rows of its own make. Coefficients of expansion are held per kelvin,
temperatures in degrees Celsius, lengths in mm, densities in kg per cubic metre.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from types import MappingProxyType
from typing import Final, TypeVar

from detailgen.catalog._tables import Row, Table, parse_amount, read_rows, source_of
from detailgen.errors import Problem

_FILES: Final = (
    "bending",
    "equipment-heights",
    "expansion",
    "expansion-joints",
    "lead",
    "temperatures",
)
_COEFFICIENTS: Final = {"per million per F": 1.8e-6, "per million per K": 1e-6}
_DENSITIES: Final = {
    "kg per m3": 1.0,
    "lb per cu in": 0.45359237 / 0.0254**3,
    "lb per cu ft": 0.45359237 / 0.3048**3,
}
_TEMPERATURE: Final = re.compile(r"(-?[0-9]+(?:\.[0-9]+)?) ([CF])")
_COLDEST: Final = -100.0
_HOTTEST: Final = 200.0
"""Limits of a temperature on a roof, degrees Celsius."""
_STEEPEST: Final = 1e-4
"""No metal grows by more than this, per kelvin."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A number with the source that it has of its own."""

    value: float
    source: str
    """Source with how it is known, or the common-practice mark."""
    known: str


@dataclass(frozen=True, slots=True)
class Expansion:
    """How much a metal grows with heat."""

    id: str
    """Kind of metal, as materials name it: `aluminium`; or another figure for one."""
    name: str
    coefficient: float
    """Growth per length and kelvin."""
    source: str
    known: str
    low: float = 0.0
    """Least of the range of its alloys; 0 where no range is known."""
    high: float = 0.0


@dataclass(frozen=True, slots=True)
class Temperatures:
    """Between which temperatures metal on a roof moves, degrees Celsius."""

    id: str
    name: str
    low: float
    high: float
    source: str
    known: str

    @property
    def span(self) -> float:
        """From the coldest to the hottest, kelvin."""
        return self.high - self.low


@dataclass(frozen=True, slots=True)
class Bending:
    """How a metal bends."""

    id: str
    kind: str
    thickness: float
    """The thickness that the row is for, mm; 0 for any."""
    k: Figure
    """Depth of the neutral fibre from the inside, as a share of the thickness."""
    radius: Figure
    """Inside radius of a bend, mm."""


@dataclass(frozen=True, slots=True)
class Band:
    """Widths for which one height holds, as printed."""

    low: float
    """mm; 0 where the band has no lower limit."""
    low_in: bool
    """The lower limit itself belongs to the band."""
    high: float
    """mm; infinite where the band has no upper limit."""
    high_in: bool
    height: float
    """mm."""
    written: str
    """`24 in to under 36 in`."""


@dataclass(frozen=True, slots=True)
class HeightTable:
    """Clear heights under equipment by the width of the unit."""

    id: str
    name: str
    bands: tuple[Band, ...]
    """Narrowest first; none where the document has no such table."""
    sleepers: bool
    """Whether sleepers may carry the unit instead of legs."""
    source: str
    known: str


@dataclass(frozen=True, slots=True)
class LeadFigures:
    """How thick lead of a weight is called, and how dense lead is."""

    nominal: Figure
    """Nominal thickness for each pound per square foot, mm."""
    density: Figure
    """kg per cubic metre."""


@dataclass(frozen=True, slots=True)
class FreeRun:
    """How long a run of bent metal may be between a fixed point and an expansion joint."""

    id: str
    material: str
    width: float
    legs: float
    angle: float
    """Degrees to which the legs are bent."""
    length: float
    """mm, from a fixed point to the joint."""
    source: str
    known: str


@dataclass(frozen=True, slots=True)
class Tables:
    """All lookup tables."""

    expansion: Mapping[str, Expansion]
    temperatures: Mapping[str, Temperatures]
    bends: Mapping[str, Bending]
    heights: Mapping[str, HeightTable]
    free_runs: Mapping[str, FreeRun]
    lead_rows: Mapping[str, LeadFigures]

    @property
    def lead(self) -> LeadFigures:
        """Return the figures of lead."""
        return self.lead_rows["lead"]

    def bending(self, kind: str, thickness: float) -> Bending:
        """Return how a metal of this kind and thickness, mm, bends.

        Raises:
            UserError: The data has no row for the kind.
        """
        of_kind = [row for row in self.bends.values() if row.kind == kind]
        for row in of_kind:
            if row.thickness and abs(row.thickness - thickness) < 1e-3:
                return row
        for row in of_kind:
            if not row.thickness:
                return row
        return self.bends[kind]


R = TypeVar("R")


def read_tables(folder: Path, problems: list[Problem]) -> Tables:
    """Return the lookup tables of a folder; mistakes are added to `problems`."""
    strangers = [f for f in sorted(folder.glob("*.toml")) if f.stem not in _FILES]
    problems += [
        Problem(
            f"no part of the program reads {file.name}",
            file=str(file),
            allowed=", ".join(f"{stem}.toml" for stem in _FILES),
            mend="Rename the file, or take it away.",
        )
        for file in strangers
    ]

    def read(stem: str, make: Callable[[Row], R], what: str) -> Mapping[str, R]:
        rows: dict[str, R] = {}
        file = folder / f"{stem}.toml"
        if not file.is_file():
            mend = "Give a catalogue folder that has it."
            problems.append(Problem("this table is missing", file=str(file), mend=mend))
        for row in read_rows(file, problems) if file.is_file() else ():
            rows[row.id] = make(row)
            row.done()
        return MappingProxyType(Table(what, f"table {stem}.toml", rows))

    return Tables(
        expansion=read("expansion", _expansion, "metal"),
        temperatures=read("temperatures", _temperatures, "range of temperatures"),
        bends=read("bending", _bending, "kind of metal"),
        heights=read("equipment-heights", _heights, "table of heights"),
        free_runs=read("expansion-joints", _free_run, "free run"),
        lead_rows=read("lead", _lead, "row"),
    )


def _number_of(
    row: Row, key: str, factors: dict[str, float], low: float, high: float
) -> float:
    """Return a required number with its unit, within limits that no real figure passes."""

    def parse(text: str) -> float:
        value = parse_amount(text, factors)
        if not low < value <= high:
            msg = "no real figure is so small or so large"
            raise ValueError(msg)
        return value

    return row.read(key, parse, None, " | ".join(f"<number> {unit}" for unit in factors))


def _expansion(row: Row) -> Expansion:
    source, known = source_of(row)
    value = _number_of(row, "coefficient", _COEFFICIENTS, 0.0, _STEEPEST)
    low = high = 0.0
    if "range" in row.data:
        part = row.part(row.table("range"))
        source_of(part)
        low = _number_of(part, "low", _COEFFICIENTS, 0.0, _STEEPEST)
        high = _number_of(part, "high", _COEFFICIENTS, 0.0, _STEEPEST)
        part.done()
        if not low <= value <= high:
            row.complain("coefficient", "coefficient is outside its own range")
    row.asked.add("range")
    return Expansion(row.id, row.text("name"), value, source, known, low, high)


def _temperatures(row: Row) -> Temperatures:
    source, known = source_of(row)
    allowed = '"-20 F", "65 C"'
    low = row.read("low", parse_temperature, None, allowed)
    high = row.read("high", parse_temperature, None, allowed)
    if low >= high and {"low", "high"} <= row.data.keys():
        row.complain("high", "the hottest must be above the coldest")
    return Temperatures(row.id, row.text("name"), low, high, source, known)


def parse_temperature(text: str) -> float:
    """Return a temperature in degrees Celsius.

    Raises:
        ValueError: It is not a number and C or F, or no roof is so cold or so hot.

    >>> parse_temperature("50 F"), parse_temperature("-5 C")
    (10.0, -5.0)
    """
    found = _TEMPERATURE.fullmatch(text.strip())
    if found is None:
        msg = f"{text!r} is not a temperature in C or F"
        raise ValueError(msg)
    number = float(found[1])
    degrees = (number - 32.0) / 1.8 if found[2] == "F" else number
    if not _COLDEST <= degrees <= _HOTTEST:
        msg = f"no roof is at {text.strip()}"
        raise ValueError(msg)
    return degrees


def _figure(row: Row, key: str, parse: Callable[[Row], float]) -> Figure:
    if key not in row.data:
        row.asked.add(key)
        row.complain("", f"{key} is missing", mend=f"Add {key} to the row.")
        return Figure(0.0, "", "")
    part = row.part(row.table(key))
    source, known = source_of(part)
    value = parse(part)
    part.done()
    return Figure(value, source, known)


def _bending(row: Row) -> Bending:
    return Bending(
        id=row.id,
        kind=row.text("kind"),
        thickness=row.length("thickness", ""),
        k=_figure(row, "k", lambda p: p.number("value", least=0.2, most=0.5)),
        radius=_figure(row, "radius", lambda p: p.length("value")),
    )


def _heights(row: Row) -> HeightTable:
    source, known = source_of(row)
    bands = tuple(_band(part) for part in row.tables("bands"))
    for one, other in pairwise(bands):
        shared = one.high == other.low and one.high_in and other.low_in
        if one.high > other.low or shared:
            row.complain("bands", f"{one.written} and {other.written} overlap")
    return HeightTable(row.id, row.text("name"), bands, row.flag("sleepers"), source, known)


def _band(part: Row) -> Band:
    low_in, high_in = "least" in part.data, "most" in part.data
    low = part.length("least", "") or part.length("over", "")
    high = part.length("most", "") or part.length("under", "") or float("inf")
    height = part.length("height")
    words = [
        str(part.data[key]) if key == "least" else f"{key} {part.data[key]}"
        for key in ("least", "over", "most", "under")
        if key in part.data
    ]
    if len(words) == 1 and low_in:
        words.append("and wider")
        joined = " ".join(words)
    else:
        joined = " to ".join(words)
    if not words or low >= high or {"least", "over"} <= part.data.keys():
        part.complain("bands", "a band needs least or over below, most or under above")
    part.done()
    return Band(low, low_in, high, high_in, height, joined)


def _free_run(row: Row) -> FreeRun:
    source, known = source_of(row)
    return FreeRun(
        id=row.id,
        material=row.text("material"),
        width=row.length("width"),
        legs=row.length("legs"),
        angle=row.number("angle", least=0.0, most=180.0),
        length=row.length("free_run"),
        source=source,
        known=known,
    )


def _lead(row: Row) -> LeadFigures:
    def dense(part: Row) -> float:
        return _number_of(part, "value", _DENSITIES, 1000.0, 30000.0)

    return LeadFigures(
        nominal=_figure(row, "nominal", lambda p: p.length("value")),
        density=_figure(row, "density", dense),
    )
