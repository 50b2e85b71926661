"""The unrolled elevation of a wall flashing: pieces, side laps, fasteners."""

from dataclasses import dataclass

from detailgen.conditions._condition import Site
from detailgen.geometry import Point
from detailgen.geometry.regions import box
from detailgen.section import Axis, Gauge, Layout, Mark, Part, Role
from detailgen.units import inches

PIECES = 3
"""How many pieces the elevation shows: enough to see every lap twice."""
STOCK = inches(120)
"""Length of a piece of metal, mm (Copper in Architecture 9.7 - read)."""


@dataclass(frozen=True, slots=True)
class Run:
    """What the elevation of a wall flashing shows, mm above the finish ply."""

    flashing_top: float
    hem: float | None
    metal_top: float
    top_fasteners: float | None
    """Spacing along the top edge; None for none."""
    middle: tuple[float, ...]
    """Levels of the intermediate rows of a tall sheet."""
    middle_spacing: float
    bar_fasteners: float | None
    bar_level: float
    upper: tuple[float, float] | None
    """Bottom and top of the upper sheet of a coped wall."""
    metal_role: Role
    piece_width: float


def elevation(run: Run, site: Site) -> Layout:
    """Return the elevation of the first pieces from the low point, at the left."""
    lap = site.rules.value("flashing_side_lap_least")
    width = run.piece_width
    step = width - lap
    length = PIECES * step + lap
    points: dict[str, Point] = {}
    parts = [
        _piece(
            "flashing",
            Role.FLASHING,
            "Flashing sheet",
            i,
            (i * step, 0.0, i * step + width, run.flashing_top),
            i,
        )
        for i in range(PIECES)
    ]
    if run.upper is not None:
        low, high = run.upper
        for i in range(PIECES):  # offset by half a piece from the seams below
            x0 = max(i * step - step / 2.0, 0.0)
            x1 = min(i * step - step / 2.0 + width, length)
            parts.append(
                _piece(
                    "upper-flashing",
                    Role.UPPER_FLASHING,
                    "Upper flashing sheet",
                    i,
                    (x0, low, x1, high),
                    PIECES + i,
                )
            )
    if run.hem is not None:
        seam = 1.5 * step
        metal_lap = site.rules.value("counterflashing_end_lap_least")
        for i, (x0, x1) in enumerate(((0.0, seam + metal_lap), (seam, length))):
            parts.append(
                _piece(
                    "counterflashing",
                    run.metal_role,
                    "Counterflashing",
                    i,
                    (x0, run.hem, x1, run.metal_top),
                    20 + i,
                )
            )
        points |= {
            "metal.lap.start": (seam, run.metal_top),
            "metal.lap.end": (seam + metal_lap, run.metal_top),
        }
    marks = _marks(run, length)
    points |= {
        "lap.start": (step, 0.0),
        "lap.end": (width, 0.0),
        "piece.start": (0.0, 0.0),
        "piece.end": (width, 0.0),
        "flashing.top": (length, run.flashing_top),
        "roof.datum": (length, 0.0),
    }
    gauges = [
        Gauge(
            "side-lap",
            "lap.start",
            "lap.end",
            Axis.HORIZONTAL,
            label="LAP",
            view="wall-elevation",
            rank=1,
        ),
        Gauge(
            "piece-width",
            "piece.start",
            "piece.end",
            Axis.HORIZONTAL,
            label="PIECE",
            view="wall-elevation",
            rank=2,
        ),
        Gauge(
            "flashing-height",
            "roof.datum",
            "flashing.top",
            Axis.VERTICAL,
            view="wall-elevation",
            rank=1,
        ),
    ]
    for row, role in ((1, "top"), (3, "bar")):
        these = sorted((m.at for m in marks if m.row == row), key=lambda p: p[0])[:2]
        if len(these) > 1:
            points |= {f"{role}.fastener.1": these[0], f"{role}.fastener.2": these[1]}
    return Layout(
        "wall-elevation",
        "Elevation of the pieces, from the low point at the left",
        tuple(parts),
        tuple(marks),
        points,
        tuple(gauges),
        (-1.0, 0.0),
    )


def _piece(
    stem: str,
    role: Role,
    name: str,
    i: int,
    bounds: tuple[float, float, float, float],
    level: int,
) -> Part:
    return Part(
        f"{stem}-piece-{i + 1}", role, f"{name}, piece {i + 1}", box(*bounds), level
    )


def _marks(run: Run, length: float) -> list[Mark]:
    """Rows of fasteners: 1 top edge, 2 intermediate, 3 bar."""
    marks: list[Mark] = []
    if run.top_fasteners is not None:
        marks += _row(run.flashing_top - inches(1.0), run.top_fasteners, length, 1)
    for y in run.middle:
        marks += _row(y, run.middle_spacing, length, 2)
    if run.bar_fasteners is not None:
        marks += _row(run.bar_level, run.bar_fasteners, length, 3)
    return marks


def _row(y: float, spacing: float, length: float, row: int) -> list[Mark]:
    first = min(inches(1.0), spacing / 2.0)
    count = int((length - 2.0 * first + 1e-6) // spacing) + 1
    xs = [first + i * spacing for i in range(count)]
    last = length - first
    if last - xs[-1] > 1.0:
        xs.append(last)
    body = {1: "top-fastener-1", 2: "middle-fastener-1", 3: "bar-fastener-1"}[row]
    return [Mark(Role.FASTENER, (x, y), row, body) for x in xs]
