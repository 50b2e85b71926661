"""Quantities: how much material a section takes, and how that was computed."""

from dataclasses import dataclass
from enum import StrEnum


class Measure(StrEnum):
    """What a quantity counts; the amount is in the SI unit named here."""

    LENGTH = "m"
    AREA = "m2"
    VOLUME = "L"
    TIMBER = "m3"
    MASS = "kg"
    COUNT = "each"


class Per(StrEnum):
    """For how much of a condition an amount is told."""

    METRE = "metre"
    """One metre along an edge, a wall, a curb or a joint."""
    PIECE = "piece"
    """One of a thing that stands by itself: a drain, a pipe, a scupper."""


@dataclass(frozen=True, slots=True)
class Cut:
    """How a thing is cut from what is bought, so that a job can be told what to order."""

    laps: float = 1.0
    """What laps multiply the net amount by."""
    end: float = 0.0
    """What each end of a run adds, in the measure of the quantity."""
    along: tuple[float, ...] = ()
    """Widths of strips that are cut along the stock, mm."""
    across: tuple[float, ...] = ()
    """Lengths of pieces that are cut across the stock, mm."""
    lap: float = 0.0
    """How far pieces of stock length lap, mm, where `laps` does not hold it."""
    plate: float = 0.0
    """Length of the plate behind each joint of two pieces of stock length, mm."""
    section: tuple[float, float] = (0.0, 0.0)
    """Width and thickness of lumber, mm."""
    piece: float = 0.0
    """Width of the pieces that hang across the stock, side by side along a run, mm."""
    overlap: float = 0.0
    """How far pieces lap one another along a run, mm."""
    told: str = ""
    """Laps and ends, in words."""
    bought: bool = True
    """Else it tells another line again, in another measure."""


WHOLE = Cut()
"""Bought as it is counted."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """One line of a takeoff, for one metre or for one piece of a condition."""

    id: str
    label: str
    material: str
    measure: Measure
    amount: float
    """How many of `measure` one metre or one piece takes, as `per` says."""
    formula: str
    """How it was computed, in words and signs, with its inputs."""
    source: str
    """Source of the rate, or `common practice, no source`, or `geometry of the section`."""
    bodies: tuple[str, ...] = ()
    per: Per = Per.METRE
    supplied: bool = True
    """Part of the work; else it stands there already, or others set it."""
    cut: Cut = WHOLE
    """How it is cut from what is bought."""
