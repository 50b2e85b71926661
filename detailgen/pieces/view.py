"""A stretch of a run unrolled: each course a band, its pieces in it, to scale.

Bands stand in the order of building, the first one lowest. The run goes from left to right
as seen from the roof. A piece's hidden edge is dashed under the piece that laps it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import fsum
from typing import Final

from detailgen.catalog import Scale
from detailgen.lettering import text_width
from detailgen.pieces._courses import Laid, Line, Way
from detailgen.scene import Align, Dimension, Item, Path, Text
from detailgen.sheet.figure import Figure
from detailgen.sheet.flow import PITCH, TEXT
from detailgen.units import UnitSystem, show_length

_FILLS: Final = {Way.HUNG: (232, 232, 232), Way.STRIP: (255, 255, 255)}
_METAL: Final = (205, 205, 205)
_HEAD: Final = 2 * PITCH + 1.2
"""Room above a band for its name, and for numbers of pieces that are too narrow, mm."""
_PAD: Final = 1.0
"""From a text in a piece to the piece's edges, mm."""
_END: Final = 3.0
"""How far the line at an end of the run stands out below and above, mm."""
_FOOT: Final = 13.0
"""Room under the lowest band for the low point and the dimension, mm."""
_BREAK: Final = 1.6
"""Half the height of the kink where a stretch goes on in another row, mm."""
_OFF: Final = 1.0
"""From a name that is longer than its row to the ends of the line that it parts, mm."""
_ARROW: Final = 1.8
"""Half the width of the mark of the low point, mm."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Part of a run that goes on one row of a sheet; mm from the left end."""

    start: float
    end: float


def height_of(courses: Sequence[Laid], factor: float) -> float:
    """Return how high a stretch is on paper, mm."""
    bands = fsum(one.course.widths[0] / factor + _HEAD for one in courses)
    return bands + _FOOT


def names_width(courses: Sequence[Laid]) -> float:
    """Return how wide the names of the bands are on paper, mm."""
    return max(text_width(_name(one), TEXT, bold=True) for one in courses) + 3.0


def least_scale_width(courses: Sequence[Laid]) -> float:
    """Return how wide the narrowest piece must be on paper to hold its number, mm."""
    longest = max((n for one in courses for n, _, _ in one.numbered()), key=len)
    return text_width(longest, TEXT) + 2 * _PAD


def stretch_figure(
    courses: Sequence[Laid],
    line: Line,
    stretch: Stretch,
    scale: Scale,
    units: UnitSystem,
    number: int,
) -> Figure:
    """Return a stretch of a run at a scale.

    Args:
        courses: What is laid, the first one lowest.
        line: The run.
        stretch: What of it is drawn.
        scale: At which scale.
        units: In which widths are printed.
        number: Of the row, from 1.
    """
    factor = scale.factor
    wide = (stretch.end - stretch.start) / factor
    measured = _dimension(stretch, factor, units)
    side = measured.text_at[0] / factor + text_width(measured.text, TEXT) / 2.0
    right = max(wide, names_width(courses), side) + _PAD
    box = (-_PAD, 0.0, right, height_of(courses, factor))
    figure = Figure(f"pieces-{number}", f"PIECES, ROW {number}", scale, box, box)
    y = _FOOT
    for one in courses:
        figure.items += _band(one, stretch, y * factor, factor, units)
        y += one.course.widths[0] / factor + _HEAD
    top = y - _HEAD
    named = [i for i in figure.items if isinstance(i, Text)]
    figure.items += _ends(line, stretch, top, factor, named)
    if stretch.start <= line.low <= stretch.end:
        figure.items += _low_point((line.low - stretch.start) / factor, factor)
    figure.items.append(measured)
    return figure


def _band(
    one: Laid, stretch: Stretch, y: float, factor: float, units: UnitSystem
) -> list[Item]:
    """Return one course; `y` is the level of its lower edge, model mm."""
    high = one.course.widths[0]
    fill = _FILLS.get(one.course.way, _METAL)
    layer = "metal" if one.course.way is Way.METAL else "sheet"
    items: list[Item] = []
    for _, a, b in one.numbered():
        left, right = max(a, stretch.start), min(b, stretch.end)
        if right - left < 1e-6:
            continue
        x0, x1 = left - stretch.start, right - stretch.start
        ring = ((x0, y), (x1, y), (x1, y + high), (x0, y + high))
        items.append(Path(ring, layer, closed=True, fill=fill, stroke=False))
        items += [Path(((x0, e), (x1, e)), layer) for e in (y, y + high)]
        items += [
            Path(((x, y), (x, y + high)), layer)
            for at, x in ((a, x0), (b, x1))
            if stretch.start - 1e-6 <= at <= stretch.end + 1e-6
        ]
    items += _covered(one, stretch, y, high)
    items += _plates(one, stretch, y, high)
    numbers = _numbers(one, stretch, y, factor, units)
    items += numbers
    above = any(isinstance(i, Text) and i.at[1] > y + high for i in numbers)
    at = (2.5 * factor, y + high + (1.4 + (PITCH if above else 0.0)) * factor)
    items.append(Text(at, _name(one), TEXT, "text", bold=True))
    return items


