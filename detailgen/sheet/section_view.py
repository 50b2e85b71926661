"""The main view of a condition: its section with numbers, dimensions and fault marks."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import hypot
from typing import Final

from detailgen.catalog import Scale
from detailgen.finding import Finding
from detailgen.geometry import Point, Region
from detailgen.geometry.regions import vertices
from detailgen.geometry.views import spots
from detailgen.section import (
    METALS,
    SHEETS,
    Body,
    Bond,
    Coat,
    LayeredSection,
    Role,
    Thickening,
)
from detailgen.sheet.blocks import Keynote
from detailgen.sheet.bodies import (
    UNDER_METAL,
    body_items,
    coat_runs,
    crossed,
    fill_of,
    layer_of,
)
from detailgen.sheet.callouts import RADIUS, Aim, Tag, slots
from detailgen.sheet.dimensioning import ROOMY, SNUG, Measured, dimensions, measured
from detailgen.sheet.figure import Figure, Swatch
from detailgen.sheet.labels import label_box, label_items, labelled, strokes
from detailgen.sheet.plane import Box, hull
from detailgen.sheet.request import SheetRequest
from detailgen.units import show_thickness

_THICK: Final = 3.0
"""A body with more room than this about a spot, mm on paper, reads well from anywhere."""
_AIMS: Final = 9
"""Spots that are tried for one label."""
_FEW: Final = 4
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


@dataclass(frozen=True, slots=True)
class Named:
    """What one number on the drawing stands for."""

    keynote: Keynote
    aims: tuple[Aim, ...]


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
    count = len({_key(b) for b in section.bodies}) + len(section.coats)
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
    named = named_parts(request, drawn, factor)
    tags = [Tag(n.keynote.number, fault=False, aims=n.aims) for n in named]
    faults = fault_tags(request, drawn, factor, marks, "section")
    regions = [b.region for b in drawn.bodies]
    lines = [s for i in figure.items if i.layer == "break" for s in strokes(i, factor)]
    placed = labelled(tags, faults, (body, how.side, factor), dims, (regions, lines))
    figure.items += dims
    for one in placed:
        figure.items += label_items(one, factor)
    figure.box = hull([box, *map(label_box, placed)])
    figure.keynotes = [n.keynote for n in named]
    figure.swatches = swatches(request, drawn)
    return figure


def _key(body: Body) -> tuple[str, str, str]:
    return body.role.value, body.name, body.material


def named_parts(request: SheetRequest, drawn: LayeredSection, factor: float) -> list[Named]:
    """Return what gets a number, in the order of building; like bodies share one."""
    groups: dict[tuple[str, str, str], list[Body]] = {}
    for body in drawn.bodies:
        groups.setdefault(_key(body), []).append(body)
    order: list[tuple[int, int, Keynote, tuple[Aim, ...]]] = []
    for number, (key, bodies) in enumerate(groups.items()):
        aims = [a for b in bodies for a in aims_of(b.region, factor)]
        name, detail = describe(request, bodies)
        note = Keynote("", name, detail, "|".join(key), key[0])
        order.append((bodies[0].stage, number, note, _best(aims)))
    films: dict[str, list[Aim]] = {}
    stages: dict[str, int] = {}
    for coat in drawn.coats:
        films.setdefault(coat.name, []).extend(_film_aims(drawn, coat, factor))
        stages.setdefault(coat.name, coat.stage)
    for number, (name, aims) in enumerate(films.items(), len(groups)):
        if aims:
            order.append((stages[name], number, Keynote("", name, "", name), _best(aims)))
    order.sort(key=lambda o: o[:2])
    return [
        Named(replace(note, number=str(i)), aims)
        for i, (_, _, note, aims) in enumerate(order, 1)
    ]


def _best(aims: Sequence[Aim]) -> tuple[Aim, ...]:
    """Return some spots, spread over all that there are.

    Of a thick body those toward the labels at the left, so that leaders to decks and walls
    do not run through everything that lies on them.
    """
    if len(aims) > _FEW and all(a.lie is None for a in aims):
        aims = sorted(aims, key=lambda a: a.at)[: max(_FEW, len(aims) // 3)]
    step = max(1.0, len(aims) / _AIMS)
    return tuple(aims[int(i * step)] for i in range(min(_AIMS, len(aims))))


def aims_of(region: Region, factor: float) -> list[Aim]:
    """Return where a leader may point at a body: well inside."""
    found = spots(region)
    roomiest = max(s.clear for s in found)
    return [
        Aim(
            (spot.at[0] / factor, spot.at[1] / factor),
            None if spot.clear > _THICK * factor else spot.lie,
        )
        for spot in found
        if spot.clear >= 0.6 * min(roomiest, _THICK * factor)
    ]


def _film_aims(drawn: LayeredSection, coat: Coat, factor: float) -> list[Aim]:
    aims: list[Aim] = []
    for run in coat_runs(drawn, coat.body, coat.line, factor):
        points = vertices(run)
        for (x0, y0), (x1, y1) in pairwise(points):
            length = hypot(x1 - x0, y1 - y0)
            if length < 4 * factor:
                continue
            lie = ((x1 - x0) / length, (y1 - y0) / length)
            for part in (0.1, 0.3, 0.5, 0.7, 0.9):
                x, y = x0 + (x1 - x0) * part, y0 + (y1 - y0) * part
                aims.append(Aim((x / factor, y / factor), lie))
    return aims


def describe(request: SheetRequest, bodies: Sequence[Body]) -> tuple[str, str]:
    """Return a keynote's name and the rest of it: material, thickness, how it is held."""
    body = bodies[0]
    material = request.catalog.material(body.material)
    parts: list[str] = []
    if material.name.lower().split(",")[0] not in body.name.lower():
        parts.append(material.name)
    if material.thickness and (body.role in SHEETS or body.role is Role.CEMENT):
        parts.append(show_thickness(material.thickness, request.units))
    if material.standard:
        parts.append(material.standard)
    more = request.catalog.drafting.keynotes.get(body.role.value, "")
    parts.append(body.sticks or more)
    count = f" ({len(bodies)} pieces)" if len(bodies) > 1 else ""
    said = "; ".join(p for p in parts if p)
    return f"{body.name}{count}{':' if said else ''}", said


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


