"""A panel: the section as it stands at a stage, what is new in full, the rest quiet."""

from dataclasses import replace
from typing import Final

from detailgen.catalog import Catalog, Scale
from detailgen.geometry.regions import outline, vertices
from detailgen.geometry.views import band
from detailgen.lessons.step import Step, is_stuck, standing
from detailgen.scene import Hatch, Item, Path
from detailgen.section import METALS, SHEETS, Bond, LayeredSection, Role
from detailgen.sheet.bodies import (
    GAP,
    WHITE,
    body_items,
    break_line,
    broken_stretches,
    clean,
    coat_lines,
    dry_joints,
    rings_of,
)
from detailgen.sheet.figure import Figure, Swatch
from detailgen.sheet.request import SheetRequest
from detailgen.sheet.section_view import body_box, swatches

NEW_SHEET: Final = (140, 140, 140)
"""Fill of a sheet that a stage lays."""
_PALE_SHEET: Final = (232, 232, 232)
_PALE_METAL: Final = (205, 205, 205)
_PALE: Final = (250, 250, 250)
_GONE: Final = "beyond"
"""Layer of the outline of what a stage takes out, crossed through."""


def stage_figure(
    drawn: LayeredSection, step: Step, catalog: Catalog, scale: Scale
) -> Figure:
    """Return the panel of a stage.

    Args:
        drawn: The finished section, thin things thickened for the scale.
        step: The stage of the true section.
        catalog: For fills and patterns.
        scale: At which it is drawn.
    """
    number, factor = step.stage.number, scale.factor
    box = body_box(drawn, factor)
    figure = Figure(f"stage-{number}", step.stage.name, scale, box, box)
    figure.items = stage_items(drawn, number, catalog, factor)
    return figure


def stage_items(
    drawn: LayeredSection, number: int, catalog: Catalog, factor: float
) -> list[Item]:
    """Return what a panel draws of a section at a stage, in drawing order."""
    built = drawn.at_stage(number)
    passing = standing(drawn, number)
    items: list[Item] = []
    for body in (*built.bodies, *passing):
        if body.stage < number:
            ring, inner = rings_of(body.region)
            fill = (
                _PALE_SHEET
                if body.role in SHEETS
                else _PALE_METAL
                if body.role in METALS or body.role is Role.FASTENER
                else _PALE
            )
            items.append(Path(ring, "quiet", True, inner, fill, tag=body.id))
    fresh = tuple(b for b in (*built.bodies, *passing) if b.stage == number)
    solid = replace(built, bodies=fresh, joints=(), coats=(), breaks=())
    nails = tuple(b for b in fresh if b.role is Role.FASTENER)
    rest = tuple(b for b in fresh if b.role is not Role.FASTENER)
    items += map(_loud, body_items(replace(solid, bodies=rest), catalog, factor))
    items += _taken_out(drawn, number)
    items += bond_marks(built, number, factor)
    coats = tuple(c for c in built.coats if c.stage == number)
    items += coat_lines(replace(built, coats=coats), factor)
    items += body_items(replace(solid, bodies=nails), catalog, factor)
    for line in built.breaks:
        for stretch in broken_stretches(built, line):
            items += break_line(stretch, factor)
    return items


def _taken_out(drawn: LayeredSection, number: int) -> list[Item]:
    """Return the outline of what comes out in a stage, with a cross through it."""
    items: list[Item] = []
    for body in drawn.passing:
        if body.until == number:
            x0, y0, x1, y1 = (float(v) for v in body.region.bounds)
            items.append(Path(rings_of(body.region)[0], _GONE, True, tag=body.id))
            items += [
                Path(line, _GONE, tag=body.id)
                for line in (((x0, y0), (x1, y1)), ((x0, y1), (x1, y0)))
            ]
    return items


def _loud(item: Item) -> Item:
    """Return a new sheet with the fill that all new sheets have."""
    if isinstance(item, Path) and item.layer == "sheet" and item.closed:
        return replace(item, fill=NEW_SHEET)
    return item


def bond_marks(built: LayeredSection, number: int, factor: float) -> list[Item]:
    """Return how new bodies are held: loose, stuck or in cement, along their joints."""
    roles = {b.id: b.role for b in built.bodies}
    stages = {b.id: b.stage for b in built.bodies}
    made = tuple(j for j in built.joints if max(stages[j.upper], stages[j.lower]) == number)
    items: list[Item] = [*dry_joints(replace(built, joints=made), factor)]
    for joint in made:
        if is_stuck(joint):
            items.append(Path(vertices(joint.line), "stuck"))
        elif joint.bond is Bond.CEMENT and roles[joint.upper] is not Role.CEMENT:
            for strip in band(joint.line, GAP * factor):
                ring = clean(outline(strip))
                if len(ring) > 2:
                    items.append(Path(ring, "sheet", True, fill=WHITE, stroke=False))
            items.append(Path(vertices(joint.line), "bedded"))
    return items


def key_of_panels(
    request: SheetRequest, drawn: LayeredSection, figures: list[Figure]
) -> list[Swatch]:
    """Return the legend of the panels: new and quiet, and the marks that they have."""
    built = tuple(b for b in drawn.bodies if b.stage and b.role not in SHEETS)
    solid = replace(drawn, bodies=(*built, *drawn.passing), joints=(), coats=())
    used = {i.layer for f in figures for i in f.items if not isinstance(i, Hatch)}
    rows = [
        Swatch("New sheet in this stage", "area", NEW_SHEET, layer="sheet"),
        Swatch("Built before", "area", _PALE_SHEET, layer="quiet"),
        Swatch("Stuck down in this stage", "line", layer="stuck"),
        Swatch("Set in cement in this stage", "line", layer="bedded"),
        Swatch("Laid dry, not stuck", "dry", layer="hidden"),
        Swatch("Primer or prepared surface", "coat", layer="coat"),
        Swatch("Taken out in this stage", "area", layer=_GONE, crossed=True),
    ]
    always = {"sheet", "quiet"}
    shown = [row for row in rows if row.layer in used | always]
    return [*shown[:1], *swatches(request, solid), *shown[1:]]
