"""Companion views: the flange plan and the wall elevation, which a section cannot show."""

from collections.abc import Sequence
from math import hypot
from typing import Final

from detailgen.catalog import Scale
from detailgen.geometry import Region
from detailgen.geometry.regions import cut, outline, polygon, vertices
from detailgen.geometry.views import covered_edges
from detailgen.scene import Circle, Item, Path
from detailgen.section import METALS, Layout, Part, Role
from detailgen.sheet.blocks import Keynote
from detailgen.sheet.bodies import SHEET_FILLS, layer_of, rings_of
from detailgen.sheet.callouts import Aim, Tag
from detailgen.sheet.dimensioning import SNUG, Measured, dimensions, measured
from detailgen.sheet.figure import Figure
from detailgen.sheet.labels import label_box, label_items, labelled
from detailgen.sheet.naming import aims_of
from detailgen.sheet.plane import Box, hull
from detailgen.sheet.request import SheetRequest
from detailgen.sheet.section_view import slot_boxes

_NAIL: Final = 0.55
"""Radius of a fastener's mark, mm on paper."""
_PALER: Final = 0.5
"""How much of a sheet's tone a layout shows, so that dashes on it read."""
_PALE: Final = {Role.WALL: (245, 245, 245), Role.DECK: (245, 245, 245)}


def parts_box(layout: Layout, factor: float) -> Box:
    """Return the box of the parts on paper about the model's origin."""
    bounds = [p.region.bounds for p in layout.parts]
    x0, y0, x1, y1 = hull([
        (float(a), float(b), float(c), float(d)) for a, b, c, d in bounds
    ])
    return x0 / factor, y0 / factor, x1 / factor, y1 / factor


def expected_box(layout: Layout, wanted: Sequence[Measured], scale: Scale) -> Box:
    """Return about how large a companion view is at a scale, before it is drawn."""
    body = parts_box(layout, scale.factor)
    box = dimensions(wanted, body, scale.factor, SNUG)[1]
    count = len({p.name for p in layout.parts})
    return hull([box, *slot_boxes(body, "top", count)])


def layout_dimensions(request: SheetRequest, layout: Layout) -> list[Measured]:
    """Return what a companion view dimensions."""
    points, units = layout.points, request.units
    return measured(layout.gauges, points, points, units, both=request.both_units)


def layout_figure(
    request: SheetRequest,
    layout: Layout,
    scale: Scale,
    known: Sequence[Keynote],
    faults: Sequence[Tag],
) -> Figure:
    """Return a companion view at a scale.

    Args:
        request: The condition.
        layout: What is drawn.
        scale: At which scale.
        known: Keynotes of the main view: a part named there keeps its number.
        faults: Marks of rules that fail in this view.
    """
    factor = scale.factor
    body = parts_box(layout, factor)
    figure = Figure(layout.id, layout.title.upper(), scale, body, body)
    figure.items += part_items(layout)
    figure.items += [Circle(m.at, _NAIL, "fastener", (0, 0, 0)) for m in layout.marks]
    wanted = layout_dimensions(request, layout)
    dims, box = dimensions(wanted, body, factor, SNUG)
    figure.items += dims
    tags, figure.keynotes = _tags(layout, factor, known)
    # without their holes: a mark inside a post would stand among its lines
    regions = [polygon(outline(p.region)) for p in layout.parts]
    placed = labelled(tags, faults, (body, "top", factor), dims, (regions, ()))
    for one in placed:
        figure.items += label_items(one, factor)
    figure.box = hull([box, *map(label_box, placed)])
    return figure


def part_items(layout: Layout) -> list[Item]:
    """Return the parts, lower ones first; what later ones cover is dashed at the end."""
    ordered = sorted(layout.parts, key=lambda p: p.level)
    items: list[Item] = []
    for part in ordered:
        fill = _paler(SHEET_FILLS.get(part.role)) or _PALE.get(part.role, (255, 255, 255))
        if part.role in METALS:
            fill = (205, 205, 205)
        if part.hidden:
            continue
        ring, inner = rings_of(part.region)
        items.append(
            Path(
                ring,
                layer_of(part.role),
                closed=True,
                holes=inner,
                fill=fill,
                tag=part.id,
            )
        )
    for part in ordered:
        covers = [p.region for p in ordered if p.level > part.level and not p.hidden]
        if not part.hidden:
            items += [
                Path(vertices(run), "hidden", tag=part.id)
                for run in covered_edges(part.region, covers)
            ]
    hidden = [p for p in ordered if p.hidden]
    items += [Path(rings_of(p.region)[0], "hidden", closed=True, tag=p.id) for p in hidden]
    return items


def _paler(fill: tuple[int, int, int] | None) -> tuple[int, int, int] | None:
    """Return a fill on which dashes of what it covers still read."""
    if fill is None:
        return None
    red, green, blue = (round(255 - _PALER * (255 - tone)) for tone in fill)
    return red, green, blue


def _tags(
    layout: Layout, factor: float, known: Sequence[Keynote]
) -> tuple[list[Tag], list[Keynote]]:
    """Return a label for each kind of part, and what the labels stand for."""
    by_role: dict[str, list[str]] = {}
    for note in known:
        by_role.setdefault(note.role, []).append(note.number)
    following = len(known) + 1
    names: dict[str, list[str]] = {}
    tags: list[Tag] = []
    groups: dict[str, list[Part]] = {}
    for part in layout.parts:
        groups.setdefault(part.name, []).append(part)
    for name, parts in groups.items():
        role = parts[0].role.value
        numbers = by_role.get(role, []) if name.lower().startswith(role) else []
        number = numbers[0] if len(numbers) == 1 else str(following)
        aims = [a for p in parts for a in _aims(p, layout.parts, factor)]
        if not aims:
            continue
        following += number == str(following)
        tags.append(Tag(number, fault=False, aims=tuple(aims[:: max(1, len(aims) // 9)])))
        names.setdefault(number, []).append(name)
    order = sorted(names, key=int)
    return tags, [Keynote(n, _listed(names[n]), "") for n in order]


def _listed(names: Sequence[str]) -> str:
    """Return names in a row, those of numbered pieces in short: `pieces 1, 2, 3`."""
    parted = [n.rpartition(", piece ") for n in names]
    if len(names) > 1 and len({head for head, _, _ in parted}) == 1 and parted[0][0]:
        return f"{parted[0][0]}, pieces {', '.join(tail for _, _, tail in parted)}"
    return "; ".join(names)


def _aims(part: Part, parts: Sequence[Part], factor: float) -> list[Aim]:
    """Return where a leader may point at a part: where seen, or on its dashed edge."""
    if part.hidden:
        return _edge_aims(part.region, factor)
    over = [p.region for p in parts if p.level > part.level and not p.hidden]
    seen = cut(part.region, over)
    return aims_of(seen[0], factor) if seen else []


def _edge_aims(region: Region, factor: float) -> list[Aim]:
    aims: list[Aim] = []
    ring = outline(region)
    for (x0, y0), (x1, y1) in zip(ring, [*ring[1:], ring[0]], strict=True):
        length = hypot(x1 - x0, y1 - y0)
        if length > 6.0 * factor:
            lie = ((x1 - x0) / length, (y1 - y0) / length)
            aims += [
                Aim(((x0 + (x1 - x0) * t) / factor, (y0 + (y1 - y0) * t) / factor), lie)
                for t in (0.07, 0.31, 0.58, 0.86)
            ]
    return aims
