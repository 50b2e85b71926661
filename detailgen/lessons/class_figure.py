"""The section of a class sheet: its parts by number and name, or its dimensions by letter.

Names stand beside the numbers in a column left of the section where that leaves it large
enough; else numbers alone stand about it, and the names in a list below.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from detailgen.catalog import Scale
from detailgen.geometry import Point
from detailgen.geometry.views import run_into
from detailgen.lessons.class_text import BODY, RADIUS, circle_items
from detailgen.lessons.parts import ClassPart, parts_of
from detailgen.lettering import text_width, wrap
from detailgen.scene import Align, Circle, Dimension, Item, Leader, Path, Terminator, Text
from detailgen.section import LayeredSection
from detailgen.sheet.bodies import body_items
from detailgen.sheet.callouts import OFF, Aim, Placed, Slot, Tag, place
from detailgen.sheet.dimensioning import Measured, dimensions, measured
from detailgen.sheet.figure import Figure
from detailgen.sheet.naming import aims_of, film_aims, reached
from detailgen.sheet.plane import Box, hull
from detailgen.sheet.request import SheetRequest
from detailgen.sheet.section_view import body_box
from detailgen.sheet.thickening import thickened

_PITCH: Final = 9.6
"""Least distance of neighbouring circles, mm."""
STEPS: Final = (10.0, 8.0)
"""From the section to its first dimension line, and between lines, mm."""
_APART: Final = 10.4
"""The same of a row between whose circles leaders run, mm."""
_SECOND: Final = 3 * RADIUS + 1.6
"""From the ports to the middles of a second row of circles, mm."""
_TWO: Final = 11.8
"""The same where names take two lines, mm."""
_LINE: Final = 5.2
"""From line to line of a name, mm."""
_TO_WRITE: Final = 46.0
"""Least width of a blank for a name, mm."""
_BESIDE: Final = 1.6
"""From a circle to its name, mm."""
_WORTH: Final = 1.6
"""Names stand beside the numbers unless the section is drawn larger by this without."""
_TALL: Final = 55.0
"""A column of names may be taller than its section by this, mm."""


@dataclass(frozen=True, slots=True)
class Look:
    """How the parts of a section are told."""

    blank: bool = False
    """Whether names are left blank, to be written in."""
    dims: bool = True
    """Whether it has its dimensions."""
    words: bool = True
    """Whether these have a word before the number where they have one elsewhere."""
    by_place: bool = False
    """Whether numbers run from place to place and not in the order of building."""
    beside: bool = True
    """Whether names may stand beside the numbers; a list leaves the section larger."""


@dataclass(frozen=True, slots=True)
class Called:
    """A section with numbers, and what they stand for."""

    figure: Figure
    parts: tuple[tuple[str, ClassPart], ...]
    """Number and part, by number."""
    beside: bool
    """Whether the names, or blanks for them, stand beside the numbers."""


@dataclass(frozen=True, slots=True)
class _Base:
    """A section at a scale, with its dimensions: what numbers are set about."""

    request: SheetRequest
    scale: Scale
    drawn: LayeredSection
    body: Box
    box: Box
    dims: tuple[Dimension, ...]
    parts: tuple[ClassPart, ...]


def called_figure(
    request: SheetRequest, room: tuple[float, float], look: Look
) -> Called | None:
    """Return the section at the largest standard scale, its parts numbered.

    Args:
        request: The condition.
        room: Width and height that it may take, mm.
        look: How its parts are told.

    Returns:
        None where it finds no room at any scale.
    """
    plain: tuple[_Base, list[Slot]] | None = None
    tall: tuple[_Base, list[Slot], float] | None = None
    for scale in request.catalog.drafting.scales_of(request.units):
        if plain and scale.factor > _WORTH * plain[0].scale.factor:
            break
        base = _base(request, scale, room, look)
        if base is None:
            continue
        if look.beside and (found := _column(base, room, blank=look.blank)):
            slots, width, high = found
            if high <= base.body[3] - base.body[1] + _TALL:
                return _finish(base, slots, look, width)
            tall = tall or (base, slots, width)
        if plain is None and (slots := _around(base, room)):
            plain = base, slots
    if plain:
        return _finish(*plain, look, 0.0)
    return _finish(tall[0], tall[1], look, tall[2]) if tall else None


def first_fitting(
    request: SheetRequest, room: tuple[float, float], look: Look, shares: Sequence[float]
) -> Called:
    """Return the section in the first share of the height in which it finds room."""
    for share in shares:
        if found := called_figure(request, (room[0], share * room[1]), look):
            return found
    raise AssertionError("a section fits on a page at some standard scale")


def _base(
    request: SheetRequest, scale: Scale, room: tuple[float, float], look: Look
) -> _Base | None:
    """Return a section at a scale; None where it alone is too large."""
    factor = scale.factor
    true = body_box(request.section, factor)
    if true[2] - true[0] > room[0] or true[3] - true[1] > room[1]:
        return None
    drawn = request.rebuild(thickened(request, factor))
    body = body_box(drawn, factor)
    made: list[Dimension] = []
    box = body
    if look.dims:
        gauges = [g for g in request.section.gauges if g.view == "section"]
        points, both = request.section.points, request.both_units
        wanted = measured(gauges, points, drawn.points, request.units, both=both)
        wanted = [plain(m, look) for m in wanted]
        made, box = dimensions(wanted, body, factor, STEPS, BODY)
    parts = parts_of(drawn, request.catalog)
    return _Base(request, scale, drawn, body, box, tuple(made), parts)


def plain(one: Measured, look: Look) -> Measured:
    """Return a dimension with its words in small letters, which read better in a class."""
    number = one.text.removeprefix(one.prefix)
    number = number.removesuffix(one.suffix) if one.suffix else number
    prefix = one.prefix.capitalize() if look.words else ""
    suffix = one.suffix.lower()
    return replace(one, text=f"{prefix}{number}{suffix}", prefix=prefix, suffix=suffix)


def _column(
    base: _Base, room: tuple[float, float], *, blank: bool
) -> tuple[list[Slot], float, float] | None:
    """Return slots in a column with names, the names' width, and the column's height."""
    count = len(base.parts)
    names = [p.name for p in base.parts]
    high = base.body[3] - base.body[1]
    for lines, least in ((1, _PITCH), (2, _TWO)):
        width = _width_of(names, lines)
        if blank:
            width = max(width, _TO_WRITE)
        # What is dimensioned below the section stands lower than any of the names.
        names_at = base.body[0] - OFF - 2 * RADIUS - _BESIDE - width - 1.0
        wide = base.box[2] - min(names_at, base.box[0])
        tall = count * least
        top = max(base.box[3], base.body[1] + max(high, tall))
        if wide > room[0] or top - base.box[1] > room[1]:
            continue
        pitch = max(least, high / count)
        x = base.body[0] - OFF
        ys = [base.body[1] + (n + 0.5) * pitch for n in range(count)]
        return [Slot((x, y), (x - RADIUS, y)) for y in ys], width, tall
    return None


def _width_of(names: Sequence[str], lines: int) -> float:
    """Return the least width at which every name takes so many lines at most."""
    width = max(text_width(w, BODY) for name in names for w in name.split(" "))
    while any(len(wrap(name, width, BODY)) > lines for name in names):
        width += 1.0
    return width + 0.2


def _around(base: _Base, room: tuple[float, float]) -> list[Slot]:
    """Return slots at the left and above for numbers alone; none where they do not fit.

    Where one row above is not enough there are two, and where those are not enough two
    columns; leaders from the further one run between the circles of the nearer one.
    """
    x0, y0, x1, y1 = base.body
    count = len(base.parts)
    above, beside = int((x1 - x0) / _PITCH), int((y1 - y0) / _PITCH)
    if count > above + beside:
        above = 2 * int((x1 - x0) / _APART) - 1
    slots: list[Slot] = []
    if above < 1 or count > above + beside:
        slots = _two_columns(base.body, count)
    elif beside and (count > above or base.drawn.side_of_air == "left"):
        pitch = (y1 - y0) / beside
        ys = [y0 + (n + 0.5) * pitch for n in range(beside)]
        slots += [Slot((x0 - OFF, y), (x0 - OFF - RADIUS, y)) for y in ys]
    if len(slots) < count:
        slots += _above(base.body, count - len(slots))
    box = hull([base.box, *(_slot_box(s) for s in slots)])
    fits = box[2] - box[0] <= room[0] and box[3] - box[1] <= room[1]
    return slots if fits else []


def _above(body: Box, count: int) -> list[Slot]:
    """Return slots above a section, in one row or in two."""
    x0, _, x1, y1 = body
    low = y1 + OFF
    single = int((x1 - x0) / _PITCH)
    if count <= single:
        step = (x1 - x0) / single
        xs = [x0 + (n + 0.5) * step for n in range(single)]
        return [Slot((x, low), (x, low + RADIUS)) for x in xs]
    number = int((x1 - x0) / _APART)
    step = (x1 - x0) / number
    slots: list[Slot] = []
    for n in range(number):
        x = x0 + (n + 0.5) * step
        slots.append(Slot((x, low), (x, low + RADIUS)))
        if n + 1 < number:
            slots.append(Slot((x + step / 2, low), (x + step / 2, low + _SECOND)))
    return slots


def _two_columns(body: Box, count: int) -> list[Slot]:
    """Return slots in two columns at the left, on above the section if need be."""
    x0, y0, _, y1 = body
    tall = (count + 1) // 2
    pitch = max(_APART, (y1 - y0) / tall)
    slots: list[Slot] = []
    for n in range(tall):
        y = y0 + (n + 0.5) * pitch
        slots.append(Slot((x0 - OFF, y), (x0 - OFF - RADIUS, y)))
        y += pitch / 2
        slots.append(Slot((x0 - OFF, y), (x0 - OFF - _SECOND, y)))
    return slots


def _slot_box(slot: Slot) -> Box:
    x, y = slot.centre
    size = RADIUS + 0.8
    return x - size, y - size, x + size, y + size


def _finish(base: _Base, slots: list[Slot], look: Look, width: float) -> Called:
    """Match numbers to slots, and draw all of it; names have a width, or none."""
    factor = base.scale.factor
    aims: dict[int, list[Aim]] = {}
    for n, part in enumerate(base.parts):
        found = [a for b in part.bodies for a in aims_of(b.region, factor)]
        found += [a for c in part.coats for a in film_aims(base.drawn, c, factor)]
        if found:
            aims[n] = found
    chosen = reached(list(aims.values()), base.drawn, factor, (base.body, "left"))
    tags = [Tag(str(n), fault=False, aims=a) for n, a in zip(aims, chosen, strict=True)]
    regions = [b.region for b in base.drawn.bodies]

    def over(port: Point, tips: Sequence[Point]) -> list[int]:
        px, py = port[0] * factor, port[1] * factor
        lines = [((px, py), (x * factor, y * factor)) for x, y in tips]
        return run_into(lines, regions)

    placed = place(tags, slots, (), over)
    order = sorted(placed, key=_clockwise(base.body)) if look.by_place else placed
    told = [(str(n), base.parts[int(p.tag.text)]) for n, p in enumerate(order, 1)]
    figure = Figure("section", "SECTION", base.scale, base.body, base.box)
    figure.items += body_items(base.drawn, base.request.catalog, factor)
    figure.items += base.dims
    boxes = [base.box]
    for one, (number, part) in zip(order, told, strict=True):
        name = "" if look.blank else part.name
        items, box = _label(one, number, name, width, factor)
        figure.items += items
        boxes.append(box)
    figure.box = hull(boxes)
    return Called(figure, tuple(told), beside=width > 0.0)


def _clockwise(body: Box) -> Callable[[Placed], tuple[bool, float]]:
    """Return the order of labels: down the column; with some above, up and then along."""

    def key(one: Placed) -> tuple[bool, float]:
        x, y = one.slot.centre
        above = y > body[3] + OFF and x > body[0]
        return above, x if above else -y

    return key


def _label(
    one: Placed, number: str, name: str, width: float, factor: float
) -> tuple[list[Item], Box]:
    """Return a number in its circle with its leader, and its name or a blank beside it."""
    x, y = one.slot.centre
    way = [one.tip, one.slot.port]
    px, py = one.slot.port
    if abs(x - px) < 1e-9 and y - RADIUS > py + 1e-6:
        way.append((x, y - RADIUS))
    elif abs(y - py) < 1e-9 and x + RADIUS < px - 1e-6:
        way.append((x + RADIUS, y))
    line = tuple((ax * factor, ay * factor) for ax, ay in way)
    items: list[Item] = [Leader(line, "leaders", Terminator.DOT, number)]
    items += [scaled(i, factor) for i in circle_items(number, x, y)]
    box = _slot_box(one.slot)
    if not width:
        return items, box
    right = x - RADIUS - _BESIDE
    lines = wrap(name, width, BODY)
    top = y - BODY / 2 + (len(lines) - 1) * _LINE / 2
    for n, words in enumerate(lines):
        at = (right * factor, (top - n * _LINE) * factor)
        items.append(Text(at, words, BODY, "text", Align.RIGHT))
    if not lines:
        low = (y - BODY / 2 - 1.0) * factor
        items.append(
            Path((((right - width) * factor, low), (right * factor, low)), "table")
        )
    return items, hull([box, (right - width, y - 1.0, right, y + 1.0)])


def scaled(item: Item, factor: float) -> Item:
    """Return a circle or a text whose place is on paper with its place in model mm."""
    match item:
        case Circle():
            return replace(item, centre=(item.centre[0] * factor, item.centre[1] * factor))
        case Text():
            return replace(item, at=(item.at[0] * factor, item.at[1] * factor))
        case _:
            message = f"{type(item).__name__} is not a part of a label"
            raise TypeError(message)