def _name(one: Laid) -> str:
    return f"{one.course.mark}  {one.course.name}"


def _covered(one: Laid, stretch: Stretch, y: float, high: float) -> list[Item]:
    """Return the edges of pieces under the pieces that lap them, dashed."""
    pieces = one.placed.pieces
    found: list[Item] = []
    for n, piece in enumerate(pieces):
        for edge in piece:
            over = any(a + 1e-6 < edge < b - 1e-6 for a, b in pieces[n + 1 :])
            if over and stretch.start < edge < stretch.end:
                x = edge - stretch.start
                found.append(Path(((x, y), (x, y + high)), "hidden"))
    return found


def _plates(one: Laid, stretch: Stretch, y: float, high: float) -> list[Item]:
    """Return the plates behind open joints, dashed where the metal covers them."""
    half = one.course.plate / 2.0
    found: list[Item] = []
    for seam in one.placed.seams if half else ():
        left, right = max(seam - half, stretch.start), min(seam + half, stretch.end)
        if right > left:
            xs = [left - stretch.start, right - stretch.start]
            found += [Path(((x, y), (x, y + high)), "hidden") for x in xs]
    return found


def _numbers(
    one: Laid, stretch: Stretch, y: float, factor: float, units: UnitSystem
) -> list[Item]:
    """Return number and width of each piece: in it, or above it where it is too small."""
    high = one.course.widths[0] / factor
    row = sorted(one.numbered(), key=lambda piece: piece[1])
    shown = [
        (number, b - a, max(a, stretch.start), min(b, stretch.end)) for number, a, b in row
    ]
    clear = _clear(shown, one, stretch, factor)
    items: list[Text] = []
    starts = [a for _, a, _ in row]
    for (number, width, _, _), start, (left, right) in zip(
        shown, starts, clear, strict=True
    ):
        room = (right - left) / factor - 2 * _PAD
        # of a piece that goes on in another row, the larger part has its number for sure
        seen = min(start + width, stretch.end) - max(start, stretch.start)
        lesser = 2.0 * seen < width - 1e-6
        if room < 0.0 and (lesser or seen < 1e-6):
            continue
        middle = (left + right) / 2.0 - stretch.start
        size = show_length(width, units)
        together = f"{number}  {size}"
        if text_width(together, TEXT) <= room:
            texts = [together]
        elif text_width(size, TEXT) <= room and high >= 2 * PITCH + 1.0:
            texts = [size, number]
        else:
            texts = [number]
        fits = text_width(max(texts, key=len), TEXT) <= room and high >= TEXT + 2 * _PAD
        foot = y / factor + (high - (len(texts) - 1) * PITCH - TEXT) / 2.0
        base = foot if fits else y / factor + high + 1.0
        if not fits and lesser and room + 2 * _PAD < text_width(number, TEXT) / 2.0:
            continue
        texts = texts if fits else [number]
        if not fits:  # a text above its piece stays inside the row
            side = (text_width(number, TEXT) / 2.0 + _BREAK) * factor
            middle = min(max(middle, side), stretch.end - stretch.start - side)
        items += [
            Text((middle, (base + n * PITCH) * factor), text, TEXT, "text", Align.CENTRE)
            for n, text in enumerate(texts)
        ]
    return _parted(items, y + high * factor, stretch.end - stretch.start, factor)


def _parted(
    texts: Sequence[Text], level: float, length: float, factor: float
) -> list[Item]:
    """Return texts of which those above a level are moved along, so that none touch."""
    above = [t for t in texts if t.at[1] > level]
    wide = [text_width(t.content, TEXT) * factor for t in above]
    ends = [t.at[0] + w / 2.0 for t, w in zip(above, wide, strict=True)]
    gap = _PAD * factor
    for n in range(1, len(ends)):
        ends[n] = max(ends[n], ends[n - 1] + gap + wide[n])
    last = length - _BREAK * factor
    for n in reversed(range(len(ends))):
        if last < wide[n]:  # a row that is shorter than its numbers
            break
        ends[n] = min(ends[n], last)
        last = ends[n] - wide[n] - gap
    moved = {
        id(t): replace(t, at=(end - w / 2.0, t.at[1]))
        for t, w, end in zip(above, wide, ends, strict=True)
    }
    return [moved.get(id(t), t) for t in texts]


