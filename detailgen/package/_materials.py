"""The schedule of materials by their product standard, with blanks for the submittal."""

from typing import Final

from detailgen.book import Part
from detailgen.book.columns import Col, Line
from detailgen.book.table import table, texts
from detailgen.catalog import Material
from detailgen.package._told import ToldJob, marks_of
from detailgen.sheet.flow import Block
from detailgen.units import MM_PER_FOOT, UnitSystem, show_amount

KEY: Final = "materials"
_COLUMNS: Final = (
    Col("Product standard"), Col("Material"), Col("Figures taken"), Col("Used in"),
    Col("Proposed product", blank=42.0), Col("Sent", blank=15.0),
    Col("Accepted", blank=18.0), Col("Remark", blank=26.0),
)  # fmt: skip
_HAND: Final = 9.0
"""Height of a row that is written in by hand, mm."""
_STANDARD: Final = (
    "as the catalogue names it. Where it names none the place is blank: whoever proposes "
    "a product writes its standard there."
)
_POUND: Final = 0.45359237


def schedule_of_materials(told: ToldJob) -> Part:
    """Return the schedule of the materials that a job takes."""
    used: dict[str, dict[str, None]] = {}
    for one in told.bill.conditions:
        for material in one.materials:
            used.setdefault(material, {}).setdefault(one.id)
    known = [m for m in told.job.catalog.materials.values() if m.id in used]
    lines = [
        Line((
            material.standard,
            material.name,
            _figures(material, told.units),
            marks_of(told, list(used[material.id])),
            *[""] * 4,
        ))
        for material in sorted(known, key=lambda m: (not m.standard, m.standard))
    ]
    block = table("SCHEDULE OF MATERIALS", _COLUMNS, lines, least=_HAND, ruled=True)
    return Part(KEY, "Schedule of materials", (block,), (_notes(),))


def _figures(material: Material, units: UnitSystem) -> str:
    """Return the figures of a material that sections and takeoff rest on."""
    said: list[str] = []
    if material.thickness:
        said.append(show_amount(material.thickness, "mm", units) + " thick")
    if material.mass:
        said.append(_mass(material.mass, units))
    if material.override:
        said.append(f"this job: {material.override}")
    return ", ".join(said)


def _mass(mass: float, units: UnitSystem) -> str:
    if units is UnitSystem.MILLIMETRES:
        return f"{mass:.2f} kg/m²"
    feet = MM_PER_FOOT / 1000.0
    return f"{mass * feet**2 / _POUND:.2f} lb per sq ft"


def _notes() -> Block:
    said = [
        ("Standard:", _STANDARD),
        ("Figures:", "thickness and weight that drawings and takeoff are made with."),
        ("Columns in blank:", "for the submittal."),
        ("Not listed:", "the roof field, and what is there already or set by others."),
    ]  # fmt: skip
    return texts("HOW TO USE IT", said)
