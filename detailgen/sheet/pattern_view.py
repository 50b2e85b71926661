"""Views of pieces that are cut to a pattern: flat, and folded onto the building."""

from collections.abc import Sequence
from math import atan2, cos, dist, fsum, hypot, pi, radians, sin
from typing import Final

from detailgen.catalog import Scale
from detailgen.flat import FlatPiece, Outline, TrueAngle, TrueLength
from detailgen.folding import Face, Vector, dot, folded
from detailgen.geometry import Point, Region
from detailgen.geometry.measures import inner_point
from detailgen.geometry.regions import cut, polygon
from detailgen.scene import Circle, Hatch, Item, Path
from detailgen.section import Axis, Gauge, Layout, Part, Role
from detailgen.sheet.bodies import pattern_of
from detailgen.sheet.dimensioning import SNUG, Measured, dimensions
from detailgen.sheet.figure import Figure, Swatch
from detailgen.sheet.layout_view import part_items, parts_box
from detailgen.sheet.plane import around, hull
from detailgen.sheet.pointers import Word, pointed
from detailgen.sheet.request import SheetRequest
from detailgen.units import show_angle, show_length

PRIMED: Final = "primer-sweep"
"""Pattern of what is primed or prepared."""
FOLDED: Final = "folded-"
"""How ids of views of folded pieces begin."""
LEGEND: Final = (
    Swatch("Outline: cut", "line", layer="pattern"),
    Swatch("Relief cut, to the point where faces meet", "line", layer="relief"),
    Swatch("Fold toward you, as the piece lies face up", "line", layer="valley"),
    Swatch("Fold away from you", "line", layer="ridge"),
    Swatch(
        "Primed (foil) or prepared (granules) before a piece lands",
        "area",
        pattern=PRIMED,
        layer="pattern",
    ),
)
_EYE: Final = 35.0
"""How far above the level the eye is that sees folded pieces, degrees."""
_ARC: Final = 5.0
"""Radius of the arc of an angle, mm on paper."""
_DAB: Final = 0.6
_TIP: Final = 1.0
_LEVEL: Final = 1e-6
_SAME: Final = 0.01
"""Corners closer than this, mm, are one."""


# --- flat ------------------------------------------------------------------------------


def flat_figure(
    request: SheetRequest, piece: FlatPiece, number: int, scale: Scale
) -> Figure:
    """Return the pattern of one piece at a scale.

    Args:
        request: The condition.
        piece: What is cut.
        number: Its place in the order of setting.
        scale: At which scale.
    """
    factor = scale.factor
    box = around([(x / factor, y / factor) for x, y in piece.outline])
    title = f"PIECE {number}: {piece.name.upper()}"
    figure = Figure(piece.id, title, scale, box, box)
    figure.items += _drawn(request, piece)
    straight = [m for n in piece.lengths if (m := _measured(request, piece, n))]
    words, arcs = _words(request, piece, factor)
    # arcs of angles may stand out past the outline
    arced = [around([(x / factor, y / factor) for x, y in arc.points]) for arc in arcs]
    dims, taken = dimensions(straight, hull([box, *arced]), factor, SNUG)
    items, beside = pointed(words, box, factor)
    figure.items += [*arcs, *dims, *items]
    figure.box = hull([taken, beside])
    figure.notes = _set_out(request, piece)
    return figure


def _drawn(request: SheetRequest, piece: FlatPiece) -> list[Item]:
    """Return outline, zones, cuts, folds and dabs, in model mm."""
    pattern = pattern_of(request.catalog.drafting.pattern(PRIMED))
    items: list[Item] = [
        Path(piece.outline, "pattern", closed=True, holes=piece.holes, tag=piece.id)
    ]
    items += [
        Hatch(ring, "hatch", pattern, tag=piece.id)
        for zone in piece.prime
        if len(ring := tidy(zone.outline)) > 2
    ]
    for fold in piece.folds:
        layer = "valley" if fold.turn > 0.0 else "ridge"
        items.append(Path((fold.start, fold.end), layer))
    for each in piece.cuts:
        items += [Path((end, each.tip), "relief") for end in each.ends]
        items.append(Circle(each.tip, _TIP, "pattern"))
    items += [Circle(dab, _DAB, "bead", (0, 0, 0)) for dab in piece.dabs]
    return items


