"""Holes and joints of a bent metal, as the section's layouts show them."""

from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from detailgen.geometry.rays import crossings
from detailgen.patterns._unfolding import Unfolded
from detailgen.profile import HoleRow
from detailgen.section import Body, LayeredSection, Layout, Role


@dataclass(frozen=True, slots=True)
class Drawn:
    """What a layout shows of the joint between two pieces, mm."""

    gap: float | None = None
    lap: float | None = None
    end: float | None = None
    """x in the layout at which a piece starts; None where none is seen to start."""
    layout: str = ""


def drawn_joint(section: LayeredSection, body: Body) -> Drawn:
    """Return the joint of a metal's pieces, from the first layout that shows two."""
    for layout in section.layouts:
        bounds = sorted(part.region.bounds for part in layout.of_role(body.role))
        for one, other in pairwise(bounds):
            apart = other[0] - one[2]
            return Drawn(
                gap=apart if apart > 0.0 else None,
                lap=-apart if apart <= 0.0 else None,
                end=other[0],
                layout=layout.id,
            )
    return Drawn()


def hole_rows(
    section: LayeredSection, body: Body, flat: Unfolded, drawn: Drawn
) -> tuple[HoleRow, ...]:
    """Return the rows of holes through a metal, in the order across the flat piece."""
    assert body.course is not None
    found: list[HoleRow] = []
    for fastener in section.of_role(Role.FASTENER):
        if body.id not in fastener.pierces:
            continue
        spacing, first = _along(section, fastener, drawn)
        found += [
            HoleRow(
                body=fastener.id,
                name=fastener.name,
                across=flat.across(station),
                diameter=fastener.thickness,
                spacing=spacing,
                first=first,
            )
            for station in crossings(body.course, fastener.region)
        ]
    return tuple(sorted(found, key=lambda row: row.across))


def _along(
    section: LayeredSection, fastener: Body, drawn: Drawn
) -> tuple[float | None, float | None]:
    """Return the spacing of a row, and where it starts from the end of a piece."""
    for layout in section.layouts:
        marks = _marks(layout, fastener)
        gaps = [b - a for a, b in pairwise(marks) if b > a]
        if not gaps:
            continue
        spacing = median(gaps)
        if drawn.end is None or drawn.layout != layout.id:
            return spacing, None
        after = [x - drawn.end for x in marks if x >= drawn.end]
        return spacing, after[0] if after else (marks[0] - drawn.end) % spacing
    return None, None


def _marks(layout: Layout, fastener: Body) -> list[float]:
    return sorted(m.at[0] for m in layout.marks if m.body == fastener.id)
