"""The metal-clad sheet of a sump: its pieces where it is wider than a roll."""

from dataclasses import dataclass
from itertools import pairwise

from detailgen.conditions._drain_parameters import DrainSizes
from detailgen.conditions._drain_plan import MARGIN, square
from detailgen.geometry import Region
from detailgen.geometry.regions import box, cut, disc
from detailgen.section import Axis, Gauge, Layout, Part, Role
from detailgen.units import inches

CLEAR = inches(2)
"""Least distance of a seam from the clamping ring (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class CladSizes:
    """What the clad sheet of a sump is like, mm."""

    material: str
    past: float
    """How far it runs past the target."""
    border: float
    """Outermost part of its face that is primed."""
    lap: float
    """How far the finish ply laps it."""
    cement: bool
    """In solvent-free flashing cement; else torched."""
    roll: float
    side_lap: float


@dataclass(frozen=True, slots=True)
class Strip:
    """One piece of the clad sheet, from y to y across the sump."""

    low: float
    high: float


def strips(width: float, roll: float, lap: float, ring: float) -> tuple[Strip, ...]:
    """Return the pieces of a sheet that is wider than a roll, the one at the drain first.

    Each next piece lies further out and laps the one before, so that water runs off it. No
    seam comes near the ring if that can be helped.

    Args:
        width: Of the whole sheet, mm.
        roll: Of a roll.
        lap: Of a seam.
        ring: Radius of the clamping ring.
    """
    half = width / 2.0
    if width <= roll:
        return (Strip(-half, half),)
    if width <= 2.0 * roll - lap and roll - half - lap >= ring + CLEAR:
        first = Strip(-half, roll - half)
        return first, Strip(first.high - lap, half)
    out = [Strip(-roll / 2.0, roll / 2.0)]
    while out[-1].high < half - 1e-9:
        low = out[-1].high - lap
        high = min(low + roll, half)
        out += [Strip(-high, -low), Strip(low, high)]
    return tuple(out)


def clad_parts(s: DrainSizes, c: CladSizes) -> tuple[Part, ...]:
    """Return the pieces of the clad sheet, their seams, and the finish ply over them."""
    half = s.half + s.target + c.past
    opening = disc(0.0, 0.0, s.inner)
    pieces = strips(2.0 * half, c.roll, c.side_lap, s.ring_outer)
    parts: list[Part] = []
    for i, piece in enumerate(pieces, 1):
        region: Region = box(-half, piece.low, half, piece.high)
        if piece.low < s.inner and piece.high > -s.inner:
            region = cut(region, [opening])[0]
        name = "Metal-clad sheet" + (f", piece {i}" if len(pieces) > 1 else "")
        parts.append(Part(f"clad-sheet-{i}", Role.CLAD_SHEET, name, region, 6 + i))
    for i, (low, high) in enumerate(seams(pieces), 1):
        parts.append(
            Part(
                f"seam-{i}",
                Role.CLAD_SHEET,
                "Lapped seam of the clad sheet, primed",
                box(-half, low, half, high),
                6,
                hidden=True,
            )
        )
    level = 7 + len(pieces)
    field = cut(square(max(s.sump, half) + MARGIN), [square(half - c.lap)])[0]
    parts.append(
        Part(
            "finish-ply",
            Role.FINISH_PLY,
            "Finish ply, lapped on the clad sheet",
            field,
            level,
        )
    )
    return tuple(parts)


def seams(pieces: tuple[Strip, ...]) -> list[tuple[float, float]]:
    """Return from where to where each lapped seam lies, lowest first."""
    ordered = sorted(pieces, key=lambda p: p.low)
    return [(b.low, a.high) for a, b in pairwise(ordered)]


def seam_note(s: DrainSizes, c: CladSizes) -> str:
    """Return what is said of the clad sheet's seams; nothing where it has none."""
    width = 2.0 * (s.half + s.target + c.past)
    found = seams(strips(width, c.roll, c.side_lap, s.ring_outer))
    if not found:
        return ""
    count = "one lapped seam" if len(found) == 1 else f"{len(found)} lapped seams"
    total = width * len(found)
    return (
        f"The clad sheet is wider than a roll: {count} of {c.side_lap / 25.4:.3g} in "
        f"({c.side_lap:.0f} mm), {total / 304.8:.1f} ft ({total / 1000.0:.2f} m) in all. "
        "Prime its face under the seam; the outer piece lies over the inner one."
    )


def with_clad(plan: Layout, s: DrainSizes, c: CladSizes) -> Layout:
    """Return the plan of a drain with the dimensions of its clad sheet."""
    half = s.half + s.target + c.past
    view, v = plan.id, Axis.VERTICAL
    points = dict(plan.points) | {
        "clad.left": (-half, -half),
        "clad.right": (half, -half),
        "clad.low": (half, -half),
        "finish.low": (half - c.lap, -half + c.lap),
    }
    gauges = [
        *plan.gauges,
        Gauge(
            "plan-clad",
            "clad.left",
            "clad.right",
            Axis.HORIZONTAL,
            label="CLAD SHEET",
            rank=3,
            view=view,
        ),
        Gauge("plan-border", "clad.low", "finish.low", v, label="LAP", rank=2, view=view),
    ]
    found = seams(strips(2.0 * half, c.roll, c.side_lap, s.ring_outer))
    if found:
        low, high = found[-1]
        points |= {"seam.low": (half, low), "seam.high": (half, high)}
        gauges.append(
            Gauge("plan-seam", "seam.low", "seam.high", v, label="SEAM", view=view)
        )
    return Layout(
        view,
        plan.title,
        plan.parts,
        plan.marks,
        points,
        tuple(gauges),
        plan.downhill,
    )
