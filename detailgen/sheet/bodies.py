"""Bodies of a section as items: outlines, fills, hatches, joints, films, break lines."""

from collections.abc import Sequence
from math import dist, hypot
from typing import Final

from detailgen.catalog import Catalog, Material, PatternData
from detailgen.geometry import Line, Point, Region
from detailgen.geometry.regions import holes, outline, vertices
from detailgen.geometry.views import band, film_inside
from detailgen.scene import Hatch, HatchFamily, Item, Path, Pattern
from detailgen.section import METALS, SHEETS, WOOD, Body, Bond, LayeredSection, Role

BLACK: Final = (0, 0, 0)
WHITE: Final = (255, 255, 255)
GREY: Final = (150, 150, 150)
UNDER_METAL: Final = frozenset({Role.CLEAT, Role.TERMINATION_BAR})
"""Metal that lies against other metal: grey, since two blacks would run together."""
LAYERS: Final = {
    **dict.fromkeys(SHEETS, "sheet"),
    **dict.fromkeys(METALS, "metal"),
    **dict.fromkeys(WOOD, "wood"),
    Role.CEMENT: "cement",
    Role.BEAD: "bead",
    Role.FASTENER: "fastener",
}
"""Layer by role; what is not here is plainly cut."""
SHEET_FILLS: Final = {
    Role.BASE_PLY: (178, 178, 178),
    Role.STRIP_IN: (255, 255, 255),
    Role.FINISH_PLY: (118, 118, 118),
    Role.FLASHING: (226, 226, 226),
    Role.UPPER_FLASHING: (160, 160, 160),
}
"""Fills of sheets: neighbours differ enough to be told apart on a photocopy."""
GAP: Final = 0.42
"""Width of the white line where two bodies lie dry on each other, mm on paper."""
FILM: Final = 0.75
"""How far inside the face a film of primer is drawn, mm on paper."""
ZIGZAG: Final = 2.2
"""Half the height of the kink of a break line, mm on paper."""


def clean(ring: Sequence[Point]) -> tuple[Point, ...]:
    """Return a ring without points that stand twice, nearer than 0.1 micrometre."""
    kept = [p for p, q in zip(ring, [ring[-1], *ring], strict=False) if dist(p, q) > 1e-4]
    return tuple(kept)


def rings_of(region: Region) -> tuple[tuple[Point, ...], tuple[tuple[Point, ...], ...]]:
    """Return a region's outline and its holes, as paths want them."""
    inner = (clean(h) for h in holes(region))
    return clean(outline(region)), tuple(h for h in inner if len(h) > 2)


def layer_of(role: Role) -> str:
    """Return the layer that bodies of a role lie on."""
    return LAYERS.get(role, "cut")


def fill_of(body: Body, material: Material) -> tuple[int, int, int] | None:
    """Return the solid fill of a body: black for metal, told apart for sheets."""
    if body.role in UNDER_METAL:
        return GREY
    if body.role in METALS or body.role is Role.FASTENER:
        return BLACK
    return SHEET_FILLS.get(body.role, material.fill)


def crossed(body: Body, material: Material) -> bool:
    """Return whether a piece is lumber seen at its end, drawn with a cross."""
    return body.role in WOOD and material.family == "wood"


def pattern_of(data: PatternData) -> Pattern:
    """Return a catalogue's pattern as the scene holds it."""
    families = tuple(
        HatchFamily(f.angle, f.spacing, f.shift, f.origin, f.dashes) for f in data.families
    )
    return Pattern(data.name, families)


def body_items(section: LayeredSection, catalog: Catalog, factor: float) -> list[Item]:
    """Return all that is drawn of a section but its annotations, in drawing order."""
    items: list[Item] = []
    fasteners = [b for b in section.bodies if b.role is Role.FASTENER]
    for body in section.bodies:
        if body.role is not Role.FASTENER:
            items += _body(body, catalog)
    items += dry_joints(section, factor)
    items += coat_lines(section, factor)
    for body in fasteners:  # last, so that nothing hides them
        items += _body(body, catalog)
    for line in section.breaks:
        for stretch in broken_stretches(section, line):
            items += break_line(stretch, factor)
    return items


def _body(body: Body, catalog: Catalog) -> list[Item]:
    """Return a body's outline with its fill, and its hatch."""
    material = catalog.material(body.material)
    ring, inner = rings_of(body.region)
    fill = fill_of(body, material)
    items: list[Item] = [
        Path(ring, layer_of(body.role), closed=True, holes=inner, fill=fill, tag=body.id)
    ]
    if crossed(body, material):
        items += _cross(body.region, body.id)
    elif material.pattern:
        pattern = pattern_of(catalog.drafting.pattern(material.pattern))
        items.append(Hatch(ring, "hatch", pattern, inner, body.id))
    return items


