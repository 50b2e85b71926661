"""The flat piece of a bent metal: its outline, the middles of its bends, its holes.

The stated face lies up, the first edge at the top. A bend toward it is a fold toward the
reader, as on every pattern. A piece that is longer than the view is broken at its right.
"""

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from detailgen.catalog import Scale
from detailgen.lettering import text_width
from detailgen.profile import Bend, HoleRow, Make, Profile, Turn
from detailgen.scene import Circle, Path
from detailgen.section import Axis, Gauge
from detailgen.sheet.bodies import ZIGZAG, break_line
from detailgen.sheet.dimensioning import SNUG, Measured, dimensions
from detailgen.sheet.figure import Figure
from detailgen.sheet.flow import TEXT
from detailgen.sheet.plane import around, hull
from detailgen.sheet.pointers import Word, pointed
from detailgen.sheet.request import SheetRequest
from detailgen.units import UnitSystem, show_angle, show_length, show_run, show_thickness

_LONG: Final = 1.6
"""A piece is shown so many times as long as it is wide, or until its second holes."""
_LEAST: Final = 18.0
"""It is shown at least so long, mm on paper."""
_BESIDE: Final = 34.0
"""What leaders, the upright dimension and the kink of the break take, mm on paper."""
_END: Final = 2.0
"""Leaders end on the lines of bends so far from the end of the piece, mm on paper."""


def blank_figure(
    request: SheetRequest, profile: Profile, number: int, scale: Scale, width: float
) -> Figure:
    """Return the view of a flat piece at a scale.

    Args:
        request: The condition.
        profile: Of the metal.
        number: Of the profile on the sheets of its condition.
        scale: At which scale.
        width: That it should keep to, labels and all, mm on paper.
    """
    factor, units = scale.factor, request.units
    named = [_bend_told(bend, units) for bend in profile.bends]
    rows = [_row_told(n, row, units) for n, row in enumerate(profile.holes, 1)]
    beside = _BESIDE + max((text_width(t, TEXT) for t in (*named, *rows)), default=0.0)
    long = _shown_length(profile, max(_LEAST, width - beside) * factor)
    wide = profile.developed
    ring = ((0.0, -wide), (long, -wide), (long, 0.0), (0.0, 0.0))
    box = around([(x / factor, y / factor) for x, y in ring])
    title = f"FLAT PIECE {number}: {profile.name.partition(',')[0].upper()}"
    figure = Figure(f"flat-{number}", title, scale, box, box)
    figure.items.append(Path(ring, "pattern", closed=True, tag=profile.id))
    words: list[Word] = []
    holes = [x - r.diameter / 2 for r in profile.holes for x in r.along(profile.piece)[:1]]
    end = min(_END * factor, long / 4.0, *(x / 2.0 for x in holes))  # clear of the holes
    for bend, told in zip(profile.bends, named, strict=True):
        layer = "valley" if bend.turn is Turn.UP else "ridge"
        figure.items.append(Path(((0.0, -bend.at), (long, -bend.at)), layer))
        words.append(Word(told, (end / factor, -bend.at / factor)))
    for row, told in zip(profile.holes, rows, strict=True):
        holes = [x for x in row.along(profile.piece) if x < long - row.diameter]
        radius = row.diameter / 2.0 / factor
        figure.items += [Circle((x, -row.across), radius, "pattern") for x in holes]
        if holes:
            edge = holes[0] / factor - radius  # words stand at the left
            words.append(Word(told, (edge, -row.across / factor)))
    broken = profile.made_to_fit or long < profile.piece
    if broken:
        figure.items += break_line(((long, -wide), (long, 0.0)), factor)
    dims, taken = dimensions(_measured(request, profile, long), box, factor, SNUG)
    items, left = pointed(words, box, factor)
    figure.items += [*dims, *items]
    kinked = (box[0], box[1] - 2.0, box[2] + ZIGZAG, box[3] + 2.0)
    figure.box = hull([taken, left, kinked])
    figure.notes = _notes(profile, units, broken=broken)
    return figure


def _shown_length(profile: Profile, most: float) -> float:
    """Return how much of a piece is shown, mm: some holes of each row where they fit."""
    reach = [
        row.first + 1.5 * row.spacing
        for row in profile.holes
        if row.first is not None and row.spacing is not None
    ]
    return min(profile.piece, most, max(_LONG * profile.developed, *reach, 0.0))


def _row_told(number: int, row: HoleRow, units: UnitSystem) -> str:
    return f"HOLES {number} AT {show_length(row.across, units)}"


def _bend_told(bend: Bend, units: UnitSystem) -> str:
    at = show_thickness(bend.at, units)
    if bend.make is Make.BEND:
        return f"{show_angle(bend.angle)} {bend.turn.upper()} AT {at}"
    return f"FOLD {bend.turn.upper()} AT {at}"


def _measured(request: SheetRequest, profile: Profile, long: float) -> Sequence[Measured]:
    """Return the developed width, and where the holes of the first row are."""

    def one(key: str, axis: Axis, ends: tuple[float, float], level: float) -> Measured:
        low, high = ends
        text = show_length(high - low, request.units, both=request.both_units)
        if axis is Axis.VERTICAL:
            start, end = (level, low), (level, high)
        else:
            start, end = (low, level), (high, level)
        gauge = Gauge(key, "", "", axis, rank=1)
        return Measured(gauge, start, end, high - low, text, "", "")

    wide = profile.developed
    found = [one("developed", Axis.VERTICAL, (-wide, 0.0), long)]
    for row in profile.holes[:1]:
        along = row.along(long)[:2]
        stops = (0.0, *along) if along and along[0] > 0.0 else along
        found += [
            one(f"hole-{n}", Axis.HORIZONTAL, (a, b), -wide)
            for n, (a, b) in enumerate(pairwise(stops))
        ]
    return found


def _notes(profile: Profile, units: UnitSystem, *, broken: bool) -> list[str]:
    cut = show_thickness(profile.developed, units)
    told = f"Cut {cut} wide. Middles of bends from the first edge, at the top."
    notes = [f"Up: {profile.face}.", told]
    if profile.made_to_fit:
        notes.append("As long as its place.")
    elif broken:
        notes.append(f"{show_run(profile.piece, units)} long, broken here.")
    return notes