def tidy(ring: Sequence[Point]) -> Outline:
    """Return a ring without corners that lie on one another."""
    pairs = zip(ring, (*ring[1:], ring[0]), strict=True)
    return tuple(a for a, b in pairs if dist(a, b) > _SAME)


def _measured(
    request: SheetRequest, piece: FlatPiece, length: TrueLength
) -> Measured | None:
    """Return a level or an upright length as a dimension; None for one that slants."""
    (x0, y0), (x1, y1) = length.start, length.end
    upright = abs(x1 - x0) < _LEVEL
    if not upright and abs(y1 - y0) > _LEVEL:
        return None
    axis = Axis.VERTICAL if upright else Axis.HORIZONTAL
    prefix = "" if upright else f"{length.label} "
    number = show_length(length.value, request.units, both=request.both_units)
    gauge = Gauge(length.id, "", "", axis, rank=2 if length.id == "run" else 1)
    start, end = (_outermost(piece, p, upright=upright) for p in (length.start, length.end))
    return Measured(gauge, start, end, length.value, prefix + number, prefix, "")


def _outermost(piece: FlatPiece, point: Point, *, upright: bool) -> Point:
    """Return where a dimension starts: at the edge nearest to it, on the point's level.

    A point inside the piece is what is measured, and stays.
    """
    i, j = (1, 0) if upright else (0, 1)
    if not any(_on_edge(point, *edge) for edge in piece.edges()):
        return point
    found: list[float] = []
    for a, b in piece.edges():
        low, high = sorted((a[i], b[i]))
        if low - _LEVEL <= point[i] <= high + _LEVEL:
            if high - low < _LEVEL:
                found += [a[j], b[j]]
            else:
                t = (point[i] - a[i]) / (b[i] - a[i])
                found.append(a[j] + t * (b[j] - a[j]))
    other = max(found) if upright else min(found)
    return (other, point[1]) if upright else (point[0], other)


def _on_edge(p: Point, a: Point, b: Point) -> bool:
    size = hypot(b[0] - a[0], b[1] - a[1])
    ux, uy = (b[0] - a[0]) / size, (b[1] - a[1]) / size
    along = (p[0] - a[0]) * ux + (p[1] - a[1]) * uy
    off = (p[0] - a[0]) * uy - (p[1] - a[1]) * ux
    return abs(off) < 1e-4 and -1e-4 <= along <= size + 1e-4


