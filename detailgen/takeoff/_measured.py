"""What every counter works from: the section, the data, and where the condition starts."""

from dataclasses import dataclass
from typing import Final

from detailgen.catalog import Catalog, Material, RuleSet
from detailgen.geometry.measures import area_beyond, length_beyond
from detailgen.section import METALS, SHEETS, WOOD, Body, LayeredSection, Role

GEOMETRY: Final = "geometry of the section"
"""Source of a quantity that is measured and takes no rate."""
AGREE: Final = 0.05
"""Part by which the length of a course and area / thickness may differ."""
_AT_SIDE: Final = 1.0
"""A body that comes this near, mm, to the side of the drawing goes on beyond it."""
_OWN: Final = (SHEETS | METALS | WOOD) - {Role.BASE_PLY, Role.FINISH_PLY} | {
    Role.CANT,
    Role.CEMENT,
}


@dataclass(frozen=True, slots=True)
class Measured:
    """A section with the data that its quantities are computed from."""

    section: LayeredSection
    catalog: Catalog
    rules: RuleSet
    start: float
    """x, mm, from which the condition takes material; further left is the roof field."""

    def material(self, material_id: str) -> Material:
        """Return a row of the catalogue."""
        return self.catalog.material(material_id)

    def goes_on(self, body: Body) -> bool:
        """Return whether a body goes on into the roof field."""
        side: float = self.section.extent.bounds[0]
        return body.region.bounds[0] <= side + _AT_SIDE

    def width(self, body: Body) -> tuple[float, str]:
        """Return the developed width of a sheet or a metal, mm, and how it was found.

        The length of its course, held against area / thickness: a body that was cut after
        it was laid still has the course of the whole, and then the area decides.
        """
        start = self.start if self.goes_on(body) else body.region.bounds[0]
        from_area = area_beyond(body.region, start) / body.thickness
        where = "to where the condition starts on the roof" if self.goes_on(body) else ""
        if body.course is not None:
            along = length_beyond(body.course, start)
            if abs(along - from_area) <= AGREE * max(along, from_area):
                return along, _words("along its course", where)
        return from_area, _words(f"section area / {body.thickness:.3g} mm", where)


def _words(*parts: str) -> str:
    return ", ".join(p for p in parts if p)


def measured(section: LayeredSection, catalog: Catalog, rules: RuleSet) -> Measured:
    """Return the section ready to be counted.

    The roof field is measured elsewhere, by its plan area. What is counted here starts
    where the first piece that belongs to the condition alone starts: a strip-in, a
    flashing sheet, a prepared band, a flange, a cant. Base and finish ply are counted from
    there, so that the result does not depend on how much of the field is drawn.
    """
    side: float = section.extent.bounds[0]
    lefts = [b.region.bounds[0] for b in section.bodies if b.role in _OWN]
    lefts += [c.line.bounds[0] for c in section.coats]
    own = [x for x in lefts if x > side + _AT_SIDE]
    return Measured(section, catalog, rules, min(own, default=side))


def metres(length: float) -> str:
    """Return a length in mm as text in metres, for a formula."""
    return f"{length / 1000.0:.3f} m"