def _clear(
    shown: Sequence[tuple[str, float, float, float]],
    one: Laid,
    stretch: Stretch,
    factor: float,
) -> list[tuple[float, float]]:
    """Return between what a text stands clear of neighbours' edges, piece by piece."""
    found = [[left, right] for _, _, left, right in shown]
    half = one.course.plate / 2.0
    for (first, second), (mine, theirs) in zip(
        pairwise(shown), pairwise(found), strict=True
    ):
        # dashes and an edge run through a lap, dashes beside an open joint
        middle = (first[3] + second[2]) / 2.0
        mine[1] = min(mine[1], second[2], middle - half)
        theirs[0] = max(theirs[0], first[3], middle + half)
    kink = (_BREAK + 0.2) * factor
    low = stretch.start + (kink if stretch.start > 0.0 else 0.0)
    return [
        (max(left, low), min(right, max(stretch.end - kink, low)))
        if right - left > 0.0
        else (left, right)
        for left, right in found
    ]


def _ends(
    line: Line, stretch: Stretch, top: float, factor: float, named: Sequence[Text]
) -> list[Item]:
    """Return a line at each end of the run, and a break where a row goes on.

    The lines leave out what is longer than the row: names of bands, numbers of pieces.
    """
    items: list[Item] = []
    low, high = (_FOOT - _END) * factor, (top + _END) * factor
    for at, corner in ((0.0, line.left), (line.run, line.right)):
        if stretch.start <= at <= stretch.end:
            x = at - stretch.start
            over = [
                ((t.at[1] - _OFF * factor), (t.at[1] + (TEXT + _OFF) * factor))
                for t in named
                if _left(t, factor) - _OFF * factor < x < _right(t, factor) + _OFF * factor
            ]
            levels = [low, *(y for gap in sorted(over) for y in gap), high]
            items += [
                Path(((x, a), (x, b)), "cut")
                for a, b in zip(levels[::2], levels[1::2], strict=True)
                if b - a > _OFF * factor
            ]
            side = 1.0 if at == 0.0 else -1.0
            if corner:
                foot = x + side * 3.0 * factor
                items.append(Path(((x, low), (foot, low)), "cut"))
    for at, goes_on in (
        (stretch.start, stretch.start > 0.0),
        (stretch.end, stretch.end < line.run),
    ):
        if goes_on:
            x, middle = at - stretch.start, (low + high) / 2.0
            k = _BREAK * factor
            points = (
                (x, low), (x, middle - k), (x - k, middle - k / 2), (x + k, middle + k / 2),
                (x, middle + k), (x, high),
            )  # fmt: skip
            items.append(Path(points, "break"))
    return items


def _left(text: Text, factor: float) -> float:
    wide = text_width(text.content, TEXT, bold=text.bold) * factor
    return text.at[0] - (wide / 2.0 if text.align is Align.CENTRE else 0.0)


def _right(text: Text, factor: float) -> float:
    return _left(text, factor) + text_width(text.content, TEXT, bold=text.bold) * factor


def _low_point(x: float, factor: float) -> list[Item]:
    tip, base = (_FOOT - 1.0) * factor, (_FOOT - 1.0 - 2 * _ARROW) * factor
    left, right = (x - _ARROW) * factor, (x + _ARROW) * factor
    ring = ((x * factor, tip), (left, base), (right, base))
    return [Path(ring, "symbol", closed=True, fill=(0, 0, 0))]


def _dimension(stretch: Stretch, factor: float, units: UnitSystem) -> Dimension:
    length = stretch.end - stretch.start
    level = 3.0 * factor
    text = show_length(length, units)
    needed = (text_width(text, TEXT) + 2 * _PAD) * factor
    # beside a short row it stands past the end
    middle = length / 2.0 if needed <= length else length + needed / 2.0 + 2.0 * factor
    return Dimension(
        (0.0, (_FOOT - _END) * factor),
        (length, (_FOOT - _END) * factor),
        (0.0, level),
        0.0,
        text,
        "",
        "",
        (middle, level + 1.0 * factor),
        TEXT,
        "dims",
        length,
    )