def _words(
    request: SheetRequest, piece: FlatPiece, factor: float
) -> tuple[list[Word], list[Path]]:
    """Return what is named beside the pattern, and the arcs of its angles."""
    found: list[Word] = []
    arcs: list[Path] = []

    def add(text: str, x: float, y: float) -> None:
        found.append(Word(text, (x / factor, y / factor)))

    for length in piece.lengths:
        (x0, y0), (x1, y1) = length.start, length.end
        if abs(x1 - x0) > _LEVEL and abs(y1 - y0) > _LEVEL:
            told = show_length(length.value, request.units, both=request.both_units)
            add(f"{length.label} {told}", (x0 + x1) / 2, (y0 + y1) / 2)
    for angle in piece.angles:
        ring = _arc(angle, _ARC * factor)
        arcs.append(Path(ring, "dims"))
        add(f"{angle.label} {show_angle(angle.value)}", *ring[len(ring) // 2])
    for dab in piece.dabs:
        add("SEALANT", *dab)
    if piece.prime:
        zone = max(piece.prime, key=lambda z: polygon(z.outline).area)
        body = request.section.body(piece.sheet)
        foil = body and request.catalog.material(body.material).surface == "foil"
        add("PRIMED" if foil else "PREPARED", *inner_point(polygon(zone.outline)))
    return found, arcs


def _arc(angle: TrueAngle, radius: float) -> tuple[Point, ...]:
    """Return the arc of an angle, the short way round."""
    (x, y), (ax, ay), (bx, by) = angle.at, angle.first, angle.second
    start = atan2(ay - y, ax - x)
    sweep = (atan2(by - y, bx - x) - start + pi) % (2.0 * pi) - pi
    steps = max(2, int(abs(sweep) / radians(6.0)))
    turns = [start + sweep * n / steps for n in range(steps + 1)]
    return tuple((x + radius * cos(t), y + radius * sin(t)) for t in turns)


def _set_out(request: SheetRequest, piece: FlatPiece) -> list[str]:
    """Return what the caption says: the blank, where the corners are, how it is set."""

    def told(mm: float) -> str:
        shown = show_length(abs(mm), request.units) if abs(mm) > 0.05 else "0"
        return f"-{shown}" if mm < -0.05 and shown != "0" else shown

    wide, high = piece.size
    if not piece.set_out:
        return [f"Cut from {told(wide)} by {told(high)}.", *piece.notes]
    corners = "; ".join(f"{told(x)}, {told(y)}" for x, y in piece.outline)
    uprights = [
        (n.start[1] + n.end[1], n.label.lower())
        for n in piece.lengths
        if abs(n.start[0] - n.end[0]) < _LEVEL
    ]
    order = ", ".join(label for _, label in sorted(uprights, reverse=True))
    origin = "the foot of the arris on the line of the toe"
    found = [
        f"At the right from the top: {order}." if order else "",
        f"Cut from {told(wide)} by {told(high)}.",
        f"Corners, across and up from {origin}: {corners}.",
    ]
    if piece.cuts:
        ends = "; ".join(f"{told(c.tip[0])}, {told(c.tip[1])}" for c in piece.cuts)
        found.append(f"Relief cut in to {ends}.")
    return [*found, *piece.notes]


# --- folded ----------------------------------------------------------------------------


def folded_figure(
    request: SheetRequest, pieces: Sequence[tuple[int, FlatPiece]], scale: Scale
) -> Figure:
    """Return the pieces of one sheet as they lie on the building, seen from above.

    Args:
        request: The condition.
        pieces: Each with its place in the order of setting.
        scale: Of lengths square to the line of sight.
    """
    section, factor = request.section, scale.factor
    body = section.body(pieces[0][1].sheet)
    role = Role.FLASHING if body is None else body.role
    layout = _folded(section.faces, pieces, role)
    box = parts_box(layout, factor)
    name = role.value.upper()
    figure = Figure(f"{FOLDED}{pieces[0][1].sheet}", f"{name}, FOLDED", scale, box, box)
    figure.items += part_items(layout)
    items, beside = pointed(_names(layout, pieces, factor), box, factor)
    figure.items += items
    figure.box = hull([box, beside])
    figure.notes = ["Seen from above the roof. Not to scale."]
    return figure


def _folded(
    faces: Sequence[Face], pieces: Sequence[tuple[int, FlatPiece]], role: Role
) -> Layout:
    right, upward = _screen(faces)

    def seen(spots: Sequence[Vector]) -> Region:
        return polygon([(dot(s, right), dot(s, upward)) for s in spots])

    parts = [
        Part(f.id, Role.WALL, f.name, seen([f.lift(p) for p in f.outline]), 0)
        for f in faces
    ]
    for number, piece in pieces:
        for panel, ring in folded(piece, faces).items():
            region = seen(ring)
            if region.area > 1.0:
                level = len(parts)
                parts.append(Part(f"{piece.id}.{panel}", role, str(number), region, level))
    return Layout("folded", "", tuple(parts))


def _screen(faces: Sequence[Face]) -> tuple[Vector, Vector]:
    """Return the directions to the right and up of a view from before all faces."""
    x, y = fsum(f.out[0] for f in faces), fsum(f.out[1] for f in faces)
    size = hypot(x, y)
    x, y = (x / size, y / size) if size > _LEVEL else (0.0, -1.0)
    low, high = sin(radians(_EYE)), cos(radians(_EYE))
    return (-y, x, 0.0), (-low * x, -low * y, high)


def _names(
    layout: Layout, pieces: Sequence[tuple[int, FlatPiece]], factor: float
) -> list[Word]:
    """Return the name of each piece with a place where it is not covered."""
    found: list[Word] = []
    for number, piece in pieces:
        name = piece.name.rpartition(", ")[2].upper()
        places: list[tuple[float, Point]] = []
        for part in layout.parts:
            if part.id.startswith(f"{piece.id}."):
                covers = [p.region for p in layout.parts if p.level > part.level]
                places += [(r.area, inner_point(r)) for r in cut(part.region, covers)[:1]]
        if places:
            x, y = max(places)[1]
            found.append(Word(f"{number} {name}", (x / factor, y / factor)))
    return found
