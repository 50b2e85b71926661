"""The main view of a condition: its section with numbers, dimensions and fault marks."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from detailgen.catalog import Scale
from detailgen.finding import Finding
from detailgen.geometry import Point
from detailgen.section import METALS, SHEETS, Bond, LayeredSection, Role
from detailgen.sheet.bodies import UNDER_METAL, body_items, crossed, fill_of, layer_of
from detailgen.sheet.callouts import RADIUS, Aim, Tag, slots
from detailgen.sheet.dimensioning import ROOMY, SNUG, Measured, dimensions, measured
from detailgen.sheet.figure import Figure, Swatch
from detailgen.sheet.labels import label_box, label_items, labelled, strokes
from detailgen.sheet.naming import key_of, named_parts
from detailgen.sheet.plane import Box, hull
from detailgen.sheet.request import SheetRequest
from detailgen.sheet.water_path import water_items, water_swatches

_SAME_PLACE: Final = 1.6
"""Faults nearer to each other than this share one mark, mm on paper."""


@dataclass(frozen=True, slots=True)
class Arrangement:
    """Where the annotations of the main view go."""

    side: str
    steps: tuple[float, float]
    """Distances of dimension lines."""


def arrangements(section: LayeredSection) -> tuple[Arrangement, Arrangement]:
    """Return the usual arrangement of a section's annotations, and one that takes less."""
    return Arrangement(section.side_of_air, ROOMY), Arrangement("column", SNUG)


def body_box(section: LayeredSection, factor: float) -> Box:
    """Return the section's box on paper about the model's origin, break lines included."""
    bounds = [b.region.bounds for b in section.bodies]
    x0, y0, x1, y1 = hull([
        (float(a), float(b), float(c), float(d)) for a, b, c, d in bounds
    ])
    return x0 / factor - 2.0, y0 / factor - 2.0, x1 / factor + 2.0, y1 / factor + 2.0


def expected_dimensions(request: SheetRequest) -> list[Measured]:
    """Return what the main view dimensions, with its points as in the true section."""
    points = request.section.points
    gauges = [g for g in request.section.gauges if g.view == "section"]
    return measured(gauges, points, points, request.units, both=request.both_units)


def expected_box(
    section: LayeredSection, wanted: Sequence[Measured], scale: Scale, how: Arrangement
) -> Box:
    """Return about how large the view will be, before anything is rebuilt."""
    body = body_box(section, scale.factor)
    box = dimensions(wanted, body, scale.factor, how.steps)[1]
    count = len({key_of(b) for b in section.bodies}) + len(section.coats)
    return hull([box, *slot_boxes(body, how.side, count)])


def slot_boxes(body: Box, side: str, count: int) -> list[Box]:
    """Return what the slots for a number of labels take."""
    return [
        (
            s.centre[0] - RADIUS - 0.7,
            s.centre[1] - RADIUS - 0.7,
            s.centre[0] + RADIUS + 0.7,
            s.centre[1] + RADIUS + 0.7,
        )
        for s in slots(body, side, count)
    ]


def section_figure(
    request: SheetRequest,
    drawn: LayeredSection,
    scale: Scale,
    how: Arrangement,
    marks: dict[str, str],
) -> Figure:
    """Return the main view at a scale.

    Args:
        request: The condition, with its true section.
        drawn: The section as it is drawn, thin things thickened.
        scale: At which scale.
        how: Where its annotations go.
        marks: Letter of each failing rule; those that share a place share a letter.
    """
    factor = scale.factor
    body = body_box(drawn, factor)
    figure = Figure("section", "SECTION", scale, body, body)
    figure.items += body_items(drawn, request.catalog, factor)
    gauges = [g for g in request.section.gauges if g.view == "section"]
    wanted = measured(
        gauges, request.section.points, drawn.points, request.units, both=request.both_units
    )
    dims, box = dimensions(wanted, body, factor, how.steps)
    named = named_parts(request, drawn, factor, (body, how.side))
    tags = [Tag(n.keynote.number, fault=False, aims=n.aims) for n in named]
    faults = fault_tags(request, drawn, factor, marks, "section")
    regions = [b.region for b in drawn.bodies]
    water = water_items(request, drawn, factor)
    inked = [*(i for i in figure.items if i.layer == "break"), *water]
    lines = [s for i in inked for s in strokes(i, factor)]
    placed = labelled(tags, faults, (body, how.side, factor), dims, (regions, lines))
    figure.items += water
    figure.items += dims
    for one in placed:
        figure.items += label_items(one, factor)
    figure.box = hull([box, *map(label_box, placed)])
    figure.keynotes = [n.keynote for n in named]
    figure.swatches = [*swatches(request, drawn), *water_swatches(request)]
    return figure