def thickened(request: SheetRequest, factor: float) -> Thickening:
    """Return how much thicker than true thin things are drawn at a scale, if at all."""
    sheets = [b.thickness for b in request.section.bodies if b.role in SHEETS]
    metals = [
        b.thickness
        for b in request.section.bodies
        if b.thickness and layer_of(b.role) == "metal"
    ]
    beds = [b.thickness for b in request.section.bodies if b.role is Role.CEMENT]
    return Thickening(
        _times(sheets, 0.9, factor, 3.5),
        _times(metals, 0.45, factor, 6.0),
        _times(beds, 0.5, factor, 3.5),
    )


def _times(thicknesses: Sequence[float], paper: float, factor: float, most: float) -> float:
    """Return the simple number by which the thinnest is drawn about `paper` mm thick."""
    if not thicknesses:
        return 1.0
    wanted = paper * factor / min(thicknesses)
    rounded = round(wanted * 2) / 2
    return min(most, max(1.0, rounded))


def thickness_notes(drawn: LayeredSection) -> list[str]:
    """Return what a caption says of things drawn thicker than they are."""
    factors = (
        ("sheets", drawn.sheet_factor),
        ("metal", drawn.metal_factor),
        ("beds of cement", drawn.bed_factor),
    )
    said = ", ".join(f"{what} {factor:g} times" for what, factor in factors if factor > 1.0)
    if not said:
        return ["Drawn at true thickness."]
    return [f"Drawn thicker than true: {said}. Dimensions state true lengths."]
