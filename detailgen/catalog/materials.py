"""Materials: what things are made of, and the figures that drawing and counting need."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from types import MappingProxyType
from typing import Final, Protocol

from detailgen.catalog._tables import (
    Row,
    Table,
    colour_of,
    data_files,
    read_rows,
    source_of,
    twice,
    unknown,
)
from detailgen.errors import Problem, UserError
from detailgen.units import parse_length

FAMILIES: Final = (
    "sheet",
    "metal",
    "wood",
    "panel",
    "board",
    "deck",
    "wall",
    "cant",
    "bitumen",
    "cement",
    "primer",
    "adhesive",
    "sealant",
    "fastener",
    "pipe",
    "fill",
)
SURFACES: Final = ("smooth", "granules", "foil")
_PSF: Final = 0.45359237 / 0.3048**2
MASSES: Final = {
    "kg per m2": 1.0,
    "lb per sq ft": _PSF,
    "lb per 100 sq ft": _PSF / 100,
    "oz per sq ft": _PSF / 16,
}
"""Units in which a data file gives a mass per area, as kg per square metre."""
VOLUMES: Final = {
    "L per m2": 1.0,
    "L per 10 m2": 0.1,
    "gal per 100 sq ft": 3.785411784 / 9.290304,
}
"""Units in which a data file gives a use rate by volume, as litres per square metre."""
THINNEST: Final = 0.05
THICKEST: Final = 1000.0
HEAVIEST: Final = 200.0
"""Limits of a thickness, mm, and of a mass, kg per square metre."""
NEEDED: Final = {"sheet": ("surface", "thickness"), "metal": ("kind", "thickness", "mass")}
"""What a material of a family cannot be without."""


@dataclass(frozen=True, slots=True)
class Material:
    """One row of `catalog/materials/`."""

    id: str
    name: str
    """As a sheet prints it, generic: `Base ply, smooth, glass reinforced`."""
    family: str
    """`sheet`, `metal`, `wood`, `panel`, `board`, `deck`, `wall`, `cant`, `bitumen`, ..."""
    thickness: float = 0.0
    """mm; 0 where it is not a matter of the material."""
    nominal: float = 0.0
    """Thickness by which the trade calls it, mm, where that is not the true one; else 0."""
    mass: float = 0.0
    """kg per square metre; 0 where unknown."""
    surface: str = ""
    """`smooth`, `granules`, `foil` for sheets."""
    combustible: bool = False
    nailable: bool = False
    fluted: bool = False
    standard: str = ""
    """Product standard, where there is one."""
    pattern: str = ""
    """Name of the hatch pattern; empty for none."""
    fill: tuple[int, int, int] | None = None
    rate: float = 0.0
    """Use per square metre, in litres or kilograms as `rate_unit` says."""
    rate_unit: str = ""
    """`L` or `kg`; empty where there is no rate."""
    source: str = ""
    """Source of the figures, with how it is known, or the common-practice mark."""
    override: str = ""
    """The job's reason for other figures than the catalogue's; printed."""
    kind: str = ""
    """What it is within its family: `copper`, `galvanized`, `masonry`, `perlite`, ..."""
    reinforcement: str = ""
    """What a sheet is reinforced with: `glass`."""
    widths: tuple[tuple[str, float], ...] = ()
    """Nominal sizes of lumber, each with its actual width in mm, narrowest first."""
    known: str = ""
    """How its figures are known: `read`, `memory`, ..."""


class MaterialChange(Protocol):
    """Other figures for a material, as a job asks them."""

    @property
    def material(self) -> str: ...  # noqa: D102
    @property
    def thickness(self) -> float | None: ...  # noqa: D102
    @property
    def mass(self) -> float | None: ...  # noqa: D102
    @property
    def name(self) -> str | None: ...  # noqa: D102
    @property
    def reason(self) -> str: ...  # noqa: D102


def changed_materials(
    materials: Mapping[str, Material], changes: Iterable[MaterialChange]
) -> Mapping[str, Material]:
    """Return the materials with a job's own figures, each with the job's reason.

    Raises:
        UserError: Materials that do not exist, or are changed twice; each problem's key
            is `material.<n>.material`, where n counts the changes from 0.
    """
    result, problems, seen = dict(materials), list[Problem](), set[str]()
    for number, change in enumerate(changes):
        key = f"material.{number}.material"
        if change.material not in result:
            problems.append(unknown("material", change.material, result, "catalogue", key))
            continue
        if change.material in seen:
            problems.append(twice(key, change.material))
        seen.add(change.material)
        old = result[change.material]
        result[change.material] = replace(
            old,
            name=old.name if change.name is None else change.name,
            thickness=old.thickness if change.thickness is None else change.thickness,
            nominal=old.nominal if change.thickness is None else 0.0,
            mass=old.mass if change.mass is None else change.mass,
            override=change.reason,
        )
    if problems:
        raise UserError(problems)
    return _table(result)


def read_materials(folder: Path, problems: list[Problem]) -> Mapping[str, Material]:
    """Return the materials of a folder; mistakes are added to `problems`."""
    materials: dict[str, Material] = {}
    for file in data_files(folder, problems):
        for row in read_rows(file, problems):
            if row.id in materials:
                row.complain("", "two materials have the same id")
            materials[row.id] = _material(row)
            row.done()
    return _table(materials)


def _table(materials: Mapping[str, Material]) -> Mapping[str, Material]:
    return MappingProxyType(Table("material", "catalogue", materials))


def _material(row: Row) -> Material:
    source, known = source_of(row)
    rate, rate_unit = _rate(row)
    material = Material(
        id=row.id,
        name=row.text("name"),
        family=row.one_of("family", FAMILIES),
        thickness=row.read("thickness", _thickness, "", '"2.4 mm", "1 1/2 in", "70 mil"'),
        nominal=row.read("nominal", _thickness, "", '"1/16 in", "1.6 mm"'),
        mass=row.amount("mass", MASSES),
        surface=row.one_of("surface", SURFACES, ""),
        combustible=row.flag("combustible"),
        nailable=row.flag("nailable"),
        fluted=row.flag("fluted"),
        standard=row.text("standard", ""),
        pattern=row.text("pattern", ""),
        fill=colour_of(row, "fill") if "fill" in row.data else None,
        rate=rate,
        rate_unit=rate_unit,
        source=source,
        kind=row.text("kind", ""),
        reinforcement=row.text("reinforcement", ""),
        widths=_widths(row),
        known=known,
    )
    row.asked.add("fill")
    for key in NEEDED.get(material.family, ()):
        if not row.data.get(key):
            row.complain(
                key if key in row.data else "", f"a {material.family} needs its {key}"
            )
    if material.mass > HEAVIEST:
        row.complain(
            "mass", "mass is out of range", allowed=f"up to {HEAVIEST:g} kg per m2"
        )
    return material


def _thickness(text: str) -> float:
    thickness = float(parse_length(text))
    if not THINNEST <= thickness <= THICKEST:
        msg = f"it is not between {THINNEST:g} and {THICKEST:g} mm"
        raise ValueError(msg)
    return thickness


def _rate(row: Row) -> tuple[float, str]:
    """Return the use rate, by volume or by mass, and its unit."""
    written = row.text("rate", "")
    if any(written.endswith(unit) for unit in VOLUMES):
        return row.amount("rate", VOLUMES), "L"
    if written:
        return row.amount("rate", MASSES | VOLUMES), "kg"
    return 0.0, ""


def _widths(row: Row) -> tuple[tuple[str, float], ...]:
    """Return nominal sizes and actual widths; they must be written narrowest first."""
    table = row.part(row.table("widths"))
    widths = tuple(
        (name, table.read(name, lambda t: float(parse_length(t)), None, '"5 1/2 in"'))
        for name in table.data
    )
    actual = [width for _, width in widths]
    if actual != sorted(set(actual)):
        row.complain("widths", "widths must be written narrowest first, each once")
    return widths
