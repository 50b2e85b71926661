"""What every flange round a point has: its parameters, and their dimensions.

Each maker of a field makes it anew; a kind puts it where it belongs among its own.
"""

from typing import Any, Protocol

from detailgen.conditions._condition import Site
from detailgen.conditions._flanged_point import PointSizes
from detailgen.parameters import length
from detailgen.section import Axis, Gauge


class Flanged(Protocol):
    """What the parameters of such a kind have in common, mm."""

    @property
    def flange(self) -> float | None: ...

    @property
    def strip_in(self) -> float | None: ...

    @property
    def lap(self) -> float | None: ...

    @property
    def bead(self) -> float: ...


def flange_width(end: str = "the sleeve") -> Any:  # noqa: ANN401
    """Return the field of the flange's width, which runs to `end`."""
    return length(
        f"Width of the flange, from its outer end to {end}.",
        default=None,
        least="2 in",
        most="12 in",
        by_rule="flange_width_least",
    )


def target_past_flange() -> Any:  # noqa: ANN401
    """Return the field of how far the target runs past the flange."""
    return length(
        "How far the target (strip-in ply) runs past the flange's outer end.",
        default=None,
        least="1/2 in",
        most="12 in",
        by_rule="flange_strip_in_least",
    )


def lap_of_halves() -> Any:  # noqa: ANN401
    """Return the field of the lap between the two pieces of the finish ply."""
    return length(
        "How far the upslope piece of the finish ply laps over the downslope one.",
        default=None,
        least="1 in",
        most="10 in",
        by_rule="side_lap_least",
    )


def bead_round_base() -> Any:  # noqa: ANN401
    """Return the field of the bead's leg."""
    return length(
        "Leg of the sealant bead round the base.",
        default="3/8 in",
        least="1/8 in",
        most="3/4 in",
    )


def sleeve_height() -> Any:  # noqa: ANN401
    """Return the field of a sleeve's height."""
    return length(
        "Height of the sleeve above the finished roof, on its upslope side.",
        default=None,
        least="4 in",
        most="36 in",
        by_rule="sleeve_height_least",
    )


def cover_over_sleeve(what: str) -> Any:  # noqa: ANN401
    """Return the field of how far a cover comes down over a sleeve."""
    return length(
        f"How far the {what} comes down over the sleeve.",
        default=None,
        least="1 in",
        most="8 in",
        by_rule="collar_lap_least",
    )


def point_sizes(p: Flanged, site: Site, metal: str) -> PointSizes:
    """Return what a flange is like, with every default filled in."""
    return PointSizes(
        metal=metal,
        flange=site.ruled(p.flange, "flange_width_least"),
        strip_in=site.ruled(p.strip_in, "flange_strip_in_least"),
        bead=p.bead,
        lap=site.ruled(p.lap, "side_lap_least"),
    )


def flange_gauges(sizes: PointSizes, site: Site) -> tuple[Gauge, ...]:
    """Return the dimensions of target and flange."""
    past = site.marked(sizes.strip_in, "flange_strip_in_least")
    wide = site.marked(sizes.flange, "flange_width_least")
    h = Axis.HORIZONTAL
    return (
        Gauge("strip-in", "strip.outer", "flange.outer", h, past),
        Gauge("flange", "flange.outer", "metal.leaves", h, wide),
    )