def _cross(region: Region, tag: str) -> list[Item]:
    """Return the two diagonals of a piece of lumber."""
    x0, y0, x1, y1 = region.bounds
    ring = outline(region)
    corners = [
        min(ring, key=lambda p: hypot(p[0] - x, p[1] - y))
        for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    ]
    return [
        Path((corners[0], corners[2]), "hatch", tag=tag),
        Path((corners[1], corners[3]), "hatch", tag=tag),
    ]


def dry_joints(section: LayeredSection, factor: float) -> list[Item]:
    """Return white gaps where a sheet lies loose, each with a dashed line in it."""
    sheets = {b.id for b in section.bodies if b.role in SHEETS}
    items: list[Item] = []
    for joint in section.joints:
        if joint.bond is not Bond.DRY or joint.upper not in sheets:
            continue
        for strip in band(joint.line, GAP * factor):
            ring = clean(outline(strip))
            if len(ring) < 3:
                continue
            items.append(Path(ring, "sheet", closed=True, fill=WHITE, stroke=False))
        items.append(Path(vertices(joint.line), "hidden"))
    return items


def coat_lines(section: LayeredSection, factor: float) -> list[Item]:
    """Return films of primer, just inside the face that they are brushed on."""
    return [
        Path(vertices(run), "coat")
        for coat in section.coats
        for run in coat_runs(section, coat.body, coat.line, factor)
    ]


def coat_runs(
    section: LayeredSection, body_id: str, line: Line, factor: float
) -> list[Line]:
    """Return where a film on a body is drawn; on its face where there is no inside."""
    body = section.body(body_id)
    if body is None:
        return [line]
    depth = FILM * factor
    if body.thickness:
        depth = min(depth, body.thickness / 2)
    return film_inside(line, body.region, depth) or [line]


def broken_stretches(section: LayeredSection, line: Line) -> list[tuple[Point, Point]]:
    """Return the stretches of a side at which bodies go on, neighbours joined."""
    (xa, ya), (xb, yb) = vertices(line)[0], vertices(line)[-1]
    upright = abs(xb - xa) < abs(yb - ya)
    level, axis = (xa, 0) if upright else (ya, 1)
    reach = sorted((ya, yb) if upright else (xa, xb))
    spans: list[tuple[float, float]] = []
    for body in section.bodies:
        ring = [p for p in outline(body.region) if abs(p[axis] - level) < 0.1]
        along = [min(max(p[1 - axis], reach[0]), reach[1]) for p in ring]
        if along and max(along) - min(along) > 0.1:
            spans.append((min(along), max(along)))
    joined: list[tuple[float, float]] = []
    for low, high in sorted(spans):
        if joined and low - joined[-1][1] < 8.0:
            joined[-1] = (joined[-1][0], max(high, joined[-1][1]))
        else:
            joined.append((low, high))
    if upright:
        return [((level, low), (level, high)) for low, high in joined]
    return [((low, level), (high, level)) for low, high in joined]


def break_line(line: tuple[Point, Point], factor: float) -> list[Item]:
    """Return a break line: the cut edge in white, over it a thin line with one kink."""
    (xa, ya), (xb, yb) = line
    length = hypot(xb - xa, yb - ya)
    if length < 1e-6:
        return []
    ux, uy = (xb - xa) / length, (yb - ya) / length
    over, kink = 2.0 * factor, min(ZIGZAG * factor, length / 5)

    def at(along: float, off: float) -> Point:
        return xa + ux * along - uy * off, ya + uy * along + ux * off

    middle = length / 2
    points = (
        at(-over, 0.0),
        at(middle - kink * 0.6, 0.0),
        at(middle - kink * 0.25, kink),
        at(middle + kink * 0.25, -kink),
        at(middle + kink * 0.6, 0.0),
        at(length + over, 0.0),
    )
    half = 0.45 * factor
    white = (at(0.0, -half), at(length, -half), at(length, half), at(0.0, half))
    return [
        Path(white, "break", closed=True, fill=WHITE, stroke=False),
        Path(points, "break"),
    ]


def true_outlines(section: LayeredSection) -> list[Item]:
    """Return the closed outlines of a section at true size."""
    return [
        Path(ring, layer_of(body.role), closed=True, holes=inner, tag=body.id)
        for body in section.bodies
        for ring, inner in [rings_of(body.region)]
    ]