def fault_letters(request: SheetRequest, factor: float) -> dict[str, str]:
    """Return the letter of each failing rule; faults at one place share one."""
    letters: dict[str, str] = {}
    seen: list[tuple[str, Point, str]] = []
    for finding in request.failures:
        where = finding.where
        letter = ""
        if where is not None:
            for view, at, used in seen:
                near = abs(at[0] - where[0]) + abs(at[1] - where[1]) < _SAME_PLACE * factor
                if view == finding.view and near:
                    letter = used
        letter = letter or _letter(len(set(letters.values())))
        if where is not None:
            seen.append((finding.view, where, letter))
        letters[finding.rule] = letter
    return letters


def _letter(index: int) -> str:
    alphabet = "ABCDEFGHJKLMNPQRSTUVWXYZ"
    return alphabet[index] if index < len(alphabet) else str(index - len(alphabet) + 1)


def fault_tags(
    request: SheetRequest,
    drawn: LayeredSection,
    factor: float,
    marks: dict[str, str],
    view: str,
) -> list[Tag]:
    """Return a tag for each place on a view where rules fail."""
    tags: dict[str, Tag] = {}
    for finding in request.failures:
        if finding.where is None or finding.view != view:
            continue
        letter = marks[finding.rule]
        x, y = drawn_place(request.section, drawn, finding)
        aim = Aim((x / factor, y / factor))
        tags.setdefault(letter, Tag(letter, fault=True, aims=(aim,)))
    return list(tags.values())


def drawn_place(true: LayeredSection, drawn: LayeredSection, finding: Finding) -> Point:
    """Return where a finding's point lies on the drawn section.

    A named point is found by its name, since thickening moves it.
    """
    assert finding.where is not None
    x, y = finding.where
    for name, (px, py) in true.points.items():
        if abs(px - x) + abs(py - y) < 0.05 and name in drawn.points:
            return drawn.points[name]
    return x, y


def swatches(request: SheetRequest, drawn: LayeredSection) -> list[Swatch]:
    """Return the legend: what is drawn in this view, each material once."""
    found: dict[tuple[str, object, str], Swatch] = {}
    for body in drawn.bodies:
        material = request.catalog.material(body.material)
        fill = fill_of(body, material)
        cross = crossed(body, material)
        name = body.role.value if body.role in SHEETS else material.name
        if body.role in METALS or body.role is Role.FASTENER:
            name = "sheet metal and fasteners"
            if body.role in UNDER_METAL:
                name = "cleat or bar against other metal"
        swatch = Swatch(
            name[:1].upper() + name[1:],
            "area",
            fill,
            "" if cross else material.pattern,
            "metal" if body.role is Role.FASTENER else layer_of(body.role),
            cross,
        )
        key = (swatch.name, fill, swatch.pattern)
        found.setdefault(key, swatch)
    made = list(found.values())
    sheets = {b.id for b in drawn.bodies if b.role in SHEETS}
    if any(j.bond is Bond.DRY and j.upper in sheets for j in drawn.joints):
        made.append(Swatch("Laid dry, not stuck", "dry", layer="hidden"))
    if drawn.coats:
        made.append(Swatch("Primer or prepared surface", "coat", layer="coat"))
    return made
